#include "farmfile/bound_part.h"

#include <limits.h>
#include <string.h>

#include "base/str.h"
#include "farmfile/limit_part.h"
#include "farmfile/moment.h"
#include "measure/ammonia.h"

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

void bound_part_ceiling(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into)
{
    set_ceiling(reader, field, value, into, false);
}

void bound_part_under(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    set_ceiling(reader, field, value, into, true);
}

void bound_part_floor(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    set_floor(reader, field, value, into, false);
}

void bound_part_over(struct field_reader *reader, const struct field *field,
                     const struct yaml *value, void *into)
{
    set_floor(reader, field, value, into, true);
}

void bound_part_range(struct field_reader *reader, const struct field *field,
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

/* --- what is counted beyond ------------------------------------------------------------------ */

static void set_beyond(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, struct limit_beyond *beyond, bool is_above,
                       bool reached)
{
    struct decimal number = {0};

    if (!bound_number(reader, field, value, &number))
        return;
    if (is_above ? beyond->has_above : beyond->has_below)
        field_problem(reader, value, NULL,
                      "`%s` beside another number on the same side: expected "
                      "one of them",
                      field->key);
    if (is_above) {
        beyond->has_above = true;
        beyond->above = number;
        beyond->above_reached_counts = reached;
    } else {
        beyond->has_below = true;
        beyond->below = number;
        beyond->below_reached_counts = reached;
    }
}

void bound_part_counts_above(struct field_reader *reader, const struct field *field,
                             const struct yaml *value, void *into)
{
    set_beyond(reader, field, value, into, true, false);
}

void bound_part_counts_from(struct field_reader *reader, const struct field *field,
                            const struct yaml *value, void *into)
{
    set_beyond(reader, field, value, into, true, true);
}

void bound_part_counts_below(struct field_reader *reader, const struct field *field,
                             const struct yaml *value, void *into)
{
    set_beyond(reader, field, value, into, false, false);
}

void bound_part_counts_to(struct field_reader *reader, const struct field *field,
                          const struct yaml *value, void *into)
{
    set_beyond(reader, field, value, into, false, true);
}

void bound_part_counts_outside(struct field_reader *reader, const struct field *field,
                               const struct yaml *value, void *into)
{
    struct limit_beyond *beyond = into;
    struct limit_bound range = {0};

    bound_part_range(reader, field, value, &range);
    if (!range.has_floor)
        return;
    if (beyond->has_above || beyond->has_below)
        field_problem(reader, value, NULL, "`%s` beside another number: expected one of them",
                      field->key);
    *beyond = (struct limit_beyond){
        .has_above = true, .above = range.ceiling, .has_below = true, .below = range.floor};
}

/* --- the words of a state -------------------------------------------------------------------- */

static void read_state(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, struct limit_bound_by *by, bool is_outside)
{
    if (!field_is_text(reader, field, value))
        return;
    if (by->kind != BOUND_NUMBER)
        field_problem(reader, value, NULL,
                      "a second word for the state: expected `must be` or "
                      "`must not be`");
    by->kind = BOUND_STATE;
    by->state = str_trim(reader->mem, value->text);
    by->state_is_outside = is_outside;
}

void bound_part_must_be(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into)
{
    read_state(reader, field, value, into, false);
}

void bound_part_must_not_be(struct field_reader *reader, const struct field *field,
                            const struct yaml *value, void *into)
{
    read_state(reader, field, value, into, true);
}

/* --- over another reading -------------------------------------------------------------------- */

static const struct field other_fields[] = {
    {FIELD("station", FIELD_REQUIRED, name_station, struct limit_other, station,
           "the key of a station")},
    {FIELD("position", FIELD_OPTIONAL, value_key, struct limit_other, position,
           "the key of one of the station's positions")},
    {FIELD("parameter", FIELD_REQUIRED, name_parameter, struct limit_other, parameter,
           "the key of a parameter")},
    {FIELD("unit", FIELD_REQUIRED, value_text, struct limit_other, unit,
           "the unit that the clause's numbers for it are in")},
};

const struct field_table bound_part_other_table = {"other reading", other_fields,
                                                   ARRAY_LEN(other_fields)};

void bound_part_check_other(struct field_reader *reader, const struct yaml *node,
                            struct limit_other *other)
{
    const struct parameter *parameter = name_find_parameter(reader, other->parameter);
    const struct yaml *unit = yaml_find(node, "unit");

    if (reader->stored)
        return;
    if (parameter && parameter->kind != PARAMETER_NUMBER)
        field_problem(reader, yaml_find(node, "parameter"), NULL,
                      "'%s' has no numbers to go by: expected a parameter that is a number",
                      parameter->key);
    else if (parameter && other->unit && unit)
        other->unit = name_unit(reader, unit, other->unit, parameter);
    if (other->unit && unit)
        field_spell(reader, unit, other->unit);
    if (other->position)
        name_check_position(reader, yaml_find(node, "position"), other->station, other->position);
}

static void read_others(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into)
{
    struct limit_bound_by *by = into;

    if (!field_is_list(reader, field, value))
        return;
    if (value->count > LIMIT_OTHERS_MOST) {
        field_problem(reader, value, NULL, "%zu other readings, at most %d are taken", value->count,
                      LIMIT_OTHERS_MOST);
        return;
    }
    for (size_t i = 0; i < value->count; i++) {
        struct limit_other other = {0};

        if (!field_read_map(reader, &bound_part_other_table, value->items[i].value, &other))
            continue;
        bound_part_check_other(reader, value->items[i].value, &other);
        by->others[by->other_count++] = other;
    }
}

/* --- what a formula takes -------------------------------------------------------------------- */

/* A formula takes its readings by their place in the list: one that is of another kind is told. */
static void check_order(struct field_reader *reader, const struct yaml *readings,
                        const struct limit_bound_by *by)
{
    static const struct {
        size_t least;
        const char *units[LIMIT_OTHERS_MOST];
        const char *order;
    } formulas[] = {
        [BOUND_UNIONISED] = {2, {"pH", "degC", "PSU"}, "pH, temperature and salinity"},
        [BOUND_SATURATION] = {1, {"degC", "PSU"}, "temperature and salinity"},
    };
    static const char *const names[] = {"first", "second", "third"};

    if (reader->stored || !readings || by->kind >= ARRAY_LEN(formulas) ||
        by->other_count != readings->count || by->other_count < formulas[by->kind].least)
        return;
    for (size_t i = 0; i < by->other_count && formulas[by->kind].units[i]; i++) {
        const struct parameter *is = name_find_parameter(reader, by->others[i].parameter);
        const struct unit *unit = is ? unit_named(reader->units, is->unit) : NULL;
        const struct unit *taken = unit_named(reader->units, formulas[by->kind].units[i]);

        if (!unit || unit_convertible(unit, taken))
            continue;
        field_problem(reader, readings->items[i].value, NULL,
                      "'%s' can't be the %s of the `readings`: expected %s, in this order", is->key,
                      names[i], formulas[by->kind].order);
        return;
    }
}

static const struct field step_fields[] = {
    {FIELD("up to", FIELD_OPTIONAL, value_number, struct bound_step, up_to,
           "the other reading up to and with which it holds; left out in the last step")},
    {FIELD("bound", FIELD_REQUIRED, value_number, struct bound_step, bound,
           "the bound there, in the clause's unit")},
};

static const struct field_table step_table = {"step", step_fields, ARRAY_LEN(step_fields)};

static void read_steps(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    struct limit_bound_by *by = into;

    if (!field_is_list(reader, field, value))
        return;

    struct bound_step *steps = ARENA_ARRAY(reader->mem, struct bound_step, value->count);

    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct bound_step step = {0};

        if (!field_read_map(reader, &step_table, node, &step))
            continue;
        step.last = !yaml_find(node, "up to");
        steps[by->step_count++] = step;
    }
    by->steps = steps;
}

static const char *const by_rules[] = {"steps", "straight line", "un-ionised ammonia",
                                       "share of saturation", NULL};
static const enum bound_kind by_kinds[] = {BOUND_TABLE, BOUND_LINEAR, BOUND_UNIONISED,
                                           BOUND_SATURATION};

static void read_rule(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    enum bound_kind *kind = into;
    int word = value_word(reader, field, value);

    if (word >= 0)
        *kind = by_kinds[word];
}

/* Like the keys of a number. */
static const char *const side_words[] = {"not above", "below", "not below", "above", NULL};

static void read_side(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    struct limit_bound_by *by = into;
    int word = value_word(reader, field, value);

    if (word < 0)
        return;
    by->is_floor = word >= 2;
    by->reached_is_outside = word % 2 == 1;
}

#define BY(key, need, read, member, expected)                                                      \
    FIELD(key, need, read, struct limit_bound_by, member, expected)

static const struct field by_fields[] = {
    {BY("rule", FIELD_REQUIRED, read_rule, kind, "how the bound follows from the other reading"),
     .words = by_rules,
     .note =
         "Steps: a printed table. Straight line: offset + factor x the reading. Un-ionised "
         "ammonia: the total that holds the stated part, by pH, temperature and salinity, in "
         "this order. Share of saturation: oxygen, by temperature and salinity, in this order."},
    {.key = "side",
     .need = FIELD_REQUIRED,
     .read = read_side,
     .expected = "on which side of the bound the values must be",
     .words = side_words},
    {.key = "readings",
     .need = FIELD_REQUIRED,
     .read = read_others,
     .expected = "a list of the other readings, each with station, parameter and unit",
     .inside = &bound_part_other_table},
    {BY("within", FIELD_REQUIRED, moment_length, within_s,
        "how far apart in time they may be, as 30 minutes"),
     .words = moment_length_words, .least = 1, .most = 31 * 86400},
    {.key = "steps",
     .read = read_steps,
     .expected = "a list of steps, as {up to: 10, bound: 40}; the last one without `up to`",
     .inside = &step_table},
    {BY("offset", FIELD_OPTIONAL, value_number, offset, "a number in the clause's unit")},
    {BY("factor", FIELD_OPTIONAL, value_number, factor, "what the other reading is multiplied by")},
    {BY("stated", FIELD_OPTIONAL, value_number, stated,
        "the un-ionised part in the clause's unit and basis, or the percent of saturation"),
     .note = "An un-ionised part is as N where the clause's ammonia is as N, as NH3 where it is as "
             "NH3: 0.02 as N is 0.024 as NH3."},
    {BY("ammonia form", FIELD_OPTIONAL, limit_part_word, ammonia_form,
        "the equation for the share of ammonia, as bower-bidwell"),
     .words = limit_part_ammonia_forms,
     .note = "Each takes pH on a scale of its own: clegg-whitfield the total scale, the others "
             "NBS, which a probe set with ordinary buffers reads. They hold: " AMMONIA_FORM_RANGES
             ". Outside of it a sample has no bound and can't be within."},
};

const struct field_table bound_part_by_table = {"bound over another reading", by_fields,
                                                ARRAY_LEN(by_fields)};

void bound_part_by(struct field_reader *reader, const struct field *field, const struct yaml *value,
                   void *into)
{
    struct limit_bound_by by = {0};
    struct limit_bound_by *out = into;

    (void)field;
    if (!field_read_map(reader, &bound_part_by_table, value, &by))
        return;
    check_order(reader, yaml_find(value, "readings"), &by);
    if (out->kind != BOUND_NUMBER)
        field_problem(reader, value, NULL,
                      "`bound by` beside the word of a state: expected one "
                      "of them");
    *out = by;
}

/* --- how many may lie beyond ----------------------------------------------------------------- */

/* "4 to 7", "16 or more", "5" */
static void read_samples(struct field_reader *reader, const struct field *field,
                         const struct yaml *value, void *into)
{
    struct allowance_row *row = into;
    const char *words[3];
    int count = field_is_text(reader, field, value) ? value_split(reader, value, words, 3) : 0;
    int from = 0;
    int to = 0;
    bool is_read =
        (count == 1 || count == 3) && value_parse_count(words[0], 1, FARM_ITEMS_MOST, &from);

    if (is_read && count == 1)
        to = from;
    else if (is_read && strcmp(words[1], "or") == 0 && strcmp(words[2], "more") == 0)
        to = INT_MAX;
    else if (is_read && strcmp(words[1], "to") == 0)
        is_read = value_parse_count(words[2], from, FARM_ITEMS_MOST, &to);
    else
        is_read = false;
    if (!is_read) {
        if (count > 0 || value->kind == YAML_TEXT)
            field_unfit(reader, field, value, NULL, 0);
        return;
    }
    row->from = from;
    row->to = to;
}

static const struct field row_fields[] = {
    {.key = "samples",
     .need = FIELD_REQUIRED,
     .read = read_samples,
     .expected = "how many samples there are, as 4 to 7 or 16 or more"},
    {FIELD("allowed", FIELD_REQUIRED, value_count, struct allowance_row, allowed,
           "how many of them may lie beyond, as 1"),
     .most = FARM_ITEMS_MOST},
};

const struct field_table bound_part_allowed_table = {"row of the table", row_fields,
                                                     ARRAY_LEN(row_fields)};

static void read_rows(struct field_reader *reader, const struct yaml *value,
                      struct limit_allowance *allowance)
{
    struct allowance_row *rows = ARENA_ARRAY(reader->mem, struct allowance_row, value->count);

    for (size_t i = 0; i < value->count; i++) {
        struct allowance_row row = {0};

        if (field_read_map(reader, &bound_part_allowed_table, value->items[i].value, &row))
            rows[allowance->row_count++] = row;
    }
    allowance->kind = ALLOWANCE_TABLE;
    allowance->rows = rows;
}

void bound_part_allowed(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into)
{
    struct limit_allowance *allowance = into;
    const char *words[3];

    if (value->kind == YAML_LIST && field_is_list(reader, field, value)) {
        read_rows(reader, value, allowance);
        return;
    }
    if (!field_is_text(reader, field, value))
        return;

    int count = value_split(reader, value, words, 3);

    if (count == 2 && strcmp(words[1], "%") == 0 && decimal_parse(words[0], &allowance->percent))
        allowance->kind = ALLOWANCE_SHARE;
    else if ((count == 1 || (count == 3 && strcmp(words[1], "of") == 0 &&
                             value_parse_count(words[2], 1, FARM_ITEMS_MOST, &allowance->of))) &&
             value_parse_count(words[0], 0, FARM_ITEMS_MOST, &allowance->count))
        allowance->kind = ALLOWANCE_COUNT;
    else
        field_unfit(reader, field, value, NULL, 0);
}

void bound_part_across(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    struct limit *limit = into;
    const char *words[4];

    if (!field_is_text(reader, field, value))
        return;
    if (value_split(reader, value, words, 4) != 4 || strcmp(words[1], "of") != 0 ||
        strcmp(words[3], "periods") != 0 ||
        !value_parse_count(words[0], 1, FARM_ITEMS_MOST, &limit->across_outside) ||
        !value_parse_count(words[2], 2, FARM_ITEMS_MOST, &limit->across_of))
        field_unfit(reader, field, value, NULL, 0);
}
