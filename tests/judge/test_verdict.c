#include "judge/given.h"

/* What a verdict says in words. */

static void standings_have_names_both_ways(void **state)
{
    (void)state;
    for (int i = STANDING_WITHIN; i <= STANDING_NOTHING_DUE; i++) {
        enum standing back = STANDING_WITHIN;

        assert_true(standing_from_name(standing_name((enum standing)i), &back));
        assert_int_equal(back, i);
    }

    enum standing untouched = STANDING_OUTSIDE;

    assert_false(standing_from_name("fine", &untouched));
    assert_int_equal(untouched, STANDING_OUTSIDE);
}

static const struct {
    enum limit_period period;
    enum limit_statistic statistic;
    unsigned kinds;
    const char *samples;
    const char *words;
} sentences[] = {
    {PERIOD_EACH_SAMPLE, STATISTIC_VALUE, 0, "3:10",
     "within (10 mg/L, 1 sample, not above 30 mg/L)"},
    {PERIOD_EACH_SAMPLE, STATISTIC_VALUE, 0, "3:10 10:25 17:11",
     "within (25 mg/L, the nearest of 3 samples, not above 30 mg/L)"},
    {PERIOD_EACH_SAMPLE, STATISTIC_VALUE, 0, "3:31 10:25 17:34.20",
     "outside: above 30 (34.20 mg/L, 2 of 3 samples, not above 30 mg/L)"},
    {PERIOD_EACH_SAMPLE, STATISTIC_VALUE, 0, "3:<5",
     "within (<5 mg/L, 1 sample, not above 30 mg/L)"},
    {PERIOD_EACH_SAMPLE, STATISTIC_VALUE, 0, "3:10 10:<40",
     "not assessable: <40 can be on either side of the bound (<40 mg/L, the nearest of 2 samples, "
     "not above 30 mg/L)"},
    {PERIOD_MONTH, STATISTIC_MEAN, KIND_GRAB, "3:40 10:50",
     "outside: above 30 (45 mg/L, monthly mean of 2 samples, not above 30 mg/L)"},
    {PERIOD_DAY, STATISTIC_MAXIMUM, 0, "3/09:00:40 3/15:00:50",
     "outside: above 30 (50 mg/L, daily maximum of 2 samples, not above 30 mg/L)"},
    {PERIOD_MONTH, STATISTIC_MEAN, 0, "", "not assessable: no result in the period"},
    {PERIOD_MONTH, STATISTIC_MEAN, 0, "3:10? 10:12?",
     "not assessable: no result in the period but 2 in doubt: calibration overdue; it would be "
     "within only with what is in doubt (calibration overdue)"},
};

static void a_verdict_is_one_sentence_with_its_figure(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(sentences); i++) {
        given_again(given);
        given->limit.period = sentences[i].period;
        given->limit.statistic = sentences[i].statistic;
        given->limit.kinds = sentences[i].kinds;
        given_samples(given, sentences[i].samples);
        assert_string_equal(given_verdict(given).words, sentences[i].words);
    }
}

/* Of the lowest of 10 and <50, not below 5, it is the <50 that may be 2. */
static void the_value_that_leaves_a_lowest_open_is_named(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_MINIMUM;
    given->limit.bound = (struct limit_bound){.has_floor = true, .floor = {5, 0}};
    given_samples(given, "3:10 10:<50");
    assert_string_equal(given_assert(given, "not assessable", "<50 may be 2").reason,
                        "<50 can be on either side of the bound");
}

/* "1 samples" is no English. */
static void one_sample_is_told_as_one(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_COUNT_BEYOND;
    given->limit.settings.beyond = (struct limit_beyond){.has_above = true, .above = {20, 0}};
    given->limit.bound.ceiling = (struct decimal){1, 0};
    given_samples(given, "3:10 10:25 17:11");
    assert_non_null(strstr(given_verdict(given).words, "(1 sample, "));
    assert_non_null(strstr(given_verdict(given).words, "not above 1 sample)"));
}

static void the_figure_keeps_the_digits_of_its_rounding(void **state)
{
    struct given *given = *state;

    /* State agency handout "DMR Calculations": 5.896 is reported as 5.90. */
    given->limit.rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_DECIMALS, 2};
    given_samples(given, "3:5.30 10:6.21 17:4.00 24:5.25 31:8.72");

    struct verdict verdict = given_verdict(given);

    assert_string_equal(verdict.figure_text, "5.896");
    assert_string_equal(verdict.compared_text, "5.90");
    assert_string_equal(verdict.bound_text, "30");
}

static const struct {
    const char *samples;
    const char *unit;
    enum limit_statistic statistic;
    const char *compared;
    const char *reason;
} digits[] = {
    {"3:7.90 10:8.00", "mg/L", STATISTIC_VALUE, "8.00", "8.00 is no 8"},
    {"3:7.90 10:7.99", "mg/L", STATISTIC_VALUE, "7.99", "two decimals"},
    {"3:7.90 10:8.0", "mg/L", STATISTIC_MAXIMUM, "8.0", "a highest reading is one of them"},
    {"3:<5.0", "mg/L", STATISTIC_VALUE, "<5.0", "X of a less-than"},
    {"3:7.90 10:8.10", "mg/L", STATISTIC_MEAN, "8", "a mean has no reported digits"},
    {"3:0.0080", "g/L", STATISTIC_VALUE, "8", "nor has what was turned from another unit"},
};

static void a_single_value_that_is_not_rounded_keeps_its_reported_digits(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(digits); i++) {
        given_again(given);
        given->limit.statistic = digits[i].statistic;
        given_readings(given, given_series(given, "outfall", "suspended-solids", KIND_GRAB),
                       digits[i].samples, digits[i].unit);

        struct verdict verdict = given_assert(given, "within", digits[i].reason);

        assert_string_equal(verdict.compared_text, digits[i].compared);
    }
}

/* The mean of 2 and of 3 samples, and removals of 100, with no rounding by the clause. */
static const struct {
    const char *samples;
    enum against_kind kind;
    const char *shown;
    const char *reason;
} shown_digits[] = {
    {"3:10 10:11 17:11", AGAINST_NONE, "10.6667", "32/3 to 6 figures"},
    {"3:10.25 10:11.125", AGAINST_NONE, "10.6875", "as many as it has"},
    {"3:30.0000001 10:30 17:30", AGAINST_NONE, "30.00000003", "it must not read as 30"},
    {"3:29.9999999 10:30 17:30", AGAINST_NONE, "29.99999997", "nor within as 30"},
    {"3:97.38705846127", AGAINST_REMOVAL, "2.6", "a percent, with a digit more than its bound"},
    {"3:69.9999", AGAINST_REMOVAL, "30.0001", "a percent that must not read as its bound"},
};

static void a_figure_that_nothing_rounds_is_told_without_needless_digits(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(shown_digits); i++) {
        bool alone = shown_digits[i].kind == AGAINST_NONE;

        given_again(given);
        given->limit.statistic = alone ? STATISTIC_MEAN : STATISTIC_VALUE;
        given->limit.against = (struct limit_against){
            .kind = shown_digits[i].kind, .place = {"intake", NULL}, .pairing = PAIR_SAME_DAY};
        given_samples(given, shown_digits[i].samples);
        if (!alone)
            given_readings(given, given_series(given, "intake", "suspended-solids", KIND_GRAB),
                           "3:100", "mg/L");

        struct verdict verdict = given_verdict(given);

        if (strcmp(verdict.compared_shown, shown_digits[i].shown) != 0)
            fail_msg("%s: %s", shown_digits[i].reason, verdict.compared_shown);
        assert_non_null(strstr(verdict.words, shown_digits[i].shown));
    }
}

static void the_bound_shown_is_that_of_the_side(void **state)
{
    struct given *given = *state;

    given->limit.bound = (struct limit_bound){
        .has_ceiling = true, .ceiling = {90, 1}, .has_floor = true, .floor = {60, 1}};
    given_samples(given, "3:5");

    struct verdict verdict = given_verdict(given);

    assert_int_equal(verdict.side, SIDE_BELOW);
    assert_string_equal(verdict.bound_text, "6.0");
    given_again(given);
    given_samples(given, "3:8.9");
    assert_string_equal(given_verdict(given).bound_text, "9.0");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(standings_have_names_both_ways),
        CASE(a_verdict_is_one_sentence_with_its_figure),
        CASE(the_value_that_leaves_a_lowest_open_is_named),
        CASE(one_sample_is_told_as_one),
        CASE(the_figure_keeps_the_digits_of_its_rounding),
        CASE(a_single_value_that_is_not_rounded_keeps_its_reported_digits),
        CASE(a_figure_that_nothing_rounds_is_told_without_needless_digits),
        CASE(the_bound_shown_is_that_of_the_side),
    };

    return cmocka_run_group_tests_name("judge/verdict", tests, NULL, NULL);
}
