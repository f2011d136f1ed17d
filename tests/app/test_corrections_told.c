/*
 * What the report and `check` tell of corrections and of rows left out: each act with its reason,
 * and what one person alone moved from outside to inside.
 */
#include <string.h>

#include "app/corrected.h"
#include "app/read_again.h"
#include "app/report_parts.h"
#include "app/see_aside.h"
#include "app/source_rules.h"
#include "app/type_aside.h"

static struct discharge_month lists_told(struct test_farm *farm)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct judged_month month = month_kept(farm, "2026-05-01", NULL);
    struct discharge_month report = {.volume_m3 = NULL};
    struct err err = ERR_INIT;

    assert_done(db_tx_begin(farm->db, farm->open.farm_id, &tx, &err), &err);
    assert_done(report_lists(&tx, farm->mem, &farm->open, &month, farm->act.at, &report, &err),
                &err);

    return report;
}

static void a_row_left_out_by_a_person_is_told_with_its_reason(void **state)
{
    struct test_farm *farm = *state;
    struct aside_ref ref = {.file_name = "odd.csv", .line = 2};
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    samples_take(farm);
    test_take(farm, "laboratory", "odd.csv",
              LAB "S3,,,Out,2026-05-20 09:00,TSS,?,mg/L,,\n"
                  "S4,,,Out,2026-05-21 09:00,TSS,?,mg/L,,\n"
                  "S5,,,Out,2026-06-21 09:00,TSS,?,mg/L,,\n");
    assert_done(aside_leave_out(farm->db, farm->mem, &farm->open, &ref, "the bottle broke", NULL,
                                &farm->act, &done, &err),
                &err);

    struct discharge_month told = lists_told(farm);

    assert_int_equal(told.set_aside_count, 2);
    assert_int_equal(told.set_aside[0].line, 3);
    assert_null(told.set_aside[0].answer);
    assert_non_null(told.set_aside[0].todo);
    assert_int_equal(told.set_aside[1].line, 2);
    assert_string_equal(told.set_aside[1].answer, "left out");
    assert_string_equal(told.set_aside[1].because, "the bottle broke");
    assert_string_equal(told.set_aside[1].person, "Pat Ebb (invented)");
    assert_true(told.set_aside[1].answered_at == farm->act.at);
}

static struct report_correction correction_told(struct test_farm *farm, size_t index)
{
    struct discharge_month report = lists_told(farm);

    assert_true(index < report.correction_count);

    return report.corrections[index];
}

static void odd_left_out(struct test_farm *farm, const char *second_person)
{
    struct aside_ref ref = {.file_name = "odd.csv", .line = 2};
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    assert_done(aside_leave_out(farm->db, farm->mem, &farm->open, &ref, "a slip", second_person,
                                &farm->act, &done, &err),
                &err);
}

/* 14 alone keeps the mean; with a 400 that was set aside it is outside, though in doubt. */
static void odd_takes_it_outside(struct test_farm *farm)
{
    test_take(farm, "laboratory", "may.csv", LAB "S2,,,Out,2026-05-18 09:00,TSS,14,mg/L,,\n");
    test_take(farm, "laboratory", "odd.csv",
              LAB "S3,,,Out,2026-05-20 09:00,TSS,400,mg/L,,\n"
                  "S3,,,Out,2026-05-20 09:00,TSS,16,mg/L,,\n");
    assert_non_null(strstr(standing_of(farm, "2026-05-01", "solids-mean"), "outside"));
}

static void a_row_left_out_by_one_person_that_clears_a_month_is_told(void **state)
{
    struct test_farm *farm = *state;
    struct read_again_result result = {0};
    struct err err = ERR_INIT;

    odd_takes_it_outside(farm);
    odd_left_out(farm, NULL);
    assert_done(
        read_again(farm->db, farm->mem, &farm->open, "odd.csv", NULL, &farm->act, &result, &err),
        &err);
    assert_int_equal(result.accepted, 1);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"), "within");

    struct report_correction told = correction_told(farm, 0);

    assert_true(told.outside_to_inside);
    assert_null(told.second_person);
    assert_string_equal(told.new_value, "set aside, then left out");
    assert_string_equal(told.reason, "a slip");
    assert_int_equal(told.line, 2);
    /* The 16 that was read again moved nothing: had it waited, the month was within too. */
    assert_int_equal(lists_told(farm).correction_count, 1);
}

/* Ammonia of an unknown place can't have moved suspended solids; the 400 did. */
static void a_row_of_another_parameter_is_not_told_for_what_a_row_beside_it_moved(void **state)
{
    struct test_farm *farm = *state;
    struct aside_ref ref = {.file_name = "else.csv", .line = 2};
    struct read_again_result result = {0};
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    odd_takes_it_outside(farm);
    test_take(farm, "laboratory", "else.csv", LAB "S7,,,Nowhere,2026-05-21 09:00,NH4,41,mg/L,,\n");
    assert_done(aside_leave_out(farm->db, farm->mem, &farm->open, &ref, "not ours", NULL,
                                &farm->act, &done, &err),
                &err);
    odd_left_out(farm, NULL);
    assert_done(
        read_again(farm->db, farm->mem, &farm->open, "odd.csv", NULL, &farm->act, &result, &err),
        &err);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"), "within");

    struct discharge_month told = lists_told(farm);

    assert_int_equal(told.correction_count, 2);
    for (size_t i = 0; i < told.correction_count; i++)
        assert_true(told.corrections[i].outside_to_inside ==
                    (strstr(told.corrections[i].first_value, "400") != NULL));
}

static void a_row_left_out_by_two_persons_names_the_second(void **state)
{
    struct test_farm *farm = *state;
    struct aside_ref ref = {.file_name = "odd.csv", .line = 3};
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    odd_takes_it_outside(farm);
    odd_left_out(farm, "quinn");
    assert_string_equal(correction_told(farm, 0).second_person, "Quinn Flow (invented)");
    assert_fails(aside_leave_out(farm->db, farm->mem, &farm->open, &ref, "a slip", "pat",
                                 &farm->act, &done, &err),
                 ERR_INVALID, &err);
}

static void a_row_left_out_that_clears_nothing_is_told_as_such(void **state)
{
    struct test_farm *farm = *state;

    samples_take(farm);
    test_take(farm, "laboratory", "odd.csv", LAB "S3,,,Out,2026-05-20 09:00,TSS,?,mg/L,,\n");
    odd_left_out(farm, NULL);
    assert_false(correction_told(farm, 0).outside_to_inside);
    assert_string_equal(correction_told(farm, 0).station, "outlet");
}

static void a_correction_that_clears_a_month_is_told(void **state)
{
    struct test_farm *farm = *state;
    struct reading_ref other = {
        .station = "outlet", .parameter = "suspended-solids", .at = test_at("2026-05-18 09:00")};
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    samples_take(farm);
    assert_done(correct(farm, &other, "value", "15", &done, &err), &err);
    assert_false(correction_told(farm, 0).outside_to_inside);
    corrected(farm, "value", "39");

    struct report_correction told = correction_told(farm, 0);

    assert_true(told.outside_to_inside);
    assert_null(told.second_person);
    assert_string_equal(told.first_value, "44 mg/L");
    assert_string_equal(told.new_value, "39 mg/L");
    assert_string_equal(told.reason, "misread");
}

static void a_second_person_may_agree_later(void **state)
{
    struct test_farm *farm = *state;
    struct correction_order order = {
        .kind = "value", .value = "39", .reason = "I saw the sheet too", .second_person = "quinn"};
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    samples_take(farm);
    corrected(farm, "value", "39");
    assert_true(correction_told(farm, 0).outside_to_inside);
    assert_fails(correct(farm, &on_may_4, "value", "39", &done, &err), ERR_CONFLICT, &err);
    assert_done(reading_correct(farm->db, farm->mem, &farm->open, &on_may_4, &order, &farm->act,
                                &done, &err),
                &err);
    assert_false(correction_told(farm, 0).outside_to_inside);
    assert_string_equal(correction_told(farm, 1).second_person, "Quinn Flow (invented)");
}

static void a_leave_out_with_a_second_person_names_him(void **state)
{
    struct test_farm *farm = *state;
    struct correction_order order = {
        .kind = "left out", .reason = "the bottle broke", .second_person = "quinn"};
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    samples_take(farm);
    assert_done(reading_correct(farm->db, farm->mem, &farm->open, &on_may_4, &order, &farm->act,
                                &done, &err),
                &err);

    struct report_correction told = correction_told(farm, 0);

    assert_true(told.outside_to_inside);
    assert_string_equal(told.person, "Pat Ebb (invented)");
    assert_string_equal(told.second_person, "Quinn Flow (invented)");
    assert_string_equal(told.new_value, "left out");
}

/* The other sample stays outside, and with it the month. */
static void a_value_that_moved_inside_is_told_though_the_month_stays_outside(void **state)
{
    struct test_farm *farm = *state;
    struct reading_ref other = {
        .station = "outlet", .parameter = "suspended-solids", .at = test_at("2026-05-18 09:00")};
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    test_take(farm, "laboratory", "may.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,44,mg/L,,\n"
                  "S2,,,Out,2026-05-18 09:00,TSS,52,mg/L,,\n");
    assert_done(correct(farm, &other, "value", "51", &done, &err), &err);
    corrected(farm, "value", "39");
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "outside: above 40");
    /* That of the 4th came inside; that of the 18th is outside as it was. */
    assert_true(correction_told(farm, 0).outside_to_inside);
    assert_false(correction_told(farm, 1).outside_to_inside);
}

/* A mean of each day: leaving one reading out brings its day inside, another day stays outside. */
static void a_day_that_moved_inside_is_told_though_the_month_stays_outside(void **state)
{
    struct test_farm *farm = *state;
    struct reading_ref low = {
        .station = "outlet", .parameter = "oxygen", .at = test_at("2026-05-02 12:00")};
    struct correction_done done = {0};
    struct err err = ERR_INIT;
    struct act act = test_act("pat", "2026-07-10 12:01");
    struct farm_changes changes = {0};
    char *text = test_swap(farm->mem, farm->text, "not below: 5\n    rounding: none",
                           "not below: 5\n    rounding: none\n    change: copied wrongly");

    text = test_swap(farm->mem, text,
                     "each day: every reading\n    statistic: value\n    period: each sample\n"
                     "    not below: 5",
                     "each day: mean\n    less-thans: half\n    statistic: value\n    period: day\n"
                     "    not below: 5");
    test_farm_load(farm, text, &act, &changes);
    test_farm_confirm(farm);
    test_take(farm, "logger", "oxygen.csv",
              WIDE "2026-05-02 11:00,,5.5,,\n2026-05-02 12:00,,3,,\n2026-05-05 12:00,,3,,\n");
    assert_string_equal(standing_of(farm, "2026-05-01", "oxygen-floor"), "outside: below 5");
    assert_done(correct(farm, &low, "left out", NULL, &done, &err), &err);
    assert_string_equal(standing_of(farm, "2026-05-01", "oxygen-floor"), "outside: below 5");
    assert_true(correction_told(farm, 0).outside_to_inside);
}

static void correct_seen(struct test_farm *farm, const struct reading_ref *ref, const char *value,
                         const char *second_person)
{
    struct correction_order order = {
        .kind = "value", .value = value, .reason = "misread", .second_person = second_person};
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    assert_done(
        reading_correct(farm->db, farm->mem, &farm->open, ref, &order, &farm->act, &done, &err),
        &err);
}

static const struct reading_ref on_may_18 = {
    .station = "outlet", .parameter = "suspended-solids", .at = 1779094800 * SECOND_US};

/* What two saw took the month inside; what one did alone beside it moved nothing. */
static void a_lone_correction_is_not_told_for_what_a_seconded_one_moved(void **state)
{
    struct test_farm *farm = *state;

    samples_take(farm);
    correct_seen(farm, &on_may_4, "39", "quinn");
    correct_seen(farm, &on_may_18, "13", NULL);
    assert_true(correction_told(farm, 0).outside_to_inside);
    assert_false(correction_told(farm, 1).outside_to_inside);
}

/* 44 is above 40 by itself; 14 never mattered. */
static void of_two_lone_corrections_the_one_that_moved_nothing_is_not_told(void **state)
{
    struct test_farm *farm = *state;

    samples_take(farm);
    corrected(farm, "value", "39");
    correct_seen(farm, &on_may_18, "13", NULL);
    assert_true(correction_told(farm, 0).outside_to_inside);
    assert_false(correction_told(farm, 1).outside_to_inside);
}

/* A mean of 33 is above 30, one of 29.5 is not: neither of the two was needed alone. */
static void corrections_that_moved_a_figure_only_together_are_both_told(void **state)
{
    struct test_farm *farm = *state;

    test_take(farm, "laboratory", "may.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,33,mg/L,,\n"
                  "S2,,,Out,2026-05-18 09:00,TSS,33,mg/L,,\n");
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"), "outside: above 30");
    corrected(farm, "value", "26");
    correct_seen(farm, &on_may_18, "26", NULL);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"), "within");
    assert_true(correction_told(farm, 0).outside_to_inside);
    assert_true(correction_told(farm, 1).outside_to_inside);
    assert_string_equal(correction_told(farm, 1).moved[0], "solids-mean");
}

/* 44 to 39 took it inside; that the 39 was then left out hides nothing. */
static void a_leave_out_does_not_hide_what_a_correction_before_it_moved(void **state)
{
    struct test_farm *farm = *state;

    samples_take(farm);
    corrected(farm, "value", "39");
    corrected(farm, "left out", NULL);
    assert_true(correction_told(farm, 0).outside_to_inside);
    assert_false(correction_told(farm, 1).outside_to_inside);
    assert_string_equal(correction_told(farm, 1).value_before, "39 mg/L");
}

/* 14 became 45 and 45 became 14 again, each by one person: only the last took anything inside. */
static void a_value_moved_out_and_in_again_is_told_once(void **state)
{
    struct test_farm *farm = *state;

    test_take(farm, "laboratory", "may.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,14,mg/L,,\n"
                  "S2,,,Out,2026-05-18 09:00,TSS,12,mg/L,,\n");
    corrected(farm, "value", "45");
    corrected(farm, "value", "14");
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "within");
    assert_false(correction_told(farm, 0).outside_to_inside);
    assert_true(correction_told(farm, 1).outside_to_inside);
    assert_string_equal(correction_told(farm, 1).value_before, "45 mg/L");
}

/* Left out, put back and corrected: putting 44 back took nothing inside, the correction did. */
static void what_was_put_back_is_not_told_as_moved(void **state)
{
    struct test_farm *farm = *state;

    samples_take(farm);
    corrected(farm, "left out", NULL);
    corrected(farm, "put back", NULL);
    corrected(farm, "value", "39");
    assert_false(correction_told(farm, 0).outside_to_inside);
    assert_false(correction_told(farm, 1).outside_to_inside);
    assert_true(correction_told(farm, 2).outside_to_inside);
}

static size_t moved_count(struct test_farm *farm)
{
    struct discharge_month told = lists_told(farm);
    size_t count = 0;

    for (size_t i = 0; i < told.correction_count; i++)
        count += told.corrections[i].outside_to_inside && !told.corrections[i].second_person;

    return count;
}

static bool see(struct test_farm *farm, const char *person, int32_t line, size_t *rows,
                struct err *err)
{
    const struct act act = test_act(person, "2026-07-11 12:00");
    const struct aside_ref ref = {.file_name = "odd.csv", .line = line};
    struct aside_seen seen = {.rows = 0};
    bool done = aside_see(farm->db, farm->mem, &farm->open, &ref, &act, &seen, err);

    *rows = seen.rows;

    return done;
}

static void a_second_person_sees_a_row_left_out_later_and_it_is_told_no_more(void **state)
{
    struct test_farm *farm = *state;
    struct err err = ERR_INIT;
    size_t rows = 0;

    odd_takes_it_outside(farm);
    assert_fails(see(farm, "quinn", 2, &rows, &err), ERR_NOT_FOUND, &err);
    odd_left_out(farm, NULL);
    assert_int_equal(moved_count(farm), 1);
    assert_string_equal(correction_told(farm, 0).agree,
                        "weirbook aside seen odd.csv 2 --by PERSON");
    assert_fails(see(farm, "pat", 2, &rows, &err), ERR_CONFLICT, &err);
    assert_fails(see(farm, "rory", 2, &rows, &err), ERR_DENIED, &err);
    assert_fails(see(farm, "quinn", 3, &rows, &err), ERR_NOT_FOUND, &err);
    assert_done(see(farm, "quinn", 0, &rows, &err), &err);
    assert_int_equal(rows, 1);
    assert_int_equal(moved_count(farm), 0);
    assert_string_equal(correction_told(farm, 0).second_person, "Quinn Flow (invented)");
    assert_fails(see(farm, "quinn", 2, &rows, &err), ERR_CONFLICT, &err);
}

static struct type_order typing_of(const char *value, const char *unit)
{
    return (struct type_order){.ref = {.file_name = "odd.csv", .line = 2},
                               .value = value,
                               .unit = unit,
                               .at = INSTANT_NONE,
                               .reason = "the laboratory phoned"};
}

/* 44 of no readable unit left the month open; nothing was outside, so nothing came inside. */
static void what_was_never_outside_is_not_told_as_moved_and_typing_is_told_as_typing(void **state)
{
    struct test_farm *farm = *state;
    struct type_order order = typing_of("31", "mg/L");
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    test_take(farm, "laboratory", "odd.csv", LAB "S3,,,Out,2026-05-20 09:00,TSS,44,mgl,,\n");
    assert_true(str_starts(standing_of(farm, "2026-05-01", "solids-each"), "not assessable"));
    assert_done(aside_type(farm->db, farm->mem, &farm->open, &order, &farm->act, &done, &err),
                &err);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "within");
    assert_int_equal(moved_count(farm), 0);
    assert_string_equal(correction_told(farm, 0).new_value,
                        "set aside, then typed as unit mg/L, value 31");
}

static void rule_made(struct test_farm *farm, const struct source_rule_order *order)
{
    struct source_files_mended files = {.count = 0};
    struct err err = ERR_INIT;

    assert_done(source_rule_make(farm->db, farm->mem, &farm->open, order, &farm->act, &files, &err),
                &err);
}

/* 16 read again by a rule, beside a 44 that is outside before and after. */
static void a_row_read_again_by_a_rule_is_not_told_where_the_month_stays_outside(void **state)
{
    const struct source_rule_order order = {"laboratory", "unit",          "mgl",
                                            "mg/L",       "they write so", NULL};
    struct test_farm *farm = *state;

    test_take(farm, "laboratory", "may.csv", LAB "S1,,,Out,2026-05-04 09:00,TSS,44,mg/L,,\n");
    test_take(farm, "laboratory", "odd.csv", LAB "S3,,,Out,2026-05-20 09:00,TSS,16,mgl,,\n");
    rule_made(farm, &order);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "outside: above 40");
    assert_int_equal(moved_count(farm), 0);
}

static void a_second_person_may_agree_to_a_leave_out_later(void **state)
{
    struct test_farm *farm = *state;
    struct correction_order order = {
        .kind = "left out", .reason = "I saw the bottle", .second_person = "quinn"};
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    samples_take(farm);
    corrected(farm, "left out", NULL);
    assert_int_equal(moved_count(farm), 1);
    assert_fails(correct(farm, &on_may_4, "left out", NULL, &done, &err), ERR_CONFLICT, &err);
    assert_done(reading_correct(farm->db, farm->mem, &farm->open, &on_may_4, &order, &farm->act,
                                &done, &err),
                &err);
    assert_int_equal(moved_count(farm), 0);
}

/* What one person alone took from not assessable to within, of solids in each sample. */
static size_t cleared_count(struct test_farm *farm)
{
    struct discharge_month told = lists_told(farm);
    size_t count = 0;

    for (size_t i = 0; i < told.correction_count; i++)
        for (size_t j = 0; j < told.corrections[i].cleared_count; j++)
            count += !told.corrections[i].second_person &&
                     str_equal(told.corrections[i].cleared[j], "solids-each");

    return count;
}

/* 14 is within; a result that is no number may have been anything. */
static void uncounted_leaves_it_open(struct test_farm *farm)
{
    test_take(farm, "laboratory", "may.csv", LAB "S1,,,Out,2026-05-04 09:00,TSS,14,mg/L,,\n");
    test_take(farm, "laboratory", "odd.csv", LAB "S3,,,Out,2026-05-20 09:00,TSS,TNTC,mg/L,,\n");
    assert_true(str_starts(standing_of(farm, "2026-05-01", "solids-each"), "not assessable"));
}

static void a_result_too_numerous_to_count_that_one_person_left_out_is_told(void **state)
{
    struct test_farm *farm = *state;
    struct err err = ERR_INIT;
    size_t rows = 0;

    uncounted_leaves_it_open(farm);
    odd_left_out(farm, NULL);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "within");
    assert_int_equal(cleared_count(farm), 1);
    assert_int_equal(moved_count(farm), 0);
    assert_done(see(farm, "quinn", 2, &rows, &err), &err);
    assert_int_equal(cleared_count(farm), 0);
}

static void a_result_that_one_person_made_blank_by_a_rule_is_told(void **state)
{
    const struct source_rule_order order = {
        .source = "laboratory", .kind = "blank", .word = "TNTC", .reason = "they write so"};
    struct test_farm *farm = *state;

    uncounted_leaves_it_open(farm);
    rule_made(farm, &order);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "within");
    assert_int_equal(cleared_count(farm), 1);
}

/* Above 20 may be above 40. */
static void a_greater_than_that_one_person_corrected_is_told(void **state)
{
    struct test_farm *farm = *state;

    test_take(farm, "laboratory", "may.csv", LAB "S1,,,Out,2026-05-04 09:00,TSS,>20,mg/L,,\n");
    assert_true(str_starts(standing_of(farm, "2026-05-01", "solids-each"), "not assessable"));
    corrected(farm, "value", "24");
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "within");
    assert_int_equal(cleared_count(farm), 1);
}

/* 16 of a unit that nobody knew may have been in g/L; its own number is judged now. */
static void a_number_that_is_judged_once_its_unit_is_known_hides_nothing(void **state)
{
    const struct source_rule_order order = {"laboratory", "unit",          "mgl",
                                            "mg/L",       "they write so", NULL};
    struct test_farm *farm = *state;

    test_take(farm, "laboratory", "odd.csv", LAB "S3,,,Out,2026-05-20 09:00,TSS,16,mgl,,\n");
    assert_true(str_starts(standing_of(farm, "2026-05-01", "solids-each"), "not assessable"));
    rule_made(farm, &order);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "within");
    assert_int_equal(cleared_count(farm), 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(a_row_left_out_by_a_person_is_told_with_its_reason),
        FARM_TEST(a_row_left_out_by_one_person_that_clears_a_month_is_told),
        FARM_TEST(a_row_of_another_parameter_is_not_told_for_what_a_row_beside_it_moved),
        FARM_TEST(a_row_left_out_by_two_persons_names_the_second),
        FARM_TEST(a_row_left_out_that_clears_nothing_is_told_as_such),
        FARM_TEST(a_correction_that_clears_a_month_is_told),
        FARM_TEST(a_second_person_may_agree_later),
        FARM_TEST(a_leave_out_with_a_second_person_names_him),
        FARM_TEST(a_value_that_moved_inside_is_told_though_the_month_stays_outside),
        FARM_TEST(a_day_that_moved_inside_is_told_though_the_month_stays_outside),
        FARM_TEST(a_lone_correction_is_not_told_for_what_a_seconded_one_moved),
        FARM_TEST(of_two_lone_corrections_the_one_that_moved_nothing_is_not_told),
        FARM_TEST(corrections_that_moved_a_figure_only_together_are_both_told),
        FARM_TEST(a_leave_out_does_not_hide_what_a_correction_before_it_moved),
        FARM_TEST(a_value_moved_out_and_in_again_is_told_once),
        FARM_TEST(what_was_put_back_is_not_told_as_moved),
        FARM_TEST(a_second_person_sees_a_row_left_out_later_and_it_is_told_no_more),
        FARM_TEST(what_was_never_outside_is_not_told_as_moved_and_typing_is_told_as_typing),
        FARM_TEST(a_row_read_again_by_a_rule_is_not_told_where_the_month_stays_outside),
        FARM_TEST(a_second_person_may_agree_to_a_leave_out_later),
        FARM_TEST(a_result_too_numerous_to_count_that_one_person_left_out_is_told),
        FARM_TEST(a_result_that_one_person_made_blank_by_a_rule_is_told),
        FARM_TEST(a_greater_than_that_one_person_corrected_is_told),
        FARM_TEST(a_number_that_is_judged_once_its_unit_is_known_hides_nothing),
    };

    return cmocka_run_group_tests_name("app/corrections_told", tests, test_farms_setup,
                                       test_farms_teardown);
}
