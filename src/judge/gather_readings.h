/*
 * Gather readings: which readings a clause is about. Every reading of its series in the period is
 * kept, with the reason where it does not count, so that a person sees all of them.
 */
#ifndef JUDGE_GATHER_READINGS_H
#define JUDGE_GATHER_READINGS_H

#include "judge/judgement.h"

/*
 * The readings of the clause's places in these days, turned into `unit`. Those of a kind it does
 * not take are none of it; those by another method, instrument or person are kept with that as
 * the reason why they don't count. Where it is not on record by what or whom a reading was made,
 * or by a laboratory accredited on its day, it is in doubt.
 */
void gather_readings(struct judgement *judgement, const char *unit);

#endif
