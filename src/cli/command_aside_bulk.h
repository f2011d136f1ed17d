/*
 * Commands on many rows set aside at once, and the filter that all of them read.
 */
#ifndef CLI_COMMAND_ASIDE_BULK_H
#define CLI_COMMAND_ASIDE_BULK_H

#include "app/aside_filter.h"
#include "cli/cli.h"

/* The words from `first` on, --saying, --from and --to. ERR_INVALID: a day that can't be read, or
 * lines given twice. */
MUST_CHECK bool aside_filter_read(struct cli *cli, size_t first, struct aside_filter *filter,
                                  struct err *err);

bool command_aside_leave_out_all(struct cli *cli, struct err *err);
bool command_aside_put_back(struct cli *cli, struct err *err);

#endif
