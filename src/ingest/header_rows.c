#include "ingest/header_rows.h"

#include <string.h>

#include "base/str.h"

struct header_names header_names_of(struct arena *mem, const struct csv_row *row)
{
    struct header_names names = {.items = ARENA_ARRAY(mem, const char *, row->count)};

    for (size_t i = 0; i < row->count; i++) {
        names.items[i] = str_trim(mem, row->cells[i].text);
        if (*names.items[i])
            names.count = i + 1;
    }

    return names;
}

static const char *name_at(const struct header_names *names, size_t i)
{
    return i < names->count ? names->items[i] : "";
}

struct header_names header_names_join(struct arena *mem, const struct header_names *upper,
                                      const struct header_names *lower)
{
    size_t count = upper->count > lower->count ? upper->count : lower->count;
    struct header_names joined = {.items = ARENA_ARRAY(mem, const char *, count), .count = count};
    const char *over = "";

    for (size_t i = 0; i < count; i++) {
        const char *own = name_at(upper, i);
        const char *under = name_at(lower, i);

        if (*own)
            over = own;
        if (!*under)
            joined.items[i] = own;
        else
            joined.items[i] = *over ? arena_printf(mem, "%s / %s", over, under) : under;
    }

    return joined;
}

struct csv_row header_row_of(struct arena *mem, const struct csv_row *row,
                             const struct header_names *names)
{
    struct csv_cell *cells = ARENA_ARRAY(mem, struct csv_cell, names->count);
    struct csv_row joined = *row;

    for (size_t i = 0; i < names->count; i++)
        cells[i] =
            (struct csv_cell){.text = names->items[i], .length = (uint32_t)strlen(names->items[i])};
    joined.cells = cells;
    joined.count = names->count;

    return joined;
}

bool header_names_repeat(const struct header_names *names, const struct csv_row *row, size_t count)
{
    if (row->count < names->count)
        return false;
    for (size_t i = 0; i < count; i++) {
        const char *text = row->cells[i].text;
        const char *name = name_at(names, i);
        size_t skip = strspn(text, " \t");
        size_t length = strlen(name);

        if (strncmp(text + skip, name, length) != 0 ||
            text[skip + length + strspn(text + skip + length, " \t")] != '\0')
            return false;
    }

    return true;
}
