/*
 * The monthly discharge workbook of an invented month (invented_month.h). Formulas are worked out
 * again by another program in tests/end/lib/recalculate.sh, on the workbook that this test leaves
 * in the build folder.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "month_cells.h"

#define AWKWARD_LEFT_BEHIND BINARY_DIR "/invented-awkward-month.xlsx"

static void every_limit_stands_in_the_licences_order_with_its_verdict(void **state)
{
    uint32_t last = 0;

    (void)state;
    invented_judge(in);

    struct cell_list cells = write_month(path);

    for (size_t i = 0; i < in->limit_count; i++) {
        uint32_t row = row_of(&cells, in->limits[i].name);
        const char *words = verdict_standing_words(mem, &in->verdicts[i]);

        assert_true(row > last);
        last = row;
        assert_string_equal(at(&cells, "Month", row, PAGE_VERDICT)->text, words);
    }
}

/* The figures below were worked out by hand from the readings in invented_month.h. */
static void figures_are_those_of_the_readings(void **state)
{
    static const struct {
        const char *limit;
        const char *verdict;
        double figure;
        const char *mark;
        const char *reason;
    } rows[] = {
        {"Suspended solids, each sample", "outside: above 45", 51, "\xE2\x97\x8F",
         "one sample of five is beyond"},
        {"Suspended solids, monthly mean", "within", 29, "\xE2\x97\x8B",
         "(12.4 + 34.2 + 28 + 51 + 19.5) / 5 = 29.02"},
        {"Total ammonia, monthly mean", "within", 0.11, "\xE2\x97\x8B",
         "(0.025 + 0.12 + 0.025 + 0.31 + 0.085) / 5 = 0.113"},
        {"Total ammonia, monthly median", "within", 0.085, "\xE2\x97\x8B",
         "0.05 0.05 0.085 0.12 0.31"},
        {"pH, every reading", "outside: below 6.5", 6.21, "\xE2\x97\x8F", "the dip on the 21st"},
    };

    (void)state;
    invented_judge(in);

    struct cell_list cells = write_month(path);

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        uint32_t row = row_of(&cells, rows[i].limit);

        if (!str_equal(at(&cells, "Month", row, PAGE_VERDICT)->text, rows[i].verdict) ||
            at(&cells, "Month", row, PAGE_FIGURE)->number != rows[i].figure ||
            !str_equal(at(&cells, "Month", row, PAGE_MARK)->text, rows[i].mark))
            fail_msg("%s (%s): %s, %g", rows[i].limit, rows[i].reason,
                     at(&cells, "Month", row, PAGE_VERDICT)->text,
                     at(&cells, "Month", row, PAGE_FIGURE)->number);
    }
}

static size_t count_formulas(const struct cell_list *cells, const char *sheet, const char *begins)
{
    size_t count = 0;

    for (size_t i = 0; i < cells->count; i++)
        count += cells->items[i].formula && str_equal(cells->items[i].sheet, sheet) &&
                 str_starts(cells->items[i].formula, begins);

    return count;
}

static void summary_figures_are_formulas_over_the_data(void **state)
{
    static const struct {
        const char *sheet;
        const char *begins;
        const char *reason;
    } rows[] = {
        {"Limits", "AVERAGE('Readings'!", "a mean of samples"},
        {"Limits", "AVERAGE('Daily'!", "a mean of daily loads"},
        {"Limits", "MEDIAN('Readings'!", "a median"},
        {"Limits", "GEOMEAN('Readings'!", "a geometric mean"},
        {"Limits", "MAX('Readings'!", "the worst of single values under a ceiling"},
        {"Limits", "MIN('Daily'!", "the worst of single values over a floor"},
        {"Limits", "SUM('Daily'!", "a sum of daily volumes"},
        {"Limits", "ROUND(", "half up to decimals, and to figures"},
        {"Limits", "IF(ROUND(MOD(ABS(", "half to even"},
        {"Limits", "IF('Limits'!", "a verdict"},
        {"Limits", "COUNT(", "a number of samples"},
        {"Limits", "COUNTIF(", "a number of values beyond"},
        {"Daily", "AVERAGE('Readings'!", "a daily mean"},
        {"Daily", "MIN('Readings'!", "a daily minimum"},
        {"Daily", "AVERAGE($E$", "a load on a day without a result of its own"},
        {"Daily", "$E$", "a load"},
        {"Month", "'Limits'!", "the page shows what Limits works out"},
        {"Month", "COUNTIF('Daily'!", "days with discharge"},
        {"Month", "SUM('Daily'!", "the volume"},
    };

    (void)state;
    invented_judge(in);

    struct cell_list cells = write_month(path);

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        if (count_formulas(&cells, rows[i].sheet, rows[i].begins) == 0)
            fail_msg("no formula on %s begins with %s: %s", rows[i].sheet, rows[i].begins,
                     rows[i].reason);
    }
}

static void every_reading_stands_behind_with_its_file_and_line(void **state)
{
    size_t rows = 0;
    size_t items = 0;

    (void)state;
    invented_judge(in);

    struct cell_list cells = write_month(path);

    for (size_t i = 0; i < in->limit_count; i++)
        items += in->verdicts[i].item_count;
    for (size_t i = 0; i < cells.count; i++)
        rows += str_equal(cells.items[i].sheet, "Readings") && cells.items[i].column == 14 &&
                cells.items[i].row > 2;
    assert_true(items > 0);
    assert_int_equal(rows, items);
}

/* Columns of Readings, as report.yaml has them. */
enum { SHOWN_MARK = 5, SHOWN_REPORTED, SHOWN_UNIT, SHOWN_CORRECTED, SHOWN_VALUE };

static void a_corrected_reading_shows_what_was_reported_and_what_stands(void **state)
{
    struct evidence_reading *solids = reading(0, 1);
    struct evidence_reading *ammonia = reading(1, 0);

    (void)state;
    solids->corrected = ammonia->corrected = true;
    solids->reported = dec("28.40");
    ammonia->qualifier = QUALIFIER_NONE;
    ammonia->reported = dec("61");
    ammonia->unit = "ug/L";
    invented_judge(in);

    struct cell_list cells = write_month(path);
    uint32_t row = find_text(&cells, "Readings", "; corrected")->row;

    assert_true(at(&cells, "Readings", row, SHOWN_REPORTED)->number == 34.2);
    assert_true(at(&cells, "Readings", row, SHOWN_CORRECTED)->number == 28.4);
    assert_true(at(&cells, "Readings", row, SHOWN_VALUE)->number == 28.4);
    assert_null(at(&cells, "Readings", row - 1, SHOWN_CORRECTED));

    /* The first of the ammonia's rows. */
    row = find_text(&cells, "Readings", "Total ammonia, monthly mean")->row;
    assert_string_equal(at(&cells, "Readings", row, SHOWN_MARK)->text, "<");
    assert_true(at(&cells, "Readings", row, SHOWN_REPORTED)->number == 0.05);
    assert_string_equal(at(&cells, "Readings", row, SHOWN_UNIT)->text, "mg/L");
    assert_true(at(&cells, "Readings", row, SHOWN_CORRECTED)->number == 61);
    assert_true(at(&cells, "Readings", row, SHOWN_VALUE)->number == 0.061);
}

/* Ammonia was <0.05, 0.12, <0.05, 0.31 and 0.085. */
static void a_less_than_is_charted_apart_from_results(void **state)
{
    enum { WHAT = 12, VALUE = 14 };
    static const char less[] = "Total ammonia, monthly mean: less than (drawn at its limit)";
    static const char result[] = "Total ammonia, monthly mean: result";
    double sum_less = 0;
    double sum_result = 0;

    (void)state;
    invented_judge(in);

    struct cell_list cells = write_month(path);

    for (size_t i = 0; i < cells.count; i++) {
        const struct cell *cell = &cells.items[i];

        if (!str_equal(cell->sheet, "Charts") || cell->column != WHAT)
            continue;
        if (str_equal(cell->text, less))
            sum_less += at(&cells, "Charts", cell->row, VALUE)->number;
        if (str_equal(cell->text, result))
            sum_result += at(&cells, "Charts", cell->row, VALUE)->number;
    }
    assert_true(fabs(sum_less - (0.05 + 0.05)) < 1e-12);
    assert_true(fabs(sum_result - (0.12 + 0.31 + 0.085)) < 1e-12);
}

enum { CHART_WHAT = 12, CHART_AT, CHART_VALUE };

/* Cells that the charts draw under a name, and where the first and last of them stand. */
struct drawn_cells {
    size_t count;
    double first_at;
    double last_at;
};

static struct drawn_cells drawn_under(const struct cell_list *cells, const char *what)
{
    struct drawn_cells drawn = {0};

    for (size_t i = 0; i < cells->count; i++) {
        const struct cell *cell = &cells->items[i];

        if (!str_equal(cell->sheet, "Charts") || cell->column != CHART_WHAT ||
            !str_equal(cell->text, what))
            continue;
        drawn.last_at = at(cells, "Charts", cell->row, CHART_AT)->number;
        drawn.first_at = drawn.count++ ? drawn.first_at : drawn.last_at;
    }

    return drawn;
}

/* The month's volume is the sum of what is drawn, and a net figure is not what is drawn. */
static void a_bound_is_ruled_only_where_the_chart_draws_what_it_is_on(void **state)
{
    (void)state;
    in->limits[3].against.kind = AGAINST_DIFFERENCE;
    in->limits[3].against.place = (struct limit_place){.station = "intake"};
    invented_judge(in);

    struct cell_list cells = write_month(path);

    assert_int_equal(drawn_under(&cells, "Volume, month").count, 0);
    assert_int_equal(drawn_under(&cells, "Total ammonia, monthly mean").count, 0);
    assert_int_equal(drawn_under(&cells, "Total ammonia, monthly median").count, 3);
}

static void a_seasons_bound_is_ruled_over_its_days(void **state)
{
    (void)state;
    in->limits[11].season.set = true;
    in->limits[11].season.from = 405;
    in->limits[11].season.to = 418;
    in->limits[4].season.set = true;
    in->limits[4].season.from = 601;
    in->limits[4].season.to = 930;
    invented_judge(in);

    struct cell_list cells = write_month(path);
    struct drawn_cells rule = drawn_under(&cells, "Phosphate, monthly mean");

    assert_int_equal(rule.count, 3);
    assert_true(fabs(rule.last_at - rule.first_at - 14) < 1e-9);
    assert_int_equal(drawn_under(&cells, "Total ammonia, monthly median").count, 0);
}

static void a_reading_left_out_is_not_drawn(void **state)
{
    enum { AMMONIA = 1 };
    static const char result[] = "Total ammonia, monthly mean: result";

    (void)state;
    invented_judge(in);

    struct cell_list before = write_month(path);
    size_t results = drawn_under(&before, result).count;

    for (size_t i = 0; i < in->evidence.series[AMMONIA].count; i++) {
        if (reading(AMMONIA, i)->qualifier == QUALIFIER_NONE) {
            reading(AMMONIA, i)->left_out = "bottle of another farm";
            break;
        }
    }
    invented_judge(in);

    struct cell_list after = write_month(path);

    assert_int_equal(drawn_under(&after, result).count, results - 1);
}

/* The invented month has readings by the hour: more than are worth printing. */
static void long_readings_are_not_printed_and_the_first_sheet_says_so(void **state)
{
    (void)state;
    invented_judge(in);

    struct cell_list cells = write_month(path);

    expect_text(&cells, "Month", "only the headings are printed");
    expect_text(&cells, "Readings", "clear the print area of this sheet");

    /* Without the probes there is little, and all of it is meant for print. */
    in->limit_count = 6;
    in->month.verdict_count = 6;
    cells = write_month(path);
    expect_text(&cells, "Month", "All of them are meant for print.");
}

static void a_name_that_begins_like_a_formula_stays_a_text(void **state)
{
    (void)state;
    invented_judge(in);

    struct cell_list cells = write_month(path);
    const struct cell *file = find_text(&cells, "Files", "=lab april.csv");
    const struct cell *text = find_text(&cells, "Set aside", "-0.31");

    assert_non_null(file);
    assert_null(file->formula);
    assert_non_null(text);
    assert_null(text->formula);
}

static void a_row_set_aside_says_what_a_person_decided_and_why(void **state)
{
    (void)state;
    invented_judge(in);

    struct cell_list cells = write_month(path);
    uint32_t waits = find_text(&cells, "Set aside", "unknown unit")->row;
    uint32_t left = find_text(&cells, "Set aside", "not a number")->row;

    assert_int_equal(find_text(&cells, "Set aside", "waits for a person")->row, waits);
    assert_int_equal(find_text(&cells, "Set aside", "left out")->row, left);
    assert_int_equal(find_text(&cells, "Set aside", "The laboratory lost the bottle.")->row, left);
    assert_int_equal(find_text(&cells, "Set aside", "Ana Example")->row, left);
}

/* Trap 3 of every average over a month: a day without discharge is no zero. */
static void a_month_without_discharge_is_reported_with_its_figures_blank(void **state)
{
    (void)state;
    for (int i = 0; i < INVENTED_DAYS; i++)
        in->days[i] = (struct discharge_day){
            .day = in->days[i].day, .state = DISCHARGE_NONE, .because = "outlet shut all day"};
    invented_judge(in);

    struct cell_list cells = write_month(path);

    for (size_t i = 0; i < in->limit_count; i++) {
        uint32_t row = row_of(&cells, in->limits[i].name);
        const struct cell *figure = at(&cells, "Month", row, PAGE_FIGURE);

        assert_string_equal(verdict_shown(&cells, in->limits[i].name), "nothing due");
        assert_true(!figure || figure->kind == SHEET_TEXT);
        assert_string_equal(at(&cells, "Month", row, PAGE_MARK)->text, "\xE2\x80\x93");
    }
    expect_text(&cells, "Month", "no discharge");
}

/* The month still runs, and its readings have every trouble that a reading can have. */
static void make_awkward(void)
{
    enum { SOLIDS, AMMONIA, ENTEROCOCCI, PHOSPHATE, PH, OXYGEN };

    in->evidence.now = invented_at(in, 29, 20);
    reading(SOLIDS, 1)->doubt = "the laboratory calls it preliminary";
    reading(SOLIDS, 2)->corrected = true;
    reading(SOLIDS, 2)->first_reported = dec("82");
    reading(SOLIDS, 4)->left_out = "bottle of another farm";
    reading(AMMONIA, 0)->qualifier = QUALIFIER_NOT_DETECTED;
    reading(AMMONIA, 0)->first_qualifier = QUALIFIER_NOT_DETECTED;
    reading(ENTEROCOCCI, 4)->qualifier = QUALIFIER_GREATER;
    reading(PHOSPHATE, 0)->counts = false;
    for (size_t i = 0; i < 200; i++)
        reading(OXYGEN, i)->doubt = "the probe's last check failed";

    in->limits[3].less_than = LESS_THAN_ZERO;
    in->limits[4].less_than = LESS_THAN_STATED;
    in->limits[4].less_than_stated = dec("0.02");
    in->limits[4].not_detected_allowed = true;
    in->limits[5].greater_than = GREATER_THAN_STEP;
    /* 8.34 is the factor that many licences print for million US gallons, mg/L and pounds. */
    in->limits[2].unit = "lb/day";
    in->limits[2].load_factor = "8.34";
    in->limits[2].load_flow_unit = "MGD";
    in->limits[2].load_concentration_unit = "mg/L";
    in->limits[6].bound.ceiling_reached_is_outside = true;
    in->limits[6].bound.ceiling = dec("8.20");
    in->limits[9].bound.ceiling = dec("9000");
    in->limits[8].confirmed = false;
}

static void an_awkward_month_shows_each_verdict_as_judged(void **state)
{
    (void)state;
    make_awkward();
    invented_judge(in);

    struct cell_list cells = write_month(AWKWARD_LEFT_BEHIND);

    for (size_t i = 0; i < in->limit_count; i++)
        assert_string_equal(verdict_shown(&cells, in->limits[i].name),
                            arena_printf(mem, "%s%s", verdict_standing_words(mem, &in->verdicts[i]),
                                         verdict_doubt_words(&in->verdicts[i])));
    expect_text(&cells, "Month", "so far outside: above 9000");
    expect_text(&cells, "Readings", "left out: bottle of another farm");
    expect_text(&cells, "Readings", "in doubt: the laboratory calls it preliminary");
    expect_text(&cells, "Readings", "not detected");
    expect_text(&cells, "Readings", "a check sample or the authority's own");
}

static void what_can_not_be_assessed_says_why_and_shows_no_pass(void **state)
{
    (void)state;
    invented_judge(in);

    struct cell_list cells = write_month(path);
    const char *const names[] = {"Phosphate, monthly mean",
                                 "Temperature, every reading, nearly all the time"};

    for (size_t i = 0; i < ARRAY_LEN(names); i++) {
        uint32_t row = row_of(&cells, names[i]);

        assert_string_equal(verdict_shown(&cells, names[i]), "not assessable");
        assert_string_equal(at(&cells, "Month", row, PAGE_MARK)->text, "\xE2\x97\x8C");
        assert_non_null(at(&cells, "Month", row + 1, 3));
    }
}

static void the_same_month_gives_the_same_bytes(void **state)
{
    struct err err = ERR_INIT;
    struct digest first;
    struct digest second;

    (void)state;
    invented_judge(in);
    assert_true(discharge_month_write(&in->month, path, &first, &err));
    assert_true(discharge_month_write(&in->month, path, &second, &err));
    assert_true(digest_equal(&first, &second));
}

static void an_invented_farm_is_called_so_on_every_sheet(void **state)
{
    static const char *const sheets[] = {
        "Month",     "Limits",      "Daily", "Readings",         "Charts",
        "Set aside", "Corrections", "Files", "How to read this", "Findings"};

    (void)state;
    invented_judge(in);

    struct cell_list cells = write_month(path);

    for (size_t i = 0; i < ARRAY_LEN(sheets); i++)
        expect_text(&cells, sheets[i], "INVENTED");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(every_limit_stands_in_the_licences_order_with_its_verdict),
        CASE(figures_are_those_of_the_readings),
        CASE(summary_figures_are_formulas_over_the_data),
        CASE(every_reading_stands_behind_with_its_file_and_line),
        CASE(a_corrected_reading_shows_what_was_reported_and_what_stands),
        CASE(a_less_than_is_charted_apart_from_results),
        CASE(a_bound_is_ruled_only_where_the_chart_draws_what_it_is_on),
        CASE(a_seasons_bound_is_ruled_over_its_days),
        CASE(a_reading_left_out_is_not_drawn),
        CASE(long_readings_are_not_printed_and_the_first_sheet_says_so),
        CASE(a_name_that_begins_like_a_formula_stays_a_text),
        CASE(a_row_set_aside_says_what_a_person_decided_and_why),
        CASE(a_month_without_discharge_is_reported_with_its_figures_blank),
        CASE(an_awkward_month_shows_each_verdict_as_judged),
        CASE(what_can_not_be_assessed_says_why_and_shows_no_pass),
        CASE(the_same_month_gives_the_same_bytes),
        CASE(an_invented_farm_is_called_so_on_every_sheet),
    };

    return cmocka_run_group_tests_name("report/discharge_month", tests, NULL, NULL);
}
