/*
 * Judging a civil month: every limit in force in it, over each of its periods that meets the month
 * (a quarter or a year is judged as a whole, so far), and what became of every interval, from the
 * records as they stand.
 */
#ifndef APP_JUDGE_MONTH_H
#define APP_JUDGE_MONTH_H

#include <signal.h>

#include "app/load_evidence.h"
#include "base/crypto.h"

struct month_verdicts {
    struct verdict *items; /* in the order of the licence's table */
    size_t count;
    size_t capacity;
};

/* What each verdict rests on, beside the verdicts: evidence_digest.h. */
struct month_digests {
    struct digest *items;
    size_t count;
    size_t capacity;
};

struct month_interval {
    const struct interval *interval;
    struct plan_evidence evidence;
    struct due_list dues;
    int required; /* of what came due in the month */
    int done;
    int missed;
};

struct month_intervals {
    struct month_interval *items;
    size_t count;
    size_t capacity;
};

struct judged_month {
    day_number from;
    day_number to;
    struct clause_limits limits; /* that were judged, every form */
    struct loaded_evidence loaded;
    struct month_verdicts verdicts;
    struct month_digests digests;
    struct month_intervals intervals;
    bool partly; /* only some clauses, and no intervals */
};

/* Work it out; stores nothing. `first` is the month's first day. `undone`: load_evidence.h */
MUST_CHECK bool month_judge(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                            day_number first, instant now, const struct acts_undone *undone,
                            struct judged_month *out, struct err *err);

/* The same in a transaction of its own, for looking at a month as the records stand. */
MUST_CHECK bool month_look(struct db *db, struct arena *mem, const struct open_farm *farm,
                           day_number first, instant now, struct judged_month *out,
                           struct err *err);

/* A verdict in full, for the time of the call: it and all of `mem` go with the next clause. */
typedef void (*month_tell)(void *context, struct arena *mem, const struct judged_month *month,
                           const struct verdict *verdict);

/*
 * The same verdicts one by one, so that a month of many clauses takes the memory of one: `out` is
 * left without any. Nothing fails once the first is told.
 */
MUST_CHECK bool month_look_each(struct db *db, struct arena *mem, const struct open_farm *farm,
                                day_number first, instant now, month_tell tell, void *context,
                                struct judged_month *out, struct err *err);

/*
 * The same for the clause of that key alone, which reads its own series and no more. Where no such
 * clause is in force in the month, or an interval has the key, it is the whole month; the verdicts
 * then list every reading only if one of them has the key.
 */
MUST_CHECK bool month_look_at(struct db *db, struct arena *mem, const struct open_farm *farm,
                              day_number first, const char *key, instant now,
                              struct judged_month *out, struct err *err);

/*
 * Work it out and keep it: verdicts and lapses in place of older ones, new findings, and the
 * windows of the month taken away, in one transaction. `opened` counts new findings. `in_full`:
 * the verdicts list every reading; else only those beyond the bound, which takes little memory.
 */
MUST_CHECK bool month_check(struct db *db, struct arena *mem, const struct open_farm *farm,
                            day_number first, instant now, bool in_full, struct judged_month *out,
                            int *opened, struct err *err);

/*
 * Judge every month that has a window waiting, or that a clause reaches back from to one, within
 * months_span() of months_due.h; `months` counts them. Where only the evidence of some clauses changed
 * these alone are judged. Shows nothing: ask month_judge() for one of them. `stop` is looked at
 * between months (NULL: never); what was judged by then is kept.
 */
MUST_CHECK bool months_check_waiting(struct db *db, struct arena *mem, const struct open_farm *farm,
                                     instant now, const volatile sig_atomic_t *stop, int *months,
                                     int *opened, struct err *err);

/* First day of the newest month that holds readings; DAY_NONE when there are none. */
MUST_CHECK bool month_newest(struct db *db, const struct open_farm *farm, day_number *first,
                             struct err *err);

#endif
