/*
 * Parts of a limit that take more than one word: figures, rounding, loads, margin.
 */
#ifndef FARMFILE_LIMIT_PART_H
#define FARMFILE_LIMIT_PART_H

#include "farmfile/section.h"

extern const char *const limit_part_sample_words[];
extern const char *const limit_part_percentile_rules[];
extern const char *const limit_part_ammonia_forms[];

field_read limit_part_hour; /* int: "07:00" */

field_read limit_part_word; /* const char *: one of the row's words */

/* int, seconds: one of the row's words, which are limit_part_time_words or limit_part_times_words:
 * "hour", "hours" */
field_read limit_part_time;
extern const char *const limit_part_time_words[];
extern const char *const limit_part_times_words[];

field_read limit_part_geometric; /* struct limit: one of less_than_words */

field_read limit_part_rounding; /* struct limit, with its bound read */
field_read limit_part_factor;   /* const char *: an exact number */

/* struct limit, with its unit, statistic and settings read */
field_read limit_part_margin;

#endif
