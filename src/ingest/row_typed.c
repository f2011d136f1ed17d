#include "ingest/row_typed.h"

#include <string.h>

#include "ingest/csv_row.h"

static bool is_cell(const struct csv_cell *cell, const struct row_typed *typed)
{
    return cell->line == typed->line && cell->place == typed->column;
}

bool row_typed_fits(const struct csv_reader *reader, const struct csv_row *row)
{
    const struct row_typed *typed = reader->world->typed;

    if (!typed)
        return false;
    if (!row->is_record)
        return row->line == typed->line;
    for (size_t i = 0; i < row->count; i++)
        if (is_cell(&row->cells[i], typed))
            return true;

    return row->line == typed->line && row->place == typed->column;
}

/* The cell of the value that was typed; CELL_NONE where the row has none. */
static size_t value_cell(const struct csv_reader *reader, const struct csv_row *row)
{
    const struct row_typed *typed = reader->world->typed;

    if (reader->source->shape == SOURCE_LONG)
        return reader->header.cells[FIELD_VALUE];
    if (!row->is_record)
        return typed->column > 0 ? (size_t)typed->column - 1 : CELL_NONE;
    for (size_t i = 0; i < row->count; i++)
        if (is_cell(&row->cells[i], typed))
            return i;

    return CELL_NONE;
}

struct filling {
    struct csv_row row;
    struct csv_cell *cells;
};

/* A row with room for every cell of the header, so that one that is cut short can be filled too. */
static struct filling filling_begin(const struct csv_reader *reader, const struct csv_row *row)
{
    size_t count = row->count > reader->header.count ? row->count : reader->header.count;
    struct filling filling = {*row, ARENA_ARRAY(reader->row_mem, struct csv_cell, count)};

    for (size_t i = 0; i < count; i++)
        filling.cells[i] = i < row->count ? row->cells[i] : (struct csv_cell){.text = ""};
    filling.row.cells = filling.cells;
    filling.row.count = count;

    return filling;
}

static void fill(struct filling *filling, size_t cell, const char *text)
{
    if (cell >= filling->row.count || !text)
        return;
    filling->cells[cell].text = text;
    filling->cells[cell].length = (uint32_t)strlen(text);
    filling->cells[cell].is_date = false;
    filling->cells[cell].shown_unit = filling->cells[cell].shown_other = NULL;
    if (filling->row.has_bad_byte && filling->row.bad_cell == cell)
        filling->row.has_bad_byte = false;
}

/* With the file's own decimal mark. */
static const char *value_text(const struct csv_reader *reader, const char *value)
{
    char *text = value ? arena_strdup(reader->row_mem, value) : NULL;
    char *point = text ? strchr(text, '.') : NULL;

    if (point)
        *point = reader->source->decimal;

    return text;
}

bool row_typed_take(struct csv_reader *reader, const struct csv_row *row, struct err *err)
{
    const struct row_typed *typed = reader->world->typed;
    const size_t *cells = reader->header.cells;
    struct filling filling = filling_begin(reader, row);
    struct row_time time;

    fill(&filling, value_cell(reader, row), value_text(reader, typed->value));
    /* What was typed says all of the value: `<` too. */
    fill(&filling, cells[FIELD_QUALIFIER], typed->value ? "" : NULL);
    fill(&filling, cells[FIELD_STATION], typed->station);
    fill(&filling, cells[FIELD_PARAMETER], typed->parameter);
    fill(&filling, cells[FIELD_UNIT], typed->unit);
    fill(&filling, cells[FIELD_SAMPLE], typed->sample);
    csv_time_read(reader, &filling.row, &time);
    if (typed->at != INSTANT_NONE)
        time = (struct row_time){.at = typed->at, .until = typed->at};

    return csv_row_take(reader, &filling.row, &time, err);
}
