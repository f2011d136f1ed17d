/*
 * check_lines FILE: work out every line of a list of checks with the program's own functions.
 *
 * FILE is tab-separated with a header row. Columns go by their names: `quantity`, `inputs`,
 * `expected` and `tolerance` have to be there, `id` is shown where it is, others are passed over.
 * Blank lines don't count. For each line is printed
 *
 *     id, quantity, ours, expected, tolerance, hit or miss, and why it is a miss
 *
 * with tabs between, and at the end how many there were. Expected values are printed to ten
 * figures, so a hit is within the tolerance and half a step of the tenth. A figure such as "<3.0"
 * is expected as it is reported; "inf" is a figure without an end. A quantity that is not known
 * and a line that can't be read are misses.
 *
 * Ends with 0 when nothing missed, 1 when something did, 2 when the list can't be read.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/file.h"
#include "base/str.h"
#include "checks/check_table.h"

enum { FILE_BYTES_MOST = 64 << 20, EXIT_MISSED = 1, EXIT_UNREADABLE = 2 };

static const double tenth_figure = 5e-10;

enum column {
    COLUMN_ID,
    COLUMN_QUANTITY,
    COLUMN_INPUTS,
    COLUMN_EXPECTED,
    COLUMN_TOLERANCE,
    COLUMNS
};

static const char *const column_names[COLUMNS] = {
    [COLUMN_ID] = "id",
    [COLUMN_QUANTITY] = "quantity",
    [COLUMN_INPUTS] = "inputs",
    [COLUMN_EXPECTED] = "expected",
    [COLUMN_TOLERANCE] = "tolerance",
};

struct cells {
    const char **items;
    size_t count;
    size_t capacity;
};

struct list {
    struct units *units;
    bool has_header;
    size_t place[COLUMNS]; /* of each column; SIZE_MAX where there is none */
    size_t line;
    size_t hits;
    size_t misses;
};

/* --- a line ---------------------------------------------------------------------------------- */

static struct cells cells_of(struct arena *mem, const char *line)
{
    struct cells cells = {0};
    const char *at = line;

    while (at) {
        const char *tab = strchr(at, '\t');
        size_t length = tab ? (size_t)(tab - at) : strlen(at);

        LIST_ADD(mem, &cells, str_trim(mem, arena_strndup(mem, at, length)));
        at = tab ? tab + 1 : NULL;
    }

    return cells;
}

static bool number_of(const char *text, double *out)
{
    char *end = NULL;

    *out = strtod(text, &end);

    return end != text && !*end && !isnan(*out);
}

/* "<3.0" in its two parts: '=' where there is no mark. */
static bool expected_of(const char *text, char *mark, double *out)
{
    *mark = *text == '<' || *text == '>' ? *text : '=';

    return number_of(text + (*mark != '='), out);
}

static bool agree(double ours, double expected, double tolerance)
{
    if (isinf(ours) || isinf(expected))
        return isinf(ours) && isinf(expected) && (ours > 0) == (expected > 0);

    return fabs(ours - expected) <= tolerance + tenth_figure * fabs(expected);
}

static void tell(struct list *list, const char *const shown[COLUMNS], const char *ours,
                 const char *why)
{
    *(why ? &list->misses : &list->hits) += 1;
    printf("%s\t%s\t%s\t%s\t%s\t%s%s%s\n", shown[COLUMN_ID], shown[COLUMN_QUANTITY], ours,
           shown[COLUMN_EXPECTED], shown[COLUMN_TOLERANCE], why ? "miss" : "hit", why ? "\t" : "",
           why ? why : "");
}

static void check(struct arena *mem, struct list *list, const char *const cells[COLUMNS])
{
    struct err err = ERR_INIT;
    struct quantity_value value;
    double expected = 0;
    double tolerance = 0;
    char mark = '=';

    if (!expected_of(cells[COLUMN_EXPECTED], &mark, &expected) ||
        !number_of(cells[COLUMN_TOLERANCE], &tolerance) || tolerance < 0) {
        tell(list, cells, "-",
             arena_printf(mem, "line %zu: expected or tolerance is no number", list->line));
        return;
    }
    if (!check_answer(mem, list->units, cells[COLUMN_QUANTITY], cells[COLUMN_INPUTS], &value,
                      &err)) {
        tell(list, cells, "-", arena_printf(mem, "line %zu: %s", list->line, err.text));
        return;
    }

    const char *sign = value.qualifier == '=' ? "" : arena_printf(mem, "%c", value.qualifier);
    const char *ours = arena_printf(mem, "%s%.12g", sign, value.number);
    bool hit = value.qualifier == mark && agree(value.number, expected, tolerance);

    tell(list, cells, ours,
         hit ? NULL
             : arena_printf(mem, "line %zu: off by %g", list->line, value.number - expected));
}

/* --- all lines ------------------------------------------------------------------------------- */

static bool header_read(struct arena *mem, struct list *list, const char *line)
{
    struct cells cells = cells_of(mem, line);
    bool whole = true;

    for (size_t column = 0; column < COLUMNS; column++) {
        list->place[column] = SIZE_MAX;
        for (size_t i = cells.count; i-- > 0;)
            if (str_equal_nocase(cells.items[i], column_names[column]))
                list->place[column] = i;
        if (list->place[column] == SIZE_MAX && column != COLUMN_ID) {
            fprintf(stderr, "check_lines: the header row has no column '%s'\n",
                    column_names[column]);
            whole = false;
        }
    }
    list->has_header = true;

    return whole;
}

static void line_read(struct arena *mem, struct list *list, const char *line)
{
    struct cells cells = cells_of(mem, line);
    const char *found[COLUMNS];
    bool whole = true;

    for (size_t column = 0; column < COLUMNS; column++) {
        bool there = list->place[column] < cells.count;

        whole = whole && (there || column == COLUMN_ID);
        found[column] = there ? cells.items[list->place[column]] : "-";
    }
    if (!whole) {
        tell(list, found, "-", arena_printf(mem, "line %zu: it has too few columns", list->line));
        return;
    }
    check(mem, list, found);
}

/* False when the header row lacks a column. */
static bool lines_read(struct list *list, char *bytes)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    char *at = bytes;

    if (str_starts(at, "\xEF\xBB\xBF"))
        at += 3;
    while (at && *at) {
        char *end = strchr(at, '\n');

        if (end)
            *end = '\0';
        list->line++;
        at[strcspn(at, "\r")] = '\0';
        if (at[strspn(at, " \t")]) {
            if (list->has_header)
                line_read(mem, list, at);
            else if (!header_read(mem, list, at))
                return false;
        }
        arena_reset(mem);
        at = end ? end + 1 : NULL;
    }

    return true;
}

int main(int argc, char **argv)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(units_free) struct units *units = NULL;
    struct err err = ERR_INIT;
    struct list list = {0};
    size_t length = 0;
    char *bytes = NULL;

    setvbuf(stdout, NULL, _IOLBF, 0); /* what was printed stays when a formula stops the program */
    if (argc != 2) {
        fputs("usage: check_lines FILE\n", stderr);
        return EXIT_UNREADABLE;
    }
    if (!units_load(&units, &err) ||
        !file_read(mem, argv[1], FILE_BYTES_MOST, &bytes, &length, &err)) {
        fprintf(stderr, "check_lines: %s\n", err.text);
        return EXIT_UNREADABLE;
    }
    list.units = units;
    if (!lines_read(&list, bytes))
        return EXIT_UNREADABLE;
    if (!list.has_header) {
        fputs("check_lines: the list is empty: it has no header row\n", stderr);
        return EXIT_UNREADABLE;
    }
    printf("%zu lines: %zu hit, %zu missed\n", list.hits + list.misses, list.hits, list.misses);

    return list.misses > 0 ? EXIT_MISSED : EXIT_SUCCESS;
}
