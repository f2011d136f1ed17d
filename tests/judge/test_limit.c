#include "judge/given.h"
#include "stat/statistic.h"

/* The words of a limit, and combinations that make no sense. */

/* A limit that makes sense; each row spoils it. */
static struct limit sound(void)
{
    return (struct limit){.station = "outfall",
                          .parameter = "suspended-solids",
                          .unit = "mg/L",
                          .statistic = STATISTIC_MEAN,
                          .period = PERIOD_MONTH,
                          .bound = {.has_ceiling = true, .ceiling = {30, 0}},
                          .in_force_from = DAY_NONE,
                          .in_force_to = DAY_NONE};
}

static void a_sound_limit_is_not_refused(void **state)
{
    struct limit limit = sound();

    (void)state;
    assert_null(limit_refuse(&limit, false, false, false));
    limit.bound.has_floor = true;
    limit.bound.floor = limit.bound.ceiling;
    assert_null(limit_refuse(&limit, false, false, false));
    limit = sound();
    limit.statistic = STATISTIC_MEDIAN;
    assert_null(limit_refuse(&limit, false, false, true));
    limit = sound();
    limit.daily = DAILY_TOTAL;
    limit.statistic = STATISTIC_SUM;
    assert_null(limit_refuse(&limit, true, false, false));
    limit.least_coverage = (struct decimal){90, 0};
    assert_null(limit_refuse(&limit, true, false, false));
}

static void spoil_no_bound(struct limit *limit)
{
    limit->bound.has_ceiling = false;
}

static void spoil_crossed(struct limit *limit)
{
    limit->bound.has_floor = true;
    limit->bound.floor = (struct decimal){31, 0};
}

static void spoil_touching(struct limit *limit)
{
    limit->bound.has_floor = true;
    limit->bound.floor = (struct decimal){300, 1};
    limit->bound.floor_reached_is_outside = true;
}

static void spoil_each_sample(struct limit *limit)
{
    limit->period = PERIOD_EACH_SAMPLE;
}

static void spoil_each_sample_daily(struct limit *limit)
{
    limit->period = PERIOD_EACH_SAMPLE;
    limit->statistic = STATISTIC_VALUE;
    limit->daily = DAILY_MEAN;
}

static void spoil_day(struct limit *limit)
{
    limit->period = PERIOD_DAY;
    limit->daily = DAILY_MEAN;
}

static void spoil_sum(struct limit *limit)
{
    limit->statistic = STATISTIC_SUM;
}

static void spoil_load(struct limit *limit)
{
    limit->daily = DAILY_LOAD;
    limit->flow.station = "outfall";
}

static void spoil_flow(struct limit *limit)
{
    limit->flow = (struct limit_flow){"outfall", "flow"};
}

static void spoil_factor_units(struct limit *limit)
{
    limit->daily = DAILY_LOAD;
    limit->flow = (struct limit_flow){"outfall", "flow"};
    limit->load_factor = "8.34";
}

static void spoil_factor(struct limit *limit)
{
    limit->daily = DAILY_LOAD;
    limit->flow = (struct limit_flow){"outfall", "flow"};
    limit->load_factor = "-1";
    limit->load_flow_unit = "MGD";
    limit->load_concentration_unit = "mg/L";
}

static void spoil_load_gap(struct limit *limit)
{
    limit->load_gap = LOAD_GAP_PERIOD_MEAN;
}

static void spoil_geometric_zero(struct limit *limit)
{
    limit->statistic = STATISTIC_GEOMETRIC_MEAN;
    limit->less_than = LESS_THAN_ZERO;
}

static void spoil_stated(struct limit *limit)
{
    limit->less_than = LESS_THAN_STATED;
    limit->less_than_stated = (struct decimal){-1, 0};
}

static void spoil_samples(struct limit *limit)
{
    limit->least_samples = -1;
}

static void spoil_coverage(struct limit *limit)
{
    limit->least_coverage = (struct decimal){1001, 1};
    limit->reading_stands_s = 600;
}

static void spoil_coverage_of_grabs(struct limit *limit)
{
    limit->least_coverage = (struct decimal){75, 0};
    limit->reading_stands_s = 600;
    limit->kinds = KIND_GRAB | KIND_COMPOSITE;
}

static void spoil_coverage_standing(struct limit *limit)
{
    limit->least_coverage = (struct decimal){75, 0};
}

static void spoil_standing(struct limit *limit)
{
    limit->reading_stands_s = -1;
}

static void spoil_margin(struct limit *limit)
{
    limit->margin = MARGIN_AMOUNT;
}

static void spoil_margin_share(struct limit *limit)
{
    limit->margin = MARGIN_SHARE;
    limit->margin_amount = (struct decimal){10, 0};
    limit->bound.ceiling = (struct decimal){0, 0};
}

static void spoil_figures(struct limit *limit)
{
    limit->rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_FIGURES, 0};
}

static void spoil_bound_digits(struct limit *limit)
{
    limit->rounding_to_bound = true;
    limit->bound.has_floor = true;
    limit->bound.floor = (struct decimal){65, 1};
    limit->bound.ceiling = (struct decimal){9, 0};
}

static void spoil_bound_figures(struct limit *limit)
{
    limit->rounding_to_bound = true;
    limit->rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_FIGURES, 2};
    limit->bound.has_floor = true;
    limit->bound.floor = (struct decimal){65, 1};
    limit->bound.ceiling = (struct decimal){100, 1};
}

static void spoil_hour(struct limit *limit)
{
    limit->day_starts_hour = 24;
}

static void spoil_dates(struct limit *limit)
{
    limit->in_force_from = 10;
    limit->in_force_to = 9;
}

static const struct {
    void (*spoil)(struct limit *limit);
    const char *says;
} spoiled[] = {
    {spoil_no_bound, "there is no bound to keep"},
    {spoil_crossed, "no figure could keep both bounds"},
    {spoil_touching, "no figure could keep both bounds"},
    {spoil_each_sample, "each sample is judged by itself, so the statistic must be 'value'"},
    {spoil_each_sample_daily, "each sample is judged by itself: what is made of a day first is "
                              "judged by the day or the month"},
    {spoil_day, "the day already has one figure, so the statistic must be 'value'"},
    {spoil_sum, "only daily totals and loads can be added up"},
    {spoil_load, "a load needs the station and the parameter of its flow"},
    {spoil_flow, "a flow and a factor belong to a daily load only"},
    {spoil_factor_units, "a stated factor needs the units of flow and concentration it is for"},
    {spoil_factor, "the factor of the load must be a number above 0"},
    {spoil_load_gap, "the mean of the period can only stand in for missing results in a figure "
                     "of daily loads over several days"},
    {spoil_geometric_zero, "a geometric mean has no answer for 0, so a less-than can't stand for "
                           "it"},
    {spoil_stated, "the number stated for less-thans is below 0"},
    {spoil_samples, "the least number of samples is below 0"},
    {spoil_coverage, "the least coverage must lie between 0 and 100 percent"},
    {spoil_coverage_of_grabs, "samples cover no time: coverage can only be asked of a probe"},
    {spoil_coverage_standing, "coverage needs how long a reading stands"},
    {spoil_standing, "how long a reading stands is below 0"},
    {spoil_margin, "the margin must be above 0"},
    {spoil_margin_share, "a share of a bound of 0 is 0: give the margin as an amount"},
    {spoil_figures, "figures are rounded to 1 to 18 figures, or to -18 to 18 decimals"},
    {spoil_bound_digits, "the bounds are written with different digits: say how to round"},
    {spoil_bound_figures, "the bounds are written with different digits: say how to round"},
    {spoil_hour, "a day starts at an hour from 0 to 23"},
    {spoil_dates, "it would end before it begins"},
};

static void a_combination_that_makes_no_sense_is_refused_with_the_reason(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(spoiled); i++) {
        struct limit limit = sound();

        spoiled[i].spoil(&limit);

        const char *why = limit_refuse(&limit, false, false, false);

        if (!why || strcmp(why, spoiled[i].says) != 0)
            fail_msg("expected: %s; got: %s", spoiled[i].says, why ? why : "nothing");
    }
}

static void what_the_parameter_forbids_is_refused(void **state)
{
    struct limit limit = sound();

    (void)state;
    assert_string_equal(limit_refuse(&limit, false, true, false),
                        "the words of a state can't be compared with a bound");
    assert_string_equal(limit_refuse(&limit, true, false, false),
                        "a meter only runs up: only its daily total can be limited");
    assert_string_equal(limit_refuse(&limit, false, false, true),
                        "pH is never averaged: it is a logarithm");
    limit.statistic = STATISTIC_MAXIMUM;
    assert_null(limit_refuse(&limit, false, false, true));
    limit.daily = DAILY_MEAN;
    assert_string_equal(limit_refuse(&limit, false, false, true),
                        "pH is never averaged: it is a logarithm");
}

static const struct {
    enum limit_period period;
    enum limit_daily daily;
    enum limit_statistic statistic;
    struct limit_bound bound;
    const char *unit;
    const char *words;
} worded[] = {
    {PERIOD_MONTH,
     DAILY_EVERY,
     STATISTIC_MEAN,
     {true, {30, 0}, false, false, {0, 0}, false},
     "mg/L",
     "monthly mean not above 30 mg/L"},
    {PERIOD_MONTH,
     DAILY_MEAN,
     STATISTIC_GEOMETRIC_MEAN,
     {true, {30, 0}, true, false, {0, 0}, false},
     "mg/L",
     "monthly geometric mean of daily means below 30 mg/L"},
    {PERIOD_MONTH,
     DAILY_LOAD,
     STATISTIC_VALUE,
     {true, {125, 1}, false, false, {0, 0}, false},
     "kg/day",
     "each daily load not above 12.5 kg/day"},
    {PERIOD_DAY,
     DAILY_MEAN,
     STATISTIC_VALUE,
     {false, {0, 0}, false, true, {50, 1}, false},
     "mg/L",
     "daily mean not below 5.0 mg/L"},
    {PERIOD_DAY,
     DAILY_EVERY,
     STATISTIC_MINIMUM,
     {false, {0, 0}, false, true, {50, 1}, true},
     "mg/L",
     "daily minimum above 5.0 mg/L"},
    {PERIOD_EACH_SAMPLE,
     DAILY_EVERY,
     STATISTIC_VALUE,
     {true, {90, 1}, false, true, {65, 1}, false},
     "pH",
     "each sample from 6.5 to 9.0"},
    {PERIOD_EACH_SAMPLE,
     DAILY_EVERY,
     STATISTIC_VALUE,
     {true, {90, 1}, true, true, {65, 1}, false},
     "pH",
     "each sample not below 6.5 and below 9.0"},
    {PERIOD_MONTH,
     DAILY_EVERY,
     STATISTIC_VALUE,
     {true, {30, 0}, false, false, {0, 0}, false},
     "mg/L",
     "every reading not above 30 mg/L"},
};

static void a_limit_in_words(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(worded); i++) {
        struct limit limit = {.period = worded[i].period,
                              .daily = worded[i].daily,
                              .statistic = worded[i].statistic,
                              .bound = worded[i].bound,
                              .unit = worded[i].unit};

        assert_string_equal(limit_words(mem, &limit), worded[i].words);
    }
}

/* How many may lie beyond says nothing without what they are counted over. */
static void an_allowance_says_what_it_is_counted_over(void **state)
{
    static const struct {
        enum limit_period period;
        int number; /* of days or samples */
        int anniversary;
        const char *over;
    } rows[] = {
        {PERIOD_LICENCE_YEAR, 0, 701, "in each licence year from 1 July"},
        {PERIOD_LICENCE_YEAR, 0, 1215, "in each licence year from 15 December"},
        {PERIOD_YEAR, 0, 0, "in each year"},
        {PERIOD_QUARTER, 0, 0, "in each quarter"},
        {PERIOD_MONTH, 0, 0, "in each month"},
        {PERIOD_WEEK, 0, 0, "in each week"},
        {PERIOD_DAY, 0, 0, "in each day"},
        {PERIOD_LAST_SAMPLES, 12, 0, "in the last 12 samples"},
        {PERIOD_RUNNING_DAYS, 30, 0, "in any 30 days running"},
        {PERIOD_DISCHARGE_RUN, 0, 0, "in each discharge run"},
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct limit limit = sound();

        limit.period = rows[i].period;
        limit.daily = DAILY_EVERY;
        limit.statistic = STATISTIC_VALUE;
        limit.bound = (struct limit_bound){.has_ceiling = true, .ceiling = {5, 0}};
        limit.unit = "mg/L";
        limit.last_samples = limit.running_days = rows[i].number;
        limit.anniversary = rows[i].anniversary;
        limit.allowance = (struct limit_allowance){.kind = ALLOWANCE_COUNT, .count = 2, .of = 12};
        assert_string_equal(
            limit_words(mem, &limit),
            arena_printf(mem, "every reading not above 5 mg/L, of which 2 of 12 may lie beyond %s",
                         rows[i].over));
    }
}

static size_t count_words(const char *const *words)
{
    size_t count = 0;

    while (words[count])
        count++;

    return count;
}

static void every_choice_has_a_word(void **state)
{
    (void)state;
    assert_int_equal(count_words(limit_daily_words), DAILY_FLOW_WEIGHTED_MEAN + 1);
    assert_int_equal(count_words(limit_statistic_words), STATISTIC_LONGEST_OUTSIDE + 1);
    assert_int_equal(count_words(limit_period_words), PERIOD_DISCHARGE_RUN + 1);
    assert_int_equal(count_words(less_than_words), LESS_THAN_RANKED + 1);
    assert_int_equal(count_words(greater_than_words), GREATER_THAN_STEP + 1);
    assert_int_equal(count_words(load_gap_words), LOAD_GAP_PERIOD_MEAN + 1);
    assert_int_equal(count_words(change_words), CHANGE_NEW + 1);
    assert_int_equal(count_words(between_words), BETWEEN_HALF_QUANTITATION + 1);
    assert_int_equal(count_words(single_less_than_words), SINGLE_BY_RULE + 1);
    assert_int_equal(count_words(alike_words), ALIKE_AVERAGED + 1);
    assert_int_equal(count_words(load_water_words), LOAD_MEAN_TIMES_VOLUME + 1);
    assert_int_equal(count_words(standing_rule_words), STANDS_STRAIGHT_LINE + 1);
    assert_int_equal(count_words(belongs_words), BELONGS_BOTH);
    assert_int_equal(count_words(against_words), AGAINST_CREDIT);
    assert_int_equal(count_words(pairing_words), PAIR_PERIOD);
    assert_int_equal(count_words(deviation_words), DEVIATION_POPULATION);
    assert_int_equal(count_words(change_direction_words), CHANGE_FALL + 1);
    assert_int_equal(count_words(tide_words), TIDE_LOW);
}

static void every_statistic_but_value_is_a_row(void **state)
{
    (void)state;
    for (int i = STATISTIC_VALUE; i <= STATISTIC_SUM; i++) {
        struct limit limit = {.statistic = (enum limit_statistic)i};

        assert_int_equal(limit_statistic_row(&limit) == NULL, i == STATISTIC_VALUE);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_sound_limit_is_not_refused),
        cmocka_unit_test(a_combination_that_makes_no_sense_is_refused_with_the_reason),
        cmocka_unit_test(what_the_parameter_forbids_is_refused),
        cmocka_unit_test(a_limit_in_words),
        cmocka_unit_test(an_allowance_says_what_it_is_counted_over),
        cmocka_unit_test(every_choice_has_a_word),
        cmocka_unit_test(every_statistic_but_value_is_a_row),
    };

    return cmocka_run_group_tests_name("judge/limit", tests, NULL, NULL);
}
