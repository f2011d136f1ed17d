#include "ingest/sniff_table.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

#include "base/str.h"
#include "ingest/csv.h"
#include "ingest/csv_unit.h"
#include "ingest/grid.h"
#include "ingest/header_rows.h"

enum { FITS_LOOKED_AT = 20, REMARK_LETTERS_LEAST = 3, REMARK_CELLS_MOST = 2 };

bool sniff_is_number(const char *text)
{
    size_t digits = 0;
    size_t points = 0;
    size_t commas = 0;

    while (*text == '<' || *text == '>' || *text == '=' || *text == ' ')
        text++;
    if (*text == '-' || *text == '+')
        text++;
    if (strncmp(text, "\xe2\x88\x92", 3) == 0) /* the minus of print */
        text += 3;
    for (; isdigit((unsigned char)*text) || *text == '.' || *text == ','; text++) {
        digits += isdigit((unsigned char)*text) != 0;
        points += *text == '.';
        commas += *text == ',';
    }
    if (points > 1 || commas > 1) /* 28.10.2026 */
        return false;
    if (digits > 0 && (*text == 'e' || *text == 'E')) {
        text++;
        text += *text == '-' || *text == '+';
        while (isdigit((unsigned char)*text))
            text++;
    }

    return digits > 0 && *text == '\0';
}

static bool has_month(const char *text)
{
    static const char *const months[] = {"jan", "feb", "mar", "apr", "may", "jun",
                                         "jul", "aug", "sep", "oct", "nov", "dec"};

    for (; *text; text++)
        for (size_t i = 0; i < ARRAY_LEN(months); i++)
            if (strncasecmp(text, months[i], 3) == 0)
                return true;

    return false;
}

bool sniff_is_time(const char *text)
{
    size_t groups = 0;
    size_t letters = 0;
    size_t marks = 0;
    size_t points = 0;

    for (const char *at = text; *at; at++) {
        unsigned char c = (unsigned char)*at;
        bool between = at > text && isdigit((unsigned char)at[-1]) && isdigit((unsigned char)at[1]);

        groups += isdigit(c) && (at == text || !isdigit((unsigned char)at[-1]));
        letters += isalpha(c) != 0;
        marks += between && (*at == '/' || *at == ':' || *at == '-');
        points += between && *at == '.';
        if (!isdigit(c) && !isalpha(c) && !strchr("/:-. ,+", c))
            return false;
    }

    /* "10/28/2015", "24:00", "28-Oct-15", "3 Apr 2026": digits parted as in times, little else. */
    return !sniff_is_number(text) && groups >= 2 && letters <= 9 &&
           (marks > 0 || points > 1 || (letters >= 3 && has_month(text)));
}

char *sniff_plain(struct arena *mem, const char *text)
{
    char *plain = str_lower(mem, text);
    size_t length = 0;

    for (const char *at = plain; *at; at++)
        if (isalnum((unsigned char)*at) || (unsigned char)*at >= 0x80)
            plain[length++] = *at;
    plain[length] = '\0';

    return plain;
}

/* --- kinds of rows --- */

struct row_kind {
    size_t filled;
    size_t words; /* neither numbers nor times */
    size_t times;
    size_t last; /* cells up to the last that is filled */
};

static struct row_kind kind_of(const struct sniff_row *row)
{
    struct row_kind kind = {0};

    for (size_t i = 0; i < row->count; i++) {
        const char *text = row->cells[i].text;

        if (!*text)
            continue;
        kind.filled++;
        kind.last = i + 1;
        if (row->cells[i].is_date || sniff_is_time(text))
            kind.times++;
        else if (!sniff_is_number(text))
            kind.words++;
    }

    return kind;
}

/* Names and nothing else. */
static bool names_only(const struct row_kind *kind)
{
    return kind->filled >= 2 && kind->words == kind->filled;
}

/* Rows behind a header that lie under its names and hold something that is no word. */
static size_t fits_count(const struct sniff_rows *rows, size_t header)
{
    struct row_kind names = kind_of(&rows->items[header]);
    size_t fits = 0;

    for (size_t i = header + 1; i < rows->count && i <= header + FITS_LOOKED_AT; i++) {
        struct row_kind kind = kind_of(&rows->items[i]);

        fits += kind.filled >= 2 && kind.words < kind.filled && kind.last <= names.last + 1 &&
                kind.last * 2 >= names.last;
    }

    return fits;
}

static bool header_find(const struct sniff_rows *rows, size_t *out)
{
    size_t most = 0;

    for (size_t i = 0; i < rows->count && rows->items[i].line <= HEADER_LINES_MOST; i++) {
        struct row_kind kind = kind_of(&rows->items[i]);

        if (names_only(&kind) && kind.filled > most && fits_count(rows, i) > 0) {
            most = kind.filled;
            *out = i;
        }
    }

    return most > 0;
}

static bool same_cells(const struct sniff_row *a, const struct sniff_row *b)
{
    size_t count = a->count > b->count ? a->count : b->count;

    for (size_t i = 0; i < count; i++)
        if (!str_equal(sniff_cell_text(a, i), sniff_cell_text(b, i)))
            return false;

    return true;
}

/* --- remarks --- */

/* "Total records" of "Total records: 768", "#" of "# made by". */
static const char *remark_start(struct arena *mem, const char *text)
{
    size_t length = 0;

    if (*text == '#' || *text == '%')
        return arena_strndup(mem, text, 1);
    while (text[length] && text[length] != ':' && text[length] != '=' &&
           !isdigit((unsigned char)text[length]))
        length++;

    return length >= REMARK_LETTERS_LEAST ? str_trim(mem, arena_strndup(mem, text, length)) : NULL;
}

/* A row with one or two words at its start, under a header of many names. */
static bool is_remark(const struct sniff_table *table, const struct sniff_row *row)
{
    struct row_kind kind = kind_of(row);
    const char *first = sniff_cell_text(row, 0);

    if (*first == '#')
        return true;

    return kind.filled > 0 && kind.filled <= REMARK_CELLS_MOST && kind.last <= REMARK_CELLS_MOST &&
           kind.words > 0 && kind.times == 0 && table->column_count > REMARK_CELLS_MOST &&
           isalpha((unsigned char)*first);
}

static bool remark_note(struct arena *mem, struct sniff_table *table, const struct sniff_row *row)
{
    const char *start = remark_start(mem, sniff_cell_text(row, 0));

    if (!start)
        return false;
    for (size_t i = 0; i < table->remark_count; i++)
        if (str_starts(start, table->remarks[i])) {
            table->remark_rows++;
            return true;
        }
    if (table->remark_count == SNIFF_REMARKS_MOST)
        return false;
    table->remarks[table->remark_count++] = start;
    table->remark_rows++;

    return true;
}

/* --- columns --- */

static struct sniff_column column_named(struct arena *mem, const char *name)
{
    struct sniff_column column = {.name = name, .bare = name};
    size_t length = 0;

    column.unit = csv_unit_of_header(mem, name, &length);
    if (column.unit)
        column.bare = arena_strndup(mem, name, length);

    return column;
}

static void columns_name(struct arena *mem, const struct sniff_row *header,
                         struct sniff_table *table)
{
    size_t count = kind_of(header).last;

    table->columns = ARENA_ARRAY(mem, struct sniff_column, CSV_COLUMNS_MOST);
    table->column_count = count;
    for (size_t i = 0; i < count; i++) {
        struct sniff_column *column = &table->columns[i];

        *column = column_named(mem, header->cells[i].text);
        for (size_t k = 0; k < i; k++)
            if (*column->name && str_equal_nocase(column->name, table->columns[k].name))
                column->is_twice = table->columns[k].is_twice = true;
    }
}

static bool has_twice(const struct sniff_row *names)
{
    for (size_t i = 0; i < names->count; i++)
        for (size_t k = 0; k < i && *names->cells[i].text; k++)
            if (str_equal_nocase(names->cells[i].text, names->cells[k].text))
                return true;

    return false;
}

static struct header_names names_of(struct arena *mem, const struct sniff_row *row)
{
    struct header_names names = {ARENA_ARRAY(mem, const char *, row->count), row->count};

    for (size_t i = 0; i < row->count; i++)
        names.items[i] = row->cells[i].text;

    return names;
}

/*
 * Names that come twice, under a row of words that tells them apart: "Outlet" over Temp and DO,
 * "Tank 1" over the same. Both rows are the header then.
 */
static bool names_join(struct arena *mem, const struct sniff_rows *rows, size_t header,
                       struct sniff_row *names)
{
    const struct sniff_row *lower = &rows->items[header];
    const struct sniff_row *upper = header > 0 ? &rows->items[header - 1] : NULL;
    struct header_names joined;
    struct row_kind kind;
    struct sniff_cell *cells;

    if (!upper || upper->line + 1 != lower->line || !has_twice(lower))
        return false;
    kind = kind_of(upper);
    if (kind.filled == 0 || kind.words < kind.filled)
        return false;

    const struct header_names above = names_of(mem, upper);
    const struct header_names below = names_of(mem, lower);

    joined = header_names_join(mem, &above, &below);
    cells = ARENA_ARRAY(mem, struct sniff_cell, joined.count);
    for (size_t i = 0; i < joined.count; i++)
        cells[i].text = joined.items[i];
    *names = *lower;
    names->cells = cells;
    names->count = joined.count;

    return !has_twice(names);
}

static void units_note(struct arena *mem, const struct sniff_row *row, struct sniff_table *table)
{
    for (size_t i = 0; i < table->column_count; i++) {
        struct sniff_column *column = &table->columns[i];
        const char *unit = csv_unit_of_cell(mem, sniff_cell_text(row, i));

        if (unit && !column->unit) {
            column->unit = unit;
            column->unit_in_row = true;
        }
    }
}

static void cells_count(const struct sniff_row *row, struct sniff_table *table)
{
    for (size_t i = 0; i < table->column_count && i < row->count; i++) {
        const char *text = row->cells[i].text;
        struct sniff_column *column = &table->columns[i];

        column->filled += *text != '\0';
        if (row->cells[i].is_date || sniff_is_time(text))
            column->times++;
        else
            column->numbers += sniff_is_number(text);
    }
}

/* --- a header with other columns, half-way --- */

/* Which column each cell is, once the header has changed. */
struct cell_map {
    size_t *columns; /* NULL: as the first header has them */
    size_t count;
    const struct sniff_row *names;
};

static size_t column_find(const struct sniff_table *table, const char *name)
{
    for (size_t i = 0; i < table->column_count; i++)
        if (str_equal_nocase(table->columns[i].name, name))
            return i;

    return SIZE_MAX;
}

/* Names alone, at least half of them known: it names columns too. */
static bool is_other_header(const struct sniff_table *table, const struct sniff_row *row)
{
    struct row_kind kind = kind_of(row);
    size_t known = 0;

    for (size_t i = 0; i < row->count; i++)
        known += *row->cells[i].text && column_find(table, row->cells[i].text) != SIZE_MAX;

    return names_only(&kind) && known >= 2 && known * 2 >= kind.filled;
}

/* Columns that are new, or that it lacks, need not be in a header from now on. */
static struct cell_map header_change(struct arena *mem, const struct sniff_row *row,
                                     struct sniff_table *table)
{
    struct cell_map map = {
        .columns = ARENA_ARRAY(mem, size_t, row->count), .count = row->count, .names = row};
    bool *has = ARENA_ARRAY(mem, bool, CSV_COLUMNS_MOST);

    for (size_t i = 0; i < row->count; i++) {
        const char *name = row->cells[i].text;
        size_t at = *name ? column_find(table, name) : SIZE_MAX;

        if (*name && at == SIZE_MAX && table->column_count < CSV_COLUMNS_MOST) {
            at = table->column_count++;
            table->columns[at] = column_named(mem, name);
            table->columns[at].may_lack = true;
        }
        map.columns[i] = at;
        if (at != SIZE_MAX)
            has[at] = true;
    }
    for (size_t i = 0; i < table->column_count; i++)
        table->columns[i].may_lack = table->columns[i].may_lack || !has[i];
    if (table->changed_line == 0)
        table->changed_line = row->line;

    return map;
}

/* The row with its cells under the columns of the table. */
static struct sniff_row row_mapped(struct arena *mem, const struct sniff_row *row,
                                   const struct cell_map *map, const struct sniff_table *table)
{
    struct sniff_row mapped = *row;
    struct sniff_cell *cells;

    if (!map->columns)
        return mapped;
    cells = ARENA_ARRAY(mem, struct sniff_cell, table->column_count);
    for (size_t i = 0; i < table->column_count; i++)
        cells[i].text = "";
    for (size_t i = 0; i < row->count && i < map->count; i++)
        if (map->columns[i] != SIZE_MAX)
            cells[map->columns[i]] = row->cells[i];
    mapped.cells = cells;
    mapped.count = table->column_count;

    return mapped;
}

/* Rows behind the header: units at once, then data, remarks and the header again. */
static void rows_sort(struct arena *mem, const struct sniff_rows *rows, size_t header,
                      struct sniff_table *table)
{
    struct cell_map map = {.names = &rows->items[header]};
    int units_left = SNIFF_UNIT_ROWS_MOST;
    bool after_header = true;

    for (size_t i = header + 1; i < rows->count; i++) {
        const struct sniff_row *row = &rows->items[i];
        struct row_kind kind = kind_of(row);
        struct sniff_row mapped;

        if (same_cells(row, map.names) || is_other_header(table, row)) {
            if (same_cells(row, map.names))
                table->header_repeats++;
            else
                map = header_change(mem, row, table);
            after_header = true;
            units_left = table->lines_after;
            continue;
        }
        mapped = row_mapped(mem, row, &map, table);
        if (after_header && units_left > 0 && kind.filled >= 1 && kind.words == kind.filled &&
            !is_remark(table, row)) {
            units_left--;
            units_note(mem, &mapped, table);
            table->lines_after += table->data.count == 0;
            continue;
        }
        after_header = false;
        if (kind.filled == 0 || (is_remark(table, row) && remark_note(mem, table, row)))
            continue;
        cells_count(&mapped, table);
        LIST_ADD(mem, &table->data, mapped);
    }
}

bool sniff_table_find(struct arena *mem, const struct sniff_rows *rows, struct sniff_table *out,
                      struct err *err)
{
    struct sniff_table table = {0};
    struct sniff_row names = {0};
    size_t header = 0;

    if (!header_find(rows, &header)) {
        (void)err_set(err, ERR_INVALID,
                      "no row among the first %d names the columns of data below it",
                      HEADER_LINES_MOST);
        return err_hint(err, "Weirbook goes by the names of columns. Add a first line with a name "
                             "for each, such as Time,Temp (degC),DO (mg/L).");
    }
    table.header_line = rows->items[header].line;
    table.rows_above = header;
    for (size_t i = 0; i < header; i++)
        LIST_ADD(mem, &table.above, rows->items[i]);
    table.header_rows = names_join(mem, rows, header, &names) ? 2 : 1;
    columns_name(mem, table.header_rows == 2 ? &names : &rows->items[header], &table);
    rows_sort(mem, rows, header, &table);
    if (table.data.count == 0)
        return err_set(err, ERR_INVALID, "there are no rows of data behind the header in line %d",
                       table.header_line);
    *out = table;

    return true;
}
