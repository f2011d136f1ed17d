/*
 * Correcting: a new value for a stored reading, leaving one out, putting it back; and deciding
 * about rows set aside. The first value always stays in the record. Each is one ledger entry.
 */
#ifndef APP_CORRECT_H
#define APP_CORRECT_H

#include "app/open_farm.h"
#include "store/aside_store.h"
#include "store/reading_store.h"

/* Which stored reading: as much of it as tells it from others. */
struct reading_ref {
    const char *station;
    const char *position; /* NULL: any */
    const char *parameter;
    instant at;
    const char *made_by; /* instrument or laboratory, or NULL */
    const char *sample;  /* or NULL */
};

struct correction_order {
    const char *kind;  /* "value", "left out", "put back" */
    const char *value; /* of "value": as a laboratory writes it, "<0.05" */
    const char *unit;  /* of "value"; NULL: as first stored */
    const char *reason;
    const char *second_person; /* or NULL */
};

/* What was there, for saying what was done. */
struct correction_done {
    const char *before; /* "34 mg/L" */
    const char *after;
};

/*
 * ERR_NOT_FOUND: no such reading. ERR_INVALID: several (the text lists them), or a value or unit
 * that can't be read, or no reason. ERR_DENIED: not allowed.
 */
MUST_CHECK bool reading_correct(struct db *db, struct arena *mem, const struct open_farm *farm,
                                const struct reading_ref *ref, const struct correction_order *order,
                                const struct act *act, struct correction_done *done,
                                struct err *err);

/* A row set aside by its file's name and place; column 0: the only one of its line. */
struct aside_ref {
    const char *file_name;
    const char *sheet; /* of a workbook; NULL: `line` is as it is kept */
    int32_t line;
    int32_t column;
};

struct aside_list {
    struct aside_row *items;
    size_t count;
    size_t capacity;
};

/* Every row that waits at a place: with column 0 all of its line. At least one, or ERR_NOT_FOUND.
 */
MUST_CHECK bool asides_pick(struct db_tx *tx, struct arena *mem, const struct aside_ref *ref,
                            struct aside_list *out, struct err *err);

/* Rows set aside that wait for an answer, newest file first, at most so many. */
MUST_CHECK bool asides_waiting(struct db *db, struct arena *mem, const struct open_farm *farm,
                               size_t most, struct aside_rows *out, struct err *err);

/*
 * Accept a row that contradicts a stored reading: its value becomes a correction of it.
 * ERR_INVALID: the row was set aside for another reason, which accepting does not mend.
 */
MUST_CHECK bool aside_accept(struct db *db, struct arena *mem, const struct open_farm *farm,
                             const struct aside_ref *ref, const char *reason,
                             const char *second_person, const struct act *act,
                             struct correction_done *done, struct err *err);

/* Leave a row set aside out for good; it stays on record with the reason. */
MUST_CHECK bool aside_leave_out(struct db *db, struct arena *mem, const struct open_farm *farm,
                                const struct aside_ref *ref, const char *reason,
                                const char *second_person, const struct act *act,
                                struct correction_done *done, struct err *err);

/*
 * The same for one row inside a transaction, with windows for the time it may have belonged to;
 * the ledger entry is the caller's.
 */
MUST_CHECK bool aside_leave_out_in(struct db_tx *tx, const struct open_farm *farm,
                                   const struct aside_row *row, const struct aside_deed *deed,
                                   struct err *err);

/* ERR_INVALID: no reason is given. */
MUST_CHECK bool correct_reason_given(const char *reason, struct err *err);

/* NULL, or another person who may correct. ERR_DENIED, ERR_INVALID or ERR_NOT_FOUND: it is not. */
MUST_CHECK bool correct_second_allowed(const struct farm *farm, const char *second,
                                       const struct act *act, struct err *err);

#endif
