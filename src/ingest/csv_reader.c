#include "ingest/csv_reader.h"

#include "base/str.h"
#include "ingest/csv_again.h"
#include "ingest/csv_row.h"
#include "ingest/row_aside.h"
#include "ingest/row_typed.h"

static const struct {
    unsigned kind;
    const char *name;
} kinds[] = {
    {KIND_GRAB, "grab"},
    {KIND_COMPOSITE, "composite"},
    {KIND_PROBE, "probe"},
    {KIND_BY_HAND, "by hand"},
};

/* A row of the hour that comes twice, placed or not. */
static bool row_place(void *context, const struct csv_row *row, instant at, struct err *err)
{
    struct csv_reader *reader = context;
    struct row_time time;

    csv_time_read(reader, row, &time);
    if (at != INSTANT_NONE)
        csv_time_place(reader, row, at, &time);

    return csv_row_take(reader, row, &time, err);
}

/* Rows whose order may tell which of two instants is meant. */
static const char *sequence_of(struct csv_reader *reader, const struct csv_row *row)
{
    static const enum csv_field fields[] = {FIELD_POSITION, FIELD_PARAMETER, FIELD_METHOD,
                                            FIELD_REPLICATE, FIELD_INSTRUMENT};
    const char *key = csv_field_text(reader, row, FIELD_STATION);

    for (size_t i = 0; i < ARRAY_LEN(fields); i++)
        if (reader->header.cells[fields[i]] != CELL_NONE)
            key = arena_printf(reader->row_mem, "%s\x1f%s", key,
                               csv_field_text(reader, row, fields[i]));

    return key;
}

/* A row of units behind a header that tells its units as well. */
static const struct csv_unit *unit_of_both(struct csv_reader *reader,
                                           const struct csv_value_column *column, const char *shown)
{
    const struct csv_unit *header =
        csv_unit_find(&reader->units, column->parameter, column->header_unit);
    const struct csv_unit *row = csv_unit_find(&reader->units, column->parameter, shown);

    if (!header->name || !row->name || str_equal(header->name, row->name))
        return column->unit;

    return csv_unit_clash(&reader->units, header->name, row->name);
}

void csv_reader_settle_units(struct csv_reader *reader, const struct csv_row *unit_row,
                             bool is_last)
{
    for (size_t i = 0; i < reader->header.column_count; i++) {
        struct csv_value_column *column = &reader->header.columns[i];
        const char *of_row = unit_row && column->cell < unit_row->count
                                 ? csv_unit_of_cell(reader->mem, unit_row->cells[column->cell].text)
                                 : NULL;
        const char *shown = column->header_unit ? column->header_unit : of_row;

        if (column->cell == CELL_NONE || column->parameter->kind == PARAMETER_STATE)
            continue;
        if (column->unit && column->header_unit && of_row)
            column->unit = unit_of_both(reader, column, of_row);
        if (!column->unit && !shown && is_last)
            column->unit = column->unit_before;
        if (!column->unit && (shown || is_last))
            column->unit =
                csv_unit_settle(&reader->units, column->parameter, column->mapped->unit, shown);
    }
}

bool csv_reader_is_data(struct csv_reader *reader, const struct csv_row *row)
{
    struct row_time time;

    if (row->fault != CSV_GOOD)
        return true;
    arena_reset(reader->row_mem);
    csv_time_read(reader, row, &time);

    return !time.trouble.words || time.trouble.reason != PROBLEM_TIME_UNREADABLE;
}

bool csv_reader_row(struct csv_reader *reader, const struct csv_row *row, struct err *err)
{
    struct row_time time;

    arena_reset(reader->row_mem);
    if (row->fault != CSV_GOOD) {
        reader->batch.counts->rows++;
        return row_aside_fault(reader, row, err);
    }
    if (reader->source->header_rows == 2) {
        bool taken = false;

        if (!csv_again_pair(reader, row, &taken, err))
            return false;
        if (taken)
            return true;
    } else if (csv_header_repeats(&reader->header, row)) {
        return csv_again_repeat(reader, err);
    }
    csv_time_read(reader, row, &time);
    if (time.trouble.reason == PROBLEM_TIME_UNREADABLE && time.trouble.words) {
        bool taken = false;

        if (!csv_again_take(reader, row, &taken, err))
            return false;
        if (taken)
            return true;
    }
    csv_again_data(reader);
    reader->batch.counts->rows++;
    reader->batch.counts->short_rows += row->count < reader->header.count;
    if (reader->unknown.words)
        return row_aside_unknown(reader, row, &time, err);
    if (row_typed_fits(reader, row))
        return row_typed_take(reader, row, err);
    if (reader->order && !row->has_bad_byte) {
        if (time.is_two)
            return csv_order_wait(reader->order, sequence_of(reader, row), row, time.two, err);
        if (!time.trouble.words &&
            !csv_order_step(reader->order, sequence_of(reader, row), time.at, err))
            return false;
    }

    return csv_row_take(reader, row, &time, err);
}

bool csv_reader_end(struct csv_reader *reader, struct err *err)
{
    return (!reader->order || csv_order_end(reader->order, err)) &&
           batch_flush(&reader->batch, err);
}

/* --- start --- */

static bool clock_start(struct csv_reader *reader, struct err *err)
{
    const struct source *source = reader->source;

    if (source->clock == CLOCK_UTC)
        return true;
    if (source->clock == CLOCK_OFFSET) {
        reader->clock.zone = zone_fixed(reader->mem, source->offset_s);
        return true;
    }
    reader->order = csv_order_new(reader->mem, reader, row_place);
    reader->clock.zone = reader->world->zone;

    return !source->zone || zone_load(reader->mem, source->zone, &reader->clock.zone, err);
}

static bool formats_start(struct csv_reader *reader, struct err *err)
{
    const char *text = reader->source->time_format;

    if (!time_format_compile(TIME_FORMAT_CELL, &reader->cell_formats[0], err) ||
        !time_format_compile("YYYY-MM-DD hh:mm", &reader->cell_formats[1], err) ||
        (text && !time_format_compile(text, &reader->format, err)))
        return false;
    reader->has_date_format = text && time_format_date_part(&reader->format, &reader->date_format);
    if (!reader->has_date_format && text && !reader->format.is_serial && !reader->format.is_count &&
        !time_format_has_hour(&reader->format)) {
        reader->date_format = reader->format;
        reader->has_date_format = true;
    }

    return true;
}

/* Every value must have a station from somewhere. */
static bool check_stations(const struct source *source, struct err *err)
{
    bool all = source->station || source->station_header;

    for (size_t i = 0; !all && source->shape == SOURCE_WIDE && i < source->column_count; i++)
        if (!source->columns[i].station)
            return err_set(err, ERR_INVALID, "source %s: column '%.60s' has no station",
                           source->key, source->columns[i].header);

    return all || source->shape == SOURCE_WIDE ||
           err_set(err, ERR_INVALID, "source %s has no station", source->key);
}

bool csv_reader_start(struct csv_reader *reader, struct arena *mem, const struct source *source,
                      const struct ingest_world *world, const struct ingest_sink *sink,
                      struct ingest_counts *counts, struct err *err)
{
    *reader = (struct csv_reader){
        .source = source,
        .world = world,
        .mem = mem,
        .row_mem = arena_new(),
        .batch = batch_new(mem, sink, counts),
        .stations = word_map_new(mem, WORDS_MOST),
        .parameters = word_map_new(mem, WORDS_MOST),
        .labels = word_map_new(mem, SERIES_MOST),
        .latest = world->received_at + (int64_t)source->ahead_minutes * 60 * SECOND_US,
        .kind = "",
    };
    reader->units = csv_units_new(mem, reader->row_mem, source, world->units);
    reader->value_rules = csv_value_rules_new(source, reader->row_mem);
    for (size_t i = 0; i < ARRAY_LEN(kinds); i++)
        if (kinds[i].kind == source->kind)
            reader->kind = kinds[i].name;

    return check_stations(source, err) && formats_start(reader, err) && clock_start(reader, err);
}

void csv_reader_done(struct csv_reader *reader)
{
    if (reader->order)
        csv_order_done(reader->order);
    if (reader->batch.texts)
        batch_done(&reader->batch);
    arena_free(&reader->row_mem);
}
