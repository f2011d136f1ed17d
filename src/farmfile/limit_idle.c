#include "farmfile/limit_idle.h"

#include "base/str.h"
#include "measure/ammonia.h"

struct idle {
    const struct units *units;
    const struct limit *limit;
    const struct parameter *parameter;
};

/* --- what is measured ------------------------------------------------------------------------ */

static bool is_in(const struct idle *idle, const char *unit)
{
    const struct unit *is =
        idle->parameter->unit ? unit_named(idle->units, idle->parameter->unit) : NULL;

    return is && unit_convertible(is, unit_named(idle->units, unit));
}

static bool is_state(const struct idle *idle)
{
    return idle->parameter->kind == PARAMETER_STATE;
}

static bool is_counter(const struct idle *idle)
{
    return idle->parameter->kind == PARAMETER_COUNTER;
}

/* A meter, a probe or what is worked out: no person took a sample of it. */
static bool has_no_sample(const struct idle *idle)
{
    unsigned kinds = idle->limit->kinds;

    return is_counter(idle) ||
           (kinds != 0 && (kinds & ~(unsigned)(KIND_PROBE | KIND_DERIVED)) == 0);
}

static bool has_no_laboratory(const struct idle *idle)
{
    unsigned kinds = idle->limit->kinds;

    return has_no_sample(idle) || (kinds != 0 && (kinds & (KIND_GRAB | KIND_COMPOSITE)) == 0);
}

static bool averages_portions_of_words(const struct idle *idle)
{
    return is_state(idle) && idle->limit->replicates == ALIKE_AVERAGED;
}

static bool averages_instruments_of_words(const struct idle *idle)
{
    return is_state(idle) && idle->limit->side_by_side == ALIKE_AVERAGED;
}

/* Its 0 is only a mark: no share of it and no logarithm means anything. */
static bool is_temperature(const struct idle *idle)
{
    return is_in(idle, "degC") || is_in(idle, "degC rise");
}

/* --- enough data ----------------------------------------------------------------------------- */

static bool is_each_sample(const struct idle *idle)
{
    return idle->limit->period == PERIOD_EACH_SAMPLE;
}

static bool takes_flow(const struct limit *limit)
{
    return limit->daily == DAILY_LOAD || limit->daily == DAILY_FLOW_WEIGHTED_MEAN ||
           limit->statistic == STATISTIC_FLOW_WEIGHTED_MEAN;
}

static bool is_flow_total(const struct idle *idle)
{
    return idle->limit->daily == DAILY_TOTAL && !is_counter(idle);
}

static bool nothing_stands_until(const struct idle *idle)
{
    const struct limit *limit = idle->limit;

    return !limit_of_time(limit) && !takes_flow(limit) && !is_flow_total(idle);
}

static bool nothing_stands(const struct idle *idle)
{
    const struct limit *limit = idle->limit;

    return nothing_stands_until(idle) && !limit_of_change(limit) &&
           limit->least_coverage.coefficient == 0;
}

/* From one high water to the next are 25 hours at most. */
static bool has_tide_at_all_times(const struct idle *idle)
{
    enum { LONGEST_S = 25 * 3600 };
    const struct limit_tide *tide = &idle->limit->tide;

    return tide->of != TIDE_NONE && tide->before_s + tide->after_s >= LONGEST_S;
}

/* --- figures --------------------------------------------------------------------------------- */

static bool goes_by_logarithms(const struct limit *limit)
{
    return limit->statistic == STATISTIC_GEOMETRIC_MEAN ||
           limit->statistic == STATISTIC_LOG_NORMAL_PERCENTILE;
}

static bool has_logarithms_of_temperature(const struct idle *idle)
{
    return goes_by_logarithms(idle->limit) && is_temperature(idle);
}

static bool has_logarithms_of_ph(const struct idle *idle)
{
    return goes_by_logarithms(idle->limit) && is_in(idle, "pH");
}

static bool has_logarithms_of_differences(const struct idle *idle)
{
    const struct limit_against *against = &idle->limit->against;

    return goes_by_logarithms(idle->limit) && against->pairing != PAIR_PERIOD &&
           (against->kind == AGAINST_DIFFERENCE || against->kind == AGAINST_REMOVAL);
}

static bool is_hydrogen_ion_mean(const struct idle *idle)
{
    return idle->limit->statistic == STATISTIC_HYDROGEN_ION_MEAN;
}

static bool is_load_of_other(const struct idle *idle)
{
    return idle->limit->daily == DAILY_LOAD && !is_in(idle, "mg/L");
}

static bool is_total_of_other(const struct idle *idle)
{
    return idle->limit->daily == DAILY_TOTAL && !is_in(idle, "m3/day") && !is_in(idle, "m3");
}

static bool allows_all_of_last(const struct idle *idle)
{
    const struct limit *limit = idle->limit;

    return limit->period == PERIOD_LAST_SAMPLES && limit->allowance.kind == ALLOWANCE_COUNT &&
           limit->allowance.count >= limit->last_samples;
}

static bool allows_of_more_than_last(const struct idle *idle)
{
    const struct limit *limit = idle->limit;

    return limit->period == PERIOD_LAST_SAMPLES && limit->allowance.kind == ALLOWANCE_COUNT &&
           limit->allowance.of > limit->last_samples;
}

static bool has_no_row_for_last(const struct idle *idle)
{
    const struct limit *limit = idle->limit;

    if (limit->period != PERIOD_LAST_SAMPLES || limit->allowance.kind != ALLOWANCE_TABLE)
        return false;
    for (size_t i = 0; i < limit->allowance.row_count; i++)
        if (limit->allowance.rows[i].from <= limit->last_samples &&
            limit->last_samples <= limit->allowance.rows[i].to)
            return false;

    return true;
}

/* --- another place, another reading ---------------------------------------------------------- */

static bool has_credit_on_counts(const struct idle *idle)
{
    return idle->limit->against.kind == AGAINST_CREDIT && limit_counts_beyond(idle->limit);
}

static bool is_removal_of_temperature(const struct idle *idle)
{
    return idle->limit->against.kind == AGAINST_REMOVAL && is_temperature(idle);
}

/* A less-than that complies keeps a bound on itself, and here it is half of a pair. */
static bool complies_in_a_pair(const struct idle *idle)
{
    return idle->limit->against.kind != AGAINST_NONE &&
           idle->limit->single_less_than == SINGLE_WITHIN;
}

static bool ranks_already(const struct idle *idle)
{
    return idle->limit->less_than == LESS_THAN_RANKED;
}

static bool is_bound_by_itself(const struct idle *idle)
{
    const struct limit_bound_by *by = &idle->limit->bound_by;

    for (size_t i = 0; i < by->other_count; i++)
        if (str_equal(by->others[i].station, idle->limit->station) &&
            str_equal(by->others[i].parameter, idle->limit->parameter) &&
            str_equal(by->others[i].position, idle->limit->position))
            return true;

    return false;
}

/* Of what the farm names itself nobody knows; of what is built in only oxygen is. */
static bool is_saturation_of_other(const struct idle *idle)
{
    bool other = !is_in(idle, "mg/L");

    for (size_t i = 0; parameter_built_in(i) && !other; i++)
        other = !str_equal(idle->parameter->key, "oxygen") &&
                str_equal(idle->parameter->key, parameter_built_in(i)->key);

    return idle->limit->bound_by.kind == BOUND_SATURATION && other;
}

static bool is_form_of_the_sea_without_salinity(const struct idle *idle)
{
    const struct limit_bound_by *by = &idle->limit->bound_by;
    enum ammonia_form form = AMMONIA_EMERSON_273_2;

    return by->kind == BOUND_UNIONISED && by->other_count == 2 && by->ammonia_form &&
           ammonia_form_parse(by->ammonia_form, &form) &&
           ammonia_form_facts(form)->salinity_least > 0;
}

/* Whoever has the key has the choice: what a key means where it is left out is no row's. */
static const struct {
    const char *key;
    bool (*applies)(const struct idle *idle);
    const char *why;
} rows[] = {
    {"accredited laboratory", has_no_laboratory,
     "only what is found in a sample is a laboratory's"},
    {"replicates", has_no_sample, "only a sample has portions"},
    {"replicates", averages_portions_of_words, "words can't be averaged"},
    {"side by side", averages_instruments_of_words, "words can't be averaged"},
    {"samples that look for a cause", has_no_sample, "only a sample is taken to look for a cause"},
    {"compared with", is_state, "there is no difference between two words"},
    {"tide", has_tide_at_all_times,
     "so long before and after a tide is always: a tide comes every 12 or 25 hours"},
    {"at least", is_each_sample, "each sample is judged by itself, so there is always one"},
    {"covers", is_each_sample, "a single sample covers no time"},
    {"covers", is_state, "no time is covered by words"},
    {"reading stands", is_state, "a word counts when it was written down"},
    {"reading stands", nothing_stands,
     "nothing goes by it: it is for the share of the time that must be covered (`covers`), for "
     "changes, times outside and flows"},
    {"between readings", nothing_stands_until,
     "nothing goes by it: it is for times outside and flows"},
    {"statistic", has_logarithms_of_temperature,
     "a temperature has no geometric mean and no log-normal percentile: its 0 is only a mark"},
    {"statistic", has_logarithms_of_ph,
     "pH is a logarithm already: it has no geometric mean and no log-normal percentile"},
    {"statistic", has_logarithms_of_differences,
     "a difference may be 0 or below, of which there is no geometric mean: pair the figures of the "
     "period"},
    {"pH averaged as written", is_hydrogen_ion_mean, "a hydrogen-ion mean averages no pH"},
    {"each day", is_load_of_other, "only what is in the water by weight, as mg/L, has a load"},
    {"each day", is_total_of_other, "only a flow of water or a meter of it has a total"},
    {"allowed beyond", allows_all_of_last,
     "as many as there are may lie beyond: nothing could be outside"},
    {"allowed beyond", allows_of_more_than_last, "there are never so many of the last samples"},
    {"allowed beyond", has_no_row_for_last, "no row is for so many as the last samples are"},
    {"compared with", has_credit_on_counts,
     "an intake credit goes as far as a bound on the readings needs it, and this one is on a "
     "count, a share or a time"},
    {"compared with", is_removal_of_temperature,
     "no percent of a temperature can be removed: its 0 is only a mark"},
    {"less-thans alone", complies_in_a_pair,
     "compared with another place a less-than doesn't stand alone"},
    {"between the limits", ranks_already,
     "less-thans that are ranked have a place for these already"},
    {"bound by", is_bound_by_itself, "the bound would go by the reading that it is for"},
    {"bound by", is_saturation_of_other,
     "a share of saturation is a bound on dissolved oxygen, by weight"},
    {"bound by", is_form_of_the_sea_without_salinity,
     "this ammonia form holds in the sea only: `readings` need the salinity too"},
};

void limit_idle_check(struct field_reader *reader, const struct yaml *node,
                      const struct limit *limit, const struct parameter *parameter)
{
    const struct idle idle = {reader->units, limit, parameter};

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct yaml *at = yaml_find(node, rows[i].key);

        if (at && rows[i].applies(&idle))
            field_problem(reader, at, NULL, "`%s` makes no sense here: %s", rows[i].key,
                          rows[i].why);
    }
}
