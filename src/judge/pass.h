/*
 * Pass: the figure of the period worked out once, with a part of what is in doubt.
 *
 * A limit is judged without what is in doubt, with all of it, and with only the part of it that
 * lies beyond the bound: above it and below it each by itself, so that neither hides the other.
 * What was set aside without a readable unit takes part in two passes of its own.
 */
#ifndef JUDGE_PASS_H
#define JUDGE_PASS_H

#include "judge/coverage.h"
#include "judge/windows.h"

enum pass { PASS_WITHOUT, PASS_ALL, PASS_ABOVE, PASS_BELOW, PASS_TRY_ABOVE, PASS_TRY_BELOW };

struct pass_day {
    size_t readings;
    bool has_concentration; /* what is made of the day's readings */
    struct figure concentration;
    const struct exact *volume; /* m3; NULL not known or not asked for */
    bool has_figure;
    struct figure figure; /* what goes into the statistic */
    bool outside;
    bool filled;
    bool gap;          /* it should have a figure and has none; `note` says why */
    bool unknown_load; /* it has a result, and its load or weighted mean can't be known */
    bool together;     /* in the figure with other days, without one of its own */
    const char *note;
};

/* What became of a window. */
struct pass_window {
    struct window window;
    enum standing standing;
    enum side side;
    const char *reason; /* why not assessable, or nothing due */
    bool too_little;    /* for want of data */
    bool has_figure;
    struct figure figure; /* the one compared; of single values the worst */
    struct amount excess; /* how far it is past its bound */
    bool figure_outside;
    size_t samples;
    size_t timeless;          /* beside daily figures: rows set aside that may be of any day */
    size_t less_thans;
    size_t not_told;          /* not-detecteds without a limit, which are in no figure */
    size_t beyond;            /* single values beyond the bound; 1 where the figure is */
    size_t allowed;           /* of them; SIZE_MAX: the clause has no allowance */
    struct coverage coverage; /* meaningful where the clause asks for some */
    const char *note;
};

struct pass_result {
    enum standing standing;
    enum side side;
    const char *reason; /* why not assessable, or nothing due */
    bool too_little;    /* for want of data */
    bool has_figure;
    struct figure worst; /* the figure compared; of several the worst */
    struct amount worst_excess;
    bool worst_outside;
    size_t samples;       /* that it is over; of single values all of them */
    size_t together_days; /* beside the samples: days whose total is known together only */
    size_t timeless;      /* and rows set aside that may be of any day */
    size_t less_thans;
    size_t not_told;             /* not-detecteds without a limit, which are in no figure */
    size_t beyond;               /* single values, days or windows beyond the bound */
    struct pass_window *windows; /* in order of time */
    size_t window_count;
    size_t worst_window;  /* meaningless without windows */
    size_t across_first;  /* windows [across_first, worst_window] decide across periods */
    size_t across_beyond; /* of them; meaningless where the clause does not look across */
    bool has_coverage;
    struct decimal coverage;
    struct pass_day *days;
    struct figure_list figures; /* of which it was made */
};

/* Whether the pass takes a reading. */
bool pass_takes(const struct use *use, enum pass pass);

struct pass_result pass_run(const struct judgement *judgement, enum pass pass);

#endif
