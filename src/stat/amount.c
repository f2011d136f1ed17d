#include "stat/amount.h"

#include <stdlib.h>
#include <string.h>

__extension__ typedef __int128 wide;

struct amount amount_from_decimal(struct decimal value)
{
    return (struct amount){.decimal = value};
}

struct amount amount_from_exact(const struct exact *value)
{
    struct decimal decimal;

    return exact_decimal(value, &decimal) ? amount_from_decimal(decimal)
                                          : (struct amount){.exact = value};
}

const struct exact *amount_exact(struct arena *mem, struct amount value)
{
    return value.exact ? value.exact : exact_from_decimal(mem, value.decimal);
}

double amount_double(struct amount value)
{
    return value.exact ? exact_double(value.exact) : decimal_double(value.decimal);
}

int amount_compare(struct arena *mem, struct amount a, struct amount b)
{
    if (!a.exact && !b.exact)
        return decimal_compare(a.decimal, b.decimal);

    return exact_compare(amount_exact(mem, a), amount_exact(mem, b));
}

int amount_sign(struct amount value)
{
    if (value.exact)
        return exact_sign(value.exact);

    return (value.decimal.coefficient > 0) - (value.decimal.coefficient < 0);
}

static bool fits(wide coefficient, int scale)
{
    int64_t end = decimal_power_of_ten[DECIMAL_DIGITS_MOST];

    return scale <= DECIMAL_DIGITS_MOST && coefficient < end && coefficient > -end;
}

/* coefficient / 10^scale as a decimal, dropping zeros at its end until it fits. */
static bool decimal_fit(wide coefficient, int scale, struct decimal *out)
{
    while (!fits(coefficient, scale) && scale > 0 && coefficient % 10 == 0) {
        coefficient /= 10;
        scale--;
    }
    if (!fits(coefficient, scale))
        return false;

    *out = (struct decimal){.coefficient = (int64_t)coefficient, .scale = (uint8_t)scale};

    return true;
}

struct amount amount_add(struct arena *mem, struct amount a, struct amount b)
{
    struct amount sum = {.exact = NULL};
    uint8_t scale = a.decimal.scale > b.decimal.scale ? a.decimal.scale : b.decimal.scale;

    if (!a.exact && !b.exact &&
        decimal_fit((wide)a.decimal.coefficient * decimal_power_of_ten[scale - a.decimal.scale] +
                        (wide)b.decimal.coefficient * decimal_power_of_ten[scale - b.decimal.scale],
                    scale, &sum.decimal))
        return sum;

    sum.exact = exact_add(mem, amount_exact(mem, a), amount_exact(mem, b));

    return sum;
}

struct amount amount_multiply(struct arena *mem, struct amount a, struct amount b)
{
    struct amount product = {.exact = NULL};

    if (!a.exact && !b.exact &&
        decimal_fit((wide)a.decimal.coefficient * b.decimal.coefficient,
                    a.decimal.scale + b.decimal.scale, &product.decimal))
        return product;

    product.exact = exact_mul(mem, amount_exact(mem, a), amount_exact(mem, b));

    return product;
}

struct amount amount_subtract(struct arena *mem, struct amount a, struct amount b)
{
    if (b.exact)
        return (struct amount){.exact = exact_sub(mem, amount_exact(mem, a), b.exact)};
    b.decimal.coefficient = -b.decimal.coefficient;

    return amount_add(mem, a, b);
}

const struct exact *amount_sum(struct arena *mem, const struct amount *values, size_t count)
{
    struct decimal *decimals = ARENA_ARRAY(mem, struct decimal, count);
    const struct exact **rest = ARENA_ARRAY(mem, const struct exact *, count);
    size_t decimal_count = 0;
    size_t rest_count = 0;

    for (size_t i = 0; i < count; i++)
        if (values[i].exact)
            rest[rest_count++] = values[i].exact;
        else
            decimals[decimal_count++] = values[i].decimal;

    const struct exact *sum = exact_sum_decimals(mem, decimals, decimal_count);

    return rest_count == 0 ? sum : exact_add(mem, sum, exact_sum(mem, rest, rest_count));
}

/* Digits at the end of a decimal that a rounding takes away; 0 or less: none. */
static int digits_dropped(struct decimal value, struct rounding rounding)
{
    if (rounding.to == ROUND_TO_DECIMALS)
        return value.scale - rounding.digits;

    return decimal_significant_figures(value) - rounding.digits;
}

/* value.coefficient / 10^drop to the nearest integer, a tie as the rule says. */
static int64_t coefficient_rounded(int64_t coefficient, int drop, enum rounding_rule rule)
{
    int64_t unit = decimal_power_of_ten[drop];
    int64_t kept = coefficient / unit;
    int64_t rest = coefficient % unit;
    wide twice = (wide)(rest < 0 ? -rest : rest) * 2;
    bool away = twice > unit || (twice == unit && (rule == ROUND_HALF_UP || kept % 2 != 0));

    return away ? kept + (coefficient < 0 ? -1 : 1) : kept;
}

struct amount amount_round(struct arena *mem, struct amount value, struct rounding rounding)
{
    if (rounding.rule == ROUND_NONE)
        return value;

    int drop = value.exact ? 0 : digits_dropped(value.decimal, rounding);

    if (value.exact || drop > DECIMAL_DIGITS_MOST)
        return (struct amount){.exact = exact_round(mem, amount_exact(mem, value), rounding)};
    if (drop <= 0)
        return value;

    wide kept = coefficient_rounded(value.decimal.coefficient, drop, rounding.rule);
    int scale = value.decimal.scale - drop;
    struct amount rounded = {.exact = NULL};

    for (; scale < 0; scale++)
        kept *= 10;
    if (!decimal_fit(kept, scale, &rounded.decimal))
        rounded.exact = exact_round(mem, amount_exact(mem, value), rounding);

    return rounded;
}

static int order(const void *a, const void *b, void *mem)
{
    return amount_compare(mem, *(const struct amount *)a, *(const struct amount *)b);
}

/* Whether all are decimals of one scale, as the readings of a series mostly are. */
static bool of_one_scale(const struct amount *values, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (values[i].exact || values[i].decimal.scale != values[0].decimal.scale)
            return false;

    return count > 0;
}

static int coefficient_order(const void *a, const void *b)
{
    int64_t left = *(const int64_t *)a;
    int64_t right = *(const int64_t *)b;

    return (left > right) - (left < right);
}

static void sort_of_one_scale(struct arena *mem, const struct amount *values, size_t count,
                              struct amount *sorted)
{
    int64_t *coefficients = ARENA_ARRAY(mem, int64_t, count);

    for (size_t i = 0; i < count; i++)
        coefficients[i] = values[i].decimal.coefficient;
    qsort(coefficients, count, sizeof(*coefficients), coefficient_order);
    for (size_t i = 0; i < count; i++)
        sorted[i].decimal = (struct decimal){coefficients[i], values[0].decimal.scale};
}

struct amount *amount_sorted(struct arena *mem, const struct amount *values, size_t count)
{
    struct amount *sorted = ARENA_ARRAY(mem, struct amount, count);

    if (of_one_scale(values, count)) {
        sort_of_one_scale(mem, values, count, sorted);
        return sorted;
    }
    if (count > 0)
        memcpy(sorted, values, count * sizeof(*sorted));
    qsort_r(sorted, count, sizeof(*sorted), order, mem);

    return sorted;
}
