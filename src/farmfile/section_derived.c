#include <string.h>

#include "base/str.h"
#include "farmfile/amount.h"
#include "farmfile/derivation_part.h"
#include "farmfile/limit_part.h"
#include "farmfile/moment.h"
#include "farmfile/section.h"
#include "measure/ammonia.h"

/* --- what goes in ---------------------------------------------------------------------------- */

static const struct field input_fields[] = {
    {FIELD("as", FIELD_OPTIONAL, value_text, struct farm_derived_input, as,
           "what it is in the equation, where the parameter does not say it, as before")},
    {FIELD("station", FIELD_OPTIONAL, name_station, struct farm_derived_input, place.station,
           "the key of a station")},
    {FIELD("position", FIELD_OPTIONAL, value_key, struct farm_derived_input, place.position,
           "the key of one of the station's positions")},
    {FIELD("parameter", FIELD_REQUIRED, name_parameter, struct farm_derived_input, place.parameter,
           "the key of a parameter")},
};

static const struct field_table input_table = {"reading", input_fields, ARRAY_LEN(input_fields)};

static void read_inputs(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into)
{
    struct farm_derived *derived = into;

    if (!field_is_list(reader, field, value))
        return;

    struct farm_derived_input *inputs =
        ARENA_ARRAY(reader->mem, struct farm_derived_input, value->count);
    size_t count = 0;

    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct farm_derived_input input = {0};

        if (!field_read_map(reader, &input_table, node, &input) || !input.place.parameter)
            continue;
        amount_place_at(reader, node, derived->made.station, &input.place);
        inputs[count++] = input;
    }
    derived->inputs = inputs;
    derived->input_count = count;
    if (value->count == 0)
        field_problem(reader, value, NULL, "an empty list: expected the readings that go in");
}

/* --- settings -------------------------------------------------------------------------------- */

static const char *const pressure_words[] = {"local", "sea level", NULL};
static const char *const ph_scale_words[] = {"NBS", "total", NULL};

#define SETTING(key, read, member, expected)                                                       \
    FIELD(key, FIELD_OPTIONAL, read, struct farm_derived_settings, member, expected)

static const struct field setting_fields[] = {
    {SETTING("alpha", amount_number_above, alpha,
             "how much conductance rises for each degree, as 0.0191")},
    {SETTING("notch angle", amount_number_above, notch_angle_deg, "degrees, as 90")},
    {SETTING("crest", amount_number_above, crest_m, "the length of the crest in metres")},
    {SETTING("crest height", amount_number_above, crest_height_m,
             "the height of the crest above the channel's floor in metres")},
    {SETTING("coefficient", amount_number_above, weir_coefficient,
             "the weir's own coefficient, as 0.578")},
    {SETTING("head added", amount_number, head_extra_m,
             "what is added to the head, in metres, beside a coefficient of the weir's own")},
    {SETTING("zero at", amount_number, zero_at_m,
             "the level in metres at which nothing flows, as 0.12")},
    {SETTING("throat", value_text, throat, "the throat of a flume, as 6 in or 2 ft")},
    {SETTING("pressure", limit_part_word, pressure, "what air full saturation is in balance with"),
     .words = pressure_words,
     .note = "Local: the air at the place, by its pressure. Sea level: air of 1 atmosphere."},
    {SETTING("altitude", amount_number, altitude_m, "metres above the sea, as 12")},
    {SETTING("air pressure", amount_number_above, air_pressure_kpa,
             "kPa at the place, where none is read")},
    {SETTING("salinity", amount_number, salinity, "PSU, where none is read")},
    {SETTING("depth", amount_number, depth_m, "metres below the surface, as 0")},
    {SETTING("ammonia form", limit_part_word, ammonia_form,
             "the equation for the share of ammonia, by its word"),
     .words = limit_part_ammonia_forms,
     .note = "The result is as N or as NH3, as the parameter is that it is stored under. They "
             "hold: " AMMONIA_FORM_RANGES "."},
    {SETTING("pH scale", limit_part_word, ph_scale, "the scale that the pH is on"),
     .words = ph_scale_words, .note = "A probe set with ordinary buffers reads NBS."},
};

static const struct field_table setting_table = {"setting", setting_fields,
                                                 ARRAY_LEN(setting_fields)};

static void read_settings(struct field_reader *reader, const struct field *field,
                          const struct yaml *value, void *into)
{
    struct farm_derived_settings settings = {0};
    struct farm_derived_settings *out = into;

    (void)field;
    if (field_read_map(reader, &setting_table, value, &settings))
        *out = settings;
}

/* --- the section ----------------------------------------------------------------------------- */

#define DERIVED(key, need, read, member, expected)                                                 \
    FIELD(key, need, read, struct farm_derived, member, expected)

static const struct field derived_fields[] = {
    {DERIVED("key", FIELD_REQUIRED, value_key, key, "a short name in lower case")},
    {DERIVED("station", FIELD_REQUIRED, name_station, made.station, "the key of a station")},
    {DERIVED("position", FIELD_OPTIONAL, value_key, made.position,
             "the key of one of the station's positions")},
    {DERIVED("parameter", FIELD_REQUIRED, name_parameter, made.parameter,
             "the parameter that is made")},
    {DERIVED("unit", FIELD_OPTIONAL, value_text, unit,
             "the unit it is made in; left out, the parameter's own")},
    {DERIVED("equation", FIELD_REQUIRED, value_text, equation,
             "the word of the equation it is worked out by")},
    {.key = "from",
     .need = FIELD_REQUIRED,
     .read = read_inputs,
     .expected = "a list of the readings that go in, each with its parameter",
     .inside = &input_table},
    {DERIVED("within", FIELD_REQUIRED, moment_length, within_s,
             "how far apart readings may be that are taken together, as 10 minutes"),
     .words = moment_length_words, .least = 0, .most = DERIVATION_WITHIN_MOST_S},
    {DERIVED("settings", FIELD_OPTIONAL, read_settings, settings,
             "what the equation needs beside readings, as {notch angle: 90, zero at: 0.12}"),
     .inside = &setting_table},
};

const struct field_table section_derived_table = {"derived reading", derived_fields,
                                                  ARRAY_LEN(derived_fields)};

static void check_derived(struct field_reader *reader, const struct yaml *node,
                          struct farm_derived *derived)
{
    const struct parameter *parameter = name_find_parameter(reader, derived->made.parameter);

    if (derived->made.position)
        name_check_position(reader, yaml_find(node, "position"), derived->made.station,
                            derived->made.position);
    amount_place_kind(reader, yaml_find(node, "parameter"), &derived->made, PARAMETER_NUMBER,
                      "a parameter whose readings are numbers");
    if (derived->unit && parameter)
        derived->unit = name_unit(reader, yaml_find(node, "unit"), derived->unit, parameter);
    else if (parameter)
        derived->unit = parameter->unit;
    for (size_t i = 0; i < derived->input_count; i++)
        if (str_equal(derived->inputs[i].place.station, derived->made.station) &&
            str_equal(derived->inputs[i].place.parameter, derived->made.parameter) &&
            str_equal(derived->inputs[i].place.position, derived->made.position))
            field_problem(reader, yaml_find(node, "from"), NULL, "%s would be made from itself",
                          field_map_name(reader, &section_derived_table, node));
}

void section_derived(struct field_reader *reader, const struct field *field,
                     const struct yaml *value, void *into)
{
    (void)into;
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct farm_derived derived = {0};

        if (!field_read_map(reader, &section_derived_table, node, &derived) ||
            !value_key_once(reader, &section_derived_table, value, i) || !derived.key)
            continue;

        size_t before = reader->problems->count;

        check_derived(reader, node, &derived);
        if (reader->problems->count == before)
            derivation_part_make(reader, node, &derived);
        derived.definition = field_definition(reader, &section_derived_table, node, FIELD_ALL);
        LIST_ADD(reader->mem, &reader->farm->derived, derived);
        reader->spellings.count = 0;
    }
    derivation_part_order(reader, value);
}
