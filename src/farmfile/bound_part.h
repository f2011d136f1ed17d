/*
 * Parts of a limit: what a figure is compared with, what is counted beyond, how many may lie
 * beyond, and the periods that count together.
 */
#ifndef FARMFILE_BOUND_PART_H
#define FARMFILE_BOUND_PART_H

#include "farmfile/section.h"

/* struct limit_bound */
field_read bound_part_ceiling; /* not above */
field_read bound_part_under;   /* below */
field_read bound_part_floor;   /* not below */
field_read bound_part_over;    /* above */
field_read bound_part_range;   /* "6.5 to 9.0" */

/* struct limit_beyond */
field_read bound_part_counts_above;   /* above a number */
field_read bound_part_counts_from;    /* the number and above */
field_read bound_part_counts_below;   /* below it */
field_read bound_part_counts_to;      /* the number and below */
field_read bound_part_counts_outside; /* "6.0 to 9.0": below the one or above the other */

/* struct limit_bound_by */
field_read bound_part_must_be;     /* the word of a state */
field_read bound_part_must_not_be; /* a word that must not be read */
field_read bound_part_by;          /* a bound over another reading */
extern const struct field_table bound_part_by_table;

/* Another reading: struct limit_other; {station, position, parameter, unit}. */
extern const struct field_table bound_part_other_table;

/* Its canonical unit and position, told where they are wrong. */
void bound_part_check_other(struct field_reader *reader, const struct yaml *node,
                            struct limit_other *other);

field_read bound_part_allowed; /* struct limit_allowance: "2", "2 of 12", "10 %" or rows */
extern const struct field_table bound_part_allowed_table;

field_read bound_part_across; /* struct limit: "2 of 6 periods" */

#endif
