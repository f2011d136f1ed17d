#include "judge/drawn.h"
#include "stat/percentile.h"

/*
 * Every statistic held at exactly its bound, in three units: outside or within as the clause words
 * it. The figures are worked out by hand; the percentiles are those of numpy.quantile too.
 */

/* Readings that give each statistic exactly the bound. */
static const struct {
    enum limit_statistic statistic;
    const char *readings; /* mg/L */
    const char *bound;    /* of the figure */
    struct statistic_settings settings;
} held[] = {
    {STATISTIC_VALUE, "3:30", "30", {.rate_per_s = 0}},
    {STATISTIC_MEAN, "3:29.9 10:30.1 17:30", "30", {.rate_per_s = 0}},
    {STATISTIC_GEOMETRIC_MEAN, "3:15 10:60", "30", {.rate_per_s = 0}},
    {STATISTIC_MEDIAN, "3:20 10:40", "30", {.rate_per_s = 0}},
    {STATISTIC_MINIMUM, "3:30 10:60", "30", {.rate_per_s = 0}},
    {STATISTIC_MAXIMUM, "3:30 10:6", "30", {.rate_per_s = 0}},
    {STATISTIC_LOG_NORMAL_PERCENTILE,
     "3:10 10:1000",
     "1000",
     {.z = {1, 0}, .deviation = DEVIATION_POPULATION}},
    {STATISTIC_COUNT_BEYOND,
     "3:31 10:40 17:30",
     "2",
     {.beyond = {.has_above = true, .above = {30, 0}}}},
    {STATISTIC_SHARE_BEYOND,
     "3:31 10:40 17:30 18:10",
     "50",
     {.beyond = {.has_above = true, .above = {30, 0}}}},
    {STATISTIC_CHANGE, "3/12:00:10 3/12:30:12.5 3/13:01:15", "2.5", {.change_span_s = 3600}},
    {STATISTIC_RATE, "3/12:00:10 3/12:30:12.5", "5", {.rate_per_s = 3600}},
    {STATISTIC_TIME_OUTSIDE,
     "1/00:00:10 3/12:15:31 3/12:45:30 3/13:00:31 3/13:10:30",
     "40",
     {.beyond = {.has_above = true, .above = {30, 0}}, .time_unit_s = 60}},
    {STATISTIC_LONGEST_OUTSIDE,
     "1/00:00:10 3/12:15:31 3/12:45:30 3/13:00:31 3/13:10:30",
     "30",
     {.beyond = {.has_above = true, .above = {30, 0}}, .time_unit_s = 60}},
};

/* The four wordings; each is outside or within exactly at the bound. */
static const struct {
    bool is_floor;
    bool reached_is_outside;
    const char *words;
} wordings[] = {{false, false, "not above"},
                {false, true, "below"},
                {true, false, "not below"},
                {true, true, "above"}};

static struct limit_bound bound_as_worded(size_t wording, struct decimal bound)
{
    return (struct limit_bound){
        .has_ceiling = !wordings[wording].is_floor,
        .has_floor = wordings[wording].is_floor,
        .ceiling = bound,
        .floor = bound,
        .ceiling_reached_is_outside = wordings[wording].reached_is_outside,
        .floor_reached_is_outside = wordings[wording].reached_is_outside,
    };
}

static void judged_as_worded(struct given *given, size_t wording, const char *what,
                             const char *unit)
{
    struct verdict verdict = given_verdict(given);
    enum standing expected =
        wordings[wording].reached_is_outside ? STANDING_OUTSIDE : STANDING_WITHIN;

    if (verdict.standing != expected)
        fail_msg("%s %s in %s: expected %s, got %s; %s", what, wordings[wording].words, unit,
                 standing_name(expected), verdict.words, verdict.reason ? verdict.reason : "");
}

/* Readings of a series from mg/L, or from L/s, in another unit. */
static void stated_in(struct given *given, size_t series, const struct drawn_unit *unit)
{
    for (size_t i = 0; i < given->series[series].count; i++) {
        struct evidence_reading *reading = &given->readings[series][i];

        reading->reported = drawn_in(reading->reported, unit);
        reading->unit = unit->name;
    }
}

static const struct drawn_unit flow_units[] = {
    {"L/s", 1, 0, NULL}, {"m3/h", 36, 1, NULL}, {"m3/day", 864, 1, NULL}};
static const struct drawn_unit units[] = {{"mg/L", 1, 0, &flow_units[0]},
                                          {"ug/L", 1000, 0, &flow_units[1]},
                                          {"g/L", 1, 3, &flow_units[2]}};

static void hold_at_bound(struct given *given, size_t row, const struct drawn_unit *unit)
{
    size_t series;

    given_again(given);
    given->limit.statistic = held[row].statistic;
    given->limit.settings = held[row].settings;
    given->limit.period =
        held[row].statistic == STATISTIC_VALUE ? PERIOD_EACH_SAMPLE : PERIOD_MONTH;
    given->limit.reading_stands_s = 86400 * 31;
    series = given_samples(given, held[row].readings);
    if (held[row].settings.time_unit_s > 0) /* what was read is known up to the month's end */
        given_add(given, series, given_at("2026-04-01T00:00:00Z"), "10", "mg/L");
    stated_in(given, series, unit);
}

static void every_statistic_at_its_bound_is_judged_as_worded_in_three_units(void **state)
{
    struct given *given = *state;

    for (size_t row = 0; row < ARRAY_LEN(held); row++)
        for (size_t wording = 0; wording < ARRAY_LEN(wordings); wording++)
            for (size_t k = 0; k < ARRAY_LEN(units); k++) {
                hold_at_bound(given, row, &units[k]);
                given->limit.bound = bound_as_worded(wording, given_decimal(held[row].bound));
                judged_as_worded(given, wording, limit_statistic_words[held[row].statistic],
                                 units[k].name);
            }
}

/* The 75th percentile of 10, 20, 30 and 54. */
static const struct {
    const char *rule;
    const char *is;
} percentiles[] = {
    {"type 1", "30"},   {"type 2", "42"},       {"type 3", "30"}, {"type 4", "30"},
    {"type 5", "42"},   {"type 6", "48"},       {"type 7", "36"}, {"type 8", "44"},
    {"type 9", "43.5"}, {"nearest rank", "30"}, {"Hazen", "42"},  {"Weibull", "48"},
    {"Blom", "43.5"},   {"inclusive", "36"},
};

static void every_percentile_at_its_bound_is_judged_as_worded_in_three_units(void **state)
{
    struct given *given = *state;

    assert_null(percentile_definition_at(ARRAY_LEN(percentiles)));
    given->limit.statistic = STATISTIC_PERCENTILE;
    given->limit.settings.percent = (struct decimal){75, 0};
    for (size_t row = 0; row < ARRAY_LEN(percentiles); row++)
        for (size_t wording = 0; wording < ARRAY_LEN(wordings); wording++)
            for (size_t k = 0; k < ARRAY_LEN(units); k++) {
                given_again(given);
                given->limit.settings.percentile_rule = percentiles[row].rule;
                given->limit.bound = bound_as_worded(wording, given_decimal(percentiles[row].is));
                stated_in(given, given_samples(given, "3:54 10:20 17:30 24:10"), &units[k]);
                judged_as_worded(given, wording, percentiles[row].rule, units[k].name);
            }
}

/*
 * Of a steady 1 L/s, but 2 on the 10th, and 10 mg/L on the 3rd, 40 on the 10th. 1 L/s and 1 mg/L
 * are 0.0864 kg a day: 0.864 on the 3rd, 6.912 on the 10th.
 */
static const struct {
    enum limit_daily daily;
    enum limit_statistic statistic;
    enum load_water water;
    enum load_gap_rule gap;
    const char *unit;
    const char *is;
    const char *what;
} of_flow[] = {
    {DAILY_MEAN, STATISTIC_FLOW_WEIGHTED_MEAN, LOAD_WATER_OF_DAY, LOAD_GAP_LEFT_OUT, "mg/L", "30",
     "flow-weighted mean, (10 + 2 40) / 3"},
    {DAILY_FLOW_WEIGHTED_MEAN, STATISTIC_MEAN, LOAD_WATER_OF_DAY, LOAD_GAP_LEFT_OUT, "mg/L", "25",
     "mean of days by their flow, (10 + 40) / 2"},
    {DAILY_LOAD, STATISTIC_MAXIMUM, LOAD_WATER_OF_DAY, LOAD_GAP_LEFT_OUT, "kg/day", "6.912",
     "highest load"},
    {DAILY_LOAD, STATISTIC_MEAN, LOAD_WATER_OF_DAY, LOAD_GAP_LEFT_OUT, "kg/day", "3.888",
     "mean of loads"},
    {DAILY_LOAD, STATISTIC_MEAN, LOAD_WATER_WHILE_SAMPLING, LOAD_GAP_LEFT_OUT, "kg/day", "3.888",
     "mean of loads while sampling"},
    {DAILY_LOAD, STATISTIC_SUM, LOAD_WATER_OF_DAY, LOAD_GAP_PERIOD_MEAN, "kg/day", "70.416",
     "sum of loads, 0.864 and 6.912 and 29 of 2.16"},
    {DAILY_LOAD, STATISTIC_SUM, LOAD_MEAN_TIMES_VOLUME, LOAD_GAP_LEFT_OUT, "kg/day", "69.12",
     "mean of 25 times 32 days of 1 L/s"},
};

static void steady_flow(struct given *given, const struct drawn_unit *unit)
{
    size_t series = given_series(given, "outfall", "flow", KIND_PROBE);

    for (int day = 0; day <= 32; day++)
        given_add(given, series, given_at("2026-03-01T00:00:00Z") + (day - 1) * DAY_US,
                  day == 10 ? "2" : "1", unit->name);
    stated_in(given, series, unit);
}

static void figures_with_a_flow_at_their_bound_are_judged_as_worded_in_three_units(void **state)
{
    struct given *given = *state;

    given->limit.flow = (struct limit_flow){"outfall", "flow"};
    given->limit.reading_stands_s = 86400;
    for (size_t row = 0; row < ARRAY_LEN(of_flow); row++)
        for (size_t wording = 0; wording < ARRAY_LEN(wordings); wording++)
            for (size_t k = 0; k < ARRAY_LEN(units); k++) {
                given_again(given);
                given->limit.daily = of_flow[row].daily;
                given->limit.statistic = of_flow[row].statistic;
                given->limit.load_water = of_flow[row].water;
                given->limit.load_gap = of_flow[row].gap;
                given->limit.unit = of_flow[row].unit;
                given->limit.bound = bound_as_worded(wording, given_decimal(of_flow[row].is));
                steady_flow(given, units[k].flow);
                stated_in(given, given_samples(given, "3:10 10:40"), &units[k]);
                assert_null(limit_refuse(&given->limit, false, false, false));
                judged_as_worded(given, wording, of_flow[row].what, units[k].name);
            }
}

/* Equal ones have themselves as their mean: from 4.0 to 10.0, two to five of each. pH has one unit.
 */
static void a_mean_of_ph_by_hydrogen_ions_at_its_bound_is_judged_as_worded(void **state)
{
    struct given *given = *state;

    given->limit.parameter = "ph";
    given->limit.unit = "pH";
    given->limit.statistic = STATISTIC_HYDROGEN_ION_MEAN;
    for (int tenths = 40; tenths <= 100; tenths++)
        for (size_t wording = 0; wording < ARRAY_LEN(wordings); wording++)
            for (int count = 2; count <= 5; count++) {
                given_again(given);
                given->limit.bound = bound_as_worded(wording, (struct decimal){tenths, 1});

                size_t series = given_series(given, "outfall", "ph", KIND_PROBE);

                for (int i = 1; i <= count; i++)
                    given_add(given, series, given_at("2026-03-01T00:00:00Z") + i * DAY_US,
                              decimal_text(given->mem, (struct decimal){tenths, 1}), "pH");
                judged_as_worded(given, wording, "mean by hydrogen ions", "pH");
            }
}

/* A total has no concentration: of a steady 1 L/s, which is 86.4 m3 a day, over 31 days. */
static void totals_at_their_bound_are_judged_as_worded_in_three_units(void **state)
{
    static const struct {
        const char *unit;
        const char *flow;
    } flows[] = {{"L/s", "1"}, {"m3/h", "3.6"}, {"m3/day", "86.4"}};
    struct given *given = *state;

    given->limit.parameter = "flow";
    given->limit.unit = "m3";
    given->limit.daily = DAILY_TOTAL;
    given->limit.reading_stands_s = 86400;
    for (size_t wording = 0; wording < ARRAY_LEN(wordings); wording++)
        for (size_t k = 0; k < ARRAY_LEN(flows) * 2; k++) {
            bool sum = k >= ARRAY_LEN(flows);
            size_t at = k % ARRAY_LEN(flows);

            given_again(given);
            given->limit.statistic = sum ? STATISTIC_SUM : STATISTIC_VALUE;
            given->limit.period = sum ? PERIOD_MONTH : PERIOD_DAY;
            given->limit.bound = bound_as_worded(wording, given_decimal(sum ? "2678.4" : "86.4"));

            size_t series = given_series(given, "outfall", "flow", KIND_PROBE);

            for (int day = -1; day <= 31; day++)
                given_add(given, series, given_at("2026-03-01T00:00:00Z") + day * DAY_US,
                          flows[at].flow, flows[at].unit);

            judged_as_worded(given, wording, sum ? "sum" : "total", flows[at].unit);
        }
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    static const struct CMUnitTest tests[] = {
        CASE(every_statistic_at_its_bound_is_judged_as_worded_in_three_units),
        CASE(every_percentile_at_its_bound_is_judged_as_worded_in_three_units),
        CASE(figures_with_a_flow_at_their_bound_are_judged_as_worded_in_three_units),
        CASE(a_mean_of_ph_by_hydrogen_ions_at_its_bound_is_judged_as_worded),
        CASE(totals_at_their_bound_are_judged_as_worded_in_three_units),
    };

    return cmocka_run_group_tests_name("judge/at_bound", tests, NULL, NULL);
}
