/*
 * A judged month on the terminal and in JSON.
 */
#ifndef CLI_MONTH_VIEW_H
#define CLI_MONTH_VIEW_H

#include "app/judge_month.h"
#include "cli/cli.h"

/* How many of what a month holds; the summary line and the exit status come from it. */
struct month_tally {
    int within;
    int outside;
    int not_assessable;
    int nothing_due;
    int missed;
    int set_aside;
};

/* Of one licence's limits and intervals, by its key; NULL: of all. Rows set aside are of the month.
 */
struct month_tally month_tally_of(const struct judged_month *month, const char *licence);

/* With --strict: what the command ends with. */
int month_status(const struct cli *cli, const struct month_tally *tally);

void month_say(struct cli *cli, const struct judged_month *month);
void month_json(struct cli *cli, struct json_writer *json, const struct judged_month *month);

/* "9 limits: 5 within, 2 outside, ..." */
char *month_summary(struct arena *mem, const struct month_tally *tally);

#endif
