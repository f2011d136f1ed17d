/*
 * Shut: the times in which the outlet is on record as shut, and so no water left. A state holds
 * until the next one or as long as the farm says, one in doubt shows nothing, and on a judged day
 * on which two records disagree nothing is taken as shut.
 */
#ifndef JUDGE_SHUT_H
#define JUDGE_SHUT_H

#include "judge/judgement.h"

struct shut_span {
    instant from;
    instant until; /* without it */
};

struct shut_list {
    struct shut_span *items; /* in order of time; none touches the next */
    size_t count;
    size_t capacity;
};

/* Of the outlet at a station; none where the limit has no record of it there. */
struct shut_list shut_at(const struct judgement *judgement, const char *station);

#endif
