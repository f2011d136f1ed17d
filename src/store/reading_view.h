/*
 * Reading view: readings as they stand, for judging: what was stored first and what corrections
 * made of it.
 *
 * A month may hold hundreds of thousands. The server gives them as they lie, which takes a quarter
 * of the time that it needs to put them in order; here they are kept by series, where nearly all
 * are in order of time already.
 */
#ifndef STORE_READING_VIEW_H
#define STORE_READING_VIEW_H

#include "base/decimal.h"
#include "db/db.h"

/* A reading as it stands, with corrections applied. Texts live until the callback returns. */
struct reading_view {
    int64_t series_id;
    instant at;
    instant until;
    int64_t portion;
    char qualifier;
    struct decimal reported;
    const char *unit;
    int unit_length;
    bool in_doubt;
    bool left_out;
    bool corrected;
    const char *reason; /* of the correction or leave-out, or NULL */
    int reason_length;
    /* Where it is corrected: of the newest value, with who saw it beside (or NULL). */
    const char *value_reason;
    const char *value_person;
    const char *value_second;
    instant value_made_at;
    int64_t receipt;
    int32_t line;
    int32_t column;
    /* As first stored, before any correction. */
    char first_qualifier;
    struct decimal first_reported;
    const char *first_unit;
    int first_unit_length;
    size_t of_series; /* how many readings of its series there are in all */
};

typedef bool (*reading_view_each)(void *context, const struct reading_view *reading,
                                  struct err *err);

/*
 * Readings of `series` ("{1,2,3}") with first <= at < until: by series, in each by `at`, `until`
 * and portion. In brief they come without their receipt, line and column (0), which is sooner.
 */
MUST_CHECK bool reading_view_list(struct db_tx *tx, const char *series, instant first,
                                  instant until, bool in_brief, reading_view_each each,
                                  void *context, struct err *err);

#endif
