/*
 * Visits to probes and field meters: written down in one go, listed, and withdrawn where they were
 * wrong. Each is one ledger entry; what they put in doubt is worked out again (probe_book.h), and a
 * check that failed is a finding.
 */
#ifndef APP_PROBE_VISITS_H
#define APP_PROBE_VISITS_H

#include "app/probe_book.h"

/* What became of a visit that was written down. */
struct visit_done {
    struct probe_visit_row row;
    int opened; /* findings */
};

/*
 * ERR_DENIED: the person may not calibrate, or is not one of those who may use it. ERR_INVALID: a
 * time to come, a standard that had expired, a unit of something else, a field meter that had no
 * good check itself, or a parameter that is not checked of the instrument. ERR_CONFLICT: a later
 * visit is on record. ERR_NOT_FOUND: no such instrument.
 */
MUST_CHECK bool visit_record(struct db *db, struct arena *mem, const struct open_farm *farm,
                             const struct visit_order *order, const struct act *act,
                             struct visit_done *out, struct err *err);

/*
 * It stays on record, and nothing rests on it any more. Where another person may correct, one has
 * to be named (ERR_DENIED), for what the visit put in doubt may clear something. Of a visit that
 * one person withdrew alone a second one, named, agrees so later. ERR_CONFLICT: a later visit to
 * the same instrument stands, or it is withdrawn already.
 */
MUST_CHECK bool visit_withdraw(struct db *db, struct arena *mem, const struct open_farm *farm,
                               int visit, const char *because, const char *second_person,
                               const struct act *act, struct err *err);

/* Everything on record of the farm's instruments. */
MUST_CHECK bool visits_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                            struct probe_book *out, struct err *err);

/* The same, and the series of probes and by hand that no instrument on record read. */
MUST_CHECK bool instruments_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                                 struct probe_book *out, struct series_rows *strangers,
                                 struct err *err);

/* Windows for every series that the instrument may have read, from..until, of one parameter. */
MUST_CHECK bool probe_windows_put(struct db_tx *tx, struct arena *mem,
                                  const struct probe_book *book, const struct probe_track *track,
                                  instant from, instant until, struct err *err);

#endif
