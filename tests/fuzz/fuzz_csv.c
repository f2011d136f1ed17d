/*
 * CSV: the first two bytes choose a source and how many bytes come at a time, the rest is a file.
 *
 * Read by the source it goes through fuzz_read(). Taken apart into rows alone, and put together
 * again with every cell in quotes, it gives the same rows.
 */
#include <string.h>

#include "base/buf.h"
#include "fuzz.h"
#include "ingest/csv.h"

/* Rows on their way: written anew, and all that they say in one text to compare. */
struct rows {
    struct buf again;
    struct buf said;
    int32_t lines; /* of the file */
    int32_t line;  /* of the row before */
};

static void cell_write(struct buf *out, const struct csv_cell *cell)
{
    buf_add_char(out, '"');
    for (uint32_t i = 0; i < cell->length; i++) {
        if (cell->text[i] == '"')
            buf_add_char(out, '"');
        buf_add_char(out, cell->text[i]);
    }
    buf_add_char(out, '"');
}

static bool row_seen(void *context, const struct csv_row *row, struct err *err)
{
    struct rows *rows = context;

    (void)err;
    HOLDS(row->line > rows->line && row->line <= rows->lines);
    rows->line = row->line;
    HOLDS((row->fault == CSV_GOOD) == (row->count > 0));
    if (row->fault != CSV_GOOD) {
        HOLDS(row->fault_line >= row->line && row->fault_line <= rows->lines);
        HOLDS(row->fault_place >= 1);
        HOLDS(*csv_fault_words(row->fault));
        return true;
    }
    HOLDS(row->count <= CSV_COLUMNS_MOST && row->length <= CSV_ROW_MOST);
    for (size_t i = 0; i < row->count; i++) {
        const struct csv_cell *cell = &row->cells[i];

        HOLDS(cell->length <= CSV_CELL_MOST && strlen(cell->text) == cell->length);
        HOLDS(cell->line >= row->line && cell->line <= rows->lines && cell->place >= 1);
        buf_addf(&rows->said, "[%s]", cell->text);
        if (i > 0)
            buf_add_char(&rows->again, ',');
        cell_write(&rows->again, cell);
    }
    buf_add_text(&rows->said, "\n");
    buf_add_text(&rows->again, "\n");

    return true;
}

/* NULs are no text: charset, which stands before this reader, hands them on as bad bytes. */
static struct rows rows_read(struct arena *mem, char separator, const char *text, size_t size,
                             size_t piece)
{
    struct rows rows = {.again = buf_new(mem), .said = buf_new(mem)};
    const struct csv_rules rules = {.separator = separator, .context = &rows, .row = row_seen};
    struct csv *csv = csv_new(mem, &rules);
    struct err err = ERR_INIT;

    rows.lines = fuzz_lines((const uint8_t *)text, size);
    for (size_t at = 0; at < size;) {
        size_t part = size - at < piece ? size - at : piece;
        const char *nul = memchr(text + at, '\0', part);

        if (nul == text + at) {
            HOLDS(csv_feed_bad_byte(csv, 0, (int64_t)at, &err));
            at++;
            continue;
        }
        part = nul ? (size_t)(nul - text) - at : part;
        HOLDS(csv_feed(csv, text + at, part, &err));
        at += part;
    }
    HOLDS(csv_end(csv, &err));

    return rows;
}

static void rows_check(const char *text, size_t size, size_t piece)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct rows whole = rows_read(mem, ',', text, size, SIZE_MAX);
    struct rows pieces = rows_read(mem, ',', text, size, piece);
    struct rows again = rows_read(mem, ',', whole.again.data, whole.again.len, piece);

    HOLDS(strcmp(whole.said.data, pieces.said.data) == 0);
    HOLDS(strcmp(whole.said.data, again.said.data) == 0);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size < 2)
        return 0;

    const struct source *source = fuzz_source(data[0], SOURCE_CSV);
    size_t piece = fuzz_piece(data[1]);

    data += 2;
    size -= 2;

    const struct fuzz_extent extent = {.lines = fuzz_lines(data, size), .columns = 1000};

    fuzz_read(source, data, size, piece, &extent);
    rows_check((const char *)data, size, piece);

    return 0;
}
