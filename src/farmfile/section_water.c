#include <string.h>

#include "base/str.h"
#include "farmfile/moment.h"
#include "farmfile/section.h"

/* --- stations -------------------------------------------------------------------------------- */

/* Kinds of station, in words that are stored. */
static const char *const station_kinds[] = {
    "intake",   "feed-pond",       "header-tank",  "tank",       "pond",  "discharge",
    "overflow", "receiving-water", "growing-area", "rain-gauge", "other", NULL};

static void read_station_kind(struct field_reader *reader, const struct field *field,
                              const struct yaml *value, void *into)
{
    const char **kind = into;
    int word = value_word(reader, field, value);

    if (word >= 0)
        *kind = station_kinds[word];
}

static const struct field position_fields[] = {
    {FIELD("key", FIELD_REQUIRED, value_key, struct farm_position, key,
           "a short name in lower case, as surface")},
    {FIELD("name", FIELD_REQUIRED, value_text, struct farm_position, name, "the position's name")},
};

static const struct field_table position_table = {"position", position_fields,
                                                  ARRAY_LEN(position_fields)};

static void read_positions(struct field_reader *reader, const struct field *field,
                           const struct yaml *value, void *into)
{
    struct farm_station *station = into;

    if (!field_is_list(reader, field, value))
        return;

    struct farm_position *positions = ARENA_ARRAY(reader->mem, struct farm_position, value->count);
    size_t count = 0;

    for (size_t i = 0; i < value->count; i++) {
        struct farm_position position = {0};

        if (field_read_map(reader, &position_table, value->items[i].value, &position) &&
            value_key_once(reader, &position_table, value, i) && position.key)
            positions[count++] = position;
    }
    station->positions = positions;
    station->position_count = count;
}

static const struct field fall_fields[] = {
    {FIELD("more than", FIELD_REQUIRED, value_number, struct farm_station, salinity_fall,
           "a number of PSU, as 3")},
    {FIELD("within", FIELD_REQUIRED, moment_length, struct farm_station, salinity_fall_within_s,
           "a length of time, as 6 hours"),
     .words = moment_length_words, .least = 60, .most = 31 * 86400},
};

static const struct field_table fall_table = {"fall", fall_fields, ARRAY_LEN(fall_fields)};

static void read_salinity_fall(struct field_reader *reader, const struct field *field,
                               const struct yaml *value, void *into)
{
    struct farm_station *station = into;

    (void)field;
    if (field_read_map(reader, &fall_table, value, station) &&
        station->salinity_fall.coefficient <= 0 && yaml_find(value, "more than"))
        field_problem(reader, yaml_find(value, "more than"), NULL, "`more than` must be above 0");
}

static const struct field station_fields[] = {
    {FIELD("key", FIELD_REQUIRED, value_key, struct farm_station, key,
           "a short name in lower case, as tank-1")},
    {FIELD("name", FIELD_REQUIRED, value_text, struct farm_station, name, "the station's name")},
    {FIELD("kind", FIELD_REQUIRED, read_station_kind, struct farm_station, kind,
           "a kind of station"),
     .words = station_kinds},
    {.key = "positions",
     .read = read_positions,
     .expected = "a list of positions, each with a key and a name",
     .inside = &position_table},
    {.key = "salinity falls",
     .read = read_salinity_fall,
     .expected = "how fast a fall of salinity is a finding, as {more than: 3, within: 6 hours}",
     .inside = &fall_table,
     .note = "The farm's own rate: it warns of fresh water before any rain gauge does."},
};

const struct field_table section_station_table = {"station", station_fields,
                                                  ARRAY_LEN(station_fields)};

void section_stations(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    (void)into;
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct farm_station station = {0};

        if (!field_read_map(reader, &section_station_table, node, &station) ||
            !value_key_once(reader, &section_station_table, value, i) || !station.key)
            continue;
        station.definition = field_definition(reader, &section_station_table, node, FIELD_ALL);
        LIST_ADD(reader->mem, &reader->farm->stations, station);
        reader->spellings.count = 0;
    }
}

/* --- flow paths ------------------------------------------------------------------------------ */

struct path_reading {
    struct farm_path path;
    struct name_place state;
    struct decimal returned; /* scale of a percent; coefficient -1: not told */
};

static const struct field path_fields[] = {
    {FIELD("from", FIELD_REQUIRED, name_station, struct path_reading, path.from,
           "the key of a station")},
    {FIELD("to", FIELD_REQUIRED, name_station, struct path_reading, path.to,
           "the key of a station")},
    {FIELD("since", FIELD_REQUIRED, value_day, struct path_reading, path.since,
           "a date, as 2026-01-31")},
    {FIELD("until", FIELD_OPTIONAL, value_day, struct path_reading, path.until,
           "the last day, as 2026-01-31")},
    {FIELD("state", FIELD_OPTIONAL, name_place, struct path_reading, state,
           "the station and parameter that say open or shut"),
     .inside = &name_place_table},
    {FIELD("returned share", FIELD_OPTIONAL, value_percent, struct path_reading, returned,
           "a share in percent, as 20 %")},
};

const struct field_table section_path_table = {"flow path", path_fields, ARRAY_LEN(path_fields)};

void section_paths(struct field_reader *reader, const struct field *field, const struct yaml *value,
                   void *into)
{
    (void)into;
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct path_reading read = {.path = {.since = DAY_NONE, .until = DAY_NONE},
                                    .returned = {.coefficient = -1}};

        if (!field_read_map(reader, &section_path_table, node, &read))
            continue;
        if (read.path.from && str_equal(read.path.from, read.path.to))
            field_problem(reader, node, NULL, "a flow path from '%s' to itself", read.path.from);
        section_check_span(reader, node, read.path.since, read.path.until);
        section_check_outlet(reader, yaml_find(node, "state"), &read.state);
        read.path.state_station = read.state.station;
        read.path.state_parameter = read.state.parameter;
        if (read.returned.coefficient >= 0)
            read.path.returned_share = decimal_text(reader->mem, read.returned);
        read.path.definition = field_definition(reader, &section_path_table, node, FIELD_ALL);
        LIST_ADD(reader->mem, &reader->farm->paths, read.path);
        reader->spellings.count = 0;
    }
}

/* --- meters ---------------------------------------------------------------------------------- */

static void read_replaced(struct field_reader *reader, const struct field *field,
                          const struct yaml *value, void *into)
{
    struct farm_counter *counter = into;

    if (!field_is_list(reader, field, value))
        return;

    instant *replaced = ARENA_ARRAY(reader->mem, instant, value->count);
    size_t count = 0;

    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *item = value->items[i].value;

        if (!field_is_text(reader, field, item) ||
            !moment_read(reader, field, item, str_trim(reader->mem, item->text), &replaced[count]))
            continue;
        if (count > 0 && replaced[count] <= replaced[count - 1])
            field_problem(reader, item, NULL,
                          "'%s' comes before the one above: expected the instants in order",
                          item->text);
        count++;
    }
    counter->replaced_at = replaced;
    counter->replaced_count = count;
}

static const struct field meter_fields[] = {
    {FIELD("station", FIELD_REQUIRED, name_station, struct farm_counter, station,
           "the key of a station")},
    {FIELD("parameter", FIELD_REQUIRED, name_parameter, struct farm_counter, parameter,
           "the key of a parameter that is a counter")},
    {FIELD("size", FIELD_OPTIONAL, value_number, struct farm_counter, size,
           "the count after which the meter starts again at 0, as 1000000")},
    {FIELD("multiplier", FIELD_REQUIRED, value_number, struct farm_counter, multiplier,
           "how much of the parameter's unit one count is, as 1")},
    {FIELD("most per day", FIELD_OPTIONAL, value_number, struct farm_counter, most_per_day,
           "the greatest possible flow of a day, a number in the parameter's unit"),
     .note =
         "A rise by more than can run in that time is reset or misread: what ran is not known."},
    {FIELD("share over days", FIELD_REQUIRED, value_yes_no, struct farm_counter, share_over_days,
           "yes if the licence lets a difference over several days be shared evenly, else no")},
    {.key = "replaced",
     .read = read_replaced,
     .expected = "a list of times of the new meter's first reading, as 2026-03-18 09:30"},
};

const struct field_table section_meter_table = {"meter", meter_fields, ARRAY_LEN(meter_fields)};

static void check_meter(struct field_reader *reader, const struct yaml *node,
                        const struct farm_counter *counter)
{
    const struct parameter *parameter = name_find_parameter(reader, counter->parameter);

    if (parameter && parameter->kind != PARAMETER_COUNTER)
        field_problem(reader, yaml_find(node, "parameter"), NULL,
                      "'%s' is no counter: expected a parameter of kind counter", parameter->key);
    if (counter->multiplier.coefficient <= 0 && yaml_find(node, "multiplier"))
        field_problem(reader, yaml_find(node, "multiplier"), NULL, "`multiplier` must be above 0");
    if (counter->size.coefficient < 0 || counter->most_per_day.coefficient < 0)
        field_problem(reader, node, NULL, "`size` and `most per day` must be above 0");
    for (size_t i = 0; i < reader->farm->counters.count; i++) {
        const struct farm_counter *other = &reader->farm->counters.items[i];

        if (str_equal(other->station, counter->station) &&
            str_equal(other->parameter, counter->parameter))
            field_problem(reader, node, "List its changes of meter under `replaced`.",
                          "a second meter for '%s' at '%s'", counter->parameter, counter->station);
    }
}

void section_meters(struct field_reader *reader, const struct field *field,
                    const struct yaml *value, void *into)
{
    (void)into;
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct farm_counter counter = {0};

        if (!field_read_map(reader, &section_meter_table, node, &counter))
            continue;
        check_meter(reader, node, &counter);
        counter.definition = field_definition(reader, &section_meter_table, node, FIELD_ALL);
        LIST_ADD(reader->mem, &reader->farm->counters, counter);
        reader->spellings.count = 0;
    }
}
