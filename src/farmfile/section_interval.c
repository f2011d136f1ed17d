#include <string.h>

#include "base/str.h"
#include "farmfile/clause.h"

struct interval_reading {
    struct interval interval;
    struct section_span in_force;
    const char *change;
};

static const char *const amount_words[] = {"days", "day", NULL};

static void read_parameters(struct field_reader *reader, const struct field *field,
                            const struct yaml *value, void *into)
{
    struct interval *interval = into;

    if (!field_is_list(reader, field, value))
        return;

    const char **keys = ARENA_ARRAY(reader->mem, const char *, value->count);
    size_t count = 0;

    for (size_t i = 0; i < value->count; i++) {
        name_parameter(reader, field, value->items[i].value, &keys[count]);
        count += keys[count] != NULL;
    }
    interval->parameters = keys;
    interval->parameter_count = count;
    if (value->count == 0)
        field_problem(reader, value, NULL, "an empty list: expected the parameters of a sample");
}

static void read_at_most(struct field_reader *reader, const struct field *field,
                         const struct yaml *value, void *into)
{
    struct interval *interval = into;

    interval->shape = INTERVAL_AT_MOST_DAYS;
    value_amount(reader, field, value, &interval->days);
}

/* "1 in each week", "2 in each month". */
static void read_at_least(struct field_reader *reader, const struct field *field,
                          const struct yaml *value, void *into)
{
    struct interval *interval = into;
    const char *words[4];

    interval->shape = INTERVAL_PER_PERIOD;
    if (!field_is_text(reader, field, value))
        return;
    if (value_split(reader, value, words, 4) != 4 || strcmp(words[1], "in") != 0 ||
        strcmp(words[2], "each") != 0 ||
        (strcmp(words[3], "week") != 0 && strcmp(words[3], "month") != 0) ||
        !value_parse_count(words[0], 1, 1000, &interval->count)) {
        field_unfit(reader, field, value, NULL, 0);
        return;
    }
    interval->period = strcmp(words[3], "week") == 0 ? INTERVAL_WEEK : INTERVAL_MONTH;
}

static void read_week_starts(struct field_reader *reader, const struct field *field,
                             const struct yaml *value, void *into)
{
    int *day = into;
    int word = value_word(reader, field, value);

    if (word >= 0)
        *day = word + 1;
}

static void read_season(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into)
{
    struct interval *interval = into;
    struct clause_season season = {0};

    clause_season(reader, field, value, &season);
    interval->season_from = season.from;
    interval->season_to = season.to;
}

#define INTERVAL(key, need, read, member, expected)                                                \
    FIELD(key, need, read, struct interval_reading, member, expected)

static const struct field interval_fields[] = {
    {INTERVAL("key", FIELD_REQUIRED, value_key, interval.key, "a short name in lower case"),
     .apart = true},
    {INTERVAL("name", FIELD_REQUIRED, value_text, interval.name, "the interval's name"),
     .apart = true},
    {INTERVAL("licence", FIELD_REQUIRED, name_licence, interval.licence, "the key of a licence")},
    {INTERVAL("clause", FIELD_REQUIRED, value_text, interval.clause,
              "where it stands in the licence, as Table 2, row 3"),
     .apart = true},
    {INTERVAL("wording", FIELD_REQUIRED, value_text, interval.wording, "the licence's own words"),
     .apart = true},
    {INTERVAL("station", FIELD_REQUIRED, name_station, interval.station, "the key of a station")},
    {INTERVAL("position", FIELD_OPTIONAL, value_key, interval.position,
              "the key of one of the station's positions")},
    {INTERVAL("parameters", FIELD_REQUIRED, read_parameters, interval,
              "a list of parameters, each of which a sample needs a result of")},
    {INTERVAL("samples", FIELD_OPTIONAL, clause_kinds, interval.kinds,
              "the kinds that count, one or a list of them"),
     .words = clause_kind_words},
    {INTERVAL("at most", FIELD_OPTIONAL, read_at_most, interval,
              "the most days from one sample to the next, as 7 days"),
     .words = amount_words, .least = 1, .most = 3660},
    {INTERVAL("at least", FIELD_OPTIONAL, read_at_least, interval,
              "how many in what period, as 1 in each week or 2 in each month")},
    {INTERVAL("apart", FIELD_OPTIONAL, value_amount, interval.apart_days,
              "the fewest days from one sample to the next, as 5 days"),
     .words = amount_words, .least = 1, .most = 366},
    {INTERVAL("week starts", FIELD_OPTIONAL, read_week_starts, interval.week_starts,
              "a day of the week"),
     .words = clause_week_days},
    {INTERVAL("tolerance", FIELD_OPTIONAL, value_amount, interval.tolerance_days,
              "how many days later is late and not missed, as 2 days"),
     .words = amount_words, .least = 0, .most = 366},
    {INTERVAL("only while discharging", FIELD_OPTIONAL, value_yes_no,
              interval.only_while_discharging, "yes or no")},
    {INTERVAL("season", FIELD_OPTIONAL, read_season, interval,
              "the first and the last day of each year, as {from: 10-01, to: 04-30}"),
     .inside = &clause_season_table},
    {INTERVAL("in force", FIELD_REQUIRED, section_span, in_force,
              "the first and the last day, as {from: 2026-01-01, to: 2026-12-31}"),
     .inside = &section_span_table,
     .note = "From: the day from which you can show samples. What lies before is not asked for."},
    {INTERVAL("change", FIELD_OPTIONAL, clause_change, change, "why the interval is not as it was"),
     .words = clause_change_words, .passing = true},
};

const struct field_table section_interval_table = {"interval", interval_fields,
                                                   ARRAY_LEN(interval_fields)};

/* What could not be meant. An interval that an earlier program accepted goes on as it is. */
static void check_sense(struct field_reader *reader, const struct yaml *node,
                        const struct interval *interval)
{
    bool in_periods = yaml_find(node, "at least") != NULL;
    bool in_weeks = in_periods && interval->period == INTERVAL_WEEK;
    int length = !in_periods ? interval->days : in_weeks ? 7 : 31;

    if (reader->accepted || reader->stored || length == 0)
        return;
    if (!in_weeks && yaml_find(node, "week starts"))
        field_problem(reader, yaml_find(node, "week starts"), NULL,
                      "`week starts` has no place here: it goes with `at least` in each week");
    if (in_periods && (interval->count - 1) * interval->apart_days >= length)
        field_problem(reader, yaml_find(node, "apart"), NULL,
                      "%d samples can't lie %d days apart in a %s", interval->count,
                      interval->apart_days, in_weeks ? "week" : "month");
}

static void check_interval(struct field_reader *reader, const struct yaml *node,
                           const struct interval *interval)
{
    const char *name = field_map_name(reader, &section_interval_table, node);
    const struct yaml *at_most = yaml_find(node, "at most");
    const struct yaml *at_least = yaml_find(node, "at least");

    if (!at_most && !at_least)
        field_problem(
            reader, node, NULL,
            "%s lacks its shape: expected `at most: 7 days` or `at least: 1 in each week`", name);
    if (at_most && at_least)
        field_problem(reader, at_least, NULL,
                      "`at least` beside `at most`: expected one of them, or two intervals");
    if (!at_least && yaml_find(node, "apart"))
        field_problem(reader, yaml_find(node, "apart"), NULL,
                      "`apart` has no place here: it goes with `at least`");
    if (at_least && interval->period == INTERVAL_WEEK && interval->count > 0 &&
        !yaml_find(node, "week starts"))
        field_problem(reader, node, NULL,
                      "%s lacks `week starts`: expected the day that a week begins on, as Monday",
                      name);
    if (clause_needs_discharge(reader, interval->station) &&
        !yaml_find(node, "only while discharging"))
        field_problem(reader, node, NULL,
                      "%s lacks `only while discharging`: at a discharge the clause must say "
                      "whether samples are due while the outlet is shut",
                      name);
    if (interval->position)
        name_check_position(reader, yaml_find(node, "position"), interval->station,
                            interval->position);
    check_sense(reader, node, interval);
}

bool section_interval_read(struct field_reader *reader, const struct yaml *node,
                           struct farm_interval *out)
{
    struct interval_reading read = {.interval = {.week_starts = 1},
                                    .in_force = {DAY_NONE, DAY_NONE}};
    size_t before = reader->problems->count;

    if (!field_read_map(reader, &section_interval_table, node, &read))
        return false;
    read.interval.in_force_from = read.in_force.from;
    read.interval.in_force_to = read.in_force.to;
    clause_from_licence(reader, read.interval.licence, &read.interval.licence_version,
                        &read.interval.authority);
    check_interval(reader, node, &read.interval);
    out->interval = read.interval;
    out->change = read.change;

    return reader->problems->count == before;
}

void section_intervals(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    (void)into;
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct farm_interval interval = {0};

        if (section_interval_read(reader, node, &interval) &&
            value_key_once(reader, &section_interval_table, value, i)) {
            interval.interval.order = (int)reader->farm->intervals.count + 1;
            interval.definition =
                field_definition(reader, &section_interval_table, node, FIELD_ALL);
            interval.judged = field_definition(reader, &section_interval_table, node, FIELD_JUDGED);
            LIST_ADD(reader->mem, &reader->farm->intervals, interval);
        }
        reader->spellings.count = 0;
    }
}
