#include "ingest/csv_value.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

#include "base/str.h"
#include "judge/evidence.h"

enum { SHOWN_MOST = 60 };

const char *const csv_flag_words[] = {"use",       "doubt",        "leave", "less than",
                                      "more than", "not detected", NULL};

/* The place of its word. */
static enum csv_flag flag_named(const char *word)
{
    for (int i = 0; csv_flag_words[i]; i++)
        if (strcmp(csv_flag_words[i], word) == 0)
            return (enum csv_flag)i;

    return FLAG_UNKNOWN;
}

struct csv_value_rules csv_value_rules_new(const struct source *source, struct arena *row_mem)
{
    return (struct csv_value_rules){
        .source = source,
        .style =
            {
                .decimal_mark = source->decimal,
                .blank_words = source->blanks,
                .blank_word_count = source->blank_count,
                .not_detected_words = source->not_detected,
                .not_detected_word_count = source->not_detected_count,
            },
        .row_mem = row_mem,
    };
}

static void fail(const struct csv_value_rules *rules, struct csv_value *value,
                 enum problem_reason reason, enum csv_value_cell at_fault, const char *cell,
                 const char *why, const char *todo)
{
    if (value->trouble.words)
        return;
    value->trouble = (struct trouble){
        .reason = reason,
        .words = arena_printf(rules->row_mem, "'%s': %s",
                              str_show(rules->row_mem, cell, SHOWN_MOST), why),
        .todo = todo,
    };
    value->at_fault = at_fault;
}

/* --- states --- */

static const char *list_of(struct arena *mem, const char *const *words)
{
    const char *list = "";

    for (size_t i = 0; words[i]; i++)
        list = arena_printf(mem, "%s%s%s", list, i ? ", " : "", words[i]);

    return list;
}

static void state_read(const struct csv_value_rules *rules, const struct parameter *parameter,
                       const char *cell, struct csv_value *out)
{
    const char *word = str_trim(rules->row_mem, cell);
    const struct source_words *states = &rules->source->states;
    const char *meant = word;

    for (size_t i = 0; i < states->count; i++)
        if (str_equal_nocase(states->items[i].word, word))
            meant = states->items[i].means;

    const char *state = parameter_state(parameter, meant);

    if (!state) {
        fail(rules, out, PROBLEM_STATE_UNKNOWN, VALUE_CELL, word,
             arena_printf(rules->row_mem, "it is no state of %s", parameter->name),
             arena_printf(rules->row_mem,
                          "The states are %s. Say in the source what the word means.",
                          list_of(rules->row_mem, parameter->states)));
        return;
    }
    out->has_value = true;
    out->qualifier = QUALIFIER_NONE;
    out->unit = state;
    for (size_t i = 0; i < PARAMETER_STATES_MOST && parameter->states[i]; i++)
        if (strcmp(parameter->states[i], state) == 0)
            out->value = (double)i;
}

/* --- limits --- */

/* A limit column: empty, a number, or a number behind '<'. Zero says nothing. */
static void limit_read(const struct csv_value_rules *rules, const char *cell,
                       enum csv_value_cell which, struct decimal *limit, struct csv_value *out)
{
    struct number number = number_read(&rules->style, cell);

    if (number.kind == NUMBER_BLANK || number.kind == NUMBER_NOT_DETECTED)
        return;
    if (number.kind == NUMBER_UNREADABLE)
        fail(rules, out, PROBLEM_VALUE_UNREADABLE, which, cell, number.why, number.what_to_do);
    else if (number.qualifier == '>' || number.value.coefficient < 0)
        fail(rules, out, PROBLEM_VALUE_UNREADABLE, which, cell, "it can't be a limit",
             "Correct the limit.");
    else
        *limit = number.value;
    out->has_limits = out->has_limits || limit->coefficient > 0;
}

/* The limit that a not-detected is below: detection, else quantitation; NULL when none is told. */
static const struct decimal *limit_told(const struct csv_value *value)
{
    if (value->detection.coefficient > 0)
        return &value->detection;

    return value->quantitation.coefficient > 0 ? &value->quantitation : NULL;
}

/* The limit that a less-than without a number is below: the higher one where both are told. */
static const struct decimal *limit_below(const struct csv_value *value)
{
    return value->quantitation.coefficient > 0 ? &value->quantitation : limit_told(value);
}

/* Not detected: below the limit where one is told. */
static void not_detected(struct csv_value *out)
{
    const struct decimal *limit = limit_told(out);

    out->has_value = limit != NULL;
    out->qualifier = limit ? QUALIFIER_LESS : QUALIFIER_NOT_DETECTED;
    out->reported = limit ? *limit : (struct decimal){0};
}

/* --- the qualifier column --- */

enum qualifier_said { SAID_NOTHING, SAID_LESS, SAID_GREATER, SAID_NOT_DETECTED, SAID_UNKNOWN };

/* What a flag says of the number itself. */
static enum qualifier_said flag_said(enum csv_flag flag)
{
    switch (flag) {
    case FLAG_LESS:
        return SAID_LESS;
    case FLAG_GREATER:
        return SAID_GREATER;
    case FLAG_NOT_DETECTED:
        return SAID_NOT_DETECTED;
    case FLAG_USE:
    case FLAG_DOUBT:
    case FLAG_LEAVE:
    case FLAG_UNKNOWN:
        break;
    }

    return SAID_NOTHING;
}

/* By the source's own words; a doubt or leave goes to *flag. */
static bool qualifier_told(const struct csv_value_rules *rules, const char *cell,
                           enum qualifier_said *said, enum csv_flag *flag)
{
    const struct source_words *words = &rules->source->qualifiers;
    const char *text = words->count > 0 ? str_trim(rules->row_mem, cell) : cell;

    for (size_t i = 0; i < words->count; i++) {
        if (!str_equal_nocase(words->items[i].word, text))
            continue;

        enum csv_flag means = flag_named(words->items[i].means);

        *said = flag_said(means);
        *flag = means == FLAG_DOUBT || means == FLAG_LEAVE ? means : FLAG_USE;
        return true;
    }

    return false;
}

static enum qualifier_said qualifier_read(const struct csv_value_rules *rules, const char *cell,
                                          enum csv_flag *flag)
{
    enum qualifier_said said;
    const char *word = cell;

    if (qualifier_told(rules, cell, &said, flag))
        return said;

    while (*word == ' ' || *word == '\t')
        word++;

    size_t length = strcspn(word, " \t");

    if (length == 0 || (length == 1 && *word == '='))
        return SAID_NOTHING;
    if (length == 1 && *word == '<')
        return SAID_LESS;
    if (length == 1 && *word == '>')
        return SAID_GREATER;

    switch (number_read(&rules->style, word).kind) {
    case NUMBER_NOT_DETECTED:
        return SAID_NOT_DETECTED;
    case NUMBER_BLANK:
        return SAID_NOTHING;
    case NUMBER_VALUE:
    case NUMBER_UNREADABLE:
        break;
    }

    return SAID_UNKNOWN;
}

/* The column says not detected; the value cell may be empty, 0, or the limit itself. */
static void not_detected_beside(const struct csv_value_rules *rules,
                                const struct csv_value_cells *cells, const struct number *number,
                                struct csv_value *out)
{
    const struct decimal *limit = limit_told(out);
    bool agrees =
        number->kind != NUMBER_VALUE || number->value.coefficient == 0 ||
        (limit && number->qualifier != '>' && decimal_compare(*limit, number->value) == 0);

    if (agrees) {
        not_detected(out);
        return;
    }
    out->has_value = true;
    out->qualifier = number->qualifier;
    out->reported = number->value;
    if (number->qualifier != '<')
        fail(rules, out, PROBLEM_VALUE_UNREADABLE, QUALIFIER_CELL, cells->value,
             "the row says not detected and gives a number",
             "Ask the laboratory whether the number is its limit, and write it as '<' and the "
             "limit.");
}

/* Join what the column says with what the value cell says. */
static void qualifier_join(const struct csv_value_rules *rules, enum qualifier_said said,
                           const struct csv_value_cells *cells, const struct number *number,
                           struct csv_value *out)
{
    char asked = said == SAID_LESS ? '<' : '>';

    if (said == SAID_NOT_DETECTED) {
        not_detected_beside(rules, cells, number, out);
    } else if (said == SAID_UNKNOWN) {
        fail(rules, out, PROBLEM_VALUE_UNREADABLE, QUALIFIER_CELL, cells->qualifier,
             "it is no qualifier",
             "Say in the source what it means (qualifier words), load the farm file, and read it "
             "again: weirbook aside read-again. < and > and words for not detected are known.");
    } else if (number->kind == NUMBER_BLANK && said == SAID_LESS && limit_below(out)) {
        out->has_value = true;
        out->qualifier = QUALIFIER_LESS;
        out->reported = *limit_below(out);
    } else if (number->kind == NUMBER_BLANK) {
        fail(rules, out, PROBLEM_VALUE_UNREADABLE, VALUE_CELL, cells->qualifier,
             "no number stands beside it", "Write the limit that is meant.");
    } else if (out->qualifier == QUALIFIER_NONE) {
        out->qualifier = asked;
    } else if (out->qualifier != asked) {
        fail(rules, out, PROBLEM_VALUE_UNREADABLE, QUALIFIER_CELL, cells->qualifier,
             arena_printf(rules->row_mem, "the value beside it is '%s'",
                          str_show(rules->row_mem, cells->value, SHOWN_MOST)),
             "Ask the laboratory which of the two is right.");
    }
}

/* --- the whole --- */

static void number_take(const struct csv_value_rules *rules, const struct number *number,
                        const char *cell, struct csv_value *out)
{
    switch (number->kind) {
    case NUMBER_BLANK:
        break;
    case NUMBER_VALUE:
        out->has_value = true;
        out->qualifier = number->qualifier;
        out->reported = number->value;
        break;
    case NUMBER_NOT_DETECTED:
        not_detected(out);
        break;
    case NUMBER_UNREADABLE:
        if (rules->source->format == SOURCE_XLSX && cell[0] == '=')
            fail(rules, out, PROBLEM_VALUE_UNREADABLE, VALUE_CELL, cell,
                 "a formula, and the workbook holds no value for it",
                 "Open the workbook in a spreadsheet program, save it there, and take it in "
                 "again.");
        else
            fail(rules, out, PROBLEM_VALUE_UNREADABLE, VALUE_CELL, cell, number->why,
                 number->what_to_do);
        break;
    }
}

static void unit_take(const struct parameter *parameter, const struct csv_unit *unit,
                      struct csv_value *out)
{
    if (!unit)
        return;
    /* Not detected, with no number at all, is so in every unit. */
    if (parameter && unit->is_untold && out->qualifier == QUALIFIER_NOT_DETECTED) {
        out->unit = parameter->unit;
        return;
    }
    out->unit = unit->name;
    if (unit->trouble.words && !out->trouble.words)
        out->trouble = unit->trouble;
    else if (out->has_value)
        out->value = unit_apply_double(&unit->to_canonical, decimal_double(out->reported));
}

/* What can't be, as below 0 or a pH of 18, is no value: what was measured is not known. */
static void possible_check(const struct csv_value_rules *rules, const struct parameter *parameter,
                           const char *cell, struct csv_value *out)
{
    if (!parameter || !out->has_value || out->trouble.words)
        return;

    double value = out->unit ? out->value : decimal_double(out->reported);
    const char *why = parameter_impossible(rules->row_mem, parameter, value);

    if (!why)
        return;
    out->has_value = false;
    out->qualifier = QUALIFIER_NONE;
    fail(
        rules, out, PROBLEM_VALUE_IMPOSSIBLE, VALUE_CELL, cell, why,
        out->reported.coefficient < 0
            ? "If it means that there is no value, list it under `blanks` of the source and read "
              "it "
              "again; else ask for a corrected sheet, and leave this one out: weirbook aside "
              "leave-out."
            : "If the unit is another one, correct it in the source and read it again; if it means "
              "that there is no value, list it under `blanks`; else ask for a corrected sheet, and "
              "leave this one out: weirbook aside leave-out.");
}

/*
 * Whether a result is there and may not be used, though it has no number: a laboratory's row is a
 * result in any case. An empty cell of a wide file is none.
 */
static bool is_left(const struct csv_value_rules *rules, const struct csv_value_cells *cells,
                    enum csv_flag flag)
{
    return rules->source->shape == SOURCE_LONG &&
           (flag == FLAG_LEAVE || cells->flagged == FLAG_LEAVE);
}

/* A less-than below the limit of its own row: one of the two is wrong. */
static void limits_check(const struct csv_value_rules *rules, const char *cell,
                         struct csv_value *out)
{
    if (!out->has_value || out->qualifier != QUALIFIER_LESS || out->detection.coefficient <= 0 ||
        decimal_compare(out->reported, out->detection) >= 0)
        return;
    fail(rules, out, PROBLEM_VALUE_UNREADABLE, VALUE_CELL, cell,
         arena_printf(rules->row_mem, "the detection limit beside it is %s, which is more",
                      decimal_text(rules->row_mem, out->detection)),
         "Ask the laboratory which of the two limits is right.");
}

void csv_value_read(const struct csv_value_rules *rules, const struct parameter *parameter,
                    const struct csv_unit *unit, const struct csv_value_cells *cells,
                    struct csv_value *out)
{
    struct number number = number_read(&rules->style, cells->value);
    enum csv_flag flag = FLAG_USE;
    enum qualifier_said said =
        *cells->qualifier ? qualifier_read(rules, cells->qualifier, &flag) : SAID_NOTHING;

    *out = (struct csv_value){.qualifier = QUALIFIER_NONE, .flag = flag};
    out->is_blank =
        number.kind == NUMBER_BLANK && said == SAID_NOTHING && !is_left(rules, cells, flag);
    if (out->is_blank)
        return;
    if (said == SAID_NOTHING)
        said = flag_said(cells->flagged);
    if (parameter && parameter->kind == PARAMETER_STATE) {
        state_read(rules, parameter, cells->value, out);
        return;
    }
    if (*cells->detection)
        limit_read(rules, cells->detection, DETECTION_CELL, &out->detection, out);
    if (*cells->quantitation)
        limit_read(rules, cells->quantitation, QUANTITATION_CELL, &out->quantitation, out);
    number_take(rules, &number, cells->value, out);
    if (said != SAID_NOTHING)
        qualifier_join(rules, said, cells, &number, out);
    limits_check(rules, cells->value, out);
    unit_take(parameter, unit, out);
    possible_check(rules, parameter, cells->value, out);
}

/* Whether the cell begins with the word as a whole: "1" is not the start of "10". */
static bool flag_fits(const char *cell, const char *word)
{
    size_t length = strlen(word);

    if (length == 0)
        return !*cell;
    if (strncasecmp(cell, word, length) != 0)
        return false;

    return !isalnum((unsigned char)word[length - 1]) || !isalnum((unsigned char)cell[length]);
}

enum csv_flag csv_flag_read(const struct source *source, const char *cell)
{
    const char *means = NULL;
    size_t longest = 0;

    while (*cell == ' ' || *cell == '\t')
        cell++;
    for (size_t i = 0; i < source->flags.count; i++) {
        const char *word = source->flags.items[i].word;

        if (flag_fits(cell, word) && (!means || strlen(word) > longest)) {
            means = source->flags.items[i].means;
            longest = strlen(word);
        }
    }
    if (!means)
        return *cell ? FLAG_UNKNOWN : FLAG_USE;

    return flag_named(means);
}
