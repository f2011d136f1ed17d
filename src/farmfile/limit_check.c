/* What must hold between the parts of a limit. */
#include "farmfile/limit_check.h"
#include "base/str.h"
#include "farmfile/bound_part.h"
#include "farmfile/clause.h"
#include "farmfile/limit_sense.h"

/* A key that the limit must have for the reason told. */
static void require_key(struct field_reader *reader, const struct yaml *node, const char *key,
                        const char *because)
{
    if (!yaml_find(node, key))
        field_problem(reader, node, NULL, "%s lacks `%s`: %s",
                      field_map_name(reader, &section_limit_table, node), key, because);
}

/* A key that has no place in this limit. */
static void refuse_key(struct field_reader *reader, const struct yaml *node, const char *key,
                       const char *because)
{
    if (yaml_find(node, key))
        field_problem(reader, yaml_find(node, key), NULL, "`%s` has no place here: %s", key,
                      because);
}

/* --- keys that hang on other choices --------------------------------------------------------- */

struct subject {
    const struct limit *limit;
    const struct parameter *parameter; /* NULL: not known, and told already */
};

static bool is_load(const struct subject *subject)
{
    return subject->limit->daily == DAILY_LOAD;
}

static bool is_weighted(const struct subject *subject)
{
    return subject->limit->daily == DAILY_FLOW_WEIGHTED_MEAN ||
           subject->limit->statistic == STATISTIC_FLOW_WEIGHTED_MEAN;
}

static bool takes_flow(const struct subject *subject)
{
    return is_load(subject) || is_weighted(subject);
}

static bool lacks_results(const struct subject *subject)
{
    return is_load(subject) && subject->limit->load_water != LOAD_MEAN_TIMES_VOLUME;
}

static bool has_factor(const struct subject *subject)
{
    return subject->limit->load_factor != NULL;
}

static bool is_percentile(const struct subject *subject)
{
    return subject->limit->statistic == STATISTIC_PERCENTILE;
}

static bool is_log_normal(const struct subject *subject)
{
    return subject->limit->statistic == STATISTIC_LOG_NORMAL_PERCENTILE;
}

static bool is_geometric(const struct subject *subject)
{
    return subject->limit->statistic == STATISTIC_GEOMETRIC_MEAN;
}

static bool is_change(const struct subject *subject)
{
    return subject->limit->statistic == STATISTIC_CHANGE;
}

static bool is_rate(const struct subject *subject)
{
    return subject->limit->statistic == STATISTIC_RATE;
}

static bool has_direction(const struct subject *subject)
{
    return is_change(subject) || is_rate(subject);
}

static bool is_time(const struct subject *subject)
{
    return limit_of_time(subject->limit);
}

static bool counts_beyond(const struct subject *subject)
{
    return limit_counts_beyond(subject->limit);
}

static bool is_running_days(const struct subject *subject)
{
    return subject->limit->period == PERIOD_RUNNING_DAYS;
}

static bool is_last_samples(const struct subject *subject)
{
    return subject->limit->period == PERIOD_LAST_SAMPLES;
}

/* Whether a sample in duplicate could fill two of the last samples. */
static bool counts_samples(const struct subject *subject)
{
    const struct limit *limit = subject->limit;

    return is_last_samples(subject) && limit->daily == DAILY_EVERY &&
           (limit->kinds == 0 || (limit->kinds & (KIND_GRAB | KIND_COMPOSITE)) != 0);
}

static bool is_week(const struct subject *subject)
{
    return subject->limit->period == PERIOD_WEEK;
}

static bool crosses_months(const struct subject *subject)
{
    return is_week(subject) || subject->limit->period == PERIOD_DISCHARGE_RUN;
}

static bool takes_composites(const struct subject *subject)
{
    return (subject->limit->kinds & KIND_COMPOSITE) != 0;
}

static bool may_be_span(const struct subject *subject)
{
    return subject->limit->kinds == 0 || takes_composites(subject);
}

static bool is_ph(const struct subject *subject)
{
    return subject->parameter && str_equal(subject->parameter->unit, "pH");
}

static bool is_number(const struct subject *subject)
{
    return subject->parameter && subject->parameter->kind != PARAMETER_STATE;
}

static bool has_tide(const struct subject *subject)
{
    return subject->limit->tide.of != TIDE_NONE;
}

static bool is_single(const struct subject *subject)
{
    return limit_of_single_values(subject->limit);
}

static bool is_figure(const struct subject *subject)
{
    return !limit_of_single_values(subject->limit) && is_number(subject);
}

static bool has_standing(const struct subject *subject)
{
    return is_time(subject) || subject->limit->reading_stands_s > 0;
}

static const struct {
    const char *key;
    bool (*needed)(const struct subject *subject); /* NULL: never */
    const char *because;
    bool (*has_place)(const struct subject *subject); /* NULL: always */
    const char *otherwise;
} key_rules[] = {
    {"unit", is_number, "a number is nothing without its unit", is_number, "words have no unit"},
    {"percentile", is_percentile, "a percentile is of a number of percent, as 90", is_percentile,
     "only a percentile has it"},
    {"by the rule of", is_percentile,
     "there are many rules for a percentile, and they differ where values are few", is_percentile,
     "only a percentile has it"},
    {"z", is_log_normal, "the licence or its law states it, as 1.282", is_log_normal,
     "only a log-normal percentile has it"},
    {"deviation", is_log_normal, "by n - 1 (sample) or by n (population)", is_log_normal,
     "only a log-normal percentile has it"},
    {"change within", is_change, "a change happens within a time, as 1 hour", is_change,
     "only a greatest change has it"},
    {"direction", has_direction, "a rise, a fall or either way", has_direction,
     "only a greatest change or rate has it"},
    {"rate per", is_rate, "a rate is per a time, as hour", is_rate, "only a greatest rate has it"},
    {"time in", is_time, "the bound on a time has a unit, as minutes", is_time,
     "only a time outside has it"},
    {"counts above", NULL, NULL, counts_beyond, "only a count, a share or a time outside has it"},
    {"counts from", NULL, NULL, counts_beyond, "only a count, a share or a time outside has it"},
    {"counts below", NULL, NULL, counts_beyond, "only a count, a share or a time outside has it"},
    {"counts to", NULL, NULL, counts_beyond, "only a count, a share or a time outside has it"},
    {"counts outside", NULL, NULL, counts_beyond, "only a count, a share or a time outside has it"},
    {"running days", is_running_days, "how many days run together, as 7", is_running_days,
     "only the period 'running days' has it"},
    {"last samples", is_last_samples, "how many samples count together, as 10", is_last_samples,
     "only the period 'last samples' has it"},
    {"replicates", counts_samples,
     "a sample in duplicate may be one of the last samples (averaged first) or two (each by "
     "itself)",
     NULL, NULL},
    {"week starts", is_week, "expected the day that a week begins on, as Monday", is_week,
     "only the period 'week' has it"},
    {"across months", crosses_months,
     "a week or a discharge run may lie across two months, and must belong somewhere",
     crosses_months, "only a week or a discharge run lies across two months"},
    {"across days", takes_composites,
     "a composite may lie across two days, and must belong to one of them", may_be_span,
     "only a composite lies across two days"},
    {"pH averaged as written", NULL, NULL, is_ph, "only pH has it"},
    {"tide table", has_tide, "the hours of a tide come from a table", has_tide,
     "there is no `tide`"},
    {"less-thans in a geometric mean", NULL, NULL, is_geometric, "there is no geometric mean"},
    {"less-thans alone", NULL, NULL, is_single,
     "the limit makes a figure of its readings, in which none stands alone"},
    {"less-thans beyond the bound", NULL, NULL, is_figure,
     "the limit takes single values, where it is `less-thans alone` that says it"},
    {"all less-thans", NULL, NULL, is_figure, "the limit makes no figure of its readings"},
    {"rounding", is_number,
     "expected none, half up to the bound, half up to 1 decimals or half even to 3 figures",
     is_number, "words can't be rounded"},
    {"reading stands", is_time, "a longer step between two readings is a gap in the time", NULL,
     NULL},
    {"between readings", is_time, "how a reading holds until the next one makes the time outside",
     has_standing, "it goes with `reading stands`"},
    {"flow", is_load, "a load is worked out from a flow", takes_flow,
     "only a load or a flow-weighted mean has it"},
    {"flow", is_weighted, "a flow-weighted mean weighs by a flow", NULL, NULL},
    {"load water", NULL, NULL, is_load, "only a load has it"},
    {"days without a result", lacks_results,
     "a load must say what is done on days with flow and no result", lacks_results,
     "only a load that is made day by day has it"},
    {"load factor", NULL, NULL, is_load, "only a load has it"},
    {"load flow unit", has_factor, "a factor is for a unit of flow and a unit of concentration",
     has_factor, "there is no `load factor`"},
    {"load concentration unit", has_factor,
     "a factor is for a unit of flow and a unit of concentration", has_factor,
     "there is no `load factor`"},
};

static void check_keys(struct field_reader *reader, const struct yaml *node,
                       const struct subject *subject)
{
    for (size_t i = 0; i < ARRAY_LEN(key_rules); i++) {
        if (key_rules[i].needed && key_rules[i].needed(subject))
            require_key(reader, node, key_rules[i].key, key_rules[i].because);
        else if (key_rules[i].has_place && !key_rules[i].has_place(subject))
            refuse_key(reader, node, key_rules[i].key, key_rules[i].otherwise);
    }
}

/* The first of the keys that the node has, or NULL. */
static const struct yaml *first_of(const struct yaml *node, const char *const *keys, size_t count)
{
    const struct yaml *found = NULL;

    for (size_t i = 0; i < count && !found; i++)
        found = yaml_find(node, keys[i]);

    return found;
}

static void check_bound(struct field_reader *reader, const struct yaml *node,
                        const struct subject *subject)
{
    static const char *const keys[] = {"not above", "below",   "not below",   "above",
                                       "from",      "must be", "must not be", "bound by"};
    static const char *const counts[] = {"counts above", "counts from", "counts below", "counts to",
                                         "counts outside"};
    const struct limit_bound *bound = &subject->limit->bound;

    if (!first_of(node, keys, ARRAY_LEN(keys)))
        field_problem(reader, node, NULL,
                      "%s lacks its bound: expected one of `not above`, `below`, `not below`, "
                      "`above` and `from`, or `must be`, `must not be` or `bound by`",
                      field_map_name(reader, &section_limit_table, node));
    if (bound->has_ceiling && bound->has_floor &&
        decimal_compare(bound->floor, bound->ceiling) >= 0)
        field_problem(reader, first_of(node, keys, ARRAY_LEN(keys)), NULL,
                      "%s: the lower bound is not under the upper one",
                      field_map_name(reader, &section_limit_table, node));
    if (counts_beyond(subject) && !first_of(node, counts, ARRAY_LEN(counts)))
        field_problem(reader, node, NULL,
                      "%s lacks the number beyond which it counts: expected one of `counts above`, "
                      "`counts from`, `counts below`, `counts to` and `counts outside`",
                      field_map_name(reader, &section_limit_table, node));
}

/* The word of a state must be one of the parameter's. */
static void check_state(struct field_reader *reader, const struct yaml *node,
                        const struct subject *subject)
{
    const char *word = subject->limit->bound_by.state;
    const char *key = yaml_find(node, "must be") ? "must be" : "must not be";
    const struct parameter *parameter = subject->parameter;
    size_t count = 0;

    if (!word || !parameter || parameter->kind != PARAMETER_STATE ||
        parameter_state(parameter, word))
        return;
    while (count < PARAMETER_STATES_MOST && parameter->states[count])
        count++;
    field_unknown(reader, yaml_find(node, key),
                  arena_printf(reader->mem, "word of '%s' called", parameter->key),
                  parameter->states, count);
}

/* Whether a choice was made in words that are known: else nothing follows from it. */
static bool choice_read(const struct yaml *node, const char *key, const char *const *words)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct yaml *value = yaml_find(node, key);

    if (!value || value->kind != YAML_TEXT)
        return false;
    for (size_t i = 0; words[i]; i++)
        if (str_equal_nocase(str_trim(mem, value->text), words[i]))
            return true;

    return false;
}

static bool choices_read(const struct yaml *node)
{
    return choice_read(node, "each day", limit_daily_words) &&
           choice_read(node, "statistic", limit_statistic_words) &&
           choice_read(node, "period", limit_period_words);
}

/* --- less-thans ------------------------------------------------------------------------------ */

/* Why the limit has no use for a rule on less-thans; NULL when it may have one. */
static const char *rule_without_place(const struct subject *subject)
{
    const struct limit *limit = subject->limit;

    if (subject->parameter && subject->parameter->kind == PARAMETER_COUNTER)
        return "a meter shows no less-thans, and its total is the difference of two readings";
    if (subject->parameter && subject->parameter->kind == PARAMETER_STATE)
        return "a word is never a less-than";
    if (limit->daily == DAILY_TOTAL)
        return "in the total of a flow a less-than counts as its number, and with a greater-than "
               "the day is not known";
    if (!limit_of_single_values(limit) || limit->single_less_than == SINGLE_BY_RULE)
        return NULL;
    if (limit_counts_beyond(limit))
        return "the limit holds every reading by itself against the number beyond which it counts, "
               "and a less-than is every value it allows. Leave it out, or add `less-thans alone: "
               "by the rule` where the licence says what number a less-than is";
    if (limit->statistic == STATISTIC_VALUE && limit->daily == DAILY_EVERY)
        return "the limit takes every reading by itself, and a less-than is every value it allows. "
               "Leave it out, or add `less-thans alone: by the rule` where the licence says what "
               "number a less-than is";

    return "a lowest or highest reading is one reading by itself, and a less-than is every value "
           "it allows. Leave it out, or add `less-thans alone: by the rule` where the licence says "
           "what number a less-than is";
}

static void check_less_thans(struct field_reader *reader, const struct yaml *node,
                             const struct subject *subject)
{
    static const char *const keys[] = {"less-thans", "between the limits",
                                       "not-detecteds by the same rule"};
    const char *why = rule_without_place(subject);

    if (!why)
        require_key(reader, node, "less-thans",
                    limit_of_single_values(subject->limit)
                        ? "`less-thans alone: by the rule` goes by it"
                        : "the limit makes a figure of its readings");
    for (size_t i = 0; why && i < ARRAY_LEN(keys); i++)
        refuse_key(reader, node, keys[i], why);
    if (why || limit_of_single_values(subject->limit))
        refuse_key(reader, node, "greater-thans",
                   why ? why
                       : "no figure is made of the readings, and a greater-than by itself is "
                         "every value it allows");
}

static void check_stated_numbers(struct field_reader *reader, const struct yaml *node,
                                 const struct limit *limit)
{
    static const char stated[] = "the rule says that the licence states a number";
    static const char unstated[] = "the rule takes no number";

    if (limit->less_than == LESS_THAN_STATED ||
        (limit->has_geometric_rule && limit->less_than_geometric == LESS_THAN_STATED))
        require_key(reader, node, "less-than number", stated);
    else
        refuse_key(reader, node, "less-than number", unstated);
    if (limit->greater_than == GREATER_THAN_STATED)
        require_key(reader, node, "greater-than number", stated);
    else
        refuse_key(reader, node, "greater-than number", unstated);
}

/* --- data and units -------------------------------------------------------------------------- */

/* Whether the clause works volumes out of a flow, which stops being known when its logger does. */
static bool flow_makes_volume(struct field_reader *reader, const struct subject *subject)
{
    const struct limit *limit = subject->limit;
    const char *water = takes_flow(subject)           ? limit->flow.parameter
                        : limit->daily == DAILY_TOTAL ? limit->parameter
                                                      : NULL;
    const struct parameter *parameter = water ? name_find_parameter(reader, water) : NULL;

    return parameter && parameter->kind == PARAMETER_NUMBER;
}

/* A mean of 7 days may else be that of one of them, and each day begins such a window anew. */
static void check_running_data(struct field_reader *reader, const struct yaml *node,
                               const struct limit *limit)
{
    if (limit->period == PERIOD_RUNNING_DAYS && limit->statistic != STATISTIC_VALUE &&
        !yaml_find(node, "at least") && !yaml_find(node, "covers"))
        field_problem(reader, node,
                      "Give `at least: 4 samples` or `covers: 75 %`, as the licence "
                      "has it; where it says nothing, ask the regulator.",
                      "%s lacks `at least` or `covers`: without it one sample alone makes the "
                      "figure of %d days running",
                      field_map_name(reader, &section_limit_table, node), limit->running_days);
}

static void check_data(struct field_reader *reader, const struct yaml *node,
                       const struct subject *subject)
{
    const struct limit *limit = subject->limit;

    if (choices_read(node))
        check_running_data(reader, node, limit);
    if (limit->least_coverage.coefficient > 0 && subject->parameter &&
        subject->parameter->kind != PARAMETER_COUNTER && limit->daily != DAILY_LOAD)
        require_key(reader, node, "reading stands",
                    "how much of the time is covered hangs on how long a reading stands");
    if (flow_makes_volume(reader, subject))
        require_key(reader, node, "reading stands",
                    "a longer step between two readings of the flow is a gap");
    if (clause_needs_discharge(reader, limit->station))
        require_key(reader, node, "only while discharging",
                    "at a discharge the clause must say whether it holds while the outlet is shut");
    if (limit->position)
        name_check_position(reader, yaml_find(node, "position"), limit->station, limit->position);
}

/* Put the canonical name in the place of a unit as the farm wrote it. */
static void check_unit(struct field_reader *reader, const struct yaml *node, const char *key,
                       const struct parameter *parameter, const char **unit)
{
    const struct yaml *value = yaml_find(node, key);
    const char *name = *unit && value ? name_unit(reader, value, *unit, parameter) : NULL;

    if (!name)
        return;
    *unit = name;
    field_spell(reader, value, name);
}

/* Whether a unit converts into one of these; told where it does not. */
static void check_unit_is(struct field_reader *reader, const struct yaml *value, const char *unit,
                          const char *one, const char *other, const char *what)
{
    const struct unit *is = !reader->stored && unit ? unit_named(reader->units, unit) : NULL;

    if (is && !unit_convertible(is, unit_named(reader->units, one)) &&
        !unit_convertible(is, unit_named(reader->units, other)))
        field_problem(reader, value, NULL, "'%s' is no unit of %s: expected one as %s", unit, what,
                      one);
}

/* Whether a limit on the time outside has its minutes where the readings' unit stands; told. */
static bool check_unit_of_time(struct field_reader *reader, const struct yaml *value,
                               const struct parameter *parameter)
{
    const struct unit *unit = NULL;
    struct err err = ERR_INIT;

    if (!value || value->kind != YAML_TEXT || !parameter ||
        !unit_find(reader->units, value->text, NULL, &unit, &err) ||
        !unit_convertible(unit, unit_named(reader->units, "min")) ||
        parameter_allows_unit(parameter, unit_name(unit)))
        return false;
    field_problem(reader, value, NULL,
                  "'%s' is not a unit for %s: `unit` is that of the readings, as %s; the minutes "
                  "or hours go in `time in`",
                  str_show(reader->mem, value->text, FARM_KEY_MOST), parameter->key,
                  parameter->unit);

    return true;
}

static void check_units(struct field_reader *reader, const struct yaml *node, struct limit *limit,
                        const struct parameter *parameter)
{
    /* The total of a flow is a volume: 2500 m3 in a day, or 2500 m3/day. */
    if (limit->daily == DAILY_TOTAL && parameter && parameter->kind == PARAMETER_NUMBER) {
        check_unit(reader, node, "unit", NULL, &limit->unit);
        check_unit_is(reader, yaml_find(node, "unit"), limit->unit, "m3", "m3/day", "a volume");
        return;
    }
    if (limit->daily != DAILY_LOAD) {
        if (limit_of_time(limit) && check_unit_of_time(reader, yaml_find(node, "unit"), parameter))
            return;
        check_unit(reader, node, "unit", parameter, &limit->unit);
        return;
    }
    check_unit(reader, node, "unit", NULL, &limit->unit);
    check_unit_is(reader, yaml_find(node, "unit"), limit->unit, "kg/day", "kg", "a load");
    check_unit(reader, node, "load flow unit", NULL, &limit->load_flow_unit);
    check_unit_is(reader, yaml_find(node, "load flow unit"), limit->load_flow_unit, "m3/day", "m3",
                  "flow");
    check_unit(reader, node, "load concentration unit", parameter, &limit->load_concentration_unit);
}

/* --- the whole ------------------------------------------------------------------------------- */

/* A period that the licence itself must know. */
static void check_licence(struct field_reader *reader, const struct yaml *node,
                          const struct limit *limit)
{
    const struct farm_licence *licence =
        limit->licence ? farm_find_licence(reader->farm, limit->licence) : NULL;
    bool has_outlet = false;

    if (!licence)
        return;
    if (limit->period == PERIOD_LICENCE_YEAR && licence->anniversary == 0)
        field_problem(
            reader, yaml_find(node, "period"), "Give the licence its anniversary, as 07-01.",
            "the licence '%s' has no `anniversary` that its year could begin on", licence->key);
    for (size_t i = 0; i < licence->point_count; i++)
        has_outlet = has_outlet || (str_equal(licence->points[i].station, limit->station) &&
                                    licence->points[i].outlet_station);
    if (limit->period == PERIOD_DISCHARGE_RUN && !has_outlet)
        field_problem(reader, yaml_find(node, "period"),
                      "A run goes from outlet opened to outlet shut: give the point its outlet.",
                      "the licence '%s' names no `outlet` for the station '%s'", licence->key,
                      limit->station ? limit->station : "");
}

void limit_check(struct field_reader *reader, const struct yaml *node, struct limit *limit,
                 bool had_problems)
{
    const struct parameter *parameter = name_find_parameter(reader, limit->parameter);
    const struct subject subject = {limit, parameter};
    size_t before = reader->problems->count;

    if (reader->stored)
        return;
    check_bound(reader, node, &subject);
    check_state(reader, node, &subject);
    if (parameter && choices_read(node)) {
        check_keys(reader, node, &subject);
        check_less_thans(reader, node, &subject);
    }
    check_stated_numbers(reader, node, limit);
    check_data(reader, node, &subject);
    check_units(reader, node, limit, parameter);
    check_licence(reader, node, limit);
    if (had_problems || reader->problems->count > before || !parameter)
        return;

    const char *why =
        limit_refuse(limit, parameter->kind == PARAMETER_COUNTER,
                     parameter->kind == PARAMETER_STATE, str_equal(parameter->unit, "pH"));

    if (why)
        field_problem(reader, node, NULL, "%s: %s",
                      field_map_name(reader, &section_limit_table, node), why);
    else
        limit_sense_check(reader, node, limit, parameter);
}
