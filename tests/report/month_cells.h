/*
 * The workbook of the invented month as cells, for tests: write it, read it back with our own
 * reader, find texts and rows.
 */
#ifndef TESTS_REPORT_MONTH_CELLS_H
#define TESTS_REPORT_MONTH_CELLS_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/sheet.h"
#include "invented_month.h"

static struct arena *mem;
static struct invented *in;
static char path[64];

static inline int new_month(void **state)
{
    (void)state;
    mem = arena_new();
    in = invented_new(mem);
    snprintf(path, sizeof(path), "/tmp/weirbook-month-%d.xlsx", (int)getpid());

    return 0;
}

static inline int drop_month(void **state)
{
    (void)state;
    units_free(&in->units);
    arena_free(&mem);
    unlink(path);

    return 0;
}

/* ---- the workbook as cells ---- */

struct cell {
    const char *sheet;
    uint32_t row;
    uint32_t column;
    enum sheet_kind kind;
    const char *text;
    double number;
    const char *formula;
};

struct cell_list {
    struct cell *items;
    size_t count;
    size_t capacity;
};

static inline bool keep_cell(void *context, const struct sheet_cell *cell, struct err *err)
{
    (void)err;
    LIST_ADD(mem, (struct cell_list *)context,
             ((struct cell){.sheet = arena_strdup(mem, cell->sheet->name),
                            .row = cell->row,
                            .column = cell->column,
                            .kind = cell->kind,
                            .text = arena_strdup(mem, cell->text),
                            .number = cell->number,
                            .formula = arena_strdup(mem, cell->formula)}));

    return true;
}

static inline struct cell_list cells_of(const char *file)
{
    static const struct sheet_events events = {.cell = keep_cell};
    struct cell_list list = {0};
    struct err err = ERR_INIT;

    if (!sheet_read(file, &events, &list, NULL, &err))
        fail_msg("%s", err.text);

    return list;
}

static inline struct cell_list write_month(const char *file)
{
    struct err err = ERR_INIT;
    struct digest digest;

    if (!discharge_month_write(&in->month, file, &digest, &err))
        fail_msg("%s", err.text);

    return cells_of(file);
}

static inline const struct cell *find_text(const struct cell_list *cells, const char *sheet,
                                           const char *text)
{
    for (size_t i = 0; i < cells->count; i++) {
        const struct cell *cell = &cells->items[i];

        if (cell->kind == SHEET_TEXT && str_equal(cell->sheet, sheet) && strstr(cell->text, text))
            return cell;
    }

    return NULL;
}

static inline const struct cell *at(const struct cell_list *cells, const char *sheet, uint32_t row,
                                    uint32_t column)
{
    for (size_t i = 0; i < cells->count; i++) {
        const struct cell *cell = &cells->items[i];

        if (cell->row == row && cell->column == column && str_equal(cell->sheet, sheet))
            return cell;
    }

    return NULL;
}

static inline void expect_text(const struct cell_list *cells, const char *sheet, const char *text)
{
    if (!find_text(cells, sheet, text))
        fail_msg("sheet %s does not say \"%s\"", sheet, text);
}

/* A limit's row on the first page, by its name. */
static inline uint32_t row_of(const struct cell_list *cells, const char *name)
{
    const struct cell *cell = find_text(cells, "Month", arena_printf(mem, "%s, Pond outlet", name));

    if (!cell)
        fail_msg("no row for %s", name);

    return cell->row;
}

/* Columns of the first page, as report.yaml has them. */
enum { PAGE_MARK = 1, PAGE_FIGURE = 5, PAGE_VERDICT = 7, PAGE_SAMPLES = 8, PAGE_RULES = 9 };

static inline const char *verdict_shown(const struct cell_list *cells, const char *name)
{
    return at(cells, "Month", row_of(cells, name), PAGE_VERDICT)->text;
}

static inline struct evidence_reading *reading(size_t series, size_t index)
{
    return (struct evidence_reading *)(uintptr_t)&in->series[series].readings[index];
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, new_month, drop_month)

#endif
