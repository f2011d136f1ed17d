/*
 * Stops of a pump and the time left, on a real database. The farm, its tank and every number are
 * invented.
 */
#include <math.h>
#include <string.h>

#include "app/mark_doubt.h"
#include "app/month.h"
#include "app/pump_stops.h"

#define TANK                                                                                       \
    "tanks:\n"                                                                                     \
    "  - station: tank\n"                                                                          \
    "    volume: 10 m3\n"                                                                          \
    "    animals: {number: 4000}\n"                                                                \
    "    pump: {state: {parameter: pump}, running: on}\n"                                          \
    "    while the pump is off:\n"                                                                 \
    "      oxygen: {parameter: oxygen}\n"                                                          \
    "      reads in still water: yes\n"                                                            \
    "      floor: 4 mg/L\n"                                                                        \
    "      margin: 1 mg/L\n"                                                                       \
    "      old after: 60 days\n"                                                                   \
    "      temperature: {parameter: temperature}\n"                                                \
    "      feed: {parameter: chlorophyll}\n"                                                       \
    "      temperature beyond: 1\n"                                                                \
    "sources:\n"                                                                                   \
    "  - key: tank-log\n"                                                                          \
    "    name: Tank logger\n"                                                                      \
    "    shape: wide\n"                                                                            \
    "    separator: comma\n"                                                                       \
    "    decimal mark: point\n"                                                                    \
    "    clock: UTC\n"                                                                             \
    "    time: {columns: Time, format: \"YYYY-MM-DD hh:mm\"}\n"                                    \
    "    station: tank\n"                                                                          \
    "    columns:\n"                                                                               \
    "      - {header: Oxygen (mg/L), parameter: oxygen}\n"                                         \
    "      - {header: Temp (degC), parameter: temperature}\n"                                      \
    "      - {header: Chl (ug/L), parameter: chlorophyll}\n"                                       \
    "      - {header: Pump, parameter: pump}\n"                                                    \
    "    kind: probe\n"                                                                            \
    "    instrument: logger 3\n"

#define HEAD "Time,Oxygen (mg/L),Temp (degC),Chl (ug/L),Pump\n"

/* One stop of two hours at 16 degC in which oxygen fell by 1 mg/L an hour, on 8 July. */
#define STOP                                                                                       \
    "2026-07-08 00:00,8.0,16.0,5.0,on\n"                                                           \
    "2026-07-08 01:00,8.0,16.0,5.0,off\n"                                                          \
    "2026-07-08 01:30,7.5,16.0,5.0,\n"                                                             \
    "2026-07-08 02:00,7.0,16.0,5.0,\n"                                                             \
    "2026-07-08 02:30,6.5,16.0,5.0,\n"                                                             \
    "2026-07-08 02:54,6.1,16.0,5.0,\n"                                                             \
    "2026-07-08 03:00,6.0,16.0,5.0,on\n"

static void tank_load(struct test_farm *farm, const char *tank)
{
    struct farm_changes changes = {0};

    test_farm_load(farm, test_swap(farm->mem, farm->text, "sources:\n", tank), &farm->act,
                   &changes);
}

static struct pump_month asked(struct test_farm *farm)
{
    struct pump_month month = {0};
    struct err err = ERR_INIT;

    assert_done(pump_month_read(farm->db, farm->mem, &farm->open, "tank", day_of("2026-07-01"),
                                farm->act.at, &month, &err),
                &err);

    return month;
}

/* "Now" is noon of 10 July: what was read at 11:30 tells of it. */
static void the_time_left_comes_from_the_tanks_own_record(void **state)
{
    struct test_farm *farm = *state;
    struct pump_month month;

    tank_load(farm, TANK);
    test_take(farm, "tank-log", "stop.csv", HEAD STOP "2026-07-10 11:30,5.5,16.5,5.0,on\n");
    month = asked(farm);
    assert_int_equal(month.stops.count, 1);
    assert_true(month.stops.items[0].fitted);
    assert_true(fabs(month.stops.items[0].fall.fall_mg_per_l_h - 1.0) < 1e-6);
    assert_true(fabs(month.stops.items[0].lowest_mg_per_l - 6.0) < 1e-9);
    /* 1.5 mg/L at 1 mg/L an hour, within the two hours that were measured. */
    assert_int_equal(month.now.answer.standing, OXYGEN_FALL_TIME_LEFT);
    assert_true(fabs(month.now.answer.act_on_s - 5400) < 1);
    assert_false(month.now.off_now);
}

/* New water is in the reading at 04:30. */
static void the_reading_as_the_pump_restarts_is_not_of_the_stop(void **state)
{
    struct test_farm *farm = *state;
    struct pump_month month;

    tank_load(farm, TANK);
    test_take(farm, "tank-log", "stop.csv",
              HEAD "2026-07-08 02:30,7.9,16.0,5.0,on\n"
                   "2026-07-08 03:00,8.0,16.0,5.0,off\n"
                   "2026-07-08 03:30,7.0,16.0,5.0,\n"
                   "2026-07-08 04:00,6.0,16.0,5.0,\n"
                   "2026-07-08 04:20,5.3,16.0,5.0,\n"
                   "2026-07-08 04:30,7.8,16.0,5.0,on\n");
    month = asked(farm);
    assert_int_equal(month.stops.count, 1);
    assert_int_equal(month.stops.items[0].record.count, 4);
    assert_true(month.stops.items[0].fitted);
    assert_true(fabs(month.stops.items[0].fall.fall_mg_per_l_h - 2.0) < 0.1);
    assert_true(fabs(month.stops.items[0].lowest_mg_per_l - 5.3) < 1e-9);
}

static void nothing_is_said_beyond_the_longest_stop(void **state)
{
    struct test_farm *farm = *state;

    tank_load(farm, TANK);
    test_take(farm, "tank-log", "stop.csv", HEAD STOP "2026-07-10 11:30,8.0,16.0,5.0,on\n");
    assert_int_equal(asked(farm).now.answer.standing, OXYGEN_FALL_NOT_WITHIN);
}

struct unknown {
    const char *why_it_is_not_known;
    const char *newest;
    const char *old; /* of the farm file, and what stands there instead; NULL: nothing */
    const char *with;
};

static void what_was_not_measured_is_not_known(void **state)
{
    static const struct unknown rows[] = {
        {"warmer than any stop", "2026-07-10 11:30,5.5,19.0,5.0,on\n", NULL, NULL},
        {"more feed than any stop", "2026-07-10 11:30,5.5,16.0,9.0,on\n", NULL, NULL},
        {"an old reading", "2026-07-10 10:00,5.5,16.0,5.0,on\n", NULL, NULL},
        {"no temperature now", "2026-07-10 11:30,5.5,,5.0,on\n", NULL, NULL},
        {"a probe that needs moving water", "2026-07-10 11:30,5.5,16.0,5.0,on\n",
         "still water: yes", "still water: no"},
        {"stops too old", "2026-07-10 11:30,5.5,16.0,5.0,on\n", "old after: 60", "old after: 1"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
        CLEANUP(test_farm_drop) struct test_farm *farm = test_farm_make();
        const char *tank =
            rows[i].old ? test_swap(farm->mem, TANK, rows[i].old, rows[i].with) : TANK;
        struct pump_month month;

        tank_load(farm, tank);
        test_take(farm, "tank-log", "stop.csv",
                  arena_printf(farm->mem, HEAD STOP "%s", rows[i].newest));
        month = asked(farm);
        if (month.now.answer.standing != OXYGEN_FALL_NOT_KNOWN || !month.now.answer.why)
            fail_msg("%s: it answers %s", rows[i].why_it_is_not_known,
                     oxygen_fall_standing_name(month.now.answer.standing));
    }
}

/* The answer says in which stop, and in what state of the tank, its rate was measured. */
static void the_answer_says_what_the_tank_was_like_when_it_was_measured(void **state)
{
    struct test_farm *farm = *state;
    struct pump_month month;

    tank_load(farm, TANK);
    test_take(farm, "tank-log", "stop.csv", HEAD STOP "2026-07-10 11:30,5.5,16.5,5.0,on\n");
    month = asked(farm);
    assert_non_null(month.now.measured);
    assert_true(month.now.measured->from == month.stops.items[0].from);
    assert_true(fabs(month.now.measured->record.conditions.temperature_c - 16.0) < 1e-9);
    assert_true(fabs(month.now.conditions.temperature_c - 16.5) < 1e-9);
}

/*
 * A state holds for two hours: from 03:00 to 09:00 nothing says that the pump was off, and it may
 * have run. One stop of nine hours would let the tank be left alone for nine.
 */
static void records_of_off_far_apart_are_not_one_long_stop(void **state)
{
    struct test_farm *farm = *state;
    struct pump_month month;

    farm->text =
        test_swap(farm->mem, farm->text, "  time zone:", "  a state holds: 2 hours\n  time zone:");
    tank_load(farm, TANK);
    test_take(farm, "tank-log", "stop.csv",
              HEAD "2026-07-08 00:00,8.0,16.0,5.0,on\n"
                   "2026-07-08 01:00,8.0,16.0,5.0,off\n"
                   "2026-07-08 02:00,7.0,16.0,5.0,\n"
                   "2026-07-08 09:00,7.9,16.0,5.0,off\n"
                   "2026-07-08 09:30,7.4,16.0,5.0,\n"
                   "2026-07-08 10:00,6.9,16.0,5.0,on\n");
    month = asked(farm);
    assert_int_equal(month.stops.count, 2);
    assert_false(month.stops.items[0].over);
    assert_true(month.stops.items[0].until - month.stops.items[0].from == 2 * HOUR_US);
    assert_true(month.stops.items[1].over);
    assert_true(month.stops.items[1].until - month.stops.items[1].from == HOUR_US);
}

static void mark(struct test_farm *farm, const char *parameter, const char *from, const char *until)
{
    struct doubt_order order = {.station = "tank",
                                .parameter = parameter,
                                .from = test_at(from),
                                .until = test_at(until),
                                .kind = "calibration",
                                .because = "the probe was not checked"};
    struct doubt_numbers numbers = {0};
    struct err err = ERR_INIT;

    assert_done(doubt_set(farm->db, farm->mem, &farm->open, &order, &farm->act, &numbers, &err),
                &err);
}

/* Evidence in doubt can stop and never clear: a high reading in doubt gives no time. */
static void readings_in_doubt_alone_give_no_time(void **state)
{
    struct test_farm *farm = *state;
    struct pump_month month;

    tank_load(farm, TANK);
    test_take(farm, "tank-log", "stop.csv", HEAD STOP "2026-07-10 11:30,5.5,16.0,5.0,on\n");
    mark(farm, "oxygen", "2026-07-01 00:00", "2026-07-11 00:00");
    month = asked(farm);
    assert_int_equal(month.now.answer.standing, OXYGEN_FALL_NOT_KNOWN);
    assert_non_null(strstr(month.now.answer.why, "in doubt"));
}

static void a_stop_by_a_pump_record_in_doubt_gives_no_rate(void **state)
{
    struct test_farm *farm = *state;
    struct pump_month month;

    tank_load(farm, TANK);
    test_take(farm, "tank-log", "stop.csv", HEAD STOP "2026-07-10 11:30,5.5,16.0,5.0,on\n");
    mark(farm, "pump", "2026-07-08 02:00", "2026-07-08 04:00");
    month = asked(farm);
    assert_int_equal(month.stops.count, 1);
    assert_false(month.stops.items[0].fitted);
    assert_true(month.stops.items[0].lowest_known); /* it can still be a finding */
    assert_int_equal(month.now.answer.standing, OXYGEN_FALL_NOT_KNOWN);
}

static void a_stop_inside_the_margin_is_a_finding_once(void **state)
{
    struct test_farm *farm = *state;
    int opened = 0;

    tank_load(farm, TANK);
    test_take(farm, "tank-log", "stop.csv",
              HEAD STOP "2026-07-09 01:00,6.5,16.0,5.0,off\n"
                        "2026-07-09 02:00,4.9,16.0,5.0,\n"
                        "2026-07-09 03:00,3.9,16.0,5.0,on\n");
    month_kept(farm, "2026-07-01", &opened);
    assert_int_equal(opened, 1);
    assert_string_equal(test_query(farm, "select kind || ' ' || from_day from finding where "
                                         "farm_id = $1"),
                        "pump stop 2026-07-09");
    month_kept(farm, "2026-07-01", &opened);
    assert_int_equal(opened, 0);
}

static void a_row_of_the_pump_that_waits_is_told(void **state)
{
    struct test_farm *farm = *state;

    tank_load(farm, TANK);
    test_take(farm, "tank-log", "a.csv", HEAD STOP "2026-07-09 01:00,8.0,x,5.0,on\n");
    assert_int_equal(asked(farm).rows_waiting, 0); /* temperature is no part of it */
    test_take(farm, "tank-log", "b.csv", HEAD "2026-07-09 02:00,8.0,16.0,5.0,perhaps\n");
    assert_int_equal(asked(farm).rows_waiting, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(the_time_left_comes_from_the_tanks_own_record),
        FARM_TEST(the_reading_as_the_pump_restarts_is_not_of_the_stop),
        FARM_TEST(nothing_is_said_beyond_the_longest_stop),
        FARM_TEST(what_was_not_measured_is_not_known),
        FARM_TEST(the_answer_says_what_the_tank_was_like_when_it_was_measured),
        FARM_TEST(records_of_off_far_apart_are_not_one_long_stop),
        FARM_TEST(readings_in_doubt_alone_give_no_time),
        FARM_TEST(a_stop_by_a_pump_record_in_doubt_gives_no_rate),
        FARM_TEST(a_stop_inside_the_margin_is_a_finding_once),
        FARM_TEST(a_row_of_the_pump_that_waits_is_told),
    };

    return cmocka_run_group_tests_name("app/pump_stops", tests, test_farms_setup,
                                       test_farms_teardown);
}
