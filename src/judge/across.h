/*
 * Across: a clause that is broken only when so many of so many periods one after the other are
 * beyond the bound. It is kept when so many could not be, whatever is not known of them; a period
 * in which nothing was due is not beyond it, and neither is one before the clause.
 */
#ifndef JUDGE_ACROSS_H
#define JUDGE_ACROSS_H

#include "judge/pass.h"

struct across {
    size_t first; /* windows [first, index] */
    size_t beyond;
    enum standing standing;
    enum side side;
    const char *reason; /* why not assessable */
    bool too_little;
};

/* Of the window at `index` and those before it. */
struct across across_judge(struct arena *mem, const struct limit *limit,
                           const struct pass_window *windows, size_t index);

/* "2 of the last 6 months" */
char *across_words(struct arena *mem, const struct limit *limit, size_t beyond);

#endif
