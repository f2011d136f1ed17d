/*
 * Reduce: what is made of each civil day before the statistic of the period.
 *
 * A reading belongs to the day it began. Readings that are alike are made one first (alike.h),
 * then those of a day become its figure, or its load (day_load.h). Each place is worked out by
 * itself; then those that are added are added (together.h), and the discharge is held against the
 * intake (against.h). The day that still runs has no total and no load yet.
 *
 * A flow-weighted mean of a day needs the flow while each reading was taken, also of one alone: a
 * day of which it is not known makes the period not assessable, as a load does; one in which
 * nothing flowed then has no such mean and is left out.
 */
#ifndef JUDGE_REDUCE_H
#define JUDGE_REDUCE_H

#include "judge/pass.h"

/* The figures of a pass, and what is missing from them. */
struct reduced {
    struct figure_list figures; /* in order of days; readings where the limit takes every one */
    struct pass_day *days;
    size_t not_told;             /* readings that are not-detecteds without a limit, figure.h */
    size_t together;             /* figures that are of several days together */
    size_t together_days;        /* and how many days that is */
    size_t gaps;                 /* days that should have a figure and have none */
    const char *first_gap;       /* words: "no flow known on 3 May 2026" */
    const char *unknown_load;    /* of a day with a result whose load, or weighted mean, can't be
                                    known;    NULL: none */
    const struct exact *mean_m3; /* a day's, where loads are made with it; NULL: not so */
};

struct reduced reduce_days(const struct judgement *judgement, enum pass pass);

/*
 * The two halves of it where nothing but plain readings of one place take part (shared.h): their
 * figures, and what the limit makes of each day.
 */
struct figure_list reduce_plain_readings(const struct judgement *judgement);
struct reduced reduce_plain_days(const struct judgement *judgement,
                                 const struct figure_list *readings);

/*
 * The load that a single concentration would make of its day, and in a sum of loads of all its
 * days: a single one of them is seldom beyond a bound on their sum. FIT_UNKNOWN without a volume.
 * That of the place compared with is FIT_ABOVE under a ceiling, else FIT_BELOW, as in
 * figure_fit_alone().
 */
enum fit reduce_load_fit(const struct judgement *judgement, const struct use *use);

/* For the files that make figures of days. */

/* The volume of a place's day as the pass takes it; its m3 is NULL where it is not known. */
const struct day_volume *reduce_volume(const struct judgement *judgement, enum pass pass,
                                       size_t place, size_t day);

/*
 * What a version has as its least and its most water: where water is a weight it may bring the
 * figure either way, and a pass that looks for the highest, or the lowest, works with both.
 */
enum water_version reduce_least_water(enum water_version version);
enum water_version reduce_most_water(enum water_version version);
bool reduce_wants_highest(const struct judgement *judgement, enum pass pass, size_t place);

/* The same, put into `out`; NULL while the day runs: then nothing is made of it yet. */
const struct day_volume *reduce_show_volume(const struct judgement *judgement, enum pass pass,
                                            size_t place, size_t day, struct pass_day *out);

void reduce_add_figure(const struct judgement *judgement, struct reduced *reduced, size_t day,
                       struct figure figure);

/* "no flow known on 3 May 2026" */
const char *reduce_gap_words(const struct judgement *judgement, size_t day, const char *what);

void reduce_note_gap(const struct judgement *judgement, struct reduced *reduced, size_t day,
                     const char *what);

#endif
