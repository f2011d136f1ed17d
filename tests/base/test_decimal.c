#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/decimal.h"
#include "base/macro.h"

static struct decimal decimal_of(const char *text)
{
    struct decimal value = {0};

    if (!decimal_parse(text, &value))
        fail_msg("'%s' was not read", text);

    return value;
}

static void a_number_keeps_its_digits(void **state)
{
    (void)state;

    static const struct {
        const char *text;
        int64_t coefficient;
        int scale;
        const char *shown;
        const char *reason;
    } rows[] = {
        {"0.30", 30, 2, "0.30", "the last zero was reported and is kept"},
        {"0.3", 3, 1, "0.3", "and not invented"},
        {"-2", -2, 0, "-2", "a negative whole number"},
        {"+7.0", 70, 1, "7.0", "a plus sign says nothing"},
        {"-0.05", -5, 2, "-0.05", "zeros before the first figure, below zero"},
        {"-0.0", 0, 1, "0.0", "there is no negative zero"},
        {"007.10", 710, 2, "7.10", "leading zeros are no figures"},
        {"1.6E+05", 160000, 0, "160000", "bacteria counts as laboratories print them"},
        {"1.6e5", 160000, 0, "160000", "a small e, no sign"},
        {"1.60E+01", 160, 1, "16.0", "the exponent moves the point and keeps the figures"},
        {"2.5E-03", 25, 4, "0.0025", "a negative exponent"},
        {"0E+30", 0, 0, "0", "zero stays zero however it is written"},
        {"999999999999999999", 999999999999999999, 0, "999999999999999999", "18 digits fit"},
        {"0.000000000000000001", 1, 18, "0.000000000000000001", "18 decimals fit"},
        {"000000000000000000001.5", 15, 1, "1.5", "leading zeros do not count as digits"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct decimal value = decimal_of(rows[i].text);

        if (value.coefficient != rows[i].coefficient || value.scale != rows[i].scale)
            fail_msg("%s: read as %lld scale %d: %s", rows[i].text, (long long)value.coefficient,
                     value.scale, rows[i].reason);
        assert_string_equal(decimal_text(mem, value), rows[i].shown);
    }
}

static void what_is_no_plain_number_is_refused_and_nothing_is_written(void **state)
{
    (void)state;

    static const struct {
        const char *text;
        const char *reason;
    } rows[] = {
        {"", "nothing"},
        {"-", "a sign alone"},
        {".5", "no digit before the point"},
        {"5.", "no digit after the point"},
        {"1,5", "a comma is not a point"},
        {"1.2.3", "two points"},
        {" 1", "a blank"},
        {"1 ", "a blank behind"},
        {"1e", "an exponent without digits"},
        {"1e+", "a sign without digits"},
        {"1e5x", "something after the exponent"},
        {"0x1F", "not a decimal"},
        {"nan", "not a number"},
        {"1000000000000000000", "19 digits"},
        {"0.1234567890123456789", "19 digits after the point"},
        {"0.0000000000000000001", "19 decimals, though one figure"},
        {"1e18", "19 digits when written out"},
        {"1e-19", "19 decimals when written out"},
        {"1e999999999999", "an exponent that overflows an int"},
        {"0e-999999999999", "also below"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct decimal value = {.coefficient = 42, .scale = 7};

        if (decimal_parse(rows[i].text, &value))
            fail_msg("'%s' was read: %s", rows[i].text, rows[i].reason);
        assert_int_equal(value.coefficient, 42);
        assert_int_equal(value.scale, 7);
    }
}

/* Figures of a limit: 0.067 has two, 0.7 has one (New York DEC, DMR Manual questions and answers).
 */
static void significant_figures_are_those_written(void **state)
{
    (void)state;

    static const struct {
        const char *text;
        int figures;
    } rows[] = {
        {"0.067", 2}, {"0.7", 1}, {"0.30", 2}, {"160000", 6}, {"0", 1}, {"0.00", 1}, {"-12.50", 4},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_int_equal(decimal_significant_figures(decimal_of(rows[i].text)), rows[i].figures);
}

static void comparing_is_by_value_and_exact(void **state)
{
    (void)state;

    static const struct {
        const char *a;
        const char *b;
        int order;
        const char *reason;
    } rows[] = {
        {"0.30", "0.3", 0, "equal in value whatever was reported"},
        {"0", "-0.000", 0, "zero is zero"},
        {"-2", "1", -1, "across zero"},
        {"-2", "-3", 1, "below zero"},
        {"0.010", "0.011", -1, "one step of the last digit"},
        {"999999999999999999", "999999999999999998", 1, "equal as doubles"},
        {"999999999999999999", "0.000000000000000001", 1, "the largest against the smallest"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        int order = decimal_compare(decimal_of(rows[i].a), decimal_of(rows[i].b));

        if (order != rows[i].order)
            fail_msg("%s, %s: %d: %s", rows[i].a, rows[i].b, order, rows[i].reason);
        assert_int_equal(decimal_compare(decimal_of(rows[i].b), decimal_of(rows[i].a)), -order);
    }
}

/* Against the C library's strtod(), which rounds to nearest. */
static void the_double_is_the_nearest_one(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    uint64_t random = 20260501;

    (void)state;
    for (int i = 0; i < 20000; i++) {
        random = random * 6364136223846793005u + 1442695040888963407u;

        struct decimal value = {
            .coefficient = (int64_t)(random >> 4) % 1000000000000000000,
            .scale = (uint8_t)(random % 19),
        };
        const char *text = decimal_text(mem, value);
        double found = decimal_double(value);

        if (found < strtod(text, NULL) || found > strtod(text, NULL))
            fail_msg("%s became %.17g", text, found);
        arena_reset(mem);
    }
}

static void the_last_step_is_one_in_the_last_reported_digit(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    assert_string_equal(decimal_text(mem, decimal_last_step(decimal_of("9.0"))), "0.1");
    assert_string_equal(decimal_text(mem, decimal_last_step(decimal_of("-17"))), "1");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_number_keeps_its_digits),
        cmocka_unit_test(what_is_no_plain_number_is_refused_and_nothing_is_written),
        cmocka_unit_test(significant_figures_are_those_written),
        cmocka_unit_test(comparing_is_by_value_and_exact),
        cmocka_unit_test(the_double_is_the_nearest_one),
        cmocka_unit_test(the_last_step_is_one_in_the_last_reported_digit),
    };

    return cmocka_run_group_tests_name("base/decimal", tests, NULL, NULL);
}
