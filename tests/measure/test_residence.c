#include <string.h>

#include "harness/near.h"
#include "measure/residence.h"

#define CLOSED "closed form"

static double time_of(double volume_m3, double flow_m3_per_h)
{
    struct err err = ERR_INIT;
    double hours = 0;

    assert_done(residence_time(volume_m3, flow_m3_per_h, &hours, &err), &err);

    return hours;
}

static double left(int tanks, double turnovers)
{
    struct err err = ERR_INIT;
    double share = 0;

    assert_done(residence_share_left(tanks, turnovers, &share, &err), &err);

    return share;
}

static double turnovers_for(int tanks, double share)
{
    struct err err = ERR_INIT;
    double turnovers = 0;

    assert_done(residence_turnovers_for(tanks, share, &turnovers, &err), &err);

    return turnovers;
}

/* 100,000 L, 1.8 m deep, 400 L/min: common practice, no source. */
static void a_round_tank_turns_over_as_the_trade_says(void **state)
{
    struct err err = ERR_INIT;
    double figure = 0;

    (void)state;
    assert_near(time_of(100, 24) * 60, 250, 1e-9, "common practice, no source");
    assert_near(time_of(100, 12) * 60, 500, 1e-9, "half the flow doubles the time");
    assert_done(residence_exchanges(100, 24, &figure, &err), &err);
    assert_near(figure, 5.76, 1e-12, "common practice, no source");
    assert_done(residence_plan_area(100, 1.8, &figure, &err), &err);
    assert_near(figure, 55.6, 0.05, "common practice, no source");
}

static void times_and_exchanges_are_volume_over_flow(void **state)
{
    static const struct {
        double volume_m3, flow_m3_per_h, hours, per_day, hours_off, per_day_off;
    } rows[] = {
        {20, 12.5, 1.6, 15.0, 1e-12, 1e-12},
        {850, 16.2, 52.469136, 0.457412, 5e-7, 5e-7}, /* 4.5 L/s */
        {1000, 180, 5.5556, 4.32, 5e-5, 1e-12},       /* 50 L/s */
        {3000, 30, 100, 0.24, 1e-12, 1e-12},          /* 2500 m2 x 1.2 m at 720 m3/d: 4.1667 d */
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct err err = ERR_INIT;
        double per_day = 0;

        assert_near(time_of(rows[i].volume_m3, rows[i].flow_m3_per_h), rows[i].hours,
                    rows[i].hours_off, CLOSED);
        assert_done(residence_exchanges(rows[i].volume_m3, rows[i].flow_m3_per_h, &per_day, &err),
                    &err);
        assert_near(per_day, rows[i].per_day, rows[i].per_day_off, CLOSED);
    }
}

static void without_flow_the_time_is_undefined_and_exchanges_are_none(void **state)
{
    struct err err = ERR_INIT;
    double figure = -1;

    (void)state;
    assert_fails(residence_time(100, 0, &figure, &err), ERR_INVALID, &err);
    assert_non_null(strstr(err.text, "undefined"));
    assert_true(figure == -1);
    assert_done(residence_exchanges(100, 0, &figure, &err), &err);
    assert_true(figure == 0);
}

/* Levenspiel, Chemical Reaction Engineering; Metcalf & Eddy, Wastewater Engineering. */
static void a_mixed_tank_washes_out(void **state)
{
    static const struct {
        double turnovers, left;
    } rows[] = {
        {0, 1},
        {0.5, 0.6065306597},
        {1, 0.3678794412},
        {2, 0.1353352832},
        {3, 0.0497870684},
        {4, 0.0183156389},
        {5, 0.0067379470},
    };
    static const struct {
        double share, turnovers;
    } replaced[] = {
        {0, 0}, {0.50, 0.693147}, {0.90, 2.302585}, {0.95, 2.995732}, {0.99, 4.605170},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_near(left(1, rows[i].turnovers), rows[i].left, 5e-11, "Levenspiel, from memory");
    for (size_t i = 0; i < ARRAY_LEN(replaced); i++)
        assert_near(turnovers_for(1, replaced[i].share), replaced[i].turnovers, 5e-7,
                    "Levenspiel, from memory");
}

static void tanks_in_series_hold_on_to_water(void **state)
{
    static const struct {
        int tanks;
        double left;
    } rows[] = {{1, 0.367879}, {2, 0.406006}, {3, 0.423190}, {5, 0.440493}};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_near(left(rows[i].tanks, 1), rows[i].left, 5e-7, "Levenspiel, from memory");

    /* The way back, for every number of tanks and share. */
    for (int tanks = 1; tanks <= RESIDENCE_TANKS_MAX; tanks += 9)
        for (int share = 0; share < 100; share += 7)
            assert_near(left(tanks, turnovers_for(tanks, share / 100.0)), 1 - share / 100.0, 1e-12,
                        "its own inverse");

    assert_true(left(RESIDENCE_TANKS_MAX, 1e6) == 0);
}

static void a_step_in_the_feed_and_a_loss_come_out(void **state)
{
    struct err err = ERR_INIT;
    double figure = 0;

    (void)state;
    assert_done(residence_after_step(0, 10, 2 / 1.6, &figure, &err), &err);
    assert_near(figure, 7.13495203, 5e-9, "Chapra 1997, from memory");
    assert_done(residence_first_order_left(0.1, 1.6, &figure, &err), &err);
    assert_near(figure, 0.862068966, 5e-10, "Levenspiel, from memory");
}

static void one_tank_alone_delays_as_its_exponential(void **state)
{
    const struct residence_station tank = {"tank", 20, 12.5};
    struct residence_delay delay;
    struct err err = ERR_INIT;

    (void)state;
    assert_done(residence_of_chain(&tank, 1, &delay, &err), &err);
    assert_near(delay.nominal_h, 1.6, 1e-12, CLOSED);
    assert_near(delay.spread_h, 1.6, 1e-12, CLOSED);
    assert_near(delay.tanks, 1, 1e-12, CLOSED);
    assert_near(delay.tenth_h, -1.6 * log(0.9), 1e-12, CLOSED);
    assert_near(delay.half_h, 1.6 * log(2), 1e-12, CLOSED);
    assert_near(delay.nine_tenths_h, 1.6 * log(10), 1e-12, CLOSED);
}

static void equal_tanks_in_a_chain_agree_with_tanks_in_series(void **state)
{
    const struct residence_station chain[] = {
        {"intake pond", 50, 25}, {"header tank", 50, 25}, {"tank", 50, 25}, {"pond", 50, 25}};
    struct residence_delay delay;
    struct err err = ERR_INIT;

    (void)state;
    assert_done(residence_of_chain(chain, 4, &delay, &err), &err);
    assert_near(delay.nominal_h, 8, 1e-12, CLOSED);
    assert_near(delay.spread_h, 4, 1e-12, CLOSED);
    assert_near(delay.tanks, 4, 1e-12, CLOSED);
    assert_near(delay.tenth_h, 8 * turnovers_for(4, 0.1), 1e-10, "sum of the Poisson terms");
    assert_near(delay.half_h, 8 * turnovers_for(4, 0.5), 1e-10, "sum of the Poisson terms");
    assert_near(delay.nine_tenths_h, 8 * turnovers_for(4, 0.9), 1e-10, "sum of the Poisson terms");
}

static void a_small_header_tank_adds_little_to_a_pond(void **state)
{
    const struct residence_station chain[] = {{"header tank", 1, 10}, {"pond", 100, 10}};
    struct residence_delay delay;
    struct err err = ERR_INIT;

    (void)state;
    assert_done(residence_of_chain(chain, 2, &delay, &err), &err);
    assert_near(delay.nominal_h, 10.1, 1e-12, CLOSED);
    assert_near(delay.spread_h, sqrt(100.01), 1e-12, CLOSED);
    /* Exact for 0.1 and 10 h: 1 - (10 exp(-t/10) - 0.1 exp(-10 t)) / 9.9 is half at 7.0320 h. */
    assert_near(delay.half_h, 7.0320, 0.01 * 7.0320, CLOSED);
}

static void what_cannot_be_is_refused(void **state)
{
    const struct residence_station dry[] = {{"header tank", 1, 10}, {"pond", 100, 0}};
    struct residence_delay delay;
    struct err err = ERR_INIT;
    double figure = 0;

    (void)state;
    assert_fails(residence_time(0, 1, &figure, &err), ERR_INVALID, &err);
    assert_fails(residence_time(1, -1, &figure, &err), ERR_INVALID, &err);
    assert_fails(residence_time(1, NAN, &figure, &err), ERR_INVALID, &err);
    assert_fails(residence_plan_area(1, 0, &figure, &err), ERR_INVALID, &err);
    assert_fails(residence_share_left(0, 1, &figure, &err), ERR_INVALID, &err);
    assert_fails(residence_share_left(RESIDENCE_TANKS_MAX + 1, 1, &figure, &err), ERR_INVALID,
                 &err);
    assert_fails(residence_share_left(1, -0.1, &figure, &err), ERR_INVALID, &err);
    assert_fails(residence_turnovers_for(1, 1, &figure, &err), ERR_INVALID, &err);
    assert_fails(residence_turnovers_for(1, -0.1, &figure, &err), ERR_INVALID, &err);
    assert_fails(residence_after_step(0, 1, -1, &figure, &err), ERR_INVALID, &err);
    assert_fails(residence_first_order_left(-1, 1, &figure, &err), ERR_INVALID, &err);
    assert_fails(residence_of_chain(dry, 0, &delay, &err), ERR_INVALID, &err);
    assert_fails(residence_of_chain(dry, RESIDENCE_STATIONS_MAX + 1, &delay, &err), ERR_INVALID,
                 &err);
    assert_fails(residence_of_chain(dry, 2, &delay, &err), ERR_INVALID, &err);
    assert_non_null(strstr(err.text, "pond: flow is 0 m3/h: residence time is undefined"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_round_tank_turns_over_as_the_trade_says),
        cmocka_unit_test(times_and_exchanges_are_volume_over_flow),
        cmocka_unit_test(without_flow_the_time_is_undefined_and_exchanges_are_none),
        cmocka_unit_test(a_mixed_tank_washes_out),
        cmocka_unit_test(tanks_in_series_hold_on_to_water),
        cmocka_unit_test(a_step_in_the_feed_and_a_loss_come_out),
        cmocka_unit_test(one_tank_alone_delays_as_its_exponential),
        cmocka_unit_test(equal_tanks_in_a_chain_agree_with_tanks_in_series),
        cmocka_unit_test(a_small_header_tank_adds_little_to_a_pond),
        cmocka_unit_test(what_cannot_be_is_refused),
    };

    return cmocka_run_group_tests_name("measure/residence", tests, NULL, NULL);
}
