/*
 * What became of the sampling intervals of a month.
 */
#ifndef APP_JUDGE_INTERVALS_H
#define APP_JUDGE_INTERVALS_H

#include "app/judge_month.h"

MUST_CHECK bool intervals_judge(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                                const struct loaded_evidence *loaded, instant now,
                                struct month_intervals *out, struct err *err);

#endif
