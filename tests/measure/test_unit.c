#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <math.h>
#include <string.h>

#include "measure/unit.h"

static struct units *units;

static int load(void **state)
{
    struct err err = ERR_INIT;

    (void)state;

    return units_load(&units, &err) ? 0 : -1;
}

static int unload(void **state)
{
    (void)state;
    units_free(&units);

    return 0;
}

static const struct parameter *parameter(const char *key)
{
    const struct parameter *found = key ? parameter_find(NULL, key) : NULL;

    assert_true(!key || found);

    return found;
}

static void people_s_spellings_are_understood(void **state)
{
    static const struct {
        const char *text;
        const char *parameter;
        const char *unit;
        const char *basis;
    } rows[] = {
        {"mg/L", NULL, "mg/L", NULL},
        {"MG/L", NULL, "mg/L", NULL},
        {" mg / l ", NULL, "mg/L", NULL},
        {"(mg/L)", NULL, "mg/L", NULL},
        {"[mg/L]", NULL, "mg/L", NULL},
        {"mg per L", NULL, "mg/L", NULL},
        {"mg\xc2\xb7L\xe2\x81\xbb\xc2\xb9", NULL, "mg/L", NULL},
        {"mg L-1", NULL, "mg/L", NULL},
        {"mg L^-1", NULL, "mg/L", NULL},
        {"ug/L", NULL, "ug/L", NULL},
        {"\xc2\xb5g/L", NULL, "ug/L", NULL}, /* micro sign */
        {"\xce\xbcg/l", NULL, "ug/L", NULL}, /* Greek mu */
        {"g/m3", NULL, "g/m3", NULL},
        {"g/m\xc2\xb3", NULL, "g/m3", NULL},
        {"mg/L as N", NULL, "mg/L", "as N"},
        {"mg/l (as N)", NULL, "mg/L", "as N"},
        {"mg N/L", NULL, "mg/L", "as N"},
        {"mg-N/L", NULL, "mg/L", "as N"},
        {"mgN/L", NULL, "mg/L", "as N"},
        {"mg/L-N", NULL, "mg/L", "as N"},
        {"mg/L NO3-N", NULL, "mg/L", "as N"},
        {"ug P/L", NULL, "ug/L", "as P"},
        {"mg/L as NO3", NULL, "mg/L", "as NO3"},
        {"mg/L as N", "nitrate", "mg/L", "as N"},
        {"mg O2/L", "oxygen", "mg/L", NULL},
        {"kg N/day", NULL, "kg/day", "as N"},
        {"kg/day", NULL, "kg/day", NULL},
        {"kg/d", NULL, "kg/day", NULL},
        {"g/day", NULL, "g/day", NULL},
        {"lbs/day", NULL, "lb/day", NULL},
        {"t/yr", NULL, "t/yr", NULL},
        {"degC", NULL, "degC", NULL},
        {"\xc2\xb0"
         "C",
         NULL, "degC", NULL},
        {"\xc2\xba"
         "C",
         NULL, "degC", NULL},
        {"\xe2\x84\x83", NULL, "degC", NULL},
        {"C", NULL, "degC", NULL},
        {"Deg C", NULL, "degC", NULL},
        {"deg F", NULL, "degF", NULL},
        {"pH", NULL, "pH", NULL},
        {"pH units", NULL, "pH", NULL},
        {"S.U.", NULL, "pH", NULL},
        {"", "ph", "pH", NULL},
        {"-", "ph", "pH", NULL},
        {"PSU", NULL, "PSU", NULL},
        {"psu", NULL, "PSU", NULL},
        {"ppt", "salinity", "PSU", NULL},
        {"\xe2\x80\xb0", "salinity", "PSU", NULL},
        {"mS/cm", NULL, "mS/cm", NULL},
        {"\xc2\xb5S/cm", NULL, "uS/cm", NULL},
        {"umho/cm", NULL, "uS/cm", NULL},
        {"%", NULL, "%", NULL},
        {"% sat", "oxygen-saturation", "%", NULL},
        {"NTU", NULL, "NTU", NULL},
        {"fnu", NULL, "FNU", NULL},
        {"CFU/100mL", NULL, "CFU/100 mL", NULL},
        {"cfu/100ml", NULL, "CFU/100 mL", NULL},
        {"CFU/100 mL", NULL, "CFU/100 mL", NULL},
        {"CFU per 100 mL", NULL, "CFU/100 mL", NULL},
        {"MPN/100mL", NULL, "MPN/100 mL", NULL},
        {"mpn / 100 ml", NULL, "MPN/100 mL", NULL},
        {"m3/h", NULL, "m3/h", NULL},
        {"m\xc2\xb3/hr", NULL, "m3/h", NULL},
        {"m3/s", NULL, "m3/s", NULL},
        {"L/s", NULL, "L/s", NULL},
        {"l/min", NULL, "L/min", NULL},
        {"ML/day", NULL, "ML/day", NULL},
        {"ML/d", NULL, "ML/day", NULL},
        {"MGD", NULL, "MGD", NULL},
        {"mgd", NULL, "MGD", NULL},
        {"gpm", NULL, "gpm", NULL},
        {"cfs", NULL, "cfs", NULL},
        {"m3", NULL, "m3", NULL},
        {"l", NULL, "L", NULL},
        {"gal(US)", NULL, "gal (US)", NULL},
        {"US gallons", NULL, "gal (US)", NULL},
        {"m", NULL, "m", NULL},
        {"mm", NULL, "mm", NULL},
        {"in", NULL, "in", NULL},
        {"ft", NULL, "ft", NULL},
        {"hours", NULL, "h", NULL},
        {"min", NULL, "min", NULL},
        {"s", NULL, "s", NULL},
        {"kWh", NULL, "kWh", NULL},
        {"count", NULL, "count", NULL},
        {"1", NULL, "1", NULL},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct unit_reading reading = {NULL, NULL};
        struct err err = ERR_INIT;

        if (!unit_read(units, rows[i].text, parameter(rows[i].parameter), &reading, &err))
            fail_msg("'%s': %s", rows[i].text, err.text);
        if (strcmp(unit_name(reading.unit), rows[i].unit) != 0)
            fail_msg("'%s' became %s", rows[i].text, unit_name(reading.unit));
        if (rows[i].basis)
            assert_string_equal(reading.basis, rows[i].basis);
        else
            assert_null(reading.basis);
    }
}

static void what_is_not_clear_is_refused_with_a_reason(void **state)
{
    static const struct {
        const char *text;
        const char *parameter;
        enum err_code code;
        const char *text_says;
        const char *hint_says;
        const char *why;
    } rows[] = {
        {"mgl", NULL, ERR_NOT_FOUND, "there is no unit 'mgl'", "mg/L", "a slip gets a near match"},
        {"CFU/100", "ecoli-cfu", ERR_NOT_FOUND, "no unit", "CFU/", "of the parameter's own units"},
        {"#/100mL", NULL, ERR_NOT_FOUND, "not clear", "neither CFU nor MPN", "a count of what"},
        {"# / 100 mL", "ecoli-mpn", ERR_NOT_FOUND, "not clear", "Ask the laboratory", "nor here"},
        {"ppm", NULL, ERR_NOT_FOUND, "not clear", "mg/L or mg/kg", "by what it is a part"},
        {"ppt", NULL, ERR_NOT_FOUND, "not clear", "ppt is for salinity", "trillion or thousand"},
        {"ppt", "oxygen", ERR_NOT_FOUND, "not clear", "ppt is for salinity", "no salinity"},
        {"gal", NULL, ERR_NOT_FOUND, "not clear", "gal (US)", "of which country"},
        {"ML/DAY", NULL, ERR_NOT_FOUND, "no unit", "ML/day", "megalitres or millilitres"},
        {"mL/day", NULL, ERR_NOT_FOUND, "no unit", "?", "never read as megalitres"},
        {"-", "oxygen", ERR_NOT_FOUND, "not clear", "mg/L", "no unit told"},
        {"", "oxygen", ERR_NOT_FOUND, "there is no unit", "mg/L, ug/L", "no unit told"},
        {"year", NULL, ERR_NOT_FOUND, "not clear", "differ in length", "of which length"},
        {"mg/kg", "oxygen", ERR_INVALID, "not a unit for oxygen", "mg/L, ug/L", "of another kind"},
        {"MPN/100 mL", "ecoli-cfu", ERR_INVALID, "not a unit for ecoli-cfu", "CFU/100 mL",
         "another method is another parameter"},
        {"FNU", "turbidity-ntu", ERR_INVALID, "not a unit for turbidity-ntu", "NTU",
         "other optics are another parameter"},
        {"mg/L as NO3", "nitrate", ERR_INVALID, "is as NO3, and nitrate is kept as N", "as NO3",
         "4.4 times too much if it went through"},
        {"mg/L as N", "suspended-solids", ERR_INVALID, "kept without a basis", "as N",
         "a basis where there is none"},
        {"NTU as N", NULL, ERR_NOT_FOUND, "no unit", "", "turbidity is no mass"},
        {"m3 N", NULL, ERR_NOT_FOUND, "no unit", "", "nor is a volume"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct unit_reading reading = {NULL, NULL};
        struct err err = ERR_INIT;

        if (unit_read(units, rows[i].text, parameter(rows[i].parameter), &reading, &err))
            fail_msg("'%s' was taken for %s: %s", rows[i].text, unit_name(reading.unit),
                     rows[i].why);
        if (err.code != rows[i].code || !strstr(err.text, rows[i].text_says) ||
            !strstr(err.hint, rows[i].hint_says))
            fail_msg("'%s' (%s): %s | %s", rows[i].text, rows[i].why, err.text, err.hint);
        assert_null(reading.unit);
    }
}

static void every_canonical_name_is_found_and_stays_as_it_is(void **state)
{
    (void)state;
    for (size_t i = 0; unit_at(units, i); i++) {
        const struct unit *unit = unit_named(units, unit_at(units, i));
        const struct unit *found = NULL;
        struct err err = ERR_INIT;

        assert_non_null(unit);
        assert_string_equal(unit_name(unit), unit_at(units, i));
        assert_true(unit_find(units, unit_at(units, i), NULL, &found, &err));
        assert_ptr_equal(found, unit);
    }
    assert_null(unit_named(units, "MG/L"));
    assert_null(unit_named(units, ""));
}

/* The exact value after conversion, as digits. */
static const char *converted(struct arena *mem, const char *value, const char *from, const char *to)
{
    const struct exact *out = NULL;
    struct err err = ERR_INIT;

    if (!unit_convert(units, mem, unit_named(units, from), unit_named(units, to),
                      exact_from_text(mem, value), &out, &err))
        fail_msg("%s", err.text);

    return exact_ratio_text(mem, out);
}

static void conversions_are_exact(void **state)
{
    static const struct {
        const char *value, *from, *to, *expected, *source;
    } rows[] = {
        /* NIST Special Publication 811, appendix B: exact factors. */
        {"1", "lb", "kg", "0.45359237", "NIST SP 811, B.8"},
        {"1", "gal (US)", "L", "3.785411784", "NIST SP 811 prints 3.785412; 231 cubic inches"},
        {"231", "in", "ft", "19.25", "NIST SP 811: 12 inches to the foot"},
        {"1", "ft", "m", "0.3048", "NIST SP 811, B.8"},
        {"1", "in", "mm", "25.4", "NIST SP 811, B.8"},
        {"1", "cfs", "L/s", "28.316846592", "from the foot"},
        {"68", "degF", "degC", "20", "NIST SP 811, B.8: (t - 32) / 1.8"},
        {"-40", "degC", "degF", "-40", "the same in both"},
        {"0", "degC", "K", "273.15", "the SI's definition"},
        {"1", "lb/day", "kg/day", "0.45359237", "from the pound"},
        /* By definition of the prefixes and of the litre. */
        {"1", "mg/L", "g/m3", "1", "SI"},
        {"0.3", "mg/L", "ug/L", "300", "SI"},
        {"1", "MGD", "m3/day", "3785.411784", "from the gallon"},
        {"1", "L/s", "m3/h", "3.6", "SI"},
        {"1", "L/s", "ML/day", "0.0864", "SI"},
        {"1", "ML/day", "m3/day", "1000", "SI"},
        {"50", "mS/cm", "S/m", "5", "SI"},
        {"1000", "uS/cm", "mS/cm", "1", "SI"},
        {"14", "CFU/100 mL", "CFU/L", "140", "arithmetic"},
        {"230", "MPN/100 g", "MPN/g", "2.3", "arithmetic"},
        {"1", "t/yr", "kg/yr", "1000", "SI"},
        {"95", "%", "1", "0.95", "arithmetic"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const struct exact *expected = exact_from_text(mem, rows[i].expected);
        const char *got = converted(mem, rows[i].value, rows[i].from, rows[i].to);

        if (exact_compare(exact_from_text(mem, got), expected) != 0)
            fail_msg("%s %s is %s %s (%s)", rows[i].value, rows[i].from, got, rows[i].to,
                     rows[i].source);
    }
}

/* In binary fractions 0.3 mg/L comes out above 300 ug/L, or below, and a limit is missed. */
static void a_value_at_a_bound_stays_at_it_in_every_unit_and_back(void **state)
{
    (void)state;
    for (int thousandths = 1; thousandths < 2000; thousandths++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const char *value = exact_ratio_text(mem, exact_from_ratio(mem, thousandths, 1000));
        const char *there = converted(mem, value, "mg/L", "ug/L");

        assert_string_equal(converted(mem, there, "ug/L", "mg/L"), value);
        assert_string_equal(converted(mem, value, "mg/L", "g/m3"), value);
    }
}

/* udunits2 is another authority on every factor: over all pairs of our table. */
static void the_table_agrees_with_the_unit_library(void **state)
{
    size_t compared = 0;

    (void)state;
    for (size_t i = 0; unit_at(units, i); i++) {
        for (size_t j = 0; unit_at(units, j); j++) {
            CLEANUP(arena_free) struct arena *mem = arena_new();
            const struct unit *from = unit_named(units, unit_at(units, i));
            const struct unit *to = unit_named(units, unit_at(units, j));
            struct unit_conversion ours = {0};
            double scale = 0;
            double offset = 0;
            bool theirs = unit_library_conversion(units, from, to, &scale, &offset);
            struct err err = ERR_INIT;

            if (theirs != unit_convertible(from, to))
                fail_msg("%s to %s: the library says %s", unit_name(from), unit_name(to),
                         theirs ? "yes" : "no");
            if (!theirs)
                continue;
            assert_true(unit_conversion(units, mem, from, to, &ours, &err));
            if (fabs(scale - ours.scale_double) > 1e-12 * ours.scale_double ||
                fabs(offset - ours.offset_double) > 1e-12 * (1 + fabs(ours.offset_double)))
                fail_msg("%s to %s: %.17g %.17g and the library says %.17g %.17g", unit_name(from),
                         unit_name(to), ours.scale_double, ours.offset_double, scale, offset);
            compared++;
        }
    }
    assert_true(compared > 200);
}

static void counts_and_turbidities_never_become_one_another(void **state)
{
    static const char *const apart[][2] = {
        {"CFU/100 mL", "MPN/100 mL"},
        {"MPN/100 g", "MPN/100 mL"},
        {"CFU/100 g", "MPN/100 g"},
        {"NTU", "FNU"},
        {"count", "1"},
        {"PSU", "1"},
        {"pH", "1"},
        {"NTU", "mg/L"},
        {"mg/kg", "mg/L"},
        {"mg/kg", "1"},
        {"kg/day", "kg/yr"},
        {"mL/L", "1"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(apart); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const struct unit *from = unit_named(units, apart[i][0]);
        const struct unit *to = unit_named(units, apart[i][1]);
        struct unit_conversion untouched = {.scale_double = 7};
        struct err err = ERR_INIT;

        assert_false(unit_convertible(from, to));
        assert_false(unit_convertible(to, from));
        assert_false(unit_conversion(units, mem, from, to, &untouched, &err));
        assert_non_null(strstr(err.text, "can't be converted"));
        assert_true(untouched.scale_double == 7);
    }
}

static const struct unit *defined(const char *text)
{
    const struct unit *unit = NULL;
    struct err err = ERR_INIT;

    if (!unit_define(units, text, &unit, &err))
        fail_msg("%s: %s", text, err.text);

    return unit;
}

static void a_farm_can_define_units_that_the_library_knows(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct unit *own = defined("MPa");
    const struct unit *mercury = unit_named(units, "mmHg");
    const struct unit *found = NULL;
    struct unit_conversion conversion = {0};
    struct err err = ERR_INIT;

    (void)state;
    assert_ptr_equal(defined("MPa"), own);
    assert_ptr_equal(defined("mg/l"), unit_named(units, "mg/L"));
    assert_ptr_equal(unit_named(units, "MPa"), own);
    assert_true(unit_find(units, "MPa", NULL, &found, &err));
    assert_ptr_equal(found, own);

    assert_true(unit_conversion(units, mem, own, mercury, &conversion, &err));
    assert_false(conversion.is_exact);
    /* 1 kPa = 7.500615758 mmHg: the conventional millimetre of mercury, 133.322387415 Pa (the
     * unit library's documentation). */
    assert_string_equal(
        exact_text(mem, unit_apply(mem, &conversion, exact_from_text(mem, "0.1013")), 10),
        "759.8123763");

    /* A unit of the farm's own and one of the table. */
    assert_true(
        unit_conversion(units, mem, defined("cm3"), unit_named(units, "L"), &conversion, &err));
    assert_string_equal(exact_text(mem, unit_apply(mem, &conversion, exact_from_int(mem, 250)), 12),
                        "0.25");
    assert_false(unit_convertible(own, unit_named(units, "mg/L")));
    assert_false(unit_convertible(defined("umol/L"), unit_named(units, "mg/L")));
}

static void words_with_two_meanings_are_not_handed_to_the_library(void **state)
{
    static const struct {
        const char *text, *why;
    } rows[] = {
        {"gallon/s", "the library's gallon is rounded"},
        {"megagallon/day", "the same, behind a prefix"},
        {"Mgal/d", "the library's gal is a galileo"},
        {"kgal/h", "the same, behind a prefix"},
        {"meq/L", "refused with a reason of its own"},
        {"m2/a", "the library takes a for an area"},
        {"mg.N/kg", "newton, not nitrogen"},
        {"kg/100mL", "read as kg times mL by 100"},
        {"1/s", "a number in front; s-1 is clear"},
        {"kg.m/year", "a year of 365.2422 days"},
        {"ppt/s", "trillion or thousand"},
        {"count/h", "mixes with every ratio"},
        {"wb_cfu/s", "our own words are not for typing"},
        {"lg(re mW)", "a logarithm"},
        {"m s", "a blank may be a product or a basis"},
        {"", "nothing"},
        {"xyzzy", "nobody knows it"},
        {"abcdefghijklmnopqrstuvwxyzabcdefghijklmno", "too long"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct unit *untouched = NULL;
        struct err err = ERR_INIT;

        if (unit_define(units, rows[i].text, &untouched, &err))
            fail_msg("'%s' was made a unit: %s", rows[i].text, rows[i].why);
        assert_int_equal(err.code, ERR_INVALID);
        assert_null(untouched);
    }
}

static void conversion_of_doubles_follows_the_exact_one(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct unit_conversion conversion = {0};
    struct err err = ERR_INIT;

    (void)state;
    assert_true(unit_conversion(units, mem, unit_named(units, "degF"), unit_named(units, "degC"),
                                &conversion, &err));
    assert_true(conversion.is_exact && !conversion.is_same);
    assert_true(fabs(unit_apply_double(&conversion, 212) - 100) < 1e-12);
    assert_true(unit_conversion(units, mem, unit_named(units, "g/m3"), unit_named(units, "mg/L"),
                                &conversion, &err));
    assert_true(conversion.is_same);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(people_s_spellings_are_understood),
        cmocka_unit_test(what_is_not_clear_is_refused_with_a_reason),
        cmocka_unit_test(every_canonical_name_is_found_and_stays_as_it_is),
        cmocka_unit_test(conversions_are_exact),
        cmocka_unit_test(a_value_at_a_bound_stays_at_it_in_every_unit_and_back),
        cmocka_unit_test(the_table_agrees_with_the_unit_library),
        cmocka_unit_test(counts_and_turbidities_never_become_one_another),
        cmocka_unit_test(a_farm_can_define_units_that_the_library_knows),
        cmocka_unit_test(words_with_two_meanings_are_not_handed_to_the_library),
        cmocka_unit_test(conversion_of_doubles_follows_the_exact_one),
    };

    return cmocka_run_group_tests_name("measure/unit", tests, load, unload);
}
