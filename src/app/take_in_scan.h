/*
 * First reading of a file: what is in it, with nothing stored.
 */
#ifndef APP_TAKE_IN_SCAN_H
#define APP_TAKE_IN_SCAN_H

#include "app/bytes_file.h"

/* Bytes that can be read again from their start. */
struct byte_source {
    struct ingest_bytes bytes;
    void (*rewind)(void *context); /* with the context of `bytes` */
};

struct scan_series {
    struct draft_series series; /* texts in the scan's arena */
    int64_t series_id;
};

struct scan_series_list {
    struct scan_series *items;
    size_t count;
    size_t capacity;
};

/* Months (UTC), one mark each from January 1950 on. */
enum { SCAN_FIRST_YEAR = 1950, SCAN_MONTHS = 12 * 200 };

struct scan_months {
    unsigned char held[SCAN_MONTHS];
};

struct scan {
    struct arena *mem;
    struct scan_series_list series;
    struct ingest_counts counts;
    struct scan_months months; /* that hold drafts */
    instant month_from;        /* of the draft before, so that most drafts cost one comparison */
    instant month_until;
    instant aside_first; /* span of rows set aside whose time is known */
    instant aside_last;
    struct scan_months aside_months;
    bool aside_anywhere; /* one whose time is not known */
};

MUST_CHECK bool scan_read(struct scan *scan, struct arena *mem, const struct source *source,
                          const struct ingest_world *world, const struct byte_source *from,
                          struct err *err);

/* "{1,2,3}": the numbers of its series. */
char *scan_series_text(struct arena *mem, const struct scan *scan);

/*
 * The next unbroken run of marked months that meets first..last, cut to it: *first and *last.
 * `month` is where to look from, 0 at the start. False when there is none.
 *
 * Readings of a clock that was never set lie decades from the others: what is done for each month
 * in between would be done for nothing.
 */
bool scan_run(const struct scan_months *months, int *month, instant *first, instant *last);

/* Make the partitions that its months need, in a transaction of its own. */
MUST_CHECK bool scan_partitions(struct db *db, const struct scan *scan, int64_t farm_id,
                                struct err *err);

#endif
