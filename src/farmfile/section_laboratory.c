#include "base/str.h"
#include "farmfile/amount.h"
#include "farmfile/section.h"

static void read_parameters(struct field_reader *reader, const struct field *field,
                            const struct yaml *value, void *into)
{
    struct farm_accreditation *accreditation = into;

    if (!amount_parameters(reader, field, value, &accreditation->parameters,
                           &accreditation->parameter_count))
        accreditation->parameter_count = 0;
}

static void read_methods(struct field_reader *reader, const struct field *field,
                         const struct yaml *value, void *into)
{
    struct farm_accreditation *accreditation = into;

    if (!amount_texts(reader, field, value, &accreditation->methods, &accreditation->method_count))
        accreditation->method_count = 0;
}

#define ACCREDITATION(key, need, read, member, expected)                                           \
    FIELD(key, need, read, struct farm_accreditation, member, expected)

static const struct field accreditation_fields[] = {
    {ACCREDITATION("number", FIELD_REQUIRED, value_text, number, "the number on the certificate")},
    {ACCREDITATION("by", FIELD_REQUIRED, value_text, by, "the body that gave it")},
    {.key = "parameters",
     .read = read_parameters,
     .expected = "a list of the parameters it is for",
     .note = "Left out: every one."},
    {.key = "methods",
     .read = read_methods,
     .expected = "a list of the methods it is for, as results name them",
     .note = "Left out: every one. A result that names no method is then of none of these."},
    {ACCREDITATION("from", FIELD_REQUIRED, value_day, from, "its first day, as 2026-01-31")},
    {ACCREDITATION("to", FIELD_OPTIONAL, value_day, to, "its last day, as 2028-12-31")},
    {ACCREDITATION("document", FIELD_OPTIONAL, value_text, document,
                   "where the certificate is kept")},
};

static const struct field_table accreditation_table = {"accreditation", accreditation_fields,
                                                       ARRAY_LEN(accreditation_fields)};

static void read_accreditations(struct field_reader *reader, const struct field *field,
                                const struct yaml *value, void *into)
{
    struct farm_laboratory *laboratory = into;

    if (!field_is_list(reader, field, value))
        return;

    struct farm_accreditation *read =
        ARENA_ARRAY(reader->mem, struct farm_accreditation, value->count);
    size_t count = 0;

    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct farm_accreditation accreditation = {.from = DAY_NONE, .to = DAY_NONE};

        if (!field_read_map(reader, &accreditation_table, node, &accreditation))
            continue;
        section_check_span(reader, node, accreditation.from, accreditation.to);
        read[count++] = accreditation;
    }
    laboratory->accreditations = read;
    laboratory->accreditation_count = count;
}

static void read_written_as(struct field_reader *reader, const struct field *field,
                            const struct yaml *value, void *into)
{
    struct farm_laboratory *laboratory = into;

    if (!amount_texts(reader, field, value, &laboratory->written_as, &laboratory->written_as_count))
        laboratory->written_as_count = 0;
}

static const struct field laboratory_fields[] = {
    {FIELD("key", FIELD_REQUIRED, value_key, struct farm_laboratory, key,
           "a short name in lower case")},
    {FIELD("name", FIELD_REQUIRED, value_text, struct farm_laboratory, name,
           "the laboratory's name")},
    {.key = "written as",
     .read = read_written_as,
     .expected = "a list of the names by which sources and files call it",
     .note = "The name counts beside them. It is what stands as `instrument` in a source."},
    {.key = "accreditations",
     .read = read_accreditations,
     .expected = "a list of accreditations, each with a number, by and from",
     .inside = &accreditation_table},
};

const struct field_table section_laboratory_table = {"laboratory", laboratory_fields,
                                                     ARRAY_LEN(laboratory_fields)};

/* The name joins the list; another laboratory must not have it already. */
static void finish_names(struct field_reader *reader, const struct yaml *node,
                         struct farm_laboratory *laboratory)
{
    const char **names = ARENA_ARRAY(reader->mem, const char *, laboratory->written_as_count + 1);
    const struct farm_laboratory_list *others = &reader->farm->laboratories;
    size_t count = 0;

    names[count++] = laboratory->name;
    for (size_t i = 0; i < laboratory->written_as_count; i++)
        if (!str_equal(laboratory->written_as[i], laboratory->name))
            names[count++] = laboratory->written_as[i];
    laboratory->written_as = names;
    laboratory->written_as_count = count;
    for (size_t i = 0; i < others->count; i++)
        for (size_t k = 0; k < others->items[i].written_as_count; k++)
            for (size_t n = 0; n < count; n++)
                if (str_equal(others->items[i].written_as[k], names[n]))
                    field_problem(reader, node, NULL,
                                  "'%s' is the laboratory '%s' already: expected each name once",
                                  names[n], others->items[i].key);
}

void section_laboratories(struct field_reader *reader, const struct field *field,
                          const struct yaml *value, void *into)
{
    (void)into;
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct farm_laboratory laboratory = {0};

        if (!field_read_map(reader, &section_laboratory_table, node, &laboratory) ||
            !value_key_once(reader, &section_laboratory_table, value, i) || !laboratory.key ||
            !laboratory.name)
            continue;
        finish_names(reader, node, &laboratory);
        laboratory.definition =
            field_definition(reader, &section_laboratory_table, node, FIELD_ALL);
        LIST_ADD(reader->mem, &reader->farm->laboratories, laboratory);
        reader->spellings.count = 0;
    }
}
