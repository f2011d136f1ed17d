#include "harness/near.h"
#include "measure/energy.h"

#define TRADE "common practice, no source"

static void a_pump_all_day_uses_its_power_times_the_hours(void **state)
{
    struct err err = ERR_INIT;
    double figure = 0;

    (void)state;
    assert_done(energy_by_rated_power(1.5, 24, &figure, &err), &err);
    assert_near(figure, 36, 1e-12, TRADE);
    assert_done(energy_per_thousand(36, 12000, &figure, &err), &err);
    assert_near(figure, 3, 1e-12, "by hand");
    assert_string_equal(energy_source_name(ENERGY_BY_METER), "by meter");
    assert_string_equal(energy_source_name(ENERGY_BY_RATED_POWER), "by rated power");
}

static void an_hour_on_and_an_hour_off_is_half_of_everything(void **state)
{
    struct energy_state states[24];
    struct energy_hours hours;
    struct err err = ERR_INIT;
    double figure = 0;

    (void)state;
    for (int i = 0; i < 24; i++)
        states[i] = (struct energy_state){i * HOUR_US, i % 2 == 0};
    assert_done(energy_hours_run(states, 24, 0, DAY_US, 7200, &hours, &err), &err);
    assert_near(hours.on_h, 12, 1e-12, TRADE);
    assert_near(hours.off_h, 12, 1e-12, TRADE);
    assert_near(hours.unknown_h, 0, 1e-12, TRADE);
    assert_done(energy_mean_flow(24, hours.on_h / 24, &figure, &err), &err);
    assert_near(figure, 12, 1e-12, TRADE);
    assert_done(energy_by_rated_power(1.5, hours.on_h, &figure, &err), &err);
    assert_near(figure, 18, 1e-12, TRADE);
}

static void a_state_holds_until_the_next_or_the_longest_silence(void **state)
{
    static const struct energy_state states[] = {
        {-2 * HOUR_US, true}, {1 * HOUR_US, false}, {2 * HOUR_US, true}, {30 * HOUR_US, false}};
    static const struct {
        size_t count;
        int from_h, to_h;
        double silence_h, on_h, off_h, unknown_h;
        const char *why;
    } rows[] = {
        {3, 0, 4, 100, 3, 1, 0, "begun before the span and still on after it"},
        {3, 0, 4, 2.5, 2.5, 1, 0.5, "the first ran out at half past midnight"},
        {3, 0, 10, 4, 5, 1, 4, "the last ran out at 6"},
        {4, 0, 10, 4, 5, 1, 4, "a state after the span changes nothing"},
        {0, 0, 10, 4, 0, 0, 10, "nothing on record"},
        {3, 0, 0, 4, 0, 0, 0, "no span"},
        {3, -5, 0, 4, 2, 0, 3, "before the first record"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct energy_hours hours;
        struct err err = ERR_INIT;

        assert_done(energy_hours_run(states, rows[i].count, rows[i].from_h * HOUR_US,
                                     rows[i].to_h * HOUR_US, rows[i].silence_h * 3600, &hours,
                                     &err),
                    &err);
        assert_near(hours.on_h, rows[i].on_h, 1e-9, rows[i].why);
        assert_near(hours.off_h, rows[i].off_h, 1e-9, rows[i].why);
        assert_near(hours.unknown_h, rows[i].unknown_h, 1e-9, rows[i].why);
    }
}

static void what_cannot_be_is_refused(void **state)
{
    static const struct energy_state backward[] = {{HOUR_US, true}, {0, false}};
    static const struct energy_state twice[] = {{HOUR_US, true}, {HOUR_US, false}};
    static const struct energy_state timeless[] = {{INSTANT_NONE, true}};
    struct energy_hours hours = {.on_h = -1};
    struct err err = ERR_INIT;
    double figure = -1;

    (void)state;
    assert_fails(energy_hours_run(backward, 2, 0, 1, 60, &hours, &err), ERR_INVALID, &err);
    assert_fails(energy_hours_run(twice, 2, 0, 1, 60, &hours, &err), ERR_INVALID, &err);
    assert_fails(energy_hours_run(timeless, 1, 0, 1, 60, &hours, &err), ERR_INVALID, &err);
    assert_fails(energy_hours_run(twice, 1, 1, 0, 60, &hours, &err), ERR_INVALID, &err);
    assert_fails(energy_hours_run(twice, 1, 0, 1, 0, &hours, &err), ERR_INVALID, &err);
    assert_fails(energy_hours_run(twice, 1, 0, 1, NAN, &hours, &err), ERR_INVALID, &err);
    assert_fails(energy_by_rated_power(-1, 1, &figure, &err), ERR_INVALID, &err);
    assert_fails(energy_by_rated_power(1, -1, &figure, &err), ERR_INVALID, &err);
    assert_fails(energy_per_thousand(1, 0, &figure, &err), ERR_INVALID, &err);
    assert_fails(energy_mean_flow(1, 1.1, &figure, &err), ERR_INVALID, &err);
    assert_true(hours.on_h == -1 && figure == -1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_pump_all_day_uses_its_power_times_the_hours),
        cmocka_unit_test(an_hour_on_and_an_hour_off_is_half_of_everything),
        cmocka_unit_test(a_state_holds_until_the_next_or_the_longest_silence),
        cmocka_unit_test(what_cannot_be_is_refused),
    };

    return cmocka_run_group_tests_name("measure/energy", tests, NULL, NULL);
}
