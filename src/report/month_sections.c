/* Of month_inside.h: what follows the limits on the first page. */
#include "base/buf.h"
#include "base/str.h"
#include "report/month_inside.h"

/* ---- sampling, corrections ---- */

static const char *dues_words(struct month_book *book, const struct report_interval *row)
{
    const struct due_list *dues = &row->dues;
    struct buf words = buf_new(book->mem);

    for (size_t i = 0; i < dues->count; i++) {
        const struct due *due = &dues->items[i];

        if (due->state == DUE_DONE)
            continue;
        buf_addf(&words, "%s%s", words.len ? "\n" : "",
                 due->words ? due->words : due_state_name(due->state));
        if (due->explanation)
            buf_addf(&words, " (%s)", due->explanation);
    }
    for (size_t i = 0; i < row->excused_count; i++) {
        const struct no_sample *one = &row->excused[i];

        buf_addf(&words, "%ssaid of %s: %s (%s), by %s", words.len ? "\n" : "",
                 day_words(book->mem, one->day), no_sample_words[one->reason],
                 one->explanation ? one->explanation : "no reason", one->person);
    }

    return words.data;
}

static int missed_of(const struct due_list *dues)
{
    int missed = 0;

    for (size_t i = 0; i < dues->count; i++)
        missed += due_missed(&dues->items[i]);

    return missed;
}

static void write_sampling(struct month_book *book, struct table *table)
{
    for (size_t i = 0; i < book->month->interval_count; i++) {
        const struct report_interval *row = &book->month->intervals[i];

        table_text(table, "clause", row->interval->clause);
        table_text(table, "name", row->interval->name);
        table_text(table, "asked", interval_words(book->mem, row->interval));
        table_number(table, "required", "0", row->required);
        table_number(table, "done", "0", row->done);
        table_number(table, "missed", "0", missed_of(&row->dues));
        table_text(table, "words", dues_words(book, row));
        table_next(table);
    }
    table_end(table);
}

/* Corrections that nobody else looked at and that moved a figure inside belong on this page. */
static size_t count_moved(const struct discharge_month *month)
{
    size_t moved = 0;

    for (size_t i = 0; i < month->correction_count; i++)
        moved += month_moved_alone(&month->corrections[i]) ? 1 : 0;

    return moved;
}

static void write_moved(struct month_book *book, struct table *table)
{
    for (size_t i = 0; i < book->month->correction_count; i++) {
        const struct report_correction *row = &book->month->corrections[i];

        if (!month_moved_alone(row))
            continue;
        table_text(table, "at",
                   row->at == INSTANT_NONE
                       ? "not told"
                       : zone_text(book->mem, book->month->farm->zone, row->at));
        table_text(table, "what",
                   arena_printf(book->mem, "%s%s%s", month_correction_place(book, row),
                                row->parameter ? ", " : "",
                                row->parameter ? month_parameter(book, row->parameter) : ""));
        table_text(table, "before", row->value_before);
        table_text(table, "new",
                   row->outside_to_inside
                       ? row->new_value
                       : arena_printf(book->mem, "%s (not assessable before)", row->new_value));
        table_text(table, "person", row->person);
        table_text(table, "reason", row->reason);
        table_next(table);
    }
}

/* ---- in their order ---- */

/* One table of the page: what writes its rows. */
typedef void section_writer(struct month_book *book, struct table *table);

static uint32_t write_section(struct month_book *book, const char *key, uint32_t row,
                              section_writer *write)
{
    struct table table =
        table_begin(book->pages[SHEET_MONTH], book->sheets[SHEET_MONTH], key, row, NULL);

    write(book, &table);

    return table.row + 1;
}

uint32_t month_write_sections(struct month_book *book, uint32_t row)
{
    row = write_section(book, "outside", row, month_write_outside);
    row = write_section(book, "sampling", row, write_sampling);
    if (count_moved(book->month) > 0)
        row = write_section(book, "moved", row, write_moved);

    return row;
}
