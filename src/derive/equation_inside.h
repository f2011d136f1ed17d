/*
 * For the tables of this room.
 */
#ifndef DERIVE_EQUATION_INSIDE_H
#define DERIVE_EQUATION_INSIDE_H

#include <math.h>

#include "derive/equation.h"

struct equation_family {
    const struct equation *rows;
    size_t count;
};

extern const struct equation_family equations_water;
extern const struct equation_family equations_flow;
extern const struct equation_family equations_amount;

static inline double setting_number(const struct equation_call *call, enum setting setting)
{
    return call->settings->number[setting];
}

static inline const char *setting_word(const struct equation_call *call, enum setting setting)
{
    return call->settings->word[setting];
}

/* Twelve figures of a double. ERR_INVALID for what is no number. */
static inline bool give(const struct equation_call *call, double value, const struct exact **out,
                        struct err *err)
{
    const struct exact *exact = exact_from_double(call->mem, value);

    if (!exact)
        return err_set(err, ERR_INVALID, "the equation gives no number for these readings");
    *out = exact;

    return true;
}

#endif
