/*
 * Number: a value on its way into a statistic. Nearly every reading fits a decimal, and a month
 * of them is added, compared and sorted without a rational; where a unit's factor is no decimal
 * (gallons, feet) the rational is carried instead. Both are exact, and which one it is never
 * shows in a result.
 */
#ifndef STAT_NUMBER_H
#define STAT_NUMBER_H

#include <stdbool.h>
#include <stddef.h>

#include "base/decimal.h"
#include "base/exact.h"

struct number {
    struct decimal decimal;    /* the value, where `exact` is NULL */
    const struct exact *exact; /* the value, where it is not */
};

struct number number_from_decimal(struct decimal value);

/* As a decimal where the value is one of at most 18 digits. */
struct number number_from_exact(struct arena *mem, const struct exact *value);

const struct exact *number_exact(struct arena *mem, struct number value);

int number_compare(struct arena *mem, struct number a, struct number b); /* -1, 0, 1 */
int number_sign(struct number value);

struct number number_add(struct arena *mem, struct number a, struct number b);
struct number number_multiply(struct arena *mem, struct number a, struct number b);

/* Sum of any count; 0 for none. */
const struct exact *number_sum(struct arena *mem, const struct number *values, size_t count);

struct number number_round(struct arena *mem, struct number value, struct rounding rounding);

/* Ascending copy. */
struct number *number_sorted(struct arena *mem, const struct number *values, size_t count);

#endif
