#include <string.h>

#include "base/str.h"
#include "ingest/csv_header.h"
#include "ingest/sniff_name.h"
#include "ingest/sniff_what.h"

enum { SHOWN_MOST = 60, LEFT_LISTED_MOST = 12, UNITS_SHOWN = 4 };

#define NOT_TAKEN "not taken"
#define SET_ASIDE "set aside"

/* A parameter of the file, and what it is to us. */
struct met {
    const char *word;
    size_t rows;
    const struct parameter *parameter; /* NULL: asked, or left out */
    bool left_out;
};

struct longs {
    struct met *items;
    size_t count;
    size_t capacity;
    size_t parameter_column; /* SIZE_MAX: one parameter for all */
    size_t unit_column;      /* SIZE_MAX: none */
};

/* Units that stand with one word, by how many rows; of SIZE_MAX all rows. */
static struct sniff_words units_with(struct sniffing *sniffing, const struct longs *longs,
                                     const char *word)
{
    struct sniff_words units = {0};

    for (size_t r = 0; longs->unit_column != SIZE_MAX && r < sniffing->table->data.count; r++) {
        const struct sniff_row *row = &sniffing->table->data.items[r];
        const char *unit = sniff_cell_text(row, longs->unit_column);
        size_t i = 0;

        if (!*unit || (word && !str_equal(sniff_cell_text(row, longs->parameter_column), word)))
            continue;
        while (i < units.count && !str_equal(units.items[i].text, unit))
            i++;
        if (i == units.count && i < SNIFF_WORDS_MOST)
            LIST_ADD(sniffing->mem, &units, ((struct sniff_word){unit, 0}));
        if (i < units.count)
            units.items[i].rows++;
    }

    return units;
}

/* --- parameters --- */

static bool met_answered(struct sniffing *sniffing, const char *says, struct met *met,
                         struct err *err)
{
    const char *unit = NULL;

    met->left_out = str_equal_nocase(says, NOT_TAKEN);

    return met->left_out || sniff_parameter_told(sniffing, says, &met->parameter, &unit, err);
}

/* By its name and its units, where they leave one; else asked, or left out. */
static void met_guess(struct sniffing *sniffing, const struct longs *longs, struct met *met)
{
    struct arena *mem = sniffing->mem;
    struct sniff_words units = units_with(sniffing, longs, met->word);
    const char **words = ARENA_ARRAY(mem, const char *, units.count);
    struct sniff_parameters may_be = sniff_name_parameters(
        mem, sniffing->world->units, sniffing->world->parameters, met->word, NULL);

    for (size_t i = 0; i < units.count; i++)
        words[i] = units.items[i].text;
    sniff_name_fit(sniffing->world->units, words, units.count, &may_be);
    if (may_be.count == 1 && !may_be.basis_untold) {
        met->parameter = may_be.items[0];
        return;
    }
    met->left_out = may_be.count == 0;
    if (met->left_out)
        return;
    sniff_ask(
        sniffing, "parameter", met->word,
        arena_printf(mem, "%s%s%s", sniff_may_be_text(mem, met->word, &may_be),
                     units.count > 0 ? ". With it stands " : "",
                     units.count > 0 ? sniff_list_text(mem, words, units.count, UNITS_SHOWN) : ""),
        arena_printf(mem,
                     "\"parameter %s=KEY\" with one of these or one of your own, or "
                     "\"parameter %s=" NOT_TAKEN "\"",
                     met->word, met->word));
}

static bool parameters_meet(struct sniffing *sniffing, struct longs *longs, struct err *err)
{
    struct sniff_words words =
        sniff_words_of(sniffing->mem, sniffing->table, longs->parameter_column);

    for (size_t i = 0; i < words.count; i++) {
        struct met met = {.word = words.items[i].text, .rows = words.items[i].rows};
        const char *says = sniff_answer_to(sniffing->answers, "parameter", met.word);

        if (says && !met_answered(sniffing, says, &met, err))
            return err_wrap(err, "parameter '%s'", str_show(sniffing->mem, met.word, SHOWN_MOST));
        if (!says)
            met_guess(sniffing, longs, &met);
        LIST_ADD(sniffing->mem, longs, met);
    }

    return true;
}

/* Into the source: words of those that are taken, and the list of those that are not. */
static void parameters_put(struct sniffing *sniffing, const struct longs *longs)
{
    struct arena *mem = sniffing->mem;
    struct source *source = &sniffing->guess->source;
    struct source_word *told = ARENA_ARRAY(mem, struct source_word, longs->count);
    const char **left = ARENA_ARRAY(mem, const char *, longs->count);
    size_t told_count = 0;
    size_t left_count = 0;
    size_t left_rows = 0;
    size_t taken = 0;

    for (size_t i = 0; i < longs->count; i++) {
        const struct met *met = &longs->items[i];

        if (met->left_out) {
            left[left_count++] = met->word;
            left_rows += met->rows;
            continue;
        }
        taken++;
        if (met->parameter && str_equal(met->parameter->key, met->word))
            continue;
        told[told_count++] =
            (struct source_word){met->word, met->parameter ? met->parameter->key : NULL};
    }
    source->parameters = (struct source_words){told, told_count};
    source->ignores_other_parameters = left_count > LEFT_LISTED_MOST;
    if (!source->ignores_other_parameters) {
        source->ignored_parameters = left;
        source->ignored_parameter_count = left_count;
    }
    sniff_fact_add(sniffing, "parameter",
                   arena_printf(mem, "column '%s'", source->parameter_header),
                   arena_printf(mem, "%zu of its %zu words are parameters that can be kept", taken,
                                longs->count));
    if (left_count > 0)
        sniff_fact_add(sniffing, "parameters left out",
                       sniff_list_text(mem, left, left_count, LEFT_LISTED_MOST),
                       arena_printf(mem,
                                    "%zu of %zu rows looked at; to take one: \"parameter "
                                    "WORD=KEY\"",
                                    left_rows, sniffing->table->data.count));
}

/* --- units --- */

struct unit_told {
    struct source_word *items;
    size_t count;
};

static bool unit_of(struct sniffing *sniffing, const struct parameter *parameter, const char *word,
                    struct unit_told *told, struct err *err)
{
    struct arena *mem = sniffing->mem;
    const struct unit *unit = NULL;
    const char *says = sniff_answer_to(sniffing->answers, "unit", word);
    struct err why = ERR_INIT;

    for (size_t i = 0; i < told->count; i++)
        if (str_equal(told->items[i].word, word))
            return true;
    if (says && !str_equal_nocase(says, SET_ASIDE)) {
        if (!unit_find(sniffing->world->units, says, parameter, &unit, err))
            return err_wrap(err, "unit '%s'", str_show(mem, word, SHOWN_MOST));
        told->items[told->count++] = (struct source_word){word, unit_name(unit)};
        return true;
    }
    if (says || unit_find(sniffing->world->units, word, parameter, &unit, &why))
        return true;
    told->items[told->count++] = (struct source_word){word, NULL};
    sniff_ask(sniffing, "unit", word,
              arena_printf(mem, "which unit is '%s', written for %s? %s", word, parameter->name,
                           why.hint),
              arena_printf(mem,
                           "\"unit %s=UNIT\", or \"unit %s=" SET_ASIDE "\" to have these rows "
                           "wait",
                           word, word));

    return true;
}

static bool units_meet(struct sniffing *sniffing, const struct longs *longs, struct err *err)
{
    struct source *source = &sniffing->guess->source;
    struct unit_told told = {.items =
                                 ARENA_ARRAY(sniffing->mem, struct source_word, SNIFF_WORDS_MOST)};

    for (size_t i = 0; i < longs->count; i++) {
        const struct met *met = &longs->items[i];
        struct sniff_words units;

        if (!met->parameter || met->parameter->kind == PARAMETER_STATE)
            continue;
        units = units_with(sniffing, longs, met->word);
        for (size_t k = 0; k < units.count && told.count < SNIFF_WORDS_MOST; k++)
            if (!unit_of(sniffing, met->parameter, units.items[k].text, &told, err))
                return false;
    }
    source->units = (struct source_words){told.items, told.count};

    return true;
}

/* No column of units: one for all, where the parameters leave none open. */
static bool unit_fixed(struct sniffing *sniffing, const struct longs *longs, struct err *err)
{
    struct source *source = &sniffing->guess->source;
    const char *says = sniff_answer_to(sniffing->answers, "unit", NULL);
    const struct parameter *first = NULL;
    const struct unit *unit = NULL;
    size_t numbers = 0;

    for (size_t i = 0; i < longs->count; i++) {
        const struct parameter *parameter = longs->items[i].parameter;

        if (!parameter || parameter->kind == PARAMETER_STATE)
            continue;
        first = parameter;
        numbers++;
    }
    if (numbers == 0)
        return true;
    if (says) {
        if (!unit_find(sniffing->world->units, says, first, &unit, err))
            return false;
        source->unit = unit_name(unit);
    } else if (numbers == 1 && !first->units[1]) {
        source->unit = first->unit;
    } else {
        sniff_ask(sniffing, "unit", NULL, "no column tells the unit of the values: which is it?",
                  arena_printf(sniffing->mem, "unit=UNIT, for %s one of %s", first->name,
                               parameter_units_text(sniffing->mem, first)));
    }

    return true;
}

/* --- the whole --- */

static const char *header_of(struct sniffing *sniffing, enum csv_field field)
{
    size_t column = sniff_field_column(sniffing, field);

    if (column == SIZE_MAX || sniffing->table->columns[column].filled == 0)
        return NULL;
    sniffing->taken[column] = true;

    return sniffing->table->columns[column].name;
}

/* One parameter for all rows: a person says which. */
static bool parameter_fixed(struct sniffing *sniffing, struct longs *longs, struct err *err)
{
    struct source *source = &sniffing->guess->source;
    const char *says = sniff_answer_to(sniffing->answers, "parameter", NULL);
    struct met met = {.word = NULL, .rows = sniffing->table->data.count};

    if (!says) {
        sniff_ask(sniffing, "parameter", NULL, "no column names what was measured: what is it?",
                  "parameter=KEY; weirbook words parameters lists what there is");
        return true;
    }
    if (!met_answered(sniffing, says, &met, err))
        return false;
    source->parameter = met.parameter ? met.parameter->key : NULL;
    LIST_ADD(sniffing->mem, longs, met);

    return true;
}

static bool flags_meet(struct sniffing *sniffing, struct err *err)
{
    struct source *source = &sniffing->guess->source;
    size_t qualifier = sniff_field_column(sniffing, FIELD_QUALIFIER);
    size_t flag = sniff_field_column(sniffing, FIELD_FLAG);
    const struct sniff_flagged conditions = {"condition", &qualifier, 1};
    const struct sniff_flagged flags = {"flag", &flag, 1};

    source->qualifier_header = header_of(sniffing, FIELD_QUALIFIER);
    source->flag_header = header_of(sniffing, FIELD_FLAG);

    return (!source->qualifier_header ||
            sniff_flag_words(sniffing, &conditions, &source->qualifiers, err)) &&
           (!source->flag_header || sniff_flag_words(sniffing, &flags, &source->flags, err));
}

bool sniff_long(struct sniffing *sniffing, struct err *err)
{
    struct source *source = &sniffing->guess->source;
    struct longs longs = {.parameter_column = sniff_field_column(sniffing, FIELD_PARAMETER),
                          .unit_column = sniff_field_column(sniffing, FIELD_UNIT)};
    size_t value = sniff_field_column(sniffing, FIELD_VALUE);

    source->value_header = header_of(sniffing, FIELD_VALUE);
    sniffing->values[value] = true;
    source->parameter_header = header_of(sniffing, FIELD_PARAMETER);
    source->unit_header = header_of(sniffing, FIELD_UNIT);
    if (!source->unit_header)
        longs.unit_column = SIZE_MAX;
    if (!(source->parameter_header ? parameters_meet(sniffing, &longs, err)
                                   : parameter_fixed(sniffing, &longs, err)))
        return false;
    if (source->parameter_header)
        parameters_put(sniffing, &longs);
    if (!(source->unit_header ? units_meet(sniffing, &longs, err)
                              : unit_fixed(sniffing, &longs, err)) ||
        !flags_meet(sniffing, err))
        return false;
    source->detection_header = header_of(sniffing, FIELD_DETECTION);
    source->quantitation_header = header_of(sniffing, FIELD_QUANTITATION);
    source->limit_unit_header = header_of(sniffing, FIELD_LIMIT_UNIT);
    sniff_fact_add(
        sniffing, "value", arena_printf(sniffing->mem, "column '%s'", source->value_header),
        source->unit_header ? arena_printf(sniffing->mem, "units in '%s'", source->unit_header)
                            : NULL);

    return true;
}
