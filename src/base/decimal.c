#include "base/decimal.h"

#include <math.h>
#include <stddef.h>

/* Longer than any exponent that could still give a number that fits. */
enum { EXPONENT_MOST = 1000 };

__extension__ typedef __int128 wide;
__extension__ typedef unsigned __int128 wide_unsigned;

const int64_t decimal_power_of_ten[DECIMAL_DIGITS_MOST + 1] = {
    1,
    10,
    100,
    1000,
    10000,
    100000,
    1000000,
    10000000,
    100000000,
    1000000000,
    10000000000,
    100000000000,
    1000000000000,
    10000000000000,
    100000000000000,
    1000000000000000,
    10000000000000000,
    100000000000000000,
    1000000000000000000,
};

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* Digits read so far: their number without leading zeros, and how many stood after the point. */
struct digits {
    int64_t coefficient;
    int significant;
    int after_point;
    bool overlong;
};

/* Add the digits at `text`; the first byte after them, or NULL when there is none at all. */
static const char *digits_add(const char *text, bool after_point, struct digits *digits)
{
    if (!is_digit(*text))
        return NULL;
    for (; is_digit(*text); text++) {
        digits->significant += digits->significant > 0 || *text != '0';
        digits->after_point += after_point;
        if (digits->significant > DECIMAL_DIGITS_MOST || digits->after_point > EXPONENT_MOST)
            digits->overlong = true;
        if (!digits->overlong)
            digits->coefficient = digits->coefficient * 10 + (*text - '0');
    }

    return text;
}

/* Read [+-]digits up to the end of the text. A huge exponent stays huge, not exact. */
static bool exponent_parse(const char *text, int *out)
{
    bool negative = *text == '-';
    int exponent = 0;

    if (*text == '-' || *text == '+')
        text++;
    if (!is_digit(*text))
        return false;
    for (; is_digit(*text); text++)
        if (exponent <= 2 * EXPONENT_MOST)
            exponent = exponent * 10 + (*text - '0');
    *out = negative ? -exponent : exponent;

    return *text == '\0';
}

/* Move the point so that the scale is 0..18. */
static bool scale_fit(struct digits *digits, int scale)
{
    if (digits->overlong || scale > DECIMAL_DIGITS_MOST)
        return false;
    if (scale < 0 && digits->coefficient != 0) {
        if (digits->significant - scale > DECIMAL_DIGITS_MOST)
            return false;
        digits->coefficient *= decimal_power_of_ten[-scale];
    }

    return true;
}

bool decimal_parse(const char *text, struct decimal *out)
{
    struct digits digits = {0};
    bool negative = *text == '-';
    int exponent = 0;

    if (*text == '-' || *text == '+')
        text++;
    text = digits_add(text, false, &digits);
    if (text && *text == '.')
        text = digits_add(text + 1, true, &digits);
    if (!text)
        return false;
    if (*text == 'e' || *text == 'E') {
        if (!exponent_parse(text + 1, &exponent))
            return false;
    } else if (*text) {
        return false;
    }

    int scale = digits.after_point - exponent;

    if (!scale_fit(&digits, scale))
        return false;

    out->coefficient = negative ? -digits.coefficient : digits.coefficient;
    out->scale = (uint8_t)(scale < 0 ? 0 : scale);

    return true;
}

static uint64_t magnitude(int64_t value)
{
    return value < 0 ? -(uint64_t)value : (uint64_t)value;
}

char *decimal_text(struct arena *mem, struct decimal value)
{
    uint64_t over = magnitude(value.coefficient);
    uint64_t under = (uint64_t)decimal_power_of_ten[value.scale];
    const char *sign = value.coefficient < 0 ? "-" : "";

    if (value.scale == 0)
        return arena_printf(mem, "%s%llu", sign, (unsigned long long)over);

    return arena_printf(mem, "%s%llu.%0*llu", sign, (unsigned long long)(over / under), value.scale,
                        (unsigned long long)(over % under));
}

int decimal_significant_figures(struct decimal value)
{
    uint64_t rest = magnitude(value.coefficient);
    int figures = 1;

    while (rest >= 10) {
        rest /= 10;
        figures++;
    }

    return figures;
}

int decimal_compare(struct decimal a, struct decimal b)
{
    if (a.scale == b.scale)
        return (a.coefficient > b.coefficient) - (a.coefficient < b.coefficient);

    wide left = (wide)a.coefficient * decimal_power_of_ten[b.scale];
    wide right = (wide)b.coefficient * decimal_power_of_ten[a.scale];

    return (left > right) - (left < right);
}

/*
 * Up to 2^53 both numbers are doubles, so one division rounds once. Above it, 64 more bits are
 * taken before dividing and the remainder is kept as the last bit, so that turning the
 * quotient into a double is the only rounding.
 */
double decimal_double(struct decimal value)
{
    enum { MORE_BITS = 64 };
    uint64_t over = magnitude(value.coefficient);
    uint64_t under = (uint64_t)decimal_power_of_ten[value.scale];
    double found;

    if (over <= (uint64_t)1 << 53) {
        found = (double)over / (double)under;
    } else {
        wide_unsigned shifted = (wide_unsigned)over << MORE_BITS;
        wide_unsigned quotient = shifted / under;

        quotient |= shifted % under != 0;
        found = ldexp((double)quotient, -MORE_BITS);
    }

    return value.coefficient < 0 ? -found : found;
}

struct decimal decimal_last_step(struct decimal value)
{
    return (struct decimal){.coefficient = 1, .scale = value.scale};
}
