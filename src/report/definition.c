#include "report/definition.h"

#include <stdlib.h>
#include <string.h>

#include "base/embedded.h"
#include "base/str.h"
#include "base/yaml.h"
#include "report/workbook.h"

extern const struct embedded_file report_files[];
extern const size_t report_files_count;

static bool fail(const struct yaml *at, struct err *err, const char *words)
{
    return err_set(err, ERR_BUG, "line %d, column %d: %s", at->line, at->column, words);
}

/* Every key of a map must be one that the reader knows. */
static bool check_keys(const struct yaml *map, const char *const *known, struct err *err)
{
    if (map->kind != YAML_MAP)
        return fail(map, err, "expected keys and values");
    for (size_t i = 0; i < map->count; i++) {
        size_t word = 0;

        while (known[word] && !str_equal(known[word], map->items[i].key->text))
            word++;
        if (!known[word])
            return fail(map->items[i].key, err, "unknown key");
    }

    return true;
}

/* The text of a key; "" when it is not there. */
static const char *text_of(const struct yaml *map, const char *key)
{
    const struct yaml *value = yaml_find(map, key);

    return value && value->kind == YAML_TEXT ? value->text : "";
}

static size_t list_count(const struct yaml *map, const char *key)
{
    const struct yaml *list = yaml_find(map, key);

    return list ? list->count : 0;
}

static bool need_text(const struct yaml *map, const char *key, const char **out, struct err *err)
{
    const char *text = text_of(map, key);

    if (str_empty(text)) {
        fail(map, err, "it is missing");
        return err_wrap(err, "%s", key);
    }
    *out = text;

    return true;
}

/* A small whole number, or `otherwise` when the key is not there. */
static bool number_of(const struct yaml *map, const char *key, uint32_t otherwise, uint32_t *out,
                      struct err *err)
{
    const struct yaml *value = yaml_find(map, key);
    char *end = NULL;
    unsigned long number = value ? strtoul(value->text, &end, 10) : otherwise;

    if (value && (end == value->text || *end != '\0' || number >= DEFINITION_COLUMNS_MOST))
        return fail(value, err, "expected a small number");
    *out = (uint32_t)number;

    return true;
}

static bool read_column(const struct yaml *map, uint32_t next, struct report_column *out,
                        struct err *err)
{
    static const char *const known[] = {"key", "heading", "at", "to", "style", "format", NULL};
    const char *style = text_of(map, "style");
    const char *format = text_of(map, "format");

    if (!check_keys(map, known, err) || !need_text(map, "key", &out->key, err) ||
        !number_of(map, "at", next, &out->at, err) || !number_of(map, "to", out->at, &out->to, err))
        return false;
    out->heading = text_of(map, "heading");
    out->style = STYLE_TEXT;
    if (!str_empty(style) && !style_from_name(style, &out->style))
        return fail(yaml_find(map, "style"), err, "unknown style");
    out->format = str_equal(format, "day")      ? BOOK_DAY_FORMAT
                  : str_equal(format, "moment") ? BOOK_MOMENT_FORMAT
                  : str_empty(format)           ? NULL
                                                : format;

    return true;
}

static bool read_table(struct arena *mem, const struct yaml *map, struct report_table *out,
                       struct err *err)
{
    static const char *const known[] = {"key", "heading", "empty", "columns", NULL};
    const struct yaml *list = yaml_find(map, "columns");
    size_t count = list_count(map, "columns");
    struct report_column *columns = ARENA_ARRAY(mem, struct report_column, count);
    uint32_t next = 0;

    if (!check_keys(map, known, err) || !need_text(map, "key", &out->key, err))
        return false;
    for (size_t i = 0; i < count; i++) {
        if (!read_column(list->items[i].value, next, &columns[i], err))
            return false;
        next = columns[i].to + 1;
    }
    out->heading = text_of(map, "heading");
    out->empty = text_of(map, "empty");
    out->columns = columns;
    out->count = count;

    return true;
}

static bool read_widths(struct arena *mem, const struct yaml *map, struct report_sheet *out,
                        struct err *err)
{
    const struct yaml *list = yaml_find(map, "widths");
    size_t count = list_count(map, "widths");
    double *widths = ARENA_ARRAY(mem, double, count);

    if (count == 0 || count > DEFINITION_COLUMNS_MOST)
        return fail(list ? list : map, err, "expected the widths of the columns");
    for (size_t i = 0; i < count; i++) {
        widths[i] = strtod(list->items[i].value->text, NULL);
        if (!(widths[i] > 0 && widths[i] < 256))
            return fail(list->items[i].value, err, "expected a width in characters");
    }
    out->widths = widths;
    out->width_count = count;

    return true;
}

static bool read_sheet(struct arena *mem, const struct yaml *map, struct report_sheet *out,
                       struct err *err)
{
    static const char *const known[] = {"key",    "name",   "lies",   "fitted",
                                        "frozen", "widths", "tables", NULL};
    const struct yaml *list = yaml_find(map, "tables");
    size_t count = list_count(map, "tables");
    struct report_table *tables = ARENA_ARRAY(mem, struct report_table, count);
    uint32_t frozen = 0;

    if (!check_keys(map, known, err) || !need_text(map, "key", &out->key, err) ||
        !need_text(map, "name", &out->name, err) || !read_widths(mem, map, out, err) ||
        !number_of(map, "frozen", 0, &frozen, err))
        return false;
    out->frozen = (int)frozen;
    for (size_t i = 0; i < count; i++) {
        if (!read_table(mem, list->items[i].value, &tables[i], err))
            return false;
        for (size_t j = 0; j < tables[i].count; j++) {
            if (tables[i].columns[j].to >= out->width_count)
                return fail(list->items[i].value, err, "a column that the sheet has no width for");
        }
    }
    out->landscape = str_equal(text_of(map, "lies"), "landscape");
    out->not_fitted = str_equal(text_of(map, "fitted"), "no");
    out->tables = tables;
    out->count = count;

    return true;
}

/* A map of texts, in its order. */
static const struct report_text *read_texts(struct arena *mem, const struct yaml *map,
                                            size_t *count)
{
    size_t items = map && map->kind == YAML_MAP ? map->count : 0;
    struct report_text *texts = ARENA_ARRAY(mem, struct report_text, items);

    for (size_t i = 0; i < items; i++)
        texts[i] =
            (struct report_text){.key = map->items[i].key->text, .text = map->items[i].value->text};
    *count = items;

    return texts;
}

bool definition_parse(struct arena *mem, const char *text, size_t length,
                      struct report_definition *out, struct err *err)
{
    static const char *const known[] = {"title", "sheets", "texts", "dictionary", "cautions", NULL};
    struct report_definition made = {0};
    const struct yaml *file;

    if (!yaml_load(mem, text, length, &file, err)) {
        err->code = ERR_BUG;
        return false;
    }

    const struct yaml *list = yaml_find(file, "sheets");
    const struct yaml *paragraphs = yaml_find(file, "cautions");
    struct report_sheet *sheets = ARENA_ARRAY(mem, struct report_sheet, list_count(file, "sheets"));
    const char **cautions = ARENA_ARRAY(mem, const char *, list_count(file, "cautions"));

    if (!check_keys(file, known, err) || !need_text(file, "title", &made.title, err))
        return false;
    made.sheet_count = list_count(file, "sheets");
    for (size_t i = 0; i < made.sheet_count; i++) {
        if (!read_sheet(mem, list->items[i].value, &sheets[i], err))
            return false;
    }
    made.caution_count = list_count(file, "cautions");
    for (size_t i = 0; i < made.caution_count; i++)
        cautions[i] = paragraphs->items[i].value->text;
    made.sheets = sheets;
    made.cautions = cautions;
    made.texts = read_texts(mem, yaml_find(file, "texts"), &made.text_count);
    made.dictionary = read_texts(mem, yaml_find(file, "dictionary"), &made.dictionary_count);
    *out = made;

    return true;
}

bool definition_load(struct arena *mem, const char *name, struct report_definition *out,
                     struct err *err)
{
    const char *file = arena_printf(mem, "%s/report.yaml", name);

    for (size_t i = 0; i < report_files_count; i++) {
        if (!str_equal(report_files[i].name, file))
            continue;
        if (!definition_parse(mem, (const char *)report_files[i].bytes, report_files[i].length, out,
                              err))
            return err_wrap(err, "report %s", name);

        return true;
    }

    return err_set(err, ERR_NOT_FOUND, "there is no report %s", name);
}

const struct report_sheet *definition_sheet(const struct report_definition *definition,
                                            const char *key)
{
    for (size_t i = 0; i < definition->sheet_count; i++) {
        if (str_equal(definition->sheets[i].key, key))
            return &definition->sheets[i];
    }

    return NULL;
}

const struct report_table *definition_table(const struct report_sheet *sheet, const char *key)
{
    for (size_t i = 0; i < sheet->count; i++) {
        if (str_equal(sheet->tables[i].key, key))
            return &sheet->tables[i];
    }

    return NULL;
}

const struct report_column *definition_column(const struct report_table *table, const char *key)
{
    for (size_t i = 0; i < table->count; i++) {
        if (str_equal(table->columns[i].key, key))
            return &table->columns[i];
    }

    return NULL;
}

const char *definition_text(const struct report_definition *definition, const char *key)
{
    for (size_t i = 0; i < definition->text_count; i++) {
        if (str_equal(definition->texts[i].key, key))
            return definition->texts[i].text;
    }

    return NULL;
}
