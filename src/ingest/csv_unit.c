#include "ingest/csv_unit.h"

#include <stdio.h>
#include <string.h>

#include "base/str.h"

enum { UNIT_WORDS_MOST = 4096, UNIT_WORD_LONGEST = 80 };

struct csv_units csv_units_new(struct arena *mem, struct arena *row_mem,
                               const struct source *source, const struct units *units)
{
    return (struct csv_units){
        .mem = mem,
        .row_mem = row_mem,
        .source = source,
        .units = units,
        .known = word_map_new(mem, UNIT_WORDS_MOST),
    };
}

/* What the source says the word means, or the word itself. */
static const char *word_translate(const struct source_words *words, const char *word)
{
    for (size_t i = 0; i < words->count; i++)
        if (strcmp(words->items[i].word, word) == 0)
            return words->items[i].means;

    return word;
}

static void unit_fail(struct csv_unit *unit, enum problem_reason reason, const char *words,
                      const char *todo)
{
    *unit = (struct csv_unit){.trouble = {.reason = reason, .words = words, .todo = todo}};
}

/* Nothing was told: fine where the parameter leaves no choice. */
static const char *only_unit(const struct parameter *parameter)
{
    return parameter->units[0] && !parameter->units[1] ? parameter->units[0] : NULL;
}

/*
 * What to do with a unit of another basis: no word of the source can mend that, a parameter can.
 * The basis is told once, in the parameter; the factor is the equation's.
 */
static char *basis_todo(struct arena *mem, const struct parameter *parameter, const char *basis)
{
    return arena_printf(mem,
                        "If the sheet is right, keep the result under a parameter that is %s (one "
                        "of your own under `parameters` with `basis: %s`; send the laboratory's "
                        "word to it with `parameter words`), and have %s worked out from it: "
                        "`derived` with `equation: nutrient basis`. If the sheet is wrong, ask for "
                        "a corrected one. Then load the farm file and read it again: weirbook "
                        "aside read-again.",
                        basis, basis, parameter->key);
}

/* A word that names a basis is of that basis, whatever unit the source says that it means. */
static bool is_of_another_basis(const struct csv_units *units, struct arena *mem,
                                const struct parameter *parameter, const char *word,
                                struct csv_unit *out)
{
    struct unit_reading reading = {.unit = NULL};
    struct err ignored = ERR_INIT;

    if (!*word || strlen(word) > UNIT_WORD_LONGEST ||
        !unit_read(units->units, word, NULL, &reading, &ignored) || !reading.basis ||
        str_equal(reading.basis, parameter->basis))
        return false;
    unit_fail(out, PROBLEM_UNIT_UNFIT,
              arena_printf(mem, "'%s' is %s, and %s is kept %s",
                           str_show(mem, word, UNIT_WORD_LONGEST), reading.basis, parameter->key,
                           *parameter->basis ? parameter->basis : "without a basis"),
              basis_todo(mem, parameter, reading.basis));

    return true;
}

static void unit_resolve(const struct csv_units *units, struct arena *mem,
                         const struct parameter *parameter, const char *word, struct csv_unit *out)
{
    const char *meant = *word ? word_translate(&units->source->units, word) : only_unit(parameter);
    const struct unit *canonical = unit_named(units->units, parameter->unit);
    const struct unit *unit = NULL;
    struct err err = ERR_INIT;

    if (!meant) {
        unit_fail(out, PROBLEM_UNIT_UNKNOWN,
                  arena_printf(mem, "no unit is told for %s", parameter->name),
                  arena_printf(mem, "Tell it in the source. It can be in %s.",
                               parameter_units_text(mem, parameter)));
        out->is_untold = true;
        return;
    }
    if (is_of_another_basis(units, mem, parameter, word, out))
        return;
    if (strlen(meant) > UNIT_WORD_LONGEST) {
        unit_fail(out, PROBLEM_UNIT_UNKNOWN,
                  arena_printf(mem, "'%s' is no unit", str_show(mem, meant, UNIT_WORD_LONGEST)),
                  "Write the unit alone in the cell.");
        return;
    }
    if (!unit_find(units->units, meant, parameter, &unit, &err)) {
        unit_fail(out, err.code == ERR_NOT_FOUND ? PROBLEM_UNIT_UNKNOWN : PROBLEM_UNIT_UNFIT,
                  arena_strdup(mem, err.text),
                  err.code == ERR_NOT_FOUND
                      ? arena_printf(mem,
                                     "%s%sAsk for a corrected sheet; or, if you are sure, say in "
                                     "the source what '%s' means (unit words), load the farm file, "
                                     "and read it again: weirbook aside read-again.",
                                     err.hint, *err.hint ? " " : "",
                                     str_show(mem, word, UNIT_WORD_LONGEST))
                      : arena_printf(mem,
                                     "%s%sAsk for a corrected sheet; or keep such results under a "
                                     "parameter of that unit: `weirbook words parameters` shows "
                                     "them, `parameter words` of the source names it for them.",
                                     err.hint, *err.hint ? " " : ""));
        return;
    }
    if (!canonical ||
        !unit_conversion(units->units, mem, unit, canonical, &out->to_canonical, &err)) {
        unit_fail(out, PROBLEM_UNIT_UNFIT,
                  arena_printf(mem, "%s can't be brought to the unit of %s", unit_name(unit),
                               parameter->name),
                  "Correct the unit.");
        return;
    }
    out->name = unit_name(unit);
}

const struct csv_unit *csv_unit_find(struct csv_units *units, const struct parameter *parameter,
                                     const char *word)
{
    char key[512];

    if (snprintf(key, sizeof(key), "%s\x1f%s", parameter->key, word) >= (int)sizeof(key))
        key[sizeof(key) - 1] = '\0';

    struct csv_unit *unit = word_map_get(&units->known, key);

    if (unit)
        return unit;

    bool fits = units->known.count < units->known.most;
    struct arena *mem = fits ? units->mem : units->row_mem;

    unit = ARENA_NEW(mem, struct csv_unit);
    unit_resolve(units, mem, parameter, word, unit);
    if (fits)
        (void)word_map_put(&units->known, key, unit);

    return unit;
}

const char *csv_unit_alone(const struct csv_units *units, const char *word)
{
    const char *meant = word_translate(&units->source->units, word);
    struct unit_reading reading = {.unit = NULL};
    struct err ignored = ERR_INIT;

    if (!*meant || strlen(meant) > UNIT_WORD_LONGEST ||
        !unit_read(units->units, meant, NULL, &reading, &ignored) || reading.basis)
        return NULL;

    return unit_name(reading.unit);
}

const struct csv_unit *csv_unit_settle(struct csv_units *units, const struct parameter *parameter,
                                       const char *told, const char *shown)
{
    const struct csv_unit *unit = csv_unit_find(units, parameter, told ? told : shown ? shown : "");

    if (!told || !shown || unit->trouble.words)
        return unit;

    /* What is shown may be no unit at all ("Temp (probe 1)"): then what is told holds. */
    const struct csv_unit *other = csv_unit_find(units, parameter, shown);

    if (!other->name || !unit->name || strcmp(other->name, unit->name) == 0)
        return unit;

    struct csv_unit *trouble = ARENA_NEW(units->mem, struct csv_unit);

    unit_fail(trouble, PROBLEM_UNIT_UNFIT,
              arena_printf(units->mem, "the header says %s and the source says %s", other->name,
                           unit->name),
              arena_printf(units->mem,
                           "Correct the source; if the header is wrong, say under its units that "
                           "'%s' means %s.",
                           str_show(units->mem, shown, UNIT_WORD_LONGEST), unit->name));

    return trouble;
}

const struct csv_unit *csv_unit_clash(struct csv_units *units, const char *of_header,
                                      const char *of_row)
{
    struct csv_unit *trouble = ARENA_NEW(units->mem, struct csv_unit);

    unit_fail(trouble, PROBLEM_UNIT_UNFIT,
              arena_printf(units->mem, "the header says %s and the row of units says %s", of_header,
                           of_row),
              "Ask for a corrected file, or say in the source what the wrong word means (unit "
              "words).");

    return trouble;
}

static bool is_space(char c)
{
    return c == ' ' || c == '\t';
}

/* The opening bracket that belongs to the closing one at the end of the text, or NULL. */
static const char *bracket_open(const char *text, size_t length)
{
    char close = length > 0 ? text[length - 1] : '\0';
    char open = close == ')' ? '(' : close == ']' ? '[' : '\0';
    int depth = 0;

    for (size_t i = length; open && i-- > 0;) {
        depth += text[i] == close;
        depth -= text[i] == open;
        if (depth == 0)
            return text + i;
    }

    return NULL;
}

char *csv_unit_of_header(struct arena *mem, const char *header, size_t *name_length)
{
    size_t length = strlen(header);
    const char *open = bracket_open(header, length);
    const char *comma = strrchr(header, ',');
    const char *from = open ? open + 1 : comma ? comma + 1 : NULL;
    const char *name_end = open ? open : comma;

    if (!from)
        return NULL;

    char *unit =
        str_trim(mem, arena_strndup(mem, from, length - (size_t)(from - header) - (open ? 1 : 0)));

    while (name_end > header && is_space(name_end[-1]))
        name_end--;
    if (!*unit || name_end == header)
        return NULL;
    *name_length = (size_t)(name_end - header);

    return unit;
}

char *csv_unit_of_cell(struct arena *mem, const char *cell)
{
    char *unit = str_trim(mem, cell);
    size_t length = strlen(unit);
    const char *open = bracket_open(unit, length);

    if (open == unit)
        unit = str_trim(mem, arena_strndup(mem, unit + 1, length - 2));

    return *unit ? unit : NULL;
}
