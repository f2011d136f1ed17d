#include "measure/temperature_rise.h"

#include "measure/unit_parts.h"

static bool is_temperature(const struct unit *unit, struct err *err)
{
    if (unit->dimension == DIMENSION_TEMPERATURE)
        return true;
    err_set(err, ERR_INVALID, "%s is not a unit of temperature", unit->name);

    return err_hint(err, "A temperature rise can be in degC, degF or K.");
}

bool temperature_rise_convert(const struct units *units, struct arena *mem, struct temperature rise,
                              const struct unit *unit, const struct exact **out, struct err *err)
{
    struct unit_conversion conversion = {.is_exact = false};

    if (!is_temperature(rise.unit, err) || !is_temperature(unit, err) ||
        !unit_conversion(units, mem, rise.unit, unit, &conversion, err))
        return false;
    *out = exact_mul(mem, rise.value, conversion.scale);

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

    return temperature_rise_convert(units, mem, rise, unit, out, err);
}
