/*
 * Typing what is right in place of what could not be read: the row is stored with its origin, what
 * it said stays, and what is still wrong with it is told.
 */
#include <string.h>

#include "app/compare_aside.h"
#include "app/month.h"
#include "app/type_aside.h"

static const char stored[] =
    "select concat_ws(' ', r.line || ':' || r.col, s.station, s.parameter, r.qualifier::text || "
    "r.reported, r.unit, to_char(r.at at time zone 'UTC', 'DD HH24:MI')) "
    "from reading r join series s using (farm_id, series_id) where r.farm_id = $1 "
    "order by r.receipt, r.line, r.col";
static const char typed_rows[] =
    "select concat_ws(' ', t.line || ':' || t.col, t.what, t.typed, '(' || n.person || ': ' || "
    "n.reason || ')') from set_aside_typed t join set_aside_answer n "
    "using (farm_id, receipt, line, col) where t.farm_id = $1 order by t.line, t.col, t.what";

static struct type_order at_line(const char *file, int32_t line, int32_t column)
{
    return (struct type_order){.ref = {.file_name = file, .line = line, .column = column},
                               .at = INSTANT_NONE,
                               .reason = "the certificate says so"};
}

static bool type(struct test_farm *farm, const struct type_order *order,
                 struct correction_done *done, struct err *err)
{
    return aside_type(farm->db, farm->mem, &farm->open, order, &farm->act, done, err);
}

static struct correction_done typed(struct test_farm *farm, const struct type_order *order)
{
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    assert_done(type(farm, order, &done, &err), &err);

    return done;
}

static void a_value_that_was_misspelt_is_stored_where_it_stood(void **state)
{
    struct test_farm *farm = *state;
    struct type_order order = at_line("lab.csv", 3, 0);

    test_take(farm, "laboratory", "lab.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,14,mg/L,,\n"
                  "S2,,,Out,2026-05-05 09:00,TSS,4O,mg/L,,\n");
    order.value = "<40";

    struct correction_done done = typed(farm, &order);

    assert_string_equal(done.before, "S2,,,Out,2026-05-05 09:00,TSS,4O,mg/L,,");
    assert_string_equal(done.after, "value <40");
    assert_string_equal(test_query(farm, stored), "2:7 outlet suspended-solids =14 mg/L 04 09:00\n"
                                                  "3:7 outlet suspended-solids <40 mg/L 05 09:00");
    assert_string_equal(test_query(farm, typed_rows),
                        "3:7 value <40 (pat: the certificate says so)");
    /* What the row said first stays, answered; it does not wait any longer. */
    assert_string_equal(
        test_query(farm, "select row_text || ' ' || answer from set_aside join set_aside_answer "
                         "using (farm_id, receipt, line, col) where farm_id = $1"),
        "S2,,,Out,2026-05-05 09:00,TSS,4O,mg/L,, accepted");
    assert_int_equal(test_number(farm, "select count(*) from sample where farm_id = $1"), 2);
    assert_true(test_number(farm, "select count(*) from to_judge where farm_id = $1 and "
                                  "first_day <= '2026-05-05' and last_day >= '2026-05-05'") > 0);
}

/* Each part of a row alone, and two of one row at once. */
static void each_part_of_a_row_can_be_typed(void **state)
{
    struct test_farm *farm = *state;
    struct type_order time = at_line("lab.csv", 2, 0);
    struct type_order station = at_line("lab.csv", 3, 0);
    struct type_order parameter = at_line("lab.csv", 4, 0);
    struct type_order unit = at_line("lab.csv", 5, 0);
    struct type_order both = at_line("lab.csv", 6, 0);

    test_take(farm, "laboratory", "lab.csv",
              LAB "S1,,,Out,2026-05-34 09:00,TSS,14,mg/L,,\n"
                  "S2,,,Outt,2026-05-05 09:00,TSS,15,mg/L,,\n"
                  "S3,,,Out,2026-05-06 09:00,TTS,16,mg/L,,\n"
                  "S4,,,Out,2026-05-07 09:00,TSS,17,mgl,,\n"
                  "S5,,,Out,2026-05-08 09:00,TTS,1B,mg/L,,\n");
    time.at = test_at("2026-05-04 09:30");
    station.station = "outlet";
    parameter.parameter = "suspended-solids";
    unit.unit = "mg/L";
    both.value = "18";
    typed(farm, &time);
    typed(farm, &station);
    typed(farm, &parameter);
    typed(farm, &unit);

    struct correction_done done = {0};
    struct err err = ERR_INIT;

    assert_fails(type(farm, &both, &done, &err), ERR_INVALID, &err);
    assert_non_null(strstr(err.text, "TTS"));
    both.parameter = "suspended-solids";
    assert_string_equal(typed(farm, &both).after, "value 18, parameter suspended-solids");
    assert_string_equal(test_query(farm, stored), "2:7 outlet suspended-solids =14 mg/L 04 09:30\n"
                                                  "3:7 outlet suspended-solids =15 mg/L 05 09:00\n"
                                                  "4:7 outlet suspended-solids =16 mg/L 06 09:00\n"
                                                  "5:7 outlet suspended-solids =17 mg/L 07 09:00\n"
                                                  "6:7 outlet suspended-solids =18 mg/L 08 09:00");
}

/* A cell of a wide file is a value by itself; its row's time is of all of them. */
static void cells_of_a_wide_row_are_typed_one_by_one_and_its_time_for_all(void **state)
{
    struct test_farm *farm = *state;
    struct type_order cell = at_line("wide.csv", 2, 3);
    struct type_order row = at_line("wide.csv", 3, 0);
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    test_take(farm, "logger", "wide.csv",
              WIDE "2026-05-04 09:00,12.1,8..1,ok,seven\n"
                   "2026-05-04 29:10,12.2,8.2,ok,7.2\n");
    cell.value = "8.1";
    typed(farm, &cell);
    row.at = test_at("2026-05-04 09:10");
    typed(farm, &row);
    assert_string_equal(test_query(farm, stored), "2:2 outlet temperature =12.1 degC 04 09:00\n"
                                                  "2:3 outlet oxygen =8.1 mg/L 04 09:00\n"
                                                  "3:2 outlet temperature =12.2 degC 04 09:10\n"
                                                  "3:3 outlet oxygen =8.2 mg/L 04 09:10\n"
                                                  "3:5 tank oxygen =7.2 mg/L 04 09:10");
    /* The other cell of line 2 waits as before, and its unit stands in the header. */
    assert_int_equal(test_number(farm, "select count(*) from set_aside a where farm_id = $1 and "
                                       "not exists (select 1 from set_aside_answer n where "
                                       "n.farm_id = a.farm_id and n.line = a.line and "
                                       "n.col = a.col)"),
                     1);
    cell = at_line("wide.csv", 2, 5);
    cell.unit = "mg/L";
    assert_fails(type(farm, &cell, &done, &err), ERR_INVALID, &err);
    cell.unit = NULL;
    cell.station = "tank";
    assert_fails(type(farm, &cell, &done, &err), ERR_INVALID, &err);
}

static void what_can_not_be_right_changes_nothing(void **state)
{
    struct test_farm *farm = *state;
    struct type_order order = at_line("lab.csv", 2, 0);
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    test_take(farm, "laboratory", "lab.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,4O,mg/L,,\n"
                  "S2,,,Out,2026-05-05 09:00,TSS,15,mg/L,,\n");
    assert_fails(type(farm, &order, &done, &err), ERR_INVALID, &err);
    order.value = "forty";
    assert_fails(type(farm, &order, &done, &err), ERR_INVALID, &err);
    order.value = "-4";
    assert_fails(type(farm, &order, &done, &err), ERR_INVALID, &err);
    order.value = "";
    assert_fails(type(farm, &order, &done, &err), ERR_INVALID, &err);
    order.value = "40";
    order.unit = "degC";
    assert_fails(type(farm, &order, &done, &err), ERR_INVALID, &err);
    order.unit = NULL;
    order.at = farm->act.at + 3600 * SECOND_US;
    assert_fails(type(farm, &order, &done, &err), ERR_INVALID, &err);
    order.at = INSTANT_NONE;
    order.station = "pier";
    assert_fails(type(farm, &order, &done, &err), ERR_NOT_FOUND, &err);
    order.station = NULL;
    order.reason = "";
    assert_fails(type(farm, &order, &done, &err), ERR_INVALID, &err);
    order.reason = "words";
    order.ref.line = 3;
    assert_fails(type(farm, &order, &done, &err), ERR_NOT_FOUND, &err);
    order.ref.line = 2;
    farm->act = test_act("rory", "2026-07-10 12:00");
    assert_fails(type(farm, &order, &done, &err), ERR_DENIED, &err);
    assert_int_equal(test_number(farm, "select count(*) from set_aside_answer where farm_id = $1"),
                     0);
    assert_int_equal(test_number(farm, "select count(*) from set_aside_typed where farm_id = $1"),
                     0);
}

/* By the source's clock, UTC, and told in the farm's own time, an hour ahead in May. */
static void a_time_can_be_typed_as_the_source_writes_it(void **state)
{
    struct test_farm *farm = *state;
    struct type_order order = at_line("lab.csv", 2, 0);
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    test_take(farm, "laboratory", "lab.csv", LAB "S1,,,Out,2026-05-34 09:00,TSS,14,mg/L,,\n");
    order.time = "04/05/2026 09:30";
    assert_fails(type(farm, &order, &done, &err), ERR_INVALID, &err);
    assert_string_equal(err.text, "'04/05/2026 09:30' is not a time");
    assert_non_null(strstr(err.hint, "or as the source does: YYYY-MM-DD hh:mm"));
    order.time = "2026-05-04 09:30";
    assert_string_equal(typed(farm, &order).after, "time 2026-05-04 10:30");
    assert_string_equal(test_query(farm, stored), "2:7 outlet suspended-solids =14 mg/L 04 09:30");
}

/* Two samples with one number on the sheet: the number could not be typed right. */
static void the_number_of_a_sample_can_be_typed(void **state)
{
    struct test_farm *farm = *state;
    struct type_order order = at_line("lab.csv", 3, 0);
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    test_take(farm, "laboratory", "lab.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,14,mg/L,,\n"
                  "S1,,,Out,2026-05-05 09:00,TSS,15,mg/L,,\n");
    order.sample = "";
    assert_fails(type(farm, &order, &done, &err), ERR_INVALID, &err);
    order.sample = "S2";
    assert_string_equal(typed(farm, &order).after, "sample S2");
    assert_string_equal(test_query(farm, stored), "3:7 outlet suspended-solids =15 mg/L 05 09:00");
    assert_string_equal(test_query(farm, typed_rows),
                        "3:7 sample S2 (pat: the certificate says so)");
    assert_int_equal(test_number(farm, "select count(*) from sample where farm_id = $1 and "
                                       "sample = 'S2'"),
                     1);
}

/* With its time mended the row speaks of something stored already, and says otherwise. */
static void a_row_that_then_contradicts_what_is_stored_goes_on_waiting(void **state)
{
    struct test_farm *farm = *state;
    struct type_order order = at_line("wide.csv", 3, 2);
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    test_take(farm, "logger", "wide.csv",
              WIDE "2026-05-04 09:00,12.1,8.1,ok,7.1\n"
                   "2026-05-04 29:00,12.9,,,\n");
    order.at = test_at("2026-05-04 09:00");
    assert_fails(type(farm, &order, &done, &err), ERR_INVALID, &err);
    assert_non_null(strstr(err.text, "contradicts"));
    assert_int_equal(test_number(farm, "select count(*) from set_aside_answer where farm_id = $1"),
                     0);
}

/* The whole month before and after: what was not assessable is judged by what was typed. */
static void the_month_is_judged_by_what_was_typed(void **state)
{
    struct test_farm *farm = *state;
    struct type_order order = at_line("lab.csv", 2, 0);

    test_take(farm, "laboratory", "lab.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,4O.5,mg/L,,\n"
                  "S2,,,Out,2026-05-18 09:00,TSS,15,mg/L,,\n");
    assert_true(str_starts(standing_of(farm, "2026-05-01", "solids-each"), "not assessable"));
    order.value = "40.5";
    typed(farm, &order);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "outside: above 40");
}

static void contradicting_values_stand_side_by_side(void **state)
{
    struct test_farm *farm = *state;
    const struct aside_ref again = {.file_name = "two.csv", .line = 2};
    const struct aside_ref here = {.file_name = "three.csv", .line = 3};
    const struct aside_ref none = {.file_name = "four.csv", .line = 2};
    struct compared compared = {.count = 0};
    struct err err = ERR_INIT;

    test_take(farm, "laboratory", "one.csv", LAB "S1,,,Out,2026-05-04 09:00,TSS,31,mg/L,,\n");
    test_take(farm, "laboratory", "two.csv", LAB "S1,,,Out,2026-05-04 09:00,TSS,<13,mg/L,,\n");
    assert_done(aside_compare(farm->db, farm->mem, &farm->open, &again, &compared, &err), &err);
    assert_int_equal(compared.count, 2);
    assert_true(compared.items[0].stored);
    assert_string_equal(compared.items[0].value, "31 mg/L");
    assert_string_equal(compared.items[0].file_name, "one.csv");
    assert_string_equal(compared.items[0].person, "pat");
    assert_true(compared.items[1].asked);
    assert_string_equal(compared.items[1].value, "<13 mg/L");
    assert_string_equal(compared.items[1].file_name, "two.csv");

    test_take(farm, "laboratory", "three.csv",
              LAB "S2,,,Out,2026-05-05 09:00,TSS,31,mg/L,,\n"
                  "S2,,,Out,2026-05-05 09:00,TSS,13,mg/L,,\n"
                  "S3,,,Out,2026-05-06 09:00,TSS,13,mg/L,,\n");
    assert_done(aside_compare(farm->db, farm->mem, &farm->open, &here, &compared, &err), &err);
    assert_int_equal(compared.count, 2);
    assert_false(compared.items[0].stored || compared.items[0].asked || !compared.items[1].asked);
    test_take(farm, "laboratory", "four.csv", LAB "S4,,,Out,2026-05-07 09:00,TSS,1O,mg/L,,\n");
    assert_fails(aside_compare(farm->db, farm->mem, &farm->open, &none, &compared, &err),
                 ERR_INVALID, &err);
}

/* Two rows of one time against a third of another: each shows all three, with what it is of. */
static void all_rows_of_a_sample_told_two_ways_stand_side_by_side(void **state)
{
    struct test_farm *farm = *state;
    struct err err = ERR_INIT;

    test_take(farm, "laboratory", "one.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,11,mg/L,,\n"
                  "S1,,,Out,2026-05-04 09:00,TSS,51,mg/L,,\n"
                  "S1,,,Out,2026-05-05 10:00,NH4,2,mg/L,,\n"
                  "S2,,,Out,2026-05-05 10:00,TSS,12,mg/L,,\n");
    for (int32_t line = 2; line <= 4; line++) {
        const struct aside_ref ref = {.file_name = "one.csv", .line = line};
        struct compared compared = {.count = 0};

        assert_done(aside_compare(farm->db, farm->mem, &farm->open, &ref, &compared, &err), &err);
        assert_int_equal(compared.count, 3);
        assert_string_equal(compared.items[1].value,
                            "51 mg/L, suspended-solids of outlet, 2026-05-04 10:00");
        assert_true(compared.items[line - 2].asked);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(a_value_that_was_misspelt_is_stored_where_it_stood),
        FARM_TEST(each_part_of_a_row_can_be_typed),
        FARM_TEST(cells_of_a_wide_row_are_typed_one_by_one_and_its_time_for_all),
        FARM_TEST(what_can_not_be_right_changes_nothing),
        FARM_TEST(a_time_can_be_typed_as_the_source_writes_it),
        FARM_TEST(the_number_of_a_sample_can_be_typed),
        FARM_TEST(a_row_that_then_contradicts_what_is_stored_goes_on_waiting),
        FARM_TEST(the_month_is_judged_by_what_was_typed),
        FARM_TEST(contradicting_values_stand_side_by_side),
        FARM_TEST(all_rows_of_a_sample_told_two_ways_stand_side_by_side),
    };

    return cmocka_run_group_tests_name("app/type_aside", tests, test_farms_setup,
                                       test_farms_teardown);
}
