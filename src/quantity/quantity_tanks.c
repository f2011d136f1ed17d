#include "measure/energy.h"
#include "measure/flow_network.h"
#include "measure/mixing_trial.h"
#include "measure/residence.h"
#include "measure/unseen.h"
#include "quantity/quantity_inside.h"

/* --- one tank -------------------------------------------------------------------------------- */

static bool residence(struct arena *mem, const struct quantity_asked *asked,
                      struct quantity_answer *answer, struct err *err)
{
    double volume_m3 = asked_number(asked, "volume");
    double flow_m3_per_h = asked_number(asked, "flow");
    double hours = 0;
    double exchanges = 0;
    double area = 0;

    (void)mem;
    if (!residence_time(volume_m3, flow_m3_per_h, &hours, err) ||
        !residence_exchanges(volume_m3, flow_m3_per_h, &exchanges, err))
        return false;
    answer->figures[0] = value_of(hours);
    answer->figures[1] = value_of(exchanges);
    if (!asked_there(asked, "depth"))
        return true;
    if (!residence_plan_area(volume_m3, asked_number(asked, "depth"), &area, err))
        return false;
    answer->figures[2] = value_of(area);

    return true;
}

/* "tanks" is a small whole number. */
static bool tanks_asked(const struct quantity_asked *asked, int *out, struct err *err)
{
    double tanks = asked_number(asked, "tanks");

    if (tanks >= 1 && tanks <= RESIDENCE_TANKS_MAX && tanks == (double)(int)tanks) {
        *out = (int)tanks;
        return true;
    }
    err_set(err, ERR_INVALID, "the tanks are no whole number from 1 to %d", RESIDENCE_TANKS_MAX);

    return err_hint(err, "Write tanks=1 for one mixed tank.");
}

static bool water_left(struct arena *mem, const struct quantity_asked *asked,
                       struct quantity_answer *answer, struct err *err)
{
    double share = 0;
    int tanks = 0;

    (void)mem;
    if (!tanks_asked(asked, &tanks, err) ||
        !residence_share_left(tanks, asked_number(asked, "turnovers"), &share, err))
        return false;
    answer->figures[0] = value_of(share);

    return true;
}

static bool turnovers(struct arena *mem, const struct quantity_asked *asked,
                      struct quantity_answer *answer, struct err *err)
{
    double out = 0;
    int tanks = 0;

    (void)mem;
    if (!tanks_asked(asked, &tanks, err) ||
        !residence_turnovers_for(tanks, asked_number(asked, "share"), &out, err))
        return false;
    answer->figures[0] = value_of(out);

    return true;
}

static bool after_step(struct arena *mem, const struct quantity_asked *asked,
                       struct quantity_answer *answer, struct err *err)
{
    double hours = 0;
    double out = 0;

    (void)mem;
    if (!asked_not_ph(asked, err) ||
        !residence_time(asked_number(asked, "volume"), asked_number(asked, "flow"), &hours, err) ||
        !residence_after_step(asked_number(asked, "start"), asked_number(asked, "inlet"),
                              asked_number(asked, "after") / hours, &out, err))
        return false;
    answer->figures[0] = value_of(out);

    return true;
}

static bool first_order(struct arena *mem, const struct quantity_asked *asked,
                        struct quantity_answer *answer, struct err *err)
{
    double hours = 0;
    double share = 0;

    (void)mem;
    if (!residence_time(asked_number(asked, "volume"), asked_number(asked, "flow"), &hours, err) ||
        !residence_first_order_left(asked_number(asked, "loss"), hours, &share, err))
        return false;
    answer->figures[0] = value_of(share);

    return true;
}

/* --- several --------------------------------------------------------------------------------- */

static bool delay(struct arena *mem, const struct quantity_asked *asked,
                  struct quantity_answer *answer, struct err *err)
{
    const struct quantity_input_value *volumes = asked_value(asked, "volumes");
    const struct quantity_input_value *flows = asked_value(asked, "flows");
    struct residence_station *stations = ARENA_ARRAY(mem, struct residence_station, volumes->count);
    struct residence_delay out;

    if (!asked_same_count(asked, "volumes", "flows", err))
        return false;
    for (size_t i = 0; i < volumes->count; i++)
        stations[i] = (struct residence_station){
            .name = arena_printf(mem, "station %zu", i + 1),
            .volume_m3 = volumes->numbers[i],
            .flow_m3_per_h = flows->numbers[i],
        };
    if (!residence_of_chain(stations, volumes->count, &out, err))
        return false;
    answer->figures[0] = value_of(out.half_h);
    answer->figures[1] = value_of(out.tenth_h);
    answer->figures[2] = value_of(out.nine_tenths_h);
    answer->figures[3] = value_of(out.nominal_h);
    answer->figures[4] = value_of(out.spread_h);
    answer->figures[5] = value_of(out.tanks);

    return true;
}

enum { LOOP_PATHS = 4 };

/* One tank, fresh water in, the rest of its flow out of it and back by way of a second. */
static bool loop(struct arena *mem, const struct quantity_asked *asked,
                 struct quantity_answer *answer, struct err *err)
{
    double fresh = asked_number(asked, "fresh-flow");
    double returned = asked_number(asked, "returned-flow");
    const struct flow_station stations[] = {{"tank", asked_number(asked, "volume")},
                                            {"loop", asked_number(asked, "loop-volume")}};
    const struct flow_path paths[LOOP_PATHS] = {
        {FLOW_OUTSIDE, 0, fresh}, {0, FLOW_OUTSIDE, fresh}, {0, 1, returned}, {1, 0, returned}};
    struct flow_network network = {
        .stations = stations,
        .station_count = ARRAY_LEN(stations),
        .paths = paths,
        .path_count = ARRAY_LEN(paths),
    };
    struct flow_network_state state;

    if (!flow_network_solve(mem, &network, &state, err))
        return false;
    answer->figures[0] = value_of(state.stations[0].returned_share);
    answer->figures[1] = value_of(state.stations[0].passes);
    answer->figures[2] = value_of(state.stations[0].nominal_h);
    answer->figures[3] = value_of(state.stations[0].age_h);
    answer->figures[4] = value_of(state.total_h);

    return true;
}

static bool mixing(struct arena *mem, const struct quantity_asked *asked,
                   struct quantity_answer *answer, struct err *err)
{
    const struct quantity_input_value *times = asked_value(asked, "times");
    const struct quantity_input_value *values = asked_value(asked, "values");
    struct mixing_reading *readings = ARENA_ARRAY(mem, struct mixing_reading, times->count);
    struct mixing_trial trial = {
        .volume_m3 = asked_number(asked, "volume"),
        .flow_m3_per_h = asked_number(asked, "flow"),
        .inflow = asked_number(asked, "inlet"),
        .readings = readings,
        .count = times->count,
    };
    struct mixing_result out;

    if (!asked_same_count(asked, "times", "values", err))
        return false;
    for (size_t i = 0; i < times->count; i++)
        readings[i] = (struct mixing_reading){times->numbers[i], values->numbers[i]};
    if (!mixing_trial_fit(mem, &trial, &out, err))
        return false;
    answer->figures[0] = value_of(out.mixed_share);
    answer->figures[1] = value_of(out.dead_share);
    answer->figures[2] = value_of(out.share_low);
    answer->figures[3] = value_of(out.share_high);
    answer->figures[4] = value_of(out.nominal_h);
    answer->figures[5] = value_of(out.real_h);
    if (out.over_one)
        answer->note = "A share above 1 means water that by-passes the tank, or a wrong volume or "
                       "flow.";

    return true;
}

/* --- pumps ----------------------------------------------------------------------------------- */

static bool energy(struct arena *mem, const struct quantity_asked *asked,
                   struct quantity_answer *answer, struct err *err)
{
    double kwh = 0;
    double per_thousand = 0;

    (void)mem;
    if (!energy_by_rated_power(asked_number(asked, "power"), asked_number(asked, "time"), &kwh,
                               err))
        return false;
    answer->figures[0] = value_of(kwh);
    if (!asked_there(asked, "animals"))
        return true;
    if (!energy_per_thousand(kwh, asked_number(asked, "animals"), &per_thousand, err))
        return false;
    answer->figures[1] = value_of(per_thousand);

    return true;
}

static bool mean_flow(struct arena *mem, const struct quantity_asked *asked,
                      struct quantity_answer *answer, struct err *err)
{
    double out = 0;

    (void)mem;
    if (!energy_mean_flow(asked_number(asked, "flow"), asked_number(asked, "share"), &out, err))
        return false;
    answer->figures[0] = value_of(out);

    return true;
}

/* --- the table ------------------------------------------------------------------------------- */

#define VOLUME                                                                                     \
    {                                                                                              \
        "volume", QUANTITY_NUMBER, "m3", NULL, NULL, NULL                                          \
    }
#define FLOW                                                                                       \
    {                                                                                              \
        "flow", QUANTITY_NUMBER, "m3/h", NULL, NULL, NULL                                          \
    }
#define TANKS                                                                                      \
    {                                                                                              \
        "tanks", QUANTITY_NUMBER, "", "1", "equal mixed tanks in series", NULL                     \
    }

#define LEVENSPIEL                                                                                 \
    "Levenspiel, Chemical Reaction Engineering; Metcalf and Eddy, Wastewater Engineering "         \
    "(" UNSEEN_BOTH ")"
#define NOMINAL                                                                                    \
    "water that mixes at once and all takes part; short cuts and dead corners make it shorter"

static const struct quantity rows[] = {
    {
        .word = "residence time",
        .equation = "volume over flow",
        .source = LEVENSPIEL,
        .range = NOMINAL,
        .example = "volume=100000L flow=400L/min depth=1.8",
        .inputs = {VOLUME,
                   FLOW,
                   {"depth", QUANTITY_NUMBER, "m", "", "for the plan area, upright walls", NULL}},
        .figures = {{"residence time", "h", 5}, {"exchanges a day", "", 4}, {"plan area", "m2", 4}},
        .work_out = residence,
    },
    {
        .word = "water left after a time",
        .equation = "exp(-turnovers) in one mixed tank; in several the sum of a Poisson's terms",
        .source = LEVENSPIEL,
        .range = NOMINAL,
        .example = "turnovers=3",
        .inputs = {{"turnovers", QUANTITY_NUMBER, "", NULL, "time over residence time", NULL},
                   TANKS},
        .figures = {{"share of the first water left", "1", 5}},
        .work_out = water_left,
    },
    {
        .word = "turnovers to replace water",
        .equation = "-ln(1 - share) in one mixed tank",
        .source = LEVENSPIEL,
        .range = NOMINAL,
        .example = "share=95%",
        .inputs = {{"share", QUANTITY_NUMBER, "1", NULL, "0.95 or 95 %", NULL}, TANKS},
        .figures = {{"turnovers", "", 5}},
        .work_out = turnovers,
    },
    {
        .word = "value after a change at the inlet",
        .equation = "inlet + (start - inlet) exp(-time / residence time)",
        .source = LEVENSPIEL,
        .range = NOMINAL,
        .example = "volume=20 flow=12.5 start=0 inlet=10 after=2",
        .inputs = {VOLUME,
                   FLOW,
                   {"start", QUANTITY_NUMBER, NULL, NULL, "in the tank before", NULL},
                   {"inlet", QUANTITY_NUMBER, NULL, NULL, "of what comes in from then on", NULL},
                   {"after", QUANTITY_NUMBER, "h", NULL, NULL, NULL}},
        .figures = {{"value", NULL, 5}},
        .work_out = after_step,
    },
    {
        .word = "share left of what decays",
        .equation = "1 / (1 + loss x residence time), steady, one mixed tank",
        .source = LEVENSPIEL,
        .range = NOMINAL,
        .example = "volume=20 flow=12.5 loss=0.1",
        .inputs = {VOLUME, FLOW, {"loss", QUANTITY_NUMBER, "", NULL, "share lost an hour", NULL}},
        .figures = {{"share left", "1", 5}},
        .work_out = first_order,
    },
    {
        .word = "time from intake to discharge",
        .equation = "mixed stations in a row; arrival by a gamma distribution of that mean and "
                    "spread",
        .source = LEVENSPIEL,
        .range = "exact for equal volumes over equal flows, close otherwise; " NOMINAL,
        .example = "volumes=20,20,850m3 flows=12.5,12.5,12.5m3/h",
        .inputs = {{"volumes", QUANTITY_NUMBERS, "m3", NULL, "in the order of the water", NULL},
                   {"flows", QUANTITY_NUMBERS, "m3/h", NULL, "through each", NULL}},
        .figures = {{"half of the change", "h", 4},
                    {"a tenth", "h", 4},
                    {"nine tenths", "h", 4},
                    {"nominal", "h", 5},
                    {"spread", "h", 4},
                    {"as so many equal tanks", "", 4}},
        .work_out = delay,
    },
    {
        .word = "tank with water that comes back",
        .equation = "mean age and share returned of mixed stations in a steady loop",
        .source = "Kemeny and Snell, Finite Markov Chains (1960), " UNSEEN,
        .range = "steady flows; as much goes out as fresh water comes in; " NOMINAL,
        .example = "volume=20 loop-volume=5 fresh-flow=4 returned-flow=12",
        .inputs = {VOLUME,
                   {"loop-volume", QUANTITY_NUMBER, "m3", NULL,
                    "filter, sump and pipes on the way back", NULL},
                   {"fresh-flow", QUANTITY_NUMBER, "m3/h", NULL, NULL, NULL},
                   {"returned-flow", QUANTITY_NUMBER, "m3/h", NULL, NULL, NULL}},
        .figures = {{"share of the inflow that was here before", "1", 4},
                    {"times that water passes the tank", "", 4},
                    {"residence of one pass", "h", 4},
                    {"mean age of the water in the tank", "h", 4},
                    {"mean time inside, loop and all", "h", 4}},
        .work_out = loop,
    },
    {
        .word = "mixed share of a tank",
        .equation = "flow/volume over the slope of ln|value - inlet| against time",
        .source =
            "Levenspiel, Chemical Reaction Engineering; Cholette and Cloutier 1959 (" UNSEEN_BOTH
            ")",
        .range = "a trial with dye or salt, after the first mixing; at least 3 readings",
        .example = "volume=20 flow=12.5 inlet=0 times=0.5,1,1.5,2 values=7.2,5.1,3.7,2.6",
        .inputs = {VOLUME,
                   FLOW,
                   {"inlet", QUANTITY_NUMBER, "", NULL, "what the readings tend to", NULL},
                   {"times", QUANTITY_NUMBERS, "h", NULL, "since the pulse or step", NULL},
                   {"values", QUANTITY_NUMBERS, "", NULL, NULL, NULL}},
        .figures = {{"mixed share", "1", 4},
                    {"dead share", "1", 4},
                    {"mixed, low end of 95 %", "1", 4},
                    {"mixed, high end of 95 %", "1", 4},
                    {"nominal residence", "h", 4},
                    {"real residence", "h", 4}},
        .work_out = mixing,
    },
    {
        .word = "energy of a pump",
        .equation = "rated power times hours run",
        .source = "common practice, no source",
        .range = "an estimate: a pump rarely draws what its plate says",
        .example = "power=1.5 time=24 animals=40000",
        .inputs = {{"power", QUANTITY_NUMBER, "kW", NULL, "rated", NULL},
                   {"time", QUANTITY_NUMBER, "h", NULL, "it ran", NULL},
                   {"animals", QUANTITY_NUMBER, "", "", NULL, NULL}},
        .figures = {{"energy", "kWh", 4}, {"for each thousand animals", "kWh", 4}},
        .work_out = energy,
    },
    {
        .word = "mean flow of a pump",
        .equation = "running flow times the share of time that it runs",
        .source = "common practice, no source",
        .range = "a share of 0 to 100 %",
        .example = "flow=12 share=50%",
        .inputs = {{"flow", QUANTITY_NUMBER, "m3/h", NULL, "while it runs", NULL},
                   {"share", QUANTITY_NUMBER, "1", NULL, "0.5 or 50 %", NULL}},
        .figures = {{"mean flow", "m3/h", 4}},
        .work_out = mean_flow,
    },
};

const struct quantity_family family_tanks = {"tanks and pumps", rows, ARRAY_LEN(rows)};
