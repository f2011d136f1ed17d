#include "ingest/cell_shown.h"

#include <string.h>

#include "base/str.h"

enum { SHOWN_MOST = 60 };

/* Whether a unit that the format shows is another one than the value's. */
static bool is_other_unit(struct csv_reader *reader, const struct parameter *parameter,
                          const char *shown, const char *unit)
{
    const struct csv_unit *found = csv_unit_find(&reader->units, parameter, shown);

    if (found->name)
        return strcmp(found->name, unit) != 0;

    /* One that is no unit of the parameter is another; words that are none ("as N") say nothing. */
    return csv_unit_alone(&reader->units, shown) != NULL;
}

void cell_shown_check(struct csv_reader *reader, const struct csv_row *row, size_t cell,
                      const struct parameter *parameter, struct csv_value *value)
{
    const struct csv_cell *shown = cell < row->count ? &row->cells[cell] : NULL;

    if (!shown || value->trouble.words)
        return;
    if (shown->shown_other) {
        value->has_value = false;
        value->trouble = (struct trouble){
            PROBLEM_VALUE_UNREADABLE,
            arena_printf(reader->row_mem, "the cell holds %s, and %s",
                         str_show(reader->row_mem, shown->text, SHOWN_MOST), shown->shown_other),
            "See in a spreadsheet program what the cell shows and what it holds. Type the value "
            "that is right (weirbook aside accept), or leave it out."};
        return;
    }
    if (!shown->shown_unit || !parameter || !value->unit || parameter->kind == PARAMETER_STATE ||
        !is_other_unit(reader, parameter, shown->shown_unit, value->unit))
        return;
    value->trouble = (struct trouble){
        PROBLEM_UNIT_UNFIT,
        arena_printf(reader->row_mem, "the cell shows %s %s, and the column is in %s",
                     str_show(reader->row_mem, shown->text, SHOWN_MOST),
                     str_show(reader->row_mem, shown->shown_unit, SHOWN_MOST), value->unit),
        "Ask which of the two is right. Type the value that is right (weirbook aside accept), or "
        "correct the unit in the source, load the farm file, and read it again: weirbook aside "
        "read-again."};
    value->unit = NULL;
}
