/*
 * The connection is lost at the n-th database call of a use case, for every n until it is done:
 * nothing of a half is ever left, and the same connection does it when asked again. Then the
 * server's side of it is killed while a file comes in.
 */
#include <string.h>

#include "app/clause_acts.h"
#include "app/correct.h"
#include "app/mark_doubt.h"
#include "app/read_again.h"
#include "app/report_month.h"
#include "app/say_no_sample.h"
#include "harness/farm.h"

enum { CALLS_MOST = 400, CALLS_LEAST = 4 };

#define WIDE "Time,Temp (degC),Oxygen (mg/L),Flag,Tank oxygen (mg/L)\n"
#define LAB "Sample,Rep,For,Site,Time,Test,Result,Unit,LOD,LOQ\n"

/* A use case on a farm that was made ready for it. */
typedef bool (*use_case)(struct test_farm *farm, struct err *err);

struct faulted {
    const char *name;
    void (*ready)(struct test_farm *farm);
    use_case run;
    bool checks_first; /* a whole month_check() of its own, which may stay when it fails later */
};

static const char lab[] = LAB "S1,a,,Out,2026-05-04 09:00,TSS,44,mg/L,2,5\n"
                              "S2,,,Out,2026-05-11 09:00,TSS,12,mg/L,,\n"
                              "S3,,,Out,2026-05-18 09:00,TSS,x,mg/L,,\n";
static const char lab_again[] = LAB "S1,a,,Out,2026-05-04 09:00,TSS,14,mg/L,2,5\n"
                                    "S2,,,Out,2026-05-11 09:00,TSS,12,mg/L,,\n"
                                    "S4,,,Out,2026-05-25 09:00,TSS,13,mg/L,1,\n";

static void ready_nothing(struct test_farm *farm)
{
    (void)farm;
}

static void ready_lab(struct test_farm *farm)
{
    test_take(farm, "laboratory", "lab.csv", lab);
}

static void ready_lab_again(struct test_farm *farm)
{
    ready_lab(farm);
    test_take(farm, "laboratory", "again.csv", lab_again);
}

static bool take_text(struct test_farm *farm, const char *name, const char *text, struct err *err)
{
    struct take_in_options options = {.staged_only = false};
    struct take_in_result result;

    return take_in(farm->db, farm->mem, &farm->open, "laboratory", test_file(farm, name, text),
                   &farm->act, &options, &result, err);
}

static bool run_take_straight(struct test_farm *farm, struct err *err)
{
    return take_text(farm, "lab.csv", lab, err);
}

static bool run_take_staged(struct test_farm *farm, struct err *err)
{
    return take_text(farm, "again.csv", lab_again, err);
}

/* Straight in fails on rows that contradict each other, and the file is staged after all. */
static bool run_take_back_to_staged(struct test_farm *farm, struct err *err)
{
    return take_text(farm, "twice.csv",
                     LAB "S1,,,Out,2026-05-04 09:00,TSS,44,mg/L,2,5\n"
                         "S1,,,Out,2026-05-04 09:00,TSS,45,mg/L,2,5\n"
                         "S2,,,Out,2026-05-11 09:00,TSS,12,mg/L,,\n",
                     err);
}

static bool load_text(struct test_farm *farm, const char *text, struct err *err)
{
    struct farm_changes changes = {0};
    struct farmfile_problems problems = {0};

    return farm_load(farm->db, farm->mem, farm->units, text, strlen(text), &farm->act, false,
                     &changes, &problems, err);
}

static bool run_load_new(struct test_farm *farm, struct err *err)
{
    return load_text(farm, test_swap(farm->mem, farm->text, farm->key, "another-farm"), err);
}

static bool run_load_changed(struct test_farm *farm, struct err *err)
{
    const char *text = test_swap(farm->mem, farm->text, "    not above: 40\n",
                                 "    not above: 45\n    change: copied wrongly\n");

    return load_text(farm, test_swap(farm->mem, text, "name: Tank,", "name: The tank,"), err);
}

static const struct reading_ref first_solids = {.station = "outlet",
                                                .parameter = "suspended-solids"};

static bool run_correct(struct test_farm *farm, struct err *err)
{
    struct reading_ref ref = first_solids;
    struct correction_order order = {.kind = "value", .value = "14", .reason = "misread"};
    struct correction_done done;

    ref.at = test_at("2026-05-04 09:00");

    return reading_correct(farm->db, farm->mem, &farm->open, &ref, &order, &farm->act, &done, err);
}

static bool run_doubt(struct test_farm *farm, struct err *err)
{
    struct doubt_order order = {.kind = "custody", .because = "lost on the way", .sample = "S1"};
    struct doubt_numbers numbers;

    return doubt_set(farm->db, farm->mem, &farm->open, &order, &farm->act, &numbers, err);
}

static void ready_doubt(struct test_farm *farm)
{
    struct err err = ERR_INIT;

    ready_lab(farm);
    assert_done(run_doubt(farm, &err), &err);
}

static bool run_lift(struct test_farm *farm, struct err *err)
{
    struct doubt_view view;

    return doubt_lift(farm->db, farm->mem, &farm->open, 1, "found", &farm->act, &view, err);
}

static bool run_accept(struct test_farm *farm, struct err *err)
{
    struct aside_ref ref = {.file_name = "again.csv", .line = 2};
    struct correction_done done;

    return aside_accept(farm->db, farm->mem, &farm->open, &ref, "the second is right", "quinn",
                        &farm->act, &done, err);
}

static bool run_leave_out(struct test_farm *farm, struct err *err)
{
    struct aside_ref ref = {.file_name = "lab.csv", .line = 4};
    struct correction_done done;

    return aside_leave_out(farm->db, farm->mem, &farm->open, &ref, "never measured", NULL,
                           &farm->act, &done, err);
}

static void ready_unconfirmed(struct test_farm *farm)
{
    struct err err = ERR_INIT;

    ready_lab(farm);
    assert_done(run_load_changed(farm, &err), &err);
    assert_done(farm_open(farm->db, farm->mem, farm->units, farm->key, &farm->open, &err), &err);
}

static bool run_confirm(struct test_farm *farm, struct err *err)
{
    struct act quinn = {.person = "quinn", .at = farm->act.at};
    int confirmed = 0;

    return limits_confirm(farm->db, farm->mem, &farm->open, NULL, 0, &quinn, &confirmed, err);
}

static bool run_no_sample(struct test_farm *farm, struct err *err)
{
    struct no_sample reason = {.day = (day_number)(test_at("2026-06-10 00:00") / DAY_US),
                               .reason = NO_SAMPLE_UNSAFE,
                               .explanation = "a gale"};

    return no_sample_say(farm->db, farm->mem, &farm->open, "twice", reason, &farm->act, NULL, err);
}

static day_number may(void)
{
    return (day_number)(test_at("2026-05-01 00:00") / DAY_US);
}

static bool run_check(struct test_farm *farm, struct err *err)
{
    struct judged_month month;
    int opened = 0;

    return month_check(farm->db, farm->mem, &farm->open, may(), farm->act.at, false, &month,
                       &opened, err);
}

static bool run_report(struct test_farm *farm, struct err *err)
{
    struct month_report report;

    return month_report_make(farm->db, farm->mem, &farm->open, NULL, may(),
                             arena_printf(farm->mem, "%s/may.xlsx", farm->folder), &farm->act,
                             &report, err);
}

/* The source has learnt what "x" means: no value at all. */
static void ready_learnt(struct test_farm *farm)
{
    struct farm_changes changes = {0};

    ready_lab(farm);
    test_farm_load(
        farm,
        test_swap(farm->mem, farm->text, "    not detected: [ND]\n", "    not detected: [ND, x]\n"),
        &farm->act, &changes);
}

static bool run_read_again(struct test_farm *farm, struct err *err)
{
    struct read_again_result result;

    return read_again(farm->db, farm->mem, &farm->open, "lab.csv", NULL, &farm->act, &result, err);
}

static const struct faulted cases[] = {
    {"take in, straight", ready_nothing, run_take_straight, false},
    {"take in, staged", ready_lab, run_take_staged, false},
    {"take in, back to staged", ready_nothing, run_take_back_to_staged, false},
    {"load a new farm", ready_nothing, run_load_new, false},
    {"load a changed farm", ready_lab, run_load_changed, false},
    {"correct a reading", ready_lab, run_correct, false},
    {"mark a sample as in doubt", ready_lab, run_doubt, false},
    {"lift a mark of doubt", ready_doubt, run_lift, false},
    {"accept a row", ready_lab_again, run_accept, false},
    {"leave a row out", ready_lab, run_leave_out, false},
    {"confirm limits", ready_unconfirmed, run_confirm, false},
    {"say why there is no sample", ready_lab, run_no_sample, false},
    {"check a month", ready_lab, run_check, false},
    {"make a report", ready_lab, run_report, true},
    {"read again", ready_learnt, run_read_again, false},
};

static void case_fault(const struct faulted *one)
{
    CLEANUP(test_farm_drop) struct test_farm *farm = test_farm_make();
    bool done = false;
    bool checked = false;
    int calls = 0;

    one->ready(farm);

    char *before = test_state(farm);

    while (!done) {
        const char *when = arena_printf(farm->mem, "%s, call %d", one->name, ++calls);
        struct err err = ERR_INIT;

        assert_in_range(calls, 1, CALLS_MOST);
        db_fault_after(calls);
        done = one->run(farm, &err);

        bool hit = db_fault_hit();

        db_fault_after(0);
        if (done == hit)
            fail_msg("%s: %s: %s", when, done ? "done" : "failed", err.text);
        if (done)
            break;
        if (err.code != ERR_UNAVAILABLE)
            fail_msg("%s: %s: %s", when, err_code_name(err.code), err.text);

        char *after = test_state(farm);

        /* The check's verdicts came to stay at once, and nothing else after them. */
        if (one->checks_first && !checked && strcmp(before, after) != 0) {
            checked = true;
            before = after;
        }
        test_state_same(before, after, when);
    }
    assert_in_range(calls, CALLS_LEAST, CALLS_MOST);
    assert_string_not_equal(test_state(farm), before);
}

static void whichever_call_fails_nothing_of_a_half_is_left(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(cases); i++)
        case_fault(&cases[i]);
}

/* --- the server's side is killed ----------------------------------------------------------- */

struct killing {
    struct test_farm *farm;
    int64_t at_bytes; /* of the file, counted over all its readings */
    int64_t seen;
    int64_t last;
    bool killed;
};

static bool kill_on_the_way(void *context, int64_t bytes_done, int64_t bytes_all)
{
    struct killing *killing = context;

    (void)bytes_all;
    killing->seen += bytes_done > killing->last ? bytes_done - killing->last : bytes_done;
    killing->last = bytes_done;
    if (!killing->killed && killing->seen >= killing->at_bytes) {
        killing->killed = true;
        test_query(killing->farm,
                   "select count(pg_terminate_backend(pid, 5000)) from pg_stat_activity where "
                   "datname = current_database() and usename = 'weirbook_program'");
    }

    return true;
}

static char *many_rows(struct arena *mem)
{
    struct buf text = buf_new(mem);

    buf_add_text(&text, WIDE);
    for (int i = 0; i < 8000; i++)
        buf_addf(&text, "2026-05-%02d %02d:%02d,%d.%d,8,,\n", 1 + i / 1440, i / 60 % 24, i % 60,
                 10 + i % 9, i % 10);

    return text.data;
}

static void a_server_killed_half_way_keeps_nothing(void **state)
{
    struct test_farm *farm = *state;
    const char *text = many_rows(farm->mem);
    const char *path = test_file(farm, "many.csv", text);
    char *before = test_state(farm);
    int64_t size = (int64_t)strlen(text);

    /* The file is read for its digest, scanned, kept, and stored: the last two are one transaction.
     */
    for (int step = 4; step < 8; step++) {
        struct killing killing = {.farm = farm, .at_bytes = size * step / 2 + size / 4};
        struct take_in_options options = {.progress = {&killing, kill_on_the_way}};
        struct take_in_result result;
        struct err err = ERR_INIT;

        assert_fails(take_in(farm->db, farm->mem, &farm->open, "logger", path, &farm->act, &options,
                             &result, &err),
                     ERR_UNAVAILABLE, &err);
        assert_true(killing.killed);
        assert_non_null(strstr(err.text, "many.csv: "));
        test_state_same(before, test_state(farm), "the server was killed");
    }
    test_take(farm, "logger", "many.csv", text);
    assert_int_equal(test_number(farm, "select count(*) from reading where farm_id = $1"), 16000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(whichever_call_fails_nothing_of_a_half_is_left),
        FARM_TEST(a_server_killed_half_way_keeps_nothing),
    };

    return cmocka_run_group_tests_name("app/fault_app", tests, test_farms_setup,
                                       test_farms_teardown);
}
