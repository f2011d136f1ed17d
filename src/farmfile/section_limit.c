#include <string.h>

#include "base/str.h"
#include "farmfile/bound_part.h"
#include "farmfile/clause.h"
#include "farmfile/limit_check.h"
#include "farmfile/limit_part.h"
#include "farmfile/moment.h"
#include "farmfile/place_part.h"
#include "farmfile/when_part.h"

/* A limit as it is read, with the parts that the struct keeps elsewhere. */
struct limit_reading {
    struct limit limit;
    struct texts stations; /* of a clause for several, each by itself */
    struct section_span in_force;
    struct name_place flow;
    const char *change;
};

/* The first of belongs_words: a composite is one result, and is not cut. */
static const char *const span_words[] = {"where it began", "where it ended",
                                         "where most of it lies", NULL};
static const char *const cause_words[] = {"count", "left out", NULL};
static const char *const beyond_words[] = {"not assessable", "by the rule", NULL};
static const char *const all_less_words[] = {"by the rule", "less than the largest", NULL};

#define LIMIT(key, need, read, member, expected)                                                   \
    FIELD(key, need, read, struct limit_reading, member, expected)
#define NEEDED(key, read, member, expected) LIMIT(key, FIELD_REQUIRED, read, member, expected)
#define MAY_BE(key, read, member, expected) LIMIT(key, FIELD_OPTIONAL, read, member, expected)

/*
 * The rows that are apart change no verdict: rewording a name asks no question. Keys are added
 * and never moved past each other: stored forms are compared as texts.
 */
static const struct field limit_fields[] = {
    {NEEDED("key", value_key, limit.key, "a short name in lower case"), .apart = true},
    {NEEDED("name", value_text, limit.name, "the limit's name for people"), .apart = true},
    {NEEDED("licence", name_licence, limit.licence, "the key of a licence")},
    {NEEDED("clause", value_text, limit.clause,
            "where it stands in the licence, as Table 2, row 3"),
     .apart = true},
    {NEEDED("wording", value_text, limit.wording, "the licence's own words"), .apart = true},

    /* where and what */
    {MAY_BE("station", name_station, limit.station, "the key of a station")},
    {MAY_BE("stations", place_part_stations, stations,
            "a list of stations, each of which is judged by itself"),
     .note = "In the place of `station`. Each becomes a limit of its own, `solids--outlet-2`."},
    {MAY_BE("position", value_key, limit.position, "the key of one of the station's positions")},
    {MAY_BE("added with", place_part_added, limit,
            "a list of stations whose daily totals or loads are added to this one's"),
     .inside = &place_part_added_table},
    {MAY_BE("compared with", place_part_against, limit.against,
            "another place along the flow path, as {station: intake, as: difference, paired: same "
            "day}"),
     .inside = &place_part_against_table},
    {NEEDED("parameter", name_parameter, limit.parameter, "the key of a parameter")},
    {MAY_BE("unit", value_text, limit.unit, "the clause's own unit, in which it is judged"),
     .note = "Needed but for states. All numbers of the limit are in it, but for counts, shares "
             "and times."},
    {MAY_BE("samples", clause_kinds, limit.kinds, "the kinds that count, one or a list of them"),
     .words = clause_kind_words, .note = "Left out: every kind. Derived: worked out from others."},
    {MAY_BE("methods", place_part_methods, limit, "a list of methods that count")},
    {MAY_BE("instruments", place_part_instruments, limit,
            "a list of instruments or laboratories that count, as files name them")},
    {MAY_BE("taken by", place_part_takers, limit,
            "a list of people whose samples count, as files name them")},
    {MAY_BE("accredited laboratory", value_yes_no, limit.accredited,
            "yes if only a laboratory that is accredited for it on that day may say it"),
     .note = "A result of another laboratory is then in doubt: it can show an excess, and clears "
             "nothing. See the section `laboratories`."},
    {MAY_BE("samples that look for a cause", value_either, limit.without_looking_for_cause,
            "whether samples that look for a cause count"),
     .words = cause_words, .note = "Left out of the farm file: they count."},
    {MAY_BE("replicates", value_choice, limit.replicates,
            "what is done with several portions of one sample"),
     .words = alike_words,
     .note = "Needed for last samples. Left out of the farm file: each by itself."},
    {MAY_BE("side by side", value_choice, limit.side_by_side,
            "what is done with several instruments at one instant"),
     .words = alike_words},

    /* when */
    {MAY_BE("only while discharging", value_yes_no, limit.only_while_discharging, "yes or no")},
    {MAY_BE("hours", when_part_hours, limit.hours,
            "the hours of the day in which it applies, as 06:00 to 18:00")},
    {MAY_BE("tide", when_part_tide, limit.tide,
            "when it applies, as 1 hour before to 3 hours after high water"),
     .note = "Or low water."},
    {MAY_BE("tide table", when_part_tide_table, limit.tide.table, "the key of a tide table")},
    {MAY_BE("season", when_part_season, limit.season,
            "the first and the last day of each year, as {from: 05-01, to: 09-30}"),
     .inside = &clause_season_table},
    {MAY_BE("while", when_part_while, limit.applies_while,
            "another reading that it applies by, as {station: gauge, parameter: rain, unit: mm, "
            "above: 10, within: 24 hours}"),
     .note = "The newest reading at that time, at most so old, decides: 14 mm yesterday and 3 mm "
             "today is 3 mm today, and the limit does not apply then.",
     .inside = &when_part_while_table},
    {MAY_BE("day starts at", limit_part_hour, limit.day_starts_hour, "a full hour, as 07:00")},
    {MAY_BE("across days", value_choice_set, limit.span_belongs,
            "which day a composite across two days belongs to"),
     .words = span_words, .note = "Needed where composites count."},

    /* figures */
    {NEEDED("each day", value_choice, limit.daily, "what is made of each day before the statistic"),
     .words = limit_daily_words,
     .note = "Every reading: nothing is made, each counts by itself. Total: what a running meter "
             "or a flow let through. Load: the day's mean concentration times the day's volume."},
    {NEEDED("statistic", value_choice, limit.statistic,
            "the figure that is compared with the bound"),
     .words = limit_statistic_words, .note = "Value: each figure keeps the bound by itself."},
    {MAY_BE("percentile", value_number, limit.settings.percent, "a number of percent, as 90")},
    {MAY_BE("by the rule of", limit_part_word, limit.settings.percentile_rule,
            "the rule that the percentile goes by"),
     .words = limit_part_percentile_rules,
     .note = "Type 1 to 9 are those of Hyndman and Fan (1996)."},
    {MAY_BE("z", value_number, limit.settings.z, "the z of a log-normal percentile, as 1.282")},
    {MAY_BE("deviation", value_choice_set, limit.settings.deviation,
            "the deviation of a log-normal percentile"),
     .words = deviation_words, .note = "Sample: by n - 1. Population: by n."},
    {MAY_BE("counts above", bound_part_counts_above, limit.settings.beyond,
            "a number: what lies above it counts")},
    {MAY_BE("counts from", bound_part_counts_from, limit.settings.beyond,
            "a number: it and what lies above it count")},
    {MAY_BE("counts below", bound_part_counts_below, limit.settings.beyond,
            "a number: what lies below it counts")},
    {MAY_BE("counts to", bound_part_counts_to, limit.settings.beyond,
            "a number: it and what lies below it count")},
    {MAY_BE("counts outside", bound_part_counts_outside, limit.settings.beyond,
            "two numbers, as 6.0 to 9.0: what lies below the one or above the other counts")},
    {MAY_BE("change within", moment_length, limit.settings.change_span_s,
            "the time within which a change happens, as 1 hour"),
     .words = moment_length_words, .least = 1, .most = 31 * 86400},
    {MAY_BE("direction", value_choice, limit.settings.change_direction,
            "which way a change or rate goes"),
     .words = change_direction_words},
    {MAY_BE("rate per", limit_part_time, limit.settings.rate_per_s, "the time that a rate is per"),
     .words = limit_part_time_words},
    {MAY_BE("time in", limit_part_time, limit.settings.time_unit_s, "the unit of a time outside"),
     .words = limit_part_times_words},
    {MAY_BE("pH averaged as written", value_yes_no, limit.ph_mean_as_written,
            "yes if the clause says that the written values of pH are averaged")},
    {NEEDED("period", value_choice, limit.period, "what the figure is made over"),
     .words = limit_period_words},
    {MAY_BE("running days", value_count, limit.running_days, "how many days, as 7"), .least = 2,
     .most = 366, .note = "A figure of them needs `at least` or `covers`."},
    {MAY_BE("last samples", value_count, limit.last_samples, "how many samples, as 10"), .least = 2,
     .most = 1000},
    {MAY_BE("week starts", value_choice, limit.week_starts, "a day of the week"),
     .words = clause_week_days},
    {MAY_BE("across months", value_choice_set, limit.period_belongs,
            "which month a week or a discharge run across two months belongs to"),
     .words = belongs_words, .note = "By its days: the week is cut at the month's end."},

    /* the bound */
    {MAY_BE("not above", bound_part_ceiling, limit.bound, "a number")},
    {MAY_BE("below", bound_part_under, limit.bound, "a number")},
    {MAY_BE("not below", bound_part_floor, limit.bound, "a number")},
    {MAY_BE("above", bound_part_over, limit.bound, "a number")},
    {MAY_BE("from", bound_part_range, limit.bound,
            "two numbers, as in from: 6.5 to 9.0; both of them are within")},
    {MAY_BE("must be", bound_part_must_be, limit.bound_by, "the word of a state that must be read"),
     .note = "For parameters that are states."},
    {MAY_BE("must not be", bound_part_must_not_be, limit.bound_by,
            "the word of a state that must not be read")},
    {MAY_BE("bound by", bound_part_by, limit.bound_by,
            "a bound that goes by other readings at the same time"),
     .inside = &bound_part_by_table},
    {MAY_BE("allowed beyond", bound_part_allowed, limit.allowance,
            "how many may lie beyond the bound, as 2, 2 of 12 or 10 %, or the rows of a printed "
            "table, as [{samples: 4 to 7, allowed: 1}]"),
     .inside = &bound_part_allowed_table,
     .note = "2 of 12: of more than 12 no more than these 2; of fewer it is not assessable."},
    {MAY_BE("outside only if", bound_part_across, limit,
            "how many periods running must be beyond the bound, as 2 of 6 periods"),
     .note = "Of this period and the 5 before it: 2 beyond make it outside, even if it keeps the "
             "bound itself."},

    /* less-thans */
    {MAY_BE("less-thans", value_choice, limit.less_than,
            "what a less-than counts as in the figure"),
     .words = less_than_words,
     .note =
         "<4 counts as 0, 2, 4 or the number stated; with 'not said' a figure that has one "
         "is not assessable. Needed where a figure is made of several results, and refused where "
         "each result is held against a number by itself."},
    {MAY_BE("less-than number", value_number, limit.less_than_stated,
            "the number that the licence states, in the clause's unit")},
    {MAY_BE("less-thans in a geometric mean", limit_part_geometric, limit,
            "what a less-than counts as where the figure is a geometric mean"),
     .words = less_than_words},
    {MAY_BE("between the limits", value_choice, limit.between,
            "what a result between its detection and its quantitation limit counts as"),
     .words = between_words},
    {MAY_BE("less-thans alone", value_choice, limit.single_less_than,
            "what a less-than is against a bound on single values"),
     .words = single_less_than_words,
     .note = "What it allows: <30 keeps a ceiling of 30, <50 leaves it open. Within: the licence "
             "says that it complies."},
    {MAY_BE("less-thans beyond the bound", value_either, limit.beyond_by_rule,
            "what a figure is that has a less-than which reaches beyond the bound"),
     .words = beyond_words},
    {MAY_BE("all less-thans", value_either, limit.largest_if_all,
            "what a figure of nothing but less-thans is"),
     .words = all_less_words},
    {MAY_BE("greater-thans", value_choice, limit.greater_than,
            "what a greater-than counts as in the figure"),
     .words = greater_than_words,
     .note = ">2420 counts as the number stated, or as 2421; refused: a figure that has one is "
             "not assessable."},
    {MAY_BE("greater-than number", value_number, limit.greater_than_stated,
            "the number that the licence states, in the clause's unit")},
    {MAY_BE("not-detecteds by the same rule", value_yes_no, limit.not_detected_allowed,
            "yes if a not-detected whose limit is not told counts by the rule for less-thans")},

    /* rounding, data, loads */
    {MAY_BE("rounding", limit_part_rounding, limit,
            "none, half up to the bound, half up to the bound's figures, half up to 1 decimals or "
            "half even to 3 figures"),
     .note = "Needed but for states. Once, at the end, in the clause's unit."},
    {MAY_BE("at least", value_amount, limit.least_samples,
            "how many samples the figure needs, as 4 samples"),
     .words = limit_part_sample_words, .least = 1, .most = 100000},
    {MAY_BE("covers", value_percent, limit.least_coverage,
            "how much of the time must be covered, as 75 %")},
    {MAY_BE("reading stands", moment_length, limit.reading_stands_s,
            "how long a reading of a probe covers at most, as 20 minutes"),
     .words = moment_length_words, .least = 1, .most = 31 * 86400,
     .note = "A longer step is a gap: `covers` counts it as not covered, and of a flow it leaves "
             "the whole day without a volume."},
    {MAY_BE("between readings", value_choice, limit.standing_rule,
            "how a reading of a probe holds until the next one"),
     .words = standing_rule_words},
    {MAY_BE("flow", name_place, flow, "the station and parameter of the flow"),
     .inside = &name_place_table,
     .note = "Where `derived` works it out at that station, only what is worked out counts as the "
             "water, and no reading stored there beside it: give one of them another parameter to "
             "choose the other."},
    {MAY_BE("load water", value_choice, limit.load_water, "which water a load is made with"),
     .words = load_water_words, .note = "Left out: the day's."},
    {MAY_BE("load factor", limit_part_factor, limit.load_factor,
            "the licence's factor, as 8.34 or 1/1000")},
    {MAY_BE("load flow unit", value_text, limit.load_flow_unit,
            "the unit of flow that the factor is for, as MGD")},
    {MAY_BE("load concentration unit", value_text, limit.load_concentration_unit,
            "the unit of concentration that the factor is for, as mg/L")},
    {MAY_BE("days without a result", value_choice, limit.load_gap,
            "what is done on days with flow and no result"),
     .words = load_gap_words,
     .note = "Needed for a load. Left out: only days with a result count. Period mean: the mean "
             "concentration of the period stands in and is marked."},
    {MAY_BE("margin", limit_part_margin, limit, "the farm's own margin, as 10 % or 2 mg/L"),
     .apart = true},
    {NEEDED("in force", section_span, in_force,
            "the first and the last day, as {from: 2026-01-01, to: 2026-12-31}"),
     .inside = &section_span_table},
    {MAY_BE("across a change", value_choice, limit.change,
            "which clause judges a period in which it changed"),
     .words = change_words,
     .note = "Not said: such a period is not assessable. 'new' judges the whole of it by this "
             "clause, readings from before its first day too; 'old' leaves what "
             "begins before that day to the clause before it, if there was one."},
    {MAY_BE("change", clause_change, change, "why the limit is not as it was"),
     .words = clause_change_words, .passing = true},
};

const struct field_table section_limit_table = {"limit", limit_fields, ARRAY_LEN(limit_fields)};

/* What the licence says for all its limits. */
static void take_from_licence(const struct field_reader *reader, struct limit *limit)
{
    const struct farm_licence *licence =
        limit->licence ? farm_find_licence(reader->farm, limit->licence) : NULL;

    clause_from_licence(reader, limit->licence, &limit->licence_version, &limit->authority);
    limit->anniversary = licence ? licence->anniversary : 0;
}

/*
 * What a limit lacks is a problem, but of one that an earlier program accepted, which goes on being
 * judged and clears nothing until a mended farm file is loaded.
 */
static void check_or_note(struct field_reader *reader, const struct yaml *node, struct limit *limit,
                          size_t before)
{
    size_t checked = reader->problems->count;

    limit_check(reader, node, limit, checked > before);
    if (!reader->accepted || checked > before || reader->problems->count == checked)
        return;
    limit->lacks = arena_printf(reader->mem, "this version asks more of the farm file: %s",
                                reader->problems->items[checked].words);
    reader->problems->count = checked;
}

bool section_limit_read(struct field_reader *reader, const struct yaml *node,
                        struct farm_limit *out)
{
    struct limit_reading read = {.in_force = {DAY_NONE, DAY_NONE}};
    size_t before = reader->problems->count;

    if (!field_read_map(reader, &section_limit_table, node, &read))
        return false;
    if (!yaml_find(node, "station"))
        field_problem(reader, node, NULL, "%s lacks `station`: expected the key of a station",
                      field_map_name(reader, &section_limit_table, node));
    read.limit.in_force_from = read.in_force.from;
    read.limit.in_force_to = read.in_force.to;
    read.limit.flow.station = read.flow.station;
    read.limit.flow.parameter = read.flow.parameter;
    if (!read.limit.unit)
        read.limit.unit = "";
    take_from_licence(reader, &read.limit);
    check_or_note(reader, node, &read.limit, before);
    out->limit = read.limit;
    out->change = read.change;

    return reader->problems->count == before;
}

/* `node` as item `position` of the list says it, or as it is for one of its stations. */
static void add_limit(struct field_reader *reader, const struct yaml *node, const struct yaml *list,
                      size_t position)
{
    struct farm_limit limit = {0};

    if (!section_limit_read(reader, node, &limit) ||
        !value_key_once(reader, &section_limit_table, list, position))
        return;
    if (farm_find_limit(reader->farm, limit.limit.key)) {
        field_problem(reader, yaml_find(node, "key"), "Give one of them another key.",
                      "the limit '%s' is given twice", limit.limit.key);
        return;
    }
    limit.limit.order = (int)reader->farm->limits.count + 1;
    limit.definition = field_definition(reader, &section_limit_table, node, FIELD_ALL);
    limit.judged = field_definition(reader, &section_limit_table, node, FIELD_JUDGED);
    key_index_add(reader->mem, &reader->farm->limit_keys, limit.limit.key,
                  reader->farm->limits.count);
    LIST_ADD(reader->mem, &reader->farm->limits, limit);
}

/* --- a clause for several stations, each by itself ------------------------------------------- */

static const struct yaml *text_node(struct field_reader *reader, const struct yaml *at,
                                    const char *text)
{
    struct yaml *node = ARENA_NEW(reader->mem, struct yaml);

    *node = (struct yaml){
        .kind = YAML_TEXT, .line = at->line, .column = at->column, .quoted = true, .text = text};

    return node;
}

/* The limit as if it had been written for one of its stations. */
static const struct yaml *for_station(struct field_reader *reader, const struct yaml *node,
                                      const struct yaml *station)
{
    const struct farm_station *found = farm_find_station(reader->farm, station->text);
    struct yaml_item *items = ARENA_ARRAY(reader->mem, struct yaml_item, node->count);
    struct yaml *one = ARENA_NEW(reader->mem, struct yaml);

    for (size_t i = 0; i < node->count; i++) {
        const struct yaml *key = node->items[i].key;
        const struct yaml *value = node->items[i].value;

        items[i] = node->items[i];
        if (str_equal(key->text, "stations"))
            items[i] = (struct yaml_item){text_node(reader, key, "station"), station};
        else if (str_equal(key->text, "key"))
            items[i].value = text_node(
                reader, value, arena_printf(reader->mem, "%s--%s", value->text, station->text));
        else if (str_equal(key->text, "name") && found)
            items[i].value = text_node(
                reader, value, arena_printf(reader->mem, "%s, %s", value->text, found->name));
    }
    *one = *node;
    one->items = items;

    return one;
}

/* False, and told, where the limit can't be taken apart by its stations. */
static bool stations_fit(struct field_reader *reader, const struct yaml *node,
                         const struct yaml *stations)
{
    static const struct field row = {.key = "stations", .expected = "a list of stations"};
    size_t before = reader->problems->count;
    const struct yaml *key = yaml_find(node, "key");
    struct texts texts = {0};

    if (yaml_find(node, "station"))
        field_problem(reader, stations, NULL, "`stations` beside `station`: expected one of them");
    place_part_stations(reader, &row, stations, &texts);
    for (size_t i = 0; key && i < texts.count; i++)
        if (strlen(key->text) + 2 + strlen(texts.items[i]) > FARM_KEY_MOST)
            field_problem(reader, key, "Give the limit a shorter key.",
                          "'%s--%s' is longer than the %d letters a key may have", key->text,
                          texts.items[i], FARM_KEY_MOST);

    return reader->problems->count == before;
}

static void add_limits(struct field_reader *reader, const struct yaml *list, size_t position)
{
    const struct yaml *node = list->items[position].value;
    const struct yaml *stations = yaml_find(node, "stations");
    size_t before = reader->problems->count;

    if (!stations_fit(reader, node, stations))
        return;
    for (size_t i = 0; i < stations->count && reader->problems->count == before; i++) {
        add_limit(reader, for_station(reader, node, stations->items[i].value), list, position);
        reader->spellings.count = 0;
    }
}

void section_limits(struct field_reader *reader, const struct field *field,
                    const struct yaml *value, void *into)
{
    (void)into;
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;

        if (node->kind == YAML_MAP && yaml_find(node, "stations"))
            add_limits(reader, value, i);
        else
            add_limit(reader, node, value, i);
        reader->spellings.count = 0;
    }
}
