/*
 * Units of a file: the words of its header, unit row or unit column, resolved once each for the
 * parameter they stand with.
 */
#ifndef INGEST_CSV_UNIT_H
#define INGEST_CSV_UNIT_H

#include "ingest/draft.h"
#include "ingest/source.h"
#include "ingest/word_map.h"

/* What is wrong with a cell or row, for a problem. */
struct trouble {
    enum problem_reason reason;
    const char *words; /* NULL: nothing is wrong */
    const char *todo;
};

/* A unit word resolved for a parameter. */
struct csv_unit {
    struct trouble trouble;
    bool is_untold;   /* the trouble is that no unit is told */
    const char *name; /* canonical, NULL with trouble and for states */
    struct unit_conversion to_canonical;
};

struct csv_units {
    struct arena *mem;
    struct arena *row_mem; /* for words that no longer fit in `known` */
    const struct source *source;
    const struct units *units;
    struct word_map known; /* parameter and word -> struct csv_unit */
};

struct csv_units csv_units_new(struct arena *mem, struct arena *row_mem,
                               const struct source *source, const struct units *units);

/*
 * The unit that `word` is for the parameter, through the source's own words. "" is the unit of
 * a parameter that has only one, else trouble. It lives at least as long as the row.
 */
const struct csv_unit *csv_unit_find(struct csv_units *units, const struct parameter *parameter,
                                     const char *word);

/*
 * The canonical name of the unit a word is, of a row whose parameter is not known; NULL when it
 * needs one to be understood, or names a basis, which belongs to a parameter.
 */
const char *csv_unit_alone(const struct csv_units *units, const char *word);

/*
 * The unit of a wide file's column: `told` by the source, or `shown` by the file (either may be
 * NULL). Where both are there and differ, that is trouble.
 */
const struct csv_unit *csv_unit_settle(struct csv_units *units, const struct parameter *parameter,
                                       const char *told, const char *shown);

/* The trouble of a column whose header tells one unit and the row of units another. */
const struct csv_unit *csv_unit_clash(struct csv_units *units, const char *of_header,
                                      const char *of_row);

/*
 * The unit behind a column's name, or NULL: "degC" of "Temp (degC)", "Temp [degC]" and
 * "Temp, degC". *name_length is the length of the name before it.
 */
char *csv_unit_of_header(struct arena *mem, const char *header, size_t *name_length);

/* A cell of a unit row: "degC" of "[degC]"; NULL when there is nothing in it. */
char *csv_unit_of_cell(struct arena *mem, const char *cell);

#endif
