/*
 * Decimal: a reported number, digit for digit. 0.30 and 0.3 are equal in value and
 * different in what was reported; both are kept.
 *
 * At most 18 digits after leading zeros and a scale of at most 18, so that a value fits in eight
 * bytes and sums of a month fit in sixteen. A longer number is refused, never shortened.
 */
#ifndef BASE_DECIMAL_H
#define BASE_DECIMAL_H

#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"

/* coefficient / 10^scale; {30, 2} is 0.30 */
struct decimal {
    int64_t coefficient;
    uint8_t scale; /* 0..18: digits after the point as reported */
};

enum { DECIMAL_DIGITS_MOST = 18 };

/* 1, 10, 100 ... 10^18; a coefficient stays below the last of them in size. */
extern const int64_t decimal_power_of_ten[DECIMAL_DIGITS_MOST + 1];

/*
 * Read [+-]digits[.digits][e[+-]digits]. False for anything else and for more digits than fit.
 * 1.6E+05 becomes 160000.
 */
bool decimal_parse(const char *text, struct decimal *out);

/* The digits as reported: "0.30", "-2", "160000". */
char *decimal_text(struct arena *mem, struct decimal value);

/* Significant figures as written: 0.30 has 2, 160000 has 6, 0 has 1. */
int decimal_significant_figures(struct decimal value);

/* Exact: -1, 0 or 1. */
int decimal_compare(struct decimal a, struct decimal b);

/* The nearest double. */
double decimal_double(struct decimal value);

/* One step of the last reported digit: {30, 2} -> {1, 2}. */
struct decimal decimal_last_step(struct decimal value);

#endif
