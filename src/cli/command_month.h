/*
 * weirbook check, explain, report discharge: what the records say of a month.
 */
#ifndef CLI_COMMAND_MONTH_H
#define CLI_COMMAND_MONTH_H

#include "cli/cli.h"

/* The month typed as word number `word`, or the newest with readings. */
bool month_asked(struct cli *cli, size_t word, day_number *month, struct err *err);

bool command_check(struct cli *cli, struct err *err);
bool command_explain(struct cli *cli, struct err *err);
bool command_report_discharge(struct cli *cli, struct err *err);

#endif
