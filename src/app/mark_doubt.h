/*
 * Doubt set by a person: a probe that drifted, a bottle whose way to the laboratory is not on
 * record. Readings so marked can stop a verdict and never clear one, until the mark is lifted;
 * both stay on record, and every verdict they touch is worked out again.
 */
#ifndef APP_MARK_DOUBT_H
#define APP_MARK_DOUBT_H

#include "app/open_farm.h"
#include "store/doubt_store.h"

/* What is in doubt: readings of a station and parameter in a span, or a sample. */
struct doubt_order {
    const char *kind; /* one of doubt_kinds */
    const char *because;
    const char *sample; /* NULL: readings */
    const char *station;
    const char *position; /* NULL: any */
    const char *parameter;
    const char *made_by; /* NULL: of every instrument and laboratory */
    instant from;        /* both ends are in it */
    instant until;
};

struct doubt_numbers {
    int *items; /* one mark for each series, in the order of series */
    size_t count;
    size_t capacity;
};

/*
 * ERR_INVALID: no reason, no such kind, or a span that ends before it begins. ERR_NOT_FOUND: no
 * such sample, or no series of that station and parameter.
 */
MUST_CHECK bool doubt_set(struct db *db, struct arena *mem, const struct open_farm *farm,
                          const struct doubt_order *order, const struct act *act,
                          struct doubt_numbers *out, struct err *err);

/* ERR_NOT_FOUND: no mark of that number. ERR_CONFLICT: it is lifted already. */
MUST_CHECK bool doubt_lift(struct db *db, struct arena *mem, const struct open_farm *farm, int mark,
                           const char *because, const struct act *act, struct doubt_view *out,
                           struct err *err);

/* All marks, newest first. */
MUST_CHECK bool doubt_list(struct db *db, struct arena *mem, const struct open_farm *farm,
                           struct doubt_views *out, struct err *err);

#endif
