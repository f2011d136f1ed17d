/*
 * weirbook work-out: the calculator. Every quantity of quantity/, for a person who has the figures
 * at hand; needs no farm and no database, and stores nothing.
 */
#ifndef CLI_COMMAND_WORK_OUT_H
#define CLI_COMMAND_WORK_OUT_H

#include "cli/cli.h"

bool command_work_out(struct cli *cli, struct err *err);

#endif
