#include <math.h>

#include "base/str.h"
#include "farmfile/amount.h"
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

/* --- what can be at all --- */

struct read_possible {
    struct farm_number low;
    struct farm_number high;
};

static const struct field possible_fields[] = {
    {FIELD("low", FIELD_OPTIONAL, amount_number, struct read_possible, low, "a number, as 0")},
    {FIELD("high", FIELD_OPTIONAL, amount_number, struct read_possible, high, "a number, as 500")},
};

static const struct field_table possible_table = {"possible", possible_fields,
                                                  ARRAY_LEN(possible_fields)};

static void read_possible(struct field_reader *reader, const struct field *field,
                          const struct yaml *value, void *into)
{
    const struct parameter_range **possible = into;
    struct read_possible read = {0};
    size_t before = reader->problems->count;

    (void)field;
    if (!field_read_map(reader, &possible_table, value, &read) || reader->problems->count != before)
        return;

    struct parameter_range *range = ARENA_NEW(reader->mem, struct parameter_range);

    range->least = read.low.given ? decimal_double(read.low.number) : -HUGE_VAL;
    range->most = read.high.given ? decimal_double(read.high.number) : HUGE_VAL;
    if (!read.low.given && !read.high.given)
        field_problem(reader, value, NULL,
                      "neither `low` nor `high`: expected at least one of them");
    else if (range->least >= range->most)
        field_problem(reader, value, NULL, "`low` is not below `high`");
    else
        *possible = range;
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
    {FIELD("possible", FIELD_OPTIONAL, read_possible, struct parameter, possible,
           "what can be at all, as {low: 0, high: 500}"),
     .inside = &possible_table,
     .note = "In its own unit. A value beyond it is set aside: a fault of the file, and no limit "
             "of a licence. A concentration or a count is never below 0 unless `low` says so."},
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

/* A concentration, a count or a turbidity: below 0 it is a fault of the file. */
static bool is_never_negative(const struct field_reader *reader, const struct parameter *parameter)
{
    static const char *const amounts[] = {"mg/L", "CFU/100 mL", "MPN/100 mL", "NTU", "FNU"};
    const struct unit *unit = parameter->unit ? unit_named(reader->units, parameter->unit) : NULL;

    if (parameter->kind != PARAMETER_NUMBER || !unit ||
        (parameter->possible && parameter->possible->least < 0.0 &&
         parameter->possible->least > -HUGE_VAL))
        return false;
    for (size_t i = 0; i < ARRAY_LEN(amounts); i++)
        if (unit_convertible(unit, unit_named(reader->units, amounts[i])))
            return true;

    return false;
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
    if (parameter->possible && parameter->kind != PARAMETER_NUMBER)
        field_problem(reader, yaml_find(node, "possible"), NULL, "only a number has `possible`");
    if (parameter->unit)
        check_units(reader, node, parameter);
    parameter->never_negative = is_never_negative(reader, parameter);
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
