/*
 * Values: the readers that rows of a field table name. Each gets into + offset of its row, which
 * must be of the type told here, leaves it untouched when the value is unfit, and tells why.
 */
#ifndef FARMFILE_VALUE_H
#define FARMFILE_VALUE_H

#include "farmfile/field.h"

typedef void field_read(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into);

field_read value_text;   /* const char *: any text, without blanks at its ends */
field_read value_key;    /* const char *: short, lower case: a-z, 0-9 and hyphens */
field_read value_day;    /* day_number: 2026-01-31 */
field_read value_season; /* int: month and day, 10-01 is 1001 */
field_read value_yes_no; /* bool: yes or no */
field_read value_choice; /* an enum: place of the word in the row's words */
/* The same of an enum whose first is "unset" or "none", and has no word. */
field_read value_choice_set;

field_read value_either; /* bool: the row's second word, and not its first */
field_read value_number; /* struct decimal, with a decimal point */
field_read value_count;  /* int in the row's least..most */

/* int in the row's least..most with one of its words behind it: "7 days". */
field_read value_amount;

/* struct decimal: "75 %", from 0 to 100. */
field_read value_percent;

/* A list of texts, or a single one. */
struct texts {
    const char **items;
    size_t count;
};
bool value_texts(struct field_reader *reader, const struct field *field, const struct yaml *value,
                 struct texts *out);

/* A text that is one of the row's words: its place; -1, and told, when it is none. */
int value_word(struct field_reader *reader, const struct field *field, const struct yaml *value);

/* A text split at its blanks into at most `most` words; -1 when there are more. */
int value_split(struct field_reader *reader, const struct yaml *value, const char **words,
                int most);

/* Digits only, in least..most. */
bool value_parse_count(const char *text, int least, int most, int *out);

/* A key that an item above in the same list has already: told, false. */
bool value_key_once(struct field_reader *reader, const struct field_table *table,
                    const struct yaml *list, size_t position);

#endif
