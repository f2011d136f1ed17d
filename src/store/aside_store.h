/*
 * Aside store: rows set aside, and what a person decided about them.
 */
#ifndef STORE_ASIDE_STORE_H
#define STORE_ASIDE_STORE_H

#include "db/db.h"
#include "ingest/draft.h"

MUST_CHECK bool aside_store_copy(struct db_tx *tx, struct db_copy *copy, struct err *err);
void aside_store_put(struct db_copy *copy, int64_t farm_id, int64_t receipt,
                     const struct problem *problem);

/* Keep what the copies brought; once, at the end. */
MUST_CHECK bool aside_store_settle(struct db_tx *tx, struct err *err);

/* A row set aside as people see it. */
struct aside_row {
    int64_t receipt;
    const char *file_name;
    const char *source;
    int32_t line; /* of a workbook by sheet and row: ingest/place.h */
    int32_t column;
    const char *sheet; /* its name in a workbook, else NULL */
    const char *reason;
    const char *words;
    const char *todo;
    const char *text;
    const char *station;   /* or NULL */
    const char *parameter; /* or NULL */
    instant at;            /* or INSTANT_NONE */
    bool has_value;
    char qualifier;
    struct decimal value;
    const char *unit; /* or NULL */
    const char *sample;
    bool from_probe;
    bool answered;
};

struct aside_rows {
    struct aside_row *items;
    size_t count;
};

/* Not answered, newest file first, at most so many. */
MUST_CHECK bool aside_store_list(struct db_tx *tx, struct arena *mem, size_t most,
                                 struct aside_rows *out, struct err *err);

/* The same of those that were left out. */
MUST_CHECK bool aside_store_left_out(struct db_tx *tx, struct arena *mem, size_t most,
                                     struct aside_rows *out, struct err *err);

struct aside_count {
    const char *file_name;
    const char *reason;
    int64_t rows;
};

struct aside_counts {
    struct aside_count *items;
    size_t count;
};

MUST_CHECK bool aside_store_counts(struct db_tx *tx, struct arena *mem, struct aside_counts *out,
                                   struct err *err);

/* A row of no known time may be so far from what its file has of known time. */
enum { ASIDE_APART_DAYS = 28 };

/*
 * That belong or may belong to first <= at < until: not answered, or `answered_too`. One of no
 * known time may where that had begun when its file came and lies no farther than ASIDE_APART_DAYS
 * from what the file has of known time, if it has any.
 */
MUST_CHECK bool aside_store_between(struct db_tx *tx, struct arena *mem, instant first,
                                    instant until, bool answered_too, struct aside_rows *out,
                                    struct err *err);

/* A row set aside and what a person decided about it. */
struct aside_answer {
    int64_t receipt;
    int32_t line;
    int32_t column;
    const char *reason;
    const char *words;
    const char *text;
    const char *answer; /* "accepted" or "left out" */
    const char *because;
    const char *person;
    instant answered_at;
    const char *second_person; /* who saw it then or later, or NULL */
    const char *station;       /* or NULL */
    const char *parameter;     /* or NULL */
    instant at;                /* or INSTANT_NONE */
    const char *typed;         /* "value 12.5, unit mg/L"; NULL: nothing was */
    const char *file_name;
    const char *sheet; /* of a workbook, or NULL */
};

struct aside_answers {
    struct aside_answer *items;
    size_t count;
};

/* Answered, that belong or may belong to first <= at < until. */
MUST_CHECK bool aside_store_answered(struct db_tx *tx, struct arena *mem, instant first,
                                     instant until, struct aside_answers *out, struct err *err);

/*
 * Answered rows of the newest file of that name that has any, in order of place. Of each: receipt,
 * file name, sheet, place, reason, text, answer, and who answered and saw it.
 */
MUST_CHECK bool aside_store_answered_of(struct db_tx *tx, struct arena *mem, const char *file_name,
                                        struct aside_answers *out, struct err *err);

/* A second person saw what was answered. ERR_CONFLICT: somebody has. */
MUST_CHECK bool aside_store_see(struct db_tx *tx, const struct aside_answer *answer,
                                const char *person, instant at, struct err *err);

/* The same of all rows of a source that one person answered in that instant, and nobody else saw.
 */
MUST_CHECK bool aside_store_see_rule(struct db_tx *tx, const char *source, const char *made_by,
                                     instant made_at, const char *person, instant at, size_t *seen,
                                     struct err *err);

/* How many rows of each file of a source a person accepted in that instant; reasons are NULL. */
MUST_CHECK bool aside_store_of_rule(struct db_tx *tx, struct arena *mem, const char *source,
                                    const char *made_by, instant made_at, struct aside_counts *out,
                                    struct err *err);

/* ERR_NOT_FOUND: no such row. */
MUST_CHECK bool aside_store_one(struct db_tx *tx, struct arena *mem, int64_t receipt, int32_t line,
                                int32_t column, struct aside_row *out, struct err *err);

/* A row in whose place a person typed something, and was accepted so. */
struct aside_typed {
    int64_t receipt;
    int32_t line;
    int32_t column;
    const char *source;
    const char *typed; /* "value 12.5, unit mg/L" */
    const char *text;  /* what the row said */
    const char *person;
    instant typed_at;
};

struct aside_typeds {
    struct aside_typed *items;
    size_t count;
};

/* `what` is "value", "time", "station", "parameter" or "unit". Nothing where it was not accepted.
 */
MUST_CHECK bool aside_store_typed_add(struct db_tx *tx, int64_t receipt, int32_t line,
                                      int32_t column, const char *what, const char *typed,
                                      struct err *err);

/* In order of place. */
MUST_CHECK bool aside_store_typed_list(struct db_tx *tx, struct arena *mem,
                                       struct aside_typeds *out, struct err *err);

/* A place in a file; lists of them are sorted. */
struct aside_place {
    int32_t line;
    int32_t column;
};

struct aside_places {
    struct aside_place *items;
    size_t count;
};

/* Where a receipt's rows wait. */
MUST_CHECK bool aside_store_open_places(struct db_tx *tx, struct arena *mem, int64_t receipt,
                                        struct aside_places *out, struct err *err);

/* Who answers rows set aside, when and why. */
struct aside_deed {
    const char *reason;
    const char *person;
    const char *second_person; /* or NULL */
    instant at;
};

/* Answer those that the staging table now holds as new or known; `by_column` for wide files. */
MUST_CHECK bool aside_store_accept_staged(struct db_tx *tx, int64_t receipt, bool by_column,
                                          const struct aside_deed *deed, size_t *accepted,
                                          struct err *err);

/* Leave out rows of one receipt at once, one or more. ERR_CONFLICT: one of them has an answer. */
MUST_CHECK bool aside_store_leave_out_many(struct db_tx *tx, struct arena *mem,
                                           const struct aside_rows *rows,
                                           const struct aside_deed *deed, struct err *err);

/* Rows of one receipt, one or more, that were left out wait again; there is no second person.
 * ERR_CONFLICT: one of them was put back meanwhile. */
MUST_CHECK bool aside_store_put_back_many(struct db_tx *tx, struct arena *mem,
                                          const struct aside_rows *rows,
                                          const struct aside_deed *deed, struct err *err);

/* `answer`: "accepted" or "left out". ERR_CONFLICT: it has an answer. */
MUST_CHECK bool aside_store_answer(struct db_tx *tx, const struct aside_row *row,
                                   const char *answer, const struct aside_deed *deed,
                                   struct err *err);

#endif
