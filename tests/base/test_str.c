#include "harness/cmocka.h"

#include "base/macro.h"
#include "base/str.h"

static void numbered_things_are_in_the_order_of_their_numbers(void **state)
{
    static const struct {
        const char *first;
        const char *second;
        int order;
        const char *why;
    } rows[] = {
        {"S9", "S10", -1, "nine comes before ten"},
        {"S010", "S9", 1, "zeros that lead say nothing"},
        {"S2-10", "S2-9", 1, "the second number too"},
        {"A10", "B2", -1, "letters come first where they stand first"},
        {"S7", "S7", 0, "the same"},
        {"S7", "S7b", -1, "the shorter first"},
        {"S12345678901234567890", "S12345678901234567891", -1, "longer than any machine's number"},
        {NULL, "S1", -1, "what has no number first"},
        {NULL, NULL, 0, "neither has one"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        if (str_compare_numbered(rows[i].first, rows[i].second) != rows[i].order ||
            str_compare_numbered(rows[i].second, rows[i].first) != -rows[i].order)
            fail_msg("%s", rows[i].why);
    }
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbered_things_are_in_the_order_of_their_numbers),
    };

    return cmocka_run_group_tests_name("base/str", tests, NULL, NULL);
}
