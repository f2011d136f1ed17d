#include "ingest/csv_source.h"

#include <string.h>

#include "base/charset.h"
#include "base/str.h"
#include "ingest/csv.h"
#include "ingest/grid.h"

enum { READ_SIZE = 65536 };

/* The line in which the most columns of the source were found, while the header is looked for. */
struct best_line {
    int32_t number;    /* 0: none yet */
    const char *above; /* the line before it, of a header of two rows; NULL none */
    const char *text;
    size_t found;
    char separator;
};

/* A line that names the times and lacks another column; rows of data may lie below it. */
struct other_header {
    struct best_line line;
    size_t time_cell;
    bool has_data;
};

/* A file on its way: bytes -> charset -> csv -> grid. */
struct pipe {
    const struct source *source;
    struct csv *csv;
    struct grid grid;
    int header_line;   /* a `sep=` line in front of it counted; 0: looked for */
    char separator;    /* told by the source or by the file's first line; 0 neither */
    const char *above; /* the line before, of a header of two rows; NULL none */
    struct best_line best;
    struct other_header other; /* the first; number 0: none */
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

/* This line is the header, with these cells. */
static void header_begins(struct pipe *pipe, char separator, enum csv_line_use *use)
{
    const struct header_names above =
        csv_header_split(pipe->grid.reader.row_mem, pipe->above, separator);

    *use = CSV_LINE_ROWS;
    grid_set_upper(&pipe->grid, &above);
    pipe->separator = separator;
    csv_set_separator(pipe->csv, separator);
    pipe->grid.reader.batch.counts->separator = separator;
}

/* No line has all columns: what the most likely one lacks. */
static bool fail_not_found(const struct pipe *pipe, struct err *err)
{
    const struct csv_reader *reader = &pipe->grid.reader;
    const struct best_line *best = &pipe->best;

    return csv_header_refuse(reader->mem, pipe->source, reader->world->parameters, best->number,
                             best->above, best->text, best->separator, err);
}

/* The line may be the upper row of a header of two. */
static void above_keep(struct pipe *pipe, const char *text, size_t length)
{
    if (pipe->source->header_rows == 2)
        pipe->above =
            length <= CSV_CELL_MOST ? arena_strndup(pipe->grid.reader.mem, text, length) : NULL;
}

/* What a line in front of the header is to the one that is looked for: another one, or data of it.
 */
static void other_note(struct pipe *pipe, const struct best_line *line)
{
    struct csv_reader *reader = &pipe->grid.reader;
    struct other_header *other = &pipe->other;
    bool is_first = other->line.number == 0;
    const struct header_names names = csv_header_split(
        reader->row_mem, line->text, is_first ? line->separator : other->line.separator);
    struct time_reading reading;

    for (size_t i = 0; is_first && i < names.count && other->line.number == 0; i++)
        if (str_equal_nocase(names.items[i], pipe->source->time_headers[0]))
            *other = (struct other_header){.line = *line, .time_cell = i};
    if (is_first || other->time_cell >= names.count)
        return;
    other->has_data |=
        time_format_read(&reader->format, names.items[other->time_cell], &reading) == TIME_READ ||
        (reader->has_date_format &&
         time_format_read(&reader->date_format, names.items[other->time_cell], &reading) ==
             TIME_READ);
}

/* A line that may be the header: it is, where it has all columns. */
static bool line_look(struct pipe *pipe, int32_t number, const char *text, size_t length,
                      enum csv_line_use *use, struct err *err)
{
    struct csv_reader *reader = &pipe->grid.reader;
    struct best_line *best = &pipe->best;

    arena_reset(reader->row_mem);

    struct csv_header_look look =
        csv_header_look(reader->row_mem, pipe->source, pipe->above, text, length, pipe->separator);

    if (look.complete && pipe->other.has_data)
        return csv_header_refuse(reader->mem, pipe->source, reader->world->parameters,
                                 pipe->other.line.number, pipe->other.line.above,
                                 pipe->other.line.text, pipe->other.line.separator, err);
    if (look.complete) {
        header_begins(pipe, look.separator, use);
        return true;
    }

    const struct best_line line = {number, pipe->above, arena_strndup(reader->mem, text, length),
                                   look.found, look.separator};

    if (length > 0 && (best->number == 0 || look.found > best->found))
        *best = line;
    other_note(pipe, &line);
    above_keep(pipe, text, length);

    return number < HEADER_LINES_MOST || fail_not_found(pipe, err);
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
    if (pipe->header_line == 0)
        return line_look(pipe, number, text, length, use, err);
    if (number < pipe->header_line) {
        if (number + 1 == pipe->header_line)
            above_keep(pipe, text, length);
        return true;
    }
    if (number > pipe->header_line)
        return err_set(err, ERR_INVALID, "line %d: the header is longer than %d bytes",
                       pipe->header_line, CSV_ROW_MOST);
    header_begins(pipe,
                  csv_header_look(pipe->grid.reader.row_mem, pipe->source, pipe->above, text,
                                  length, pipe->separator)
                      .separator,
                  use);

    return true;
}

static bool row_seen(void *context, const struct csv_row *row, struct err *err)
{
    struct pipe *pipe = context;

    return grid_row(&pipe->grid, row, err);
}

static bool fail_no_header(const struct pipe *pipe, const struct charset *charset, struct err *err)
{
    if (charset_bytes(charset) == 0) {
        (void)err_set(err, ERR_INVALID, "the file is empty");
        return err_hint(err, "Copy it from the logger or ask the laboratory for it again.");
    }
    if (pipe->best.number > 0)
        return fail_not_found(pipe, err);
    (void)err_set(err, ERR_INVALID, "line %d: the file ends before its header line",
                  pipe->header_line > 0 ? pipe->header_line : 1);

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
    if (!pipe->grid.has_header)
        return fail_no_header(pipe, charset, err);

    return grid_end(&pipe->grid, err);
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
    pipe->header_line = source->header_line;
    pipe->separator = source->separator;
    pipe->csv = csv_new(mem, &rules);

    bool done = grid_start(&pipe->grid, mem, source, world, sink, &counted, err) &&
                pipe_run(pipe, charset, bytes, err);

    grid_done(&pipe->grid);
    if (!done)
        return false;
    counted.charset = charset_found(charset);
    *counts = counted;

    return true;
}
