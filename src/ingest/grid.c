#include "ingest/grid.h"

bool grid_start(struct grid *grid, struct arena *mem, const struct source *source,
                const struct ingest_world *world, const struct ingest_sink *sink,
                struct ingest_counts *counts, struct err *err)
{
    grid->has_header = false;
    grid->rows_to_skip = 0;

    return csv_reader_start(&grid->reader, mem, source, world, sink, counts, err);
}

void grid_done(struct grid *grid)
{
    csv_reader_done(&grid->reader);
}

bool grid_row(struct grid *grid, const struct csv_row *row, struct err *err)
{
    struct csv_reader *reader = &grid->reader;

    if (!grid->has_header) {
        if (!csv_header_read(reader->mem, reader->source, reader->world->parameters, row,
                             &reader->header, err))
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

    return !grid->reader.order || csv_order_end(grid->reader.order, err);
}

bool grid_end(struct grid *grid, struct err *err)
{
    return csv_reader_end(&grid->reader, err);
}
