#include "app/aside_filter.h"

#include <stdlib.h>
#include <string.h>

#include "base/str.h"
#include "ingest/place.h"

bool aside_filter_lines(struct arena *mem, const char *word, struct aside_filter *filter)
{
    const char *mark = strrchr(word, '!');
    const char *digits = mark ? mark + 1 : word;
    char *end = NULL;
    long first = strtol(digits, &end, 10);
    long last = first;

    if (*digits < '0' || *digits > '9')
        return false;
    if (*end == '-' && end[1] >= '0' && end[1] <= '9')
        last = strtol(end + 1, &end, 10);
    if (*end != '\0' || first < 1 || last < first || last > INT32_MAX)
        return false;
    filter->sheet = mark ? arena_strndup(mem, word, (size_t)(mark - word)) : NULL;
    filter->first_line = (int32_t)first;
    filter->last_line = (int32_t)last;

    return true;
}

static bool lines_fit(const struct aside_row *row, const struct aside_filter *filter)
{
    int32_t line = row->sheet ? place_row(row->line) : row->line;

    return filter->first_line == 0 || (line >= filter->first_line && line <= filter->last_line &&
                                       (!filter->sheet || str_equal(filter->sheet, row->sheet)));
}

static bool word_fits(const struct aside_row *row, const char *word)
{
    const char *const fields[] = {row->source, row->file_name, row->reason, row->station,
                                  row->parameter};

    for (size_t i = 0; i < ARRAY_LEN(fields); i++)
        if (fields[i] && str_equal_nocase(fields[i], word))
            return true;

    return false;
}

static bool day_fits(const struct aside_row *row, const struct aside_filter *filter,
                     const struct zone *zone)
{
    if (filter->from == DAY_NONE && filter->to == DAY_NONE)
        return true;
    if (row->at == INSTANT_NONE)
        return false;

    day_number day = zone_day(zone, row->at);

    return (filter->from == DAY_NONE || day >= filter->from) &&
           (filter->to == DAY_NONE || day <= filter->to);
}

struct aside_rows asides_fit(struct arena *mem, const struct aside_rows *rows,
                             const struct aside_filter *filter, const struct zone *zone)
{
    struct aside_rows out = {.items = ARENA_ARRAY(mem, struct aside_row, rows->count)};

    for (size_t i = 0; i < rows->count; i++) {
        const struct aside_row *row = &rows->items[i];
        bool fits = day_fits(row, filter, zone) && lines_fit(row, filter) &&
                    (!filter->saying || strstr(row->words, filter->saying));

        for (size_t j = 0; fits && j < filter->word_count; j++)
            fits = word_fits(&rows->items[i], filter->words[j]);
        if (fits)
            out.items[out.count++] = rows->items[i];
    }

    return out;
}

static int more_first(const void *a, const void *b)
{
    const struct aside_count *one = a;
    const struct aside_count *other = b;

    if (one->rows != other->rows)
        return one->rows > other->rows ? -1 : 1;

    return strcmp(one->reason, other->reason);
}

struct aside_counts asides_reasons(struct arena *mem, const struct aside_rows *rows)
{
    struct aside_counts out = {.items = ARENA_ARRAY(mem, struct aside_count, PROBLEM_REASONS)};

    for (size_t i = 0; i < rows->count; i++) {
        size_t at = 0;

        while (at < out.count && !str_equal(out.items[at].reason, rows->items[i].reason))
            at++;
        if (at == out.count && out.count < PROBLEM_REASONS)
            out.items[out.count++] = (struct aside_count){.reason = rows->items[i].reason};
        if (at < out.count)
            out.items[at].rows++;
    }
    qsort(out.items, out.count, sizeof(*out.items), more_first);

    return out;
}
