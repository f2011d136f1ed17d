#include "farmfile/derivation_part.h"

#include "base/str.h"
#include "farmfile/name.h"

#define NUMBER_AT(member) offsetof(struct farm_derived_settings, member), true
#define WORD_AT(member) offsetof(struct farm_derived_settings, member), false

/* Where each setting stands. */
static const struct {
    enum setting setting;
    size_t offset;
    bool is_number;
} members[] = {
    {SETTING_ALPHA, NUMBER_AT(alpha)},
    {SETTING_NOTCH_ANGLE, NUMBER_AT(notch_angle_deg)},
    {SETTING_CREST, NUMBER_AT(crest_m)},
    {SETTING_CREST_HEIGHT, NUMBER_AT(crest_height_m)},
    {SETTING_COEFFICIENT, NUMBER_AT(weir_coefficient)},
    {SETTING_HEAD_ADDED, NUMBER_AT(head_extra_m)},
    {SETTING_ZERO_AT, NUMBER_AT(zero_at_m)},
    {SETTING_THROAT, WORD_AT(throat)},
    {SETTING_PRESSURE, WORD_AT(pressure)},
    {SETTING_ALTITUDE, NUMBER_AT(altitude_m)},
    {SETTING_AIR_PRESSURE, NUMBER_AT(air_pressure_kpa)},
    {SETTING_SALINITY, NUMBER_AT(salinity)},
    {SETTING_DEPTH, NUMBER_AT(depth_m)},
    {SETTING_AMMONIA_FORM, WORD_AT(ammonia_form)},
    {SETTING_PH_SCALE, WORD_AT(ph_scale)},
};

static struct settings settings_of(const struct farm_derived_settings *told)
{
    struct settings settings = settings_none();

    for (size_t i = 0; i < ARRAY_LEN(members); i++) {
        const void *member = (const char *)told + members[i].offset;

        if (members[i].is_number) {
            const struct farm_number *number = member;

            if (number->given)
                settings.number[members[i].setting] = decimal_double(number->number);
        } else {
            settings.word[members[i].setting] = *(const char *const *)member;
        }
    }

    return settings;
}

static struct derivation_place place_of(const struct field_reader *reader,
                                        const struct farm_place *place)
{
    return (struct derivation_place){
        place->station, place->position,
        place->parameter ? name_find_parameter(reader, place->parameter) : NULL};
}

/* False where a name was wrong, which was told where it stands. */
static bool asked_of(struct field_reader *reader, const struct farm_derived *derived,
                     struct derivation_asked *out)
{
    struct derivation_input_asked *inputs =
        ARENA_ARRAY(reader->mem, struct derivation_input_asked, derived->input_count);

    for (size_t i = 0; i < derived->input_count; i++) {
        inputs[i].as = derived->inputs[i].as;
        inputs[i].place = place_of(reader, &derived->inputs[i].place);
        if (!inputs[i].place.station || !inputs[i].place.parameter)
            return false;
    }
    *out = (struct derivation_asked){.key = derived->key,
                                     .equation = derived->equation,
                                     .made = place_of(reader, &derived->made),
                                     .unit = derived->unit,
                                     .inputs = inputs,
                                     .input_count = derived->input_count,
                                     .within_s = derived->within_s,
                                     .settings = settings_of(&derived->settings)};

    return out->equation && out->made.station && out->made.parameter && out->unit;
}

void derivation_part_make(struct field_reader *reader, const struct yaml *node,
                          struct farm_derived *derived)
{
    static const char *const keys[] = {
        [PART_EQUATION] = "equation", [PART_INPUTS] = "from",   [PART_SETTINGS] = "settings",
        [PART_UNIT] = "parameter",    [PART_WITHIN] = "within",
    };
    struct derivation *made = ARENA_NEW(reader->mem, struct derivation);
    enum derivation_part part = PART_EQUATION;
    struct derivation_asked asked;
    struct err err = ERR_INIT;

    if (reader->stored || !asked_of(reader, derived, &asked))
        return;
    if (derivation_make(reader->mem, reader->units, &asked, made, &part, &err)) {
        derived->derivation = made;
        return;
    }

    const struct yaml *at = yaml_find(node, keys[part]);

    field_problem(reader, at ? at : node, *err.hint ? arena_strdup(reader->mem, err.hint) : NULL,
                  "%s", err.text);
}

void derivation_part_order(struct field_reader *reader, const struct yaml *list)
{
    const struct farm_derived *items = reader->farm->derived.items;
    size_t count = reader->farm->derived.count;

    for (size_t i = 0; i < count; i++) {
        for (size_t k = i + 1; k < count && items[i].derivation; k++) {
            const struct farm_place *made = &items[k].made;

            if (!derivation_reads(items[i].derivation, made->station, made->parameter))
                continue;
            field_problem(reader, list,
                          "Put it below. Two that are made from each other can't be worked out.",
                          "the derived reading '%s' is made from what '%s' makes, which stands "
                          "below it",
                          items[i].key, items[k].key);
        }
    }
}
