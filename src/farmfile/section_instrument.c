#include "base/str.h"
#include "farmfile/amount.h"
#include "farmfile/moment.h"
#include "farmfile/section.h"

enum { DAY_S = 86400, YEAR_S = 366 * DAY_S };

const char *const farm_instrument_kind_words[] = {"fixed probe", "field meter", NULL};

/* --- criteria -------------------------------------------------------------------------------- */

/* In the order of drift_published(); the first place is for none. */
static const char *const published_words[] = {
    "water temperature", "specific conductance", "dissolved oxygen", "pH", "turbidity", NULL};

struct read_bound {
    struct farm_number amount;
    struct farm_number percent;
};

struct read_check {
    struct farm_instrument_check check;
    int published; /* place in published_words and 1; 0: none */
    const char *unit;
    struct read_bound correct;
    struct read_bound most;
};

static const struct field bound_fields[] = {
    {FIELD("amount", FIELD_OPTIONAL, amount_number_above, struct read_bound, amount,
           "a number above 0, as 0.3")},
    {FIELD("percent", FIELD_OPTIONAL, amount_number_above, struct read_bound, percent,
           "a number above 0, as 5"),
     .note = "Of the value that was read."},
};

static const struct field_table bound_table = {"criterion", bound_fields, ARRAY_LEN(bound_fields)};

static void read_bound(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    struct read_bound *bound = into;
    size_t before = reader->problems->count;

    (void)field;
    if (field_read_map(reader, &bound_table, value, bound) && reader->problems->count == before &&
        !bound->amount.given && !bound->percent.given)
        field_problem(reader, value, NULL,
                      "neither `amount` nor `percent`: expected at least one of them");
}

static struct drift_bound bound_of(const struct read_bound *bound)
{
    return (struct drift_bound){bound->amount.given ? decimal_double(bound->amount.number) : 0.0,
                                bound->percent.given ? decimal_double(bound->percent.number) : 0.0};
}

#define CHECK(key, need, read, member, expected)                                                   \
    FIELD(key, need, read, struct read_check, member, expected)

static const struct field check_fields[] = {
    {CHECK("parameter", FIELD_REQUIRED, name_parameter, check.parameter, "the key of a parameter")},
    {CHECK("check every", FIELD_OPTIONAL, moment_length, check.check_every_s,
           "how long a good check lasts, as 30 days"),
     .words = moment_length_words, .least = 60, .most = YEAR_S,
     .note = "The farm's own. Readings after that time are in doubt until the next good check."},
    {CHECK("calibrate every", FIELD_OPTIONAL, moment_length, check.calibrate_every_s,
           "how long a calibration lasts, as 90 days"),
     .words = moment_length_words, .least = 60, .most = YEAR_S,
     .note = "The farm's own. Readings after that time are in doubt until it is calibrated."},
    {CHECK("as published for", FIELD_OPTIONAL, value_choice_set, published,
           "the quantity whose published criteria the farm goes by"),
     .words = published_words,
     .note = "US Geological Survey Techniques and Methods 1-D3. Whether they may be used is for "
             "the farm and its authority to say."},
    {CHECK("unit", FIELD_OPTIONAL, value_text, unit,
           "the unit of the farm's own criteria; left out, the parameter's own")},
    {CHECK("correct beyond", FIELD_OPTIONAL, read_bound, correct,
           "the farm's own criterion, as {amount: 0.3, percent: 5}"),
     .inside = &bound_table,
     .note = "A check whose error is beyond it failed; of two, the greater."},
    {CHECK("not used beyond", FIELD_OPTIONAL, read_bound, most,
           "the farm's own maximum, as {amount: 2}"),
     .inside = &bound_table, .note = "An error beyond either makes the readings a gap."},
    {CHECK("copied from", FIELD_REQUIRED, value_text, check.copied_from,
           "the document these are copied from, as quality plan 2026, section 4")},
    {CHECK("correct figures", FIELD_REQUIRED, value_yes_no, check.correct_figures,
           "yes if figures may rest on readings corrected by a visit, else no")},
};

static const struct field_table check_table = {"check", check_fields, ARRAY_LEN(check_fields)};

static void check_criteria_told(struct field_reader *reader, const struct yaml *node,
                                const struct read_check *read)
{
    bool own = yaml_find(node, "correct beyond") || yaml_find(node, "not used beyond");

    if (read->published && (own || read->unit))
        field_problem(reader, node, NULL,
                      "both `as published for` and criteria of the farm's own: expected one");
    else if (!read->published &&
             !(yaml_find(node, "correct beyond") && yaml_find(node, "not used beyond")))
        field_problem(reader, node,
                      "None are built in: name those of the publication, or the farm's own.",
                      "no criteria: expected `as published for`, or `correct beyond` and `not "
                      "used beyond`");
}

/* Turbidity's published numbers are for whatever the meter measures in. */
static const char *published_unit(const struct drift_criteria *criteria,
                                  const struct parameter *parameter)
{
    return str_equal(criteria->quantity, "turbidity") ? parameter->unit : criteria->unit;
}

static void settle_check(struct field_reader *reader, const struct yaml *node,
                         struct read_check *read)
{
    const struct parameter *parameter = name_find_parameter(reader, read->check.parameter);
    struct farm_instrument_check *check = &read->check;

    if (!parameter || parameter->kind != PARAMETER_NUMBER)
        return;
    check->as_published = read->published > 0;
    if (check->as_published) {
        check->criteria = *drift_published_of(published_words[read->published - 1]);
        check->criteria.unit = published_unit(&check->criteria, parameter);
    } else {
        check->criteria = (struct drift_criteria){
            .quantity = parameter->key,
            .unit = read->unit ? name_unit(reader, yaml_find(node, "unit"), read->unit, parameter)
                               : parameter->unit,
            .correct = bound_of(&read->correct),
            .most = bound_of(&read->most)};
    }
    if (check->as_published && reader->units &&
        !unit_convertible(unit_named(reader->units, parameter->unit),
                          unit_named(reader->units, check->criteria.unit)))
        field_problem(reader, yaml_find(node, "as published for"), NULL,
                      "'%s' is in %s, and the published criteria of %s are in %s", parameter->key,
                      parameter->unit, check->criteria.quantity, check->criteria.unit);
}

static void read_checks(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into)
{
    struct farm_instrument *instrument = into;
    struct farm_instrument_check *list;

    if (!field_is_list(reader, field, value))
        return;
    list = ARENA_ARRAY(reader->mem, struct farm_instrument_check, value->count);
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct read_check read = {.published = 0};
        struct farm_place place = {0};

        if (!field_read_map(reader, &check_table, node, &read) || !read.check.parameter)
            continue;
        place.parameter = read.check.parameter;
        amount_place_kind(reader, yaml_find(node, "parameter"), &place, PARAMETER_NUMBER,
                          "a parameter whose readings are numbers, as oxygen");
        check_criteria_told(reader, node, &read);
        settle_check(reader, node, &read);
        for (size_t j = 0; j < instrument->check_count; j++)
            if (str_equal(list[j].parameter, read.check.parameter))
                field_problem(reader, node, NULL, "'%s' is checked twice", read.check.parameter);
        list[instrument->check_count++] = read.check;
    }
    instrument->checks = list;
}

/* --- the instrument -------------------------------------------------------------------------- */

static void read_users(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    struct farm_instrument *instrument = into;
    const struct farm *farm = reader->farm;
    const char **keys = ARENA_ARRAY(reader->mem, const char *, farm->people.count);
    struct texts texts = {0};

    if (!value_texts(reader, field, value, &texts))
        return;
    for (size_t i = 0; i < farm->people.count; i++)
        keys[i] = farm->people.items[i].key;
    for (size_t i = 0; i < texts.count; i++)
        if (!farm_find_person(farm, texts.items[i]))
            field_unknown(reader, value->count > i ? value->items[i].value : value, "person", keys,
                          farm->people.count);
    instrument->users = texts.items;
    instrument->user_count = texts.count;
}

#define INSTRUMENT(key, need, read, member, expected)                                              \
    FIELD(key, need, read, struct farm_instrument, member, expected)

static const struct field instrument_fields[] = {
    {INSTRUMENT("key", FIELD_REQUIRED, value_key, key, "a short name in lower case")},
    {INSTRUMENT("name", FIELD_REQUIRED, value_text, name, "what people call it")},
    {INSTRUMENT("kind", FIELD_REQUIRED, value_choice, kind, "how it is used"),
     .words = farm_instrument_kind_words},
    {INSTRUMENT("serial number", FIELD_REQUIRED, value_text, serial, "as it stands on it")},
    {INSTRUMENT("maker and model", FIELD_OPTIONAL, value_text, make, "a text")},
    {INSTRUMENT("named", FIELD_OPTIONAL, value_text, named,
                "the instrument, as its source names it"),
     .note = "Left out, its key. Its serial number and its key are understood beside it. Readings "
             "that name no instrument are those of the one fixed probe "
             "that is on record at their place."},
    {INSTRUMENT("station", FIELD_OPTIONAL, name_station, station, "the key of a station")},
    {INSTRUMENT("position", FIELD_OPTIONAL, value_key, position,
                "the key of one of the station's positions")},
    {.key = "used by", .read = read_users, .expected = "keys of people; left out, anybody"},
    {INSTRUMENT("from", FIELD_REQUIRED, value_day, from, "its first day, as 2026-01-31")},
    {INSTRUMENT("until", FIELD_OPTIONAL, value_day, until, "its last day, as 2026-01-31")},
    {INSTRUMENT("replaced by", FIELD_OPTIONAL, value_key, replaced_by,
                "the key of the instrument in its place")},
    {.key = "checks",
     .read = read_checks,
     .need = FIELD_REQUIRED,
     .expected = "a list of what is checked of it, a parameter each",
     .inside = &check_table},
};

const struct field_table section_instrument_table = {"instrument", instrument_fields,
                                                     ARRAY_LEN(instrument_fields)};

const struct farm_instrument_check *
farm_instrument_check_of(const struct farm_instrument *instrument, const char *parameter)
{
    for (size_t i = 0; i < instrument->check_count; i++)
        if (str_equal(instrument->checks[i].parameter, parameter))
            return &instrument->checks[i];

    return NULL;
}

static void check_place(struct field_reader *reader, const struct yaml *node,
                        const struct farm_instrument *instrument)
{
    if (instrument->position && instrument->station)
        name_check_position(reader, yaml_find(node, "position"), instrument->station,
                            instrument->position);
    else if (instrument->position)
        field_problem(reader, yaml_find(node, "position"), NULL,
                      "`position` has no place here: there is no `station`");
    if (instrument->kind == INSTRUMENT_FIXED_PROBE && !instrument->station)
        field_problem(reader, node, NULL,
                      "the fixed probe '%s' lacks `station`: expected where it sits",
                      instrument->key);
}

/* Readings of one name on one day must be of one instrument. */
static void check_alone(struct field_reader *reader, const struct yaml *node,
                        const struct farm_instrument *instrument)
{
    for (size_t i = 0; i < reader->farm->instruments.count; i++) {
        const struct farm_instrument *other = &reader->farm->instruments.items[i];
        bool apart = (other->until != DAY_NONE && instrument->from != DAY_NONE &&
                      other->until < instrument->from) ||
                     (instrument->until != DAY_NONE && other->from != DAY_NONE &&
                      instrument->until < other->from);

        const char *shared = farm_instrument_is(other, instrument->named)    ? instrument->named
                             : farm_instrument_is(other, instrument->serial) ? instrument->serial
                             : farm_instrument_is(other, instrument->key)    ? instrument->key
                                                                             : NULL;

        if (str_equal(other->serial, instrument->serial))
            field_problem(reader, yaml_find(node, "serial number"), NULL,
                          "'%s' has the same serial number", other->key);
        else if (!apart && shared &&
                 (!other->station || !instrument->station ||
                  (str_equal(other->station, instrument->station) &&
                   (!other->position || !instrument->position ||
                    str_equal(other->position, instrument->position)))))
            field_problem(reader, node, "Give both `from` and `until`, a day apart.",
                          "readings by '%s' would be of '%s' and of '%s'", shared, other->key,
                          instrument->key);
    }
}

static void check_replaced(struct field_reader *reader, const struct yaml *list)
{
    struct farm *farm = reader->farm;
    const char **keys = ARENA_ARRAY(reader->mem, const char *, farm->instruments.count);

    for (size_t i = 0; i < farm->instruments.count; i++)
        keys[i] = farm->instruments.items[i].key;
    for (size_t i = 0; i < list->count; i++) {
        const struct yaml *by = yaml_find(list->items[i].value, "replaced by");

        if (by && by->text && !farm_find_instrument(farm, by->text))
            field_unknown(reader, by, "instrument", keys, farm->instruments.count);
    }
}

void section_instruments(struct field_reader *reader, const struct field *field,
                         const struct yaml *value, void *into)
{
    (void)into;
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct farm_instrument instrument = {.from = DAY_NONE, .until = DAY_NONE};

        if (!field_read_map(reader, &section_instrument_table, node, &instrument) ||
            !value_key_once(reader, &section_instrument_table, value, i) || !instrument.key)
            continue;
        if (!instrument.named)
            instrument.named = instrument.key;
        check_place(reader, node, &instrument);
        section_check_span(reader, node, instrument.from, instrument.until);
        check_alone(reader, node, &instrument);
        instrument.definition =
            field_definition(reader, &section_instrument_table, node, FIELD_ALL);
        LIST_ADD(reader->mem, &reader->farm->instruments, instrument);
        reader->spellings.count = 0;
    }
    check_replaced(reader, value);
}
