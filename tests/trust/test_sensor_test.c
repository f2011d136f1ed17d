#include "trust/sensor_test.h"

#include <math.h>
#include <string.h>

#include "base/macro.h"
#include "harness/cmocka.h"

/*
 * "computed by hand" is worked out from the wording of the manuals of the US Integrated Ocean
 * Observing System's QARTOD project. "IOOS" rows are inputs and flags that IOOS publishes beside
 * its own programme for these tests (ioos_qc, tests/test_qartod.py, Apache-2.0, 2026-08-20).
 */

#define NOTHING ((double)NAN)

enum { VALUES_MOST = 32 };

/* The flags of a whole series, one value every `step_s`. */
static size_t flags_of(const struct sensor_rules *rules, const double *values, size_t count,
                       int step_s, struct sensor_flags *out)
{
    struct sensor_tester tester;
    size_t done = 0;

    sensor_tester_begin(&tester, rules);
    for (size_t i = 0; i < count; i++)
        done += sensor_tester_feed(&tester, (instant)i * step_s * SECOND_US, values[i], &out[done]);

    return done + sensor_tester_end(&tester, &out[done]);
}

/* Compare one test's flags with a text of digits. */
static void assert_flags(const struct sensor_rules *rules, enum sensor_test test,
                         const double *values, size_t count, int step_s, const char *expected)
{
    struct sensor_flags flags[VALUES_MOST];
    char got[VALUES_MOST + 1] = "";

    assert_int_equal(flags_of(rules, values, count, step_s, flags), count);
    for (size_t i = 0; i < count; i++)
        got[i] = (char)('0' + flags[i].flags[test]);
    assert_string_equal(got, expected);
}

static const struct sensor_range no_range = {false, -INFINITY, INFINITY};

/* --- one series under all tests, computed by hand -------------------------------------------- */

static void all_tests_together_give_the_flags_worked_out_by_hand(void **state)
{
    static const struct {
        double value;
        const char *flags; /* gross range, spike, rate, flat line, worst */
    } rows[] = {
        {8.0, "12221"}, {8.1, "11121"},     {8.0, "13113"}, {11.5, "14314"}, {8.1, "13313"},
        {8.1, "11111"}, {8.1, "11133"},     {8.1, "11133"}, {8.1, "13144"},  {4.9, "34314"},
        {8.2, "12313"}, {NOTHING, "99999"}, {8.3, "12211"}, {20.5, "44314"}, {-0.2, "42314"},
    };
    struct sensor_rules rules = {
        .sensor = {true, 0, 20},
        .user = {true, 5, 14},
        .spike = {true, 1.0, 3.0},
        .rate = {true, 2.0 / 600, INFINITY},
        .flat = {.given = true, .within = 0.01, .suspect_readings = 3, .fail_readings = 5},
    };
    double values[ARRAY_LEN(rows)];
    struct sensor_flags flags[ARRAY_LEN(rows)];

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        values[i] = rows[i].value;
    assert_int_equal(flags_of(&rules, values, ARRAY_LEN(rows), 600, flags), ARRAY_LEN(rows));
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const unsigned char *f = flags[i].flags;
        char got[] = {(char)('0' + f[SENSOR_RANGE]),
                      (char)('0' + f[SENSOR_SPIKE]),
                      (char)('0' + f[SENSOR_RATE]),
                      (char)('0' + f[SENSOR_FLAT]),
                      (char)('0' + sensor_flags_worst(&flags[i])),
                      '\0'};

        assert_string_equal(got, rows[i].flags);
    }
}

/* --- gross range ----------------------------------------------------------------------------- */

static void a_value_at_an_end_of_a_range_belongs_to_it(void **state)
{
    /* IOOS, test_gross_range_check and test_gross_range_check_masked */
    static const double plain[] = {5, 10, 15, 20, 25, 30, 35, 40, 45, 51};
    static const double masked[] = {NOTHING, 10, 15, 20, 25, 30, 35, 40, NOTHING, 51, NOTHING};
    struct sensor_rules rules = {.sensor = {true, 10, 50}, .user = {true, 20, 40}};

    (void)state;
    assert_flags(&rules, SENSOR_RANGE, plain, ARRAY_LEN(plain), 900, "4331111134");
    assert_flags(&rules, SENSOR_RANGE, masked, ARRAY_LEN(masked), 900, "93311111949");
}

/* --- climatology ----------------------------------------------------------------------------- */

static void a_season_says_what_is_expected_and_only_then(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const struct {
        struct sensor_season season;
        int year;
        int month;
        int day;
        double value;
        enum trust_flag flag;
    } rows[] = {
        /* IOOS, test_climatology_test_periods_monthly: months 1 to 3 */
        {{101, 331, {true, 10, 20}}, 2011, 2, 2, 9, FLAG_SUSPECT},
        {{101, 331, {true, 10, 20}}, 2013, 2, 3, 11, FLAG_PASS},
        {{101, 331, {true, 10, 20}}, 2011, 4, 1, 21, FLAG_NOT_EVALUATED},
        {{101, 331, {true, 10, 20}}, 2011, 12, 31, 21, FLAG_NOT_EVALUATED},
        {{101, 331, {true, 10, 20}}, 2020, 2, 29, 15, FLAG_PASS},
        /* IOOS, QartodClimatologyInclusiveRangesTest: over New Year, both ends in it */
        {{1101, 204, {true, 50, 60}}, 2019, 10, 31, 55, FLAG_NOT_EVALUATED},
        {{1101, 204, {true, 50, 60}}, 2019, 11, 1, 55, FLAG_PASS},
        {{1101, 204, {true, 50, 60}}, 2020, 2, 4, 55, FLAG_PASS},
        {{1101, 204, {true, 50, 60}}, 2020, 2, 5, 55, FLAG_NOT_EVALUATED},
        {{1101, 204, {true, 50, 60}}, 2020, 1, 1, 49, FLAG_SUSPECT},
        {{1101, 204, {true, 50, 60}}, 2020, 1, 1, 50, FLAG_PASS},
        {{1101, 204, {true, 50, 60}}, 2020, 1, 1, 60, FLAG_PASS},
        {{1101, 204, {true, 50, 60}}, 2020, 1, 1, 61, FLAG_SUSPECT},
        /* IOOS, test_climatology_missing_values */
        {{701, 930, {true, 3.4, 5}}, 2021, 7, 16, 0, FLAG_SUSPECT},
        {{701, 930, {true, 3.4, 5}}, 2021, 7, 16, NOTHING, FLAG_MISSING},
        {{701, 930, {true, 3.4, 5}}, 2021, 7, 16, 4.16743, FLAG_PASS},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct civil civil = {rows[i].year, rows[i].month, rows[i].day, 0, 0, 0, 0};
        struct sensor_rules rules = {.user = no_range,
                                     .seasons = &rows[i].season,
                                     .season_count = 1,
                                     .zone = zone_fixed(mem, 0)};
        struct sensor_tester tester;
        struct sensor_flags flags;

        sensor_tester_begin(&tester, &rules);
        assert_false(sensor_tester_feed(&tester, instant_from_utc(&civil), rows[i].value, &flags));
        assert_true(sensor_tester_end(&tester, &flags));
        assert_int_equal(flags.flags[SENSOR_SEASON], rows[i].flag);
    }
}

static void the_day_of_a_season_is_the_farms_own(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct sensor_season season = {701, 731, {true, 0, 5}};
    struct sensor_rules rules = {
        .seasons = &season, .season_count = 1, .zone = zone_fixed(mem, 12 * 3600)};
    struct civil june = {2026, 6, 30, 11, 59, 59, 0}; /* 23:59:59 at the farm */
    struct sensor_tester tester;
    struct sensor_flags flags;

    (void)state;
    sensor_tester_begin(&tester, &rules);
    assert_false(sensor_tester_feed(&tester, instant_from_utc(&june), 9, &flags));
    assert_true(sensor_tester_feed(&tester, instant_from_utc(&june) + SECOND_US, 9, &flags));
    assert_int_equal(flags.flags[SENSOR_SEASON], FLAG_NOT_EVALUATED);
    assert_true(sensor_tester_end(&tester, &flags));
    assert_int_equal(flags.flags[SENSOR_SEASON], FLAG_SUSPECT);
}

/* --- spike ----------------------------------------------------------------------------------- */

static const struct {
    const char *of; /* IOOS, QartodSpikeTest */
    double suspect;
    double fail;
    double values[VALUES_MOST];
    const char *flags;
} spikes[] = {
    {"test_spike", 25, 50, {10, 12, 999.99, 13, 15, 40, 9, 9}, "24441312"},
    {"test_spike_negative_vals", 25, 50, {-10, -12, -999.99, -13, -15, -40, -9, -9}, "24441312"},
    {"test_spike_initial_final_values", 25, 50, {-100, -99, -99, -98}, "2112"},
    {"test_spike_masked",
     25,
     50,
     {10, 12, 999.99, 13, 15, 40, 9, 9, NOTHING, 10, 10, 999.99, 10, NOTHING},
     "24441312924429"},
    {"test_spike_methods",
     0.5,
     1,
     {3, 4.99, 5, 6, 8, 6, 6, 6.75, 6, 6, 5.3, 6, 6, 9, 5, NOTHING, 4, 4},
     "231143131131442922"},
    {"test_spike_test_inputs, suspect alone",
     0.5,
     INFINITY,
     {3, 4.99, 5, 6, 8, 6, 6, 6.75, 6, 6, 5.3, 6, 6, 9, 5, NOTHING, 4, 4},
     "231133131131332922"},
    {"test_spike_test_inputs, fail alone",
     INFINITY,
     1,
     {3, 4.99, 5, 6, 8, 6, 6, 6.75, 6, 6, 5.3, 6, 6, 9, 5, NOTHING, 4, 4},
     "211141111111442922"},
    {"test_spike_realdata",
     0.5,
     1,
     {-0.189,  -0.0792, -0.0122, 0.0457,  0.0671,  0.0213,  -0.0488, -0.1463, -0.2438, -0.3261,
      -0.3871, -0.4054, -0.3932, -0.3383, -0.2804, -0.2347, -0.2134, -0.2347, -0.2926, -0.3597,
      -0.442,  -0.509,  0,       -0.5944, -0.57,   -0.4267, -0.2926, -0.1585, -0.0945, -0.0762},
     "211111111111111111111131111112"},
};

static void a_spike_stands_off_the_mean_of_its_neighbours(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(spikes); i++) {
        struct sensor_rules rules = {.spike = {true, spikes[i].suspect, spikes[i].fail}};

        assert_flags(&rules, SENSOR_SPIKE, spikes[i].values, strlen(spikes[i].flags), 900,
                     spikes[i].flags);
    }
}

/* --- rate of change -------------------------------------------------------------------------- */

/* A first value, and one after a missing one, has none to be compared with: 2, where IOOS has 1. */
static void a_rate_is_held_against_its_bound_where_there_is_a_value_before(void **state)
{
    /* IOOS, QartodRateOfChangeTest: 5 in 900 s; the second with 10 in 900 s, less a digit */
    static const double values[] = {2, 10, 2.1, 3,  4,  5,  7,  10, 0, 2, 2.2, 2,
                                    1, 2,  3,   90, 91, 92, 93, 1,  2, 3, 4,   5};
    static const double missing[] = {2, 10, 2, 3, NOTHING, NOTHING, 7, 10};
    static const double below_zero[] = {-2, -10, -2, -3};
    struct sensor_rules rules = {.rate = {true, 0.005555555555555555, INFINITY}};
    struct sensor_rules both = {.rate = {true, 0.005555555555555555, 0.0111111111}};

    (void)state;
    assert_flags(&rules, SENSOR_RATE, values, ARRAY_LEN(values), 900, "233111113111111311131111");
    assert_flags(&both, SENSOR_RATE, values, ARRAY_LEN(values), 900, "233111114111111411141111");
    assert_flags(&rules, SENSOR_RATE, missing, ARRAY_LEN(missing), 900, "23319921");
    assert_flags(&rules, SENSOR_RATE, below_zero, ARRAY_LEN(below_zero), 900, "2331");
}

/* --- flat line ------------------------------------------------------------------------------- */

static const struct {
    const char *of; /* IOOS, QartodFlatLineTest */
    int step_s;
    /* The publication cuts its times to whole steps: 3000 s at 900 s a step are 2700 s. */
    int suspect_s;
    int fail_s;
    double within;
    double values[VALUES_MOST];
    const char *flags;
} flats[] = {
    {"test_flat_line",
     900,
     2700,
     4500,
     0.01,
     {1, 2, 2.0001, 2, 2.0001, 2, 2.0001, 2, 4, 5, 3, 3.0001, 3.0005, 3.00001},
     "11113344111113"},
    {"test_flat_line, below zero",
     900,
     2700,
     4500,
     0.01,
     {-1, -2, -2.0001, -2, -2.0001, -2, -2.0001, -2, -4, -5, -3, -3.0001, -3.0005, -3.00001},
     "11113344111113"},
    {"test_flat_line_starting_from_beginning",
     900,
     2700,
     4500,
     0.01,
     {2, 2.0001, 2, 2.0001, 2, 2.0001, 2, 4, 5, 3, 3.0001, 3.0005, 3.00001},
     "1113344111113"},
    {"test_flat_line_short_timeseries", 1, 3, 5, 0.1, {5, 5, 5, 5, 5, 5}, "111334"},
    {"test_flat_line_short_timeseries, one", 1, 3, 5, 0.1, {5}, "1"},
    {"test_flat_line_with_spike", 1, 3, 6, 4, {1, 1, 1, 1, 1, 6, 5, 4, 3, 2}, "1113311133"},
};

static void a_line_is_flat_once_it_stayed_within_its_tolerance_for_so_long(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(flats); i++) {
        struct sensor_rules rules = {.flat = {.given = true,
                                              .within = flats[i].within,
                                              .suspect_us = flats[i].suspect_s * SECOND_US,
                                              .fail_us = flats[i].fail_s * SECOND_US}};

        assert_flags(&rules, SENSOR_FLAT, flats[i].values, strlen(flats[i].flags), flats[i].step_s,
                     flats[i].flags);
    }
}

/* Whether the run up to `last` is flat, by looking at all of it. */
static size_t run_length(const double *values, size_t last, double within)
{
    double low = values[last];
    double high = values[last];
    size_t first = last;

    while (first > 0 && fmax(high, values[first - 1]) - fmin(low, values[first - 1]) <= within) {
        first--;
        low = fmin(low, values[first]);
        high = fmax(high, values[first]);
    }

    return last - first + 1;
}

static void a_flat_run_found_value_by_value_is_that_found_by_looking_at_all(void **state)
{
    enum { COUNT = 20000 };
    static double values[COUNT];
    struct sensor_rules rules = {.flat = {.given = true, .within = 4, .fail_readings = 6}};
    struct sensor_tester tester;
    struct sensor_flags flags;
    unsigned seed = 12345;
    size_t failed = 0;

    (void)state;
    sensor_tester_begin(&tester, &rules);
    for (size_t i = 0; i < COUNT; i++) {
        seed = seed * 1103515245 + 12345;
        values[i] = (i ? values[i - 1] : 0) + (double)((seed >> 16) % 5) - 2;
        if (!sensor_tester_feed(&tester, (instant)i * SECOND_US, values[i], &flags) || i < 6)
            continue;

        bool flat = run_length(values, i - 1, 4) >= 6;

        assert_int_equal(flags.flags[SENSOR_FLAT], flat ? FLAG_FAIL : FLAG_PASS);
        failed += flat;
    }
    assert_in_range(failed, COUNT / 10, COUNT);
}

static void a_run_that_creeps_in_very_many_steps_is_called_flat_later_and_never_sooner(void **state)
{
    struct sensor_rules rules = {.flat = {.given = true, .within = 1, .fail_readings = 500}};
    struct sensor_tester tester;
    struct sensor_flags flags;
    size_t first_failed = 0;

    (void)state;
    sensor_tester_begin(&tester, &rules);
    for (size_t i = 0; i < 3000; i++) {
        /* Up by 1/1000 a value: any 500 of them lie within 1. */
        if (sensor_tester_feed(&tester, (instant)i * SECOND_US, (double)i / 1000, &flags) &&
            flags.flags[SENSOR_FLAT] == FLAG_FAIL && first_failed == 0)
            first_failed = i - 1;
    }
    assert_int_equal(first_failed, 499);
}

/* --- gaps and streams ------------------------------------------------------------------------ */

static void over_a_gap_no_values_are_neighbours(void **state)
{
    struct sensor_rules rules = {.gap_us = 1800 * SECOND_US,
                                 .spike = {true, 1, 3},
                                 .rate = {true, 1.0 / 600, INFINITY},
                                 .flat = {.given = true, .within = 0, .fail_us = HOUR_US}};
    static const struct {
        int minute;
        double value;
        const char *flags; /* gap, spike, rate, flat line */
    } rows[] = {
        {0, 8, "2221"},      {10, 8, "1111"},   {40, 8, "1211"}, /* just as long as may be */
        {71, 12, "4221"},                                        /* one minute too long */
        {81, 12, "1211"},    {141, 12, "4221"},                  /* flat, but not over the gap */
        {151, 12.5, "1211"},
    };
    struct sensor_tester tester;
    struct sensor_flags flags[ARRAY_LEN(rows)];
    size_t done = 0;

    (void)state;
    sensor_tester_begin(&tester, &rules);
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        done += sensor_tester_feed(&tester, rows[i].minute * 60 * SECOND_US, rows[i].value,
                                   &flags[done]);
    done += sensor_tester_end(&tester, &flags[done]);
    assert_int_equal(done, ARRAY_LEN(rows));
    for (size_t i = 0; i < done; i++) {
        const unsigned char *f = flags[i].flags;
        char got[] = {(char)('0' + f[SENSOR_GAP]), (char)('0' + f[SENSOR_SPIKE]),
                      (char)('0' + f[SENSOR_RATE]), (char)('0' + f[SENSOR_FLAT]), '\0'};

        if (strcmp(got, rows[i].flags) != 0)
            fail_msg("at %d minutes: %s, not %s", rows[i].minute, got, rows[i].flags);
    }
}

static void without_thresholds_nothing_is_said(void **state)
{
    struct sensor_rules rules = {.gap_us = 0};
    static const double values[] = {8, 1e9, 8};

    (void)state;
    for (int test = 0; test < SENSOR_TESTS; test++)
        assert_flags(&rules, (enum sensor_test)test, values, ARRAY_LEN(values), 900, "222");
}

/* Beginning further back than the reach gives the same flags as beginning at the very first. */
static void flags_reach_no_further_than_told(void **state)
{
    enum { COUNT = 400 };
    struct sensor_rules rules = {
        .gap_us = 900 * SECOND_US,
        .spike = {true, 1, 3},
        .rate = {true, 2.0 / 600, INFINITY},
        .flat = {.given = true, .within = 2, .suspect_us = 4 * HOUR_US, .fail_readings = 20}};
    int64_t reach = sensor_rules_reach_us(&rules);
    struct sensor_flags all[COUNT];
    double values[COUNT];
    unsigned seed = 7;

    (void)state;
    for (size_t i = 0; i < COUNT; i++) {
        seed = seed * 1103515245 + 12345;
        values[i] = (double)((seed >> 16) % 3) + (double)(i / 50 % 2 * 3);
    }
    assert_int_equal(flags_of(&rules, values, COUNT, 600, all), COUNT);
    for (size_t begin = 0; begin + 100 < COUNT; begin += 7) {
        struct sensor_flags part[COUNT];
        size_t count = flags_of(&rules, values + begin, COUNT - begin, 600, part);

        for (size_t i = 0; i < count; i++)
            if (part[i].at > reach)
                assert_memory_equal(part[i].flags, all[begin + i].flags, SENSOR_TESTS);
    }
    assert_true(sensor_rules_reach_us(&(struct sensor_rules){.spike = {.given = true}}) ==
                INT64_MAX);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(all_tests_together_give_the_flags_worked_out_by_hand),
        cmocka_unit_test(a_value_at_an_end_of_a_range_belongs_to_it),
        cmocka_unit_test(a_season_says_what_is_expected_and_only_then),
        cmocka_unit_test(the_day_of_a_season_is_the_farms_own),
        cmocka_unit_test(a_spike_stands_off_the_mean_of_its_neighbours),
        cmocka_unit_test(a_rate_is_held_against_its_bound_where_there_is_a_value_before),
        cmocka_unit_test(a_line_is_flat_once_it_stayed_within_its_tolerance_for_so_long),
        cmocka_unit_test(a_flat_run_found_value_by_value_is_that_found_by_looking_at_all),
        cmocka_unit_test(
            a_run_that_creeps_in_very_many_steps_is_called_flat_later_and_never_sooner),
        cmocka_unit_test(over_a_gap_no_values_are_neighbours),
        cmocka_unit_test(without_thresholds_nothing_is_said),
        cmocka_unit_test(flags_reach_no_further_than_told),
    };

    return cmocka_run_group_tests_name("trust/sensor_test", tests, NULL, NULL);
}
