#include "harness/values.h"

#include "base/macro.h"
#include "stat/kaplan_meier.h"

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

static struct kaplan_meier fit_of(struct arena *mem, const char *text, enum kaplan_meier_rest rest)
{
    struct values values = values_read(mem, text);
    struct kaplan_meier fit = {.count = 0};
    struct err err = ERR_INIT;

    assert_done(kaplan_meier_fit(mem, values.censored, values.count, rest, &fit, &err), &err);

    return fit;
}

/*
 * Printed: 325.34 and 1651.09, 325.2011 and 1651.1221, 315.00 for lead (documentation of R
 * packages on Beal 2010), 5.777778 for iron (companion package of Helsel 2005). The others by
 * survfit(Surv(max + 1 - x, !less) ~ 1) of R 4.2.2's survival.
 */
static const struct {
    const char *values;
    enum kaplan_meier_rest rest;
    double mean;
    double deviation;
    double error; /* 0: not checked */
} rows[] = {
    {MANGANESE, KAPLAN_MEIER_REST_AT_NUMBER, 20.14, 25.12991842, 5.163707368},
    {MANGANESE, KAPLAN_MEIER_REST_AT_LIMIT, 19.867, 25.31773708, 5.163707368},
    {LEAD, KAPLAN_MEIER_REST_AT_NUMBER, 325.3395712, 1651.094991, 315.002254},
    {LEAD, KAPLAN_MEIER_REST_AT_LIMIT, 325.2010798, 1651.122148, 315.002254},
    {ARSENIC, KAPLAN_MEIER_REST_AT_NUMBER, 0.9489583333, 0.7130159690, 0.1646887528},
    {ARSENIC, KAPLAN_MEIER_REST_AT_LIMIT, 0.9489583333, 0.7130159690, 0.1646887528},
    {PYRENE, KAPLAN_MEIER_REST_AT_NUMBER, 164.2035940, 389.3760728, 52.64389999},
    {PYRENE, KAPLAN_MEIER_REST_AT_LIMIT, 164.0945042, 389.413795, 52.64389999},
    {IRON, KAPLAN_MEIER_REST_AT_NUMBER, 5.777777778, 0, 0},
    {APPENDIX_B, KAPLAN_MEIER_REST_AT_LIMIT, 10.574074, 0, 0},
};

static void means_and_deviations_agree_with_what_is_published(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct kaplan_meier fit = fit_of(mem, rows[i].values, rows[i].rest);

        assert_near(exact_double(kaplan_meier_mean(mem, &fit)), rows[i].mean, 1e-7, rows[i].values);
        if (rows[i].deviation > 0)
            assert_near(exact_double(kaplan_meier_deviation(mem, &fit)), rows[i].deviation, 1e-7,
                        rows[i].values);
        if (rows[i].error > 0)
            assert_near(exact_double(kaplan_meier_mean_error(mem, &fit)), rows[i].error, 1e-7,
                        rows[i].values);
    }
}

static void a_mean_is_exact(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct kaplan_meier iron = fit_of(mem, IRON, KAPLAN_MEIER_REST_AT_NUMBER);
    struct kaplan_meier manganese = fit_of(mem, MANGANESE, KAPLAN_MEIER_REST_AT_NUMBER);

    (void)state;
    assert_exact(mem, kaplan_meier_mean(mem, &iron), "52/9");
    assert_exact(mem, kaplan_meier_mean(mem, &manganese), "20.14");
}

/* Step tables by survfit() for the same data. */
static void shares_agree_with_r(void **state)
{
    static const struct {
        const char *value;
        double below;
        double reached;
    } steps[] = {
        {"0.5", 0, .34375},          {"0.6", .34375, .4583333},   {"0.7", .4583333, .6875},
        {"0.9", .6875, .7857143},    {"1.5", .7857143, .8511905}, {"1.7", .8511905, .9166667},
        {"2.8", .9166667, .9583333}, {"3.2", .9583333, 1},
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct kaplan_meier fit = fit_of(mem, ARSENIC, KAPLAN_MEIER_REST_AT_NUMBER);
    struct kaplan_meier iron = fit_of(mem, IRON, KAPLAN_MEIER_REST_AT_NUMBER);

    (void)state;
    assert_int_equal(fit.count, ARRAY_LEN(steps));
    for (size_t i = 0; i < ARRAY_LEN(steps); i++) {
        assert_exact(mem, fit.steps[i].value, steps[i].value);
        assert_float_equal(exact_double(fit.steps[i].below), steps[i].below, 1e-7);
        assert_float_equal(exact_double(fit.steps[i].reached), steps[i].reached, 1e-7);
    }
    assert_int_equal(fit.numbers, 11);
    assert_int_equal(fit.less_thans, 13);
    assert_exact(mem, iron.steps[0].below, "4/9");
    assert_exact(mem, iron.steps[1].below, "6/9");
    assert_exact(mem, iron.steps[2].below, "8/9");
}

static const struct {
    const char *values;
    const char *p;
    const char *expected;
} percentiles[] = {
    {MANGANESE, "0.5", "10"},    {MANGANESE, "0.9", "53.6"}, {MANGANESE, "0.95", "77.2"},
    {LEAD, "0.5", "4.5"},        {LEAD, "0.9", "49"},        {LEAD, "0.95", "200"},
    {ARSENIC, "0.5", "0.7"},     {ARSENIC, "0.9", "1.7"},    {ARSENIC, "0.95", "2.8"},
    {PYRENE, "0.5", "98"},       {IRON, "0.5", "3"},         {IRON, "1", "20"},
    {ARSENIC, "0.34375", "0.5"}, {ARSENIC, "0.3438", "0.6"}, {ARSENIC, "0", "0.5"},
};

static void percentiles_agree_with_what_is_published(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(percentiles); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct kaplan_meier fit = fit_of(mem, percentiles[i].values, KAPLAN_MEIER_REST_AT_NUMBER);
        const struct exact *figure = NULL;
        struct err err = ERR_INIT;

        assert_done(kaplan_meier_percentile(mem, &fit, exact_from_text(mem, percentiles[i].p),
                                            &figure, NULL, &err),
                    &err);
        assert_exact(mem, figure, percentiles[i].expected);
    }
}

static void a_percentile_below_the_smallest_number_is_a_less_than(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct kaplan_meier fit = fit_of(mem, IRON, KAPLAN_MEIER_REST_AT_NUMBER);
    const struct exact *figure = NULL;
    const struct exact *below = NULL;
    struct err err = ERR_INIT;

    (void)state;
    assert_fails(
        kaplan_meier_percentile(mem, &fit, exact_from_text(mem, "4/9"), &figure, &below, &err),
        ERR_INVALID, &err);
    assert_string_equal(err.text,
                        "it lies below the smallest number found: it is < 3, and no closer");
    assert_null(figure);
    assert_exact(mem, below, "3");
}

/* Unified Guidance 2009, 15-1, logarithms: 2.3092 and 1.1816 (from memory; R agrees). */
static void logarithms_agree_with_what_is_published(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct kaplan_meier fit = fit_of(mem, MANGANESE, KAPLAN_MEIER_REST_AT_LIMIT);
    const struct exact *figure = NULL;
    double mean = 0;
    double deviation = 0;
    struct err err = ERR_INIT;

    (void)state;
    assert_done(kaplan_meier_logs(&fit, &mean, &deviation, &err), &err);
    assert_near(mean, 2.309288956, 1e-9, "mean of the logarithms");
    assert_near(deviation, 1.181610152, 1e-9, "their deviation");
    assert_done(kaplan_meier_geometric_mean(mem, &fit, &figure, &err), &err);
    assert_near(exact_double(figure), exp(2.309288956), 1e-9, "geometric mean");
}

/* Without any less-than it is the ordinary mean. */
static void numbers_alone_give_their_own_mean(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct kaplan_meier fit = fit_of(mem, "5 5 7 1/3", KAPLAN_MEIER_REST_AT_LIMIT);

    (void)state;
    assert_exact(mem, kaplan_meier_mean(mem, &fit), "13/3");
}

static const struct {
    const char *values;
    const char *says;
} refused[] = {
    {"", "the Kaplan-Meier method has no result to work with"},
    {"<1 <2 <3", "the Kaplan-Meier method has no answer where all results are less-thans"},
    {"<1 2 3", "the Kaplan-Meier method needs 3 results that are numbers, and there are only 2"},
    {"<1 3", "the Kaplan-Meier method needs 3 results that are numbers, and there is only 1"},
    {"<1 <1 <1 <1 <1 <1 <1 <1 <1 <1 <1 <1 <1 2 3 4",
     "the Kaplan-Meier method has no answer where more than 80 % of the results are less-thans: "
     "13 of 16 are"},
};

static void too_few_numbers_are_refused_with_the_reason(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(refused); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct values values = values_read(mem, refused[i].values);
        struct kaplan_meier fit = {.count = 0};
        struct err err = ERR_INIT;

        assert_fails(kaplan_meier_fit(mem, values.censored, values.count,
                                      KAPLAN_MEIER_REST_AT_NUMBER, &fit, &err),
                     ERR_INVALID, &err);
        assert_string_equal(err.text, refused[i].says);
        assert_null(fit.steps);
    }
}

static void four_in_five_less_thans_are_enough(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct kaplan_meier fit =
        fit_of(mem, "<1 <1 <1 <1 <1 <1 <1 <1 <1 <1 <1 <1 2 3 4", KAPLAN_MEIER_REST_AT_LIMIT);

    (void)state;
    assert_exact(mem, kaplan_meier_mean(mem, &fit), "21/15");
}

static void a_geometric_mean_refuses_zero(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct kaplan_meier fit = fit_of(mem, "0 2 3 <4", KAPLAN_MEIER_REST_AT_NUMBER);
    const struct exact *figure = NULL;
    struct err err = ERR_INIT;

    (void)state;
    assert_fails(kaplan_meier_geometric_mean(mem, &fit, &figure, &err), ERR_INVALID, &err);
    assert_null(figure);
}

/* Colorado discharge permits: of <2, <10, <4 alone, "<10" is reported. */
static void the_highest_limit_is_found(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct values values = values_read(mem, "<2 <10 <4 20");

    (void)state;
    assert_exact(
        mem, amount_exact(mem, *censored_highest_limit(mem, values.censored, values.count)), "10");
    assert_null(censored_highest_limit(mem, values.censored + 3, 1));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(means_and_deviations_agree_with_what_is_published),
        cmocka_unit_test(a_mean_is_exact),
        cmocka_unit_test(shares_agree_with_r),
        cmocka_unit_test(percentiles_agree_with_what_is_published),
        cmocka_unit_test(a_percentile_below_the_smallest_number_is_a_less_than),
        cmocka_unit_test(logarithms_agree_with_what_is_published),
        cmocka_unit_test(numbers_alone_give_their_own_mean),
        cmocka_unit_test(too_few_numbers_are_refused_with_the_reason),
        cmocka_unit_test(four_in_five_less_thans_are_enough),
        cmocka_unit_test(a_geometric_mean_refuses_zero),
        cmocka_unit_test(the_highest_limit_is_found),
    };

    return cmocka_run_group_tests_name("stat/kaplan_meier", tests, NULL, NULL);
}
