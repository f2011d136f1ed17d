#include "judge/given.h"

/* The statistics of a window: percentiles, counts, weighted means, and those that go by time. */

/* The results of a vector as samples of days 1, 2, 3 ...; "10 20 <5" */
static void vector(struct given *given, const char *values)
{
    size_t series = given_series(given, "outfall", given->limit.parameter, KIND_GRAB);
    char *rest = arena_strdup(given->mem, values);
    instant at = given_at("2026-03-01T12:00:00Z");

    for (char *word = strtok_r(rest, " ", &rest); word; word = strtok_r(NULL, " ", &rest)) {
        given_add(given, series, at, word, given->limit.unit);
        at += (instant)12 * HOUR_US;
    }
}

static void statistic(struct given *given, enum limit_statistic statistic, const char *ceiling)
{
    given_again(given);
    given->limit.statistic = statistic;
    given->limit.bound =
        (struct limit_bound){.has_ceiling = true, .ceiling = given_decimal(ceiling)};
}

/* A series of 20 and one of 10, whose percentiles are R's quantile() of the types named. */
static const char twenty[] = "12 7 15 9 22 31 8 11 14 18 26 10 13 9 17 40 12 16 21 19";
static const char first_ten[] = "12 7 15 9 22 31 8 11 14 18";

static void a_percentile_flips_with_its_definition(void **state)
{
    static const struct {
        const char *values;
        const char *rule;
        const char *figure;
        const char *standing; /* under 30 */
    } rows[] = {
        {first_ten, "Hazen", "26.5", "within"},
        {first_ten, "Weibull", "30.1", "outside: above 30"},
        {first_ten, "inclusive", "22.9", "within"},
        {twenty, "type 1", "26", "within"},
        {twenty, "type 2", "28.5", "within"},
        {twenty, "type 3", "26", "within"},
        {twenty, "type 4", "26", "within"},
        {twenty, "type 6", "30.5", "outside: above 30"},
        {twenty, "type 7", "26.5", "within"},
        {twenty, "type 8", "29.1666666667", "within"},
        {twenty, "Blom", "29", "within"},
    };
    struct given *given = *state;

    given->limit.settings.percent = (struct decimal){90, 0};
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        statistic(given, STATISTIC_PERCENTILE, "30");
        given->limit.settings.percentile_rule = rows[i].rule;
        vector(given, rows[i].values);
        assert_string_equal(given_assert(given, rows[i].standing, rows[i].rule).figure_text,
                            rows[i].figure);
    }
}

/* NIST/SEMATECH e-Handbook 7.2.6.2 (data from memory): the 90th percentile is printed 95.1981. */
static void the_printed_percentile(void **state)
{
    struct given *given = *state;

    statistic(given, STATISTIC_PERCENTILE, "95.1981");
    given->limit.settings.percent = (struct decimal){90, 0};
    given->limit.settings.percentile_rule = "Weibull";
    given->limit.rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_DECIMALS, 4};
    vector(given, "95.1772 95.1567 95.1937 95.1959 95.1442 95.0610 95.1591 95.1195 95.1065 "
                  "95.0925 95.1990 95.1682");
    assert_string_equal(given_assert(given, "within", "as printed").compared_text, "95.1981");
}

static void a_percentile_of_too_few_says_that_it_is_the_highest(void **state)
{
    static const struct {
        const char *percent;
        const char *note;
    } rows[] = {
        {"95", "the 95th percentile of 10 values is simply the highest"},
        {"97.5", "the 97.5th percentile of 10 values is simply the highest"},
        {"3", "the 3rd percentile of 10 values is simply the lowest"},
        {"80", NULL},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        statistic(given, STATISTIC_PERCENTILE, "50");
        given->limit.settings.percent = given_decimal(rows[i].percent);
        given->limit.settings.percentile_rule = "Weibull";
        vector(given, first_ten);

        struct verdict verdict = given_assert(given, "within", rows[i].percent);

        assert_int_equal(verdict.window_count, 1);
        if (rows[i].note)
            assert_string_equal(verdict.windows[0].note, rows[i].note);
        else
            assert_null(verdict.windows[0].note);
    }
}

/*
 * Directive 2006/7/EC, Annex II: 10^(mu + 1.282 sigma) and 10^(mu + 1.65 sigma) of the logarithms.
 * It does not say whether sigma divides by n or by n - 1: 94.4503 or 90.7265, 135.8701 or 129.0148.
 */
static void a_log_normal_percentile_of_sixteen(void **state)
{
    static const struct {
        const char *z;
        enum deviation deviation;
        const char *figure;
    } rows[] = {
        {"1.282", DEVIATION_SAMPLE, "94.4503"},
        {"1.282", DEVIATION_POPULATION, "90.7265"},
        {"1.65", DEVIATION_SAMPLE, "135.8701"},
        {"1.65", DEVIATION_POPULATION, "129.0148"},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        statistic(given, STATISTIC_LOG_NORMAL_PERCENTILE, "1000");
        given->limit.settings.z = given_decimal(rows[i].z);
        given->limit.settings.deviation = rows[i].deviation;
        given->limit.rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_DECIMALS, 4};
        vector(given, "10 20 15 40 110 5 30 25 60 80 12 18 22 35 200 8");
        assert_string_equal(given_assert(given, "within", rows[i].z).compared_text, rows[i].figure);
    }
}

static const struct {
    enum limit_statistic statistic;
    const char *values;
    const char *above;
    bool reached_counts;
    const char *ceiling;
    enum single_less_than single;
    const char *figure;
    const char *standing;
    const char *reason;
} counts[] = {
    {STATISTIC_COUNT_BEYOND, first_ten, "20", false, "2", SINGLE_AS_ALLOWED, "2", "within",
     "22 and 31"},
    {STATISTIC_COUNT_BEYOND, first_ten, "22", false, "0", SINGLE_AS_ALLOWED, "1",
     "outside: above 0", "22 does not exceed 22"},
    {STATISTIC_COUNT_BEYOND, first_ten, "22", true, "1", SINGLE_AS_ALLOWED, "2", "outside: above 1",
     "22 equals 22"},
    {STATISTIC_SHARE_BEYOND, first_ten, "20", false, "20", SINGLE_AS_ALLOWED, "20", "within",
     "2 of 10"},
    {STATISTIC_COUNT_BEYOND, "10 30 <20", "20", false, "1", SINGLE_AS_ALLOWED, "1", "within",
     "<20 is not above 20"},
    {STATISTIC_COUNT_BEYOND, "10 30 <40", "20", false, "1", SINGLE_AS_ALLOWED, "2",
     "not assessable", "<40 may be"},
    {STATISTIC_COUNT_BEYOND, "10 30 <40", "20", false, "2", SINGLE_AS_ALLOWED, "2", "within",
     "whether it is or not"},
    {STATISTIC_COUNT_BEYOND, "25 30 <40", "20", false, "1", SINGLE_AS_ALLOWED, "3",
     "outside: above 1", "two are in any case"},
    {STATISTIC_COUNT_BEYOND, "10 30 <40", "20", false, "1", SINGLE_WITHIN, "1", "within",
     "the licence says that a less-than complies"},
    {STATISTIC_COUNT_BEYOND, "10 30 >20", "20", false, "1", SINGLE_AS_ALLOWED, "2",
     "outside: above 1", ">20 is above 20"},
    {STATISTIC_SHARE_BEYOND, "10 30 <40 12", "20", false, "25", SINGLE_AS_ALLOWED, "50",
     "not assessable", "25 or 50 percent"},
};

static void less_thans_never_lower_a_count(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(counts); i++) {
        statistic(given, counts[i].statistic, counts[i].ceiling);
        given->limit.single_less_than = counts[i].single;
        given->limit.settings.beyond =
            (struct limit_beyond){.has_above = true,
                                  .above = given_decimal(counts[i].above),
                                  .above_reached_counts = counts[i].reached_counts};
        vector(given, counts[i].values);
        assert_string_equal(given_assert(given, counts[i].standing, counts[i].reason).figure_text,
                            counts[i].figure);
    }
}

/* Half of 50 is inside 30, and 50 reaches beyond it: that day may be one more. */
static void a_less_than_beyond_what_is_counted_clears_no_count_of_days(void **state)
{
    struct given *given = *state;

    statistic(given, STATISTIC_COUNT_BEYOND, "0");
    given->limit.daily = DAILY_MEAN;
    given->limit.less_than = LESS_THAN_HALF;
    given->limit.settings.beyond = (struct limit_beyond){.has_above = true, .above = {30, 0}};
    given_samples(given, "3:10 5:<50");
    given_assert(given, "not assessable", "the day of <50");
    given->limit.beyond_by_rule = true;
    given_assert(given, "within", "the clause says that the rule holds beyond the bound too");
    given->limit.beyond_by_rule = false;
    given_again(given);
    given_samples(given, "3:10 5:<30");
    given_assert(given, "within", "<30 is within 30");
}

static void an_open_count_says_how_many_are_open(void **state)
{
    struct given *given = *state;

    statistic(given, STATISTIC_COUNT_BEYOND, "1");
    given->limit.settings.beyond = (struct limit_beyond){.has_above = true, .above = {20, 0}};
    vector(given, "10 30 <40");
    assert_string_equal(given_verdict(given).reason,
                        "1 result may be on either side of what is counted: 1 to 2 are beyond it");
}

static void a_doubtful_result_beyond_is_counted_and_one_inside_hides_nothing(void **state)
{
    struct given *given = *state;

    statistic(given, STATISTIC_SHARE_BEYOND, "34");
    given->limit.settings.beyond = (struct limit_beyond){.has_above = true, .above = {20, 0}};
    given_samples(given, "3:10 5:30 8:12 10:30? 12:1? 13:1? 14:1? 15:1?");

    struct verdict verdict = given_assert(given, "outside: above 34", "2 of 4 with the one beyond");

    assert_true(verdict.rests_on_doubt);
    assert_string_equal(verdict.figure_text, "50");
}

/* 40 CFR 403.8(f)(2)(viii)(A) from memory: chronic is 66 percent or more of the results above 30.
 */
static void a_share_of_results_above_a_limit(void **state)
{
    struct given *given = *state;

    statistic(given, STATISTIC_SHARE_BEYOND, "66");
    given->limit.bound.ceiling_reached_is_outside = true;
    given->limit.settings.beyond = (struct limit_beyond){.has_above = true, .above = {30, 0}};
    vector(given, "31 45 29 33 36 40 28 44 50 31 32 30");
    assert_string_equal(
        given_assert(given, "outside: at or above 66", "9 of 12, for 30 is not above 30")
            .figure_text,
        "75");
}

/*
 * Wastewater daily flows and concentrations of "Study time: definitions and calculations for DMRs"
 * (wastewater101.net, 2019): the mean is 19.75 mg/L; flow-weighted, as Okla. Admin. Code
 * 252:606-11-1(3) has it, 19.8947.
 */
static void a_mean_weighted_by_the_flow_of_each_day(void **state)
{
    static const struct {
        enum limit_statistic statistic;
        const char *standing;
        const char *figure;
    } rows[] = {
        {STATISTIC_MEAN, "within", "19.75"},
        {STATISTIC_FLOW_WEIGHTED_MEAN, "outside: above 19.8", "19.8947"},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        statistic(given, rows[i].statistic, "19.8");
        given->limit.daily = DAILY_MEAN;
        given->limit.flow = (struct limit_flow){"outfall", "flow"};
        given->limit.rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_DECIMALS, i == 0 ? 2 : 4};
        given_samples(given, "3:22.00 10:29.00 17:18.00 24:10.00");
        given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE),
                       "3:0.19 10:0.20 17:0.18 24:0.19", "MGD");
        assert_string_equal(given_assert(given, rows[i].standing, rows[i].figure).compared_text,
                            rows[i].figure);
    }
}

static void without_a_flow_of_its_day_a_result_has_no_weight(void **state)
{
    struct given *given = *state;

    statistic(given, STATISTIC_FLOW_WEIGHTED_MEAN, "30");
    given->limit.daily = DAILY_MEAN;
    given->limit.flow = (struct limit_flow){"outfall", "flow"};
    given_samples(given, "3:22 10:29");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "3:10", "m3/day");
    assert_string_equal(given_assert(given, "not assessable", "the 10th").reason,
                        "no flow known on 10 March 2026");
}

/* 7, 8 and 9 have a mean of 8; by hydrogen ions 7.4318, and 6.0 with 9.0 6.3006. */
static void a_mean_of_ph_by_hydrogen_ions(void **state)
{
    static const struct {
        const char *values;
        const char *figure;
    } rows[] = {{"7 8 9", "7.4318"}, {"6.0 9.0", "6.3006"}};
    struct given *given = *state;

    given->limit.parameter = "ph";
    given->limit.unit = "pH";
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        statistic(given, STATISTIC_HYDROGEN_ION_MEAN, "9");
        given->limit.rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_DECIMALS, 4};
        vector(given, rows[i].values);
        assert_string_equal(given_assert(given, "within", rows[i].values).compared_text,
                            rows[i].figure);
    }
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_percentile_flips_with_its_definition),
        CASE(the_printed_percentile),
        CASE(a_percentile_of_too_few_says_that_it_is_the_highest),
        CASE(a_log_normal_percentile_of_sixteen),
        CASE(less_thans_never_lower_a_count),
        CASE(a_less_than_beyond_what_is_counted_clears_no_count_of_days),
        CASE(an_open_count_says_how_many_are_open),
        CASE(a_doubtful_result_beyond_is_counted_and_one_inside_hides_nothing),
        CASE(a_share_of_results_above_a_limit),
        CASE(a_mean_weighted_by_the_flow_of_each_day),
        CASE(without_a_flow_of_its_day_a_result_has_no_weight),
        CASE(a_mean_of_ph_by_hydrogen_ions),
    };

    return cmocka_run_group_tests_name("judge/window_figure", tests, NULL, NULL);
}
