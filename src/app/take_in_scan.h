/*
 * First reading of a file: what is in it, with nothing stored.
 */
#ifndef APP_TAKE_IN_SCAN_H
#define APP_TAKE_IN_SCAN_H

#include "app/bytes_file.h"

struct scan_series {
    struct draft_series series; /* texts in the scan's arena */
    int64_t series_id;
};

struct scan_series_list {
    struct scan_series *items;
    size_t count;
    size_t capacity;
};

/* Months (UTC) that hold drafts, as a bit each from January 1950 on. */
enum { SCAN_FIRST_YEAR = 1950, SCAN_MONTHS = 12 * 200 };

struct scan {
    struct arena *mem;
    struct scan_series_list series;
    struct ingest_counts counts;
    unsigned char months[SCAN_MONTHS];
    instant month_from; /* of the draft before, so that most drafts cost one comparison */
    instant month_until;
    instant aside_first; /* span of rows set aside whose time is known */
    instant aside_last;
    bool aside_anywhere; /* one whose time is not known */
};

MUST_CHECK bool scan_read(struct scan *scan, struct arena *mem, const struct source *source,
                          const struct ingest_world *world, struct bytes_file *file,
                          struct err *err);

/* "{1,2,3}": the numbers of its series. */
char *scan_series_text(struct arena *mem, const struct scan *scan);

/* Make the partitions that its months need, in a transaction of its own. */
MUST_CHECK bool scan_partitions(struct db *db, const struct scan *scan, int64_t farm_id,
                                struct err *err);

#endif
