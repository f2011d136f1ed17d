#include <string.h>

#include "harness/near.h"
#include "measure/temperature_rise.h"

static struct units *units;

static int load_units(void **state)
{
    struct err err = ERR_INIT;

    (void)state;

    return units_load(&units, &err) ? 0 : -1;
}

static int unload_units(void **state)
{
    (void)state;
    units_free(&units);

    return 0;
}

static struct temperature temperature(struct arena *mem, const char *value, const char *unit)
{
    return (struct temperature){exact_from_text(mem, value), unit_named(units, unit)};
}

static void a_rise_is_converted_without_the_offset(void **state)
{
    static const struct {
        const char *value, *unit, *wanted, *expected;
    } rows[] = {
        /* 1 degF more is 5/9 of a degC more: NIST SP 811, appendix B.8 */
        {"10.5", "degF", "degC", "35/6"}, {"10.5", "degF", "K", "35/6"}, {"5", "degC", "degF", "9"},
        {"1", "K", "degF", "9/5"},        {"1", "K", "degC", "1"},       {"-2", "degC", "K", "-2"},
        {"3", "degC", "degC", "3"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const struct exact *out = NULL;
        struct err err = ERR_INIT;

        assert_done(temperature_rise_convert(mem, temperature(mem, rows[i].value, rows[i].unit),
                                             unit_named(units, rows[i].wanted), &out, &err),
                    &err);
        if (exact_compare(out, exact_from_text(mem, rows[i].expected)) != 0)
            fail_msg("%s %s more is %s %s more", rows[i].value, rows[i].unit,
                     exact_ratio_text(mem, out), rows[i].wanted);
    }
}

static void a_rise_between_two_readings_may_cross_units(void **state)
{
    static const struct {
        const char *before, *before_unit, *after, *after_unit, *wanted, *expected;
    } rows[] = {
        {"18.2", "degC", "21.7", "degC", "degC", "3.5"},
        {"18.2", "degC", "21.7", "degC", "degF", "6.3"},
        {"68", "degF", "78.5", "degF", "degC", "35/6"},
        {"68", "degF", "25", "degC", "degC", "5"}, /* 68 degF is 20 degC */
        {"293.15", "K", "77", "degF", "degF", "9"},
        {"21.7", "degC", "18.2", "degC", "degC", "-3.5"}, /* a fall */
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const struct exact *out = NULL;
        struct err err = ERR_INIT;

        assert_done(temperature_rise(units, mem,
                                     temperature(mem, rows[i].before, rows[i].before_unit),
                                     temperature(mem, rows[i].after, rows[i].after_unit),
                                     unit_named(units, rows[i].wanted), &out, &err),
                    &err);
        if (exact_compare(out, exact_from_text(mem, rows[i].expected)) != 0)
            fail_msg("row %zu is %s", i, exact_ratio_text(mem, out));
    }
}

static void what_is_no_temperature_does_not_rise(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct temperature warm = temperature(mem, "20", "degC");
    const struct temperature salt = temperature(mem, "35", "PSU");
    const struct exact *untouched = NULL;
    struct err err = ERR_INIT;

    (void)state;
    assert_fails(temperature_rise(units, mem, salt, warm, warm.unit, &untouched, &err), ERR_INVALID,
                 &err);
    assert_non_null(strstr(err.text, "PSU is not a unit of temperature"));
    assert_fails(temperature_rise(units, mem, warm, salt, warm.unit, &untouched, &err), ERR_INVALID,
                 &err);
    assert_fails(temperature_rise_convert(mem, warm, salt.unit, &untouched, &err), ERR_INVALID,
                 &err);
    assert_null(untouched);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_rise_is_converted_without_the_offset),
        cmocka_unit_test(a_rise_between_two_readings_may_cross_units),
        cmocka_unit_test(what_is_no_temperature_does_not_rise),
    };

    return cmocka_run_group_tests_name("measure/temperature_rise", tests, load_units, unload_units);
}
