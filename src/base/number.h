/*
 * Number: reading one value cell of a logger's or a laboratory's sheet, exactly as written.
 *
 * A cell is blank, a value with its qualifier, a not-detected, or unreadable with the
 * reason in words. Nothing is guessed: `1,234` is 1.234 in a file that writes decimal
 * commas and unreadable in one that writes decimal points, and no mark groups thousands.
 *
 * Blanks and no-break spaces around the cell, and between a qualifier and its number, do
 * not count. The Unicode minus is a minus. ".5" is read as 0.5.
 */
#ifndef BASE_NUMBER_H
#define BASE_NUMBER_H

#include <stddef.h>

#include "base/decimal.h"

/* How a file writes its numbers. Words are compared whole, ASCII letters in either case. */
struct number_style {
    char decimal_mark;              /* '.' or ',' */
    const char *const *blank_words; /* cells that say nothing, such as "-" or "-9999" */
    size_t blank_word_count;
    const char *const *not_detected_words; /* beside number_not_detected_words */
    size_t not_detected_word_count;
};

/* What says not detected in every file; NULL ends the list. */
extern const char *const number_not_detected_words[];

enum number_kind {
    NUMBER_BLANK,        /* an empty cell or a blank word */
    NUMBER_VALUE,        /* qualifier and value */
    NUMBER_NOT_DETECTED, /* in words, without a limit */
    NUMBER_UNREADABLE,   /* why and what_to_do */
};

struct number {
    enum number_kind kind;
    char qualifier; /* '=', '<' or '>' */
    struct decimal value;
    const char *why;        /* "it has two separators": lower case, no full stop */
    const char *what_to_do; /* a sentence */
};

/* Read one cell. Takes no memory; the texts of the answer are constant. */
struct number number_read(const struct number_style *style, const char *cell);

#endif
