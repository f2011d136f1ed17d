/*
 * Stand-in: what a row set aside may have been, were it another reading that one is held against:
 * the level of a condition, the pH of a formula, the intake of a pair, a word of the outlet.
 *
 * Such a row is in doubt: it may stop a verdict and never clear one. So it never takes the place of
 * a stored reading: what goes by the stored one is kept, and what would go by the row is tried
 * beside it. A row whose station, parameter or time can't be read fits any. Its number is taken in
 * its own unit where that can be read, else in every one that its parameter allows; without a
 * number it may be anything. A derived reading of a probe that is not given is a gap and stands in
 * for nothing.
 */
#ifndef JUDGE_STAND_IN_H
#define JUDGE_STAND_IN_H

#include "judge/converter.h"
#include "judge/evidence.h"

struct stand_in {
    size_t row;     /* of evidence.set_aside */
    instant at;     /* INSTANT_NONE: not known, so that it may be any */
    bool known;     /* its number and unit can be read: it is weighed as a reading in doubt is */
    bool has_value; /* false: it may be any number */
    char qualifier; /* enum qualifier */
    struct amount value; /* in the converter's unit; X of `<X` and `>X` */
};

/* In order of time, those of no known time first; a row comes once for each unit it may be in. */
struct stand_in_list {
    struct stand_in *items;
    size_t count;
    size_t capacity;
};

struct stand_in_list stand_ins_of(struct arena *mem, const struct evidence *evidence,
                                  const char *station, const char *parameter,
                                  struct converter *converter);

/* Whether the row may be of that station and parameter, by what of it can be read. */
bool stand_in_fits(const struct evidence_set_aside *row, const char *station,
                   const char *parameter);

/* First of a list that is not before `at`: those of no known time lie before all. */
size_t stand_in_first_from(const struct stand_in_list *list, instant at);

/* How many are of no known time: they come first. */
size_t stand_in_timeless(const struct stand_in_list *list);

#endif
