/*
 * Sniff sample: some rows of a file whose source nobody has written yet, for guessing one: its
 * first rows, then one in so many, and its last ones. Memory does not grow with the file.
 *
 * Cells are cut to SNIFF_CELL_MOST bytes; rows over SNIFF_BYTES_MOST in all are not kept.
 */
#ifndef INGEST_SNIFF_SAMPLE_H
#define INGEST_SNIFF_SAMPLE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

enum {
    SNIFF_FIRST_ROWS = 1000, /* all of them */
    SNIFF_LATER_ROWS = 2000, /* at most so many of those behind, evenly spread */
    SNIFF_LAST_ROWS = 20,    /* at least so many, all of them */
    SNIFF_NAME_ROWS = 50,    /* at most so many besides, of words without a digit: other headers */
    SNIFF_CELL_MOST = 200,   /* bytes */
    SNIFF_BYTES_MOST = 33554432,
};

struct sniff_cell {
    const char *text; /* trimmed */
    bool is_date;     /* a workbook's own */
};

struct sniff_row {
    int64_t number; /* of all rows, from 0 */
    int32_t line;   /* of a workbook its row, of JSON the line of its record */
    bool follows;   /* nothing was left out since the row before */
    const struct sniff_cell *cells;
    size_t count;
};

struct sniff_rows {
    struct sniff_row *items;
    size_t count;
    size_t capacity;
};

/* Rows on their way; fill with sniff_sample_new(). */
struct sniff_sample {
    struct arena *mem;
    struct arena *ends[2]; /* the last rows, by turns */
    struct sniff_rows last[2];
    int turn;
    struct sniff_rows first;
    struct sniff_rows later;
    struct sniff_rows names;
    int64_t seen;
    int64_t stride; /* of `later` */
    size_t bytes;
};

struct sniff_sample sniff_sample_new(struct arena *mem);

/* Let go of what is held outside `mem`. */
void sniff_sample_done(struct sniff_sample *sample);

/* One more row of the file; its texts are copied. */
void sniff_sample_add(struct sniff_sample *sample, int32_t line, const struct sniff_cell *cells,
                      size_t count);

/* What was kept, in the order of the file, in `mem`. */
struct sniff_rows sniff_sample_rows(const struct sniff_sample *sample);

/* The text of a cell, "" where the row has none. */
const char *sniff_cell_text(const struct sniff_row *row, size_t column);

#endif
