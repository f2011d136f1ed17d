/*
 * Of many rows set aside those a person asks for, and how many there are for each reason.
 */
#ifndef APP_ASIDE_FILTER_H
#define APP_ASIDE_FILTER_H

#include "base/zone.h"
#include "store/aside_store.h"

struct aside_filter {
    /* Each must be the row's source, file, reason, station or parameter; letter case aside. */
    const char *const *words;
    size_t word_count;
    const char *saying; /* words that stand in its reason, as a flag or the word that could not be
                           read; or NULL */
    const char *sheet;  /* of a workbook; NULL: any */
    int32_t first_line; /* or row of its sheet; 0: any */
    int32_t last_line;
    day_number from; /* first day, or DAY_NONE; with either, rows of no readable time don't fit */
    day_number to;   /* last day, or DAY_NONE */
};

/* "12-400" or "12", of a workbook 'Results!12-400': the lines a filter is for. False: no lines. */
bool aside_filter_lines(struct arena *mem, const char *word, struct aside_filter *filter);

/* Those that fit, in the same order, in mem. */
struct aside_rows asides_fit(struct arena *mem, const struct aside_rows *rows,
                             const struct aside_filter *filter, const struct zone *zone);

/* How many for each reason, the most first; `file_name` is NULL. */
struct aside_counts asides_reasons(struct arena *mem, const struct aside_rows *rows);

#endif
