#include "ingest/workbook.h"

#include <stdio.h>
#include <string.h>

#include "base/buf.h"
#include "base/sheet.h"
#include "base/str.h"
#include "ingest/grid.h"
#include "ingest/place.h"
#include "ingest/workbook_cell.h"

enum { NAME_SHOWN = 60 };

/* The row in which the most columns of the source were found, of sheets without the header. */
struct best_row {
    const char *sheet; /* NULL: none yet */
    uint32_t row;
    size_t found;
    const char *above; /* of the row above it, bars between; NULL none */
    const char *text;  /* its cells, bars between */
};

/* A workbook on its way: cells -> rows -> grid. */
struct workbook {
    const struct source *source;
    const struct ingest_sink *sink;
    struct arena *mem;
    struct arena *row_mem; /* texts of the row at hand */
    struct grid grid;
    bool counts_from_1904;
    bool epoch_applied;

    struct ingest_sheet sheet; /* at hand; number -1: none yet */
    bool asked;                /* the source names it, or names none */
    bool *found;               /* by the source's sheets: it is there */
    int32_t taken;
    struct best_row best;
    struct csv_row above; /* of a header of two rows: the last row in front of it; line 0 none */

    uint32_t row; /* at hand; 0: none */
    bool row_hidden;
    struct csv_cell *cells; /* CSV_COLUMNS_MOST */
    size_t count;
    size_t bytes;
    enum csv_fault fault;
};

/* --- rows --- */

static void row_begin(struct workbook *book, uint32_t row, bool hidden)
{
    arena_reset(book->row_mem);
    book->row = row;
    book->row_hidden = hidden;
    book->count = 0;
    book->bytes = 0;
    book->fault = CSV_GOOD;
}

static void row_add(struct workbook *book, const struct sheet_cell *cell)
{
    const struct csv_cell read =
        workbook_cell_read(book->row_mem, cell, book->counts_from_1904, book->source->decimal);
    size_t length = read.length;

    if (length == 0 || book->fault != CSV_GOOD)
        return;
    book->bytes += length;
    if (cell->column > CSV_COLUMNS_MOST)
        book->fault = CSV_COLUMNS_MANY;
    else if (length > CSV_CELL_MOST)
        book->fault = CSV_CELL_LONG;
    else if (book->bytes > CSV_ROW_MOST)
        book->fault = CSV_ROW_LONG;
    if (book->fault != CSV_GOOD)
        return;
    while (book->count < cell->column)
        book->cells[book->count++] = (struct csv_cell){.text = ""};
    book->cells[cell->column - 1] = read;
}

static bool row_is_remark(const struct workbook *book)
{
    const struct source *source = book->source;
    size_t first = 0;

    while (first < book->count && !*book->cells[first].text)
        first++;
    for (size_t i = 0; first < book->count && i < source->comment_start_count; i++)
        if (str_starts(book->cells[first].text, source->comment_starts[i]))
            return true;

    return false;
}

/* The cells of the row at hand as one text, bars between. */
static const char *row_joined(const struct workbook *book)
{
    struct buf text = buf_new(book->row_mem);

    for (size_t i = 0; i < book->count; i++)
        buf_addf(&text, "%s%s", i > 0 ? "|" : "", book->cells[i].text);

    return text.data;
}

static struct csv_row row_of(const struct workbook *book)
{
    const char *text = row_joined(book);

    return (struct csv_row){
        .line = place_of(book->sheet.number, book->row),
        .cells = book->cells,
        .count = book->fault == CSV_GOOD ? book->count : 0,
        .fault = book->fault,
        .fault_line = (int32_t)book->row,
        .begin = text,
        .length = strlen(text),
    };
}

/* The names right above the row at hand, of a header of two rows. */
static struct header_names names_above(const struct workbook *book)
{
    bool is_above = book->source->header_rows == 2 && book->above.line > 0 &&
                    place_row(book->above.line) + 1 == (int32_t)book->row;

    return is_above ? header_names_of(book->row_mem, &book->above) : (struct header_names){0};
}

/* The row may be the upper one of a header of two. */
static void above_keep(struct workbook *book, const struct csv_row *row)
{
    struct header_names names;

    if (book->source->header_rows != 2 || row->fault != CSV_GOOD)
        return;
    names = header_names_of(book->mem, row);
    book->above = header_row_of(book->mem, row, &names);
    book->above.begin = arena_strdup(book->mem, row->begin);
}

/* Whether the row is to be the header; those before it are passed over. */
static bool row_is_header(struct workbook *book, const struct csv_row *row)
{
    int line = book->source->header_line;
    const struct header_names above = names_above(book);
    struct csv_header_look look;

    grid_set_upper(&book->grid, &above);
    if (line > 0)
        return book->row >= (uint32_t)line;
    if (book->row > HEADER_LINES_MOST || row->fault != CSV_GOOD)
        return false;
    look = csv_header_look_row(book->row_mem, book->source, &above, row);
    if (!look.complete && (!book->best.sheet || look.found > book->best.found))
        book->best = (struct best_row){arena_strdup(book->mem, book->sheet.name), book->row,
                                       look.found, above.count > 0 ? book->above.begin : NULL,
                                       arena_strdup(book->mem, row->begin)};

    return look.complete;
}

/* Hand the row at hand on. */
static bool row_end(struct workbook *book, struct err *err)
{
    struct grid *grid = &book->grid;
    struct ingest_counts *counts = grid->reader.batch.counts;
    bool hidden = book->row_hidden || book->sheet.hidden;

    if (book->row == 0 || !book->asked || (book->count == 0 && book->fault == CSV_GOOD) ||
        row_is_remark(book))
        return true;

    const struct csv_row row = row_of(book);

    if (!grid->has_header && !row_is_header(book, &row)) {
        above_keep(book, &row);
        return true;
    }
    if (grid->has_header && hidden && book->source->leaves_hidden) {
        book->sheet.hidden_rows++;
        return true;
    }

    int64_t before = counts->rows;

    if (!grid_row(grid, &row, err))
        return err_wrap(err, "sheet %.60s", book->sheet.name);
    book->sheet.rows += counts->rows - before;
    book->sheet.hidden_rows += hidden ? counts->rows - before : 0;

    return true;
}

/* --- sheets --- */

static bool is_asked(struct workbook *book, const struct sheet_info *sheet)
{
    const struct source *source = book->source;
    bool named = source->sheet_count == 0;

    for (size_t i = 0; i < source->sheet_count; i++)
        if (str_equal_nocase(source->sheets[i], sheet->name))
            named = book->found[i] = true;

    return named && !(sheet->hidden && source->leaves_hidden);
}

/* A sheet that the source names has to have the header. */
static bool fail_no_header(const struct workbook *book, struct err *err)
{
    const struct csv_reader *reader = &book->grid.reader;
    const struct best_row *best = &book->best;

    if (!best->sheet)
        return err_set(err, ERR_INVALID, "sheet %.60s: it ends before its header",
                       book->sheet.name);
    (void)csv_header_refuse(reader->mem, book->source, reader->world->parameters,
                            (int32_t)best->row, best->above, best->text, '|', err);

    return err_wrap(err, "sheet %.60s", best->sheet);
}

static bool sheet_end(struct workbook *book, struct err *err)
{
    if (book->sheet.number < 0)
        return true;
    if (!row_end(book, err))
        return false;
    book->row = 0;
    book->sheet.taken = book->asked && book->grid.has_header;
    book->taken += book->sheet.taken;
    if (!book->sheet.taken && book->asked && book->source->sheet_count > 0)
        return fail_no_header(book, err);
    if (book->sink->sheet && !book->sink->sheet(book->sink->context, &book->sheet, err))
        return false;

    return grid_next(&book->grid, err);
}

static bool sheet_seen(void *context, const struct sheet_info *sheet, struct err *err)
{
    struct workbook *book = context;

    if (!sheet_end(book, err))
        return false;
    book->sheet = (struct ingest_sheet){.number = (int32_t)sheet->index,
                                        .name = arena_strdup(book->mem, sheet->name),
                                        .hidden = sheet->hidden};
    book->asked = is_asked(book, sheet);
    book->above = (struct csv_row){0};

    return true;
}

/* A date number without a date's look goes by the workbook's own count. */
static void epoch_apply(struct workbook *book)
{
    struct time_format *format = &book->grid.reader.format;

    if (!book->epoch_applied && format->is_serial)
        format->parts[0].kind = book->counts_from_1904 ? TIME_SERIAL_1904 : TIME_SERIAL_1900;
    book->epoch_applied = true;
}

static bool cell_seen(void *context, const struct sheet_cell *cell, struct err *err)
{
    struct workbook *book = context;

    epoch_apply(book);
    if (!book->asked)
        return true;
    if (cell->row != book->row) {
        if (!row_end(book, err))
            return false;
        row_begin(book, cell->row, cell->row_hidden);
    }
    row_add(book, cell);

    return true;
}

/* --- the whole --- */

static bool check_sheets(const struct workbook *book, struct err *err)
{
    const struct source *source = book->source;

    for (size_t i = 0; i < source->sheet_count; i++)
        if (!book->found[i]) {
            (void)err_set(err, ERR_INVALID, "the workbook has no sheet '%s'",
                          str_show(book->mem, source->sheets[i], NAME_SHOWN));
            return err_hint(err, "See how the sheet is named there, and name it so in the source.");
        }

    return book->taken > 0 || source->sheet_count > 0 || fail_no_header(book, err);
}

static bool workbook_run(struct workbook *book, const struct ingest_bytes *bytes, struct err *err)
{
    static const struct sheet_events events = {sheet_seen, cell_seen};
    CLEANUP(workbook_spool_close) FILE *spool = NULL;

    return workbook_spool(book->mem, bytes, &spool, err) &&
           sheet_read_file(spool, &events, book, &book->counts_from_1904, err) &&
           sheet_end(book, err) && check_sheets(book, err) && grid_end(&book->grid, err);
}

bool workbook_read(const struct source *source, const struct ingest_world *world,
                   const struct ingest_bytes *bytes, const struct ingest_sink *sink,
                   struct ingest_counts *counts, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(arena_free) struct arena *row_mem = arena_new();
    struct ingest_counts counted;
    struct workbook book = {.source = source,
                            .sink = sink,
                            .mem = mem,
                            .row_mem = row_mem,
                            .sheet = {.number = -1},
                            .found = ARENA_ARRAY(mem, bool, source->sheet_count),
                            .cells = ARENA_ARRAY(mem, struct csv_cell, CSV_COLUMNS_MOST)};
    bool done = grid_start(&book.grid, mem, source, world, sink, &counted, err) &&
                workbook_run(&book, bytes, err);

    grid_done(&book.grid);
    if (done)
        *counts = counted;

    return done;
}
