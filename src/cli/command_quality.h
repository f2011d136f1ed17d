/*
 * weirbook quality: what duplicates, replicates and blanks came to, and whether the laboratories'
 * limits are fine enough.
 */
#ifndef CLI_COMMAND_QUALITY_H
#define CLI_COMMAND_QUALITY_H

#include "cli/cli.h"

bool command_quality(struct cli *cli, struct err *err);

#endif
