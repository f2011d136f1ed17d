/*
 * Accepts: whether a clause takes a reading by the way it was made: its method, the instrument or
 * laboratory, who took it, that laboratory's accreditation on the day, what its sample was for.
 *
 * What is known to be another one does not count. What is not on record is in doubt, as it may be
 * one that the clause takes: it can stop a verdict and never clear one. So is a result of a
 * laboratory that was not accredited on its day.
 */
#ifndef JUDGE_ACCEPTS_H
#define JUDGE_ACCEPTS_H

#include "judge/evidence.h"
#include "judge/limit.h"

struct acceptance {
    const char *why_not; /* why it does not count, or NULL */
    const char *doubt;   /* why it is in doubt for this clause, or NULL */
};

/* By what all readings of the series have in common: method, instrument or laboratory. */
struct acceptance accepts_series(struct arena *mem, const struct limit *limit,
                                 const struct evidence_series *series);

/* Whether it is on record that the series is by a method and instrument that the clause takes. */
bool accepts_maker(const struct limit *limit, const struct evidence_series *series);

/* By what is the reading's own: who took it, its purpose, accreditation on its civil day. */
struct acceptance accepts_reading(struct arena *mem, const struct limit *limit,
                                  const struct evidence *evidence,
                                  const struct evidence_series *series,
                                  const struct evidence_reading *reading);

#endif
