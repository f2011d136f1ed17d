/*
 * The samples a file speaks of: where, when, why and by whom each was taken.
 *
 * Rows of one number that tell different things contradict each other: all of them are set aside.
 * What a row leaves open (no purpose, no taker) contradicts nothing, and the rows that do tell it
 * stand for the others; so the order of rows changes nothing. Against what is stored the same
 * holds, but for a purpose that was never told: that is stored as "required".
 */
#ifndef APP_FILE_SAMPLES_H
#define APP_FILE_SAMPLES_H

#include "base/key_index.h"
#include "base/zone.h"
#include "db/db.h"
#include "ingest/draft.h"

struct file_sample {
    const char *sample;
    const char *station;
    const char *position; /* "" none */
    instant from;
    instant until;
    const char *purpose;  /* NULL: no row told it */
    const char *taken_by; /* the same */
    int32_t line;         /* of the first row */
    int32_t purpose_line; /* of the first that told it */
    int32_t taker_line;
    enum problem_reason reason; /* with `trouble` */
    const char *trouble;        /* in what its rows contradict each other or the record, or NULL */
};

struct file_samples {
    struct arena *mem;
    const struct zone *zone; /* for the times in words */
    struct key_index index;
    struct file_sample *items;
    size_t count;
    size_t capacity;
    size_t contradicting;
};

/* What a row tells of its sample; of rows without one, nothing. `series` outlives the samples. */
void file_samples_note(struct file_samples *samples, const struct draft *draft,
                       const struct draft_series *series);

/* The sample of a row that was noted; NULL: it has none. */
const struct file_sample *file_samples_of(const struct file_samples *samples,
                                          const struct draft *draft);

/* Hold them against those on record, once all rows are noted. */
MUST_CHECK bool file_samples_compare(struct file_samples *samples, struct db_tx *tx,
                                     struct err *err);

/* What to do about it, for people. */
const char *file_sample_todo(const struct file_sample *sample);

#endif
