#include "farmfile/when_part.h"

#include <string.h>

#include "base/str.h"
#include "farmfile/bound_part.h"
#include "farmfile/clause.h"
#include "farmfile/moment.h"

void when_part_hours(struct field_reader *reader, const struct field *field,
                     const struct yaml *value, void *into)
{
    struct limit_hours *hours = into;
    struct limit_hours read = {.set = true};
    const char *words[3];

    if (!field_is_text(reader, field, value))
        return;
    if (value_split(reader, value, words, 3) != 3 || strcmp(words[1], "to") != 0 ||
        !moment_parse_minute(words[0], false, &read.from_minute) ||
        !moment_parse_minute(words[2], true, &read.to_minute))
        field_unfit(reader, field, value, NULL, 0);
    else
        *hours = read;
}

/* "1 hour before to 3 hours after high water" in its nine words. */
static bool parse_tide(const char *const *words, struct limit_tide *tide)
{
    static const struct {
        int at;
        const char *word;
    } fixed[] = {{2, "before"}, {3, "to"}, {6, "after"}, {8, "water"}};

    for (size_t i = 0; i < ARRAY_LEN(fixed); i++)
        if (strcmp(words[fixed[i].at], fixed[i].word) != 0)
            return false;
    if (strcmp(words[7], "high") != 0 && strcmp(words[7], "low") != 0)
        return false;
    tide->of = strcmp(words[7], "high") == 0 ? TIDE_HIGH : TIDE_LOW;

    return moment_parse_length(words[0], words[1], &tide->before_s) &&
           moment_parse_length(words[4], words[5], &tide->after_s);
}

void when_part_tide(struct field_reader *reader, const struct field *field,
                    const struct yaml *value, void *into)
{
    enum { WORDS = 9 };
    struct limit_tide *tide = into;
    struct limit_tide read = {0};
    const char *words[WORDS];

    if (!field_is_text(reader, field, value))
        return;
    if (value_split(reader, value, words, WORDS) != WORDS || !parse_tide(words, &read)) {
        field_unfit(reader, field, value, NULL, 0);
        return;
    }
    tide->of = read.of;
    tide->before_s = read.before_s;
    tide->after_s = read.after_s;
}

void when_part_tide_table(struct field_reader *reader, const struct field *field,
                          const struct yaml *value, void *into)
{
    const struct farm_tide_table_list *tables = &reader->farm->tide_tables;
    const char **key = into;

    if (!field_is_text(reader, field, value))
        return;
    *key = str_trim(reader->mem, value->text);
    if (reader->stored || farm_find_tide_table(reader->farm, *key))
        return;

    const char **keys = ARENA_ARRAY(reader->mem, const char *, tables->count);

    for (size_t i = 0; i < tables->count; i++)
        keys[i] = tables->items[i].key;
    field_unknown(reader, value, "tide table", keys, tables->count);
}

void when_part_season(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    struct limit_season *season = into;
    struct clause_season read = {0};

    clause_season(reader, field, value, &read);
    if (read.from > 0 && read.to > 0)
        *season = (struct limit_season){.set = true, .from = read.from, .to = read.to};
}

static void read_above(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    struct limit_while *is = into;

    is->has_above = true;
    value_number(reader, field, value, &is->above);
}

static void read_below(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    struct limit_while *is = into;

    is->has_below = true;
    value_number(reader, field, value, &is->below);
}

#define WHILE(key, need, read, member, expected)                                                   \
    FIELD(key, need, read, struct limit_while, member, expected)

static const struct field while_fields[] = {
    {WHILE("station", FIELD_REQUIRED, name_station, other.station, "the key of a station")},
    {WHILE("position", FIELD_OPTIONAL, value_key, other.position,
           "the key of one of the station's positions")},
    {WHILE("parameter", FIELD_REQUIRED, name_parameter, other.parameter, "the key of a parameter")},
    {WHILE("unit", FIELD_REQUIRED, value_text, other.unit, "the unit that the numbers are in")},
    {.key = "above", .read = read_above, .expected = "a number: it applies while above it"},
    {.key = "below", .read = read_below, .expected = "a number: it applies while below it"},
    {WHILE("within", FIELD_REQUIRED, moment_length, within_s,
           "how old that reading may be, as 24 hours"),
     .words = moment_length_words, .least = 1, .most = 31 * 86400},
};

const struct field_table when_part_while_table = {"condition", while_fields,
                                                  ARRAY_LEN(while_fields)};

void when_part_while(struct field_reader *reader, const struct field *field,
                     const struct yaml *value, void *into)
{
    struct limit_while read = {0};
    struct limit_while *out = into;

    (void)field;
    if (!field_read_map(reader, &when_part_while_table, value, &read))
        return;
    bound_part_check_other(reader, value, &read.other);
    if (!read.has_above && !read.has_below)
        field_problem(reader, value, NULL,
                      "this condition lacks its number: expected `above` or "
                      "`below`");
    *out = read;
}
