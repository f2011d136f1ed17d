/*
 * Amount: a value on its way into a statistic. Nearly every reading fits a decimal, and a month
 * of them is added, compared and sorted without a rational; where a unit's factor is no decimal
 * (gallons, feet) the rational is carried instead. Both are exact, and which one it is never
 * shows in a result.
 */
#ifndef STAT_AMOUNT_H
#define STAT_AMOUNT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/decimal.h"
#include "base/exact.h"

struct amount {
    struct decimal decimal;    /* the value, where `exact` is NULL */
    const struct exact *exact; /* the value, where it is not */
};

struct amount amount_from_decimal(struct decimal value);

/* As a decimal where the value is one of at most 18 digits. */
struct amount amount_from_exact(const struct exact *value);

const struct exact *amount_exact(struct arena *mem, struct amount value);

double amount_double(struct amount value); /* the nearest */

int amount_compare(struct arena *mem, struct amount a, struct amount b); /* -1, 0, 1 */
int amount_sign(struct amount value);

struct amount amount_add(struct arena *mem, struct amount a, struct amount b);
struct amount amount_subtract(struct arena *mem, struct amount a, struct amount b); /* a - b */
struct amount amount_multiply(struct arena *mem, struct amount a, struct amount b);

/* Sum of any count; 0 for none. */
const struct exact *amount_sum(struct arena *mem, const struct amount *values, size_t count);

struct amount amount_round(struct arena *mem, struct amount value, struct rounding rounding);

/* Ascending copy. */
struct amount *amount_sorted(struct arena *mem, const struct amount *values, size_t count);

#endif
