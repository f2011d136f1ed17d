/*
 * Parts of a source that take more than one word.
 */
#ifndef FARMFILE_SOURCE_PART_H
#define FARMFILE_SOURCE_PART_H

#include "farmfile/section.h"

field_read source_part_separator; /* char */
field_read source_part_mark;      /* char: '.' or ',' */
field_read source_part_clock;     /* struct source: clock and offset_s */
field_read source_part_zone;      /* const char * */
field_read source_part_time;      /* struct source: time_headers, time_format */
field_read source_part_until;     /* struct source: until_headers */
field_read source_part_kind;      /* unsigned */
field_read source_part_columns;   /* struct source */
field_read source_part_comments;  /* struct source */
field_read source_part_blanks;    /* struct source */
field_read source_part_not_detected;
field_read source_part_ignored;
field_read source_part_ignored_parameters;
field_read source_part_sheets;

/* struct source_words, each with the check of what a word may mean. */
field_read source_part_station_words;
field_read source_part_parameter_words;
field_read source_part_unit_words;
field_read source_part_state_words;
field_read source_part_flag_words;
field_read source_part_purpose_words;
field_read source_part_clock_words;

extern const char *const source_part_separators[];
extern const char *const source_part_marks[];
extern const char *const source_part_kinds[];
extern const struct field_table source_part_column_table;
extern const struct field_table source_part_time_table;
extern const struct field_table source_part_until_table;

#endif
