#include "farmfile/name.h"

#include "base/str.h"

struct keys {
    const char **items;
    size_t count;
    size_t capacity;
};

/* Whether the text of the node is one of the keys; tells of it if not. */
static void read_name(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, const char *what, const struct keys *keys,
                      const char **into)
{
    if (!field_is_text(reader, field, value))
        return;

    const char *text = str_trim(reader->mem, value->text);

    *into = text;
    if (reader->stored)
        return;
    for (size_t i = 0; i < keys->count; i++)
        if (str_equal(keys->items[i], text))
            return;
    field_unknown(reader, value, what, keys->items, keys->count);
}

#define KEYS_OF(reader, list)                                                                      \
    struct keys keys = {0};                                                                        \
    for (size_t i = 0; i < (reader)->farm->list.count; i++)                                        \
    LIST_ADD((reader)->mem, &keys, (reader)->farm->list.items[i].key)

void name_station(struct field_reader *reader, const struct field *field, const struct yaml *value,
                  void *into)
{
    KEYS_OF(reader, stations);
    read_name(reader, field, value, "station", &keys, into);
}

void name_person(struct field_reader *reader, const struct field *field, const struct yaml *value,
                 void *into)
{
    KEYS_OF(reader, people);
    read_name(reader, field, value, "person", &keys, into);
}

void name_authority(struct field_reader *reader, const struct field *field,
                    const struct yaml *value, void *into)
{
    KEYS_OF(reader, authorities);
    read_name(reader, field, value, "authority", &keys, into);
}

void name_licence(struct field_reader *reader, const struct field *field, const struct yaml *value,
                  void *into)
{
    KEYS_OF(reader, licences);
    read_name(reader, field, value, "licence", &keys, into);
}

void name_parameter(struct field_reader *reader, const struct field *field,
                    const struct yaml *value, void *into)
{
    const struct parameter_list *known = &reader->farm->known_parameters;
    const char **key = into;

    if (!field_is_text(reader, field, value))
        return;
    *key = str_trim(reader->mem, value->text);
    if (reader->stored || parameter_find(known, *key))
        return;

    const char *near = parameter_near(reader->mem, known, *key);

    field_problem(reader, value,
                  "weirbook words parameters lists those built in. One of your own goes under "
                  "`parameters:`.",
                  "there is no parameter '%s'%s", str_show(reader->mem, *key, FARM_KEY_MOST),
                  near ? arena_printf(reader->mem, "; did you mean %s?", near) : "");
}

static const struct field place_fields[] = {
    {FIELD("station", FIELD_REQUIRED, name_station, struct name_place, station,
           "the key of a station")},
    {FIELD("parameter", FIELD_REQUIRED, name_parameter, struct name_place, parameter,
           "the key of a parameter")},
};

const struct field_table name_place_table = {"place", place_fields, ARRAY_LEN(place_fields)};

void name_place(struct field_reader *reader, const struct field *field, const struct yaml *value,
                void *into)
{
    struct name_place place = {0};
    struct name_place *out = into;

    (void)field;
    if (field_read_map(reader, &name_place_table, value, &place) && place.station &&
        place.parameter)
        *out = place;
}

void name_check_position(struct field_reader *reader, const struct yaml *node, const char *station,
                         const char *position)
{
    const struct farm_station *found = station ? farm_find_station(reader->farm, station) : NULL;
    struct keys keys = {0};

    if (!found || reader->stored)
        return;
    for (size_t i = 0; i < found->position_count; i++) {
        if (str_equal(found->positions[i].key, position))
            return;
        LIST_ADD(reader->mem, &keys, found->positions[i].key);
    }
    field_unknown(reader, node,
                  arena_printf(reader->mem, "position of station '%s' called", station), keys.items,
                  keys.count);
}

const struct parameter *name_find_parameter(const struct field_reader *reader, const char *key)
{
    return key ? parameter_find(&reader->farm->known_parameters, key) : NULL;
}

const char *name_unit(struct field_reader *reader, const struct yaml *node, const char *text,
                      const struct parameter *parameter)
{
    const struct unit *unit = NULL;
    struct err err = ERR_INIT;

    if (reader->stored)
        return text;
    if (unit_find(reader->units, text, parameter, &unit, &err))
        return arena_strdup(reader->mem, unit_name(unit));
    field_problem(reader, node, *err.hint ? err.hint : NULL, "%s", err.text);

    return NULL;
}
