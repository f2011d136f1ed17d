/*
 * weirbook notices, notices send, seen: who was told of a finding, and who has seen it.
 */
#ifndef CLI_COMMAND_NOTICES_H
#define CLI_COMMAND_NOTICES_H

#include "cli/cli.h"

bool command_notices(struct cli *cli, struct err *err);
bool command_notices_send(struct cli *cli, struct err *err);
bool command_seen(struct cli *cli, struct err *err);

#endif
