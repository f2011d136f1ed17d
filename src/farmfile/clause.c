/* What limits and intervals have in common. */

#include "farmfile/clause.h"
#include "base/str.h"

static const struct field span_fields[] = {
    {FIELD("from", FIELD_REQUIRED, value_day, struct section_span, from,
           "the first day, as 2026-01-31")},
    {FIELD("to", FIELD_OPTIONAL, value_day, struct section_span, to,
           "the last day, as 2026-12-31")},
};

const struct field_table section_span_table = {"span", span_fields, ARRAY_LEN(span_fields)};

void section_span(struct field_reader *reader, const struct field *field, const struct yaml *value,
                  void *into)
{
    struct section_span *span = into;

    (void)field;
    if (field_read_map(reader, &section_span_table, value, span))
        section_check_span(reader, value, span->from, span->to);
}

static const struct field season_fields[] = {
    {FIELD("from", FIELD_REQUIRED, value_season, struct clause_season, from,
           "a day of the year, as 10-01")},
    {FIELD("to", FIELD_REQUIRED, value_season, struct clause_season, to,
           "a day of the year, as 04-30")},
};

const struct field_table clause_season_table = {"season", season_fields, ARRAY_LEN(season_fields)};

void clause_season(struct field_reader *reader, const struct field *field, const struct yaml *value,
                   void *into)
{
    struct clause_season season = {0};
    struct clause_season *out = into;

    (void)field;
    if (field_read_map(reader, &clause_season_table, value, &season))
        *out = season;
}

const char *const clause_week_days[] = {"Monday", "Tuesday",  "Wednesday", "Thursday",
                                        "Friday", "Saturday", "Sunday",    NULL};

/* In the order of enum limit_kinds. */
const char *const clause_kind_words[] = {"grab", "composite", "probe", "by hand", "derived", NULL};

void clause_kinds(struct field_reader *reader, const struct field *field, const struct yaml *value,
                  void *into)
{
    unsigned *kinds = into;

    if (value->kind != YAML_LIST) {
        int word = value_word(reader, field, value);

        if (word >= 0)
            *kinds = 1U << word;
        return;
    }
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        int word = value_word(reader, field, value->items[i].value);

        if (word >= 0)
            *kinds |= 1U << word;
    }
}

/* What the farm says of a clause that is not as it was. */
const char *const clause_change_words[] = {"licence changed", "copied wrongly", NULL};

void clause_change(struct field_reader *reader, const struct field *field, const struct yaml *value,
                   void *into)
{
    const char **change = into;
    int word = value_word(reader, field, value);

    if (word >= 0)
        *change = clause_change_words[word];
}

bool clause_needs_discharge(const struct field_reader *reader, const char *station)
{
    const struct farm_station *found = station ? farm_find_station(reader->farm, station) : NULL;

    return !reader->stored && found &&
           (str_equal(found->kind, "discharge") || str_equal(found->kind, "overflow"));
}

void clause_from_licence(const struct field_reader *reader, const char *key, const char **version,
                         const char **authority)
{
    const struct farm_licence *licence = key ? farm_find_licence(reader->farm, key) : NULL;

    *version =
        licence && licence->version != DAY_NONE ? day_text(reader->mem, licence->version) : "";
    *authority = licence && licence->authority ? licence->authority : "";
}
