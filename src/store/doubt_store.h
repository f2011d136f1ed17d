/*
 * Doubt store: marks that say why stored readings or samples are in doubt, and what lifted them.
 * Both are only added.
 */
#ifndef STORE_DOUBT_STORE_H
#define STORE_DOUBT_STORE_H

#include "db/db.h"

/* What kinds of doubt there are: "sensor test", "drift", "custody"; NULL ends them. */
extern const char *const doubt_kinds[];

/* Readings of a series in a span, both ends in it; or those of a sample. */
struct doubt_row {
    int64_t series_id;  /* 0: of a sample */
    instant from;       /* INSTANT_NONE for a sample */
    instant until;      /* INSTANT_NONE for a sample */
    const char *sample; /* NULL: of a series */
    const char *kind;
    const char *words;
    const char *person; /* NULL: a source did */
    const char *source; /* NULL: a person did */
    instant set_at;
};

/* `mark` is its number within the farm. ERR_CONFLICT: another was set at the same time. */
MUST_CHECK bool doubt_store_add(struct db_tx *tx, const struct doubt_row *row, int *mark,
                                struct err *err);

/* ERR_CONFLICT: it is lifted already. ERR_INVALID: there is none of that number. */
MUST_CHECK bool doubt_store_lift(struct db_tx *tx, int mark, const char *reason, const char *person,
                                 instant at, struct err *err);

/* A mark that holds, as judging needs it. */
struct doubt_mark {
    int64_t series_id; /* 0: of a sample */
    instant from;
    instant until;
    const char *sample; /* NULL: of a series */
    const char *kind;
    const char *words;
};

struct doubt_marks {
    struct doubt_mark *items;
    size_t count;
};

/* Those not lifted that meet first <= t < until, or whose sample was taken in it, oldest first. */
MUST_CHECK bool doubt_store_meeting(struct db_tx *tx, struct arena *mem, instant first,
                                    instant until, struct doubt_marks *out, struct err *err);

/* A mark as people see it. */
struct doubt_view {
    int mark;
    int64_t series_id;     /* 0: of a sample */
    const char *station;   /* of the sample too */
    const char *position;  /* NULL: none, or of a sample */
    const char *parameter; /* NULL for a sample */
    const char *made_by;   /* or NULL */
    const char *sample;    /* or NULL */
    instant from;          /* of a sample: when it was taken */
    instant until;
    const char *kind;
    const char *words;
    const char *by; /* person or source */
    instant set_at;
    const char *lifted_because; /* NULL: it holds */
    const char *lifted_by;
    instant lifted_at;
};

struct doubt_views {
    struct doubt_view *items;
    size_t count;
};

/* All of the farm, newest first. */
MUST_CHECK bool doubt_store_list(struct db_tx *tx, struct arena *mem, struct doubt_views *out,
                                 struct err *err);

/* When a sample was taken. ERR_NOT_FOUND: there is none of that number. */
MUST_CHECK bool doubt_store_sample(struct db_tx *tx, const char *sample, instant *from,
                                   instant *until, struct err *err);

#endif
