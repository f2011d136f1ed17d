#include "farmfile/instrument.h"

#include "base/str.h"
#include "farmfile/farm.h"

/* Readings before 1950 are set aside. */
static const instant earliest = -631152000 * SECOND_US;

instant farm_instrument_from(const struct farm *farm, const struct farm_instrument *instrument)
{
    return instrument->from == DAY_NONE ? earliest : zone_day_start(farm->zone, instrument->from);
}

instant farm_instrument_until(const struct farm *farm, const struct farm_instrument *instrument)
{
    return instrument->until == DAY_NONE ? INT64_MAX
                                         : zone_day_start(farm->zone, instrument->until + 1);
}

static bool sits_there(const struct farm_instrument *instrument, const char *station,
                       const char *position)
{
    return str_equal(instrument->station, station) &&
           (!instrument->position || str_equal(instrument->position, position));
}

bool farm_instrument_is(const struct farm_instrument *instrument, const char *word)
{
    return str_equal(word, instrument->named) || str_equal(word, instrument->serial) ||
           str_equal(word, instrument->key);
}

/* Fixed probes of a place whose parameter is checked. */
static size_t probes_at(const struct farm *farm, const char *station, const char *position,
                        const char *parameter, const struct farm_instrument *beside)
{
    size_t count = 0;

    for (size_t i = 0; i < farm->instruments.count; i++) {
        const struct farm_instrument *one = &farm->instruments.items[i];

        count += one->kind == INSTRUMENT_FIXED_PROBE && sits_there(one, station, position) &&
                 farm_instrument_check_of(one, parameter) &&
                 farm_instrument_from(farm, one) < farm_instrument_until(farm, beside) &&
                 farm_instrument_from(farm, beside) < farm_instrument_until(farm, one);
    }

    return count;
}

bool farm_instrument_reads(const struct farm *farm, const struct farm_instrument *instrument,
                           const char *station, const char *position, const char *parameter,
                           const char *made_by, const char *kind)
{
    if (!farm_instrument_check_of(instrument, parameter) ||
        (!str_equal(kind, "probe") && !str_equal(kind, "by hand")))
        return false;
    if (!str_empty(made_by))
        return farm_instrument_is(instrument, made_by) &&
               (!instrument->station || sits_there(instrument, station, position));

    return str_equal(kind, "probe") && instrument->kind == INSTRUMENT_FIXED_PROBE &&
           sits_there(instrument, station, position) &&
           probes_at(farm, station, position, parameter, instrument) == 1;
}

const struct farm_instrument *farm_instrument_of(const struct farm *farm, const char *station,
                                                 const char *position, const char *parameter,
                                                 const char *made_by, const char *kind, instant at)
{
    for (size_t i = 0; i < farm->instruments.count; i++) {
        const struct farm_instrument *one = &farm->instruments.items[i];

        if (at >= farm_instrument_from(farm, one) && at < farm_instrument_until(farm, one) &&
            farm_instrument_reads(farm, one, station, position, parameter, made_by, kind))
            return one;
    }

    return NULL;
}
