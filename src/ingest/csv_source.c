#include "ingest/csv_source.h"

#include <string.h>

#include "base/charset.h"
#include "base/str.h"
#include "ingest/csv.h"
#include "ingest/csv_reader.h"

enum { READ_SIZE = 65536 };

/* A file on its way: bytes -> charset -> csv -> reader. */
struct pipe {
    const struct source *source;
    struct csv *csv;
    struct csv_reader reader;
    int header_line; /* a `sep=` line in front of it counted */
    char separator;  /* told by the source or by the file's first line; 0 neither */
    bool has_header;
    int rows_to_skip; /* after the header: units and the like */
    char buffer[READ_SIZE];
};

static bool text_add(void *context, const char *text, size_t count, struct err *err)
{
    const struct pipe *pipe = context;

    return csv_feed(pipe->csv, text, count, err);
}

static bool fault_add(void *context, const struct charset_fault *fault, struct err *err)
{
    const struct pipe *pipe = context;

    return csv_feed_bad_byte(pipe->csv, fault->byte, fault->offset, err);
}

/* "sep=;" as some spreadsheets write it before the header. */
static bool is_separator_line(const char *text, size_t length, char *separator)
{
    if (length == 6 && text[0] == '"' && text[5] == '"') {
        text++;
        length = 5;
    } else if (length > 5 && text[5] == text[4]) {
        length = 5; /* "sep=;;;": the file's own separators behind it */
    }
    if (length != 5 || strncmp(text, "sep=", 4) != 0)
        return false;
    *separator = text[4];

    return true;
}

static bool line_seen(void *context, int32_t number, const char *text, size_t length,
                      enum csv_line_use *use, struct err *err)
{
    struct pipe *pipe = context;
    char separator;

    if (number == 1 && is_separator_line(text, length, &separator)) {
        pipe->separator = separator;
        if (pipe->header_line == 1)
            pipe->header_line = 2;
        return true;
    }
    if (number < pipe->header_line)
        return true;
    if (number > pipe->header_line)
        return err_set(err, ERR_INVALID, "line %d: the header is longer than %d bytes",
                       pipe->header_line, CSV_ROW_MOST);
    *use = CSV_LINE_ROWS;
    if (!pipe->separator)
        pipe->separator = csv_header_separator(pipe->reader.mem, pipe->source, text, length);
    csv_set_separator(pipe->csv, pipe->separator);
    pipe->reader.batch.counts->separator = pipe->separator;

    return true;
}

/* Units by the source and the header; a unit row may still tell what is missing. */
static void units_settle(struct pipe *pipe, const struct csv_row *unit_row)
{
    struct csv_reader *reader = &pipe->reader;
    bool is_last = pipe->rows_to_skip == 0;

    for (size_t i = 0; i < reader->header.column_count; i++) {
        struct csv_value_column *column = &reader->header.columns[i];
        const char *shown = column->header_unit;

        if (column->parameter->kind == PARAMETER_STATE || column->unit)
            continue;
        if (!shown && unit_row && column->cell < unit_row->count)
            shown = csv_unit_of_cell(reader->mem, unit_row->cells[column->cell].text);
        if (shown || is_last)
            column->unit =
                csv_unit_settle(&reader->units, column->parameter, column->mapped->unit, shown);
    }
}

static bool row_seen(void *context, const struct csv_row *row, struct err *err)
{
    struct pipe *pipe = context;

    if (!pipe->has_header) {
        if (!csv_header_read(pipe->reader.mem, pipe->source, pipe->reader.world->parameters, row,
                             &pipe->reader.header, err))
            return false;
        pipe->has_header = true;
        pipe->rows_to_skip = pipe->source->skip_after_header;
        units_settle(pipe, NULL);
        return true;
    }
    if (pipe->rows_to_skip > 0) {
        pipe->rows_to_skip--;
        units_settle(pipe, row);
        return true;
    }

    return csv_reader_row(&pipe->reader, row, err);
}

static bool fail_no_header(const struct pipe *pipe, const struct charset *charset, struct err *err)
{
    if (charset_bytes(charset) == 0) {
        (void)err_set(err, ERR_INVALID, "the file is empty");
        return err_hint(err, "Copy it from the logger or ask the laboratory for it again.");
    }
    (void)err_set(err, ERR_INVALID, "line %d: the file ends before its header line",
                  pipe->header_line);

    return err_hint(err, "See that the source names the line the header is on.");
}

static bool pipe_run(struct pipe *pipe, struct charset *charset, const struct ingest_bytes *bytes,
                     struct err *err)
{
    for (;;) {
        size_t got = 0;

        if (!bytes->read(bytes->context, pipe->buffer, READ_SIZE, &got, err))
            return false;
        if (got == 0)
            break;
        if (!charset_feed(charset, pipe->buffer, got, err))
            return false;
    }
    if (!charset_end(charset, err) || !csv_end(pipe->csv, err))
        return false;
    if (!pipe->has_header)
        return fail_no_header(pipe, charset, err);

    return csv_reader_end(&pipe->reader, err);
}

bool csv_source_read(const struct source *source, const struct ingest_world *world,
                     const struct ingest_bytes *bytes, const struct ingest_sink *sink,
                     struct ingest_counts *counts, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct pipe *pipe = ARENA_NEW(mem, struct pipe);
    const struct csv_rules rules = {
        .separator = ',',
        .comment_starts = source->comment_starts,
        .comment_start_count = source->comment_start_count,
        .context = pipe,
        .line = line_seen,
        .row = row_seen,
    };
    const struct charset_sink text = {pipe, text_add, fault_add};
    struct charset *charset = charset_new(mem, source->charset, &text);
    struct ingest_counts counted;

    pipe->source = source;
    pipe->header_line = source->header_line > 0 ? source->header_line : 1;
    pipe->separator = source->separator;
    pipe->csv = csv_new(mem, &rules);

    bool done = csv_reader_start(&pipe->reader, mem, source, world, sink, &counted, err) &&
                pipe_run(pipe, charset, bytes, err);

    csv_reader_done(&pipe->reader);
    if (!done)
        return false;
    counted.charset = charset_found(charset);
    *counts = counted;

    return true;
}
