/*
 * Opening what a command needs: units, the database (the private one, or somebody else's), the
 * farm, and who acts.
 */
#ifndef CLI_OPEN_H
#define CLI_OPEN_H

#include "cli/cli.h"

MUST_CHECK bool cli_open(struct cli *cli, enum command_needs needs, struct err *err);
void cli_close(struct cli *cli);

/* Roles and schema on the server at hand, made or brought up to date. */
MUST_CHECK bool cli_prepare_database(struct cli *cli, int *applied, struct err *err);

#endif
