#include "base/str.h"
#include "judge/beside.h"
#include "judge/explain_json_parts.h"

static const struct {
    unsigned kind;
    const char *word;
} kinds[] = {{KIND_GRAB, "grab"},
             {KIND_COMPOSITE, "composite"},
             {KIND_PROBE, "probe"},
             {KIND_BY_HAND, "by hand"},
             {KIND_DERIVED, "derived"}};

static const char *kind_word(unsigned kind)
{
    for (size_t i = 0; i < ARRAY_LEN(kinds); i++)
        if (kinds[i].kind == kind)
            return kinds[i].word;

    return NULL;
}

static void told_limit(const struct told *told, const char *name, struct decimal limit)
{
    if (limit.coefficient != 0)
        json_put_name_text(told->json, name, decimal_text(told->mem, limit));
}

static void told_first(const struct told *told, const struct evidence_reading *reading)
{
    struct json_writer *json = told->json;

    if (!reading->corrected)
        return;
    json_put_name(json, "first");
    json_put_object(json);
    told_qualifier(told, "qualifier", reading->first_qualifier);
    json_put_name_text(json, "reported", decimal_text(told->mem, reading->first_reported));
    told_text(told, "unit", reading->first_unit);
    json_put_object_end(json);
}

/* What people did beside it. */
static void told_beside(const struct told *told, const struct reading_beside *beside)
{
    struct json_writer *json = told->json;

    if (beside && beside->corrected) {
        json_put_name(json, "correction");
        json_put_object(json);
        json_put_name_text(json, "by", beside->corrected->person);
        told_text(told, "second", beside->corrected->second_person);
        told_instant(told, "at", beside->corrected->at);
        json_put_name_text(json, "because", beside->corrected->because);
        json_put_object_end(json);
    }
    if (beside && beside->checked) {
        json_put_name(json, "checked");
        json_put_object(json);
        json_put_name_text(json, "document", beside->checked->document);
        json_put_name_int(json, "number", beside->checked->number);
        json_put_name_text(json, "by", beside->checked->person);
        told_instant(told, "at", beside->checked->at);
        json_put_name_bool(json, "corrected_since", beside->checked->corrected_since);
        json_put_object_end(json);
    }
    if (beside && beside->typed) {
        json_put_name(json, "typed");
        json_put_object(json);
        json_put_name_text(json, "typed", beside->typed->typed);
        json_put_name_text(json, "in_place_of", beside->typed->text);
        json_put_name_text(json, "by", beside->typed->person);
        told_instant(told, "at", beside->typed->at);
        json_put_object_end(json);
    }
}

static void told_others(const struct told *told, const struct verdict_other *others, size_t count)
{
    struct json_writer *json = told->json;

    if (count == 0)
        return;
    json_put_name(json, "held_against");
    json_put_array(json);
    for (size_t i = 0; i < count; i++) {
        json_put_object(json);
        json_put_name_int(json, "series", others[i].series);
        json_put_name_int(json, "reading", (int64_t)others[i].reading);
        told_exact(told, "value", others[i].value);
        json_put_object_end(json);
    }
    json_put_array_end(json);
}

/* What was made of a reading in this verdict. */
static void told_item(const struct told *told, const struct verdict_item *item)
{
    struct json_writer *json = told->json;

    json_put_name(json, "judged");
    json_put_object(json);
    told_day(told, "day", item->day);
    told_exact(told, "value", item->value);
    told_exact(told, "used", item->used);
    json_put_name_bool(json, "counted", item->counted);
    told_flag(told, "outside", item->outside);
    told_flag(told, "decided", item->decided);
    told_text(told, "doubt", item->doubt);
    told_text(told, "why_not", item->why_not);
    json_put_name_int(json, "place", (int64_t)item->place);
    told_exact(told, "bound", item->bound);
    if (item->has_beside)
        told_exact(told, "bound_by_row", item->beside_bound);
    told_others(told, item->others, item->other_count);
    json_put_object_end(json);
}

/* The instants at which the state of a reading still held and was judged. */
static void told_held(const struct told *told, const struct evidence_reading *reading)
{
    struct json_writer *json = told->json;

    json_put_name(json, "held");
    json_put_array(json);
    for (size_t i = 0; i < told->verdict->item_count; i++) {
        const struct verdict_item *item = &told->verdict->items[i];

        if (item->held_at == INSTANT_NONE ||
            &told->evidence->series[item->series].readings[item->reading] != reading)
            continue;
        json_put_object(json);
        told_instant(told, "at", item->held_at);
        told_item(told, item);
        json_put_object_end(json);
    }
    json_put_array_end(json);
}

static void told_reading(const struct told *told, const struct evidence_reading *reading,
                         const struct verdict_item *item)
{
    struct json_writer *json = told->json;
    bool has_number = reading->qualifier != QUALIFIER_NOT_DETECTED;

    json_put_object(json);
    told_instant(told, "at", reading->at);
    if (reading->until != reading->at)
        told_instant(told, "until", reading->until);
    told_qualifier(told, "qualifier", reading->qualifier);
    if (has_number)
        json_put_name_text(json, "reported", decimal_text(told->mem, reading->reported));
    told_text(told, "unit", reading->unit);
    told_limit(told, "detection", reading->detection);
    told_limit(told, "quantitation", reading->quantitation);
    told_text(told, "sample", reading->sample);
    told_text(told, "replicate", reading->replicate);
    told_text(told, "taken_by", reading->taken_by);
    told_flag(told, "looks_for_cause", reading->looks_for_cause);
    told_flag(told, "never_counts", !reading->counts);
    told_text(told, "doubt", reading->doubt);
    told_text(told, "left_out", reading->left_out);
    told_flag(told, "corrected", reading->corrected);
    told_text(told, "corrected_by", reading->corrected_by);
    told_first(told, reading);
    told_beside(told, reading->beside);
    told_inputs(told, reading->inputs, reading->input_count);
    told_origin(told, reading->origin);
    if (item)
        told_item(told, item);
    if (told->verdict->limit->bound_by.kind == BOUND_STATE)
        told_held(told, reading);
    json_put_object_end(json);
}

/* Items by series and reading. */
static const struct verdict_item **items_of(const struct told *told, size_t series)
{
    size_t count = told->evidence->series[series].count;
    const struct verdict_item **items = ARENA_ARRAY(told->mem, const struct verdict_item *, count);

    for (size_t i = 0; i < told->verdict->item_count; i++)
        if (told->verdict->items[i].series == series &&
            told->verdict->items[i].held_at == INSTANT_NONE)
            items[told->verdict->items[i].reading] = &told->verdict->items[i];

    return items;
}

/* The instrument on record, and the checks that its readings rest on. */
static void told_instrument(const struct told *told, const struct evidence_series *series)
{
    struct json_writer *json = told->json;

    if (!series->instrument)
        return;
    json_put_name_text(json, "instrument", series->instrument);
    json_put_name(json, "checks");
    json_put_array(json);
    for (size_t i = 0; i < series->check_count; i++) {
        json_put_object(json);
        json_put_name_int(json, "visit", series->checks[i].visit);
        told_instant(told, "at", series->checks[i].at);
        json_put_name_bool(json, "left_good", series->checks[i].left_good);
        json_put_name_text(json, "words", series->checks[i].words);
        json_put_object_end(json);
    }
    json_put_array_end(json);
}

static void told_one_series(const struct told *told, size_t index)
{
    const struct evidence_series *series = &told->evidence->series[index];
    const struct verdict_item **items = items_of(told, index);
    struct json_writer *json = told->json;

    json_put_object(json);
    json_put_name_int(json, "series", (int64_t)index);
    json_put_name_text(json, "station", series->station);
    told_text(told, "position", series->position);
    json_put_name_text(json, "parameter", series->parameter);
    told_text(told, "method", series->method);
    told_text(told, "made_by", series->made_by);
    told_text(told, "kind", kind_word(series->kind));
    told_by(told, series->by);
    told_instrument(told, series);
    json_put_name(json, "readings");
    json_put_array(json);
    for (size_t i = 0; i < series->count; i++)
        told_reading(told, &series->readings[i], items[i]);
    json_put_array_end(json);
    json_put_object_end(json);
}

static bool is_of_outlet(const struct evidence *evidence, const struct evidence_series *series)
{
    const struct evidence_series *outlet =
        evidence->outlet_series < 0 ? NULL : &evidence->series[evidence->outlet_series];

    return outlet && str_equal(series->station, outlet->station) &&
           str_equal(series->parameter, outlet->parameter);
}

void told_series(const struct told *told)
{
    const struct evidence *evidence = told->evidence;
    struct json_writer *json = told->json;

    json_put_name(json, "series");
    json_put_array(json);
    for (size_t i = 0; i < evidence->series_count; i++) {
        const struct evidence_series *series = &evidence->series[i];

        if (is_of_outlet(evidence, series) || told_reads(told, series->station, series->parameter))
            told_one_series(told, i);
    }
    json_put_array_end(json);
}

static void told_roles(const struct told *told, unsigned roles)
{
    static const struct {
        enum aside_role role;
        const char *word;
    } words[] = {{ASIDE_OWN, "own"},       {ASIDE_AGAINST, "against"}, {ASIDE_WATER, "water"},
                 {ASIDE_OUTLET, "outlet"}, {ASIDE_CONDITION, "while"}, {ASIDE_BOUND, "bound"}};

    json_put_name(told->json, "roles");
    json_put_array(told->json);
    for (size_t i = 0; i < ARRAY_LEN(words); i++)
        if ((roles & words[i].role) != 0)
            json_put_text(told->json, words[i].word);
    json_put_array_end(told->json);
}

static void told_row(const struct told *told, const struct verdict_aside *aside)
{
    const struct evidence_set_aside *row = &told->evidence->set_aside[aside->row];
    struct json_writer *json = told->json;

    json_put_object(json);
    told_text(told, "station", row->station);
    told_text(told, "parameter", row->parameter);
    told_instant(told, "at", row->at);
    if (row->has_value || row->qualifier == QUALIFIER_NOT_DETECTED)
        told_qualifier(told, "qualifier", row->qualifier);
    if (row->has_value)
        json_put_name_text(json, "reported", decimal_text(told->mem, row->value));
    told_text(told, "unit", row->unit);
    told_text(told, "reason", row->reason);
    told_flag(told, "from_probe", row->from_probe);
    told_flag(told, "all_read", row->all_read);
    told_by(told, row->by);
    told_inputs(told, row->inputs, row->input_count);
    told_text(told, "contradicts", row->contradicts);
    told_flag(told, "beside_stored", row->beside_stored);
    told_origin(told, row->origin);
    json_put_name(json, "judged");
    json_put_object(json);
    told_exact(told, "least", aside->least);
    told_exact(told, "most", aside->most);
    told_roles(told, aside->roles);
    told_flag(told, "of_water", aside->of_water);
    if (aside->of_water && aside->day != DAY_NONE) {
        told_day(told, "day", aside->day);
        told_exact(told, "without_m3", aside->without);
        told_exact(told, "with_least_m3", aside->with_least);
        told_exact(told, "with_most_m3", aside->with_most);
    }
    json_put_name_bool(json, "counted", aside->counted);
    told_flag(told, "outside", aside->outside);
    told_flag(told, "decided", aside->decided);
    json_put_object_end(json);
    json_put_object_end(json);
}

void told_set_aside(const struct told *told)
{
    json_put_name(told->json, "set_aside");
    json_put_array(told->json);
    for (size_t i = 0; i < told->verdict->set_aside; i++)
        told_row(told, &told->verdict->asides[i]);
    json_put_array_end(told->json);
}

static void told_span(const struct told *told, const char *name, const struct verdict_span *span)
{
    json_put_name(told->json, name);
    json_put_object(told->json);
    told_exact(told, "least", span->least);
    told_exact(told, "most", span->most);
    json_put_object_end(told->json);
}

static void told_pair(const struct told *told, const struct verdict_pair *pair)
{
    const struct verdict *verdict = told->verdict;
    struct json_writer *json = told->json;

    json_put_object(json);
    if (pair->at != INSTANT_NONE)
        told_instant(told, "at", pair->at);
    if (pair->day != DAY_NONE)
        told_day(told, "day", pair->day);
    if (pair->window != SIZE_MAX)
        json_put_name_int(json, "window", (int64_t)pair->window);
    if (pair->item != SIZE_MAX) {
        json_put_name_int(json, "series", (int64_t)verdict->items[pair->item].series);
        json_put_name_int(json, "reading", (int64_t)verdict->items[pair->item].reading);
    }
    told_span(told, "discharge", &pair->discharge);
    if (pair->has_intake)
        told_span(told, "intake", &pair->intake);
    told_span(told, "result", &pair->result);
    told_flag(told, "outside", pair->outside);
    told_text(told, "why_not", pair->why_not);
    told_others(told, pair->others, pair->other_count);
    json_put_object_end(json);
}

void told_pairs(const struct told *told)
{
    json_put_name(told->json, "pairs");
    json_put_array(told->json);
    for (size_t i = 0; i < told->verdict->pair_count; i++)
        told_pair(told, &told->verdict->pairs[i]);
    json_put_array_end(told->json);
}
