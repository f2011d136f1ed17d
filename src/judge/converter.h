/*
 * Converter: reported values turned into one unit. The way from a unit is worked out once and
 * applied to every reading of a series, as a decimal where the factor is one.
 */
#ifndef JUDGE_CONVERTER_H
#define JUDGE_CONVERTER_H

#include "measure/unit.h"
#include "stat/amount.h"

struct converter {
    const struct units *units;
    const struct parameter *parameter;
    const struct unit *to; /* NULL: nothing can be turned into it */
    const char *from;      /* the unit that the rest is about */
    bool convertible;
    struct unit_conversion conversion;
    struct amount scale;
    struct amount offset;
};

/* `unit`: a name of the table, or a spelling that the parameter allows. */
struct converter converter_to(const struct units *units, const struct parameter *parameter,
                              const char *unit);

/*
 * A reported value, and one step of its last digit, in the converter's unit. False where the
 * units don't convert. `step` may be NULL.
 */
bool converter_apply(struct arena *mem, struct converter *converter, const char *unit,
                     struct decimal reported, struct amount *value, struct amount *step);

#endif
