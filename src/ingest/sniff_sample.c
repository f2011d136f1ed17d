#include "ingest/sniff_sample.h"

#include <string.h>

#include "base/str.h"

struct sniff_sample sniff_sample_new(struct arena *mem)
{
    return (struct sniff_sample){.mem = mem, .ends = {arena_new(), arena_new()}, .stride = 1};
}

void sniff_sample_done(struct sniff_sample *sample)
{
    arena_free(&sample->ends[0]);
    arena_free(&sample->ends[1]);
}

/* At most so many bytes, and no part of a character at their end. */
static size_t cut_length(const char *text)
{
    size_t length = strlen(text);

    if (length <= SNIFF_CELL_MOST)
        return length;
    length = SNIFF_CELL_MOST;
    while (length > 0 && ((unsigned char)text[length] & 0xc0) == 0x80)
        length--;

    return length;
}

static struct sniff_row row_copy(struct arena *mem, int32_t line, const struct sniff_cell *cells,
                                 size_t count, size_t *bytes)
{
    struct sniff_cell *kept = ARENA_ARRAY(mem, struct sniff_cell, count);

    for (size_t i = 0; i < count; i++) {
        size_t length = cut_length(cells[i].text);

        kept[i].text = length == 0 ? "" : str_trim(mem, arena_strndup(mem, cells[i].text, length));
        kept[i].is_date = cells[i].is_date;
        *bytes += length + sizeof(struct sniff_cell);
    }

    return (struct sniff_row){.line = line, .cells = kept, .count = count};
}

/* Twice as far apart: every other one goes. */
static void later_thin(struct sniff_sample *sample)
{
    size_t kept = 0;

    sample->stride *= 2;
    for (size_t i = 0; i < sample->later.count; i++)
        if (sample->later.items[i].number % sample->stride == 0)
            sample->later.items[kept++] = sample->later.items[i];
    sample->later.count = kept;
}

static void last_add(struct sniff_sample *sample, int64_t number, int32_t line,
                     const struct sniff_cell *cells, size_t count)
{
    struct sniff_row row;
    size_t ignored = 0;

    if (sample->last[sample->turn].count == SNIFF_LAST_ROWS) {
        sample->turn = 1 - sample->turn;
        arena_reset(sample->ends[sample->turn]);
        sample->last[sample->turn] = (struct sniff_rows){.count = 0};
    }
    row = row_copy(sample->ends[sample->turn], line, cells, count, &ignored);
    row.number = number;
    LIST_ADD(sample->ends[sample->turn], &sample->last[sample->turn], row);
}

static void row_keep(struct sniff_sample *sample, struct sniff_rows *rows, int64_t number,
                     int32_t line, const struct sniff_cell *cells, size_t count)
{
    struct sniff_row row = row_copy(sample->mem, line, cells, count, &sample->bytes);

    row.number = number;
    LIST_ADD(sample->mem, rows, row);
}

/* Two cells and more with something in them, and no digit: it may name columns. */
static bool is_names(const struct sniff_cell *cells, size_t count)
{
    size_t filled = 0;

    for (size_t i = 0; i < count; i++) {
        if (cells[i].text[strcspn(cells[i].text, "0123456789")])
            return false;
        filled += *cells[i].text != '\0';
    }

    return filled >= 2;
}

void sniff_sample_add(struct sniff_sample *sample, int32_t line, const struct sniff_cell *cells,
                      size_t count)
{
    int64_t number = sample->seen++;
    bool has_room = sample->bytes < SNIFF_BYTES_MOST;

    if (number < SNIFF_FIRST_ROWS && has_room) {
        row_keep(sample, &sample->first, number, line, cells, count);
        return;
    }
    last_add(sample, number, line, cells, count);
    if (has_room && sample->names.count < SNIFF_NAME_ROWS && is_names(cells, count)) {
        row_keep(sample, &sample->names, number, line, cells, count);
        return;
    }
    if (number % sample->stride != 0 || !has_room)
        return;
    if (sample->later.count == SNIFF_LATER_ROWS)
        later_thin(sample);
    if (number % sample->stride == 0)
        row_keep(sample, &sample->later, number, line, cells, count);
}

/* Those of both before a row of that number, in the order of the file. */
static void rows_join(struct arena *mem, struct sniff_rows *all, const struct sniff_rows *one,
                      const struct sniff_rows *other, int64_t before)
{
    size_t i = 0;
    size_t k = 0;

    while (i < one->count || k < other->count) {
        bool takes_one =
            k == other->count || (i < one->count && one->items[i].number < other->items[k].number);
        const struct sniff_row *row = takes_one ? &one->items[i++] : &other->items[k++];

        if (row->number >= before)
            return;
        LIST_ADD(mem, all, *row);
    }
}

/* The last rows live in arenas of their own: they come along as copies. */
static void last_join(const struct sniff_sample *sample, struct sniff_rows *all,
                      const struct sniff_rows *part)
{
    size_t ignored = 0;

    for (size_t i = 0; i < part->count; i++) {
        struct sniff_row row = row_copy(sample->mem, part->items[i].line, part->items[i].cells,
                                        part->items[i].count, &ignored);

        row.number = part->items[i].number;
        LIST_ADD(sample->mem, all, row);
    }
}

struct sniff_rows sniff_sample_rows(const struct sniff_sample *sample)
{
    const struct sniff_rows *older = &sample->last[1 - sample->turn];
    const struct sniff_rows *newer = &sample->last[sample->turn];
    const struct sniff_rows *ends = older->count > 0 ? older : newer;
    int64_t ends_at = ends->count > 0 ? ends->items[0].number : INT64_MAX;
    struct sniff_rows all = {0};

    for (size_t i = 0; i < sample->first.count; i++)
        LIST_ADD(sample->mem, &all, sample->first.items[i]);
    rows_join(sample->mem, &all, &sample->later, &sample->names, ends_at);
    last_join(sample, &all, older);
    last_join(sample, &all, newer);
    for (size_t i = 1; i < all.count; i++)
        all.items[i].follows = all.items[i].number == all.items[i - 1].number + 1;

    return all;
}

const char *sniff_cell_text(const struct sniff_row *row, size_t column)
{
    return column < row->count ? row->cells[column].text : "";
}
