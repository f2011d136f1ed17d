/*
 * Derive: readings worked out from stored ones. Nothing of it is stored: it is worked out each
 * time, so that a correction of an input always reaches what rests on it.
 *
 * One derived reading for each reading of the first input, with the readings of the others that
 * are nearest to it in time and at most the stated time away; a sound one before one in doubt
 * (judge/partner.h). It is
 *
 *   - in doubt where any of its inputs is, and says which;
 *   - not there where the first input was left out by a person; other inputs that were left out,
 *     check samples and the authority's own are no partners;
 *   - shown and never counted where the first input is so;
 *   - `<` or `>` where an input is and the equation goes one way with it, by that input's number;
 *     two such inputs have to point the same way.
 *
 * Never outside the equation's range. Where a partner lacks or the equation does not hold, there
 * is no reading, and a row as one set aside says why, and whether all that goes in was read: then
 * it is no gap (judge/set_aside.h). Such a row stands too where a row that could be the first input
 * was itself set aside.
 *
 * The values have the digits of equation.h: all of them as `reported`, those that are shown as
 * `first_reported`.
 */
#ifndef DERIVE_DERIVE_H
#define DERIVE_DERIVE_H

#include "derive/derivation.h"
#include "judge/evidence.h"

struct derived {
    struct evidence_series *series; /* one for each series of the first input */
    size_t count;
    struct evidence_set_aside *not_given;
    size_t not_given_count;
};

/*
 * From the readings in `evidence`, those derived before among them; where it makes a series the
 * method is the equation's word, and the maker that of the first input.
 */
struct derived derive(struct arena *mem, const struct derivation *derivation,
                      const struct evidence *evidence);

/* The same for several in order, each from those before it too: `evidence` with all of it in. */
struct evidence derive_all(struct arena *mem, const struct derivation *const *derivations,
                           size_t count, const struct evidence *evidence);

#endif
