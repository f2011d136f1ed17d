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
    day_number from; /* first day, or DAY_NONE; with either, rows of no readable time don't fit */
    day_number to;   /* last day, or DAY_NONE */
};

/* Those that fit, in the same order, in mem. */
struct aside_rows asides_fit(struct arena *mem, const struct aside_rows *rows,
                             const struct aside_filter *filter, const struct zone *zone);

/* How many for each reason, the most first; `file_name` is NULL. */
struct aside_counts asides_reasons(struct arena *mem, const struct aside_rows *rows);

#endif
