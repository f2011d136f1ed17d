#include "report/chart.h"

#include "report/workbook_inside.h"

/* Size that the library gives a chart. */
#define LIBRARY_WIDTH_PX 480.0
#define LIBRARY_HEIGHT_PX 288.0

enum { WEEK_DAYS = 7 };

/* The library takes names that it could change and does not. */
static lxw_chart_font font(struct arena *mem, double size, bool bold, lxw_color_t colour)
{
    return (lxw_chart_font){.name = arena_strdup(mem, style_sans),
                            .size = size,
                            .bold = bold ? LXW_TRUE : LXW_EXPLICIT_FALSE,
                            .color = colour};
}

/* How each look is drawn. */
static const struct look {
    double width; /* of the line in points; 0 no line */
    lxw_color_t colour;
    uint8_t marker;
    uint8_t size;
    bool pale; /* grey inside: not white, as some programs leave out a marker's edge */
} looks[] = {
    [CHART_LINE] = {1.0, COLOUR_INK, LXW_CHART_MARKER_CIRCLE, 4, false},
    [CHART_POINTS] = {0, COLOUR_INK, LXW_CHART_MARKER_X, 6, false},
    [CHART_DOTS] = {0, COLOUR_INK, LXW_CHART_MARKER_CIRCLE, 2, false},
    [CHART_BEYOND] = {0, COLOUR_OUTSIDE, LXW_CHART_MARKER_CIRCLE, 7, false},
    [CHART_LESS] = {0, COLOUR_INK, LXW_CHART_MARKER_DIAMOND, 9, true},
    [CHART_GREATER] = {0, COLOUR_INK, LXW_CHART_MARKER_TRIANGLE, 9, true},
    [CHART_RULE] = {1.25, COLOUR_ACCENT, LXW_CHART_MARKER_NONE, 0, false},
};

static void set_look(lxw_chart_series *series, const struct look *look)
{
    lxw_chart_line line = {.none = look->width > 0 ? LXW_FALSE : LXW_TRUE,
                           .color = look->colour,
                           .width = (float)look->width};
    lxw_chart_line edge = {.color = look->colour, .width = 0.75F};
    lxw_chart_fill fill = {.color = look->pale ? COLOUR_RULE : look->colour};

    chart_series_set_line(series, &line);
    chart_series_set_marker_type(series, look->marker);
    if (look->marker == LXW_CHART_MARKER_NONE)
        return;
    chart_series_set_marker_size(series, look->size);
    chart_series_set_marker_line(series, &edge);
    chart_series_set_marker_fill(series, &fill);
}

/* The rule's words over the second of its points. */
static void set_label(struct arena *mem, lxw_chart_series *series, const char *label)
{
    lxw_chart_font letters = font(mem, 8, true, COLOUR_ACCENT);
    lxw_chart_data_label none = {.hide = LXW_TRUE};
    lxw_chart_data_label words = {.value = arena_strdup(mem, label), .font = &letters};
    lxw_chart_data_label *labels[] = {&none, &words, &none, NULL};

    chart_series_set_labels(series);
    chart_series_set_labels_custom(series, labels);
    chart_series_set_labels_position(series, LXW_CHART_LABEL_POSITION_ABOVE);
}

static void add_series(struct page *page, lxw_chart *made, const struct chart_series *of)
{
    struct arena *mem = page->book->mem;
    lxw_chart_series *series = chart_add_series(made, arena_printf(mem, "=%s", of->times),
                                                arena_printf(mem, "=%s", of->values));

    if (!series) {
        book_fail(page->book, ERR_BUG, "sheet %s: a chart refused its series", page->name);
        return;
    }
    set_look(series, &looks[of->look]);
    if (of->name)
        chart_series_set_name(series, of->name);
    if (of->label)
        set_label(mem, series, of->label);
}

/* A legend of the series that have a name. */
static void set_legend(struct arena *mem, lxw_chart *made, const struct chart *chart)
{
    lxw_chart_font letters = font(mem, 8, false, COLOUR_INK);
    int16_t *nameless = ARENA_ARRAY(mem, int16_t, chart->count + 1);
    size_t count = 0;

    for (size_t i = 0; i < chart->count; i++) {
        if (!chart->series[i].name)
            nameless[count++] = (int16_t)i;
    }
    nameless[count] = -1;
    chart_legend_set_position(made, count == chart->count ? LXW_CHART_LEGEND_NONE
                                                          : LXW_CHART_LEGEND_BOTTOM);
    chart_legend_set_font(made, &letters);
    chart_legend_delete_series(made, nameless);
}

static void set_axes(struct arena *mem, lxw_chart *made, const struct chart *chart)
{
    lxw_chart_font letters = font(mem, 8, false, COLOUR_INK);
    lxw_chart_line ink = {.color = COLOUR_INK, .width = 0.75F};
    lxw_chart_line hair = {.color = 0xE0E0E0, .width = 0.5F};

    chart_axis_set_min(made->x_axis, chart->from);
    chart_axis_set_max(made->x_axis, chart->until);
    chart_axis_set_major_unit(made->x_axis, WEEK_DAYS);
    chart_axis_set_num_format(made->x_axis, "d mmm");
    chart_axis_set_label_position(made->x_axis, LXW_CHART_AXIS_LABEL_POSITION_LOW);
    chart_axis_set_num_font(made->x_axis, &letters);
    chart_axis_set_line(made->x_axis, &ink);
    chart_axis_major_gridlines_set_visible(made->x_axis, LXW_FALSE);

    chart_axis_set_name(made->y_axis, chart->unit);
    chart_axis_set_name_font(made->y_axis, &letters);
    chart_axis_set_num_font(made->y_axis, &letters);
    chart_axis_set_line(made->y_axis, &ink);
    chart_axis_major_gridlines_set_visible(made->y_axis, LXW_TRUE);
    chart_axis_major_gridlines_set_line(made->y_axis, &hair);
}

void page_chart(struct page *page, uint32_t row, uint32_t column, const struct chart *chart)
{
    struct book *book = page->book;
    lxw_chart_font heading = font(book->mem, 10, true, COLOUR_INK);
    lxw_chart_line none = {.none = LXW_TRUE};

    if (book->err.code != ERR_NONE)
        return;

    lxw_chart *made = workbook_add_chart(book->file, LXW_CHART_SCATTER_STRAIGHT_WITH_MARKERS);

    for (size_t i = 0; i < chart->count; i++)
        add_series(page, made, &chart->series[i]);
    chart_title_set_name(made, chart->title);
    chart_title_set_name_font(made, &heading);
    set_legend(book->mem, made, chart);
    chart_show_blanks_as(made, LXW_CHART_BLANKS_AS_GAP);
    chart_chartarea_set_line(made, &none);
    set_axes(book->mem, made, chart);

    lxw_chart_options options = {
        .x_scale = CHART_WIDTH_PX / LIBRARY_WIDTH_PX,
        .y_scale = CHART_HEIGHT_PX / LIBRARY_HEIGHT_PX,
        .object_position = LXW_OBJECT_MOVE_DONT_SIZE,
        .description = arena_strdup(book->mem, chart->words),
    };

    book_answer(page,
                worksheet_insert_chart_opt(page->sheet, row, (lxw_col_t)column, made, &options),
                row, column);
}
