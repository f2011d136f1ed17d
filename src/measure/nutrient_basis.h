/*
 * The basis of a nutrient: the same nitrate is 10 mg/L as N and 44.3 mg/L as NO3. The basis is
 * part of the parameter, never of the unit, and changes only through here.
 *
 * Atomic masses: N 14.0067, H 1.00794, O 15.9994, P 30.973762, Si 28.0855 (IUPAC 1993 to 2007).
 * The shortcut 17/14 is 0.13 percent off.
 */
#ifndef MEASURE_NUTRIENT_BASIS_H
#define MEASURE_NUTRIENT_BASIS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/err.h"
#include "base/macro.h"

/* "as N", "as NO3", ...: as struct parameter holds them. By position: NULL at the end. */
const char *nutrient_basis_at(size_t position);

/*
 * What an amount in one basis is multiplied by to be in the other: "as N" to "as NO3" is
 * 4.426803.
 *
 * An element goes to each of its compounds and back, and compounds of one family among
 * themselves (NH3 and NH4; PO4 and P2O5). Nitrate is never told as ammonia.
 *
 * ERR_INVALID: a basis that is not known, an empty one, or two that don't go together.
 */
MUST_CHECK bool nutrient_basis_factor(const char *from, const char *to, double *out,
                                      struct err *err);

/*
 * Grams, in that basis, for each mole of the element: 14.0067 for "as N", 62.0049 for "as NO3". So
 * 1 umol/L is that many ug/L. ERR_INVALID: not known.
 */
MUST_CHECK bool nutrient_basis_g_per_mol(const char *basis, double *out, struct err *err);

#endif
