/*
 * weirbook doubt: readings and samples that can stop a verdict and never clear one.
 */
#ifndef CLI_COMMAND_DOUBT_H
#define CLI_COMMAND_DOUBT_H

#include "cli/cli.h"

bool command_doubt(struct cli *cli, struct err *err);
bool command_doubt_set(struct cli *cli, struct err *err);
bool command_doubt_sample(struct cli *cli, struct err *err);
bool command_doubt_lift(struct cli *cli, struct err *err);

#endif
