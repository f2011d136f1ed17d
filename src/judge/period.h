/*
 * Period: the civil days that a limit is judged over, and how far around them its evidence
 * reaches. Pure arithmetic of the calendar.
 *
 * A verdict is of a span of days. A quarter, year or licence year is its own span; all else is
 * judged by the month: the figure of the month itself, or every sample, day, week, run of days
 * and last samples in it, each of which has to keep the bound.
 *
 * A licence year begins on the licence's anniversary; one of 29 February begins on 1 March where
 * the year has none.
 */
#ifndef JUDGE_PERIOD_H
#define JUDGE_PERIOD_H

#include "judge/limit.h"

enum { RUN_DAYS_MOST = 366 /* a discharge run is looked for so far around the span */ };

/* The span of the limit that `day` lies in: its first and last civil day. */
void judge_period(const struct limit *limit, day_number day, day_number *from, day_number *to);

/*
 * The days of evidence that judging from..to takes: running days that end in it, weeks over its
 * edges, runs, and the periods before it that a clause across periods looks at.
 */
void judge_reach(const struct limit *limit, day_number from, day_number to, day_number *first,
                 day_number *last);

/*
 * How many figures before the span its windows reach back to, beside the days: of last samples.
 * 0: none.
 */
size_t judge_samples_before(const struct limit *limit);

/* Whether each period is one window: a month, quarter, year or licence year, each sample. */
bool period_is_span(const struct limit *limit);

/* Whether one figure, or one count, is made of several days or samples. */
bool period_has_one_figure(const struct limit *limit);

/* First day of the calendar week that a day lies in. */
day_number period_week_first(const struct limit *limit, day_number day);

#endif
