/*
 * Sniff time: how the times of an unknown file are written, and in which order day and month stand.
 *
 * An order is decided by evidence alone: a part over 12, or rows so evenly apart that only one
 * order lets one day follow the other. Else both are told, for a person to choose.
 */
#ifndef INGEST_SNIFF_TIME_H
#define INGEST_SNIFF_TIME_H

#include "base/err.h"
#include "ingest/time_format.h"

enum { SNIFF_FORMATS_MOST = 6, SNIFF_STAMPS_MOST = 4000 };

/* A time as it stands in the file. */
struct sniff_stamp {
    const char *text;
    int32_t line;
    bool follows; /* it is the next row's, with none left out between */
};

struct sniff_stamps {
    struct sniff_stamp *items;
    size_t count;
    size_t capacity;
};

enum sniff_order { ORDER_PLAIN, ORDER_DAY_FIRST, ORDER_MONTH_FIRST, ORDER_YEAR_FIRST };

/* How far apart rows are that follow each other at different times. */
struct sniff_pace {
    int64_t step_s; /* the one most have, 0: fewer than half have one */
    size_t steady;  /* pairs of rows with it */
    size_t pairs;
    size_t turns; /* of them: into another day */
    size_t turns_steady;
    size_t jumps; /* of the pairs: more than a week apart */
    bool newest_first;
};

struct sniff_format {
    const char *text; /* as the source says it */
    struct time_format format;
    enum sniff_order order;
    size_t read;
    struct sniff_pace pace;
};

struct sniff_formats {
    struct sniff_format items[SNIFF_FORMATS_MOST]; /* those that read the most, one an order */
    size_t count;
    size_t of;            /* stamps that were tried */
    bool is_decided;      /* the first one is it */
    const char *evidence; /* of the order of day and month, NULL: there is no other */
};

/* None where no format that a source can tell reads most of them. */
struct sniff_formats sniff_time_formats(struct arena *mem, const struct sniff_stamps *stamps);

/* The same of times of day alone ("hh:mm"), or NULL. */
const char *sniff_hour_format(struct arena *mem, const struct sniff_stamps *stamps);

/* Of stamps that the format reads. */
struct sniff_pace sniff_time_pace(const struct sniff_stamps *stamps,
                                  const struct time_format *format);

/* "15 minutes", "1 day". */
const char *sniff_step_text(struct arena *mem, int64_t step_s);

#endif
