#include "base/exact.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "base/buf.h"
#include "base/exact_inside.h"

__extension__ typedef __int128 wide;
__extension__ typedef unsigned __int128 wide_unsigned;

/* Figures a double is brought to. */
enum { FIGURES_OF_A_DOUBLE = 12 };

static size_t limbs_of(mp_size_t size)
{
    return (size_t)(size < 0 ? -size : size);
}

void exact_view(mpq_ptr out, const struct exact *value)
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

const struct exact *exact_keep(struct arena *mem, mpq_srcptr value)
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
    if (b == 1)
        return 1;
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

    return exact_keep(mem, value);
}

const struct exact *exact_from_double(struct arena *mem, double value)
{
    if (!isfinite(value))
        return NULL;

    RATIONAL(bits);
    mpq_set_d(bits, value);

    return exact_round(mem, exact_keep(mem, bits),
                       (struct rounding){ROUND_HALF_UP, ROUND_TO_FIGURES, FIGURES_OF_A_DOUBLE});
}

/* --- small numbers, whose two sides have one limb each: most there are. Without GMP's heap. --- */

struct small {
    bool negative;
    uint64_t over;
    uint64_t under;
};

/* False: it is larger. */
static bool small_from(const struct exact *value, struct small *out)
{
    size_t limbs = limbs_of(value->over_size);

    if (limbs > 1 || value->under_size != 1)
        return false;
    *out = (struct small){.negative = value->over_size < 0,
                          .over = limbs == 1 ? value->limbs[0] : 0,
                          .under = value->limbs[limbs]};

    return true;
}

/* a + b over their least common denominator; NULL: one of the sides gets too large. */
static const struct exact *small_add(struct arena *mem, const struct small *a,
                                     const struct small *b)
{
    uint64_t shared = greatest_common_divisor(a->under, b->under);
    uint64_t left;
    uint64_t right;
    uint64_t over;
    uint64_t under;

    if (__builtin_mul_overflow(a->over, b->under / shared, &left) ||
        __builtin_mul_overflow(b->over, a->under / shared, &right) ||
        __builtin_mul_overflow(a->under, b->under / shared, &under))
        return NULL;
    if (a->negative != b->negative)
        return exact_from_pair(mem, left > right ? a->negative : b->negative,
                               left > right ? left - right : right - left, under);
    if (__builtin_add_overflow(left, right, &over))
        return NULL;

    return exact_from_pair(mem, a->negative, over, under);
}

static const struct exact *small_multiply(struct arena *mem, const struct small *a,
                                          const struct small *b)
{
    uint64_t one = greatest_common_divisor(a->over, b->under);
    uint64_t other = greatest_common_divisor(b->over, a->under);
    uint64_t over;
    uint64_t under;

    if (__builtin_mul_overflow(a->over / one, b->over / other, &over) ||
        __builtin_mul_overflow(a->under / other, b->under / one, &under))
        return NULL;

    return exact_from_pair(mem, a->negative != b->negative, over, under);
}

/* --- of any size ---------------------------------------------------------------------------- */

static const struct exact *calculate(struct arena *mem, const struct exact *a,
                                     const struct exact *b,
                                     void (*operation)(mpq_ptr, mpq_srcptr, mpq_srcptr))
{
    mpq_t left;
    mpq_t right;
    RATIONAL(result);

    exact_view(left, a);
    exact_view(right, b);
    operation(result, left, right);

    return exact_keep(mem, result);
}

const struct exact *exact_add(struct arena *mem, const struct exact *a, const struct exact *b)
{
    struct small left;
    struct small right;
    const struct exact *sum = NULL;

    if (small_from(a, &left) && small_from(b, &right))
        sum = small_add(mem, &left, &right);

    return sum ? sum : calculate(mem, a, b, mpq_add);
}

const struct exact *exact_sub(struct arena *mem, const struct exact *a, const struct exact *b)
{
    struct small left;
    struct small right;
    const struct exact *rest = NULL;

    if (small_from(a, &left) && small_from(b, &right)) {
        right.negative = !right.negative;
        rest = small_add(mem, &left, &right);
    }

    return rest ? rest : calculate(mem, a, b, mpq_sub);
}

const struct exact *exact_mul(struct arena *mem, const struct exact *a, const struct exact *b)
{
    struct small left;
    struct small right;
    const struct exact *product = NULL;

    if (small_from(a, &left) && small_from(b, &right))
        product = small_multiply(mem, &left, &right);

    return product ? product : calculate(mem, a, b, mpq_mul);
}

const struct exact *exact_div(struct arena *mem, const struct exact *a, const struct exact *b)
{
    struct small left;
    struct small right;
    const struct exact *quotient = NULL;

    if (b->over_size == 0)
        return NULL;
    if (small_from(a, &left) && small_from(b, &right)) {
        const struct small turned = {right.negative, right.under, right.over};

        quotient = small_multiply(mem, &left, &turned);
    }

    return quotient ? quotient : calculate(mem, a, b, mpq_div);
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
        exact_view(item, items[i]);
        mpq_add(total, total, item);
    }
    for (size_t i = 0; i < piles.count; i++)
        total_add(total, piles.items[i].sum, piles.items[i].under);

    return exact_keep(mem, total);
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

    return exact_keep(mem, total);
}

static int small_compare(const struct small *a, const struct small *b)
{
    wide_unsigned left = (wide_unsigned)a->over * b->under;
    wide_unsigned right = (wide_unsigned)b->over * a->under;

    return a->negative ? (left < right) - (left > right) : (left > right) - (left < right);
}

int exact_compare(const struct exact *a, const struct exact *b)
{
    struct small one;
    struct small other;
    mpq_t left;
    mpq_t right;

    if (exact_sign(a) != exact_sign(b))
        return exact_sign(a) > exact_sign(b) ? 1 : -1;
    if (small_from(a, &one) && small_from(b, &other))
        return small_compare(&one, &other);
    exact_view(left, a);
    exact_view(right, b);

    int order = mpq_cmp(left, right);

    return (order > 0) - (order < 0);
}

int exact_sign(const struct exact *a)
{
    return (a->over_size > 0) - (a->over_size < 0);
}

bool exact_decimal(const struct exact *value, struct decimal *out)
{
    const uint64_t end = (uint64_t)decimal_power_of_ten[DECIMAL_DIGITS_MOST];
    struct small small;
    uint64_t coefficient;
    uint8_t scale = 0;

    if (!small_from(value, &small))
        return false;
    while (scale < DECIMAL_DIGITS_MOST && (uint64_t)decimal_power_of_ten[scale] % small.under != 0)
        scale++;
    if ((uint64_t)decimal_power_of_ten[scale] % small.under != 0 ||
        __builtin_mul_overflow(small.over, (uint64_t)decimal_power_of_ten[scale] / small.under,
                               &coefficient) ||
        coefficient >= end)
        return false;
    *out = (struct decimal){.coefficient =
                                small.negative ? -(int64_t)coefficient : (int64_t)coefficient,
                            .scale = scale};

    return true;
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
    exact_view(from, value);
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
