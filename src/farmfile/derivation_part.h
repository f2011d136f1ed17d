/*
 * Derivation part: a derived reading of the farm file as the room that works it out takes it
 * (derive/derivation.h), and whether those of a file go together.
 */
#ifndef FARMFILE_DERIVATION_PART_H
#define FARMFILE_DERIVATION_PART_H

#include "farmfile/field.h"

/* Fills `derived->derivation`; tells at the part of `node` that won't do. */
void derivation_part_make(struct field_reader *reader, const struct yaml *node,
                          struct farm_derived *derived);

/*
 * Each is made of what is stored and of what stands above it: tells of one that reads what stands
 * below, as two that are made from each other do. `list` holds the maps of the section.
 */
void derivation_part_order(struct field_reader *reader, const struct yaml *list);

#endif
