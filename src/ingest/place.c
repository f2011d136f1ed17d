#include "ingest/place.h"

int32_t place_of(int32_t sheet, uint32_t row)
{
    return sheet * PLACE_SHEET_ROWS + (int32_t)row;
}

int32_t place_sheet(int32_t line)
{
    return (line - 1) / PLACE_SHEET_ROWS;
}

int32_t place_row(int32_t line)
{
    return (line - 1) % PLACE_SHEET_ROWS + 1;
}

const char *place_sheet_name(const struct place_sheets *sheets, int32_t line)
{
    for (size_t i = 0; i < sheets->count; i++)
        if (sheets->items[i].number == place_sheet(line))
            return sheets->items[i].name;

    return NULL;
}

/* A, ..., Z, AA, ... */
static char *column_letters(struct arena *mem, int32_t column)
{
    char letters[8] = {0};
    size_t at = sizeof(letters) - 1;

    for (; column > 0 && at > 0; column = (column - 1) / 26)
        letters[--at] = (char)('A' + (column - 1) % 26);

    return arena_strdup(mem, letters + at);
}

char *place_text(struct arena *mem, const struct place_sheets *sheets, int32_t line, int32_t column)
{
    const char *name = sheets ? place_sheet_name(sheets, line) : NULL;

    if (name && column > 0)
        return arena_printf(mem, "sheet %s, cell %s%d", name, column_letters(mem, column),
                            place_row(line));
    if (name)
        return arena_printf(mem, "sheet %s, row %d", name, place_row(line));
    if (column > 0)
        return arena_printf(mem, "line %d, column %d", line, column);

    return arena_printf(mem, "line %d", line);
}
