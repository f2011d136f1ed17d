/*
 * Reduce: what is made of each civil day before the statistic of the period.
 *
 * A reading belongs to the day it began. A day's load is the mean of the concentrations of the
 * day times its volume times the factor. The day that still runs has no total and no load yet.
 */
#ifndef JUDGE_REDUCE_H
#define JUDGE_REDUCE_H

#include "judge/pass.h"

/* The figures of a pass, and what is missing from them. */
struct reduced {
    struct figure_list figures; /* in order of days; readings where the limit takes every one */
    struct pass_day *days;
    size_t not_told;          /* readings that are not-detecteds without a limit, figure.h */
    size_t together;          /* figures that are of several days together */
    size_t together_days;     /* and how many days that is */
    size_t gaps;              /* days that should have a figure and have none */
    const char *first_gap;    /* words: "no flow known on 3 May 2026" */
    const char *unknown_load; /* of a day with a result whose load can't be known; NULL: none */
};

struct reduced reduce_days(const struct judgement *judgement, enum pass pass);

/* The load that a single concentration would make of its day: FIT_UNKNOWN without a volume. */
enum fit reduce_load_fit(const struct judgement *judgement, const struct use *use);

#endif
