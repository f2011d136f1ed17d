#include "harness/near.h"
#include "measure/oxygen_budget.h"

#define CHAPRA "Chapra 1997, lectures 3 and 20, from memory"

/* 20 m3 at 15 degC and salinity 33; the pump gives 12.5 m3/h of 8.4 mg/L. */
static const struct oxygen_tank tank = {20, 12.5, 8.4, 8.235646, 0.05, 30};

static struct oxygen_floor_time time_to(const struct oxygen_tank *of, double start, double floor)
{
    struct oxygen_floor_time time;
    struct err err = ERR_INIT;

    assert_done(oxygen_time_to_floor(of, start, floor, &time, &err), &err);

    return time;
}

static double after(const struct oxygen_tank *of, double start, double hours)
{
    struct err err = ERR_INIT;
    double mg_per_l = 0;

    assert_done(oxygen_after(of, start, hours, &mg_per_l, &err), &err);

    return mg_per_l;
}

static void a_running_tank_settles_and_comes_near_it(void **state)
{
    struct err err = ERR_INIT;
    struct oxygen_tank airless = tank;
    double steady = 0;

    (void)state;
    assert_done(oxygen_steady(&tank, &steady, &err), &err);
    assert_near(steady, 6.165603429, 1e-7, CHAPRA);
    assert_near(after(&tank, 8.0, 2), 6.641152874, 1e-7, CHAPRA);

    airless.reaeration_per_h = 0;
    assert_done(oxygen_steady(&airless, &steady, &err), &err);
    assert_near(steady, 6.0, 1e-12, "Cin - R/Q");
}

/* The closed form against the equation itself, in small steps (Runge-Kutta, fourth order). */
static void the_closed_form_follows_the_differential_equation(void **state)
{
    double c = 8.0;
    const double step = 0.001;

    (void)state;
    for (int i = 0; i < 2000; i++) {
        double k[4] = {0};

        for (int j = 0; j < 4; j++) {
            double at = c + (j == 0 ? 0 : step * k[j - 1] * (j == 3 ? 1 : 0.5));

            k[j] = tank.flow_m3_per_h / tank.volume_m3 * (tank.inflow_mg_per_l - at) +
                   tank.reaeration_per_h * (tank.saturation_mg_per_l - at) -
                   tank.respiration_g_per_h / tank.volume_m3;
        }
        c += step / 6 * (k[0] + 2 * k[1] + 2 * k[2] + k[3]);
    }

    assert_near(after(&tank, 8.0, 2), c, 1e-11, "V dC/dt = Q (Cin - C) + K V (Cs - C) - R");
}

static void the_flow_needed_holds_what_is_wanted(void **state)
{
    struct err err = ERR_INIT;
    struct oxygen_tank airless = tank;
    struct oxygen_tank held = tank;
    double flow = 0;
    double steady = 0;

    (void)state;
    airless.reaeration_per_h = 0;
    assert_done(oxygen_flow_needed(&airless, 6.0, &flow, &err), &err);
    assert_near(flow, 12.5, 1e-12, "R / (Cin - C)");
    assert_near(flow * 1000 / 60, 208.3333, 5e-5, "in L/min");

    assert_done(oxygen_flow_needed(&tank, 6.0, &flow, &err), &err);
    held.flow_m3_per_h = flow;
    assert_done(oxygen_steady(&held, &steady, &err), &err);
    assert_near(steady, 6.0, 1e-12, "with reaeration");

    assert_fails(oxygen_flow_needed(&airless, 8.4, &flow, &err), ERR_INVALID, &err);
    held.respiration_g_per_h = 0.1;
    assert_done(oxygen_flow_needed(&held, 6.0, &flow, &err), &err);
    assert_true(flow == 0);
}

static void with_the_pump_off_the_floor_is_reached_in_the_worked_times(void **state)
{
    static const struct {
        double floor, minutes, hours, airless_minutes;
    } rows[] = {
        {5, 51.155, 0.852579, 46.624},
        {4, 96.850, 1.614159, 86.624},
        {3, 144.353, 2.405892, 126.624},
        {2, 193.816, 3.230263, 166.624},
    };
    struct oxygen_tank airless = tank;
    struct oxygen_tank still = tank;

    (void)state;
    airless.reaeration_per_h = 0;
    still.flow_m3_per_h = 0;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct oxygen_floor_time time = time_to(&tank, 6.165603429, rows[i].floor);

        assert_int_equal(time.answer, OXYGEN_FLOOR_REACHED);
        assert_near(time.hours * 60, rows[i].minutes, 6e-4, CHAPRA);
        assert_near(time.hours, rows[i].hours, 6e-7, CHAPRA);
        assert_near(after(&still, 6.165603429, time.hours), rows[i].floor, 1e-12,
                    "its own way back");

        time = time_to(&airless, 6.165603429, rows[i].floor);
        assert_int_equal(time.answer, OXYGEN_FLOOR_REACHED);
        assert_false(time.settles);
        assert_near(time.hours * 60, rows[i].airless_minutes, 6e-4, "V (C0 - C) / R");
    }
}

static void a_floor_that_is_never_reached_is_an_answer(void **state)
{
    struct oxygen_tank few = tank;
    struct oxygen_floor_time time;

    (void)state;
    few.respiration_g_per_h = 1.5;
    time = time_to(&few, 6.165603429, 4);
    assert_int_equal(time.answer, OXYGEN_FLOOR_NEVER);
    assert_true(time.settles);
    assert_near(time.settles_mg_per_l, 6.7356, 5e-5, CHAPRA);

    few.respiration_g_per_h = 0;
    few.reaeration_per_h = 0;
    time = time_to(&few, 6.165603429, 4);
    assert_int_equal(time.answer, OXYGEN_FLOOR_NEVER);
    assert_false(time.settles);

    /* Where it settles is the floor itself: only nearer and nearer. */
    few.reaeration_per_h = 0.5;
    few.respiration_g_per_h = 20;
    few.saturation_mg_per_l = 6;
    assert_int_equal(time_to(&few, 6.165603429, 4).answer, OXYGEN_FLOOR_NEVER);
}

static void a_start_at_the_floor_is_there_already(void **state)
{
    (void)state;
    assert_int_equal(time_to(&tank, 4, 4).answer, OXYGEN_FLOOR_AT_ALREADY);
    assert_int_equal(time_to(&tank, 3.9, 4).answer, OXYGEN_FLOOR_AT_ALREADY);
    assert_true(time_to(&tank, 3.9, 4).hours == 0);
}

/* Food-safety texts' example: 10,000 oysters use 8 g/h, 10 m3, from 7 to 4 mg/L. */
static void a_stock_without_air_has_hours(void **state)
{
    const struct oxygen_tank stocked = {.volume_m3 = 10, .respiration_g_per_h = 8};

    (void)state;
    assert_near(time_to(&stocked, 7, 4).hours, 3.75, 1e-12, "10 x 3.0 / 8.0");
    assert_near(after(&stocked, 7, 3.75), 4, 1e-12, "10 x 3.0 / 8.0");
    assert_true(after(&stocked, 7, 100) == 0);
}

static void a_tiny_reaeration_is_near_to_none(void **state)
{
    struct oxygen_tank nearly = tank;

    (void)state;
    nearly.reaeration_per_h = 1e-12;
    assert_near(time_to(&nearly, 6.165603429, 4).hours * 60, 86.624, 6e-4, "the limit K to 0");
}

static void reaeration_changes_with_temperature(void **state)
{
    struct err err = ERR_INIT;
    double k = 0;

    (void)state;
    assert_done(oxygen_reaeration_at(0.06, 15, &k, &err), &err);
    assert_near(k, 0.0532907, 5e-8, "Elmore & West 1961, from memory");
    assert_done(oxygen_reaeration_at(0.06, 20, &k, &err), &err);
    assert_near(k, 0.06, 1e-15, "Elmore & West 1961, from memory");
    assert_fails(oxygen_reaeration_at(0.06, 46, &k, &err), ERR_INVALID, &err);
}

static void what_cannot_be_is_refused(void **state)
{
    static const struct oxygen_tank rows[] = {
        {0, 12.5, 8.4, 8.2, 0.05, 30}, {20, -1, 8.4, 8.2, 0.05, 30},
        {20, 12.5, -1, 8.2, 0.05, 30}, {20, 12.5, 8.4, NAN, 0.05, 30},
        {20, 12.5, 8.4, 8.2, -1, 30},  {20, 12.5, 8.4, 8.2, 0.05, -1},
    };
    const struct oxygen_tank nothing = {.volume_m3 = 20};
    struct oxygen_floor_time time = {.hours = -1};
    struct err err = ERR_INIT;
    double figure = -1;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        assert_fails(oxygen_steady(&rows[i], &figure, &err), ERR_INVALID, &err);
        assert_fails(oxygen_time_to_floor(&rows[i], 6, 4, &time, &err), ERR_INVALID, &err);
    }
    assert_fails(oxygen_steady(&nothing, &figure, &err), ERR_INVALID, &err);
    assert_fails(oxygen_after(&tank, 6, -1, &figure, &err), ERR_INVALID, &err);
    assert_fails(oxygen_time_to_floor(&tank, -1, 4, &time, &err), ERR_INVALID, &err);
    assert_true(figure == -1 && time.hours == -1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_running_tank_settles_and_comes_near_it),
        cmocka_unit_test(the_closed_form_follows_the_differential_equation),
        cmocka_unit_test(the_flow_needed_holds_what_is_wanted),
        cmocka_unit_test(with_the_pump_off_the_floor_is_reached_in_the_worked_times),
        cmocka_unit_test(a_floor_that_is_never_reached_is_an_answer),
        cmocka_unit_test(a_start_at_the_floor_is_there_already),
        cmocka_unit_test(a_stock_without_air_has_hours),
        cmocka_unit_test(a_tiny_reaeration_is_near_to_none),
        cmocka_unit_test(reaeration_changes_with_temperature),
        cmocka_unit_test(what_cannot_be_is_refused),
    };

    return cmocka_run_group_tests_name("measure/oxygen_budget", tests, NULL, NULL);
}
