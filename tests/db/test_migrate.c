/* Migrations: applied once and in order, whole or not at all, and never over what is not known. */
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "db/migrate.h"
#include "db/migrate_private.h"
#include "harness/cmocka.h"
#include "harness/scratch.h"

#define MIGRATION(number, name, text)                                                              \
    {                                                                                              \
        number, name, text, sizeof(text) - 1                                                       \
    }

static const struct sql_migration first_two[] = {
    MIGRATION(1, "pond", "create table pond (n int); insert into pond values (1);"),
    MIGRATION(2, "weir", "create table weir (n int); insert into weir values (1), (2);"),
};
static const struct sql_migration with_third[] = {
    MIGRATION(1, "pond", "create table pond (n int); insert into pond values (1);"),
    MIGRATION(2, "weir", "create table weir (n int); insert into weir values (1), (2);"),
    MIGRATION(3, "more", "insert into pond values (2); grant select on pond to weirbook_reader;"),
};
static const struct sql_migration other_text[] = {
    MIGRATION(1, "pond", "create table pond (n int); insert into pond values (1);"),
    MIGRATION(2, "weir", "create table weir (n bigint);"),
};
static const struct sql_migration breaks_late[] = {
    MIGRATION(1, "pond", "create table pond (n int); insert into pond values (1);"),
    MIGRATION(2, "weir", "create table weir (n int); insert into weir values (1); select 1 / 0;"),
};

#define LIST(items) ((struct migration_list){items, ARRAY_LEN(items)})

/* A database of its own for each test, with roles and schema and nothing in it. */
struct fixture {
    struct arena *mem;
    const char *conninfo;
    struct db *owner;
};

static struct db *open_as(const char *conninfo, enum db_role role)
{
    struct db *db = NULL;
    struct err err = ERR_INIT;

    assert_done(db_open(conninfo, true, role, &db, &err), &err);

    return db;
}

static int new_database(void **state)
{
    static int number;
    struct arena *mem = arena_new();
    struct fixture *fixture = ARENA_NEW(mem, struct fixture);
    struct err err = ERR_INIT;

    fixture->mem = mem;
    fixture->conninfo = scratch_empty_database(mem, arena_printf(mem, "m%d", ++number));

    CLEANUP(db_close) struct db *admin = open_as(fixture->conninfo, DB_ROLE_ADMIN);

    assert_done(migrate_roles(admin, &err), &err);
    fixture->owner = open_as(fixture->conninfo, DB_ROLE_OWNER);
    *state = fixture;

    return 0;
}

static int close_database(void **state)
{
    struct fixture *fixture = *state;
    struct arena *mem = fixture->mem;

    db_close(&fixture->owner);
    arena_free(&mem);

    return 0;
}

static int up(struct fixture *fixture, struct migration_list list)
{
    struct err err = ERR_INIT;
    int applied = -1;

    assert_done(migrate_up_with(fixture->owner, list, &applied, &err), &err);

    return applied;
}

static void assert_psql(struct fixture *fixture, const char *sql, const char *expected)
{
    assert_string_equal(scratch_psql(fixture->mem, fixture->conninfo, sql), expected);
}

static void migrations_run_once_in_order_as_the_owner(void **state)
{
    struct fixture *fixture = *state;

    assert_int_equal(up(fixture, LIST(first_two)), 2);
    assert_int_equal(up(fixture, LIST(first_two)), 0);
    assert_int_equal(up(fixture, LIST(with_third)), 1);
    assert_psql(fixture, "select (select sum(n) from pond), (select count(*) from weir)", "3|2");
    assert_psql(fixture, "select string_agg(number || name, ' ' order by number) from migration",
                "1pond 2weir 3more");
    assert_psql(fixture, "select distinct tableowner from pg_tables where schemaname = 'weirbook'",
                "weirbook_owner");
}

static void the_digest_is_that_of_the_text(void **state)
{
    struct fixture *fixture = *state;

    up(fixture, LIST(first_two));
    assert_psql(fixture,
                arena_printf(fixture->mem,
                             "select sha256 = sha256(convert_to($$%s$$, 'UTF8')) from migration"
                             " where number = 2",
                             first_two[1].text),
                "t");
}

static void a_migration_that_breaks_leaves_nothing_of_itself_and_keeps_those_before(void **state)
{
    struct fixture *fixture = *state;
    struct err err = ERR_INIT;
    int applied = -1;

    assert_fails(migrate_up_with(fixture->owner, LIST(breaks_late), &applied, &err), ERR_INVALID,
                 &err);
    assert_non_null(strstr(err.text, "migration 0002: weir: division by zero"));
    assert_int_equal(applied, -1);
    assert_psql(fixture, "select to_regclass('weirbook.weir') is null, max(number) from migration",
                "t|1");
    assert_int_equal(up(fixture, LIST(first_two)), 1);
}

static void a_database_that_is_newer_or_other_is_left_alone(void **state)
{
    const struct {
        const char *reason;
        struct migration_list list;
        const char *text;
    } rows[] = {
        {"a newer program was here", LIST(first_two), "holds migration 3 (more)"},
        {"its text was another one", LIST(other_text), "step 2 (weir) of the schema differs"},
    };
    struct fixture *fixture = *state;

    up(fixture, LIST(with_third));
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct err err = ERR_INIT;
        int applied = -1;

        assert_fails(migrate_up_with(fixture->owner, rows[i].list, &applied, &err), ERR_CONFLICT,
                     &err);
        if (!strstr(err.text, rows[i].text))
            fail_msg("%s: %s", rows[i].reason, err.text);
        assert_fails(migrate_check_with(fixture->owner, rows[i].list, &err), ERR_CONFLICT, &err);
    }
    assert_psql(fixture, "select count(*) from migration", "3");
}

static void the_check_passes_only_for_exactly_this_schema(void **state)
{
    struct fixture *fixture = *state;
    CLEANUP(db_close) struct db *reader = open_as(fixture->conninfo, DB_ROLE_READER);
    struct err err = ERR_INIT;

    assert_fails(migrate_check_with(reader, LIST(first_two), &err), ERR_CONFLICT, &err);
    assert_non_null(strstr(err.text, "has not been set up"));
    up(fixture, LIST(first_two));
    assert_done(migrate_check_with(reader, LIST(first_two), &err), &err);
    assert_fails(migrate_check_with(reader, LIST(with_third), &err), ERR_CONFLICT, &err);
    assert_non_null(strstr(err.text, "stands at migration 2, and this program needs 3"));
}

static void a_program_stops_at_once_when_another_one_migrates_under_it(void **state)
{
    static const struct sql_text one = {"test_one", "select 1", 0};
    struct fixture *fixture = *state;
    CLEANUP(db_close) struct db *db = open_as(fixture->conninfo, DB_ROLE_PROGRAM);
    struct err err = ERR_INIT;

    up(fixture, LIST(first_two));
    assert_done(migrate_check_with(db, LIST(first_two), &err), &err);

    struct db_tx before = {0};

    assert_done(db_tx_begin(db, 1, &before, &err), &err);
    assert_done(db_do(&before, &one, DB_NO_PARAMS, &err), &err);
    assert_done(db_tx_commit(&before, &err), &err);

    up(fixture, LIST(with_third));
    CLEANUP(db_tx_end) struct db_tx after = {0};

    assert_done(db_tx_begin(db, 1, &after, &err), &err);
    assert_fails(db_do(&after, &one, DB_NO_PARAMS, &err), ERR_CONFLICT, &err);
    assert_fails(db_do(&after, &one, DB_NO_PARAMS, &err), ERR_UNAVAILABLE, &err);
    assert_fails(db_tx_commit(&after, &err), ERR_UNAVAILABLE, &err);
}

/* In a process of its own: exit status 0 when it came through. */
static pid_t migrate_beside(const char *conninfo)
{
    pid_t pid = fork();

    if (pid != 0)
        return pid;

    struct db *owner = NULL;
    struct err err = ERR_INIT;
    int applied = 0;

    _exit(!db_open(conninfo, true, DB_ROLE_OWNER, &owner, &err) ||
          !migrate_up_with(owner, LIST(with_third), &applied, &err));
}

static void programs_that_migrate_at_the_same_time_do_it_once(void **state)
{
    struct fixture *fixture = *state;
    pid_t pids[6];

    for (size_t i = 0; i < ARRAY_LEN(pids); i++)
        pids[i] = migrate_beside(fixture->conninfo);
    for (size_t i = 0; i < ARRAY_LEN(pids); i++) {
        int status = -1;

        assert_int_equal(waitpid(pids[i], &status, 0), pids[i]);
        assert_int_equal(status, 0);
    }
    assert_psql(fixture, "select (select sum(n) from pond), (select count(*) from migration)",
                "3|3");
}

/* --- roles --------------------------------------------------------------------------------- */

static void making_the_roles_again_changes_nothing(void **state)
{
    struct fixture *fixture = *state;
    CLEANUP(db_close) struct db *admin = open_as(fixture->conninfo, DB_ROLE_ADMIN);
    struct err err = ERR_INIT;

    up(fixture, LIST(first_two));
    assert_done(migrate_roles(admin, &err), &err);
    assert_psql(fixture,
                "select rolname, rolsuper, rolcreaterole, rolcreatedb, rolcanlogin, rolbypassrls,"
                " rolreplication from pg_roles where rolname ~ '^weirbook' order by 1",
                "weirbook_admin|t|t|t|t|t|t\n"
                "weirbook_owner|f|f|f|t|f|f\n"
                "weirbook_program|f|f|f|t|f|f\n"
                "weirbook_reader|f|f|f|t|f|f");
    assert_psql(fixture, "select nspowner::regrole from pg_namespace where nspname = 'weirbook'",
                "weirbook_owner");
}

static void the_program_and_the_reader_own_nothing_and_make_nothing(void **state)
{
    struct fixture *fixture = *state;

    assert_psql(fixture,
                "select count(*) from pg_shdepend where deptype = 'o' and refobjid in"
                " ('weirbook_program'::regrole, 'weirbook_reader'::regrole)",
                "0");
    assert_psql(fixture,
                "select has_schema_privilege('weirbook_program', 'weirbook', 'create'),"
                " has_schema_privilege('weirbook_reader', 'weirbook', 'create'),"
                " has_schema_privilege('weirbook_program', 'public', 'create')",
                "f|f|f");
}

/* Roles are the cluster's: one that may not even make the schema is enough for a refusal. */
static void an_account_that_may_not_make_roles_is_told_whom_to_ask(void **state)
{
    struct fixture *fixture = *state;
    CLEANUP(db_close) struct db *db = NULL;
    struct err err = ERR_INIT;

    scratch_psql(fixture->mem, NULL, "create role test_lodger login;");
    assert_done(db_open(arena_printf(fixture->mem, "%s user=test_lodger", fixture->conninfo), false,
                        DB_ROLE_ADMIN, &db, &err),
                &err);
    assert_fails(migrate_roles(db, &err), ERR_DENIED, &err);
    assert_non_null(strstr(err.hint, "weirbook database sql"));
    db_close(&db);
    scratch_psql(fixture->mem, NULL, "drop role test_lodger;");
}

static void what_an_administrator_runs_lets_an_ordinary_account_do_the_rest(void **state)
{
    struct fixture *fixture = *state;
    struct arena *mem = fixture->mem;
    const char *conninfo = scratch_empty_database(mem, "rented");
    const char *as_tenant = arena_printf(mem, "%s user=test_tenant", conninfo);
    CLEANUP(db_close) struct db *admin = NULL;
    CLEANUP(db_close) struct db *owner = NULL;
    CLEANUP(db_close) struct db *program = NULL;
    struct err err = ERR_INIT;
    int applied = 0;

    scratch_psql(mem, conninfo, "create role test_tenant login;");
    scratch_psql(mem, conninfo, migrate_roles_sql());
    scratch_psql(mem, conninfo,
                 "grant weirbook_owner, weirbook_program, weirbook_reader to test_tenant;");

    assert_done(db_open(as_tenant, false, DB_ROLE_ADMIN, &admin, &err), &err);
    assert_done(migrate_roles(admin, &err), &err);
    assert_done(db_open(as_tenant, false, DB_ROLE_OWNER, &owner, &err), &err);
    assert_done(migrate_up_with(owner, LIST(with_third), &applied, &err), &err);
    assert_int_equal(applied, 3);
    assert_done(db_open(as_tenant, false, DB_ROLE_PROGRAM, &program, &err), &err);
    assert_done(migrate_check_with(program, LIST(with_third), &err), &err);

    db_close(&admin);
    db_close(&owner);
    db_close(&program);
    scratch_psql(mem, conninfo, "drop role test_tenant;");
}

/* --- the program's own migrations ---------------------------------------------------------- */

static void the_program_s_own_migrations_are_all_in_the_template(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_close) struct db *program = scratch_open(DB_ROLE_PROGRAM);
    struct err err = ERR_INIT;

    (void)state;
    assert_done(migrate_check(program, &err), &err);
    assert_string_equal(scratch_psql(mem, NULL, "select count(*), max(number) from migration"),
                        arena_printf(mem, "%d|%d", migrate_newest(), migrate_newest()));
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, new_database, close_database)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(migrations_run_once_in_order_as_the_owner),
        TEST(the_digest_is_that_of_the_text),
        TEST(a_migration_that_breaks_leaves_nothing_of_itself_and_keeps_those_before),
        TEST(a_database_that_is_newer_or_other_is_left_alone),
        TEST(the_check_passes_only_for_exactly_this_schema),
        TEST(a_program_stops_at_once_when_another_one_migrates_under_it),
        TEST(programs_that_migrate_at_the_same_time_do_it_once),
        TEST(making_the_roles_again_changes_nothing),
        TEST(the_program_and_the_reader_own_nothing_and_make_nothing),
        TEST(an_account_that_may_not_make_roles_is_told_whom_to_ask),
        TEST(what_an_administrator_runs_lets_an_ordinary_account_do_the_rest),
        cmocka_unit_test(the_program_s_own_migrations_are_all_in_the_template),
    };

    return cmocka_run_group_tests_name("db/migrate", tests, scratch_database_setup,
                                       scratch_database_teardown);
}
