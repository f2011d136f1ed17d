/*
 * For the tables of this room: what was asked, by an input's name, and filling in the answer.
 *
 * A name that the row doesn't have is a mistake in the program and ends it.
 */
#ifndef QUANTITY_QUANTITY_INSIDE_H
#define QUANTITY_QUANTITY_INSIDE_H

#include "base/buf.h"
#include "quantity/quantity.h"

const struct quantity_input_value *asked_value(const struct quantity_asked *asked,
                                               const char *name);
bool asked_there(const struct quantity_asked *asked, const char *name);
double asked_number(const struct quantity_asked *asked, const char *name);
const struct exact *asked_exact(const struct quantity_asked *asked, const char *name);
size_t asked_word(const struct quantity_asked *asked, const char *name);

/*
 * A unit by what a person wrote: of the unit table, or one that udunits2 knows. `parameter` may be
 * NULL; ERR_NOT_FOUND as unit_read().
 */
MUST_CHECK bool quantity_unit(struct units *units, const char *text,
                              const struct parameter *parameter, const struct unit **out,
                              struct err *err);

/* The values of a list of results as plain amounts. ERR_INVALID: one is a less-than. */
MUST_CHECK bool asked_amounts(struct arena *mem, const struct quantity_asked *asked,
                              const char *name, const struct amount **out, size_t *count,
                              struct err *err);

/* ERR_INVALID unless the two lists have the same number of values. */
MUST_CHECK bool asked_same_count(const struct quantity_asked *asked, const char *a, const char *b,
                                 struct err *err);

/* Whether the unit of the inputs without one of their own converts into `unit`; none does not. */
bool asked_own_unit_is(const struct quantity_asked *asked, const char *unit);

/* ERR_INVALID where they are in pH: it is a logarithm, and waters don't mix by it. */
MUST_CHECK bool asked_not_ph(const struct quantity_asked *asked, struct err *err);

struct quantity_value value_of(double number);
struct quantity_value value_exact(const struct exact *exact); /* NULL: not known */

/* For an input's word_at: of a table of words and what each means. */
const char *word_pick(const char *const words[][2], size_t count, size_t position,
                      const char **means);

/* "its-90", "ipts-68": the scale of a temperature. */
const char *temperature_scale_word(size_t position, const char **means);

#define TEMPERATURE_SCALE                                                                          \
    {                                                                                              \
        "temperature-scale", QUANTITY_WORD, "", "its-90", NULL, temperature_scale_word             \
    }

/* Temperature on either scale, from "temperature" and "temperature-scale". */
double asked_t90(const struct quantity_asked *asked);
double asked_t68(const struct quantity_asked *asked);

extern const struct quantity_family family_water;
extern const struct quantity_family family_oxygen;
extern const struct quantity_family family_tank_oxygen;
extern const struct quantity_family family_nutrients;
extern const struct quantity_family family_flow;
extern const struct quantity_family family_loads;
extern const struct quantity_family family_tanks;
extern const struct quantity_family family_pond;
extern const struct quantity_family family_feed;
extern const struct quantity_family family_counts;
extern const struct quantity_family family_statistics;

#endif
