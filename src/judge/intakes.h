/*
 * Intakes: what a reading of the discharge may be held against where the pairing is by time: the
 * nearest reading of the place compared with, in the judged days or beside them.
 *
 * Without what is in doubt it is the nearest sound one. One in doubt, or a row set aside, that may
 * lie as near takes its place where that brings the pair farthest to the side of the pass; so each
 * is tried, whichever else was so. A row without a readable number leaves the pair open.
 */
#ifndef JUDGE_INTAKES_H
#define JUDGE_INTAKES_H

#include "judge/pass.h"

/* One in doubt. */
struct intake {
    instant at; /* INSTANT_NONE: not known, so that it may be as near as any */
    bool known; /* false: tried only, as its unit or number can't be read */
    struct figure figure;
};

struct intake_list {
    struct intake *items;
    size_t count;
    size_t capacity;
};

struct intakes {
    struct figure_list sound;    /* in order of time */
    struct intake_list in_doubt; /* the same, those of no known time first */
    bool known_beside;           /* some that can be read lie beside the judged days ... */
    bool tried_beside;           /* ... and some that can't */
};

/*
 * Set judgement->intakes; it stays NULL where pairs go by days or periods. After the readings and
 * rows are gathered and in order.
 */
void intakes_find(struct judgement *judgement);

/*
 * The nearest of figures in order of time, also of days; of two as near the earlier, of one instant
 * the first. NULL: there is none within reach.
 */
const struct figure *intakes_nearest(const struct figure_list *list, instant at, int64_t within_us);

/* How much earlier than the discharge its water was taken in. */
int64_t intakes_residence_us(const struct limit *limit);

/* What a figure is held against in a pass; NULL: nothing is near enough. */
const struct figure *intakes_partner(const struct judgement *judgement, enum pass pass,
                                     const struct figure *discharge);

/* The worst that it may be, held against any that may be its partner. */
enum fit intakes_fit(const struct judgement *judgement, const struct figure *discharge);

#endif
