/*
 * weirbook derived: what the farm works out of its readings, and from what.
 */
#ifndef CLI_COMMAND_DERIVED_H
#define CLI_COMMAND_DERIVED_H

#include "cli/cli.h"

bool command_derived(struct cli *cli, struct err *err);

#endif
