/*
 * Counter: volumes from the readings of a meter that runs up.
 *
 * - The volume between two readings is their difference times the multiplier.
 * - A fall is a roll-over only if the counter's size is on record and the volume that then
 *   results is under the greatest possible flow, which must be on record too. Any other fall is
 *   `reset or misread`: the reading is set aside, and so is every later one until one is at or
 *   above the last good reading, or a new meter is recorded. The reading that it fell from may as
 *   well be the wrong one: it is set aside too where the one before it is no higher than the one
 *   after. What ran between those that are left is known together, and marked,
 *   where one reading fell: after several the meter may have begun anew. Where two readings
 *   one after the other are below it, and neither below the one before it, it alone is wrong.
 * - A rise by more than the greatest possible flow, where that is on record, is `reset or misread`
 *   too: what ran is not known, and which of the two readings is wrong neither. In less than a day
 *   no more can run than in a day.
 * - A replaced meter has a last reading, and the new one a first. What ran while no meter was in
 *   place was not measured. More than 24 hours before the first of the new one a reading is not
 *   the last of the old: what ran meanwhile is not known, and never 0.
 * - A difference over several civil days is known for the days together only. It is shared
 *   evenly among them where that is allowed, and marked. A counter that did not move did not
 *   move on any of them.
 */
#ifndef MEASURE_COUNTER_H
#define MEASURE_COUNTER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/decimal.h"
#include "base/exact.h"
#include "base/instant.h"

struct counter {
    const struct exact *size;         /* counts of one full turn: 100000 for five digits; NULL when
                                         not on record */
    const struct exact *multiplier;   /* canonical units a count */
    const struct exact *most_per_day; /* greatest possible flow, canonical units in 24 hours; NULL
                                         when not on record */
};

enum counter_role {
    COUNTER_PLAIN,
    COUNTER_LAST,  /* the last reading of a meter that was then replaced */
    COUNTER_FIRST, /* the first reading of the meter that replaced it */
};

struct counter_reading {
    instant at;
    const struct exact *count; /* as the meter showed it, without the multiplier */
    enum counter_role role;
};

/* The counts of one full turn: a size told as the highest reading, all nines, is one short of it.
 */
const struct exact *counter_full_turn(struct arena *mem, struct decimal size);

/*
 * Mark the last reading of a meter that was replaced at an instant, and the first of the one after
 * it. A reading at the instant itself is the new meter's where it shows less than the one before,
 * and else the old one's.
 */
void counter_mark_replaced(struct counter_reading *readings, size_t count, instant at);

enum counter_mark {
    COUNTER_MEASURED,
    COUNTER_ROLLED_OVER,
    COUNTER_REPLACED,         /* from a last reading to a first: volume 0, nothing was measured */
    COUNTER_RESET_OR_MISREAD, /* over readings set aside; volume NULL: not known */
    COUNTER_NO_LAST_READING, /* a new meter, and the old one's last reading is missing: not known */
    COUNTER_MARKS
};

/* "measured", "rolled over", ...: for people. */
const char *counter_mark_words(enum counter_mark mark);

/* The water between two readings that follow each other. */
struct counter_span {
    instant from;
    instant until;
    const struct exact *volume; /* canonical units; NULL when not known */
    enum counter_mark mark;
};

struct counter_spans {
    struct counter_span *items; /* in order, without gaps */
    size_t count;
    size_t capacity;
};

/* Numbers of readings that are reset or misread. */
struct counter_suspects {
    size_t *items;
    size_t count;
    size_t capacity;
};

/*
 * Readings must be in order of time, no two at the same instant unless the second is the first
 * of a new meter.
 */
void counter_spans_of(struct arena *mem, const struct counter *counter,
                      const struct counter_reading *readings, size_t count,
                      struct counter_spans *spans, struct counter_suspects *suspects);

/* Where a span that runs past midnight belongs: the clause says. */
enum counter_belongs { COUNTER_BEGAN, COUNTER_ENDED, COUNTER_MOSTLY };

struct counter_day {
    const struct exact *volume; /* NULL when not known, or no span belongs to the day */
    int64_t covered_us;         /* length of the spans that belong to the day */
    unsigned marks;             /* 1u << enum counter_mark, or-ed over its spans */
    bool shared;                /* a part of it is an even share of several days */
    bool not_shared;            /* a difference over several days, and sharing is not allowed */
};

/*
 * One row for each civil day. `bounds` are the instants at which the days begin, and one more at
 * which the last ends: day_count + 1 of them. They must reach over all spans.
 */
struct counter_day *counter_days_of(struct arena *mem, const struct counter_spans *spans,
                                    const instant *bounds, size_t day_count,
                                    enum counter_belongs belongs, bool may_share);

/*
 * Days of which only the water of all together is known: the difference between two readings that
 * lie more than a day apart, with what else belongs to its days.
 */
struct counter_run {
    size_t first; /* days [first, after) */
    size_t after;
    instant from; /* the difference over several days, from reading to reading */
    instant until;
    const struct exact *volume; /* NULL when a part of it is not known */
};

struct counter_runs {
    struct counter_run *items;
    size_t count;
    size_t capacity;
};

/* The runs of the days, in order, as counter_days_of() would leave them where none is shared. */
struct counter_runs counter_runs_of(struct arena *mem, const struct counter_spans *spans,
                                    const instant *bounds, size_t day_count,
                                    enum counter_belongs belongs);

#endif
