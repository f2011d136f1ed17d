#include "ingest/sniff_role.h"

#include <ctype.h>
#include <string.h>

#include "base/buf.h"
#include "base/str.h"
#include "ingest/purpose.h"
#include "ingest/sniff_name.h"

enum {
    SHOWN_MOST = 60,
    COLUMNS_SHOWN = 6,
    WORDS_SHOWN = 4,
    FEW_WORDS = 12,           /* different ones of a column that sorts rows */
    REPEATED_WORDS_MOST = 60, /* the same, where each stands in two rows or more on average */
};

#define NOT_TAKEN "not taken"
#define ROLES_TEXT                                                                                 \
    "station, position, sample, purpose, replicate, method, taken by, instrument, parameter, "     \
    "value, unit, qualifier, flag, detection limit, quantitation limit, limit unit or " NOT_TAKEN

/* --- what a person says --- */

static const struct {
    const char *word;
    enum csv_field field;
    bool of_results; /* only where a row is one result */
} roles[] = {
    {"station", FIELD_STATION, false},
    {"position", FIELD_POSITION, false},
    {"sample", FIELD_SAMPLE, false},
    {"purpose", FIELD_PURPOSE, false},
    {"replicate", FIELD_REPLICATE, false},
    {"method", FIELD_METHOD, false},
    {"taken by", FIELD_TAKEN_BY, false},
    {"instrument", FIELD_INSTRUMENT, false},
    {"parameter", FIELD_PARAMETER, true},
    {"value", FIELD_VALUE, true},
    {"unit", FIELD_UNIT, true},
    {"qualifier", FIELD_QUALIFIER, true},
    {"flag", FIELD_FLAG, true},
    {"detection limit", FIELD_DETECTION, true},
    {"quantitation limit", FIELD_QUANTITATION, true},
    {"limit unit", FIELD_LIMIT_UNIT, true},
};

/* Index of the role, or ARRAY_LEN(roles). */
static size_t role_of(const char *says)
{
    size_t i = 0;

    while (i < ARRAY_LEN(roles) && !str_equal_nocase(roles[i].word, says))
        i++;

    return i;
}

static const char *name_of(const struct sniffing *sniffing, size_t column)
{
    return str_show(sniffing->mem, sniffing->table->columns[column].name, SHOWN_MOST);
}

/* The answer about a column, without counting it as used. */
static const char *told_of(const struct sniffing *sniffing, size_t column)
{
    return *sniffing->table->columns[column].name
               ? sniff_answer_peek(sniffing->answers, "column",
                                   sniffing->table->columns[column].name)
               : NULL;
}

static bool role_give(struct sniffing *sniffing, size_t column, size_t role, struct err *err)
{
    const struct sniff_column *about = &sniffing->table->columns[column];
    size_t holder = sniff_field_column(sniffing, roles[role].field);

    (void)sniff_answer_to(sniffing->answers, "column", about->name);
    if (about->is_twice || about->filled == 0)
        return err_set(err, ERR_INVALID, "column '%s' can't be the %s: %s",
                       name_of(sniffing, column), roles[role].word,
                       about->is_twice ? "two columns are called so" : "nothing stands in it");
    if (holder != SIZE_MAX) {
        (void)err_set(err, ERR_INVALID, "column '%s' can't be the %s: column '%s' is",
                      name_of(sniffing, column), roles[role].word, name_of(sniffing, holder));
        return err_hint(err, "Expected one column of each; or say what the other one is too, as "
                             "\"column NAME=" NOT_TAKEN "\".");
    }
    sniffing->fields[column] = roles[role].field;
    sniffing->told[column] = true;

    return true;
}

bool sniff_roles_find(struct sniffing *sniffing, struct err *err)
{
    const struct sniff_table *table = sniffing->table;

    for (size_t i = 0; i < table->column_count; i++) {
        enum csv_field field = sniff_name_field(sniffing->mem, table->columns[i].name);

        sniffing->fields[i] = CSV_FIELDS;
        /* The first of each name counts; what a person says of a column goes before its name. */
        if (!table->columns[i].is_twice && !told_of(sniffing, i) &&
            sniff_field_column(sniffing, field) >= i)
            sniffing->fields[i] = field;
    }
    for (size_t i = 0; i < table->column_count; i++) {
        const char *says = told_of(sniffing, i);
        size_t role = says ? role_of(says) : ARRAY_LEN(roles);

        if (role < ARRAY_LEN(roles) && !role_give(sniffing, i, role, err))
            return false;
    }

    return true;
}

bool sniff_role_told(const struct sniffing *sniffing, enum csv_field field)
{
    size_t column = sniff_field_column(sniffing, field);

    return column != SIZE_MAX && sniffing->told[column];
}

bool sniff_roles_check(struct sniffing *sniffing, struct err *err)
{
    bool is_long = sniffing->guess->source.shape == SOURCE_LONG;

    for (size_t i = 0; i < sniffing->table->column_count; i++) {
        const char *says = told_of(sniffing, i);
        size_t role = says ? role_of(says) : ARRAY_LEN(roles);

        if (says && role < ARRAY_LEN(roles) && sniffing->taken[i]) {
            (void)sniff_answer_to(sniffing->answers, "column", sniffing->table->columns[i].name);
            (void)err_set(err, ERR_INVALID, "column '%s' can't be the %s: it tells the time",
                          name_of(sniffing, i), roles[role].word);
            return err_hint(err, "Where another column does, say so too, as \"time=COLUMN\".");
        }
        if (!says || (is_long && role < ARRAY_LEN(roles)))
            continue;
        if (role < ARRAY_LEN(roles) && roles[role].of_results) {
            (void)sniff_answer_to(sniffing->answers, "column", sniffing->table->columns[i].name);
            (void)err_set(err, ERR_INVALID,
                          "column '%s' can't be the %s: the file has a column for each parameter",
                          name_of(sniffing, i), roles[role].word);
            return err_hint(err, "Where each row is one result, say which column has the numbers: "
                                 "\"column NAME=value\".");
        }
        if (!is_long)
            continue; /* its parameter, and read so */
        (void)sniff_answer_to(sniffing->answers, "column", sniffing->table->columns[i].name);
        if (str_equal_nocase(says, NOT_TAKEN))
            continue;
        (void)err_set(err, ERR_INVALID, "column '%s' can't be '%s'", name_of(sniffing, i),
                      str_show(sniffing->mem, says, SHOWN_MOST));
        return err_hint(err, "Expected %s.", ROLES_TEXT);
    }

    return true;
}

/* --- purposes --- */

/* Words for check samples that say what they mean; bars between. */
static const struct {
    const char *words;
    const char *means;
} plain_purposes[] = {
    {"|blank|fieldblank|tripblank|equipmentblank|methodblank|", "blank"},
    {"|duplicate|dup|fieldduplicate|fielddup|duplicatesample|", "duplicate"},
};

/* Words that sort samples by what they are for, without saying it. */
static const char sorting_words[] =
    "|routine|normal|regular|primary|original|compliance|monitoring|investigation|investigative|"
    "replicate|split|spike|qc|qa|fb|tb|eb|control|reference|";

static bool bars_have(struct arena *mem, const char *list, const char *word)
{
    const char *plain = sniff_plain(mem, word);

    return *plain && strstr(list, arena_printf(mem, "|%s|", plain));
}

static const char *purpose_plain(struct arena *mem, const char *word)
{
    const char *known = purpose_known(word);

    for (size_t i = 0; !known && i < ARRAY_LEN(plain_purposes); i++)
        if (bars_have(mem, plain_purposes[i].words, word))
            known = plain_purposes[i].means;

    return known;
}

static bool purpose_told(struct sniffing *sniffing, const char *word, const char **means,
                         struct err *err)
{
    const char *says = sniff_answer_to(sniffing->answers, "purpose", word);

    *means = says ? purpose_known(says) : purpose_plain(sniffing->mem, word);
    if (!says || *means)
        return true;
    (void)err_set(err, ERR_INVALID, "'%s' is not what a sample is for",
                  str_show(sniffing->mem, says, SHOWN_MOST));

    return err_hint(err, "Expected required, extra, looking for a cause, check, the authority's "
                         "own, blank or duplicate.");
}

static bool purposes_meet(struct sniffing *sniffing, size_t column, struct err *err)
{
    struct arena *mem = sniffing->mem;
    struct sniff_words words = sniff_words_of(mem, sniffing->table, column);
    struct source_word *told = ARENA_ARRAY(mem, struct source_word, words.count);
    size_t count = 0;

    for (size_t i = 0; i < words.count; i++) {
        const char *word = words.items[i].text;
        const char *means = NULL;

        if (!purpose_told(sniffing, word, &means, err))
            return false;
        if (means && str_equal(means, word))
            continue;
        told[count++] = (struct source_word){word, means};
        if (!means)
            sniff_ask(sniffing, "purpose", word,
                      arena_printf(mem, "what were samples for of which '%s' says this?",
                                   sniffing->table->columns[column].name),
                      "\"purpose WORD=required\" (the licence asks for it), =extra, =check, "
                      "=blank, =duplicate, \"=looking for a cause\" or \"=the authority's own\" "
                      "for each");
    }
    sniffing->guess->source.purposes = (struct source_words){told, count};

    return true;
}

/* --- columns that either shape may have beside its values --- */

bool sniff_roles_take(struct sniffing *sniffing, struct err *err)
{
    struct source *source = &sniffing->guess->source;
    const struct {
        enum csv_field field;
        const char **header;
        const char *what;
        bool when_told; /* and never by its name alone */
    } labels[] = {
        {FIELD_POSITION, &source->position_header, "position", true},
        {FIELD_SAMPLE, &source->sample_header, "sample number", false},
        {FIELD_REPLICATE, &source->replicate_header, "replicate", false},
        {FIELD_METHOD, &source->method_header, "method", false},
        {FIELD_TAKEN_BY, &source->taken_by_header, "taken by", false},
        {FIELD_PURPOSE, &source->purpose_header, "purpose", false},
        {FIELD_INSTRUMENT, &source->instrument_header, "instrument or laboratory", false},
    };

    for (size_t i = 0; i < ARRAY_LEN(labels); i++) {
        size_t column = sniff_field_column(sniffing, labels[i].field);
        bool told = column != SIZE_MAX && sniffing->told[column];

        if (column == SIZE_MAX || sniffing->taken[column] ||
            sniffing->table->columns[column].filled == 0 || (labels[i].when_told && !told))
            continue;
        *labels[i].header = sniffing->table->columns[column].name;
        sniffing->taken[column] = true;
        sniff_fact_add(sniffing, labels[i].what,
                       arena_printf(sniffing->mem, "column '%s'", *labels[i].header),
                       told ? "as you answered" : "by its name");
        if (labels[i].field == FIELD_PURPOSE && !purposes_meet(sniffing, column, err))
            return false;
    }

    return true;
}

/* --- columns that are left --- */

/* Whether it may sort rows: words or numbers of samples, and neither a time nor spoken for. */
static bool is_left(struct sniffing *sniffing, size_t column)
{
    const struct sniff_column *about = &sniffing->table->columns[column];

    return !sniffing->taken[column] && *about->name && about->filled > 0 && !about->is_twice &&
           about->times * 2 < about->filled && !told_of(sniffing, column) &&
           (sniffing->fields[column] == CSV_FIELDS || sniffing->fields[column] == FIELD_POSITION);
}

static bool is_sorting(const struct sniff_column *about, const struct sniff_words *words)
{
    return about->numbers * 2 < about->filled &&
           (words->count <= FEW_WORDS ||
            (words->count <= REPEATED_WORDS_MOST && words->count * 2 <= about->filled));
}

static bool has_purposes(struct arena *mem, const struct sniff_words *words)
{
    for (size_t i = 0; i < words->count; i++)
        if (purpose_plain(mem, words->items[i].text) ||
            bars_have(mem, sorting_words, words->items[i].text))
            return true;

    return false;
}

/* "L-0012", "260514": whole numbers, or digits and letters without a blank, in each row. */
static bool are_numbers_of_samples(const struct sniff_words *words)
{
    for (size_t i = 0; i < words->count; i++) {
        const char *text = words->items[i].text;

        if (!strpbrk(text, "0123456789") || strpbrk(text, " .,<>"))
            return false;
    }

    return true;
}

const char *sniff_roles_places(struct sniffing *sniffing)
{
    const struct sniff_table *table = sniffing->table;
    const char **names = ARENA_ARRAY(sniffing->mem, const char *, table->column_count);
    size_t count = 0;

    for (size_t i = 0; i < table->column_count; i++) {
        struct sniff_words words;

        if (!is_left(sniffing, i))
            continue;
        words = sniff_words_of(sniffing->mem, table, i);
        if (is_sorting(&table->columns[i], &words) && !has_purposes(sniffing->mem, &words) &&
            sniff_name_parameters(sniffing->mem, sniffing->world->units,
                                  sniffing->world->parameters, table->columns[i].bare, NULL)
                    .count == 0)
            names[count++] = table->columns[i].name;
    }

    return count > 0 ? sniff_list_text(sniffing->mem, names, count, COLUMNS_SHOWN) : NULL;
}

static void left_ask(struct sniffing *sniffing, size_t column, const struct sniff_words *words,
                     const char *may_be)
{
    struct arena *mem = sniffing->mem;
    const char *name = sniffing->table->columns[column].name;
    const char **shown = ARENA_ARRAY(mem, const char *, words->count);

    for (size_t i = 0; i < words->count; i++)
        shown[i] = words->items[i].text;
    sniff_ask(sniffing, "column", name,
              arena_printf(mem, "what does '%s' say of a row%s? In it %s %s", name, may_be,
                           words->count > 1 ? "stand" : "stands",
                           sniff_list_text(mem, shown, words->count, WORDS_SHOWN)),
              arena_printf(mem,
                           "\"column %s=station\" (and \"station WORD=KEY\" for each word), "
                           "=sample, =purpose (what the sample was for: and \"purpose "
                           "WORD=required\", =blank, =duplicate, =check or =extra for each word "
                           "that does not say it), =replicate, =method or \"=taken by\"; or "
                           "\"column %s=" NOT_TAKEN "\" where it changes nothing of what the row "
                           "is",
                           name, name));
}

void sniff_roles_ask(struct sniffing *sniffing)
{
    const struct sniff_table *table = sniffing->table;
    bool is_long = sniffing->guess->source.shape == SOURCE_LONG;

    for (size_t i = 0; i < table->column_count; i++) {
        struct sniff_words words;

        if (!is_left(sniffing, i))
            continue;
        words = sniff_words_of(sniffing->mem, table, i);
        if (has_purposes(sniffing->mem, &words) && !sniffing->guess->source.purpose_header)
            left_ask(sniffing, i, &words, ": what the sample was for");
        else if (is_long && !sniffing->guess->source.sample_header &&
                 are_numbers_of_samples(&words))
            left_ask(sniffing, i, &words, ": the number of its sample");
        else if (is_long && is_sorting(&table->columns[i], &words))
            left_ask(sniffing, i, &words, "");
    }
}
