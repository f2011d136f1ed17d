/*
 * Exact numbers: rationals of any size (GMP inside), for every figure that is compared
 * with a bound. A figure is rounded once, at the end, by a named rule.
 *
 * Values never change once made and live in the arena given.
 */
#ifndef BASE_EXACT_H
#define BASE_EXACT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/decimal.h"

struct exact; /* opaque, immutable */

const struct exact *exact_from_int(struct arena *mem, int64_t value);
const struct exact *exact_from_ratio(struct arena *mem, int64_t over,
                                     int64_t under); /* under != 0 */
const struct exact *exact_from_decimal(struct arena *mem, struct decimal value);

/* "8.34", "-0.5", "1/3", "3785411784/453592370": NULL when it is none of these. No limit of digits.
 */
const struct exact *exact_from_text(struct arena *mem, const char *text);

/*
 * A double brought to 12 significant digits (round half up on its exact decimal value), for
 * results of log, exp and sqrt. NULL for NaN and infinities.
 */
const struct exact *exact_from_double(struct arena *mem, double value);

const struct exact *exact_add(struct arena *mem, const struct exact *a, const struct exact *b);
const struct exact *exact_sub(struct arena *mem, const struct exact *a, const struct exact *b);
const struct exact *exact_mul(struct arena *mem, const struct exact *a, const struct exact *b);

/* NULL when b is zero. */
const struct exact *exact_div(struct arena *mem, const struct exact *a, const struct exact *b);

/* Sums; quick for decimals (sixteen-byte integers inside). The empty sum is 0. */
const struct exact *exact_sum(struct arena *mem, const struct exact *const *items, size_t count);
const struct exact *exact_sum_decimals(struct arena *mem, const struct decimal *items,
                                       size_t count);

int exact_compare(const struct exact *a, const struct exact *b); /* -1, 0, 1 */
int exact_sign(const struct exact *a);

/* As a decimal without zeros at its end; false, where it is none of at most 18 digits. */
bool exact_decimal(const struct exact *value, struct decimal *out);

enum rounding_rule { ROUND_NONE, ROUND_HALF_UP, ROUND_HALF_EVEN };
enum rounding_to { ROUND_TO_DECIMALS, ROUND_TO_FIGURES };

/* Half up is away from zero, as the published rules have it. */
struct rounding {
    enum rounding_rule rule;
    enum rounding_to to;
    int digits; /* decimals (may be negative: tens, hundreds) or significant figures (1..18) */
};

const struct exact *exact_round(struct arena *mem, const struct exact *value,
                                struct rounding rounding);

double exact_double(const struct exact *value);

/*
 * Digits for people and for storing: exactly, when the value is a decimal of at most
 * `figures` significant digits; otherwise rounded half up to that many. Never in
 * exponent form; trailing zeros after the point are dropped.
 */
char *exact_text(struct arena *mem, const struct exact *value, int figures);

/*
 * The value after rounding, with the digits its rounding keeps: 5.90 for two decimals. Without
 * rounding: every digit of a decimal of up to 18, twelve figures of anything longer.
 */
char *exact_rounded_text(struct arena *mem, const struct exact *value, struct rounding rounding);

/* "3/7" or "25": every digit, for the record; exact_from_text reads it back. */
char *exact_ratio_text(struct arena *mem, const struct exact *value);

#endif
