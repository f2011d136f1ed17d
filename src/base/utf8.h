/*
 * UTF-8 by the character (RFC 3629): shortest forms only, no surrogates.
 */
#ifndef BASE_UTF8_H
#define BASE_UTF8_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Bytes of the character at `at`, of which `left` may be read; 0 when it is not UTF-8. */
size_t utf8_character(const char *at, size_t left, uint32_t *character);

/*
 * Characters that no editor shows and that would hide in a name or break a line unseen: controls
 * but tab, line feed and carriage return, line separators, byte order marks.
 */
bool utf8_unseen(uint32_t character);

#endif
