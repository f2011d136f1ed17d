#include "base/str.h"
#include "farmfile/section.h"

static const char *const kind_words[] = {"number", "counter", "state", NULL};
static const char *const matrix_words[] = {"water", "flesh", NULL};

static void read_kind(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    enum parameter_kind *kind = into;
    int word = value_word(reader, field, value);

    if (word >= 0 && !parameter_kind_parse(kind_words[word], kind))
        field_unfit(reader, field, value, NULL, 0);
}

static void read_matrix(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into)
{
    const char **matrix = into;
    int word = value_word(reader, field, value);

    if (word >= 0)
        *matrix = matrix_words[word];
}

static void read_unit(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    const char **unit = into;

    if (!field_is_text(reader, field, value))
        return;
    *unit = name_unit(reader, value, str_trim(reader->mem, value->text), NULL);
    if (*unit)
        field_spell(reader, value, *unit);
}

static void read_units(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    struct parameter *parameter = into;
    size_t count = 0;

    if (!field_is_list(reader, field, value))
        return;
    if (value->count >= PARAMETER_UNITS_MOST) {
        field_problem(reader, value, NULL, "%zu units, at most %d are taken", value->count,
                      PARAMETER_UNITS_MOST - 1);
        return;
    }
    for (size_t i = 0; i < value->count; i++) {
        const char *unit = NULL;

        read_unit(reader, field, value->items[i].value, &unit);
        if (unit)
            parameter->units[count++] = unit;
    }
}

static void read_states(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into)
{
    struct parameter *parameter = into;
    struct texts texts = {0};

    if (!field_is_list(reader, field, value) || !value_texts(reader, field, value, &texts))
        return;
    if (texts.count < 2 || texts.count >= PARAMETER_STATES_MOST) {
        field_problem(reader, value, NULL, "%zu words, expected from 2 to %d", texts.count,
                      PARAMETER_STATES_MOST - 1);
        return;
    }
    for (size_t i = 0; i < texts.count; i++)
        parameter->states[i] = texts.items[i];
}

static const struct field parameter_fields[] = {
    {FIELD("key", FIELD_REQUIRED, value_key, struct parameter, key, "a short name in lower case")},
    {FIELD("name", FIELD_REQUIRED, value_text, struct parameter, name, "the parameter's name")},
    {FIELD("kind", FIELD_REQUIRED, read_kind, struct parameter, kind, "a kind of parameter"),
     .words = kind_words},
    {FIELD("matrix", FIELD_OPTIONAL, read_matrix, struct parameter, matrix,
           "what it is measured in"),
     .words = matrix_words},
    {FIELD("basis", FIELD_OPTIONAL, value_text, struct parameter, basis,
           "what it is reckoned as, as N")},
    {FIELD("unit", FIELD_OPTIONAL, read_unit, struct parameter, unit, "a unit, as mg/L")},
    {.key = "units", .read = read_units, .expected = "a list of the units it may be reported in"},
    {.key = "states",
     .read = read_states,
     .expected = "a list of the words of a state, as [open, shut]"},
};

const struct field_table section_parameter_table = {"parameter", parameter_fields,
                                                    ARRAY_LEN(parameter_fields)};

/* The unit itself is always allowed, and every allowed unit must convert into it. */
static void check_units(struct field_reader *reader, const struct yaml *node,
                        struct parameter *parameter)
{
    const struct unit *unit = unit_named(reader->units, parameter->unit);
    size_t count = 0;
    bool is_listed = false;

    for (; parameter->units[count]; count++) {
        const struct unit *other = unit_named(reader->units, parameter->units[count]);

        is_listed = is_listed || str_equal(parameter->units[count], parameter->unit);
        if (unit && other && !unit_convertible(other, unit))
            field_problem(reader, yaml_find(node, "units"), NULL, "%s does not convert into %s",
                          parameter->units[count], parameter->unit);
    }
    if (!is_listed && count < PARAMETER_UNITS_MOST - 1)
        parameter->units[count] = parameter->unit;
}

static void check_parameter(struct field_reader *reader, const struct yaml *node,
                            struct parameter *parameter)
{
    const char *name = field_map_name(reader, &section_parameter_table, node);
    bool is_state = parameter->kind == PARAMETER_STATE;

    if (parameter_find(NULL, parameter->key))
        field_problem(reader, yaml_find(node, "key"), "Use the built-in one, or another key.",
                      "there is a built-in parameter '%s'", parameter->key);
    if (is_state && !yaml_find(node, "states"))
        field_problem(reader, node, NULL, "%s lacks `states`: expected a list of its words", name);
    if (is_state && yaml_find(node, "unit"))
        field_problem(reader, yaml_find(node, "unit"), NULL, "a state has no unit");
    if (!is_state && yaml_find(node, "states"))
        field_problem(reader, yaml_find(node, "states"), NULL, "only a state has `states`");
    if (!is_state && !yaml_find(node, "unit"))
        field_problem(reader, node, NULL, "%s lacks `unit`: expected a unit, as mg/L", name);
    if (parameter->unit)
        check_units(reader, node, parameter);
}

void section_parameters(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into)
{
    (void)into;
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct farm_parameter own = {.parameter = {.matrix = "water", .basis = ""}};

        if (!field_read_map(reader, &section_parameter_table, node, &own.parameter) ||
            !value_key_once(reader, &section_parameter_table, value, i) || !own.parameter.key)
            continue;
        if (!own.parameter.name) /* told of already; others are compared with it all the same */
            own.parameter.name = own.parameter.key;
        check_parameter(reader, node, &own.parameter);
        own.definition = field_definition(reader, &section_parameter_table, node, FIELD_ALL);
        LIST_ADD(reader->mem, &reader->farm->parameters, own);
        LIST_ADD(reader->mem, &reader->farm->known_parameters, own.parameter);
        reader->spellings.count = 0;
    }
}
