#include "report/table.h"

#include "base/str.h"
#include "report/letters.h"
#include "report/workbook_inside.h"

enum { LINE_POINTS = 12, PAD_POINTS = 3, SECTION_POINTS = 24 };

static const struct report_table no_table = {.key = "", .heading = "", .empty = ""};

struct table table_begin_bare(struct page *page, const struct report_sheet *sheet, const char *key,
                              uint32_t row)
{
    const struct report_table *definition = definition_table(sheet, key);

    if (!definition)
        book_fail(page->book, ERR_BUG, "sheet %s has no table %s", sheet->key, key);

    return (struct table){.page = page,
                          .sheet = sheet,
                          .definition = definition ? definition : &no_table,
                          .first_row = row,
                          .row = row,
                          .lines = 1};
}

static const struct report_column *column_of(const struct table *table, const char *key)
{
    const struct report_column *column = definition_column(table->definition, key);

    if (!column)
        book_fail(table->page->book, ERR_BUG, "table %s has no column %s", table->definition->key,
                  key);

    return column;
}

static double width_of(const struct table *table, uint32_t at, uint32_t to)
{
    double width = 0;

    for (uint32_t i = at; i <= to && i < table->sheet->width_count; i++)
        width += table->sheet->widths[i];

    return width;
}

/* Join a column's cells once, and take note of how tall its text makes the row. */
static void prepare(struct table *table, const struct report_column *column, const char *text)
{
    uint32_t bit = UINT32_C(1) << column->at;

    if (column->to > column->at && !(table->joined & bit))
        page_join(table->page, table->row, column->at, column->to, column->style);
    table->joined |= bit;
    if (!style_look(column->style)->wrap)
        return;

    int lines = letters_lines(text, width_of(table, column->at, column->to), column->style);

    table->lines = lines > table->lines ? lines : table->lines;
}

void table_text(struct table *table, const char *key, const char *text)
{
    const struct report_column *column = column_of(table, key);

    if (!column)
        return;
    prepare(table, column, text);
    page_text(table->page, table->row, column->at, column->style, text);
}

void table_number(struct table *table, const char *key, const char *format, double value)
{
    const struct report_column *column = column_of(table, key);

    if (!column)
        return;
    prepare(table, column, "");
    page_number(table->page, table->row, column->at, column->style,
                format ? format : column->format, value);
}

void table_formula(struct table *table, const char *key, const char *format, const char *formula,
                   double value)
{
    const struct report_column *column = column_of(table, key);

    if (!column)
        return;
    prepare(table, column, "");
    page_formula(table->page, table->row, column->at, column->style,
                 format ? format : column->format, formula, value);
}

void table_formula_text(struct table *table, const char *key, const char *formula,
                        const char *value)
{
    const struct report_column *column = column_of(table, key);

    if (!column)
        return;
    prepare(table, column, value);
    page_formula_text(table->page, table->row, column->at, column->style, formula, value);
}

void table_next(struct table *table)
{
    for (size_t i = 0; i < table->definition->count; i++) {
        const struct report_column *column = &table->definition->columns[i];

        if (!(table->joined & (UINT32_C(1) << column->at))) {
            prepare(table, column, "");
            page_text(table->page, table->row, column->at, column->style, "");
        }
    }
    if (table->lines > 1)
        page_row_height(table->page, table->row, table->lines * LINE_POINTS + PAD_POINTS);
    table->row++;
    table->lines = 1;
    table->joined = 0;
}

void table_line(struct table *table, enum style style, const char *text)
{
    uint32_t last = (uint32_t)table->sheet->width_count - 1;
    int lines = letters_lines(text, width_of(table, 0, last), style);

    page_join(table->page, table->row, 0, last, style);
    page_text(table->page, table->row, 0, style, text);
    if (style == STYLE_SECTION)
        page_row_height(table->page, table->row, SECTION_POINTS);
    else if (lines > 1)
        page_row_height(table->page, table->row, lines * LINE_POINTS + PAD_POINTS);
    table->row++;
}

struct table table_begin(struct page *page, const struct report_sheet *sheet, const char *key,
                         uint32_t row, const char *heading)
{
    struct table table = table_begin_bare(page, sheet, key, row);

    if (!heading)
        heading = table.definition->heading;
    if (!str_empty(heading))
        table_line(&table, STYLE_SECTION, heading);
    for (size_t i = 0; i < table.definition->count; i++) {
        struct report_column column = table.definition->columns[i];

        column.style =
            style_look(column.style)->align == ALIGN_RIGHT ? STYLE_HEADING_RIGHT : STYLE_HEADING;
        prepare(&table, &column, column.heading);
        page_text(page, table.row, column.at, column.style, column.heading);
    }
    table_next(&table);
    table.first_row = table.row;

    return table;
}

void table_end(struct table *table)
{
    if (table->row == table->first_row)
        table_line(table, STYLE_PLAIN, table->definition->empty);
}

void table_end_filtered(struct table *table)
{
    if (table->row > table->first_row)
        page_filter(table->page, table->first_row - 1, 0, table->row - 1,
                    (uint32_t)table->sheet->width_count - 1);
    table_end(table);
}

uint32_t table_at(const struct table *table, const char *key)
{
    const struct report_column *column = column_of(table, key);

    return column ? column->at : 0;
}
