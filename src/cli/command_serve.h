/*
 * weirbook serve, look-round: what goes on with nobody standing by.
 *
 * From root both become the account `weirbook` first and for good: they read files that come from
 * outside.
 */
#ifndef CLI_COMMAND_SERVE_H
#define CLI_COMMAND_SERVE_H

#include "cli/cli.h"

bool command_look_round(struct cli *cli, struct err *err);
bool command_serve(struct cli *cli, struct err *err);

#endif
