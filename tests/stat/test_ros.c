#include "harness/values.h"

#include <stdlib.h>

#include "base/macro.h"
#include "stat/ros.h"

/* USEPA, Statistical Analysis of Groundwater Monitoring Data, Unified Guidance, 2009, 15-1. */
#define MANGANESE                                                                                  \
    "<5 12.1 16.9 21.6 <2 <5 7.7 53.6 9.5 45.9 <5 5.3 12.6 106.3 34.5 6.3 11.9 10 <2 77.2 17.9 "   \
    "22.7 3.3 8.4 <2"
/* Beal 2010: lead in soil. */
#define LEAD                                                                                       \
    "<1 <1 2 2.5 2.8 <3 3.4 3.9 <4 <4 <4 4.5 4.9 5.5 5.5 5.5 <6 6.7 6.9 7.4 <9 9.5 <10 <10 10 15 " \
    "49 200 9060"
/* Helsel 2005, chapter 6: arsenic in streams of Oahu. */
#define ARSENIC                                                                                    \
    "<1 <1 1.7 <1 <1 <2 3.2 <2 <2 2.8 <2 <2 <2 <2 <2 0.7 0.9 0.5 0.5 <0.9 0.5 0.7 0.6 1.5"
/* She 1997: pyrene. */
#define PYRENE                                                                                     \
    "<28 31 32 34 <35 <35 40 47 48 <58 59 63 64 64 67 67 67 72 73 84 86 <86 87 94 98 100 103 103 " \
    "105 107 110 111 <117 119 119 <122 122 132 133 133 138 <163 <163 <163 163 <174 187 190 222 "   \
    "238 273 289 306 333 459 2982"
/* Hughes and Millard 1988, in Helsel 2005: dissolved iron. */
#define IRON "20 <10 <10 <10 <10 7 3 <3 <3"
/* Helsel and Cohn, Water Resources Research 24 (12), 1988, appendix B. */
#define APPENDIX_B "<1 <1 <1 <1 <1 <1 <10 <10 <10 3 7 9 12 15 20 27 33 50"
/* Test data of the statsmodels library (imputation, RNADA): arsenic, three limits. */
#define RNADA                                                                                      \
    "<0.09 <0.09 <0.09 0.101 0.136 0.34 0.457 0.514 0.629 0.638 0.774 0.788 <0.9 <0.9 <0.9 1 <1 "  \
    "<1 <1 <1 <1 <1 <1 <1 <1 <1 <1 <1 <1 <1 <1 <1 <1 1.1 2 2 2.404 2.86 3 3 3.705 4 5 5.96 6 "     \
    "7.214 16 17.716 25 51"

static struct ros fit_of(struct arena *mem, const char *text, double a)
{
    struct values values = values_read(mem, text);
    struct ros fit = {.count = 0};
    struct err err = ERR_INIT;

    assert_done(ros_fit(mem, values.censored, values.count, a, &fit, &err), &err);

    return fit;
}

/*
 * Printed: 19.827673 and 19.886180 with their coefficients of variation (an R package's
 * documentation on the Unified Guidance), 4.667484 and 6.138230 (companion package of Helsel
 * 2005). The others by the published
 * formulas, programmed in R 4.2.2 and compared there with a package for censored data.
 */
static const struct {
    const char *values;
    double a;
    double mean;
    double deviation;
    double relative;
} rows[] = {
    {MANGANESE, 0, 19.82767333, 25.86966333, 1e-9},
    {MANGANESE, 0.375, 19.88617968, 19.88617968 * 1.29886795, 1e-8},
    {LEAD, 0, 324.8654805, 1680.414543, 1e-9},
    {ARSENIC, 0, 0.9724632417, 0.7180122488, 1e-9},
    {PYRENE, 0, 163.2493658, 393.1068203, 1e-9},
    {IRON, 0, 4.667483689, 6.138230194, 1e-9},
    {APPENDIX_B, 0, 10.788166, 13.681528, 1e-7},
};

static void means_and_deviations_agree_with_what_is_published(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct ros fit = fit_of(mem, rows[i].values, rows[i].a);

        assert_near(exact_double(ros_mean(mem, &fit)), rows[i].mean, rows[i].relative,
                    rows[i].values);
        assert_near(exact_double(ros_deviation(mem, &fit)), rows[i].deviation, rows[i].relative,
                    rows[i].values);
    }
}

static const struct {
    const char *values;
    double intercept;
    double slope;
} lines[] = {
    {MANGANESE, 2.278156737, 1.372186237},
    {LEAD, 1.495230615, 2.034690545},
    {ARSENIC, -0.229987, 0.6467751084},
    {PYRENE, 4.526199791, 0.8621792159},
};

static void the_line_agrees_with_r(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(lines); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct ros fit = fit_of(mem, lines[i].values, 0);

        assert_float_equal(fit.intercept, lines[i].intercept, 5e-7);
        assert_near(fit.slope, lines[i].slope, 1e-9, lines[i].values);
    }
}

static const struct {
    const char *values;
    double within;
    const char *expected; /* ascending */
    const char *source;
} modelled[] = {
    {MANGANESE, 1e-7, "1.0551996 1.2880077 1.7472297 2.2161189 2.4581364 3.2271410", "R 4.2.2"},
    {ARSENIC, 1e-7,
     ".34920941 .41444402 .46495376 .57185809 .58108568 .61253308 .68285404 .75854938 .80656216 "
     ".95365184 .98235932 1.14286747 1.41818954",
     "R 4.2.2"},
    {ARSENIC, 0.0101, "0.35 0.41 0.46 0.57 0.58 0.61 0.68 0.76 0.81 0.95 0.98 1.14 1.42",
     "Helsel 2005, printed to two decimals"},
    {APPENDIX_B, 0.0101, "0.47 0.85 1.11 1.27 1.76 2.34 2.50 3.03 4.80",
     "Helsel and Cohn 1988, appendix B, printed to two decimals"},
    {RNADA, 0.0005,
     "0.01711153 0.01907990 0.03373885 0.03826254 0.05287083 0.06080717 0.07506079 0.08745914 "
     "0.10081573 0.13070334 0.16539309 0.20569039 0.25257575 0.25257575 0.30725491 0.37122555 "
     "0.44636843 0.53507405 0.58544205 0.64042242 0.76644378 0.91850581 1.10390531",
     "tests of the statsmodels library, to three decimals"},
};

static int order(const void *a, const void *b)
{
    double left = *(const double *)a;
    double right = *(const double *)b;

    return (left > right) - (left < right);
}

static void less_thans_are_filled_as_published(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(modelled); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct ros fit = fit_of(mem, modelled[i].values, 0);
        char *rest = arena_strdup(mem, modelled[i].expected);
        double found[VALUES_MOST];
        size_t k = 0;

        for (size_t j = 0; j < fit.modelled_count; j++)
            found[j] = amount_double(fit.modelled[j]);
        qsort(found, fit.modelled_count, sizeof(found[0]), order);
        for (char *word = strtok_r(rest, " ", &rest); word; word = strtok_r(NULL, " ", &rest))
            assert_float_equal(found[k++], strtod(word, NULL), modelled[i].within);
        assert_int_equal(k, fit.modelled_count);
    }
}

/* Helsel and Cohn 1988 print 0.55556 and 0.33333; Helsel 2005 1, 0.3125, 0.21429 and 0.0833. */
static void shares_above_each_limit_agree_with_what_is_published(void **state)
{
    static const double first[] = {0.55556, 0.33333};
    static const double second[] = {1, 0.3125, 0.21429, 0.0833};
    static const double third[] = {0.84, 0.36, 0.36};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct ros appendix = fit_of(mem, APPENDIX_B, 0);
    struct ros arsenic = fit_of(mem, ARSENIC, 0);
    struct ros rnada = fit_of(mem, RNADA, 0);

    (void)state;
    assert_int_equal(appendix.exceedance_count, ARRAY_LEN(first));
    for (size_t i = 0; i < ARRAY_LEN(first); i++)
        assert_float_equal(appendix.exceedance[i], first[i], 5e-6);
    assert_int_equal(arsenic.exceedance_count, ARRAY_LEN(second));
    for (size_t i = 0; i < ARRAY_LEN(second); i++)
        assert_float_equal(arsenic.exceedance[i], second[i], 5e-5);
    assert_int_equal(rnada.exceedance_count, ARRAY_LEN(third));
    for (size_t i = 0; i < ARRAY_LEN(third); i++)
        assert_float_equal(rnada.exceedance[i], third[i], 1e-9);
}

static void numbers_stay_as_they_were_measured(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct ros fit = fit_of(mem, "1/3 <0.5 7 9.10", 0);

    (void)state;
    assert_int_equal(fit.modelled_count, 1);
    assert_exact(mem, amount_exact(mem, fit.filled[3]), "9.1");
    assert_exact(mem, amount_exact(mem, fit.filled[2]), "7");
    assert_true(amount_compare(mem, fit.filled[0], value_read(mem, "1/3")) == 0 ||
                amount_compare(mem, fit.filled[1], value_read(mem, "1/3")) == 0);
}

/* Printed: median 2.763843 for iron; R: 2.277175 and 1.261431 for the logarithms of manganese. */
static void medians_and_logarithms_agree_with_what_is_published(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct ros iron = fit_of(mem, IRON, 0);
    struct ros manganese = fit_of(mem, MANGANESE, 0);
    double mean = 0;
    double deviation = 0;

    (void)state;
    assert_near(exact_double(ros_percentile(mem, &iron, percentile_definition_find("inclusive"),
                                            exact_from_text(mem, "0.5"))),
                2.763843, 2e-7, "median");
    ros_logs(&manganese, &mean, &deviation);
    assert_near(mean, 2.277174996, 1e-9, "mean of the logarithms");
    assert_near(deviation, 1.26143064, 1e-9, "their deviation");
    assert_near(exact_double(ros_geometric_mean(mem, &manganese)), exp(2.277174996), 1e-9,
                "geometric mean");
}

static const struct {
    const char *values;
    double a;
    const char *says;
} refused[] = {
    {"<1 2 3", 0,
     "regression on order statistics needs 3 results that are numbers, and there are only 2"},
    {"<1 <1 12 <12 <15 <15 <15 <15 <15 <15 <15 <15 <15 <15 <15 <15 7 9", 0,
     "regression on order statistics has no answer where more than 80 % of the results are "
     "less-thans: 15 of 18 are"},
    {"<1 <2", 0, "regression on order statistics has no answer where all results are less-thans"},
    {"<1 0 2 3", 0, "regression on order statistics has no answer for a result of 0 or below"},
    {"<1 1 2 3", 0.6, "the number of a plotting position lies from 0 to 0.5"},
    {"<1 1 2 3", NAN, "the number of a plotting position lies from 0 to 0.5"},
};

static void what_it_can_not_answer_is_refused_with_the_reason(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(refused); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct values values = values_read(mem, refused[i].values);
        struct ros fit = {.count = 0};
        struct err err = ERR_INIT;

        assert_fails(ros_fit(mem, values.censored, values.count, refused[i].a, &fit, &err),
                     ERR_INVALID, &err);
        assert_string_equal(err.text, refused[i].says);
        assert_null(fit.filled);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(means_and_deviations_agree_with_what_is_published),
        cmocka_unit_test(the_line_agrees_with_r),
        cmocka_unit_test(less_thans_are_filled_as_published),
        cmocka_unit_test(shares_above_each_limit_agree_with_what_is_published),
        cmocka_unit_test(numbers_stay_as_they_were_measured),
        cmocka_unit_test(medians_and_logarithms_agree_with_what_is_published),
        cmocka_unit_test(what_it_can_not_answer_is_refused_with_the_reason),
    };

    return cmocka_run_group_tests_name("stat/ros", tests, NULL, NULL);
}
