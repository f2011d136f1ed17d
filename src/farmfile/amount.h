/*
 * Amount: numbers with units, and series of readings, as sections of the farm file write them.
 */
#ifndef FARMFILE_AMOUNT_H
#define FARMFILE_AMOUNT_H

#include "farmfile/name.h"

/*
 * struct farm_amount: "100 m3"; above 0. The row's words are units, one of which it must convert
 * into, with the row's `most` at 1 (they are no choice).
 */
field_read amount_above_zero;

field_read amount_number;       /* struct farm_number */
field_read amount_number_above; /* struct farm_number above 0 */

/* struct farm_place: {station, position, parameter}; the station may be left out where the row
 * stands in a map with a station of its own, which amount_place_at() then puts there. */
field_read amount_place;
extern const struct field_table amount_place_table;

/* The station where the place has none, and whether its position is one of that station's. */
void amount_place_at(struct field_reader *reader, const struct yaml *node, const char *station,
                     struct farm_place *place);

/* Tell of a parameter of another kind than the words say: "a state". */
void amount_place_kind(struct field_reader *reader, const struct yaml *node,
                       const struct farm_place *place, enum parameter_kind kind,
                       const char *expected);

/* A list of texts, one text for a single one: const char *const * and its count. */
bool amount_texts(struct field_reader *reader, const struct field *field, const struct yaml *value,
                  const char *const **items, size_t *count);

/* The same of keys of parameters that there are. */
bool amount_parameters(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, const char *const **items, size_t *count);

#endif
