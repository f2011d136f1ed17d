/*
 * Flag store: what sensor tests say of stored readings, as spans. Worked out: what is there is
 * taken away and put anew whenever readings or thresholds change.
 */
#ifndef STORE_FLAG_STORE_H
#define STORE_FLAG_STORE_H

#include "db/db.h"
#include "trust/flag_spans.h"

/*
 * Until the end of the transaction no other works flags out: it would not see this one's readings.
 * Before what is stored is read for it.
 */
MUST_CHECK bool flag_store_lock(struct db_tx *tx, struct err *err);

/*
 * Take away the spans of a series whose `until` lies in first <= t < until: *out, in order of test
 * and time, without their values.
 */
MUST_CHECK bool flag_store_clear(struct db_tx *tx, struct arena *mem, int64_t series_id,
                                 instant first, instant until, struct flag_spans *out,
                                 struct err *err);

/* `words`: of each test what makes a reading suspect, and what makes it fail. */
MUST_CHECK bool flag_store_add(struct db_tx *tx, int64_t series_id, const struct flag_spans *spans,
                               const char *const (*words)[2], struct err *err);

/* A span that puts readings in doubt. */
struct flag_mark {
    int64_t series_id;
    instant from;
    instant until;
    const char *test;
    enum trust_flag flag;
    const char *words;
};

struct flag_marks {
    struct flag_mark *items;
    size_t count;
};

/* Those that meet first <= t < until, in order of series and time; gaps are none of them. */
MUST_CHECK bool flag_store_meeting(struct db_tx *tx, struct arena *mem, instant first,
                                   instant until, struct flag_marks *out, struct err *err);

/* A span as people see it. */
struct flag_view {
    int64_t series_id;
    const char *station;
    const char *position; /* "" none */
    const char *parameter;
    const char *made_by; /* "" not told */
    struct flag_span span;
    const char *words;
};

struct flag_views {
    struct flag_view *items;
    size_t count;
    size_t capacity;
};

/*
 * Those that meet first <= t < until, of a station and parameter or with NULL of all: by series,
 * in each by test and time; spans that go on over midnight are one.
 */
MUST_CHECK bool flag_store_list(struct db_tx *tx, struct arena *mem, const char *station,
                                const char *parameter, instant first, instant until,
                                struct flag_views *out, struct err *err);

/* Values of a series for tests, one after the other; NaN for one that counts as missing. */
typedef bool (*flag_each_value)(void *context, instant at, double value, struct err *err);

/* Those with first <= at < until that belong to no sample, in order of time, as they stand. */
MUST_CHECK bool flag_store_values(struct db_tx *tx, int64_t series_id, instant first, instant until,
                                  flag_each_value each, void *context, struct err *err);

#endif
