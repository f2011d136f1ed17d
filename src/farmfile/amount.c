#include "farmfile/amount.h"

#include <string.h>

#include "base/str.h"

/* Whether the unit converts into one of the row's. */
static bool unit_fits(const struct field_reader *reader, const struct field *field,
                      const char *name)
{
    const struct unit *unit = unit_named(reader->units, name);

    for (size_t i = 0; field->words[i]; i++)
        if (unit_convertible(unit, unit_named(reader->units, field->words[i])))
            return true;

    return false;
}

void amount_above_zero(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    struct farm_amount *amount = into;
    struct decimal number = {0};
    const char *words[4];

    if (!field_is_text(reader, field, value))
        return;

    const char *text = str_trim(reader->mem, value->text);
    int count = value_split(reader, value, words, 4);

    if (count < 2 || !decimal_parse(words[0], &number) || number.coefficient <= 0) {
        field_unfit(reader, field, value, NULL, 0);
        return;
    }

    const char *unit =
        name_unit(reader, value, str_trim(reader->mem, text + strlen(words[0])), NULL);

    if (!unit)
        return;
    if (!unit_fits(reader, field, unit)) {
        field_unfit(reader, field, value, NULL, 0);
        return;
    }
    amount->number = number;
    amount->unit = unit;
    field_spell(reader, value, arena_printf(reader->mem, "%s %s", words[0], unit));
}

void amount_number(struct field_reader *reader, const struct field *field, const struct yaml *value,
                   void *into)
{
    struct farm_number *number = into;
    size_t before = reader->problems->count;

    value_number(reader, field, value, &number->number);
    number->given = reader->problems->count == before;
}

void amount_number_above(struct field_reader *reader, const struct field *field,
                         const struct yaml *value, void *into)
{
    struct farm_number *number = into;

    amount_number(reader, field, value, number);
    if (number->given && number->number.coefficient <= 0)
        field_problem(reader, value, NULL, "`%s` must be above 0", field->key);
}

static const struct field place_fields[] = {
    {FIELD("station", FIELD_OPTIONAL, name_station, struct farm_place, station,
           "the key of a station")},
    {FIELD("position", FIELD_OPTIONAL, value_key, struct farm_place, position,
           "the key of one of the station's positions")},
    {FIELD("parameter", FIELD_REQUIRED, name_parameter, struct farm_place, parameter,
           "the key of a parameter")},
};

const struct field_table amount_place_table = {"place", place_fields, ARRAY_LEN(place_fields)};

void amount_place(struct field_reader *reader, const struct field *field, const struct yaml *value,
                  void *into)
{
    struct farm_place place = {0};
    struct farm_place *out = into;

    (void)field;
    if (field_read_map(reader, &amount_place_table, value, &place) && place.parameter)
        *out = place;
}

void amount_place_at(struct field_reader *reader, const struct yaml *node, const char *station,
                     struct farm_place *place)
{
    if (!place->parameter)
        return;
    if (!place->station)
        place->station = station;
    if (place->position)
        name_check_position(reader, yaml_find(node, "position"), place->station, place->position);
}

void amount_place_kind(struct field_reader *reader, const struct yaml *node,
                       const struct farm_place *place, enum parameter_kind kind,
                       const char *expected)
{
    const struct parameter *parameter = name_find_parameter(reader, place->parameter);

    if (parameter && parameter->kind != kind)
        field_problem(reader, node, NULL, "'%s' won't do here: expected %s", parameter->key,
                      expected);
}

bool amount_texts(struct field_reader *reader, const struct field *field, const struct yaml *value,
                  const char *const **items, size_t *count)
{
    struct texts texts = {0};

    if (!value_texts(reader, field, value, &texts))
        return false;
    if (texts.count == 0) {
        field_problem(reader, value, "Leave the key out where there is none.",
                      "an empty list in `%s`: expected %s", field->key, field->expected);
        return false;
    }
    *items = texts.items;
    *count = texts.count;

    return true;
}

bool amount_parameters(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, const char *const **items, size_t *count)
{
    size_t before = reader->problems->count;
    const char *key = NULL;

    if (!amount_texts(reader, field, value, items, count))
        return false;
    for (size_t i = 0; i < *count; i++)
        name_parameter(reader, field, value->kind == YAML_LIST ? value->items[i].value : value,
                       &key);

    return reader->problems->count == before;
}
