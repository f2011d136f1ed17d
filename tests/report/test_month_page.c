/*
 * The first sheet of the monthly discharge workbook, which is the page to file: what it says, what
 * it leaves to other sheets, and what was outside.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/sheet_package.h"
#include "month_cells.h"
#include "report/month_inside.h"

#define LEFT_BEHIND BINARY_DIR "/invented-month.xlsx"

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
        "said of 20 April 2026: not required (said so on the telephone), by Ana Example",
        "Example Water Office decides about each of them.",
        "by the meter at Pond outlet",
        "This first sheet is the page to file",
        "of Readings, which is long",
    };

    (void)state;
    invented_judge(in);

    struct cell_list cells = write_month(LEFT_BEHIND);

    for (size_t i = 0; i < ARRAY_LEN(says); i++)
        expect_text(&cells, "Month", says[i]);
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

/* The limit of pH as one of the time outside, at most 100 minutes of the month. */
static void time_outside(struct limit_beyond beyond)
{
    struct limit *limit = NULL;

    for (size_t i = 0; i < in->limit_count && !limit; i++)
        limit = str_equal(in->limits[i].name, "pH, every reading") ? &in->limits[i] : NULL;
    assert_non_null(limit);
    limit->statistic = STATISTIC_TIME_OUTSIDE;
    limit->period = PERIOD_MONTH;
    limit->settings.time_unit_s = 60;
    limit->settings.beyond = beyond;
    limit->bound = (struct limit_bound){.has_ceiling = true, .ceiling = dec("100")};
    limit->reading_stands_s = 2 * 3600;
    limit->standing_rule = STANDS_TO_NEXT;
    limit->rounding.rule = ROUND_NONE;
}

/* An hour between two readings: three low ones are three hours, and one alone an hour. */
static void a_time_outside_is_told_run_by_run(void **state)
{
    enum { PH = 4, ALONE = 300 };
    static const size_t low[] = {46, 47, 48, ALONE};

    (void)state;
    time_outside((struct limit_beyond){.has_below = true, .below = dec("6.5")});
    for (size_t i = 0; i < ARRAY_LEN(low); i++)
        reading(PH, low[i])->reported = dec("6.40");
    in->month.days_discharged = in->month.days_without_discharge = in->month.days_unknown = 0;
    invented_judge(in);

    struct cell_list cells = write_month(path);
    uint32_t row = outside_row(&cells, "pH, every reading");

    assert_string_equal(at(&cells, "Month", row, 1)->text, "2026-04-01 to 2026-04-30");
    assert_string_equal(at(&cells, "Month", row + 1, 1)->text,
                        "2026-04-02 22:00 to 2026-04-03 01:00");
    assert_string_equal(at(&cells, "Month", row + 1, 5)->text, "180 minutes");
    assert_string_equal(at(&cells, "Month", row + 1, 7)->text, "a time outside");
    assert_string_equal(at(&cells, "Month", row + 2, 5)->text, "60 minutes");
}

/* A probe that goes in and out all month: the page lists some, and says how many more. */
static void of_many_times_outside_the_page_lists_some(void **state)
{
    enum { PH = 4, LISTED = 20 };
    size_t outside = 0;

    (void)state;
    time_outside((struct limit_beyond){.has_above = true, .above = dec("12")});
    for (size_t i = 10; i < 110; i += 4, outside++)
        reading(PH, i)->reported = dec("12.5");
    in->month.days_discharged = in->month.days_without_discharge = in->month.days_unknown = 0;
    invented_judge(in);

    struct cell_list cells = write_month(path);
    uint32_t row = outside_row(&cells, "pH, every reading");

    assert_string_equal(at(&cells, "Month", row + LISTED, 5)->text, "60 minutes");
    assert_string_equal(at(&cells, "Month", row + LISTED + 1, 7)->text,
                        arena_printf(in->mem, "and %zu more times outside", outside - LISTED));
}

/* What few limits say has no cell of its own, and stands all the same on the page of limits. */
static void choices_that_few_limits_make_are_on_the_page_of_limits(void **state)
{
    struct limit *limit = &in->limits[0];

    (void)state;
    limit->without_looking_for_cause = true;
    limit->season.set = true;
    limit->season.from = 401;
    limit->season.to = 930;
    limit->single_less_than = SINGLE_WITHIN;
    invented_judge(in);

    struct cell_list cells = write_month(path);

    expect_text(&cells, "Limits",
                "With it goes: without samples that look for a cause, each year from 04-01 to "
                "09-30, less-thans alone:");
    expect_text(&cells, "Limits", "only while discharging, at the times above");
    expect_text(&cells, "Limits", "With it goes: a reading stands 1 hour");
}

/* A format that cells of a workbook are shown with. */
struct format_sought {
    const char *format;
    bool found;
};

static bool look_at_format(void *context, const char *name, const char *const *attributes,
                           struct err *err)
{
    struct format_sought *sought = context;

    (void)err;
    if (str_equal(name, "numFmt"))
        sought->found =
            sought->found || str_equal(sheet_attribute(attributes, "formatCode"), sought->format);

    return true;
}

static bool go_on(void *context, const char *name, struct err *err)
{
    (void)context;
    (void)name;
    (void)err;

    return true;
}

static bool has_format(const char *file, const char *format)
{
    static const struct sheet_part_reader reader = {.start = look_at_format, .end = go_on};
    CLEANUP(sheet_package_close) struct sheet_package *package = NULL;
    struct format_sought sought = {.format = format};
    struct err err = ERR_INIT;

    if (!sheet_package_open(file, &package, &err) ||
        !sheet_package_read(package, "xl/styles.xml", &reader, &sought, &err))
        fail_msg("%s", err.text);

    return sought.found;
}

/* "Greater than 151" is another figure than 151, on the page as everywhere. */
static void a_greater_than_keeps_its_mark(void **state)
{
    struct limit *limit = &in->limits[0];

    (void)state;
    reading(0, 3)->reported = reading(0, 3)->first_reported = dec("151");
    reading(0, 3)->qualifier = reading(0, 3)->first_qualifier = QUALIFIER_GREATER;
    limit->name = "Solids with a greater-than";
    invented_judge(in);
    assert_string_equal(in->verdicts[0].compared_text, ">151");

    struct cell_list cells = write_month(path);

    assert_int_equal((int)at(&cells, "Month", row_of(&cells, limit->name), PAGE_FIGURE)->number,
                     151);
    /* On the first page alone figures have room for the decimals of others. */
    assert_true(has_format(path, "\">\"0_._0_0_0"));
}

/* The words of a state are told as they were read: no number, unit, less-than or rounding. */
static void a_state_is_told_in_its_words(void **state)
{
    static const char *const says_nothing_of[] = {"A less-than counts as", "A greater-than counts",
                                                  "Rounding"};
    struct limit *limit = &in->limits[0];

    (void)state;
    *limit = (struct limit){
        .key = "sheen",
        .name = "Oil sheen, each look",
        .order = 1,
        .clause = "Table 2, row 1",
        .station = "outlet",
        .parameter = "suspended-solids",
        .unit = "",
        .period = PERIOD_MONTH,
        .in_force_from = day_from_civil(2026, 1, 1),
        .in_force_to = DAY_NONE,
        .confirmed = true,
        .bound_by = {.kind = BOUND_STATE, .state = "seen", .state_is_outside = true},
    };
    for (size_t i = 0; i < in->series[0].count; i++) {
        reading(0, i)->unit = reading(0, i)->first_unit = i == 1 ? "seen" : "not seen";
        reading(0, i)->reported = reading(0, i)->first_reported = dec("1");
    }
    in->limit_count = 1;
    in->month.days_discharged = in->month.days_without_discharge = in->month.days_unknown = 0;
    invented_judge(in);

    struct cell_list cells = write_month(path);
    uint32_t row = row_of(&cells, limit->name);

    assert_string_equal(at(&cells, "Month", row, PAGE_FIGURE)->text, "seen");
    assert_null(at(&cells, "Month", row, PAGE_RULES));
    assert_string_equal(at(&cells, "Month", outside_row(&cells, limit->name), 5)->text, "seen");
    assert_string_equal(find_text(&cells, "Readings", "not seen")->text, "not seen");
    for (size_t i = 0; i < ARRAY_LEN(says_nothing_of); i++)
        assert_null(find_text(&cells, "Limits", says_nothing_of[i]));
    assert_null(find_text(&cells, "Limits", "olids, in"));
}

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
        CASE(a_time_outside_is_told_run_by_run),
        CASE(of_many_times_outside_the_page_lists_some),
        CASE(choices_that_few_limits_make_are_on_the_page_of_limits),
        CASE(a_greater_than_keeps_its_mark),
        CASE(a_state_is_told_in_its_words),
    };

    return cmocka_run_group_tests_name("report/month_page", tests, NULL, NULL);
}
