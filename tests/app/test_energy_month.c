/*
 * kWh of a month by a pump's own meter, on a real database. The farm, its meter and every number
 * are invented; what a meter ran is arithmetic.
 */
#include <math.h>
#include <string.h>

#include "app/energy_month.h"
#include "app/month.h"

#define TANK(rated, replaced)                                                                      \
    "tanks:\n"                                                                                     \
    "  - station: tank\n"                                                                          \
    "    volume: 10 m3\n"                                                                          \
    "    animals: {number: 4000}\n"                                                                \
    "    pump: {" rated "energy meter: {parameter: energy-meter}}\n"                               \
    "meters:\n"                                                                                    \
    "  - station: tank\n"                                                                          \
    "    parameter: energy-meter\n"                                                                \
    "    size: 10000\n"                                                                            \
    "    multiplier: 2\n"                                                                          \
    "    most per day: 500\n"                                                                      \
    "    share over days: no\n" replaced "sources:\n"                                              \
    "  - key: energy\n"                                                                            \
    "    name: Energy meter\n"                                                                     \
    "    shape: wide\n"                                                                            \
    "    separator: comma\n"                                                                       \
    "    decimal mark: point\n"                                                                    \
    "    clock: local\n"                                                                           \
    "    time: {columns: Time, format: \"YYYY-MM-DD hh:mm\"}\n"                                    \
    "    station: tank\n"                                                                          \
    "    columns:\n"                                                                               \
    "      - {header: Count (kWh), parameter: energy-meter}\n"                                     \
    "      - {header: Pump, parameter: pump}\n"                                                    \
    "    kind: by hand\n"

/* From then on another meter: of a farm whose file says so, and of no other. */
#define REPLACED "    replaced: [\"2026-06-16 12:00\"]\n"
#define STATED "rated power: 1.5 kW, state: {parameter: pump}, running: on, "

static struct energy_figures asked(struct test_farm *farm, const char *tank, const char *rows)
{
    char *file = arena_printf(farm->mem, "Time,Count (kWh),Pump\n%s", rows);
    struct farm_changes changes = {0};
    struct energy_month month = {0};
    struct err err = ERR_INIT;

    test_farm_load(farm, test_swap(farm->mem, farm->text, "sources:\n", tank), &farm->act,
                   &changes);
    test_take(farm, "energy", "meter.csv", file);
    assert_done(energy_month_read(farm->db, farm->mem, &farm->open, day_of("2026-06-01"),
                                  farm->act.at, &month, &err),
                &err);
    assert_int_equal(month.count, 1);

    return month.items[0];
}

static const struct {
    const char *why;
    const char *rows;
    double kwh;
    double share; /* of the month that the meter tells */
    bool replaced;
} metered[] = {
    {"270 counts of 2 kWh",
     "2026-06-01 00:00,1000,\n2026-06-10 00:00,1090,\n2026-07-01 00:00,1270,\n", 540, 1, false},
    {"a month's part of spans that reach over its ends: half of 60, 100 and half of 20 counts",
     "2026-05-31 00:00,1000,\n2026-06-02 00:00,1060,\n2026-06-30 00:00,1160,\n"
     "2026-07-02 00:00,1180,\n",
     280, 1, false},
    {"past its last count, from 9900 over 10000 to 70",
     "2026-06-01 00:00,9900,\n2026-07-01 00:00,70,\n", 340, 1, false},
    {"another meter from noon of the 16th: 100 counts of the old one, 50 of the new",
     "2026-06-01 00:00,1000,\n2026-06-16 11:00,1100,\n2026-06-16 12:00,20,\n"
     "2026-07-01 00:00,70,\n",
     300, 1, true},
    {"half a month", "2026-06-01 00:00,1000,\n2026-06-16 00:00,1100,\n", 200, 0.5, false},
    {"a misread count is passed over: 300 counts from the one before to the one after",
     "2026-06-01 00:00,1000,\n2026-06-11 00:00,1100,\n2026-06-21 00:00,900,\n"
     "2026-07-01 00:00,1300,\n",
     600, 1, false},
};

static void a_months_energy_is_what_the_meter_ran(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(metered); i++) {
        CLEANUP(test_farm_drop) struct test_farm *farm = test_farm_make();
        struct energy_figures got =
            asked(farm, metered[i].replaced ? TANK("", REPLACED) : TANK("", ""), metered[i].rows);

        if (!got.kwh_known || got.source != ENERGY_BY_METER ||
            fabs(got.kwh - metered[i].kwh) > 1e-6 ||
            fabs(got.metered_share - metered[i].share) > 1e-9)
            fail_msg("%s: %g kWh, %g of the time (%s)", metered[i].why, got.kwh, got.metered_share,
                     got.words);
        assert_true(got.animals_known);
        assert_true(fabs(got.kwh_per_thousand - metered[i].kwh / 4) < 1e-6);
    }
}

static void a_meter_goes_before_rated_power(void **state)
{
    struct energy_figures got =
        asked(*state, TANK(STATED, ""), "2026-06-01 00:00,1000,on\n2026-07-01 00:00,1200,on\n");

    assert_true(got.hours_told);
    assert_true(fabs(got.hours.on_h - 720) < 1e-9);
    assert_int_equal(got.source, ENERGY_BY_METER);
    assert_true(fabs(got.kwh - 400) < 1e-6);
    assert_string_equal(got.words, "energy-meter at tank, known for 100 % of the time");
}

/* 720 hours at 1.5 kW, by its plate. */
static void without_a_count_it_is_rated_power_and_says_so(void **state)
{
    struct energy_figures got =
        asked(*state, TANK(STATED, ""), "2026-06-01 00:00,,on\n2026-07-01 00:00,1200,on\n");

    assert_true(got.kwh_known);
    assert_int_equal(got.source, ENERGY_BY_RATED_POWER);
    assert_true(fabs(got.kwh - 1080) < 1e-6);
    assert_string_equal(got.words, "an estimate: 1.5 kW times the hours it ran");
}

#define HOURS "rated power: 1.5 kW, hours meter: {parameter: pump-hours}, "

static struct energy_figures asked_of_hours(struct test_farm *farm, const char *tank,
                                            const char *rows)
{
    char *works = arena_printf(farm->mem,
                               "parameters:\n"
                               "  - {key: pump-hours, name: Hours of the pump, kind: counter, "
                               "unit: h, units: [h]}\n%s",
                               tank);

    works = test_swap(farm->mem, works, "(kWh), parameter: energy-meter",
                      "(kWh), parameter: energy-meter}\n"
                      "      - {header: Hours (h), parameter: pump-hours");
    test_farm_load(farm, test_swap(farm->mem, farm->text, "sources:\n", works), &farm->act,
                   &(struct farm_changes){0});
    test_take(farm, "energy", "hours.csv",
              arena_printf(farm->mem, "Time,Count (kWh),Hours (h),Pump\n%s", rows));

    struct energy_month month = {0};
    struct err err = ERR_INIT;

    assert_done(energy_month_read(farm->db, farm->mem, &farm->open, day_of("2026-06-01"),
                                  farm->act.at, &month, &err),
                &err);
    assert_int_equal(month.count, 1);

    return month.items[0];
}

/* 600 hours of 720 by the counter, at 1.5 kW. */
static void a_counter_of_hours_tells_how_long_a_pump_ran(void **state)
{
    struct energy_figures got = asked_of_hours(
        *state, TANK(HOURS, ""), "2026-06-01 00:00,,5000,\n2026-07-01 00:00,,5600,\n");

    assert_true(got.hours_told);
    assert_true(got.hours_by_meter);
    assert_true(fabs(got.hours.on_h - 600) < 1e-9);
    assert_true(fabs(got.hours.off_h - 120) < 1e-9);
    assert_true(fabs(got.hours.unknown_h) < 1e-9);
    assert_int_equal(got.source, ENERGY_BY_RATED_POWER);
    assert_true(fabs(got.kwh - 900) < 1e-6);
}

static void a_counter_of_hours_that_was_not_read_leaves_the_hours_to_the_state(void **state)
{
    struct energy_figures got =
        asked_of_hours(*state, TANK(HOURS "state: {parameter: pump}, running: on, ", ""),
                       "2026-06-01 00:00,,,on\n2026-07-01 00:00,,,on\n");

    assert_false(got.hours_by_meter);
    assert_true(fabs(got.hours.on_h - 720) < 1e-9);
}

static void a_pump_with_neither_is_not_known(void **state)
{
    struct energy_figures got = asked(*state, TANK("", ""), "2026-06-01 00:00,1000,\n");

    assert_false(got.kwh_known);
    assert_string_equal(got.words,
                        "no meter was read, and rated power or the pump's state is not told");
}

static void rows_of_the_pump_that_wait_are_told(void **state)
{
    struct test_farm *farm = *state;
    const struct energy_figures figures =
        asked(farm, TANK(STATED, ""),
              "2026-06-01 00:00,100,on\n"
              "2026-06-10 00:00,200x,maybe\n" /* neither a number nor a state */
              "2026-06-20 00:00,300,off\n"
              "2026-07-01 00:00,3x0,off\n"); /* of the next month */

    assert_int_equal(figures.rows_waiting, 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_months_energy_is_what_the_meter_ran),
        FARM_TEST(a_meter_goes_before_rated_power),
        FARM_TEST(without_a_count_it_is_rated_power_and_says_so),
        FARM_TEST(a_counter_of_hours_tells_how_long_a_pump_ran),
        FARM_TEST(a_counter_of_hours_that_was_not_read_leaves_the_hours_to_the_state),
        FARM_TEST(a_pump_with_neither_is_not_known),
        FARM_TEST(rows_of_the_pump_that_wait_are_told),
    };

    return cmocka_run_group_tests_name("app/energy_month", tests, test_farms_setup,
                                       test_farms_teardown);
}
