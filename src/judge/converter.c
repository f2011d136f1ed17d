#include "judge/converter.h"

#include "base/str.h"

static const struct unit *find(const struct units *units, const struct parameter *parameter,
                               const char *name)
{
    const struct unit *unit = name ? unit_named(units, name) : NULL;
    struct err ignored = ERR_INIT;

    if (!unit && name && !unit_find(units, name, parameter, &unit, &ignored))
        return NULL;

    return unit;
}

struct converter converter_to(const struct units *units, const struct parameter *parameter,
                              const char *unit)
{
    return (struct converter){
        .units = units, .parameter = parameter, .to = find(units, parameter, unit)};
}

/* Work out the way from a unit. */
static void learn(struct arena *mem, struct converter *converter, const char *unit)
{
    const struct unit *from = find(converter->units, converter->parameter, unit);
    struct err ignored = ERR_INIT;

    converter->from = unit;
    converter->convertible = from && converter->to &&
                             unit_conversion(converter->units, mem, from, converter->to,
                                             &converter->conversion, &ignored);
    if (!converter->convertible)
        return;
    converter->scale = amount_from_exact(converter->conversion.scale);
    converter->offset = amount_from_exact(converter->conversion.offset);
}

bool converter_apply(struct arena *mem, struct converter *converter, const char *unit,
                     struct decimal reported, struct amount *value, struct amount *step)
{
    const struct unit_conversion *conversion = &converter->conversion;
    struct amount same = amount_from_decimal(reported);
    struct amount last = amount_from_decimal(decimal_last_step(reported));

    if (converter->from != unit && !(unit && str_equal(converter->from, unit)))
        learn(mem, converter, unit);
    if (!unit || !converter->convertible)
        return false;

    if (conversion->is_same)
        *value = same;
    else if (conversion->is_exact)
        *value = amount_add(mem, amount_multiply(mem, same, converter->scale), converter->offset);
    else
        *value = amount_from_exact(unit_apply(mem, conversion, amount_exact(mem, same)));
    if (step)
        *step = conversion->is_same ? last : amount_multiply(mem, last, converter->scale);

    return true;
}
