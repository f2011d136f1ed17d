/*
 * weirbook aside, aside correct, compare, rule, rules, seen, withdraw: what was set aside, and
 * mending it.
 */
#ifndef CLI_COMMAND_MENDING_H
#define CLI_COMMAND_MENDING_H

#include "cli/cli.h"

bool command_aside(struct cli *cli, struct err *err);
bool command_aside_correct(struct cli *cli, struct err *err);
bool command_aside_compare(struct cli *cli, struct err *err);
bool command_aside_rule(struct cli *cli, struct err *err);
bool command_aside_seen(struct cli *cli, struct err *err);
bool command_aside_withdraw(struct cli *cli, struct err *err);
bool command_aside_rules(struct cli *cli, struct err *err);

#endif
