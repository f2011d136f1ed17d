/*
 * Limit choices: everything that a limit says beside its figure and its bound (limit_words()), in
 * words, so that a person can compare it with the licence.
 */
#ifndef JUDGE_LIMIT_CHOICES_H
#define JUDGE_LIMIT_CHOICES_H

#include "judge/limit.h"

/*
 * "suspended-solids at outlet, grab, only while discharging, hours 06:00 to 18:00, not rounded, in
 * force from 2026-01-01". What the limit does not say is left out, but for discharge and rounding.
 */
char *limit_choices_words(struct arena *mem, const struct limit *limit);

/*
 * Those of them that few limits make and that the explanation of a verdict shows nowhere else:
 * pairing, weeks, what holds between readings, less-thans alone and so on. "" where there is none.
 */
char *limit_more_words(struct arena *mem, const struct limit *limit);

/*
 * Those of them that stand beside a table with a place for each common one: subject, kinds and
 * methods, discharge, days, water and its factor, less- and greater-thans, rounding, least data and
 * dates. "" where there is none.
 */
char *limit_beside_words(struct arena *mem, const struct limit *limit);

#endif
