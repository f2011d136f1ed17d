/*
 * weirbook farm check, farm load, confirm, status, database: the farm and where it is kept.
 */
#ifndef CLI_COMMAND_FARM_H
#define CLI_COMMAND_FARM_H

#include "cli/cli.h"

bool command_farm_check(struct cli *cli, struct err *err);
bool command_farm_load(struct cli *cli, struct err *err);
bool command_confirm(struct cli *cli, struct err *err);
bool command_findings(struct cli *cli, struct err *err);
bool command_status(struct cli *cli, struct err *err);
bool command_ledger_check(struct cli *cli, struct err *err);
bool command_database_sql(struct cli *cli, struct err *err);
bool command_database_prepare(struct cli *cli, struct err *err);

/* Each problem with its place; the error that is left says how many, and no problem again. */
MUST_CHECK bool problems_say(struct cli *cli, const char *path,
                             const struct farmfile_problems *problems, struct err *err);

#endif
