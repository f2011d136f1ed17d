/*
 * Sniff role: what a column of an unknown file is to a row beside its values: its station, its
 * sample, what the sample was for. By a person's answer, by its name, or asked.
 */
#ifndef INGEST_SNIFF_ROLE_H
#define INGEST_SNIFF_ROLE_H

#include "ingest/sniff_guess.h"

/*
 * The fields of all columns: as answered ("column Client Sample=station"), else by their names.
 *
 * ERR_INVALID: a role that two columns are to have, or a column that can't have one.
 */
MUST_CHECK bool sniff_roles_find(struct sniffing *sniffing, struct err *err);

/*
 * Once the shape is known: an answer about a column of a long file can be a role or "not taken",
 * and what only a row of one result has is no role of a wide one's. ERR_INVALID.
 */
MUST_CHECK bool sniff_roles_check(struct sniffing *sniffing, struct err *err);

/* Sample, replicate, purpose and the like. ERR_INVALID: a word's purpose that is none. */
MUST_CHECK bool sniff_roles_take(struct sniffing *sniffing, struct err *err);

/* Whether a person said that the column has this field. */
bool sniff_role_told(const struct sniffing *sniffing, enum csv_field field);

/* Ask about columns that would be left out, and may change what a row is. */
void sniff_roles_ask(struct sniffing *sniffing);

/* Columns that may name a station, "'Type', 'Client Sample'"; NULL: none. */
const char *sniff_roles_places(struct sniffing *sniffing);

#endif
