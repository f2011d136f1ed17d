/* Transactions and statements: what is kept, what is undone, what comes back, how it fails. */
#include <math.h>
#include <string.h>

#include "harness/cmocka.h"
#include "harness/scratch.h"

/* What the tests write to; note_warn makes a COMMIT come with a warning, as a silent standby does.
 */
static const char tables[] =
    "create table weirbook.note (farm_id bigint, n int, words text, primary key (farm_id, n));"
    "create table weirbook.note_page (farm_id bigint, n int,"
    "    foreign key (farm_id, n) references weirbook.note);"
    "grant select, insert on weirbook.note, weirbook.note_page to weirbook_program;"
    "create function weirbook.fail_with(state text) returns void language plpgsql as"
    "    $$ begin raise exception 'made to fail' using errcode = state; end $$;"
    "create function weirbook.warn() returns trigger language plpgsql as"
    "    $$ begin if new.words = 'warn' then raise warning 'no standby'; end if;"
    "       return null; end $$;"
    "create constraint trigger note_warn after insert on weirbook.note"
    "    deferrable initially deferred for each row execute function weirbook.warn();";

static const struct sql_text farms = {"test_farms", "select current_setting('weirbook.farms')", 0};
static const struct sql_text add = {"test_add",
                                    "insert into note values ($1::bigint, $2::int, $3::text)", 3};
static const struct sql_text add_page = {"test_add_page",
                                         "insert into note_page values ($1::bigint, $2::int)", 2};
static const struct sql_text count = {"test_count",
                                      "select count(*) from note where farm_id = $1::bigint", 1};
static const struct sql_text fail_with = {"test_fail_with", "select fail_with($1::text)", 1};
static const struct sql_text prepared = {
    "test_prepared", "select count(*) from pg_prepared_statements where name = $1::text", 1};
static const struct sql_text broken = {"test_broken", "select nothing_of_the_kind", 0};

static int setup(void **state)
{
    if (scratch_database_setup(state) != 0)
        return -1;

    CLEANUP(arena_free) struct arena *mem = arena_new();

    scratch_psql(mem, NULL, tables);

    return 0;
}

static int connect(void **state)
{
    *state = scratch_open(DB_ROLE_PROGRAM);

    return 0;
}

static int disconnect(void **state)
{
    struct db *db = *state;

    db_close(&db);

    return 0;
}

static struct db_tx begin(struct db *db, int64_t farm_id)
{
    struct db_tx tx = {0};
    struct err err = ERR_INIT;

    assert_done(db_tx_begin(db, farm_id, &tx, &err), &err);

    return tx;
}

static bool note(struct db_tx *tx, int n, const char *words, struct err *err)
{
    return db_do(tx, &add, DB_PARAMS(db_int(tx->farm_id), db_int(n), db_text(words)), err);
}

/* As another session sees it. */
static int64_t stored(int64_t farm_id)
{
    CLEANUP(db_close) struct db *db = scratch_open(DB_ROLE_PROGRAM);
    CLEANUP(db_tx_end) struct db_tx tx = begin(db, farm_id);
    CLEANUP(db_rows_clear) struct db_rows rows = {0};
    struct err err = ERR_INIT;

    assert_done(db_run(&tx, &count, DB_PARAMS(db_int(farm_id)), &rows, &err), &err);

    return db_rows_int(&rows, 0, 0);
}

static void assert_farms(struct db *db, int64_t farm_id, const char *expected)
{
    CLEANUP(db_tx_end) struct db_tx tx = begin(db, farm_id);
    CLEANUP(db_rows_clear) struct db_rows rows = {0};
    struct err err = ERR_INIT;

    assert_done(db_run(&tx, &farms, DB_NO_PARAMS, &rows, &err), &err);
    assert_string_equal(db_rows_text(&rows, 0, 0), expected);
    assert_done(db_tx_commit(&tx, &err), &err);
}

static void the_server_sees_the_farm_of_each_transaction_and_no_other(void **state)
{
    assert_farms(*state, 77, "{77}");
    assert_farms(*state, INT64_MAX, "{9223372036854775807}");
    assert_farms(*state, 0, "{}");
}

static void what_is_committed_stays_and_what_is_not_goes(void **state)
{
    struct err err = ERR_INIT;
    struct db_tx kept = begin(*state, 1);

    assert_done(note(&kept, 1, "kept", &err), &err);
    assert_done(db_tx_commit(&kept, &err), &err);
    db_tx_end(&kept);

    struct db_tx dropped = begin(*state, 1);

    assert_done(note(&dropped, 2, "dropped", &err), &err);
    db_tx_end(&dropped);
    db_tx_end(&dropped); /* once more does nothing */

    assert_int_equal(stored(1), 1);
}

static void a_transaction_whose_statement_failed_cannot_be_committed(void **state)
{
    CLEANUP(db_tx_end) struct db_tx tx = begin(*state, 2);
    struct err err = ERR_INIT;

    assert_done(note(&tx, 1, "first", &err), &err);
    assert_fails(note(&tx, 1, "again", &err), ERR_CONFLICT, &err);
    assert_string_equal(db_sqlstate(*state), "23505");
    assert_non_null(strstr(err.text, "test_add: duplicate key"));
    assert_non_null(strstr(err.text, "[23505]"));
    assert_fails(db_tx_commit(&tx, &err), ERR_BUG, &err);
    db_tx_end(&tx);

    assert_int_equal(stored(2), 0);
}

static void errors_are_classed_by_sqlstate_alone(void **state)
{
    static const struct {
        const char *state;
        enum err_code code;
        const char *reason; /* names of PostgreSQL's manual, appendix A */
    } rows[] = {
        {"23505", ERR_CONFLICT, "unique_violation"},
        {"40001", ERR_CONFLICT, "serialization_failure"},
        {"23503", ERR_INVALID, "foreign_key_violation"},
        {"23514", ERR_INVALID, "check_violation"},
        {"23P01", ERR_INVALID, "exclusion_violation"},
        {"22P02", ERR_INVALID, "invalid_text_representation"},
        {"22008", ERR_INVALID, "datetime_field_overflow"},
        {"42501", ERR_DENIED, "insufficient_privilege"},
        {"08006", ERR_UNAVAILABLE, "connection_failure"},
        {"57P01", ERR_UNAVAILABLE, "admin_shutdown"},
        {"57014", ERR_UNAVAILABLE, "query_canceled"},
        {"53100", ERR_UNAVAILABLE, "disk_full"},
        {"40P01", ERR_UNAVAILABLE, "deadlock_detected"},
        {"55P03", ERR_UNAVAILABLE, "lock_not_available"},
        {"42P01", ERR_BUG, "undefined_table"},
        {"XX000", ERR_BUG, "internal_error"},
        {"0A000", ERR_BUG, "feature_not_supported"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(db_tx_end) struct db_tx tx = begin(*state, 3);
        struct err err = ERR_INIT;

        if (db_do(&tx, &fail_with, DB_PARAMS(db_text(rows[i].state)), &err) ||
            err.code != rows[i].code)
            fail_msg("%s: %s", rows[i].reason, err_code_name(err.code));
        assert_string_equal(db_sqlstate(*state), rows[i].state);
        assert_non_null(strstr(err.text, "made to fail"));
    }
}

static void a_constraint_that_names_another_table_is_bad_input(void **state)
{
    CLEANUP(db_tx_end) struct db_tx tx = begin(*state, 4);
    struct err err = ERR_INIT;

    assert_fails(db_do(&tx, &add_page, DB_PARAMS(db_int(4), db_int(99)), &err), ERR_INVALID, &err);
}

static void mistakes_of_ours_are_bugs_and_reach_no_server(void **state)
{
    CLEANUP(db_tx_end) struct db_tx tx = begin(*state, 5);
    struct db_tx never = {.db = *state};
    struct db_tx second = {0};
    struct err err = ERR_INIT;

    assert_fails(db_do(&tx, &count, DB_NO_PARAMS, &err), ERR_BUG, &err);
    assert_fails(db_do(&never, &farms, DB_NO_PARAMS, &err), ERR_BUG, &err);
    assert_fails(db_tx_begin(*state, 6, &second, &err), ERR_BUG, &err);
    assert_false(second.open);
    assert_done(note(&tx, 1, "still fine", &err), &err);
}

static void a_statement_that_cannot_be_prepared_is_not_taken_for_prepared(void **state)
{
    for (int i = 0; i < 2; i++) {
        CLEANUP(db_tx_end) struct db_tx tx = begin(*state, 6);
        struct err err = ERR_INIT;

        assert_fails(db_do(&tx, &broken, DB_NO_PARAMS, &err), ERR_BUG, &err);
        assert_string_equal(db_sqlstate(*state), "42703");
    }
}

static void a_statement_is_prepared_once_for_the_session(void **state)
{
    struct err err = ERR_INIT;

    for (int i = 0; i < 3; i++) {
        CLEANUP(db_tx_end) struct db_tx tx = begin(*state, 7);
        CLEANUP(db_rows_clear) struct db_rows rows = {0};

        assert_done(note(&tx, i, "n", &err), &err);
        assert_done(db_run(&tx, &prepared, DB_PARAMS(db_text("test_add")), &rows, &err), &err);
        assert_int_equal(db_rows_int(&rows, 0, 0), 1);
    }
}

static void savepoints_nest_and_undo_only_what_came_after(void **state)
{
    CLEANUP(db_tx_end) struct db_tx tx = begin(*state, 8);
    struct err err = ERR_INIT;

    assert_done(db_savepoint(&tx, &err), &err);
    assert_done(note(&tx, 1, "outer", &err), &err);
    assert_done(db_savepoint(&tx, &err), &err);
    assert_done(note(&tx, 2, "inner", &err), &err);
    assert_fails(note(&tx, 2, "again", &err), ERR_CONFLICT, &err);
    assert_done(db_savepoint_rollback(&tx, &err), &err);
    assert_done(note(&tx, 3, "after", &err), &err);
    assert_done(db_savepoint_release(&tx, &err), &err);
    assert_done(db_tx_commit(&tx, &err), &err);

    assert_int_equal(stored(8), 2);
}

static void a_savepoint_first_of_all_has_the_farm_too(void **state)
{
    CLEANUP(db_tx_end) struct db_tx tx = begin(*state, 9);
    CLEANUP(db_rows_clear) struct db_rows rows = {0};
    struct err err = ERR_INIT;

    assert_done(db_savepoint(&tx, &err), &err);
    assert_done(db_savepoint_rollback(&tx, &err), &err);
    assert_done(db_run(&tx, &farms, DB_NO_PARAMS, &rows, &err), &err);
    assert_string_equal(db_rows_text(&rows, 0, 0), "{9}");
}

static void a_commit_that_comes_with_a_warning_is_no_acknowledgement(void **state)
{
    CLEANUP(db_tx_end) struct db_tx tx = begin(*state, 10);
    struct err err = ERR_INIT;

    assert_done(note(&tx, 1, "warn", &err), &err);
    assert_fails(db_tx_commit(&tx, &err), ERR_UNAVAILABLE, &err);
    assert_non_null(strstr(err.text, "standby did not confirm"));
}

static void every_kind_of_parameter_comes_back_as_it_went(void **state)
{
    static const struct sql_text kinds = {
        "test_kinds",
        "select $1::bigint, $2::double precision, $3::boolean, $4::bytea,"
        "       (extract(epoch from $5::timestamptz) * 1000000)::bigint, $6::date, $7::text,"
        "       $8::text, $2::double precision::text",
        8};
    static const unsigned char bytes[] = {0, 1, 0xff, '\'', '\\', 0};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_tx_end) struct db_tx tx = begin(*state, 11);
    CLEANUP(db_rows_clear) struct db_rows rows = {0};
    struct err err = ERR_INIT;
    size_t length = 0;
    const instant at = 1777626000123456; /* 2026-05-01T09:00:00.123456Z */

    assert_done(db_run(&tx, &kinds,
                       DB_PARAMS(db_int(INT64_MIN), db_double(0.1), db_bool(true),
                                 db_bytes(bytes, sizeof(bytes)), db_instant(at), db_day(20574),
                                 db_text("it's \"5 µg\""), db_null()),
                       &rows, &err),
                &err);
    assert_int_equal(db_rows_count(&rows), 1);
    assert_true(db_rows_int(&rows, 0, 0) == INT64_MIN);
    assert_string_equal(db_rows_text(&rows, 0, 8), "0.1");
    assert_true(db_rows_bool(&rows, 0, 2));
    assert_memory_equal(db_rows_bytes(&rows, 0, 3, mem, &length), bytes, sizeof(bytes));
    assert_int_equal(length, sizeof(bytes));
    assert_true(db_rows_instant(&rows, 0, 4) == at);
    assert_int_equal(db_rows_day(&rows, 0, 5), 20574);
    assert_string_equal(db_rows_text(&rows, 0, 5), "2026-05-01");
    assert_string_equal(db_rows_dup(&rows, 0, 6, mem), "it's \"5 µg\"");
    assert_true(db_rows_null(&rows, 0, 7));
    assert_null(db_rows_dup(&rows, 0, 7, mem));
    assert_string_equal(db_rows_text(&rows, 0, 7), "");
}

static void nothing_is_null_on_both_ways(void **state)
{
    static const struct sql_text nulls = {
        "test_nulls",
        "select $1::text, $2::timestamptz::text, $3::date, $4::bytea, $5::double precision::text",
        5};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_tx_end) struct db_tx tx = begin(*state, 12);
    CLEANUP(db_rows_clear) struct db_rows rows = {0};
    struct err err = ERR_INIT;
    size_t length = 1;

    assert_done(db_run(&tx, &nulls,
                       DB_PARAMS(db_text(NULL), db_instant(INSTANT_NONE), db_day(DAY_NONE),
                                 db_bytes(NULL, 0), db_double(-HUGE_VAL)),
                       &rows, &err),
                &err);
    for (int column = 0; column < 4; column++)
        assert_true(db_rows_null(&rows, 0, column));
    assert_true(db_rows_instant(&rows, 0, 1) == INSTANT_NONE);
    assert_int_equal(db_rows_day(&rows, 0, 2), DAY_NONE);
    assert_null(db_rows_bytes(&rows, 0, 3, mem, &length));
    assert_int_equal(length, 0);
    assert_string_equal(db_rows_text(&rows, 0, 4), "-Infinity");
}

static void the_number_of_changed_rows_is_told(void **state)
{
    static const struct sql_text many = {
        "test_many", "insert into note select $1::bigint, generate_series(1, 250), ''", 1};
    CLEANUP(db_tx_end) struct db_tx tx = begin(*state, 13);
    struct err err = ERR_INIT;
    size_t changed = 0;

    assert_done(db_do_count(&tx, &many, DB_PARAMS(db_int(13)), &changed, &err), &err);
    assert_int_equal(changed, 250);
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, connect, disconnect)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(the_server_sees_the_farm_of_each_transaction_and_no_other),
        TEST(what_is_committed_stays_and_what_is_not_goes),
        TEST(a_transaction_whose_statement_failed_cannot_be_committed),
        TEST(errors_are_classed_by_sqlstate_alone),
        TEST(a_constraint_that_names_another_table_is_bad_input),
        TEST(mistakes_of_ours_are_bugs_and_reach_no_server),
        TEST(a_statement_that_cannot_be_prepared_is_not_taken_for_prepared),
        TEST(a_statement_is_prepared_once_for_the_session),
        TEST(savepoints_nest_and_undo_only_what_came_after),
        TEST(a_savepoint_first_of_all_has_the_farm_too),
        TEST(a_commit_that_comes_with_a_warning_is_no_acknowledgement),
        TEST(every_kind_of_parameter_comes_back_as_it_went),
        TEST(nothing_is_null_on_both_ways),
        TEST(the_number_of_changed_rows_is_told),
    };

    return cmocka_run_group_tests_name("db/db", tests, setup, scratch_database_teardown);
}
