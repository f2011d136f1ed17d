/*
 * Gather: which days and which readings a clause is about. Every reading of its series in the
 * period is kept, with the reason where it does not count, so that a person sees all of them.
 */
#ifndef JUDGE_GATHER_H
#define JUDGE_GATHER_H

#include "judge/judgement.h"

/*
 * The days from..to, each with what is known of its discharge. `in_full`: the clause is applied
 * to days outside its dates too, as its rule for a change says.
 */
void gather_days(struct judgement *judgement, day_number from, day_number to, bool in_full);

/* The readings of the clause in these days, turned into `unit`. */
void gather_readings(struct judgement *judgement, const char *unit);

/* Whether a series is of the clause's station, position, parameter, kinds and methods. */
bool gather_series_belongs(const struct limit *limit, const struct evidence_series *series);

/* Why readings of that instant are no sample of the discharge, or NULL. */
const char *gather_shut_at(const struct judgement *judgement, instant at, bool is_sample);

/* First reading of a series that is not before `at`. */
size_t gather_first_from(const struct evidence_series *series, instant at);

/* Put everything gathered in order. */
void gather_sort(struct judgement *judgement);

#endif
