/*
 * Reading again what was set aside of a file, on a real database: what the source has learnt since
 * answers its rows, and nothing else does.
 */
#include <string.h>

#include "app/correct.h"
#include "app/read_again.h"
#include "app/roots.h"
#include "base/str.h"

#define WIDE "Time,Temp (degC),Oxygen (mg/L),Flag,Tank oxygen (mg/L)\n"
#define LAB "Sample,Rep,For,Site,Time,Test,Result,Unit,LOD,LOQ\n"

static const char answers[] =
    "select concat_ws(' ', a.line || ':' || a.col, coalesce(n.answer, 'waits'), n.reason) "
    "from set_aside a left join set_aside_answer n using (farm_id, receipt, line, col) "
    "where farm_id = $1 order by a.line, a.col";

static struct read_again_result again(struct test_farm *farm, const char *file_name)
{
    struct read_again_result result = {0};
    struct err err = ERR_INIT;

    assert_done(
        read_again(farm->db, farm->mem, &farm->open, file_name, NULL, &farm->act, &result, &err),
        &err);

    return result;
}

static void learn(struct test_farm *farm, const char *old, const char *with)
{
    struct farm_changes changes = {0};

    test_farm_load(farm, test_swap(farm->mem, farm->text, old, with), &farm->act, &changes);
}

static void a_cell_that_now_reads_as_blank_waits_no_longer(void **state)
{
    struct test_farm *farm = *state;

    test_take(farm, "logger", "wide.csv",
              WIDE "2026-05-04 09:00,12.1,8.1,ok,7.1\n"
                   "2026-05-04 09:10,probe cleaned,8.2,ok,about 7\n"
                   "2026-05-04 09:20,12.3,probe cleaned,ok,7.3\n");
    learn(farm, "    flag words: {ok: use",
          "    blanks: [Probe cleaned]\n    flag words: {ok: use");

    struct read_again_result result = again(farm, "wide.csv");

    assert_int_equal(result.waited, 3);
    assert_int_equal(result.accepted, 0);
    assert_int_equal(result.blank, 2);
    assert_string_equal(test_query(farm, answers),
                        "3:2 left out blank by version 2 of the farm file\n"
                        "3:5 waits\n"
                        "4:3 left out blank by version 2 of the farm file");
    assert_true(test_number(farm, "select count(*) from to_judge where farm_id = $1 and "
                                  "first_day <= '2026-05-04' and last_day >= '2026-05-04'") > 0);
    assert_int_equal(again(farm, "wide.csv").blank, 0);
}

static void a_row_that_now_reads_as_blank_is_left_out_where_nothing_else_can_be_read(void **state)
{
    struct test_farm *farm = *state;

    test_take(farm, "laboratory", "lab.csv", LAB "S1,,,Out,2026-05-04 09:00,TSS,lost,mg/L,,\n");
    learn(farm, "    not detected: [ND]\n", "    not detected: [ND]\n    blanks: [lost]\n");

    struct read_again_result result = again(farm, "lab.csv");

    assert_int_equal(result.accepted, 0);
    assert_int_equal(result.blank, 1);
    assert_string_equal(test_query(farm, answers),
                        "2:7 left out blank by version 2 of the farm file");
    assert_int_equal(test_number(farm, "select count(*) from reading where farm_id = $1"), 0);
}

/* As it says of them: leave the wrong one out, then read the file again. */
static void of_two_rows_that_contradict_each_other_the_right_one_can_be_taken(void **state)
{
    struct test_farm *farm = *state;
    struct aside_ref wrong = {.file_name = "lab.csv", .line = 3};
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    test_take(farm, "laboratory", "lab.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,31,mg/L,,\n"
                  "S1,,,Out,2026-05-04 09:00,TSS,13,mg/L,,\n");
    assert_non_null(strstr(test_query(farm, "select todo from set_aside where farm_id = $1"),
                           "weirbook aside read-again FILE takes the other"));
    assert_int_equal(again(farm, "lab.csv").accepted, 0);
    assert_done(aside_leave_out(farm->db, farm->mem, &farm->open, &wrong, "a slip", NULL,
                                &farm->act, &done, &err),
                &err);
    assert_int_equal(again(farm, "lab.csv").accepted, 1);
    assert_string_equal(test_query(farm, "select reported::text from reading where farm_id = $1"),
                        "31");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(a_cell_that_now_reads_as_blank_waits_no_longer),
        FARM_TEST(a_row_that_now_reads_as_blank_is_left_out_where_nothing_else_can_be_read),
        FARM_TEST(of_two_rows_that_contradict_each_other_the_right_one_can_be_taken),
    };

    return cmocka_run_group_tests_name("app/read_again", tests, test_farms_setup,
                                       test_farms_teardown);
}
