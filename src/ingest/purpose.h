/*
 * Purpose: what a sample was taken for, fixed when it was taken. The words are stored, so for ever:
 * add at the end only, and to the check of `sample.purpose`.
 *
 * "blank" and "duplicate" are check samples of a kind: clean water taken through the same steps,
 * and a second sample of the same water at the same time.
 */
#ifndef INGEST_PURPOSE_H
#define INGEST_PURPOSE_H

#include <stdbool.h>

/* "required", "extra", "looking for a cause", "check", "the authority's own", "blank", "duplicate";
 * NULL ends them. */
extern const char *const purpose_words[];

/* One of these in whatever case, in our spelling; NULL: it is none. */
const char *purpose_known(const char *word);

/* Whether results of such a sample may count for a clause. */
bool purpose_counts(const char *purpose);

/* Whether it is a second sample of water that another one stands for. */
bool purpose_repeats(const char *purpose);

bool purpose_is_blank(const char *purpose);

#endif
