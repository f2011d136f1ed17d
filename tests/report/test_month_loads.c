/*
 * Loads and volumes in the monthly discharge workbook: what stands beside a figure is what it was
 * made of, so that a stranger who multiplies the cells of a row comes to the figure in it.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "month_cells.h"

/* Columns of the sheet Daily, as report.yaml has them. */
enum {
    DAILY_LIMIT = 1,
    DAILY_DAY,
    DAILY_STATE,
    DAILY_READINGS,
    DAILY_CONCENTRATION,
    DAILY_WATER,
    DAILY_WHICH,
    DAILY_FACTOR,
    DAILY_PART,
    DAILY_FIGURE,
    DAILY_UNIT,
    DAILY_NOTE,
};

/* Columns of the sheet Readings. */
enum {
    READINGS_LIMIT = 1,
    READINGS_REPORTED = 6,
    READINGS_UNIT,
    READINGS_VALUE = 9,
    READINGS_CLAUSE_UNIT = 11
};

static const struct limit_place drain = {"drain", NULL};
static const struct limit_flow drain_flow = {"drain", "flow"};

static struct evidence_series *series_at(const char *station, const char *parameter, unsigned kind)
{
    struct evidence_series *series = add_series(in, parameter, kind, 4 * INVENTED_DAYS + 8);

    series->station = station;

    return series;
}

/* A flow of two steps a day: at midnight and at eight in the morning. */
static void add_flow(const char *station, double litres_per_s)
{
    struct evidence_series *series = series_at(station, "flow", KIND_PROBE);

    for (int day = 0; day <= INVENTED_DAYS + 1; day++) {
        add_reading(series, in, invented_at(in, day, 0),
                    arena_printf(mem, "%.2f", litres_per_s + day % 3), "L/s");
        add_reading(series, in, invented_at(in, day, 8),
                    arena_printf(mem, "%.2f", litres_per_s + 0.5 + day % 3), "L/s");
    }
}

static void add_waters(void)
{
    struct evidence_series *samples = series_at("drain", "suspended-solids", KIND_GRAB);

    add_flow("outlet", 4);
    add_flow("drain", 1.5);
    for (int i = 0; i < 5; i++)
        add_reading(samples, in, invented_at(in, 1 + 7 * i, 10), arena_printf(mem, "%d", 6 + i),
                    "mg/L");
    /* A second sample of the outlet on the 8th. */
    add_reading(&in->series[0], in, invented_at(in, 29, 15), "22.5", "mg/L");
}

static struct limit *add_load(const char *name, enum load_water water, bool both)
{
    struct limit *limit = add_limit(in, name, "suspended-solids", "kg/day");

    ceiling(limit, "40");
    limit->daily = DAILY_LOAD;
    limit->statistic = STATISTIC_MEAN;
    limit->only_while_discharging = false;
    limit->flow = (struct limit_flow){"outlet", "flow"};
    limit->reading_stands_s = 86400;
    limit->load_water = water;
    if (both) {
        limit->added = &drain;
        limit->added_flows = &drain_flow;
        limit->added_count = 1;
    }

    return limit;
}

static bool has_number(const struct cell_list *cells, uint32_t row, uint32_t column)
{
    const struct cell *cell = at(cells, "Daily", row, column);

    return cell && cell->kind == SHEET_NUMBER;
}

static double number_at(const struct cell_list *cells, uint32_t row, uint32_t column)
{
    assert_true(has_number(cells, row, column));

    return at(cells, "Daily", row, column)->number;
}

/* What the rows of a limit hold. */
struct rows {
    size_t products; /* rows with a factor */
    size_t figures;
    size_t parts;
    const char *which;
};

/* Each row with a factor is the product of its cells: of a part, or of the day. */
static struct rows rows_of_limit(const struct cell_list *cells, const char *name)
{
    struct rows rows = {0};

    for (size_t i = 0; i < cells->count; i++) {
        const struct cell *cell = &cells->items[i];
        uint32_t row = cell->row;

        if (!str_equal(cell->sheet, "Daily") || cell->column != DAILY_LIMIT ||
            !str_equal(cell->text, name))
            continue;
        rows.figures += has_number(cells, row, DAILY_FIGURE) ? 1U : 0U;
        rows.parts += has_number(cells, row, DAILY_PART) ? 1U : 0U;
        if (!has_number(cells, row, DAILY_FACTOR))
            continue;
        rows.products++;
        rows.which = at(cells, "Daily", row, DAILY_WHICH)->text;

        double product = number_at(cells, row, DAILY_CONCENTRATION) *
                         number_at(cells, row, DAILY_WATER) * number_at(cells, row, DAILY_FACTOR);
        double shown = !has_number(cells, row, DAILY_PART) ? number_at(cells, row, DAILY_FIGURE)
                                                           : number_at(cells, row, DAILY_PART);

        if (!(fabs(product - shown) <= 1e-9 * fabs(shown)))
            fail_msg("%s, row %u: %.10g beside %.10g", name, (unsigned)row, product, shown);
        if (number_at(cells, row, DAILY_FACTOR) != 0.001)
            fail_msg("%s, row %u: mg/L x m3 to kg is 0.001", name, (unsigned)row);
    }

    return rows;
}

/* 5 days with samples at both places; the 29th has two at the outlet. */
static void the_cells_beside_a_load_multiply_to_it_whichever_water_it_goes_by(void **state)
{
    static const struct {
        const char *name;
        enum load_water water;
        bool both;
        size_t products;
        size_t parts;
        size_t figures;
        const char *which;
    } loads[] = {
        {"Load by the day", LOAD_WATER_OF_DAY, false, 5, 0, 5, "of the day"},
        {"Load while sampling", LOAD_WATER_WHILE_SAMPLING, false, 6, 2, 5,
         "while sampling, in 24 h"},
        {"Load by the mean", LOAD_WATER_PERIOD_MEAN, false, 5, 0, 5, "the period's mean"},
        {"Both by the day", LOAD_WATER_OF_DAY, true, 10, 10, 5, "of the day"},
        {"Both while sampling", LOAD_WATER_WHILE_SAMPLING, true, 11, 11, 5,
         "while sampling, in 24 h"},
        {"Both by the mean", LOAD_WATER_PERIOD_MEAN, true, 10, 10, 5, "the period's mean"},
    };

    (void)state;
    in->limit_count = 0;
    add_waters();
    for (size_t i = 0; i < ARRAY_LEN(loads); i++)
        add_load(loads[i].name, loads[i].water, loads[i].both);
    invented_judge(in);

    struct cell_list cells = write_month(path);

    for (size_t i = 0; i < ARRAY_LEN(loads); i++) {
        struct rows rows = rows_of_limit(&cells, loads[i].name);

        if (rows.products != loads[i].products || rows.parts != loads[i].parts ||
            rows.figures != loads[i].figures || !str_equal(rows.which, loads[i].which))
            fail_msg("%s: %zu products, %zu parts, %zu figures, %s", loads[i].name, rows.products,
                     rows.parts, rows.figures, rows.which ? rows.which : "-");
    }
    /* A figure of parts is a formula over them: a mean of samples, places added. */
    expect_text(&cells, "Daily", "the mean of the samples above");
    expect_text(&cells, "Daily", "the places above, together");
    expect_text(&cells, "Daily", "Pond outlet (Discharge point 1), sample of 15:00");
}

/* Half of a less-than is a number, and every value that it may be is none: then no cells are shown.
 */
static void a_load_that_is_no_product_has_no_factor_beside_it(void **state)
{
    (void)state;
    in->limit_count = 0;
    add_waters();
    reading(0, 1)->qualifier = QUALIFIER_LESS;
    add_load("Load of a range", LOAD_WATER_OF_DAY, false)->less_than = LESS_THAN_UNSET;
    invented_judge(in);

    struct cell_list cells = write_month(path);
    struct rows rows = rows_of_limit(&cells, "Load of a range");

    assert_true(rows.products < rows.figures + 1);
    assert_true(rows.products >= 4);
}

/* 4 L/s is no number of m3: what a day makes of it stands on the sheet Daily. */
static void a_flow_has_no_value_in_the_unit_of_a_volume(void **state)
{
    struct limit *limit;
    size_t rows = 0;

    (void)state;
    in->limit_count = 0;
    add_waters();
    limit = add_limit(in, "Volume by flow", "flow", "m3");
    ceiling(limit, "1000");
    limit->daily = DAILY_TOTAL;
    limit->period = PERIOD_DAY;
    limit->only_while_discharging = false;
    limit->reading_stands_s = 86400;
    limit = add_limit(in, "Volume by meter", "discharge-meter", "m3");
    ceiling(limit, "1000");
    limit->daily = DAILY_TOTAL;
    limit->period = PERIOD_DAY;
    invented_judge(in);

    struct cell_list cells = write_month(path);

    for (size_t i = 0; i < cells.count; i++) {
        const struct cell *cell = &cells.items[i];
        bool flow = str_equal(cell->text, "Volume by flow");

        if (!str_equal(cell->sheet, "Readings") || cell->column != READINGS_LIMIT ||
            (!flow && !str_equal(cell->text, "Volume by meter")))
            continue;
        rows += flow ? 1U : 0U;
        assert_non_null(at(&cells, "Readings", cell->row, READINGS_REPORTED));
        assert_string_equal(at(&cells, "Readings", cell->row, READINGS_UNIT)->text,
                            flow ? "L/s" : "m3");
        assert_int_equal(at(&cells, "Readings", cell->row, READINGS_VALUE) == NULL, flow);
        assert_int_equal(at(&cells, "Readings", cell->row, READINGS_CLAUSE_UNIT) == NULL, flow);
    }
    assert_int_equal(rows, 2 * INVENTED_DAYS);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(the_cells_beside_a_load_multiply_to_it_whichever_water_it_goes_by),
        CASE(a_load_that_is_no_product_has_no_factor_beside_it),
        CASE(a_flow_has_no_value_in_the_unit_of_a_volume),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
