/*
 * Pass window: what a pass makes of one window. Only for pass.c.
 */
#ifndef JUDGE_PASS_WINDOW_H
#define JUDGE_PASS_WINDOW_H

#include "judge/coverage.h"
#include "judge/reduce.h"

struct window_work {
    const struct judgement *judgement;
    enum pass pass;
    struct reduced *reduced;
    const struct coverage *coverage; /* of each judged day; NULL where none is asked */
    bool covers_whole_days;          /* a day with a figure is covered, else not */
};

/* Judge a window; marks the days beyond the bound in `reduced`. */
struct pass_window pass_window_judge(const struct window_work *work, const struct window *window);

/* Compare a figure by itself, as a single value. */
void pass_window_compare(const struct window_work *work, struct pass_window *out,
                         const struct figure *figure);

/* Whether a missing figure leaves the statistic open. */
bool pass_window_gaps_matter(const struct limit *limit);

/* Whether `a` is worse than `b`, which may lack a figure. */
bool pass_window_worse(struct arena *mem, const struct pass_window *a, const struct pass_window *b);

#endif
