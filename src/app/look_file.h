/*
 * Looking at a file before it is taken in: its source is guessed, what is not certain is asked, and
 * once nothing is open the file is read by that source as it would be taken in. Nothing is stored.
 *
 * The guess goes by some of the rows (ingest/sniff_sample.h); what is shown as stored comes from
 * the lines that were written for the farm file, loaded as the farm file is, and from the whole
 * file.
 */
#ifndef APP_LOOK_FILE_H
#define APP_LOOK_FILE_H

#include "app/take_in.h"
#include "ingest/place.h"
#include "ingest/sniff_guess.h"

enum {
    LOOK_ROWS = 8,
    LOOK_REASONS_MOST = 12,
    LOOK_SERIES_MOST = 200,
    LOOK_KNOWN_MOST = 8,
    LOOK_KNOWN_VALUES = 1000, /* of the file, by which a source is tried */
};

/* A value as it would be stored. */
struct look_value {
    int32_t line;      /* of a workbook the row of its sheet */
    const char *sheet; /* NULL: no workbook */
    const char *station;
    const char *position; /* "" none */
    const char *parameter;
    const char *value;  /* with its sign: "<0.05" */
    const char *unit;   /* or the state */
    const char *sample; /* or NULL */
    instant at;
    instant until;
};

/* Why values would be set aside, with the first case. */
struct look_reason {
    int64_t count;
    int32_t line;
    const char *place; /* "line 14, column 3" */
    const char *words;
    const char *todo;
};

/* Rows as they stand in the file, while something is open. */
struct look_raw {
    int32_t line;
    const char *sheet; /* NULL: no workbook */
    const char *text;
};

/* A source of the farm file that reads the file as it is. */
struct look_known {
    const char *source;
    const char *name;
    int64_t values; /* that were tried, and no more than a batch over LOOK_KNOWN_VALUES */
    int64_t drafts; /* of them, that could be stored: more than half */
};

struct look_result {
    const char *name;
    int64_t bytes;
    int64_t rows;        /* of the table that was looked at, header and titles among them */
    int64_t rows_looked; /* of them */
    struct sniff_guess guess;
    const char *source_text;
    struct place_sheets sheets; /* of a workbook: all of them */
    const char *sheet;          /* that was looked at; NULL: no workbook */
    const struct zone *zone;    /* for local times; NULL: not known */
    struct look_known known[LOOK_KNOWN_MOST];
    size_t known_count;

    struct look_raw raw[LOOK_ROWS];
    size_t raw_count;

    /*
     * While something is open: those of which nothing is asked but their station ("?") or their
     * clock. Else the first of the whole file.
     */
    struct look_value values[LOOK_ROWS];
    size_t value_count;
    bool clock_open; /* `at` of the values is what the file's clock shows, of no zone */

    bool is_read;        /* nothing is open and the whole file was read: the rest is filled */
    const char *refused; /* nothing is open, and the reader refuses the file: why, and what to do */
    struct ingest_counts counts;
    struct look_reason reasons[LOOK_REASONS_MOST];
    size_t reason_count;
    int64_t other_reasons; /* values set aside for still others */
};

struct look_request {
    const char *path;
    struct sniff_answers *answers;
    const struct farm *farm; /* NULL: none is at hand */
    const struct units *units;
    instant now;
    const volatile sig_atomic_t *stop; /* NULL: never */
};

/*
 * ERR_INVALID: no file of readings, nothing in it that can be read as one, or an answer that can't
 * be. ERR_NOT_FOUND: no such file, parameter or station. ERR_TOO_LARGE: over a reader's limit.
 */
MUST_CHECK bool look_file(struct arena *mem, const struct look_request *request,
                          struct look_result *out, struct err *err);

#endif
