/*
 * Sniff number: how the values of an unknown file are written: the decimal mark, and what stands
 * where there is no value.
 */
#ifndef INGEST_SNIFF_NUMBER_H
#define INGEST_SNIFF_NUMBER_H

#include "ingest/sniff_table.h"

enum { SNIFF_MARKS_MOST = 16 };

/* What cells say of the decimal mark. */
struct sniff_decimal {
    char mark; /* '.' or ','; 0: they leave it open */
    size_t points;
    size_t commas;
    bool has_groups; /* each mark stands before three digits: it may part thousands */
    const char *example;
};

/* A cell that stands where a value is missing, or may. */
struct sniff_mark {
    const char *text;
    size_t cells;
    bool is_word;  /* "NA": no number at all */
    double number; /* of one that is */
};

struct sniff_marks {
    struct sniff_mark items[SNIFF_MARKS_MOST];
    size_t count;
};

/* Over the columns of `wanted` (one flag a column). */
struct sniff_decimal sniff_decimal_find(const struct sniff_table *table, const bool *wanted);

/*
 * Words that say nothing ("NA", "-", "no data"), and numbers that are often written for it (-9999,
 * 9999.99) and stand far from all others of their column.
 */
struct sniff_marks sniff_marks_find(struct arena *mem, const struct sniff_table *table,
                                    size_t column, char decimal);

#endif
