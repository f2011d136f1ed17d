/*
 * Feed of a month on a real database: what comes in by several flow paths, and what goes out into
 * water of other tanks. The farm and every number are invented; the mixes are arithmetic.
 */
#include "app/feed_month.h"

#include <math.h>
#include <string.h>

#include "app/month.h"

#define STATIONS                                                                                   \
    "stations:\n"                                                                                  \
    "  - {key: header, name: Header tank, kind: header-tank}\n"                                    \
    "  - {key: algae, name: Algae pond, kind: feed-pond}\n"                                        \
    "  - {key: second, name: Second tank, kind: tank}\n"                                           \
    "  - {key: settling, name: Settling pond, kind: pond}\n"

#define PATH(from, to) "  - {from: " from ", to: " to ", since: 2025-01-01}\n"

#define WORKS(paths)                                                                               \
    "flow paths:\n" paths "tanks:\n"                                                               \
    "  - {station: tank, volume: 60 m3, flow: {parameter: flow}, feed pond: algae}\n"              \
    "  - {station: header, volume: 10 m3, flow: {parameter: flow}}\n"                              \
    "  - {station: algae, volume: 10 m3, flow: {parameter: flow}}\n"                               \
    "sources:\n"                                                                                   \
    "  - key: feed\n"                                                                              \
    "    name: Feed sheet\n"                                                                       \
    "    shape: long\n"                                                                            \
    "    separator: comma\n"                                                                       \
    "    decimal mark: point\n"                                                                    \
    "    clock: UTC\n"                                                                             \
    "    time: {columns: Time, format: \"YYYY-MM-DD hh:mm\"}\n"                                    \
    "    station column: Site\n"                                                                   \
    "    parameter column: What\n"                                                                 \
    "    parameter words: {chl: chlorophyll, flow: flow}\n"                                        \
    "    value column: Value\n"                                                                    \
    "    unit column: Unit\n"                                                                      \
    "    kind: by hand\n"

#define MIXED PATH("header", "tank") PATH("algae", "tank")

#define READ(site, what, value, unit)                                                              \
    "2026-06-01 00:00," site "," what "," value "," unit "\n"                                      \
    "2026-06-30 23:00," site "," what "," value "," unit "\n"

#define FLOWS                                                                                      \
    READ("tank", "flow", "9", "m3/h")                                                              \
    READ("header", "flow", "8.5", "m3/h") READ("algae", "flow", "0.5", "m3/h")
#define OUT READ("outlet", "chl", "3", "ug/L")
#define POND READ("algae", "chl", "72", "ug/L")
#define HEADER READ("header", "chl", "2", "ug/L")

static struct feed_month asked(struct test_farm *farm, const char *works, const char *rows)
{
    char *text = test_swap(farm->mem, farm->text, "stations:\n", STATIONS);
    char *file = arena_printf(farm->mem, "Time,Site,What,Value,Unit\n%s", rows);
    struct farm_changes changes = {0};
    struct feed_month month = {0};
    struct err err = ERR_INIT;

    test_farm_load(farm, test_swap(farm->mem, text, "sources:\n", works), &farm->act, &changes);
    test_take(farm, "feed", "feed.csv", file);
    assert_done(feed_month_read(farm->db, farm->mem, &farm->open, day_of("2026-06-01"),
                                farm->act.at, &month, &err),
                &err);
    assert_int_equal(month.count, 1);
    assert_int_equal(month.items[0].line_count, 1);

    return month;
}

/* (8.5 x 2 + 0.5 x 72) / 9 = 53 / 9; less 3, times 9: 26 mg an hour. All of it as pond water is
 * 621. */
static void what_comes_in_by_two_paths_is_their_mix_by_flow(void **state)
{
    struct feed_month month =
        asked(*state, WORKS(MIXED PATH("tank", "outlet")), FLOWS HEADER POND OUT);
    const struct feed_figures *line = &month.items[0].lines[0];

    assert_false(line->inlet_is_pond);
    assert_string_equal(line->inlet_mix_of, "header, algae");
    assert_true(line->uptake_known);
    assert_true(fabs(line->means[FEED_INLET].value - 53.0 / 9.0) < 1e-9);
    assert_true(fabs(line->taken_per_h - 26.0) < 1e-6);
}

static void a_path_whose_water_is_not_read_leaves_the_uptake_unknown(void **state)
{
    struct feed_month month = asked(*state, WORKS(MIXED PATH("tank", "outlet")), FLOWS POND OUT);
    const struct feed_figures *line = &month.items[0].lines[0];

    assert_false(line->uptake_known);
    assert_false(line->means[FEED_INLET].known);
    assert_string_equal(line->inlet_missing,
                        "nothing is read at header, where some of it comes from");
}

/* Both go to two tanks: nobody measured how much of each comes to this one. */
static void a_share_that_nobody_measured_leaves_the_uptake_unknown(void **state)
{
    struct feed_month month =
        asked(*state,
              WORKS(MIXED PATH("header", "second") PATH("algae", "second") PATH("tank", "outlet")),
              FLOWS HEADER POND OUT);
    const struct feed_figures *line = &month.items[0].lines[0];

    assert_false(line->uptake_known);
    assert_string_equal(line->inlet_missing, "how much of what comes in is of header is not known");
}

static void water_of_the_pond_alone_is_still_what_comes_in(void **state)
{
    struct feed_month month =
        asked(*state, WORKS(PATH("algae", "tank") PATH("tank", "outlet")), FLOWS POND OUT);
    const struct feed_figures *line = &month.items[0].lines[0];

    assert_true(line->inlet_is_pond);
    assert_true(line->uptake_known);
    assert_true(fabs(line->taken_per_h - 9.0 * (72.0 - 3.0)) < 1e-6);
}

static void water_of_several_tanks_is_no_ones_outlet(void **state)
{
    struct feed_month month = asked(
        *state, WORKS(PATH("algae", "tank") PATH("tank", "settling") PATH("second", "settling")),
        FLOWS POND READ("settling", "chl", "3", "ug/L"));
    const struct feed_tank *tank = &month.items[0];

    assert_string_equal(tank->out_shared, "settling holds water of tank, second together");
    assert_true(tank->lines[0].means[FEED_OUTLET].known);
    assert_false(tank->lines[0].uptake_known);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(what_comes_in_by_two_paths_is_their_mix_by_flow),
        FARM_TEST(a_path_whose_water_is_not_read_leaves_the_uptake_unknown),
        FARM_TEST(a_share_that_nobody_measured_leaves_the_uptake_unknown),
        FARM_TEST(water_of_the_pond_alone_is_still_what_comes_in),
        FARM_TEST(water_of_several_tanks_is_no_ones_outlet),
    };

    return cmocka_run_group_tests_name("app/feed_month", tests, test_farms_setup,
                                       test_farms_teardown);
}
