/*
 * Window figure: the one figure that a statistic makes of a window: a period, a week, some
 * running days, the last samples, a run.
 */
#ifndef JUDGE_WINDOW_FIGURE_H
#define JUDGE_WINDOW_FIGURE_H

#include "judge/reduce.h"

struct figure_window {
    enum pass pass;
    const struct reduced *reduced;
    const struct figure *figures; /* of the window, in order of time; of all places */
    size_t count;
    size_t first_day; /* judged days [first_day, after_day) */
    size_t after_day;
    instant from_at;
    instant until_at;
};

/*
 * `judgement->statistic` over the window. Where it has no answer its ends are not known and
 * `blocked` says why; `note` is set where a person should know more of the figure.
 */
struct figure window_figure(const struct judgement *judgement, const struct figure_window *window,
                            const char **note);

#endif
