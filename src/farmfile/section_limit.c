#include <string.h>

#include "base/str.h"
#include "farmfile/clause.h"
#include "farmfile/limit_part.h"

static void read_methods(struct field_reader *reader, const struct field *field,
                         const struct yaml *value, void *into)
{
    struct limit *limit = into;
    struct texts texts = {0};

    if (!value_texts(reader, field, value, &texts))
        return;
    limit->methods = texts.items;
    limit->method_count = texts.count;
}

#define LIMIT(key, need, read, member, expected)                                                   \
    FIELD(key, need, read, struct limit_reading, member, expected)

/* The rows that are apart change no verdict: rewording a name asks no question. */
static const struct field limit_fields[] = {
    {LIMIT("key", FIELD_REQUIRED, value_key, limit.key, "a short name in lower case"),
     .apart = true},
    {LIMIT("name", FIELD_REQUIRED, value_text, limit.name, "the limit's name for people"),
     .apart = true},
    {LIMIT("licence", FIELD_REQUIRED, name_licence, limit.licence, "the key of a licence")},
    {LIMIT("clause", FIELD_REQUIRED, value_text, limit.clause,
           "where it stands in the licence, as Table 2, row 3"),
     .apart = true},
    {LIMIT("wording", FIELD_REQUIRED, value_text, limit.wording, "the licence's own words"),
     .apart = true},
    {LIMIT("station", FIELD_REQUIRED, name_station, limit.station, "the key of a station")},
    {LIMIT("position", FIELD_OPTIONAL, value_key, limit.position,
           "the key of one of the station's positions")},
    {LIMIT("parameter", FIELD_REQUIRED, name_parameter, limit.parameter, "the key of a parameter")},
    {LIMIT("unit", FIELD_REQUIRED, value_text, limit.unit,
           "the clause's own unit, in which it is judged")},
    {LIMIT("samples", FIELD_OPTIONAL, clause_kinds, limit.kinds,
           "the kinds that count, one or a list of them"),
     .words = clause_kind_words},
    {LIMIT("methods", FIELD_OPTIONAL, read_methods, limit, "a list of methods that count")},
    {LIMIT("only while discharging", FIELD_OPTIONAL, value_yes_no, limit.only_while_discharging,
           "yes or no")},
    {LIMIT("day starts at", FIELD_OPTIONAL, limit_part_hour, limit.day_starts_hour,
           "a full hour, as 07:00")},
    {LIMIT("each day", FIELD_REQUIRED, value_choice, limit.daily,
           "what is made of each day before the statistic"),
     .words = limit_daily_words,
     .note = "Every reading: nothing is made, each counts by itself. Total: what a running meter "
             "or a flow let through. Load: the day's mean concentration times the day's volume."},
    {LIMIT("statistic", FIELD_REQUIRED, value_choice, limit.statistic,
           "the figure that is compared with the bound"),
     .words = limit_statistic_words, .note = "Value: each figure keeps the bound by itself."},
    {LIMIT("period", FIELD_REQUIRED, value_choice, limit.period, "what the figure is made over"),
     .words = limit_period_words},
    {LIMIT("not above", FIELD_OPTIONAL, limit_part_ceiling, limit.bound, "a number")},
    {LIMIT("below", FIELD_OPTIONAL, limit_part_under, limit.bound, "a number")},
    {LIMIT("not below", FIELD_OPTIONAL, limit_part_floor, limit.bound, "a number")},
    {LIMIT("above", FIELD_OPTIONAL, limit_part_over, limit.bound, "a number")},
    {LIMIT("from", FIELD_OPTIONAL, limit_part_range, limit.bound,
           "two numbers, as in from: 6.5 to 9.0; both of them are within")},
    {LIMIT("less-thans", FIELD_OPTIONAL, value_choice, limit.less_than,
           "what a less-than counts as in the figure"),
     .words = less_than_words,
     .note = "<4 counts as 0, 2, 4 or the number stated; with 'not said' a figure that has one "
             "is not assessable. Needed where a figure is made of several results."},
    {LIMIT("less-than number", FIELD_OPTIONAL, value_number, limit.less_than_stated,
           "the number that the licence states, in the clause's unit")},
    {LIMIT("greater-thans", FIELD_OPTIONAL, value_choice, limit.greater_than,
           "what a greater-than counts as in the figure"),
     .words = greater_than_words,
     .note = ">2420 counts as the number stated, or as 2421; refused: a figure that has one is "
             "not assessable."},
    {LIMIT("greater-than number", FIELD_OPTIONAL, value_number, limit.greater_than_stated,
           "the number that the licence states, in the clause's unit")},
    {LIMIT("not-detecteds by the same rule", FIELD_OPTIONAL, value_yes_no,
           limit.not_detected_allowed,
           "yes if a not-detected whose limit is not told counts by the rule for less-thans")},
    {LIMIT("rounding", FIELD_REQUIRED, limit_part_rounding, limit,
           "none, half up to the bound, half up to 1 decimals or half even to 3 figures")},
    {LIMIT("at least", FIELD_OPTIONAL, value_amount, limit.least_samples,
           "how many samples the figure needs, as 4 samples"),
     .words = limit_part_sample_words, .least = 1, .most = 100000},
    {LIMIT("covers", FIELD_OPTIONAL, value_percent, limit.least_coverage,
           "how much of the time must be covered, as 75 %")},
    {LIMIT("reading stands", FIELD_OPTIONAL, value_amount, limit.reading_stands_s,
           "how long a reading of a probe covers at most, as 20 minutes"),
     .words = limit_part_minute_words, .least = 1, .most = 60 * 24 * 31},
    {LIMIT("flow", FIELD_OPTIONAL, name_place, flow, "the station and parameter of the flow"),
     .inside = &name_place_table},
    {LIMIT("load factor", FIELD_OPTIONAL, limit_part_factor, limit.load_factor,
           "the licence's factor, as 8.34 or 1/1000")},
    {LIMIT("load flow unit", FIELD_OPTIONAL, value_text, limit.load_flow_unit,
           "the unit of flow that the factor is for, as MGD")},
    {LIMIT("load concentration unit", FIELD_OPTIONAL, value_text, limit.load_concentration_unit,
           "the unit of concentration that the factor is for, as mg/L")},
    {LIMIT("days without a result", FIELD_OPTIONAL, value_choice, limit.load_gap,
           "what is done on days with flow and no result"),
     .words = load_gap_words,
     .note = "Needed for a load. Left out: only days with a result count. Period mean: the mean "
             "concentration of the month stands in and is marked."},
    {LIMIT("margin", FIELD_OPTIONAL, limit_part_margin, limit,
           "the farm's own margin, as 10 % or 2 mg/L"),
     .apart = true},
    {LIMIT("in force", FIELD_REQUIRED, section_span, in_force,
           "the first and the last day, as {from: 2026-01-01, to: 2026-12-31}"),
     .inside = &section_span_table},
    {LIMIT("across a change", FIELD_OPTIONAL, value_choice, limit.change,
           "which clause judges a period in which it changed"),
     .words = change_words, .note = "Not said: such a period is not assessable."},
    {LIMIT("change", FIELD_OPTIONAL, clause_change, change, "why the limit is not as it was"),
     .words = clause_change_words, .passing = true},
};

const struct field_table section_limit_table = {"limit", limit_fields, ARRAY_LEN(limit_fields)};

bool section_limit_read(struct field_reader *reader, const struct yaml *node,
                        struct farm_limit *out)
{
    struct limit_reading read = {.in_force = {DAY_NONE, DAY_NONE}};
    size_t before = reader->problems->count;

    if (!field_read_map(reader, &section_limit_table, node, &read))
        return false;
    read.limit.in_force_from = read.in_force.from;
    read.limit.in_force_to = read.in_force.to;
    read.limit.flow.station = read.flow.station;
    read.limit.flow.parameter = read.flow.parameter;
    read.limit.reading_stands_s *= 60;
    clause_from_licence(reader, read.limit.licence, &read.limit.licence_version,
                        &read.limit.authority);
    limit_part_check(reader, node, &read, reader->problems->count > before);
    out->limit = read.limit;
    out->change = read.change;

    return reader->problems->count == before;
}

void section_limits(struct field_reader *reader, const struct field *field,
                    const struct yaml *value, void *into)
{
    (void)into;
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct farm_limit limit = {0};

        if (section_limit_read(reader, node, &limit) &&
            value_key_once(reader, &section_limit_table, value, i)) {
            limit.limit.order = (int)reader->farm->limits.count + 1;
            limit.definition = field_definition(reader, &section_limit_table, node, FIELD_ALL);
            limit.judged = field_definition(reader, &section_limit_table, node, FIELD_JUDGED);
            LIST_ADD(reader->mem, &reader->farm->limits, limit);
        }
        reader->spellings.count = 0;
    }
}
