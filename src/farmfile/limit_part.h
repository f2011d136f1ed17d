/*
 * Parts of a limit that take more than one word, and what must hold between its parts.
 */
#ifndef FARMFILE_LIMIT_PART_H
#define FARMFILE_LIMIT_PART_H

#include "farmfile/section.h"

/* A limit as it is read, with the parts that the struct keeps elsewhere. */
struct limit_reading {
    struct limit limit;
    struct section_span in_force;
    struct name_place flow;
    const char *change;
};

extern const char *const limit_part_sample_words[];
extern const char *const limit_part_minute_words[];

field_read limit_part_hour; /* int: "07:00" */

/* struct limit_bound */
field_read limit_part_ceiling; /* not above */
field_read limit_part_under;   /* below */
field_read limit_part_floor;   /* not below */
field_read limit_part_over;    /* above */
field_read limit_part_range;   /* "6.5 to 9.0" */

field_read limit_part_rounding; /* struct limit, with its bound read */
field_read limit_part_factor;   /* const char *: an exact number */
field_read limit_part_margin;   /* struct limit, with its unit read */

/*
 * What must hold between the parts: told where it does not. `had_problems`: the limit is wrong
 * already, so that limit_refuse(), which needs a whole one, is not asked.
 */
void limit_part_check(struct field_reader *reader, const struct yaml *node,
                      struct limit_reading *read, bool had_problems);

#endif
