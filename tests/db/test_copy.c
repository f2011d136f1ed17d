/* Copy in and reading row by row: every kind of field, many rows, and giving up half way. */
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/decimal.h"
#include "harness/cmocka.h"
#include "harness/scratch.h"

enum { MANY = 100000, COLUMNS = 11 };

static const char tables[] =
    "create table weirbook.mixed (a bigint primary key, b int, c smallint, d double precision,"
    "    e timestamptz, f text, g numeric, h boolean, i date, j bytea, k \"char\");"
    "create table weirbook.number (n int primary key, value numeric);"
    "grant select, insert on weirbook.mixed, weirbook.number to weirbook_program;";

static const struct sql_text mixed_copy = {"test_mixed_copy",
                                           "copy mixed from stdin (format binary)", 0};
static const struct sql_text mixed_read = {
    "test_mixed_read", "select * from mixed where a >= $1::bigint order by a", 1};
static const struct sql_text mixed_count = {"test_mixed_count", "select count(*) from mixed", 0};
static const struct sql_text number_copy = {"test_number_copy",
                                            "copy number from stdin (format binary)", 0};
static const struct sql_text number_read = {
    "test_number_read", "select n, value, value::text from number order by n", 0};

static const instant first_at = 1777626000000001; /* 2026-05-01T09:00:00.000001Z */

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
    CLEANUP(arena_free) struct arena *mem = arena_new();

    scratch_psql(mem, NULL, "truncate mixed, number;");
    *state = scratch_open(DB_ROLE_PROGRAM);

    return 0;
}

static int disconnect(void **state)
{
    struct db *db = *state;

    db_close(&db);

    return 0;
}

static struct db_tx begin(struct db *db)
{
    struct db_tx tx = {0};
    struct err err = ERR_INIT;

    assert_done(db_tx_begin(db, 1, &tx, &err), &err);

    return tx;
}

/* Row i: each field is made from i in a way that SQL can make too. Every 10th row is nulls. */
static void mixed_row(struct db_copy *copy, int64_t i)
{
    char words[32];

    snprintf(words, sizeof(words), "row %" PRId64 " µ", i);
    db_copy_row(copy, COLUMNS);
    db_copy_int8(copy, i);
    if (i % 10 == 0) {
        for (int column = 1; column < COLUMNS; column++)
            db_copy_null(copy);
        return;
    }
    db_copy_int4(copy, (int32_t)-i);
    db_copy_int2(copy, (int16_t)(i % 1000));
    db_copy_float8(copy, (double)i / 8);
    db_copy_instant(copy, first_at + i * 600 * SECOND_US);
    db_copy_text(copy, words);
    db_copy_numeric(copy, i % 2 ? i : -i, (int)(i % 19));
    db_copy_bool(copy, i % 3 == 0);
    db_copy_day(copy, (day_number)(20574 - i));
    db_copy_bytes(copy, words, 3);
    db_copy_text(copy, "<");
}

/* The same rows as SQL has them: how many of the table's differ from them. */
static const char mixed_differs[] =
    "select count(*) from mixed full join generate_series(0, 99999) n on n = a"
    " where a is null or n is null or (n % 10 = 0 and num_nonnulls(b, c, d, e, f, g, h, i, j, k) > "
    "0)"
    "    or (n % 10 > 0 and (b, c, d, e, f, g, g::text, h, i, j, k) is distinct from (-n,"
    "        (n % 1000)::smallint, n / 8.0::double precision,"
    "        timestamptz '2026-05-01 09:00:00.000001Z' + n * interval '10 minutes',"
    "        'row ' || n || ' µ',"
    "        (case when n % 2 = 1 then n else -n end)::numeric / 10::numeric ^ (n % 19),"
    "        round((case when n % 2 = 1 then n else -n end)::numeric"
    "              * ('1e-' || n % 19)::numeric, n % 19)::text,"
    "        n % 3 = 0, date '2026-05-01' - n, convert_to('row', 'UTF8'), '<'::\"char\"))";

static void mixed_write(struct db *db)
{
    CLEANUP(db_tx_end) struct db_tx tx = begin(db);
    CLEANUP(db_copy_drop) struct db_copy copy = {0};
    struct err err = ERR_INIT;
    size_t rows = 0;

    assert_done(db_copy_begin(&tx, &mixed_copy, &copy, &err), &err);
    for (int64_t i = 0; i < MANY; i++)
        mixed_row(&copy, i);
    assert_done(db_copy_end(&copy, &rows, &err), &err);
    assert_int_equal(rows, MANY);
    assert_done(db_tx_commit(&tx, &err), &err);
}

static void a_hundred_thousand_rows_of_every_kind_are_what_the_server_would_make(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    mixed_write(*state);
    assert_string_equal(scratch_psql(mem, NULL, mixed_differs), "0");
}

/* --- reading back -------------------------------------------------------------------------- */

struct reader {
    struct arena *mem;
    int64_t next;
    int64_t stop; /* row at which the callback gives up, or -1 */
};

static void assert_mixed_row(struct reader *reader, const struct db_field *fields)
{
    int64_t i = reader->next;
    int64_t coefficient = 0;
    int scale = 0;

    assert_true(db_field_int(&fields[1]) == -i);
    assert_true(db_field_int(&fields[2]) == i % 1000);
    assert_true(fabs(db_field_double(&fields[3]) - (double)i / 8) < 1e-9);
    assert_true(db_field_int(&fields[4]) == first_at + i * 600 * SECOND_US);
    assert_string_equal(db_field_dup(&fields[5], reader->mem),
                        arena_printf(reader->mem, "row %" PRId64 " µ", i));
    assert_true(db_field_numeric(&fields[6], &coefficient, &scale));
    assert_true(coefficient == (i % 2 ? i : -i));
    assert_int_equal(scale, i % 19);
    assert_true(db_field_int(&fields[7]) == (i % 3 == 0));
    assert_true(db_field_int(&fields[8]) == 20574 - i);
    assert_int_equal(fields[9].length, 3);
    assert_memory_equal(fields[9].bytes, "row", 3);
    assert_string_equal(db_field_dup(&fields[10], reader->mem), "<");
}

static bool mixed_check(void *context, const struct db_field *fields, int count, struct err *err)
{
    struct reader *reader = context;

    if (reader->next == reader->stop)
        return err_set(err, ERR_TOO_LARGE, "enough");

    arena_reset(reader->mem);
    assert_int_equal(count, COLUMNS);
    assert_true(db_field_int(&fields[0]) == reader->next);
    if (reader->next % 10 == 0) {
        for (int column = 1; column < COLUMNS; column++)
            assert_int_equal(fields[column].length, -1);
        assert_null(db_field_dup(&fields[5], reader->mem));
        assert_true(db_field_int(&fields[4]) == INSTANT_NONE);
    } else {
        assert_mixed_row(reader, fields);
    }
    reader->next++;

    return true;
}

static void a_hundred_thousand_rows_come_back_one_by_one(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct reader reader = {.mem = mem, .next = 7, .stop = -1};
    struct err err = ERR_INIT;

    mixed_write(*state);

    CLEANUP(db_tx_end) struct db_tx tx = begin(*state);

    assert_done(db_each(&tx, &mixed_read, DB_PARAMS(db_int(7)), mixed_check, &reader, &err), &err);
    assert_int_equal(reader.next, MANY);
    assert_in_range(arena_held(mem), 1, 100000);
}

static void a_reader_that_stops_leaves_the_transaction_usable(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct reader reader = {.mem = mem, .stop = 500};
    struct err err = ERR_INIT;

    mixed_write(*state);

    CLEANUP(db_tx_end) struct db_tx tx = begin(*state);
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    assert_fails(db_each(&tx, &mixed_read, DB_PARAMS(db_int(0)), mixed_check, &reader, &err),
                 ERR_TOO_LARGE, &err);
    assert_string_equal(err.text, "enough");
    assert_int_equal(reader.next, 500);
    assert_done(db_run(&tx, &mixed_count, DB_NO_PARAMS, &rows, &err), &err);
    assert_int_equal(db_rows_int(&rows, 0, 0), MANY);
}

static bool nest(void *context, const struct db_field *fields, int count, struct err *err)
{
    (void)fields;
    (void)count;

    return db_do(context, &mixed_count, DB_NO_PARAMS, err);
}

static void a_statement_within_a_read_is_refused_and_not_sent(void **state)
{
    static const struct sql_text two = {"test_two", "values (1), (2)", 0};
    CLEANUP(db_tx_end) struct db_tx tx = begin(*state);
    struct err err = ERR_INIT;

    assert_fails(db_each(&tx, &two, DB_NO_PARAMS, nest, &tx, &err), ERR_BUG, &err);
    assert_done(db_do(&tx, &mixed_count, DB_NO_PARAMS, &err), &err);
}

static bool nothing(void *context, const struct db_field *fields, int count, struct err *err)
{
    (void)context;
    (void)fields;
    (void)count;
    (void)err;

    return true;
}

static void a_read_that_fails_in_its_middle_says_so(void **state)
{
    static const struct sql_text late = {"test_late",
                                         "select 1 / (500 - n) from generate_series(1, 1000) n", 0};
    CLEANUP(db_tx_end) struct db_tx tx = begin(*state);
    struct err err = ERR_INIT;

    assert_fails(db_each(&tx, &late, DB_NO_PARAMS, nothing, NULL, &err), ERR_INVALID, &err);
    assert_string_equal(db_sqlstate(*state), "22012");
}

static const char *const awkward = "it's \\ -- $2\n; */ \"quoted\"";

static bool texts_check(void *context, const struct db_field *fields, int count, struct err *err)
{
    (void)err;
    assert_int_equal(count, 4);
    assert_string_equal(db_field_dup(&fields[0], context), awkward);
    assert_string_equal(db_field_dup(&fields[1], context),
                        arena_printf(context, "$1 -- ';%s", awkward));
    assert_true(db_field_int(&fields[2]) == -7);
    assert_int_equal(fields[3].length, -1);

    return true;
}

/* They stand in the text of the statement that is sent. */
static void parameters_of_a_read_come_through_whatever_is_in_them(void **state)
{
    static const struct sql_text texts = {
        "test_texts",
        "-- $1 in a comment, and it's not 'closed\n"
        "select $1::text, '$1 -- '';' || $1::text, $2::bigint as \"$2\", $3::text;",
        3};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_tx_end) struct db_tx tx = begin(*state);
    struct err err = ERR_INIT;

    assert_done(db_each(&tx, &texts, DB_PARAMS(db_text(awkward), db_int(-7), db_null()),
                        texts_check, mem, &err),
                &err);
    assert_fails(db_each(&tx, &texts, DB_PARAMS(db_bytes("x", 1), db_int(-7), db_null()),
                         texts_check, mem, &err),
                 ERR_BUG, &err);
}

/* --- numbers ------------------------------------------------------------------------------- */

/* Coefficients and scales at the edges of PostgreSQL's groups of four digits. */
static const struct decimal numbers[] = {
    {30, 2},
    {3, 1},
    {0, 0},
    {0, 2},
    {0, 18},
    {-2, 0},
    {5, 4},
    {5, 5},
    {12345, 4},
    {123456, 5},
    {10000, 0},
    {10000, 4},
    {100000000, 0},
    {100000000, 3},
    {99999999, 4},
    {1, 18},
    {-1, 18},
    {999999999999999999, 0},
    {999999999999999999, 18},
    {-999999999999999999, 7},
    {100000000000000000, 17},
    {120000, 1},
};

static bool number_check(void *context, const struct db_field *fields, int count, struct err *err)
{
    struct arena *mem = context;
    struct decimal expected = numbers[db_field_int(&fields[0])];
    struct decimal found = {0};
    int scale = -1;

    (void)err;
    assert_int_equal(count, 3);
    assert_string_equal(db_field_dup(&fields[2], mem), decimal_text(mem, expected));
    assert_true(db_field_numeric(&fields[1], &found.coefficient, &scale));
    assert_true(found.coefficient == expected.coefficient);
    assert_int_equal(scale, expected.scale);
    assert_true(fabs(db_field_double(&fields[1]) - decimal_double(expected)) <=
                1e-12 * fabs(decimal_double(expected)));

    return true;
}

static void a_number_keeps_its_digits_and_its_scale_both_ways(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_tx_end) struct db_tx tx = begin(*state);
    CLEANUP(db_copy_drop) struct db_copy copy = {0};
    struct err err = ERR_INIT;
    size_t rows = 0;

    assert_done(db_copy_begin(&tx, &number_copy, &copy, &err), &err);
    for (size_t i = 0; i < ARRAY_LEN(numbers); i++) {
        db_copy_row(&copy, 2);
        db_copy_int4(&copy, (int32_t)i);
        db_copy_numeric(&copy, numbers[i].coefficient, numbers[i].scale);
    }
    assert_done(db_copy_end(&copy, &rows, &err), &err);
    assert_int_equal(rows, ARRAY_LEN(numbers));
    assert_done(db_each(&tx, &number_read, DB_NO_PARAMS, number_check, mem, &err), &err);
}

/* first: the number the server sends; its text is in the row's other column. */
static bool number_refused(void *context, const struct db_field *fields, int count, struct err *err)
{
    struct arena *mem = context;
    int64_t coefficient = 42;
    int scale = 42;

    (void)count;
    if (db_field_numeric(&fields[0], &coefficient, &scale))
        return err_set(err, ERR_INVALID, "%s was read as a decimal", db_field_dup(&fields[1], mem));
    assert_true(coefficient == 42 && scale == 42);

    return true;
}

static void a_number_that_is_no_decimal_of_ours_is_refused_and_not_bent(void **state)
{
    static const struct sql_text others = {
        "test_others",
        "select v::numeric, v from unnest(array['NaN', 'Infinity', '-Infinity', '1e18', '1e30',"
        " '1e-19', '0.1234567890123456789', '1000000000000000000.5', null, '1e1000',"
        " '9223372036854775808']) v",
        0};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_tx_end) struct db_tx tx = begin(*state);
    struct err err = ERR_INIT;

    assert_done(db_each(&tx, &others, DB_NO_PARAMS, number_refused, mem, &err), &err);
}

/* --- giving up ----------------------------------------------------------------------------- */

static void a_text_longer_than_the_buffer_arrives_whole(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_tx_end) struct db_tx tx = begin(*state);
    CLEANUP(db_copy_drop) struct db_copy copy = {0};
    struct err err = ERR_INIT;
    char *words = arena_alloc(mem, 300001);

    memset(words, 'x', 300000);
    assert_done(db_copy_begin(&tx, &mixed_copy, &copy, &err), &err);
    db_copy_row(&copy, COLUMNS);
    db_copy_int8(&copy, 1);
    for (int column = 1; column < COLUMNS; column++) {
        if (column == 5)
            db_copy_text(&copy, words);
        else
            db_copy_null(&copy);
    }
    assert_done(db_copy_end(&copy, NULL, &err), &err);
    assert_done(db_tx_commit(&tx, &err), &err);
    assert_string_equal(
        scratch_psql(mem, NULL, "select length(f), f = repeat('x', 300000) from mixed"),
        "300000|t");
}

static void a_copy_that_is_dropped_leaves_nothing_and_the_connection_usable(void **state)
{
    struct err err = ERR_INIT;
    CLEANUP(db_tx_end) struct db_tx tx = begin(*state);
    struct db_copy copy = {0};

    assert_done(db_savepoint(&tx, &err), &err);
    assert_done(db_copy_begin(&tx, &mixed_copy, &copy, &err), &err);
    for (int64_t i = 0; i < 10000; i++)
        mixed_row(&copy, i);
    assert_fails(db_do(&tx, &mixed_count, DB_NO_PARAMS, &err), ERR_BUG, &err);
    db_copy_drop(&copy);
    db_copy_drop(&copy);
    assert_done(db_savepoint_rollback(&tx, &err), &err);

    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    assert_done(db_run(&tx, &mixed_count, DB_NO_PARAMS, &rows, &err), &err);
    assert_int_equal(db_rows_int(&rows, 0, 0), 0);
}

static void a_transaction_that_ends_in_the_middle_of_a_copy_leaves_nothing(void **state)
{
    struct err err = ERR_INIT;
    struct db_tx tx = begin(*state);
    struct db_copy copy = {0};

    assert_done(db_copy_begin(&tx, &mixed_copy, &copy, &err), &err);
    for (int64_t i = 0; i < 10000; i++)
        mixed_row(&copy, i);
    db_tx_end(&tx);

    CLEANUP(db_tx_end) struct db_tx next = begin(*state);
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    assert_done(db_run(&next, &mixed_count, DB_NO_PARAMS, &rows, &err), &err);
    assert_int_equal(db_rows_int(&rows, 0, 0), 0);
    db_copy_drop(&copy);
    assert_done(db_do(&next, &mixed_count, DB_NO_PARAMS, &err), &err);
}

static void a_row_the_server_refuses_fails_the_end_and_goes_back_to_the_savepoint(void **state)
{
    CLEANUP(db_tx_end) struct db_tx tx = begin(*state);
    CLEANUP(db_copy_drop) struct db_copy copy = {0};
    CLEANUP(db_rows_clear) struct db_rows rows = {0};
    struct err err = ERR_INIT;
    size_t count = 99;

    assert_done(db_savepoint(&tx, &err), &err);
    assert_done(db_copy_begin(&tx, &mixed_copy, &copy, &err), &err);
    for (int64_t i = 0; i < 5000; i++)
        mixed_row(&copy, i);
    mixed_row(&copy, 4711);
    assert_fails(db_copy_end(&copy, &count, &err), ERR_CONFLICT, &err);
    assert_int_equal(count, 99);
    assert_string_equal(db_sqlstate(*state), "23505");
    assert_done(db_savepoint_rollback(&tx, &err), &err);
    assert_done(db_run(&tx, &mixed_count, DB_NO_PARAMS, &rows, &err), &err);
    assert_int_equal(db_rows_int(&rows, 0, 0), 0);
}

static void a_statement_that_is_no_binary_copy_is_refused(void **state)
{
    static const struct sql_text texts = {"test_texts", "copy mixed from stdin", 0};
    const struct sql_text *const rows[] = {&mixed_count, &texts};

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(db_tx_end) struct db_tx tx = begin(*state);
        CLEANUP(db_copy_drop) struct db_copy copy = {0};
        struct err err = ERR_INIT;

        assert_fails(db_copy_begin(&tx, rows[i], &copy, &err), ERR_BUG, &err);
    }
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, connect, disconnect)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(a_hundred_thousand_rows_of_every_kind_are_what_the_server_would_make),
        TEST(a_hundred_thousand_rows_come_back_one_by_one),
        TEST(a_reader_that_stops_leaves_the_transaction_usable),
        TEST(a_statement_within_a_read_is_refused_and_not_sent),
        TEST(a_read_that_fails_in_its_middle_says_so),
        TEST(parameters_of_a_read_come_through_whatever_is_in_them),
        TEST(a_number_keeps_its_digits_and_its_scale_both_ways),
        TEST(a_number_that_is_no_decimal_of_ours_is_refused_and_not_bent),
        TEST(a_text_longer_than_the_buffer_arrives_whole),
        TEST(a_copy_that_is_dropped_leaves_nothing_and_the_connection_usable),
        TEST(a_transaction_that_ends_in_the_middle_of_a_copy_leaves_nothing),
        TEST(a_row_the_server_refuses_fails_the_end_and_goes_back_to_the_savepoint),
        TEST(a_statement_that_is_no_binary_copy_is_refused),
    };

    return cmocka_run_group_tests_name("db/copy", tests, setup, scratch_database_teardown);
}
