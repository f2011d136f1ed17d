/* The build tool that turns SQL files into C: what it makes, and that it stops at what is wrong. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/macro.h"
#include "base/str.h"
#include "db/sql_catalog.h"
#include "harness/cmocka.h"
#include "harness/program.h"

#define EMBED_SQL (BINARY_DIR "/embed_sql")
#define EMBED_FILE (BINARY_DIR "/embed_file")

struct fixture {
    struct arena *mem;
    char *folder;
};

static int new_folder(void **state)
{
    struct arena *mem = arena_new();
    struct fixture *fixture = ARENA_NEW(mem, struct fixture);

    fixture->mem = mem;
    fixture->folder = mkdtemp(arena_strdup(mem, "/tmp/weirbook-sql-XXXXXX"));
    mkdir(arena_printf(mem, "%s/query", fixture->folder), 0700);
    mkdir(arena_printf(mem, "%s/query/pond", fixture->folder), 0700);
    mkdir(arena_printf(mem, "%s/migrate", fixture->folder), 0700);
    *state = fixture;

    return 0;
}

static int remove_folder(void **state)
{
    struct fixture *fixture = *state;
    struct arena *mem = fixture->mem;
    const char *const argv[] = {"rm", "-rf", "--", fixture->folder, NULL};
    char *out = NULL;

    program_run(mem, argv, false, NULL, &out);
    arena_free(&mem);

    return 0;
}

static void put(struct fixture *fixture, const char *name, const char *text)
{
    FILE *file = fopen(arena_printf(fixture->mem, "%s/%s", fixture->folder, name), "w");

    assert_non_null(file);
    fputs(text, file);
    fclose(file);
}

/* Runs the tool over the folder; its exit status. */
static int embed(struct fixture *fixture, char **out)
{
    struct arena *mem = fixture->mem;
    const char *const argv[] = {EMBED_SQL, fixture->folder,
                                arena_printf(mem, "%s/out.h", fixture->folder),
                                arena_printf(mem, "%s/out.c", fixture->folder), NULL};

    return program_run(mem, argv, false, NULL, out);
}

static char *made(struct fixture *fixture, const char *name)
{
    const char *const argv[] = {"cat", arena_printf(fixture->mem, "%s/%s", fixture->folder, name),
                                NULL};
    char *out = NULL;

    assert_int_equal(program_run(fixture->mem, argv, false, NULL, &out), 0);

    return out;
}

static void a_folder_without_files_makes_empty_lists(void **state)
{
    char *out = NULL;

    assert_int_equal(embed(*state, &out), 0);
    assert_non_null(strstr(made(*state, "out.c"), "sql_catalog_count = 0;"));
    assert_non_null(strstr(made(*state, "out.c"), "sql_migrations_count = 0;"));
}

static void parameters_are_counted_outside_of_comments_and_quotes(void **state)
{
    static const struct {
        const char *text;
        const char *count;
        const char *reason;
    } rows[] = {
        {"-- A.\nselect 1;", ", 0}", "none"},
        {"-- A $9.\n/* $8 */ select $1, $2; -- $7\n", ", 2}", "comments do not count"},
        {"-- A.\nselect '$3', $1, \"$4\", 'it''s $5';", ", 1}", "nor do texts and names"},
        {"-- A.\ndo $$ begin perform '$2'; end $$;", ", 0}", "nor what is dollar-quoted"},
        {"-- A.\nselect $q$ ; $1 $q$, $2::text || $1;", ", 2}", "by number and not by count"},
        {"-- A.\nselect $1, $1, a$2 from b;", ", 1}", "a name may hold a $"},
    };
    struct fixture *fixture = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        char *out = NULL;

        put(fixture, "query/pond/one.sql", rows[i].text);
        if (embed(fixture, &out) != 0 ||
            !strstr(
                made(fixture, "out.c"),
                arena_printf(fixture->mem, "{\"pond_one\", text_0000_pond_one%s", rows[i].count)))
            fail_msg("%s: %s", rows[i].reason, out);
    }
}

static void what_is_wrong_stops_the_build_with_its_place(void **state)
{
    static const struct {
        const char *name;
        const char *text;
        const char *expected;
    } rows[] = {
        {"query/pond/a.sql", "select 1;", "a.sql:1: the first line must be a comment"},
        {"query/pond/a.sql", "-- A.\nselect 1", "a.sql:2: the statement does not end in ;"},
        {"query/pond/a.sql", "-- A.\nselect 1;\nselect 2;", "a.sql:3: more than one statement"},
        {"query/pond/a.sql", "-- A.\nselect $1, $3;", "$3 is used, but not $2"},
        {"query/pond/a.sql", "-- A.\n\nselect 'open;", "a.sql:3: a text is not closed"},
        {"query/pond/a.sql", "-- A.\nselect /* ;", "a.sql:2: a comment is not closed"},
        {"query/pond/a.sql", "-- A.\nselect $q$ ;", "a.sql:2: a $ quote is not closed"},
        {"query/pond/a.sql", "-- A.\nselect $65;", "$65 is not in 1 to 64"},
        {"query/pond/a.txt", "-- A.\nselect 1;", "a.txt: is not a .sql file"},
        {"query/pond/A.sql", "-- A.\nselect 1;", "A.sql: name must be a word"},
        {"migrate/one.sql", "select 1;", "one.sql: name must be four digits"},
        {"migrate/0002_two.sql", "select 1;", "0002_two.sql: expected number 0001 here"},
    };
    struct fixture *fixture = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        char *out = NULL;

        put(fixture, rows[i].name, rows[i].text);
        if (embed(fixture, &out) == 0 || !strstr(out, rows[i].expected))
            fail_msg("%s \"%s\": %s", rows[i].name, rows[i].text, out);
        unlink(arena_printf(fixture->mem, "%s/%s", fixture->folder, rows[i].name));
    }
}

static void migrations_come_by_number_with_their_whole_text(void **state)
{
    struct fixture *fixture = *state;
    char *out = NULL;

    put(fixture, "migrate/0002_weir.sql", "b");
    put(fixture, "migrate/0001_pond.sql", "aé");
    put(fixture, "migrate/.0003_hidden.sql", "c");
    assert_int_equal(embed(fixture, &out), 0);

    char *c = made(fixture, "out.c");
    char *pond = strstr(c, "{1, \"pond\", text_0001_pond, 3}");
    char *weir = strstr(c, "{2, \"weir\", text_0002_weir, 1}");

    assert_non_null(pond);
    assert_true(pond < weir);
    assert_non_null(strstr(c, "97,-61,-87,0,"));
}

static void the_program_s_catalog_is_in_order_and_each_name_stands_once(void **state)
{
    (void)state;
    assert_true(sql_catalog_count > 0);
    for (size_t i = 0; i < sql_catalog_count; i++) {
        assert_true(str_starts(sql_catalog[i]->text, "-- "));
        for (size_t j = 0; j < i; j++)
            assert_string_not_equal(sql_catalog[i]->name, sql_catalog[j]->name);
    }
    assert_null(sql_catalog[sql_catalog_count]);
    for (size_t i = 0; i < sql_migrations_count; i++) {
        assert_int_equal(sql_migrations[i].number, i + 1);
        assert_int_equal(strlen(sql_migrations[i].text), sql_migrations[i].length);
    }
}

static void other_files_keep_every_byte_and_are_named_below_their_root(void **state)
{
    struct fixture *fixture = *state;
    struct arena *mem = fixture->mem;
    const char *out_c = arena_printf(mem, "%s/files.c", fixture->folder);
    const char *second = arena_printf(mem, "%s/query/b.yaml", fixture->folder);
    const char *first = arena_printf(mem, "%s/migrate/a.yaml", fixture->folder);
    const char *const argv[] = {EMBED_FILE, "files", fixture->folder, out_c, second, first, NULL};
    const char *const outside[] = {EMBED_FILE, "files",       fixture->folder,
                                   out_c,      "/etc/passwd", NULL};
    char *out = NULL;

    put(fixture, "query/b.yaml", "b\xff");
    put(fixture, "migrate/a.yaml", "");
    assert_int_equal(program_run(mem, argv, false, NULL, &out), 0);

    char *c = made(fixture, "files.c");

    assert_non_null(strstr(c, "files_count = 2;"));
    assert_non_null(strstr(c, "{\"migrate/a.yaml\", bytes_0, 0}"));
    assert_non_null(strstr(c, "{\"query/b.yaml\", bytes_1, 2}"));
    assert_non_null(strstr(c, "98,255,"));
    assert_int_not_equal(program_run(mem, outside, false, NULL, &out), 0);
    assert_non_null(strstr(out, "/etc/passwd: is not below the root folder"));
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, new_folder, remove_folder)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(a_folder_without_files_makes_empty_lists),
        TEST(parameters_are_counted_outside_of_comments_and_quotes),
        TEST(what_is_wrong_stops_the_build_with_its_place),
        TEST(migrations_come_by_number_with_their_whole_text),
        TEST(other_files_keep_every_byte_and_are_named_below_their_root),
        cmocka_unit_test(the_program_s_catalog_is_in_order_and_each_name_stands_once),
    };

    return cmocka_run_group_tests_name("db/sql_catalog", tests, NULL, NULL);
}
