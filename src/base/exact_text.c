#include <string.h>

#include "base/exact_inside.h"

/* Figures that a number is shown with where nothing says how to round, and it is no decimal. */
enum { FIGURES_SHOWN = 12 };

/* out = over * 10^exponent / under, as the two sides of a division. */
static void scale_sides(mpq_srcptr value, int exponent, mpz_ptr over, mpz_ptr under)
{
    INTEGER(power);

    mpz_ui_pow_ui(power, 10, (unsigned long)(exponent < 0 ? -exponent : exponent));
    mpz_set(over, mpq_numref(value));
    mpz_set(under, mpq_denref(value));
    mpz_mul(exponent < 0 ? under : over, exponent < 0 ? under : over, power);
}

/* Place of the first digit that is not 0: 0 for 1..9.99, -2 for 0.03. Of 0: 0. */
static int leading_place(mpq_srcptr value)
{
    if (mpq_sgn(value) == 0)
        return 0;

    INTEGER(over);
    INTEGER(under);
    /* mpz_sizeinbase may be one too large on either side. */
    int place =
        (int)mpz_sizeinbase(mpq_numref(value), 10) - (int)mpz_sizeinbase(mpq_denref(value), 10) - 2;

    for (;; place++) {
        scale_sides(value, -(place + 1), over, under);
        if (mpz_cmpabs(over, under) < 0)
            return place;
    }
}

/* Decimals that a rounding keeps of this value; may be negative. */
static int decimals_kept(mpq_srcptr value, struct rounding rounding)
{
    if (rounding.to == ROUND_TO_DECIMALS)
        return rounding.digits;

    return rounding.digits - 1 - leading_place(value);
}

/* Round over / under to an integer: nearest, and a tie as the rule says. */
static void divide_rounded(mpz_ptr out, mpz_srcptr over, mpz_srcptr under, enum rounding_rule rule)
{
    INTEGER(rest);
    bool negative = mpz_sgn(over) < 0;

    mpz_tdiv_qr(out, rest, over, under);
    mpz_mul_2exp(rest, rest, 1);

    int half = mpz_cmpabs(rest, under);
    bool away = half > 0 || (half == 0 && (rule == ROUND_HALF_UP || mpz_odd_p(out)));

    if (away && negative)
        mpz_sub_ui(out, out, 1);
    else if (away)
        mpz_add_ui(out, out, 1);
}

const struct exact *exact_round(struct arena *mem, const struct exact *value,
                                struct rounding rounding)
{
    mpq_t from;

    if (rounding.rule == ROUND_NONE)
        return value;
    exact_view(from, value);

    RATIONAL(rounded);
    INTEGER(over);
    INTEGER(under);
    int decimals = decimals_kept(from, rounding);

    scale_sides(from, decimals, over, under);
    divide_rounded(mpq_numref(rounded), over, under, rounding.rule);
    scale_sides(rounded, -decimals, over, under);
    mpz_set(mpq_numref(rounded), over);
    mpz_set(mpq_denref(rounded), under);
    mpq_canonicalize(rounded);

    return exact_keep(mem, rounded);
}

static char *integer_text(struct arena *mem, mpz_srcptr value)
{
    return mpz_get_str(arena_alloc(mem, mpz_sizeinbase(value, 10) + 2), 10, value);
}

/* A value that is a decimal of at most `decimals` digits after the point, with all of them. */
static char *digits_text(struct arena *mem, const struct exact *value, int decimals)
{
    mpq_t from;
    INTEGER(over);
    INTEGER(under);
    size_t after = decimals > 0 ? (size_t)decimals : 0;

    exact_view(from, value);
    scale_sides(from, (int)after, over, under);
    mpz_divexact(over, over, under);
    mpz_abs(over, over);

    const char *digits = integer_text(mem, over);
    size_t count = strlen(digits);

    if (count <= after)
        digits = arena_printf(mem, "%0*d%s", (int)(after + 1 - count), 0, digits);

    size_t before = strlen(digits) - after;

    return arena_printf(mem, "%s%.*s%s%s", value->over_size < 0 ? "-" : "", (int)before, digits,
                        after ? "." : "", digits + before);
}

/* Drop zeros at the end of the part after the point, and the point when nothing is left. */
static char *without_trailing_zeros(char *text)
{
    if (!strchr(text, '.'))
        return text;

    char *end = text + strlen(text);

    while (end[-1] == '0')
        end--;
    if (end[-1] == '.')
        end--;
    *end = '\0';

    return text;
}

/* Text of an already rounded value, with the digits that the rounding keeps. */
static char *rounded_digits(struct arena *mem, const struct exact *rounded,
                            struct rounding rounding)
{
    mpq_t from;

    exact_view(from, rounded);
    if (rounded->over_size == 0 && rounding.to == ROUND_TO_FIGURES)
        return arena_strdup(mem, "0");

    return digits_text(mem, rounded, decimals_kept(from, rounding));
}

char *exact_text(struct arena *mem, const struct exact *value, int figures)
{
    struct rounding rounding = {ROUND_HALF_UP, ROUND_TO_FIGURES, figures};

    return without_trailing_zeros(rounded_digits(mem, exact_round(mem, value, rounding), rounding));
}

char *exact_rounded_text(struct arena *mem, const struct exact *value, struct rounding rounding)
{
    if (rounding.rule != ROUND_NONE)
        return rounded_digits(mem, exact_round(mem, value, rounding), rounding);

    struct rounding longest = {ROUND_HALF_UP, ROUND_TO_FIGURES, DECIMAL_DIGITS_MOST};
    bool short_decimal = exact_compare(exact_round(mem, value, longest), value) == 0;

    return exact_text(mem, value, short_decimal ? DECIMAL_DIGITS_MOST : FIGURES_SHOWN);
}

char *exact_ratio_text(struct arena *mem, const struct exact *value)
{
    mpq_t from;

    exact_view(from, value);

    char *over = integer_text(mem, mpq_numref(from));

    if (mpz_cmp_ui(mpq_denref(from), 1) == 0)
        return over;

    return arena_printf(mem, "%s/%s", over, integer_text(mem, mpq_denref(from)));
}
