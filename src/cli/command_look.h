/*
 * weirbook look: what an unknown file seems to be, what has to be answered, and its source.
 */
#ifndef CLI_COMMAND_LOOK_H
#define CLI_COMMAND_LOOK_H

#include "cli/cli.h"

bool command_look(struct cli *cli, struct err *err);

#endif
