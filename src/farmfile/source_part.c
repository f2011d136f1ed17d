#include "farmfile/source_part.h"

#include <string.h>

#include "base/str.h"
#include "ingest/csv_value.h"
#include "ingest/purpose.h"
#include "ingest/source_clock.h"
#include "ingest/time_format.h"

const char *const source_part_separators[] = {"comma", "semicolon", "tab", "bar", NULL};
const char *const source_part_marks[] = {"point", "comma", NULL};
const char *const source_part_kinds[] = {"grab", "composite", "probe", "by hand", NULL};

void source_part_separator(struct field_reader *reader, const struct field *field,
                           const struct yaml *value, void *into)
{
    char *separator = into;
    int word = value_word(reader, field, value);

    if (word >= 0)
        *separator = ",;\t|"[word];
}

void source_part_mark(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    char *mark = into;
    int word = value_word(reader, field, value);

    if (word >= 0)
        *mark = ".,"[word];
}

void source_part_kind(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    unsigned *kind = into;
    int word = value_word(reader, field, value);

    if (word >= 0)
        *kind = 1U << word; /* in the order of enum limit_kinds */
}

/* --- clock and time -------------------------------------------------------------------------- */

void source_part_clock(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    struct source *source = into;

    if (!field_is_text(reader, field, value))
        return;

    if (!source_clock_parse(str_trim(reader->mem, value->text), &source->clock, &source->offset_s))
        field_unfit(reader, field, value, NULL, 0);
}

void source_part_zone(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    const char **zone = into;
    const struct zone *loaded = NULL;
    struct err err = ERR_INIT;

    if (!field_is_text(reader, field, value))
        return;
    *zone = str_trim(reader->mem, value->text);
    if (!zone_load(reader->mem, *zone, &loaded, &err))
        field_problem(reader, value, *err.hint ? err.hint : NULL, "%s", err.text);
}

struct time_columns {
    const char *headers[2];
    const char *format;
};

static void read_time_columns(struct field_reader *reader, const struct field *field,
                              const struct yaml *value, void *into)
{
    struct time_columns *read = into;
    struct texts texts = {0};

    if (!value_texts(reader, field, value, &texts))
        return;
    if (texts.count == 0 || texts.count > 2) {
        field_problem(reader, value, NULL, "%zu columns of time, expected one or two", texts.count);
        return;
    }
    for (size_t i = 0; i < texts.count; i++)
        read->headers[i] = texts.items[i];
}

static void read_format(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into)
{
    const char **format = into;
    struct time_format compiled;
    struct err err = ERR_INIT;

    if (!field_is_text(reader, field, value))
        return;
    *format = str_trim(reader->mem, value->text);
    if (!time_format_compile(*format, &compiled, &err))
        field_problem(reader, value, *err.hint ? err.hint : NULL, "%s", err.text);
}

static const struct field time_fields[] = {
    {.key = "columns",
     .need = FIELD_REQUIRED,
     .read = read_time_columns,
     .expected = "the header of the column, or of date and time as [Date, Time]"},
    {FIELD("format", FIELD_OPTIONAL, read_format, struct time_columns, format,
           "how a time is written, as YYYY-MM-DD hh:mm"),
     .note = "Its letters are in weirbook words times. A workbook whose times are dates to it "
             "needs none."},
};

const struct field_table source_part_time_table = {"time", time_fields, ARRAY_LEN(time_fields)};

/* `until` has nothing else: what it takes besides is only read to say why not. */
static const struct field until_fields[] = {
    {.key = "columns",
     .need = FIELD_REQUIRED,
     .read = read_time_columns,
     .expected =
         "the header of the column, or of date and time as [Date, Time], written as `time`"},
};

const struct field_table source_part_until_table = {"until", until_fields, ARRAY_LEN(until_fields)};

void source_part_time(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    struct source *source = into;
    struct time_columns read = {0};

    (void)field;
    if (!field_read_map(reader, &source_part_time_table, value, &read))
        return;
    source->time_headers[0] = read.headers[0];
    source->time_headers[1] = read.headers[1];
    source->time_format = read.format;
}

void source_part_until(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    struct source *source = into;
    struct time_columns read = {0};

    (void)field;
    if (!field_read_map(reader, &source_part_time_table, value, &read))
        return;
    if (read.format)
        field_problem(reader, yaml_find(value, "format"), NULL,
                      "the end of a span is written as its beginning: `format` stands in `time`");
    source->until_headers[0] = read.headers[0];
    source->until_headers[1] = read.headers[1];
}

/* --- columns of a wide file ------------------------------------------------------------------ */

static const struct field column_fields[] = {
    {FIELD("header", FIELD_REQUIRED, value_text, struct source_column, header,
           "the column's header, as in the file")},
    {FIELD("station", FIELD_OPTIONAL, name_station, struct source_column, station,
           "the key of a station")},
    {FIELD("position", FIELD_OPTIONAL, value_key, struct source_column, position,
           "the key of one of the station's positions")},
    {FIELD("parameter", FIELD_REQUIRED, name_parameter, struct source_column, parameter,
           "the key of a parameter")},
    {FIELD("unit", FIELD_OPTIONAL, value_text, struct source_column, unit,
           "a unit; left out where the header has it, as in Temp (degC)")},
    {FIELD("flag", FIELD_OPTIONAL, value_text, struct source_column, flag_header,
           "the header of the column that says whether the value may be used")},
    {FIELD("instrument", FIELD_OPTIONAL, value_text, struct source_column, instrument,
           "the instrument's name")},
    {FIELD("may lack", FIELD_OPTIONAL, value_yes_no, struct source_column, may_lack,
           "whether a file may be without this column, or come to have it half-way")},
};

const struct field_table source_part_column_table = {"column", column_fields,
                                                     ARRAY_LEN(column_fields)};

static void check_column(struct field_reader *reader, const struct yaml *node,
                         struct source_column *column)
{
    const struct yaml *unit = yaml_find(node, "unit");
    const struct parameter *parameter = name_find_parameter(reader, column->parameter);

    if (column->position && column->station)
        name_check_position(reader, yaml_find(node, "position"), column->station, column->position);
    if (column->unit && parameter) {
        column->unit = name_unit(reader, unit, column->unit, parameter);
        if (column->unit)
            field_spell(reader, unit, column->unit);
    }
}

void source_part_columns(struct field_reader *reader, const struct field *field,
                         const struct yaml *value, void *into)
{
    struct source *source = into;

    if (!field_is_list(reader, field, value))
        return;

    struct source_column *columns = ARENA_ARRAY(reader->mem, struct source_column, value->count);
    size_t count = 0;

    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct source_column column = {0};

        if (!field_read_map(reader, &source_part_column_table, node, &column) || !column.header)
            continue;
        for (size_t k = 0; k < count; k++)
            if (str_equal_nocase(columns[k].header, column.header))
                field_problem(reader, yaml_find(node, "header"), NULL,
                              "the column '%s' is given twice", column.header);
        check_column(reader, node, &column);
        columns[count++] = column;
    }
    source->columns = columns;
    source->column_count = count;
}

/* --- lists of texts -------------------------------------------------------------------------- */

static void read_texts(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, const char *const **items, size_t *count)
{
    struct texts texts = {0};

    if (!value_texts(reader, field, value, &texts))
        return;
    *items = texts.items;
    *count = texts.count;
}

void source_part_comments(struct field_reader *reader, const struct field *field,
                          const struct yaml *value, void *into)
{
    struct source *source = into;

    read_texts(reader, field, value, &source->comment_starts, &source->comment_start_count);
}

void source_part_blanks(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into)
{
    struct source *source = into;

    read_texts(reader, field, value, &source->blanks, &source->blank_count);
}

void source_part_not_detected(struct field_reader *reader, const struct field *field,
                              const struct yaml *value, void *into)
{
    struct source *source = into;

    read_texts(reader, field, value, &source->not_detected, &source->not_detected_count);
}

/* "all others" among them. */
static bool names_all_others(const char *const *items, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (str_equal_nocase(items[i], "all others"))
            return true;

    return false;
}

void source_part_ignored(struct field_reader *reader, const struct field *field,
                         const struct yaml *value, void *into)
{
    struct source *source = into;

    read_texts(reader, field, value, &source->ignored_headers, &source->ignored_header_count);
    source->ignores_other_headers =
        names_all_others(source->ignored_headers, source->ignored_header_count);
}

void source_part_ignored_parameters(struct field_reader *reader, const struct field *field,
                                    const struct yaml *value, void *into)
{
    struct source *source = into;

    read_texts(reader, field, value, &source->ignored_parameters, &source->ignored_parameter_count);
    source->ignores_other_parameters =
        names_all_others(source->ignored_parameters, source->ignored_parameter_count);
}

void source_part_sheets(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into)
{
    struct source *source = into;

    read_texts(reader, field, value, &source->sheets, &source->sheet_count);
}

/* --- the file's words for ours --------------------------------------------------------------- */

/* What a word of the file means, in our spelling; NULL, and told, when it means nothing. */
typedef const char *word_meaning(struct field_reader *reader, const struct field *field,
                                 const struct yaml *value);

static void read_words(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, word_meaning *meaning, struct source_words *out)
{
    if (value->kind != YAML_MAP) {
        field_unfit(reader, field, value, NULL, 0);
        return;
    }

    struct source_word *words = ARENA_ARRAY(reader->mem, struct source_word, value->count);
    size_t count = 0;

    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *means = value->items[i].value;
        const char *known =
            field_is_text(reader, field, means) ? meaning(reader, field, means) : NULL;

        if (known)
            words[count++] = (struct source_word){value->items[i].key->text, known};
    }
    *out = (struct source_words){words, count};
}

static const char *station_meant(struct field_reader *reader, const struct field *field,
                                 const struct yaml *value)
{
    const char *key = NULL;

    name_station(reader, field, value, &key);

    return key;
}

static const char *parameter_meant(struct field_reader *reader, const struct field *field,
                                   const struct yaml *value)
{
    const char *key = NULL;

    name_parameter(reader, field, value, &key);

    return key;
}

static const char *unit_meant(struct field_reader *reader, const struct field *field,
                              const struct yaml *value)
{
    const char *name = name_unit(reader, value, str_trim(reader->mem, value->text), NULL);

    (void)field;
    if (name)
        field_spell(reader, value, name);

    return name;
}

static const char *state_meant(struct field_reader *reader, const struct field *field,
                               const struct yaml *value)
{
    const char *text = str_trim(reader->mem, value->text);
    const struct parameter_list *known = &reader->farm->known_parameters;

    for (size_t i = 0; i < known->count; i++) {
        const char *word = known->items[i].kind == PARAMETER_STATE
                               ? parameter_state(&known->items[i], text)
                               : NULL;

        if (word)
            return word;
    }
    field_unfit(reader, field, value, NULL, 0);

    return NULL;
}

static const char *flag_meant(struct field_reader *reader, const struct field *field,
                              const struct yaml *value)
{
    int word = value_word(reader, field, value);

    return word >= 0 ? csv_flag_words[word] : NULL;
}

static const char *purpose_meant(struct field_reader *reader, const struct field *field,
                                 const struct yaml *value)
{
    int word = value_word(reader, field, value);

    return word >= 0 ? purpose_words[word] : NULL;
}

static const char *clock_meant(struct field_reader *reader, const struct field *field,
                               const struct yaml *value)
{
    const char *text = str_trim(reader->mem, value->text);
    enum source_clock clock;
    int offset_s;

    if (source_clock_parse(text, &clock, &offset_s))
        return text;
    field_unfit(reader, field, value, NULL, 0);

    return NULL;
}

void source_part_station_words(struct field_reader *reader, const struct field *field,
                               const struct yaml *value, void *into)
{
    read_words(reader, field, value, station_meant, into);
}

void source_part_parameter_words(struct field_reader *reader, const struct field *field,
                                 const struct yaml *value, void *into)
{
    read_words(reader, field, value, parameter_meant, into);
}

/* Whether the farm keeps anything reckoned so. */
static bool basis_is_kept(const struct field_reader *reader, const char *basis)
{
    const struct parameter_list *known = &reader->farm->known_parameters;

    for (size_t i = 0; i < known->count; i++)
        if (str_equal(known->items[i].basis, basis))
            return true;
    for (size_t i = 0; parameter_built_in(i); i++)
        if (str_equal(parameter_built_in(i)->basis, basis))
            return true;

    return false;
}

/* A unit has no basis: a word that names one can't be made a plain unit of something else. */
static bool check_basis(struct field_reader *reader, const struct yaml *word,
                        const struct unit_reading *is, const struct unit_reading *meant)
{
    const char *shown = str_show(reader->mem, word->text, FARM_KEY_MOST);
    const char *basis = is->basis;

    if (!basis || (meant->basis ? str_equal(meant->basis, basis) : basis_is_kept(reader, basis)))
        return true;
    field_problem(
        reader, word,
        arena_printf(reader->mem,
                     "Add a parameter with `basis: %s`, send the file's word for it there "
                     "with `parameter words`, and work the other out from it: `derived` "
                     "with `equation: nutrient basis`.",
                     basis),
        "'%s' is %s: a unit word changes no basis, and %s", shown, basis,
        meant->basis ? arena_printf(reader->mem, "what it is to mean is %s", meant->basis)
                     : arena_printf(reader->mem, "no parameter is kept %s", basis));

    return false;
}

/* A word that is a unit to everybody can't be made one that it never turns into. */
static void check_unit_word(struct field_reader *reader, const struct yaml *word,
                            const struct yaml *means)
{
    struct unit_reading is = {.unit = NULL};
    struct unit_reading meant = {.unit = NULL};
    struct err err = ERR_INIT;

    if (means->kind != YAML_TEXT || !unit_read(reader->units, word->text, NULL, &is, &err) ||
        !unit_read(reader->units, str_trim(reader->mem, means->text), NULL, &meant, &err) ||
        !check_basis(reader, word, &is, &meant) || unit_convertible(is.unit, meant.unit))
        return;
    field_problem(reader, word, "If the sheet is wrong, ask for a corrected one.",
                  "'%s' is %s, which never turns into %s",
                  str_show(reader->mem, word->text, FARM_KEY_MOST), unit_name(is.unit),
                  unit_name(meant.unit));
}

void source_part_unit_words(struct field_reader *reader, const struct field *field,
                            const struct yaml *value, void *into)
{
    read_words(reader, field, value, unit_meant, into);
    for (size_t i = 0; value->kind == YAML_MAP && i < value->count; i++)
        check_unit_word(reader, value->items[i].key, value->items[i].value);
}

void source_part_state_words(struct field_reader *reader, const struct field *field,
                             const struct yaml *value, void *into)
{
    read_words(reader, field, value, state_meant, into);
}

void source_part_flag_words(struct field_reader *reader, const struct field *field,
                            const struct yaml *value, void *into)
{
    read_words(reader, field, value, flag_meant, into);
}

void source_part_purpose_words(struct field_reader *reader, const struct field *field,
                               const struct yaml *value, void *into)
{
    read_words(reader, field, value, purpose_meant, into);
}

void source_part_clock_words(struct field_reader *reader, const struct field *field,
                             const struct yaml *value, void *into)
{
    read_words(reader, field, value, clock_meant, into);
}
