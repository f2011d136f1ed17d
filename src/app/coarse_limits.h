/*
 * Coarse limits: laboratories whose newest limit of detection or quantitation can't answer a clause
 * that is in force: the limit is above the clause's bound, or above the share of it that the farm
 * states. Such a laboratory's less-than shows neither that the bound was kept nor that it was not.
 *
 * What counts is the newest result that told a limit: the quantitation limit beside it, else the
 * detection limit, else the number of a less-than. 40 CFR 122.44(i)(1)(iv), from memory, asks the
 * same of a permit's methods: a minimum level at or below the limit. Clauses whose bound is one
 * number about single values or means of them are looked at; loads, changes and counts are not.
 */
#ifndef APP_COARSE_LIMITS_H
#define APP_COARSE_LIMITS_H

#include "app/open_farm.h"
#include "store/quality_store.h"
#include "store/verdict_store.h"

struct coarse_limit {
    const struct quality_limit_row *row;
    const struct limit *limit;
    const char *kind;  /* "quantitation limit", "detection limit", "less-than" */
    instant at;        /* of the result that told it */
    const char *told;  /* "0.5 mg/L" */
    const char *bound; /* "not above 0.1 mg/L" */
    enum coarse_answer answer;
    const char *words; /* a sentence or two: who, what, why, what to ask for */
};

struct coarse_limits {
    struct coarse_limit *items; /* one a clause and series of results, fine ones too */
    size_t count;
    size_t capacity;
};

/* As the records stand, by the clauses in force on the day of `now`. */
MUST_CHECK bool coarse_limits_find(struct db_tx *tx, struct arena *mem,
                                   const struct open_farm *farm, instant now,
                                   struct coarse_limits *out, struct err *err);

/*
 * Findings of those that are too coarse added to `rows`, which live in mem: one for as long as it
 * stays so. Those on record that a finer limit has come for, or whose clause asks for it no more,
 * are said to be over.
 */
MUST_CHECK bool coarse_limits_add(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                                  instant now, struct finding_rows *rows, struct err *err);

/* The same in a transaction of its own, which opens them. Adds to *opened. */
MUST_CHECK bool coarse_limits_look(struct db *db, const struct open_farm *farm, instant now,
                                   int *opened, struct err *err);

#endif
