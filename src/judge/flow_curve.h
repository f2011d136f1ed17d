/*
 * Flow curve: a flow over time as the clause lets its readings stand: to the next one, from
 * half-way to half-way, or on straight lines between them. A step longer than the clause lets a
 * reading stand is a gap, and nothing is known in it. A reading of a span holds over its span.
 *
 * After the last reading it stands as long as a step may be; before the first nothing is known.
 * Where the clause does not say how long a step may be, none is a gap.
 *
 * Of readings in doubt it may be open which count: that is judge/flow_choice.h. Here all points do.
 *
 * In a gap no water flowed while the outlet there is on record as shut. Up to its shutting the last
 * reading stands, and from its opening the next, as long as a step may be.
 */
#ifndef JUDGE_FLOW_CURVE_H
#define JUDGE_FLOW_CURVE_H

#include "judge/flow.h"
#include "judge/shut.h"

struct flow_point {
    instant at;
    instant until;
    bool known; /* false: not read as a number, or in a unit that is no flow */
    struct amount m3_per_s;
};

struct flow_curve {
    struct flow_point *points; /* in order of time */
    size_t count;
    enum standing_rule rule;
    int64_t longest_us;    /* a longer step is a gap; 0: none is */
    struct shut_list shut; /* when the outlet there is on record as shut */
    /* Where it is open which points count, as of `struct water`; NULL: all do. */
    const bool *is_sure;
    bool *used;
    bool highest;
};

struct flow_curve flow_curve_of(const struct judgement *judgement, const struct water *water);

/* Water that flowed in a span, and how much of the span it is known for. */
struct flow_part {
    struct amount m3; /* as far as it is known */
    int64_t gap_us;
};

/* `<X` of a flow counts as X, the most it can be. */
struct flow_part flow_curve_volume(struct arena *mem, const struct flow_curve *curve, instant from,
                                   instant until);

/*
 * The flow in m3/s at an instant, or its mean over a span; NULL: it is not known of all of it.
 */
const struct exact *flow_curve_at(struct arena *mem, const struct flow_curve *curve, instant from,
                                  instant until);

#endif
