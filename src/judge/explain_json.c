#include "judge/explain_json.h"

#include "base/str.h"
#include "judge/explain_json_parts.h"
#include "judge/limit_reads.h"

static const char *const side_words[] = {
    [SIDE_NONE] = NULL, [SIDE_ABOVE] = "above", [SIDE_BELOW] = "below"};

static const char *const beside_words[] = {[BESIDE_NONE] = NULL,
                                           [BESIDE_OLDER] = "the form before it",
                                           [BESIDE_CHANGED] = "a changed form"};

static const char *const discharge_words[] = {[DISCHARGE_YES] = "yes",
                                              [DISCHARGE_NONE] = "none",
                                              [DISCHARGE_UNKNOWN] = "unknown",
                                              [DISCHARGE_DISAGREES] = "disagrees"};

bool told_reads(const struct told *told, const char *station, const char *parameter)
{
    const struct verdict *verdict = told->verdict;

    return limit_reads_series(told->mem, verdict->limit, station, parameter) ||
           (verdict->beside &&
            limit_reads_series(told->mem, verdict->beside->limit, station, parameter));
}

void told_text(const struct told *told, const char *name, const char *value)
{
    if (value)
        json_put_name_text(told->json, name, value);
}

void told_flag(const struct told *told, const char *name, bool value)
{
    if (value)
        json_put_name_bool(told->json, name, true);
}

void told_exact(const struct told *told, const char *name, const struct exact *value)
{
    if (value)
        json_put_name_text(told->json, name, exact_ratio_text(told->mem, value));
}

void told_instant(const struct told *told, const char *name, instant at)
{
    json_put_name_text(told->json, name, at == INSTANT_NONE ? NULL : instant_text(told->mem, at));
}

void told_day(const struct told *told, const char *name, day_number day)
{
    json_put_name_text(told->json, name, day == DAY_NONE ? NULL : day_text(told->mem, day));
}

void told_qualifier(const struct told *told, const char *name, char qualifier)
{
    const char text[] = {qualifier, '\0'};

    json_put_name_text(told->json, name, text);
}

void told_origin(const struct told *told, struct origin origin)
{
    const struct explain_names *names = told->choices->names;
    const struct explain_place place =
        names ? names->place(names->context, origin) : (struct explain_place){.line = origin.line};

    if (place.file)
        json_put_name_text(told->json, "file", place.file);
    else
        json_put_name_text(told->json, "receipt",
                           arena_printf(told->mem, "%lld", (long long)origin.receipt));
    if (place.sheet)
        json_put_name_text(told->json, "sheet", place.sheet);
    json_put_name_int(told->json, place.sheet ? "row" : "line", place.line);
    json_put_name_int(told->json, "column", origin.column);
}

static void told_form(const struct told *told, const struct limit *limit)
{
    struct json_writer *json = told->json;

    json_put_name(json, "limit");
    json_put_object(json);
    json_put_name_text(json, "key", limit->key);
    json_put_name_text(json, "name", limit->name);
    told_text(told, "clause", limit->clause);
    told_text(told, "wording", limit->wording);
    told_text(told, "authority", limit->authority);
    told_text(told, "licence", limit->licence);
    told_text(told, "licence_version", limit->licence_version);
    json_put_name_int(json, "version", limit->version);
    json_put_name_text(json, "unit", limit->unit);
    json_put_name_text(json, "figure_unit", limit_figure_unit(told->mem, limit));
    told_day(told, "in_force_from", limit->in_force_from);
    told_day(told, "in_force_to", limit->in_force_to);
    json_put_name_bool(json, "confirmed", limit->confirmed);
    told_text(told, "lacks", limit->lacks);
    told_text(told, "judged_beside", beside_words[limit->beside]);
    json_put_name_int(json, "anniversary", limit->anniversary);
    json_put_name(json, "settings");
    json_put_json(json, limit->definition);
    json_put_object_end(json);
}

/* The other form, where a changed one is not compared with the licence yet. */
static void told_beside(const struct told *told)
{
    const struct verdict_beside *beside = told->verdict->beside;

    if (!beside)
        return;
    json_put_name(told->json, "beside");
    json_put_object(told->json);
    told_form(told, beside->limit);
    json_put_name_text(told->json, "standing", standing_name(beside->standing));
    json_put_name_text(told->json, "side", side_words[beside->side]);
    json_put_name_text(told->json, "words", beside->words);
    json_put_object_end(told->json);
}

static void told_period(const struct told *told)
{
    const struct verdict *verdict = told->verdict;

    json_put_name(told->json, "period");
    json_put_object(told->json);
    told_day(told, "from", verdict->from);
    told_day(told, "to", verdict->to);
    told_instant(told, "from_at", verdict->from_at);
    told_instant(told, "until_at", verdict->until_at);
    json_put_name_text(told->json, "zone", zone_name(told->evidence->zone));
    told_instant(told, "now", told->evidence->now);
    json_put_object_end(told->json);
}

static void told_standing(const struct told *told, enum standing standing, enum side side,
                          bool so_far)
{
    json_put_name_text(told->json, "standing", standing_name(standing));
    json_put_name_text(told->json, "side", side_words[side]);
    json_put_name_bool(told->json, "so_far", so_far);
}

static void told_counts(const struct told *told)
{
    const struct verdict *verdict = told->verdict;
    const struct {
        const char *name;
        size_t count;
    } counts[] = {
        {"samples", verdict->samples},
        {"timeless", verdict->timeless},
        {"together_days", verdict->together_days},
        {"less_thans", verdict->less_thans},
        {"not_detected", verdict->not_detected},
        {"not_told", verdict->not_told},
        {"beyond", verdict->beyond},
        {"set_aside", verdict->set_aside},
        {"asides_counted", verdict->asides_counted},
        {"left_out", verdict->left_out},
        {"undischarged", verdict->undischarged},
        {"in_doubt", verdict->in_doubt},
    };

    for (size_t i = 0; i < ARRAY_LEN(counts); i++)
        json_put_name_int(told->json, counts[i].name, (int64_t)counts[i].count);
    if (verdict->has_coverage)
        json_put_name_text(told->json, "coverage_percent",
                           decimal_text(told->mem, verdict->coverage));
}

static void told_verdict(const struct told *told)
{
    const struct verdict *verdict = told->verdict;
    struct json_writer *json = told->json;

    json_put_name(json, "verdict");
    json_put_object(json);
    told_standing(told, verdict->standing, verdict->side, verdict->so_far);
    json_put_name_bool(json, "near_bound", verdict->near_bound);
    json_put_name_bool(json, "rests_on_doubt", verdict->rests_on_doubt);
    told_text(told, "reason", verdict->reason);
    json_put_name_text(json, "words", verdict->words);
    told_exact(told, "figure", verdict->figure);
    told_exact(told, "compared", verdict->compared);
    told_exact(told, "load_factor", verdict->load_factor);
    told_text(told, "figure_text", verdict->figure_text);
    told_text(told, "compared_text", verdict->compared_text);
    told_text(told, "bound_text", verdict->bound_text);
    told_counts(told);
    if (verdict->window_count > 0)
        json_put_name_int(json, "worst_window", (int64_t)verdict->worst_window);
    json_put_object_end(json);
}

static const char *const water_words[] = {[LOAD_WATER_OF_DAY] = "of the day",
                                          [LOAD_WATER_WHILE_SAMPLING] = "while sampling",
                                          [LOAD_WATER_PERIOD_MEAN] = "the period's mean",
                                          [LOAD_MEAN_TIMES_VOLUME] = "of the period"};

/* What a load was made of: concentration x water x load_factor, place by place. */
static void told_loads(const struct told *told, const struct verdict_loads *loads)
{
    struct json_writer *json = told->json;

    if (!loads)
        return;
    json_put_name(json, "loads");
    json_put_array(json);
    for (size_t i = 0; i < loads->count; i++) {
        const struct verdict_load *load = &loads->items[i];

        json_put_object(json);
        json_put_name_int(json, "place", (int64_t)load->place);
        if (load->at != INSTANT_NONE)
            told_instant(told, "at", load->at);
        json_put_name_text(json, "water_used", water_words[load->water_used]);
        told_exact(told, "concentration", load->concentration);
        told_exact(told, "water", load->water);
        if (load->flow)
            told_instant(told, "flow_read_at", load->flow->at);
        told_exact(told, "load", load->load);
        json_put_object_end(json);
    }
    json_put_array_end(json);
}

static void told_days(const struct told *told)
{
    struct json_writer *json = told->json;

    json_put_name(json, "days");
    json_put_array(json);
    for (size_t i = 0; i < told->verdict->day_count; i++) {
        const struct verdict_day *day = &told->verdict->days[i];
        instant start = zone_day_start_at(told->evidence->zone, day->day,
                                          told->verdict->limit->day_starts_hour);
        instant end = zone_day_start_at(told->evidence->zone, day->day + 1,
                                        told->verdict->limit->day_starts_hour);

        json_put_object(json);
        told_day(told, "day", day->day);
        told_instant(told, "start", start);
        told_instant(told, "end", end);
        json_put_name_text(json, "discharge", discharge_words[day->discharge]);
        told_text(told, "because", day->discharge_because);
        json_put_name_int(json, "readings", (int64_t)day->readings);
        told_exact(told, "concentration", day->concentration);
        told_exact(told, "volume", day->volume);
        told_exact(told, "figure", day->figure);
        told_loads(told, day->loads);
        if (day->figure_qualifier != QUALIFIER_NONE)
            told_qualifier(told, "figure_qualifier", day->figure_qualifier);
        told_flag(told, "outside", day->outside);
        told_flag(told, "filled", day->filled);
        told_text(told, "note", day->note);
        json_put_object_end(json);
    }
    json_put_array_end(json);
}

/* When it was outside, of a clause on the time outside. */
static void told_runs(const struct told *told, const struct verdict_runs *runs)
{
    struct json_writer *json = told->json;

    if (!runs)
        return;
    json_put_name_bool(json, "outside_at_most", runs->at_most);
    json_put_name(json, "outside");
    json_put_array(json);
    for (size_t i = 0; i < runs->count; i++) {
        const struct verdict_run *run = &runs->items[i];

        json_put_object(json);
        told_instant(told, "from", run->from);
        told_instant(told, "until", run->until);
        told_exact(told, "whole", run->whole);
        told_exact(told, "within", run->within);
        told_flag(told, "begins_at_gap", run->begins_at_gap);
        told_flag(told, "ends_at_gap", run->ends_at_gap);
        json_put_object_end(json);
    }
    json_put_array_end(json);
}

static void told_window(const struct told *told, const struct verdict_window *window)
{
    struct json_writer *json = told->json;

    json_put_object(json);
    told_day(told, "from", window->from);
    told_day(told, "to", window->to);
    told_instant(told, "from_at", window->from_at);
    told_instant(told, "until_at", window->until_at);
    told_standing(told, window->standing, window->side, window->so_far);
    json_put_name_int(json, "samples", (int64_t)window->samples);
    json_put_name_int(json, "beyond", (int64_t)window->beyond);
    if (window->allowed != SIZE_MAX)
        json_put_name_int(json, "allowed", (int64_t)window->allowed);
    told_exact(told, "figure", window->figure);
    told_loads(told, window->loads);
    told_exact(told, "compared", window->compared);
    told_text(told, "compared_text", window->compared_text);
    told_text(told, "reason", window->reason);
    told_text(told, "note", window->note);
    told_runs(told, window->outside);
    json_put_object_end(json);
}

static void told_windows(const struct told *told)
{
    const struct verdict *verdict = told->verdict;
    struct json_writer *json = told->json;

    json_put_name(json, "windows");
    json_put_array(json);
    for (size_t i = 0; i < verdict->window_count; i++)
        told_window(told, &verdict->windows[i]);
    json_put_array_end(json);
    json_put_name(json, "across");
    json_put_array(json);
    for (size_t i = 0; i < verdict->across_count; i++) {
        const struct verdict_period *period = &verdict->across[i];

        json_put_object(json);
        told_day(told, "from", period->from);
        told_day(told, "to", period->to);
        json_put_name_text(json, "standing", standing_name(period->standing));
        told_text(told, "compared_text", period->compared_text);
        json_put_object_end(json);
    }
    json_put_array_end(json);
}

static void told_counters(const struct told *told)
{
    const struct evidence *evidence = told->evidence;
    struct json_writer *json = told->json;

    json_put_name(json, "counters");
    json_put_array(json);
    for (size_t i = 0; i < evidence->counter_count; i++) {
        const struct evidence_counter *counter = &evidence->counters[i];

        if (!told_reads(told, counter->station, counter->parameter))
            continue;
        json_put_object(json);
        json_put_name_text(json, "station", counter->station);
        json_put_name_text(json, "parameter", counter->parameter);
        json_put_name_text(json, "size", decimal_text(told->mem, counter->size));
        json_put_name_text(json, "multiplier", decimal_text(told->mem, counter->multiplier));
        json_put_name_text(json, "most_per_day", decimal_text(told->mem, counter->most_per_day));
        json_put_name_bool(json, "share_over_days", counter->share_over_days);
        json_put_name(json, "replaced_at");
        json_put_array(json);
        for (size_t k = 0; k < counter->replaced_count; k++)
            json_put_text(json, instant_text(told->mem, counter->replaced_at[k]));
        json_put_array_end(json);
        json_put_object_end(json);
    }
    json_put_array_end(json);
}

static bool goes_by_table(const struct told *told, const char *table)
{
    const struct verdict_beside *beside = told->verdict->beside;

    return str_equal(told->verdict->limit->tide.table, table) ||
           (beside && str_equal(beside->limit->tide.table, table));
}

static void told_tides(const struct told *told)
{
    const struct evidence *evidence = told->evidence;
    struct json_writer *json = told->json;

    json_put_name(json, "tides");
    json_put_array(json);
    for (size_t i = 0; i < evidence->tide_table_count; i++) {
        const struct evidence_tides *table = &evidence->tide_tables[i];

        if (!goes_by_table(told, table->key))
            continue;
        for (size_t k = 0; k < table->count; k++) {
            json_put_object(json);
            told_instant(told, "at", table->tides[k].at);
            json_put_name_text(json, "water", table->tides[k].is_high ? "high" : "low");
            json_put_object_end(json);
        }
    }
    json_put_array_end(json);
}

static void told_accreditations(const struct told *told)
{
    const struct evidence *evidence = told->evidence;
    const struct verdict_beside *beside = told->verdict->beside;
    bool asked = told->verdict->limit->accredited || (beside && beside->limit->accredited);
    struct json_writer *json = told->json;

    json_put_name(json, "accreditations");
    json_put_array(json);
    for (size_t i = 0; asked && i < evidence->accreditation_count; i++) {
        const struct evidence_accreditation *one = &evidence->accreditations[i];

        json_put_object(json);
        json_put_name_text(json, "made_by", one->made_by);
        told_text(told, "number", one->number);
        told_text(told, "parameter", one->parameter);
        told_text(told, "method", one->method);
        told_day(told, "from", one->from);
        told_day(told, "to", one->to);
        json_put_object_end(json);
    }
    json_put_array_end(json);
}

/* What a row set aside without a readable unit is tried in. */
static void told_parameter(const struct told *told, const char *key)
{
    const struct parameter *parameter = parameter_find(told->evidence->parameters, key);
    struct json_writer *json = told->json;

    if (!parameter) {
        json_put_null(json);
        return;
    }
    json_put_object(json);
    json_put_name_text(json, "key", parameter->key);
    json_put_name_text(json, "kind", parameter_kind_name(parameter->kind));
    told_text(told, "basis", parameter->basis);
    told_text(told, "unit", parameter->unit);
    json_put_name(json, "units");
    json_put_array(json);
    for (size_t i = 0; i < PARAMETER_UNITS_MOST && parameter->units[i]; i++)
        json_put_text(json, parameter->units[i]);
    json_put_array_end(json);
    json_put_object_end(json);
}

/* Of the readings that its bound and its conditions go by. */
static void told_others_parameters(const struct told *told)
{
    const struct limit *limit = told->verdict->limit;
    struct json_writer *json = told->json;

    json_put_name(json, "others");
    json_put_array(json);
    for (size_t i = 0; i < limit->bound_by.other_count; i++)
        told_parameter(told, limit->bound_by.others[i].parameter);
    if (limit->applies_while.other.parameter)
        told_parameter(told, limit->applies_while.other.parameter);
    json_put_array_end(json);
}

/* Of the limit itself, and of the flows and meters that it goes by. */
static void told_parameters(const struct told *told)
{
    const struct limit *limit = told->verdict->limit;
    struct json_writer *json = told->json;

    json_put_name(json, "parameter");
    told_parameter(told, limit->parameter);
    json_put_name(json, "water");
    json_put_array(json);
    if (limit->flow.parameter)
        told_parameter(told, limit->flow.parameter);
    for (size_t i = 0; limit->added_flows && i < limit->added_count; i++)
        told_parameter(told, limit->added_flows[i].parameter);
    if (limit->against.flow.parameter)
        told_parameter(told, limit->against.flow.parameter);
    json_put_array_end(json);
    told_others_parameters(told);
}

/* Of every day that is known, also around the period. */
static void told_discharge(const struct told *told)
{
    const struct evidence *evidence = told->evidence;
    struct json_writer *json = told->json;

    json_put_name(json, "discharge");
    json_put_array(json);
    for (size_t i = 0; i < evidence->day_count; i++) {
        json_put_object(json);
        told_day(told, "day", evidence->days[i].day);
        json_put_name_text(json, "state", discharge_words[evidence->days[i].state]);
        told_text(told, "because", evidence->days[i].because);
        told_text(told, "doubt", evidence->days[i].doubt);
        json_put_object_end(json);
    }
    json_put_array_end(json);
}

static void told_outlet(const struct told *told)
{
    const struct evidence *evidence = told->evidence;
    struct json_writer *json = told->json;

    json_put_name(json, "outlet");
    if (evidence->outlet_series < 0) {
        json_put_null(json);
        return;
    }
    json_put_object(json);
    json_put_name_int(json, "series", evidence->outlet_series);
    json_put_name_int(json, "state_holds_s", evidence->state_holds_s);
    json_put_object_end(json);
}

/* The same for people, line by line. */
static void told_lines(const struct told *told)
{
    struct explanation lines =
        judge_explain(told->mem, told->verdict, told->evidence, told->choices);

    json_put_name(told->json, "lines");
    json_put_array(told->json);
    for (size_t i = 0; i < lines.count; i++)
        json_put_text(told->json, lines.items[i]);
    json_put_array_end(told->json);
}

void judge_explain_json(struct arena *mem, const struct verdict *verdict,
                        const struct evidence *evidence, const struct explain_choices *choices,
                        struct json_writer *json)
{
    const struct told told = {mem, verdict, evidence, choices, json};

    json_put_object(json);
    told_form(&told, verdict->limit);
    told_period(&told);
    told_verdict(&told);
    told_beside(&told);
    told_windows(&told);
    told_days(&told);
    told_series(&told);
    if (verdict->limit->against.kind != AGAINST_NONE)
        told_pairs(&told);
    told_set_aside(&told);
    told_parameters(&told);
    told_discharge(&told);
    told_outlet(&told);
    told_counters(&told);
    told_tides(&told);
    told_accreditations(&told);
    told_day(&told, "licence_ends", evidence->licence_ends);
    told_lines(&told);
    json_put_object_end(json);
}
