/*
 * Rows set aside answered together: what fits a filter is left out by one act with one entry,
 * counts as if left out by itself, and waits again where it is put back.
 */
#include "app/aside_bulk.h"

#include <string.h>

#include "app/corrections_told.h"
#include "app/month.h"
#include "app/see_aside.h"

enum { BAD = 25 };

/* Two sound samples, then a sheet with 25 results that can't be read, and one of another parameter.
 */
static void sheets_take(struct test_farm *farm)
{
    struct buf text = buf_new(farm->mem);

    test_take(farm, "laboratory", "good.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,14,mg/L,,\n"
                  "S2,,,Out,2026-05-18 09:00,TSS,24,mg/L,,\n");
    buf_add_text(&text, LAB);
    for (int i = 0; i < BAD; i++)
        buf_addf(&text, "B%d,,,Out,2026-05-%02d 10:00,TSS,?,mg/L,,\n", i, i + 1);
    buf_add_text(&text, "B90,,,Out,2026-05-28 10:00,NH4,odd,mg/L,,\n");
    test_take(farm, "laboratory", "bad.csv", text.data);
}

static bool answer(struct test_farm *farm, bool back, const struct aside_filter *filter,
                   const char *reason, const char *second, struct aside_bulk_done *done,
                   struct err *err)
{
    const struct aside_bulk_order order = {"bad.csv", filter, reason, second};

    return back ? asides_put_back(farm->db, farm->mem, &farm->open, &order, &farm->act, done, err)
                : asides_leave_out(farm->db, farm->mem, &farm->open, &order, &farm->act, done, err);
}

/* All of one parameter; with lines as well, if not 0. */
static struct aside_filter solids(int first, int last)
{
    static const char *const words[] = {"suspended-solids"};

    return (struct aside_filter){.words = words,
                                 .word_count = 1,
                                 .first_line = first,
                                 .last_line = last,
                                 .from = DAY_NONE,
                                 .to = DAY_NONE};
}

static int64_t entries(const struct test_farm *farm)
{
    return test_number(farm, "select count(*) from ledger where farm_id = $1");
}

static void rows_of_one_kind_are_left_out_by_one_act_and_one_entry(void **state)
{
    struct test_farm *farm = *state;
    const struct aside_filter filter = solids(0, 0);
    struct aside_bulk_done done = {0};
    struct err err = ERR_INIT;

    sheets_take(farm);
    assert_non_null(strstr(standing_of(farm, "2026-05-01", "solids-mean"), "not assessable"));

    int64_t before = entries(farm);

    assert_done(answer(farm, false, &filter, "the run failed", NULL, &done, &err), &err);
    assert_int_equal(done.values, BAD);
    assert_int_equal(done.lines, BAD);
    assert_true(done.left_more);
    assert_string_equal(done.places, "column 7: 2-26");
    assert_int_equal(entries(farm), before + 1);
    assert_true(test_number(farm, "select count(*) from to_judge where farm_id = $1") > 0);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"), "within");
    assert_int_equal(test_number(farm, "select count(*) from set_aside_answer_now where farm_id = "
                                       "$1 and reason = 'the run failed'"),
                     BAD);
    assert_fails(answer(farm, false, &filter, "again", NULL, &done, &err), ERR_NOT_FOUND, &err);
}

/* The page lists them as one, for a second person to see as one. */
static void a_report_tells_them_in_one_and_a_second_person_sees_all(void **state)
{
    struct test_farm *farm = *state;
    const struct aside_filter filter = solids(0, 0);
    const struct aside_ref whole = {.file_name = "bad.csv"};
    struct aside_bulk_done done = {0};
    struct discharge_month told = {.corrections = NULL};
    struct act quinn = test_act("quinn", "2026-07-10 12:30");
    struct aside_seen seen = {0};
    struct err err = ERR_INIT;

    sheets_take(farm);
    assert_done(answer(farm, false, &filter, "the run failed", NULL, &done, &err), &err);

    struct judged_month month = month_kept(farm, "2026-05-01", NULL);

    assert_done(
        corrections_told_of(farm->db, farm->mem, &farm->open, &month, farm->act.at, &told, &err),
        &err);
    assert_int_equal(told.correction_count, 1);
    assert_non_null(strstr(told.corrections[0].first_value, "25 rows, lines 2 to 26 of bad.csv"));
    assert_string_equal(told.corrections[0].agree, "weirbook aside seen bad.csv --by PERSON");
    assert_done(aside_see(farm->db, farm->mem, &farm->open, &whole, &quinn, &seen, &err), &err);
    assert_int_equal(seen.rows, BAD);
}

static void what_was_left_out_waits_again_and_can_be_answered_again(void **state)
{
    struct test_farm *farm = *state;
    const struct aside_filter all = solids(0, 0);
    const struct aside_filter two = solids(2, 3);
    struct aside_bulk_done done = {0};
    struct err err = ERR_INIT;

    sheets_take(farm);
    assert_fails(answer(farm, true, &all, "none yet", NULL, &done, &err), ERR_NOT_FOUND, &err);
    assert_done(answer(farm, false, &all, "the run failed", NULL, &done, &err), &err);
    assert_done(answer(farm, true, &two, "not those", NULL, &done, &err), &err);
    assert_int_equal(done.values, 2);
    assert_true(done.left_more);
    assert_non_null(strstr(standing_of(farm, "2026-05-01", "solids-mean"), "not assessable"));
    assert_done(answer(farm, false, &two, "those too", "quinn", &done, &err), &err);
    assert_int_equal(done.values, 2);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"), "within");
    /* Both answers stay on record, and what was put back between. */
    assert_string_equal(test_query(farm, "select nth || ' ' || reason from set_aside_answer where "
                                         "farm_id = $1 and line = 2 order by nth"),
                        "1 the run failed\n2 those too");
    assert_string_equal(test_query(farm, "select nth || ' ' || reason from set_aside_put_back "
                                         "where farm_id = $1 and line = 2"),
                        "1 not those");
}

static void only_what_fits_and_only_by_whom_and_why_it_may_be(void **state)
{
    struct test_farm *farm = *state;
    struct aside_filter filter = solids(0, 0);
    struct aside_bulk_done done = {0};
    struct err err = ERR_INIT;

    sheets_take(farm);
    assert_fails(answer(farm, false, &filter, "", NULL, &done, &err), ERR_INVALID, &err);
    assert_fails(answer(farm, false, &filter, "why", "pat", &done, &err), ERR_INVALID, &err);
    filter.saying = "no such words";
    assert_fails(answer(farm, false, &filter, "why", NULL, &done, &err), ERR_NOT_FOUND, &err);
    filter.saying = "'?'";
    filter.to = day_of("2026-05-10");
    farm->act.person = "rory";
    assert_fails(answer(farm, false, &filter, "why", NULL, &done, &err), ERR_DENIED, &err);
    farm->act.person = "pat";
    assert_done(answer(farm, false, &filter, "why", NULL, &done, &err), &err);
    assert_int_equal(done.values, 10);
}

static void lines_are_read_as_people_write_them(void **state)
{
    static const struct {
        const char *word;
        int first; /* 0: no lines */
        int last;
    } rows[] = {{"12-400", 12, 400}, {"12", 12, 12},       {"Results!3-4", 3, 4}, {"0", 0, 0},
                {"400-12", 0, 0},    {"12-", 0, 0},        {"tank-1", 0, 0},      {"-3", 0, 0},
                {"12-13x", 0, 0},    {"99999999999", 0, 0}};
    struct test_farm *farm = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct aside_filter filter = {.from = DAY_NONE, .to = DAY_NONE};

        if (aside_filter_lines(farm->mem, rows[i].word, &filter) != (rows[i].first > 0) ||
            filter.first_line != rows[i].first || filter.last_line != rows[i].last)
            fail_msg("%s: %d to %d", rows[i].word, (int)filter.first_line, (int)filter.last_line);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(rows_of_one_kind_are_left_out_by_one_act_and_one_entry),
        FARM_TEST(a_report_tells_them_in_one_and_a_second_person_sees_all),
        FARM_TEST(what_was_left_out_waits_again_and_can_be_answered_again),
        FARM_TEST(only_what_fits_and_only_by_whom_and_why_it_may_be),
        FARM_TEST(lines_are_read_as_people_write_them),
    };

    return cmocka_run_group_tests_name("app/aside_bulk", tests, test_farms_setup,
                                       test_farms_teardown);
}
