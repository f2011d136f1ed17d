/*
 * Gather: which days, places and series a clause is about.
 */
#ifndef JUDGE_GATHER_H
#define JUDGE_GATHER_H

#include "judge/judgement.h"

/*
 * The days from..to, each with what is known of its discharge. `in_full`: the clause is applied
 * to days outside its dates too, as its rule for a change says.
 */
void gather_days(struct judgement *judgement, day_number from, day_number to, bool in_full);

/* Index of the place that a series is read at, of the clause's parameter and kinds; or NO_INDEX. */
int gather_place_of(const struct judgement *judgement, const struct evidence_series *series);

/* Whether a series is of the limit's own place, parameter and kinds; and by what it allows too. */
bool gather_series_shown(const struct limit *limit, const struct evidence_series *series);
bool gather_series_belongs(const struct limit *limit, const struct evidence_series *series);

/* The same at another place of the limit. */
bool gather_series_at(const struct limit *limit, const struct limit_place *place,
                      const struct evidence_series *series);

/*
 * Why readings of that instant are no sample of the discharge: these words, or NULL. To a clause
 * that holds also while the outlet is shut it makes no difference.
 */
extern const char gather_shut_words[];
const char *gather_shut_at(const struct judgement *judgement, instant at);

/* Whether it is a sample that does not count because nothing was discharged then. */
bool gather_is_without_discharge(const struct judgement *judgement, const struct use *use);

/*
 * Why it is in doubt whether they are: by a row set aside of the outlet's record, or by what else is
 * on record of the day. NULL: it isn't.
 */
const char *gather_shut_doubt(const struct judgement *judgement, instant at);

/* First reading of a series that is not before `at`. */
size_t gather_first_from(const struct evidence_series *series, instant at);

/* Put everything gathered in order. */
void gather_sort(struct judgement *judgement);

/* Whether the outlet was on record as shut; never where it has no record. */
bool gather_is_shut(const struct evidence *evidence, instant at);

#endif
