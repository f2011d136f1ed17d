/*
 * weirbook take-in, aside, correct, leave-out, put-back, no-sample: what goes into the records.
 */
#ifndef CLI_COMMAND_RECORDS_H
#define CLI_COMMAND_RECORDS_H

#include "app/correct.h"
#include "cli/cli.h"

bool command_take_in(struct cli *cli, struct err *err);
bool command_aside_accept(struct cli *cli, struct err *err);
bool command_aside_read_again(struct cli *cli, struct err *err);
bool command_aside_leave_out(struct cli *cli, struct err *err);
bool command_correct(struct cli *cli, struct err *err);
bool command_leave_out(struct cli *cli, struct err *err);
bool command_put_back(struct cli *cli, struct err *err);
bool command_no_sample(struct cli *cli, struct err *err);

/* FILE LINE [COLUMN], the first so many words; of a workbook FILE 'SHEET!ROW' [COLUMN]. */
MUST_CHECK bool aside_ref_read(struct cli *cli, size_t words, struct aside_ref *ref,
                               struct err *err);

#endif
