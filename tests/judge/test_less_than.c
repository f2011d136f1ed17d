#include <math.h>
#include <stdlib.h>

#include "judge/given.h"

/* Rules for less-thans that turn verdicts, each on the vector of a publication. */

/* Samples of one day each; "D/Q" tells the limits of every result, in its unit; NULL: none. */
static void vector(struct given *given, const char *values, const char *limits)
{
    size_t series = given_series(given, "outfall", given->limit.parameter, KIND_GRAB);
    char *rest = arena_strdup(given->mem, values);
    char *told = limits ? arena_strdup(given->mem, limits) : NULL;
    char *second = told ? strchr(told, '/') : NULL;
    instant at = given_at("2026-03-01T12:00:00Z");

    if (second)
        *second++ = '\0';
    for (char *word = strtok_r(rest, " ", &rest); word; word = strtok_r(NULL, " ", &rest)) {
        struct evidence_reading *reading = given_add(given, series, at, word, given->limit.unit);

        if (told)
            reading->detection = given_decimal(told);
        if (second && *second)
            reading->quantitation = given_decimal(second);
        at += 12 * HOUR_US;
    }
}

static void figure_of(struct given *given, enum limit_statistic statistic, const char *ceiling,
                      enum less_than_rule rule)
{
    given_again(given);
    given->limit.statistic = statistic;
    given->limit.less_than = rule;
    given->limit.bound =
        (struct limit_bound){.has_ceiling = true, .ceiling = given_decimal(ceiling)};
}

static void assert_figure(struct given *given, const char *standing, const char *figure,
                          const char *reason)
{
    struct verdict verdict = given_assert(given, standing, reason);

    if (!verdict.figure_text || strcmp(verdict.figure_text, figure) != 0)
        fail_msg("%s: expected %s, got %s", reason, figure,
                 verdict.figure_text ? verdict.figure_text : "nothing");
}

/*
 * Detection limit 1, quantitation limit 5, results not detected, 4 (between the two), 12 and 7,
 * under an example limit of 5.
 */
static const struct {
    const char *name;
    enum less_than_rule below;
    enum between_rule between;
    const char *values;
    const char *figure;
    const char *standing;
} one_vector[] = {
    {"Ohio EPA, and US EPA's draft of 1994: zero below the quantitation limit", LESS_THAN_ZERO,
     BETWEEN_ZERO, "<1 4 12 7", "4.75", "within"},
    {"Oregon DEQ 2.4.3.3: zero, and the detection limit between", LESS_THAN_ZERO,
     BETWEEN_AT_DETECTION, "<1 4 12 7", "5", "within"},
    {"Florida DEP: the lower of half and half the bound, and the detection limit between",
     LESS_THAN_LOWER_OF_HALF, BETWEEN_AT_DETECTION, "<1 4 12 7", "5.125", "outside: above 5"},
    {"all at the limit, estimates as measured", LESS_THAN_AT_LIMIT, BETWEEN_AS_REPORTED,
     "<1 4 12 7", "6", "outside: above 5"},
    {"half, estimates as measured", LESS_THAN_HALF, BETWEEN_AS_REPORTED, "<1 4 12 7", "5.875",
     "outside: above 5"},
    {"half the quantitation limit between", LESS_THAN_ZERO, BETWEEN_HALF_QUANTITATION, "<1 4 12 7",
     "5.375", "outside: above 5"},
    {"at the quantitation limit between", LESS_THAN_ZERO, BETWEEN_AT_QUANTITATION, "<1 4 12 7", "6",
     "outside: above 5"},
    {"half the detection limit between", LESS_THAN_ZERO, BETWEEN_HALF_DETECTION, "<1 4 12 7",
     "4.875", "within"},
    {"<5 with a detection limit of 1 is between too", LESS_THAN_ZERO, BETWEEN_AT_DETECTION,
     "<1 <5 12 7", "5", "within"},
};

static void one_vector_under_every_rule(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(one_vector); i++) {
        figure_of(given, STATISTIC_MEAN, "5", one_vector[i].below);
        given->limit.between = one_vector[i].between;
        vector(given, one_vector[i].values, "1/5");
        assert_figure(given, one_vector[i].standing, one_vector[i].figure, one_vector[i].name);
    }
}

/* Half the bound is lower than half of <4 where the bound is 3: 1.5 and not 2 (Florida DEP, from
 * memory); the less-than reaches beyond the bound, and the clause says that the rule counts. */
static void the_lower_of_half_and_half_the_bound(void **state)
{
    struct given *given = *state;

    figure_of(given, STATISTIC_MEAN, "3", LESS_THAN_LOWER_OF_HALF);
    vector(given, "<4 2", NULL);
    assert_figure(given, "not assessable", "1.75", "nothing is said of reaching beyond");
    given->limit.beyond_by_rule = true;
    assert_figure(given, "within", "1.75", "1.5 and 2");
}

/* National Shellfish Sanitation Program guide, from memory: <9.0 is 8.9, <17 is 16. */
static void one_step_of_the_last_digit_below(void **state)
{
    struct given *given = *state;

    figure_of(given, STATISTIC_MEAN, "30", LESS_THAN_STEP_BELOW);
    vector(given, "<9.0 <17", NULL);
    assert_figure(given, "within", "12.45", "8.9 and 16");
}

/*
 * Bacteria: <10 20 40 80 with 10 is 28.2843, with 5 23.7841, with 1 15.9054 (Iowa DNR reads the
 * number without the sign); Colorado's <2.2 counts as 1: with 4 16 64 it is 8.0.
 */
static void a_geometric_mean_has_a_rule_of_its_own(void **state)
{
    static const struct {
        const char *values;
        enum less_than_rule own;
        int64_t stated;
        const char *figure;
        const char *standing; /* under 23.8 */
    } rows[] = {
        {"<10 20 40 80", LESS_THAN_AT_LIMIT, 0, "28.2843", "outside: above 23.8"},
        {"<10 20 40 80", LESS_THAN_HALF, 0, "23.7841", "within"},
        {"<10 20 40 80", LESS_THAN_STATED, 1, "15.9054", "within"},
        {"<2.2 4 16 64", LESS_THAN_STATED, 1, "8.0000", "within"},
        {"<2.2 4 16 64", LESS_THAN_AT_LIMIT, 0, "9.7431", "within"},
    };
    struct given *given = *state;

    given->limit.rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_DECIMALS, 4};
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        figure_of(given, STATISTIC_GEOMETRIC_MEAN, "23.8", LESS_THAN_ZERO);
        given->limit.has_geometric_rule = true;
        given->limit.less_than_geometric = rows[i].own;
        given->limit.less_than_stated = (struct decimal){rows[i].stated, 0};
        vector(given, rows[i].values, NULL);
        assert_string_equal(given_assert(given, rows[i].standing, rows[i].values).compared_text,
                            rows[i].figure);
    }
}

/* Oregon DEQ 2.4.3.3: half the detection limit and the detection limit between: 2.54573. */
static void a_geometric_mean_with_a_rule_between(void **state)
{
    struct given *given = *state;

    figure_of(given, STATISTIC_GEOMETRIC_MEAN, "5", LESS_THAN_HALF);
    given->limit.between = BETWEEN_AT_DETECTION;
    given->limit.rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_DECIMALS, 5};
    vector(given, "<1 4 12 7", "1/5");
    assert_string_equal(given_assert(given, "within", "0.5 1 12 7").compared_text, "2.54573");
}

/* Colorado discharge permits: where all results are less-thans, `<` and the largest is reported. */
static void nothing_but_less_thans_is_less_than_the_largest(void **state)
{
    static const struct {
        bool largest_if_all;
        const char *values;
        const char *ceiling;
        const char *standing;
        const char *compared;
    } rows[] = {
        {true, "<2 <10 <4", "10", "within", "<10"},
        {true, "<2 <10 <4", "9", "not assessable", "<10"},
        {false, "<2 <10 <4", "10", "within", "2.6667"},
        {true, "<2 10 <4", "10", "within", "4.3333"},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        figure_of(given, STATISTIC_MEAN, rows[i].ceiling, LESS_THAN_HALF);
        given->limit.largest_if_all = rows[i].largest_if_all;
        given->limit.rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_DECIMALS, 4};
        vector(given, rows[i].values, NULL);
        assert_string_equal(given_assert(given, rows[i].standing, rows[i].values).compared_text,
                            rows[i].compared);
    }
}

static void a_day_of_nothing_but_less_thans_is_one_too(void **state)
{
    struct given *given = *state;

    figure_of(given, STATISTIC_VALUE, "10", LESS_THAN_HALF);
    given->limit.daily = DAILY_MEAN;
    given->limit.largest_if_all = true;
    given_samples(given, "3/09:00:<2 3/15:00:<10");
    assert_string_equal(given_assert(given, "within", "of a day").compared_text, "<10");
}

/*
 * California order R2-2012-0012, page 19: not detected < between the limits < numbers; of an even
 * count the mean of the two in the middle, unless one of them is no number: then the lower.
 */
static const struct {
    const char *values;
    const char *ceiling;
    const char *compared;
    const char *standing;
    const char *reason;
} ranked[] = {
    {"<1 4 12 7", "5", "<5", "within", "4 and 7 in the middle: the lower, which is between"},
    {"<1 6 7 12", "6.5", "6.5", "within", "6 and 7"},
    {"<1 6 7 12", "6", "6.5", "outside: above 6", "6 and 7"},
    {"<1 <1 7 12", "5", "<1", "within", "the lower is not detected"},
    {"<1 <5 12", "5", "<5", "within", "<5 with a detection limit of 1 is between"},
    {">6 >6 <1", "5", "8", "outside: above 5", "a greater-than counts as the clause says: 8"},
};

static void a_ranked_median(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(ranked); i++) {
        figure_of(given, STATISTIC_MEDIAN, ranked[i].ceiling, LESS_THAN_RANKED);
        given->limit.greater_than = GREATER_THAN_STATED;
        given->limit.greater_than_stated = (struct decimal){8, 0};
        vector(given, ranked[i].values, "1/5");
        assert_string_equal(given_assert(given, ranked[i].standing, ranked[i].reason).compared_text,
                            ranked[i].compared);
    }
}

/* It may have been below 50: a rank needs a limit that somebody told. */
static void a_not_detected_with_no_limit_told_has_no_rank(void **state)
{
    struct given *given = *state;

    figure_of(given, STATISTIC_MEDIAN, "6", LESS_THAN_RANKED);
    vector(given, "ND 3 9", NULL);
    assert_non_null(strstr(given_assert(given, "not assessable", "any number").reason,
                           "not detected with no limit told"));
    figure_of(given, STATISTIC_MEDIAN, "6", LESS_THAN_RANKED);
    vector(given, "ND 7 9", NULL);
    given_assert(given, "outside: above 6", "7 even if it was 0");
}

/*
 * The clause says that a greater-than counts as 2420, and the laboratory diluted once and found
 * more than 24200: the geometric mean of 50, 60 and 24200 is 417. Whatever a rule makes of a `>X`
 * it is never less than X, nor is a `<X` ever more: what was seen stands.
 */
static void a_rule_never_counts_against_what_the_laboratory_said(void **state)
{
    static const struct {
        enum limit_statistic statistic;
        const char *values;
        const char *ceiling; /* or NULL: over the floor */
        const char *floor;
        enum less_than_rule rule;
        int64_t stated; /* of both */
        const char *figure;
        const char *standing;
    } rows[] = {
        {STATISTIC_GEOMETRIC_MEAN, "50 60 >24200", "300", NULL, LESS_THAN_UNSET, 2420, "417.1692",
         "outside: above 300"},
        {STATISTIC_MEAN, ">2420 10", "60", NULL, LESS_THAN_UNSET, 100, "1215", "outside: above 60"},
        {STATISTIC_MEDIAN, "1 2 >24200 >24200", "3000", NULL, LESS_THAN_UNSET, 2420, "12101",
         "outside: above 3000"},
        {STATISTIC_MEDIAN, "<1 >24200 >24200", "3000", NULL, LESS_THAN_RANKED, 2420, "24200",
         "outside: above 3000"},
        {STATISTIC_PERCENTILE, "1 2 3 >24200", "3000", NULL, LESS_THAN_UNSET, 2420, "24200",
         "outside: above 3000"},
        {STATISTIC_MEAN, "2 >2420", "1300", NULL, LESS_THAN_UNSET, 5000, "2501",
         "outside: above 1300"},
        {STATISTIC_MEAN, "<5 <5", NULL, "8", LESS_THAN_STATED, 10, "5", "outside: below 8"},
        {STATISTIC_MEAN, "<5 <5", "8", NULL, LESS_THAN_STATED, 10, "5", "within"},
        {STATISTIC_MEAN, "<5 20", "8", NULL, LESS_THAN_STATED, 2, "11", "outside: above 8"},
        {STATISTIC_MEAN, "<-5 <-5", NULL, "-3", LESS_THAN_HALF, 0, "-5", "outside: below -3"},
        {STATISTIC_MEAN, "<-5 <-5", NULL, "-3", LESS_THAN_ZERO, 0, "-5", "outside: below -3"},
    };
    struct given *given = *state;

    given->limit.settings.percent = (struct decimal){95, 0};
    given->limit.settings.percentile_rule = "nearest rank";
    given->limit.beyond_by_rule = true;
    given->limit.greater_than = GREATER_THAN_STATED;
    given->limit.rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_DECIMALS, 4};
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        figure_of(given, rows[i].statistic, rows[i].ceiling ? rows[i].ceiling : "0", rows[i].rule);
        if (rows[i].floor)
            given->limit.bound =
                (struct limit_bound){.has_floor = true, .floor = given_decimal(rows[i].floor)};
        given->limit.less_than_stated = given->limit.greater_than_stated =
            (struct decimal){rows[i].stated, 0};
        vector(given, rows[i].values, NULL);

        struct verdict verdict = given_assert(given, rows[i].standing, rows[i].values);

        if (fabs(exact_double(verdict.compared) - strtod(rows[i].figure, NULL)) > 1e-4)
            fail_msg("%s: expected %s, got %s", rows[i].values, rows[i].figure,
                     verdict.compared_text);
    }
}

/* `<5` with a detection limit of 2 counts as the quantitation limit, 10: it was below 5. */
static void no_less_than_between_its_limits_counts_as_more_than_it_is(void **state)
{
    struct given *given = *state;

    figure_of(given, STATISTIC_MEAN, "0", LESS_THAN_HALF);
    given->limit.bound = (struct limit_bound){.has_floor = true, .floor = {8, 0}};
    given->limit.beyond_by_rule = true;
    given->limit.between = BETWEEN_AT_QUANTITATION;
    vector(given, "<5 <5", "2/10");
    assert_figure(given, "outside: below 8", "5", "it was below 5");
}

/*
 * Dissolved iron of Hughes and Millard 1988 in Helsel 2005: Kaplan-Meier mean 5.777778 and median
 * 3, regression on order statistics 4.667484 and 2.763843. Manganese of USEPA 2009, example 15-1:
 * 20.14, with the rest at the smallest limit 19.867, and by regression 19.827673.
 */
static const char iron[] = "20 <10 <10 <10 <10 7 3 <3 <3";
static const char manganese[] =
    "<5 12.1 16.9 21.6 <2 <5 7.7 53.6 9.5 45.9 <5 5.3 12.6 106.3 34.5 6.3 11.9 10 <2 77.2 17.9 "
    "22.7 3.3 8.4 <2";

static const struct {
    const char *values;
    enum limit_statistic statistic;
    enum less_than_rule rule;
    const char *figure;
    const char *ceiling;
    const char *standing;
} published[] = {
    {iron, STATISTIC_MEAN, LESS_THAN_KAPLAN_MEIER, "5.7778", "10", "within"},
    {iron, STATISTIC_MEDIAN, LESS_THAN_KAPLAN_MEIER, "3.0000", "10", "within"},
    {iron, STATISTIC_MEAN, LESS_THAN_REGRESSION, "4.6675", "10", "within"},
    {iron, STATISTIC_MEDIAN, LESS_THAN_REGRESSION, "2.7638", "10", "within"},
    {iron, STATISTIC_MEAN, LESS_THAN_ZERO, "3.3333", "10", "within"},
    {iron, STATISTIC_MEAN, LESS_THAN_HALF, "5.8889", "10", "within"},
    {iron, STATISTIC_MEAN, LESS_THAN_AT_LIMIT, "8.4444", "10", "within"},
    {manganese, STATISTIC_MEAN, LESS_THAN_KAPLAN_MEIER, "20.1400", "20", "outside: above 20"},
    {manganese, STATISTIC_MEAN, LESS_THAN_KAPLAN_MEIER_RESTRICTED, "19.8670", "20", "within"},
    {manganese, STATISTIC_MEAN, LESS_THAN_REGRESSION, "19.8277", "20", "within"},
    {manganese, STATISTIC_MEAN, LESS_THAN_AT_LIMIT, "20.1880", "20", "outside: above 20"},
    {manganese, STATISTIC_MEDIAN, LESS_THAN_KAPLAN_MEIER, "10.0000", "10", "within"},
    {manganese, STATISTIC_PERCENTILE, LESS_THAN_KAPLAN_MEIER, "53.6000", "50", "outside: above 50"},
};

static void the_published_figures_of_results_with_less_thans(void **state)
{
    struct given *given = *state;

    given->limit.settings.percent = (struct decimal){90, 0};
    given->limit.settings.percentile_rule = "nearest rank";
    given->limit.rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_DECIMALS, 4};
    for (size_t i = 0; i < ARRAY_LEN(published); i++) {
        figure_of(given, published[i].statistic, published[i].ceiling, published[i].rule);
        vector(given, published[i].values, NULL);
        assert_string_equal(
            given_assert(given, published[i].standing, published[i].figure).compared_text,
            published[i].figure);
    }
}

static void no_number_is_shown_for_a_less_than_of_all_results_together(void **state)
{
    struct given *given = *state;

    figure_of(given, STATISTIC_MEAN, "30", LESS_THAN_KAPLAN_MEIER);
    vector(given, iron, NULL);

    struct verdict verdict = given_assert(given, "within", "5.78");

    assert_non_null(verdict.items[0].used);
    assert_null(verdict.items[1].used);
    assert_true(verdict.items[1].counted);
    assert_int_equal(verdict.less_thans, 6);
}

/* Helsel 2012: three numbers at least, and not more than 80 in 100 less-thans. */
static void too_few_numbers_are_refused_and_may_still_be_outside(void **state)
{
    static const enum less_than_rule rules[] = {LESS_THAN_KAPLAN_MEIER, LESS_THAN_REGRESSION};
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rules); i++) {
        figure_of(given, STATISTIC_MEAN, "30", rules[i]);
        vector(given, "10 12 <5 <5", NULL);
        assert_non_null(given_assert(given, "not assessable", "two numbers are not enough").reason);
        figure_of(given, STATISTIC_MEAN, "30", rules[i]);
        vector(given, "100 120 <5 <5", NULL);
        given_assert(given, "outside: above 30", "55 even if the others are 0");
    }
}

static void a_percentile_below_every_number_is_a_less_than(void **state)
{
    struct given *given = *state;

    figure_of(given, STATISTIC_PERCENTILE, "10", LESS_THAN_KAPLAN_MEIER);
    given->limit.settings.percent = (struct decimal){25, 0};
    given->limit.settings.percentile_rule = "nearest rank";
    vector(given, iron, NULL);
    assert_string_equal(given_assert(given, "within", "4 of 9 lie below 3").compared_text, "<3");
}

/* Ohio EPA: a result below the quantitation limit complies with a maximum. Colorado: below a
 * quantitation limit above the limit it is no violation. */
static void a_single_less_than_may_comply_or_count_by_the_rule(void **state)
{
    static const struct {
        const char *value;
        enum single_less_than single;
        enum less_than_rule rule;
        const char *standing; /* under 30 */
        const char *compared;
    } rows[] = {
        {"<50", SINGLE_AS_ALLOWED, LESS_THAN_HALF, "not assessable", "<50"},
        {"<50", SINGLE_WITHIN, LESS_THAN_UNSET, "within", "<50"},
        {"<50", SINGLE_BY_RULE, LESS_THAN_HALF, "within", "25"},
        {"<80", SINGLE_BY_RULE, LESS_THAN_HALF, "outside: above 30", "40"},
        {"<50", SINGLE_BY_RULE, LESS_THAN_AT_LIMIT, "outside: above 30", "50"},
        {"<50", SINGLE_BY_RULE, LESS_THAN_UNSET, "not assessable", "<50"},
        {"<20", SINGLE_WITHIN, LESS_THAN_UNSET, "within", "<20"},
        {">50", SINGLE_WITHIN, LESS_THAN_UNSET, "outside: above 30", ">50"},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        for (int statistic = 0; statistic <= 1; statistic++) {
            figure_of(given, statistic == 0 ? STATISTIC_VALUE : STATISTIC_MAXIMUM, "30",
                      rows[i].rule);
            given->limit.single_less_than = rows[i].single;
            vector(given, rows[i].value, NULL);

            struct verdict verdict = given_assert(given, rows[i].standing, rows[i].value);

            if (strcmp(verdict.compared_text, rows[i].compared) != 0)
                fail_msg("row %zu: %s, not %s", i, verdict.compared_text, rows[i].compared);
        }
}

static void a_less_than_complies_with_no_floor(void **state)
{
    struct given *given = *state;

    figure_of(given, STATISTIC_VALUE, "30", LESS_THAN_UNSET);
    given->limit.single_less_than = SINGLE_WITHIN;
    given->limit.bound.has_floor = true;
    given->limit.bound.floor = (struct decimal){5, 0};
    vector(given, "<50", NULL);
    given_assert(given, "not assessable", "it may be 4");
}

static void a_less_than_beyond_the_bound_counts_where_the_clause_says_so(void **state)
{
    struct given *given = *state;

    figure_of(given, STATISTIC_MEAN, "30", LESS_THAN_HALF);
    vector(given, "10 <50", NULL);
    assert_string_equal(given_assert(given, "not assessable", "it may be 45").reason,
                        "a less-than reaches beyond the bound");
    given->limit.beyond_by_rule = true;
    assert_figure(given, "within", "17.5", "by the rule it is 25");

    figure_of(given, STATISTIC_MEAN, "30", LESS_THAN_HALF);
    given->limit.bound = (struct limit_bound){.has_floor = true, .floor = {5, 0}};
    vector(given, "10 <4", NULL);
    assert_figure(given, "within", "6", "over a floor too");
    given->limit.beyond_by_rule = false;
    given_assert(given, "not assessable", "10 and 0 would be within, and nobody says so");
}

/* Limits told in another unit are turned into the clause's. */
static void limits_are_in_the_unit_of_the_reading(void **state)
{
    struct given *given = *state;
    size_t series;

    figure_of(given, STATISTIC_MEAN, "30", LESS_THAN_ZERO);
    given->limit.between = BETWEEN_HALF_DETECTION;
    series = given_series(given, "outfall", "suspended-solids", KIND_GRAB);

    struct evidence_reading *reading =
        given_add(given, series, given_at("2026-03-03T12:00:00Z"), "0.004", "g/L");

    reading->detection = (struct decimal){1, 3};
    reading->quantitation = (struct decimal){5, 3};
    assert_figure(given, "within", "0.5", "half of 0.001 g/L");
}

/* A day of 2 and <10 has a mean between 1 and 6, so that the month's is between 3 and 5.5. */
static void a_day_that_may_be_a_range_of_numbers_stays_one(void **state)
{
    struct given *given = *state;

    figure_of(given, STATISTIC_MEAN, "30", LESS_THAN_UNSET);
    given->limit.daily = DAILY_MEAN;
    given->limit.bound = (struct limit_bound){.has_floor = true, .floor = {4, 0}};
    given_samples(given, "3/09:00:2 3/15:00:<10 10:5");
    given_assert(given, "not assessable", "the month's mean may be 5.5");
    given->limit.bound.floor = (struct decimal){6, 0};
    given_assert(given, "outside: below 6", "5.5 at the most");
}

/* Less-thans are filled in first, and then its own formula is worked out. */
static void a_log_normal_percentile_goes_with_regression(void **state)
{
    struct given *given = *state;

    figure_of(given, STATISTIC_LOG_NORMAL_PERCENTILE, "30", LESS_THAN_REGRESSION);
    given->limit.settings.z = (struct decimal){1282, 3};
    given->limit.settings.deviation = DEVIATION_SAMPLE;
    given_samples(given, "3:<5 10:8 17:12 24:9 25:<5 26:20");

    struct verdict verdict = given_assert(given, "within", "of filled values");

    assert_non_null(verdict.figure);
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(one_vector_under_every_rule),
        CASE(the_lower_of_half_and_half_the_bound),
        CASE(one_step_of_the_last_digit_below),
        CASE(a_geometric_mean_has_a_rule_of_its_own),
        CASE(a_geometric_mean_with_a_rule_between),
        CASE(nothing_but_less_thans_is_less_than_the_largest),
        CASE(a_day_of_nothing_but_less_thans_is_one_too),
        CASE(a_ranked_median),
        CASE(a_not_detected_with_no_limit_told_has_no_rank),
        CASE(a_rule_never_counts_against_what_the_laboratory_said),
        CASE(no_less_than_between_its_limits_counts_as_more_than_it_is),
        CASE(the_published_figures_of_results_with_less_thans),
        CASE(no_number_is_shown_for_a_less_than_of_all_results_together),
        CASE(too_few_numbers_are_refused_and_may_still_be_outside),
        CASE(a_percentile_below_every_number_is_a_less_than),
        CASE(a_single_less_than_may_comply_or_count_by_the_rule),
        CASE(a_less_than_complies_with_no_floor),
        CASE(a_less_than_beyond_the_bound_counts_where_the_clause_says_so),
        CASE(limits_are_in_the_unit_of_the_reading),
        CASE(a_day_that_may_be_a_range_of_numbers_stays_one),
        CASE(a_log_normal_percentile_goes_with_regression),
    };

    return cmocka_run_group_tests_name("judge/less_than", tests, NULL, NULL);
}
