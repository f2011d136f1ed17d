/*
 * Sensing: the sensor tests of the farm file over the readings of a series, and what they say put
 * into the store. Tests flag and change nothing: what is suspect or fails is in doubt
 * (doubt_meeting.h), until the readings or the thresholds change.
 *
 * Readings that come in from a file are tested as they pass, with the stored ones before and after
 * them; where that can't be, what is stored is read once more. All in the caller's transaction.
 */
#ifndef APP_SENSING_H
#define APP_SENSING_H

#include "farmfile/farm.h"
#include "store/flag_store.h"
#include "store/series_store.h"
#include "trust/flag_spans.h"

/* A series and its tests. */
struct sensed {
    int64_t series_id;
    const char *station;
    const char *parameter;
    const struct farm_sensor_test *test; /* NULL: none */
};

struct sensed sensed_of(const struct farm *farm, const struct series_row *row);

/* A series while its readings pass. */
struct sensing {
    struct sensed of;
    struct sensor_tester tester;
    struct flag_collector collector;
    instant last;  /* reading that came last; INSTANT_NONE: none yet */
    instant until; /* flags from here on are not kept */
    int64_t acts;  /* of the farm, when it began: another's may have changed what was read */
    bool given_up; /* not in order of time, or too much to keep: read what is stored again */
};

/* Before readings of a file that are all at or after `first`, where none stored lie among them. */
MUST_CHECK bool sensing_begin(struct sensing *sensing, struct db_tx *tx, struct arena *mem,
                              const struct sensed *of, instant first, struct err *err);

/* The next reading of the file; NaN where it is no plain number. */
void sensing_add(struct sensing *sensing, instant at, double value);

/* After them, the first and the last of the series: what tests say is stored. */
MUST_CHECK bool sensing_end(struct sensing *sensing, struct db_tx *tx, const struct farm *farm,
                            instant first, instant last, struct err *err);

/* Test what is stored of a series again, where readings of first..last came or changed. */
MUST_CHECK bool sensing_again(struct db_tx *tx, const struct farm *farm, const struct sensed *of,
                              instant first, instant last, struct err *err);

/* The same of one reading, by its series' number. */
MUST_CHECK bool sensing_again_at(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                                 int64_t series_id, instant at, struct err *err);

/* All that is stored of the series whose tests are not the same in both; `before` may be NULL. */
MUST_CHECK bool sensing_changed(struct db_tx *tx, struct arena *mem, const struct farm *before,
                                const struct farm *now, struct err *err);

#endif
