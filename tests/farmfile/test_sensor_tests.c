/* Sensor tests of a farm file. Everything is invented. */

#include <math.h>

#include "section_given.h"

static const char tests_of[] =
    "sensor tests:\n"                                                                /* 1 */
    "  - station: out\n"                                                             /* 2 */
    "    parameter: oxygen\n"                                                        /* 3 */
    "    position: deep\n"                                                           /* 4 */
    "    instrument: probe 7\n"                                                      /* 5 */
    "    unit: ug/L\n"                                                               /* 6 */
    "    gap: 30 minutes\n"                                                          /* 7 */
    "    sensor range: {low: 0, high: 20000}\n"                                      /* 8 */
    "    expected range: {low: 5000}\n"                                              /* 9 */
    "    seasons:\n"                                                                 /* 10 */
    "      - {from: 12-01, to: 02-28, low: 6000, high: 9000}\n"                      /* 11 */
    "    spike: {suspect: 1000, fail: 3000}\n"                                       /* 12 */
    "    rate of change: {suspect: 2000, per: 1 hour}\n"                             /* 13 */
    "    flat line: {within: 10, suspect after: 3 hours, fail after: 20 readings}\n" /* 14 */
    "  - station: intake\n"                                                          /* 15 */
    "    parameter: temperature\n"                                                   /* 16 */
    "    unit: degF\n"                                                               /* 17 */
    "    gap: 2 hours\n"                                                             /* 18 */
    "    expected range: {low: 50}\n"                                                /* 19 */
    "    spike: {fail: 9}\n"                                                         /* 20 */
    ;

enum { LINES_BEFORE = 73 }; /* of `sound`, after which `tests_of` stands */

static void thresholds_are_brought_to_the_parameters_own_unit(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm_sensor_test *test = &section_farm(mem, tests_of)->sensor_tests.items[0];
    const struct sensor_rules *rules = &test->rules;

    (void)state;
    assert_string_equal(test->key, "out oxygen at deep by probe 7");
    assert_true(rules->gap_us == 1800 * SECOND_US);
    assert_float_equal(rules->sensor.low, 0, 0);
    assert_float_equal(rules->sensor.high, 20, 1e-12);
    assert_float_equal(rules->user.low, 5, 1e-12);
    assert_true(isinf(rules->user.high));
    assert_int_equal(rules->season_count, 1);
    assert_int_equal(rules->seasons[0].from, 1201);
    assert_float_equal(rules->seasons[0].expected.high, 9, 1e-12);
    assert_non_null(rules->zone);
    assert_float_equal(rules->spike.suspect, 1, 1e-12);
    assert_float_equal(rules->spike.fail, 3, 1e-12);
    assert_float_equal(rules->rate.suspect, 2.0 / 3600, 1e-15);
    assert_true(isinf(rules->rate.fail));
    assert_float_equal(rules->flat.within, 0.01, 1e-12);
    assert_true(rules->flat.suspect_us == 3 * HOUR_US);
    assert_int_equal(rules->flat.fail_readings, 20);
    assert_int_equal(rules->flat.suspect_readings, 0);
}

static void a_difference_of_temperatures_is_no_temperature(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct sensor_rules *rules = &section_farm(mem, tests_of)->sensor_tests.items[1].rules;

    (void)state;
    assert_float_equal(rules->user.low, 10, 1e-9);
    assert_float_equal(rules->spike.fail, 5, 1e-9);
    assert_false(rules->flat.given);
    assert_false(rules->sensor.given);
}

static void each_test_says_in_words_what_it_is_held_against(void **state)
{
    static const struct {
        enum sensor_test test;
        enum trust_flag flag;
        const char *words;
    } rows[] = {
        {SENSOR_GAP, FLAG_FAIL, "more than 30 minutes without a reading"},
        {SENSOR_RANGE, FLAG_FAIL, "not within what the sensor can read, 0 to 20000 ug/L"},
        {SENSOR_RANGE, FLAG_SUSPECT, "not within what is expected, 5000 ug/L or more"},
        {SENSOR_SEASON, FLAG_SUSPECT,
         "not within what is expected: 6000 to 9000 ug/L from 12-01 to 02-28"},
        {SENSOR_SPIKE, FLAG_FAIL, "more than 3000 ug/L from the mean of its neighbours"},
        {SENSOR_RATE, FLAG_SUSPECT, "changes by more than 2000 ug/L in 1 hour"},
        {SENSOR_FLAT, FLAG_SUSPECT, "moved by no more than 10 ug/L for 3 hours"},
        {SENSOR_FLAT, FLAG_FAIL, "moved by no more than 10 ug/L for 20 readings"},
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm_sensor_test *test = &section_farm(mem, tests_of)->sensor_tests.items[0];

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_string_equal(test->words[rows[i].test][rows[i].flag == FLAG_FAIL], rows[i].words);
    assert_null(test->words[SENSOR_RATE][1]);
}

static void the_first_item_that_fits_a_series_tests_it(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm *farm = section_farm(mem, tests_of);

    (void)state;
    assert_ptr_equal(farm_find_sensor_test(farm, "out", "deep", "oxygen", "probe 7", "probe"),
                     &farm->sensor_tests.items[0]);
    assert_null(farm_find_sensor_test(farm, "out", "", "oxygen", "probe 7", "probe"));
    assert_null(farm_find_sensor_test(farm, "out", "deep", "oxygen", "probe 8", "probe"));
    assert_null(farm_find_sensor_test(farm, "out", "deep", "oxygen", "probe 7", "grab"));
    assert_ptr_equal(farm_find_sensor_test(farm, "intake", "top", "temperature", "", "probe"),
                     &farm->sensor_tests.items[1]);
}

static const struct spoilt {
    const char *reason;
    const char *find;
    const char *put;
    int line;
    const char *words;
} spoilt[] = {
    {"a station of nowhere", "station: out", "station: oot", 2, "did you mean 'out'?"},
    {"a position of nowhere", "position: deep", "position: dep", 4, "did you mean 'deep'?"},
    {"a meter that runs up", "parameter: oxygen", "parameter: discharge-meter", 3,
     "expected a parameter whose readings are numbers"},
    {"a unit of something else", "unit: ug/L", "unit: degC", 6, "degC"},
    {"neighbours of any time", "    gap: 30 minutes\n", "", 11, "`spike` needs `gap`"},
    {"no test", "    gap: 2 hours\n    expected range: {low: 50}\n    spike: {fail: 9}\n",
     "    instrument: x\n", 15, "no test is asked for"},
    {"a range without ends", "expected range: {low: 5000}", "expected range: {}", 9,
     "neither `low` nor `high`"},
    {"a range turned round", "{low: 0, high: 20000}", "{low: 20000, high: 0}", 8,
     "`low` must be below `high`"},
    {"a season of nothing", "low: 6000, high: 9000}", "low: 6000, high: 6000}", 11,
     "`low` must be below `high`"},
    {"a day that there is none", "from: 12-01", "from: 12-32", 11, "can't be `from`"},
    {"suspect above fail", "suspect: 1000, fail: 3000", "suspect: 3001, fail: 3000", 12,
     "`suspect` must not be above `fail`"},
    {"a spike of nothing", "suspect: 1000, fail: 3000", "fail: 0", 12, "`fail` must be above 0"},
    {"a rate without its time", "{suspect: 2000, per: 1 hour}", "{suspect: 2000}", 13,
     "lacks `per`"},
    {"flat for no time", "suspect after: 3 hours, fail after: 20 readings", "", 14,
     "neither `suspect after` nor `fail after`"},
    {"flat at once", "20 readings", "1 readings", 14, "can't be `fail after`"},
    {"flat for too many", "fail after: 20 readings", "fail after: 9999 readings", 2,
     "look further back than 62 days"},
    {"a test of nowhere", "spike: {suspect", "spiek: {suspect", 12, "did you mean 'spike'?"},
    {"the same place twice", "  - station: intake\n",
     "  - {station: intake, parameter: temperature, gap: 1 hour}\n  - station: intake\n", 16,
     "a second set of tests for intake temperature"},
};

static void what_is_wrong_is_told_at_its_place(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(spoilt); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const struct spoilt *row = &spoilt[i];
        const char *text = section_given(mem, tests_of, row->find, row->put);
        struct farmfile_problems problems = {0};
        const struct farm *farm = NULL;
        struct err err = ERR_INIT;
        bool is_told = false;

        if (farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err))
            fail_msg("%s: taken", row->reason);
        for (size_t k = 0; k < problems.count; k++)
            is_told = is_told || (problems.items[k].line == row->line + LINES_BEFORE &&
                                  strstr(problems.items[k].words, row->words));
        if (!is_told)
            fail_msg("%s: not told in line %d, but line %d: %s", row->reason,
                     row->line + LINES_BEFORE, problems.items[0].line, problems.items[0].words);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(thresholds_are_brought_to_the_parameters_own_unit),
        cmocka_unit_test(a_difference_of_temperatures_is_no_temperature),
        cmocka_unit_test(each_test_says_in_words_what_it_is_held_against),
        cmocka_unit_test(the_first_item_that_fits_a_series_tests_it),
        cmocka_unit_test(what_is_wrong_is_told_at_its_place),
    };

    return cmocka_run_group_tests_name("farmfile/sensor_tests", tests, load_units, free_units);
}
