/*
 * Inside of exact numbers: how one lies in memory, and GMP's view of it. Only base/exact*.c
 * include this.
 */
#ifndef BASE_EXACT_INSIDE_H
#define BASE_EXACT_INSIDE_H

#include <gmp.h>

#include "base/exact.h"
#include "base/macro.h"

_Static_assert(GMP_LIMB_BITS == 64 && GMP_NAIL_BITS == 0, "one limb holds one uint64_t");

/* In lowest terms, `under` positive: the limbs of both numbers, lowest first. */
struct exact {
    mp_size_t over_size; /* negative for a negative number, 0 for 0 */
    mp_size_t under_size;
    mp_limb_t limbs[];
};

static inline void rational_clear(mpq_t *value)
{
    mpq_clear(*value);
}

static inline void integer_clear(mpz_t *value)
{
    mpz_clear(*value);
}

#define RATIONAL(name)                                                                             \
    CLEANUP(rational_clear) mpq_t name;                                                            \
    mpq_init(name)
#define INTEGER(name)                                                                              \
    CLEANUP(integer_clear) mpz_t name;                                                             \
    mpz_init(name)

/* A GMP number that reads `value` where it lies. Needs no clearing. */
void exact_view(mpq_ptr out, const struct exact *value);

/* Copy a number in lowest terms into the arena. */
const struct exact *exact_keep(struct arena *mem, mpq_srcptr value);

#endif
