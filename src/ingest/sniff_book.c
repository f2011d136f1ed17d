#include "ingest/sniff_book.h"

#include "base/str.h"
#include "ingest/csv.h"
#include "ingest/workbook_cell.h"

struct book {
    struct arena *mem;
    struct arena *row_mem;
    bool counts_from_1904;
    struct sniff_sheets sheets;
    struct sniff_sample sample; /* of the sheet at hand; `mem` NULL: none */
    uint32_t row;               /* at hand; 0: none */
    struct sniff_cell *cells;   /* CSV_COLUMNS_MOST */
    size_t count;
};

static void row_end(struct book *book)
{
    if (book->row > 0 && book->count > 0)
        sniff_sample_add(&book->sample, (int32_t)book->row, book->cells, book->count);
    book->row = 0;
    book->count = 0;
}

static void sheet_end(struct book *book)
{
    if (!book->sample.mem)
        return;
    row_end(book);

    struct sniff_sheet *sheet = &book->sheets.items[book->sheets.count - 1];

    sheet->rows = sniff_sample_rows(&book->sample);
    sheet->seen = book->sample.seen;
    sniff_sample_done(&book->sample);
    book->sample.mem = NULL;
}

static bool sheet_seen(void *context, const struct sheet_info *info, struct err *err)
{
    struct book *book = context;
    const struct sniff_sheet sheet = {.name = arena_strdup(book->mem, info->name),
                                      .hidden = info->hidden,
                                      .looked_at = book->sheets.count < SNIFF_SHEETS_MOST};

    (void)err;
    sheet_end(book);
    LIST_ADD(book->mem, &book->sheets, sheet);
    if (sheet.looked_at)
        book->sample = sniff_sample_new(book->mem);

    return true;
}

static bool cell_seen(void *context, const struct sheet_cell *cell, struct err *err)
{
    struct book *book = context;
    struct sniff_cell *into;

    (void)err;
    if (!book->sample.mem || cell->column > CSV_COLUMNS_MOST)
        return true;
    if (cell->row != book->row) {
        row_end(book);
        arena_reset(book->row_mem);
        book->row = cell->row;
    }
    while (book->count < cell->column)
        book->cells[book->count++] = (struct sniff_cell){.text = ""};
    into = &book->cells[cell->column - 1];

    const struct csv_cell read =
        workbook_cell_read(book->row_mem, cell, book->counts_from_1904, '.');

    *into = (struct sniff_cell){read.text, read.is_date};

    return true;
}

bool sniff_book_rows(struct arena *mem, const struct ingest_bytes *bytes, struct sniff_sheets *out,
                     struct err *err)
{
    static const struct sheet_events events = {sheet_seen, cell_seen};
    CLEANUP(arena_free) struct arena *row_mem = arena_new();
    CLEANUP(workbook_spool_close) FILE *spool = NULL;
    struct book book = {.mem = mem,
                        .row_mem = row_mem,
                        .cells = ARENA_ARRAY(mem, struct sniff_cell, CSV_COLUMNS_MOST)};
    bool done = workbook_spool(mem, bytes, &spool, err) &&
                sheet_read_file(spool, &events, &book, &book.counts_from_1904, err);

    sheet_end(&book);
    if (done)
        *out = book.sheets;

    return done;
}
