/* Of month_inside.h: the days of the outlet, and each limit's figure of every day. */
#include "report/month_inside.h"

#include "base/str.h"

enum { FIGURES_SHOWN = 12, DECIMALS_MOST = 6 };

/* Numbers of the Daily rows of one limit, with the cells they stand in. */
struct daily {
    struct month_book *book;
    struct table *table;
    struct month_limit *limit;
    uint32_t first_row;
    double *figures;
    double *concentrations;
    double *volumes;
    const struct exact *factor; /* of a load; NULL not known */
};

/* Which readings a day has: rows of the sheet, and the numbers used among them. */
static struct live_range readings_of(const struct daily *daily, day_number day)
{
    struct month_book *book = daily->book;
    const struct month_limit *limit = daily->limit;
    const struct verdict *verdict = limit->verdict;
    const struct report_table *readings =
        definition_table(book->sheets[SHEET_READINGS], "readings");
    uint32_t row = limit->used.first_row;
    uint32_t rows = 0;
    size_t before = 0;
    size_t used = 0;

    for (size_t i = 0; i < verdict->item_count; i++) {
        const struct verdict_item *item = &verdict->items[i];

        row += item->day < day ? 1 : 0;
        rows += item->day == day ? 1 : 0;
        before += item->day < day && item->used ? 1 : 0;
        used += item->day == day && item->used ? 1 : 0;
    }
    if (rows == 0)
        return (struct live_range){0};

    return (struct live_range){
        .cells = book_range(book->mem, book->pages[SHEET_READINGS], row, row + rows - 1,
                            definition_column(readings, "used")->at),
        .values = limit->used.live.values + before,
        .count = used,
    };
}

static const char *number_format(struct month_book *book, const struct exact *value)
{
    int decimals = month_decimals(exact_text(book->mem, value, FIGURES_SHOWN));

    return book_number_format(book->mem, '=', decimals > DECIMALS_MOST ? DECIMALS_MOST : decimals,
                              0);
}

static void write_count(struct daily *daily, const struct verdict_day *day,
                        const struct live_range *range)
{
    struct arena *mem = daily->book->mem;

    if (range->cells && range->count == day->readings)
        table_formula(daily->table, "readings", "0", arena_printf(mem, "=COUNT(%s)", range->cells),
                      (double)day->readings);
    else
        table_number(daily->table, "readings", "0", (double)day->readings);
}

static void write_concentration(struct daily *daily, const struct verdict_day *day,
                                const struct live_range *range)
{
    struct month_limit *limit = daily->limit;

    if (!day->concentration || day->filled)
        return;

    double value = exact_double(day->concentration);
    const char *format = number_format(daily->book, day->concentration);
    const char *formula =
        range->cells ? live_daily(daily->book->mem, limit->limit->daily, range, value) : NULL;

    if (formula)
        table_formula(daily->table, "concentration", format, formula, value);
    else
        table_number(daily->table, "concentration", format, value);
    daily->concentrations[limit->concentrations.live.count++] = value;
}

/* The mean of the days measured, for one that was filled, or the day's own. */
static const char *concentration_cell(const struct daily *daily, const struct verdict_day *day,
                                      uint32_t last_row)
{
    struct arena *mem = daily->book->mem;
    uint32_t column = table_at(daily->table, "concentration");

    if (!day->filled)
        return book_cell(mem, daily->table->row, column);

    return arena_printf(mem, "AVERAGE(%s:%s)", book_cell(mem, daily->first_row, column),
                        book_cell(mem, last_row, column));
}

static double mean_of(const double *values, size_t count)
{
    double sum = 0;

    for (size_t i = 0; i < count; i++)
        sum += values[i];

    return count ? sum / (double)count : 0;
}

/* A load from its three cells; NULL where they do not give it. */
static const char *load_formula(const struct daily *daily, const struct verdict_day *day,
                                uint32_t last_row, double mean)
{
    struct arena *mem = daily->book->mem;

    if (!daily->factor || !day->volume || !day->figure || (!day->filled && !day->concentration))
        return NULL;

    double concentration = day->filled ? mean : exact_double(day->concentration);
    double load = concentration * exact_double(day->volume) * exact_double(daily->factor);

    if (!live_same(load, exact_double(day->figure)))
        return NULL;

    return arena_printf(mem, "=%s*%s*%s", concentration_cell(daily, day, last_row),
                        book_cell(mem, daily->table->row, table_at(daily->table, "volume")),
                        book_cell(mem, daily->table->row, table_at(daily->table, "factor")));
}

static const char *figure_formula(const struct daily *daily, const struct verdict_day *day,
                                  uint32_t last_row, double mean)
{
    struct arena *mem = daily->book->mem;
    enum limit_daily rule = daily->limit->limit->daily;

    if (rule == DAILY_LOAD)
        return load_formula(daily, day, last_row, mean);
    if (rule == DAILY_TOTAL && day->volume &&
        live_same(exact_double(day->volume), exact_double(day->figure)))
        return arena_printf(mem, "=%s",
                            book_cell(mem, daily->table->row, table_at(daily->table, "volume")));
    if (day->concentration && !day->filled &&
        live_same(exact_double(day->concentration), exact_double(day->figure)))
        return arena_printf(
            mem, "=%s", book_cell(mem, daily->table->row, table_at(daily->table, "concentration")));

    return NULL;
}

static void write_figure(struct daily *daily, const struct verdict_day *day, uint32_t last_row,
                         double mean)
{
    struct month_limit *limit = daily->limit;
    struct month_book *book = daily->book;

    if (day->volume) {
        double volume = exact_double(day->volume);

        table_number(daily->table, "volume", number_format(book, day->volume), volume);
        daily->volumes[limit->volumes.live.count++] = volume;
    }
    if (!day->figure)
        return;
    if (daily->factor && limit->limit->daily == DAILY_LOAD)
        table_number(daily->table, "factor", "General", exact_double(daily->factor));

    double figure = exact_double(day->figure);
    int decimals = month_decimals(exact_text(book->mem, day->figure, FIGURES_SHOWN));
    const char *format = book_number_format(book->mem, day->figure_qualifier == '<' ? '<' : '=',
                                            decimals > DECIMALS_MOST ? DECIMALS_MOST : decimals, 0);
    const char *formula = figure_formula(daily, day, last_row, mean);

    if (formula)
        table_formula(daily->table, "figure", format, formula, figure);
    else
        table_number(daily->table, "figure", format, figure);
    daily->figures[limit->figures.live.count++] = figure;
}

static const char *note_of(struct month_book *book, const struct verdict_day *day)
{
    const char *note = day->note ? day->note : "";

    if (day->filled && !day->note)
        note = month_text(book, "daily.filled");
    if (day->outside)
        note = *note ? arena_printf(book->mem, "beyond the bound; %s", note) : "beyond the bound";

    return note;
}

/* The factor of a load: as the licence states it, or what the units give. */
static const struct exact *factor_of(struct month_book *book, const struct verdict *verdict)
{
    if (verdict->limit->daily != DAILY_LOAD)
        return NULL;
    if (verdict->limit->load_factor)
        return exact_from_text(book->mem, verdict->limit->load_factor);
    for (size_t i = 0; i < verdict->day_count; i++) {
        const struct verdict_day *day = &verdict->days[i];

        if (!day->figure || !day->volume || !day->concentration || exact_sign(day->figure) <= 0)
            continue;

        return exact_div(book->mem, day->figure,
                         exact_mul(book->mem, day->concentration, day->volume));
    }

    return NULL;
}

/* The mean of the concentrations that days of their own have. */
static double measured_mean(struct month_book *book, const struct verdict *verdict)
{
    double *values = ARENA_ARRAY(book->mem, double, verdict->day_count);
    size_t count = 0;

    for (size_t i = 0; i < verdict->day_count; i++) {
        if (verdict->days[i].concentration && !verdict->days[i].filled)
            values[count++] = exact_double(verdict->days[i].concentration);
    }

    return mean_of(values, count);
}

static void write_day(struct daily *daily, const struct verdict_day *day, uint32_t last_row,
                      double mean)
{
    struct table *table = daily->table;
    struct live_range range = readings_of(daily, day->day);

    table_text(table, "limit", daily->limit->limit->name);
    table_number(table, "day", NULL, month_day_number(day->day));
    table_text(table, "discharge", month_discharge_words[day->discharge]);
    write_count(daily, day, &range);
    write_concentration(daily, day, &range);
    write_figure(daily, day, last_row, mean);
    table_text(table, "unit", daily->limit->limit->unit);
    table_text(table, "note", note_of(daily->book, day));
    table_next(table);
}

static void set_range(struct month_book *book, struct month_range *range, const struct table *table,
                      uint32_t first_row, const char *column, const double *values)
{
    range->first_row = first_row;
    range->rows = table->row - first_row;
    range->live.values = values;
    range->live.cells =
        book_range(book->mem, table->page, first_row, table->row - 1, table_at(table, column));
}

/* A limit on every reading makes no figure of its days. */
static bool has_daily_figures(const struct verdict *verdict)
{
    for (size_t i = 0; i < verdict->day_count; i++) {
        const struct verdict_day *day = &verdict->days[i];

        if (day->figure || day->concentration || day->volume)
            return true;
    }

    return verdict->limit->daily != DAILY_EVERY;
}

static void write_limit(struct month_book *book, struct table *table, struct month_limit *limit)
{
    const struct verdict *verdict = limit->verdict;
    struct daily daily = {
        .book = book,
        .table = table,
        .limit = limit,
        .first_row = table->row,
        .figures = ARENA_ARRAY(book->mem, double, verdict->day_count),
        .concentrations = ARENA_ARRAY(book->mem, double, verdict->day_count),
        .volumes = ARENA_ARRAY(book->mem, double, verdict->day_count),
        .factor = factor_of(book, verdict),
    };
    uint32_t last_row = table->row + (uint32_t)verdict->day_count - 1;
    double mean = measured_mean(book, verdict);

    if (verdict->day_count == 0 || !has_daily_figures(verdict))
        return;
    for (size_t i = 0; i < verdict->day_count; i++)
        write_day(&daily, &verdict->days[i], last_row, mean);
    set_range(book, &limit->figures, table, daily.first_row, "figure", daily.figures);
    set_range(book, &limit->concentrations, table, daily.first_row, "concentration",
              daily.concentrations);
    set_range(book, &limit->volumes, table, daily.first_row, "volume", daily.volumes);
}

/* The outlet's days: what every count of days on the first page rests on. */
static void write_outlet(struct month_book *book, struct table *table)
{
    const struct evidence *evidence = book->month->evidence;
    day_number next = month_next(book->month->month);
    uint32_t first_row = table->row;

    for (size_t i = 0; i < evidence->day_count; i++) {
        const struct discharge_day *day = &evidence->days[i];

        if (day->day < book->month->month || day->day >= next)
            continue;
        table_text(table, "limit", month_text(book, "daily.outlet"));
        table_number(table, "day", NULL, month_day_number(day->day));
        table_text(table, "discharge", month_discharge_words[day->state]);
        table_text(table, "note", day->because);
        table_next(table);
    }
    if (table->row > first_row)
        set_range(book, &book->discharge, table, first_row, "discharge", NULL);
}

void month_write_daily(struct month_book *book)
{
    struct table table = table_begin(book->pages[SHEET_DAILY], book->sheets[SHEET_DAILY], "days", 0,
                                     month_sheet_heading(book, SHEET_DAILY));

    write_outlet(book, &table);
    for (size_t i = 0; i < book->limit_count; i++)
        write_limit(book, &table, &book->limits[i]);
    table_end_filtered(&table);
}
