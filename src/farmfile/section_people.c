#include <string.h>

#include "base/str.h"
#include "farmfile/moment.h"
#include "farmfile/section.h"

/* --- farm ------------------------------------------------------------------------------------ */

static void read_zone(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    struct farm *farm = into;
    struct err err = ERR_INIT;

    if (!field_is_text(reader, field, value))
        return;
    farm->zone_name = str_trim(reader->mem, value->text);
    if (!zone_load(reader->mem, farm->zone_name, &farm->zone, &err))
        field_problem(reader, value, *err.hint ? err.hint : NULL, "%s", err.text);
}

static const struct field farm_fields[] = {
    {FIELD("key", FIELD_REQUIRED, value_key, struct farm, key,
           "a short name in lower case, as north-bay")},
    {FIELD("name", FIELD_REQUIRED, value_text, struct farm, name, "the farm's name")},
    {.key = "time zone",
     .need = FIELD_REQUIRED,
     .read = read_zone,
     .expected = "the name of a time zone, as Pacific/Auckland"},
    {FIELD("a state holds", FIELD_OPTIONAL, moment_length, struct farm, state_holds_s,
           "how long open, shut, on or off holds without a new word, as 72 hours or 40 days"),
     .words = moment_length_words, .least = 3600, .most = 366 * 86400},
    {FIELD("invented", FIELD_OPTIONAL, value_yes_no, struct farm, invented,
           "yes for a demonstration, else no")},
};

const struct field_table section_farm_table = {"farm", farm_fields, ARRAY_LEN(farm_fields)};

void section_farm(struct field_reader *reader, const struct field *field, const struct yaml *value,
                  void *into)
{
    (void)field;
    (void)into;
    if (field_read_map(reader, &section_farm_table, value, reader->farm))
        reader->farm->definition = field_definition(reader, &section_farm_table, value, FIELD_ALL);
}

/* --- people ---------------------------------------------------------------------------------- */

static const char *const may_words[] = {"read", "sample", "calibrate", "correct", "sign", NULL};

static void read_may(struct field_reader *reader, const struct field *field,
                     const struct yaml *value, void *into)
{
    unsigned *may = into;

    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        int word = value_word(reader, field, value->items[i].value);

        if (word >= 0)
            *may |= 1U << word; /* in the order of enum person_may */
    }
}

static const struct field person_fields[] = {
    {FIELD("key", FIELD_REQUIRED, value_key, struct farm_person, key,
           "a short name in lower case")},
    {FIELD("name", FIELD_REQUIRED, value_text, struct farm_person, name, "the person's name")},
    {FIELD("position", FIELD_REQUIRED, value_text, struct farm_person, position,
           "what the person is at the farm, as site manager")},
    {FIELD("may", FIELD_REQUIRED, read_may, struct farm_person, may,
           "a list of what the person may do"),
     .words = may_words},
    {FIELD("since", FIELD_REQUIRED, value_day, struct farm_person, since, "a date, as 2026-01-31")},
    {FIELD("until", FIELD_OPTIONAL, value_day, struct farm_person, until,
           "the last day, as 2026-01-31")},
    {FIELD("on the word of", FIELD_REQUIRED, value_text, struct farm_person, on_word_of,
           "who said that the person may")},
};

const struct field_table section_person_table = {"person", person_fields, ARRAY_LEN(person_fields)};

void section_check_span(struct field_reader *reader, const struct yaml *node, day_number from,
                        day_number to)
{
    if (from != DAY_NONE && to != DAY_NONE && to < from)
        field_problem(reader, node, NULL, "the last day, %s, lies before the first, %s",
                      day_text(reader->mem, to), day_text(reader->mem, from));
}

void section_people(struct field_reader *reader, const struct field *field,
                    const struct yaml *value, void *into)
{
    (void)into;
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct farm_person person = {.since = DAY_NONE, .until = DAY_NONE};

        if (!field_read_map(reader, &section_person_table, node, &person) ||
            !value_key_once(reader, &section_person_table, value, i) || !person.key)
            continue;
        section_check_span(reader, node, person.since, person.until);
        person.definition = field_definition(reader, &section_person_table, node, FIELD_ALL);
        LIST_ADD(reader->mem, &reader->farm->people, person);
        reader->spellings.count = 0;
    }
}

/* --- authorities ----------------------------------------------------------------------------- */

static const struct field authority_fields[] = {
    {FIELD("key", FIELD_REQUIRED, value_key, struct farm_authority, key,
           "a short name in lower case")},
    {FIELD("name", FIELD_REQUIRED, value_text, struct farm_authority, name,
           "the authority's name")},
    {FIELD("decides", FIELD_REQUIRED, value_text, struct farm_authority, decides,
           "what it decides, as discharge to the estuary")},
    {FIELD("call", FIELD_REQUIRED, value_text, struct farm_authority, call, "how to reach it")},
};

const struct field_table section_authority_table = {"authority", authority_fields,
                                                    ARRAY_LEN(authority_fields)};

void section_authorities(struct field_reader *reader, const struct field *field,
                         const struct yaml *value, void *into)
{
    (void)into;
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct farm_authority authority = {0};

        if (!field_read_map(reader, &section_authority_table, node, &authority) ||
            !value_key_once(reader, &section_authority_table, value, i) || !authority.key)
            continue;
        authority.definition = field_definition(reader, &section_authority_table, node, FIELD_ALL);
        LIST_ADD(reader->mem, &reader->farm->authorities, authority);
        reader->spellings.count = 0;
    }
}
