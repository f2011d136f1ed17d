/*
 * Of month_inside.h: a chart of each limited parameter. Limits of one parameter at one station
 * share a chart, each with its own rule across: over the days of its season, and only where the
 * bound is on what the chart draws. A bound on a difference, a change, a sum or a time is on
 * something else, and is not ruled. Readings of other places and those that a person left out are
 * not drawn.
 *
 * What a chart draws beside the cells of other sheets (the ends of its rules, the values beyond
 * a bound) stands at the right of the charts, outside the print area. Where there are less-thans
 * or greater-thans all values stand there, each kind in rows of its own: a result reported as
 * below 0.05 is no result of 0.05, and is not drawn as one.
 */
#include "base/str.h"
#include "judge/applies.h"
#include "report/chart.h"
#include "report/month_inside.h"

enum {
    CHART_ROWS = 14,
    CHARTS_A_PAGE = 3,
    FIRST_ROW = 2,
    DENSE = 200,
    LABEL_DAYS_BEFORE_END = 5,
    SERIES_MOST = 32
};

/* One chart while it is put together. */
struct drawing {
    struct month_book *book;
    const struct month_limit *first; /* of the limits that share it */
    struct table cells;
    struct chart_series series[SERIES_MOST];
    size_t count;
    bool beyond_named;
    bool ruled;
};

static bool share_chart(const struct limit *a, const struct limit *b)
{
    return str_equal(a->station, b->station) && str_equal(a->position, b->position) &&
           str_equal(a->parameter, b->parameter) && str_equal(a->unit, b->unit) &&
           a->daily == b->daily;
}

static bool is_by_day(const struct limit *limit)
{
    return limit->daily != DAILY_EVERY;
}

static void add_series(struct drawing *drawing, struct chart_series series)
{
    if (drawing->count < SERIES_MOST)
        drawing->series[drawing->count++] = series;
}

/* Write points to draw and give the ranges they stand in. */
static void cell_pair(struct drawing *drawing, const char *what, double at, double value)
{
    table_text(&drawing->cells, "what", what);
    table_number(&drawing->cells, "at", NULL, at);
    table_number(&drawing->cells, "value", "General", value);
    table_next(&drawing->cells);
}

static void draw_cells(struct drawing *drawing, enum chart_look look, uint32_t first_row,
                       const char *label)
{
    struct table *cells = &drawing->cells;
    struct arena *mem = drawing->book->mem;

    if (cells->row == first_row)
        return;
    add_series(drawing, (struct chart_series){
                            .look = look,
                            .times = book_range(mem, cells->page, first_row, cells->row - 1,
                                                table_at(cells, "at")),
                            .values = book_range(mem, cells->page, first_row, cells->row - 1,
                                                 table_at(cells, "value")),
                            .label = label,
                        });
}

/* Of each statistic: its figure is one that could have been drawn, rather than made of several. */
static const bool is_of_what_is_drawn[] = {
    [STATISTIC_VALUE] = true,
    [STATISTIC_MEAN] = true,
    [STATISTIC_GEOMETRIC_MEAN] = true,
    [STATISTIC_MEDIAN] = true,
    [STATISTIC_MINIMUM] = true,
    [STATISTIC_MAXIMUM] = true,
    [STATISTIC_PERCENTILE] = true,
    [STATISTIC_LOG_NORMAL_PERCENTILE] = true,
    [STATISTIC_FLOW_WEIGHTED_MEAN] = true,
    [STATISTIC_HYDROGEN_ION_MEAN] = true,
    [STATISTIC_LONGEST_OUTSIDE] = false,
};

static bool is_bound_of_chart(const struct limit *limit)
{
    return limit->against.kind == AGAINST_NONE && is_of_what_is_drawn[limit->statistic];
}

static bool same_season(const struct limit *a, const struct limit *b)
{
    return a->season.set == b->season.set &&
           (!a->season.set || (a->season.from == b->season.from && a->season.to == b->season.to));
}

/* Whether a limit before this one in the chart has the same bound, which is then ruled once. */
static bool is_ruled_before(const struct drawing *drawing, size_t index, bool ceiling)
{
    const struct limit *limit = drawing->book->limits[index].limit;

    for (size_t i = 0; i < index; i++) {
        const struct limit *other = drawing->book->limits[i].limit;

        if (share_chart(other, limit) && is_bound_of_chart(other) && same_season(other, limit) &&
            (ceiling ? other->bound.has_ceiling &&
                           decimal_compare(other->bound.ceiling, limit->bound.ceiling) == 0
                     : other->bound.has_floor &&
                           decimal_compare(other->bound.floor, limit->bound.floor) == 0))
            return true;
    }

    return false;
}

/* From the start of one day to the start of another, with its words clear of the edge. */
static void draw_rule_over(struct drawing *drawing, const struct limit *limit, const char *label,
                           double bound, day_number from, day_number to)
{
    uint32_t first_row = drawing->cells.row;
    day_number words_at = to - from > LABEL_DAYS_BEFORE_END ? to - LABEL_DAYS_BEFORE_END : from;

    cell_pair(drawing, limit->name, month_day_number(from), bound);
    cell_pair(drawing, limit->name, month_day_number(words_at), bound);
    cell_pair(drawing, limit->name, month_day_number(to), bound);
    draw_cells(drawing, CHART_RULE, first_row, label);
    drawing->ruled = true;
}

/* Over each run of days of the month that are in the limit's season. */
static void draw_rule(struct drawing *drawing, const struct limit *limit, const char *words,
                      struct decimal bound)
{
    struct month_book *book = drawing->book;
    day_number end = month_next(book->month->month);
    day_number from = DAY_NONE;
    const char *label = arena_printf(book->mem, "%s %s", words, decimal_text(book->mem, bound));

    if (limit->clause)
        label = arena_printf(book->mem, "%s (%s)", label, limit->clause);
    for (day_number day = book->month->month; day <= end; day++) {
        bool in_season = day < end && applies_in_season(limit, day);

        if (in_season && from == DAY_NONE) {
            from = day;
        } else if (!in_season && from != DAY_NONE) {
            draw_rule_over(drawing, limit, label, decimal_double(bound), from, day);
            from = DAY_NONE;
        }
    }
}

static void draw_bounds(struct drawing *drawing, size_t index)
{
    const struct limit *limit = drawing->book->limits[index].limit;
    const struct limit_bound *bound = &limit->bound;

    if (bound->has_ceiling && !is_ruled_before(drawing, index, true))
        draw_rule(drawing, limit, bound->ceiling_reached_is_outside ? "below" : "not above",
                  bound->ceiling);
    if (bound->has_floor && !is_ruled_before(drawing, index, false))
        draw_rule(drawing, limit, bound->floor_reached_is_outside ? "above" : "not below",
                  bound->floor);
}

/* A clause of a longer period reaches out of the month that is drawn. */
static bool in_month(const struct month_book *book, day_number day)
{
    return day >= book->month->month && day < month_next(book->month->month);
}

static void draw_beyond(struct drawing *drawing, const struct month_limit *limit)
{
    struct month_book *book = drawing->book;
    const struct verdict *verdict = limit->verdict;
    uint32_t first_row = drawing->cells.row;

    for (size_t i = 0; !is_by_day(limit->limit) && i < verdict->item_count; i++) {
        const struct verdict_item *item = &verdict->items[i];
        const struct evidence_series *series = &book->month->evidence->series[item->series];

        if (item->outside && item->value && in_month(book, item->day))
            cell_pair(drawing, limit->limit->name,
                      month_moment_number(book, series->readings[item->reading].at),
                      exact_double(item->value));
    }
    for (size_t i = 0; is_by_day(limit->limit) && i < verdict->day_count; i++) {
        if (verdict->days[i].outside && verdict->days[i].figure &&
            in_month(book, verdict->days[i].day))
            cell_pair(drawing, limit->limit->name, month_day_number(verdict->days[i].day),
                      exact_double(verdict->days[i].figure));
    }
    draw_cells(drawing, CHART_BEYOND, first_row, NULL);
    /* Where the chart has a legend it names these once, though several limits have some. */
    if (drawing->cells.row > first_row && drawing->series[0].name && !drawing->beyond_named) {
        drawing->series[drawing->count - 1].name = month_text(book, "charts.beyond");
        drawing->beyond_named = true;
    }
}

/* ---- values ---- */

/* A value that a chart may draw, in the order of the rows it stands in. */
struct drawn {
    const struct exact *value; /* NULL: the row has none */
    double at;
    char qualifier;
};

/* Of the limit's own place, and not left out by a person. */
static bool is_drawn(const struct month_placed *placed)
{
    return placed->item->place == 0 && !placed->reading->left_out;
}

/* Of a limit's readings, or of its days. */
static struct drawn drawn_at(struct month_book *book, const struct month_limit *limit,
                             const struct month_placed *placed, size_t index)
{
    if (is_by_day(limit->limit)) {
        const struct verdict_day *day = &limit->verdict->days[index];

        return (struct drawn){day->figure, month_day_number(day->day), day->figure_qualifier};
    }

    const struct month_placed *one = &placed[index];

    return (struct drawn){is_drawn(one) ? one->item->value : NULL,
                          month_moment_number(book, one->reading->at), one->item->qualifier};
}

static enum chart_look look_of(const struct drawing *drawing, const struct month_range *range,
                               char qualifier)
{
    if (qualifier == QUALIFIER_LESS || qualifier == QUALIFIER_NOT_DETECTED)
        return CHART_LESS;
    if (qualifier == QUALIFIER_GREATER)
        return CHART_GREATER;
    if (is_by_day(drawing->first->limit))
        return CHART_LINE;

    return range->rows > DENSE ? CHART_DOTS : CHART_POINTS;
}

/* The sheet, and the cells there, that a limit's values stand in. */
struct value_cells {
    const struct month_range *range;
    enum month_sheet sheet;
    const struct report_column *time;
    const struct report_column *value;
};

static struct value_cells cells_of(const struct drawing *drawing)
{
    const struct month_limit *limit = drawing->first;
    bool by_day = is_by_day(limit->limit);
    enum month_sheet sheet = by_day ? SHEET_DAILY : SHEET_READINGS;
    const struct report_table *table =
        definition_table(drawing->book->sheets[sheet], by_day ? "days" : "readings");

    return (struct value_cells){
        .range = by_day ? &limit->figures : &limit->values,
        .sheet = sheet,
        .time = definition_column(table, by_day ? "day" : "local"),
        .value = definition_column(table, by_day ? "figure" : "value"),
    };
}

/*
 * Values of one look again in rows of their own. They are numbers: a program that does not work
 * formulas out again would draw those as zero.
 */
static void draw_look(struct drawing *drawing, const struct value_cells *cells,
                      const struct month_placed *placed, enum chart_look look, const char *name)
{
    struct month_book *book = drawing->book;
    struct table *table = &drawing->cells;
    uint32_t first_row = table->row;

    for (uint32_t i = 0; i < cells->range->rows; i++) {
        struct drawn drawn = drawn_at(book, drawing->first, placed, i);
        bool is_it = drawn.value && look_of(drawing, cells->range, drawn.qualifier) == look;

        /* A line stays open where its day is none of it. */
        if (!is_it && look != CHART_LINE)
            continue;
        table_text(table, "what",
                   arena_printf(book->mem, "%s: %s", drawing->first->limit->name, name));
        table_number(table, "at", NULL, drawn.at);
        if (is_it)
            table_number(table, "value", "General", exact_double(drawn.value));
        table_next(table);
    }
    draw_cells(drawing, look, first_row, NULL);
    if (table->row > first_row)
        drawing->series[drawing->count - 1].name = name;
}

/* Where not all rows are results that are drawn: each kind by itself, and named. */
static void draw_apart(struct drawing *drawing, const struct value_cells *cells,
                       const struct month_placed *placed)
{
    struct month_book *book = drawing->book;

    draw_look(drawing, cells, placed, look_of(drawing, cells->range, QUALIFIER_NONE),
              month_text(book, "charts.result"));
    draw_look(drawing, cells, placed, CHART_LESS, month_text(book, "charts.less"));
    draw_look(drawing, cells, placed, CHART_GREATER, month_text(book, "charts.greater"));
}

/* The readings, or the figures of days, where they stand. False when there are none. */
static bool draw_values(struct drawing *drawing)
{
    struct month_book *book = drawing->book;
    struct value_cells cells = cells_of(drawing);
    const struct month_range *range = cells.range;
    const struct month_placed *placed = month_place_items(book, drawing->first->verdict);

    if (range->rows == 0 || range->live.count == 0)
        return false;
    for (uint32_t i = 0; i < range->rows; i++) {
        struct drawn drawn = drawn_at(book, drawing->first, placed, i);

        bool undrawn = !is_by_day(drawing->first->limit) && !is_drawn(&placed[i]);

        if (undrawn ||
            (drawn.value && (look_of(drawing, range, drawn.qualifier) == CHART_LESS ||
                             look_of(drawing, range, drawn.qualifier) == CHART_GREATER))) {
            draw_apart(drawing, &cells, placed);
            return true;
        }
    }
    add_series(drawing,
               (struct chart_series){
                   .look = look_of(drawing, range, QUALIFIER_NONE),
                   .times = book_range(book->mem, book->pages[cells.sheet], range->first_row,
                                       range->first_row + range->rows - 1, cells.time->at),
                   .values = range->live.cells,
               });

    return true;
}

static const char *title_of(const struct drawing *drawing)
{
    const struct limit *limit = drawing->first->limit;
    struct month_book *book = drawing->book;

    return arena_printf(book->mem, "%s%s%s, %s", month_parameter(book, limit->parameter),
                        is_by_day(limit) ? ", daily " : "",
                        is_by_day(limit) ? limit_daily_words[limit->daily] : "",
                        month_station(book, limit->station, limit->position));
}

/* Draw the chart of the limits that share it with `first`; true when there was one to draw. */
static bool draw(struct month_book *book, size_t first, struct table *cells, uint32_t row)
{
    struct drawing drawing = {.book = book, .first = &book->limits[first], .cells = *cells};
    bool any = draw_values(&drawing);

    for (size_t i = first; any && i < book->limit_count; i++) {
        if (!share_chart(book->limits[i].limit, drawing.first->limit) ||
            !is_bound_of_chart(book->limits[i].limit))
            continue;
        draw_bounds(&drawing, i);
        draw_beyond(&drawing, &book->limits[i]);
    }
    *cells = drawing.cells;
    if (!any)
        return false;

    struct chart chart = {
        .title = title_of(&drawing),
        .unit = drawing.first->limit->unit,
        .from = month_day_number(book->month->month),
        .until = month_day_number(month_next(book->month->month)),
        .series = drawing.series,
        .count = drawing.count,
    };

    chart.words = arena_printf(book->mem, "%s, %s%s", chart.title, chart.unit,
                               drawing.ruled ? ", with its bounds ruled across" : "");
    page_chart(book->pages[SHEET_CHARTS], row, 0, &chart);

    return true;
}

static bool is_first_of_its_chart(const struct month_book *book, size_t index)
{
    for (size_t i = 0; i < index; i++) {
        if (share_chart(book->limits[i].limit, book->limits[index].limit))
            return false;
    }

    return true;
}

void month_write_charts(struct month_book *book)
{
    struct page *page = book->pages[SHEET_CHARTS];
    const struct report_sheet *sheet = book->sheets[SHEET_CHARTS];
    struct table lines = table_begin_bare(page, sheet, "charts", 0);
    uint32_t last = table_at(&lines, "line_end");
    uint32_t row = FIRST_ROW;
    uint32_t *breaks = ARENA_ARRAY(book->mem, uint32_t, book->limit_count);
    size_t count = 0;

    page_join(page, 0, 0, last, STYLE_LEAD);
    page_text(page, 0, 0, STYLE_LEAD, month_sheet_heading(book, SHEET_CHARTS));

    struct table cells = table_begin(page, sheet, "drawn", 1, NULL);

    for (size_t i = 0; i < book->limit_count; i++) {
        if (!is_first_of_its_chart(book, i) || !draw(book, i, &cells, row))
            continue;
        row += CHART_ROWS;
        if ((row - FIRST_ROW) / CHART_ROWS % CHARTS_A_PAGE == 0)
            breaks[count++] = row;
    }
    if (row == FIRST_ROW) {
        page_join(page, row, 0, last, STYLE_PLAIN);
        page_text(page, row, 0, STYLE_PLAIN, lines.definition->empty);
    }
    /* No break after the last chart: it would print an empty page. */
    if (count > 0 && breaks[count - 1] == row)
        count--;
    page_breaks(page, breaks, count);
    page_print_area(page, row > FIRST_ROW ? row - 1 : row, last);
}
