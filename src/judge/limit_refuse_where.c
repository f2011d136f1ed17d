/* Refusals about periods, about when a limit applies, and about more places than one. */
#include "base/str.h"
#include "judge/limit_refusal.h"

enum { MINUTES_A_DAY = 24 * 60 };

/* --- periods --------------------------------------------------------------------------------- */

static bool sample_with_statistic(const struct limit_subject *subject)
{
    return subject->limit->period == PERIOD_EACH_SAMPLE &&
           subject->limit->statistic != STATISTIC_VALUE;
}

static bool sample_with_daily(const struct limit_subject *subject)
{
    return subject->limit->period == PERIOD_EACH_SAMPLE && subject->limit->daily != DAILY_EVERY;
}

static bool statistic_of_one_figure(const struct limit_subject *subject)
{
    return subject->limit->period == PERIOD_DAY && subject->limit->daily != DAILY_EVERY &&
           subject->limit->statistic != STATISTIC_VALUE;
}

static bool running_days_wrong(const struct limit_subject *subject)
{
    bool is = subject->limit->period == PERIOD_RUNNING_DAYS;

    return is ? subject->limit->running_days < 2 : subject->limit->running_days != 0;
}

static bool last_samples_wrong(const struct limit_subject *subject)
{
    bool is = subject->limit->period == PERIOD_LAST_SAMPLES;

    return is ? subject->limit->last_samples < 2 : subject->limit->last_samples != 0;
}

static bool last_samples_least(const struct limit_subject *subject)
{
    return subject->limit->period == PERIOD_LAST_SAMPLES &&
           subject->limit->least_samples > subject->limit->last_samples;
}

static bool last_samples_added_up(const struct limit_subject *subject)
{
    return subject->limit->period == PERIOD_LAST_SAMPLES &&
           subject->limit->statistic == STATISTIC_SUM;
}

static bool week_day_wrong(const struct limit_subject *subject)
{
    return subject->limit->week_starts < 0 || subject->limit->week_starts > 6;
}

static bool week_across_months(const struct limit_subject *subject)
{
    return (subject->limit->period == PERIOD_WEEK ||
            subject->limit->period == PERIOD_DISCHARGE_RUN) &&
           subject->limit->period_belongs == BELONGS_UNSET;
}

static bool run_cut(const struct limit_subject *subject)
{
    return subject->limit->period == PERIOD_DISCHARGE_RUN &&
           subject->limit->period_belongs == BELONGS_DAYS;
}

static bool months_not_crossed(const struct limit_subject *subject)
{
    return subject->limit->period != PERIOD_WEEK &&
           subject->limit->period != PERIOD_DISCHARGE_RUN &&
           subject->limit->period_belongs != BELONGS_UNSET;
}

static bool day_cut(const struct limit_subject *subject)
{
    return subject->limit->span_belongs == BELONGS_DAYS ||
           subject->limit->span_belongs == BELONGS_BOTH;
}

static bool anniversary_missing(const struct limit_subject *subject)
{
    return subject->limit->period == PERIOD_LICENCE_YEAR && subject->limit->anniversary == 0;
}

static bool hour_not_of_a_day(const struct limit_subject *subject)
{
    return subject->limit->day_starts_hour < 0 || subject->limit->day_starts_hour > 23;
}

static const struct limit_refusal period_rows[] = {
    {sample_with_statistic, "each sample is judged by itself, so the statistic must be 'value'"},
    {sample_with_daily, "each sample is judged by itself: what is made of a day first is judged "
                        "by the day or the month"},
    {statistic_of_one_figure, "the day already has one figure, so the statistic must be 'value'"},
    {running_days_wrong, "running days need how many, 2 or more, and nothing else has them"},
    {last_samples_wrong, "the last samples need how many, 2 or more, and nothing else has them"},
    {last_samples_least, "there are never more than the last samples, so the least number can't be "
                         "more than those"},
    {last_samples_added_up, "the last samples are no stretch of time, so totals and loads of them "
                            "are not added up"},
    {week_day_wrong, "a week starts on one of its seven days"},
    {week_across_months, "which month a week or a discharge run across two months belongs to is "
                         "not said"},
    {run_cut, "a discharge run is not cut at the end of a month"},
    {months_not_crossed, "only a week or a discharge run lies across two months"},
    {day_cut, "a composite belongs to one day: where it began, where it ended or where most of it "
              "lies"},
    {anniversary_missing, "a licence year needs the licence's anniversary"},
    {hour_not_of_a_day, "a day starts at an hour from 0 to 23"},
};

const struct limit_refusals limit_refusals_of_period = {period_rows, ARRAY_LEN(period_rows)};

/* --- when it applies ------------------------------------------------------------------------- */

static bool has_conditions(const struct limit *limit)
{
    return limit->hours.set || limit->tide.of != TIDE_NONE || limit->applies_while.other.station;
}

static bool hours_wrong(const struct limit_subject *subject)
{
    const struct limit_hours *hours = &subject->limit->hours;

    return hours->set &&
           (hours->from_minute < 0 || hours->from_minute >= MINUTES_A_DAY || hours->to_minute < 0 ||
            hours->to_minute > MINUTES_A_DAY || hours->from_minute == hours->to_minute);
}

/* A day's volume is of the whole day. */
static bool conditions_of_totals(const struct limit_subject *subject)
{
    return has_conditions(subject->limit) && limit_adds_up(subject->limit);
}

static bool conditions_of_composites(const struct limit_subject *subject)
{
    return has_conditions(subject->limit) && (subject->limit->kinds & KIND_COMPOSITE) != 0;
}

static bool tide_wrong(const struct limit_subject *subject)
{
    const struct limit_tide *tide = &subject->limit->tide;

    return tide->of != TIDE_NONE && (str_empty(tide->table) || tide->before_s < 0 ||
                                     tide->after_s < 0 || tide->before_s + tide->after_s == 0);
}

static bool season_wrong(const struct limit_subject *subject)
{
    const struct limit_season *season = &subject->limit->season;

    return season->set &&
           (season->from < 101 || season->to < 101 || season->from > 1231 || season->to > 1231);
}

static bool while_wrong(const struct limit_subject *subject)
{
    const struct limit_while *is = &subject->limit->applies_while;

    return is->other.station && ((!is->has_above && !is->has_below) || is->within_s <= 0 ||
                                 str_empty(is->other.parameter) || str_empty(is->other.unit));
}

static bool while_never(const struct limit_subject *subject)
{
    const struct limit_while *is = &subject->limit->applies_while;

    return is->has_above && is->has_below && decimal_compare(is->above, is->below) >= 0;
}

/* --- more places ----------------------------------------------------------------------------- */

static bool same_place(const struct limit *limit, const struct limit_place *place)
{
    return str_equal(limit->station, place->station) && str_equal(limit->position, place->position);
}

static bool added_twice(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    for (size_t i = 0; i < limit->added_count; i++) {
        if (same_place(limit, &limit->added[i]))
            return true;
        for (size_t k = 0; k < i; k++)
            if (str_equal(limit->added[i].station, limit->added[k].station) &&
                str_equal(limit->added[i].position, limit->added[k].position))
                return true;
    }

    return false;
}

static bool added_concentrations(const struct limit_subject *subject)
{
    return subject->limit->added_count > 0 && !limit_adds_up(subject->limit);
}

static bool added_loads_without_flow(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    if (limit->daily != DAILY_LOAD)
        return false;
    for (size_t i = 0; i < limit->added_count; i++)
        if (!limit->added_flows || str_empty(limit->added_flows[i].station) ||
            str_empty(limit->added_flows[i].parameter))
            return true;

    return false;
}

static bool added_and_compared(const struct limit_subject *subject)
{
    return subject->limit->added_count > 0 && subject->limit->against.kind != AGAINST_NONE;
}

static bool one_load_of_places(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    return limit->load_water == LOAD_MEAN_TIMES_VOLUME &&
           (limit->added_count > 0 || limit->against.kind != AGAINST_NONE);
}

static bool against_itself(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    return limit->against.kind != AGAINST_NONE && same_place(limit, &limit->against.place);
}

static bool against_unpaired(const struct limit_subject *subject)
{
    const struct limit_against *against = &subject->limit->against;

    return against->kind != AGAINST_NONE &&
           (str_empty(against->place.station) || against->pairing == PAIR_UNSET);
}

static bool pair_numbers_wrong(const struct limit_subject *subject)
{
    const struct limit_against *against = &subject->limit->against;
    bool near = against->pairing == PAIR_WITHIN || against->pairing == PAIR_RESIDENCE;

    return (near ? against->within_s <= 0 : against->within_s != 0) ||
           (against->pairing == PAIR_RESIDENCE ? against->residence_s <= 0
                                               : against->residence_s != 0);
}

static bool credit_without_ceiling(const struct limit_subject *subject)
{
    return subject->limit->against.kind == AGAINST_CREDIT && !subject->limit->bound.has_ceiling;
}

static bool figures_paired_of_values(const struct limit_subject *subject)
{
    return subject->limit->against.pairing == PAIR_PERIOD &&
           subject->limit->statistic == STATISTIC_VALUE;
}

static bool against_by_time(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    return limit->against.kind != AGAINST_NONE && (limit_of_time(limit) || limit_of_change(limit));
}

static bool against_loads_without_flow(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    return limit->against.kind != AGAINST_NONE && limit->daily == DAILY_LOAD &&
           (str_empty(limit->against.flow.station) || str_empty(limit->against.flow.parameter));
}

static bool against_flow_unused(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    return limit->daily != DAILY_LOAD &&
           (limit->against.flow.station || limit->against.flow.parameter);
}

static const struct limit_refusal place_rows[] = {
    {hours_wrong, "the hours must be two different times of the day"},
    {tide_wrong, "a tide needs its table, and a time before or after it that is not 0"},
    {season_wrong, "a season goes from a day of the year to a day of the year"},
    {while_wrong, "a condition on another reading needs its parameter, its unit, a number above or "
                  "below, and how old it may be"},
    {while_never, "no reading could be above the one number and below the other"},
    {conditions_of_totals, "a day's total or load is of the whole day: hours, tides and other "
                           "readings can't cut it"},
    {conditions_of_composites, "a composite lies across hours and tides: leave composites out, or "
                               "the condition"},
    {added_and_compared, "places added together can't be compared with another place: make a limit "
                         "of each"},
    {added_twice, "a place would be added to itself"},
    {added_concentrations, "only daily totals and loads of several places can be added: "
                           "concentrations can't"},
    {added_loads_without_flow, "each place that is added needs the flow of its own load"},
    {one_load_of_places, "the mean concentration times the volume is the load of one place"},
    {against_unpaired, "a comparison with another place needs that place and which results belong "
                       "together"},
    {against_itself, "a place can't be compared with itself"},
    {pair_numbers_wrong, "pairing by time needs how far apart, by residence time also how long the "
                         "water takes, and others neither"},
    {credit_without_ceiling, "an intake credit goes as far as an upper bound needs it, and there "
                             "is none"},
    {figures_paired_of_values, "single values have no figure of the period to be compared"},
    {against_by_time, "changes, rates and times outside belong to one place"},
    {against_loads_without_flow, "the load of the other place needs its own flow"},
    {against_flow_unused, "the other place needs a flow for loads only"},
};

const struct limit_refusals limit_refusals_of_place = {place_rows, ARRAY_LEN(place_rows)};
