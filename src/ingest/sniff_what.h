/*
 * Sniff what: where the values of an unknown file are from, what they are and in which unit; of a
 * file with a column a parameter, or of one with a row a result.
 */
#ifndef INGEST_SNIFF_WHAT_H
#define INGEST_SNIFF_WHAT_H

#include "ingest/sniff_guess.h"
#include "ingest/sniff_name.h"

/* Station column and words, or the one station of the file. */
MUST_CHECK bool sniff_station(struct sniffing *sniffing, struct err *err);

/*
 * The farm's station that a column's name begins or ends with, as "Outlet temp" does; the rest of
 * the name in *rest. NULL: none.
 */
const char *sniff_station_in_name(struct sniffing *sniffing, const char *name, const char **rest);

/* Columns of values with their parameters, units and flags. ERR_INVALID: an answer can't be. */
MUST_CHECK bool sniff_wide(struct sniffing *sniffing, struct err *err);

/* The words of the parameter, unit, qualifier and flag columns. */
MUST_CHECK bool sniff_long(struct sniffing *sniffing, struct err *err);

/* What flags of these columns mean, by plain words or by answers; into the words of the source. */
struct sniff_flagged {
    const char *topic; /* "flag" or "condition" */
    const size_t *columns;
    size_t column_count;
};

MUST_CHECK bool sniff_flag_words(struct sniffing *sniffing, const struct sniff_flagged *flagged,
                                 struct source_words *into, struct err *err);

/*
 * "turbidity-ntu, NTU" as an answer: the parameter, and the unit or NULL.
 *
 * ERR_NOT_FOUND, ERR_INVALID: no such parameter; a unit that it can't be in.
 */
MUST_CHECK bool sniff_parameter_told(struct sniffing *sniffing, const char *says,
                                     const struct parameter **parameter, const char **unit,
                                     struct err *err);

/* "nitrate or nitrate-ion": their keys. */
const char *sniff_keys_text(struct arena *mem, const struct sniff_parameters *may_be);

/* What a word of the file may be, as a question. */
const char *sniff_may_be_text(struct arena *mem, const char *word,
                              const struct sniff_parameters *may_be);

#endif
