/*
 * Every spelling that a general-purpose unit library reads otherwise than people mean it, or does
 * not read at all, and what becomes of it here. What the library says was found by asking
 * udunits2 2.2.28.
 */
#include <string.h>

#include "base/str.h"
#include "harness/near.h"
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
    return key ? parameter_find(NULL, key) : NULL;
}

static void each_is_read_as_people_mean_it(void **state)
{
    static const struct {
        const char *text, *parameter, *unit, *basis, *library_says;
    } rows[] = {
        {"mg/l", NULL, "mg/L", NULL, "the same"},
        {"\xc2\xb5g/L", NULL, "ug/L", NULL, "the same"},
        {"ng/L", NULL, "ng/L", NULL, "the same"},
        {"g/m3", NULL, "g/m3", NULL, "the same"},
        {"mg/kg", NULL, "mg/kg", NULL, "1e-6, which mixes with every ratio"},
        {"ppt", "salinity", "PSU", NULL, "1e-12: a salinity is off by 1e9"},
        {"psu", NULL, "PSU", NULL, "not known"},
        {"permille", "salinity", "PSU", NULL, "not known"},
        {"\xe2\x80\xb0", "salinity", "PSU", NULL, "not known"},
        {"ppth", "salinity", "PSU", NULL, "not known"},
        {"g/kg", NULL, "g/kg", NULL, "0.001"},
        {"percent", NULL, "%", NULL, "the same"},
        {"\xc2\xb5S/cm", NULL, "uS/cm", NULL, "the same"},
        {"dS/m", NULL, "dS/m", NULL, "the same"},
        {"umho/cm", NULL, "uS/cm", NULL, "not known"},
        {"\xc2\xb5mhos/cm", NULL, "uS/cm", NULL, "not known"},
        {"NTU", NULL, "NTU", NULL, "not known"},
        {"FNU", NULL, "FNU", NULL, "not known"},
        {"CFU/(100 mL)", NULL, "CFU/100 mL", NULL, "not known"},
        {"CFU/100mL", NULL, "CFU/100 mL", NULL, "CFU times mL by 100, once it knows CFU"},
        {"CFU/100 mL", NULL, "CFU/100 mL", NULL, "CFU times mL by 100, once it knows CFU"},
        {"MPN/(100 g)", NULL, "MPN/100 g", NULL, "not known"},
        {"count", NULL, "count", NULL, "1, which mixes with every ratio"},
        {"cells/mL", NULL, "cells/mL", NULL, "not known"},
        {"cell/mL", NULL, "cells/mL", NULL, "not known"},
        {"Cells per mL", NULL, "cells/mL", NULL, "not known"},
        {"L/min", NULL, "L/min", NULL, "the same"},
        {"m\xc2\xb3/h", NULL, "m3/h", NULL, "the same"},
        {"m^3/h", NULL, "m3/h", NULL, "the same"},
        {"Ml/d", NULL, "ML/day", NULL, "the same"},
        {"MLD", NULL, "ML/day", NULL, "not known"},
        {"GPM", NULL, "gpm", NULL, "not known"},
        {"mgd", NULL, "MGD", NULL, "not known"},
        {"cfs", NULL, "cfs", NULL, "not known"},
        {"US gallons", NULL, "gal (US)", NULL, "a gallon rounded to seven digits"},
        {"imperial gallon", NULL, "gal (imp)", NULL, "not known"},
        {"UK gallons", NULL, "gal (imp)", NULL, "not known"},
        {"\xc2\xb0"
         "C",
         NULL, "degC", NULL, "the same"},
        {"\xc2\xb0"
         "F",
         NULL, "degF", NULL, "the same"},
        {"\xc2\xb0"
         "F",
         "temperature-rise", "degF rise", NULL, "with its offset: 1 K more is -457.87 degF"},
        {"K", "temperature-rise", "degC rise", NULL, "the same"},
        {"\xce\x94\xc2\xb0"
         "C",
         NULL, "degC rise", NULL, "not known"},
        {"hPa", NULL, "hPa", NULL, "the same"},
        {"mbar", NULL, "mbar", NULL, "the same"},
        {"mm Hg", NULL, "mmHg", NULL, "the same"},
        {"torr", NULL, "mmHg", NULL, "the same"},
        {"in Hg", NULL, "inHg", NULL, "the same"},
        {"lb/d", NULL, "lb/day", NULL, "the same"},
        {"lbs", NULL, "lb", NULL, "not known"},
        {"mm/h", NULL, "mm/h", NULL, "the same"},
        {"umol/L", NULL, "umol/L", NULL, "the same"},
        {"mmol/m3", NULL, "mmol/m3", NULL, "the same"},
        {"umol/kg", NULL, "umol/kg", NULL, "the same"},
        {"uM", NULL, "umol/L", NULL, "not known"},
        {"\xc2\xb5M", NULL, "umol/L", NULL, "not known"},
        {"um", NULL, "um", NULL, "the same: a micrometre, not uM"},
        {"mg/L as N", NULL, "mg/L", "as N", "times attosecond and newton"},
        {"mg N/L", NULL, "mg/L", "as N", "times newton"},
        {"ug N/L", NULL, "ug/L", "as N", "times newton"},
        {"uM N", NULL, "umol/L", "as N", "not known"},
        {"mg/L as SiO2", NULL, "mg/L", "as SiO2", "not known"},
        {"mg Si/L", NULL, "mg/L", "as Si", "not known"},
        {"pH", NULL, "pH", NULL, "picohenry"},
        {"ha", NULL, "ha", NULL, "the same"},
        {"t", NULL, "t", NULL, "the same"},
        {"mg\xc2\xb7L\xe2\x81\xbb\xc2\xb9", NULL, "mg/L", NULL, "can't be read"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct unit_reading reading = {NULL, NULL};
        struct err err = ERR_INIT;

        if (!unit_read(units, rows[i].text, parameter(rows[i].parameter), &reading, &err))
            fail_msg("'%s': %s | %s", rows[i].text, err.text, err.hint);
        if (!str_equal(unit_name(reading.unit), rows[i].unit) ||
            !str_equal(reading.basis, rows[i].basis))
            fail_msg("'%s' became %s %s (the library: %s)", rows[i].text, unit_name(reading.unit),
                     reading.basis ? reading.basis : "", rows[i].library_says);
    }
}

static void each_that_is_not_clear_is_refused_with_what_to_write(void **state)
{
    static const struct {
        const char *text, *hint_says, *library_says;
    } rows[] = {
        {"ppm", "mg/L or mg/kg", "1e-6"},
        {"ppmv", "mg/L or mg/kg", "1e-6"},
        {"ppb", "mg/L or mg/kg", "1e-9"},
        {"ppt", "ug/L or PSU", "1e-12"},
        {"permille", "ug/L or PSU", "not known"},
        {"mho", "uS/cm", "not known"},
        {"umho", "uS/cm", "not known"},
        {"FTU", "NTU or FNU", "not known"},
        {"JTU", "NTU or FNU", "not known"},
        {"CFU", "CFU/100 mL", "not known"},
        {"MPN", "MPN/100 g", "not known"},
        {"#/100 mL", "neither CFU nor MPN", "can't be read"},
        {"1/mL", "CFU, MPN or cells", "1e6 per m3"},
        {"mL-1", "CFU, MPN or cells", "1e6 per m3"},
        {"(100 mL)-1", "CFU, MPN or cells", "1e4 per m3"},
        {"(100 g)-1", "CFU, MPN or cells", "10 per kg"},
        {"gal", "gal (US) or gal (imp)", "galileo, 0.01 m/s2"},
        {"gallon", "gal (US) or gal (imp)", "0.003785412 m3"},
        {"gal/min", "gpm", "galileo by minute"},
        {"gallon/min", "gpm", "3.785412 L/min"},
        {"Mgal/d", "MGD", "a million galileo by day"},
        {"megagallon/day", "MGD", "3785.412 m3/day"},
        {"mb", "mbar or hPa", "millibarn, 1e-31 m2"},
        {"M", "mol/L", "not known"},
        {"meq/L", "charge", "not known"},
        {"oz", "g or L", "fluid ounce"},
        {"year", "Write days", "365.2422 days"},
        {"month", "Write days", "30.4368 days"},
        {"kg/month", "by day", "a twelfth of 365.2422 days"},
        {"a", "m2, ha or days", "are, 100 m2"},
        {"ton", "t or lb", "907.18474 kg"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct unit_reading reading = {NULL, NULL};
        struct err err = ERR_INIT;

        if (unit_read(units, rows[i].text, NULL, &reading, &err))
            fail_msg("'%s' was taken for %s (the library: %s)", rows[i].text,
                     unit_name(reading.unit), rows[i].library_says);
        assert_int_equal(err.code, ERR_NOT_FOUND);
        if (!strstr(err.text, "not clear") || !strstr(err.hint, rows[i].hint_says))
            fail_msg("'%s': %s | %s", rows[i].text, err.text, err.hint);
    }
}

/* Each was asked of udunits2 2.2.28. */
static void no_farm_makes_a_unit_of_a_word_that_means_several_things(void **state)
{
    static const struct {
        const char *text, *library_says;
    } rows[] = {
        {"kgal", "1000 galileo"},    {"Mgal/d", "a million galileo by day"},
        {"gal", "galileo"},          {"gallons", "a gallon rounded to seven digits"},
        {"kgallon", "1000 of them"}, {"kyr", "365242.2 days"},
        {"yrs", "365.2422 days"},    {"are", "100 m2"},
        {"ares", "100 m2"},          {"ppmv", "1e-6"},
        {"pptv", "1e-12"},           {"kton", "907184.74 kg"},
        {"mpH", "millipicohenry"},   {"mg.N", "milligram newton"},
        {"meq/L", "not known"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct unit *unit = NULL;
        struct err err = ERR_INIT;

        if (unit_define(units, rows[i].text, &unit, &err))
            fail_msg("'%s' became a unit (the library: %s)", rows[i].text, rows[i].library_says);
        assert_int_equal(err.code, ERR_INVALID);
        assert_true(*err.hint);
    }
}

static void what_only_looks_like_such_a_word_is_a_unit(void **state)
{
    static const char *const texts[] = {"hPa.s", "kPa/h", "mC.s", "mN/m", "US_liquid_gallon/day"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(texts); i++) {
        const struct unit *unit = NULL;
        struct err err = ERR_INIT;

        assert_done(unit_define(units, texts[i], &unit, &err), &err);
    }
}

static void amounts_come_out_as_published(void **state)
{
    static const struct {
        const char *value, *from, *to, *expected, *source;
    } rows[] = {
        {"1000", "ug/L", "mg/L", "1", "SI"},
        {"1", "mg/L", "g/m3", "1", "SI"},
        {"1000", "uS/cm", "mS/cm", "1", "SI"},
        {"50", "mS/cm", "S/m", "5", "SI"},
        {"1", "L/s", "m3/h", "3.6", "SI"},
        {"1000", "mL", "L", "1", "SI"},
        {"1", "ML/day", "m3/day", "1000", "SI"},
        {"1", "MGD", "m3/day", "3785.411784", "NIST SP 811: 231 cubic inches to the gallon"},
        {"36", "MGD", "gpm", "25000", "1440 minutes to the day"},
        {"1", "gpm", "L/min", "3.785411784", "NIST SP 811: 231 cubic inches to the gallon"},
        {"1", "gal (imp)", "L", "4.54609", "NIST SP 811, B.8"},
        {"1", "gal (imp)/min", "L/min", "4.54609", "NIST SP 811, B.8"},
        {"68", "degF", "degC", "20", "NIST SP 811, B.8"},
        {"10.5", "degF rise", "degC rise", "35/6", "NIST SP 811, B.8"},
        {"1", "atm", "Pa", "101325", "NIST SP 811, B.8"},
        {"10", "dbar", "kPa", "100", "SI"},
        {"1", "mbar", "hPa", "1", "SI"},
        {"760", "mmHg", "Pa", "101325.0144354", "NIST SP 811: 133.322387415 Pa"},
        {"1", "inHg", "mmHg", "25.4", "the inch"},
        {"1", "lb/day", "kg/day", "0.45359237", "NIST SP 811, B.8"},
        {"1", "in/h", "mm/h", "25.4", "the inch"},
        {"1", "ha", "m2", "10000", "SI"},
        {"1", "acre", "m2", "4046.8564224", "43560 square feet"},
        {"1", "umol/L", "mmol/m3", "1", "SI"},
        {"3", "mmol/L", "umol/L", "3000", "SI"},
        {"20000", "cells/mL", "cells/L", "20000000", "arithmetic"},
        {"14", "CFU/100 mL", "CFU/mL", "0.14", "arithmetic"},
        {"230", "MPN/100 mL", "MPN/L", "2300", "arithmetic"},
        {"14", "MPN/100 g", "MPN/g", "0.14", "arithmetic"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const struct exact *out = NULL;
        struct err err = ERR_INIT;

        assert_done(unit_convert(units, mem, unit_named(units, rows[i].from),
                                 unit_named(units, rows[i].to), exact_from_text(mem, rows[i].value),
                                 &out, &err),
                    &err);
        if (exact_compare(out, exact_from_text(mem, rows[i].expected)) != 0)
            fail_msg("%s %s is %s %s (%s)", rows[i].value, rows[i].from, exact_ratio_text(mem, out),
                     rows[i].to, rows[i].source);
    }
}

static void what_is_another_thing_never_converts(void **state)
{
    static const char *const apart[][2] = {
        {"MPN/mL", "CFU/mL"},
        {"MPN/100 g", "CFU/100 g"},
        {"cells/mL", "CFU/mL"},
        {"cells/mL", "MPN/mL"},
        {"cells/mL", "1"},
        {"NTU", "FNU"},
        {"NTU", "mg/L"},
        {"FNU", "mg/L"},
        {"PSU", "g/kg"},
        {"PSU", "1"},
        {"mg/kg", "mg/L"},
        {"umol/kg", "umol/L"},
        {"umol/L", "mg/L"},
        {"degC rise", "degC"},
        {"degF rise", "degF"},
        {"degC rise", "K"},
        {"pH", "1"},
        {"count", "1"},
        {"kg/day", "kg/yr"},
        {"mm/h", "mm"},
        {"MPN/100 mL", "MPN/100 g"},
        {"CFU/100 mL", "CFU/100 g"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(apart); i++) {
        const struct unit *from = unit_named(units, apart[i][0]);
        const struct unit *to = unit_named(units, apart[i][1]);

        assert_non_null(from);
        assert_non_null(to);
        if (unit_convertible(from, to) || unit_convertible(to, from))
            fail_msg("%s converts into %s", apart[i][0], apart[i][1]);
    }
}

static void a_count_by_another_method_is_not_a_unit_of_the_parameter(void **state)
{
    static const struct {
        const char *text, *parameter;
    } rows[] = {
        {"MPN/100 mL", "enterococci-cfu"},
        {"CFU/100 mL", "ecoli-flesh-mpn"},
        {"CFU/100 g", "ecoli-flesh-mpn"},
        {"cells/mL", "ecoli-cfu"},
        {"NTU", "turbidity-fnu"},
        {"FNU", "turbidity-ntu"},
        {"g/kg", "salinity"},
        {"degC rise", "temperature"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct unit_reading reading = {NULL, NULL};
        struct err err = ERR_INIT;

        assert_fails(unit_read(units, rows[i].text, parameter(rows[i].parameter), &reading, &err),
                     ERR_INVALID, &err);
        assert_non_null(strstr(err.text, "is not a unit for"));
        assert_non_null(strstr(err.hint, "It can be in"));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_is_read_as_people_mean_it),
        cmocka_unit_test(each_that_is_not_clear_is_refused_with_what_to_write),
        cmocka_unit_test(no_farm_makes_a_unit_of_a_word_that_means_several_things),
        cmocka_unit_test(what_only_looks_like_such_a_word_is_a_unit),
        cmocka_unit_test(amounts_come_out_as_published),
        cmocka_unit_test(what_is_another_thing_never_converts),
        cmocka_unit_test(a_count_by_another_method_is_not_a_unit_of_the_parameter),
    };

    return cmocka_run_group_tests_name("measure/unit_traps", tests, load, unload);
}
