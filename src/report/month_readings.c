/* Of month_inside.h: the sheet of readings, and which of its rows a limit rests on. */
#include <stdlib.h>
#include <string.h>

#include "base/str.h"
#include "judge/beside.h"
#include "report/month_inside.h"

/* ROWS_PRINTED_MOST is some six pages. */
enum { FIGURES_SHOWN = 12, DECIMALS_MOST = 8, ROWS_PRINTED_MOST = 300 };

static int by_time(const void *a, const void *b)
{
    const struct month_placed *left = a;
    const struct month_placed *right = b;

    if (left->item->day != right->item->day)
        return left->item->day < right->item->day ? -1 : 1;
    if (left->reading->at != right->reading->at)
        return left->reading->at < right->reading->at ? -1 : 1;

    /* The judge's own order, so that the same input gives the same bytes. */
    return (left->item > right->item) - (left->item < right->item);
}

/* A state that held is shown at the instant at which it did. */
static const struct evidence_reading *
held_reading(struct month_book *book, const struct evidence_reading *reading, instant at)
{
    struct evidence_reading *held = ARENA_NEW(book->mem, struct evidence_reading);

    *held = *reading;
    held->at = held->until = at;

    return held;
}

const struct month_placed *month_place_items(struct month_book *book, const struct verdict *verdict)
{
    const struct evidence *evidence = book->month->evidence;
    struct month_placed *placed = ARENA_ARRAY(book->mem, struct month_placed, verdict->item_count);

    for (size_t i = 0; i < verdict->item_count; i++) {
        const struct verdict_item *item = &verdict->items[i];

        placed[i] =
            (struct month_placed){item, &evidence->series[item->series].readings[item->reading]};
        if (item->held_at != INSTANT_NONE)
            placed[i].reading = held_reading(book, placed[i].reading, item->held_at);
    }
    qsort(placed, verdict->item_count, sizeof(*placed), by_time);

    return placed;
}

/* The unit that the limit's readings are turned into: of a load that of concentration. */
static const char *reading_unit(struct month_book *book, const struct limit *limit)
{
    const struct parameter *parameter =
        parameter_find(&book->month->farm->known_parameters, limit->parameter);

    if (limit->daily != DAILY_LOAD)
        return limit->unit;

    return limit->load_concentration_unit ? limit->load_concentration_unit
           : parameter                    ? parameter->unit
                                          : "";
}

/* Of a total a flow is only the way to a volume: it has no value in the volume's unit. */
static bool is_flow_of_total(struct month_book *book, const struct limit *limit)
{
    const struct parameter *parameter =
        parameter_find(&book->month->farm->known_parameters, limit->parameter);

    return limit->daily == DAILY_TOTAL && parameter && parameter->kind != PARAMETER_COUNTER;
}

/* Digits after the point of a value in the clause's unit: as reported where that is the unit. */
static int value_decimals(struct month_book *book, const struct limit *limit,
                          const struct verdict_item *item, const struct exact *value)
{
    const struct evidence_reading *reading =
        &book->month->evidence->series[item->series].readings[item->reading];
    int decimals = month_decimals(exact_text(book->mem, value, FIGURES_SHOWN));

    if (str_equal(reading->unit, reading_unit(book, limit)) && reading->reported.scale > decimals)
        decimals = reading->reported.scale;

    return decimals > DECIMALS_MOST ? DECIMALS_MOST : decimals;
}

/* Most decimals of any reading, as first reported and in the clause's unit. */
static void most_decimals(struct month_book *book, const struct verdict *verdict, int *reported,
                          int *value)
{
    const struct evidence *evidence = book->month->evidence;

    *reported = *value = 0;
    for (size_t i = 0; i < verdict->item_count; i++) {
        const struct verdict_item *item = &verdict->items[i];
        int scale = evidence->series[item->series].readings[item->reading].first_reported.scale;
        int shown = item->value ? value_decimals(book, verdict->limit, item, item->value) : 0;
        int used = item->used ? value_decimals(book, verdict->limit, item, item->used) : 0;

        *reported = scale > *reported ? scale : *reported;
        *value = shown > *value ? shown : *value;
        *value = used > *value ? used : *value;
    }
    *reported = *reported > DECIMALS_MOST ? DECIMALS_MOST : *reported;
}

/* What the laboratory or the logger gave, digit for digit, whatever became of it. */
static void write_reported(struct month_book *book, struct table *table,
                           const struct evidence_reading *reading, int pad_to)
{
    const char *word = reading->first_qualifier == QUALIFIER_LESS      ? "<"
                       : reading->first_qualifier == QUALIFIER_GREATER ? ">"
                                                                       : "";

    if (reading->first_qualifier == QUALIFIER_NOT_DETECTED) {
        table_text(table, "reported", "not detected");
        return;
    }
    table_text(table, "mark", word);
    table_number(table, "reported",
                 book_number_format(book->mem, reading->first_qualifier,
                                    reading->first_reported.scale, pad_to),
                 decimal_double(reading->first_reported));
    table_text(table, "unit", reading->first_unit);
}

/* Of a state: the words that were read. Its numbers are none that anybody reported. */
static void write_state(struct table *table, const struct evidence_reading *reading)
{
    table_text(table, "reported", reading->first_unit);
    if (reading->corrected)
        table_text(table, "corrected", reading->unit);
    table_text(table, "value", reading->unit);
}

/* The value that a person put in its place; who did, and why, stands on the sheet Corrections. */
static void write_corrected(struct month_book *book, struct table *table,
                            const struct evidence_reading *reading)
{
    const char *format;

    if (!reading->corrected)
        return;
    if (reading->qualifier == QUALIFIER_NOT_DETECTED) {
        table_text(table, "corrected", "not detected");
        return;
    }
    format = book_number_format(book->mem, reading->qualifier, reading->reported.scale, 0);
    if (!str_equal(reading->unit, reading->first_unit))
        format = arena_printf(book->mem, "%s\" %s\"", format, reading->unit);
    table_number(table, "corrected", format, decimal_double(reading->reported));
}

/* The value in the clause's unit and what the less-than rule made of it. */
static void write_value(struct month_book *book, struct table *table, struct month_limit *limit,
                        const struct verdict_item *item, double *values, double *used)
{
    const char *cell;
    const char *formula;

    if (item->value) {
        double value = exact_double(item->value);
        int decimals = value_decimals(book, limit->limit, item, item->value);

        table_number(table, "value",
                     book_number_format(book->mem, item->qualifier, decimals, limit->decimals),
                     value);
        values[limit->values.live.count++] = value;
    }
    if (!item->used)
        return;

    double number = exact_double(item->used);
    const char *format = book_number_format(
        book->mem, '=', value_decimals(book, limit->limit, item, item->used), limit->decimals);

    cell = book_cell(book->mem, table->row, table_at(table, "value"));
    formula = item->value ? live_used(book->mem, limit->limit, item->qualifier, cell,
                                      exact_double(item->value), number)
                          : NULL;
    if (formula)
        table_formula(table, "used", format, formula, number);
    else
        table_number(table, "used", format, number);
    used[limit->used.live.count++] = number;
}

/* Of two places compared it is what they make that is beyond: no reading has such a bound. */
static const char *beyond_words(const struct limit *limit)
{
    return limit->against.kind == AGAINST_NONE ? "beyond the bound" : "its pair beyond the bound";
}

static void write_counted(struct month_book *book, struct table *table, const struct limit *limit,
                          const struct verdict_item *item, const struct evidence_series *series,
                          const struct evidence_reading *reading)
{
    const char *words = item->counted ? "counted" : "not counted";

    if (item->why_not)
        words = arena_printf(book->mem, "%s: %s", words, item->why_not);
    else if (!item->counted && reading->left_out)
        words = arena_printf(book->mem, "left out: %s", reading->left_out);
    if (item->outside)
        words = arena_printf(book->mem, "%s, %s", words, beyond_words(limit));
    if (item->doubt && (!item->why_not || !strstr(item->why_not, item->doubt)))
        words = arena_printf(book->mem, "%s; in doubt: %s", words, item->doubt);
    if (reading->corrected_by)
        words = arena_printf(book->mem, "%s; corrected: %s", words, reading->corrected_by);
    else if (reading->corrected)
        words = arena_printf(book->mem, "%s; corrected", words);
    if (series->by)
        words = arena_printf(book->mem, "%s; derived: %s", words, series->by->words);
    table_text(table, "counted", words);
}

/* The newest check that left it good, no later than the reading. */
static const struct evidence_check *last_good(const struct evidence_series *series, instant at)
{
    const struct evidence_check *good = NULL;

    for (size_t i = 0; i < series->check_count; i++)
        if (series->checks[i].left_good && series->checks[i].at <= at)
            good = &series->checks[i];

    return good;
}

/* "FM-2, in the hands of Ana" where a row named who read it. */
static const char *reader_words(struct month_book *book, const char *instrument,
                                const struct evidence_reading *reading)
{
    return reading->taken_by && !reading->sample
               ? arena_printf(book->mem, "%s, in the hands of %s", instrument ? instrument : "",
                              reading->taken_by)
               : instrument;
}

static void write_instrument(struct month_book *book, struct table *table,
                             const struct evidence_series *series,
                             const struct evidence_reading *reading)
{
    const struct evidence_check *good = last_good(series, reading->at);
    const char *instrument =
        reader_words(book, series->instrument ? series->instrument : series->made_by, reading);

    if (!series->instrument)
        table_text(table, "instrument", instrument);
    else if (!good)
        table_text(
            table, "instrument",
            arena_printf(book->mem, "%s; no good check on record before", series->instrument));
    else
        table_text(table, "instrument",
                   arena_printf(book->mem, "%s; last good check: visit %d, %s", instrument,
                                good->visit,
                                day_words(book->mem, zone_day(book->month->farm->zone, good->at))));
}

static void write_origin(struct month_book *book, struct table *table,
                         const struct evidence_reading *reading)
{
    const struct month_origin origin =
        month_origin(book, reading->origin.receipt, reading->origin.line);

    table_text(table, "sample", reading->sample);
    table_text(table, "beside", beside_words(book->mem, book->month->farm->zone, reading->beside));
    table_text(table, "file", origin.file);
    if (origin.line > 0)
        table_number(table, "line", "0", origin.line);
    if (reading->origin.column > 0)
        table_number(table, "column", "0", reading->origin.column);
}

static void write_reading(struct month_book *book, struct table *table, struct month_limit *limit,
                          const struct month_placed *placed, int pad_to, double *values,
                          double *used)
{
    const struct evidence_series *series = &book->month->evidence->series[placed->item->series];
    struct civil utc = instant_to_utc(placed->reading->at);
    struct civil local = zone_to_civil(book->month->farm->zone, placed->reading->at, NULL, NULL);
    bool seconds = local.second != 0 || local.microsecond != 0;
    const char *format = seconds ? BOOK_MOMENT_FORMAT ":ss" : BOOK_MOMENT_FORMAT;

    table_text(table, "limit", limit->limit->name);
    table_number(table, "local", format, month_moment_number(book, placed->reading->at));
    table_text(table, "utc",
               arena_printf(book->mem, "%04d-%02d-%02dT%02d:%02d:%02dZ", utc.year, utc.month,
                            utc.day, utc.hour, utc.minute, utc.second));
    table_text(table, "station", month_station(book, series->station, series->position));
    if (month_is_state(limit->limit)) {
        write_state(table, placed->reading);
    } else {
        write_reported(book, table, placed->reading, pad_to);
        write_corrected(book, table, placed->reading);
        if (!is_flow_of_total(book, limit->limit)) {
            write_value(book, table, limit, placed->item, values, used);
            table_text(table, "clause_unit", reading_unit(book, limit->limit));
        }
    }
    write_counted(book, table, limit->limit, placed->item, series, placed->reading);
    write_origin(book, table, placed->reading);
    write_instrument(book, table, series, placed->reading);
    table_next(table);
}

static void write_limit(struct month_book *book, struct table *table, struct month_limit *limit)
{
    const struct verdict *verdict = limit->verdict;
    const struct month_placed *placed = month_place_items(book, verdict);
    double *values = ARENA_ARRAY(book->mem, double, verdict->item_count);
    double *used = ARENA_ARRAY(book->mem, double, verdict->item_count);
    int reported;

    most_decimals(book, verdict, &reported, &limit->decimals);
    limit->values.first_row = limit->used.first_row = table->row;
    limit->values.rows = limit->used.rows = (uint32_t)verdict->item_count;
    limit->values.live.values = values;
    limit->used.live.values = used;
    for (size_t i = 0; i < verdict->item_count; i++)
        write_reading(book, table, limit, &placed[i], reported, values, used);
    if (verdict->item_count == 0)
        return;
    limit->values.live.cells = book_range(book->mem, table->page, limit->values.first_row,
                                          table->row - 1, table_at(table, "value"));
    limit->used.live.cells = book_range(book->mem, table->page, limit->used.first_row,
                                        table->row - 1, table_at(table, "used"));
}

static size_t count_rows(const struct month_book *book)
{
    size_t rows = 0;

    for (size_t i = 0; i < book->limit_count; i++)
        rows += book->limits[i].verdict->item_count;

    return rows;
}

bool month_readings_stay_unprinted(const struct month_book *book)
{
    return count_rows(book) > ROWS_PRINTED_MOST;
}

void month_write_readings(struct month_book *book)
{
    struct page *page = book->pages[SHEET_READINGS];
    const char *heading = month_sheet_heading(book, SHEET_READINGS);

    if (month_readings_stay_unprinted(book))
        heading = arena_printf(book->mem, "%s. %zu %s", heading, count_rows(book),
                               month_text(book, "readings.unprinted"));

    struct table table = table_begin(page, book->sheets[SHEET_READINGS], "readings", 0, heading);

    for (size_t i = 0; i < book->limit_count; i++)
        write_limit(book, &table, &book->limits[i]);
    /* A month of probes is hundreds of pages that nobody reads on paper: the headings stand for it.
     */
    if (month_readings_stay_unprinted(book))
        page_print_area(page, table.first_row - 1, (uint32_t)table.sheet->width_count - 1);
    table_end_filtered(&table);
}
