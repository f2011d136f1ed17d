/*
 * Files that can't be taken in, in whole or in part: a clear word about where and what to do, and
 * nothing lost or half kept. And hours that clocks repeat or jump over.
 */
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include "harness/farm.h"

enum { NOBODY = 65534 };

#define LOCAL "Time,Temp (degC)\n"

static const char readings[] =
    "select concat_ws(' ', to_char(r.at at time zone 'UTC', 'YYYY-MM-DD HH24:MI'), r.reported) "
    "from reading r where farm_id = $1 order by r.receipt, r.line";

static const char asides[] = "select line || ' ' || reason from set_aside where farm_id = $1 "
                             "order by receipt, line";

/* Taking in a path fails with these words and leaves nothing. */
static void refused(struct test_farm *farm, const char *source, const char *path,
                    const struct take_in_options *options, enum err_code code, const char *words,
                    const char *hint)
{
    static const struct take_in_options plain;
    struct take_in_result result;
    struct err err = ERR_INIT;
    char *before = test_state(farm);

    if (take_in(farm->db, farm->mem, &farm->open, source, path, &farm->act,
                options ? options : &plain, &result, &err))
        fail_msg("%s was taken in", path);
    if (err.code != code || !strstr(err.text, words) || !strstr(err.hint, hint))
        fail_msg("%s: %s: %s | %s", path, err_code_name(err.code), err.text, err.hint);
    test_state_same(before, test_state(farm), path);
}

static void what_is_no_file_of_readings_is_refused(void **state)
{
    struct test_farm *farm = *state;
    const char *elf = test_file_bytes(farm, "program.csv",
                                      "\x7F"
                                      "ELF\x02\x01\0\0\0\0\0\0\x03\0>",
                                      16);
    const char *pipe = arena_printf(farm->mem, "%s/pipe", farm->folder);

    assert_int_equal(mkfifo(pipe, 0600), 0);
    refused(farm, "logger", test_file(farm, "empty.csv", ""), NULL, ERR_INVALID, "is empty",
            "Export it again");
    refused(farm, "logger", farm->folder, NULL, ERR_INVALID, "is not a plain file", "one file");
    refused(farm, "logger", pipe, NULL, ERR_INVALID, "is not a plain file", "one file");
    refused(farm, "logger", arena_printf(farm->mem, "%s/none.csv", farm->folder), NULL,
            ERR_NOT_FOUND, "none.csv", "");
    refused(farm, "logger", elf, NULL, ERR_INVALID, "program.csv: ", "");
    refused(farm, "logger", test_file(farm, "other.csv", "A;B\n1;2\n"), NULL, ERR_INVALID,
            "other.csv: ", "");
}

static void a_file_that_may_not_be_read_is_refused(void **state)
{
    struct test_farm *farm = *state;
    const char *path = test_file(farm, "secret.csv", LOCAL "2026-05-01 00:00,9\n");

    struct take_in_options options = {.staged_only = false};
    struct take_in_result result;
    struct err err = ERR_INIT;
    char *before = test_state(farm);
    uid_t uid = geteuid();

    assert_int_equal(chmod(path, 0), 0);
    /* Root reads everything: be nobody meanwhile. The connection stands already. */
    if (uid == 0)
        assert_int_equal(seteuid(NOBODY), 0);

    bool done = take_in(farm->db, farm->mem, &farm->open, "local-logger", path, &farm->act,
                        &options, &result, &err);

    assert_int_equal(seteuid(uid), 0);
    assert_false(done);
    assert_int_equal(err.code, ERR_DENIED);
    assert_non_null(strstr(err.text, "secret.csv"));
    test_state_same(before, test_state(farm), "a file that may not be read");
}

static void an_unknown_source_or_person_is_refused_with_the_nearest(void **state)
{
    struct test_farm *farm = *state;
    const char *path = test_file(farm, "a.csv", LOCAL "2026-05-01 00:00,9\n");

    refused(farm, "loger", path, NULL, ERR_NOT_FOUND, "no source 'loger'",
            "Did you mean 'logger'?");
    refused(farm, "xyz", path, NULL, ERR_NOT_FOUND, "no source 'xyz'", "`sources:`");
    farm->act.person = "pet";
    refused(farm, "logger", path, NULL, ERR_NOT_FOUND, "no person 'pet'", "Did you mean 'pat'?");
    farm->act.person = "";
    refused(farm, "logger", path, NULL, ERR_INVALID, "needs to know who", "--by");
    farm->act.person = "sam";
    refused(farm, "logger", path, NULL, ERR_DENIED, "Sam Spring", "");
}

static bool no_room(uint64_t free_bytes, uint64_t total_bytes)
{
    return free_bytes > total_bytes;
}

static void a_full_disk_is_refused_before_anything_is_kept(void **state)
{
    struct test_farm *farm = *state;
    struct take_in_options options = {.room_enough = no_room, .data_folder = farm->folder};

    refused(farm, "local-logger", test_file(farm, "a.csv", LOCAL "2026-05-01 00:00,9\n"), &options,
            ERR_UNAVAILABLE, "nearly full", "Make room");
}

/* --- stopped half-way ---------------------------------------------------------------------- */

struct stopping {
    const char *path;
    volatile sig_atomic_t stop;
    int tells;
    int at;
    bool refuse; /* say false instead of raising the flag */
    bool append; /* write to the file instead */
};

static bool stop_on_the_way(void *context, int64_t bytes_done, int64_t bytes_all)
{
    struct stopping *stopping = context;

    (void)bytes_done;
    (void)bytes_all;
    if (++stopping->tells != stopping->at)
        return true;
    if (stopping->append) {
        FILE *file = fopen(stopping->path, "a");

        assert_non_null(file);
        fputs("2026-05-02 00:00,9\n", file);
        fclose(file);
        return true;
    }
    stopping->stop = !stopping->refuse;

    return !stopping->refuse;
}

static void a_stop_half_way_leaves_nothing(void **state)
{
    struct test_farm *farm = *state;
    const char *path = test_file(farm, "a.csv", LOCAL "2026-05-01 00:00,9\n2026-05-01 00:10,9\n");

    /* Four readings of two tells each: the piece, and its end. */
    for (int at = 1; at <= 8; at++) {
        struct stopping flag = {.at = at};
        struct stopping word = {.at = at, .refuse = true};
        struct take_in_options by_flag = {.stop = &flag.stop, .progress = {&flag, stop_on_the_way}};
        struct take_in_options by_word = {.progress = {&word, stop_on_the_way}};

        refused(farm, "local-logger", path, &by_word, ERR_UNAVAILABLE, "stopped half-way, as asked",
                "");
        /* The flag is seen at the next piece: after the last there is none. */
        if (at < 8)
            refused(farm, "local-logger", path, &by_flag, ERR_UNAVAILABLE,
                    "stopped half-way, as asked", "");
    }
    test_take(farm, "local-logger", "a.csv", LOCAL "2026-05-01 00:00,9\n2026-05-01 00:10,9\n");
}

static void a_file_that_grows_while_it_is_read_is_refused(void **state)
{
    struct test_farm *farm = *state;

    /* After its digest, after the scan, and while its bytes are kept. */
    for (int at = 2; at <= 5; at++) {
        const char *path = test_file(farm, "grows.csv", LOCAL "2026-05-01 00:00,9\n");
        struct stopping append = {.path = path, .at = at, .append = true};
        struct take_in_options options = {.progress = {&append, stop_on_the_way}};

        refused(farm, "local-logger", path, &options, ERR_CONFLICT,
                "changed while it was read; nothing of it was kept", "Wait until it is complete");
    }
}

/* --- two programs at once ------------------------------------------------------------------ */

struct beside {
    struct test_farm *farm;
    struct db *other;
    const char *path;
    int tells;
    int at;
};

/* Another program takes the same file in while ours is on its way. */
static bool take_beside(void *context, int64_t bytes_done, int64_t bytes_all)
{
    struct beside *beside = context;
    struct take_in_options options = {.staged_only = false};
    struct take_in_result result;
    struct err err = ERR_INIT;

    (void)bytes_done;
    (void)bytes_all;
    if (++beside->tells == beside->at)
        assert_done(take_in(beside->other, beside->farm->mem, &beside->farm->open, "local-logger",
                            beside->path, &beside->farm->act, &options, &result, &err),
                    &err);

    return true;
}

static void two_programs_with_the_same_file_keep_it_once(void **state)
{
    (void)state;
    /* The other one begins while ours has its digest, scans, or keeps the bytes. */
    for (int at = 2; at <= 6; at++) {
        CLEANUP(test_farm_drop) struct test_farm *farm = test_farm_make();
        CLEANUP(db_close) struct db *other = scratch_open(DB_ROLE_PROGRAM);
        const char *path = test_file(farm, "a.csv", LOCAL "2026-05-01 00:00,9\n");
        struct beside beside = {.farm = farm, .other = other, .path = path, .at = at};
        struct take_in_options options = {.progress = {&beside, take_beside}};
        struct take_in_result result;
        struct err err = ERR_INIT;
        bool done = take_in(farm->db, farm->mem, &farm->open, "local-logger", path, &farm->act,
                            &options, &result, &err);

        assert_true(beside.tells >= at);
        if (done)
            assert_true(result.already);
        else
            assert_int_equal(err.code, ERR_CONFLICT);
        assert_int_equal(test_number(farm, "select count(*) from receipt where farm_id = $1"), 1);
        assert_int_equal(test_number(farm, "select count(*) from reading where farm_id = $1"), 1);
        assert_int_equal(test_number(farm, "select count(*) from ledger where farm_id = $1"), 3);
        assert_true(test_take(farm, "local-logger", "b.csv", LOCAL "2026-05-01 00:00,9\n").already);
    }
}

/* --- a line without end -------------------------------------------------------------------- */

static int64_t memory_most(void)
{
    struct rusage usage;

    assert_int_equal(getrusage(RUSAGE_SELF, &usage), 0);

    return (int64_t)usage.ru_maxrss * 1024;
}

static void a_line_without_end_costs_no_memory_and_no_other_row(void **state)
{
    enum { LINE_MB = 64 };
    struct test_farm *farm = *state;
    const char *path = test_file(farm, "huge.csv", LOCAL "2026-05-01 00:00,9\n");
    FILE *file = fopen(path, "a");
    char block[1024];
    struct take_in_options options = {.staged_only = false};
    struct take_in_result result;
    struct err err = ERR_INIT;

    assert_non_null(file);
    memset(block, 'x', sizeof(block));
    for (int i = 0; i < LINE_MB * 1024; i++)
        fwrite(block, 1, sizeof(block), file);
    fputs("\n2026-05-01 00:10,8\n", file);
    assert_int_equal(fclose(file), 0);

    int64_t before = memory_most();

    assert_done(take_in(farm->db, farm->mem, &farm->open, "local-logger", path, &farm->act,
                        &options, &result, &err),
                &err);
    assert_int_equal(result.receipt.stored, 2);
    assert_int_equal(result.receipt.set_aside, 1);
    assert_in_range(memory_most() - before, 0, 32 * 1024 * 1024);
    assert_string_equal(test_query(farm, readings), "2026-04-30 23:00 9\n2026-04-30 23:10 8");
    assert_int_equal(test_number(farm, "select sum(octet_length(bytes)) from receipt_piece where "
                                       "farm_id = $1"),
                     result.receipt.byte_count);
}

/* --- times --------------------------------------------------------------------------------- */

static const struct {
    const char *rows;
    const char *stored;
    const char *aside;
    const char *why;
} times[] = {
    {"2025-10-26 00:30,1\n2025-10-26 01:00,2\n2025-10-26 01:30,3\n2025-10-26 01:00,4\n"
     "2025-10-26 01:30,5\n2025-10-26 02:00,6\n",
     "2025-10-25 23:30 1\n2025-10-26 00:00 2\n2025-10-26 00:30 3\n2025-10-26 01:00 4\n"
     "2025-10-26 01:30 5\n2025-10-26 02:00 6",
     "", "Dublin's clocks went back at 02:00 on 26 October 2025: the file runs through it twice"},
    {"2025-10-26 00:30,1\n2025-10-26 01:30,3\n2025-10-26 02:00,6\n",
     "2025-10-25 23:30 1\n2025-10-26 02:00 6", "3 time-twice",
     "once through it: which of the two can't be told"},
    {"2026-03-29 00:30,1\n2026-03-29 01:30,2\n2026-03-29 02:30,3\n",
     "2026-03-29 00:30 1\n2026-03-29 01:30 3", "3 time-missing-hour",
     "Dublin's clocks jumped over 01:00 to 02:00 on 29 March 2026"},
    {"2026-07-10 13:05,1\n2026-07-10 13:15,2\n2027-01-01 00:00,3\n", "2026-07-10 12:05 1",
     "3 time-future\n4 time-future", "received at noon UTC; ten minutes ahead are borne with"},
    {"1949-12-31 00:00,1\n1950-01-02 00:00,2\n2026-02-30 00:00,3\n2026-05-01 25:00,4\n,5\n",
     "1950-01-02 00:00 2",
     "2 time-too-old\n4 time-impossible\n5 time-impossible\n6 time-unreadable", "no such time"},
};

static void times_are_placed_or_set_aside_but_never_guessed(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(times); i++) {
        CLEANUP(test_farm_drop) struct test_farm *farm = test_farm_make();

        test_take(farm, "local-logger", "a.csv",
                  arena_printf(farm->mem, LOCAL "%s", times[i].rows));
        if (strcmp(test_query(farm, readings), times[i].stored) != 0 ||
            strcmp(test_query(farm, asides), times[i].aside) != 0)
            fail_msg("%s: %s; %s", times[i].why, test_query(farm, readings),
                     test_query(farm, asides));
    }
}

/* --- two farms ----------------------------------------------------------------------------- */

static void two_farms_do_not_see_each_other(void **state)
{
    struct test_farm *farm = *state;
    CLEANUP(test_farm_drop) struct test_farm *other = test_farm_make();
    const char *text = LOCAL "2026-05-01 00:00,9\n2026-05-01 00:10,x\n";
    char *nothing = test_sizes(other);

    test_take(farm, "local-logger", "a.csv", text);
    assert_string_equal(test_sizes(other), nothing);

    /* The same bytes are news to the other, on the same connection too. */
    struct open_farm mine = farm->open;

    farm->open = other->open;
    assert_false(test_take(farm, "local-logger", "a.csv", text).already);
    farm->open = mine;
    assert_true(test_take(farm, "local-logger", "b.csv", text).already);
    assert_int_equal(test_number(other, "select count(*) from reading where farm_id = $1"), 1);

    /* Seen by the program's own eyes. */
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct receipt_rows rows = {0};
    struct err err = ERR_INIT;

    assert_done(db_tx_begin(farm->db, other->open.farm_id, &tx, &err), &err);
    assert_done(receipt_store_list(&tx, farm->mem, &rows, &err), &err);
    assert_int_equal(rows.count, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(what_is_no_file_of_readings_is_refused),
        FARM_TEST(a_file_that_may_not_be_read_is_refused),
        FARM_TEST(an_unknown_source_or_person_is_refused_with_the_nearest),
        FARM_TEST(a_full_disk_is_refused_before_anything_is_kept),
        FARM_TEST(a_stop_half_way_leaves_nothing),
        FARM_TEST(a_file_that_grows_while_it_is_read_is_refused),
        cmocka_unit_test(two_programs_with_the_same_file_keep_it_once),
        FARM_TEST(a_line_without_end_costs_no_memory_and_no_other_row),
        cmocka_unit_test(times_are_placed_or_set_aside_but_never_guessed),
        FARM_TEST(two_farms_do_not_see_each_other),
    };

    return cmocka_run_group_tests_name("app/take_in_refused", tests, test_farms_setup,
                                       test_farms_teardown);
}
