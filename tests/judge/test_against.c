#include "base/str.h"
#include "judge/intake_given.h"

/* A discharge held against its intake: net, percent removal, and the credit for intake pollutants.
 */

/*
 * Limit 15. The credit: 40 CFR 122.45(g)(3), from memory: only as far as needed, at most the
 * intake. The same results under a plain net limit.
 */
static const struct {
    const char *intake;
    const char *discharge;
    const char *adjusted; /* NULL: not looked at */
    const char *by_credit;
    const char *net;
    const char *by_net;
} credits[] = {
    {"3:12", "3:14", "14", "within", "2", "within"},
    {"3:12", "3:25", "15", "within", "13", "within"},
    {"3:12", "3:27", "15", "within", "15", "within"},
    {"3:12", "3:28", "16", "outside: above 15", "16", "outside: above 15"},
    {"3:20", "3:18", "15", "within", "-2", "within"},
    {NULL, "3:18", "18", "not assessable", NULL, "not assessable"},
    {NULL, "3:14", "14", "within", NULL, "not assessable"},
    {"3:<5", "3:18", "18", "not assessable", "18", "not assessable"},
    {"3:<2", "3:18", "18", "outside: above 15", "18", "outside: above 15"},
    {"3:<5", "3:15", "15", "within", "15", "within"},
};

static void a_credit_goes_as_far_as_it_is_needed(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(credits); i++)
        for (int kind = AGAINST_DIFFERENCE; kind <= AGAINST_CREDIT; kind += 2) {
            bool credit = kind == AGAINST_CREDIT;
            const char *figure = credit ? credits[i].adjusted : credits[i].net;

            each_sample(given, (enum against_kind)kind, 15);
            given_samples(given, credits[i].discharge);
            if (credits[i].intake)
                intake_of(given, credits[i].intake, "mg/L");

            struct verdict verdict =
                given_assert(given, credit ? credits[i].by_credit : credits[i].by_net,
                             arena_printf(given->mem, "row %zu, kind %d", i, kind));

            if (figure)
                assert_string_equal(verdict.figure_text, figure);
            else
                assert_null(verdict.figure);
            if (!credits[i].intake && verdict.standing == STANDING_NOT_ASSESSABLE)
                assert_true(str_starts(verdict.reason, "no paired intake sample on "));
        }
}

static void a_less_than_of_the_intake_is_a_range_and_says_so(void **state)
{
    struct given *given = *state;

    each_sample(given, AGAINST_DIFFERENCE, 15);
    given_samples(given, "3:18");
    intake_of(given, "3:<5", "mg/L");
    assert_string_equal(given_verdict(given).reason,
                        "a less-than of the intake leaves the difference between 13 and 18");
}

static void mean_against(struct given *given, enum against_kind kind, enum pairing pairing)
{
    given_again(given);
    given->limit.statistic = STATISTIC_MEAN;
    given->limit.period = PERIOD_MONTH;
    given->limit.daily = DAILY_EVERY;
    given->limit.less_than = LESS_THAN_HALF;
    given->limit.against =
        (struct limit_against){.kind = kind, .place = {"intake", NULL}, .pairing = pairing};
    given->limit.bound = (struct limit_bound){.has_ceiling = true, .ceiling = {100, 0}};
    given->limit.rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_DECIMALS, 2};
}

/*
 * The credit of 40 CFR 122.45(g), from memory, and a net figure depend on the clause's rule for
 * less-thans where the intake is one. Pairs 20 less <5, <8 less 2, 36 less 6.
 */
static const struct {
    enum less_than_rule rule;
    enum against_kind kind;
    enum pairing pairing;
    const char *figure;
    const char *reason;
} by_rules[] = {
    {LESS_THAN_ZERO, AGAINST_DIFFERENCE, PAIR_SAME_DAY, "16.00", "20, -2, 30"},
    {LESS_THAN_HALF, AGAINST_DIFFERENCE, PAIR_SAME_DAY, "16.50", "17.5, 2, 30"},
    {LESS_THAN_AT_LIMIT, AGAINST_DIFFERENCE, PAIR_SAME_DAY, "17.00", "15, 6, 30"},
    {LESS_THAN_STATED, AGAINST_DIFFERENCE, PAIR_SAME_DAY, "16.00", "19, -1, 30: 1 for each"},
    {LESS_THAN_STEP_BELOW, AGAINST_DIFFERENCE, PAIR_SAME_DAY, "17.00", "16, 5, 30: 4 and 7"},
    {LESS_THAN_ZERO, AGAINST_DIFFERENCE, PAIR_PERIOD, "16.00", "56/3 less 8/3"},
    {LESS_THAN_HALF, AGAINST_DIFFERENCE, PAIR_PERIOD, "16.50", "20 less 3.5"},
    {LESS_THAN_AT_LIMIT, AGAINST_DIFFERENCE, PAIR_PERIOD, "17.00", "64/3 less 13/3"},
    {LESS_THAN_HALF, AGAINST_REMOVAL, PAIR_SAME_DAY, "-433.33", "-700, -100, -500"},
    {LESS_THAN_AT_LIMIT, AGAINST_REMOVAL, PAIR_SAME_DAY, "-366.67", "-300, -300, -500"},
    {LESS_THAN_HALF, AGAINST_REMOVAL, PAIR_PERIOD, "-471.43", "100 (3.5 - 20) / 3.5"},
    {LESS_THAN_HALF, AGAINST_CREDIT, PAIR_SAME_DAY, "17.17", "of 15: 17.5, 4, 30"},
    {LESS_THAN_ZERO, AGAINST_CREDIT, PAIR_SAME_DAY, "16.67", "of 15: 20, 0, 30"},
};

static void a_less_than_of_the_intake_counts_by_the_rule_in_a_figure(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(by_rules); i++) {
        mean_against(given, by_rules[i].kind, by_rules[i].pairing);
        given->limit.less_than = by_rules[i].rule;
        given->limit.less_than_stated = (struct decimal){1, 0};
        if (by_rules[i].kind == AGAINST_CREDIT)
            given->limit.bound.ceiling = (struct decimal){15, 0};
        given_samples(given, "3:20 4:<8 5:36");
        intake_of(given, "3:<5 4:2 5:6", "mg/L");

        struct verdict verdict = given_verdict(given);

        if (!verdict.compared_text || strcmp(verdict.compared_text, by_rules[i].figure) != 0)
            fail_msg("row %zu (%s): %s, not %s", i, by_rules[i].reason, verdict.words,
                     by_rules[i].figure);
        assert_true(verdict.standing ==
                    (by_rules[i].kind == AGAINST_CREDIT ? STANDING_OUTSIDE : STANDING_WITHIN));
    }
}

/* More in the intake is less of a net figure: its less-than reaches beyond no bound of it. */
static const struct {
    const char *discharge;
    const char *intake;
    enum less_than_rule rule;
    bool is_floor;
    const char *standing;
    const char *reason;
} reaches[] = {
    {"3:20", "3:<40", LESS_THAN_HALF, false, "within", "a less-than of the intake above 10"},
    {"3:<40", "3:20", LESS_THAN_HALF, false, "not assessable", "one of the discharge above 10"},
    {"3:20", "3:<5", LESS_THAN_HALF, true, "within", "17.5 is not below 10"},
    {"3:<40", "3:2", LESS_THAN_HALF, true, "not assessable", "it may be 0 less 2"},
    {"3:12", "3:<5", LESS_THAN_UNSET, false, "not assessable", "no rule: from 7 to 12"},
    {"3:20", "3:<5", LESS_THAN_UNSET, false, "outside: above 10", "no rule: from 15 to 20"},
    {"3:9", "3:<5", LESS_THAN_UNSET, false, "within", "no rule: from 4 to 9"},
};

static void a_less_than_of_the_intake_reaches_beyond_no_bound(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(reaches); i++) {
        mean_against(given, AGAINST_DIFFERENCE, PAIR_SAME_DAY);
        given->limit.less_than = reaches[i].rule;
        given->limit.bound = reaches[i].is_floor
                                 ? (struct limit_bound){.has_floor = true, .floor = {10, 0}}
                                 : (struct limit_bound){.has_ceiling = true, .ceiling = {10, 0}};
        given_samples(given, reaches[i].discharge);
        intake_of(given, reaches[i].intake, "mg/L");
        given_assert(given, reaches[i].standing, reaches[i].reason);
    }
}

/* The rule between the limits, and a not-detected without a limit: as of the discharge. */
static void every_rule_of_less_thans_is_of_the_intake_too(void **state)
{
    struct given *given = *state;

    mean_against(given, AGAINST_DIFFERENCE, PAIR_SAME_DAY);
    given->limit.less_than = LESS_THAN_ZERO;
    given_samples(given, "3:20");
    intake_of(given, "3:ND", "mg/L");
    assert_string_equal(given_assert(given, "within", "0 for it").compared_text, "20.00");

    mean_against(given, AGAINST_DIFFERENCE, PAIR_SAME_DAY);
    given_samples(given, "3:20");
    intake_of(given, "3:ND", "mg/L");
    given_assert(given, "not assessable", "half of nothing told");

    mean_against(given, AGAINST_DIFFERENCE, PAIR_SAME_DAY);
    given->limit.between = BETWEEN_AT_QUANTITATION;
    given_samples(given, "3:20");

    size_t series = intake_of(given, "3:3", "mg/L");

    given->readings[series][0].detection = given_decimal("2");
    given->readings[series][0].quantitation = given_decimal("5");
    assert_string_equal(given_assert(given, "within", "20 less 5").compared_text, "15.00");
}

/* Each pair with what it was made of; the number that an item went in with is the rule's. */
static void the_verdict_lists_its_pairs(void **state)
{
    struct given *given = *state;

    mean_against(given, AGAINST_DIFFERENCE, PAIR_SAME_DAY);
    given_samples(given, "3:20 4:7");
    intake_of(given, "3:<5", "mg/L");

    struct verdict verdict = given_verdict(given);
    const struct verdict_pair *pairs = verdict.pairs;

    assert_int_equal(verdict.pair_count, 2);
    assert_true(pairs[0].has_intake);
    assert_string_equal(exact_text(given->mem, pairs[0].intake.most, 3), "2.5");
    assert_string_equal(exact_text(given->mem, pairs[0].result.most, 3), "17.5");
    assert_false(pairs[1].has_intake);
    assert_string_equal(pairs[1].why_not, "no paired intake sample");
    for (size_t i = 0; i < verdict.item_count; i++)
        if (verdict.items[i].place == 1)
            assert_string_equal(exact_text(given->mem, verdict.items[i].used, 3), "2.5");
}

static void the_intake_is_turned_into_the_unit_of_the_clause(void **state)
{
    struct given *given = *state;

    each_sample(given, AGAINST_DIFFERENCE, 15);
    given_samples(given, "3:18");
    intake_of(given, "3:0.004", "g/L");
    assert_string_equal(given_verdict(given).figure_text, "14");
}

/* 17.9 and 15.0 are 2.9 apart, 18.0 and 15.0 are 3.0: an example limit of 3 not to be exceeded. */
static void a_temperature_rise(void **state)
{
    static const struct {
        const char *discharge;
        bool reached;
        const char *standing;
    } rows[] = {
        {"3:17.9", false, "within"},
        {"3:18.0", false, "within"},
        {"3:18.0", true, "outside: at or above 3"},
        {"3:18.1", false, "outside: above 3"},
    };
    struct given *given = *state;

    given->limit.parameter = "temperature";
    given->limit.unit = "degC";
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        each_sample(given, AGAINST_DIFFERENCE, 3);
        given->limit.bound.ceiling_reached_is_outside = rows[i].reached;

        size_t outfall = given_series(given, "outfall", "temperature", KIND_GRAB);

        given_readings(given, outfall, rows[i].discharge, "degC");
        intake_of(given, "3:15.0", "degC");
        given_assert(given, rows[i].standing, rows[i].discharge);
    }
}

/* 10.5 degF are 5.833 degC: a difference has no 32 in it. */
static void a_rise_read_in_fahrenheit(void **state)
{
    struct given *given = *state;

    given->limit.parameter = "temperature";
    given->limit.unit = "degC";
    each_sample(given, AGAINST_DIFFERENCE, 6);

    size_t outfall = given_series(given, "outfall", "temperature", KIND_GRAB);

    given_readings(given, outfall, "3:70.5", "degF");
    intake_of(given, "3:60.0", "degF");
    given->limit.rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_DECIMALS, 3};
    assert_string_equal(given_assert(given, "within", "5.833").compared_text, "5.833");
}

/* In pairs of clock times of 3 March; the pairing decides which intake sample it is. */
static const struct {
    enum pairing pairing;
    int within_s;
    int residence_s;
    const char *intake;
    const char *figure; /* of a discharge of 18 at 12:00; NULL: no pair */
    const char *reason;
} pairings[] = {
    {PAIR_SAME_DAY, 0, 0, "3/01:00:4", "14", "any time of the day"},
    {PAIR_SAME_DAY, 0, 0, "2/23:00:4", NULL, "an hour earlier, and the day before"},
    {PAIR_SAME_DAY, 0, 0, "3/01:00:4 3/20:00:6", "13", "the mean of two"},
    {PAIR_WITHIN, 7200, 0, "3/10:00:4", "14", "two hours apart counts"},
    {PAIR_WITHIN, 7199, 0, "3/10:00:4", NULL, "a second more than allowed"},
    {PAIR_WITHIN, 7200, 0, "3/10:30:4 3/13:00:6", "12", "the nearer one"},
    {PAIR_WITHIN, 7200, 0, "3/11:00:4 3/13:00:6", "14", "of two as near the earlier"},
    {PAIR_RESIDENCE, 3600, 14400, "3/08:10:4 3/12:00:6", "14", "four hours before"},
    {PAIR_RESIDENCE, 3600, 14400, "3/09:30:4", NULL, "90 minutes from four hours before"},
    {PAIR_RESIDENCE, 3600, 259200, "28:1", NULL, "of the last day of March"},
};

static void the_pairing_finds_the_sample(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(pairings); i++) {
        each_sample(given, AGAINST_DIFFERENCE, 30);
        given->limit.against.pairing = pairings[i].pairing;
        given->limit.against.within_s = pairings[i].within_s;
        given->limit.against.residence_s = pairings[i].residence_s;
        given_samples(given, "3:18");
        intake_of(given, pairings[i].intake, "mg/L");

        struct verdict verdict = given_verdict(given);

        if (pairings[i].figure && !verdict.figure_text)
            fail_msg("%s: %s", pairings[i].reason, verdict.words);
        if (pairings[i].figure)
            assert_string_equal(verdict.figure_text, pairings[i].figure);
        else
            assert_string_equal(verdict.reason, "no paired intake sample on 3 March 2026");
    }
}

static void water_that_came_in_before_the_period_is_found(void **state)
{
    struct given *given = *state;

    each_sample(given, AGAINST_DIFFERENCE, 30);
    given->limit.against.pairing = PAIR_RESIDENCE;
    given->limit.against.within_s = 3600;
    given->limit.against.residence_s = 86400;
    given_samples(given, "1:18");

    size_t intake = given_series(given, "intake", "suspended-solids", KIND_GRAB);

    given_add(given, intake, given_at("2026-02-28T12:20:00Z"), "5", "mg/L");
    assert_string_equal(given_assert(given, "within", "18 - 5").figure_text, "13");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_credit_goes_as_far_as_it_is_needed),
        CASE(a_less_than_of_the_intake_is_a_range_and_says_so),
        CASE(a_less_than_of_the_intake_counts_by_the_rule_in_a_figure),
        CASE(a_less_than_of_the_intake_reaches_beyond_no_bound),
        CASE(every_rule_of_less_thans_is_of_the_intake_too),
        CASE(the_verdict_lists_its_pairs),
        CASE(the_intake_is_turned_into_the_unit_of_the_clause),
        CASE(a_temperature_rise),
        CASE(a_rise_read_in_fahrenheit),
        CASE(the_pairing_finds_the_sample),
        CASE(water_that_came_in_before_the_period_is_found),
    };

    return cmocka_run_group_tests_name("judge/against", tests, NULL, NULL);
}
