#include <string.h>

#include "harness/near.h"
#include "measure/mixing_trial.h"

enum { READINGS = 9 };

/* 100 m3 at 25 m3/h, 4 h nominal; read every half hour. */
static struct mixing_trial trial_of(const struct mixing_reading *readings, double inflow)
{
    return (struct mixing_trial){100, 25, inflow, readings, READINGS};
}

/* What a tank of which `mixed` takes part would read, with a wobble. */
static void washout(struct mixing_reading *readings, double start, double inflow, double mixed,
                    double wobble)
{
    for (int i = 0; i < READINGS; i++) {
        double after_h = 0.5 * i;
        double left = (start - inflow) * exp(-after_h / (4 * mixed));

        readings[i] =
            (struct mixing_reading){after_h, inflow + left * (1 + (i % 2 ? wobble : -wobble))};
    }
}

static struct mixing_result fitted(const struct mixing_trial *trial)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct mixing_result result;
    struct err err = ERR_INIT;

    assert_done(mixing_trial_fit(mem, trial, &result, &err), &err);

    return result;
}

static void the_share_put_in_comes_out_of_pulse_and_step(void **state)
{
    static const struct {
        double start, inflow, mixed;
        const char *why;
    } rows[] = {
        {120, 0, 1.0, "a pulse of dye in a tank all mixed"},
        {120, 0, 0.7, "a third of it dead"},
        {38, 30, 0.8, "a pulse of salt over the background"},
        {30, 38, 0.8, "a step up of the inflow"},
        {35, 20, 0.55, "a step down of the inflow"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct mixing_reading readings[READINGS];
        struct mixing_trial trial = trial_of(readings, rows[i].inflow);

        washout(readings, rows[i].start, rows[i].inflow, rows[i].mixed, 0);

        struct mixing_result result = fitted(&trial);

        assert_near(result.nominal_h, 4, 1e-12, rows[i].why);
        assert_near(result.real_h, 4 * rows[i].mixed, 1e-9, rows[i].why);
        assert_near(result.mixed_share, rows[i].mixed, 1e-9, rows[i].why);
        assert_near(result.dead_share, 1 - rows[i].mixed, 1e-9, rows[i].why);
        assert_near(result.share_se, 0, 1e-9, rows[i].why);
        assert_false(rows[i].mixed < 1 && result.over_one);
    }
}

static void a_wobble_gives_a_standard_error_and_an_interval(void **state)
{
    struct mixing_reading readings[READINGS] = {{0}};
    struct mixing_trial trial = trial_of(readings, 30);

    (void)state;
    washout(readings, 38, 30, 0.8, 0.02);

    struct mixing_result result = fitted(&trial);

    assert_near(result.mixed_share, 0.8, 0.02, "the share put in");
    assert_true(result.share_se > 0.001 && result.share_se < 0.02);
    assert_true(result.share_low < result.mixed_share && result.mixed_share < result.share_high);
    /* d(share) = share x d(slope) / slope */
    assert_near(result.share_se / result.mixed_share, -result.fit.slope_se / result.fit.slope,
                1e-12, "propagation of error");
}

static void a_slope_that_may_be_flat_has_no_upper_end(void **state)
{
    static const struct mixing_reading readings[] = {{0, 10}, {1, 12}, {2, 9}, {3, 10}};
    const struct mixing_trial trial = {100, 25, 0, readings, 4};
    struct mixing_result result = fitted(&trial);

    (void)state;
    assert_true(isinf(result.share_high));
    assert_true(result.over_one);
    assert_true(result.dead_share < 0);
}

static void trials_that_say_nothing_are_refused(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const struct mixing_reading rising[] = {{0, 10}, {1, 11}, {2, 12}};
    static const struct mixing_reading crossing[] = {{0, 10}, {1, 5}, {2, -1}};
    static const struct mixing_reading reached[] = {{0, 10}, {1, 5}, {2, 0}};
    static const struct mixing_reading early[] = {{-1, 10}, {1, 5}, {2, 2}};
    static const struct mixing_reading good[] = {{0, 10}, {1, 5}, {2, 2}};
    static const struct {
        struct mixing_trial trial;
        const char *says;
    } rows[] = {
        {{0, 25, 0, good, 3}, "volume is 0 m3"},
        {{100, 0, 0, good, 3}, "undefined"},
        {{100, 25, 0, good, 2}, "2 points"},
        {{100, 25, 0, good, 0}, "0 points"},
        {{100, 25, 0, rising, 3}, "must be below 0"},
        {{100, 25, 0, crossing, 3}, "reading 3 of 3 is -1: it must be above the inflow's 0"},
        {{100, 25, 0, reached, 3}, "reading 3 of 3 is 0"},
        {{100, 25, 0, early, 3}, "reading 1 of 3"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct mixing_result untouched = {.real_h = -1};
        struct err err = ERR_INIT;

        assert_fails(mixing_trial_fit(mem, &rows[i].trial, &untouched, &err), ERR_INVALID, &err);
        if (!strstr(err.text, rows[i].says))
            fail_msg("\"%s\" does not say \"%s\"", err.text, rows[i].says);
        assert_true(untouched.real_h == -1);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_share_put_in_comes_out_of_pulse_and_step),
        cmocka_unit_test(a_wobble_gives_a_standard_error_and_an_interval),
        cmocka_unit_test(a_slope_that_may_be_flat_has_no_upper_end),
        cmocka_unit_test(trials_that_say_nothing_are_refused),
    };

    return cmocka_run_group_tests_name("measure/mixing_trial", tests, NULL, NULL);
}
