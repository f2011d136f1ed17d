/*
 * The switch that makes the n-th database call fail, tried on a use case of every shape of call:
 * whichever call fails, no half of it is left, and the connection goes on.
 */
#include "harness/cmocka.h"
#include "harness/scratch.h"

enum { ROWS = 20000, CALLS_MOST = 100 };

static const struct sql_text add = {"test_add", "insert into tally values ($1::int)", 1};
static const struct sql_text copy_in = {"test_copy", "copy tally from stdin (format binary)", 0};
static const struct sql_text count = {"test_count", "select count(*) from tally", 0};

static int setup(void **state)
{
    if (scratch_database_setup(state) != 0)
        return -1;

    CLEANUP(arena_free) struct arena *mem = arena_new();

    scratch_psql(mem, NULL,
                 "create table weirbook.tally (n int);"
                 "grant select, insert on weirbook.tally to weirbook_program;");

    return 0;
}

static bool copy_rows(struct db_tx *tx, struct err *err)
{
    CLEANUP(db_copy_drop) struct db_copy copy = {0};

    if (!db_copy_begin(tx, &copy_in, &copy, err))
        return false;
    for (int i = 0; i < ROWS; i++) {
        db_copy_row(&copy, 1);
        db_copy_int4(&copy, i);
    }

    return db_copy_end(&copy, NULL, err);
}

static bool seen(void *context, const struct db_field *fields, int columns, struct err *err)
{
    (void)columns;
    (void)err;
    *(int64_t *)context = db_field_int(&fields[0]);

    return true;
}

/* Two rows, one of them taken back, then a copy: 20,001 rows. */
static bool use_case(struct db *db, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    int64_t found = 0;

    if (!db_tx_begin(db, 1, &tx, err) || !db_do(&tx, &add, DB_PARAMS(db_int(1)), err) ||
        !db_savepoint(&tx, err) || !db_do(&tx, &add, DB_PARAMS(db_int(2)), err) ||
        !db_savepoint_rollback(&tx, err) || !db_savepoint(&tx, err) || !copy_rows(&tx, err) ||
        !db_savepoint_release(&tx, err) || !db_each(&tx, &count, DB_NO_PARAMS, seen, &found, err))
        return false;
    assert_true(found == ROWS + 1);

    return db_tx_commit(&tx, err);
}

static void whichever_call_fails_no_half_is_left(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_close) struct db *db = scratch_open(DB_ROLE_PROGRAM);
    struct err err = ERR_INIT;
    bool done = false;
    int calls = 0;

    (void)state;
    while (!done && calls < CALLS_MOST) {
        db_fault_after(++calls);
        done = use_case(db, &err);
        assert_true(done != db_fault_hit());
        db_fault_after(0);
        if (!done) {
            assert_int_equal(err.code, ERR_UNAVAILABLE);
            assert_string_equal(scratch_psql(mem, NULL, "select count(*) from tally"), "0");
        }
    }
    assert_true(done);
    assert_in_range(calls, 10, CALLS_MOST);
    assert_string_equal(scratch_psql(mem, NULL, "select count(*) from tally"), "20001");
}

static void after_a_fault_the_transaction_takes_nothing_more(void **state)
{
    CLEANUP(db_close) struct db *db = scratch_open(DB_ROLE_PROGRAM);
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct err err = ERR_INIT;

    (void)state;
    assert_done(db_tx_begin(db, 1, &tx, &err), &err);
    assert_done(db_do(&tx, &add, DB_PARAMS(db_int(7)), &err), &err);
    db_fault_after(1);
    assert_fails(db_do(&tx, &count, DB_NO_PARAMS, &err), ERR_UNAVAILABLE, &err);
    db_fault_after(0);
    assert_fails(db_do(&tx, &count, DB_NO_PARAMS, &err), ERR_UNAVAILABLE, &err);
    assert_fails(db_tx_commit(&tx, &err), ERR_UNAVAILABLE, &err);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(whichever_call_fails_no_half_is_left),
        cmocka_unit_test(after_a_fault_the_transaction_takes_nothing_more),
    };

    return cmocka_run_group_tests_name("db/fault", tests, setup, scratch_database_teardown);
}
