#include "base/search.h"

#include <stdlib.h>

#include "harness/cmocka.h"

/* Held against a look at every item of the list, which finds the same place without halving. */

enum { ITEMS = 40, KEYS = 60 };

struct item {
    char before;
    int64_t number;
};

static size_t looked_for(const struct item *items, size_t count, int64_t key)
{
    size_t i = 0;

    while (i < count && items[i].number < key)
        i++;

    return i;
}

static void the_first_item_that_is_not_less_is_found_in_lists_of_every_length(void **state)
{
    struct item items[ITEMS];

    (void)state;
    for (int i = 0; i < ITEMS; i++)
        items[i].number = INT64_C(3) * (i / 2) - ITEMS / 2; /* each number twice, with gaps */

    for (size_t count = 0; count <= ITEMS; count++)
        for (int64_t key = -KEYS; key <= KEYS; key++)
            assert_int_equal(SEARCH_FROM(items, count, number, key), looked_for(items, count, key));
    assert_int_equal(SEARCH_FROM(items, ITEMS, number, INT64_MIN), 0);
    assert_int_equal(SEARCH_FROM(items, ITEMS, number, INT64_MAX), ITEMS);
}

static void a_list_without_items_has_none(void **state)
{
    const struct item *none = NULL;

    (void)state;
    assert_int_equal(SEARCH_FROM(none, 0, number, 5), 0);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_first_item_that_is_not_less_is_found_in_lists_of_every_length),
        cmocka_unit_test(a_list_without_items_has_none),
    };

    return cmocka_run_group_tests_name("base/search", tests, NULL, NULL);
}
