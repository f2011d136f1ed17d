/*
 * CSV header: which cell of a row is what, found from the header row by the source's mapping,
 * and the unit of each value column.
 */
#ifndef INGEST_CSV_HEADER_H
#define INGEST_CSV_HEADER_H

#include "ingest/csv.h"
#include "ingest/csv_unit.h"
#include "ingest/header_rows.h"
#include "ingest/source.h"

/* What a column may hold beside a wide file's values. */
enum csv_field {
    FIELD_TIME,
    FIELD_TIME_2,
    FIELD_UNTIL,
    FIELD_UNTIL_2,
    FIELD_STATION,
    FIELD_POSITION,
    FIELD_PARAMETER,
    FIELD_VALUE,
    FIELD_UNIT,
    FIELD_QUALIFIER,
    FIELD_DETECTION,
    FIELD_QUANTITATION,
    FIELD_SAMPLE,
    FIELD_REPLICATE,
    FIELD_METHOD,
    FIELD_TAKEN_BY,
    FIELD_PURPOSE,
    FIELD_CLOCK,
    FIELD_FLAG,
    FIELD_INSTRUMENT,
    FIELD_LIMIT_UNIT,
    CSV_FIELDS,
};

#define CELL_NONE SIZE_MAX

/* A column of values in a wide file. */
struct csv_value_column {
    const struct source_column *mapped; /* with `parameter` NULL under a header that is not known */
    const struct parameter *parameter;
    size_t cell;                 /* CELL_NONE: it may lack, and does */
    size_t flag_cell;            /* CELL_NONE: none */
    const char *header_unit;     /* what stands behind its name in the header, or NULL */
    const struct csv_unit *unit; /* NULL until settled; its `trouble` when it can't be */
    const struct csv_unit
        *unit_before;           /* what it was when this header stood there before, or NULL */
    const char *series_station; /* the series found last, */
    const char *series_position;
    const char *series_method;
    const char *series_made_by;
    uint32_t series; /* and its number */
};

struct csv_header {
    const char **names;   /* of all cells, trimmed */
    const bool *taken;    /* of all cells: the source names it; else it is ignored or has no name */
    size_t count;         /* cells up to the last one with a name */
    size_t first_unnamed; /* first cell without one; `count` where all have */
    size_t cells[CSV_FIELDS];
    struct csv_value_column *columns; /* as in the source */
    size_t column_count;
};

/* A line that may be the header: how much of what the source names is in it. */
struct csv_header_look {
    char separator; /* the one under which the most is found; ',' when nothing is */
    size_t found;   /* columns of the source */
    bool complete;  /* every column that must be there is, and one of values */
};

/* The row's line as people count it: of a workbook, in its sheet. */
int32_t csv_header_line(const struct source *source, const struct csv_row *row);

/*
 * `separator`: the only one to look for, or 0. `above` is the line before, of a source whose header
 * has two rows; NULL: there is none.
 */
struct csv_header_look csv_header_look(struct arena *mem, const struct source *source,
                                       const char *above, const char *line, size_t length,
                                       char separator);

/* The same of a row that is divided into cells already, and of the names above it or NULL. */
struct csv_header_look csv_header_look_row(struct arena *mem, const struct source *source,
                                           const struct header_names *above,
                                           const struct csv_row *row);

/* The names of a line between its separators; none of NULL. */
struct header_names csv_header_split(struct arena *mem, const char *line, char separator);

/*
 * Always false: what csv_header_read() says of a line that is no header, such as which column it
 * lacks.
 */
bool csv_header_refuse(struct arena *mem, const struct source *source,
                       const struct parameter_list *parameters, int32_t number, const char *above,
                       const char *line, char separator, struct err *err);

/* Every column the source names, each once, in its order: the header of a file that has none. */
struct csv_names {
    const char **items;
    size_t count;
    size_t capacity;
};
struct csv_names csv_header_wanted(struct arena *mem, const struct source *source);

/* Those, and the names that stand in the header. */
struct csv_names csv_header_names_known(struct arena *mem, const struct source *source,
                                        const struct csv_header *header);

/* Whether it is one of the names, units behind them aside. */
bool csv_header_name_is_among(struct arena *mem, const struct csv_names *names, const char *name);

/* Whether the source says that the column of this name is not taken. */
bool csv_header_ignores(const struct source *source, const char *name);

/*
 * Find every column the source maps.
 *
 * ERR_INVALID, with the line: a mapped column that is not there, a name twice, columns that the
 * source neither maps nor ignores; or a source whose parameters are not known.
 */
MUST_CHECK bool csv_header_read(struct arena *mem, const struct source *source,
                                const struct parameter_list *parameters, const struct csv_row *row,
                                struct csv_header *out, struct err *err);

/*
 * What can be told of a header that is not the source's: where times and the like stand, and each
 * cell that may be a value's, with the column that it bears the name of or none. Times that it does
 * not name are looked for where they stood in *header, the one before, which it replaces.
 */
void csv_header_read_part(struct arena *mem, const struct source *source,
                          const struct parameter_list *parameters, const struct csv_row *row,
                          struct csv_header *header);

/* Whether the row says the same as the header: a logger writes it again when it restarts. */
bool csv_header_repeats(const struct csv_header *header, const struct csv_row *row);

#endif
