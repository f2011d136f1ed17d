/*
 * A watched folder, on a real database and real files: what is taken, what is left alone, and what
 * is found when a round was ended in the middle.
 */
#include "app/watch_folder.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "app/drop_folder.h"
#include "base/file.h"
#include "base/str.h"
#include "harness/farm.h"

#define HEAD "Time,Temp (degC),Oxygen (mg/L),Flag,Tank oxygen (mg/L)\n"

static const char sound[] = HEAD "2026-05-01 00:00,12.5,8.1,ok,7.9\n";

/* A folder to watch, inside the test's own. */
static struct settings_watch watched(struct test_farm *farm)
{
    struct err err = ERR_INIT;
    const char *folder = arena_printf(farm->mem, "%s/drop", farm->folder);

    assert_true(file_make_folders(folder, 0700, &err));

    return (struct settings_watch){
        .folder = folder, .source = "logger", .done = "done", .refused = "refused"};
}

static const char *in(struct test_farm *farm, const char *name)
{
    return arena_printf(farm->mem, "%s/drop/%s", farm->folder, name);
}

static void drop(struct test_farm *farm, const char *name, const char *text)
{
    struct err err = ERR_INIT;

    assert_true(file_write(in(farm, name), text, strlen(text), 0600, &err));
}

static struct watch_result round_of(struct test_farm *farm, const struct settings_watch *watch)
{
    struct watch_options options = {.context = NULL};
    struct watch_result result = {0};
    struct err err = ERR_INIT;

    if (!watch_folder(farm->db, &farm->open, watch, test_at("2026-07-10 13:00"), &options, &result,
                      &err))
        fail_msg("%s", err.text);

    return result;
}

static void a_complete_file_is_taken_by_its_source_and_moved(void **state)
{
    struct test_farm *farm = *state;
    const struct settings_watch watch = watched(farm);

    drop(farm, "may.csv", sound);

    struct watch_result result = round_of(farm, &watch);

    assert_int_equal(result.taken, 1);
    assert_false(file_exists(in(farm, "may.csv")));
    assert_true(file_is_plain(in(farm, "done/may.csv")));
    assert_string_equal(
        test_query(farm, "select concat_ws(' ', file_name, source, coalesce(person, 'nobody'), "
                         "stored) from receipt where farm_id = $1"),
        "may.csv logger nobody 3");
    assert_string_equal(test_query(farm, "select concat_ws(' ', kind, coalesce(person, 'nobody'), "
                                         "source) from ledger where farm_id = $1 "
                                         "order by sequence desc limit 1"),
                        "receipt nobody logger");
    assert_int_equal(
        test_number(farm, "select count(*) from folder_look where farm_id = $1 and came_at = "
                          "'2026-07-10 13:00Z'"),
        1);
}

static void the_same_bytes_again_are_moved_beside_the_first(void **state)
{
    struct test_farm *farm = *state;
    const struct settings_watch watch = watched(farm);

    drop(farm, "may.csv", sound);
    round_of(farm, &watch);
    drop(farm, "may.csv", sound);

    struct watch_result result = round_of(farm, &watch);

    assert_int_equal(result.known, 1);
    assert_int_equal(result.taken, 0);
    assert_true(file_is_plain(in(farm, "done/may.csv")));
    assert_true(file_is_plain(in(farm, "done/may-2.csv")));
    assert_int_equal(test_number(farm, "select count(*) from receipt where farm_id = $1"), 1);
}

static void what_may_not_be_complete_is_left_alone(void **state)
{
    struct test_farm *farm = *state;
    struct settings_watch watch = watched(farm);

    drop(farm, "new.csv", sound);
    drop(farm, "half.csv.part", sound);
    drop(farm, "half.TMP", sound);
    drop(farm, "half.csv.crdownload", sound);
    drop(farm, ".hidden.csv", sound);
    watch.settle_s = 3600;

    struct watch_result result = round_of(farm, &watch);

    assert_int_equal(result.waiting, 1);
    assert_int_equal(result.taken + result.known + result.refused, 0);
    watch.settle_s = 0;
    result = round_of(farm, &watch);
    assert_int_equal(result.taken, 1);
    assert_true(file_is_plain(in(farm, "half.csv.part")));
    assert_true(file_is_plain(in(farm, "half.TMP")));
    assert_true(file_is_plain(in(farm, ".hidden.csv")));
}

static void a_file_that_a_program_still_writes_waits(void **state)
{
    struct test_farm *farm = *state;
    const struct settings_watch watch = watched(farm);

    drop(farm, "may.csv", HEAD);

    int fd = open(in(farm, "may.csv"), O_WRONLY | O_APPEND | O_CLOEXEC);
    const char *row = sound + strlen(HEAD);

    assert_int_equal(round_of(farm, &watch).waiting, 1);
    assert_int_equal(write(fd, row, strlen(row)), (ssize_t)strlen(row));
    assert_int_equal(round_of(farm, &watch).waiting, 1);
    close(fd);
    assert_int_equal(round_of(farm, &watch).taken, 1);
    assert_int_equal(test_number(farm, "select stored from receipt where farm_id = $1"), 3);
}

static void nothing_but_plain_files_is_opened(void **state)
{
    struct test_farm *farm = *state;
    const struct settings_watch watch = watched(farm);
    const char *outside = test_file(farm, "outside.csv", sound);

    assert_int_equal(symlink(outside, in(farm, "link.csv")), 0);
    assert_int_equal(link(outside, in(farm, "second-name.csv")), 0);
    assert_int_equal(mkfifo(in(farm, "pipe.csv"), 0600), 0);
    assert_int_equal(mkdir(in(farm, "folder.csv"), 0700), 0);

    struct watch_result result = round_of(farm, &watch);

    assert_int_equal(result.left, 4);
    assert_int_equal(result.taken + result.known + result.refused + result.waiting, 0);
    assert_int_equal(test_number(farm, "select count(*) from receipt where farm_id = $1"), 0);
}

static void a_link_in_place_of_a_side_folder_is_refused(void **state)
{
    struct test_farm *farm = *state;
    const struct settings_watch watch = watched(farm);
    struct watch_options options = {.context = NULL};
    struct watch_result result = {0};
    struct err err = ERR_INIT;

    assert_int_equal(symlink(farm->folder, in(farm, "done")), 0);
    drop(farm, "may.csv", sound);
    assert_false(watch_folder(farm->db, &farm->open, &watch, test_at("2026-07-10 13:00"), &options,
                              &result, &err));
    assert_true(file_is_plain(in(farm, "may.csv")));
}

static void a_file_that_cannot_be_read_is_refused_with_its_reason(void **state)
{
    struct test_farm *farm = *state;
    const struct settings_watch watch = watched(farm);
    struct err err = ERR_INIT;
    size_t length = 0;
    char *why = NULL;

    drop(farm, "other.csv", "Quite,other\n1,2\n");

    struct watch_result result = round_of(farm, &watch);

    assert_int_equal(result.refused, 1);
    assert_int_equal(result.opened, 1);
    assert_true(file_is_plain(in(farm, "refused/other.csv")));
    assert_true(
        file_read(farm->mem, in(farm, "refused/other.csv.txt"), 10000, &why, &length, &err));
    assert_non_null(strstr(why, "other.csv: "));
    assert_non_null(strstr(why, "move it back to"));
    assert_string_equal(test_query(farm, "select concat_ws('/', kind, subject, from_day) from "
                                         "finding where farm_id = $1"),
                        "refused file/logger: other.csv/2026-07-10");

    /* The same file mended comes in; refused again it gets a number, and no text is lost. */
    drop(farm, "other.csv", "Quite,other\n1,3\n");
    round_of(farm, &watch);
    assert_true(file_is_plain(in(farm, "refused/other-2.csv")));
    assert_true(file_is_plain(in(farm, "refused/other-2.csv.txt")));
    drop(farm, "other.csv", sound);
    assert_int_equal(round_of(farm, &watch).taken, 1);
}

static void a_name_is_a_label_whatever_its_bytes(void **state)
{
    struct test_farm *farm = *state;
    const struct settings_watch watch = watched(farm);

    drop(farm,
         "od\xff"
         "d\n'; name.csv",
         sound);
    assert_int_equal(round_of(farm, &watch).taken, 1);
    assert_true(file_is_plain(in(farm, "done/od\xff"
                                       "d\n'; name.csv")));
    assert_string_equal(test_query(farm, "select file_name from receipt where farm_id = $1"),
                        "od\\xffd\\x0a'; name.csv");
}

static void a_long_name_still_finds_a_free_one(void **state)
{
    struct test_farm *farm = *state;
    const struct settings_watch watch = watched(farm);
    char name[256];

    memset(name, 'n', sizeof(name) - 1);
    strcpy(name + sizeof(name) - 5, ".csv");
    drop(farm, "placeholder", "x");
    assert_int_equal(rename(in(farm, "placeholder"), in(farm, name)), 0);
    assert_int_equal(round_of(farm, &watch).refused, 1);
    drop(farm, "placeholder", "y");
    assert_int_equal(rename(in(farm, "placeholder"), in(farm, name)), 0);
    assert_int_equal(round_of(farm, &watch).refused, 1);
}

/* What a round left that was ended before the take-in, or before the move after it. */
static void a_round_that_was_ended_is_gone_on_with(void **state)
{
    struct test_farm *farm = *state;
    const struct settings_watch watch = watched(farm);

    assert_int_equal(mkdir(in(farm, ".taking"), 0700), 0);
    drop(farm, ".taking/may.csv", sound);
    drop(farm, "may.csv", HEAD "2026-05-01 00:10,12.6,8.0,ok,7.8\n");
    assert_int_equal(round_of(farm, &watch).taken, 2);
    drop(farm, ".taking/may.csv", sound);
    assert_int_equal(round_of(farm, &watch).known, 1);
    assert_int_equal(test_number(farm, "select count(*) from receipt where farm_id = $1"), 2);
    assert_true(file_is_plain(in(farm, "done/may-3.csv")));
}

static void a_lost_database_leaves_the_file_for_the_next_round(void **state)
{
    struct test_farm *farm = *state;
    const struct settings_watch watch = watched(farm);
    struct watch_options options = {.context = NULL};
    struct watch_result result = {0};
    bool done = false;

    drop(farm, "may.csv", sound);
    drop(farm, "other.csv", "Quite,other\n1,2\n");
    for (int calls = 1; !done; calls++) {
        struct err err = ERR_INIT;

        db_fault_after(calls);
        done = watch_folder(farm->db, &farm->open, &watch, test_at("2026-07-10 13:00"), &options,
                            &result, &err);
        if (!done)
            assert_int_equal(err.code, ERR_UNAVAILABLE);
    }
    db_fault_after(0);
    assert_true(file_is_plain(in(farm, "done/may.csv")));
    assert_true(file_is_plain(in(farm, "refused/other.csv")));
    assert_false(file_exists(in(farm, "refused/other-2.csv.txt")));
    assert_int_equal(test_number(farm, "select count(*) from receipt where farm_id = $1"), 1);
    assert_int_equal(test_number(farm, "select count(*) from finding where farm_id = $1"), 1);
}

static void a_round_deals_with_so_many_files_and_the_next_goes_on(void **state)
{
    struct test_farm *farm = *state;
    const struct settings_watch watch = watched(farm);

    for (int i = 0; i < WATCH_FILES_MOST + 1; i++)
        drop(farm, arena_printf(farm->mem, "%03d.csv", i), sound);

    struct watch_result result = round_of(farm, &watch);

    assert_int_equal(result.taken, 1);
    assert_int_equal(result.known, WATCH_FILES_MOST - 1);
    result = round_of(farm, &watch);
    assert_int_equal(result.known, 1);
    assert_int_equal(round_of(farm, &watch).known, 0);
}

static void a_folder_of_too_many_things_is_told(void **state)
{
    struct test_farm *farm = *state;
    const struct settings_watch watch = watched(farm);
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(drop_folder_close) struct drop_folder open_folder = DROP_FOLDER_CLOSED;
    struct drop_names names = {0};
    struct err err = ERR_INIT;

    assert_true(drop_folder_open(mem, &watch, &open_folder, &err));
    /* Beside "." and "..", and the folders .taking, done and refused. */
    for (int i = 0; i < WATCH_ENTRIES_MOST - 5; i++) {
        char name[16];

        snprintf(name, sizeof(name), "%d", i);
        assert_int_equal(symlinkat("nowhere", open_folder.folder, name), 0);
    }
    assert_true(drop_folder_names(&open_folder, open_folder.folder, &names, &err));
    assert_int_equal(names.count, WATCH_ENTRIES_MOST - 3);
    assert_int_equal(symlinkat("nowhere", open_folder.folder, "one more"), 0);
    assert_false(drop_folder_names(&open_folder, open_folder.folder, &names, &err));
    assert_int_equal(err.code, ERR_TOO_LARGE);
}

static void a_source_that_the_farm_has_not_touches_nothing(void **state)
{
    struct test_farm *farm = *state;
    struct settings_watch watch = watched(farm);
    struct watch_options options = {.context = NULL};
    struct watch_result result = {0};
    struct err err = ERR_INIT;

    watch.source = "unheard-of";
    drop(farm, "may.csv", sound);
    assert_false(watch_folder(farm->db, &farm->open, &watch, test_at("2026-07-10 13:00"), &options,
                              &result, &err));
    assert_int_equal(err.code, ERR_NOT_FOUND);
    assert_true(file_is_plain(in(farm, "may.csv")));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(a_complete_file_is_taken_by_its_source_and_moved),
        FARM_TEST(the_same_bytes_again_are_moved_beside_the_first),
        FARM_TEST(what_may_not_be_complete_is_left_alone),
        FARM_TEST(a_file_that_a_program_still_writes_waits),
        FARM_TEST(nothing_but_plain_files_is_opened),
        FARM_TEST(a_link_in_place_of_a_side_folder_is_refused),
        FARM_TEST(a_file_that_cannot_be_read_is_refused_with_its_reason),
        FARM_TEST(a_name_is_a_label_whatever_its_bytes),
        FARM_TEST(a_long_name_still_finds_a_free_one),
        FARM_TEST(a_round_that_was_ended_is_gone_on_with),
        FARM_TEST(a_lost_database_leaves_the_file_for_the_next_round),
        FARM_TEST(a_round_deals_with_so_many_files_and_the_next_goes_on),
        FARM_TEST(a_folder_of_too_many_things_is_told),
        FARM_TEST(a_source_that_the_farm_has_not_touches_nothing),
    };

    return cmocka_run_group_tests_name("app/watch_folder", tests, test_farms_setup,
                                       test_farms_teardown);
}
