#include "farmfile/field.h"

#include <assert.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/str.h"

enum { SHOWN_MOST = 60 };

void field_problem(struct field_reader *reader, const struct yaml *node, const char *hint,
                   const char *fmt, ...)
{
    char words[600];
    va_list args;

    if (reader->problems->count == FARMFILE_PROBLEMS_MOST)
        return;
    va_start(args, fmt);
    vsnprintf(words, sizeof(words), fmt, args);
    va_end(args);
    LIST_ADD(reader->mem, reader->problems,
             ((struct farmfile_problem){
                 .line = node->line,
                 .column = node->column,
                 .words = arena_strdup(reader->mem, words),
                 .hint = arena_strdup(reader->mem, hint),
             }));
}

/* "; did you mean 'tank-1'?", or "". */
static const char *did_you_mean(struct field_reader *reader, const char *word,
                                const char *const *words, size_t count)
{
    const char *nearest = str_nearest(word, words, count);

    return nearest ? arena_printf(reader->mem, "; did you mean '%s'?", nearest) : "";
}

static const char *shown(struct field_reader *reader, const struct yaml *node)
{
    if (node->kind == YAML_LIST)
        return "a list";
    if (node->kind == YAML_MAP)
        return "a map of keys";

    return arena_printf(reader->mem, "'%s'", str_show(reader->mem, node->text, SHOWN_MOST));
}

void field_unfit(struct field_reader *reader, const struct field *field, const struct yaml *node,
                 const char *const *words, size_t count)
{
    const char *near =
        node->kind == YAML_TEXT ? did_you_mean(reader, node->text, words, count) : "";

    field_problem(reader, node, NULL, "%s can't be `%s`: expected %s%s", shown(reader, node),
                  field->key, field->expected, near);
}

void field_unknown(struct field_reader *reader, const struct yaml *node, const char *what,
                   const char *const *words, size_t count)
{
    field_problem(reader, node, NULL, "there is no %s %s%s", what, shown(reader, node),
                  did_you_mean(reader, node->text, words, count));
}

void field_spell(struct field_reader *reader, const struct yaml *node, const char *text)
{
    LIST_ADD(reader->mem, &reader->spellings,
             ((struct field_spelling){.node = node, .text = text}));
}

const char *field_map_name(struct field_reader *reader, const struct field_table *table,
                           const struct yaml *node)
{
    const struct yaml *key = yaml_find(node, "key");

    if (!key || key->kind != YAML_TEXT || str_empty(key->text))
        return arena_printf(reader->mem, "this %s", table->what);

    return arena_printf(reader->mem, "the %s '%s'", table->what,
                        str_show(reader->mem, key->text, SHOWN_MOST));
}

bool field_is_list(struct field_reader *reader, const struct field *field, const struct yaml *node)
{
    if (node->kind != YAML_LIST) {
        field_unfit(reader, field, node, NULL, 0);
        return false;
    }
    if (node->count > FARM_ITEMS_MOST) {
        field_problem(reader, node, NULL, "%zu items in `%s`, at most %d are taken", node->count,
                      field->key, FARM_ITEMS_MOST);
        return false;
    }

    return true;
}

bool field_is_text(struct field_reader *reader, const struct field *field, const struct yaml *node)
{
    if (node->kind != YAML_TEXT) {
        field_unfit(reader, field, node, NULL, 0);
        return false;
    }
    if (str_empty(str_trim(reader->mem, node->text))) {
        field_problem(reader, node, NULL, "nothing stands after `%s:`: expected %s", field->key,
                      field->expected);
        return false;
    }
    if (strlen(node->text) > FARM_TEXT_MOST) {
        field_problem(reader, node, NULL, "`%s` is longer than the %d bytes taken", field->key,
                      FARM_TEXT_MOST);
        return false;
    }

    return true;
}

static const struct field *find_field(const struct field_table *table, const char *key)
{
    for (size_t i = 0; i < table->count; i++)
        if (table->fields[i].key[0] == key[0] && strcmp(table->fields[i].key, key) == 0)
            return &table->fields[i];

    return NULL;
}

/* Words that name what must not lie in a file which people print and send around. */
static bool looks_secret(struct field_reader *reader, const char *key)
{
    static const char *const words[] = {"password", "passwd",  "passphrase", "secret",
                                        "token",    "api key", "api-key",    "api_key",
                                        "apikey",   "private", "credential", "login"};
    const char *lower = str_lower(reader->mem, key);

    for (size_t i = 0; i < ARRAY_LEN(words); i++)
        if (strstr(lower, words[i]))
            return true;

    return false;
}

static void tell_unknown_key(struct field_reader *reader, const struct field_table *table,
                             const struct yaml *key)
{
    const char **keys = ARENA_ARRAY(reader->mem, const char *, table->count);
    struct buf list = buf_new(reader->mem);
    const char *what = table->what;

    for (size_t i = 0; i < table->count; i++) {
        keys[i] = table->fields[i].key;
        buf_addf(&list, "%s%s", i ? ", " : "", keys[i]);
    }

    const char *near = did_you_mean(reader, key->text, keys, table->count);

    if (looks_secret(reader, key->text))
        field_problem(reader, key,
                      "Put it in a file of mode 0600 in the folder `secrets/` beside "
                      "weirbook.conf; what stands here is shown, kept and printed.",
                      "'%s' looks like a secret, and this file holds none",
                      str_show(reader->mem, key->text, SHOWN_MOST));
    else
        field_problem(
            reader, key,
            *near ? NULL : arena_printf(reader->mem, "The keys of a %s are: %s.", what, list.data),
            "'%s' is no key of %s %s%s", str_show(reader->mem, key->text, SHOWN_MOST),
            strchr("aeiou", *what) ? "an" : "a", what, near);
}

bool field_read_map(struct field_reader *reader, const struct field_table *table,
                    const struct yaml *node, void *into)
{
    if (node->kind != YAML_MAP) {
        field_problem(reader, node, NULL,
                      "%s can't be a %s: expected keys and values, as `key: value`",
                      shown(reader, node), table->what);
        return false;
    }
    for (size_t i = 0; i < node->count; i++)
        if (!find_field(table, node->items[i].key->text))
            tell_unknown_key(reader, table, node->items[i].key);

    for (size_t i = 0; i < table->count; i++) {
        const struct field *field = &table->fields[i];
        const struct yaml *value = yaml_find(node, field->key);

        if (value)
            field->read(reader, field, value, (char *)into + field->offset);
        else if (field->need == FIELD_REQUIRED)
            field_problem(reader, node, NULL, "%s lacks `%s`: expected %s",
                          field_map_name(reader, table, node), field->key, field->expected);
    }

    return true;
}

/* --- a whole file ------------------------------------------------------------------------------
 */

static int by_place(const void *a, const void *b)
{
    const struct farmfile_problem *one = a;
    const struct farmfile_problem *other = b;

    if (one->line != other->line)
        return one->line < other->line ? -1 : 1;
    if (one->column != other->column)
        return one->column < other->column ? -1 : 1;

    return strcmp(one->words, other->words);
}

/* The first problem, and how many there are. */
static bool tell_problems(const struct farmfile_problems *problems, struct err *err)
{
    const struct farmfile_problem *first = &problems->items[0];

    err_set(err, ERR_INVALID, "line %d, column %d: %s", first->line, first->column, first->words);
    if (problems->count > 1)
        err_wrap(err, "%zu problems, the first on", problems->count);
    if (first->hint)
        err_hint(err, "%s", first->hint);

    return false;
}

bool field_read_file(struct field_reader *reader, const struct field_table *table, const char *text,
                     size_t length, void *into, struct err *err)
{
    struct farmfile_problems *problems = reader->problems;
    struct yaml_problems bad_yaml = {0};
    const struct yaml *root = yaml_read(reader->mem, text, length, &bad_yaml);

    for (size_t i = 0; i < bad_yaml.count; i++)
        LIST_ADD(reader->mem, problems,
                 ((struct farmfile_problem){.line = bad_yaml.items[i].line,
                                            .column = bad_yaml.items[i].column,
                                            .words = bad_yaml.items[i].words,
                                            .hint = bad_yaml.items[i].hint}));
    if (root)
        field_read_map(reader, table, root, into);
    if (problems->count == 0)
        return true;
    qsort(problems->items, problems->count, sizeof(*problems->items), by_place);

    return tell_problems(problems, err);
}

/* --- canonical text -------------------------------------------------------------------------- */

static void put_map(struct field_reader *reader, struct json_writer *json,
                    const struct field_table *table, const struct yaml *node,
                    enum field_extent extent);

static void put_value(struct field_reader *reader, struct json_writer *json,
                      const struct field_table *inside, const struct yaml *node,
                      enum field_extent extent)
{
    if (node->kind == YAML_TEXT) {
        const char *text = str_trim(reader->mem, node->text);

        for (size_t i = 0; i < reader->spellings.count; i++)
            if (reader->spellings.items[i].node == node)
                text = reader->spellings.items[i].text;
        json_put_text(json, text);
        return;
    }
    if (node->kind == YAML_MAP && inside) {
        put_map(reader, json, inside, node, extent);
        return;
    }
    if (node->kind == YAML_MAP)
        json_put_object(json);
    else
        json_put_array(json);
    for (size_t i = 0; i < node->count; i++) {
        if (node->items[i].key)
            json_put_name(json, node->items[i].key->text);
        put_value(reader, json, inside, node->items[i].value, extent);
    }
    if (node->kind == YAML_MAP)
        json_put_object_end(json);
    else
        json_put_array_end(json);
}

static void put_map(struct field_reader *reader, struct json_writer *json,
                    const struct field_table *table, const struct yaml *node,
                    enum field_extent extent)
{
    json_put_object(json);
    for (size_t i = 0; i < table->count; i++) {
        const struct field *field = &table->fields[i];
        const struct yaml *value = yaml_find(node, field->key);

        if (!value || field->passing || (extent == FIELD_JUDGED && field->apart))
            continue;
        json_put_name(json, field->key);
        put_value(reader, json, field->inside, value, extent);
    }
    json_put_object_end(json);
}

char *field_definition(struct field_reader *reader, const struct field_table *table,
                       const struct yaml *node, enum field_extent extent)
{
    struct buf buf = buf_new(reader->mem);
    struct json_writer json = json_begin(&buf);

    assert(node->kind == YAML_MAP);
    put_map(reader, &json, table, node, extent);
    json_end(&json);

    return buf.data;
}
