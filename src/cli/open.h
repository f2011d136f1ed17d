/*
 * Opening what a command needs: units, the database (the private one, or somebody else's), the
 * farm, and who acts.
 */
#ifndef CLI_OPEN_H
#define CLI_OPEN_H

#include "cli/cli.h"

MUST_CHECK bool cli_open(struct cli *cli, enum command_needs needs, struct err *err);
void cli_close(struct cli *cli);

/* The data folder that was named, or the usual one, in cli->data_folder. */
MUST_CHECK bool cli_data_folder(struct cli *cli, struct err *err);

/*
 * The database alone, for what connects again and again; it is not made. Every cli_connect() needs
 * its cli_disconnect(), also one that failed.
 */
MUST_CHECK bool cli_connect(struct cli *cli, struct err *err);
void cli_disconnect(struct cli *cli);

/* Roles and schema on the server at hand, made or brought up to date. */
MUST_CHECK bool cli_prepare_database(struct cli *cli, int *applied, struct err *err);

#endif
