/*
 * Answers to a visit that found a probe off, or that came too late: what becomes of the readings it
 * puts in doubt. A correction prorated in time is only proposed; a person accepts it, with what it
 * does to figures and verdicts before his eyes, or says why not.
 */
#ifndef APP_PROBE_ANSWERS_H
#define APP_PROBE_ANSWERS_H

#include "app/probe_book.h"

enum { OFFER_MONTHS_MOST = 24 };

/* A verdict that accepting would change. */
struct offer_change {
    day_number month;
    const char *limit; /* its key */
    const char *before;
    const char *after;
};

/* A reading as it would be; of those in question the first, some between and the last. */
struct offer_reading {
    const char *station;
    const char *position; /* or NULL */
    instant at;
    const char *before; /* "7.41 mg/L" */
    const char *after;  /* or why not */
};

/* What there is to answer of one check. */
struct probe_offer {
    struct probe_book book;
    const struct probe_track *track;
    const struct probe_visit_row *visit;
    const struct probe_check_row *check;
    struct probe_proposal proposal;
    bool waits;       /* something of it is in doubt and not settled */
    size_t corrected; /* readings that limits look at and that it would change */
    struct offer_reading *readings;
    size_t reading_count;
    struct offer_change *changes;
    size_t change_count;
    bool
        months_cut; /* it reaches over more than OFFER_MONTHS_MOST, of which the last were judged */
};

/*
 * Judge the months of the span as they stand and with the correction accepted; nothing is stored.
 * ERR_NOT_FOUND: no such visit, or the parameter was not read at it. ERR_CONFLICT: withdrawn.
 */
MUST_CHECK bool probe_offer_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                                 int visit, const char *parameter, instant now,
                                 struct probe_offer *out, struct err *err);

struct probe_answer_order {
    int visit;
    const char *parameter;
    const char *answer; /* one of probe_answer_words */
    const char *because;
    const char *second_person; /* or NULL */
};

/*
 * One ledger entry; the readings' windows are put to be judged again. The same answer again with a
 * second person is how he agrees later. ERR_INVALID: there is no such proposal, figures must not
 * rest on it by the farm file, nothing waits, or no reason. ERR_CONFLICT: it is answered so.
 */
MUST_CHECK bool probe_answer_give(struct db *db, struct arena *mem, const struct open_farm *farm,
                                  const struct probe_answer_order *order, const struct act *act,
                                  struct probe_answer_row *out, struct err *err);

#endif
