/*
 * Derived readings in a farm: they come with the evidence, follow corrections, make verdicts old
 * and never fill a hole. Everything is invented.
 */
#include <string.h>

#include "app/correct.h"
#include "app/report_parts.h"
#include "harness/near.h"
#include "month.h"

static const char derived_section[] = "derived:\n"
                                      "  - key: saturation\n"
                                      "    station: outlet\n"
                                      "    parameter: oxygen-saturation\n"
                                      "    equation: oxygen saturation\n"
                                      "    from: [{parameter: oxygen}, {parameter: temperature}]\n"
                                      "    within: 10 minutes\n"
                                      "    settings: {salinity: 0, pressure: sea level}\n"
                                      "  - key: oxygen-back\n"
                                      "    station: tank\n"
                                      "    parameter: oxygen\n"
                                      "    equation: oxygen from percent\n"
                                      "    from: [{parameter: oxygen-saturation, station: outlet}, "
                                      "{parameter: temperature, station: outlet}]\n"
                                      "    within: 2 hours\n"
                                      "    settings: {salinity: 0, pressure: sea level}\n"
                                      "\n"
                                      "# Every limit is an EXAMPLE, made up for the tests.\n";

static const char limits[] = "  - key: saturation\n"
                             "    name: Oxygen saturation, each reading\n"
                             "    licence: permit\n"
                             "    clause: Row 20\n"
                             "    wording: Saturation shall not be below 60 percent.\n"
                             "    station: outlet\n"
                             "    parameter: oxygen-saturation\n"
                             "    unit: \"%\"\n"
                             "    samples: derived\n"
                             "    only while discharging: no\n"
                             "    each day: every reading\n"
                             "    statistic: value\n"
                             "    period: each sample\n"
                             "    not below: 60\n"
                             "    rounding: none\n"
                             "    in force: {from: 2025-01-01}\n"
                             "  - key: tank-oxygen\n"
                             "    name: Oxygen of the tank by the outlet, each reading\n"
                             "    licence: permit\n"
                             "    clause: Row 21\n"
                             "    wording: Oxygen shall not be below 5 mg/L.\n"
                             "    station: tank\n"
                             "    parameter: oxygen\n"
                             "    unit: mg/L\n"
                             "    samples: derived\n"
                             "    only while discharging: no\n"
                             "    each day: every reading\n"
                             "    statistic: value\n"
                             "    period: each sample\n"
                             "    not below: 5\n"
                             "    rounding: none\n"
                             "    in force: {from: 2025-01-01}\n";

static const char *farm_text(struct test_farm *farm)
{
    const char *text =
        test_swap(farm->mem, farm->text, "# Every limit is an EXAMPLE, made up for the tests.\n",
                  derived_section);

    return test_swap(farm->mem, text, "limits:\n", arena_printf(farm->mem, "limits:\n%s", limits));
}

static void farm_derives(struct test_farm *farm)
{
    struct farm_changes changes = {0};

    test_farm_load(farm, farm_text(farm), &farm->act, &changes);
    test_farm_confirm(farm);
}

static void take(struct test_farm *farm, const char *name, const char *rows)
{
    (void)test_take(farm, "logger", name, arena_printf(farm->mem, WIDE "%s", rows));
}

static const struct evidence_series *made(const struct judged_month *month, const char *station)
{
    for (size_t i = 0; i < month->loaded.evidence.series_count; i++) {
        const struct evidence_series *series = &month->loaded.evidence.series[i];

        if (series->kind == KIND_DERIVED && str_equal(series->station, station) &&
            series->count > 0)
            return series;
    }
    fail_msg("nothing is derived at %s", station);

    return NULL;
}

static void a_limit_may_be_about_what_is_worked_out(void **state)
{
    struct test_farm *farm = *state;
    struct judged_month month;

    farm_derives(farm);
    take(farm, "a.csv", "2026-05-04 10:00,25,8.263,ok,\n2026-05-04 11:00,25,6.0,ok,\n");
    month = month_kept(farm, "2026-05-01", NULL);
    assert_string_equal(standing_of(farm, "2026-05-01", "saturation"), "within");
    assert_near(decimal_double(made(&month, "outlet")->readings[0].reported), 100, 0.01,
                "APHA 4500-O: 8.263 mg/L at 25 degC, 1 atm");
    assert_near(decimal_double(made(&month, "tank")->readings[0].reported), 8.263, 0.0005,
                "APHA 4500-O: 8.263 mg/L at 25 degC, 1 atm");
    assert_string_equal(standing_of(farm, "2026-05-01", "tank-oxygen"), "within");
}

static void a_correction_of_what_goes_in_reaches_the_verdict(void **state)
{
    struct test_farm *farm = *state;
    struct reading_ref ref = {.station = "outlet", .parameter = "oxygen"};
    struct correction_order order = {
        .kind = "value", .value = "4.1", .reason = "read again from the display"};
    struct correction_done done = {0};
    struct judged_month month;
    struct digest before;
    struct err err = ERR_INIT;

    farm_derives(farm);
    take(farm, "a.csv", "2026-05-04 10:00,25,8.263,ok,\n");
    month = month_kept(farm, "2026-05-01", NULL);
    before = month.digests.items[0];
    ref.at = test_at("2026-05-04 10:00");
    assert_done(
        reading_correct(farm->db, farm->mem, &farm->open, &ref, &order, &farm->act, &done, &err),
        &err);
    assert_int_equal(test_number(farm, "select count(*) from to_judge where farm_id = $1 and "
                                       "parameter = 'oxygen-saturation' and station = 'outlet'"),
                     1);
    assert_int_equal(test_number(farm, "select count(*) from to_judge where farm_id = $1 and "
                                       "parameter = 'oxygen' and station = 'tank'"),
                     1);
    assert_string_equal(standing_of(farm, "2026-05-01", "saturation"), "outside: below 60");
    assert_string_equal(standing_of(farm, "2026-05-01", "tank-oxygen"), "outside: below 5");
    month = month_kept(farm, "2026-05-01", NULL);
    assert_memory_not_equal(&before, &month.digests.items[0], sizeof(before));
}

/* Outside by what was first read, and one person alone put another number there. */
static void a_correction_that_brings_a_derived_value_inside_is_told(void **state)
{
    struct test_farm *farm = *state;
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct reading_ref ref = {.station = "outlet", .parameter = "temperature"};
    struct correction_order order = {.kind = "value", .value = "30", .reason = "a misread display"};
    struct correction_done done = {0};
    struct discharge_month report = {.volume_m3 = NULL};
    struct judged_month month;
    struct err err = ERR_INIT;

    farm_derives(farm);
    /* 4.8 mg/L are 58 percent at 25 degC, and 63 at 30. */
    take(farm, "a.csv", "2026-05-04 10:00,25,4.8,ok,\n2026-05-05 10:00,25,8.0,ok,\n");
    assert_string_equal(standing_of(farm, "2026-05-01", "saturation"), "outside: below 60");
    ref.at = test_at("2026-05-04 10:00");
    assert_done(
        reading_correct(farm->db, farm->mem, &farm->open, &ref, &order, &farm->act, &done, &err),
        &err);
    ref.at = test_at("2026-05-05 10:00");
    assert_done(
        reading_correct(farm->db, farm->mem, &farm->open, &ref, &order, &farm->act, &done, &err),
        &err);
    month = month_kept(farm, "2026-05-01", NULL);
    assert_done(db_tx_begin(farm->db, farm->open.farm_id, &tx, &err), &err);
    assert_done(report_lists(&tx, farm->mem, &farm->open, &month, farm->act.at, &report, &err),
                &err);
    assert_int_equal(report.correction_count, 2);
    assert_true(report.corrections[0].outside_to_inside);
    assert_int_equal(report.corrections[0].moved_count, 1);
    assert_string_equal(report.corrections[0].moved[0], "saturation");
}

static void a_late_reading_makes_what_is_worked_out_of_it_old(void **state)
{
    struct test_farm *farm = *state;
    int months = 0;
    int opened = 0;
    struct err err = ERR_INIT;

    farm_derives(farm);
    /* Half an hour before midnight by the farm's clocks. */
    take(farm, "a.csv", "2026-05-31 22:30,25,8.263,ok,\n2026-06-20 10:00,25,8.263,ok,\n");
    assert_done(months_check_waiting(farm->db, farm->mem, &farm->open, farm->act.at, NULL, &months,
                                     &opened, &err),
                &err);
    assert_int_equal(test_number(farm, "select count(*) from to_judge where farm_id = $1"), 0);
    take(farm, "b.csv", "2026-05-31 22:35,25,2.0,ok,\n");
    /* Within two hours of it, so that June may rest on it too. */
    assert_true(test_number(farm, "select count(*) from to_judge where farm_id = $1 and "
                                  "parameter = 'oxygen' and station = 'tank' and "
                                  "first_day = '2026-06-01'") > 0);
    assert_done(months_check_waiting(farm->db, farm->mem, &farm->open, farm->act.at, NULL, &months,
                                     &opened, &err),
                &err);
    assert_string_equal(
        test_query(farm, "select standing || ' ' || from_day from verdict where farm_id = $1 and "
                         "clause = 'saturation' and from_day = '2026-05-01'"),
        "outside 2026-05-01");
}

static void a_partner_over_the_months_edge_is_loaded(void **state)
{
    struct test_farm *farm = *state;
    struct judged_month month;

    farm_derives(farm);
    take(farm, "a.csv", "2026-04-30 22:55,25,,ok,\n2026-04-30 23:00,,8.263,ok,\n");
    month = month_kept(farm, "2026-05-01", NULL);
    assert_string_equal(standing_of(farm, "2026-05-01", "saturation"), "within");
    assert_true(made(&month, "outlet")->readings[0].inputs[1].at == test_at("2026-04-30 22:55"));
}

static void outside_the_equations_range_is_never_within(void **state)
{
    struct test_farm *farm = *state;
    struct judged_month month;

    farm_derives(farm);
    take(farm, "a.csv", "2026-05-04 10:00,45.2,8.263,ok,\n");
    month = month_kept(farm, "2026-05-01", NULL);
    if (strncmp(standing_of(farm, "2026-05-01", "saturation"), "not assessable", 14) != 0)
        fail_msg("%s", standing_of(farm, "2026-05-01", "saturation"));
    assert_true(month.loaded.evidence.set_aside_count > 0);
    assert_non_null(strstr(month.loaded.evidence.set_aside[0].reason,
                           "oxygen-saturation not given: the temperature is 45.2 degC"));
}

static void another_setting_judges_anew_and_says_so(void **state)
{
    struct test_farm *farm = *state;
    struct farm_changes changes = {0};
    int months = 0;
    int opened = 0;
    struct err err = ERR_INIT;

    farm_derives(farm);
    take(farm, "a.csv", "2026-05-04 10:00,25,5.3,ok,\n");
    assert_string_equal(standing_of(farm, "2026-05-01", "saturation"), "within");
    test_farm_load(farm,
                   test_swap(farm->mem, farm_text(farm),
                             "    within: 10 minutes\n    settings: {salinity: 0",
                             "    within: 10 minutes\n    settings: {salinity: 1"),
                   &farm->act, &changes);
    assert_int_equal(changes.count, 1);
    assert_string_equal(changes.items[0].what, "derived reading saturation");
    assert_int_equal(test_number(farm, "select count(*) from to_judge where farm_id = $1 and "
                                       "series_id = 0"),
                     1);
    assert_done(months_check_waiting(farm->db, farm->mem, &farm->open, farm->act.at, NULL, &months,
                                     &opened, &err),
                &err);
    assert_int_equal(months, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(a_limit_may_be_about_what_is_worked_out),
        FARM_TEST(a_correction_of_what_goes_in_reaches_the_verdict),
        FARM_TEST(a_correction_that_brings_a_derived_value_inside_is_told),
        FARM_TEST(a_late_reading_makes_what_is_worked_out_of_it_old),
        FARM_TEST(a_partner_over_the_months_edge_is_loaded),
        FARM_TEST(outside_the_equations_range_is_never_within),
        FARM_TEST(another_setting_judges_anew_and_says_so),
    };

    return cmocka_run_group_tests_name("app/derived", tests, test_farms_setup, test_farms_teardown);
}
