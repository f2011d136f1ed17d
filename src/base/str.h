/*
 * Strings: the few things C leaves out. Texts are UTF-8 and end in NUL.
 */
#ifndef BASE_STR_H
#define BASE_STR_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

/* Same bytes; two NULLs are equal. */
bool str_equal(const char *a, const char *b);

/* Same, ASCII letters in either case. */
bool str_equal_nocase(const char *a, const char *b);

bool str_starts(const char *text, const char *prefix);
bool str_ends(const char *text, const char *suffix);

bool str_empty(const char *text); /* NULL or "" */

/* A copy without blanks, tabs and no-break spaces at either end. */
char *str_trim(struct arena *mem, const char *text);

/* An ASCII lower-case copy. */
char *str_lower(struct arena *mem, const char *text);

/*
 * -1, 0 or 1: the order in which people file numbered things. Digits go by the number they make,
 * so that S9 comes before S10; all else by its bytes. NULL comes first.
 */
int str_compare_numbered(const char *a, const char *b);

/*
 * The nearest of `count` words to `word`, for "did you mean": NULL when none is
 * near (more than a third of the letters differ). Case does not count.
 */
const char *str_nearest(const char *word, const char *const *words, size_t count);

/*
 * A text fit to be shown inside a message: control bytes as \xNN, cut after
 * `most` bytes with "...".
 */
char *str_show(struct arena *mem, const char *text, size_t most);

#endif
