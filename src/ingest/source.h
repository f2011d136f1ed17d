/*
 * Source: where data come from and how a file of it is read: the shape of the file, its clock,
 * which column is what. Copied from the farm file.
 */
#ifndef INGEST_SOURCE_H
#define INGEST_SOURCE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/instant.h"
#include "judge/limit.h"

enum source_shape {
    SOURCE_WIDE, /* one row an instant, one column a parameter: what is counted is a cell */
    SOURCE_LONG, /* one row a result: what is counted is a row */
};

enum source_format { SOURCE_CSV, SOURCE_XLSX, SOURCE_JSON };

/* A row with a date and no hour. */
enum source_date_alone {
    DATE_ALONE_ASIDE, /* set aside where the file has hours; else the start of that day */
    DATE_ALONE_DAY,   /* some time in that day: its span */
};

enum source_clock { CLOCK_UTC, CLOCK_OFFSET, CLOCK_LOCAL };

/* A parameter column of a wide file. */
struct source_column {
    const char *header;   /* as in the file, blanks at the ends and letter case do not count */
    const char *station;  /* NULL: the source's station or its station column */
    const char *position; /* NULL: none */
    const char *parameter;
    const char *unit;        /* NULL: from the header, "Temp (degC)" or "Temp [degC]", or the unit row */
    const char *flag_header; /* column whose cell says whether the value may be used; NULL none */
    const char *instrument;  /* NULL: the source's own */
    bool may_lack;           /* a header without this column is one too: it has no such values */
};

/* A word of the file and what it means. */
struct source_word {
    const char *word;
    const char *means;
};

struct source_words {
    const struct source_word *items;
    size_t count;
};

struct source {
    const char *key;
    const char *name;
    enum source_shape shape;
    enum source_format format;

    const char *const *sheets; /* of a workbook: those to take; none: all that have the header */
    size_t sheet_count;
    bool leaves_hidden;  /* of a workbook: hidden rows and sheets are not taken */
    const char *records; /* of JSON: keys to the list of records, dots between; NULL the document */

    const char *charset; /* "utf-8" (default), "windows-1252", "utf-16"; a BOM overrides */
    char separator;      /* ',', ';', '\t', '|'; 0: found from the header line */
    char decimal;        /* '.' or ',' */
    /* Line of the header (its lower row), from 1; those before it are skipped. 0: the first with all. */
    int header_line;
    int header_rows;       /* 2: names above names (ingest/header_rows.h); else one row */
    int skip_after_header; /* lines after the header that are no data (a row of units) */
    const char *const *comment_starts; /* a line that begins with one of these is no data */
    size_t comment_start_count;

    enum source_clock clock;
    int offset_s;              /* of CLOCK_OFFSET */
    const char *zone;          /* of CLOCK_LOCAL: NULL is the farm's own */
    const char *time_headers[2]; /* one column, or date and time */
    /* NULL only of a workbook, whose times are dates to it. */
    const char *time_format;   /* "YYYY-MM-DD hh:mm", "DD/MM/YYYY h:mm" and so on; of the joined text */
    const char *until_headers[2]; /* end of a span (composite), or NULL */
    const char *clock_header;     /* a column that tells the clock of each row; empty: `clock` */
    struct source_words clocks;   /* its words -> "UTC", "local", "-05:00" */
    enum source_date_alone date_alone;

    const char *station;        /* fixed, or NULL */
    const char *station_header; /* NULL: fixed */
    struct source_words stations; /* the file's words for our stations */
    const char *position_header;

    const struct source_column *columns; /* of a wide file */
    size_t column_count;

    /* of a long file */
    const char *parameter_header;
    const char *parameter; /* fixed, when there is no such column */
    struct source_words parameters;
    const char *value_header;
    const char *unit_header;
    const char *unit; /* fixed */
    const char *const *ignored_parameters; /* words for parameters that the farm does not take */
    size_t ignored_parameter_count;
    bool ignores_other_parameters;  /* every word that is no parameter */
    const char *qualifier_header;   /* a column of its own holding "<" or ">" */
    struct source_words qualifiers; /* its words -> as flags */
    const char *flag_header;
    const char *instrument_header; /* instrument or laboratory of each row, of either shape */
    const char *limit_unit_header; /* unit of the limits; "" the value's */
    const char *detection_header;     /* detection limit */
    const char *quantitation_header;  /* quantitation or reporting limit */
    const char *sample_header;        /* sample number */
    const char *replicate_header;
    const char *method_header;
    const char *taken_by_header;
    const char *purpose_header;
    struct source_words purposes; /* the file's words -> one of purpose_words */

    struct source_words units;   /* "in this source `mgl` means mg/L" */
    struct source_words states;  /* the file's words for states: "stopped" means "off" */
    const char *const *blanks;   /* words that mean no value; "" always does */
    size_t blank_count;
    const char *const *not_detected; /* words that mean not detected: "ND" */
    size_t not_detected_count;
    const char *const *ignored_headers; /* columns the farm knows and does not take */
    size_t ignored_header_count;
    bool ignores_other_headers; /* every column that is not mapped */
    struct source_words flags; /* flag cell text (its start) -> one of csv_flag_words */

    const char *instrument; /* or laboratory */
    unsigned kind;          /* one of enum limit_kinds */
    const char *method;     /* fixed, or NULL */
    int silent_after_s; /* no reading for so long is a finding; 0: not told */
    int ahead_minutes;      /* a stamp later than the receipt by more than this is set aside; default 10 */
};

/* Whether a value set aside is found again by line and column, and not by its line alone. */
static inline bool source_by_column(const struct source *source)
{
    return source->shape == SOURCE_WIDE || source->format == SOURCE_JSON;
}

#endif
