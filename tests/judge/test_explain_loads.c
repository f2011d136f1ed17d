#include "judge/explain.h"
#include "judge/given.h"

/* Loads: the arithmetic told is the one done, whichever water the clause goes by. */

static struct explanation explained(struct given *given)
{
    static const struct explain_choices choices = {.names = NULL};
    struct verdict verdict = given_verdict(given);

    return judge_explain(given->mem, &verdict, &given->evidence, &choices);
}

/* The lines from the one that begins with `expected[0]` on. */
static void assert_from(const struct explanation *lines, const char *const *expected, size_t count)
{
    size_t found = 0;

    while (found < lines->count && strcmp(lines->items[found], expected[0]) != 0)
        found++;
    if (found == lines->count) {
        for (size_t i = 0; i < lines->count; i++)
            print_message("%s\n", lines->items[i]);
        fail_msg("no line '%s'", expected[0]);
    }
    for (size_t i = 0; i < count && found + i < lines->count; i++)
        assert_string_equal(lines->items[found + i], expected[i]);
    assert_true(found + count <= lines->count);
}

static void loads_of(struct given *given, enum load_water water)
{
    static const struct limit_place drain = {"drain", NULL};
    static const struct limit_flow drain_flow = {"drain", "flow"};

    given->limit.unit = "kg/day";
    given->limit.daily = DAILY_LOAD;
    given->limit.flow = (struct limit_flow){"outfall", "flow"};
    given->limit.load_water = water;
    given->limit.reading_stands_s = 86400;
    given->limit.added = &drain;
    given->limit.added_flows = &drain_flow;
    given->from = given->to = day_from_civil(2026, 3, 3);
}

static void with_flows(struct given *given)
{
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE),
                   "2/00:00:4 3/00:00:4 3/08:45:5 3/12:00:4 4/00:00:4", "L/s");
    given_readings(given, given_series(given, "drain", "flow", KIND_PROBE),
                   "2/00:00:2 3/00:00:2 3/12:00:2 4/00:00:2", "L/s");
}

/* 10 mg/L x 5 L/s x 0.0864 = 4.32, 20 x 4 x 0.0864 = 6.912: their mean 5.616; 7.5 x 2 x 0.0864 =
 * 1.296. */
static void a_load_while_sampling_shows_each_flow_and_each_place(void **state)
{
    static const char *const expected[] = {
        "  load = the mean, over the readings of the day, of concentration x flow while it was "
        "taken (as if it had run for 24 hours) x factor; water of outfall from flow at outfall and "
        "of drain from flow at drain; factor 0.001, by the units",
        "  3 March 2026: 3 readings, load 6.912 kg/day",
        "    outfall, 2026-03-03 09:00: 10 x 432 m3 in 24 hours (the flow then: 5 L/s, as read "
        "2026-03-03 08:45) = 4.32 kg/day",
        "    outfall, 2026-03-03 13:00: 20 x 345.6 m3 in 24 hours (the flow then: 4 L/s, as read "
        "2026-03-03 12:00) = 6.912 kg/day",
        "    outfall: the mean of these 2",
        "    drain, 2026-03-03 10:00: 7.5 x 172.8 m3 in 24 hours (the flow then: 2 L/s, as read "
        "2026-03-03 00:00) = 1.296 kg/day",
        "    the places are added",
    };
    struct given *given = *state;

    loads_of(given, LOAD_WATER_WHILE_SAMPLING);
    given->limit.added_count = 1;
    given_samples(given, "3/09:00:10 3/13:00:20");
    given_readings(given, given_series(given, "drain", "suspended-solids", KIND_GRAB),
                   "3/10:00:7.5", "mg/L");
    with_flows(given);

    struct explanation lines = explained(given);

    assert_from(&lines, expected, ARRAY_LEN(expected));
}

/* The day has 4 L/s but for 3 h 15 min of 5: 345.6 + 11.7 m3. */
static void a_load_by_the_water_of_the_day_shows_each_place(void **state)
{
    static const char *const expected[] = {
        "  3 March 2026: 2 readings, load 4.869 kg/day",
        "    outfall: 10 x 357.3 m3 = 3.573 kg/day",
        "    drain: 7.5 x 172.8 m3 = 1.296 kg/day",
        "    the places are added",
    };
    struct given *given = *state;

    loads_of(given, LOAD_WATER_OF_DAY);
    given->limit.added_count = 1;
    given_samples(given, "3/09:00:10");
    given_readings(given, given_series(given, "drain", "suspended-solids", KIND_GRAB),
                   "3/10:00:7.5", "mg/L");
    with_flows(given);

    struct explanation lines = explained(given);

    assert_from(&lines, expected, ARRAY_LEN(expected));
}

/* 864 m3 on the 3rd and 432 on the 4th: their mean is 648, which the load goes by. */
static void a_load_by_the_mean_water_of_the_period_names_that_water(void **state)
{
    static const char *const expected[] = {
        "  load = mean concentration of the day x the mean water of a day of the period x factor; "
        "water from flow at outfall; factor 0.001, by the units",
        "  3 March 2026: 1 reading, mean concentration 10, the period's mean water 648 m3, load "
        "6.48 kg/day",
    };
    struct given *given = *state;

    loads_of(given, LOAD_WATER_PERIOD_MEAN);
    given->to = day_from_civil(2026, 3, 4);
    given_samples(given, "3/09:00:10");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE),
                   "3/00:00:10 4/00:00:5 5/00:00:5", "L/s");

    struct explanation lines = explained(given);

    assert_from(&lines, expected, ARRAY_LEN(expected));
}

/* (10 + 20) / 2 x (864 + 432) / 1000 = 19.44. */
static void one_load_of_the_period_shows_its_mean_and_its_water(void **state)
{
    static const char *const expected[] = {
        "  no load of a day: load of the period = the mean of the days' concentrations x the water "
        "of all its days x factor; water from flow at outfall; factor 0.001, by the units",
        "  3 March 2026: 1 reading, mean concentration 10, water 864 m3",
        "  4 March 2026: 1 reading, mean concentration 20, water 432 m3",
        "  outfall: 15 x 1296 m3, the water of all its days = 19.44 kg/day",
        "figure: 19.44 kg/day, monthly mean of 2 daily means times the volume",
    };
    struct given *given = *state;

    loads_of(given, LOAD_MEAN_TIMES_VOLUME);
    given->to = day_from_civil(2026, 3, 4);
    given_samples(given, "3/09:00:10 4/09:00:20");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE),
                   "3/00:00:10 4/00:00:5 5/00:00:5", "L/s");

    struct explanation lines = explained(given);

    assert_from(&lines, expected, ARRAY_LEN(expected));
}

/* (10 x 5 + 20 x 4) / 9. */
static void a_mean_by_the_flow_while_sampling_shows_each_flow(void **state)
{
    static const char *const expected[] = {
        "  3 March 2026: 2 readings, flow-weighted mean 14.4444444444 mg/L",
        "    outfall, 2026-03-03 09:00: 10 weighted by 432 m3 in 24 hours",
        "    outfall, 2026-03-03 13:00: 20 weighted by 345.6 m3 in 24 hours",
    };
    struct given *given = *state;

    loads_of(given, LOAD_WATER_OF_DAY);
    given->limit.unit = "mg/L";
    given->limit.daily = DAILY_FLOW_WEIGHTED_MEAN;
    given_samples(given, "3/09:00:10 3/13:00:20");
    with_flows(given);

    struct explanation lines = explained(given);

    assert_from(&lines, expected, ARRAY_LEN(expected));
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_load_while_sampling_shows_each_flow_and_each_place),
        CASE(a_load_by_the_water_of_the_day_shows_each_place),
        CASE(a_load_by_the_mean_water_of_the_period_names_that_water),
        CASE(one_load_of_the_period_shows_its_mean_and_its_water),
        CASE(a_mean_by_the_flow_while_sampling_shows_each_flow),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
