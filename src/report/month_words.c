/* Of month_inside.h: words that several sheets use. */
#include <string.h>

#include "base/buf.h"
#include "base/sheet.h"
#include "base/str.h"
#include "report/month_inside.h"
#include "report/workbook_inside.h"

enum { VOLUME_FIGURES = 12 };

const char *const month_discharge_words[] = {
    [DISCHARGE_YES] = "discharging",
    [DISCHARGE_NONE] = "no discharge",
    [DISCHARGE_UNKNOWN] = "not known, counts as discharging",
    [DISCHARGE_DISAGREES] = "records disagree, counts as discharging",
};

const char *month_text(struct month_book *book, const char *key)
{
    const char *text = definition_text(book->definition, key);

    if (!text)
        book_fail(book->book, ERR_BUG, "the report has no text %s", key);

    return text ? text : "";
}

const char *month_sheet_heading(struct month_book *book, enum month_sheet sheet)
{
    const struct discharge_month *month = book->month;

    return arena_printf(book->mem, "%s: %s%s, %s", book->sheets[sheet]->name, month->farm->name,
                        month->farm->invented ? " (INVENTED)" : "",
                        month_words(book->mem, month->month));
}

static const char *point_name(const struct farm_licence *licence, const char *station)
{
    for (size_t i = 0; i < licence->point_count; i++) {
        if (str_equal(licence->points[i].station, station))
            return licence->points[i].called;
    }

    return NULL;
}

static const char *position_name(const struct farm_station *station, const char *key)
{
    for (size_t i = 0; i < station->position_count; i++) {
        if (str_equal(station->positions[i].key, key))
            return station->positions[i].name;
    }

    return key;
}

const char *month_station(struct month_book *book, const char *key, const char *position)
{
    struct buf words = buf_new(book->mem);
    const struct farm_station *station = NULL;
    const char *called = point_name(book->month->licence, key);

    for (size_t i = 0; i < book->month->farm->stations.count; i++) {
        if (str_equal(book->month->farm->stations.items[i].key, key))
            station = &book->month->farm->stations.items[i];
    }
    buf_add_text(&words, station && station->name ? station->name : key ? key : "");
    if (position)
        buf_addf(&words, ", %s", station ? position_name(station, position) : position);
    if (called)
        buf_addf(&words, " (%s)", called);

    return words.data;
}

const char *month_limit_name(struct month_book *book, const struct verdict *verdict)
{
    struct civil first = civil_from_day(verdict->from);

    if (verdict->from == book->month->month && verdict->to == month_next(book->month->month) - 1)
        return verdict->limit->name;
    if (verdict->from < book->month->month || verdict->to >= month_next(book->month->month))
        return arena_printf(book->mem, "%s, %s to %s", verdict->limit->name,
                            day_words(book->mem, verdict->from), day_words(book->mem, verdict->to));
    if (verdict->from == verdict->to)
        return arena_printf(book->mem, "%s, %s", verdict->limit->name,
                            day_words(book->mem, verdict->from));

    return arena_printf(book->mem, "%s, %d to %s", verdict->limit->name, first.day,
                        day_words(book->mem, verdict->to));
}

const char *month_measured_by(struct month_book *book, const struct limit *limit)
{
    const struct parameter *parameter =
        parameter_find(&book->month->farm->known_parameters, limit->parameter);

    if (limit->daily != DAILY_TOTAL || !parameter)
        return "";

    return parameter->kind == PARAMETER_COUNTER ? "by the meter" : "by the flow";
}

static bool is_bound(struct month_book *book, const struct limit_bound *bound,
                     const struct exact *figure)
{
    return (bound->has_ceiling &&
            exact_compare(figure, exact_from_decimal(book->mem, bound->ceiling)) == 0) ||
           (bound->has_floor &&
            exact_compare(figure, exact_from_decimal(book->mem, bound->floor)) == 0);
}

struct rounding month_shown_rounding(struct month_book *book, const struct limit *limit,
                                     const struct exact *figure)
{
    static const struct rounding tenth = {ROUND_HALF_UP, ROUND_TO_DECIMALS, 1};

    if (limit->daily != DAILY_TOTAL || limit->rounding.rule != ROUND_NONE ||
        month_decimals(exact_text(book->mem, figure, VOLUME_FIGURES)) <= 1 ||
        is_bound(book, &limit->bound, exact_round(book->mem, figure, tenth)))
        return limit->rounding;

    return tenth;
}

const char *month_made_words(struct month_book *book)
{
    instant made_at = book->month->made_at;
    struct civil local;

    made_at -= made_at % SECOND_US;
    local = zone_to_civil(book->month->farm->zone, made_at, NULL, NULL);

    return arena_printf(book->mem, "%s %02d:%02d:%02d by the farm's clocks (%s)",
                        day_words(book->mem, zone_day(book->month->farm->zone, made_at)),
                        local.hour, local.minute, local.second, instant_text(book->mem, made_at));
}

const char *month_parameter(struct month_book *book, const char *key)
{
    const struct parameter *parameter = parameter_find(&book->month->farm->known_parameters, key);

    return parameter ? parameter_title(book->mem, parameter) : key;
}

const char *month_file(struct month_book *book, int64_t receipt)
{
    for (size_t i = 0; i < book->month->receipt_count; i++) {
        if (book->month->receipts[i].receipt == receipt)
            return book->month->receipts[i].file_name;
    }

    return receipt ? arena_printf(book->mem, "file received %lld", (long long)receipt) : "";
}

static const char *month_sheet_of(const struct month_book *book, int64_t receipt, int32_t line)
{
    for (size_t i = 0; i < book->month->receipt_count; i++) {
        if (book->month->receipts[i].receipt == receipt)
            return place_sheet_name(&book->month->receipts[i].sheets, line);
    }

    return NULL;
}

struct month_origin month_origin(struct month_book *book, int64_t receipt, int32_t line)
{
    const char *file = month_file(book, receipt);
    const char *sheet = month_sheet_of(book, receipt, line);

    if (!sheet)
        return (struct month_origin){file, line};

    return (struct month_origin){arena_printf(book->mem, "%s, sheet %s", file, sheet),
                                 place_row(line)};
}

double month_day_number(day_number day)
{
    struct civil civil = civil_from_day(day);

    return sheet_serial_from_civil(&civil);
}

double month_moment_number(const struct month_book *book, instant at)
{
    struct civil civil = zone_to_civil(book->month->farm->zone, at, NULL, NULL);

    return sheet_serial_from_civil(&civil);
}

int month_decimals(const char *text)
{
    const char *point = text ? strchr(text, '.') : NULL;

    return point ? (int)strspn(point + 1, "0123456789") : 0;
}

bool month_is_state(const struct limit *limit)
{
    return limit->bound_by.kind == BOUND_STATE;
}

const char *month_less_than_words(struct month_book *book, const struct limit *limit)
{
    if (limit_of_single_values(limit))
        return "all they could be";
    if (limit->less_than == LESS_THAN_STATED)
        return arena_printf(book->mem, "stated: %s",
                            decimal_text(book->mem, limit->less_than_stated));

    return less_than_words[limit->less_than];
}

const char *month_greater_than_words(struct month_book *book, const struct limit *limit)
{
    if (limit->greater_than == GREATER_THAN_STATED)
        return arena_printf(book->mem, "stated: %s",
                            decimal_text(book->mem, limit->greater_than_stated));

    return greater_than_words[limit->greater_than];
}

const char *month_rounding_words(struct month_book *book, const struct limit *limit)
{
    const struct rounding *rounding = &limit->rounding;
    int digits = rounding->digits;

    if (rounding->rule == ROUND_NONE)
        return "not rounded";

    if (rounding->to == ROUND_TO_DECIMALS && digits == 0)
        return rounding->rule == ROUND_HALF_UP ? "half up to whole numbers"
                                               : "half to even, to whole numbers";

    return arena_printf(book->mem, "half %s to %d %s%s%s",
                        rounding->rule == ROUND_HALF_UP ? "up" : "to even,", digits,
                        rounding->to == ROUND_TO_DECIMALS ? "decimal" : "figure",
                        digits == 1 ? "" : "s", limit->rounding_to_bound ? ", as the bound" : "");
}

void month_show(struct table *table, const char *column, const struct month_cell *cell, int pad_to)
{
    struct arena *mem = table->page->book->mem;

    if (!cell->reference)
        table_text(table, column, cell->text);
    else if (cell->is_number)
        table_formula(
            table, column,
            book_number_format(mem, cell->mark ? cell->mark : '=', cell->decimals, pad_to),
            arena_printf(mem, "=%s", cell->reference), cell->number);
    else
        table_formula_text(table, column, arena_printf(mem, "=%s", cell->reference), cell->text);
}

bool month_moved_alone(const struct report_correction *row)
{
    return (row->outside_to_inside || row->cleared_count > 0) && !row->second_person;
}

const char *month_correction_place(struct month_book *book, const struct report_correction *row)
{
    const char *station = row->station ? month_station(book, row->station, NULL) : NULL;
    const struct month_origin origin = month_origin(book, row->receipt, row->line);
    const char *place =
        row->receipt ? arena_printf(book->mem, "line %d of %s", (int)origin.line, origin.file)
                     : NULL;

    if (!station || !place)
        return station ? station : place ? place : "";

    return arena_printf(book->mem, "%s, %s", station, place);
}
