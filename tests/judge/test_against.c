#include "judge/given.h"

/* A discharge held against its intake: net, percent removal, and the credit for intake pollutants.
 */

static size_t intake_of(struct given *given, const char *text, const char *unit)
{
    size_t series = given_series(given, "intake", given->limit.parameter, KIND_GRAB);

    given_readings(given, series, text, unit);

    return series;
}

static void each_sample(struct given *given, enum against_kind kind, int64_t ceiling)
{
    given_again(given);
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_EACH_SAMPLE;
    given->limit.against =
        (struct limit_against){.kind = kind, .place = {"intake", NULL}, .pairing = PAIR_SAME_DAY};
    given->limit.bound = (struct limit_bound){.has_ceiling = true, .ceiling = {ceiling, 0}};
}

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
                assert_string_equal(verdict.reason, "no paired intake sample");
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
            assert_string_equal(verdict.reason, "no paired intake sample");
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

static void removal_of(struct given *given, const char *influent, const char *effluent,
                       enum pairing pairing)
{
    given_again(given);
    given->limit.statistic = STATISTIC_MEAN;
    given->limit.period = PERIOD_MONTH;
    given->limit.daily = DAILY_MEAN;
    given->limit.against = (struct limit_against){
        .kind = AGAINST_REMOVAL, .place = {"intake", NULL}, .pairing = pairing};
    given->limit.bound = (struct limit_bound){.has_floor = true, .floor = {85, 0}};
    given_samples(given, effluent);
    intake_of(given, influent, "mg/L");
}

/*
 * 40 CFR 133.101(j), from memory: percent removal is of the 30-day averages, not the mean of daily
 * removals. 100 and 300 to 50 and 30: 80 percent, where the mean of 50 and 90 is 70.
 */
static void a_removal_of_averages_is_not_the_mean_of_removals(void **state)
{
    struct given *given = *state;

    removal_of(given, "3:200", "3:24", PAIR_PERIOD);
    assert_string_equal(given_assert(given, "within", "88 percent").figure_text, "88");

    removal_of(given, "3:100 10:300", "3:50 10:30", PAIR_PERIOD);
    given->limit.bound.floor = (struct decimal){75, 0};
    assert_string_equal(given_assert(given, "within", "of averages").figure_text, "80");

    removal_of(given, "3:100 10:300", "3:50 10:30", PAIR_SAME_DAY);
    given->limit.bound.floor = (struct decimal){75, 0};
    assert_string_equal(given_assert(given, "outside: below 75", "of days").figure_text, "70");
}

static void nothing_can_be_removed_of_nothing(void **state)
{
    struct given *given = *state;

    removal_of(given, "3:0", "3:0", PAIR_PERIOD);
    assert_string_equal(given_assert(given, "not assessable", "0 of 0 is not 100").reason,
                        "the intake is 0: there is no removal of it");
    removal_of(given, "3:20", "3:24", PAIR_PERIOD);
    assert_string_equal(given_assert(given, "outside: below 85", "it was added").figure_text,
                        "-20");
}

/* The intake's reading stands beside the discharge's in the verdict. */
static void the_intake_is_among_what_the_verdict_lists(void **state)
{
    struct given *given = *state;

    each_sample(given, AGAINST_DIFFERENCE, 15);
    given_samples(given, "3:18");
    intake_of(given, "3:5", "mg/L");

    struct verdict verdict = given_verdict(given);

    assert_int_equal(verdict.item_count, 2);
    assert_int_equal(verdict.items[0].place + verdict.items[1].place, 1);

    const struct verdict_item *discharge = &verdict.items[verdict.items[0].place];

    assert_int_equal(discharge->place, 0);
    assert_int_equal(discharge->other_count, 1);
    assert_string_equal(exact_text(given->mem, discharge->others[0].value, 3), "5");
}

/*
 * Net mass takes both flows. Volumes 720 700 650 900 1200 800 m3, discharge 5 6 4 9 14 7 mg/L,
 * intake 2 3 2 4 6 3 mg/L of as much water: 2.16 2.1 1.3 4.5 9.6 3.2 kg, together 22.86 kg.
 */
static void a_net_load_is_of_both_waters(void **state)
{
    static const char flows[] = "1:720 2:700 3:650 4:900 5:1200 6:800";
    struct given *given = *state;
    size_t series;

    given->to = given->from + 5;
    given->limit.daily = DAILY_LOAD;
    given->limit.unit = "kg";
    given->limit.statistic = STATISTIC_SUM;
    given->limit.flow = (struct limit_flow){"outfall", "flow"};
    given->limit.bound.ceiling = (struct decimal){2286, 2};
    given->limit.against = (struct limit_against){.kind = AGAINST_DIFFERENCE,
                                                  .place = {"intake", NULL},
                                                  .flow = {"intake", "flow"},
                                                  .pairing = PAIR_SAME_DAY};
    given_samples(given, "1:5 2:6 3:4 4:9 5:14 6:7");
    intake_of(given, "1:2 2:3 3:2 4:4 5:6 6:3", "mg/L");
    series = given_series(given, "outfall", "flow", KIND_PROBE);
    given_readings(given, series, flows, "m3/day");
    series = given_series(given, "intake", "flow", KIND_PROBE);
    given_readings(given, series, flows, "m3/day");
    assert_string_equal(given_assert(given, "within", "22.86 kg").figure_text, "22.86");
    given->limit.bound.ceiling = (struct decimal){2285, 2};
    given_assert(given, "outside: above 22.85", "a hundredth less");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_credit_goes_as_far_as_it_is_needed),
        CASE(a_less_than_of_the_intake_is_a_range_and_says_so),
        CASE(the_intake_is_turned_into_the_unit_of_the_clause),
        CASE(a_temperature_rise),
        CASE(a_rise_read_in_fahrenheit),
        CASE(the_pairing_finds_the_sample),
        CASE(water_that_came_in_before_the_period_is_found),
        CASE(a_removal_of_averages_is_not_the_mean_of_removals),
        CASE(nothing_can_be_removed_of_nothing),
        CASE(the_intake_is_among_what_the_verdict_lists),
        CASE(a_net_load_is_of_both_waters),
    };

    return cmocka_run_group_tests_name("judge/against", tests, NULL, NULL);
}
