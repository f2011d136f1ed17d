/*
 * Pass: the figure of the period worked out once, with a part of what is in doubt.
 *
 * A limit is judged without what is in doubt, with all of it, and with only the part of it that
 * lies beyond the bound: above it and below it each by itself, so that neither hides the other.
 * What was set aside without a readable unit takes part in two passes of its own.
 */
#ifndef JUDGE_PASS_H
#define JUDGE_PASS_H

#include "judge/figure.h"

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
    bool gap;      /* it should have a figure and has none */
    bool together; /* in the figure with other days, without one of its own */
    const char *note;
};

struct pass_result {
    enum standing standing; /* within, outside or not assessable */
    enum side side;
    const char *reason; /* why not assessable */
    bool too_little;    /* for want of data */
    bool has_figure;
    struct figure worst; /* the figure compared; of several the worst */
    size_t samples;
    size_t together_days; /* beside the samples: days whose total is known together only */
    size_t less_thans;
    size_t not_told; /* not-detecteds without a limit, which are in no figure */
    size_t beyond;
    bool has_coverage;
    struct decimal coverage;
    struct pass_day *days;
};

/* Whether the pass takes a reading. */
bool pass_takes(const struct use *use, enum pass pass);

struct pass_result pass_run(const struct judgement *judgement, enum pass pass);

#endif
