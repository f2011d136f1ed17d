/*
 * Small macros used everywhere. Nothing here has a run-time part.
 */
#ifndef BASE_MACRO_H
#define BASE_MACRO_H

#include <stddef.h>

/* The caller must look at the result. */
#define MUST_CHECK __attribute__((warn_unused_result))

/* The arguments from `first` on belong to the format at position `fmt`. */
#define PRINTF_LIKE(fmt, first) __attribute__((format(printf, fmt, first)))

/* Call `f(&variable)` when the variable goes out of scope. */
#define CLEANUP(f) __attribute__((cleanup(f)))

#define NORETURN __attribute__((noreturn))

#define ARRAY_LEN(a) (sizeof(a) / sizeof((a)[0]))

#endif
