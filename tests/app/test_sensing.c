/*
 * Sensor tests over stored readings: the same flags by whatever way readings came in, in doubt for
 * verdicts, and gone or new when a reading or a threshold changes.
 */
#include "app/sensing.h"

#include <stdlib.h>
#include <string.h>

#include "app/correct.h"
#include "app/look_flags.h"
#include "app/month.h"

/* EXAMPLE thresholds of an invented farm. */
static const char tests_of[] =
    "\nsensor tests:\n"
    "  - station: outlet\n"
    "    parameter: oxygen\n"
    "    gap: 30 minutes\n"
    "    sensor range: {low: 0, high: 20}\n"
    "    expected range: {low: 2, high: 14}\n"
    "    seasons:\n"
    "      - {from: 05-11, to: 05-12, low: 6}\n"
    "    spike: {suspect: 1, fail: 3}\n"
    "    rate of change: {suspect: 5, per: 1 hour}\n"
    "    flat line: {within: 0.01, suspect after: 2 hours, fail after: 40 readings}\n";

static void tests_load(struct test_farm *farm, const char *text, const char *at)
{
    struct act act = test_act("pat", at);
    struct farm_changes changes = {0};

    test_farm_load(farm, arena_printf(farm->mem, "%s%s", farm->text, text), &act, &changes);
}

/* Everything that is flagged, one a line. */
static char *flags_of(const struct test_farm *farm)
{
    return test_query(farm, "select concat_ws(' ', test, flag, to_char(from_at, 'DD HH24:MI'), "
                            "to_char(until_at, 'DD HH24:MI'), readings, value, continues, words) "
                            "from sensor_flag where farm_id = $1 order by test, from_at, flag");
}

static int64_t flag_count(const struct test_farm *farm, const char *test)
{
    return test_number(
        farm,
        arena_printf(farm->mem,
                     "select count(*) from sensor_flag where farm_id = $1 and test = '%s'", test));
}

static char *row_of(struct arena *mem, instant at, const char *value)
{
    char *time = instant_text(mem, at);

    return arena_printf(mem, "%.10s %.5s,,%s,,\n", time, time + 11, value);
}

/* --- what is flagged ------------------------------------------------------------------------- */

static const char one_day[] =
    WIDE "2026-05-10 11:00,,8.0,,\n"
         "2026-05-10 11:10,,8.1,,\n"
         "2026-05-10 11:20,,12.0,,\n" /* a spike: 3.9 of its neighbours */
         "2026-05-10 11:30,,8.1,,\n"
         "2026-05-10 11:40,,8.0,,\n"
         "2026-05-10 13:00,,1.5,,\n" /* after a gap, below what is expected */
         "2026-05-10 13:10,,1.6,,\n"
         "2026-05-10 13:20,,25,,\n" /* no sensor reads so */
         "2026-05-10 13:30,,1.6,,\n";

static void a_file_is_tested_as_it_comes_in(void **state)
{
    struct test_farm *farm = *state;

    tests_load(farm, tests_of, "2026-07-10 12:01");
    assert_true(test_take(farm, "logger", "a.csv", one_day).straight);
    assert_string_equal(
        flags_of(farm),
        "gap 4 10 11:40 10 13:00 1 1.5 f more than 30 minutes without a reading\n"
        "gross range 3 10 13:00 10 13:10 2 1.5 f not within what is expected, 2 to 14 mg/L\n"
        "gross range 4 10 13:20 10 13:20 1 25 f not within what the sensor can read, 0 to 20 "
        "mg/L\n"
        "gross range 3 10 13:30 10 13:30 1 1.6 f not within what is expected, 2 to 14 mg/L\n"
        "rate of change 3 10 11:20 10 11:30 2 12 f changes by more than 5 mg/L in 1 hour\n"
        "rate of change 3 10 13:20 10 13:30 2 25 f changes by more than 5 mg/L in 1 hour\n"
        "spike 3 10 11:10 10 11:10 1 8.1 f more than 1 mg/L from the mean of its neighbours\n"
        "spike 4 10 11:20 10 11:20 1 12 f more than 3 mg/L from the mean of its neighbours\n"
        "spike 3 10 11:30 10 11:30 1 8.1 f more than 1 mg/L from the mean of its neighbours\n"
        "spike 4 10 13:10 10 13:20 2 1.6 f more than 3 mg/L from the mean of its neighbours");
    assert_int_equal(test_number(farm, "select count(*) from reading where farm_id = $1"), 9);
}

static void staged_rows_are_flagged_alike(void **state)
{
    struct test_farm *farm = *state;
    struct test_farm *other = test_farm_make();

    tests_load(farm, tests_of, "2026-07-10 12:01");
    tests_load(other, tests_of, "2026-07-10 12:01");
    test_take(farm, "logger", "a.csv", one_day);
    assert_false(test_take_staged(other, "logger", "a.csv", one_day).straight);
    assert_string_equal(flags_of(farm), flags_of(other));
    test_farm_drop(&other);
}

/* --- whatever the order ---------------------------------------------------------------------- */

enum { ROWS = 700, PARTS = 7 };

static void values_make(struct arena *mem, const char **rows, unsigned seed)
{
    instant at = test_at("2026-05-10 00:00");
    double value = 8;

    for (size_t i = 0; i < ROWS; i++) {
        seed = seed * 1103515245 + 12345;

        unsigned draw = (seed >> 16) % 100;

        at += (draw == 0 ? 70 : 5) * 60 * SECOND_US;
        value = draw < 3 ? value + 4 : draw < 50 ? value : 8 + (double)(draw % 10) / 10;
        if (i % 300 >= 180) /* a probe that stands still for hours, over midnight too */
            value = 7.5;
        rows[i] = row_of(mem, at, arena_printf(mem, "%.1f", value));
    }
}

/* Rows first..first+count-1, in which every fourth lies in the other half of two. */
static char *part_text(struct arena *mem, const char *const *rows, size_t part, bool interleaved)
{
    struct buf text = buf_new(mem);

    buf_add_text(&text, WIDE);
    for (size_t i = 0; i < ROWS; i++) {
        size_t of = interleaved ? i % PARTS : i / (ROWS / PARTS);

        if (of == part)
            buf_add_text(&text, rows[i]);
    }

    return text.data;
}

static void parts_take(struct test_farm *farm, const char *const *rows, const size_t *order,
                       bool interleaved)
{
    tests_load(farm, tests_of, "2026-07-10 12:01");
    for (size_t i = 0; i < PARTS; i++)
        test_take(farm, "logger", arena_printf(farm->mem, "%zu.csv", i),
                  part_text(farm->mem, rows, order[i], interleaved));
}

static void flags_do_not_hang_on_the_order_of_files(void **state)
{
    static const size_t orders[][PARTS] = {
        {0, 1, 2, 3, 4, 5, 6}, {6, 5, 4, 3, 2, 1, 0}, {3, 0, 6, 2, 5, 1, 4}};
    struct test_farm *farm = *state;
    const char *rows[ROWS];
    struct buf all = buf_new(farm->mem);

    tests_load(farm, tests_of, "2026-07-10 12:01");
    values_make(farm->mem, rows, 20260510);
    buf_add_text(&all, WIDE);
    for (size_t i = 0; i < ROWS; i++)
        buf_add_text(&all, rows[i]);
    assert_true(test_take(farm, "logger", "all.csv", all.data).straight);

    const char *expected = flags_of(farm);

    assert_in_range(flag_count(farm, "flat line"), 3, 100);
    assert_in_range(flag_count(farm, "gap"), 2, 100);
    assert_in_range(flag_count(farm, "spike"), 5, 1000);
    assert_in_range(flag_count(farm, "climatology"), 0, 1000);
    assert_int_equal(
        test_number(farm, "select count(*) from sensor_flag where farm_id = $1 and continues") > 0,
        1);
    for (size_t i = 0; i < ARRAY_LEN(orders) * 2; i++) {
        struct test_farm *other = test_farm_make();

        parts_take(other, rows, orders[i / 2], i % 2 == 1);
        assert_string_equal(flags_of(other), expected);
        test_farm_drop(&other);
    }
}

static void rows_that_go_back_in_time_are_tested_in_order(void **state)
{
    struct test_farm *farm = *state;
    struct test_farm *other = test_farm_make();
    struct buf back = buf_new(farm->mem);
    struct buf forth = buf_new(farm->mem);
    const char *rows[ROWS];

    tests_load(farm, tests_of, "2026-07-10 12:01");
    tests_load(other, tests_of, "2026-07-10 12:01");
    values_make(farm->mem, rows, 7);
    buf_add_text(&back, WIDE);
    buf_add_text(&forth, WIDE);
    for (size_t i = 0; i < ROWS; i++) {
        buf_add_text(&forth, rows[i]);
        buf_add_text(&back, rows[ROWS - 1 - i]);
    }
    test_take(farm, "logger", "back.csv", back.data);
    test_take(other, "logger", "forth.csv", forth.data);
    assert_string_equal(flags_of(farm), flags_of(other));
    test_farm_drop(&other);
}

/* Another program, which takes in what lies before a file while that file is read. */
struct meanwhile {
    struct test_farm *farm;
    const char *const *texts;
    size_t count;
    size_t taken;
};

static bool take_meanwhile(void *context, int64_t done, int64_t all)
{
    struct meanwhile *meanwhile = context;

    (void)all;
    if (done > 0 && meanwhile->taken < meanwhile->count) {
        size_t next = meanwhile->taken++;

        test_take(meanwhile->farm, "logger", arena_printf(meanwhile->farm->mem, "b%zu.csv", next),
                  meanwhile->texts[next]);
    }

    return true;
}

static void a_file_is_tested_beside_what_came_in_meanwhile(void **state)
{
    static const char later[] = WIDE "2026-05-10 12:00,,12.0,,\n2026-05-10 12:10,,8.1,,\n";
    /* One for each piece that is read of it: twice to its end, four times over. */
    static const char *const before[] = {
        WIDE "2026-05-10 11:15,,8.0,,\n", WIDE "2026-05-10 11:20,,8.0,,\n",
        WIDE "2026-05-10 11:25,,8.0,,\n", WIDE "2026-05-10 11:30,,8.0,,\n",
        WIDE "2026-05-10 11:35,,8.0,,\n", WIDE "2026-05-10 11:40,,8.0,,\n",
        WIDE "2026-05-10 11:45,,8.0,,\n", WIDE "2026-05-10 11:55,,8.0,,\n"};
    struct test_farm *farm = *state;
    struct test_farm side = *farm;
    struct meanwhile meanwhile = {&side, before, ARRAY_LEN(before), 0};
    struct take_in_options options = {.progress = {&meanwhile, take_meanwhile}};
    struct take_in_result result = {0};
    struct err err = ERR_INIT;

    tests_load(farm, tests_of, "2026-07-10 12:01");
    side.open = farm->open;
    test_take(farm, "logger", "first.csv", WIDE "2026-05-10 11:10,,8.0,,\n");
    side.db = scratch_open(DB_ROLE_PROGRAM);
    assert_done(take_in(farm->db, farm->mem, &farm->open, "logger",
                        test_file(farm, "later.csv", later), &farm->act, &options, &result, &err),
                &err);
    db_close(&side.db);
    assert_int_equal(meanwhile.taken, ARRAY_LEN(before));
    assert_true(result.straight);
    assert_int_equal(flag_count(farm, "gap"), 0);
    assert_string_equal(test_query(farm, "select concat_ws(' ', test, flag, to_char(from_at, "
                                         "'HH24:MI')) from sensor_flag where farm_id = $1 "
                                         "order by test, from_at"),
                        "rate of change 3 12:00\nspike 3 11:55\nspike 4 12:00");
}

/* --- what changes ---------------------------------------------------------------------------- */

static void correct(struct test_farm *farm, const char *at, const char *kind, const char *value)
{
    struct reading_ref ref = {.station = "outlet", .parameter = "oxygen", .at = test_at(at)};
    struct correction_order order = {
        .kind = kind, .value = value, .reason = "looked at it", .second_person = "quinn"};
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    assert_done(
        reading_correct(farm->db, farm->mem, &farm->open, &ref, &order, &farm->act, &done, &err),
        &err);
}

static void a_corrected_reading_is_tested_as_it_now_stands(void **state)
{
    struct test_farm *farm = *state;

    tests_load(farm, tests_of, "2026-07-10 12:01");
    test_take(farm, "logger", "a.csv", one_day);
    assert_int_equal(flag_count(farm, "spike"), 4);
    correct(farm, "2026-05-10 11:20", "value", "8.2");
    assert_int_equal(flag_count(farm, "spike"), 1);
    assert_int_equal(flag_count(farm, "rate of change"), 1);
    correct(farm, "2026-05-10 13:20", "left out", NULL);
    assert_int_equal(flag_count(farm, "spike"), 0);
    assert_int_equal(flag_count(farm, "gross range"), 2);
    correct(farm, "2026-05-10 13:20", "put back", NULL);
    assert_int_equal(flag_count(farm, "spike"), 1);
}

static void other_thresholds_flag_what_is_stored_anew(void **state)
{
    struct test_farm *farm = *state;
    const char *wider = test_swap(farm->mem, tests_of, "{low: 2, high: 14}", "{low: 1, high: 11}");

    test_take(farm, "logger", "a.csv", one_day);
    assert_int_equal(test_number(farm, "select count(*) from sensor_flag where farm_id = $1"), 0);
    tests_load(farm, tests_of, "2026-07-10 12:01");
    assert_int_equal(flag_count(farm, "gross range"), 3);
    month_kept(farm, "2026-05-01", NULL);
    assert_int_equal(test_number(farm, "select count(*) from to_judge where farm_id = $1"), 0);
    tests_load(farm, wider, "2026-07-10 12:02");
    assert_string_equal(
        test_query(farm, "select concat_ws(' ', flag, to_char(from_at, 'HH24:MI'), value) "
                         "from sensor_flag where farm_id = $1 and test = 'gross range' "
                         "order by from_at"),
        "3 11:20 12\n4 13:20 25");
    assert_in_range(test_number(farm, "select count(*) from to_judge where farm_id = $1"), 1, 2);
    /* The same once more changes nothing, and none at all takes everything away. */
    month_kept(farm, "2026-05-01", NULL);
    tests_load(farm, arena_printf(farm->mem, "%s# a word\n", wider), "2026-07-10 12:03");
    assert_int_equal(test_number(farm, "select count(*) from to_judge where farm_id = $1"), 0);
    tests_load(farm, "\n# none\n", "2026-07-10 12:04");
    assert_int_equal(test_number(farm, "select count(*) from sensor_flag where farm_id = $1"), 0);
    assert_in_range(test_number(farm, "select count(*) from to_judge where farm_id = $1"), 1, 2);
}

/* --- verdicts -------------------------------------------------------------------------------- */

static void what_fails_can_stop_a_verdict_and_never_clear_one(void **state)
{
    struct test_farm *farm = *state;
    struct judged_month month;
    size_t in_doubt = 0;

    tests_load(farm, tests_of, "2026-07-10 12:01");
    test_take(farm, "logger", "a.csv", one_day);
    assert_string_equal(standing_of(farm, "2026-05-01", "oxygen-floor"), "outside: below 5");
    month = month_kept(farm, "2026-05-01", NULL);
    for (size_t i = 0; i < month.verdicts.count; i++) {
        if (str_equal(month.verdicts.items[i].limit->key, "oxygen-floor"))
            assert_true(month.verdicts.items[i].rests_on_doubt);
    }
    for (size_t i = 0; i < month.loaded.evidence.series_count; i++) {
        const struct evidence_series *series = &month.loaded.evidence.series[i];

        for (size_t k = 0; k < series->count; k++)
            in_doubt += series->readings[k].doubt != NULL;
    }
    assert_int_equal(in_doubt, 7); /* a gap puts none in doubt */
    assert_string_equal(month.loaded.evidence.series[0].readings[2].doubt,
                        "sensor test: rate of change, suspect: changes by more than 5 mg/L in 1 "
                        "hour");
}

static void flags_are_looked_up_by_place_and_month(void **state)
{
    struct test_farm *farm = *state;
    struct flag_views views = {.count = 0};
    struct err err = ERR_INIT;

    tests_load(farm, tests_of, "2026-07-10 12:01");
    test_take(farm, "logger", "a.csv", one_day);
    assert_done(flags_look(farm->db, farm->mem, &farm->open, "outlet", "oxygen",
                           day_of("2026-05-01"), day_of("2026-05-31"), &views, &err),
                &err);
    assert_int_equal(views.count, 10);
    assert_string_equal(views.items[0].made_by, "logger 1");
    assert_done(flags_look(farm->db, farm->mem, &farm->open, NULL, NULL, day_of("2026-06-01"),
                           day_of("2026-06-30"), &views, &err),
                &err);
    assert_int_equal(views.count, 0);
    assert_fails(flags_look(farm->db, farm->mem, &farm->open, "outlt", "oxygen",
                            day_of("2026-05-01"), day_of("2026-05-31"), &views, &err),
                 ERR_NOT_FOUND, &err);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(a_file_is_tested_as_it_comes_in),
        FARM_TEST(staged_rows_are_flagged_alike),
        FARM_TEST(flags_do_not_hang_on_the_order_of_files),
        FARM_TEST(rows_that_go_back_in_time_are_tested_in_order),
        FARM_TEST(a_file_is_tested_beside_what_came_in_meanwhile),
        FARM_TEST(a_corrected_reading_is_tested_as_it_now_stands),
        FARM_TEST(other_thresholds_flag_what_is_stored_anew),
        FARM_TEST(what_fails_can_stop_a_verdict_and_never_clear_one),
        FARM_TEST(flags_are_looked_up_by_place_and_month),
    };

    return cmocka_run_group_tests_name("app/sensing", tests, test_farms_setup, test_farms_teardown);
}
