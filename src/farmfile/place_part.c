#include "farmfile/place_part.h"

#include "base/str.h"
#include "farmfile/amount.h"
#include "farmfile/moment.h"

void place_part_methods(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into)
{
    struct limit *limit = into;

    if (!amount_texts(reader, field, value, &limit->methods, &limit->method_count))
        limit->method_count = 0;
}

void place_part_instruments(struct field_reader *reader, const struct field *field,
                            const struct yaml *value, void *into)
{
    struct limit *limit = into;

    if (!amount_texts(reader, field, value, &limit->instruments, &limit->instrument_count))
        limit->instrument_count = 0;
}

void place_part_takers(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    struct limit *limit = into;

    if (!amount_texts(reader, field, value, &limit->takers, &limit->taker_count))
        limit->taker_count = 0;
}

/* --- places added ---------------------------------------------------------------------------- */

struct added_reading {
    struct limit_place place;
    struct name_place flow;
};

static const struct field added_fields[] = {
    {FIELD("station", FIELD_REQUIRED, name_station, struct added_reading, place.station,
           "the key of a station")},
    {FIELD("position", FIELD_OPTIONAL, value_key, struct added_reading, place.position,
           "the key of one of the station's positions")},
    {FIELD("flow", FIELD_OPTIONAL, name_place, struct added_reading, flow,
           "of a load: the station and parameter of that place's own flow"),
     .inside = &name_place_table},
};

const struct field_table place_part_added_table = {"place", added_fields, ARRAY_LEN(added_fields)};

/* A station's key by itself, or a map. */
static bool read_added(struct field_reader *reader, const struct field *field,
                       const struct yaml *node, struct added_reading *read)
{
    if (node->kind == YAML_TEXT) {
        name_station(reader, field, node, &read->place.station);
        return read->place.station != NULL;
    }
    if (!field_read_map(reader, &place_part_added_table, node, read) || !read->place.station)
        return false;
    if (read->place.position)
        name_check_position(reader, yaml_find(node, "position"), read->place.station,
                            read->place.position);

    return true;
}

void place_part_added(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    struct limit *limit = into;

    if (!field_is_list(reader, field, value))
        return;
    if (value->count == 0)
        field_problem(reader, value, NULL, "an empty list: expected the places that are added");

    struct limit_place *places = ARENA_ARRAY(reader->mem, struct limit_place, value->count);
    struct limit_flow *flows = ARENA_ARRAY(reader->mem, struct limit_flow, value->count);
    size_t count = 0;

    for (size_t i = 0; i < value->count; i++) {
        struct added_reading read = {0};

        if (!read_added(reader, field, value->items[i].value, &read))
            continue;
        places[count] = read.place;
        flows[count++] = (struct limit_flow){read.flow.station, read.flow.parameter};
    }
    limit->added = places;
    limit->added_flows = flows;
    limit->added_count = count;
}

/* --- another place that is compared with ----------------------------------------------------- */

struct against_reading {
    struct limit_against against;
    struct name_place flow;
};

#define AGAINST(key, need, read, member, expected)                                                 \
    FIELD(key, need, read, struct against_reading, member, expected)

static const struct field against_fields[] = {
    {AGAINST("station", FIELD_REQUIRED, name_station, against.place.station,
             "the key of the other station")},
    {AGAINST("position", FIELD_OPTIONAL, value_key, against.place.position,
             "the key of one of its positions")},
    {AGAINST("as", FIELD_REQUIRED, value_choice_set, against.kind, "what is made of the two"),
     .words = against_words,
     .note = "Difference: this place less the other. Percent removal: 100 x (other - this) / "
             "other. Intake credit: as in 40 CFR 122.45(g)."},
    {AGAINST("paired", FIELD_REQUIRED, value_choice_set, against.pairing,
             "which results of the two belong together"),
     .words = pairing_words},
    {AGAINST("within", FIELD_OPTIONAL, moment_length, against.within_s,
             "how far apart in time the two may be, as 2 hours"),
     .words = moment_length_words, .least = 1, .most = 31 * 86400},
    {AGAINST("residence time", FIELD_OPTIONAL, moment_length, against.residence_s,
             "how long the water takes from the other place, as 6 hours"),
     .words = moment_length_words, .least = 1, .most = 366 * 86400},
    {AGAINST("flow", FIELD_OPTIONAL, name_place, flow,
             "of a load: the station and parameter of the other place's own flow"),
     .inside = &name_place_table},
};

const struct field_table place_part_against_table = {"comparison", against_fields,
                                                     ARRAY_LEN(against_fields)};

/* Times that the pairing needs, and those that it doesn't take. */
static void check_pairing(struct field_reader *reader, const struct yaml *node,
                          const struct limit_against *against)
{
    const struct {
        const char *key;
        bool needed;
    } times[] = {
        {"within", against->pairing == PAIR_WITHIN || against->pairing == PAIR_RESIDENCE},
        {"residence time", against->pairing == PAIR_RESIDENCE},
    };

    for (size_t i = 0; i < ARRAY_LEN(times); i++) {
        const struct yaml *value = yaml_find(node, times[i].key);

        if (times[i].needed && !value)
            field_problem(reader, node, NULL,
                          "this comparison lacks `%s`: results paired %s need "
                          "it",
                          times[i].key, pairing_words[against->pairing - 1]);
        if (!times[i].needed && value)
            field_problem(reader, value, NULL,
                          "`%s` has no place here: results paired %s don't go by it", times[i].key,
                          pairing_words[against->pairing - 1]);
    }
}

void place_part_against(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into)
{
    struct against_reading read = {0};
    struct limit_against *out = into;

    (void)field;
    if (!field_read_map(reader, &place_part_against_table, value, &read))
        return;
    read.against.flow = (struct limit_flow){read.flow.station, read.flow.parameter};
    if (!reader->stored && read.against.pairing != PAIR_UNSET)
        check_pairing(reader, value, &read.against);
    if (read.against.place.position)
        name_check_position(reader, yaml_find(value, "position"), read.against.place.station,
                            read.against.place.position);
    *out = read.against;
}

void place_part_stations(struct field_reader *reader, const struct field *field,
                         const struct yaml *value, void *into)
{
    struct texts *stations = into;
    const char *key = NULL;

    if (!field_is_list(reader, field, value) || !value_texts(reader, field, value, stations))
        return;
    if (stations->count < 2)
        field_problem(reader, value, "One station stands after `station`.",
                      "`stations` takes a list of 2 or more");
    for (size_t i = 0; i < stations->count; i++) {
        name_station(reader, field, value->items[i].value, &key);
        for (size_t k = 0; k < i; k++)
            if (str_equal(stations->items[i], stations->items[k]))
                field_problem(reader, value->items[i].value, NULL, "'%s' is given twice",
                              stations->items[i]);
    }
}
