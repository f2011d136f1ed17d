/*
 * Why there is no sample: a reason from a list and a person's own words, for something that was
 * due and not done. A later one for the same day takes the place of an earlier one, which stays
 * on record.
 */
#ifndef APP_SAY_NO_SAMPLE_H
#define APP_SAY_NO_SAMPLE_H

#include "app/open_farm.h"
#include "plan/interval.h"

/*
 * *disagrees (may be NULL): what two records of the day say against each other, where the reason is
 * `no discharge`: the day counts as discharging, and the sample as missed. Else NULL.
 *
 * ERR_NOT_FOUND: no such interval. ERR_INVALID: nothing that was due on that day is missing, the
 * day has not come, or the reason is `no discharge` and the records say that it discharged.
 */
MUST_CHECK bool no_sample_say(struct db *db, struct arena *mem, const struct open_farm *farm,
                              const char *interval, struct no_sample reason, const struct act *act,
                              const char **disagrees, struct err *err);

#endif
