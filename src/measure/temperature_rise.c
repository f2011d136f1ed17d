#include "measure/temperature_rise.h"

#include "measure/unit_parts.h"

static bool is_temperature(const struct unit *unit, struct err *err)
{
    if (unit->dimension == DIMENSION_TEMPERATURE)
        return true;
    err_set(err, ERR_INVALID, "%s is not a unit of temperature", unit->name);

    return err_hint(err, "A temperature can be in degC, degF or K.");
}

/* What a difference of 1 is in degC; NULL when it is no difference of temperatures. */
static const struct exact *degc_of_one(const struct unit *unit, struct err *err)
{
    if (unit->dimension == DIMENSION_TEMPERATURE || unit->dimension == DIMENSION_TEMPERATURE_RISE)
        return unit->factor;
    err_set(err, ERR_INVALID, "%s is not a unit of temperature", unit->name);
    err_hint(err, "A temperature rise can be in degC, degF or K.");

    return NULL;
}

bool temperature_rise_convert(struct arena *mem, struct temperature rise, const struct unit *unit,
                              const struct exact **out, struct err *err)
{
    const struct exact *from = degc_of_one(rise.unit, err);
    const struct exact *to = from ? degc_of_one(unit, err) : NULL;

    if (!to)
        return false;
    *out = exact_div(mem, exact_mul(mem, rise.value, from), to);

    return true;
}

bool temperature_rise(const struct units *units, struct arena *mem, struct temperature before,
                      struct temperature after, const struct unit *unit, const struct exact **out,
                      struct err *err)
{
    const struct exact *before_value = NULL;

    if (!is_temperature(before.unit, err) || !is_temperature(after.unit, err) ||
        !unit_convert(units, mem, before.unit, after.unit, before.value, &before_value, err))
        return false;

    const struct temperature rise = {exact_sub(mem, after.value, before_value), after.unit};

    return temperature_rise_convert(mem, rise, unit, out, err);
}
