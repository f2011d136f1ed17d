#include "harness/farm.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "app/clause_acts.h"
#include "base/file.h"
#include "base/str.h"

#define FARM_FILE SOURCE_DIR "/tests/harness/farm.yaml"

enum { FARM_FILE_MOST = 65536 };

static const char now_text[] = "2026-07-10 12:00";

/* Of this test program. */
static struct {
    struct arena *mem;
    struct db *admin;
    struct units *units;
    const char *text;
    int statements;
} all;

/*
 * Lists every table with farm_id, partitions apart: its name, number of rows and digest of them.
 * The order of the rows does not count, nor where they lie.
 */
static const char state_function[] =
    "create function public.test_state(farm bigint, wholly boolean) returns text\n"
    "    language plpgsql as $$\n"
    "declare\n"
    "    t text;\n"
    "    line text;\n"
    "    all_lines text := '';\n"
    "begin\n"
    "    for t in select c.relname from pg_class c\n"
    "              where c.relnamespace = 'weirbook'::regnamespace and c.relkind in ('r', 'p')\n"
    "                and not c.relispartition and c.relname <> 'migration' order by 1\n"
    "    loop\n"
    "        execute format('select %L || '' '' || count(*) || case when $2 then '' '' ||\n"
    "                        coalesce(sum((''x'' || substr(md5(r::text), 1, "
    "15))::bit(60)::bigint),\n"
    "                        0)::text else '''' end from weirbook.%I r\n"
    "                        where $1 is null or farm_id = $1', t, t)\n"
    "           into line using farm, wholly;\n"
    "        all_lines := all_lines || line || E'\\n';\n"
    "    end loop;\n"
    "    return all_lines;\n"
    "end $$;";

int test_farms_setup(void **state)
{
    struct err err = ERR_INIT;
    size_t length = 0;
    char *text = NULL;

    if (scratch_database_setup(state) != 0)
        return -1;
    all.mem = arena_new();
    scratch_psql(all.mem, NULL, state_function);
    all.admin = scratch_open(DB_ROLE_ADMIN);
    assert_done(units_load(&all.units, &err), &err);
    assert_done(file_read(all.mem, FARM_FILE, FARM_FILE_MOST, &text, &length, &err), &err);
    all.text = text;

    return 0;
}

int test_farms_teardown(void **state)
{
    db_close(&all.admin);
    units_free(&all.units);
    arena_free(&all.mem);

    return scratch_database_teardown(state);
}

/* --- a farm -------------------------------------------------------------------------------- */

struct test_farm *test_farm_unmade(void)
{
    struct arena *mem = arena_new();
    struct test_farm *farm = ARENA_NEW(mem, struct test_farm);
    char *folder = arena_strdup(mem, "/tmp/weirbook-files-XXXXXX");

    assert_non_null(mkdtemp(folder));
    *farm = (struct test_farm){.mem = mem,
                               .db = scratch_open(DB_ROLE_PROGRAM),
                               .units = all.units,
                               .act = test_act("pat", now_text),
                               .key = arena_printf(mem, "farm-%lld", (long long)random_id()),
                               .folder = folder};
    farm->text = test_swap(mem, all.text, "key: KEY\n", arena_printf(mem, "key: %s\n", farm->key));

    return farm;
}

struct test_farm *test_farm_make(void)
{
    struct test_farm *farm = test_farm_unmade();
    struct farm_changes changes = {0};

    test_farm_load(farm, farm->text, &farm->act, &changes);
    test_farm_confirm(farm);

    return farm;
}

void test_farm_drop(struct test_farm **farm)
{
    struct arena *mem = *farm ? (*farm)->mem : NULL;
    struct err err = ERR_INIT;

    if (!mem)
        return;
    db_close(&(*farm)->db);
    assert_done(file_remove_tree((*farm)->folder, &err), &err);
    arena_free(&mem);
    *farm = NULL;
}

int test_farm_new(void **state)
{
    *state = test_farm_make();

    return 0;
}

int test_farm_done(void **state)
{
    struct test_farm *farm = *state;

    db_fault_after(0);
    test_farm_drop(&farm);

    return 0;
}

void test_farm_load(struct test_farm *farm, const char *text, const struct act *act,
                    struct farm_changes *changes)
{
    struct farmfile_problems problems = {0};
    struct err err = ERR_INIT;

    assert_done(farm_load(farm->db, farm->mem, farm->units, text, strlen(text), act, false, changes,
                          &problems, &err),
                &err);
    assert_done(farm_open(farm->db, farm->mem, farm->units, farm->key, &farm->open, &err), &err);
}

void test_farm_confirm(struct test_farm *farm)
{
    struct act quinn = {.person = "quinn", .at = farm->act.at};
    struct err err = ERR_INIT;
    int confirmed = 0;

    assert_done(limits_confirm(farm->db, farm->mem, &farm->open, NULL, 0, &quinn, &confirmed, &err),
                &err);
}

/* --- words and files ----------------------------------------------------------------------- */

instant test_at(const char *text)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct err err = ERR_INIT;
    instant at = INSTANT_NONE;

    assert_true(strlen(text) == strlen("2026-05-01 09:30"));
    assert_done(instant_parse(arena_printf(mem, "%.10sT%s:00Z", text, text + strlen("2026-05-01 ")),
                              &at, &err),
                &err);

    return at;
}

struct act test_act(const char *person, const char *at)
{
    return (struct act){.person = person, .at = test_at(at)};
}

char *test_swap(struct arena *mem, const char *text, const char *old, const char *with)
{
    const char *found = strstr(text, old);

    if (!found || strstr(found + 1, old))
        fail_msg("'%s' is %s in the text", old, found ? "more than once" : "not");

    return arena_printf(mem, "%.*s%s%s", (int)(found - text), text, with, found + strlen(old));
}

const char *test_file_bytes(struct test_farm *farm, const char *name, const void *bytes,
                            size_t length)
{
    const char *path = arena_printf(farm->mem, "%s/%s", farm->folder, name);
    struct err err = ERR_INIT;

    assert_done(file_write(path, bytes, length, 0600, &err), &err);

    return path;
}

const char *test_file(struct test_farm *farm, const char *name, const char *text)
{
    return test_file_bytes(farm, name, text, strlen(text));
}

static struct take_in_result take(struct test_farm *farm, const char *source, const char *name,
                                  const char *text, bool staged)
{
    struct take_in_options options = {.staged_only = staged};
    struct take_in_result result = {.already = false};
    struct err err = ERR_INIT;

    assert_done(take_in(farm->db, farm->mem, &farm->open, source, test_file(farm, name, text),
                        &farm->act, &options, &result, &err),
                &err);

    return result;
}

struct take_in_result test_take(struct test_farm *farm, const char *source, const char *name,
                                const char *text)
{
    return take(farm, source, name, text, false);
}

struct take_in_result test_take_staged(struct test_farm *farm, const char *source, const char *name,
                                       const char *text)
{
    return take(farm, source, name, text, true);
}

/* --- looking at the records ---------------------------------------------------------------- */

/* A statement is known by its address, so each text needs one of its own for good. */
static const struct sql_text *statement(const char *sql)
{
    struct sql_text *text = ARENA_NEW(all.mem, struct sql_text);

    *text =
        (struct sql_text){.name = arena_printf(all.mem, "test_%d", ++all.statements),
                          .text = arena_printf(all.mem, "with farm as (select $1::bigint) %s", sql),
                          .parameters = 1};

    return text;
}

char *test_query(const struct test_farm *farm, const char *sql)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    CLEANUP(db_rows_clear) struct db_rows rows = {0};
    struct buf text = buf_new(farm->mem);
    struct err err = ERR_INIT;

    assert_done(db_tx_begin(all.admin, farm->open.farm_id, &tx, &err), &err);
    if (!db_run(&tx, statement(sql), DB_PARAMS(db_int(farm->open.farm_id)), &rows, &err)) {
        db_tx_end(&tx); /* a failed check jumps past its CLEANUP */
        fail_msg("%s: %s", sql, err.text);
    }
    for (size_t i = 0; i < db_rows_count(&rows); i++)
        buf_addf(&text, "%s%s", i ? "\n" : "", db_rows_text(&rows, i, 0));
    assert_done(db_tx_commit(&tx, &err), &err);

    return text.data;
}

int64_t test_number(const struct test_farm *farm, const char *sql)
{
    return strtoll(test_query(farm, sql), NULL, 10);
}

char *test_state(const struct test_farm *farm)
{
    return test_query(farm, "select public.test_state(null, true)");
}

char *test_sizes(const struct test_farm *farm)
{
    return test_query(farm, "select public.test_state($1::bigint, false)");
}

void test_state_same(const char *before, const char *after, const char *when)
{
    while (*before && *after) {
        size_t left = strcspn(before, "\n");
        size_t right = strcspn(after, "\n");

        if (left != right || strncmp(before, after, left) != 0)
            fail_msg("%s: %.*s became %.*s", when, (int)left, before, (int)right, after);
        before += left + (before[left] == '\n');
        after += right + (after[right] == '\n');
    }
    assert_string_equal(before, after);
}
