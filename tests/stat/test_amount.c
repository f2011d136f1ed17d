#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/macro.h"
#include "stat/amount.h"

static struct amount read_amount(struct arena *mem, const char *text)
{
    const struct exact *value = exact_from_text(mem, text);

    assert_non_null(value);

    return amount_from_exact(value);
}

static void assert_value(struct arena *mem, struct amount value, const char *expected)
{
    assert_string_equal(exact_ratio_text(mem, amount_exact(mem, value)), expected);
}

static void an_amount_is_a_decimal_wherever_it_fits_one(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    assert_null(read_amount(mem, "0.0105").exact);
    assert_null(read_amount(mem, "-86.4").exact);
    assert_non_null(read_amount(mem, "1/3").exact);
    assert_non_null(read_amount(mem, "1234567890.1234567891").exact);
}

static const struct {
    const char *a;
    const char *b;
    const char *sum;
    const char *product;
    const char *reason;
} pairs[] = {
    {"0.1", "0.2", "3/10", "1/50", "decimals stay decimals"},
    {"1/3", "0.5", "5/6", "1/6", "a rational beside a decimal"},
    {"999999999999999999", "1", "1000000000000000000", "999999999999999999",
     "one digit more than a decimal holds"},
    {"0.000000001", "0.0000000001", "11/10000000000", "1/10000000000000000000",
     "more places than a decimal holds"},
    {"1000000000000", "0.001", "1000000000000001/1000", "1000000000", "zeros cancel"},
    {"-5", "2", "-3", "-10", "below 0"},
};

static void adding_and_multiplying_never_lose_a_digit(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(pairs); i++) {
        struct amount a = read_amount(mem, pairs[i].a);
        struct amount b = read_amount(mem, pairs[i].b);

        assert_value(mem, amount_add(mem, a, b), pairs[i].sum);
        assert_value(mem, amount_multiply(mem, a, b), pairs[i].product);
    }
}

static void a_sum_takes_decimals_and_rationals_together(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct amount values[] = {read_amount(mem, "0.5"), read_amount(mem, "1/3"),
                                    read_amount(mem, "2.25"), read_amount(mem, "2/3")};

    (void)state;
    assert_string_equal(exact_ratio_text(mem, amount_sum(mem, values, 4)), "15/4");
    assert_string_equal(exact_ratio_text(mem, amount_sum(mem, values, 0)), "0");
}

static const struct {
    const char *value;
    struct rounding rounding;
    const char *expected;
    const char *source;
} roundings[] = {
    {"0.0105",
     {ROUND_HALF_UP, ROUND_TO_DECIMALS, 3},
     "11/1000",
     "US EPA FAQ on the arsenic MCL, after Water Supply Guidance 21: 0.0105 is 0.011"},
    {"0.0104",
     {ROUND_HALF_UP, ROUND_TO_DECIMALS, 3},
     "1/100",
     "US EPA FAQ on the arsenic MCL: 0.0104 is 0.010"},
    {"2.25",
     {ROUND_HALF_EVEN, ROUND_TO_DECIMALS, 1},
     "11/5",
     "Standard Methods 1050 B (from memory): 2.25 is 2.2"},
    {"2.35",
     {ROUND_HALF_EVEN, ROUND_TO_DECIMALS, 1},
     "12/5",
     "Standard Methods 1050 B (from memory): 2.35 is 2.4"},
    {"10.5", {ROUND_HALF_UP, ROUND_TO_DECIMALS, 0}, "11", "half up on the edge of a whole number"},
    {"10.5", {ROUND_HALF_EVEN, ROUND_TO_DECIMALS, 0}, "10", "half even on the same edge"},
    {"10.49", {ROUND_HALF_UP, ROUND_TO_DECIMALS, 0}, "10", "rounded once, not twice"},
    {"-10.5", {ROUND_HALF_UP, ROUND_TO_DECIMALS, 0}, "-11", "half up is away from 0"},
    {"5.896",
     {ROUND_HALF_UP, ROUND_TO_FIGURES, 3},
     "59/10",
     "state agency handout \"DMR Calculations\": 5.896 is reported as 5.90"},
    {"99.96", {ROUND_HALF_UP, ROUND_TO_FIGURES, 3}, "100", "a carry into a new figure"},
    {"1234", {ROUND_HALF_UP, ROUND_TO_FIGURES, 2}, "1200", "figures above the point"},
    {"1250", {ROUND_HALF_UP, ROUND_TO_DECIMALS, -2}, "1300", "to hundreds"},
    {"3", {ROUND_HALF_UP, ROUND_TO_DECIMALS, 2}, "3", "nothing to take away"},
    {"4", {ROUND_HALF_UP, ROUND_TO_DECIMALS, -19}, "0", "further than its digits reach"},
    {"1/3", {ROUND_HALF_UP, ROUND_TO_DECIMALS, 2}, "33/100", "a rational"},
    {"0.3049", {ROUND_NONE, ROUND_TO_DECIMALS, 0}, "3049/10000", "no rounding"},
};

static void rounding_follows_the_printed_examples(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(roundings); i++)
        assert_value(mem,
                     amount_round(mem, read_amount(mem, roundings[i].value), roundings[i].rounding),
                     roundings[i].expected);
}

static void decimals_round_as_rationals_do(void **state)
{
    static const int8_t digits[] = {-2, 0, 1, 3, 5};

    (void)state;
    for (int64_t coefficient = -20050; coefficient <= 20050; coefficient += 50) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct decimal value = {coefficient, 3};
        const struct exact *same = exact_from_decimal(mem, value);

        for (size_t i = 0; i < ARRAY_LEN(digits); i++)
            for (int rule = ROUND_HALF_UP; rule <= ROUND_HALF_EVEN; rule++) {
                struct rounding rounding = {(enum rounding_rule)rule, ROUND_TO_DECIMALS, digits[i]};
                struct amount got = amount_round(mem, amount_from_decimal(value), rounding);

                assert_int_equal(
                    exact_compare(amount_exact(mem, got), exact_round(mem, same, rounding)), 0);
            }
    }
}

static void sorting_mixes_decimals_and_rationals(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct amount values[] = {read_amount(mem, "0.34"), read_amount(mem, "1/3"),
                                    read_amount(mem, "-1"), read_amount(mem, "0.33")};
    struct amount *sorted = amount_sorted(mem, values, 4);

    (void)state;
    assert_value(mem, sorted[0], "-1");
    assert_value(mem, sorted[1], "33/100");
    assert_value(mem, sorted[2], "1/3");
    assert_value(mem, sorted[3], "17/50");
}

static void sorting_knows_decimals_of_one_scale(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct amount values[] = {read_amount(mem, "0.34"), read_amount(mem, "-0.07"),
                                    read_amount(mem, "12.01"), read_amount(mem, "0.34"),
                                    read_amount(mem, "-99.99")};
    struct amount *sorted = amount_sorted(mem, values, ARRAY_LEN(values));

    (void)state;
    assert_value(mem, sorted[0], "-9999/100");
    assert_value(mem, sorted[1], "-7/100");
    assert_value(mem, sorted[2], "17/50");
    assert_value(mem, sorted[3], "17/50");
    assert_value(mem, sorted[4], "1201/100");
}

static void taking_away_never_loses_a_digit(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    assert_value(mem, amount_subtract(mem, read_amount(mem, "7.5"), read_amount(mem, "8.25")),
                 "-3/4");
    assert_value(mem, amount_subtract(mem, read_amount(mem, "1"), read_amount(mem, "1/3")), "2/3");
    assert_value(mem, amount_subtract(mem, read_amount(mem, "1/3"), read_amount(mem, "-1")), "4/3");
    assert_value(
        mem, amount_subtract(mem, read_amount(mem, "-999999999999999999"), read_amount(mem, "0.1")),
        "-9999999999999999991/10");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_amount_is_a_decimal_wherever_it_fits_one),
        cmocka_unit_test(adding_and_multiplying_never_lose_a_digit),
        cmocka_unit_test(a_sum_takes_decimals_and_rationals_together),
        cmocka_unit_test(rounding_follows_the_printed_examples),
        cmocka_unit_test(decimals_round_as_rationals_do),
        cmocka_unit_test(sorting_mixes_decimals_and_rationals),
        cmocka_unit_test(sorting_knows_decimals_of_one_scale),
        cmocka_unit_test(taking_away_never_loses_a_digit),
    };

    return cmocka_run_group_tests_name("stat/amount", tests, NULL, NULL);
}
