/*
 * CSV words: a file's words for stations, parameters and purposes.
 */
#ifndef INGEST_CSV_WORD_H
#define INGEST_CSV_WORD_H

#include "ingest/csv_reader.h"

/* The station's key, or NULL with trouble. */
const char *csv_word_station(struct csv_reader *reader, const char *word, struct trouble *trouble);

/* The parameter, or NULL with trouble. */
const struct parameter *csv_word_parameter(struct csv_reader *reader, const char *word,
                                           struct trouble *trouble);

/* What a sample was taken for, as purpose.h spells it, or NULL with trouble. */
const char *csv_word_purpose(struct csv_reader *reader, const char *word, struct trouble *trouble);

/*
 * A text of the file (a position, a method) as it will be in a series; the same text gives the
 * same pointer. ERR_TOO_LARGE: over SERIES_MOST of them.
 */
MUST_CHECK bool csv_word_label(struct csv_reader *reader, const char *text, const char **out,
                               struct err *err);

#endif
