#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "measure/load.h"

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

static const struct exact *factor_of(struct arena *mem, const char *concentration,
                                     const char *water, const char *load)
{
    const struct exact *factor = NULL;
    struct err err = ERR_INIT;

    if (!load_factor(mem, unit_named(units, concentration), unit_named(units, water),
                     unit_named(units, load), &factor, &err))
        fail_msg("%s", err.text);

    return factor;
}

/* Half up to two decimals, as the source prints its loads. */
static const struct rounding two_decimals = {ROUND_HALF_UP, ROUND_TO_DECIMALS, 2};

/*
 * A printed month: "Study time: treatment plant discussion, definitions and calculations for
 * DMRs", wastewater101.net, January 2019. Flow in MGD, BOD5 in mg/L, factor 8.34.
 */
static const struct {
    const char *flow, *concentration, *load;
} printed[] = {
    {"0.19", "22.00", "34.86"},
    {"0.20", "29.00", "48.37"},
    {"0.18", "18.00", "27.02"},
    {"0.19", "10.00", "15.85"},
};

static const struct exact *number(struct arena *mem, const char *digits)
{
    return exact_from_text(mem, digits);
}

static void the_printed_month_comes_out_with_the_licence_s_factor(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct exact *sum = number(mem, "0");
    const struct exact *flows = number(mem, "0");
    const struct exact *concentrations = number(mem, "0");
    const struct exact *four = number(mem, "4");

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(printed); i++) {
        const struct exact *flow = number(mem, printed[i].flow);
        const struct exact *concentration = number(mem, printed[i].concentration);
        const struct exact *load = load_of(mem, concentration, flow, number(mem, "8.34"));

        assert_string_equal(exact_rounded_text(mem, load, two_decimals), printed[i].load);
        sum = exact_add(mem, sum, load);
        flows = exact_add(mem, flows, flow);
        concentrations = exact_add(mem, concentrations, concentration);
    }

    const struct exact *mean = exact_div(mem, sum, four);
    const struct exact *of_means = load_of(mem, exact_div(mem, concentrations, four),
                                           exact_div(mem, flows, four), number(mem, "8.34"));

    /* Printed as 31.53; the mean flow times the mean concentration is another figure. */
    assert_string_equal(exact_text(mem, mean, 5), "31.525");
    assert_string_equal(exact_rounded_text(mem, mean, two_decimals), "31.53");
    assert_string_equal(exact_rounded_text(mem, of_means, two_decimals), "31.30");
}

static void factors_follow_exactly_from_the_units(void **state)
{
    static const struct {
        const char *concentration, *water, *load, *factor, *why;
    } rows[] = {
        {"mg/L", "m3/day", "kg/day", "1/1000", "SI"},
        {"mg/L", "ML/day", "kg/day", "1", "SI"},
        {"mg/L", "L/s", "kg/day", "864/10000", "86400 s"},
        {"mg/L", "m3/s", "kg/day", "864/10", "86400 s"},
        {"g/m3", "m3", "kg", "1/1000", "SI"},
        {"ug/L", "m3", "g", "1/1000", "SI"},
        {"mg/L", "MGD", "lb/day", "3785411784/453592370", "exact pound and gallon, NIST SP 811"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const struct exact *factor =
            factor_of(mem, rows[i].concentration, rows[i].water, rows[i].load);

        if (exact_compare(factor, number(mem, rows[i].factor)) != 0)
            fail_msg("%s x %s to %s is %s (%s)", rows[i].concentration, rows[i].water, rows[i].load,
                     exact_ratio_text(mem, factor), rows[i].why);
    }
}

static void loads_come_out_as_worked_by_hand(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct exact *pounds = factor_of(mem, "mg/L", "MGD", "lb/day");

    (void)state;
    assert_string_equal(exact_text(mem, pounds, 10), "8.345404452");
    /* 0.19 MGD of 22 mg/L: 34.88 lb/day by the units, 34.86 by 8.34. */
    assert_string_equal(
        exact_rounded_text(mem, load_of(mem, number(mem, "22"), number(mem, "0.19"), pounds),
                           two_decimals),
        "34.88");
    assert_string_equal(exact_text(mem,
                                   load_of(mem, number(mem, "22"), number(mem, "720"),
                                           factor_of(mem, "mg/L", "m3/day", "kg/day")),
                                   12),
                        "15.84");
    assert_string_equal(exact_text(mem,
                                   load_of(mem, number(mem, "5"), number(mem, "0.01"),
                                           factor_of(mem, "mg/L", "m3/s", "kg/day")),
                                   12),
                        "4.32");
}

static void units_that_do_not_go_together_are_refused(void **state)
{
    static const char *const rows[][3] = {
        {"mg/L", "L/s", "kg"},       /* a flow gives no mass without a time */
        {"mg/L", "m3", "kg/day"},    /* nor a volume a mass in a time */
        {"mg/kg", "m3", "kg"},       /* a part by mass needs a density */
        {"CFU/100 mL", "m3", "kg"},  /* counts have no mass */
        {"m3", "mg/L", "kg"},        /* the wrong way round */
        {"mg/L", "m3/day", "kg/yr"}, /* years differ in length */
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const struct exact *untouched = NULL;
        struct err err = ERR_INIT;

        assert_false(load_factor(mem, unit_named(units, rows[i][0]), unit_named(units, rows[i][1]),
                                 unit_named(units, rows[i][2]), &untouched, &err));
        assert_non_null(strstr(err.text, "does not give"));
        assert_null(untouched);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_printed_month_comes_out_with_the_licence_s_factor),
        cmocka_unit_test(factors_follow_exactly_from_the_units),
        cmocka_unit_test(loads_come_out_as_worked_by_hand),
        cmocka_unit_test(units_that_do_not_go_together_are_refused),
    };

    return cmocka_run_group_tests_name("measure/load", tests, load_units, unload_units);
}
