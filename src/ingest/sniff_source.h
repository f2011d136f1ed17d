/*
 * Sniff source: a table of an unknown file to a guessed source, with evidence and questions.
 */
#ifndef INGEST_SNIFF_SOURCE_H
#define INGEST_SNIFF_SOURCE_H

#include "ingest/sniff_guess.h"

/*
 * `out->source` comes with its format, charset and so on already told; the rest is filled.
 *
 * ERR_INVALID, ERR_NOT_FOUND: nothing in the file can be read as times or values, or an answer that
 * can't be; the hint says what to do.
 */
MUST_CHECK bool sniff_source(struct arena *mem, const struct sniff_world *world,
                             const struct sniff_table *table, struct sniff_answers *answers,
                             struct sniff_guess *out, struct err *err);

#endif
