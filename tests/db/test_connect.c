/* Connections: who we are on the server, what the session is like, and what goes wrong. */
#include <string.h>

#include "harness/cmocka.h"
#include "harness/scratch.h"

static const struct sql_text who = {
    "test_who", "select current_user::text, session_user::text, pg_backend_pid()", 0};
static const struct sql_text setting = {"test_setting", "select current_setting($1::text)", 1};
static const struct sql_text one = {"test_one", "select 1", 0};

/* First row of a statement, in a transaction of its own. */
static char *answer(struct db *db, const struct sql_text *sql, struct db_params params, int column,
                    struct arena *mem)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    CLEANUP(db_rows_clear) struct db_rows rows = {0};
    struct err err = ERR_INIT;

    assert_done(db_tx_begin(db, 0, &tx, &err), &err);
    assert_done(db_run(&tx, sql, params, &rows, &err), &err);

    return db_rows_dup(&rows, 0, column, mem);
}

static void each_role_of_the_private_cluster_connects_as_itself(void **state)
{
    static const struct {
        enum db_role role;
        const char *name;
    } rows[] = {
        {DB_ROLE_PROGRAM, "weirbook_program"},
        {DB_ROLE_READER, "weirbook_reader"},
        {DB_ROLE_OWNER, "weirbook_owner"},
        {DB_ROLE_ADMIN, "weirbook_admin"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        CLEANUP(db_close) struct db *db = scratch_open(rows[i].role);

        assert_string_equal(answer(db, &who, DB_NO_PARAMS, 0, mem), rows[i].name);
        assert_string_equal(answer(db, &who, DB_NO_PARAMS, 1, mem), rows[i].name);
    }
}

static void on_another_server_the_session_acts_as_the_role(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_close) struct db *db = NULL;
    struct err err = ERR_INIT;

    (void)state;
    scratch_psql(mem, NULL,
                 "create role test_renter login; grant weirbook_program to test_renter;");
    assert_done(db_open(arena_printf(mem, "%s user=test_renter", scratch_conninfo()), false,
                        DB_ROLE_PROGRAM, &db, &err),
                &err);
    assert_string_equal(answer(db, &who, DB_NO_PARAMS, 0, mem), "weirbook_program");
    assert_string_equal(answer(db, &who, DB_NO_PARAMS, 1, mem), "test_renter");
    db_close(&db);
    scratch_psql(mem, NULL, "drop role test_renter;");
}

static void an_account_that_may_not_act_as_the_role_is_told_what_to_do(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_close) struct db *db = NULL;
    struct err err = ERR_INIT;

    (void)state;
    scratch_psql(mem, NULL, "create role test_stranger login;");
    assert_fails(db_open(arena_printf(mem, "%s user=test_stranger", scratch_conninfo()), false,
                         DB_ROLE_OWNER, &db, &err),
                 ERR_DENIED, &err);
    assert_non_null(strstr(err.hint, "weirbook database sql"));
    scratch_psql(mem, NULL, "drop role test_stranger;");
}

static void what_cannot_be_reached_is_told_apart(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct {
        const char *reason;
        const char *conninfo;
        enum err_code code;
    } rows[] = {
        {"no server listens there", "host=/nonexistent port=5432 dbname=x", ERR_UNAVAILABLE},
        {"not a connection string", "host=/tmp port", ERR_INVALID},
        {"not an option of libpq", "hast=/tmp", ERR_INVALID},
        {"the server has no such database",
         arena_printf(mem, "%s dbname=test_no_such", scratch_conninfo()), ERR_DENIED},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(db_close) struct db *db = NULL;
        struct err err = ERR_INIT;

        if (db_open(rows[i].conninfo, true, DB_ROLE_PROGRAM, &db, &err) || err.code != rows[i].code)
            fail_msg("%s: %s: %s", rows[i].reason, err_code_name(err.code), err.text);
        assert_null(db);
        assert_null(strchr(err.text, '\n'));
    }
}

static void the_session_has_our_settings_whatever_the_role_is_set_to(void **state)
{
    static const struct {
        const char *name;
        const char *value;
    } rows[] = {
        {"timezone", "UTC"},
        {"datestyle", "ISO, YMD"},
        {"bytea_output", "hex"},
        {"extra_float_digits", "1"},
        {"search_path", "weirbook, pg_temp"},
        {"client_encoding", "UTF8"},
        {"application_name", "weirbook"},
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    scratch_psql(mem, NULL,
                 "alter role weirbook_reader set timezone to 'Pacific/Auckland';"
                 "alter role weirbook_reader set datestyle to 'German';"
                 "alter role weirbook_reader set bytea_output to 'escape';"
                 "alter role weirbook_reader set extra_float_digits to '-9';");

    CLEANUP(db_close) struct db *db = scratch_open(DB_ROLE_READER);

    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_string_equal(answer(db, &setting, DB_PARAMS(db_text(rows[i].name)), 0, mem),
                            rows[i].value);
    scratch_psql(mem, NULL, "alter role weirbook_reader reset all;");
}

static void the_server_version_is_the_number_alone(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_close) struct db *db = scratch_open(DB_ROLE_READER);
    char *whole = scratch_psql(mem, NULL, "show server_version");

    (void)state;
    assert_memory_equal(whole, db_server_version(db), strlen(db_server_version(db)));
    assert_true(strspn(db_server_version(db), "0123456789.") == strlen(db_server_version(db)));
}

static void a_lost_connection_fails_the_transaction_and_is_made_anew_by_the_next(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_close) struct db *db = scratch_open(DB_ROLE_PROGRAM);
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct err err = ERR_INIT;
    char *pid = answer(db, &who, DB_NO_PARAMS, 2, mem);

    (void)state;
    assert_done(db_tx_begin(db, 0, &tx, &err), &err);
    assert_done(db_do(&tx, &one, DB_NO_PARAMS, &err), &err);
    scratch_psql(mem, NULL, arena_printf(mem, "select pg_terminate_backend(%s, 5000);", pid));
    assert_fails(db_do(&tx, &one, DB_NO_PARAMS, &err), ERR_UNAVAILABLE, &err);
    assert_fails(db_tx_commit(&tx, &err), ERR_UNAVAILABLE, &err);
    db_tx_end(&tx);

    assert_string_equal(answer(db, &who, DB_NO_PARAMS, 0, mem), "weirbook_program");
    assert_string_not_equal(answer(db, &who, DB_NO_PARAMS, 2, mem), pid);
}

static void a_connection_lost_between_transactions_is_found_out_by_the_first_statement(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_close) struct db *db = scratch_open(DB_ROLE_PROGRAM);
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct err err = ERR_INIT;
    char *pid = answer(db, &who, DB_NO_PARAMS, 2, mem);

    (void)state;
    scratch_psql(mem, NULL, arena_printf(mem, "select pg_terminate_backend(%s, 5000);", pid));
    assert_done(db_tx_begin(db, 0, &tx, &err), &err);
    assert_fails(db_do(&tx, &one, DB_NO_PARAMS, &err), ERR_UNAVAILABLE, &err);
    db_tx_end(&tx);

    assert_string_equal(answer(db, &who, DB_NO_PARAMS, 0, mem), "weirbook_program");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_role_of_the_private_cluster_connects_as_itself),
        cmocka_unit_test(on_another_server_the_session_acts_as_the_role),
        cmocka_unit_test(an_account_that_may_not_act_as_the_role_is_told_what_to_do),
        cmocka_unit_test(what_cannot_be_reached_is_told_apart),
        cmocka_unit_test(the_session_has_our_settings_whatever_the_role_is_set_to),
        cmocka_unit_test(the_server_version_is_the_number_alone),
        cmocka_unit_test(a_lost_connection_fails_the_transaction_and_is_made_anew_by_the_next),
        cmocka_unit_test(
            a_connection_lost_between_transactions_is_found_out_by_the_first_statement),
    };

    return cmocka_run_group_tests_name("db/connect", tests, scratch_database_setup,
                                       scratch_database_teardown);
}
