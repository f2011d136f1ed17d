#include "farmfile/limit_part.h"

#include <string.h>

#include "base/str.h"
#include "farmfile/clause.h"

const char *const limit_part_sample_words[] = {"samples", "sample", NULL};
const char *const limit_part_minute_words[] = {"minutes", "minute", NULL};

void limit_part_hour(struct field_reader *reader, const struct field *field,
                     const struct yaml *value, void *into)
{
    int *hour = into;
    const char *text = str_trim(reader->mem, value->text);

    if (!field_is_text(reader, field, value))
        return;
    if (strlen(text) != 5 || strcmp(text + 2, ":00") != 0 ||
        !value_parse_count(arena_strndup(reader->mem, text, 2), 0, 23, hour))
        field_unfit(reader, field, value, NULL, 0);
}

/* --- bounds ---------------------------------------------------------------------------------- */

static bool bound_number(struct field_reader *reader, const struct field *field,
                         const struct yaml *value, struct decimal *out)
{
    const char *words[2];

    if (!field_is_text(reader, field, value))
        return false;
    if (value_split(reader, value, words, 2) == 2 && decimal_parse(words[0], out)) {
        field_problem(reader, value, "The unit of all numbers of a limit stands in `unit`.",
                      "'%s' can't be `%s`: expected a number without its unit",
                      str_show(reader->mem, value->text, FARM_KEY_MOST), field->key);
        return false;
    }

    size_t before = reader->problems->count;

    value_number(reader, field, value, out);

    return reader->problems->count == before;
}

static void set_ceiling(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, struct limit_bound *bound, bool reached)
{
    struct decimal number = {0};

    if (!bound_number(reader, field, value, &number))
        return;
    if (bound->has_ceiling)
        field_problem(reader, value, NULL,
                      "a second upper bound: expected one of `not above`, "
                      "`below` and `from`");
    bound->has_ceiling = true;
    bound->ceiling = number;
    bound->ceiling_reached_is_outside = reached;
}

static void set_floor(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, struct limit_bound *bound, bool reached)
{
    struct decimal number = {0};

    if (!bound_number(reader, field, value, &number))
        return;
    if (bound->has_floor)
        field_problem(reader, value, NULL,
                      "a second lower bound: expected one of `not below`, "
                      "`above` and `from`");
    bound->has_floor = true;
    bound->floor = number;
    bound->floor_reached_is_outside = reached;
}

void limit_part_ceiling(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into)
{
    set_ceiling(reader, field, value, into, false);
}

void limit_part_under(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    set_ceiling(reader, field, value, into, true);
}

void limit_part_floor(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    set_floor(reader, field, value, into, false);
}

void limit_part_over(struct field_reader *reader, const struct field *field,
                     const struct yaml *value, void *into)
{
    set_floor(reader, field, value, into, true);
}

void limit_part_range(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    const char *words[3];
    struct limit_bound *bound = into;
    struct limit_bound range = {.has_ceiling = true, .has_floor = true};

    if (!field_is_text(reader, field, value))
        return;
    if (value_split(reader, value, words, 3) != 3 || strcmp(words[1], "to") != 0 ||
        !decimal_parse(words[0], &range.floor) || !decimal_parse(words[2], &range.ceiling)) {
        field_unfit(reader, field, value, NULL, 0);
        return;
    }
    if (bound->has_ceiling || bound->has_floor)
        field_problem(reader, value, NULL, "`from` beside another bound: expected one of them");
    *bound = range;
}

/* --- rounding, factor, margin ---------------------------------------------------------------- */

/* Digits as the bound is written; where there are two they must agree. */
static bool rounding_of_bound(struct limit *limit)
{
    const struct limit_bound *bound = &limit->bound;

    limit->rounding_to_bound = true;
    limit->rounding.to = ROUND_TO_DECIMALS;
    limit->rounding.digits = bound->has_ceiling ? bound->ceiling.scale : bound->floor.scale;

    return !(bound->has_ceiling && bound->has_floor) || bound->ceiling.scale == bound->floor.scale;
}

void limit_part_rounding(struct field_reader *reader, const struct field *field,
                         const struct yaml *value, void *into)
{
    const char *words[5];
    struct limit *limit = into;
    int count = field_is_text(reader, field, value) ? value_split(reader, value, words, 5) : 0;

    if (count == 0)
        return;
    if (count == 1 && strcmp(words[0], "none") == 0)
        return;
    if (count != 5 || strcmp(words[0], "half") != 0 || strcmp(words[2], "to") != 0 ||
        (strcmp(words[1], "up") != 0 && strcmp(words[1], "even") != 0)) {
        field_unfit(reader, field, value, NULL, 0);
        return;
    }
    limit->rounding.rule = strcmp(words[1], "up") == 0 ? ROUND_HALF_UP : ROUND_HALF_EVEN;
    if (strcmp(words[3], "the") == 0 && strcmp(words[4], "bound") == 0) {
        if (!rounding_of_bound(limit))
            field_problem(reader, value, "Say the digits, as in half up to 1 decimals.",
                          "the two bounds have different digits to round to");
        return;
    }

    bool to_decimals = str_equal(words[4], "decimals") || str_equal(words[4], "decimal");
    bool to_figures = str_equal(words[4], "figures") || str_equal(words[4], "figure");

    limit->rounding.to = to_figures ? ROUND_TO_FIGURES : ROUND_TO_DECIMALS;
    if ((!to_decimals && !to_figures) ||
        !value_parse_count(words[3], to_figures ? 1 : 0, DECIMAL_DIGITS_MOST,
                           &limit->rounding.digits))
        field_unfit(reader, field, value, NULL, 0);
}

void limit_part_factor(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    const char **factor = into;
    const char *text = str_trim(reader->mem, value->text);

    if (!field_is_text(reader, field, value))
        return;

    const struct exact *number = exact_from_text(reader->mem, text);

    if (number && exact_sign(number) > 0)
        *factor = text;
    else
        field_unfit(reader, field, value, NULL, 0);
}

void limit_part_margin(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    const char *words[2];
    struct limit *limit = into;
    struct decimal amount = {0};

    if (!field_is_text(reader, field, value))
        return;
    if (value_split(reader, value, words, 2) != 2 || !decimal_parse(words[0], &amount) ||
        amount.coefficient <= 0) {
        field_unfit(reader, field, value, NULL, 0);
        return;
    }
    if (strcmp(words[1], "%") != 0 && !str_equal(words[1], limit->unit)) {
        field_problem(reader, value, NULL, "the margin is in '%s': expected %% or the limit's %s",
                      str_show(reader->mem, words[1], FARM_KEY_MOST),
                      limit->unit ? limit->unit : "unit");
        return;
    }
    limit->margin = strcmp(words[1], "%") == 0 ? MARGIN_SHARE : MARGIN_AMOUNT;
    limit->margin_amount = amount;
}

/* --- what must hold between the parts -------------------------------------------------------- */

/* A key that the limit must have for the reason told. */
static void require_key(struct field_reader *reader, const struct yaml *node, const char *key,
                        const char *because)
{
    if (!yaml_find(node, key))
        field_problem(reader, node, NULL, "%s lacks `%s`: %s",
                      field_map_name(reader, &section_limit_table, node), key, because);
}

/* A key that has no place in this limit. */
static void refuse_key(struct field_reader *reader, const struct yaml *node, const char *key,
                       const char *because)
{
    if (yaml_find(node, key))
        field_problem(reader, yaml_find(node, key), NULL, "`%s` has no place here: %s", key,
                      because);
}

static void check_bound(struct field_reader *reader, const struct yaml *node,
                        const struct limit_bound *bound)
{
    static const char *const keys[] = {"not above", "below", "not below", "above", "from"};
    bool is_given = false;

    for (size_t i = 0; i < ARRAY_LEN(keys); i++)
        is_given = is_given || yaml_find(node, keys[i]);
    if (!is_given)
        field_problem(reader, node, NULL,
                      "%s lacks its bound: expected one of `not above`, `below`, `not below`, "
                      "`above` and `from`",
                      field_map_name(reader, &section_limit_table, node));
    if (bound->has_ceiling && bound->has_floor &&
        decimal_compare(bound->floor, bound->ceiling) >= 0)
        field_problem(reader, node, NULL, "the lower bound is not under the upper one");
}

/* Whether a choice was made in words that are known: else nothing follows from it. */
static bool choice_read(const struct yaml *node, const char *key, const char *const *words)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct yaml *value = yaml_find(node, key);

    if (!value || value->kind != YAML_TEXT)
        return false;
    for (size_t i = 0; words[i]; i++)
        if (str_equal_nocase(str_trim(mem, value->text), words[i]))
            return true;

    return false;
}

/* Why the limit asks for no rule on less-thans; NULL when it needs one. */
static const char *rule_not_needed(const struct field_reader *reader, const struct limit *limit)
{
    const struct parameter *parameter = name_find_parameter(reader, limit->parameter);

    if (parameter && parameter->kind == PARAMETER_COUNTER)
        return "a meter shows no less-thans, and its total is the difference of two readings";
    if (limit->daily == DAILY_TOTAL)
        return "in the total of a flow a less-than counts as its number, and with a greater-than "
               "the day is not known";
    if (limit->statistic == STATISTIC_VALUE && limit->daily == DAILY_EVERY)
        return "the limit takes every reading by itself";

    return NULL;
}

static void check_less_thans(struct field_reader *reader, const struct yaml *node,
                             const struct limit *limit)
{
    static const char *const keys[] = {"less-thans", "greater-thans",
                                       "not-detecteds by the same rule"};
    const char *why = rule_not_needed(reader, limit);

    if (!why)
        require_key(reader, node, "less-thans", "the limit makes a figure of its readings");
    for (size_t i = 0; why && i < ARRAY_LEN(keys); i++)
        refuse_key(reader, node, keys[i], why);
}

static void check_stated_numbers(struct field_reader *reader, const struct yaml *node,
                                 const struct limit *limit)
{
    static const char stated[] = "the rule says that the licence states a number";
    static const char unstated[] = "the rule takes no number";

    if (limit->less_than == LESS_THAN_STATED)
        require_key(reader, node, "less-than number", stated);
    else
        refuse_key(reader, node, "less-than number", unstated);
    if (limit->greater_than == GREATER_THAN_STATED)
        require_key(reader, node, "greater-than number", stated);
    else
        refuse_key(reader, node, "greater-than number", unstated);
}

/* Whether the clause works volumes out of a flow, which stops being known when its logger does. */
static bool flow_makes_volume(struct field_reader *reader, const struct limit *limit)
{
    const char *water = limit->daily == DAILY_LOAD    ? limit->flow.parameter
                        : limit->daily == DAILY_TOTAL ? limit->parameter
                                                      : NULL;
    const struct parameter *parameter = water ? name_find_parameter(reader, water) : NULL;

    return parameter && parameter->kind == PARAMETER_NUMBER;
}

static void check_data(struct field_reader *reader, const struct yaml *node,
                       const struct limit *limit)
{
    const struct parameter *parameter = name_find_parameter(reader, limit->parameter);

    if (limit->least_coverage.coefficient > 0 && parameter &&
        parameter->kind != PARAMETER_COUNTER && limit->daily != DAILY_LOAD)
        require_key(reader, node, "reading stands",
                    "how much of the time is covered hangs on how long a reading stands");
    if (flow_makes_volume(reader, limit))
        require_key(reader, node, "reading stands",
                    "a longer step between two readings of the flow is a gap");
    if (clause_needs_discharge(reader, limit->station))
        require_key(reader, node, "only while discharging",
                    "at a discharge the clause must say whether it holds while the outlet is shut");
    if (limit->position)
        name_check_position(reader, yaml_find(node, "position"), limit->station, limit->position);
}

/* Put the canonical name in the place of a unit as the farm wrote it. */
static void check_unit(struct field_reader *reader, const struct yaml *node, const char *key,
                       const struct parameter *parameter, const char **unit)
{
    const struct yaml *value = yaml_find(node, key);
    const char *name = *unit && value ? name_unit(reader, value, *unit, parameter) : NULL;

    if (!name)
        return;
    *unit = name;
    field_spell(reader, value, name);
}

/* Whether a unit converts into one of these; told where it does not. */
static void check_unit_is(struct field_reader *reader, const struct yaml *value, const char *unit,
                          const char *one, const char *other, const char *what)
{
    const struct unit *is = !reader->stored && unit ? unit_named(reader->units, unit) : NULL;

    if (is && !unit_convertible(is, unit_named(reader->units, one)) &&
        !unit_convertible(is, unit_named(reader->units, other)))
        field_problem(reader, value, NULL, "'%s' is no unit of %s: expected one as %s", unit, what,
                      one);
}

static void check_load(struct field_reader *reader, const struct yaml *node, struct limit *limit)
{
    static const char *const keys[] = {"flow", "load factor", "load flow unit",
                                       "load concentration unit", "days without a result"};
    static const char factor[] = "a factor is for a unit of flow and a unit of concentration";
    const struct parameter *parameter = name_find_parameter(reader, limit->parameter);

    if (limit->daily != DAILY_LOAD) {
        for (size_t i = 0; i < ARRAY_LEN(keys); i++)
            refuse_key(reader, node, keys[i], "only a load has it");
        check_unit(reader, node, "unit", parameter, &limit->unit);
        return;
    }
    require_key(reader, node, "flow", "a load is worked out from a flow");
    require_key(reader, node, "days without a result",
                "a load must say what is done on days with flow and no result");
    check_unit(reader, node, "unit", NULL, &limit->unit);
    check_unit_is(reader, yaml_find(node, "unit"), limit->unit, "kg/day", "kg", "a load");
    if (limit->load_factor) {
        require_key(reader, node, "load flow unit", factor);
        require_key(reader, node, "load concentration unit", factor);
    } else {
        refuse_key(reader, node, "load flow unit", "there is no `load factor`");
        refuse_key(reader, node, "load concentration unit", "there is no `load factor`");
    }
    check_unit(reader, node, "load flow unit", NULL, &limit->load_flow_unit);
    check_unit_is(reader, yaml_find(node, "load flow unit"), limit->load_flow_unit, "m3/day", "m3",
                  "flow");
    check_unit(reader, node, "load concentration unit", parameter, &limit->load_concentration_unit);
}

void limit_part_check(struct field_reader *reader, const struct yaml *node,
                      struct limit_reading *read, bool had_problems)
{
    struct limit *limit = &read->limit;
    const struct parameter *parameter = name_find_parameter(reader, limit->parameter);
    size_t before = reader->problems->count;

    check_bound(reader, node, &limit->bound);
    if (choice_read(node, "each day", limit_daily_words) &&
        choice_read(node, "statistic", limit_statistic_words))
        check_less_thans(reader, node, limit);
    check_stated_numbers(reader, node, limit);
    check_data(reader, node, limit);
    check_load(reader, node, limit);
    if (reader->stored || had_problems || reader->problems->count > before || !parameter)
        return;

    const char *why =
        limit_refuse(limit, parameter->kind == PARAMETER_COUNTER,
                     parameter->kind == PARAMETER_STATE, str_equal(parameter->unit, "pH"));

    if (why)
        field_problem(reader, node, NULL, "%s: %s",
                      field_map_name(reader, &section_limit_table, node), why);
}
