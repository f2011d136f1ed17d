/*
 * weirbook document keep, list, show; result checked: files kept byte for byte, and what they
 * prove.
 */
#ifndef CLI_COMMAND_DOCUMENT_H
#define CLI_COMMAND_DOCUMENT_H

#include "cli/cli.h"

bool command_document_keep(struct cli *cli, struct err *err);
bool command_document_list(struct cli *cli, struct err *err);
bool command_document_show(struct cli *cli, struct err *err);
bool command_result_checked(struct cli *cli, struct err *err);

#endif
