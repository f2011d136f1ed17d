/*
 * CSV value: what a value cell says, with the cells that belong to it: qualifier, limits, flag.
 */
#ifndef INGEST_CSV_VALUE_H
#define INGEST_CSV_VALUE_H

#include "base/number.h"
#include "ingest/csv_unit.h"

/* How the file writes its values. */
struct csv_value_rules {
    const struct source *source;
    struct number_style style;
    struct arena *row_mem; /* texts of troubles */
};

struct csv_value_rules csv_value_rules_new(const struct source *source, struct arena *row_mem);

/* What a flag, or a word of a qualifier column, means for its value. */
enum csv_flag {
    FLAG_USE,
    FLAG_DOUBT,
    FLAG_LEAVE,
    FLAG_LESS, /* the number is the limit that the value is below */
    FLAG_GREATER,
    FLAG_NOT_DETECTED,
    FLAG_UNKNOWN,
};

/* "use", "doubt", ...: in the order of the enum, NULL ends them. */
extern const char *const csv_flag_words[];

/* The cells of one value; those a file has not are "". */
struct csv_value_cells {
    const char *value;
    const char *qualifier;
    const char *detection;
    const char *quantitation;
    enum csv_flag flagged;
};

enum csv_value_cell { VALUE_CELL, QUALIFIER_CELL, DETECTION_CELL, QUANTITATION_CELL };

struct csv_value {
    bool is_blank;
    struct trouble trouble; /* of the value or its unit; what could be read is still filled */
    enum csv_value_cell at_fault;
    bool has_value;
    char qualifier; /* enum qualifier */
    struct decimal reported;
    const char *unit; /* canonical, or the word of a state; NULL when not readable */
    double value;     /* in the parameter's canonical unit; of a state, its place in the list */
    bool has_limits;
    struct decimal detection;
    struct decimal quantitation;
    enum csv_flag
        flag; /* FLAG_DOUBT or FLAG_LEAVE by a word of the qualifier cell, else FLAG_USE */
};

/* `unit` may be NULL for a state and where the parameter is not known. */
void csv_value_read(const struct csv_value_rules *rules, const struct parameter *parameter,
                    const struct csv_unit *unit, const struct csv_value_cells *cells,
                    struct csv_value *out);

/* By the longest of the source's flag words that the cell begins with; an empty cell is no flag. */
enum csv_flag csv_flag_read(const struct source *source, const char *cell);

#endif
