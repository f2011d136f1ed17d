/*
 * weirbook flags: what the farm's sensor tests say of its probes' readings.
 */
#ifndef CLI_COMMAND_FLAGS_H
#define CLI_COMMAND_FLAGS_H

#include "cli/cli.h"

bool command_flags(struct cli *cli, struct err *err);

#endif
