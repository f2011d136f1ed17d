/* Of month_inside.h: what follows the limits on the first page. */
#include "base/buf.h"
#include "base/str.h"
#include "report/month_inside.h"

enum { FIGURES_SHOWN = 12 };

/* ---- what was outside, day by day ---- */

/* The worst of a day's values beyond the bound, and how many there were. */
struct outside_day {
    day_number day;
    size_t count;
    const struct verdict_item *worst;
};

static bool is_worse(enum side side, const struct exact *value, const struct exact *than)
{
    return side == SIDE_BELOW ? exact_compare(value, than) < 0 : exact_compare(value, than) > 0;
}

static void write_outside_row(struct month_book *book, struct table *table,
                              const struct month_limit *limit, const char *date, const char *value,
                              const char *words)
{
    table_text(table, "date", date);
    table_text(table, "place", month_station(book, limit->limit->station, limit->limit->position));
    table_text(table, "limit", limit->limit->name);
    table_text(table, "value", value);
    table_text(table, "words", words);
    table_next(table);
}

/* The value with its mark: digit for digit where it was reported in the clause's unit. */
static const char *value_words(struct month_book *book, const struct limit *limit,
                               const struct verdict_item *item,
                               const struct evidence_reading *reading)
{
    const char *mark = item->qualifier == QUALIFIER_LESS      ? "<"
                       : item->qualifier == QUALIFIER_GREATER ? ">"
                                                              : "";
    const char *digits = str_equal(reading->unit, limit->unit)
                             ? decimal_text(book->mem, reading->reported)
                             : exact_text(book->mem, item->value, FIGURES_SHOWN);

    return arena_printf(book->mem, "%s%s", mark, digits);
}

static void write_outside_items(struct month_book *book, struct table *table,
                                const struct month_limit *limit)
{
    const struct verdict *verdict = limit->verdict;

    for (day_number day = verdict->from; day <= verdict->to; day++) {
        struct outside_day found = {.day = day};

        for (size_t i = 0; i < verdict->item_count; i++) {
            const struct verdict_item *item = &verdict->items[i];

            if (item->day != day || !item->outside || !item->value)
                continue;
            found.count++;
            if (!found.worst || is_worse(verdict->side, item->value, found.worst->value))
                found.worst = item;
        }
        if (found.count == 0)
            continue;

        const struct evidence_reading *reading =
            &book->month->evidence->series[found.worst->series].readings[found.worst->reading];

        write_outside_row(
            book, table, limit, zone_text(book->mem, book->month->farm->zone, reading->at),
            value_words(book, limit->limit, found.worst, reading),
            found.count == 1
                ? limit_bound_words(book->mem, limit->limit)
                : arena_printf(book->mem, "%s; the worst of %zu that day",
                               limit_bound_words(book->mem, limit->limit), found.count));
    }
}

static void write_outside_days(struct month_book *book, struct table *table,
                               const struct month_limit *limit)
{
    const struct verdict *verdict = limit->verdict;

    for (size_t i = 0; i < verdict->day_count; i++) {
        const struct verdict_day *day = &verdict->days[i];

        if (!day->outside || !day->figure)
            continue;
        write_outside_row(book, table, limit, day_text(book->mem, day->day),
                          exact_text(book->mem, day->figure, 6),
                          limit_bound_words(book->mem, limit->limit));
    }
}

static void write_outside(struct month_book *book, struct table *table)
{
    for (size_t i = 0; i < book->limit_count; i++) {
        const struct month_limit *limit = &book->limits[i];
        uint32_t before = table->row;

        write_outside_items(book, table, limit);
        if (table->row == before)
            write_outside_days(book, table, limit);
        if (table->row > before || limit->verdict->standing != STANDING_OUTSIDE)
            continue;
        write_outside_row(book, table, limit,
                          arena_printf(book->mem, "%s to %s",
                                       day_text(book->mem, limit->verdict->from),
                                       day_text(book->mem, limit->verdict->to)),
                          limit->verdict->compared_text, limit_words(book->mem, limit->limit));
    }
    table_end(table);
}

/* ---- sampling, findings, corrections ---- */

static const char *dues_words(struct month_book *book, const struct due_list *dues)
{
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

    return words.data;
}

static int missed_of(const struct due_list *dues)
{
    int missed = 0;

    for (size_t i = 0; i < dues->count; i++)
        missed += dues->items[i].state == DUE_MISSED ? 1 : 0;

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
        table_text(table, "words", dues_words(book, &row->dues));
        table_next(table);
    }
    table_end(table);
}

static void write_findings(struct month_book *book, struct table *table)
{
    for (size_t i = 0; i < book->month->finding_count; i++) {
        const struct report_finding *row = &book->month->findings[i];

        table_text(table, "title", row->title);
        table_text(table, "standing", row->standing);
        table_number(table, "opened", NULL, month_moment_number(book, row->opened_at));
        table_text(table, "words", row->words);
        table_next(table);
    }
    table_end(table);
}

/* Corrections that nobody else looked at and that moved a figure inside belong on this page. */
static bool moved_alone(const struct report_correction *correction)
{
    return correction->outside_to_inside && !correction->second_person;
}

static size_t count_moved(const struct discharge_month *month)
{
    size_t moved = 0;

    for (size_t i = 0; i < month->correction_count; i++)
        moved += moved_alone(&month->corrections[i]) ? 1 : 0;

    return moved;
}

static void write_moved(struct month_book *book, struct table *table)
{
    for (size_t i = 0; i < book->month->correction_count; i++) {
        const struct report_correction *row = &book->month->corrections[i];

        if (!moved_alone(row))
            continue;
        table_text(table, "at", zone_text(book->mem, book->month->farm->zone, row->at));
        table_text(table, "what",
                   arena_printf(book->mem, "%s, %s", month_station(book, row->station, NULL),
                                month_parameter(book, row->parameter)));
        table_text(table, "first", row->first_value);
        table_text(table, "new", row->new_value);
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
    row = write_section(book, "outside", row, write_outside);
    row = write_section(book, "sampling", row, write_sampling);
    row = write_section(book, "findings", row, write_findings);
    if (count_moved(book->month) > 0)
        row = write_section(book, "moved", row, write_moved);

    return row;
}
