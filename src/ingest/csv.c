#include "ingest/csv.h"

#include <assert.h>
#include <string.h>

#include "ingest/csv_scan.h"

enum {
    PIECE_MOST = 65536,
    WINDOW_SIZE = CSV_ROW_MOST + 2 * PIECE_MOST,
};

/* A byte that is no text, in the window. One a line is kept. */
struct bad_byte {
    size_t at;
    int64_t offset;
    unsigned char byte;
};

struct bad_bytes {
    struct bad_byte *items;
    size_t count;
    size_t capacity;
};

struct csv {
    struct csv_rules rules;
    struct arena *mem;
    bool before_rows;  /* lines still go to rules.line */
    bool skipping;     /* to the end of a line that was too long */
    bool line_has_bad; /* since the last line end that was fed */
    int32_t line;      /* of window[0] */
    size_t count;      /* bytes in the window */
    struct bad_bytes bad;
    size_t bad_next; /* first of them that no row has passed */
    struct csv_cells cells;
    char window[WINDOW_SIZE + 1]; /* begins with a row or line not yet handed out */
};

static const char *const fault_words[] = {
    [CSV_GOOD] = "nothing is wrong",
    [CSV_QUOTE_OPEN] = "a quote is opened and never closed",
    [CSV_QUOTE_STRAY] = "something stands between a closing quote and the next separator",
    [CSV_CELL_LONG] = "a cell is longer than 65536 bytes",
    [CSV_COLUMNS_MANY] = "the row has more than 1000 cells",
    [CSV_ROW_LONG] = "the row is longer than 1048576 bytes",
};

const char *csv_fault_words(enum csv_fault fault)
{
    return fault_words[fault];
}

struct csv *csv_new(struct arena *mem, const struct csv_rules *rules)
{
    struct csv *csv = ARENA_NEW(mem, struct csv);

    csv->rules = *rules;
    csv->mem = mem;
    csv->cells.mem = mem;
    csv->cells.side_bytes = WINDOW_SIZE + 1;
    csv->before_rows = rules->line != NULL;
    csv->line = 1;
    csv_set_separator(csv, rules->separator);

    return csv;
}

void csv_set_separator(struct csv *csv, char separator)
{
    csv_cells_set_separator(&csv->cells, separator);
}

/* --- handing out --- */

/* Forget the bad bytes before `at`; the first one between `from` and `at`, or NULL. */
static const struct bad_byte *bad_pass(struct csv *csv, const char *from, const char *at)
{
    size_t low = (size_t)(from - csv->window);
    size_t high = (size_t)(at - csv->window);
    const struct bad_byte *first = NULL;

    for (; csv->bad_next < csv->bad.count && csv->bad.items[csv->bad_next].at < high;
         csv->bad_next++)
        if (!first && csv->bad.items[csv->bad_next].at >= low)
            first = &csv->bad.items[csv->bad_next];

    return first;
}

static void row_set_bad(const struct csv *csv, struct csv_row *row, const struct bad_byte *bad)
{
    row->has_bad_byte = true;
    row->bad_byte = bad->byte;
    row->bad_offset = bad->offset;
    while (row->bad_cell + 1 < row->count &&
           csv->cells.begins[row->bad_cell + 1] <= csv->window + bad->at)
        row->bad_cell++;
}

static bool row_is_blank(const struct csv_row *row)
{
    const struct csv_cell *only = row->cells;

    return row->count == 1 && !only->quoted && strspn(only->text, " \t") == only->length;
}

static bool row_hand_out(struct csv *csv, char *begin, const struct scan *scan, struct err *err)
{
    struct csv_row row = {
        .line = csv->line,
        .cells = csv->cells.items,
        .count = scan->cells,
        .begin = begin,
        .length = (size_t)(scan->at - begin),
        .of_text = true,
        .at_end = scan->at == begin || (scan->at[-1] != '\n' && scan->at[-1] != '\r'),
    };
    const struct bad_byte *bad = bad_pass(csv, begin, scan->at);

    if (bad)
        row_set_bad(csv, &row, bad);
    for (size_t i = 0; i < scan->cells; i++) {
        struct csv_cell *cell = &csv->cells.items[i];

        if (!cell->end)
            continue;
        cell->ended_by = *cell->end;
        *cell->end = '\0';
    }

    return row_is_blank(&row) || csv->rules.row(csv->rules.context, &row, err);
}

/* Hand out the line of a fault, `length` bytes of it. */
static bool fault_hand_out(struct csv *csv, const char *begin, size_t length,
                           const struct scan *scan, struct err *err)
{
    struct csv_row row = {
        .line = csv->line,
        .fault = scan->fault,
        .fault_line = scan->fault_line,
        .fault_place = scan->fault_place,
        .begin = begin,
        .length = length,
    };
    const struct bad_byte *bad = bad_pass(csv, begin, begin + length);

    if (bad)
        row_set_bad(csv, &row, bad);

    return csv->rules.row(csv->rules.context, &row, err);
}

/* --- lines --- */

/* Whether the line is a comment; *more when too little of it is there to say. */
static bool line_is_comment(const struct csv *csv, const struct scan *scan, bool *more)
{
    const char *at = scan->at;
    size_t left = (size_t)(scan->end - at);

    /* A spreadsheet puts its quotes around a remark, too. */
    if (left > 0 && *at == '"') {
        at++;
        left--;
    }
    for (size_t i = 0; i < csv->rules.comment_start_count; i++) {
        const char *start = csv->rules.comment_starts[i];
        size_t length = strlen(start);

        if (left >= length && length > 0 && memcmp(at, start, length) == 0)
            return true;
        if (left < length && !scan->last && memcmp(at, start, left) == 0)
            *more = true;
    }

    return false;
}

enum step { STEP_ON, STEP_MORE, STEP_STOP };

/* A line before the first row. */
static enum step step_line(struct csv *csv, struct scan *scan, struct err *err)
{
    char *begin = scan->at;
    size_t length = 0;
    enum csv_line_use use = CSV_LINE_SKIP;

    if (csv_scan_line(scan, &length) == SCAN_MORE)
        return STEP_MORE;
    if (!csv->rules.line(csv->rules.context, csv->line, begin, length, &use, err))
        return STEP_STOP;
    if (use == CSV_LINE_ROWS) {
        csv->before_rows = false;
        scan->at = begin;
        scan->line = csv->line;
    } else {
        (void)bad_pass(csv, begin, scan->at);
    }

    return STEP_ON;
}

/* To the end of the line at scan->at, or of what is there of it; `skipping` says which. */
static enum step step_skip(struct csv *csv, struct scan *scan)
{
    char *begin = scan->at;
    size_t length = 0;

    csv->skipping = csv_scan_line(scan, &length) == SCAN_MORE;
    if (csv->skipping)
        scan->at = scan->end[-1] == '\r' ? scan->end - 1 : scan->end;
    (void)bad_pass(csv, begin, scan->at);

    return csv->skipping ? STEP_MORE : STEP_ON;
}

/* A row that can't be read: hand out its first line, go on after it. */
static enum step step_fault(struct csv *csv, char *begin, struct scan *scan, struct err *err)
{
    char *stop = csv_line_end_find(begin, scan->end);

    if (!fault_hand_out(csv, begin, (size_t)((stop ? stop : scan->end) - begin), scan, err))
        return STEP_STOP;
    scan->at = begin;
    scan->line = csv->line;

    return step_skip(csv, scan);
}

/* What is at `begin` is no whole row or line yet, and over the limit: give up its line. */
static enum step step_too_long(struct csv *csv, char *begin, struct scan *scan, struct err *err)
{
    bool more = false;

    scan->at = begin;
    scan->line = csv->line;
    if (csv->before_rows || line_is_comment(csv, scan, &more))
        return step_skip(csv, scan);
    (void)csv_scan_fault(scan, CSV_ROW_LONG, csv->line, begin, begin);

    return step_fault(csv, begin, scan, err);
}

static enum step step_row(struct csv *csv, struct scan *scan, struct err *err)
{
    char *begin = scan->at;
    bool more = false;

    if (csv->rules.comment_start_count > 0) {
        size_t length = 0;

        if (line_is_comment(csv, scan, &more)) {
            if (csv_scan_line(scan, &length) == SCAN_MORE)
                return STEP_MORE;
            (void)bad_pass(csv, begin, scan->at);
            return STEP_ON;
        }
        if (more)
            return STEP_MORE;
    }
    switch (csv_scan_row(&csv->cells, scan)) {
    case SCANNED:
        if (scan->at - begin > CSV_ROW_MOST)
            return step_too_long(csv, begin, scan, err);
        return row_hand_out(csv, begin, scan, err) ? STEP_ON : STEP_STOP;
    case SCAN_FAULT:
        return step_fault(csv, begin, scan, err);
    case SCAN_MORE:
        break;
    }

    return STEP_MORE;
}

static enum step step(struct csv *csv, struct scan *scan, struct err *err)
{
    char *begin = scan->at;
    enum step done;

    if (csv->skipping)
        return step_skip(csv, scan);
    done = csv->before_rows ? step_line(csv, scan, err) : step_row(csv, scan, err);
    if (csv->skipping || done != STEP_MORE)
        return done;
    if (scan->end - begin > CSV_ROW_MOST)
        return step_too_long(csv, begin, scan, err);
    scan->at = begin;

    return STEP_MORE;
}

/* Drop what lies before `at`. */
static void window_shift(struct csv *csv, const char *at)
{
    size_t gone = (size_t)(at - csv->window);
    size_t kept = 0;

    csv->count -= gone;
    memmove(csv->window, at, csv->count);
    for (size_t i = csv->bad_next; i < csv->bad.count; i++) {
        csv->bad.items[kept] = csv->bad.items[i];
        csv->bad.items[kept++].at -= gone;
    }
    csv->bad.count = kept;
    csv->bad_next = 0;
}

/* Hand out every row that is whole. */
static bool window_read(struct csv *csv, bool last, struct err *err)
{
    char *at = csv->window;
    char *end = csv->window + csv->count;
    enum step done = STEP_ON;

    while (done == STEP_ON && at < end) {
        struct scan scan = {
            .at = at, .end = end, .last = last, .line_start = at, .line = csv->line};

        done = step(csv, &scan, err);
        if (done == STEP_STOP)
            return false;
        at = scan.at;
        if (done == STEP_ON)
            csv->line = scan.line;
    }
    window_shift(csv, at);

    return true;
}

static bool window_add(struct csv *csv, const char *text, size_t count, struct err *err)
{
    bool has_line_end = memchr(text, '\n', count) || memchr(text, '\r', count);

    assert(csv->count + count <= WINDOW_SIZE);
    memcpy(csv->window + csv->count, text, count);
    csv->count += count;
    if (has_line_end)
        csv->line_has_bad = false;

    return (!has_line_end && csv->count <= CSV_ROW_MOST) || window_read(csv, false, err);
}

bool csv_feed(struct csv *csv, const char *text, size_t count, struct err *err)
{
    while (count > 0) {
        size_t part = count < PIECE_MOST ? count : PIECE_MOST;

        if (!window_add(csv, text, part, err))
            return false;
        text += part;
        count -= part;
    }

    return true;
}

bool csv_feed_bad_byte(struct csv *csv, unsigned char byte, int64_t offset, struct err *err)
{
    static const char digits[] = "0123456789ABCDEF";
    const char shown[] = {'\\', 'x', digits[byte >> 4], digits[byte & 15]};

    if (!csv->line_has_bad) {
        const struct bad_byte bad = {.at = csv->count, .offset = offset, .byte = byte};

        LIST_ADD(csv->mem, &csv->bad, bad);
    }
    csv->line_has_bad = true;

    return window_add(csv, shown, sizeof(shown), err);
}

bool csv_end(struct csv *csv, struct err *err)
{
    return window_read(csv, true, err);
}

char *csv_row_text(struct arena *mem, const struct csv_row *row, size_t most)
{
    size_t length = row->length < most ? row->length : most;

    while (length > 0 && length < row->length && (row->begin[length] & 0xc0) == 0x80)
        length--;

    char *text = arena_alloc(mem, length + 1);

    memcpy(text, row->begin, length);
    for (size_t i = 0; i < row->count; i++) {
        const struct csv_cell *cell = &row->cells[i];

        if (cell->end && (size_t)(cell->end - row->begin) < length)
            text[cell->end - row->begin] = cell->ended_by;
    }
    while (length > 0 && (text[length - 1] == '\n' || text[length - 1] == '\r'))
        text[--length] = '\0';

    return text;
}
