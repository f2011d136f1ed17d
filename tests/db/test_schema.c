/*
 * The schema, from the server's own catalogs: keys that begin with the farm, rights that let the
 * program add and no more, every column on the list, and rows that only their farm sees.
 */
#include <stdio.h>
#include <string.h>

#include "base/str.h"
#include "harness/cmocka.h"
#include "harness/scratch.h"

static int setup(void **state)
{
    if (scratch_database_setup(state) != 0)
        return -1;

    CLEANUP(arena_free) struct arena *mem = arena_new();

    scratch_psql(mem, NULL, "select reading_partitions('2020-05-01Z', '2020-06-30Z')");

    return 0;
}

/* --- the lint ------------------------------------------------------------------------------ */

/*
 * Each query lists what breaks the rule, so nothing is expected from any. `t` are the tables
 * with a farm, partitions among them; those without one are lists of words.
 */
#define TABLES                                                                                     \
    "with t as (select c.oid, c.relname, c.relispartition, c.relrowsecurity from pg_class c"       \
    "            where c.relnamespace = 'weirbook'::regnamespace and c.relkind in ('r', 'p')"      \
    "              and exists (select 1 from pg_attribute a where a.attrelid = c.oid"              \
    "                             and a.attname = 'farm_id' and not a.attisdropped)) "

static const struct {
    const char *reason;
    const char *sql;
} lint[] = {
    {"only the list of migrations and lists of words have no farm",
     TABLES "select relname from pg_class where relnamespace = 'weirbook'::regnamespace"
            " and relkind in ('r', 'p') and oid not in (select oid from t)"
            " and relname <> 'migration'"},
    {"every key and every unique index begins with the farm",
     TABLES "select i.indexrelid::regclass from t join pg_index i on i.indrelid = t.oid"
            " join pg_attribute a on a.attrelid = t.oid and a.attname = 'farm_id'"
            " where (i.indisunique or i.indisexclusion) and i.indkey[0] <> a.attnum"},
    {"every other index begins with the farm too",
     TABLES "select i.indexrelid::regclass from t join pg_index i on i.indrelid = t.oid"
            " join pg_attribute a on a.attrelid = t.oid and a.attname = 'farm_id'"
            " where i.indkey[0] <> a.attnum"},
    {"every table has a primary key",
     TABLES "select relname from t where not exists"
            " (select 1 from pg_index i where i.indrelid = t.oid and i.indisprimary)"},
    {"every foreign key leads with the farm on both sides, or goes to a list of words",
     TABLES "select k.conname from pg_constraint k join t on t.oid = k.conrelid"
            " where k.contype = 'f' and k.confrelid in (select oid from t)"
            " and not exists (select 1 from pg_attribute a, pg_attribute b"
            "   where a.attrelid = k.conrelid and a.attnum = k.conkey[1]"
            "     and b.attrelid = k.confrelid and b.attnum = k.confkey[1]"
            "     and a.attname = 'farm_id' and b.attname = 'farm_id')"},
    {"the hot table has no foreign keys: they cost most of its speed",
     "select conname from pg_constraint where contype = 'f'"
     " and conrelid = 'weirbook.reading'::regclass"},
    {"no key is drawn from a counter",
     "select attrelid::regclass, attname from pg_attribute"
     " where attidentity <> '' and attrelid::regclass::text !~ '^(pg_|information_schema)'"
     " union all select oid::regclass, '' from pg_class"
     " where relkind = 'S' and relnamespace = 'weirbook'::regnamespace"},
    {"the name of a constraint leaves room for the suffix of a part",
     "select conname from pg_constraint where connamespace = 'weirbook'::regnamespace"
     " and octet_length(conname) > 50"},
    {"partitions are one level deep",
     "select relname from pg_class where relnamespace = 'weirbook'::regnamespace"
     " and relkind = 'p' and relispartition"},
    {"only readings are partitioned, and there is no default partition",
     "select relname from pg_class where relnamespace = 'weirbook'::regnamespace"
     " and relkind = 'p' and relname <> 'reading'"
     " union all select partdefid::regclass::text from pg_partitioned_table where partdefid <> 0"},
    {"no policy asks another table",
     "select polname from pg_policy where polqual::text like '%SUBLINK%'"
     " or polwithcheck::text like '%SUBLINK%'"},
    {"no rules but those of views, and no triggers but those of foreign keys",
     "select rulename from pg_rewrite where rulename <> '_RETURN'"
     " and ev_class in (select oid from pg_class"
     "                   where relnamespace = 'weirbook'::regnamespace)"
     " union all select tgname from pg_trigger where not tgisinternal"},
    {"rows are guarded by farm in every table but readings",
     TABLES "select relname from t where relname !~ '^reading(_\\d{4}_\\d\\d)?$'"
            " and not (relrowsecurity"
            "          and exists (select 1 from pg_policy p where p.polrelid = t.oid))"},
    {"readings have no policies: COPY would refuse them",
     TABLES "select relname from t where relname ~ '^reading(_\\d{4}_\\d\\d)?$'"
            " and relrowsecurity"},
    {"so the program and the reader cannot look at readings but through the view",
     TABLES "select relname, r from t, unnest(array['weirbook_program', 'weirbook_reader']) r"
            " where relname ~ '^reading(_\\d{4}_\\d\\d)?$' and has_table_privilege(r, t.oid,"
            " 'select')"},
    {"the view of readings does not let a condition look at rows before its own",
     "select relname from pg_class where relnamespace = 'weirbook'::regnamespace"
     " and relkind = 'v' and not coalesce('security_barrier=true' = any (reloptions), false)"
     " and not coalesce('security_barrier' = any (reloptions), false)"},
    {"nobody but its roles may do anything",
     "select relname, relacl from pg_class where relnamespace = 'weirbook'::regnamespace"
     " and exists (select 1 from aclexplode(relacl) x where x.grantee = 0)"},
    {"the reader may only read",
     "select relname from pg_class where relnamespace = 'weirbook'::regnamespace"
     " and relkind in ('r', 'p', 'v') and has_table_privilege('weirbook_reader', oid,"
     " 'insert, update, delete, truncate, references, trigger')"},
    {"a function that runs with its owner's rights has a fixed search path",
     "select proname from pg_proc where pronamespace = 'weirbook'::regnamespace and prosecdef"
     " and not coalesce(array_to_string(proconfig, ' ') ~ 'search_path=', false)"},
    {"and is not for everybody",
     "select proname from pg_proc where pronamespace = 'weirbook'::regnamespace and prosecdef"
     " and (proacl is null or exists (select 1 from aclexplode(proacl) x where x.grantee = 0))"},
    {"everything belongs to the owner",
     "select relname from pg_class where relnamespace = 'weirbook'::regnamespace"
     " and relowner <> 'weirbook_owner'::regrole"},
};

static void the_schema_keeps_the_rules(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    size_t broken = 0;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(lint); i++) {
        char *found = scratch_psql(mem, NULL, lint[i].sql);

        if (*found)
            print_error("%s:\n%s\n", lint[i].reason, found);
        broken += *found != '\0';
    }
    assert_int_equal(broken, 0);
}

/* A table that breaks most rules at once shows that the queries above find anything. */
static void a_table_that_breaks_the_rules_is_found(void **state)
{
    static const char bad[] =
        "begin;"
        "create table weirbook.words_of_ours (word text primary key);"
        "create table weirbook.bad (n int generated always as identity primary key,"
        "    farm_id bigint, word text references weirbook.words_of_ours,"
        "    series bigint, constraint this_name_of_a_constraint_is_longer_than_it_ought_to_be"
        "    unique (n, farm_id), foreign key (series, farm_id) references"
        "    weirbook.series (series_id, farm_id)) partition by range (n);";
    static const char *const found_by[] = {
        "only the list of migrations and lists of words have no farm",
        "every key and every unique index begins with the farm",
        "every foreign key leads with the farm on both sides, or goes to a list of words",
        "no key is drawn from a counter",
        "the name of a constraint leaves room for the suffix of a part",
        "only readings are partitioned, and there is no default partition",
        "rows are guarded by farm in every table but readings",
        "everything belongs to the owner",
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(found_by); i++) {
        const char *sql = NULL;

        for (size_t j = 0; j < ARRAY_LEN(lint); j++) {
            if (str_equal(lint[j].reason, found_by[i]))
                sql = lint[j].sql;
        }
        assert_non_null(sql);

        char *found = scratch_psql(mem, NULL, arena_printf(mem, "%s%s; rollback;", bad, sql));

        if (!*found)
            fail_msg("nothing found by: %s", found_by[i]);
    }
}

/* --- the list of columns ------------------------------------------------------------------- */

/* psql with the list in a temporary table, and a query over it. */
static char *with_columns(struct arena *mem, const char *sql)
{
    return scratch_psql(mem, NULL,
                        arena_printf(mem,
                                     "create temp table listed (tab text, col text, kind text);\n"
                                     "\\copy listed from '%s/sql/columns.tsv'\n%s",
                                     SOURCE_DIR, sql));
}

static void every_column_is_listed_once_as_record_worked_out_or_working(void **state)
{
    static const struct {
        const char *reason;
        const char *sql;
    } rows[] = {
        {"of another kind",
         "select * from listed where kind not in ('record', 'worked out', 'working')"},
        {"listed twice", "select tab, col from listed group by 1, 2 having count(*) > 1"},
        {"not listed",
         "select c.relname, a.attname from pg_class c join pg_attribute a on a.attrelid = c.oid"
         " where c.relnamespace = 'weirbook'::regnamespace and c.relkind in ('r', 'p')"
         "   and not c.relispartition and a.attnum > 0 and not a.attisdropped"
         " except select tab, col from listed"},
        {"listed and not there",
         "select tab, col from listed except"
         " select c.relname, a.attname from pg_class c join pg_attribute a on a.attrelid = c.oid"
         " where c.relnamespace = 'weirbook'::regnamespace and c.relkind in ('r', 'p')"
         "   and a.attnum > 0 and not a.attisdropped"},
        {"keys of a record that are no record",
         "select tab, col from listed l where kind <> 'record' and col = 'farm_id'"
         " and exists (select 1 from listed r where r.tab = l.tab and r.kind = 'record')"},
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();
    size_t wrong = 0;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        char *found = with_columns(mem, rows[i].sql);

        if (*found)
            print_error("columns %s:\n%s\n", rows[i].reason, found);
        wrong += *found != '\0';
    }
    assert_int_equal(wrong, 0);
}

/* --- what the program may not do ----------------------------------------------------------- */

/* Run a statement made on the spot, in a transaction that sees farm 1; its SQLSTATE. */
static char *state_of(struct db *db, struct arena *mem, const char *text)
{
    static int number;
    struct sql_text *sql = ARENA_NEW(mem, struct sql_text);
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct err err = ERR_INIT;

    *sql = (struct sql_text){arena_printf(mem, "test_%d", ++number), text, 0};
    assert_done(db_tx_begin(db, 1, &tx, &err), &err);
    if (db_do(&tx, sql, DB_NO_PARAMS, &err))
        return arena_strdup(mem, "00000");

    return arena_strdup(mem, db_sqlstate(db));
}

/* Each line of `tables` in each of the statements, where %s stands for the table. */
static size_t allowed(struct db *db, struct arena *mem, char *tables, const char *const *statements,
                      size_t count)
{
    char *rest = NULL;
    size_t wrong = 0;

    for (char *table = strtok_r(tables, "\n", &rest); table; table = strtok_r(NULL, "\n", &rest)) {
        for (size_t i = 0; i < count; i++) {
            const char *at = strchr(statements[i], '%');
            char *text = arena_printf(mem, "%.*s%s%s", (int)(at - statements[i]), statements[i],
                                      table, at + 2);
            char *state = state_of(db, mem, text);

            if (strcmp(state, "42501") != 0)
                print_error("%s: %s\n", text, state);
            wrong += strcmp(state, "42501") != 0;
        }
    }

    return wrong;
}

static void the_program_cannot_change_or_remove_a_record(void **state)
{
    static const char *const statements[] = {
        "update %s set farm_id = farm_id",    "delete from %s", "truncate %s",
        "alter table %s add column more int", "drop table %s",
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_close) struct db *db = scratch_open(DB_ROLE_PROGRAM);
    char *tables = with_columns(mem, "select tab from listed where kind = 'record' group by 1"
                                     " union all select 'reading_2020_05' order by 1");

    (void)state;
    assert_non_null(strstr(tables, "ledger"));
    assert_int_equal(allowed(db, mem, tables, statements, ARRAY_LEN(statements)), 0);
}

static void the_program_cannot_touch_the_list_of_migrations(void **state)
{
    static const char *const statements[] = {
        "insert into %s (number, name, sha256) values (99, 'x', '\\x00')",
        "update %s set name = name",
        "delete from %s",
        "alter table %s add column more int",
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_close) struct db *db = scratch_open(DB_ROLE_PROGRAM);
    char *table = arena_strdup(mem, "migration");

    (void)state;
    assert_int_equal(allowed(db, mem, table, statements, ARRAY_LEN(statements)), 0);
}

static void the_program_cannot_become_anyone_else(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_close) struct db *db = scratch_open(DB_ROLE_PROGRAM);

    (void)state;
    assert_string_equal(state_of(db, mem, "set role weirbook_owner"), "42501");
    assert_string_equal(state_of(db, mem, "set role weirbook_admin"), "42501");
    assert_string_equal(state_of(db, mem, "create table weirbook.mine (n int)"), "42501");
    assert_string_equal(state_of(db, mem, "select * from reading"), "42501");
    assert_string_equal(state_of(db, mem, "select * from reading_2020_05"), "42501");
}

/* --- rows and farms ------------------------------------------------------------------------ */

static const struct sql_text farm_keys = {
    "test_farm_keys", "select coalesce(string_agg(key::text, ' ' order by key), '') from farm", 0};
static const struct sql_text reading_farms = {
    "test_reading_farms",
    "select coalesce(string_agg(farm_id::text, ' ' order by farm_id), '') from reading_now"
    " where at between '2020-05-01Z' and '2020-05-31Z'",
    0};
static const struct sql_text farm_add = {
    "test_farm_add", "insert into farm (farm_id, key) values ($1::bigint, $2::text)", 2};
static const struct sql_text reading_add = {
    "test_reading_add",
    "insert into reading (farm_id, series_id, at, until, portion, value, receipt, line, col,"
    " flags, qualifier, reported, unit) values ($1::bigint, 1, '2020-05-02Z', '2020-05-02Z', 0, 7,"
    " 1, 1, 1, 0, '=', 7, '1')",
    1};

static void assert_seen(struct db *db, int64_t farm_id, const struct sql_text *sql,
                        const char *expected)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    CLEANUP(db_rows_clear) struct db_rows rows = {0};
    struct err err = ERR_INIT;

    assert_done(db_tx_begin(db, farm_id, &tx, &err), &err);
    assert_done(db_run(&tx, sql, DB_NO_PARAMS, &rows, &err), &err);
    assert_string_equal(db_rows_text(&rows, 0, 0), expected);
    assert_done(db_tx_commit(&tx, &err), &err);
}

static void farm_with_a_reading(struct db *db, int64_t farm_id, const char *key)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct err err = ERR_INIT;

    assert_done(db_tx_begin(db, farm_id, &tx, &err), &err);
    assert_done(db_do(&tx, &farm_add, DB_PARAMS(db_int(farm_id), db_text(key)), &err), &err);
    assert_done(db_do(&tx, &reading_add, DB_PARAMS(db_int(farm_id)), &err), &err);
    assert_done(db_tx_commit(&tx, &err), &err);
}

static void one_connection_sees_the_farm_of_its_transaction_and_no_other(void **state)
{
    CLEANUP(db_close) struct db *db = scratch_open(DB_ROLE_PROGRAM);

    (void)state;
    farm_with_a_reading(db, 101, "farm-a");
    farm_with_a_reading(db, 102, "farm-b");

    static const struct {
        int64_t farm_id;
        const char *keys;
        const char *readings;
    } rows[] = {
        {101, "farm-a", "101"}, {102, "farm-b", "102"}, {0, "", ""},
        {101, "farm-a", "101"}, {103, "", ""},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        assert_seen(db, rows[i].farm_id, &farm_keys, rows[i].keys);
        assert_seen(db, rows[i].farm_id, &reading_farms, rows[i].readings);
    }
}

static void a_row_of_another_farm_cannot_be_added(void **state)
{
    CLEANUP(db_close) struct db *db = scratch_open(DB_ROLE_PROGRAM);
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct err err = ERR_INIT;

    (void)state;
    assert_done(db_tx_begin(db, 201, &tx, &err), &err);
    assert_fails(db_do(&tx, &farm_add, DB_PARAMS(db_int(202), db_text("not-mine")), &err),
                 ERR_DENIED, &err);
    assert_non_null(strstr(err.text, "row-level security"));
}

/* A session that never named a farm, as somebody with psql would have it. */
static void a_session_that_names_no_farm_sees_nothing(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    assert_string_equal(scratch_psql_as(mem, NULL, "weirbook_program",
                                        "select count(*) from farm;"
                                        "select count(*) from reading_now where at between"
                                        " '2020-05-01Z' and '2020-05-31Z';"),
                        "0\n0");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_schema_keeps_the_rules),
        cmocka_unit_test(a_table_that_breaks_the_rules_is_found),
        cmocka_unit_test(every_column_is_listed_once_as_record_worked_out_or_working),
        cmocka_unit_test(the_program_cannot_change_or_remove_a_record),
        cmocka_unit_test(the_program_cannot_touch_the_list_of_migrations),
        cmocka_unit_test(the_program_cannot_become_anyone_else),
        cmocka_unit_test(one_connection_sees_the_farm_of_its_transaction_and_no_other),
        cmocka_unit_test(a_row_of_another_farm_cannot_be_added),
        cmocka_unit_test(a_session_that_names_no_farm_sees_nothing),
    };

    return cmocka_run_group_tests_name("db/schema", tests, setup, scratch_database_teardown);
}
