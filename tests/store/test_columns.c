/* Rows as arrays: what is put comes out of the server's unnest() as it was. */
#include <string.h>

#include "harness/cmocka.h"
#include "harness/scratch.h"
#include "store/columns.h"

static const struct sql_text unnested = {
    "test_unnested",
    "select a, b, c, d, us(e), f"
    "  from unnest($1::text[], $2::bigint[], $3::boolean[], $4::date[], $5::timestamptz[],"
    "              $6::bytea[]) with ordinality as r (a, b, c, d, e, f, nth)"
    " order by nth",
    6};

enum { COLUMNS = 6 };

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

static const instant at = 1777626000000001; /* 2026-05-01T09:00:00.000001Z */

static const char *const texts[] = {
    "plain", "", NULL, "NULL", "{a,b}", "it's \"quoted\" and \\ back", " spaced\n", "µg/L, °C",
};

static void every_value_comes_out_as_it_was_put(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    CLEANUP(db_rows_clear) struct db_rows rows = {0};
    struct columns columns = columns_new(mem, COLUMNS);
    struct db_param params[COLUMNS];
    struct err err = ERR_INIT;

    for (size_t i = 0; i < ARRAY_LEN(texts); i++) {
        columns_put_text(&columns, texts[i]);
        if (i % 2 == 0)
            columns_put_int(&columns, -(int64_t)i);
        else
            columns_put_null(&columns);
        columns_put_bool(&columns, i % 3 == 0);
        columns_put_day(&columns, 20574 + (day_number)i);
        columns_put_instant(&columns, at + (instant)i);
        columns_put_bytes(&columns, "\x00\xff\\\"", 4);
    }
    assert_done(columns_params(&columns, params, &err), &err);
    assert_done(db_tx_begin(*state, 1, &tx, &err), &err);
    assert_done(db_run(&tx, &unnested, (struct db_params){params, COLUMNS}, &rows, &err), &err);
    assert_int_equal(db_rows_count(&rows), ARRAY_LEN(texts));
    for (size_t i = 0; i < ARRAY_LEN(texts); i++) {
        size_t length = 0;

        assert_int_equal(db_rows_null(&rows, i, 0), texts[i] == NULL);
        assert_string_equal(db_rows_text(&rows, i, 0), texts[i] ? texts[i] : "");
        assert_int_equal(db_rows_null(&rows, i, 1), i % 2 != 0);
        assert_true(db_rows_int(&rows, i, 1) == (i % 2 == 0 ? -(int64_t)i : 0));
        assert_int_equal(db_rows_bool(&rows, i, 2), i % 3 == 0);
        assert_int_equal(db_rows_day(&rows, i, 3), 20574 + (day_number)i);
        assert_true(db_rows_instant(&rows, i, 4) == at + (instant)i);
        assert_memory_equal(db_rows_bytes(&rows, i, 5, mem, &length), "\x00\xff\\\"", 4);
        assert_int_equal(length, 4);
    }
}

static void a_row_that_is_not_whole_is_refused(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct columns columns = columns_new(mem, 2);
    struct db_param params[2];
    struct err err = ERR_INIT;

    (void)state;
    columns_put_int(&columns, 1);
    assert_fails(columns_params(&columns, params, &err), ERR_BUG, &err);
}

static struct digest digest_since(const struct columns *columns, const struct columns_mark *mark)
{
    CLEANUP(sha256_drop) struct sha256_state *hash = sha256_begin();

    columns_hash_since(columns, mark, hash);

    return sha256_end(&hash);
}

static void the_digest_of_rows_goes_by_their_values_and_not_by_what_is_before_them(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct columns columns = columns_new(mem, 2);
    struct columns_mark marks[3];
    struct digest digests[3];

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(marks); i++) {
        marks[i] = columns_mark_at(&columns);
        columns_put_text(&columns, "a");
        columns_put_int(&columns, i == 2 ? 2 : 1);
        digests[i] = digest_since(&columns, &marks[i]);
    }
    assert_memory_equal(&digests[0], &digests[1], sizeof(digests[0]));
    assert_memory_not_equal(&digests[0], &digests[2], sizeof(digests[0]));

    struct digest both = digest_since(&columns, &marks[1]);

    assert_memory_not_equal(&both, &digests[2], sizeof(both));
}

static void rows_taken_back_are_as_if_they_had_not_been_put(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct columns columns = columns_new(mem, 2);
    struct db_param params[2];
    struct err err = ERR_INIT;
    struct columns_mark mark = columns_mark_at(&columns);

    (void)state;
    columns_put_text(&columns, "first");
    columns_put_int(&columns, 1);
    columns_take_back(&columns, &mark);
    assert_int_equal(columns.put, 0);
    columns_put_text(&columns, "second");
    columns_put_int(&columns, 2);
    mark = columns_mark_at(&columns);
    columns_put_text(&columns, "third");
    columns_put_int(&columns, 3);
    columns_take_back(&columns, &mark);
    assert_done(columns_params(&columns, params, &err), &err);
    assert_string_equal(params[0].text, "{\"second\"}");
    assert_string_equal(params[1].text, "{2}");
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, connect, disconnect)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(every_value_comes_out_as_it_was_put),
        cmocka_unit_test(a_row_that_is_not_whole_is_refused),
        cmocka_unit_test(the_digest_of_rows_goes_by_their_values_and_not_by_what_is_before_them),
        cmocka_unit_test(rows_taken_back_are_as_if_they_had_not_been_put),
    };

    return cmocka_run_group_tests_name("store/columns", tests, scratch_database_setup,
                                       scratch_database_teardown);
}
