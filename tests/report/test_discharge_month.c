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

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/file.h"
#include "base/sheet.h"
#include "invented_month.h"
#include "report/month_inside.h"

#define LEFT_BEHIND BINARY_DIR "/invented-month.xlsx"
#define AWKWARD_LEFT_BEHIND BINARY_DIR "/invented-awkward-month.xlsx"

static struct arena *mem;
static struct invented *in;
static char path[64];

static int new_month(void **state)
{
    (void)state;
    mem = arena_new();
    in = invented_new(mem);
    snprintf(path, sizeof(path), "/tmp/weirbook-month-%d.xlsx", (int)getpid());

    return 0;
}

static int drop_month(void **state)
{
    (void)state;
    units_free(&in->units);
    arena_free(&mem);
    unlink(path);

    return 0;
}

/* ---- the workbook as cells ---- */

struct cell {
    const char *sheet;
    uint32_t row;
    uint32_t column;
    enum sheet_kind kind;
    const char *text;
    double number;
    const char *formula;
};

struct cell_list {
    struct cell *items;
    size_t count;
    size_t capacity;
};

static bool keep_cell(void *context, const struct sheet_cell *cell, struct err *err)
{
    (void)err;
    LIST_ADD(mem, (struct cell_list *)context,
             ((struct cell){.sheet = arena_strdup(mem, cell->sheet->name),
                            .row = cell->row,
                            .column = cell->column,
                            .kind = cell->kind,
                            .text = arena_strdup(mem, cell->text),
                            .number = cell->number,
                            .formula = arena_strdup(mem, cell->formula)}));

    return true;
}

static struct cell_list cells_of(const char *file)
{
    static const struct sheet_events events = {.cell = keep_cell};
    struct cell_list list = {0};
    struct err err = ERR_INIT;

    if (!sheet_read(file, &events, &list, NULL, &err))
        fail_msg("%s", err.text);

    return list;
}

static struct cell_list write_month(const char *file)
{
    struct err err = ERR_INIT;
    struct digest digest;

    if (!discharge_month_write(&in->month, file, &digest, &err))
        fail_msg("%s", err.text);

    return cells_of(file);
}

static const struct cell *find_text(const struct cell_list *cells, const char *sheet,
                                    const char *text)
{
    for (size_t i = 0; i < cells->count; i++) {
        const struct cell *cell = &cells->items[i];

        if (cell->kind == SHEET_TEXT && str_equal(cell->sheet, sheet) && strstr(cell->text, text))
            return cell;
    }

    return NULL;
}

static const struct cell *at(const struct cell_list *cells, const char *sheet, uint32_t row,
                             uint32_t column)
{
    for (size_t i = 0; i < cells->count; i++) {
        const struct cell *cell = &cells->items[i];

        if (cell->row == row && cell->column == column && str_equal(cell->sheet, sheet))
            return cell;
    }

    return NULL;
}

static void expect_text(const struct cell_list *cells, const char *sheet, const char *text)
{
    if (!find_text(cells, sheet, text))
        fail_msg("sheet %s does not say \"%s\"", sheet, text);
}

/* A limit's row on the first page, by its name. */
static uint32_t row_of(const struct cell_list *cells, const char *name)
{
    const struct cell *cell = find_text(cells, "Month", arena_printf(mem, "%s, Pond outlet", name));

    if (!cell)
        fail_msg("no row for %s", name);

    return cell->row;
}

/* Columns of the first page, as report.yaml has them. */
enum { PAGE_MARK = 1, PAGE_FIGURE = 5, PAGE_VERDICT = 7, PAGE_SAMPLES = 8, PAGE_RULES = 9 };

static const char *verdict_shown(const struct cell_list *cells, const char *name)
{
    return at(cells, "Month", row_of(cells, name), PAGE_VERDICT)->text;
}

/* ---- what a page to file must hold
 * --------------------------------------------------------------- */

/* 40 CFR 122.41(j)(3), from memory: date, place and time, who, when and by what method. */
static void the_first_page_says_who_where_when_and_by_which_licence(void **state)
{
    static const char *const says[] = {
        "Invented Pond Farm",
        "INVENTED",
        "Record of discharge for April 2026",
        "EX-0042, version of 1 January 2026",
        "Invented Pond Company",
        "Example Water Office",
        "Pond outlet (Discharge point 1)",
        "Ana Example, Manager",
        "I have looked through these figures",
        "Signature",
        "The limits are the farm's copy of its licence. The authority and the licence decide.",
        "The laboratory sent a corrected sheet.",
        "no sample in the week of 6 April: laboratory",
        "the bottle broke on the way",
        "Example Water Office decides about each of them.",
        "by the meter at Pond outlet",
        "This first sheet is the page to file",
        "Readings is long",
    };

    (void)state;
    invented_judge(in);

    struct cell_list cells = write_month(LEFT_BEHIND);

    for (size_t i = 0; i < ARRAY_LEN(says); i++)
        expect_text(&cells, "Month", says[i]);
}

static struct evidence_reading *reading(size_t series, size_t index)
{
    return (struct evidence_reading *)(uintptr_t)&in->series[series].readings[index];
}

/* Findings are the farm's own list: their words are those of the day they were found. */
static void findings_have_a_sheet_of_their_own_and_are_not_filed(void **state)
{
    (void)state;
    invented_judge(in);

    struct cell_list cells = write_month(path);

    assert_null(find_text(&cells, "Month", "Settling pond emptied"));
    assert_null(find_text(&cells, "Month", "above 45 on 22 April"));
    expect_text(&cells, "Findings", "above 45 on 22 April");
    expect_text(&cells, "Findings", "in hand");
    expect_text(&cells, "Findings", "Settling pond emptied");
    expect_text(&cells, "Findings", "Not for filing");
}

/* Made at 16:00:00.247755 UTC, which is 04:00 of the next day by Auckland's clocks. */
static void the_time_it_was_made_is_the_farms_with_utc_beside_it(void **state)
{
    (void)state;
    in->month.made_at += 247755;
    invented_judge(in);

    struct cell_list cells = write_month(path);

    expect_text(&cells, "Month", "2 May 2026 16:00:00 by the farm's clocks (2026-05-02T04:00:00Z)");
    expect_text(&cells, "Files", "2 May 2026 16:00:00 by the farm's clocks (2026-05-02T04:00:00Z)");
    assert_null(find_text(&cells, "Month", "247755"));
}

static void the_rule_for_less_thans_stands_only_where_there_are_any(void **state)
{
    static const struct {
        const char *limit;
        bool has;
    } rows[] = {{"Total ammonia, monthly mean", true},
                {"Suspended solids, monthly mean", false},
                {"pH, every reading", false},
                {"Dissolved oxygen, lowest of each day", false},
                {"Volume, month", false}};

    (void)state;
    invented_judge(in);

    struct cell_list cells = write_month(path);

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const char *words = at(&cells, "Month", row_of(&cells, rows[i].limit), PAGE_RULES)->text;

        if ((strstr(words, "less-than") != NULL) != rows[i].has)
            fail_msg("%s: %s", rows[i].limit, words);
    }
}

static void who_decides_stands_once_or_under_each_limit(void **state)
{
    static struct farm_authority others[] = {{.key = "other", .name = "Other Example Office"}};

    (void)state;
    in->farm.authorities.items = others;
    in->farm.authorities.count = 1;
    in->limits[0].authority = "other";
    invented_judge(in);

    struct cell_list cells = write_month(path);
    uint32_t row = row_of(&cells, in->limits[0].name);

    assert_null(find_text(&cells, "Month", "decides about each of them"));
    assert_string_equal(at(&cells, "Month", row + 1, 3)->text, "Who decides: Other Example Office");
    row = row_of(&cells, in->limits[1].name);
    assert_string_equal(at(&cells, "Month", row + 1, 3)->text, "Who decides: Example Water Office");
}

/* A licence that changed within the month has a row for each of its forms. */
static void a_limit_of_part_of_the_month_says_which_days(void **state)
{
    (void)state;
    invented_judge(in);
    judge_limit(mem, &in->limits[0], &in->evidence, day_from_civil(2026, 4, 1),
                day_from_civil(2026, 4, 16), &in->verdicts[0]);
    judge_limit(mem, &in->limits[0], &in->evidence, day_from_civil(2026, 4, 17),
                day_from_civil(2026, 4, 30), &in->verdicts[1]);

    struct cell_list cells = write_month(path);

    expect_text(&cells, "Month", "Suspended solids, each sample, 1 to 16 April 2026, Pond outlet");
    expect_text(&cells, "Month", "Suspended solids, each sample, 17 to 30 April 2026, Pond outlet");
    expect_text(&cells, "Limits", "Suspended solids, each sample, 17 to 30 April 2026");
    assert_null(find_text(&cells, "Month", "Total ammonia, monthly mean, 1 to"));
}

static void a_volume_says_what_measures_it_and_has_no_needless_digits(void **state)
{
    (void)state;
    invented_judge(in);

    struct cell_list cells = write_month(path);

    expect_text(&cells, "Month", "Volume, month, Pond outlet (Discharge point 1), by the meter");
    expect_text(&cells, "Month", "by the meter at Pond outlet");
    assert_null(find_text(&cells, "Month",
                          "Total ammonia, monthly mean, Pond outlet (Discharge "
                          "point 1), by the"));
}

static void a_volume_is_shown_to_a_tenth_but_never_onto_its_bound(void **state)
{
    static const struct {
        const char *volume;
        const char *shown;
        const char *reason;
    } rows[] = {
        {"19356.264", "19356.3", "of a flow"},
        {"19368", "19368", "of a meter that counts whole ones"},
        {"19368.5", "19368.5", "a tenth"},
        {"20000.04", "20000.04", "outside by less than a tenth: it must not read as 20000"},
        {"19999.98", "19999.98", "within by less than a tenth"},
    };
    struct month_book book = {.mem = mem};
    const struct limit *volume = &in->limits[9];

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct exact *figure = exact_from_text(mem, rows[i].volume);
        const char *shown =
            exact_rounded_text(mem, figure, month_shown_rounding(&book, volume, figure));

        if (!str_equal(shown, rows[i].shown))
            fail_msg("%s: %s", rows[i].reason, shown);
    }
}

/* ---- what was outside -------------------------------------------------------------------- */

/* The row of the dates and places in which a text stands. */
static uint32_t outside_row(const struct cell_list *cells, const char *limit)
{
    uint32_t first = find_text(cells, "Month", "Outside: dates and places")->row;

    for (uint32_t row = first + 1; row < first + 60; row++) {
        const struct cell *cell = at(cells, "Month", row, 4);

        if (cell && cell->kind == SHEET_TEXT && str_starts(cell->text, limit))
            return row;
    }
    fail_msg("%s is not among what was outside", limit);

    return 0;
}

static void what_was_outside_has_its_unit_and_the_digits_compared(void **state)
{
    (void)state;
    in->limits[8].bound.ceiling = dec("20.4");
    invented_judge(in);

    struct cell_list cells = write_month(path);

    assert_string_equal(at(&cells, "Month", outside_row(&cells, "Suspended solids, each"), 5)->text,
                        "51 mg/L");
    assert_string_equal(at(&cells, "Month", outside_row(&cells, "Dissolved oxygen"), 5)->text,
                        "4.62 mg/L");

    /* A daily mean, rounded to one decimal as the limit has it. */
    const char *mean = at(&cells, "Month", outside_row(&cells, "Temperature, mean"), 5)->text;

    assert_int_equal(strlen(mean), strlen("20.5 degC"));
    assert_non_null(strstr(mean, " degC"));
}

static void readings_of_a_probe_outside_in_a_run_are_one_row(void **state)
{
    enum { PH = 4 };
    static const char *const low[] = {"6.40", "6.12", "6.30"};

    (void)state;
    /* The 2nd of April, 22:00 to the 3rd, 00:00; then two on the 8th with one inside between. */
    for (size_t i = 0; i < ARRAY_LEN(low); i++)
        reading(PH, 46 + i)->reported = dec(low[i]);
    reading(PH, 172)->reported = dec("6.44");
    reading(PH, 174)->reported = dec("9.30");
    reading(PH, 176)->reported = dec("6.41");
    invented_judge(in);

    struct cell_list cells = write_month(path);
    uint32_t row = outside_row(&cells, "pH, every reading");

    assert_string_equal(at(&cells, "Month", row, 1)->text, "2026-04-02 22:00 to 2026-04-03 00:00");
    assert_string_equal(at(&cells, "Month", row, 5)->text, "6.12 pH");
    assert_string_equal(at(&cells, "Month", row, 7)->text,
                        "from 6.5 to 9.0; 3 readings in a run, the worst at 2026-04-02 23:00");
    assert_string_equal(at(&cells, "Month", row + 1, 1)->text, "2026-04-08 04:00");
    assert_string_equal(at(&cells, "Month", row + 2, 5)->text, "9.30 pH");
    assert_string_equal(at(&cells, "Month", row + 3, 5)->text, "6.41 pH");

    /* On one side all day: runs of one day share its row. */
    reading(PH, 174)->reported = dec("7.00");
    in->month.days_discharged = in->month.days_without_discharge = in->month.days_unknown = 0;
    invented_judge(in);
    cells = write_month(path);
    row = outside_row(&cells, "pH, every reading");
    assert_string_equal(at(&cells, "Month", row + 1, 1)->text,
                        "2026-04-08 04:00 to 2026-04-08 08:00");
    assert_string_equal(at(&cells, "Month", row + 1, 7)->text,
                        "from 6.5 to 9.0; 2 readings in 2 runs, the worst at 2026-04-08 08:00");
}

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
                            verdict_standing_words(mem, &in->verdicts[i]));
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

#define CASE(name) cmocka_unit_test_setup_teardown(name, new_month, drop_month)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(the_first_page_says_who_where_when_and_by_which_licence),
        CASE(findings_have_a_sheet_of_their_own_and_are_not_filed),
        CASE(the_time_it_was_made_is_the_farms_with_utc_beside_it),
        CASE(the_rule_for_less_thans_stands_only_where_there_are_any),
        CASE(who_decides_stands_once_or_under_each_limit),
        CASE(a_limit_of_part_of_the_month_says_which_days),
        CASE(a_volume_says_what_measures_it_and_has_no_needless_digits),
        CASE(a_volume_is_shown_to_a_tenth_but_never_onto_its_bound),
        CASE(what_was_outside_has_its_unit_and_the_digits_compared),
        CASE(readings_of_a_probe_outside_in_a_run_are_one_row),
        CASE(every_limit_stands_in_the_licences_order_with_its_verdict),
        CASE(figures_are_those_of_the_readings),
        CASE(summary_figures_are_formulas_over_the_data),
        CASE(every_reading_stands_behind_with_its_file_and_line),
        CASE(a_corrected_reading_shows_what_was_reported_and_what_stands),
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
