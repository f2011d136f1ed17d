#include "base/key_index.h"

#include <stdio.h>

#include "harness/cmocka.h"

/* Nothing outside to hold it against: a list of the same keys says what is right. */

enum { KEYS = 5000 };

static void every_key_is_found_where_it_was_put_and_no_other(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct key_index index = {0};
    size_t position;

    (void)state;
    assert_false(key_index_find(&index, "c0", &position));
    for (size_t i = 0; i < KEYS; i++) {
        const char *key = arena_printf(mem, "c%zu", i);

        assert_false(key_index_find(&index, key, &position));
        key_index_add(mem, &index, key, KEYS - i);
        assert_true(key_index_find(&index, key, &position));
    }
    assert_int_equal(index.count, KEYS);
    for (size_t i = 0; i < KEYS; i++) {
        assert_true(key_index_find(&index, arena_printf(mem, "c%zu", i), &position));
        assert_int_equal(position, KEYS - i);
        assert_false(key_index_find(&index, arena_printf(mem, "d%zu", i), &position));
    }
}

static void the_empty_key_is_a_key(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct key_index index = {0};
    size_t position = 0;

    (void)state;
    key_index_add(mem, &index, "a", 1);
    assert_false(key_index_find(&index, "", &position));
    key_index_add(mem, &index, "", 2);
    assert_true(key_index_find(&index, "", &position));
    assert_int_equal(position, 2);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_key_is_found_where_it_was_put_and_no_other),
        cmocka_unit_test(the_empty_key_is_a_key),
    };

    return cmocka_run_group_tests_name("base/key_index", tests, NULL, NULL);
}
