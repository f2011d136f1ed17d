#include "judge/accepts.h"

#include "base/str.h"

static bool listed(const char *const *names, size_t count, const char *name)
{
    for (size_t i = 0; i < count; i++) {
        if (str_equal(names[i], name))
            return true;
    }

    return false;
}

/* One of the lists of a clause, held against a name that may not be on record. */
static void hold(struct arena *mem, const char *const *names, size_t count, const char *name,
                 const char *other, const char *not_known, struct acceptance *out)
{
    if (count == 0 || listed(names, count, name))
        return;
    if (!name && !out->doubt)
        out->doubt = not_known;
    if (name && !out->why_not)
        out->why_not = arena_printf(mem, "%s, which the clause does not take: %s", other, name);
}

struct acceptance accepts_series(struct arena *mem, const struct limit *limit,
                                 const struct evidence_series *series)
{
    struct acceptance acceptance = {.why_not = NULL};

    hold(mem, limit->methods, limit->method_count, series->method, "by another method",
         "by what method is not on record", &acceptance);
    hold(mem, limit->instruments, limit->instrument_count, series->made_by,
         "by another instrument or laboratory", "by what instrument or laboratory is not on record",
         &acceptance);

    return acceptance;
}

bool accepts_maker(const struct limit *limit, const struct evidence_series *series)
{
    return (limit->method_count == 0 ||
            listed(limit->methods, limit->method_count, series->method)) &&
           (limit->instrument_count == 0 ||
            listed(limit->instruments, limit->instrument_count, series->made_by));
}

static bool covers(const struct evidence_accreditation *accreditation,
                   const struct evidence_series *series, day_number day)
{
    return str_equal(accreditation->made_by, series->made_by) &&
           (!accreditation->parameter || str_equal(accreditation->parameter, series->parameter)) &&
           (!accreditation->method || str_equal(accreditation->method, series->method)) &&
           day >= accreditation->from &&
           (accreditation->to == DAY_NONE || day <= accreditation->to);
}

static bool accredited(const struct evidence *evidence, const struct evidence_series *series,
                       day_number day)
{
    for (size_t i = 0; series->made_by && i < evidence->accreditation_count; i++) {
        if (covers(&evidence->accreditations[i], series, day))
            return true;
    }

    return false;
}

struct acceptance accepts_reading(struct arena *mem, const struct limit *limit,
                                  const struct evidence *evidence,
                                  const struct evidence_series *series,
                                  const struct evidence_reading *reading)
{
    struct acceptance acceptance = {.why_not = NULL};

    if (limit->without_looking_for_cause && reading->looks_for_cause)
        acceptance.why_not = "its sample looks for a cause, and the clause leaves such out";
    hold(mem, limit->takers, limit->taker_count, reading->taken_by, "taken by another person",
         "by whom it was taken is not on record", &acceptance);
    if (limit->accredited && !acceptance.doubt &&
        !accredited(evidence, series, zone_day(evidence->zone, reading->at)))
        acceptance.doubt = "not by a laboratory accredited on that date";

    return acceptance;
}
