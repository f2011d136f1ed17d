/*
 * Combinations of choices that make no sense, each refused with a reason. The older ones are in
 * test_limit.c.
 */
#include <limits.h>

#include "judge/given.h"

/* A limit that makes sense; each row spoils it. */
static struct limit sound(void)
{
    return (struct limit){.station = "outfall",
                          .parameter = "suspended-solids",
                          .unit = "mg/L",
                          .kinds = KIND_PROBE,
                          .less_than = LESS_THAN_HALF,
                          .statistic = STATISTIC_MEAN,
                          .period = PERIOD_MONTH,
                          .bound = {.has_ceiling = true, .ceiling = {30, 0}},
                          .in_force_from = DAY_NONE,
                          .in_force_to = DAY_NONE};
}

static const struct decimal five = {5, 0};

#define STATISTIC(word) limit->statistic = STATISTIC_##word
#define BEYOND                                                                                     \
    limit->settings.beyond = (struct limit_beyond)                                                 \
    {                                                                                              \
        .has_above = true, .above = { 43, 0 }                                                      \
    }
#define SINGLE STATISTIC(VALUE)
#define LOAD                                                                                       \
    do {                                                                                           \
        limit->daily = DAILY_LOAD;                                                                 \
        limit->flow = (struct limit_flow){"outfall", "flow"};                                      \
    } while (0)
#define AGAINST(as, pair)                                                                          \
    limit->against = (struct limit_against)                                                        \
    {                                                                                              \
        .kind = AGAINST_##as, .place = {"intake", NULL}, .pairing = PAIR_##pair                    \
    }
#define BY(rule)                                                                                   \
    do {                                                                                           \
        SINGLE;                                                                                    \
        limit->bound = (struct limit_bound){0};                                                    \
        limit->bound_by = (struct limit_bound_by){                                                 \
            .kind = BOUND_##rule,                                                                  \
            .others = {{"outfall", NULL, "temperature", "degC"}, {"outfall", NULL, "ph", "pH"}},   \
            .other_count = 1,                                                                      \
            .within_s = 600,                                                                       \
            .stated = {60, 0}};                                                                    \
    } while (0)
#define TIME                                                                                       \
    do {                                                                                           \
        STATISTIC(TIME_OUTSIDE);                                                                   \
        BEYOND;                                                                                    \
        limit->settings.time_unit_s = 60;                                                          \
        limit->reading_stands_s = 600;                                                             \
    } while (0)

/* Each is written as a function so that a row can be any C. */
#define SPOIL(name, ...)                                                                           \
    static void name(struct limit *limit)                                                          \
    {                                                                                              \
        __VA_ARGS__;                                                                               \
    }

/* the bound */
SPOIL(word_of_number, limit->bound_by.kind = BOUND_STATE)
SPOIL(number_and_saturation, BY(SATURATION); limit->bound.has_ceiling = true)
SPOIL(saturation_of_mean, BY(SATURATION); STATISTIC(MEAN))
SPOIL(saturation_of_days, BY(SATURATION); limit->daily = DAILY_MAXIMUM)
SPOIL(saturation_of_two, BY(SATURATION); AGAINST(DIFFERENCE, SAME_DAY))
SPOIL(saturation_of_none, BY(SATURATION); limit->bound_by.other_count = 0)
SPOIL(ammonia_of_one, BY(UNIONISED); limit->bound_by.ammonia_form = "bower-bidwell")
SPOIL(other_without_unit, BY(SATURATION); limit->bound_by.others[0].unit = NULL)
SPOIL(other_at_any_time, BY(SATURATION); limit->bound_by.within_s = 0)
SPOIL(no_steps, BY(TABLE); limit->bound_by.stated.coefficient = 0)
SPOIL(flat_line, BY(LINEAR); limit->bound_by.stated.coefficient = 0)
SPOIL(line_of_saturation, BY(SATURATION); limit->bound_by.factor = five)
SPOIL(saturation_not_stated, BY(SATURATION); limit->bound_by.stated.coefficient = 0)
SPOIL(ammonia_of_no_form, BY(UNIONISED); limit->bound_by.other_count = 2)

static void last_step_first(struct limit *limit)
{
    static const struct bound_step steps[] = {{.last = true}, {.up_to = {5, 0}}};

    BY(TABLE);
    limit->bound_by.stated.coefficient = 0;
    limit->bound_by.steps = steps;
    limit->bound_by.step_count = 2;
}

static void rows_that_meet(struct limit *limit)
{
    static const struct allowance_row rows[] = {{4, 7, 1}, {7, INT_MAX, 2}};

    SINGLE;
    limit->allowance =
        (struct limit_allowance){.kind = ALLOWANCE_TABLE, .rows = rows, .row_count = 2};
}

SPOIL(allowed_in_mean,
      limit->allowance = (struct limit_allowance){.kind = ALLOWANCE_COUNT, .count = 1})
SPOIL(allowed_of_one, SINGLE; limit->period = PERIOD_EACH_SAMPLE;
      limit->allowance = (struct limit_allowance){.kind = ALLOWANCE_COUNT, .count = 1})
SPOIL(allowed_none, SINGLE; limit->allowance.kind = ALLOWANCE_COUNT)
SPOIL(allowed_all, SINGLE;
      limit->allowance = (struct limit_allowance){.kind = ALLOWANCE_SHARE, .percent = {100, 0}})
SPOIL(three_of_two, limit->across_outside = 3; limit->across_of = 2)
SPOIL(single_across, SINGLE; limit->across_outside = 1; limit->across_of = 2)

/* figures */
SPOIL(hydrogen_of_solids, STATISTIC(HYDROGEN_ION_MEAN))
SPOIL(written_solids, limit->ph_mean_as_written = true)
SPOIL(weighted_load, LOAD; STATISTIC(FLOW_WEIGHTED_MEAN))
SPOIL(weighted_readings, STATISTIC(FLOW_WEIGHTED_MEAN);
      limit->flow = (struct limit_flow){"outfall", "flow"})
SPOIL(weighted_by_nothing, limit->daily = DAILY_FLOW_WEIGHTED_MEAN)
SPOIL(time_of_days, TIME; limit->daily = DAILY_MEAN)
SPOIL(time_of_grabs, TIME; limit->kinds = KIND_PROBE | KIND_GRAB)
SPOIL(time_of_any, TIME; limit->kinds = 0)
SPOIL(time_without_gap, TIME; limit->reading_stands_s = 0)
SPOIL(time_of_last, TIME; limit->period = PERIOD_LAST_SAMPLES; limit->last_samples = 4)
SPOIL(time_without_unit, TIME; limit->settings.time_unit_s = 0)
SPOIL(no_percent, STATISTIC(PERCENTILE); limit->settings.percentile_rule = "Hazen")
SPOIL(percent_as_share, STATISTIC(PERCENTILE); limit->settings.percentile_rule = "Hazen";
      limit->settings.percent = (struct decimal){9, 1})
SPOIL(no_rule, STATISTIC(PERCENTILE); limit->settings.percent = (struct decimal){90, 0})
SPOIL(rule_of_nowhere, STATISTIC(PERCENTILE); limit->settings.percent = (struct decimal){90, 0};
      limit->settings.percentile_rule = "usual")
SPOIL(rule_of_mean, limit->settings.percentile_rule = "Hazen")
SPOIL(no_z, STATISTIC(LOG_NORMAL_PERCENTILE); limit->settings.deviation = DEVIATION_SAMPLE)
SPOIL(no_deviation, STATISTIC(LOG_NORMAL_PERCENTILE); limit->settings.z = five)
SPOIL(z_of_mean, limit->settings.z = five)
SPOIL(beyond_nothing, STATISTIC(COUNT_BEYOND))
SPOIL(beyond_in_mean, BEYOND)
SPOIL(beyond_all, STATISTIC(SHARE_BEYOND); BEYOND; limit->settings.beyond.has_below = true;
      limit->settings.beyond.below = (struct decimal){43, 0})
SPOIL(change_in_no_time, STATISTIC(CHANGE))
SPOIL(rate_per_nothing, STATISTIC(RATE))
SPOIL(span_of_mean, limit->settings.change_span_s = 60)
SPOIL(direction_of_mean, limit->settings.change_direction = CHANGE_FALL)
SPOIL(unit_of_mean, limit->settings.time_unit_s = 60)

/* less-thans */
SPOIL(log_of_zero, STATISTIC(LOG_NORMAL_PERCENTILE); limit->settings.z = five;
      limit->settings.deviation = DEVIATION_SAMPLE; limit->less_than = LESS_THAN_ZERO)
SPOIL(geometric_rule_of_zero, STATISTIC(GEOMETRIC_MEAN); limit->has_geometric_rule = true;
      limit->less_than_geometric = LESS_THAN_ZERO)
SPOIL(between_zero, STATISTIC(GEOMETRIC_MEAN); limit->between = BETWEEN_ZERO)
SPOIL(whole_of_days, limit->less_than = LESS_THAN_KAPLAN_MEIER; limit->daily = DAILY_MEAN)
SPOIL(whole_of_maximum, limit->less_than = LESS_THAN_REGRESSION; STATISTIC(MAXIMUM))
SPOIL(whole_of_two, limit->less_than = LESS_THAN_REGRESSION; AGAINST(DIFFERENCE, SAME_DAY))
SPOIL(rank_of_other_rule, STATISTIC(PERCENTILE); limit->settings.percent = five;
      limit->settings.percentile_rule = "Hazen";
      limit->less_than = LESS_THAN_KAPLAN_MEIER_RESTRICTED)
SPOIL(ranked_mean, limit->less_than = LESS_THAN_RANKED)
SPOIL(half_of_floor, limit->less_than = LESS_THAN_LOWER_OF_HALF;
      limit->bound = (struct limit_bound){.has_floor = true, .floor = {3, 0}})
SPOIL(half_of_load, LOAD; limit->less_than = LESS_THAN_LOWER_OF_HALF)
SPOIL(geometric_rule_of_mean, limit->has_geometric_rule = true)
SPOIL(alone_in_mean, limit->single_less_than = SINGLE_WITHIN)
SPOIL(alone_over_floor, SINGLE; limit->single_less_than = SINGLE_WITHIN;
      limit->bound = (struct limit_bound){.has_floor = true, .floor = {3, 0}})
SPOIL(alone_by_no_rule, SINGLE; limit->single_less_than = SINGLE_BY_RULE;
      limit->less_than = LESS_THAN_UNSET)
SPOIL(largest_of_single, SINGLE; limit->largest_if_all = true)
SPOIL(beyond_by_no_rule, limit->beyond_by_rule = true; limit->less_than = LESS_THAN_UNSET)

/* periods */
SPOIL(running_none, limit->period = PERIOD_RUNNING_DAYS)
SPOIL(running_month, limit->running_days = 7)
SPOIL(last_one, limit->period = PERIOD_LAST_SAMPLES; limit->last_samples = 1)
SPOIL(last_with_least, limit->period = PERIOD_LAST_SAMPLES; limit->last_samples = 4;
      limit->least_samples = 5)
SPOIL(last_summed, LOAD; STATISTIC(SUM); limit->period = PERIOD_LAST_SAMPLES;
      limit->last_samples = 4)
SPOIL(last_covered, limit->period = PERIOD_LAST_SAMPLES; limit->last_samples = 4;
      limit->least_coverage = five; limit->reading_stands_s = 60)
SPOIL(eighth_day, limit->week_starts = 7)
SPOIL(week_of_no_month, limit->period = PERIOD_WEEK)
SPOIL(run_in_pieces, limit->period = PERIOD_DISCHARGE_RUN; limit->period_belongs = BELONGS_DAYS)
SPOIL(month_in_both, limit->period_belongs = BELONGS_BOTH)
SPOIL(composite_in_both, limit->span_belongs = BELONGS_BOTH)
SPOIL(no_anniversary, limit->period = PERIOD_LICENCE_YEAR)

/* when */
SPOIL(no_hours, limit->hours = (struct limit_hours){true, 360, 360})
SPOIL(hours_of_totals, LOAD; limit->hours = (struct limit_hours){true, 360, 720})
SPOIL(tide_of_composites, limit->kinds = KIND_COMPOSITE;
      limit->tide = (struct limit_tide){TIDE_HIGH, "harbour", 60, 60})
SPOIL(tide_without_table, limit->tide = (struct limit_tide){TIDE_HIGH, NULL, 60, 60})
SPOIL(tide_of_no_length, limit->tide = (struct limit_tide){TIDE_LOW, "harbour", 0, 0})
SPOIL(season_of_nowhere, limit->season = (struct limit_season){true, 0, 930})
SPOIL(while_of_nothing, limit->applies_while = (struct limit_while){
                            .other = {"gauge", NULL, "rain", "mm"}, .within_s = 60})
SPOIL(while_of_neither,
      limit->applies_while = (struct limit_while){.other = {"gauge", NULL, "rain", "mm"},
                                                  .within_s = 60,
                                                  .has_above = true,
                                                  .above = {5, 0},
                                                  .has_below = true,
                                                  .below = {5, 0}})

/* places */
static const struct limit_place itself[] = {{"outfall", NULL}};
static const struct limit_place another[] = {{"second", NULL}};
static const struct limit_place twice[] = {{"second", NULL}, {"second", NULL}};

SPOIL(added_to_itself, LOAD; limit->added = itself; limit->added_count = 1)
SPOIL(added_two_times, LOAD; limit->added = twice; limit->added_count = 2)
SPOIL(added_means, limit->added = another; limit->added_count = 1)
SPOIL(added_without_water, LOAD; limit->added = another; limit->added_count = 1)
SPOIL(added_and_compared, LOAD; limit->added = another; limit->added_count = 1;
      AGAINST(DIFFERENCE, SAME_DAY))
SPOIL(unpaired, AGAINST(REMOVAL, UNSET))
SPOIL(compared_with_itself, AGAINST(REMOVAL, SAME_DAY); limit->against.place = itself[0])
SPOIL(near_without_time, AGAINST(REMOVAL, WITHIN))
SPOIL(residence_without_time, AGAINST(REMOVAL, RESIDENCE); limit->against.within_s = 60)
SPOIL(day_with_time, AGAINST(REMOVAL, SAME_DAY); limit->against.within_s = 60)
SPOIL(credit_over_floor, AGAINST(CREDIT, SAME_DAY);
      limit->bound = (struct limit_bound){.has_floor = true, .floor = {3, 0}})
SPOIL(values_by_period, SINGLE; AGAINST(REMOVAL, PERIOD))
SPOIL(time_of_two, TIME; AGAINST(DIFFERENCE, SAME_DAY))
SPOIL(load_against_no_water, LOAD; AGAINST(DIFFERENCE, SAME_DAY))
SPOIL(mean_against_water, AGAINST(DIFFERENCE, SAME_DAY);
      limit->against.flow = (struct limit_flow){"intake", "flow"})

/* loads, standing, rounding */
SPOIL(gap_of_one_load, LOAD; STATISTIC(SUM); limit->load_water = LOAD_MEAN_TIMES_VOLUME;
      limit->load_gap = LOAD_GAP_PERIOD_MEAN)
SPOIL(water_of_mean, limit->load_water = LOAD_WATER_WHILE_SAMPLING)
SPOIL(period_of_a_day, LOAD; SINGLE; limit->period = PERIOD_DAY;
      limit->load_water = LOAD_WATER_PERIOD_MEAN)
SPOIL(mean_of_one_load, LOAD; limit->load_water = LOAD_MEAN_TIMES_VOLUME)
SPOIL(straight_grabs, limit->kinds = KIND_GRAB; limit->standing_rule = STANDS_STRAIGHT_LINE;
      limit->reading_stands_s = 60)
SPOIL(straight_for_ever, limit->standing_rule = STANDS_STRAIGHT_LINE)
SPOIL(digits_of_no_number, BY(SATURATION); limit->rounding_to_bound = true)

static const struct {
    void (*spoil)(struct limit *limit);
    const char *says; /* a part of it that no other has */
} rows[] = {
    {word_of_number, "only a state has words"},
    {number_and_saturation, "a number and another kind of bound"},
    {saturation_of_mean, "holds for single values"},
    {saturation_of_days, "holds for single values"},
    {saturation_of_two, "belongs to one place"},
    {saturation_of_none, "go over one other reading"},
    {ammonia_of_one, "go over one other reading"},
    {other_without_unit, "needs its station, parameter and unit"},
    {other_at_any_time, "how far apart the other reading may be"},
    {no_steps, "the steps must rise"},
    {last_step_first, "the steps must rise"},
    {flat_line, "a factor other than 0"},
    {line_of_saturation, "belong to a straight line only"},
    {saturation_not_stated, "what is stated must be"},
    {ammonia_of_no_form, "no such equation"},
    {rows_that_meet, "printed numbers of samples"},
    {allowed_in_mean, "the statistic must be 'value'"},
    {allowed_of_one, "a period of one value"},
    {allowed_none, "more than none and fewer than all"},
    {allowed_all, "more than none and fewer than all"},
    {three_of_two, "of periods running"},
    {single_across, "the one figure of each"},

    {hydrogen_of_solids, "only pH has a hydrogen-ion mean"},
    {written_solids, "averaged as written"},
    {weighted_load, "concentration by its volume"},
    {weighted_readings, "concentration by its volume"},
    {weighted_by_nothing, "a flow-weighted mean needs the station"},
    {time_of_days, "go by every reading"},
    {time_of_grabs, "samples must be 'probe'"},
    {time_of_any, "samples must be 'probe'"},
    {time_without_gap, "a time outside needs how long"},
    {time_of_last, "a stretch of time, which the last samples are not"},
    {time_without_unit, "a time outside needs its unit"},
    {no_percent, "a percentile lies between"},
    {percent_as_share, "write 90 for the 90th percentile"},
    {no_rule, "needs the rule it goes by"},
    {rule_of_nowhere, "needs the rule it goes by"},
    {rule_of_mean, "only a percentile"},
    {no_z, "needs the z"},
    {no_deviation, "needs the deviation"},
    {z_of_mean, "only a log-normal percentile"},
    {beyond_nothing, "the number beyond which it counts"},
    {beyond_in_mean, "only a count, a share"},
    {beyond_all, "every value would lie beyond"},
    {change_in_no_time, "a change needs the time"},
    {rate_per_nothing, "a rate needs the time"},
    {span_of_mean, "only a change or a rate"},
    {direction_of_mean, "only a change or a rate"},
    {unit_of_mean, "only a time outside is in"},

    {log_of_zero, "no answer for 0"},
    {geometric_rule_of_zero, "no answer for 0"},
    {between_zero, "no answer for 0"},
    {whole_of_days, "take all results of the period at once"},
    {whole_of_maximum, "means, medians and percentiles only"},
    {whole_of_two, "can't take two places together"},
    {rank_of_other_rule, "'nearest rank' or 'type 1'"},
    {ranked_mean, "ranked in a median"},
    {half_of_floor, "half the bound is only a number"},
    {half_of_load, "half the bound is only a number"},
    {geometric_rule_of_mean, "there is no geometric mean"},
    {alone_in_mean, "stands alone only"},
    {alone_over_floor, "and no lower one"},
    {alone_by_no_rule, "and there is none"},
    {largest_of_single, "no figure is made of less-thans"},
    {beyond_by_no_rule, "by a rule that is not said"},

    {running_none, "running days need how many"},
    {running_month, "running days need how many"},
    {last_one, "the last samples need how many"},
    {last_with_least, "never more than the last samples"},
    {last_summed, "are not added up"},
    {last_covered, "no stretch of time that could be covered"},
    {eighth_day, "one of its seven days"},
    {week_of_no_month, "is not said"},
    {run_in_pieces, "is not cut"},
    {month_in_both, "only a week or a discharge run"},
    {composite_in_both, "belongs to one day"},
    {no_anniversary, "the licence's anniversary"},

    {no_hours, "two different times"},
    {hours_of_totals, "of the whole day"},
    {tide_of_composites, "leave composites out"},
    {tide_without_table, "a tide needs its table"},
    {tide_of_no_length, "a tide needs its table"},
    {season_of_nowhere, "a season goes from"},
    {while_of_nothing, "a condition on another reading"},
    {while_of_neither, "above the one number and below the other"},

    {added_to_itself, "added to itself"},
    {added_two_times, "added to itself"},
    {added_means, "concentrations can't"},
    {added_without_water, "the flow of its own load"},
    {added_and_compared, "make a limit of each"},
    {unpaired, "which results belong together"},
    {compared_with_itself, "compared with itself"},
    {near_without_time, "pairing by time needs"},
    {residence_without_time, "pairing by time needs"},
    {day_with_time, "pairing by time needs"},
    {credit_over_floor, "as far as an upper bound needs it"},
    {values_by_period, "no figure of the period"},
    {time_of_two, "belong to one place"},
    {load_against_no_water, "needs its own flow"},
    {mean_against_water, "a flow for loads only"},

    {gap_of_one_load, "is one load already"},
    {water_of_mean, "can only be said of a load"},
    {period_of_a_day, "can't make the load of a day"},
    {mean_of_one_load, "the statistic must be 'sum'"},
    {straight_grabs, "a sample stands for no time"},
    {straight_for_ever, "what holds between two readings"},
    {digits_of_no_number, "the bound is not one number"},
};

static void what_makes_no_sense_is_refused_with_the_reason(void **state)
{
    struct limit limit = sound();

    (void)state;
    assert_null(limit_refuse(&limit, false, false, false));
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        limit = sound();
        rows[i].spoil(&limit);

        const char *why = limit_refuse(&limit, false, false, false);

        if (!why || !strstr(why, rows[i].says))
            fail_msg("expected: %s; got: %s", rows[i].says, why ? why : "nothing");
    }
}

static void what_a_state_or_ph_forbids_is_refused(void **state)
{
    struct limit limit = sound();

    (void)state;
    limit.bound = (struct limit_bound){0};
    limit.less_than = LESS_THAN_UNSET;
    limit.bound_by = (struct limit_bound_by){.kind = BOUND_STATE, .state = "seen"};
    limit.statistic = STATISTIC_VALUE;
    assert_null(limit_refuse(&limit, false, true, false));
    limit.statistic = STATISTIC_MAXIMUM;
    assert_non_null(strstr(limit_refuse(&limit, false, true, false), "a state has no figures"));
    limit.statistic = STATISTIC_VALUE;
    limit.rounding.rule = ROUND_HALF_UP;
    assert_string_equal(limit_refuse(&limit, false, true, false), "a word can't be rounded");
    limit.rounding.rule = ROUND_NONE;
    limit.margin = MARGIN_AMOUNT;
    limit.margin_amount = five;
    assert_string_equal(limit_refuse(&limit, false, true, false), "a word has no margin");
    limit.margin = MARGIN_NONE;
    limit.less_than = LESS_THAN_HALF;
    assert_string_equal(limit_refuse(&limit, false, true, false), "a word is never a less-than");
    limit.less_than = LESS_THAN_UNSET;
    limit.bound_by.state = NULL;
    assert_non_null(strstr(limit_refuse(&limit, false, true, false), "there is no word"));

    limit = sound();
    assert_non_null(strstr(limit_refuse(&limit, false, false, true), "never averaged"));
    limit.ph_mean_as_written = true;
    assert_null(limit_refuse(&limit, false, false, true));
    limit.ph_mean_as_written = false;
    limit.statistic = STATISTIC_HYDROGEN_ION_MEAN;
    assert_null(limit_refuse(&limit, false, false, true));
    limit.against = (struct limit_against){
        .kind = AGAINST_REMOVAL, .place = {"intake", NULL}, .pairing = PAIR_SAME_DAY};
    assert_non_null(strstr(limit_refuse(&limit, false, false, true), "no percent of it"));

    limit = sound();
    /* Two readings of the intake on one day would be averaged before they are paired. */
    limit.statistic = STATISTIC_VALUE;
    limit.less_than = LESS_THAN_UNSET;
    limit.against = (struct limit_against){
        .kind = AGAINST_DIFFERENCE, .place = {"intake", NULL}, .pairing = PAIR_SAME_DAY};
    assert_non_null(strstr(limit_refuse(&limit, false, false, true), "never averaged"));
    limit.against.pairing = PAIR_WITHIN;
    limit.against.within_s = 3600;
    assert_null(limit_refuse(&limit, false, false, true));
}

/* One of each that a spoilt row is near to. */
SPOIL(a_percentile, STATISTIC(PERCENTILE); limit->settings.percent = (struct decimal){90, 0};
      limit->settings.percentile_rule = "Hazen")
SPOIL(a_log_normal, STATISTIC(LOG_NORMAL_PERCENTILE); limit->settings.z = five;
      limit->settings.deviation = DEVIATION_POPULATION)
SPOIL(a_count, STATISTIC(COUNT_BEYOND); BEYOND; limit->less_than = LESS_THAN_UNSET)
SPOIL(a_time, TIME)
SPOIL(a_change, STATISTIC(CHANGE); limit->settings.change_span_s = 3600)
SPOIL(a_rate, STATISTIC(RATE); limit->settings.rate_per_s = 3600;
      limit->settings.change_direction = CHANGE_RISE)
SPOIL(a_weighted_mean, limit->daily = DAILY_MEAN; STATISTIC(FLOW_WEIGHTED_MEAN);
      limit->flow = (struct limit_flow){"outfall", "flow"})
SPOIL(a_saturation, BY(SATURATION))
SPOIL(an_allowance, SINGLE;
      limit->allowance = (struct limit_allowance){.kind = ALLOWANCE_COUNT, .count = 2, .of = 12})
SPOIL(a_daily_allowance, SINGLE; limit->period = PERIOD_DAY;
      limit->allowance = (struct limit_allowance){.kind = ALLOWANCE_SHARE, .percent = {5, 0}})
SPOIL(daily_means_across, SINGLE; limit->daily = DAILY_MEAN; limit->period = PERIOD_DAY;
      limit->across_outside = 2; limit->across_of = 6)
SPOIL(last_ten, limit->period = PERIOD_LAST_SAMPLES; limit->last_samples = 10)
SPOIL(a_week, limit->period = PERIOD_WEEK; limit->period_belongs = BELONGS_BOTH)
SPOIL(a_run, limit->period = PERIOD_DISCHARGE_RUN; limit->period_belongs = BELONGS_ENDED)
SPOIL(a_removal, AGAINST(REMOVAL, PERIOD))
SPOIL(kaplan_meier_median, STATISTIC(MEDIAN); limit->less_than = LESS_THAN_KAPLAN_MEIER)
SPOIL(a_ranked_median, STATISTIC(MEDIAN); limit->less_than = LESS_THAN_RANKED)
SPOIL(filled_week, LOAD; limit->period = PERIOD_WEEK; limit->period_belongs = BELONGS_DAYS;
      limit->load_gap = LOAD_GAP_PERIOD_MEAN)
SPOIL(one_load, LOAD; STATISTIC(SUM); limit->load_water = LOAD_MEAN_TIMES_VOLUME)

SPOIL(grabs_by_a_straight_flow, LOAD; limit->kinds = KIND_GRAB; limit->reading_stands_s = 60;
      limit->standing_rule = STANDS_STRAIGHT_LINE)

static void what_makes_sense_is_not_refused(void **state)
{
    void (*const sensible[])(struct limit *) = {
        a_percentile,
        a_log_normal,
        a_count,
        a_time,
        a_change,
        a_rate,
        a_saturation,
        an_allowance,
        a_weighted_mean,
        a_daily_allowance,
        last_ten,
        a_week,
        a_run,
        a_removal,
        daily_means_across,
        filled_week,
        grabs_by_a_straight_flow,
        one_load,
        a_ranked_median,
        kaplan_meier_median,
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(sensible); i++) {
        struct limit limit = sound();

        sensible[i](&limit);

        const char *why = limit_refuse(&limit, false, false, false);

        if (why)
            fail_msg("row %zu: %s", i, why);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_makes_no_sense_is_refused_with_the_reason),
        cmocka_unit_test(what_a_state_or_ph_forbids_is_refused),
        cmocka_unit_test(what_makes_sense_is_not_refused),
    };

    return cmocka_run_group_tests_name("judge/limit_refuse", tests, NULL, NULL);
}
