/*
 * Verdict store: what was worked out (verdicts, their days, what became of intervals), the
 * windows that wait to be judged, findings, and reports made.
 */
#ifndef STORE_VERDICT_STORE_H
#define STORE_VERDICT_STORE_H

#include "base/crypto.h"
#include "db/db.h"
#include "judge/verdict.h"
#include "plan/interval.h"

/* A window of evidence that changed. series_id 0: everything. */
struct window_row {
    const char *ticket; /* drawn by the database */
    int64_t series_id;
    const char *station;
    const char *parameter;
    day_number first_day;
    day_number last_day;
};

struct window_rows {
    struct window_row *items;
    size_t count;
};

MUST_CHECK bool window_store_add(struct db_tx *tx, const struct window_row *window,
                                 struct err *err);
MUST_CHECK bool window_store_list(struct db_tx *tx, struct arena *mem, struct window_rows *out,
                                  struct err *err);

/* `tickets`: "{a,b,c}" as listed. */
MUST_CHECK bool window_store_remove(struct db_tx *tx, const char *tickets, struct err *err);

/* How many windows touch a span of days: while any does, views say `being worked out`. */
MUST_CHECK bool window_store_touching(struct db_tx *tx, day_number first, day_number last,
                                      int64_t *count, struct err *err);

struct day_list {
    day_number *items;
    size_t count;
    size_t capacity;
};

/*
 * First days of the verdicts whose windows a changed span of days touches, added to `out`; also of
 * those with a window that lacked samples and ends after it.
 */
MUST_CHECK bool verdict_store_windows_touching(struct db_tx *tx, struct arena *mem,
                                               const char *clause, day_number first,
                                               day_number last, struct day_list *out,
                                               struct err *err);

struct verdict_row {
    const char *clause;
    day_number from;
    day_number to;
    int version;
    const char *standing;
    const char *side; /* or NULL */
    bool so_far;
    bool near_bound;
    const char *compared; /* or NULL */
    const char *bound;
    const char *unit;
    int samples;
    int beyond;
    int set_aside;
    const char *reason; /* or NULL */
    const char *words;
    instant judged_at;
};

struct verdict_rows {
    struct verdict_row *items;
    size_t count;
};

MUST_CHECK bool verdict_store_list(struct db_tx *tx, struct arena *mem, day_number from,
                                   day_number to, struct verdict_rows *out, struct err *err);

/* How much of a clause lay beyond its bound on a day, as it was last judged. */
MUST_CHECK bool verdict_store_beyond_on(struct db_tx *tx, const char *clause, day_number day,
                                        int64_t *beyond, struct err *err);

/* Whether a clause's last window that ended before a day was outside, as it was last judged. */
MUST_CHECK bool verdict_store_window_before(struct db_tx *tx, const char *clause, day_number day,
                                            bool *outside, struct err *err);

/* What became of an interval, in place of what was due in from..to before. */
MUST_CHECK bool lapse_store_put(struct db_tx *tx, const struct interval *interval,
                                const struct due_list *dues, day_number from, day_number to,
                                instant judged_at, struct err *err);

struct finding_row {
    int64_t finding;
    const char *kind; /* "limit", "interval", "discharge" */
    const char *subject;
    const char *station;
    day_number from;
    instant aware_at;
    const char *words;
    const char *step; /* newest: "open", "in hand", "settled", "worked out again" */
    const char *step_words;
};

struct finding_rows {
    struct finding_row *items;
    size_t count;
};

/* The number that kind, subject, station and first day always give. */
int64_t finding_id_of(const struct finding_row *finding);

/*
 * Add it with its first step. One that is there and was worked out again since is opened again.
 * *added is false when it was there and stays as it is.
 */
MUST_CHECK bool finding_store_add(struct db_tx *tx, const struct finding_row *finding, bool *added,
                                  struct err *err);

/*
 * The findings without those that are there already and stay as they are, in one statement;
 * each with its number. In mem.
 */
MUST_CHECK bool finding_store_new(struct db_tx *tx, struct arena *mem,
                                  const struct finding_rows *findings, struct finding_rows *out,
                                  struct err *err);

MUST_CHECK bool finding_store_step(struct db_tx *tx, int64_t finding, const char *step,
                                   const char *words, const char *person, instant at,
                                   struct err *err);
MUST_CHECK bool finding_store_list(struct db_tx *tx, struct arena *mem, day_number from,
                                   day_number to, struct finding_rows *out, struct err *err);

/* Those that nobody settled, newest first. */
MUST_CHECK bool finding_store_waiting(struct db_tx *tx, struct arena *mem, struct finding_rows *out,
                                      struct err *err);

struct report_row {
    int64_t report;
    const char *name;
    const char *licence;
    day_number from;
    day_number to;
    const char *standing; /* "draft" */
    const char *file_name;
    struct digest sha256;
    const char *figures; /* JSON */
    const char *program;
    instant made_at;
    const char *person;
};

MUST_CHECK bool report_store_add(struct db_tx *tx, const struct report_row *report,
                                 struct err *err);

#endif
