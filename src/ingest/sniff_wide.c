#include <string.h>

#include "base/str.h"
#include "ingest/csv_header.h"
#include "ingest/csv_value.h"
#include "ingest/sniff_name.h"
#include "ingest/sniff_what.h"

enum { SHOWN_MOST = 60 };

#define NOT_TAKEN "not taken"

const char *sniff_keys_text(struct arena *mem, const struct sniff_parameters *may_be)
{
    const char *text = "";

    for (size_t i = 0; i < may_be->count; i++)
        text = arena_printf(mem, "%s%s%s", text,
                            i == 0                   ? ""
                            : i + 1 == may_be->count ? " or "
                                                     : ", ",
                            may_be->items[i]->key);

    return text;
}

const char *sniff_may_be_text(struct arena *mem, const char *word,
                              const struct sniff_parameters *may_be)
{
    const char *keys = sniff_keys_text(mem, may_be);

    if (!may_be->basis_untold)
        return arena_printf(mem, "what is '%s'? It may be %s", word, keys);

    return arena_printf(mem,
                        "what is '%s'? It may be %s, which is kept %s; the file does not say "
                        "whether its numbers are %s too, or of the whole ion",
                        word, keys, may_be->items[0]->basis, may_be->items[0]->basis);
}

bool sniff_parameter_told(struct sniffing *sniffing, const char *says,
                          const struct parameter **parameter, const char **unit, struct err *err)
{
    const char *comma = strchr(says, ',');
    const char *key =
        comma ? str_trim(sniffing->mem, arena_strndup(sniffing->mem, says, (size_t)(comma - says)))
              : says;
    const struct unit *read = NULL;

    *unit = NULL;
    if (!parameter_require(sniffing->world->parameters, key, parameter, err))
        return false;
    if (!comma)
        return true;
    if (!unit_find(sniffing->world->units, str_trim(sniffing->mem, comma + 1), *parameter, &read,
                   err))
        return false;
    *unit = unit_name(read);

    return true;
}

/* --- one column --- */

struct wide {
    struct source_column *columns;
    size_t count;
    size_t *flag_columns;
    size_t flag_count;
};

/* Whether the reader will find the unit in the file by itself. */
static bool unit_is_shown(const struct sniffing *sniffing, const struct parameter *parameter,
                          const char *shown)
{
    const struct unit *unit = NULL;
    struct err ignored = ERR_INIT;

    return shown && unit_find(sniffing->world->units, shown, parameter, &unit, &ignored);
}

/* The unit, where the file shows none that is one: the only one, the name's, or asked. */
static const char *unit_settle(struct sniffing *sniffing, const struct sniff_column *column,
                               const struct parameter *parameter, const char *named,
                               const char **evidence)
{
    struct arena *mem = sniffing->mem;

    if (parameter->kind == PARAMETER_STATE)
        return NULL;
    if (unit_is_shown(sniffing, parameter, column->unit)) {
        *evidence = arena_printf(mem, "%s, as its %s says", column->unit,
                                 column->unit_in_row ? "row of units" : "header");
        return NULL;
    }
    if (named) {
        *evidence = arena_printf(mem, "%s, as its name says", named);
        return named;
    }
    if (!parameter->units[1]) {
        *evidence = arena_printf(mem, "%s, the only unit it has", parameter->unit);
        return parameter->unit;
    }
    *evidence = "unit asked";
    sniff_ask(sniffing, "column", column->name,
              arena_printf(mem, "in which unit is '%s', %s%s%s?", column->name, parameter->name,
                           column->unit ? ", whose header says " : "",
                           column->unit ? str_show(mem, column->unit, SHOWN_MOST) : ""),
              arena_printf(mem,
                           "\"column %s=%s, UNIT\", with one of %s; or \"column %s=" NOT_TAKEN "\"",
                           column->name, parameter->key, parameter_units_text(mem, parameter),
                           column->name));

    return NULL;
}

static void flag_find(struct sniffing *sniffing, size_t column, struct wide *wide,
                      struct source_column *into)
{
    const struct sniff_table *table = sniffing->table;

    for (size_t i = 0; i < table->column_count; i++) {
        const char *says;

        if (i == column || table->columns[i].filled == 0 || table->columns[i].is_twice ||
            !sniff_name_flags(sniffing->mem, table->columns[i].name, table->columns[column].bare))
            continue;
        says = sniff_answer_to(sniffing->answers, "column", table->columns[i].name);
        if (says && str_equal_nocase(says, NOT_TAKEN))
            continue;
        into->flag_header = table->columns[i].name;
        sniffing->taken[i] = true;
        wide->flag_columns[wide->flag_count++] = i;
        return;
    }
}

/* The station in a column's name, where the name is not of a parameter as it stands. */
static const char *station_of(struct sniffing *sniffing, const struct sniff_column *column,
                              const char **rest)
{
    const struct sniff_world *world = sniffing->world;

    if (sniff_name_parameters(sniffing->mem, world->units, world->parameters, column->bare, NULL)
            .count > 0)
        return NULL;

    return sniff_station_in_name(sniffing, column->bare, rest);
}

static void column_add(struct sniffing *sniffing, size_t at, const struct parameter *parameter,
                       const char *unit, const char *evidence, struct wide *wide)
{
    const struct sniff_column *column = &sniffing->table->columns[at];
    struct source_column *into = &wide->columns[wide->count++];
    const char *place = "";
    const char *rest = NULL;
    const char *flag = "";

    *into =
        (struct source_column){.header = column->name, .unit = unit, .may_lack = column->may_lack};
    if (parameter)
        into->parameter = parameter->key;
    if (!sniffing->guess->source.station_header &&
        (into->station = station_of(sniffing, column, &rest)))
        place = arena_printf(sniffing->mem, " at %s", into->station);
    sniffing->taken[at] = true;
    sniffing->values[at] = !parameter || parameter->kind != PARAMETER_STATE;
    flag_find(sniffing, at, wide, into);
    if (into->flag_header)
        flag = arena_printf(sniffing->mem, "; flags in '%s'", into->flag_header);
    sniff_fact_add(sniffing, arena_printf(sniffing->mem, "column '%s'", column->name),
                   arena_printf(sniffing->mem, "%s%s", parameter ? parameter->key : "asked", place),
                   arena_printf(sniffing->mem, "%s%s", evidence, flag));
}

static bool column_answered(struct sniffing *sniffing, size_t at, const char *says,
                            struct wide *wide, struct err *err)
{
    const struct sniff_column *column = &sniffing->table->columns[at];
    const struct parameter *parameter = NULL;
    const char *evidence = "as you answered";
    const char *unit = NULL;

    if (str_equal_nocase(says, NOT_TAKEN))
        return true;
    if (!sniff_parameter_told(sniffing, says, &parameter, &unit, err))
        return err_wrap(err, "column '%s'", str_show(sniffing->mem, column->name, SHOWN_MOST));
    if (!unit)
        unit = unit_settle(sniffing, column, parameter, NULL, &evidence);
    column_add(sniffing, at, parameter, unit,
               unit && str_equal(evidence, "as you answered")
                   ? arena_printf(sniffing->mem, "%s, as you answered", unit)
                   : evidence,
               wide);

    return true;
}

/* States are words; all else is numbers. */
static bool content_fits(const struct sniff_column *column, const struct parameter *parameter)
{
    if (parameter->kind == PARAMETER_STATE)
        return column->numbers * 2 < column->filled;

    return column->numbers > 0;
}

/* Of a name that says nothing: by its unit, where a parameter can be in it, it is asked about. */
static void unit_ask(struct sniffing *sniffing, size_t at, struct wide *wide)
{
    const struct sniff_column *column = &sniffing->table->columns[at];
    struct arena *mem = sniffing->mem;
    struct sniff_parameters may_be = {.count = 0};
    bool more = false;

    if (column->unit && column->numbers > 0)
        may_be = sniff_name_by_unit(sniffing->world->units, sniffing->world->parameters,
                                    column->unit, &more);
    if (may_be.count == 0)
        return;
    sniff_ask(sniffing, "column", column->name,
              arena_printf(mem, "what is '%s', in %s? By its unit it may be %s%s", column->name,
                           str_show(mem, column->unit, SHOWN_MOST), sniff_keys_text(mem, &may_be),
                           more ? ", or another" : ""),
              arena_printf(mem, "\"column %s=PARAMETER\", or \"column %s=" NOT_TAKEN "\"",
                           column->name, column->name));
    column_add(sniffing, at, NULL, NULL,
               arena_printf(mem, "its name says nothing; in %s", column->unit), wide);
}

static void column_guess(struct sniffing *sniffing, size_t at, struct wide *wide)
{
    const struct sniff_column *column = &sniffing->table->columns[at];
    struct arena *mem = sniffing->mem;
    const struct sniff_world *world = sniffing->world;
    struct sniff_parameters may_be =
        sniff_name_parameters(mem, world->units, world->parameters, column->bare, column->unit);
    const char *rest = NULL;
    size_t fitting = 0;

    if (may_be.count == 0 && sniff_station_in_name(sniffing, column->bare, &rest))
        may_be = sniff_name_parameters(mem, world->units, world->parameters, rest, column->unit);

    for (size_t i = 0; i < may_be.count; i++)
        if (content_fits(column, may_be.items[i]))
            may_be.items[fitting++] = may_be.items[i];
    may_be.count = fitting;
    if (may_be.count == 0) {
        unit_ask(sniffing, at, wide);
        return;
    }
    if (may_be.count > 1 || may_be.basis_untold) {
        sniff_ask(sniffing, "column", column->name, sniff_may_be_text(mem, column->name, &may_be),
                  arena_printf(mem,
                               "\"column %s=PARAMETER\" with one of these or one of your own%s; "
                               "or \"column %s=" NOT_TAKEN "\"",
                               column->name, column->unit ? "" : " and its unit behind a comma",
                               column->name));
        column_add(sniffing, at, NULL, NULL,
                   arena_printf(mem, "may be %s", sniff_keys_text(mem, &may_be)), wide);
        return;
    }

    const char *evidence = "a state";
    const char *unit = unit_settle(sniffing, column, may_be.items[0], may_be.unit, &evidence);

    column_add(sniffing, at, may_be.items[0], unit, evidence, wide);
}

/* --- flags --- */

/* Words for a value's worth that say what they mean. */
static const struct {
    const char *words;
    enum csv_flag means;
} plain_flags[] = {
    {"|good|ok|okay|valid|pass|passed|accepted|approved|use|fine|", FLAG_USE},
    {"|suspect|doubt|doubtful|questionable|estimated|provisional|preliminary|", FLAG_DOUBT},
    {"|bad|fail|failed|rejected|reject|invalid|leave|error|", FLAG_LEAVE},
    {"|<|lt|lessthan|belowdetection|belowdetectionlimit|belowreportinglimit|"
     "presentbelowquantificationlimit|belowlimit|",
     FLAG_LESS},
    {"|>|gt|greaterthan|morethan|abovequantitationlimit|presentabovequantificationlimit|",
     FLAG_GREATER},
    {"|notdetected|nd|undetected|", FLAG_NOT_DETECTED},
    {"|=|", FLAG_USE},
};

static const char *flag_means(struct arena *mem, const char *word)
{
    const char *plain = sniff_plain(mem, word);
    const char *sought = arena_printf(mem, "|%s|", *plain ? plain : word);

    for (size_t i = 0; i < ARRAY_LEN(plain_flags); i++)
        if (strstr(plain_flags[i].words, sought))
            return csv_flag_words[plain_flags[i].means];

    return NULL;
}

static bool flag_told(struct sniffing *sniffing, const char *topic, const char *word,
                      const char **out, struct err *err)
{
    const char *says = sniff_answer_to(sniffing->answers, topic, word);

    *out = NULL;
    if (!says)
        return true;
    for (size_t i = 0; csv_flag_words[i]; i++)
        if (str_equal_nocase(csv_flag_words[i], says)) {
            *out = csv_flag_words[i];
            return true;
        }
    (void)err_set(err, ERR_INVALID, "'%s' is not what a %s can mean",
                  str_show(sniffing->mem, says, SHOWN_MOST), topic);

    return err_hint(err, "It can be use, doubt, leave, less than, more than or not detected.");
}

/* Of a flag "<-3> [SSM] (CCU)" the first part; the reader lets the cell go on behind the word. */
static const char *flag_word(struct arena *mem, const char *text, bool whole)
{
    return whole ? text : arena_strndup(mem, text, strcspn(text, " "));
}

bool sniff_flag_words(struct sniffing *sniffing, const struct sniff_flagged *flagged,
                      struct source_words *into, struct err *err)
{
    struct arena *mem = sniffing->mem;
    bool whole = !str_equal(flagged->topic, "flag");
    struct source_word *told = ARENA_ARRAY(mem, struct source_word, SNIFF_WORDS_MOST);
    size_t count = 0;

    for (size_t c = 0; c < flagged->column_count; c++) {
        struct sniff_words words = sniff_words_of(mem, sniffing->table, flagged->columns[c]);

        for (size_t i = 0; i < words.count && count < SNIFF_WORDS_MOST; i++) {
            const char *word = flag_word(mem, words.items[i].text, whole);
            const char *means = NULL;
            bool known = false;

            for (size_t k = 0; k < count; k++)
                known = known || str_equal(told[k].word, word);
            if (known)
                continue;
            if (!flag_told(sniffing, flagged->topic, word, &means, err))
                return false;
            if (!means)
                means = flag_means(mem, word);
            if (!means)
                sniff_ask(
                    sniffing, flagged->topic, word,
                    arena_printf(mem, "what do these %ss say of their values?", flagged->topic),
                    arena_printf(mem,
                                 "\"%s WORD=use\" (as good), =doubt, =leave (set aside), "
                                 "\"=less than\" or \"=more than\" (the number is the limit) "
                                 "or \"=not detected\" for each",
                                 flagged->topic));
            told[count++] = (struct source_word){word, means};
        }
    }
    *into = (struct source_words){told, count};

    return true;
}

/* --- the whole --- */

static bool fail_no_columns(struct sniffing *sniffing, struct err *err)
{
    const struct sniff_table *table = sniffing->table;
    const char **names = ARENA_ARRAY(sniffing->mem, const char *, table->column_count);
    size_t count = 0;

    sniffing->answers->last = NULL; /* no answer is at fault */
    for (size_t i = 0; i < table->column_count; i++)
        if (table->columns[i].numbers > 0 && !sniffing->taken[i] && *table->columns[i].name)
            names[count++] = table->columns[i].name;
    (void)err_set(err, ERR_INVALID, "no column is called like a parameter");
    if (count == 0)
        return err_hint(err, "And none holds numbers. Is it a file of readings?");

    return err_hint(err,
                    "Numbers stand in %s. Say what one of them is: \"column %s=PARAMETER, UNIT\". "
                    "weirbook words parameters lists what there is.",
                    sniff_list_text(sniffing->mem, names, count, 6), names[0]);
}

bool sniff_wide(struct sniffing *sniffing, struct err *err)
{
    const struct sniff_table *table = sniffing->table;
    struct source *source = &sniffing->guess->source;
    struct wide wide = {
        .columns = ARENA_ARRAY(sniffing->mem, struct source_column, table->column_count),
        .flag_columns = ARENA_ARRAY(sniffing->mem, size_t, table->column_count),
    };

    for (size_t i = 0; i < table->column_count; i++) {
        const struct sniff_column *column = &table->columns[i];
        const char *says;

        if (sniffing->taken[i] || !*column->name)
            continue;
        says = sniff_answer_to(sniffing->answers, "column", column->name);
        if (says) {
            if (!column_answered(sniffing, i, says, &wide, err))
                return false;
        } else if (column->filled > 0 && !column->is_twice) {
            column_guess(sniffing, i, &wide);
        }
    }
    if (wide.count == 0)
        return fail_no_columns(sniffing, err);
    source->columns = wide.columns;
    source->column_count = wide.count;

    const struct sniff_flagged flagged = {"flag", wide.flag_columns, wide.flag_count};

    return wide.flag_count == 0 || sniff_flag_words(sniffing, &flagged, &source->flags, err);
}
