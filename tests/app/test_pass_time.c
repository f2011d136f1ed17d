/* What time alone brings: silence, quiet folders, samples that nobody took. */
#include "app/pass_time.h"

#include <string.h>

#include "app/judge_month.h"
#include "base/str.h"
#include "harness/farm.h"

#define HEAD "Time,Temp (degC),Oxygen (mg/L),Flag,Tank oxygen (mg/L)\n"

static struct pass_time_result look(struct test_farm *farm, const char *at,
                                    const struct machine_settings *settings)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct pass_time_options options = {.settings = settings};
    struct pass_time_result result = {0};
    struct err err = ERR_INIT;

    if (!pass_time(farm->db, mem, &farm->open, test_at(at), &options, &result, &err))
        fail_msg("%s", err.text);

    return result;
}

/* Findings of a kind: subject, station, day it began and newest step. */
static char *found(struct test_farm *farm, const char *kind)
{
    return test_query(
        farm, arena_printf(farm->mem,
                           "select concat_ws('/', subject, station, from_day, (select step from "
                           "finding_step s where s.farm_id = f.farm_id and s.finding = f.finding "
                           "order by nth desc limit 1)) from finding f where farm_id = $1 and "
                           "kind = '%s' order by subject, from_day",
                           kind));
}

/* The farm of the tests, its logger silent after two hours. */
static void with_silence(struct test_farm *farm)
{
    struct farm_changes changes = {0};

    test_farm_load(farm,
                   test_swap(farm->mem, farm->text, "    instrument: logger 1\n",
                             "    instrument: logger 1\n    silent after: 2 hours\n"),
                   &farm->act, &changes);
}

static void a_source_that_stops_is_found_once_and_ends_when_it_comes_again(void **state)
{
    struct test_farm *farm = *state;

    with_silence(farm);
    assert_string_equal(found(farm, "silence"), "");
    look(farm, "2026-07-10 08:00", NULL);
    assert_string_equal(found(farm, "silence"), ""); /* it never began */

    test_take(farm, "logger", "a.csv", HEAD "2026-07-10 07:00,12.5,8.1,ok,7.9\n");
    look(farm, "2026-07-10 09:00", NULL);
    assert_string_equal(found(farm, "silence"), ""); /* not longer than 2 hours */
    assert_int_equal(look(farm, "2026-07-10 09:01", NULL).opened, 1);
    assert_string_equal(found(farm, "silence"), "logger//2026-07-10/open");
    assert_int_equal(look(farm, "2026-07-10 10:00", NULL).opened, 0);

    test_take(farm, "logger", "b.csv", HEAD "2026-07-10 09:30,12.5,8.1,ok,7.9\n");
    assert_int_equal(look(farm, "2026-07-10 10:01", NULL).ended, 1);
    assert_string_equal(found(farm, "silence"), "logger//2026-07-10/worked out again");
    assert_int_equal(look(farm, "2026-07-10 10:02", NULL).ended, 0);

    /* Silent again on the same day: the same finding, open again. */
    assert_int_equal(look(farm, "2026-07-10 11:31", NULL).opened, 1);
    assert_string_equal(found(farm, "silence"), "logger//2026-07-10/open");
}

static void one_probe_of_a_source_that_goes_on_is_found_by_itself(void **state)
{
    struct test_farm *farm = *state;

    with_silence(farm);
    test_take(farm, "logger", "a.csv",
              HEAD "2026-07-10 09:00,12.5,8.1,ok,7.9\n"
                   "2026-07-10 11:59,12.6,8.0,ok,\n");
    look(farm, "2026-07-10 11:00", NULL);
    assert_int_equal(look(farm, "2026-07-10 12:01", NULL).opened, 1);
    assert_string_equal(found(farm, "silence"), "logger: oxygen/tank/2026-07-10/open");

    /* When all of it stops, what stopped before goes on being said. */
    assert_int_equal(look(farm, "2026-07-10 14:00", NULL).opened, 1);
    assert_string_equal(found(farm, "silence"),
                        "logger//2026-07-10/open\nlogger: oxygen/tank/2026-07-10/open");
}

static void without_a_time_of_the_farm_nothing_is_silent(void **state)
{
    struct test_farm *farm = *state;

    test_take(farm, "logger", "a.csv", HEAD "2026-01-10 09:00,12.5,8.1,ok,7.9\n");
    look(farm, "2026-07-10 12:01", NULL);
    assert_string_equal(found(farm, "silence"), "");
}

static void a_folder_is_quiet_from_its_last_file_or_since_it_is_watched(void **state)
{
    struct test_farm *farm = *state;
    struct settings_watch watch = {
        .folder = "/srv/drop", .source = "logger", .quiet_after_s = 3600};
    const struct machine_settings settings = {.watch = {.items = &watch, .count = 1}};

    look(farm, "2026-07-10 12:00", &settings);
    look(farm, "2026-07-10 13:00", &settings);
    assert_string_equal(found(farm, "quiet folder"), "");
    assert_int_equal(look(farm, "2026-07-10 13:01", &settings).opened, 1);
    assert_string_equal(found(farm, "quiet folder"), "/srv/drop//2026-07-10/open");
    test_query(farm, "update folder_look set came_at = '2026-07-10 13:02Z' where farm_id = $1");
    assert_int_equal(look(farm, "2026-07-10 13:03", &settings).ended, 1);
    watch.farm = "another";
    assert_int_equal(look(farm, "2026-07-10 23:00", &settings).opened, 0);
}

static void a_sample_that_was_due_is_missed_when_its_day_has_gone(void **state)
{
    struct test_farm *farm = *state;

    /* The outlet discharges; two samples are due in each month, and none is taken. */
    test_take(farm, "outlet-sheet", "outlet.csv", "Time,Outlet\n2026-07-01 00:00,open\n");
    look(farm, "2026-07-31 12:00", NULL);

    char *before = found(farm, "interval");

    assert_null(strstr(before, "2026-07-01"));
    look(farm, "2026-07-31 22:00", NULL); /* the same day at the farm: 23:00 in Dublin */
    assert_string_equal(found(farm, "interval"), before);
    look(farm, "2026-07-31 23:30", NULL); /* the next day there */
    assert_non_null(strstr(found(farm, "interval"), "2026-07-01"));
}

/* Missed samples by the month they were due in, oldest first. */
static char *missed(struct test_farm *farm)
{
    return test_query(farm, "select to_char(from_day, 'YYYY-MM') from finding where farm_id = $1 "
                            "and kind = 'interval' order by from_day");
}

static void months_in_which_nothing_was_recorded_are_judged_too(void **state)
{
    struct test_farm *farm = *state;

    /* In force since January 2025; the farm's first word is of February 2026, its next of July. */
    test_take(farm, "outlet-sheet", "a.csv", "Time,Outlet\n2026-02-10 00:00,open\n");
    assert_int_equal(look(farm, "2026-07-10 12:00", NULL).months, 1 + 5);
    assert_string_equal(missed(farm), "2026-02\n2026-03\n2026-04\n2026-05\n2026-06");

    /* Each once; the running one again with each day of the farm. */
    assert_int_equal(look(farm, "2026-07-10 12:01", NULL).months, 0);
    assert_int_equal(look(farm, "2026-07-11 12:00", NULL).months, 1);
    assert_int_equal(look(farm, "2026-08-02 12:00", NULL).months, 2);
    assert_string_equal(missed(farm), "2026-02\n2026-03\n2026-04\n2026-05\n2026-06\n2026-07");
}

static void months_before_the_farm_had_a_record_are_left_to_a_person(void **state)
{
    struct test_farm *farm = *state;
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct judged_month month = {0};
    struct err err = ERR_INIT;
    int opened = 0;

    /* Loaded in July 2026: a first day of the month alone makes nothing of the month before. */
    test_take(farm, "outlet-sheet", "a.csv", "Time,Outlet\n2026-06-01 00:00,open\n");
    look(farm, "2026-07-10 12:00", NULL);
    assert_string_equal(missed(farm), "2026-06");
    assert_true(month_check(farm->db, mem, &farm->open, day_from_civil(2026, 5, 1),
                            test_at("2026-07-10 12:00"), false, &month, &opened, &err));
    assert_string_equal(missed(farm), "2026-05\n2026-06");
}

static void a_long_past_is_judged_some_months_a_look(void **state)
{
    struct test_farm *farm = *state;
    struct pass_time_result first;
    struct pass_time_result second;

    /* From December 2024, before any clause is in force, to July 2028. */
    test_take(farm, "outlet-sheet", "a.csv", "Time,Outlet\n2024-12-10 00:00,open\n");
    look(farm, "2024-12-11 12:00", NULL);
    first = look(farm, "2028-07-10 12:00", NULL);
    second = look(farm, "2028-07-10 12:01", NULL);
    assert_int_equal(first.months, PASS_TIME_MONTHS_MOST);
    assert_int_equal(first.months_left, 43 - PASS_TIME_MONTHS_MOST);
    assert_int_equal(second.months, 43 - PASS_TIME_MONTHS_MOST);
    assert_int_equal(second.months_left, 0);
    assert_int_equal(look(farm, "2028-07-10 12:02", NULL).months, 0);
}

static void a_tolerance_over_the_end_of_the_month_is_waited_for(void **state)
{
    struct test_farm *farm = *state;
    struct farm_changes changes = {0};

    test_farm_load(farm,
                   test_swap(farm->mem, farm->text, "    at least: 2 in each month\n",
                             "    at least: 2 in each month\n    tolerance: 40 days\n"
                             "    change: copied wrongly\n"),
                   &farm->act, &changes);
    test_take(farm, "outlet-sheet", "a.csv", "Time,Outlet\n2026-07-01 00:00,open\n");
    for (int day = 20; day < 32; day++)
        look(farm, arena_printf(farm->mem, "2026-08-%d 12:00", day), NULL);
    look(farm, "2026-09-09 12:00", NULL);
    assert_string_equal(missed(farm), "");
    look(farm, "2026-09-10 12:00", NULL);
    assert_string_equal(missed(farm), "2026-07");
}

static void a_clause_copied_anew_judges_months_without_records_again(void **state)
{
    struct test_farm *farm = *state;
    const struct act act = test_act("pat", "2026-08-10 12:01");
    struct farm_changes changes = {0};

    test_take(farm, "outlet-sheet", "a.csv", "Time,Outlet\n2026-05-10 00:00,open\n");
    look(farm, "2026-08-10 12:00", NULL);
    assert_int_equal(test_number(farm, "select sum(required) from lapse where farm_id = $1 and "
                                       "due_day = '2026-07-31'"),
                     2);
    test_farm_load(farm,
                   test_swap(farm->mem, farm->text, "    at least: 2 in each month\n",
                             "    at least: 3 in each month\n    change: copied wrongly\n"),
                   &act, &changes);
    look(farm, "2026-08-10 12:02", NULL);
    assert_int_equal(test_number(farm, "select sum(required) from lapse where farm_id = $1 and "
                                       "due_day = '2026-07-31'"),
                     3);
}

static void it_is_kept_when_it_was_last_looked_at(void **state)
{
    struct test_farm *farm = *state;
    struct time_look last = {0};
    struct err err = ERR_INIT;

    assert_true(pass_time_last(farm->db, &farm->open, &last, &err));
    assert_true(last.looked_at == INSTANT_NONE);
    look(farm, "2026-07-10 12:00", NULL);
    look(farm, "2026-07-10 12:01", NULL);
    assert_true(pass_time_last(farm->db, &farm->open, &last, &err));
    assert_true(last.looked_at == test_at("2026-07-10 12:01"));
}

static void a_lost_connection_leaves_no_half(void **state)
{
    struct test_farm *farm = *state;
    const struct pass_time_options options = {.settings = NULL};
    struct pass_time_result result = {0};
    bool done = false;

    with_silence(farm);
    test_take(farm, "logger", "a.csv", HEAD "2026-07-10 09:00,12.5,8.1,ok,7.9\n");
    for (int calls = 1; !done; calls++) {
        struct err err = ERR_INIT;

        db_fault_after(calls);
        done = pass_time(farm->db, farm->mem, &farm->open, test_at("2026-07-10 12:00"), &options,
                         &result, &err);
        db_fault_after(0);
        if (!done)
            assert_int_equal(err.code, ERR_UNAVAILABLE);
        assert_int_equal(test_number(farm, "select count(*) from finding where farm_id = $1 and "
                                           "kind = 'silence'"),
                         done);
        assert_int_equal(test_number(farm, "select count(*) from ledger where farm_id = $1 and "
                                           "source = 'weirbook serve'"),
                         done);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(a_source_that_stops_is_found_once_and_ends_when_it_comes_again),
        FARM_TEST(one_probe_of_a_source_that_goes_on_is_found_by_itself),
        FARM_TEST(without_a_time_of_the_farm_nothing_is_silent),
        FARM_TEST(a_folder_is_quiet_from_its_last_file_or_since_it_is_watched),
        FARM_TEST(a_sample_that_was_due_is_missed_when_its_day_has_gone),
        FARM_TEST(months_in_which_nothing_was_recorded_are_judged_too),
        FARM_TEST(months_before_the_farm_had_a_record_are_left_to_a_person),
        FARM_TEST(a_long_past_is_judged_some_months_a_look),
        FARM_TEST(a_tolerance_over_the_end_of_the_month_is_waited_for),
        FARM_TEST(a_clause_copied_anew_judges_months_without_records_again),
        FARM_TEST(it_is_kept_when_it_was_last_looked_at),
        FARM_TEST(a_lost_connection_leaves_no_half),
    };

    return cmocka_run_group_tests_name("app/pass_time", tests, test_farms_setup,
                                       test_farms_teardown);
}
