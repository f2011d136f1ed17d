/*
 * Visits to probes: what is refused, what they put in doubt and for how long, and that nothing is
 * half done. Criteria: US Geological Survey Techniques and Methods 1-D3 (Wagner and others, 2006),
 * from memory.
 */
#include "app/probe_visits.h"

#include <string.h>

#include "app/pass_time.h"
#include "app/probed.h"
#include "base/macro.h"
#include "db/db.h"

/* Four readings of the outlet's oxygen, days apart; all above the floor of 5 mg/L. */
static void readings_take(struct test_farm *farm)
{
    test_take(farm, "logger", "may.csv",
              WIDE "2026-05-02 12:00,12.0,8.00,ok,\n"
                   "2026-05-11 12:00,12.0,8.00,ok,\n"
                   "2026-05-12 12:00,12.0,8.00,ok,\n"
                   "2026-05-21 12:00,12.0,8.00,ok,\n");
}

/* Why each reading of the outlet's oxygen in May is in doubt or left out, one a line. */
static const char *doubts(struct test_farm *farm)
{
    struct judged_month month = month_kept(farm, "2026-05-01", NULL);
    struct buf text = buf_new(farm->mem);

    for (size_t i = 0; i < month.loaded.evidence.series_count; i++) {
        const struct evidence_series *series = &month.loaded.evidence.series[i];

        for (size_t k = 0; k < series->count && str_equal(series->parameter, "oxygen"); k++) {
            const struct evidence_reading *reading = &series->readings[k];

            buf_addf(&text, "%d: %s\n", instant_to_utc(reading->at).day,
                     reading->left_out ? arena_printf(farm->mem, "gap: %s", reading->left_out)
                     : reading->doubt  ? reading->doubt
                                       : "sound");
        }
    }

    return text.data;
}

static char *findings(struct test_farm *farm)
{
    return test_query(farm, "select concat_ws('/', subject, station, from_day, (select step from "
                            "finding_step s where s.farm_id = f.farm_id and s.finding = f.finding "
                            "order by nth desc limit 1)) from finding f where farm_id = $1 and "
                            "kind = 'calibration' and subject like 'o2%' order by subject");
}

static void a_failed_check_puts_all_since_the_last_good_one_in_doubt(void **state)
{
    struct test_farm *farm = *state;
    struct visit_done done;

    probed_farm(farm, NULL, NULL);
    readings_take(farm);
    probe_checked(farm, "2026-05-01 08:00", "10.0", NULL);
    probe_checked(farm, "2026-05-11 13:00", "9.9", NULL); /* 12:00 UTC: the very instant */
    assert_string_equal(doubts(farm), "2: sound\n11: sound\n12: sound\n21: sound\n");
    assert_string_equal(standing_of(farm, "2026-05-01", "oxygen-floor"), "within");

    done = probe_checked(farm, "2026-05-20 08:00", "9.6", "10.0");
    assert_int_equal(done.row.checks[0].found, PROBE_FAILED);
    assert_int_equal(done.opened, 1);
    assert_true(test_number(farm, "select count(*) from to_judge where farm_id = $1") > 0);
    assert_string_equal(
        doubts(farm),
        "2: sound\n11: sound\n"
        "12: drift: Oxygen probe (serial number PX-1): visit 3 of 20 May 2026 found its oxygen "
        "off; so is every reading since its last check\n"
        "21: sound\n");
    assert_string_equal(findings(farm), "o2-outlet oxygen: check failed, visit 3/outlet/"
                                        "2026-05-20/open");
    assert_string_equal(
        test_query(farm, "select found || ' ' || left_so || ' ' || drift || ' ' || rating from "
                         "probe_check where farm_id = $1 and visit = 3"),
        "failed good 0.4 good");
}

static void a_probe_left_off_stays_in_doubt_until_a_check_leaves_it_good(void **state)
{
    struct test_farm *farm = *state;

    probed_farm(farm, NULL, NULL);
    readings_take(farm);
    probe_checked(farm, "2026-05-01 08:00", "10.0", NULL);
    probe_checked(farm, "2026-05-11 18:00", "9.6", NULL);
    assert_string_equal(
        doubts(farm),
        "2: drift: Oxygen probe (serial number PX-1): visit 2 of 11 May 2026 found its oxygen off; "
        "so is every reading since its last check\n"
        "11: drift: Oxygen probe (serial number PX-1): visit 2 of 11 May 2026 found its oxygen "
        "off; so is every reading since its last check\n"
        "12: drift: Oxygen probe (serial number PX-1): visit 2 of 11 May 2026 left its oxygen off\n"
        "21: drift: Oxygen probe (serial number PX-1): visit 2 of 11 May 2026 left its oxygen "
        "off\n");
    probe_checked(farm, "2026-05-20 08:00", "9.6", "10.0");
    assert_non_null(strstr(doubts(farm), "21: sound"));
    assert_non_null(strstr(doubts(farm), "12: drift"));
}

static void errors_beyond_the_maximum_make_a_gap(void **state)
{
    struct test_farm *farm = *state;

    probed_farm(farm, NULL, NULL);
    readings_take(farm);
    probe_checked(farm, "2026-05-01 08:00", "10.0", NULL);
    probe_checked(farm, "2026-05-11 18:00", "12.1", "10.0");
    assert_string_equal(
        doubts(farm),
        "2: gap: Oxygen probe (serial number PX-1): visit 2 of 11 May 2026 found its oxygen off by "
        "more than may be corrected; readings since its last check are a gap\n"
        "11: gap: Oxygen probe (serial number PX-1): visit 2 of 11 May 2026 found its oxygen off "
        "by more than may be corrected; readings since its last check are a gap\n"
        "12: sound\n21: sound\n");
}

static void an_overdue_probe_is_in_doubt_until_the_next_good_check(void **state)
{
    struct test_farm *farm = *state;

    probed_farm(farm,
                "        as published for: dissolved oxygen\n        copied from: plan of the "
                "tests\n        correct figures: yes\n",
                "        check every: 10 days\n        as published for: dissolved oxygen\n"
                "        copied from: plan of the tests\n        correct figures: yes\n");
    readings_take(farm);
    assert_non_null(strstr(doubts(farm), "21: calibration: Oxygen probe (serial number PX-1): no "
                                         "record that its oxygen was checked"));
    probe_checked(farm, "2026-05-01 13:00", "10.0", NULL);
    assert_string_equal(
        doubts(farm),
        "2: sound\n11: sound\n"
        "12: calibration: Oxygen probe (serial number PX-1): its oxygen was to be checked by "
        "2026-05-11 13:00, after visit 1 of 1 May 2026\n"
        "21: calibration: Oxygen probe (serial number PX-1): its oxygen was to be checked by "
        "2026-05-11 13:00, after visit 1 of 1 May 2026\n");
    probe_checked(farm, "2026-05-20 08:00", "10.0", NULL);
    assert_non_null(strstr(doubts(farm), "12: calibration"));
    assert_non_null(strstr(doubts(farm), "21: sound"));
}

static void time_alone_finds_what_is_overdue_and_a_check_ends_it(void **state)
{
    struct test_farm *farm = *state;
    const struct pass_time_options options = {.settings = NULL};
    struct pass_time_result result = {0};
    struct err err = ERR_INIT;

    probed_farm(farm,
                "        as published for: dissolved oxygen\n        copied from: plan of the "
                "tests\n        correct figures: yes\n",
                "        check every: 10 days\n        as published for: dissolved oxygen\n"
                "        copied from: plan of the tests\n        correct figures: yes\n");
    probe_checked(farm, "2026-07-01 13:00", "10.0", NULL);
    assert_done(pass_time(farm->db, farm->mem, &farm->open, test_at("2026-07-11 12:00"), &options,
                          &result, &err),
                &err);
    assert_string_equal(findings(farm), "");
    assert_done(pass_time(farm->db, farm->mem, &farm->open, test_at("2026-07-11 12:01"), &options,
                          &result, &err),
                &err);
    assert_string_equal(findings(farm), "o2-outlet oxygen: check overdue/outlet/2026-07-11/open");
    farm->act.at = test_at("2026-07-12 12:00");
    probe_checked(farm, "2026-07-12 12:00", "10.0", NULL);
    assert_string_equal(findings(farm),
                        "o2-outlet oxygen: check overdue/outlet/2026-07-11/worked out again");
}

static void a_withdrawn_visit_puts_nothing_in_doubt_and_stays_on_record(void **state)
{
    struct test_farm *farm = *state;
    struct err err = ERR_INIT;

    probed_farm(farm, NULL, NULL);
    readings_take(farm);
    probe_checked(farm, "2026-05-01 08:00", "10.0", NULL);
    probe_checked(farm, "2026-05-20 08:00", "9.6", "10.0");
    assert_fails(
        visit_withdraw(farm->db, farm->mem, &farm->open, 1, "wrong day", "quinn", &farm->act, &err),
        ERR_CONFLICT, &err);
    assert_fails(visit_withdraw(farm->db, farm->mem, &farm->open, 2, "", "quinn", &farm->act, &err),
                 ERR_INVALID, &err);
    assert_fails(
        visit_withdraw(farm->db, farm->mem, &farm->open, 7, "x", "quinn", &farm->act, &err),
        ERR_NOT_FOUND, &err);
    assert_fails(visit_withdraw(farm->db, farm->mem, &farm->open, 2, "it was the spare", NULL,
                                &farm->act, &err),
                 ERR_DENIED, &err);
    assert_done(visit_withdraw(farm->db, farm->mem, &farm->open, 2, "it was the spare", "quinn",
                               &farm->act, &err),
                &err);
    assert_string_equal(doubts(farm), "2: sound\n11: sound\n12: sound\n21: sound\n");
    assert_string_equal(findings(farm), "o2-outlet oxygen: check failed, visit 2/outlet/"
                                        "2026-05-20/worked out again");
    assert_fails(
        visit_withdraw(farm->db, farm->mem, &farm->open, 2, "again", "quinn", &farm->act, &err),
        ERR_CONFLICT, &err);
    assert_string_equal(test_query(farm, "select reason from probe_withdrawn where farm_id = $1"),
                        "it was the spare");
    assert_int_equal(
        test_number(farm, "select count(*) from ledger where farm_id = $1 and kind = 'visit'"), 3);
}

#define READ "readings:\n  - parameter: oxygen\n    "

static const struct {
    const char *reason;
    const char *text;
    enum err_code code;
    const char *says;
} refused[] = {
    {"no such instrument", "instrument: o2-outlett\nat: 2026-05-03 08:00\nmaintenance: x\n",
     ERR_INVALID, "did you mean 'o2-outlet'?"},
    {"a time to come",
     "instrument: o2-outlet\nat: 2026-07-11 08:00\n" READ
     "standards: [{standard: 10.0, read: 10.0}]\n",
     ERR_INVALID, "2026-07-11 08:00 has not come yet"},
    {"before it was in use",
     "instrument: o2-outlet\nat: 2026-03-11 08:00\n" READ
     "standards: [{standard: 10.0, read: 10.0}]\n",
     ERR_INVALID, "o2-outlet was not in use at 2026-03-11 08:00"},
    {"before the last visit",
     "instrument: o2-outlet\nat: 2026-05-01 08:00\n" READ
     "standards: [{standard: 10.0, read: 10.0}]\n",
     ERR_CONFLICT, "visit 1 of 2 May 2026 is on record, which is not before 2026-05-01 08:00"},
    {"a standard past its day",
     "instrument: o2-outlet\nat: 2026-05-03 08:00\n" READ
     "standards: [{standard: 10.0, read: 10.0, lot: B-7, expires: 2026-05-02}]\n",
     ERR_INVALID, "the standard 10.0 mg/L, lot B-7 had expired on 2 May 2026"},
    {"a unit of something else",
     "instrument: o2-outlet\nat: 2026-05-03 08:00\n" READ
     "unit: degC\n    standards: [{standard: 10.0, read: 10.0}]\n",
     ERR_INVALID, "line 5, column 11: 'degC'"},
    {"what is not checked of it",
     "instrument: o2-outlet\nat: 2026-05-03 08:00\nreadings:\n  - parameter: temperature\n"
     "    standards: [{standard: 10.0, read: 10.0}]\n",
     ERR_INVALID, "the farm file asks for no check of temperature of o2-outlet"},
    {"a meter that nobody checked",
     "instrument: o2-outlet\nat: 2026-05-03 08:00\n" READ
     "meter: meter\n    beside meter: {probe: 8.0, meter: 8.1}\n",
     ERR_INVALID, "meter was in doubt itself: Field meter (serial number FM-2): no record that"},
    {"half of a pair",
     "instrument: o2-outlet\nat: 2026-05-03 08:00\n" READ "before cleaning: 8.0\n", ERR_INVALID,
     "`before cleaning` and `after cleaning` go together"},
    {"nothing was read and nothing done", "instrument: o2-outlet\nat: 2026-05-03 08:00\n",
     ERR_INVALID, "nothing was read and nothing was done"},
};

static void what_shows_nothing_is_refused_with_what_to_do(void **state)
{
    struct test_farm *farm = *state;
    struct visit_done done;

    probed_farm(farm, NULL, NULL);
    probe_checked(farm, "2026-05-02 08:00", "10.0", NULL);
    for (size_t i = 0; i < ARRAY_LEN(refused); i++) {
        struct err err = ERR_INIT;

        if (visit_try(farm, refused[i].text, &done, &err))
            fail_msg("%s: it was taken", refused[i].reason);
        if (err.code != refused[i].code || !strstr(err.text, refused[i].says))
            fail_msg("%s: %s", refused[i].reason, err.text);
    }
    assert_int_equal(test_number(farm, "select count(*) from probe_visit where farm_id = $1"), 1);
}

static void only_who_may_calibrate_writes_visits_down(void **state)
{
    struct test_farm *farm = *state;
    struct visit_done done;
    struct err err = ERR_INIT;

    probed_farm(farm, NULL, NULL);
    farm->act.person = "quinn";
    assert_false(visit_try(farm, "instrument: o2-outlet\nat: 2026-05-03 08:00\nmaintenance: x\n",
                           &done, &err));
    assert_int_equal(err.code, ERR_DENIED);
    farm->act.person = "pat";
    probed_farm(farm, "used by: [pat]", "used by: [quinn]");
    err = ERR_INIT;
    assert_false(
        visit_try(farm, "instrument: meter\nat: 2026-05-03 08:00\nmaintenance: x\n", &done, &err));
    assert_string_equal(err.text, "pat is not among those who may use meter");
}

/* A meter in order shows that the probe beside it is. */
static void a_good_field_meter_is_a_standard(void **state)
{
    struct test_farm *farm = *state;
    struct visit_done done;

    probed_farm(farm, NULL, NULL);
    visit_done(farm, "instrument: meter\nat: 2026-05-01 08:00\n" READ
                     "standards: [{standard: 10.0, read: 10.0}]\n");
    done = visit_done(farm, "instrument: o2-outlet\nat: 2026-05-03 08:00\n" READ
                            "meter: meter\n    before cleaning: 8.10\n    after cleaning: 7.70\n"
                            "    meter before: 8.00\n    meter after: 8.02\n"
                            "    beside meter: {probe: 7.70, meter: 7.80}\n");
    assert_int_equal(done.row.checks[0].found, PROBE_FAILED); /* -0.42 and 0.10: 0.32 */
    assert_int_equal(done.row.checks[0].left, PROBE_GOOD);
    assert_string_equal(test_query(farm, "select fouling || ' ' || drift from probe_check where "
                                         "farm_id = $1 and visit = 2"),
                        "-0.42 0.1");
}

/* A sheet of readings by hand: who read which meter, and whether that was checked. */
static void a_field_meter_says_who_read_it_and_needs_a_good_check(void **state)
{
    struct test_farm *farm = *state;
    struct buf text = buf_new(farm->mem);
    struct judged_month month;

    probed_farm(farm, "sources:\n",
                "sources:\n  - key: hand-sheet\n    name: Field meter\n    shape: long\n"
                "    separator: comma\n    decimal mark: point\n    clock: UTC\n"
                "    time: {columns: Time, format: \"YYYY-MM-DD hh:mm\"}\n    station: outlet\n"
                "    parameter: oxygen\n    value column: Value\n    taken by column: Who\n"
                "    unit: mg/L\n    kind: by hand\n    instrument: meter\n");
    test_take(farm, "hand-sheet", "hand.csv",
              "Time,Value,Who\n2026-05-02 12:00,8.1,Rory\n2026-05-03 12:00,8.2,\n");
    visit_done(farm, "instrument: meter\nat: 2026-05-03 08:00\n" READ
                     "standards: [{standard: 10.0, read: 10.0}]\n");
    /* Back in time, so that it is staged. */
    test_take_staged(farm, "hand-sheet", "more.csv", "Time,Value,Who\n2026-05-02 18:00,8.3,Sam\n");
    month = month_kept(farm, "2026-05-01", NULL);
    for (size_t i = 0; i < month.loaded.evidence.series_count; i++) {
        const struct evidence_series *series = &month.loaded.evidence.series[i];

        for (size_t k = 0; k < series->count && str_equal(series->made_by, "meter"); k++)
            buf_addf(&text, "%s by %s%s\n", decimal_text(farm->mem, series->readings[k].reported),
                     series->readings[k].taken_by ? series->readings[k].taken_by : "nobody",
                     series->readings[k].doubt ? ", in doubt" : "");
    }
    assert_string_equal(text.data, "8.1 by Rory, in doubt\n8.3 by Sam, in doubt\n8.2 by nobody\n");
}

/* A sheet that names its meter by the serial number means the meter that is on record. */
static void a_serial_number_in_a_sheet_is_that_meter_s(void **state)
{
    struct test_farm *farm = *state;
    struct judged_month month;
    size_t in_doubt = 0;

    probed_farm(farm, "sources:\n",
                "sources:\n  - key: hand-sheet\n    name: Field meter\n    shape: long\n"
                "    separator: comma\n    decimal mark: point\n    clock: UTC\n"
                "    time: {columns: Time, format: \"YYYY-MM-DD hh:mm\"}\n    station: outlet\n"
                "    parameter: oxygen\n    value column: Value\n"
                "    unit: mg/L\n    kind: by hand\n    instrument: FM-2\n");
    test_take(farm, "hand-sheet", "hand.csv", "Time,Value\n2026-05-02 12:00,8.1\n");
    month = month_kept(farm, "2026-05-01", NULL);
    for (size_t i = 0; i < month.loaded.evidence.series_count; i++) {
        const struct evidence_series *series = &month.loaded.evidence.series[i];

        for (size_t k = 0; k < series->count && str_equal(series->made_by, "FM-2"); k++)
            in_doubt += series->readings[k].doubt != NULL; /* the meter was never checked */
    }
    assert_int_equal(in_doubt, 1);
}

static void a_visit_is_there_whole_or_not_at_all(void **state)
{
    struct test_farm *farm = *state;
    char *before;
    bool done = false;

    probed_farm(farm, NULL, NULL);
    readings_take(farm);
    probe_checked(farm, "2026-05-01 08:00", "10.0", NULL);
    before = test_state(farm);
    for (int calls = 1; !done; calls++) {
        struct visit_done visit;
        struct err err = ERR_INIT;

        db_fault_after(calls);
        done = visit_try(farm,
                         "instrument: o2-outlet\nat: 2026-05-20 08:00\n" READ
                         "standards: [{standard: 10.0, read: 9.6}]\n",
                         &visit, &err);

        bool hit = db_fault_hit();

        db_fault_after(0);
        assert_int_equal(done, !hit);
        if (!done)
            test_state_same(before, test_state(farm), arena_printf(farm->mem, "call %d", calls));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(a_failed_check_puts_all_since_the_last_good_one_in_doubt),
        FARM_TEST(a_probe_left_off_stays_in_doubt_until_a_check_leaves_it_good),
        FARM_TEST(errors_beyond_the_maximum_make_a_gap),
        FARM_TEST(an_overdue_probe_is_in_doubt_until_the_next_good_check),
        FARM_TEST(time_alone_finds_what_is_overdue_and_a_check_ends_it),
        FARM_TEST(a_withdrawn_visit_puts_nothing_in_doubt_and_stays_on_record),
        FARM_TEST(what_shows_nothing_is_refused_with_what_to_do),
        FARM_TEST(only_who_may_calibrate_writes_visits_down),
        FARM_TEST(a_good_field_meter_is_a_standard),
        FARM_TEST(a_field_meter_says_who_read_it_and_needs_a_good_check),
        FARM_TEST(a_serial_number_in_a_sheet_is_that_meter_s),
        FARM_TEST(a_visit_is_there_whole_or_not_at_all),
    };

    return cmocka_run_group_tests_name("app/probe_visits", tests, test_farms_setup,
                                       test_farms_teardown);
}
