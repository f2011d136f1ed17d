/*
 * Moment: instants and lengths of time as a farm writes them.
 */
#ifndef FARMFILE_MOMENT_H
#define FARMFILE_MOMENT_H

#include "farmfile/value.h"

/*
 * "2026-03-18 09:30" on the farm's clocks, or with its offset as 2026-03-18T09:30:00+13:00. False,
 * and told, when it is neither, or comes twice or never in the farm's zone.
 */
bool moment_read(struct field_reader *reader, const struct field *field, const struct yaml *value,
                 const char *text, instant *out);

/* int, seconds: "20 minutes", "1 hour", "3 days"; in the row's least..most, which are seconds. */
field_read moment_length;

/* The words of moment_length(), for rows of it. */
extern const char *const moment_length_words[];

/* "HH:MM" to a minute of the day, 0 to 1439, and with 24:00 allowed to 1440. False: it is none. */
bool moment_parse_minute(const char *text, bool end_of_day, int *out);

/* A number and a word of length, as "20" and "minutes", to seconds. False: it is none. */
bool moment_parse_length(const char *count, const char *unit, int *seconds);

#endif
