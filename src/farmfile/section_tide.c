#include <string.h>

#include "base/str.h"
#include "farmfile/moment.h"
#include "farmfile/source_part.h"

struct tide_reading {
    struct farm_tide_table table;
    struct source clock; /* the parts of it that say how the times are written */
    const struct yaml *tides;
};

static void keep_tides(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    const struct yaml **tides = into;

    if (value->kind != YAML_LIST || value->count == 0)
        field_unfit(reader, field, value, NULL, 0);
    else if (value->count > FARM_TIDES_MOST)
        field_problem(reader, value, NULL, "%zu tides in one table, at most %d are taken",
                      value->count, FARM_TIDES_MOST);
    else
        *tides = value;
}

static const struct field tide_fields[] = {
    {FIELD("key", FIELD_REQUIRED, value_key, struct tide_reading, table.key,
           "a short name in lower case")},
    {FIELD("place", FIELD_REQUIRED, value_text, struct tide_reading, table.place,
           "the place that the times are for")},
    {FIELD("from", FIELD_REQUIRED, value_text, struct tide_reading, table.from,
           "where the times come from: who published them, and for which year")},
    {FIELD("clock", FIELD_REQUIRED, source_part_clock, struct tide_reading, clock,
           "local, UTC or an offset, as +12:00"),
     .note = "Many tables are printed in winter time all year: give its offset then."},
    {FIELD("tides", FIELD_REQUIRED, keep_tides, struct tide_reading, tides,
           "a list of high and low waters, as 2026-03-18 04:12 high, with a height in metres "
           "behind it where wanted")},
};

const struct field_table section_tide_table = {"tide table", tide_fields, ARRAY_LEN(tide_fields)};

/* Told on the tide's own line. */
static void tide_unfit(struct field_reader *reader, const struct yaml *item)
{
    field_problem(reader, item, NULL,
                  "'%s' is no tide: expected a time and high or low, as 2026-03-18 04:12 high, "
                  "and a height in metres behind each or none of them",
                  str_show(reader->mem, item->text, FARM_KEY_MOST));
}

static bool read_time(struct field_reader *reader, const struct source *clock,
                      const struct yaml *item, const char *text, instant *out)
{
    static const struct field row = {.key = "tides",
                                     .expected = "a time as 2026-03-18 04:12, then high or low"};
    struct err err = ERR_INIT;

    if (clock->clock == CLOCK_LOCAL)
        return moment_read(reader, &row, item, text, out);
    if (!instant_parse(arena_printf(reader->mem, "%.10sT%s:00Z", text, text + 11), out, &err)) {
        tide_unfit(reader, item);
        return false;
    }
    *out -= clock->offset_s * SECOND_US;

    return true;
}

/* "2026-03-18 04:12 high 3.1" */
static bool read_tide(struct field_reader *reader, const struct source *clock,
                      const struct yaml *item, struct tide *tide, struct farm_number *height)
{
    const char *words[4];
    int count = item->kind == YAML_TEXT ? value_split(reader, item, words, 4) : -1;

    if (count < 3 || strlen(words[0]) != 10 || strlen(words[1]) != 5 ||
        (strcmp(words[2], "high") != 0 && strcmp(words[2], "low") != 0) ||
        (count == 4 && !decimal_parse(words[3], &height->number))) {
        tide_unfit(reader, item);
        return false;
    }
    height->given = count == 4;
    tide->is_high = strcmp(words[2], "high") == 0;

    return read_time(reader, clock, item, arena_printf(reader->mem, "%s %s", words[0], words[1]),
                     &tide->at);
}

/* Whether the row can follow the one before it: later, and high after low. */
static void check_order(struct field_reader *reader, const struct yaml *item,
                        const struct tide *before, const struct tide *tide)
{
    if (tide->at <= before->at)
        field_problem(reader, item, NULL,
                      "'%s' does not come after the tide above: expected them in order of time",
                      item->text);
    else if (tide->is_high == before->is_high)
        field_problem(reader, item, "A missing tide would shift the hours of a clause.",
                      "'%s' follows another %s water: expected high and low in turn", item->text,
                      tide->is_high ? "high" : "low");
}

static void read_tides(struct field_reader *reader, struct tide_reading *read)
{
    size_t most = read->tides->count;
    struct tide *tides = ARENA_ARRAY(reader->mem, struct tide, most);
    struct decimal *heights = ARENA_ARRAY(reader->mem, struct decimal, most);
    size_t count = 0;
    size_t height_count = 0;

    for (size_t i = 0; i < most; i++) {
        const struct yaml *item = read->tides->items[i].value;
        struct farm_number height = {0};

        if (!read_tide(reader, &read->clock, item, &tides[count], &height))
            continue;
        if (count > 0)
            check_order(reader, item, &tides[count - 1], &tides[count]);
        if (count > 0 && height.given != (height_count > 0))
            tide_unfit(reader, item);
        heights[height_count] = height.number;
        height_count += height.given;
        count++;
    }
    read->table.tides = tides;
    read->table.tide_count = count;
    read->table.heights_m = height_count > 0 ? heights : NULL;
}

void section_tide_tables(struct field_reader *reader, const struct field *field,
                         const struct yaml *value, void *into)
{
    (void)into;
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct tide_reading read = {0};

        if (!field_read_map(reader, &section_tide_table, node, &read) ||
            !value_key_once(reader, &section_tide_table, value, i) || !read.table.key ||
            !read.tides)
            continue;
        read_tides(reader, &read);
        read.table.definition = field_definition(reader, &section_tide_table, node, FIELD_ALL);
        LIST_ADD(reader->mem, &reader->farm->tide_tables, read.table);
        reader->spellings.count = 0;
    }
}
