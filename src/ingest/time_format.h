/*
 * Time format: reading the times of a file as its source says they are written, and finding the
 * instants they mean.
 *
 * A format is made of
 *
 *     YYYY  YY        year; YY is 1980 to 2079
 *     MM M  MMM       month as a number, or its English name cut to three letters
 *     DD D            day
 *     hh h  mm  ss    time of day; ss takes a fraction where the file has one
 *     AM/PM           the hours are 1 to 12
 *     +hh:mm          the file's own offset: +13:00, -0400, +02 or Z
 *     Excel 1900      alone: a spreadsheet's date number, days since 1899-12-31, the 29 February
 *                     1900 that never was counted (base/sheet.h)
 *     Excel 1904      alone: the same, days since 1904-01-01
 *     seconds of 1970, milliseconds of 1970
 *                     alone: the time since 1970-01-01T00:00:00Z, which is UTC whatever the clock
 *
 * and of any other text, which must stand in the file as it is (letters in either case, a blank
 * for one or more). DD, MM and hh take one digit as well where no digits stand beside them. Letters
 * that look like a token and are none ("YYY", "min") are refused.
 *
 * 24:00 is the midnight at the end of its day.
 */
#ifndef INGEST_TIME_FORMAT_H
#define INGEST_TIME_FORMAT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/err.h"
#include "base/instant.h"
#include "base/zone.h"

enum { TIME_FORMAT_PARTS_MOST = 24 };

enum time_part_kind {
    TIME_LITERAL,
    TIME_BLANK,
    TIME_YEAR,
    TIME_YEAR_SHORT,
    TIME_MONTH,
    TIME_MONTH_NAME,
    TIME_DAY,
    TIME_HOUR,
    TIME_MINUTE,
    TIME_SECOND,
    TIME_HALF, /* AM or PM */
    TIME_OFFSET,
    TIME_SERIAL_1900,
    TIME_SERIAL_1904,
    TIME_SECONDS_1970,
    TIME_MILLISECONDS_1970,
};

struct time_part {
    enum time_part_kind kind;
    char literal;
    int least; /* digits */
    int most;
};

/* A compiled format: a plain value. */
struct time_format {
    struct time_part parts[TIME_FORMAT_PARTS_MOST];
    size_t count;
    bool has_half;
    bool has_offset;
    bool is_serial; /* a spreadsheet's date number */
    bool is_count;  /* since 1970 */
};

/* What a workbook's date cells are written as by our reader. */
#define TIME_FORMAT_CELL "YYYY-MM-DD hh:mm:ss"

/* ERR_INVALID: a token twice, a missing one, or letters that are no token; the hint shows one. */
MUST_CHECK bool time_format_compile(const char *text, struct time_format *out, struct err *err);

/* Whether it tells an hour. */
bool time_format_has_hour(const struct time_format *format);

/*
 * The date alone of a format, where its hours stand behind its date: "DD/MM/YYYY" of
 * "DD/MM/YYYY h:mm". False, and *out untouched, where they do not or it has no hours.
 */
bool time_format_date_part(const struct time_format *format, struct time_format *out);

/* A token and what it stands for, by position: NULL at the end. */
const char *time_format_token(size_t position, const char **means);

enum time_answer {
    TIME_READ,
    TIME_UNREADABLE, /* the text does not look like the format */
    TIME_IMPOSSIBLE, /* it does, but no calendar or clock shows it */
};

struct time_reading {
    struct civil civil; /* of 24:00 the next day, at 00:00 */
    bool has_offset;
    int offset_s;
};

enum time_answer time_format_read(const struct time_format *format, const char *text,
                                  struct time_reading *out);

/*
 * A clock, remembering the hour it placed last: files go through time in order, so a zone is asked
 * once an hour of the file. A plain value; fill `zone` (NULL: UTC) and zero the rest.
 */
struct time_clock {
    const struct zone *zone;
    int64_t hour;     /* civil hours since 1970 */
    instant hour_at;  /* the instant that hour began */
    bool hour_is_one; /* every moment of it is one instant, without a jump */
};

/* The instants at which the clock shows the reading; its own offset decides where it has one. */
enum zone_answer time_clock_place(struct time_clock *clock, const struct time_reading *reading,
                                  instant out[2]);

#endif
