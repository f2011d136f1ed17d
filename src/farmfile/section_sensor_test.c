#include "base/str.h"
#include "farmfile/amount.h"
#include "farmfile/moment.h"
#include "farmfile/sensor_part.h"

/* How far back a test may have to look, and how many readings may be flat. */
enum { REACH_DAYS_MOST = 62, READINGS_MOST = 10000, MONTH_S = 31 * 86400 };

/* --- ranges and seasons ---------------------------------------------------------------------- */

static bool is_less(const struct farm_number *a, const struct farm_number *b)
{
    return decimal_compare(a->number, b->number) < 0;
}

static void check_range(struct field_reader *reader, const struct yaml *node,
                        const struct sensor_read_range *range)
{
    if (!range->low.given && !range->high.given)
        field_problem(reader, node, NULL,
                      "neither `low` nor `high`: expected at least one of them");
    else if (range->low.given && range->high.given && !is_less(&range->low, &range->high))
        field_problem(reader, node, NULL, "`low` must be below `high`");
}

static const struct field range_fields[] = {
    {FIELD("low", FIELD_OPTIONAL, amount_number, struct sensor_read_range, low, "a number, as 0")},
    {FIELD("high", FIELD_OPTIONAL, amount_number, struct sensor_read_range, high,
           "a number, as 20")},
};

static const struct field_table range_table = {"range", range_fields, ARRAY_LEN(range_fields)};

static void read_range(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    size_t before = reader->problems->count;

    (void)field;
    if (field_read_map(reader, &range_table, value, into) && reader->problems->count == before)
        check_range(reader, value, into);
}

static const struct field season_fields[] = {
    {FIELD("from", FIELD_REQUIRED, value_season, struct sensor_read_season, from,
           "its first day, month and day, as 12-01")},
    {FIELD("to", FIELD_REQUIRED, value_season, struct sensor_read_season, to,
           "its last day, month and day, as 02-28")},
    {FIELD("low", FIELD_OPTIONAL, amount_number, struct sensor_read_season, expected.low,
           "a number, as 5")},
    {FIELD("high", FIELD_OPTIONAL, amount_number, struct sensor_read_season, expected.high,
           "a number, as 9")},
};

static const struct field_table season_table = {"season", season_fields, ARRAY_LEN(season_fields)};

static void read_seasons(struct field_reader *reader, const struct field *field,
                         const struct yaml *value, void *into)
{
    struct sensor_read_test *test = into;

    if (!field_is_list(reader, field, value))
        return;
    test->seasons = ARENA_ARRAY(reader->mem, struct sensor_read_season, value->count);
    for (size_t i = 0; i < value->count; i++) {
        size_t before = reader->problems->count;
        struct sensor_read_season season = {0};

        if (!field_read_map(reader, &season_table, value->items[i].value, &season) ||
            reader->problems->count > before)
            continue;
        check_range(reader, value->items[i].value, &season.expected);
        test->seasons[test->season_count++] = season;
    }
    if (value->count == 0)
        field_problem(reader, value, "Leave the key out where there is none.",
                      "an empty list in `seasons`");
}

/* --- steps ----------------------------------------------------------------------------------- */

#define STEP(key, member, expected)                                                                \
    {                                                                                              \
        FIELD(key, FIELD_OPTIONAL, amount_number_above, struct sensor_read_steps, member,          \
              expected)                                                                            \
    }

static const struct field spike_fields[] = {
    STEP("suspect", suspect, "a number above 0, as 1"),
    STEP("fail", fail, "a number above 0, as 3"),
};

static const struct field rate_fields[] = {
    STEP("suspect", suspect, "a number above 0, as 2"),
    STEP("fail", fail, "a number above 0, as 4"),
    {FIELD("per", FIELD_REQUIRED, moment_length, struct sensor_read_steps, per_s,
           "the time that the change is in, as 1 hour"),
     .words = moment_length_words, .least = 1, .most = MONTH_S},
};

static const struct field_table spike_table = {"spike", spike_fields, ARRAY_LEN(spike_fields)};
static const struct field_table rate_table = {"rate of change", rate_fields,
                                              ARRAY_LEN(rate_fields)};

static void read_steps(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    struct sensor_read_steps *steps = into;
    size_t before = reader->problems->count;

    if (!field_read_map(reader, field->inside, value, steps) || reader->problems->count > before)
        return;
    if (!steps->suspect.given && !steps->fail.given)
        field_problem(reader, value, NULL,
                      "neither `suspect` nor `fail`: expected at least one of them");
    else if (steps->suspect.given && steps->fail.given && is_less(&steps->fail, &steps->suspect))
        field_problem(reader, value, NULL, "`suspect` must not be above `fail`");
}

/* --- flat line ------------------------------------------------------------------------------- */

static void read_after(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    struct sensor_read_after *after = into;
    const char *words[2];
    int count = 0;

    if (!field_is_text(reader, field, value))
        return;

    bool is_pair = value_split(reader, value, words, 2) == 2;

    if (is_pair && str_equal(words[1], "readings") &&
        value_parse_count(words[0], 2, READINGS_MOST, &count))
        after->readings = count;
    else if (is_pair && moment_parse_length(words[0], words[1], &count) && count <= MONTH_S)
        after->seconds = count;
    if (after->readings == 0 && after->seconds == 0)
        field_unfit(reader, field, value, NULL, 0);
}

static const struct field flat_fields[] = {
    {FIELD("within", FIELD_REQUIRED, amount_number, struct sensor_read_flat, within,
           "how much it may move and still be flat, as 0.01")},
    {FIELD("suspect after", FIELD_OPTIONAL, read_after, struct sensor_read_flat, suspect,
           "how long, as 3 hours or 5 readings")},
    {FIELD("fail after", FIELD_OPTIONAL, read_after, struct sensor_read_flat, fail,
           "how long, as 6 hours or 10 readings")},
};

static const struct field_table flat_table = {"flat line", flat_fields, ARRAY_LEN(flat_fields)};

static void read_flat(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    struct sensor_read_flat *flat = into;
    size_t before = reader->problems->count;

    (void)field;
    if (!field_read_map(reader, &flat_table, value, flat) || reader->problems->count > before)
        return;
    if (flat->within.number.coefficient < 0)
        field_problem(reader, yaml_find(value, "within"), NULL, "`within` must not be below 0");
    if (!yaml_find(value, "suspect after") && !yaml_find(value, "fail after"))
        field_problem(reader, value, NULL,
                      "neither `suspect after` nor `fail after`: expected at least one of them");
    else if ((flat->fail.seconds > 0 && flat->suspect.seconds > flat->fail.seconds) ||
             (flat->fail.readings > 0 && flat->suspect.readings > flat->fail.readings))
        field_problem(reader, value, NULL, "`suspect after` must not be longer than `fail after`");
}

/* --- one item -------------------------------------------------------------------------------- */

#define TEST(key, need, read, member, expected)                                                    \
    FIELD(key, need, read, struct sensor_read_test, member, expected)

static const struct field test_fields[] = {
    {TEST("station", FIELD_REQUIRED, name_station, test.station, "the key of a station")},
    {TEST("position", FIELD_OPTIONAL, value_key, test.position,
          "the key of one of the station's positions")},
    {TEST("parameter", FIELD_REQUIRED, name_parameter, test.parameter, "the key of a parameter")},
    {TEST("instrument", FIELD_OPTIONAL, value_text, test.instrument,
          "the instrument, as its source names it"),
     .note = "Left out, every probe of the parameter there. The first item that fits a series "
             "is the one that it is tested by."},
    {TEST("unit", FIELD_OPTIONAL, value_text, test.unit,
          "the unit of the thresholds; left out, the parameter's own")},
    {TEST("gap", FIELD_OPTIONAL, moment_length, gap_s,
          "the longest time between two readings, as 30 minutes"),
     .words = moment_length_words, .least = 1, .most = MONTH_S,
     .note = "Longer is a gap, over which readings are no neighbours. A gap puts none in doubt."},
    {TEST("sensor range", FIELD_OPTIONAL, read_range, sensor,
          "what the sensor can read, as {low: 0, high: 20}"),
     .inside = &range_table, .note = "A reading beyond it fails."},
    {TEST("expected range", FIELD_OPTIONAL, read_range, expected,
          "what is expected here, as {low: 5, high: 14}"),
     .inside = &range_table, .note = "A reading beyond it is suspect."},
    {.key = "seasons",
     .read = read_seasons,
     .expected = "what is expected in parts of the year, as [{from: 12-01, to: 02-28, high: 9}]",
     .inside = &season_table,
     .note = "A reading beyond it is suspect."},
    {TEST("spike", FIELD_OPTIONAL, read_steps, spike,
          "how far from the mean of its neighbours, as {suspect: 1, fail: 3}"),
     .inside = &spike_table},
    {TEST("rate of change", FIELD_OPTIONAL, read_steps, rate,
          "how fast from one reading to the next, as {suspect: 2, fail: 4, per: 1 hour}"),
     .inside = &rate_table},
    {TEST("flat line", FIELD_OPTIONAL, read_flat, flat,
          "as {within: 0.01, suspect after: 3 hours, fail after: 6 hours}"),
     .inside = &flat_table},
};

const struct field_table section_sensor_test_table = {"sensor test", test_fields,
                                                      ARRAY_LEN(test_fields)};

static bool is_asked(const struct yaml *node, const char *key)
{
    return yaml_find(node, key) != NULL;
}

/* --- checks ---------------------------------------------------------------------------------- */

static void check_asked(struct field_reader *reader, const struct yaml *node)
{
    static const char *const neighbours[] = {"spike", "rate of change", "flat line"};
    static const char *const others[] = {"gap", "sensor range", "expected range", "seasons"};
    bool any = false;

    for (size_t i = 0; i < ARRAY_LEN(others); i++)
        any = any || is_asked(node, others[i]);
    for (size_t i = 0; i < ARRAY_LEN(neighbours); i++) {
        any = any || is_asked(node, neighbours[i]);
        if (is_asked(node, neighbours[i]) && !is_asked(node, "gap"))
            field_problem(reader, yaml_find(node, neighbours[i]),
                          "Add `gap:`, the longest time between two readings that still follow "
                          "each other.",
                          "`%s` needs `gap`", neighbours[i]);
    }
    if (!any)
        field_problem(reader, node, NULL,
                      "no test is asked for: expected one of gap, sensor "
                      "range, expected range, seasons, spike, rate of change, "
                      "flat line");
}

static void check_once(struct field_reader *reader, const struct yaml *node,
                       const struct farm_sensor_test *test)
{
    for (size_t i = 0; i < reader->farm->sensor_tests.count; i++) {
        if (str_equal(reader->farm->sensor_tests.items[i].key, test->key))
            field_problem(reader, node, NULL, "a second set of tests for %s", test->key);
    }
}

static void check_place(struct field_reader *reader, const struct yaml *node,
                        const struct farm_sensor_test *test)
{
    struct farm_place place = {test->station, test->position, test->parameter};

    if (test->position)
        name_check_position(reader, yaml_find(node, "position"), test->station, test->position);
    amount_place_kind(reader, yaml_find(node, "parameter"), &place, PARAMETER_NUMBER,
                      "a parameter whose readings are numbers, as oxygen");
}

/* --- the section ----------------------------------------------------------------------------- */

static bool conversion_find(struct field_reader *reader, const struct yaml *node,
                            struct farm_sensor_test *test, struct unit_conversion *out)
{
    const struct parameter *parameter = name_find_parameter(reader, test->parameter);
    struct err err = ERR_INIT;

    if (!parameter || parameter->kind != PARAMETER_NUMBER)
        return false;
    test->unit = test->unit ? name_unit(reader, yaml_find(node, "unit"), test->unit, parameter)
                            : parameter->unit;
    if (!test->unit)
        return false;
    if (unit_conversion(reader->units, reader->mem, unit_named(reader->units, test->unit),
                        unit_named(reader->units, parameter->unit), out, &err))
        return true;
    field_problem(reader, node, NULL, "%s", err.text);

    return false;
}

static void settle(struct field_reader *reader, const struct yaml *node,
                   const struct sensor_read_test *read, struct farm_sensor_test *test)
{
    struct unit_conversion conversion = {.is_same = true};

    if (!conversion_find(reader, node, test, &conversion))
        return;
    test->rules.zone = reader->farm->zone;
    sensor_part_settle(reader->mem, &conversion, read, test);
    if (sensor_rules_reach_us(&test->rules) > REACH_DAYS_MOST * DAY_US &&
        sensor_rules_reach_us(&test->rules) < INT64_MAX)
        field_problem(reader, node,
                      "Make `gap` shorter, or ask for fewer readings or a shorter time.",
                      "these tests look further back than %d days", (int)REACH_DAYS_MOST);
}

void section_sensor_tests(struct field_reader *reader, const struct field *field,
                          const struct yaml *value, void *into)
{
    (void)into;
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct sensor_read_test read = {.gap_s = 0};

        if (!field_read_map(reader, &section_sensor_test_table, node, &read) ||
            !read.test.station || !read.test.parameter)
            continue;

        struct farm_sensor_test test = read.test;

        test.key =
            arena_printf(reader->mem, "%s %s%s%s%s%s", test.station, test.parameter,
                         test.position ? " at " : "", test.position ? test.position : "",
                         test.instrument ? " by " : "", test.instrument ? test.instrument : "");
        check_place(reader, node, &test);
        check_asked(reader, node);
        check_once(reader, node, &test);
        settle(reader, node, &read, &test);
        test.definition = field_definition(reader, &section_sensor_test_table, node, FIELD_ALL);
        LIST_ADD(reader->mem, &reader->farm->sensor_tests, test);
        reader->spellings.count = 0;
    }
}
