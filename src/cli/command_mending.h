/*
 * weirbook aside rule, rules, compare, correct: mending what was set aside.
 */
#ifndef CLI_COMMAND_MENDING_H
#define CLI_COMMAND_MENDING_H

#include "cli/cli.h"

bool command_aside_rule(struct cli *cli, struct err *err);
bool command_aside_rules(struct cli *cli, struct err *err);

#endif
