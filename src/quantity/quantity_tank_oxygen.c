#include "measure/oxygen_budget.h"
#include "measure/oxygen_fall.h"
#include "measure/respiration.h"
#include "measure/unseen.h"
#include "quantity/quantity_inside.h"

/* Inputs that a row doesn't have stay 0, and its function doesn't look at them. */
static double or_zero(const struct quantity_asked *asked, const char *name, bool has)
{
    return has ? asked_number(asked, name) : 0;
}

/* ERR_INVALID: reaeration draws towards a saturation that was not given. */
static bool tank_of(const struct quantity_asked *asked, bool flows, bool comes_in,
                    struct oxygen_tank *out, struct err *err)
{
    *out = (struct oxygen_tank){
        .volume_m3 = asked_number(asked, "volume"),
        .flow_m3_per_h = or_zero(asked, "flow", flows),
        .inflow_mg_per_l = or_zero(asked, "inlet", comes_in),
        .saturation_mg_per_l = asked_number(asked, "saturation"),
        .reaeration_per_h = asked_number(asked, "reaeration"),
        .respiration_g_per_h = asked_number(asked, "respiration"),
    };
    if (out->reaeration_per_h <= 0 || asked_there(asked, "saturation"))
        return true;
    err_set(err, ERR_INVALID, "the saturation is missing, towards which the reaeration draws");

    return err_hint(err, "Write saturation=NUMBER in mg/L; 'oxygen solubility' works it out.");
}

static bool steady(struct arena *mem, const struct quantity_asked *asked,
                   struct quantity_answer *answer, struct err *err)
{
    struct oxygen_tank tank;
    double out = 0;

    (void)mem;
    if (!tank_of(asked, true, true, &tank, err) || !oxygen_steady(&tank, &out, err))
        return false;
    answer->figures[0] = value_of(out);
    if (out < 0)
        answer->note = "Below 0: the tank runs out of oxygen.";

    return true;
}

static bool after(struct arena *mem, const struct quantity_asked *asked,
                  struct quantity_answer *answer, struct err *err)
{
    struct oxygen_tank tank;
    double out = 0;

    (void)mem;
    if (!tank_of(asked, true, true, &tank, err) ||
        !oxygen_after(&tank, asked_number(asked, "start"), asked_number(asked, "after"), &out, err))
        return false;
    answer->figures[0] = value_of(out);

    return true;
}

static bool flow_needed(struct arena *mem, const struct quantity_asked *asked,
                        struct quantity_answer *answer, struct err *err)
{
    struct oxygen_tank tank;
    double out = 0;

    (void)mem;
    if (!tank_of(asked, false, true, &tank, err) ||
        !oxygen_flow_needed(&tank, asked_number(asked, "hold"), &out, err))
        return false;
    answer->figures[0] = value_of(out);

    return true;
}

static bool time_to_floor(struct arena *mem, const struct quantity_asked *asked,
                          struct quantity_answer *answer, struct err *err)
{
    struct oxygen_tank tank;
    struct oxygen_floor_time out;

    (void)mem;
    if (!tank_of(asked, false, false, &tank, err) ||
        !oxygen_time_to_floor(&tank, asked_number(asked, "start"), asked_number(asked, "floor"),
                              &out, err))
        return false;
    if (out.answer == OXYGEN_FLOOR_REACHED)
        answer->figures[0] = value_of(out.hours);
    if (out.answer == OXYGEN_FLOOR_AT_ALREADY)
        answer->figures[0] = value_of(0);
    if (out.settles)
        answer->figures[1] = value_of(out.settles_mg_per_l);
    if (out.answer == OXYGEN_FLOOR_NEVER)
        answer->note = "By this formula the floor is never reached. That is an answer of a "
                       "formula, not a promise about a tank.";
    if (out.answer == OXYGEN_FLOOR_AT_ALREADY)
        answer->note = "The start is at the floor or below it already.";

    return true;
}

static bool reaeration(struct arena *mem, const struct quantity_asked *asked,
                       struct quantity_answer *answer, struct err *err)
{
    double out = 0;

    (void)mem;
    if (!oxygen_reaeration_at(asked_number(asked, "at-20"), asked_number(asked, "temperature"),
                              &out, err))
        return false;
    answer->figures[0] = value_of(out);

    return true;
}

/* The fall of one stop, from readings of the tank's own probe. */
static bool fall(struct arena *mem, const struct quantity_asked *asked,
                 struct quantity_answer *answer, struct err *err)
{
    const struct quantity_input_value *times = asked_value(asked, "times");
    const struct quantity_input_value *values = asked_value(asked, "oxygen");
    struct oxygen_fall_reading *readings =
        ARENA_ARRAY(mem, struct oxygen_fall_reading, times->count);
    struct oxygen_fall out;

    if (!asked_same_count(asked, "times", "oxygen", err))
        return false;
    for (size_t i = 0; i < times->count; i++)
        readings[i] = (struct oxygen_fall_reading){.after_s = times->numbers[i],
                                                   .mg_per_l = values->numbers[i]};
    if (!oxygen_fall_fit(mem, readings, times->count, &out, err))
        return false;
    answer->figures[0] = value_of(out.fall_mg_per_l_h);
    answer->figures[1] = value_of(out.slow_mg_per_l_h);
    answer->figures[2] = value_of(out.fast_mg_per_l_h);
    if (out.early_known)
        answer->figures[3] = value_of(out.early_mg_per_l_h);
    answer->figures[4] = value_of(oxygen_fall_rate_to_act_on(&out));
    answer->figures[5] = value_of(out.fall_se_mg_per_l_h);
    answer->figures[6] = value_of(out.lowest_mg_per_l);
    if (asked_there(asked, "floor"))
        answer->figures[7] = value_of(oxygen_fall_margin(&out, asked_number(asked, "floor")));
    answer->note = oxygen_fall_caution;

    return true;
}

/* --- oysters --------------------------------------------------------------------------------- */

static bool respiration(struct arena *mem, const struct quantity_asked *asked,
                        struct quantity_answer *answer, struct err *err)
{
    double degc = asked_number(asked, "temperature");
    struct respiration_group group = {.animals = asked_number(asked, "animals"),
                                      .dry_g = asked_number(asked, "dry-flesh")};
    double one = 0;
    double all = 0;

    (void)mem;
    if (!respiration_oxygen(degc, group.dry_g, &one, err) ||
        !respiration_stock_oxygen(&group, 1, degc, &all, err))
        return false;
    answer->figures[0] = value_of(one);
    answer->figures[1] = value_of(all);

    return true;
}

enum { NOT_SPAWNING, SPAWNING };

static const char *spawning_word(size_t position, const char **means)
{
    static const char *const words[][2] = {
        [NOT_SPAWNING] = {"no", NULL}, [SPAWNING] = {"yes", NULL}};

    return word_pick(words, ARRAY_LEN(words), position, means);
}

static bool filtration(struct arena *mem, const struct quantity_asked *asked,
                       struct quantity_answer *answer, struct err *err)
{
    double degc = asked_number(asked, "temperature");
    bool spawning = asked_word(asked, "spawning") == SPAWNING;
    struct respiration_group group = {.animals = asked_number(asked, "animals"),
                                      .dry_g = asked_number(asked, "dry-flesh")};
    double one = 0;
    double all = 0;

    (void)mem;
    if (!respiration_filtration(degc, group.dry_g, spawning, &one, err) ||
        !respiration_stock_filtration(&group, 1, degc, spawning, &all, err))
        return false;
    answer->figures[0] = value_of(one);
    answer->figures[1] = value_of(all);

    return true;
}

/* --- the table ------------------------------------------------------------------------------- */

#define TANK                                                                                       \
    {"volume", QUANTITY_NUMBER, "m3", NULL, NULL, NULL},                                           \
        {"respiration", QUANTITY_NUMBER, "g/h", NULL, "of all that breathes in it", NULL},         \
        {"reaeration", QUANTITY_NUMBER, "", "0", "K, share an hour, at its temperature", NULL},    \
    {                                                                                              \
        "saturation", QUANTITY_NUMBER, "mg/L", "",                                                 \
            "oxygen solubility; has to be given where there is reaeration", NULL                   \
    }
#define INLET                                                                                      \
    {                                                                                              \
        "inlet", QUANTITY_NUMBER, "mg/L", NULL, "oxygen of the water that comes in", NULL          \
    }
#define FLOW                                                                                       \
    {                                                                                              \
        "flow", QUANTITY_NUMBER, "m3/h", NULL, NULL, NULL                                          \
    }
#define OYSTERS                                                                                    \
    {"temperature", QUANTITY_NUMBER, "degC", NULL, NULL, NULL},                                    \
        {"dry-flesh", QUANTITY_NUMBER, "g", NULL, "of one animal", NULL},                          \
    {                                                                                              \
        "animals", QUANTITY_NUMBER, "", "1", NULL, NULL                                            \
    }

#define BUDGET "V dC/dt = Q (Cin - C) + K V (Cs - C) - R"
#define CHAPRA "Chapra, Surface Water-Quality Modeling (1997), lectures 3 and 20 (" UNSEEN ")"
#define PLANNING                                                                                   \
    "For planning only: a record or a formula is not an alarm. Keep an independent low-oxygen "    \
    "alarm; the people in charge of the pump decide. Feeding animals may breathe twice as much."
#define MIXED "a tank that is mixed, with steady respiration"

static const struct quantity rows[] = {
    {
        .word = "steady oxygen in a tank",
        .equation = "(Q Cin + K V Cs - R) / (Q + K V), of " BUDGET,
        .source = CHAPRA,
        .range = MIXED,
        .caution = PLANNING,
        .example = "volume=20 flow=12.5 inlet=8.4 respiration=30 reaeration=0.05 saturation=8.24",
        .inputs = {TANK, FLOW, INLET},
        .figures = {{"oxygen", "mg/L", 5}},
        .work_out = steady,
    },
    {
        .word = "oxygen in a tank after a time",
        .equation = "C = Css + (C0 - Css) exp(-(Q/V + K) t), of " BUDGET,
        .source = CHAPRA,
        .range = MIXED,
        .caution = PLANNING,
        .example = "volume=20 flow=12.5 inlet=8.4 respiration=30 start=8 after=2",
        .inputs = {TANK,
                   FLOW,
                   INLET,
                   {"start", QUANTITY_NUMBER, "mg/L", NULL, NULL, NULL},
                   {"after", QUANTITY_NUMBER, "h", NULL, NULL, NULL}},
        .figures = {{"oxygen", "mg/L", 5}},
        .work_out = after,
    },
    {
        .word = "flow to hold oxygen",
        .equation = "(R - K V (Cs - C)) / (Cin - C), of " BUDGET,
        .source = CHAPRA,
        .range = MIXED,
        .caution = PLANNING,
        .example = "volume=20 inlet=8.4 respiration=30 hold=6",
        .inputs = {TANK, INLET, {"hold", QUANTITY_NUMBER, "mg/L", NULL, NULL, NULL}},
        .figures = {{"flow", "m3/h", 5}},
        .work_out = flow_needed,
    },
    {
        .word = "time to an oxygen floor",
        .equation = BUDGET " with Q = 0, the pump being off",
        .source = CHAPRA,
        .range = MIXED "; no water comes in",
        .caution = PLANNING,
        .example = "volume=10 respiration=8 start=7 floor=4",
        .inputs = {TANK,
                   {"start", QUANTITY_NUMBER, "mg/L", NULL, "oxygen when the pump stops", NULL},
                   {"floor", QUANTITY_NUMBER, "mg/L", NULL, "the farm's own", NULL}},
        .figures = {{"time to the floor", "h", 4}, {"where it would settle", "mg/L", 4}},
        .work_out = time_to_floor,
    },
    {
        .word = "fall of oxygen while the pump is off",
        .equation = "straight line by least squares, 95 % by Student's t",
        .source = "Draper and Smith, Applied Regression Analysis (" UNSEEN ")",
        .range = "one stop of the pump; at least 3 readings of a probe that reads in still water; "
                 "nothing is said beyond the last reading",
        .example = "times=0,10,20,30min oxygen=7.9,7.4,7.0,6.5 floor=4",
        .inputs = {{"times", QUANTITY_NUMBERS, "s", NULL, "since the pump stopped", NULL},
                   {"oxygen", QUANTITY_NUMBERS, "mg/L", NULL, "at these times", NULL},
                   {"floor", QUANTITY_NUMBER, "mg/L", "", "the farm's own", NULL}},
        .figures = {{"fall an hour", "mg/L", 4},
                    {"slow end of 95 %", "mg/L", 4},
                    {"fast end of 95 %", "mg/L", 4},
                    {"fall an hour in the first half of the time", "mg/L", 4},
                    {"to act on, the faster of these two", "mg/L", 4},
                    {"standard error of the fall", "mg/L", 3},
                    {"lowest reading", "mg/L", 5},
                    {"lowest reading less the floor", "mg/L", 4}},
        .work_out = fall,
    },
    {
        .word = "reaeration at a temperature",
        .equation = "K at 20 degC times 1.024^(T - 20)",
        .source = "Elmore and West 1961, " UNSEEN,
        .range = "-2 to 45 degC",
        .example = "at-20=0.06 temperature=15",
        .inputs = {{"at-20", QUANTITY_NUMBER, "", NULL, "K at 20 degC, share an hour", NULL},
                   {"temperature", QUANTITY_NUMBER, "degC", NULL, NULL, NULL}},
        .figures = {{"K, share an hour", "", 5}},
        .work_out = reaeration,
    },
    {
        .word = "oxygen that oysters breathe",
        .equation = "(0.072 T - 0.64) W^0.75 mg/h, W dry flesh in g; Crassostrea gigas",
        .source = RESPIRATION_SOURCE,
        .range = "11.6 to 26.5 degC",
        .caution = PLANNING,
        .example = "temperature=20 dry-flesh=1 animals=10000",
        .inputs = {OYSTERS},
        .figures = {{"one animal", "mg/h", 4}, {"all", "g/h", 4}},
        .work_out = respiration,
    },
    {
        .word = "water that oysters filter",
        .equation = "(0.70 T - 6.6) W L/h, 4.9 W while spawning, W dry flesh in g; Crassostrea "
                    "gigas",
        .source = RESPIRATION_SOURCE,
        .range = "9.7 to 25.7 degC",
        .example = "temperature=20 dry-flesh=1 animals=10000",
        .inputs = {OYSTERS, {"spawning", QUANTITY_WORD, "", "no", NULL, spawning_word}},
        .figures = {{"one animal", "L/h", 4}, {"all", "m3/h", 4}},
        .work_out = filtration,
    },
};

const struct quantity_family family_tank_oxygen = {"oxygen in a tank", rows, ARRAY_LEN(rows)};
