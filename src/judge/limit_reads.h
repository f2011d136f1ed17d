/*
 * Limit reads: which stations and parameters a limit looks at: its own, places added and compared
 * with, the water of loads, the readings that its bound or its conditions go by. What is loaded
 * as evidence for it, and whose new readings make its verdicts old, is this list. The record of
 * the outlet and the meter of its discharge point come with the licence and are not in it.
 */
#ifndef JUDGE_LIMIT_READS_H
#define JUDGE_LIMIT_READS_H

#include "judge/limit.h"

struct limit_read {
    const char *station;
    const char *parameter;
    /* How far from one of its own readings such a reading may lie and still count for it. */
    int before_s;
    int after_s;
};

struct limit_read_list {
    struct limit_read *items; /* its own place first; each station and parameter may come twice */
    size_t count;
    size_t capacity;
};

struct limit_read_list limit_reads(struct arena *mem, const struct limit *limit);

/* Whether such a series is one of them. */
bool limit_reads_series(struct arena *mem, const struct limit *limit, const char *station,
                        const char *parameter);

#endif
