/* What another library (jansson, whose names are also those of our own readers) says of a text. */
#ifndef TESTS_FUZZ_JSON_THEIRS_H
#define TESTS_FUZZ_JSON_THEIRS_H

#include <stdbool.h>
#include <stddef.h>

enum theirs { THEIRS_NONE, THEIRS_DOCUMENT, THEIRS_TOO_LARGE /* a number beyond a double */ };

/* Whether the text is one document. */
enum theirs json_theirs_read(const char *text, size_t size);

/* Whether both texts are documents that say the same. */
bool json_theirs_same(const char *one, size_t one_size, const char *other, size_t other_size);

#endif
