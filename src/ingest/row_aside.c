#include "ingest/row_aside.h"

#include <string.h>

static const char *const fault_todos[] = {
    [CSV_GOOD] = "",
    [CSV_QUOTE_OPEN] = "Close the quote, or take it out.",
    [CSV_QUOTE_STRAY] = "Write a quote inside a quoted cell twice.",
    [CSV_CELL_LONG] = "See whether a quote or a line end is missing there.",
    [CSV_COLUMNS_MANY] = "See whether a line end is missing there.",
    [CSV_ROW_LONG] = "See whether line ends are missing there.",
};

/* What all cells of a row share. */
struct aside {
    const struct csv_row *row;
    struct trouble trouble;
    instant at;
};

/* One value, of the column or, with NULL, of the whole row. */
static bool aside_value(struct csv_reader *reader, const struct aside *aside,
                        const struct csv_value_column *column, struct err *err)
{
    const struct source *source = reader->source;
    bool is_known = !column || column->mapped; /* else it may be of any place */
    const char *of_column = column && column->mapped ? column->mapped->station : NULL;
    const struct problem problem = {
        .reason = aside->trouble.reason,
        .line = aside->row->line,
        .column = column ? (int32_t)column->cell + 1 : 0,
        .words = aside->trouble.words,
        .todo = aside->trouble.todo,
        .text = csv_row_text(reader->row_mem, aside->row, PROBLEM_TEXT_MOST),
        .station = of_column  ? of_column
                   : is_known ? source->station
                              : NULL,
        .parameter = column && column->parameter ? column->parameter->key : NULL,
        .at = aside->at,
        .from_probe = source->kind == KIND_PROBE,
    };

    return batch_add_problem(&reader->batch, &problem, err);
}

/* Every column of a wide file, else the row; blank cells of a row that has cells are blank. */
static bool aside_take(struct csv_reader *reader, const struct aside *aside, struct err *err)
{
    const struct csv_row *row = aside->row;

    if (reader->source->shape == SOURCE_LONG)
        return aside_value(reader, aside, NULL, err);
    for (size_t i = 0; i < reader->header.column_count; i++) {
        const struct csv_value_column *column = &reader->header.columns[i];
        const char *text = column->cell < row->count ? row->cells[column->cell].text : "";

        if (column->cell == CELL_NONE)
            continue;
        if (row->fault == CSV_GOOD &&
            number_read(&reader->value_rules.style, text).kind == NUMBER_BLANK) {
            if (!batch_add_blank(&reader->batch, row->line, (int32_t)column->cell + 1, err))
                return false;
        } else if (!aside_value(reader, aside, column, err)) {
            return false;
        }
    }

    return true;
}

bool row_aside_fault(struct csv_reader *reader, const struct csv_row *row, struct err *err)
{
    const struct aside aside = {
        .row = row,
        .trouble = {PROBLEM_ROW_SHAPE,
                    arena_printf(reader->row_mem, "%s (line %d, place %d)",
                                 csv_fault_words(row->fault), row->fault_line, row->fault_place),
                    fault_todos[row->fault]},
        .at = INSTANT_NONE,
    };

    return aside_take(reader, &aside, err);
}

bool row_aside_unknown(struct csv_reader *reader, const struct csv_row *row,
                       const struct row_time *time, struct err *err)
{
    const struct aside aside = {.row = row, .trouble = reader->unknown, .at = time->at};

    return aside_take(reader, &aside, err);
}
