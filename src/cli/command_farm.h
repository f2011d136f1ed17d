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

#endif
