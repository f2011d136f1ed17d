/*
 * CSV: text in, rows of cells out, at most one row in memory (RFC 4180, with any one-byte
 * separator).
 *
 * Text is pushed in pieces of any size. Rows end in LF, CR or CRLF; cells may be in double
 * quotes and then hold separators, line ends and doubled quotes. Lines of blanks alone are no
 * rows.
 *
 * Quotes are read leniently where only one meaning is possible: blanks around a quoted cell do
 * not count, and a quote inside a cell that is not quoted is a quote. Anything else after a closing
 * quote, a quote that is never closed (or not within CSV_QUOTED_LINES_MOST lines), and a row or
 * cell over its limit make that row a fault: only its first line is lost to it, and reading goes
 * on with the next line. So one stray quote never swallows the rows after it.
 */
#ifndef INGEST_CSV_H
#define INGEST_CSV_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/err.h"

enum {
    CSV_CELL_MOST = 65536, /* bytes */
    CSV_ROW_MOST = 1048576,
    CSV_COLUMNS_MOST = 1000,
    CSV_QUOTED_LINES_MOST = 100, /* line ends inside one quoted cell */
};

struct csv_cell {
    const char *text; /* ends in NUL, without the quotes around it */
    uint32_t length;
    bool quoted;
    int32_t line;  /* on which it begins, from 1 */
    int32_t place; /* byte of that line at which it begins, from 1 */
    bool is_date;  /* a workbook's date or time of day, written as TIME_FORMAT_CELL or hh:mm:ss */
    /* Of a workbook, whose cells show more than they hold: */
    const char *shown_unit;  /* what its format puts behind the number: "%", "mg/L"; NULL nothing */
    const char *shown_other; /* why what is shown is not what is stored; NULL it is */
    char ended_by; /* what stood in the file where the NUL now is */
    char *end;     /* that place, NULL when the text is a copy */
};

enum csv_fault {
    CSV_GOOD,
    CSV_QUOTE_OPEN,   /* the quote at the fault's place is never closed */
    CSV_QUOTE_STRAY,  /* something stands between a closing quote and the separator */
    CSV_CELL_LONG,    /* over CSV_CELL_MOST */
    CSV_COLUMNS_MANY, /* over CSV_COLUMNS_MOST */
    CSV_ROW_LONG,     /* over CSV_ROW_MOST */
};

/* One row. Everything in it lives until the callback returns. */
struct csv_row {
    int32_t line; /* on which it begins, from 1 */
    const struct csv_cell *cells;
    size_t count;         /* 0 with a fault */
    enum csv_fault fault; /* with its place: */
    int32_t fault_line;
    int32_t fault_place; /* byte of that line, from 1 */
    const char *begin;   /* the row as it lies in memory: for csv_row_text() */
    size_t length;
    bool has_bad_byte;      /* told by csv_feed_bad_byte(): the first one of the row */
    unsigned char bad_byte; /* its value */
    int64_t bad_offset;     /* its place in the file, from 0 */
    size_t bad_cell;        /* index of its cell */
    bool of_text;           /* of a text file: what it has no cell for was never written */
    bool at_end;            /* and the text ends where its line end should stand */
    bool is_record;         /* of JSON: cells have places of their own; an absent one has line 0 */
    int32_t place;          /* of a record: byte of its line at which it begins, from 1 */
};

/* The words for a fault, for people: "a quote is opened and never closed". */
const char *csv_fault_words(enum csv_fault fault);

/*
 * The row (of a fault: its first line) as it stands in the file, without its line end, at most
 * `most` bytes and never cut inside a character.
 */
char *csv_row_text(struct arena *mem, const struct csv_row *row, size_t most);

enum csv_line_use { CSV_LINE_SKIP, CSV_LINE_ROWS };

struct csv_rules {
    char separator;
    const char *const *comment_starts; /* a line that begins with one of these is no row */
    size_t comment_start_count;
    void *context;
    /*
     * Lines before the first row are shown to this one as they are (those over CSV_ROW_MOST left
     * out), until it says CSV_LINE_ROWS: that line is the first row. NULL: line 1 is.
     */
    bool (*line)(void *context, int32_t number, const char *text, size_t length,
                 enum csv_line_use *use, struct err *err);
    bool (*row)(void *context, const struct csv_row *row, struct err *err);
};

struct csv;

/* `rules` is copied; the texts in it must outlive the parser. */
struct csv *csv_new(struct arena *mem, const struct csv_rules *rules);

/* Once the header line has shown what it is; before the first row. */
void csv_set_separator(struct csv *csv, char separator);

/* False only when a callback was false. */
MUST_CHECK bool csv_feed(struct csv *csv, const char *text, size_t count, struct err *err);

/* A byte that is no text stands here; the cell shows it as `\xB0`, and its row tells of it. */
MUST_CHECK bool csv_feed_bad_byte(struct csv *csv, unsigned char byte, int64_t offset,
                                  struct err *err);

/* The text is at its end: hand out the last row. */
MUST_CHECK bool csv_end(struct csv *csv, struct err *err);

#endif
