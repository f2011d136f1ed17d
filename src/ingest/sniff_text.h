/*
 * Sniff text: what kind of file these bytes are, by what is in them and never by a name; how its
 * letters are coded, and what stands between its cells.
 */
#ifndef INGEST_SNIFF_TEXT_H
#define INGEST_SNIFF_TEXT_H

#include "ingest/sniff_sample.h"
#include "ingest/source_read.h"

enum {
    SNIFF_HEAD_BYTES = 262144, /* looked at for the kind of file and the separator */
    SNIFF_HEAD_LINES = 500,
};

struct sniff_lines {
    const char **items;
    size_t count;
    size_t capacity;
};

struct sniff_text {
    enum source_format format;
    bool has_mark;            /* a byte order mark */
    struct sniff_lines lines; /* the first ones, of text that is no JSON */
    char told_separator;      /* by a line `sep=;` in front; 0 none */
};

/*
 * Look at the beginning of a file.
 *
 * ERR_INVALID: nothing in it, or no text (a picture, an old spreadsheet), with what to do.
 */
MUST_CHECK bool sniff_text_head(struct arena *mem, const struct ingest_bytes *bytes,
                                struct sniff_text *out, struct err *err);

/* The separator, and how many lines agree. */
struct sniff_separator {
    char separator; /* 0: none is to be seen */
    size_t cells;   /* that most lines have with it */
    size_t lines;   /* of the first ones: so many have so many cells */
    size_t of;      /* that were looked at: those with something in them */
    bool is_blank;  /* none, and runs of blanks part the words */
};

struct sniff_separator sniff_separator_find(struct arena *mem, const struct sniff_lines *lines);

/* What came out of reading a text whole. */
struct sniff_text_read {
    const char *charset; /* one of charset_names */
    int64_t bad_bytes;   /* that are no text in it */
    int64_t faults;      /* rows that can't be divided into cells */
};

/* All rows, the header and what stands above it among them, to the sample. */
MUST_CHECK bool sniff_text_rows(struct arena *mem, const struct ingest_bytes *bytes, char separator,
                                struct sniff_sample *sample, struct sniff_text_read *out,
                                struct err *err);

#endif
