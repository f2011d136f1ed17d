/*
 * What a visit to a probe comes to. Errors, criteria and ratings: US Geological Survey Techniques
 * and Methods 1-D3 (Wagner and others, 2006), from memory; the sums are by hand.
 */
#include "trust/probe_check.h"

#include "base/macro.h"
#include "harness/cmocka.h"

static const struct unit_conversion same = {.is_same = true, .scale_double = 1.0};

static struct decimal dec(const char *text)
{
    struct decimal out = {0};

    assert_true(decimal_parse(text, &out));

    return out;
}

static struct probe_readings in_water(const char *before, const char *after, const char *meter,
                                      const char *meter_after)
{
    return (struct probe_readings){.in_water = true,
                                   .before = dec(before),
                                   .after = dec(after),
                                   .beside_meter = true,
                                   .meter_before = dec(meter),
                                   .meter_after = dec(meter_after)};
}

static void errors_are_exact_and_those_of_the_publication(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct probe_standard standard = {dec("10.0"), dec("9.8"), true, dec("10.0")};
    struct probe_readings readings = in_water("8.10", "7.70", "8.00", "8.02");
    struct probe_outcome outcome;

    (void)state;
    readings.standards = &standard;
    readings.standard_count = 1;
    outcome = probe_judge(mem, drift_published_of("dissolved oxygen"), &same, &readings);
    assert_string_equal(exact_text(mem, outcome.fouling, 12), "-0.42");
    assert_string_equal(exact_text(mem, outcome.drift, 12), "0.2");
    /* 0.62 without their signs, which is beyond 0.3 and fair, though together they are 0.22 off. */
    assert_int_equal(outcome.found, PROBE_FAILED);
    assert_int_equal(outcome.left, PROBE_GOOD);
    assert_int_equal(outcome.rating, DRIFT_FAIR);
    assert_true(outcome.calibrated);
    assert_true(outcome.cleaned);
}

static const struct {
    const char *reason;
    const char *standard;
    const char *found;
    const char *after; /* NULL: not calibrated */
    enum probe_result as_found;
    enum probe_result as_left;
} checks[] = {
    {"at the criterion", "10.0", "9.7", NULL, PROBE_GOOD, PROBE_GOOD},
    {"beyond it, and not put right", "10.0", "9.6", NULL, PROBE_FAILED, PROBE_FAILED},
    {"beyond it, and put right", "10.0", "9.6", "10.0", PROBE_FAILED, PROBE_GOOD},
    {"calibrated, and off all the same", "10.0", "9.9", "9.6", PROBE_GOOD, PROBE_FAILED},
    {"at the maximum", "10.0", "12.0", "10.0", PROBE_FAILED, PROBE_GOOD},
    {"beyond the maximum", "10.0", "12.1", "10.0", PROBE_BEYOND, PROBE_GOOD},
    {"beyond the maximum, and left so", "10.0", "12.1", NULL, PROBE_BEYOND, PROBE_FAILED},
};

static void a_check_says_how_the_probe_was_found_and_how_it_was_left(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(checks); i++) {
        const struct probe_standard standard = {
            dec(checks[i].standard), dec(checks[i].found), checks[i].after != NULL,
            checks[i].after ? dec(checks[i].after) : (struct decimal){0}};
        const struct probe_readings readings = {.standards = &standard, .standard_count = 1};
        struct probe_outcome outcome =
            probe_judge(mem, drift_published_of("dissolved oxygen"), &same, &readings);

        if (outcome.found != checks[i].as_found || outcome.left != checks[i].as_left)
            fail_msg("%s: found %s, left %s", checks[i].reason, probe_result_words[outcome.found],
                     probe_result_words[outcome.left]);
    }
}

/* pH 7 read as 7.1 and pH 10 as 10.5: at 8.8 by the probe it is half-way between the two errors. */
static void between_two_standards_the_error_goes_by_what_the_probe_read(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct probe_standard standards[] = {{dec("10"), dec("10.5"), false, {0}},
                                               {dec("7"), dec("7.1"), false, {0}}};
    struct probe_readings readings = {.in_water = true,
                                      .before = dec("8.8"),
                                      .after = dec("8.8"),
                                      .standards = standards,
                                      .standard_count = 2};
    const struct drift_criteria *ph = drift_published_of("pH");
    struct probe_outcome outcome = probe_judge(mem, ph, &same, &readings);

    (void)state;
    assert_string_equal(exact_text(mem, outcome.drift, 12), "-0.3");
    assert_int_equal(outcome.found, PROBE_FAILED); /* 0.5 in the worse one */
    readings.before = readings.after = dec("6.0");
    outcome = probe_judge(mem, ph, &same, &readings);
    assert_string_equal(exact_text(mem, outcome.drift, 12), "-0.1");
    readings.in_water = false;
    outcome = probe_judge(mem, ph, &same, &readings);
    assert_string_equal(exact_text(mem, outcome.drift, 12), "-0.5");
    assert_null(outcome.fouling);
}

/* 1 degF off is 0.56 degC: beyond 0.2. */
static void criteria_hold_in_their_own_unit(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct unit_conversion fahrenheit = {.scale_double = 5.0 / 9.0,
                                               .offset_double = -160.0 / 9.0};
    const struct probe_standard standard = {dec("50"), dec("51"), false, {0}};
    const struct probe_readings readings = {.standards = &standard, .standard_count = 1};
    struct probe_outcome outcome =
        probe_judge(mem, drift_published_of("water temperature"), &fahrenheit, &readings);

    (void)state;
    assert_int_equal(outcome.found, PROBE_FAILED);
    assert_int_equal(outcome.rating, DRIFT_FAIR);
    assert_string_equal(exact_text(mem, outcome.drift, 12), "-1");
}

static void cleaning_alone_shows_fouling_and_leaves_the_check_open(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct probe_readings readings = in_water("980", "1010", "1000", "1005");
    struct probe_outcome outcome =
        probe_judge(mem, drift_published_of("specific conductance"), &same, &readings);

    (void)state;
    assert_string_equal(exact_text(mem, outcome.fouling, 12), "25");
    assert_int_equal(outcome.found, PROBE_GOOD); /* 2.6 %, and the greater of 5 uS/cm and 3 % */
    assert_int_equal(outcome.left, PROBE_NOT_CHECKED);
    assert_null(outcome.drift);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(errors_are_exact_and_those_of_the_publication),
        cmocka_unit_test(a_check_says_how_the_probe_was_found_and_how_it_was_left),
        cmocka_unit_test(between_two_standards_the_error_goes_by_what_the_probe_read),
        cmocka_unit_test(criteria_hold_in_their_own_unit),
        cmocka_unit_test(cleaning_alone_shows_fouling_and_leaves_the_check_open),
    };

    return cmocka_run_group_tests_name("trust/probe_check", tests, NULL, NULL);
}
