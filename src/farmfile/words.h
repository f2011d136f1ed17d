/*
 * Words of the farm file: the rows that farmfile_read() goes by, for showing what may stand in
 * one. Each section's `inside` is the table of its keys.
 */
#ifndef FARMFILE_WORDS_H
#define FARMFILE_WORDS_H

#include "farmfile/field.h"

/* The sections, in the order in which they are read. */
extern const struct field_table farmfile_table;

/* Whether the row's words are the choices, and not what stands behind a number ("7 days"). */
bool farmfile_is_choice(const struct field *field);

#endif
