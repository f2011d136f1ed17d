/* Commands on probes and field meters: what they are, visits to them, and answers. */
#ifndef CLI_COMMAND_VISIT_H
#define CLI_COMMAND_VISIT_H

#include "cli/cli.h"

bool command_instruments(struct cli *cli, struct err *err);
bool command_visit_record(struct cli *cli, struct err *err);
bool command_visit_check(struct cli *cli, struct err *err);
bool command_visit_list(struct cli *cli, struct err *err);
bool command_visit_show(struct cli *cli, struct err *err);
bool command_visit_proposal(struct cli *cli, struct err *err);
bool command_visit_answer(struct cli *cli, struct err *err);
bool command_visit_withdraw(struct cli *cli, struct err *err);

#endif
