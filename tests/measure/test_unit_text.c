#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "base/str.h"
#include "measure/unit_text.h"

static void the_plain_form_is_one_for_many_writings(void **state)
{
    static const struct {
        const char *text, *plain;
    } rows[] = {
        {"", ""},
        {"  ", ""},
        {"mg/L", "mg/L"},
        {"\tmg  /  L ", "mg/L"},
        {"[mg/L]", "mg/L"},
        {"(\xc2\xb5g/L)", "ug/L"},
        {"( mg/L )", "mg/L"},
        {"(100 mL)", "100 mL"},
        {"CFU/(100 mL)", "CFU/(100 mL)"},
        {"CFU  per\xc2\xa0"
         "100 mL",
         "CFU/100 mL"},
        {"per mille", "per mille"},
        {"g per mille", "g per mille"},
        {"\xe2\x80\xb0", "permille"},
        {"\xc2\xb0 C", "deg C"},
        {"m\xc2\xb3\xc2\xb7s\xe2\x81\xbb\xc2\xb9", "m3.s-1"},
        {"m^3/h", "m3/h"},
        {"percent", "percent"},
        {"\xff\xfe", "\xff\xfe"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();

        assert_string_equal(unit_text_plain(mem, rows[i].text), rows[i].plain);
    }
}

/* Whether one of the ways to take the text apart is this one. */
static bool splits_into(struct arena *mem, const char *plain, const char *unit, const char *basis)
{
    struct unit_split split;

    for (size_t nth = 0; unit_text_split(mem, plain, nth, &split); nth++)
        if (str_equal(split.unit, unit) && str_equal(split.basis, basis))
            return true;

    return false;
}

static void a_basis_is_parted_from_its_unit(void **state)
{
    static const struct {
        const char *plain, *unit, *basis;
    } rows[] = {
        {"mg/L as N", "mg/L", "as N"},       {"mg/L AS n", "mg/L", "as N"},
        {"mg/L (as PO4)", "mg/L", "as PO4"}, {"mg/L (N)", "mg/L", "as N"},
        {"mg/L NO3-N", "mg/L", "as N"},      {"mg/L as CaCO3", "mg/L", "as CaCO3"},
        {"mg NH4/L", "mg/L", "as NH4"},      {"mg-P/L", "mg/L", "as P"},
        {"mgN/L", "mg/L", "as N"},           {"mg O2/L", "mg/L", NULL},
        {"kg N/day", "kg/day", "as N"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();

        if (!splits_into(mem, rows[i].plain, rows[i].unit, rows[i].basis))
            fail_msg("%s", rows[i].plain);
    }
}

static void the_largest_word_is_tried_first(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct unit_split split;

    (void)state;
    assert_true(unit_text_split(mem, "mg/L NO3-N", 0, &split));
    assert_string_equal(split.unit, "mg/L");
    assert_string_equal(split.basis, "as N");
}

static void what_has_no_basis_is_not_parted(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct unit_split split;

    (void)state;
    assert_false(unit_text_split(mem, "mg/L", 0, &split));
    assert_false(unit_text_split(mem, "N", 0, &split));
    assert_false(unit_text_split(mem, "/L", 0, &split));
    assert_false(unit_text_split(mem, "", 0, &split));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_plain_form_is_one_for_many_writings),
        cmocka_unit_test(a_basis_is_parted_from_its_unit),
        cmocka_unit_test(the_largest_word_is_tried_first),
        cmocka_unit_test(what_has_no_basis_is_not_parted),
    };

    return cmocka_run_group_tests_name("measure/unit_text", tests, NULL, NULL);
}
