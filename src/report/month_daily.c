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
    const struct exact *factor; /* of a load; NULL not known, or no load */
    uint32_t last_row;
    bool in_parts; /* some day's load has several, each in a row of its own above the day's */
    double mean;   /* of the concentrations that days of their own have */
};

/* How many parts a day's load has, where it is not one product: else 0. */
static size_t parts_of(const struct limit *limit, const struct verdict_day *day)
{
    bool parted = limit->daily == DAILY_LOAD && day->figure && day->loads && day->loads->count > 1;

    return parted ? day->loads->count : 0;
}

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

    if (!day->concentration)
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

static double mean_of(const double *values, size_t count)
{
    double sum = 0;

    for (size_t i = 0; i < count; i++)
        sum += values[i];

    return count ? sum / (double)count : 0;
}

static const char *own_cell(const struct daily *daily, const char *column)
{
    return book_cell(daily->book->mem, daily->table->row, table_at(daily->table, column));
}

static void write_water(struct daily *daily, const struct exact *water)
{
    double value = exact_double(water);

    table_number(daily->table, "volume", number_format(daily->book, water), value);
    daily->volumes[daily->limit->volumes.live.count++] = value;
}

static const char *const which_water[] = {
    [LOAD_WATER_OF_DAY] = "daily.water_of_day",
    [LOAD_WATER_WHILE_SAMPLING] = "daily.water_while_sampling",
    [LOAD_WATER_PERIOD_MEAN] = "daily.water_period_mean",
    [LOAD_MEAN_TIMES_VOLUME] = "daily.water_of_day",
};

/* The water of a load, which it is, and the factor: where they give it together. */
static void write_product(struct daily *daily, const struct verdict_load *load)
{
    write_water(daily, load->water);
    table_text(daily->table, "which", month_text(daily->book, which_water[load->water_used]));
    table_number(daily->table, "factor", "General", exact_double(daily->factor));
}

/* Whether concentration times water times factor is what the workbook shows as the load. */
static bool is_product(const struct daily *daily, const struct verdict_load *load,
                       double concentration)
{
    return daily->factor && load->water && load->load &&
           live_same(concentration * exact_double(load->water) * exact_double(daily->factor),
                     exact_double(load->load));
}

static const char *product_formula(const struct daily *daily, const char *concentration)
{
    return arena_printf(daily->book->mem, "=%s*%s*%s", concentration, own_cell(daily, "volume"),
                        own_cell(daily, "factor"));
}

/* ---- a load of several parts ---- */

static const char *part_words(const struct daily *daily, const struct verdict_load *load)
{
    struct month_book *book = daily->book;
    const char *place = month_station(book, limit_station(daily->limit->limit, load->place), NULL);

    if (load->at == INSTANT_NONE)
        return place;

    struct civil at = zone_to_civil(book->month->farm->zone, load->at, NULL, NULL);

    return arena_printf(book->mem, "%s, %s %02d:%02d", place, month_text(book, "daily.sample_of"),
                        at.hour, at.minute);
}

/* One row of a part; whether it holds its load. */
static bool write_part(struct daily *daily, const struct verdict_day *day,
                       const struct verdict_load *load)
{
    struct table *table = daily->table;
    struct month_limit *limit = daily->limit;
    double concentration = load->concentration ? exact_double(load->concentration) : 0;
    bool product = load->concentration && is_product(daily, load, concentration);

    table_text(table, "limit", limit->limit->name);
    table_number(table, "day", NULL, month_day_number(day->day));
    if (product) {
        table_number(table, "concentration", number_format(daily->book, load->concentration),
                     concentration);
        daily->concentrations[limit->concentrations.live.count++] = concentration;
        write_product(daily, load);
        table_formula(table, "part", number_format(daily->book, load->load),
                      product_formula(daily, own_cell(daily, "concentration")),
                      exact_double(load->load));
    } else if (load->load) {
        table_number(table, "part", number_format(daily->book, load->load),
                     exact_double(load->load));
    }
    table_text(table, "unit", limit->limit->unit);
    table_text(table, "note",
               product ? part_words(daily, load)
                       : arena_printf(daily->book->mem, "%s; %s", part_words(daily, load),
                                      month_text(daily->book, "daily.no_product")));
    table_next(table);

    return load->load != NULL;
}

/* The parts of a place: rows one under the other, of which the mean counts. */
static const char *place_formula(const struct daily *daily, uint32_t first, uint32_t last)
{
    struct arena *mem = daily->book->mem;
    uint32_t column = table_at(daily->table, "part");

    if (first == last)
        return book_cell(mem, first, column);

    return arena_printf(mem, "AVERAGE(%s:%s)", book_cell(mem, first, column),
                        book_cell(mem, last, column));
}

/* The rows of a day's parts, and its load from them; NULL where they do not give it. */
static const char *write_parts(struct daily *daily, const struct verdict_day *day)
{
    const struct verdict_loads *loads = day->loads;
    struct arena *mem = daily->book->mem;
    const char *formula = "=";
    double sum = 0;
    bool whole = true;

    for (size_t first = 0, after; first < loads->count; first = after) {
        uint32_t row = daily->table->row;
        double of_place = 0;

        for (after = first;
             after < loads->count && loads->items[after].place == loads->items[first].place;
             after++) {
            const struct verdict_load *load = &loads->items[after];

            whole = write_part(daily, day, load) && whole;
            of_place += load->load ? exact_double(load->load) : 0;
        }
        sum += of_place / (double)(after - first);
        formula = arena_printf(mem, "%s%s%s", formula, first == 0 ? "" : "+",
                               place_formula(daily, row, daily->table->row - 1));
    }

    return whole && live_same(sum, exact_double(day->figure)) ? formula : NULL;
}

/* ---- figures of days ---- */

/* The mean of the days measured, for one that was filled, or the day's own. */
static const char *concentration_cell(const struct daily *daily, const struct verdict_day *day)
{
    struct arena *mem = daily->book->mem;
    uint32_t column = table_at(daily->table, "concentration");

    if (day->concentration)
        return own_cell(daily, "concentration");

    return arena_printf(mem, "AVERAGE(%s:%s)", book_cell(mem, daily->first_row, column),
                        book_cell(mem, daily->last_row, column));
}

/* The one product that a day's load is, with the cells it is made of; NULL: the cells stay blank.
 */
static const char *load_formula(struct daily *daily, const struct verdict_day *day)
{
    const struct verdict_load *load =
        day->loads && day->loads->count == 1 ? day->loads->items : NULL;
    bool stands_in = day->filled && !day->concentration;
    double concentration = stands_in            ? daily->mean
                           : day->concentration ? exact_double(day->concentration)
                                                : 0;

    if (!load || (stands_in && daily->in_parts) || !is_product(daily, load, concentration) ||
        !live_same(exact_double(load->load), exact_double(day->figure)))
        return NULL;
    write_product(daily, load);

    return product_formula(daily, concentration_cell(daily, day));
}

static const char *figure_formula(struct daily *daily, const struct verdict_day *day)
{
    struct arena *mem = daily->book->mem;
    enum limit_daily rule = daily->limit->limit->daily;

    if (rule == DAILY_LOAD)
        return load_formula(daily, day);
    if (rule == DAILY_TOTAL && day->volume &&
        live_same(exact_double(day->volume), exact_double(day->figure)))
        return arena_printf(mem, "=%s", own_cell(daily, "volume"));
    if (day->concentration &&
        live_same(exact_double(day->concentration), exact_double(day->figure)))
        return arena_printf(mem, "=%s", own_cell(daily, "concentration"));

    return NULL;
}

/* Whether the figure stands beside cells that give it, or of a load beside none at all. */
static bool write_figure(struct daily *daily, const struct verdict_day *day, const char *of_parts)
{
    struct month_limit *limit = daily->limit;
    struct month_book *book = daily->book;
    bool is_load = limit->limit->daily == DAILY_LOAD;

    if (day->volume && (!is_load || !day->figure))
        write_water(daily, day->volume);
    if (!day->figure)
        return true;

    double figure = exact_double(day->figure);
    int decimals = month_decimals(exact_text(book->mem, day->figure, FIGURES_SHOWN));
    const char *format = book_number_format(book->mem, day->figure_qualifier == '<' ? '<' : '=',
                                            decimals > DECIMALS_MOST ? DECIMALS_MOST : decimals, 0);
    const char *formula = of_parts ? of_parts : figure_formula(daily, day);

    if (formula)
        table_formula(daily->table, "figure", format, formula, figure);
    else
        table_number(daily->table, "figure", format, figure);
    daily->figures[limit->figures.live.count++] = figure;

    return formula || !is_load;
}

static const char *note_of(struct month_book *book, const struct verdict_day *day,
                           const char *about_load)
{
    const char *note = day->note ? day->note : "";

    if (about_load)
        note = *note ? arena_printf(book->mem, "%s; %s", about_load, note) : about_load;

    if (day->filled && !day->note)
        note = month_text(book, "daily.filled");
    if (day->outside)
        note = *note ? arena_printf(book->mem, "beyond the bound; %s", note) : "beyond the bound";

    return note;
}

/* The mean of the concentrations that days of their own have. */
static double measured_mean(struct month_book *book, const struct verdict *verdict)
{
    double *values = ARENA_ARRAY(book->mem, double, verdict->day_count);
    size_t count = 0;

    for (size_t i = 0; i < verdict->day_count; i++) {
        if (verdict->days[i].concentration)
            values[count++] = exact_double(verdict->days[i].concentration);
    }

    return mean_of(values, count);
}

/* Whether the parts are of several places, so that they were added, or held against each other. */
static bool of_several_places(const struct verdict_loads *loads)
{
    return loads->items[0].place != loads->items[loads->count - 1].place;
}

static void write_day(struct daily *daily, const struct verdict_day *day)
{
    struct table *table = daily->table;
    struct month_book *book = daily->book;
    struct live_range range = readings_of(daily, day->day);
    size_t parts = parts_of(daily->limit->limit, day);
    const char *of_parts = parts > 0 ? write_parts(daily, day) : NULL;
    const char *about = NULL;

    if (parts > 0)
        about = month_text(book, of_several_places(day->loads) ? "daily.places" : "daily.samples");
    table_text(table, "limit", daily->limit->limit->name);
    table_number(table, "day", NULL, month_day_number(day->day));
    table_text(table, "discharge", month_discharge_words[day->discharge]);
    write_count(daily, day, &range);
    if (parts == 0)
        write_concentration(daily, day, &range);
    if (!write_figure(daily, day, of_parts) && parts == 0)
        about = month_text(book, "daily.no_product");
    table_text(table, "unit", daily->limit->limit->unit);
    table_text(table, "note", note_of(book, day, about));
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

/* The rows of a limit: a day's own, and above it one for each of its parts. */
static size_t rows_of(const struct verdict *verdict)
{
    size_t rows = verdict->day_count;

    for (size_t i = 0; i < verdict->day_count; i++)
        rows += parts_of(verdict->limit, &verdict->days[i]);

    return rows;
}

static void write_limit(struct month_book *book, struct table *table, struct month_limit *limit)
{
    const struct verdict *verdict = limit->verdict;
    size_t rows = rows_of(verdict);
    struct daily daily = {
        .book = book,
        .table = table,
        .limit = limit,
        .first_row = table->row,
        .figures = ARENA_ARRAY(book->mem, double, rows),
        .concentrations = ARENA_ARRAY(book->mem, double, rows),
        .volumes = ARENA_ARRAY(book->mem, double, rows),
        .factor = verdict->load_factor,
        .last_row = table->row + (uint32_t)rows - 1,
        .in_parts = rows > verdict->day_count,
        .mean = measured_mean(book, verdict),
    };

    if (verdict->day_count == 0 || !has_daily_figures(verdict))
        return;
    for (size_t i = 0; i < verdict->day_count; i++)
        write_day(&daily, &verdict->days[i]);
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
