/*
 * Partner: another reading that one is held against: the pH of a formula, the flow while a sample
 * was taken, the level of a condition.
 *
 * A reading of a span is as far from another as their nearest instants are; spans that meet are 0
 * apart. Readings that a person left out, check samples and the authority's own are no partners.
 * Which one is found doesn't depend on the order of rows: of two as near the earlier, of one
 * instant the one with the lower value.
 */
#ifndef JUDGE_PARTNER_H
#define JUDGE_PARTNER_H

#include "judge/converter.h"
#include "judge/evidence.h"
#include "judge/limit.h"
#include "judge/stand_in.h"

struct partner {
    int series;          /* index into evidence.series */
    size_t reading;      /* index into that series */
    instant at;          /* it began */
    bool has_value;      /* false: not detected, or a unit that does not convert */
    char qualifier;      /* enum qualifier */
    struct amount value; /* exact, in the source's unit; X of `<X` and `>X` */
    const char *doubt;   /* why it is in doubt, or NULL */
};

/* The series that may hold partners, looked up once and asked many times. */
struct partner_source {
    const struct evidence *evidence;
    struct converter converter;
    size_t *series;            /* indexes into evidence.series */
    size_t count;              /* 0: the farm has no such readings */
    int64_t longest_us;        /* span of a reading among them */
    struct stand_in_list rows; /* rows set aside that may be one */
};

/* Series of a place (position NULL: any) and parameter, of whatever kind, method and maker. */
struct partner_source partner_source_of(struct arena *mem, const struct evidence *evidence,
                                        const struct limit_place *place, const char *parameter,
                                        const char *unit);

/*
 * The reading nearest to from..until (equal for an instant), at most `within_s` from it. A sound
 * one before one in doubt, however near; without `with_doubt` only sound ones. False: none.
 */
bool partner_nearest(struct arena *mem, struct partner_source *source, instant from, instant until,
                     int within_s, bool with_doubt, struct partner *out);

/*
 * The newest reading that began at `at` or before and did not end more than `within_s` before it,
 * in doubt or not; of one instant one in doubt first, as it can't be passed over. False: none.
 */
bool partner_newest(struct arena *mem, struct partner_source *source, instant at, int within_s,
                    struct partner *out);

/*
 * Rows set aside that may lie as near to from..until as `best`, or within reach where that is NULL:
 * those of no known time, rows.items[0, timeless), and [first, after).
 */
struct partner_rows {
    size_t timeless;
    size_t first;
    size_t after;
};

/* The first of them that is not before `index`; `after` when there is no more. */
size_t partner_row_from(const struct partner_rows *rows, size_t index);

/* That may be nearer than `best` as partner_nearest() found it, or as near. */
struct partner_rows partner_nearer_rows(const struct partner_source *source, instant from,
                                        instant until, int within_s, const struct partner *best);

/* That may be newer than `best` as partner_newest() found it, or of its instant. */
struct partner_rows partner_newer_rows(const struct partner_source *source, instant at,
                                       int within_s, const struct partner *best);

/* "30 min", "1 h 30 min": how far apart is near enough, for people. */
char *partner_apart_words(struct arena *mem, int seconds);

#endif
