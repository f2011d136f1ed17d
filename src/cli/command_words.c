#include "cli/command_words.h"

#include <string.h>

#include "base/number.h"
#include "base/str.h"
#include "cli/equation_words.h"
#include "cli/word_list.h"
#include "farmfile/words.h"
#include "ingest/time_format.h"
#include "measure/parameter.h"
#include "measure/unit_table.h"
#include "plan/interval.h"

#define ROW(mem, list, ...) LIST_ADD(mem, list, ((struct word_row){.cells = {__VA_ARGS__}}))

static struct word_list *list_new(struct arena *mem, struct word_lists *lists, const char *title,
                                  const struct word_column *columns, size_t column_count)
{
    LIST_ADD(
        mem, lists,
        ((struct word_list){.title = title, .columns = columns, .column_count = column_count}));

    return &lists->items[lists->count - 1];
}

/* --- keys of the farm file ------------------------------------------------------------------- */

static const struct word_column key_columns[] = {
    {"key", NULL, NULL},   {"needed", NULL, NULL}, {"what stands there", NULL, NULL},
    {"words", ": ", NULL}, {"note", ". ", NULL},
};

/* "a, b or c" */
static const char *either(struct arena *mem, const char *const *words)
{
    struct buf text = buf_new(mem);

    for (size_t i = 0; words[i]; i++)
        buf_addf(&text, "%s%s", i == 0 ? "" : words[i + 1] ? ", " : " or ", words[i]);

    return text.data;
}

static void key_add(struct arena *mem, struct word_list *list, const char *name,
                    const struct field *field)
{
    ROW(mem, list, name, field->need == FIELD_REQUIRED ? "needed" : "", field->expected,
        farmfile_is_choice(field) ? either(mem, field->words) : "", field->note);
}

typedef bool key_test(const struct field *field, const char *word);

/* The keys of a map, and those of maps in it as "time: format". */
static void keys_add(struct arena *mem, struct word_list *list, const struct field_table *table,
                     const char *within, key_test *test, const char *word)
{
    for (size_t i = 0; i < table->count; i++) {
        const struct field *field = &table->fields[i];
        const char *name = arena_printf(mem, "%s%s", within, field->key);

        if (!test || test(field, word))
            key_add(mem, list, name, field);
        if (field->inside)
            keys_add(mem, list, field->inside, arena_printf(mem, "%s: ", name), test, word);
    }
}

static bool is_choice(const struct field *field, const char *word)
{
    (void)word;

    return farmfile_is_choice(field);
}

static bool is_called(const struct field *field, const char *word)
{
    return str_equal_nocase(field->key, word);
}

static void farm_file_topic(struct arena *mem, struct word_lists *lists)
{
    struct word_list *list =
        list_new(mem, lists, "A farm file has these sections.", key_columns, 5);

    for (size_t i = 0; i < farmfile_table.count; i++)
        key_add(mem, list, farmfile_table.fields[i].key, &farmfile_table.fields[i]);
    list->remark = "weirbook words SECTION lists the keys of one.";
}

static void choices_topic(struct arena *mem, struct word_lists *lists)
{
    struct word_list *list = list_new(
        mem, lists, "Where a farm file has a choice, these are its words.", key_columns, 5);

    keys_add(mem, list, &farmfile_table, "", is_choice, NULL);
}

static void section_topic(struct arena *mem, struct word_lists *lists, const struct field *section)
{
    struct word_list *list =
        list_new(mem, lists,
                 arena_printf(mem, "Keys of one %s, under `%s:` in the farm file.",
                              section->inside->what, section->key),
                 key_columns, 5);

    keys_add(mem, list, section->inside, "", NULL, NULL);
}

/* --- parameters and units -------------------------------------------------------------------- */

static const struct word_column parameter_columns[] = {
    {"key", NULL, NULL},           {"name", NULL, NULL}, {"kept in", NULL, NULL},
    {"also taken in", ", ", NULL}, {"states", "", NULL}, {"kind", "; a ", "number"},
};

static const char *other_units(struct arena *mem, const struct parameter *parameter)
{
    struct buf text = buf_new(mem);

    for (size_t i = 0; i < PARAMETER_UNITS_MOST && parameter->units[i]; i++)
        if (!str_equal(parameter->units[i], parameter->unit))
            buf_addf(&text, "%s%s", *text.data ? ", " : "", parameter->units[i]);

    return text.data;
}

static void parameters_topic(struct arena *mem, struct word_lists *lists)
{
    struct word_list *list =
        list_new(mem, lists, "Parameters that are built in.", parameter_columns, 6);
    const struct parameter *parameter;

    for (size_t i = 0; (parameter = parameter_built_in(i)); i++)
        ROW(mem, list, parameter->key, parameter_title(mem, parameter), parameter->unit,
            other_units(mem, parameter), *parameter->states ? either(mem, parameter->states) : "",
            parameter_kind_name(parameter->kind));
    list->remark = "The first unit is the one it is kept in. A counter is a meter that runs up. "
                   "Others are the farm's own, under `parameters:`.";
}

static const struct word_column unit_columns[] = {
    {"unit", NULL, NULL},
    {"written as", NULL, NULL},
    {"in this case only", "; in this case only: ", NULL},
    {"for its own parameters", "; for its own parameters: ", NULL},
};

static const struct word_column refusal_columns[] = {{"word", NULL, NULL}, {"why", ": ", NULL}};

/* "a|b" as "a, b". */
static const char *spellings(struct arena *mem, const char *parted)
{
    struct buf text = buf_new(mem);

    for (const char *at = parted; at; at = *at ? at + 1 : NULL) {
        size_t length = strcspn(at, "|");

        if (length > 0)
            buf_addf(&text, "%s%.*s", *text.data ? ", " : "", (int)length, at);
        at += length;
    }

    return text.data;
}

static void units_topic(struct arena *mem, struct word_lists *lists)
{
    struct word_list *list =
        list_new(mem, lists, "Units, and how files may write them.", unit_columns, 4);

    for (size_t i = 0; unit_row_at(i); i++) {
        const struct unit_row *row = unit_row_at(i);

        ROW(mem, list, row->name, spellings(mem, row->any_case), spellings(mem, row->as_is),
            spellings(mem, row->only_here));
    }
    list->remark = "Capitals count only where it says so. A micro sign is read as u, a raised 3 as "
                   "3, `per` as /. `unit words` of a source give a file's own words for them.";

    struct word_list *refused =
        list_new(mem, lists, "Words that are not taken for a unit.", refusal_columns, 2);

    for (size_t i = 0; unit_refusal_at(i); i++)
        ROW(mem, refused, spellings(mem, unit_refusal_at(i)->spellings), unit_refusal_at(i)->hint);
}

/* --- files and samples ----------------------------------------------------------------------- */

static const struct word_column word_columns[] = {{"word", NULL, NULL}, {"means", NULL, NULL}};

static void times_topic(struct arena *mem, struct word_lists *lists)
{
    struct word_list *list =
        list_new(mem, lists, "What a time format is made of.", word_columns, 2);
    const char *means = NULL;
    const char *token;

    for (size_t i = 0; (token = time_format_token(i, &means)); i++)
        ROW(mem, list, token, means);
    list->remark = "Any other text must stand in the file as it is. DD, MM and hh take one digit "
                   "too where no digits stand beside them.";
}

static void not_detected_topic(struct arena *mem, struct word_lists *lists)
{
    struct word_list *list =
        list_new(mem, lists, "Words that mean not detected in every file, in capitals or not.",
                 word_columns, 2);

    for (size_t i = 0; number_not_detected_words[i]; i++)
        ROW(mem, list, number_not_detected_words[i], "not detected");
    list->remark = "Others are a source's own, under `not detected:`. It counts as below the limit "
                   "that the row tells, where it tells one.";
}

static void no_sample_topic(struct arena *mem, struct word_lists *lists)
{
    struct word_list *list = list_new(
        mem, lists, "Reasons for no sample, for weirbook no-sample --reason.", word_columns, 2);

    for (size_t i = 0; no_sample_words[i]; i++)
        ROW(mem, list, no_sample_words[i],
            i == NO_SAMPLE_NO_DISCHARGE || i == NO_SAMPLE_NOT_REQUIRED
                ? "not a miss"
                : "a miss with a cause, which the authority judges");
}

static const struct topic {
    const char *name;
    const char *summary;
    void (*list)(struct arena *mem, struct word_lists *lists);
} topics[] = {
    {"farm file", "the sections of a farm file", farm_file_topic},
    {"choices", "the words for each choice", choices_topic},
    {"parameters",
     "what is built in, with its units, and the keys of one of your own in the farm file",
     parameters_topic},
    {"units", "units and how files may write them", units_topic},
    {"equations", "how readings are worked out from others", equations_topic},
    {"times", "how to say how a file writes times", times_topic},
    {"not detected", "what means not detected in every file", not_detected_topic},
    {"no sample", "reasons for no sample", no_sample_topic},
};

/* --- the command ----------------------------------------------------------------------------- */

static bool is_topic(const char *word)
{
    for (size_t i = 0; i < ARRAY_LEN(topics); i++)
        if (str_equal_nocase(topics[i].name, word))
            return true;

    return false;
}

static void topics_list(struct arena *mem, struct word_lists *lists)
{
    static const struct word_column columns[] = {{"topic", NULL, NULL}, {"lists", NULL, NULL}};
    struct word_list *list = list_new(mem, lists, "weirbook words TOPIC", columns, 2);

    for (size_t i = 0; i < ARRAY_LEN(topics); i++)
        ROW(mem, list, topics[i].name, topics[i].summary);
    /* A topic of the same name, as parameters, lists the section's keys too. */
    for (size_t i = 0; i < farmfile_table.count; i++)
        if (!is_topic(farmfile_table.fields[i].key))
            ROW(mem, list, farmfile_table.fields[i].key,
                arena_printf(mem, "the keys of that section: %s",
                             farmfile_table.fields[i].expected));
    list->remark = "Or any key of a farm file, as in: weirbook words less-thans";
}

static void topic_list(struct arena *mem, struct word_lists *lists, const char *word)
{
    for (size_t i = 0; i < farmfile_table.count; i++)
        if (str_equal_nocase(farmfile_table.fields[i].key, word))
            section_topic(mem, lists, &farmfile_table.fields[i]);
    for (size_t i = 0; i < ARRAY_LEN(topics); i++)
        if (str_equal_nocase(topics[i].name, word))
            topics[i].list(mem, lists);
    if (lists->count > 0 && !str_equal_nocase(word, "not detected"))
        return;

    struct word_list key = {.title = arena_printf(mem, "`%s` in the farm file.", word),
                            .columns = key_columns,
                            .column_count = 5};

    keys_add(mem, &key, &farmfile_table, "", is_called, word);
    if (key.count > 0)
        LIST_ADD(mem, lists, key);
}

struct names {
    const char **items;
    size_t count;
    size_t capacity;
};

static void names_add(struct arena *mem, struct names *names, const struct field_table *table)
{
    for (size_t i = 0; i < table->count; i++) {
        LIST_ADD(mem, names, table->fields[i].key);
        if (table->fields[i].inside)
            names_add(mem, names, table->fields[i].inside);
    }
}

static bool topic_unknown(struct arena *mem, const char *word, struct err *err)
{
    struct names names = {0};

    for (size_t i = 0; i < ARRAY_LEN(topics); i++)
        LIST_ADD(mem, &names, topics[i].name);
    names_add(mem, &names, &farmfile_table);

    const char *nearest = str_nearest(word, names.items, names.count);

    err_set(err, ERR_NOT_FOUND, "there are no words on '%s'", str_show(mem, word, 40));
    if (nearest)
        return err_hint(err, "Did you mean: weirbook words %s?", nearest);

    return err_hint(err, "weirbook words lists the topics.");
}

bool command_words(struct cli *cli, struct err *err)
{
    struct buf word = buf_new(cli->mem);
    struct word_lists lists = {0};

    for (size_t i = 0; i < cli->word_count; i++)
        buf_addf(&word, "%s%s", i ? " " : "", cli->words[i]);
    if (cli->word_count == 0)
        topics_list(cli->mem, &lists);
    else
        topic_list(cli->mem, &lists, word.data);
    if (lists.count == 0)
        return topic_unknown(cli->mem, word.data, err);
    word_lists_say(cli, &lists);

    return true;
}
