/*
 * CSV reader: the rows of one file, from the header on, to the sink: everything that is known
 * while a file is read, and the order in which rows are taken.
 */
#ifndef INGEST_CSV_READER_H
#define INGEST_CSV_READER_H

#include "ingest/batch.h"
#include "ingest/csv_header.h"
#include "ingest/csv_order.h"
#include "ingest/csv_value.h"
#include "ingest/time_format.h"

enum {
    WORDS_MOST = 10000, /* words of a file that are kept resolved */
    LABEL_MOST = 500,   /* bytes of a sample number, method, person and so on */
    HEADERS_MOST = 200, /* of one file that say something new */
};

/* The header of two rows as the file has it, to be known again. */
struct header_pair {
    struct header_names upper;
    struct header_names lower;
    struct csv_header header; /* that they make */
    bool upper_again;         /* the row before was the upper one again */
};

/* Everything that is known while a file is read. */
struct csv_reader {
    const struct source *source;
    const struct ingest_world *world;
    struct arena *mem;     /* of the file */
    struct arena *row_mem; /* of the row at hand */
    struct batch batch;
    struct csv_header header;
    struct csv_units units;
    struct csv_value_rules value_rules;
    struct time_format format;          /* nothing where the source tells none (a workbook) */
    struct time_format cell_formats[2]; /* of dates in a workbook's cells, joined with an hour */
    struct time_format date_format;     /* of a date alone */
    bool has_date_format;
    struct time_clock clock;
    instant latest;          /* a later stamp is set aside */
    struct csv_order *order; /* NULL unless the clock is local */
    struct word_map stations;
    struct word_map parameters;
    struct word_map labels;  /* positions and methods, kept */
    const char *kind;        /* "probe" */
    struct header_pair pair; /* of a header of two rows */
    int headers;             /* read so far, after the first */
    int units_to_skip;       /* rows after a header that comes again that may hold units */
    struct trouble unknown;  /* of every row: the header at hand is none that the source knows */
};

/*
 * Fill a reader; its header comes later. `source` and `world` must outlive it.
 *
 * ERR_INVALID: the source's time format or zone is none.
 */
MUST_CHECK bool csv_reader_start(struct csv_reader *reader, struct arena *mem,
                                 const struct source *source, const struct ingest_world *world,
                                 const struct ingest_sink *sink, struct ingest_counts *counts,
                                 struct err *err);

void csv_reader_done(struct csv_reader *reader);

/*
 * Units by the source, the header and a unit row (or NULL), which must not contradict each other.
 * With `is_last` no more can come: what is told nowhere is as it was under the header before, when
 * that was the same.
 */
void csv_reader_settle_units(struct csv_reader *reader, const struct csv_row *unit_row,
                             bool is_last);

/* Whether the row has a time, or can't be divided: it is no row of units, wherever it stands. */
bool csv_reader_is_data(struct csv_reader *reader, const struct csv_row *row);

/*
 * A row of data, or a header that is written again (csv_again.h). False when the sink was, or the
 * file has too many series or headers.
 */
MUST_CHECK bool csv_reader_row(struct csv_reader *reader, const struct csv_row *row,
                               struct err *err);

/* No more rows: what waits is placed, and everything is handed over. */
MUST_CHECK bool csv_reader_end(struct csv_reader *reader, struct err *err);

#endif
