/*
 * Counts of a running meter, on a real database: counts as the farm file tells them. The farm and
 * every number are invented; the rules on counters are common practice, no source.
 */
#include <math.h>
#include <string.h>

#include "app/energy_month.h"
#include "app/month.h"
#include "app/water_flow.h"

#define TANK(meter_unit)                                                                           \
    "parameters:\n"                                                                                \
    "  - {key: pump-meter, name: Meter of the pump, kind: counter, unit: " meter_unit              \
    ", units: [" meter_unit "]}\n"                                                                 \
    "tanks:\n"                                                                                     \
    "  - station: tank\n"                                                                          \
    "    volume: 10 m3\n"                                                                          \
    "    pump: {energy meter: {parameter: pump-meter}}\n"

#define METER(size)                                                                                \
    "meters:\n"                                                                                    \
    "  - station: tank\n"                                                                          \
    "    parameter: pump-meter\n"                                                                  \
    "    size: " size "\n"                                                                         \
    "    multiplier: 1\n"                                                                          \
    "    most per day: 100\n"                                                                      \
    "    share over days: no\n"

#define SHEET(unit)                                                                                \
    "sources:\n"                                                                                   \
    "  - key: pump-sheet\n"                                                                        \
    "    name: Meter sheet\n"                                                                      \
    "    shape: wide\n"                                                                            \
    "    separator: comma\n"                                                                       \
    "    decimal mark: point\n"                                                                    \
    "    clock: UTC\n"                                                                             \
    "    time: {columns: Time, format: \"YYYY-MM-DD hh:mm\"}\n"                                    \
    "    station: tank\n"                                                                          \
    "    columns:\n"                                                                               \
    "      - {header: Meter (" unit "), parameter: pump-meter}\n"                                  \
    "    kind: by hand\n"

static double kwh_of(struct test_farm *farm, const char *works, const char *sheet)
{
    struct farm_changes changes = {0};
    struct energy_month month = {0};
    struct err err = ERR_INIT;

    test_farm_load(farm, test_swap(farm->mem, farm->text, "sources:\n", works), &farm->act,
                   &changes);
    test_take(farm, "pump-sheet", "meter.csv", sheet);
    assert_done(energy_month_read(farm->db, farm->mem, &farm->open, day_of("2026-06-01"),
                                  farm->act.at, &month, &err),
                &err);
    assert_int_equal(month.count, 1);
    assert_true(month.items[0].kwh_known);
    assert_int_equal(month.items[0].source, ENERGY_BY_METER);

    return month.items[0].kwh;
}

static void a_meter_of_five_nines_turns_over_at_a_hundred_thousand(void **state)
{
    double kwh = kwh_of(*state, TANK("kWh") METER("99999") SHEET("kWh"),
                        "Time,Meter (kWh)\n"
                        "2026-06-10 00:00,99980\n"
                        "2026-06-11 00:00,10\n");

    assert_true(fabs(kwh - 30.0) < 1e-9);
}

/* Its clock says eleven; it was read an hour before and after. */
static void a_meter_that_was_replaced_between_two_readings_goes_on(void **state)
{
    double kwh =
        kwh_of(*state, TANK("kWh") METER("99999") "    replaced: [2026-06-10 11:00]\n" SHEET("kWh"),
               "Time,Meter (kWh)\n"
               "2026-06-10 00:00,500\n"
               "2026-06-10 09:00,520\n"
               "2026-06-10 12:00,3\n"
               "2026-06-11 00:00,33\n");

    assert_true(fabs(kwh - 50.0) < 1e-9);
}

/* `size` and `most per day` are in the parameter's own unit: MWh here. */
static void a_meter_in_another_unit_turns_over_in_its_own(void **state)
{
    double kwh = kwh_of(*state, TANK("MWh") METER("1000") SHEET("MWh"),
                        "Time,Meter (MWh)\n"
                        "2026-06-10 00:00,999.5\n"
                        "2026-06-11 00:00,0.5\n");

    assert_true(fabs(kwh - 1000.0) < 1e-6);
}

#define WEIR                                                                                       \
    "derived:\n"                                                                                   \
    "  - key: weir\n"                                                                              \
    "    station: tank\n"                                                                          \
    "    parameter: flow\n"                                                                        \
    "    equation: v-notch-90-cone\n"                                                              \
    "    from: [{parameter: level}]\n"                                                             \
    "    within: 1 minute\n"                                                                       \
    "    settings: {zero at: 0.10}\n"                                                              \
    "\n"                                                                                           \
    "sources:\n"                                                                                   \
    "  - key: pump-sheet\n"                                                                        \
    "    name: Level logger\n"                                                                     \
    "    shape: wide\n"                                                                            \
    "    separator: comma\n"                                                                       \
    "    decimal mark: point\n"                                                                    \
    "    clock: UTC\n"                                                                             \
    "    time: {columns: Time, format: \"YYYY-MM-DD hh:mm\"}\n"                                    \
    "    station: tank\n"                                                                          \
    "    columns:\n"                                                                               \
    "      - {header: Level (m), parameter: level}\n"                                              \
    "    kind: probe\n"                                                                            \
    "    instrument: logger 5\n"

/* USBR, Water Measurement Manual, ch. 7: 2.49 H^2.48 ft3/s, of a head of 0.15 m. */
static void a_flow_that_is_worked_out_over_a_weir_is_a_flow(void **state)
{
    struct test_farm *farm = *state;
    struct farm_changes changes = {0};
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct place_reader reader = {0};
    struct water_flow flow = {0};
    struct err err = ERR_INIT;
    double ft3_per_s = 2.49 * pow(0.15 / 0.3048, 2.48);

    test_farm_load(farm, test_swap(farm->mem, farm->text, "sources:\n", WEIR), &farm->act,
                   &changes);
    test_take(farm, "pump-sheet", "level.csv",
              "Time,Level (m)\n2026-06-10 00:00,0.25\n2026-06-10 06:00,0.25\n");
    assert_done(db_tx_begin(farm->db, farm->open.farm_id, &tx, &err), &err);
    assert_done(place_reader_open(&tx, farm->mem, &farm->open, &reader, &err), &err);
    assert_done(water_flow_of(&reader, "tank", test_at("2026-06-10 00:00"),
                              test_at("2026-06-10 06:01"), &flow, &err),
                &err);
    assert_true(flow.known);
    assert_true(fabs(flow.m3_per_h / (ft3_per_s * pow(0.3048, 3) * 3600) - 1) < 1e-4);
    assert_true(flow.known_share > 0.99);
}

#define FLOW_SHEET                                                                                 \
    "sources:\n"                                                                                   \
    "  - key: flow-sheet\n"                                                                        \
    "    name: Flow logger\n"                                                                      \
    "    shape: wide\n"                                                                            \
    "    separator: comma\n"                                                                       \
    "    decimal mark: point\n"                                                                    \
    "    clock: UTC\n"                                                                             \
    "    time: {columns: Time, format: \"YYYY-MM-DD hh:mm\"}\n"                                    \
    "    station: outlet\n"                                                                        \
    "    columns:\n"                                                                               \
    "      - {header: Flow (m3/h), parameter: flow}\n"                                             \
    "      - {header: Outlet, parameter: outlet}\n"                                                \
    "    kind: probe\n"                                                                            \
    "    instrument: logger 6\n"

/* 720 hours were multiplied with the flow of those in which it ran. */
static void a_shut_outlet_is_no_flow_and_no_gap(void **state)
{
    struct test_farm *farm = *state;
    struct farm_changes changes = {0};
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct place_reader reader = {0};
    struct water_flow flow = {0};
    struct err err = ERR_INIT;

    test_farm_load(farm, test_swap(farm->mem, farm->text, "sources:\n", FLOW_SHEET), &farm->act,
                   &changes);
    test_take(farm, "flow-sheet", "flow.csv",
              "Time,Flow (m3/h),Outlet\n2026-06-10 00:00,10,open\n2026-06-10 05:50,10,\n"
              "2026-06-10 06:00,,shut\n2026-06-10 18:00,10,open\n2026-06-11 00:00,10,\n");
    assert_done(db_tx_begin(farm->db, farm->open.farm_id, &tx, &err), &err);
    assert_done(place_reader_open(&tx, farm->mem, &farm->open, &reader, &err), &err);
    assert_done(water_flow_of(&reader, "outlet", test_at("2026-06-10 00:00"),
                              test_at("2026-06-11 00:00"), &flow, &err),
                &err);
    assert_true(water_flow_whole(&flow));
    assert_true(fabs(flow.m3 - 120.0) < 1e-9);
    assert_true(fabs(flow.m3_per_h - 5.0) < 1e-9);
    assert_non_null(strstr(flow.words, "the outlet shut for 12 hours"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(a_shut_outlet_is_no_flow_and_no_gap),
        FARM_TEST(a_flow_that_is_worked_out_over_a_weir_is_a_flow),
        FARM_TEST(a_meter_of_five_nines_turns_over_at_a_hundred_thousand),
        FARM_TEST(a_meter_that_was_replaced_between_two_readings_goes_on),
        FARM_TEST(a_meter_in_another_unit_turns_over_in_its_own),
    };

    return cmocka_run_group_tests_name("app/water_flow", tests, test_farms_setup,
                                       test_farms_teardown);
}
