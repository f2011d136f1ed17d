/*
 * What becomes of readings that a visit put in doubt: corrected in a straight line, left out, or
 * standing; and what that does to verdicts. Expected values are worked out by hand from the
 * formulas of US Geological Survey Techniques and Methods 1-D3 (Wagner and others, 2006), from
 * memory.
 */
#include "app/probe_answers.h"

#include <string.h>

#include "app/corrections_told.h"
#include "app/probed.h"
#include "base/macro.h"
#include "db/db.h"

/*
 * Checked good on 1 May at 13:00 (12:00 UTC) and found 0.8 too high on 21 May at 13:00: 20 days, so
 * that a reading n days after the first is 0.04 n too high. The floor is 5 mg/L.
 */
static void drifted(struct test_farm *farm)
{
    test_take(farm, "logger", "may.csv",
              WIDE "2026-05-01 12:00,12.0,5.50,ok,\n"
                   "2026-05-06 12:00,12.0,5.50,ok,\n"
                   "2026-05-11 12:00,12.0,5.5,ok,\n"
                   "2026-05-20 12:00,12.0,5.70,ok,\n"
                   "2026-05-22 12:00,12.0,5.50,ok,\n");
    probe_checked(farm, "2026-05-01 13:00", "10.0", NULL);
    probe_checked(farm, "2026-05-21 13:00", "10.8", "10.0");
}

static struct probe_answer_order order_of(const char *answer)
{
    return (struct probe_answer_order){
        .visit = 2, .parameter = "oxygen", .answer = answer, .because = "as visit 2 shows"};
}

static bool answer_try(struct test_farm *farm, struct probe_answer_order order, struct err *err)
{
    struct probe_answer_row row;

    return probe_answer_give(farm->db, farm->mem, &farm->open, &order, &farm->act, &row, err);
}

static void answered(struct test_farm *farm, struct probe_answer_order order)
{
    struct err err = ERR_INIT;

    assert_done(answer_try(farm, order, &err), &err);
}

/* "5.50" of each reading as judged, "(5.50)" behind it as read; what is in doubt or left out. */
static const char *values(struct test_farm *farm)
{
    struct judged_month month = month_kept(farm, "2026-05-01", NULL);
    struct buf text = buf_new(farm->mem);

    for (size_t i = 0; i < month.loaded.evidence.series_count; i++) {
        const struct evidence_series *series = &month.loaded.evidence.series[i];

        for (size_t k = 0; k < series->count && str_equal(series->parameter, "oxygen"); k++) {
            const struct evidence_reading *reading = &series->readings[k];

            buf_addf(&text, "%s%s", text.len ? ", " : "",
                     decimal_text(farm->mem, reading->reported));
            if (reading->corrected)
                buf_addf(&text, " (%s)", decimal_text(farm->mem, reading->first_reported));
            if (reading->doubt)
                buf_add_text(&text, " doubt");
            if (reading->left_out)
                buf_add_text(&text, " out");
        }
    }

    return text.data;
}

static void an_accepted_correction_grows_in_a_straight_line_and_keeps_what_was_read(void **state)
{
    struct test_farm *farm = *state;

    probed_farm(farm, NULL, NULL);
    drifted(farm);
    assert_string_equal(values(farm), "5.50, 5.50 doubt, 5.5 doubt, 5.70 doubt, 5.50");
    answered(farm, order_of("corrected"));
    /* -0.2 after 5 days, -0.4 after 10, -0.76 after 19; the third has one decimal. */
    assert_string_equal(values(farm), "5.50, 5.30 (5.50), 5.1 (5.5), 4.94 (5.70), 5.50");
    assert_non_null(strstr(standing_of(farm, "2026-05-01", "oxygen-floor"), "outside"));
    assert_string_equal(test_query(farm,
                                   "select reported::text from reading_now where farm_id = $1 "
                                   "and at >= '2026-05-20' and at < '2026-05-21' and unit = "
                                   "'mg/L'"),
                        "5.70");
    assert_int_equal(test_number(farm, "select count(*) from correction where farm_id = $1"), 0);
    assert_int_equal(test_number(farm, "select count(*) from ledger where farm_id = $1 and kind = "
                                       "'visit-answer'"),
                     1);
}

static void a_proposal_shows_what_it_would_change_and_changes_nothing(void **state)
{
    struct test_farm *farm = *state;
    struct probe_offer offer;
    struct err err = ERR_INIT;
    char *before;

    probed_farm(farm, NULL, NULL);
    drifted(farm);
    (void)values(farm);
    before = test_state(farm);
    assert_done(
        probe_offer_read(farm->db, farm->mem, &farm->open, 2, "oxygen", farm->act.at, &offer, &err),
        &err);
    test_state_same(before, test_state(farm), "after the proposal");
    assert_null(offer.proposal.why_not);
    assert_true(offer.waits);
    assert_int_equal(offer.corrected, 3);
    assert_int_equal(offer.reading_count, 3);
    for (size_t i = 1; i < offer.reading_count; i++) /* in order of time */
        assert_true(offer.readings[i - 1].at < offer.readings[i].at);
    assert_string_equal(offer.readings[2].before, "5.70 mg/L");
    assert_string_equal(offer.readings[2].after, "4.94 mg/L");
    assert_int_equal(offer.change_count, 1);
    assert_string_equal(offer.changes[0].limit, "oxygen-floor");
    assert_non_null(strstr(offer.changes[0].after, "outside"));
}

static void readings_may_stand_or_be_left_out_for_a_reason(void **state)
{
    struct test_farm *farm = *state;

    probed_farm(farm, NULL, NULL);
    drifted(farm);
    answered(farm, order_of("stands"));
    assert_string_equal(values(farm), "5.50, 5.50, 5.5, 5.70, 5.50");
    answered(farm, order_of("left out"));
    assert_string_equal(values(farm), "5.50, 5.50 out, 5.5 out, 5.70 out, 5.50");
    answered(farm, order_of("refused"));
    assert_string_equal(values(farm), "5.50, 5.50 doubt, 5.5 doubt, 5.70 doubt, 5.50");
    assert_string_equal(
        test_query(farm, "select string_agg(answer, ' ' order by nth) from probe_answer where "
                         "farm_id = $1"),
        "stands left out refused");
}

static const struct {
    const char *reason;
    struct probe_answer_order order;
    enum err_code code;
    const char *says;
} refused[] = {
    {"no reason", {2, "oxygen", "stands", "", NULL}, ERR_INVALID, "a reason is needed"},
    {"no such visit", {9, "oxygen", "stands", "x", NULL}, ERR_NOT_FOUND, "there is no visit 9"},
    {"not read there",
     {2, "temperature", "stands", "x", NULL},
     ERR_NOT_FOUND,
     "temperature was not"},
    {"no such answer", {2, "oxygen", "fine", "x", NULL}, ERR_INVALID, "'fine' is no answer"},
    {"nothing to correct",
     {1, "oxygen", "corrected", "x", NULL},
     ERR_INVALID,
     "the check found nothing to correct"},
    {"nothing in doubt", {1, "oxygen", "stands", "x", NULL}, ERR_INVALID, "can be answered"},
    {"the same person twice", {2, "oxygen", "stands", "x", "pat"}, ERR_INVALID, "another than"},
    {"a second who may not", {2, "oxygen", "stands", "x", "rory"}, ERR_DENIED, "the second person"},
};

static void an_answer_that_fits_nothing_is_refused(void **state)
{
    struct test_farm *farm = *state;
    struct err err = ERR_INIT;

    probed_farm(farm, NULL, NULL);
    drifted(farm);
    for (size_t i = 0; i < ARRAY_LEN(refused); i++) {
        err = ERR_INIT;
        if (answer_try(farm, refused[i].order, &err))
            fail_msg("%s: it was taken", refused[i].reason);
        if (err.code != refused[i].code || !strstr(err.text, refused[i].says))
            fail_msg("%s: %s", refused[i].reason, err.text);
    }
    farm->act.person = "rory";
    assert_fails(answer_try(farm, order_of("stands"), &err), ERR_DENIED, &err);
    farm->act.person = "pat";
    answered(farm, order_of("stands"));
    assert_fails(answer_try(farm, order_of("stands"), &err), ERR_CONFLICT, &err);
}

static void a_farm_may_say_that_figures_rest_on_no_correction(void **state)
{
    struct test_farm *farm = *state;
    struct err err = ERR_INIT;

    probed_farm(farm, "correct figures: yes", "correct figures: no");
    drifted(farm);
    assert_fails(answer_try(farm, order_of("corrected"), &err), ERR_INVALID, &err);
    assert_non_null(strstr(err.text, "`correct figures: no`"));
}

/* Read 0.8 too low: 4.60 on 20 May is 5.36, which takes the floor's verdict inside. */
static const struct report_correction *told_of(struct test_farm *farm)
{
    struct judged_month month = month_kept(farm, "2026-05-01", NULL);
    struct discharge_month told = {0};
    struct err err = ERR_INIT;

    assert_done(
        corrections_told_of(farm->db, farm->mem, &farm->open, &month, farm->act.at, &told, &err),
        &err);
    assert_int_equal(told.correction_count, 1);

    return &told.corrections[0];
}

static void who_alone_takes_a_figure_inside_is_told_on_the_first_page(void **state)
{
    struct test_farm *farm = *state;
    struct probe_answer_order second = order_of("corrected");
    const struct report_correction *told;

    probed_farm(farm, NULL, NULL);
    test_take(farm, "logger", "may.csv",
              WIDE "2026-05-06 12:00,12.0,5.50,ok,\n2026-05-20 12:00,12.0,4.60,ok,\n");
    probe_checked(farm, "2026-05-01 13:00", "10.0", NULL);
    probe_checked(farm, "2026-05-21 13:00", "9.2", "10.0");
    assert_non_null(strstr(standing_of(farm, "2026-05-01", "oxygen-floor"), "outside"));
    answered(farm, order_of("corrected"));
    assert_string_equal(standing_of(farm, "2026-05-01", "oxygen-floor"), "within");
    told = told_of(farm);
    assert_true(told->outside_to_inside);
    assert_null(told->second_person);
    assert_string_equal(told->moved[0], "oxygen-floor");
    assert_string_equal(told->new_value,
                        "corrected in a straight line up to 0.8 mg/L for drift; visit 2 of 21 May "
                        "2026");
    second.second_person = "quinn";
    answered(farm, second);
    assert_string_equal(told_of(farm)->second_person, "Quinn Flow (invented)");
}

static void a_gap_that_hides_a_value_outside_is_told_on_the_first_page(void **state)
{
    struct test_farm *farm = *state;
    const struct report_correction *told;

    probed_farm(farm, NULL, NULL);
    test_take(farm, "logger", "may.csv",
              WIDE "2026-05-06 12:00,12.0,4.60,ok,\n2026-05-22 12:00,12.0,5.60,ok,\n");
    probe_checked(farm, "2026-05-01 13:00", "10.0", NULL);
    probe_checked(farm, "2026-05-21 13:00", "12.5", "10.0");
    told = told_of(farm);
    assert_true(told->outside_to_inside);
    assert_string_equal(told->new_value, "a gap, visit 2 of 21 May 2026");
}

/* 0.10 FNU less 0.4 would be below nothing: it is not corrected, and stays in doubt. */
static void what_would_fall_below_nothing_stays_in_doubt(void **state)
{
    struct test_farm *farm = *state;

    probed_farm(farm, NULL, NULL);
    test_take(farm, "logger", "may.csv", WIDE "2026-05-20 12:00,12.0,0.50,ok,\n");
    probe_checked(farm, "2026-05-01 13:00", "10.0", NULL);
    probe_checked(farm, "2026-05-21 13:00", "10.8", "10.0");
    answered(farm, order_of("corrected"));
    assert_string_equal(values(farm), "0.50 doubt");
}

static void an_answer_is_there_whole_or_not_at_all(void **state)
{
    struct test_farm *farm = *state;
    bool done = false;
    char *before;

    probed_farm(farm, NULL, NULL);
    drifted(farm);
    before = test_state(farm);
    for (int calls = 1; !done; calls++) {
        struct err err = ERR_INIT;

        db_fault_after(calls);
        done = answer_try(farm, order_of("corrected"), &err);

        bool hit = db_fault_hit();

        db_fault_after(0);
        assert_int_equal(done, !hit);
        if (!done)
            test_state_same(before, test_state(farm), arena_printf(farm->mem, "call %d", calls));
    }
}

/* Where only one person may correct: 4.94 is outside until the visit that proved it is withdrawn.
 */
static void a_visit_withdrawn_by_one_person_is_told_for_what_it_took_inside(void **state)
{
    struct test_farm *farm = *state;
    struct discharge_month told = {.corrections = NULL};
    struct judged_month month;
    struct err err = ERR_INIT;

    probed_farm(farm, "may: [read, sample, correct]", "may: [read, sample]");
    drifted(farm);
    answered(farm, order_of("corrected"));
    assert_non_null(strstr(standing_of(farm, "2026-05-01", "oxygen-floor"), "outside"));
    assert_done(visit_withdraw(farm->db, farm->mem, &farm->open, 2, "changed my mind", NULL,
                               &farm->act, &err),
                &err);
    month = month_kept(farm, "2026-05-01", NULL);
    assert_done(
        corrections_told_of(farm->db, farm->mem, &farm->open, &month, farm->act.at, &told, &err),
        &err);
    assert_int_equal(told.correction_count, 1);
    assert_true(told.corrections[0].outside_to_inside);
    assert_null(told.corrections[0].second_person);
    assert_string_equal(told.corrections[0].new_value, "visit 2 of 21 May 2026 withdrawn");
    assert_string_equal(told.corrections[0].moved[0], "oxygen-floor");

    /* A second person comes, and agrees: the same again. */
    probed_farm(farm, NULL, NULL);
    assert_done(visit_withdraw(farm->db, farm->mem, &farm->open, 2, "I was there too", "quinn",
                               &farm->act, &err),
                &err);
    assert_done(
        corrections_told_of(farm->db, farm->mem, &farm->open, &month, farm->act.at, &told, &err),
        &err);
    assert_string_equal(told.corrections[told.correction_count - 1].second_person,
                        "Quinn Flow (invented)");
    assert_fails(
        visit_withdraw(farm->db, farm->mem, &farm->open, 2, "again", "quinn", &farm->act, &err),
        ERR_CONFLICT, &err);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(an_accepted_correction_grows_in_a_straight_line_and_keeps_what_was_read),
        FARM_TEST(a_proposal_shows_what_it_would_change_and_changes_nothing),
        FARM_TEST(readings_may_stand_or_be_left_out_for_a_reason),
        FARM_TEST(an_answer_that_fits_nothing_is_refused),
        FARM_TEST(a_farm_may_say_that_figures_rest_on_no_correction),
        FARM_TEST(who_alone_takes_a_figure_inside_is_told_on_the_first_page),
        FARM_TEST(a_gap_that_hides_a_value_outside_is_told_on_the_first_page),
        FARM_TEST(what_would_fall_below_nothing_stays_in_doubt),
        FARM_TEST(an_answer_is_there_whole_or_not_at_all),
        FARM_TEST(a_visit_withdrawn_by_one_person_is_told_for_what_it_took_inside),
    };

    return cmocka_run_group_tests_name("app/probe_answers", tests, test_farms_setup,
                                       test_farms_teardown);
}
