/*
 * Over time, line: the readings of one series that a change, a rate or a time outside goes by, in
 * order of time: those of the window, and as far before and after it as the figure reaches.
 *
 * Where clauses share their readings (shared.h) a line of plain numbers is drawn once.
 */
#ifndef JUDGE_OVER_TIME_LINE_H
#define JUDGE_OVER_TIME_LINE_H

#include "judge/window_figure.h"
#include "stat/timed_value.h"

/* Readings of one series, as the pass takes them. */
struct line {
    struct figure *items;
    size_t count;
    size_t capacity;
    const char *blocked; /* why one of them is no number, or NULL */
    size_t less_thans;
    /* Where each of them is a number that no rule of the clause has a part in; else NULL. */
    const struct timed_value *values;
};

/* `series` is its index in the evidence; NO_INDEX: rows that belong to none. */
struct line over_time_line(const struct judgement *judgement, const struct figure_window *window,
                           int series);

#endif
