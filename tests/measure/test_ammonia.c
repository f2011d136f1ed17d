#include <stdio.h>
#include <string.h>

#include "harness/near.h"
#include "measure/ammonia.h"

static double percent(enum ammonia_form form, double ph, double t, double salinity)
{
    const struct ammonia_water water = {ph, t, salinity};
    double out = 0;
    struct err err = ERR_INIT;

    assert_done(ammonia_fraction(form, &water, &out, &err), &err);

    return 100 * out;
}

static double pka(enum ammonia_form form, double t, double salinity)
{
    double out = 0;
    struct err err = ERR_INIT;

    assert_done(ammonia_pka(form, t, salinity, &out, &err), &err);

    return out;
}

static void fresh_water_has_the_share_of_emerson_s_table(void **state)
{
    static const struct {
        double ph, percents[7]; /* at 0, 5, ..., 30 degC */
    } rows[] = {
        {6, {.00827, .0125, .0186, .0274, .0397, .0569, .0805}},
        {7, {.0827, .125, .186, .273, .396, .566, .799}},
        {8, {.820, 1.23, 1.83, 2.66, 3.82, 5.38, 7.46}},
        {9, {7.64, 11.1, 15.7, 21.4, 28.4, 36.3, 44.6}},
        {10, {45.3, 55.6, 65.1, 73.2, 79.9, 85.1, 89.0}},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        for (size_t k = 0; k < ARRAY_LEN(rows[i].percents); k++)
            assert_near(percent(AMMONIA_EMERSON_273_2, rows[i].ph, 5 * (double)k, 0),
                        rows[i].percents[k], 0.006 * rows[i].percents[k],
                        "the table of Emerson 1975 and Thurston 1979, from memory");
}

static void the_two_zeros_of_emerson_give_their_own_constants(void **state)
{
    static const double with_273_15[] = {10.0844, 9.9047, 9.7314, 9.5641, 9.4025, 9.2464, 9.0954};
    static const double with_273_2[] = {10.0826, 9.9030, 9.7297, 9.5625, 9.4010, 9.2448, 9.0939};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(with_273_2); i++) {
        const double t = 5 * (double)i;

        assert_near(pka(AMMONIA_EMERSON_273_15, t, 0), with_273_15[i], 6e-5, "Emerson 1975");
        assert_near(pka(AMMONIA_EMERSON_273_2, t, 0), with_273_2[i], 6e-5, "Emerson 1975");
    }
}

static void totals_for_a_stated_un_ionised_are_those_of_ccme(void **state)
{
    static const struct {
        double ph, totals[7]; /* mg/L as NH3 for 0.019 mg/L, at 0, 5, ..., 30 degC */
    } rows[] = {
        {6.0, {231, 153, 102, 69.7, 48.0, 33.5, 23.7}},
        {6.5, {73.0, 48.3, 32.4, 22.0, 15.2, 10.6, 7.50}},
        {7.0, {23.1, 15.3, 10.3, 6.98, 4.82, 3.37, 2.39}},
        {7.5, {7.32, 4.84, 3.26, 2.22, 1.54, 1.08, 0.767}},
        {8.0, {2.33, 1.54, 1.04, 0.715, 0.499, 0.354, 0.256}},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        for (size_t k = 0; k < ARRAY_LEN(rows[i].totals); k++) {
            const struct ammonia_water water = {rows[i].ph, 5 * (double)k, 0};
            double total = 0;
            struct err err = ERR_INIT;

            assert_done(ammonia_total(AMMONIA_EMERSON_273_15, &water, 0.019, "as NH3", "as NH3",
                                      &total, &err),
                        &err);
            /* Printed to three figures. */
            assert_near(total, rows[i].totals[k], 0.0051 * rows[i].totals[k],
                        "the table of CCME 2010, from memory");
        }
    }
}

/* Salinity 32 to 40, at 10, 15, 20 and 25 degC. */
static const struct {
    double ph, percents[4];
} bower_bidwell[] = {
    {7.5, {0.459, 0.665, 0.963, 1.39}}, {7.6, {0.577, 0.836, 1.21, 1.75}},
    {7.7, {0.726, 1.05, 1.52, 2.19}},   {7.8, {0.912, 1.32, 1.90, 2.74}},
    {7.9, {1.15, 1.66, 2.39, 3.43}},    {8.0, {1.44, 2.07, 2.98, 4.28}},
    {8.1, {1.80, 2.60, 3.73, 5.32}},    {8.2, {2.26, 3.25, 4.65, 6.61}},
    {8.3, {2.83, 4.06, 5.78, 8.18}},    {8.4, {3.54, 5.05, 7.17, 10.10}},
    {8.5, {4.41, 6.28, 8.87, 12.40}},
};

static void sea_water_has_the_share_of_bower_and_bidwell_s_table(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(bower_bidwell); i++) {
        for (size_t k = 0; k < ARRAY_LEN(bower_bidwell[i].percents); k++) {
            const double printed = bower_bidwell[i].percents[k];
            const double ph = bower_bidwell[i].ph, t = 10 + 5 * (double)k;

            assert_near(percent(AMMONIA_BOWER_BIDWELL, ph, t, 34), printed, 0.005 * printed,
                        "the table of Bower and Bidwell 1978, in a test-kit handbook");
            assert_near(percent(AMMONIA_KHOO, ph, t, 34), printed, 0.015 * printed,
                        "the same table, which Khoo's equation is near");
        }
    }
}

/* Total ammonia for 0.233 mg/L un-ionised, at 0, 5, ..., 35 degC; 0: not read, or a misprint. */
static void the_us_criteria_of_1989_come_out(void **state)
{
    static const struct {
        double salinity, ph, totals[8];
    } rows[] = {
        {10, 7.0, {270, 0, 131, 0, 62, 0, 29, 21}},
        {10, 7.2, {0, 121, 83, 58, 40, 27, 19, 0}},
        {10, 7.4, {0, 77, 0, 35, 25, 0, 12, 8.3}},
        {10, 7.6, {0, 48, 33, 23, 0, 11, 7.7, 5.6}},
        {10, 7.8, {0, 0, 0, 0, 10, 0, 0, 3.5}},
        {10, 8.0, {27, 19, 13, 0, 6.4, 4.6, 0, 0}},
        {10, 8.2, {18, 12, 0, 5.8, 0, 2.9, 0, 1.5}},
        {10, 8.4, {11, 0, 5.4, 3.7, 0, 1.9, 0, 1}},
        {10, 8.6, {7.3, 0, 3.5, 2.5, 0, 1.3, 0.98, 0.75}},
        {10, 8.8, {4.6, 0, 2.3, 0, 0, 0.92, 0, 0.56}},
        {10, 9.0, {2.9, 2.1, 0, 1.1, 0.85, 0, 0.52, 0.44}},
        {20, 7.0, {0, 0, 137, 96, 0, 0, 31, 0}},
        {20, 7.2, {0, 0, 87, 0, 42, 0, 0, 0}},
        {20, 7.4, {116, 0, 54, 37, 0, 18, 0, 8.7}},
        {20, 7.6, {73, 0, 35, 23, 0, 0, 0, 0}},
        {20, 7.8, {46, 0, 0, 0, 11, 7.5, 5.2, 3.5}},
        {20, 8.0, {0, 20, 0, 0, 6.7, 0, 3.3, 2.3}},
        {20, 8.2, {19, 13, 8.9, 6.2, 0, 3.1, 0, 0}},
        {20, 8.4, {0, 8.1, 5.6, 4, 0, 0, 1.5, 0}},
        {20, 8.6, {7.5, 5.2, 3.7, 0, 0, 0, 0, 0}},
        {20, 8.8, {4.8, 3.3, 0, 0, 1.3, 0.94, 0, 0.56}},
        {20, 9.0, {3.1, 2.3, 0, 1.2, 0.87, 0.69, 0.54, 0.44}},
        {30, 7.0, {312, 208, 148, 102, 0, 0, 33, 0}},
        {30, 7.2, {0, 0, 94, 0, 44, 0, 0, 0}},
        {30, 7.4, {125, 85, 0, 40, 27, 19, 0, 0}},
        {30, 7.6, {79, 0, 37, 25, 0, 12, 8.5, 0}},
        {30, 7.8, {50, 0, 0, 16, 0, 7.9, 0, 0}},
        {30, 8.0, {31, 21, 0, 10, 7.5, 0, 0, 0}},
        {30, 8.2, {20, 0, 9.6, 6.7, 0, 3.3, 2.3, 0}},
        {30, 8.4, {0, 8.7, 6, 4.2, 0, 0, 0, 0}},
        {30, 8.6, {8.1, 0, 4, 2.7, 0, 1.4, 0, 0.81}},
        {30, 8.8, {0, 0, 0, 0, 1.3, 0, 0.75, 0.58}},
        {30, 9.0, {3.3, 2.3, 1.7, 1.2, 0.94, 0.71, 0, 0.46}},
    };
    size_t cells = 0;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        for (size_t k = 0; k < ARRAY_LEN(rows[i].totals); k++) {
            const double printed = rows[i].totals[k];
            const struct ammonia_water water = {rows[i].ph, 5 * (double)k, rows[i].salinity};
            double total = 0;
            struct err err = ERR_INIT;

            if (printed <= 0)
                continue;
            assert_done(
                ammonia_total(AMMONIA_EPA_1989, &water, 0.233, "as NH3", "as NH3", &total, &err),
                &err);
            assert_near(total, printed, 0.06 * printed,
                        "US EPA 440/5-88-004 (1989), pages 30 and 31, transcribed");
            cells++;
        }
    }
    assert_true(cells > 100);
}

static void clegg_and_whitfield_s_constants_come_out(void **state)
{
    static const double at_35[] = {9.9490, 9.7621, 9.5803, 9.4033, 9.2303, 9.0610};

    (void)state;
    assert_near(pka(AMMONIA_CLEGG_WHITFIELD, 25, 0), 9.244605, 1e-12,
                "Clegg and Whitfield 1995: pure water at 25 degC");
    for (size_t i = 0; i < ARRAY_LEN(at_35); i++)
        assert_near(pka(AMMONIA_CLEGG_WHITFIELD, 5 + 5 * (double)i, 35), at_35[i], 6e-5,
                    "Clegg and Whitfield 1995, equation 18 worked out");
}

static void the_forms_differ_at_ph_8_by_as_much_as_told(void **state)
{
    static const struct {
        double salinity, t, khoo, epa, clegg, emerson;
    } rows[] = {
        {10, 15, 2.480, 2.519, 2.763, 2.656}, {20, 15, 2.313, 2.388, 2.700, 2.656},
        {30, 10, 1.471, 1.568, 1.739, 1.822}, {30, 20, 3.099, 3.250, 3.865, 3.807},
        {35, 10, 1.417, 1.525, 1.700, 1.822}, {35, 15, 2.075, 2.199, 2.561, 2.656},
        {35, 20, 2.990, 3.162, 3.801, 3.807}, {35, 25, 4.239, 4.526, 5.557, 5.366},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const double s = rows[i].salinity, t = rows[i].t;

        /* These were worked out with 273.15, which is 0.4 percent lower. */
        assert_near(percent(AMMONIA_KHOO, 8, t, s), rows[i].khoo, 0.005 * rows[i].khoo,
                    "Khoo 1977, worked out");
        assert_near(percent(AMMONIA_EPA_1989, 8, t, s), rows[i].epa, 0.0006, "US EPA 1989");
        assert_near(percent(AMMONIA_CLEGG_WHITFIELD, 8, t, s), rows[i].clegg, 0.0006,
                    "Clegg and Whitfield 1995");
        assert_near(percent(AMMONIA_EMERSON_273_15, 8, t, 0), rows[i].emerson, 0.0006,
                    "Emerson 1975");
    }
}

static void the_basis_of_both_amounts_counts(void **state)
{
    const struct ammonia_water water = {8, 20, 0};
    const enum ammonia_form form = AMMONIA_EMERSON_273_15;
    const double share = percent(form, 8, 20, 0) / 100;
    static const struct {
        const char *total, *un_ionised;
        double factor;
    } rows[] = {
        {"as N", "as N", 1},          {"as N", "as NH3", 1.215884}, {"as NH3", "as N", 0.822447},
        {"as NH4", "as N", 0.776491}, {"as NH3", "as NH3", 1},
    };
    double out = 0;
    struct err err = ERR_INIT;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        assert_done(
            ammonia_un_ionised(form, &water, 2, rows[i].total, rows[i].un_ionised, &out, &err),
            &err);
        assert_near(out, 2 * share * rows[i].factor, 1e-6, "the atomic masses");
        assert_done(ammonia_total(form, &water, out, rows[i].un_ionised, rows[i].total, &out, &err),
                    &err);
        assert_near(out, 2, 1e-12, "there and back");
    }
    assert_fails(ammonia_un_ionised(form, &water, 2, "as P", "as N", &out, &err), ERR_INVALID,
                 &err);
    assert_fails(ammonia_un_ionised(form, &water, -1, "as N", "as N", &out, &err), ERR_INVALID,
                 &err);
}

static void every_form_names_itself_and_its_scale(void **state)
{
    (void)state;
    for (enum ammonia_form form = 0; form < AMMONIA_FORM_COUNT; form++) {
        const struct ammonia_form_facts *facts = ammonia_form_facts(form);
        enum ammonia_form found = AMMONIA_FORM_COUNT;

        assert_true(ammonia_form_parse(facts->key, &found));
        assert_int_equal(found, form);
        assert_true(*facts->name && *facts->source);
        assert_string_equal(facts->scale, form == AMMONIA_CLEGG_WHITFIELD ? "total" : "NBS");
    }

    enum ammonia_form untouched = AMMONIA_KHOO;

    assert_false(ammonia_form_parse("no such form", &untouched));
    assert_int_equal(untouched, AMMONIA_KHOO);
}

static void each_form_is_held_to_its_range(void **state)
{
    static const struct {
        enum ammonia_form form;
        struct ammonia_water water;
        const char *text; /* NULL: just inside */
    } rows[] = {
        {AMMONIA_EMERSON_273_2, {8, 0, 0}, NULL},
        {AMMONIA_EMERSON_273_2, {8, 50, 1}, NULL},
        {AMMONIA_EMERSON_273_2, {8, 50.1, 0}, "the temperature is 50.1 degC"},
        {AMMONIA_EMERSON_273_15, {8, 20, 1.1}, "the practical salinity is 1.1"},
        {AMMONIA_BOWER_BIDWELL, {7.5, 25, 32}, NULL},
        {AMMONIA_BOWER_BIDWELL, {7.4, 20, 34}, "the pH is 7.4"},
        {AMMONIA_BOWER_BIDWELL, {8.6, 20, 34}, "holds from 7.5 to 8.5"},
        {AMMONIA_BOWER_BIDWELL, {8, 20, 31.9}, "the practical salinity is 31.9"},
        {AMMONIA_BOWER_BIDWELL, {8, 25.1, 34}, "the temperature is 25.1 degC"},
        {AMMONIA_KHOO, {8, 5, 40}, NULL},
        {AMMONIA_KHOO, {8, 4.9, 35}, "the temperature is 4.9 degC"},
        {AMMONIA_EPA_1989, {7, 35, 30}, NULL},
        {AMMONIA_EPA_1989, {6.9, 20, 30}, "the pH is 6.9"},
        {AMMONIA_CLEGG_WHITFIELD, {8, -2, 40}, NULL},
        {AMMONIA_CLEGG_WHITFIELD, {8, -2.1, 35}, "the temperature is -2.1 degC"},
        {AMMONIA_CLEGG_WHITFIELD, {8, 20, 40.1}, "the practical salinity is 40.1"},
        {AMMONIA_KHOO, {NAN, 20, 35}, "the pH is not a number"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        double out = -99;
        struct err err = ERR_INIT;
        bool done = ammonia_fraction(rows[i].form, &rows[i].water, &out, &err);

        if (!rows[i].text) {
            assert_done(done, &err);
            assert_true(out > 0 && out < 1);
            continue;
        }
        assert_fails(done, ERR_INVALID, &err);
        if (!strstr(err.text, rows[i].text))
            fail_msg("\"%s\" does not say \"%s\"", err.text, rows[i].text);
        assert_true(out == -99);
    }
}

/* What a farmer reads where he chooses a form are the ranges that are kept to. */
static void the_ranges_in_words_are_those_of_the_forms(void **state)
{
    (void)state;
    for (enum ammonia_form form = 0; form < AMMONIA_FORM_COUNT; form++) {
        const struct ammonia_form_facts *facts = ammonia_form_facts(form);
        const char *named = strstr(AMMONIA_FORM_RANGES, facts->key);
        char range[200];

        assert_non_null(named);
        snprintf(range, sizeof(range), "from %g to %g degC, salinity %g to %g, pH %g to %g",
                 facts->t_least, facts->t_most, facts->salinity_least, facts->salinity_most,
                 facts->ph_least, facts->ph_most);

        /* The range that follows the name first is the form's own. */
        assert_memory_equal(strstr(named, "from "), range, strlen(range));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_ranges_in_words_are_those_of_the_forms),
        cmocka_unit_test(fresh_water_has_the_share_of_emerson_s_table),
        cmocka_unit_test(the_two_zeros_of_emerson_give_their_own_constants),
        cmocka_unit_test(totals_for_a_stated_un_ionised_are_those_of_ccme),
        cmocka_unit_test(sea_water_has_the_share_of_bower_and_bidwell_s_table),
        cmocka_unit_test(the_us_criteria_of_1989_come_out),
        cmocka_unit_test(clegg_and_whitfield_s_constants_come_out),
        cmocka_unit_test(the_forms_differ_at_ph_8_by_as_much_as_told),
        cmocka_unit_test(the_basis_of_both_amounts_counts),
        cmocka_unit_test(every_form_names_itself_and_its_scale),
        cmocka_unit_test(each_form_is_held_to_its_range),
    };

    return cmocka_run_group_tests_name("measure/ammonia", tests, NULL, NULL);
}
