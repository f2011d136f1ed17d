#include "ingest/csv_scan.h"

#include <string.h>

void csv_cells_set_separator(struct csv_cells *cells, char separator)
{
    cells->separator = separator;
    memset(cells->stops, 0, sizeof(cells->stops));
    cells->stops[(unsigned char)separator] = true;
    cells->stops['\r'] = true;
    cells->stops['\n'] = true;
}

static bool is_blank(const struct csv_cells *cells, char c)
{
    return c == ' ' || (c == '\t' && cells->separator != '\t');
}

enum scanned csv_scan_fault(struct scan *scan, enum csv_fault fault, int32_t line, const char *at,
                            const char *line_start)
{
    scan->fault = fault;
    scan->fault_line = line;
    scan->fault_place = (int32_t)(at - line_start) + 1;

    return SCAN_FAULT;
}

/* Step over the line end at `at`. SCAN_MORE when a CR may be half of one. */
static enum scanned scan_line_end(struct scan *scan)
{
    size_t length = 1;

    if (*scan->at == '\r') {
        if (scan->at + 1 == scan->end && !scan->last)
            return SCAN_MORE;
        if (scan->at + 1 < scan->end && scan->at[1] == '\n')
            length = 2;
    }
    scan->at += length;
    scan->line++;
    scan->line_start = scan->at;

    return SCANNED;
}

/* Copy a quoted cell without its doubled quotes; they are known to be there. */
static void cell_undouble(struct csv_cells *cells, struct scan *scan, struct csv_cell *cell)
{
    if (!cells->side)
        cells->side = arena_alloc(cells->mem, cells->side_bytes);

    char *to = cells->side + scan->side_count;
    const char *from = cell->text;
    const char *end = from + cell->length;
    uint32_t length = 0;

    while (from < end) {
        to[length++] = *from;
        from += *from == '"' ? 2 : 1;
    }
    to[length] = '\0';
    cell->text = to;
    cell->length = length;
    cell->end = NULL;
    scan->side_count += length + 1;
}

/* Run to the quote that closes the cell whose text begins at scan->at. */
static enum scanned scan_to_closing_quote(struct scan *scan, bool *doubled)
{
    const char *text = scan->at;
    const int32_t line = scan->line;
    const char *line_start = scan->line_start;
    enum csv_fault too_long;

    for (; scan->at < scan->end;) {
        char c = *scan->at;

        if (c == '"') {
            if (scan->at + 1 == scan->end && !scan->last)
                return SCAN_MORE;
            if (scan->at + 1 == scan->end || scan->at[1] != '"')
                return SCANNED;
            *doubled = true;
            scan->at += 2;
        } else if (c == '\r' || c == '\n') {
            if (scan_line_end(scan) == SCAN_MORE)
                return SCAN_MORE;
        } else {
            scan->at++;
        }
        too_long = scan->line == line ? CSV_CELL_LONG : CSV_QUOTE_OPEN;
        if (scan->at - text > CSV_CELL_MOST || scan->line - line > CSV_QUOTED_LINES_MOST)
            return csv_scan_fault(scan, too_long, line, text - 1, line_start);
    }

    return scan->last ? csv_scan_fault(scan, CSV_QUOTE_OPEN, line, text - 1, line_start)
                      : SCAN_MORE;
}

/* A cell in quotes; scan->at is at the opening one. */
static enum scanned scan_quoted(struct csv_cells *cells, struct scan *scan, struct csv_cell *cell)
{
    bool doubled = false;

    scan->at++;
    cell->text = scan->at;
    cell->quoted = true;

    enum scanned closed = scan_to_closing_quote(scan, &doubled);

    if (closed != SCANNED)
        return closed;
    cell->end = scan->at;
    cell->length = (uint32_t)(scan->at - cell->text);
    if (doubled)
        cell_undouble(cells, scan, cell);
    scan->at++;
    while (scan->at < scan->end && is_blank(cells, *scan->at))
        scan->at++;
    if (scan->at == scan->end)
        return scan->last ? SCANNED : SCAN_MORE;
    if (!cells->stops[(unsigned char)*scan->at])
        return csv_scan_fault(scan, CSV_QUOTE_STRAY, scan->line, scan->at, scan->line_start);

    return SCANNED;
}

static enum scanned scan_cell(struct csv_cells *cells, struct scan *scan, struct csv_cell *cell)
{
    char *at = scan->at;

    *cell = (struct csv_cell){
        .text = at,
        .line = scan->line,
        .place = (int32_t)(at - scan->line_start) + 1,
    };
    cells->begins[scan->cells] = at;
    while (at < scan->end && is_blank(cells, *at))
        at++;
    if (at < scan->end && *at == '"') {
        scan->at = at;
        return scan_quoted(cells, scan, cell);
    }
    while (at < scan->end && !cells->stops[(unsigned char)*at])
        at++;
    if (at - cell->text > CSV_CELL_MOST)
        return csv_scan_fault(scan, CSV_CELL_LONG, cell->line, cell->text, scan->line_start);
    if (at == scan->end && !scan->last)
        return SCAN_MORE;
    scan->at = at;
    cell->end = at;
    cell->length = (uint32_t)(at - cell->text);

    return SCANNED;
}

/* Find the cells of the row at scan->at and step over its line end. Writes nothing in the window.
 */
enum scanned csv_scan_row(struct csv_cells *cells, struct scan *scan)
{
    for (;;) {
        if (scan->cells == CSV_COLUMNS_MOST)
            return csv_scan_fault(scan, CSV_COLUMNS_MANY, scan->line, scan->at, scan->line_start);

        enum scanned cell = scan_cell(cells, scan, &cells->items[scan->cells]);

        if (cell != SCANNED)
            return cell;
        scan->cells++;
        if (scan->at == scan->end)
            return SCANNED;
        if (*scan->at != cells->separator)
            return scan_line_end(scan);
        scan->at++;
    }
}

char *csv_line_end_find(char *from, const char *end)
{
    size_t left = (size_t)(end - from);
    char *feed = memchr(from, '\n', left);
    char *back = memchr(from, '\r', feed ? (size_t)(feed - from) : left);

    return back ? back : feed;
}

enum scanned csv_scan_line(struct scan *scan, size_t *length)
{
    char *begin = scan->at;
    char *stop = csv_line_end_find(begin, scan->end);

    if (!stop && !scan->last)
        return SCAN_MORE;
    *length = (size_t)((stop ? stop : scan->end) - begin);
    scan->at = begin + *length;

    return stop ? scan_line_end(scan) : SCANNED;
}
