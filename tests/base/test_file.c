/* Files, on the real file system. What a crash leaves is covered by rename(2) of POSIX.1-2017. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/file.h"
#include "harness/cmocka.h"

static struct arena *mem;
static char *place;

static int new_place(void **state)
{
    char template[] = "/tmp/weirbook-file-XXXXXX";

    (void)state;
    mem = arena_new();
    place = arena_strdup(mem, mkdtemp(template) ? template : NULL);

    return place ? 0 : -1;
}

static int drop_place(void **state)
{
    struct err err = ERR_INIT;
    bool gone = file_remove_tree(place, &err);

    (void)state;
    arena_free(&mem);

    return gone ? 0 : -1;
}

static const char *at(const char *name)
{
    return arena_printf(mem, "%s/%s", place, name);
}

static mode_t mode_of(const char *path)
{
    struct stat status;

    assert_int_equal(stat(path, &status), 0);

    return status.st_mode & 07777;
}

static size_t entries_in_place(void)
{
    struct stat status;
    size_t count = 0;

    /* Names the tests use, and what a write may leave beside them. */
    for (const char *const *name = (const char *const[]){"a", "b", "c", NULL}; *name; name++)
        count += stat(at(*name), &status) == 0;

    return count;
}

static void what_is_written_comes_back_byte_for_byte(void **state)
{
    static const char bytes[] = "one\0two\r\n\xff";
    struct err err = ERR_INIT;
    char *back = NULL;
    size_t length = 0;

    (void)state;
    assert_done(file_write(at("a"), bytes, sizeof(bytes), 0640, &err), &err);
    assert_done(file_read(mem, at("a"), 1000, &back, &length, &err), &err);
    assert_int_equal(length, sizeof(bytes));
    assert_memory_equal(back, bytes, sizeof(bytes));
    assert_int_equal(back[length], 0);
    assert_int_equal(mode_of(at("a")), 0640);
}

static void writing_again_replaces_all_of_it_and_leaves_nothing_beside(void **state)
{
    struct err err = ERR_INIT;
    char *back = NULL;
    size_t length = 0;

    (void)state;
    assert_done(file_write(at("a"), "a longer first text", 19, 0600, &err), &err);
    assert_done(file_write(at("a"), "short", 5, 0600, &err), &err);
    assert_done(file_read(mem, at("a"), 1000, &back, &length, &err), &err);
    assert_string_equal(back, "short");
    assert_int_equal(entries_in_place(), 1);
    assert_int_equal(unlink(at("a")), 0);
    /* rmdir only works on an empty folder: nothing else was left behind. */
    assert_int_equal(rmdir(place), 0);
    assert_int_equal(mkdir(place, 0700), 0);
}

static void a_link_is_replaced_and_what_it_points_to_is_kept(void **state)
{
    struct err err = ERR_INIT;
    char *back = NULL;
    size_t length = 0;

    (void)state;
    assert_done(file_write(at("a"), "kept", 4, 0600, &err), &err);
    assert_int_equal(symlink(at("a"), at("b")), 0);
    assert_done(file_write(at("b"), "new", 3, 0600, &err), &err);
    assert_done(file_read(mem, at("a"), 1000, &back, &length, &err), &err);
    assert_string_equal(back, "kept");
    assert_done(file_read(mem, at("b"), 1000, &back, &length, &err), &err);
    assert_string_equal(back, "new");
}

static void a_file_of_just_the_limit_is_read_and_one_byte_more_is_not(void **state)
{
    struct err err = ERR_INIT;
    char *back = NULL;
    size_t length = 0;

    (void)state;
    assert_done(file_write(at("a"), "12345", 5, 0600, &err), &err);
    assert_done(file_read(mem, at("a"), 5, &back, &length, &err), &err);
    assert_int_equal(length, 5);
    back = NULL;
    assert_false(file_read(mem, at("a"), 4, &back, &length, &err));
    assert_int_equal(err.code, ERR_TOO_LARGE);
    assert_null(back);
}

static void what_is_not_a_plain_file_is_refused_without_waiting(void **state)
{
    struct err err = ERR_INIT;
    char *back = NULL;
    size_t length = 0;

    (void)state;
    assert_int_equal(mkfifo(at("a"), 0600), 0);
    assert_false(file_read(mem, at("a"), 100, &back, &length, &err));
    assert_int_equal(err.code, ERR_INVALID);
    assert_false(file_read(mem, place, 100, &back, &length, &err));
    assert_int_equal(err.code, ERR_INVALID);
    assert_false(file_read(mem, at("c"), 100, &back, &length, &err));
    assert_int_equal(err.code, ERR_NOT_FOUND);
    assert_non_null(strstr(err.text, "/c: it is not there"));
}

static void folders_get_their_mode_whatever_the_umask(void **state)
{
    struct err err = ERR_INIT;
    mode_t before = umask(077);

    (void)state;
    assert_done(file_make_folders(at("a/b/c"), 0755, &err), &err);
    umask(before);
    assert_int_equal(mode_of(at("a/b")), 0755);
    assert_int_equal(mode_of(at("a/b/c")), 0755);
    assert_int_equal(mode_of(place), 0700);
    assert_done(file_make_folders(at("a/b/c"), 0700, &err), &err);
    assert_int_equal(mode_of(at("a/b/c")), 0755);
}

static void a_file_where_a_folder_should_be_is_named(void **state)
{
    struct err err = ERR_INIT;

    (void)state;
    assert_done(file_write(at("a"), "", 0, 0600, &err), &err);
    assert_false(file_make_folders(at("a/b"), 0700, &err));
    assert_non_null(strstr(err.text, at("a")));
}

static void a_tree_is_removed_without_following_its_links(void **state)
{
    struct err err = ERR_INIT;

    (void)state;
    assert_done(file_make_folders(at("a/b"), 0700, &err), &err);
    assert_done(file_make_folders(at("c"), 0700, &err), &err);
    assert_done(file_write(at("c/kept"), "", 0, 0600, &err), &err);
    assert_int_equal(symlink(at("c"), at("a/b/link")), 0);
    assert_done(file_remove_tree(at("a"), &err), &err);
    assert_false(file_exists(at("a")));
    assert_true(file_is_plain(at("c/kept")));
    assert_done(file_remove_tree(at("a"), &err), &err);
}

static void free_space_is_within_the_disk(void **state)
{
    struct file_space space = {0};
    struct err err = ERR_INIT;

    (void)state;
    assert_done(file_space(place, &space, &err), &err);
    assert_true(space.total_bytes > 0);
    assert_true(space.free_bytes <= space.total_bytes);
    assert_false(file_space(at("c"), &space, &err));
    assert_int_equal(err.code, ERR_NOT_FOUND);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define ROW(test) cmocka_unit_test_setup_teardown(test, new_place, drop_place)
        ROW(what_is_written_comes_back_byte_for_byte),
        ROW(writing_again_replaces_all_of_it_and_leaves_nothing_beside),
        ROW(a_link_is_replaced_and_what_it_points_to_is_kept),
        ROW(a_file_of_just_the_limit_is_read_and_one_byte_more_is_not),
        ROW(what_is_not_a_plain_file_is_refused_without_waiting),
        ROW(folders_get_their_mode_whatever_the_umask),
        ROW(a_file_where_a_folder_should_be_is_named),
        ROW(a_tree_is_removed_without_following_its_links),
        ROW(free_space_is_within_the_disk),
#undef ROW
    };

    return cmocka_run_group_tests_name("base/file", tests, NULL, NULL);
}
