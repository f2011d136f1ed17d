#include <string.h>

#include "harness/near.h"
#include "measure/nutrient_basis.h"

static double factor(const char *from, const char *to)
{
    double out = 0;
    struct err err = ERR_INIT;

    assert_done(nutrient_basis_factor(from, to, &out, &err), &err);

    return out;
}

static void factors_follow_from_the_atomic_masses(void **state)
{
    static const struct {
        const char *from, *to;
        double there, back;
    } rows[] = {
        {"as N", "as NO3", 4.426803, 0.225897},   {"as N", "as NO2", 3.284535, 0.304457},
        {"as N", "as NH3", 1.215884, 0.822447},   {"as N", "as NH4", 1.287845, 0.776491},
        {"as P", "as PO4", 3.066188, 0.326138},   {"as P", "as P2O5", 2.291367, 0.436421},
        {"as Si", "as SiO2", 2.139335, 0.467435},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        assert_near(factor(rows[i].from, rows[i].to), rows[i].there, 1e-6, "the atomic masses");
        assert_near(factor(rows[i].to, rows[i].from), rows[i].back, 1e-6, "the atomic masses");
        assert_near(factor(rows[i].to, rows[i].to), 1, 0, "the same basis");
    }
}

static void limits_that_are_printed_both_ways_agree(void **state)
{
    static const struct {
        double amount;
        const char *from, *to;
        double printed, tolerance;
    } rows[] = {
        /* pairs as drinking-water rules print them, from memory */
        {50, "as NO3", "as N", 11.3, 0.05},
        {10, "as N", "as NO3", 44.3, 0.05},
        {3, "as NO2", "as N", 0.9, 0.05},
        {0.5, "as NH4", "as N", 0.39, 0.005},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_near(rows[i].amount * factor(rows[i].from, rows[i].to), rows[i].printed,
                    rows[i].tolerance, "rules that print both, from memory");
}

static void a_mole_weighs_what_its_basis_says(void **state)
{
    static const struct {
        const char *basis;
        double g_per_mol;
    } rows[] = {
        {"as N", 14.0067},   {"as P", 30.9738},   {"as Si", 28.0855},
        {"as NO3", 62.0049}, {"as PO4", 94.9714},
    };
    double out = 0;
    struct err err = ERR_INIT;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        assert_done(nutrient_basis_g_per_mol(rows[i].basis, &out, &err), &err);
        assert_near(out, rows[i].g_per_mol, 5e-5, "the atomic masses");
    }
    /* 1 mg/L is 71.3944 uM of nitrogen, and 32.2854 uM of phosphorus. */
    assert_done(nutrient_basis_g_per_mol("as N", &out, &err), &err);
    assert_near(1000 / out, 71.3944, 5e-5, "the atomic masses");
    assert_done(nutrient_basis_g_per_mol("as P", &out, &err), &err);
    assert_near(1000 / out, 32.2854, 5e-5, "the atomic masses");
}

static void different_matter_is_never_told_as_one_another(void **state)
{
    static const struct {
        const char *from, *to, *text;
    } rows[] = {
        {"as NO3", "as NO2", "what is told as NO3 can't be told as NO2"},
        {"as NO3", "as NH3", "can't be told"},
        {"as N", "as P", "can't be told"},
        {"as N", "as SiO2", "can't be told"},
        {"as PO4", "as NO3", "can't be told"},
        {"", "as N", "there is no basis"},
        {"as N", "", "there is no basis"},
        {"as N", "as CaCO3", "the basis \"as CaCO3\" can't be changed"},
        {"N", "as NO3", "the basis \"N\""},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        double out = -99;
        struct err err = ERR_INIT;

        assert_fails(nutrient_basis_factor(rows[i].from, rows[i].to, &out, &err), ERR_INVALID,
                     &err);
        if (!strstr(err.text, rows[i].text))
            fail_msg("%s to %s: %s", rows[i].from, rows[i].to, err.text);
        assert_true(*err.hint);
        assert_true(out == -99);
    }
}

static void ammonia_and_phosphate_are_each_told_in_two_ways(void **state)
{
    (void)state;
    assert_near(factor("as NH3", "as NH4"), 1.287845 / 1.215884, 1e-6, "the atomic masses");
    assert_near(factor("as PO4", "as P2O5"), 2.291367 / 3.066188, 1e-6, "the atomic masses");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(factors_follow_from_the_atomic_masses),
        cmocka_unit_test(limits_that_are_printed_both_ways_agree),
        cmocka_unit_test(a_mole_weighs_what_its_basis_says),
        cmocka_unit_test(different_matter_is_never_told_as_one_another),
        cmocka_unit_test(ammonia_and_phosphate_are_each_told_in_two_ways),
    };

    return cmocka_run_group_tests_name("measure/nutrient_basis", tests, NULL, NULL);
}
