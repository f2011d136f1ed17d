#include "harness/values.h"

#include <stdlib.h>

#include "base/macro.h"
#include "stat/most_probable_number.h"

#define THREE_TUBES "3 3 3"
#define FIVE_TUBES "5 5 5"
#define TEN_TUBES "10 10 10"
#define GRAMS "0.1 0.01 0.001"

static size_t pattern_read(struct arena *mem, const char *positive, const char *tubes,
                           const char *amounts, struct mpn_dilution *out)
{
    struct values x = values_read(mem, positive);
    struct values n = values_read(mem, tubes);
    struct values z = values_read(mem, amounts);

    assert_int_equal(x.count, n.count);
    assert_int_equal(x.count, z.count);
    for (size_t i = 0; i < x.count; i++)
        out[i] = (struct mpn_dilution){.tubes = (int)amount_double(n.items[i]),
                                       .positive = (int)amount_double(x.items[i]),
                                       .amount = z.items[i]};

    return x.count;
}

static struct mpn mpn_of(struct arena *mem, const char *positive, const char *tubes,
                         const char *amounts, const char *per)
{
    struct mpn_dilution dilutions[MPN_DILUTIONS_MOST];
    size_t count = pattern_read(mem, positive, tubes, amounts, dilutions);
    struct mpn found = {.number = NULL};
    struct err err = ERR_INIT;

    assert_done(most_probable_number(mem, dilutions, count, value_read(mem, per), &found, &err),
                &err);

    return found;
}

/* "210" as "2 1 0". */
static const char *spread(struct arena *mem, const char *pattern)
{
    return arena_printf(mem, "%c %c %c", pattern[0], pattern[1], pattern[2]);
}

struct printed {
    const char *pattern;
    const char *mpn;
};

/* US FDA Bacteriological Analytical Manual, appendix 2, table 1: three tubes (from memory). */
static const struct printed three_tubes[] = {
    {"000", "<3.0"}, {"001", "3.0"}, {"010", "3.0"}, {"011", "6.1"},  {"020", "6.2"},
    {"030", "9.4"},  {"100", "3.6"}, {"101", "7.2"}, {"102", "11"},   {"110", "7.4"},
    {"111", "11"},   {"120", "11"},  {"121", "15"},  {"130", "16"},   {"200", "9.2"},
    {"201", "14"},   {"202", "20"},  {"210", "15"},  {"211", "20"},   {"212", "27"},
    {"220", "21"},   {"221", "28"},  {"222", "35"},  {"230", "29"},   {"231", "36"},
    {"300", "23"},   {"301", "38"},  {"302", "64"},  {"310", "43"},   {"311", "75"},
    {"312", "120"},  {"313", "160"}, {"320", "93"},  {"321", "150"},  {"322", "210"},
    {"323", "290"},  {"330", "240"}, {"331", "460"}, {"332", "1100"}, {"333", ">1100"},
};

/*
 * The same, table 2, and Standard Methods 9221: five tubes (from memory). 5-3-3 is left out: its
 * printed value is remembered as 170 and as 180, and 174.98 is what the equation gives.
 */
static const struct printed five_tubes[] = {
    {"000", "<1.8"}, {"001", "1.8"},   {"010", "1.8"}, {"020", "3.7"}, {"100", "2.0"},
    {"110", "4.0"},  {"111", "6.1"},   {"120", "6.1"}, {"121", "8.2"}, {"131", "10"},
    {"140", "11"},   {"200", "4.5"},   {"201", "6.8"}, {"202", "9.1"}, {"210", "6.8"},
    {"211", "9.2"},  {"212", "12"},    {"220", "9.3"}, {"222", "14"},  {"231", "14"},
    {"240", "15"},   {"300", "7.8"},   {"301", "11"},  {"302", "13"},  {"310", "11"},
    {"311", "14"},   {"320", "14"},    {"330", "17"},  {"340", "21"},  {"341", "24"},
    {"400", "13"},   {"401", "17"},    {"402", "21"},  {"410", "17"},  {"411", "21"},
    {"412", "26"},   {"420", "22"},    {"421", "26"},  {"422", "32"},  {"423", "38"},
    {"430", "27"},   {"431", "33"},    {"440", "34"},  {"441", "40"},  {"451", "48"},
    {"500", "23"},   {"501", "31"},    {"502", "43"},  {"503", "58"},  {"510", "33"},
    {"511", "46"},   {"512", "63"},    {"513", "84"},  {"520", "49"},  {"521", "70"},
    {"522", "94"},   {"523", "120"},   {"530", "79"},  {"531", "110"}, {"532", "140"},
    {"540", "130"},  {"541", "170"},   {"542", "220"}, {"543", "280"}, {"544", "350"},
    {"545", "430"},  {"550", "240"},   {"551", "350"}, {"552", "540"}, {"553", "920"},
    {"554", "1600"}, {"555", ">1600"},
};

static void assert_table(const struct printed *rows, size_t count, const char *tubes)
{
    for (size_t i = 0; i < count; i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const char *printed = rows[i].mpn;
        enum mpn_kind kind = *printed == '<'   ? MPN_LESS
                             : *printed == '>' ? MPN_GREATER
                                               : MPN_NUMBER;
        const char *positive = spread(mem, rows[i].pattern);
        struct mpn grams = mpn_of(mem, positive, tubes, GRAMS, "1");
        struct mpn water = mpn_of(mem, positive, tubes, "10 1 0.1", "100");

        assert_int_equal(grams.kind, kind);
        assert_exact(mem, grams.reported, printed + (kind != MPN_NUMBER));
        /* Tubes of 10, 1 and 0.1 mL read per 100 mL give the same numbers. */
        assert_int_equal(exact_compare(grams.reported, water.reported), 0);
    }
}

static void the_tables_of_three_and_five_tubes_come_out(void **state)
{
    (void)state;
    assert_table(three_tubes, ARRAY_LEN(three_tubes), THREE_TUBES);
    assert_table(five_tubes, ARRAY_LEN(five_tubes), FIVE_TUBES);
}

/* M. S. Ridout, Biometrics 50, 1994, table 1: by the likelihood ratio, 95 %. */
static const struct {
    const char *pattern;
    double mpn;
    double low;
    double high;
} ridout[] = {
    {"010", 3.1, 0.2, 13.4},       {"100", 3.6, 0.2, 16.0},        {"110", 7.4, 1.2, 23.3},
    {"200", 9.2, 1.5, 30.6},       {"201", 14.3, 3.4, 40.5},       {"210", 14.7, 3.5, 41.8},
    {"220", 21.1, 6.2, 54.3},      {"300", 23.1, 4.9, 90.8},       {"301", 38.5, 9.3, 139.1},
    {"310", 42.7, 9.8, 164.7},     {"311", 74.9, 17.5, 235.4},     {"320", 93.3, 19.8, 311.0},
    {"321", 149.4, 36.8, 425.7},   {"322", 214.7, 62.9, 554.8},    {"330", 239.8, 51.0, 975.0},
    {"331", 462.2, 102.5, 1848.5}, {"332", 1099.0, 218.8, 3784.9},
};

static void likelihood_ratio_limits_agree_with_ridout(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(ridout); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct mpn found = mpn_of(mem, spread(mem, ridout[i].pattern), THREE_TUBES, GRAMS, "1");

        assert_float_equal(exact_double(found.number), ridout[i].mpn, 0.06);
        assert_float_equal(exact_double(found.low), ridout[i].low, 0.08);
        assert_float_equal(exact_double(found.high), ridout[i].high,
                           fmax(0.1, 4e-4 * ridout[i].high));
    }
}

/* The same table: 0 (0 to 9.0) and infinite (from 465.1): 5 % outside, all of it on one side. */
static void all_tubes_alike_have_one_limit(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct mpn none = mpn_of(mem, "0 0 0", THREE_TUBES, GRAMS, "1");
    struct mpn all = mpn_of(mem, "3 3 3", THREE_TUBES, GRAMS, "1");

    (void)state;
    assert_null(none.low);
    assert_float_equal(exact_double(none.high), 9.0, 0.05);
    assert_null(all.high);
    assert_float_equal(exact_double(all.low), 465.1, 0.05);
    assert_null(none.rarity);
    assert_null(all.log_normal_low);
    assert_null(all.thomas);
}

/* The 2002 spreadsheet of BAM appendix 2: ten tubes, 5-3-0 at 0.1, 0.01 and 0.001 g. */
static void the_solver_sheet_of_the_manual_comes_out(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct mpn found = mpn_of(mem, "5 3 0", TEN_TUBES, GRAMS, "1");

    (void)state;
    assert_float_equal(exact_double(found.number), 9.950764229, 3e-6);
    assert_near(exact_double(found.log_normal_low), 4.891, 1e-3, "low");
    assert_near(exact_double(found.log_normal_high), 20.263, 1e-3, "high");
    assert_float_equal(exact_double(found.log10_error), 0.1575, 5e-5);
    assert_float_equal(exact_double(found.rarity), 0.0924576, 1e-6);
    assert_float_equal(exact_double(found.thomas), 9.97, 5e-3);
}

/* What the sources below print; 0: not printed there. */
static const struct {
    const char *positive;
    const char *tubes;
    const char *amounts;
    double mpn;
    double mpn_within;
    double rarity;
    double rarity_within;
    double low; /* two errors of the logarithm away, as that paper prints them; two figures */
    double high;
    const char *source;
} singles[] = {
    {"4 2 2", "5 5 4", GRAMS, 31.918, 1e-3, 1.02e-3, 1e-5, 0, 0, "Blodgett: unequal tubes"},
    {"3 0 2", "7 5 7", GRAMS, 8.549, 1e-3, 1.15e-3, 1e-5, 0, 0, "Blodgett: unequal tubes"},
    {"2 3 4", "9 3 4", GRAMS, 11.274, 1e-3, 6.34e-13, 1e-14, 0, 0,
     "Blodgett: no such pattern comes about by chance"},
    {"1 5", "5 5", "1 0.1", 1.29, 6e-3, 0, 0, 0, 0, "Blodgett 2002, table 1"},
    {"2 4", "5 5", "1 0.1", 1.48, 6e-3, 0, 0, 0, 0, "Blodgett 2002, table 1"},
    {"3 3", "5 5", "1 0.1", 1.75, 6e-3, 0, 0, 0, 0, "Blodgett 2002, table 1"},
    {"4 2", "5 5", "1 0.1", 2.21, 6e-3, 0, 0, 0, 0, "Blodgett 2002, table 1"},
    {"5 1", "5 5", "1 0.1", 3.48, 6e-3, 0, 0, 0, 0, "Blodgett 2002, table 1"},
    {"3 0 0", FIVE_TUBES, "1 0.1 0.01", 0, 0, 1, 1e-9, 0, 0, "Blodgett 2002, table 4"},
    {"2 1 0", FIVE_TUBES, "1 0.1 0.01", 0, 0, 0.354, 5e-4, 0, 0, "Blodgett 2002, table 4"},
    {"3 4 0", FIVE_TUBES, "1 0.1 0.01", 0, 0, 2.51e-3, 5e-6, 0, 0, "Blodgett 2002, table 4"},
    {"0 4 1", FIVE_TUBES, "1 0.1 0.01", 0, 0, 5.85e-7, 5e-9, 0, 0, "Blodgett 2002, table 4"},
    {"0 2 5", FIVE_TUBES, "1 0.1 0.01", 0, 0, 2.91e-13, 5e-15, 0, 0, "Blodgett 2002, table 4"},
    {"2 2 0", THREE_TUBES, "1 0.1 0.01", 2.1, 0.05, 0.069, 6e-4, 0.71, 6.2, "Jarvis et al. 2010"},
    {"3 1 1", THREE_TUBES, "1 0.1 0.01", 7.5, 0.05, 0.209, 6e-4, 1.9, 30, "Jarvis et al. 2010"},
    {"20 14 3", "20 20 20", "1 0.1 0.01", 13, 0.5, 0.794, 6e-4, 7.6, 21, "Jarvis et al. 2010"},
    {"50 34 7", "50 49 49", "2 0.2 0.02", 6.2, 0.05, 0.746, 6e-4, 4.5, 8.6, "Jarvis et al. 2010"},
    {"1 5 3 1 1", "1 5 5 5 5", "5 1 0.5 0.1 0.05", 2.7, 0.05, 0.512, 6e-4, 1.3, 5.5,
     "Jarvis et al. 2010"},
    {"5 3 0", FIVE_TUBES, "10 1 0.1", 0.792, 6e-4, 0, 0, 0, 0, "Haas et al. 2014"},
    {"7 4 3 4 2 2 2", "29 30 28 30 29 25 30", "0.032 0.026 0.021 0.018 0.016 0.011 0.005", 6.949,
     6e-4, 0, 0, 0, 0, "Haas et al. 2014"},
};

static void assert_two_figures(struct arena *mem, double value, double expected)
{
    const struct rounding two_figures = {ROUND_HALF_UP, ROUND_TO_FIGURES, 2};
    const struct exact *rounded = exact_round(mem, exact_from_double(mem, value), two_figures);

    assert_near(exact_double(rounded), expected, 1e-9, "to two figures");
}

static void single_examples_agree_with_what_is_printed(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(singles); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct mpn found =
            mpn_of(mem, singles[i].positive, singles[i].tubes, singles[i].amounts, "1");

        if (singles[i].mpn > 0)
            assert_float_equal(exact_double(found.number), singles[i].mpn, singles[i].mpn_within);
        if (singles[i].rarity > 0)
            assert_float_equal(exact_double(found.rarity), singles[i].rarity,
                               singles[i].rarity_within);
        if (singles[i].low > 0) {
            double factor = pow(10, 2 * exact_double(found.log10_error));

            assert_two_figures(mem, exact_double(found.number) / factor, singles[i].low);
            assert_two_figures(mem, exact_double(found.number) * factor, singles[i].high);
        }
    }
}

/* C. N. Haas, Water Research 23, 1989: less its bias after Salama, Koch and Tolley 1978. */
static const struct {
    const char *positive;
    const char *tubes;
    const char *amounts;
    double adjusted;
    double within;
} haas[] = {
    {"5 3 0", FIVE_TUBES, "10 1 0.1", 0.67, 6e-3},
    {"5 4 3", FIVE_TUBES, "10 1 0.1", 2.05, 6e-3},
    {"5 5 4", FIVE_TUBES, "10 1 0.1", 12.09, 6e-3},
    {"4 1 0 0", "5 5 5 5", "10 1 0.1 0.01", 0.1405, 1e-4},
};

static void the_bias_is_taken_off_as_published(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(haas); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct mpn found = mpn_of(mem, haas[i].positive, haas[i].tubes, haas[i].amounts, "1");

        assert_float_equal(exact_double(found.adjusted), haas[i].adjusted, haas[i].within);
    }
}

/* BAM table 5: ten tubes of 10 mL, per 100 mL; the closed form is -ln(1 - x / n) / z. */
static void one_dilution_has_a_closed_form(void **state)
{
    static const char *const printed[] = {"1.1", "2.2", "3.6", "5.1", "6.9",
                                          "9.2", "12",  "16",  "23"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(printed); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct mpn found = mpn_of(mem, arena_printf(mem, "%zu", i + 1), "10", "10", "100");

        assert_exact(mem, found.reported, printed[i]);
        assert_near(exact_double(found.number), -log1p(-(double)(i + 1) / 10) * 10, 1e-11,
                    "closed form");
    }
}

/* Flesh: 5 x (1, 0.1, 0.01 g), per 100 g. Unrounded it would be over a limit of 230. */
static void what_is_reported_is_rounded_to_the_figures_of_the_table(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct mpn found = mpn_of(mem, "5 0 0", FIVE_TUBES, "1 0.1 0.01", "100");
    struct mpn further = mpn_of(mem, "5 1 1", FIVE_TUBES, GRAMS, "100");

    (void)state;
    assert_float_equal(exact_double(found.number), 231.16, 5e-3);
    assert_exact(mem, found.reported, "230");
    assert_float_equal(exact_double(further.number), 4561.9, 0.05);
    assert_exact(mem, further.reported, "4600");
}

static const struct {
    const char *positive;
    const char *tubes;
    const char *amounts;
    const char *per;
    const char *says;
} refused[] = {
    {"", "", "", "1", "a most probable number wants 1 to 20 dilutions"},
    {"0", "0", "1", "1", "dilution 1 wants 1 to 1000 tubes"},
    {"1 4", "3 3", "1 0.1", "1", "dilution 2 has 4 positive tubes of 3"},
    {"1 -1", "3 3", "1 0.1", "1", "dilution 2 has -1 positive tubes of 3"},
    {"1 1", "3 3", "1 0", "1", "dilution 2 has no amount of sample"},
    {"1 1", "3 3", "1 0.1", "0", "a most probable number is told per an amount above 0"},
    {"1", "1", "1", "1", "a most probable number wants two tubes at least"},
};

static void patterns_without_sense_are_refused_with_the_reason(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(refused); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct mpn_dilution dilutions[MPN_DILUTIONS_MOST];
        size_t count =
            pattern_read(mem, refused[i].positive, refused[i].tubes, refused[i].amounts, dilutions);
        struct mpn found = {.number = NULL};
        struct err err = ERR_INIT;

        assert_fails(most_probable_number(mem, dilutions, count, value_read(mem, refused[i].per),
                                          &found, &err),
                     ERR_INVALID, &err);
        assert_string_equal(err.text, refused[i].says);
        assert_null(found.number);
    }
}

static void dilutions_far_apart_still_have_an_answer(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct mpn found =
        mpn_of(mem, "1000 999 0", "1000 1000 1000", "100 0.000001 0.00000000000001", "1");

    (void)state;
    assert_near(exact_double(found.number), -log1p(-0.999) / 1e-6, 1e-3, "the middle one tells");
    assert_true(exact_compare(found.low, found.number) < 0);
    assert_true(exact_compare(found.high, found.number) > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_tables_of_three_and_five_tubes_come_out),
        cmocka_unit_test(likelihood_ratio_limits_agree_with_ridout),
        cmocka_unit_test(all_tubes_alike_have_one_limit),
        cmocka_unit_test(the_solver_sheet_of_the_manual_comes_out),
        cmocka_unit_test(single_examples_agree_with_what_is_printed),
        cmocka_unit_test(the_bias_is_taken_off_as_published),
        cmocka_unit_test(one_dilution_has_a_closed_form),
        cmocka_unit_test(what_is_reported_is_rounded_to_the_figures_of_the_table),
        cmocka_unit_test(patterns_without_sense_are_refused_with_the_reason),
        cmocka_unit_test(dilutions_far_apart_still_have_an_answer),
    };

    return cmocka_run_group_tests_name("stat/most_probable_number", tests, NULL, NULL);
}
