#include "measure/pond_balance.h"
#include "measure/unseen.h"
#include "quantity/quantity_inside.h"

/* --- working out ----------------------------------------------------------------------------- */

static bool rain_volume(struct arena *mem, const struct quantity_asked *asked,
                        struct quantity_answer *answer, struct err *err)
{
    double m3 = 0;

    (void)mem;
    if (!pond_depth_volume(asked_number(asked, "depth"), asked_number(asked, "area"), &m3, err))
        return false;
    answer->figures[0] = value_of(m3);

    return true;
}

static bool change(struct arena *mem, const struct quantity_asked *asked,
                   struct quantity_answer *answer, struct err *err)
{
    struct pond_terms terms = {
        .area_m2 = asked_number(asked, "area"),
        .inflow_m3 = asked_number(asked, "inflow"),
        .rain_mm = asked_number(asked, "rain"),
        .runoff_m3 = asked_number(asked, "runoff"),
        .evaporation_mm = asked_number(asked, "evaporation"),
        .seepage_m3 = asked_number(asked, "seepage"),
        .outflow_m3 = asked_number(asked, "outflow"),
    };
    double m3 = 0;
    double after = 0;

    (void)mem;
    if (!pond_change(&terms, &m3, err))
        return false;
    answer->figures[0] = value_of(m3);
    if (!asked_there(asked, "before"))
        return true;
    if (!pond_volume_after(asked_number(asked, "before"), &terms, &after, err))
        return false;
    answer->figures[1] = value_of(after);

    return true;
}

static bool from_pan(struct arena *mem, const struct quantity_asked *asked,
                     struct quantity_answer *answer, struct err *err)
{
    double mm = 0;

    (void)mem;
    if (!pond_evaporation_from_pan(asked_number(asked, "pan"), asked_number(asked, "factor"), &mm,
                                   err))
        return false;
    answer->figures[0] = value_of(mm);

    return true;
}

static bool salinity_after(struct arena *mem, const struct quantity_asked *asked,
                           struct quantity_answer *answer, struct err *err)
{
    double out = 0;

    (void)mem;
    if (!pond_salinity_after(asked_number(asked, "salinity"), asked_number(asked, "before"),
                             asked_number(asked, "after"), &out, err))
        return false;
    answer->figures[0] = value_of(out);

    return true;
}

static bool salinity_steady(struct arena *mem, const struct quantity_asked *asked,
                            struct quantity_answer *answer, struct err *err)
{
    double out = 0;

    (void)mem;
    if (!pond_salinity_steady(asked_number(asked, "inflow"), asked_number(asked, "salinity"),
                              asked_number(asked, "rain"), asked_number(asked, "evaporation"), &out,
                              err))
        return false;
    answer->figures[0] = value_of(out);

    return true;
}

static bool mix(struct arena *mem, const struct quantity_asked *asked,
                struct quantity_answer *answer, struct err *err)
{
    const struct quantity_input_value *flows = asked_value(asked, "flows");
    const struct quantity_input_value *values = asked_value(asked, "values");
    struct pond_flow *parts = ARENA_ARRAY(mem, struct pond_flow, flows->count);
    double out = 0;

    if (!asked_not_ph(asked, err) || !asked_same_count(asked, "flows", "values", err))
        return false;
    for (size_t i = 0; i < flows->count; i++)
        parts[i] = (struct pond_flow){.flow = flows->numbers[i], .value = values->numbers[i]};
    if (!pond_mix(parts, flows->count, &out, err))
        return false;
    answer->figures[0] = value_of(out);

    return true;
}

/* --- the table ------------------------------------------------------------------------------- */

#define TERM(name, unit)                                                                           \
    {                                                                                              \
        name, QUANTITY_NUMBER, unit, "0", NULL, NULL                                               \
    }

#define BOYD "Boyd and Tucker, Pond Aquaculture Water Quality Management (1998), " UNSEEN
#define CHAPRA "Chapra, Surface Water-Quality Modeling (1997), " UNSEEN

static const struct quantity rows[] = {
    {
        .word = "volume of rain on a pond",
        .equation = "depth times area; 1 mm on 1 ha is 10 m3",
        .source = BOYD,
        .range = "any",
        .example = "depth=25 area=12000",
        .inputs = {{"depth", QUANTITY_NUMBER, "mm", NULL, "of rain or evaporation", NULL},
                   {"area", QUANTITY_NUMBER, "m2", NULL, "of the water's surface", NULL}},
        .figures = {{"volume", "m3", 5}},
        .work_out = rain_volume,
    },
    {
        .word = "water balance of a pond",
        .equation = "inflow + rain x area + runoff - evaporation x area - seepage - outflow",
        .source = BOYD,
        .range = "one span of time for all terms",
        .example = "area=12000 inflow=600 rain=10 evaporation=5 outflow=580 before=13200",
        .inputs = {{"area", QUANTITY_NUMBER, "m2", NULL, "of the water's surface", NULL},
                   TERM("inflow", "m3"),
                   TERM("rain", "mm"),
                   TERM("runoff", "m3"),
                   TERM("evaporation", "mm"),
                   TERM("seepage", "m3"),
                   TERM("outflow", "m3"),
                   {"before", QUANTITY_NUMBER, "m3", "", "volume at the beginning", NULL}},
        .figures = {{"change", "m3", 6}, {"volume after", "m3", 6}},
        .work_out = change,
    },
    {
        .word = "evaporation from a pan",
        .equation = "pan evaporation times a factor: 0.7 is common, 0.81 of Boyd 1985",
        .source = BOYD,
        .range = "a class A pan beside the pond; a factor up to 1",
        .example = "pan=6 factor=0.7",
        .inputs = {{"pan", QUANTITY_NUMBER, "mm", NULL, NULL, NULL},
                   {"factor", QUANTITY_NUMBER, "", "0.7", NULL, NULL}},
        .figures = {{"evaporation", "mm", 4}},
        .work_out = from_pan,
    },
    {
        .word = "pond salinity after rain",
        .equation = "salinity x volume before / volume after",
        .source = BOYD,
        .range = "only rain and evaporation acted",
        .example = "salinity=32 before=13200 after=13680",
        .inputs = {{"salinity", QUANTITY_NUMBER, "PSU", NULL, NULL, NULL},
                   {"before", QUANTITY_NUMBER, "m3", NULL, "volume", NULL},
                   {"after", QUANTITY_NUMBER, "m3", NULL, "volume", NULL}},
        .figures = {{"salinity", "PSU", 5}},
        .work_out = salinity_after,
    },
    {
        .word = "steady pond salinity",
        .equation = "inflow x salinity / (inflow + rain - evaporation)",
        .source = BOYD "; " CHAPRA,
        .range = "water flows through and everything stays as it is",
        .example = "inflow=600 salinity=32 evaporation=72",
        .inputs = {{"inflow", QUANTITY_NUMBER, "m3/day", NULL, NULL, NULL},
                   {"salinity", QUANTITY_NUMBER, "PSU", NULL, "of the inflow", NULL},
                   TERM("rain", "m3/day"),
                   TERM("evaporation", "m3/day")},
        .figures = {{"salinity", "PSU", 5}},
        .work_out = salinity_steady,
    },
    {
        .word = "mixture of flows",
        .equation = "flow-weighted mean",
        .source = CHAPRA,
        .range = "salinity, temperature, a concentration; not pH",
        .example = "flows=3,1L/s values=34,2",
        .inputs = {{"flows", QUANTITY_NUMBERS, "m3/h", NULL, NULL, NULL},
                   {"values", QUANTITY_NUMBERS, NULL, NULL, "of each flow, all in one unit", NULL}},
        .figures = {{"mixture", NULL, 5}},
        .work_out = mix,
    },
};

const struct quantity_family family_pond = {"ponds and mixtures", rows, ARRAY_LEN(rows)};
