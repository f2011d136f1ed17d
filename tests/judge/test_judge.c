#include "judge/given.h"

/* Periods, dates, confirmation and what is asked of the amount of data. */

static void a_month_of_samples_within_its_mean(void **state)
{
    struct given *given = *state;

    given_samples(given, "3:22.00 10:29.00 17:18.00 24:10.00");

    struct verdict verdict = given_assert(given, "within", "19.75 under 30");

    assert_string_equal(verdict.figure_text, "19.75");
    assert_int_equal(verdict.samples, 4);
    assert_string_equal(verdict.words, "within (19.75 mg/L, monthly mean of 4 samples, "
                                       "not above 30 mg/L)");
}

static const struct {
    const char *ceiling;
    bool reached_is_outside;
    const char *value;
    struct rounding rounding;
    const char *standing;
    const char *source;
} at_the_bound[] = {
    {"30", false, "30", {0}, "within", "shall not exceed 30: equal is within"},
    {"30", false, "30.0000001", {0}, "outside: above 30", "anything more is not"},
    {"30", true, "30", {0}, "outside: at or above 30", "equals or exceeds: equal is outside"},
    {"30", true, "29.9999999", {0}, "within", "anything less is within"},
    {"42",
     true,
     "42",
     {0},
     "outside: at or above 42",
     "40 CFR 403.8 (from memory): measurements that equal or exceed 1.4 times 30"},
    {"0.010",
     false,
     "0.0105",
     {ROUND_HALF_UP, ROUND_TO_DECIMALS, 3},
     "outside: above 0.010",
     "US EPA FAQ on the arsenic MCL: 0.0105 is 0.011"},
    {"0.010",
     false,
     "0.0104",
     {ROUND_HALF_UP, ROUND_TO_DECIMALS, 3},
     "within",
     "US EPA FAQ on the arsenic MCL: 0.0104 is 0.010"},
    {"0.010", false, "0.0104", {0}, "outside: above 0.010", "without rounding it is more"},
    {"10", false, "10.49", {ROUND_HALF_UP, ROUND_TO_DECIMALS, 0}, "within", "10.49 is 10"},
    {"10",
     false,
     "10.5",
     {ROUND_HALF_UP, ROUND_TO_DECIMALS, 0},
     "outside: above 10",
     "half up: 10.5 is 11"},
    {"10",
     false,
     "10.5",
     {ROUND_HALF_EVEN, ROUND_TO_DECIMALS, 0},
     "within",
     "half even (Standard Methods 1050 B, from memory): 10.5 is 10"},
};

static void a_figure_at_its_bound_is_judged_as_the_licence_words_it(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(at_the_bound); i++)
        for (int each = 0; each <= 1; each++) {
            given_again(given);
            given->limit.bound = (struct limit_bound){
                .has_ceiling = true,
                .ceiling = given_decimal(at_the_bound[i].ceiling),
                .ceiling_reached_is_outside = at_the_bound[i].reached_is_outside};
            given->limit.rounding = at_the_bound[i].rounding;
            given->limit.statistic = each ? STATISTIC_VALUE : STATISTIC_MEAN;
            given->limit.period = each ? PERIOD_EACH_SAMPLE : PERIOD_MONTH;
            given_samples(given, arena_printf(given->mem, "3:%s", at_the_bound[i].value));
            given_assert(given, at_the_bound[i].standing, at_the_bound[i].source);
        }
}

static void the_unit_of_a_reading_never_decides(void **state)
{
    static const struct {
        const char *value;
        const char *unit;
    } stated[] = {{"30", "mg/L"}, {"30000", "ug/L"}, {"30", "g/m3"}, {"0.03", "g/L"}};
    static const enum limit_statistic statistics[] = {STATISTIC_VALUE,          STATISTIC_MEAN,
                                                      STATISTIC_GEOMETRIC_MEAN, STATISTIC_MEDIAN,
                                                      STATISTIC_MINIMUM,        STATISTIC_MAXIMUM};
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(stated); i++)
        for (size_t k = 0; k < ARRAY_LEN(statistics); k++)
            for (int reached = 0; reached <= 1; reached++) {
                given_again(given);
                given->limit.statistic = statistics[k];
                given->limit.bound.ceiling_reached_is_outside = reached != 0;

                size_t series = given_series(given, "outfall", "suspended-solids", KIND_GRAB);

                for (int day = 3; day < 24; day += 7)
                    given_readings(given, series,
                                   arena_printf(given->mem, "%d:%s", day, stated[i].value),
                                   stated[i].unit);
                given_assert(given, reached ? "outside: at or above 30" : "within", stated[i].unit);
            }
}

/* A daily maximum may mean the highest daily mean or the highest grab: 40 CFR 122.2 has the
 * first, a California regional board's standard provisions (p. 13) the second. */
static void two_grabs_of_a_day_against_the_day_or_each(void **state)
{
    struct given *given = *state;

    given_samples(given, "3/09:00:10 3/15:00:40");
    given->limit.period = PERIOD_DAY;
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.daily = DAILY_MEAN;
    given_assert(given, "within", "the day's mean is 25");

    given->limit.period = PERIOD_EACH_SAMPLE;
    given->limit.daily = DAILY_EVERY;
    given_assert(given, "outside: above 30", "a grab of 40");

    given->limit.period = PERIOD_DAY;
    given->limit.daily = DAILY_MAXIMUM;
    given_assert(given, "outside: above 30", "the day's highest grab");

    given->limit.daily = DAILY_MINIMUM;
    given_assert(given, "within", "the day's lowest grab");

    given->limit.period = PERIOD_MONTH;
    given->limit.daily = DAILY_MEAN;
    given->limit.statistic = STATISTIC_MAXIMUM;
    given_assert(given, "within", "the highest daily mean");
}

static const struct {
    const char *value;
    bool floor_reached;
    const char *standing;
} acidities[] = {
    {"9.0", false, "within"}, /* 40 CFR 401.17, range 6.0 to 9.0: exactly 9.0 is in range */
    {"9.1", false, "outside: above 9.0"},
    {"6.0", false, "within"},
    {"6.0", true, "outside: at or below 6.0"},
    {"5.99", false, "outside: below 6.0"},
    {"7.5", false, "within"},
};

static void ph_keeps_a_range(void **state)
{
    struct given *given = *state;

    given->limit.parameter = "ph";
    given->limit.unit = "pH";
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_EACH_SAMPLE;
    for (size_t i = 0; i < ARRAY_LEN(acidities); i++) {
        given_again(given);
        given->limit.bound =
            (struct limit_bound){.has_ceiling = true,
                                 .ceiling = {90, 1},
                                 .has_floor = true,
                                 .floor = {60, 1},
                                 .floor_reached_is_outside = acidities[i].floor_reached};

        size_t series = given_series(given, "outfall", "ph", KIND_PROBE);

        given_readings(given, series, arena_printf(given->mem, "3:%s", acidities[i].value), "pH");
        given_assert(given, acidities[i].standing, acidities[i].value);
    }
}

static void no_data_is_never_a_pass(void **state)
{
    struct given *given = *state;

    for (int period = PERIOD_EACH_SAMPLE; period <= PERIOD_MONTH; period++) {
        given->limit.period = (enum limit_period)period;
        given->limit.statistic = period == PERIOD_MONTH ? STATISTIC_MEAN : STATISTIC_VALUE;

        struct verdict verdict = given_assert(given, "not assessable", "nothing was measured");

        assert_string_equal(verdict.reason, "no result in the period");
        assert_null(verdict.figure);
    }
}

static const struct {
    enum limit_daily daily;
    enum limit_statistic statistic;
    const char *samples;
    const char *standing;
    const char *reason;
} too_few[] = {
    {DAILY_EVERY, STATISTIC_MEAN, "3:10 10:10 17:10", "not assessable", "three of four"},
    {DAILY_EVERY, STATISTIC_MEAN, "3:10 10:10 17:10 24:10", "within", "four of four"},
    {DAILY_EVERY, STATISTIC_MEAN, "3:80 10:80 17:80", "not assessable",
     "a fourth could bring the mean down"},
    {DAILY_EVERY, STATISTIC_MAXIMUM, "3:80", "outside: above 30",
     "whatever is missing, the highest stays beyond"},
    {DAILY_EVERY, STATISTIC_VALUE, "3:80", "outside: above 30", "a single value stays beyond"},
    {DAILY_EVERY, STATISTIC_MAXIMUM, "3:20", "not assessable", "the highest may be missing"},
    {DAILY_EVERY, STATISTIC_MINIMUM, "3:80", "not assessable", "a lower one may be missing"},
    {DAILY_EVERY, STATISTIC_MEDIAN, "3:80 10:90", "not assessable", "a median can move"},
    {DAILY_EVERY, STATISTIC_GEOMETRIC_MEAN, "3:80 10:90", "not assessable", "so can this mean"},
    {DAILY_MEAN, STATISTIC_MEAN, "3/09:00:10 3/15:00:10 10:10 17:10", "not assessable",
     "two grabs of a day are one daily figure"},
    {DAILY_MEAN, STATISTIC_VALUE, "3:80", "outside: above 30", "a daily mean beyond"},
};

static void too_few_samples_clear_nothing_and_hide_nothing(void **state)
{
    struct given *given = *state;

    given->limit.least_samples = 4;
    for (size_t i = 0; i < ARRAY_LEN(too_few); i++) {
        given_again(given);
        given->limit.daily = too_few[i].daily;
        given->limit.statistic = too_few[i].statistic;
        given_samples(given, too_few[i].samples);
        given_assert(given, too_few[i].standing, too_few[i].reason);
    }
}

static void a_floor_stays_broken_by_a_minimum_and_not_by_a_maximum(void **state)
{
    struct given *given = *state;

    given->limit.bound = (struct limit_bound){.has_floor = true, .floor = {50, 1}};
    given->limit.least_samples = 4;
    given_samples(given, "3:4.9");
    given->limit.statistic = STATISTIC_MINIMUM;
    given_assert(given, "outside: below 5.0", "nothing can raise a minimum");
    given->limit.statistic = STATISTIC_MAXIMUM;
    given_assert(given, "not assessable", "a higher value may be missing");
    given->limit.statistic = STATISTIC_MEAN;
    given_assert(given, "not assessable", "so may one that raises the mean");
}

static void least_samples_are_asked_of_each_day_by_a_daily_clause(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_DAY;
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.daily = DAILY_MEAN;
    given->limit.least_samples = 2;
    given->from = given->to = day_from_civil(2026, 3, 3);
    given_samples(given, "3/09:00:10 3/15:00:12");
    given_assert(given, "within", "two in the day");
    given->to++;

    struct verdict verdict = given_assert(given, "not assessable", "none on the next day");

    assert_string_equal(verdict.reason, "too few samples on 4 March 2026: 0 of at least 2");
    given->evidence.now = given_at("2026-03-04T06:00:00Z");
    given_assert(given, "so far within", "the 4th has only begun");
}

static void while_the_period_runs_the_verdict_says_so_far(void **state)
{
    struct given *given = *state;

    given->evidence.now = given_at("2026-03-20T08:00:00Z");
    given_samples(given, "3:10 10:12");

    struct verdict verdict = given_assert(given, "so far within", "the month runs");

    assert_true(verdict.so_far);
    given->limit.least_samples = 4;
    given_assert(given, "so far not assessable", "two of four so far");
    given->evidence.now = given_at("2026-04-01T00:00:00Z");
    given_assert(given, "not assessable", "the month is over");
    given->evidence.now = given_at("2026-02-20T00:00:00Z");
    given_again(given);
    given_assert(given, "so far not assessable", "it has not begun");
}

static void a_clause_that_nobody_confirmed_can_be_broken_and_not_kept(void **state)
{
    struct given *given = *state;

    given->limit.confirmed = false;
    given_samples(given, "3:10");

    struct verdict verdict = given_assert(given, "not assessable", "within, and not confirmed");

    assert_non_null(strstr(verdict.reason, "not confirmed"));
    given_again(given);
    given_samples(given, "3:40");
    given_assert(given, "outside: above 30", "a breach needs no confirmation");
}

static void a_clause_that_lacks_what_is_asked_now_can_be_broken_and_not_kept(void **state)
{
    struct given *given = *state;

    given->limit.lacks = "it lacks `at least`";
    given_samples(given, "3:10");

    struct verdict verdict = given_assert(given, "not assessable", "within, and asked for more");

    assert_non_null(strstr(verdict.reason, "lacks `at least`"));
    given_again(given);
    given_samples(given, "3:40");
    given_assert(given, "outside: above 30", "a breach needs no mended farm file");
}

static void after_its_end_a_licence_clears_nothing(void **state)
{
    struct given *given = *state;

    given_samples(given, "3:10 24:12");
    given->evidence.licence_ends = day_from_civil(2026, 3, 20);

    struct verdict verdict = given_assert(given, "not assessable", "it ended within the month");

    assert_string_equal(verdict.reason, "the licence ended on 19 March 2026");
    given->evidence.licence_ends = day_from_civil(2026, 4, 1);
    given_assert(given, "within", "it ended with the month");
    given->evidence.licence_ends = day_from_civil(2026, 3, 31);
    given_assert(given, "not assessable", "it ended a day before the month did");
    given_again(given);
    given_samples(given, "3:10 24:90");
    given->evidence.licence_ends = day_from_civil(2026, 3, 20);
    given_assert(given, "outside: above 30", "beyond the last bound is still a finding");
    given->evidence.licence_ends = day_from_civil(2026, 3, 25);
    given->evidence.now = given_at("2026-03-24T20:00:00Z");
    given_again(given);
    given_samples(given, "3:10");
    given_assert(given, "so far within", "its end is still to come");
}

static void each_sample_is_judged_by_the_clause_of_its_own_date(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_EACH_SAMPLE;
    given_samples(given, "3:40 20:10");
    given->limit.in_force_from = day_from_civil(2026, 3, 15);

    struct verdict verdict = given_assert(given, "within", "40 came before the clause");

    assert_int_equal(verdict.samples, 1);
    assert_string_equal(verdict.items[0].why_not, "before the clause came into force");
    given->limit.in_force_from = DAY_NONE;
    given->limit.in_force_to = day_from_civil(2026, 3, 14);
    given_assert(given, "outside: above 30", "40 came while it was in force");
    given->limit.in_force_to = day_from_civil(2026, 3, 1);
    given->limit.in_force_from = day_from_civil(2026, 2, 1);
    given_assert(given, "not assessable", "no sample on its one day");
    given->limit.in_force_to = day_from_civil(2026, 2, 28);
    given_assert(given, "nothing due", "it ended before the month");
}

static const struct {
    enum change_rule rule;
    const char *old_standing;
    const char *new_standing;
} changes[] = {
    {CHANGE_UNSET, "not assessable", "not assessable"},
    {CHANGE_OLD, "within", "nothing due"},
    {CHANGE_NEW, "nothing due", "within"},
};

static void a_mean_over_a_change_needs_the_rule_that_says_which_form_counts(void **state)
{
    struct given *given = *state;

    given_samples(given, "3:10 20:12");
    for (size_t i = 0; i < ARRAY_LEN(changes); i++) {
        given->limit.change = changes[i].rule;
        given->limit.in_force_from = DAY_NONE;
        given->limit.in_force_to = day_from_civil(2026, 3, 14);

        struct verdict verdict = given_assert(given, changes[i].old_standing, "the old form");

        if (verdict.standing == STANDING_WITHIN)
            assert_string_equal(verdict.figure_text, "11");
        given->limit.in_force_from = day_from_civil(2026, 3, 15);
        given->limit.in_force_to = DAY_NONE;
        given_assert(given, changes[i].new_standing, "the new form");
    }
}

static void near_the_bound_by_the_farms_own_margin(void **state)
{
    static const struct {
        enum margin_kind kind;
        struct decimal amount;
        const char *value;
        bool near;
    } rows[] = {
        {MARGIN_NONE, {0, 0}, "29.9", false},   {MARGIN_SHARE, {10, 0}, "27", false},
        {MARGIN_SHARE, {10, 0}, "27.1", true},  {MARGIN_AMOUNT, {2, 0}, "28", false},
        {MARGIN_AMOUNT, {2, 0}, "28.01", true}, {MARGIN_AMOUNT, {2, 0}, "30.1", false},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given->limit.margin = rows[i].kind;
        given->limit.margin_amount = rows[i].amount;
        given_samples(given, arena_printf(given->mem, "3:%s", rows[i].value));
        assert_int_equal(given_verdict(given).near_bound, rows[i].near);
    }
}

static void a_range_is_near_at_either_end(void **state)
{
    struct given *given = *state;

    given->limit.bound = (struct limit_bound){
        .has_ceiling = true, .ceiling = {90, 1}, .has_floor = true, .floor = {60, 1}};
    given->limit.margin = MARGIN_AMOUNT;
    given->limit.margin_amount = (struct decimal){2, 1};
    given_samples(given, "3:6.1");
    assert_true(given_verdict(given).near_bound);
    given_again(given);
    given_samples(given, "3:8.9");
    assert_true(given_verdict(given).near_bound);
    given_again(given);
    given_samples(given, "3:7.5");
    assert_false(given_verdict(given).near_bound);
}

/* Readings of 24 hours and of a day differ when clocks change: Europe/Paris on 29 March 2026. */
static void days_are_those_of_the_farms_zone(void **state)
{
    struct given *given = *state;
    struct err err = ERR_INIT;

    if (!zone_load(given->mem, "Europe/Paris", &given->evidence.zone, &err))
        fail_msg("%s", err.text);
    given->limit.period = PERIOD_DAY;
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.daily = DAILY_MEAN;
    given_samples(given, "28/22:59:10 28/23:30:40 29/21:59:40 29/22:00:10");

    struct verdict verdict = given_assert(given, "outside: above 30", "the 29th has 23 hours");

    assert_int_equal(verdict.days[27].readings, 1);
    assert_int_equal(verdict.days[28].readings, 2);
    assert_int_equal(verdict.days[29].readings, 1);
    assert_true(verdict.days[28].outside);
    assert_int_equal(verdict.beyond, 1);
}

static void a_day_may_start_at_another_hour(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_DAY;
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.daily = DAILY_MEAN;
    given->limit.day_starts_hour = 8;
    given_samples(given, "3/09:00:10 4/07:59:40 4/08:00:60");

    struct verdict verdict = given_assert(given, "outside: above 30", "60 is of the 4th");

    assert_int_equal(verdict.days[2].readings, 2);
    assert_false(verdict.days[2].outside);
    assert_int_equal(verdict.beyond, 1);
}

static void a_composite_belongs_to_the_day_it_began(void **state)
{
    struct given *given = *state;
    size_t series = given_series(given, "outfall", "suspended-solids", KIND_COMPOSITE);
    struct evidence_reading *reading =
        given_add(given, series, given_at("2026-03-31T20:00:00Z"), "40", "mg/L");

    reading->until = given_at("2026-04-01T20:00:00Z");
    given_assert(given, "outside: above 30", "it began in March");
    given->from = day_from_civil(2026, 4, 1);
    given->to = day_from_civil(2026, 4, 30);
    given_assert(given, "not assessable", "April has nothing");
}

static void only_what_the_clause_accepts_belongs_to_it(void **state)
{
    static const char *const methods[] = {"gravimetric"};
    struct given *given = *state;

    given_samples(given, "3:10");

    size_t other_method = given_samples(given, "5:90");
    size_t other_kind = given_samples(given, "6:90");
    size_t other_place = given_samples(given, "7:90");
    size_t other_depth = given_samples(given, "8:90");

    given->series[0].method = "gravimetric";
    given->series[0].position = "surface";
    given->series[other_method].method = "optical";
    given->series[other_method].position = "surface";
    given->series[other_kind].method = "gravimetric";
    given->series[other_kind].position = "surface";
    given->series[other_kind].kind = KIND_PROBE;
    given->series[other_place].method = "gravimetric";
    given->series[other_place].station = "intake";
    given->series[other_depth].method = "gravimetric";
    given->series[other_depth].position = "bottom";
    given->limit.methods = methods;
    given->limit.method_count = 1;
    given->limit.kinds = KIND_GRAB | KIND_COMPOSITE;
    given->limit.position = "surface";
    assert_int_equal(given_assert(given, "within", "the first series only").samples, 1);
}

static void left_out_and_check_samples_are_listed_and_never_count(void **state)
{
    struct given *given = *state;

    given_samples(given, "3:10 10:90! 17:90#");

    struct verdict verdict = given_assert(given, "within", "two that don't count");

    assert_int_equal(verdict.item_count, 3);
    assert_int_equal(verdict.samples, 1);
    assert_int_equal(verdict.left_out, 1);
    assert_false(verdict.items[1].counted);
    assert_string_equal(verdict.items[1].why_not, "left out: bottle broken");
    assert_false(verdict.items[2].counted);
    assert_non_null(verdict.items[0].used);
    assert_null(verdict.items[1].used);
}

static void a_unit_that_does_not_convert_can_clear_nothing(void **state)
{
    struct given *given = *state;
    size_t series = given_series(given, "outfall", "suspended-solids", KIND_GRAB);

    given_readings(given, series, "3:10", "NTU");

    struct verdict verdict = given_assert(given, "not assessable", "NTU is no mg/L");

    assert_string_equal(verdict.reason, "a reading's unit can't be turned into the clause's");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_month_of_samples_within_its_mean),
        CASE(a_figure_at_its_bound_is_judged_as_the_licence_words_it),
        CASE(the_unit_of_a_reading_never_decides),
        CASE(two_grabs_of_a_day_against_the_day_or_each),
        CASE(ph_keeps_a_range),
        CASE(no_data_is_never_a_pass),
        CASE(too_few_samples_clear_nothing_and_hide_nothing),
        CASE(a_floor_stays_broken_by_a_minimum_and_not_by_a_maximum),
        CASE(least_samples_are_asked_of_each_day_by_a_daily_clause),
        CASE(while_the_period_runs_the_verdict_says_so_far),
        CASE(a_clause_that_nobody_confirmed_can_be_broken_and_not_kept),
        CASE(a_clause_that_lacks_what_is_asked_now_can_be_broken_and_not_kept),
        CASE(after_its_end_a_licence_clears_nothing),
        CASE(each_sample_is_judged_by_the_clause_of_its_own_date),
        CASE(a_mean_over_a_change_needs_the_rule_that_says_which_form_counts),
        CASE(near_the_bound_by_the_farms_own_margin),
        CASE(a_range_is_near_at_either_end),
        CASE(days_are_those_of_the_farms_zone),
        CASE(a_day_may_start_at_another_hour),
        CASE(a_composite_belongs_to_the_day_it_began),
        CASE(only_what_the_clause_accepts_belongs_to_it),
        CASE(left_out_and_check_samples_are_listed_and_never_count),
        CASE(a_unit_that_does_not_convert_can_clear_nothing),
    };

    return cmocka_run_group_tests_name("judge/judge", tests, NULL, NULL);
}
