/*
 * First reading of a file: what is in it, with nothing stored.
 */
#ifndef APP_TAKE_IN_SCAN_H
#define APP_TAKE_IN_SCAN_H

#include "app/bytes_file.h"
#include "app/file_samples.h"
#include "store/aside_store.h"

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

struct scan_sheets {
    struct ingest_sheet *items;
    size_t count;
    size_t capacity;
};

/* Months (UTC), one mark each from January 1950 on. */
enum { SCAN_FIRST_YEAR = 1950, SCAN_MONTHS = 12 * 200 };

struct scan_months {
    unsigned char held[SCAN_MONTHS];
};

/* Of a file read again: only the rows that wait there. */
struct wanted_rows {
    const struct aside_places *places; /* NULL: all rows */
    bool by_column;                    /* and only that column: of a wide file */
};

struct scan {
    struct arena *mem;
    struct wanted_rows wanted;
    struct file_samples samples; /* of the wanted rows */
    struct scan_series_list series;
    struct scan_sheets sheets; /* of a workbook */
    struct ingest_counts counts;
    struct scan_months months; /* that hold drafts */
    instant month_from;        /* of the draft before, so that most drafts cost one comparison */
    instant month_until;
    instant aside_first; /* span of rows set aside whose time is known */
    instant aside_last;
    struct scan_months aside_months;
    bool aside_anywhere; /* one whose time is not known */
    const char *wanted_trouble; /* of wanted rows: why one still can't be read; NULL none */
};

MUST_CHECK bool scan_read(struct scan *scan, struct arena *mem, const struct source *source,
                          const struct ingest_world *world, const struct byte_source *from,
                          struct wanted_rows wanted, struct err *err);

/* The row or cell that waits there; NULL when none does. */
const struct aside_place *wanted_place(const struct wanted_rows *wanted, int32_t line,
                                       int32_t column);

/* Whether the rows of a draft are wanted at all. */
bool wanted_draft(const struct wanted_rows *wanted, const struct draft *draft);

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
