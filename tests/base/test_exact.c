#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/exact.h"
#include "base/macro.h"

static struct arena *mem;

static int arena_setup(void **state)
{
    (void)state;
    mem = arena_new();

    return 0;
}

static int arena_teardown(void **state)
{
    (void)state;
    arena_free(&mem);

    return 0;
}

static const struct exact *number(const char *text)
{
    const struct exact *value = exact_from_text(mem, text);

    if (!value)
        fail_msg("'%s' was not read", text);

    return value;
}

static const struct exact *mean(const char *const *texts, size_t count)
{
    const struct exact **items = ARENA_ARRAY(mem, const struct exact *, count);

    for (size_t i = 0; i < count; i++)
        items[i] = number(texts[i]);

    return exact_div(mem, exact_sum(mem, items, count), exact_from_int(mem, (int64_t)count));
}

static void text_becomes_a_ratio_in_lowest_terms_and_comes_back(void **state)
{
    (void)state;

    static const struct {
        const char *text;
        const char *ratio;
        const char *reason;
    } rows[] = {
        {"8.34", "417/50", "a decimal"},
        {"-0.5", "-1/2", "a negative one"},
        {"+3", "3", "a plus sign says nothing"},
        {"1/3", "1/3", "no decimal has this value"},
        {"-2/4", "-1/2", "lowest terms"},
        {"0.000", "0", "zero has one spelling"},
        {"0/7", "0", "also as a ratio"},
        {"3785411784/453592370", "24580596/2945405", "pounds a day from million gallons a day"},
        {"123456789012345678901234567890.5", "246913578024691357802469135781/2",
         "more digits than any machine word"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct exact *value = number(rows[i].text);
        const char *ratio = exact_ratio_text(mem, value);

        if (strcmp(ratio, rows[i].ratio) != 0)
            fail_msg("%s: %s instead of %s: %s", rows[i].text, ratio, rows[i].ratio,
                     rows[i].reason);
        assert_int_equal(exact_compare(number(ratio), value), 0);
    }
}

static void what_is_no_number_is_null(void **state)
{
    static const char *const texts[] = {"",      "-",     ".5",   "5.",  "1/",  "/2",  "1/0",
                                        "1/2/3", "1.5/2", "1 /2", "1e5", "1,5", "--1", "1/-2",
                                        "1.2.3", "x",     "12x",  " 1",  "+-1"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(texts); i++)
        if (exact_from_text(mem, texts[i]))
            fail_msg("'%s' was read", texts[i]);
}

static void arithmetic_is_exact(void **state)
{
    const struct exact *third = number("1/3");
    const struct exact *tenth = number("0.1");

    (void)state;
    assert_string_equal(exact_ratio_text(mem, exact_add(mem, tenth, number("0.2"))), "3/10");
    assert_string_equal(exact_ratio_text(mem, exact_sub(mem, tenth, third)), "-7/30");
    assert_string_equal(exact_ratio_text(mem, exact_mul(mem, third, number("-6"))), "-2");
    assert_string_equal(exact_ratio_text(mem, exact_div(mem, tenth, number("-0.3"))), "-1/3");
    assert_null(exact_div(mem, tenth, number("0.00")));
    assert_string_equal(exact_ratio_text(mem, exact_from_ratio(mem, -6, -4)), "3/2");
    assert_string_equal(exact_ratio_text(mem, exact_from_ratio(mem, INT64_MIN, 2)),
                        "-4611686018427387904");
    assert_string_equal(exact_ratio_text(mem, exact_from_int(mem, INT64_MIN)),
                        "-9223372036854775808");
    assert_int_equal(exact_sign(exact_sub(mem, tenth, tenth)), 0);
    assert_int_equal(exact_sign(number("-0.1")), -1);
    assert_int_equal(exact_sign(third), 1);
    assert_int_equal(exact_compare(third, number("0.3333333333333333333333333333")), 1);
}

/*
 * Half up: US Environmental Protection Agency, questions and answers on the arsenic rule
 * (rounding after Water Supply Guidance 21): at 0.010 mg/L, 0.0105 counts as 0.011 and
 * 0.0104 as 0.010. Half even: Standard Methods 1050 B, from memory. 5.896 as 5.90: a state
 * agency's handout "DMR Calculations".
 */
static void rounding_follows_the_published_examples(void **state)
{
    (void)state;

    static const struct {
        const char *value;
        enum rounding_rule rule;
        enum rounding_to to;
        int digits;
        const char *shown;
        const char *reason;
    } rows[] = {
        {"0.0105", ROUND_HALF_UP, ROUND_TO_DECIMALS, 3, "0.011", "published: 5 goes up"},
        {"0.0104", ROUND_HALF_UP, ROUND_TO_DECIMALS, 3, "0.010", "published: 4 goes down"},
        {"0.0105", ROUND_HALF_UP, ROUND_TO_FIGURES, 2, "0.011", "two figures say the same"},
        {"2.25", ROUND_HALF_EVEN, ROUND_TO_FIGURES, 2, "2.2", "from memory: to the even digit"},
        {"2.35", ROUND_HALF_EVEN, ROUND_TO_FIGURES, 2, "2.4", "from memory: to the even digit"},
        {"5.896", ROUND_HALF_UP, ROUND_TO_DECIMALS, 2, "5.90", "printed: the zero is kept"},
        {"2.25", ROUND_HALF_UP, ROUND_TO_DECIMALS, 1, "2.3", "the same tie, the other rule"},
        {"10.49", ROUND_HALF_UP, ROUND_TO_DECIMALS, 0, "10", "below the tie"},
        {"10.5", ROUND_HALF_UP, ROUND_TO_DECIMALS, 0, "11", "at the tie"},
        {"10.5", ROUND_HALF_EVEN, ROUND_TO_DECIMALS, 0, "10", "at the tie, to the even one"},
        {"10.5000000000000000001", ROUND_HALF_EVEN, ROUND_TO_DECIMALS, 0, "11", "past the tie"},
        {"-2.5", ROUND_HALF_UP, ROUND_TO_DECIMALS, 0, "-3", "half up is away from zero"},
        {"-2.5", ROUND_HALF_EVEN, ROUND_TO_DECIMALS, 0, "-2", "even below zero"},
        {"-0.4", ROUND_HALF_UP, ROUND_TO_DECIMALS, 0, "0", "no negative zero"},
        {"9.996", ROUND_HALF_UP, ROUND_TO_FIGURES, 3, "10.0", "a carry does not add a figure"},
        {"0.0999", ROUND_HALF_EVEN, ROUND_TO_FIGURES, 2, "0.10", "a carry below one"},
        {"1249", ROUND_HALF_UP, ROUND_TO_DECIMALS, -2, "1200", "hundreds"},
        {"1250", ROUND_HALF_UP, ROUND_TO_DECIMALS, -2, "1300", "hundreds, at the tie"},
        {"1250", ROUND_HALF_EVEN, ROUND_TO_DECIMALS, -2, "1200", "hundreds, to the even one"},
        {"231.16", ROUND_HALF_UP, ROUND_TO_FIGURES, 2, "230", "figures above the point"},
        {"0.3", ROUND_HALF_UP, ROUND_TO_DECIMALS, 2, "0.30", "places that were not there"},
        {"0", ROUND_HALF_UP, ROUND_TO_DECIMALS, 2, "0.00", "zero with its decimals"},
        {"0", ROUND_HALF_UP, ROUND_TO_FIGURES, 3, "0", "zero has no first figure"},
        {"2/3", ROUND_HALF_UP, ROUND_TO_DECIMALS, 4, "0.6667", "a value that never ends"},
        {"1/7", ROUND_HALF_UP, ROUND_TO_FIGURES, 18, "0.142857142857142857", "the most figures"},
        {"0.30", ROUND_NONE, ROUND_TO_DECIMALS, 0, "0.3", "no rounding: the value itself"},
        {"1/3", ROUND_NONE, ROUND_TO_DECIMALS, 0, "0.333333333333",
         "and twelve figures of one "
         "that never ends"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct rounding rounding = {rows[i].rule, rows[i].to, rows[i].digits};
        const struct exact *value = number(rows[i].value);
        const char *shown = exact_rounded_text(mem, value, rounding);

        if (strcmp(shown, rows[i].shown) != 0)
            fail_msg("%s: %s instead of %s: %s", rows[i].value, shown, rows[i].shown,
                     rows[i].reason);
        if (rounding.rule != ROUND_NONE)
            assert_int_equal(exact_compare(exact_round(mem, value, rounding), number(shown)), 0);
    }
}

/*
 * Pounds a day of a million US gallons a day at one milligram a litre: 3785411784 and
 * 453592370 are exact by the definitions of the gallon and the pound; a printed 8.34 is a
 * convention (National Institute of Standards and Technology, Handbook 44, appendix C, from
 * memory).
 */
static void the_pound_factor_is_exact(void **state)
{
    const struct exact *factor = number("3785411784/453592370");
    const struct exact *flow = number("0.19");
    const struct rounding cents = {ROUND_HALF_UP, ROUND_TO_DECIMALS, 2};

    (void)state;
    assert_string_equal(exact_text(mem, factor, 10), "8.345404452");

    const struct exact *dissolved = exact_mul(mem, flow, number("22"));

    assert_string_equal(exact_rounded_text(mem, exact_mul(mem, dissolved, number("8.34")), cents),
                        "34.86");
    assert_string_equal(exact_rounded_text(mem, exact_mul(mem, dissolved, factor), cents), "34.88");
}

/*
 * A printed month: "Study time: treatment plant discussion, definitions and calculations for
 * DMRs", wastewater101.net, January 2019. Loads by the day's flow and 8.34.
 */
static void a_printed_month_of_loads_comes_out(void **state)
{
    static const char *const concentrations[] = {"22.00", "29.00", "18.00", "10.00"};
    static const char *const flows[] = {"0.19", "0.20", "0.18", "0.19"};
    static const char *const loads[] = {"34.86", "48.37", "27.02", "15.85"};
    const struct rounding cents = {ROUND_HALF_UP, ROUND_TO_DECIMALS, 2};
    const struct exact *items[ARRAY_LEN(loads)];

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(loads); i++) {
        items[i] = exact_mul(mem, exact_mul(mem, number(flows[i]), number(concentrations[i])),
                             number("8.34"));
        assert_string_equal(exact_rounded_text(mem, items[i], cents), loads[i]);
    }

    const struct exact *count = exact_from_int(mem, ARRAY_LEN(loads));
    const struct exact *monthly = exact_div(mem, exact_sum(mem, items, ARRAY_LEN(items)), count);
    const struct exact *wrong =
        exact_mul(mem, exact_mul(mem, mean(flows, ARRAY_LEN(flows)), mean(concentrations, 4)),
                  number("8.34"));

    assert_string_equal(exact_text(mem, monthly, 5), "31.525");
    assert_string_equal(exact_rounded_text(mem, monthly, cents), "31.53");
    assert_string_equal(exact_rounded_text(mem, mean(concentrations, 4), cents), "19.75");
    assert_string_equal(exact_text(mem, wrong, 6), "31.2959");
}

/* "DMR Calculations", a state agency's handout: 29.48 / 5 = 5.896, reported as 5.90. */
static void the_handout_mean_is_reported_as_printed(void **state)
{
    static const char *const values[] = {"5.30", "6.21", "4.00", "5.25", "8.72"};
    const struct exact *found = mean(values, ARRAY_LEN(values));

    (void)state;
    assert_string_equal(exact_text(mem, found, 12), "5.896");
    assert_string_equal(
        exact_rounded_text(mem, found, (struct rounding){ROUND_HALF_UP, ROUND_TO_FIGURES, 3}),
        "5.90");
}

/* Sums by the quick ways against one addition after another. */
static void the_quick_sums_equal_the_slow_one(void **state)
{
    enum { COUNT = 400 };
    struct decimal decimals[COUNT];
    const struct exact *items[COUNT];
    const struct exact *slow = exact_from_int(mem, 0);
    uint64_t random = 7;

    (void)state;
    for (size_t i = 0; i < COUNT; i++) {
        random = random * 6364136223846793005u + 1442695040888963407u;
        decimals[i].scale = (uint8_t)((random >> 33) % 19);
        decimals[i].coefficient = (int64_t)(random % 1999999999999999999u) - 999999999999999999;
        items[i] = exact_from_decimal(mem, decimals[i]);
        slow = exact_add(mem, slow, items[i]);
    }
    assert_int_equal(exact_compare(exact_sum(mem, items, COUNT), slow), 0);
    assert_int_equal(exact_compare(exact_sum_decimals(mem, decimals, COUNT), slow), 0);
}

static void assert_same(const struct exact *quick, const struct exact *slow)
{
    assert_string_equal(exact_ratio_text(mem, quick), exact_ratio_text(mem, slow));
}

/* Numbers of one limb a side are worked out without GMP, unless a number of many takes part. */
static void small_numbers_come_to_what_large_ones_do(void **state)
{
    static const char *const values[] = {
        "0",
        "1",
        "-1",
        "1/3",
        "-7/9223372036854775783",
        "9223372036854775807",
        "-9223372036854775808",
        "18446744073709551615",
        "-18446744073709551615/2",
        "18446744073709551557/18446744073709551533",
        "123456789.987654321",
        "-0.000000000000000001",
        "600000000",
        "6/35",
        "-10/21",
    };
    const struct exact *large = number("340282366920938463463374607431768211507");

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(values); i++) {
        for (size_t j = 0; j < ARRAY_LEN(values); j++) {
            const struct exact *a = number(values[i]);
            const struct exact *b = number(values[j]);
            const struct exact *a_large = exact_add(mem, a, large);
            const struct exact *b_large = exact_mul(mem, b, large);
            const struct exact *difference = exact_sub(mem, a_large, exact_add(mem, b, large));

            assert_same(exact_add(mem, a, b), exact_sub(mem, exact_add(mem, a_large, b), large));
            assert_same(exact_sub(mem, a, b), difference);
            assert_same(exact_mul(mem, a, b), exact_div(mem, exact_mul(mem, a, b_large), large));
            assert_int_equal(exact_compare(a, b), exact_sign(difference));
            if (exact_sign(b) != 0)
                assert_same(exact_div(mem, a, b),
                            exact_mul(mem, exact_div(mem, a, b_large), large));
        }
    }
}

static void a_decimal_is_one_of_at_most_18_digits(void **state)
{
    static const struct {
        const char *value;
        bool is_one;
        int64_t coefficient;
        int scale;
    } rows[] = {
        {"0", true, 0, 0},
        {"-8.50", true, -85, 1},
        {"100", true, 100, 0},
        {"1/1024", true, 9765625, 10},
        {"999999999999999999", true, 999999999999999999, 0},
        {"-0.000000000000000001", true, -1, 18},
        {"1000000000000000000", false, 0, 0},
        {"0.0000000000000000001", false, 0, 0},
        {"1/3", false, 0, 0},
        {"1234567890.1234567891", false, 0, 0},
        {"340282366920938463463374607431768211507", false, 0, 0},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct decimal decimal = {0};

        assert_int_equal(exact_decimal(number(rows[i].value), &decimal), rows[i].is_one);
        assert_true(decimal.coefficient == rows[i].coefficient);
        assert_int_equal(decimal.scale, rows[i].scale);
    }
}

static void sums_hold_what_no_sixteen_bytes_can(void **state)
{
    const struct exact *large = number("123456789012345678901234567890123456789012345678");
    const struct exact *const items[] = {large, number("0.1"), large, number("-1/3")};

    (void)state;
    assert_string_equal(exact_ratio_text(mem, exact_sum(mem, items, ARRAY_LEN(items))),
                        "7407407340740740734074074073407407407340740740673/30");
    assert_string_equal(exact_ratio_text(mem, exact_sum(mem, NULL, 0)), "0");
    assert_string_equal(exact_ratio_text(mem, exact_sum_decimals(mem, NULL, 0)), "0");
}

static void a_double_is_brought_to_twelve_figures(void **state)
{
    (void)state;

    static const struct {
        double value;
        const char *ratio;
        const char *reason;
    } rows[] = {
        {0.1, "1/10", "the noise of the double is gone"},
        {0.1 + 0.2, "3/10", "also that of a sum"},
        {-2.5e-7, "-1/4000000", "small"},
        {110.66819197003215, "110668191970/1000000000", "thirteen figures and more are cut"},
        {1e20, "100000000000000000000", "large"},
        {0, "0", "nothing"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct exact *found = exact_from_double(mem, rows[i].value);

        if (exact_compare(found, number(rows[i].ratio)) != 0)
            fail_msg("%.17g: %s: %s", rows[i].value, exact_ratio_text(mem, found), rows[i].reason);
    }
    assert_null(exact_from_double(mem, (double)NAN));
    assert_null(exact_from_double(mem, (double)INFINITY));
    assert_null(exact_from_double(mem, (double)-INFINITY));
}

/* Against the C library's strtod(), which rounds to nearest. */
static void the_nearest_double_is_found(void **state)
{
    static const char *const texts[] = {"0",
                                        "0.1",
                                        "-0.3",
                                        "9007199254740993",
                                        "9007199254740992.5",
                                        "123456789012345678901234567890",
                                        "0.000000000000000000000000012345678901234567",
                                        "1.00000000000000011102230246251565404236316680908203125",
                                        "1.00000000000000011102230246251565404236316680908203126",
                                        "-31.525"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(texts); i++) {
        double found = exact_double(number(texts[i]));
        double expected = strtod(texts[i], NULL);

        if (found < expected || found > expected)
            fail_msg("%s became %.17g", texts[i], found);
    }
}

static void text_for_people_never_has_an_exponent(void **state)
{
    (void)state;

    static const struct {
        const char *value;
        int figures;
        const char *shown;
    } rows[] = {
        {"0.000000012", 3, "0.000000012"},
        {"160000", 2, "160000"},
        {"1234567", 3, "1230000"},
        {"-1/8", 12, "-0.125"},
        {"5.90", 6, "5.9"},
        {"100", 1, "100"},
        {"2/3", 3, "0.667"},
        {"0", 4, "0"},
        {"1999.96", 5, "2000"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_string_equal(exact_text(mem, number(rows[i].value), rows[i].figures), rows[i].shown);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(text_becomes_a_ratio_in_lowest_terms_and_comes_back),
        cmocka_unit_test(what_is_no_number_is_null),
        cmocka_unit_test(arithmetic_is_exact),
        cmocka_unit_test(rounding_follows_the_published_examples),
        cmocka_unit_test(the_pound_factor_is_exact),
        cmocka_unit_test(a_printed_month_of_loads_comes_out),
        cmocka_unit_test(the_handout_mean_is_reported_as_printed),
        cmocka_unit_test(the_quick_sums_equal_the_slow_one),
        cmocka_unit_test(small_numbers_come_to_what_large_ones_do),
        cmocka_unit_test(a_decimal_is_one_of_at_most_18_digits),
        cmocka_unit_test(sums_hold_what_no_sixteen_bytes_can),
        cmocka_unit_test(a_double_is_brought_to_twelve_figures),
        cmocka_unit_test(the_nearest_double_is_found),
        cmocka_unit_test(text_for_people_never_has_an_exponent),
    };

    return cmocka_run_group_tests_name("base/exact", tests, arena_setup, arena_teardown);
}
