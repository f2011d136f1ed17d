/*
 * Live: figures as formulas that a spreadsheet works out again from the cells they rest on.
 *
 * A formula is only given where it was checked, here, to give what was judged: figures are
 * judged in exact decimals, a spreadsheet has doubles. Where it would give something else, or
 * where evidence in doubt decided, the answer is NULL and the workbook shows the value with a
 * note. Pure.
 */
#ifndef REPORT_LIVE_H
#define REPORT_LIVE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/exact.h"
#include "judge/verdict.h"

/* Two numbers a spreadsheet may give for each other: 1e-10 of the larger. */
bool live_same(double a, double b);

/* Neighbouring cells of one column and the numbers in them; empty cells are in `cells` alone. */
struct live_range {
    const char *cells; /* "'Daily'!$F$5:$F$35" */
    const double *values;
    size_t count;
};

/* Where a limit's bounds stand; NULL: it has none on that side. */
struct live_bound {
    const char *ceiling;
    const char *floor;
};

/* The figure of a verdict over a range: "=AVERAGE('Daily'!$F$5:$F$35)", or NULL. */
const char *live_figure(struct arena *mem, const struct verdict *verdict,
                        const struct live_range *range, const struct live_bound *bound);

/* The figure of one day from its readings, or NULL. */
const char *live_daily(struct arena *mem, enum limit_daily daily, const struct live_range *range,
                       double judged);

/* The rounding of the figure in `cell`, or NULL when it does not give `compared`. */
const char *live_rounding(struct arena *mem, const char *cell, struct rounding rounding,
                          double figure, double compared);

/* The verdict in words by the figure in `cell`, or NULL when the figure alone does not tell it. */
const char *live_verdict(struct arena *mem, const struct verdict *verdict, const char *cell,
                         const struct live_bound *bound);

/* What the less-than (or greater-than) rule makes of the value in `cell`, or NULL. */
const char *live_used(struct arena *mem, const struct limit *limit, char qualifier,
                      const char *cell, double value, double used);

#endif
