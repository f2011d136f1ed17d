#include "ingest/grid.h"

bool grid_start(struct grid *grid, struct arena *mem, const struct source *source,
                const struct ingest_world *world, const struct ingest_sink *sink,
                struct ingest_counts *counts, struct err *err)
{
    grid->has_header = false;
    grid->rows_to_skip = 0;
    grid->upper = (struct header_names){0};

    return csv_reader_start(&grid->reader, mem, source, world, sink, counts, err);
}

void grid_done(struct grid *grid)
{
    csv_reader_done(&grid->reader);
}

void grid_set_upper(struct grid *grid, const struct header_names *names)
{
    struct arena *mem = grid->reader.mem;
    struct header_names upper = {ARENA_ARRAY(mem, const char *, names->count), names->count};

    for (size_t i = 0; i < names->count; i++)
        upper.items[i] = arena_strdup(mem, names->items[i]);
    grid->upper = upper;
}

/* The header by this row and, where it has two, the one above. */
static bool header_take(struct grid *grid, const struct csv_row *row, struct err *err)
{
    struct csv_reader *reader = &grid->reader;
    const struct parameter_list *parameters = reader->world->parameters;

    if (reader->source->header_rows != 2 || row->fault != CSV_GOOD)
        return csv_header_read(reader->mem, reader->source, parameters, row, &reader->header, err);

    const struct header_names lower = header_names_of(reader->mem, row);
    const struct header_names names = header_names_join(reader->mem, &grid->upper, &lower);
    const struct csv_row joined = header_row_of(reader->mem, row, &names);

    if (!csv_header_read(reader->mem, reader->source, parameters, &joined, &reader->header, err))
        return false;
    reader->pair = (struct header_pair){grid->upper, lower, reader->header, false};

    return true;
}

bool grid_row(struct grid *grid, const struct csv_row *row, struct err *err)
{
    struct csv_reader *reader = &grid->reader;

    if (!grid->has_header) {
        if (!header_take(grid, row, err))
            return false;
        grid->has_header = true;
        reader->unknown = (struct trouble){0};
        grid->rows_to_skip = reader->source->skip_after_header;
        csv_reader_settle_units(reader, NULL, grid->rows_to_skip == 0);
        return true;
    }
    if (grid->rows_to_skip > 0 && !csv_reader_is_data(reader, row)) {
        grid->rows_to_skip--;
        csv_reader_settle_units(reader, row, grid->rows_to_skip == 0);
        return true;
    }
    if (grid->rows_to_skip > 0)
        csv_reader_settle_units(reader, NULL, true);
    grid->rows_to_skip = 0;

    return csv_reader_row(reader, row, err);
}

bool grid_next(struct grid *grid, struct err *err)
{
    grid->has_header = false;
    grid->upper = (struct header_names){0};

    return !grid->reader.order || csv_order_end(grid->reader.order, err);
}

bool grid_end(struct grid *grid, struct err *err)
{
    return csv_reader_end(&grid->reader, err);
}
