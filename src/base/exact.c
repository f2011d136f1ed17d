#include "base/exact.h"

#include <assert.h>
#include <gmp.h>
#include <math.h>
#include <string.h>

#include "base/buf.h"
#include "base/macro.h"

_Static_assert(GMP_LIMB_BITS == 64 && GMP_NAIL_BITS == 0, "one limb holds one uint64_t");

__extension__ typedef __int128 wide;
__extension__ typedef unsigned __int128 wide_unsigned;

/* Figures a double is brought to, and shown with where nothing says how to round. */
enum { FIGURES_OF_A_DOUBLE = 12 };

/* In lowest terms, `under` positive: the limbs of both numbers, lowest first. */
struct exact {
    mp_size_t over_size; /* negative for a negative number, 0 for 0 */
    mp_size_t under_size;
    mp_limb_t limbs[];
};

static void rational_clear(mpq_t *value)
{
    mpq_clear(*value);
}

static void integer_clear(mpz_t *value)
{
    mpz_clear(*value);
}

#define RATIONAL(name)                                                                             \
    CLEANUP(rational_clear) mpq_t name;                                                            \
    mpq_init(name)
#define INTEGER(name)                                                                              \
    CLEANUP(integer_clear) mpz_t name;                                                             \
    mpz_init(name)

static size_t limbs_of(mp_size_t size)
{
    return (size_t)(size < 0 ? -size : size);
}

/* A GMP number that reads `value` where it lies. Needs no clearing. */
static void view(mpq_ptr out, const struct exact *value)
{
    mpz_roinit_n(mpq_numref(out), value->limbs, value->over_size);
    mpz_roinit_n(mpq_denref(out), value->limbs + limbs_of(value->over_size), value->under_size);
}

static struct exact *exact_with_room(struct arena *mem, mp_size_t over_size, mp_size_t under_size)
{
    size_t limbs = limbs_of(over_size) + limbs_of(under_size);
    struct exact *made = arena_alloc(mem, sizeof(*made) + limbs * sizeof(mp_limb_t));

    made->over_size = over_size;
    made->under_size = under_size;

    return made;
}

/* Copy a number in lowest terms into the arena. */
static const struct exact *keep(struct arena *mem, mpq_srcptr value)
{
    mpz_srcptr over = mpq_numref(value);
    mpz_srcptr under = mpq_denref(value);
    mp_size_t over_size = (mp_size_t)mpz_size(over);
    struct exact *made = exact_with_room(mem, mpz_sgn(over) < 0 ? -over_size : over_size,
                                         (mp_size_t)mpz_size(under));

    mpn_copyi(made->limbs, mpz_limbs_read(over), over_size);
    mpn_copyi(made->limbs + over_size, mpz_limbs_read(under), made->under_size);

    return made;
}

static uint64_t greatest_common_divisor(uint64_t a, uint64_t b)
{
    while (b) {
        uint64_t rest = a % b;

        a = b;
        b = rest;
    }

    return a;
}

/* Without GMP's heap: most numbers begin here. */
static const struct exact *exact_from_pair(struct arena *mem, bool negative, uint64_t over,
                                           uint64_t under)
{
    assert(under != 0);

    uint64_t shared = greatest_common_divisor(over, under);
    mp_size_t over_size = over == 0 ? 0 : negative ? -1 : 1;
    struct exact *made = exact_with_room(mem, over_size, 1);

    if (over)
        made->limbs[0] = over / shared;
    made->limbs[limbs_of(over_size)] = under / shared;

    return made;
}

static uint64_t magnitude(int64_t value)
{
    return value < 0 ? -(uint64_t)value : (uint64_t)value;
}

const struct exact *exact_from_int(struct arena *mem, int64_t value)
{
    return exact_from_pair(mem, value < 0, magnitude(value), 1);
}

const struct exact *exact_from_ratio(struct arena *mem, int64_t over, int64_t under)
{
    return exact_from_pair(mem, (over < 0) != (under < 0), magnitude(over), magnitude(under));
}

const struct exact *exact_from_decimal(struct arena *mem, struct decimal value)
{
    return exact_from_pair(mem, value.coefficient < 0, magnitude(value.coefficient),
                           (uint64_t)decimal_power_of_ten[value.scale]);
}

/* How many digits stand at the start of a text. */
static size_t digits_at(const char *text)
{
    return strspn(text, "0123456789");
}

const struct exact *exact_from_text(struct arena *mem, const char *text)
{
    bool negative = *text == '-';
    const char *over = text + (*text == '-' || *text == '+');
    size_t over_count = digits_at(over);
    const char *mark = over + over_count;
    const char *more = *mark ? mark + 1 : mark;
    size_t more_count = digits_at(more);

    if (over_count == 0 || (*mark && (more_count == 0 || more[more_count])))
        return NULL;
    if (*mark && *mark != '.' && *mark != '/')
        return NULL;

    RATIONAL(value);
    struct buf digits = buf_new(mem);

    buf_add(&digits, over, over_count);
    if (*mark == '.')
        buf_add(&digits, more, more_count);
    mpz_set_str(mpq_numref(value), digits.data, 10);
    if (*mark == '/')
        mpz_set_str(mpq_denref(value), more, 10);
    else
        mpz_ui_pow_ui(mpq_denref(value), 10, more_count);
    if (mpz_sgn(mpq_denref(value)) == 0)
        return NULL;
    if (negative)
        mpq_neg(value, value);
    mpq_canonicalize(value);

    return keep(mem, value);
}

const struct exact *exact_from_double(struct arena *mem, double value)
{
    if (!isfinite(value))
        return NULL;

    RATIONAL(bits);
    mpq_set_d(bits, value);

    return exact_round(mem, keep(mem, bits),
                       (struct rounding){ROUND_HALF_UP, ROUND_TO_FIGURES, FIGURES_OF_A_DOUBLE});
}

static const struct exact *calculate(struct arena *mem, const struct exact *a,
                                     const struct exact *b,
                                     void (*operation)(mpq_ptr, mpq_srcptr, mpq_srcptr))
{
    mpq_t left;
    mpq_t right;
    RATIONAL(result);

    view(left, a);
    view(right, b);
    operation(result, left, right);

    return keep(mem, result);
}

const struct exact *exact_add(struct arena *mem, const struct exact *a, const struct exact *b)
{
    return calculate(mem, a, b, mpq_add);
}

const struct exact *exact_sub(struct arena *mem, const struct exact *a, const struct exact *b)
{
    return calculate(mem, a, b, mpq_sub);
}

const struct exact *exact_mul(struct arena *mem, const struct exact *a, const struct exact *b)
{
    return calculate(mem, a, b, mpq_mul);
}

const struct exact *exact_div(struct arena *mem, const struct exact *a, const struct exact *b)
{
    return b->over_size == 0 ? NULL : calculate(mem, a, b, mpq_div);
}

/* total += sum / under */
static void total_add(mpq_ptr total, wide sum, uint64_t under)
{
    RATIONAL(part);
    wide_unsigned size = sum < 0 ? -(wide_unsigned)sum : (wide_unsigned)sum;
    const uint64_t halves[2] = {(uint64_t)size, (uint64_t)(size >> 64)};

    mpz_import(mpq_numref(part), 2, -1, sizeof(halves[0]), 0, 0, halves);
    mpz_import(mpq_denref(part), 1, -1, sizeof(under), 0, 0, &under);
    if (sum < 0)
        mpq_neg(part, part);
    mpq_canonicalize(part);
    mpq_add(total, total, part);
}

/* Small numbers over the same denominator, added up without GMP. */
struct pile {
    uint64_t under;
    wide sum;
};

enum { PILES_MOST = 32 };

struct piles {
    struct pile items[PILES_MOST];
    size_t count;
};

/* False when the number is too large for a pile, or there are too many different ones. */
static bool piles_add(struct piles *piles, const struct exact *value)
{
    if (value->over_size == 0)
        return true;
    if (limbs_of(value->over_size) > 1 || value->under_size > 1)
        return false;

    wide over = value->over_size < 0 ? -(wide)value->limbs[0] : (wide)value->limbs[0];
    size_t i = 0;

    while (i < piles->count && piles->items[i].under != value->limbs[1])
        i++;
    if (i == PILES_MOST)
        return false;
    if (i == piles->count)
        piles->items[piles->count++] = (struct pile){.under = value->limbs[1]};
    piles->items[i].sum += over;

    return true;
}

const struct exact *exact_sum(struct arena *mem, const struct exact *const *items, size_t count)
{
    RATIONAL(total);
    struct piles piles = {.count = 0};

    for (size_t i = 0; i < count; i++) {
        mpq_t item;

        if (piles_add(&piles, items[i]))
            continue;
        view(item, items[i]);
        mpq_add(total, total, item);
    }
    for (size_t i = 0; i < piles.count; i++)
        total_add(total, piles.items[i].sum, piles.items[i].under);

    return keep(mem, total);
}

const struct exact *exact_sum_decimals(struct arena *mem, const struct decimal *items, size_t count)
{
    RATIONAL(total);
    wide sums[DECIMAL_DIGITS_MOST + 1] = {0};

    for (size_t i = 0; i < count; i++)
        sums[items[i].scale] += items[i].coefficient;
    for (unsigned scale = 0; scale < ARRAY_LEN(sums); scale++)
        if (sums[scale] != 0)
            total_add(total, sums[scale], (uint64_t)decimal_power_of_ten[scale]);

    return keep(mem, total);
}

int exact_compare(const struct exact *a, const struct exact *b)
{
    mpq_t left;
    mpq_t right;

    view(left, a);
    view(right, b);

    int order = mpq_cmp(left, right);

    return (order > 0) - (order < 0);
}

int exact_sign(const struct exact *a)
{
    return (a->over_size > 0) - (a->over_size < 0);
}

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
    view(from, value);

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

    return keep(mem, rounded);
}

/*
 * mpq_get_d() cuts; this rounds to nearest: a quotient of 66 bits or more whose last bit also
 * says whether anything was left, turned into a double once.
 */
double exact_double(const struct exact *value)
{
    enum { QUOTIENT_BITS = 66 };
    mpq_t from;
    INTEGER(over);
    INTEGER(under);
    INTEGER(rest);

    if (value->over_size == 0)
        return 0;
    view(from, value);
    mpz_abs(over, mpq_numref(from));
    mpz_set(under, mpq_denref(from));

    int shift = QUOTIENT_BITS - (int)mpz_sizeinbase(over, 2) + (int)mpz_sizeinbase(under, 2);

    if (shift > 0)
        mpz_mul_2exp(over, over, (mp_bitcnt_t)shift);
    else
        mpz_mul_2exp(under, under, (mp_bitcnt_t)-shift);
    mpz_tdiv_qr(over, rest, over, under);

    wide_unsigned quotient = (wide_unsigned)mpz_getlimbn(over, 1) << 64 | mpz_getlimbn(over, 0);

    quotient |= mpz_sgn(rest) != 0;

    double found = ldexp((double)quotient, -shift);

    return value->over_size < 0 ? -found : found;
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

    view(from, value);
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

    view(from, rounded);
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

    return exact_text(mem, value, short_decimal ? DECIMAL_DIGITS_MOST : FIGURES_OF_A_DOUBLE);
}

char *exact_ratio_text(struct arena *mem, const struct exact *value)
{
    mpq_t from;

    view(from, value);

    char *over = integer_text(mem, mpq_numref(from));

    if (mpz_cmp_ui(mpq_denref(from), 1) == 0)
        return over;

    return arena_printf(mem, "%s/%s", over, integer_text(mem, mpq_denref(from)));
}
