#include "ingest/csv_shape.h"

#include <string.h>

#include "base/str.h"

/* What was found first, and its cell. */
struct shape_trouble {
    struct trouble trouble;
    size_t cell;
};

static const char put_right_words[] =
    "See whether a separator stands inside a cell without quotes; a decimal comma in a file of "
    "commas does that. Typing can't put cells back in their places: take in a file with this row "
    "put right, and leave this one out (weirbook aside leave-out).";

/* Cells beyond the header or under no name must be empty. */
static void check_shape(const struct csv_reader *reader, const struct csv_row *row,
                        struct shape_trouble *found)
{
    const struct csv_header *header = &reader->header;

    for (size_t i = row->is_record ? row->count : header->first_unnamed; i < row->count; i++) {
        const struct csv_cell *cell = &row->cells[i];

        if ((i < header->count && *header->names[i]) || strspn(cell->text, " \t") == cell->length)
            continue;
        found->cell = i;
        found->trouble = (struct trouble){
            PROBLEM_ROW_SHAPE,
            i < header->count
                ? arena_printf(reader->row_mem, "column %zu has no name and is not empty", i + 1)
                : arena_printf(reader->row_mem, "the row has %zu cells and the header %zu",
                               row->count, header->count),
            put_right_words,
        };
        return;
    }
}

/* But "1", which some write for a quantity without a unit. */
static bool is_number(const char *text)
{
    return strcmp(text, "1") != 0 && strpbrk(text, "0123456789") &&
           strspn(text, " +-.,0123456789") == strlen(text);
}

/* Cells that moved a place to the right in a row that has room for one more. */
static void check_moved(const struct csv_reader *reader, const struct csv_row *row,
                        struct shape_trouble *found)
{
    size_t unit = reader->header.cells[FIELD_UNIT];

    if (found->trouble.words || reader->source->shape != SOURCE_LONG || unit == CELL_NONE ||
        unit >= row->count || !is_number(row->cells[unit].text))
        return;
    found->cell = unit;
    found->trouble = (struct trouble){
        PROBLEM_ROW_SHAPE,
        arena_printf(reader->row_mem, "column %zu is the unit's, and holds '%s'", unit + 1,
                     str_show(reader->row_mem, row->cells[unit].text, PROBLEM_TEXT_MOST)),
        put_right_words,
    };
}

/* Cells up to the last one that has a name. */
static size_t named_cells(const struct csv_header *header)
{
    size_t count = header->count;

    while (count > 0 && !*header->names[count - 1])
        count--;

    return count;
}

/*
 * A row that was cut off. Files may leave empty cells off at the end of a row, so that a shorter
 * one is blank there; but not one that has a time and no value in a file of one value a row, nor
 * the last one where its line end is missing too: of that even the last cell may be cut. A single
 * cell at the end is a remark.
 */
static void check_cut(const struct csv_reader *reader, const struct csv_row *row,
                      const struct row_time *time, struct shape_trouble *found)
{
    size_t value = reader->header.cells[FIELD_VALUE];
    size_t named = named_cells(&reader->header);
    bool no_value = reader->source->shape == SOURCE_LONG && value != CELL_NONE &&
                    value >= row->count && !time->trouble.words;
    bool torn = row->at_end && row->count > 1 && row->count < named;

    if (!row->of_text || found->trouble.words || (!no_value && !torn))
        return;
    found->cell = CELL_NONE;
    found->trouble = (struct trouble){
        PROBLEM_ROW_CUT,
        arena_printf(reader->row_mem,
                     torn ? "the file ends in the middle of this row, after %zu of %zu cells"
                          : "the row ends after %zu of %zu cells, before its value",
                     row->count, named),
        "See whether the file was cut off on its way, and take in the whole one. Else type what is "
        "missing (weirbook aside correct), or leave the row out (weirbook aside leave-out).",
    };
}

static void check_bytes(const struct csv_reader *reader, const struct csv_row *row,
                        struct shape_trouble *found)
{
    if (!row->has_bad_byte || found->trouble.words)
        return;
    found->cell = row->bad_cell;
    found->trouble = (struct trouble){
        PROBLEM_BYTES,
        arena_printf(reader->row_mem, "byte %lld of the file, 0x%02X in column %zu, is no %s text",
                     (long long)row->bad_offset, row->bad_byte, row->bad_cell + 1,
                     reader->source->charset ? reader->source->charset : "utf-8"),
        "Say in the source which charset the file is in; windows-1252 is what many loggers write.",
    };
}

void csv_shape_check(const struct csv_reader *reader, const struct csv_row *row,
                     const struct row_time *time, struct trouble *trouble, size_t *cell)
{
    struct shape_trouble found = {.cell = *cell};

    check_shape(reader, row, &found);
    check_moved(reader, row, &found);
    check_cut(reader, row, time, &found);
    check_bytes(reader, row, &found);
    if (!found.trouble.words)
        return;
    *trouble = found.trouble;
    *cell = found.cell;
}
