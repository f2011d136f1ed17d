/*
 * What the page to file says of values outside: of two places that are compared what they make
 * and both readings, of a bound that goes by another reading the bound of that moment, of a verdict
 * that rests on doubt that it does.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "month_cells.h"

/* Columns of the list, as report.yaml has them. */
enum { WHEN = 1, LIMIT = 4, VALUE = 5, BOUND = 7 };

/* Series of the invented month. */
enum { SOLIDS = 0, TEMPERATURE = 6 };

/* A row of the list by the limit's name; 0: there is none. */
static uint32_t listed(const struct cell_list *cells, const char *limit)
{
    uint32_t first = find_text(cells, "Month", "Outside: dates and places")->row;

    for (size_t i = 0; i < cells->count; i++) {
        const struct cell *cell = &cells->items[i];

        if (cell->row > first && cell->column == LIMIT && str_equal(cell->sheet, "Month") &&
            cell->kind == SHEET_TEXT && str_starts(cell->text, limit))
            return cell->row;
    }

    return 0;
}

static struct limit *only_limit(const char *name, const char *parameter, const char *unit,
                                const char *bound)
{
    struct limit *limit;

    in->limit_count = 0;
    limit = add_limit(in, name, parameter, unit);
    ceiling(limit, bound);
    limit->period = PERIOD_EACH_SAMPLE;
    limit->kinds = KIND_GRAB | KIND_PROBE;

    return limit;
}

/* The intake by the hour, as much colder as `less` says, and by `once` at one reading. */
static void add_intake(const char *less, size_t at_once, const char *once)
{
    const struct evidence_series *outlet = &in->series[TEMPERATURE];
    struct evidence_series *intake = add_series(in, "temperature", KIND_PROBE, PROBE_MOST);

    intake->station = "intake";
    for (size_t i = 0; i < outlet->count; i++) {
        struct decimal by = dec(i == at_once ? once : less);
        struct decimal here = outlet->readings[i].reported;

        here.coefficient -= by.coefficient;
        add_reading(intake, in, outlet->readings[i].at, decimal_text(mem, here), "degC");
    }
}

static void a_rise_over_the_intake_lists_no_temperature_of_either_place(void **state)
{
    struct limit *limit = only_limit("Temperature rise", "temperature", "degC", "3.0");

    (void)state;
    limit->against = (struct limit_against){.kind = AGAINST_DIFFERENCE,
                                            .place = {"intake", NULL},
                                            .pairing = PAIR_WITHIN,
                                            .within_s = 600};
    add_intake("2.00", 29, "2.00");
    invented_judge(in);

    struct cell_list cells = write_month(path);

    assert_string_equal(verdict_shown(&cells, "Temperature rise"), "within");
    assert_int_equal(listed(&cells, "Temperature rise"), 0);
    assert_null(find_text(&cells, "Readings", "beyond the bound"));
    assert_int_equal(in->verdicts[0].beyond, 0);
}

/* The reading of the 2nd at 05:00 is 4.25 above the intake's, all others 2.00. */
static void a_rise_beyond_its_bound_is_listed_with_both_readings(void **state)
{
    struct limit *limit = only_limit("Temperature rise", "temperature", "degC", "3.0");
    uint32_t row;

    (void)state;
    limit->against = (struct limit_against){.kind = AGAINST_DIFFERENCE,
                                            .place = {"intake", NULL},
                                            .pairing = PAIR_WITHIN,
                                            .within_s = 600};
    reading(TEMPERATURE, 29)->reported = dec("21.50");
    add_intake("2.00", 29, "4.25");
    invented_judge(in);

    struct cell_list cells = write_month(path);

    row = listed(&cells, "Temperature rise");
    assert_int_not_equal(row, 0);
    assert_string_equal(at(&cells, "Month", row, WHEN)->text, "2026-04-02 05:00");
    assert_string_equal(at(&cells, "Month", row, VALUE)->text, "4.25 degC");
    assert_string_equal(at(&cells, "Month", row, BOUND)->text,
                        "not above 3.0 degC; 21.5 less 17.25 degC of intake at 2026-04-02 05:00");
    expect_text(&cells, "Readings", "counted, its pair beyond the bound");
    assert_null(find_text(&cells, "Readings", "counted, beyond the bound"));
}

/* Solids 12.4, 34.2, 28, 51, 19.5; of the intake always 100.4: 51 leaves a removal of 49.203 %. */
static void a_removal_is_listed_in_percent(void **state)
{
    struct limit *limit = only_limit("Solids removed", "suspended-solids", "mg/L", "1");
    struct evidence_series *intake = add_series(in, "suspended-solids", KIND_GRAB, 8);
    uint32_t row;

    (void)state;
    intake->station = "intake";
    for (size_t i = 0; i < in->series[SOLIDS].count; i++)
        add_reading(intake, in, in->series[SOLIDS].readings[i].at, "100.4", "mg/L");
    limit->bound = (struct limit_bound){.has_floor = true, .floor = dec("60")};
    limit->against = (struct limit_against){
        .kind = AGAINST_REMOVAL, .place = {"intake", NULL}, .pairing = PAIR_SAME_DAY};
    invented_judge(in);

    struct cell_list cells = write_month(path);

    row = listed(&cells, "Solids removed");
    assert_int_not_equal(row, 0);
    assert_string_equal(at(&cells, "Month", row, VALUE)->text, "49.2 %");
    assert_string_equal(at(&cells, "Month", row, BOUND)->text,
                        "not below 60 %; 51 against 100.4 mg/L of intake at 2026-04-22 09:00");
    assert_null(at(&cells, "Month", row + 1, LIMIT));
}

/* 20 + 1 x 3.1: the bound of that moment, not the formula alone. */
static void a_bound_by_another_reading_is_told_as_it_was_then(void **state)
{
    struct limit *limit = only_limit("Solids by background", "suspended-solids", "mg/L", "1");
    struct evidence_series *background = add_series(in, "turbidity-ntu", KIND_GRAB, 8);
    uint32_t row;

    (void)state;
    background->station = "intake";
    for (size_t i = 0; i < in->series[SOLIDS].count; i++)
        add_reading(background, in, in->series[SOLIDS].readings[i].at, i == 3 ? "3.1" : "30",
                    "NTU");
    limit->bound = (struct limit_bound){.has_ceiling = false};
    limit->bound_by = (struct limit_bound_by){.kind = BOUND_LINEAR,
                                              .offset = dec("20"),
                                              .factor = dec("1"),
                                              .other_count = 1,
                                              .within_s = 600};
    limit->bound_by.others[0] =
        (struct limit_other){.station = "intake", .parameter = "turbidity-ntu", .unit = "NTU"};
    invented_judge(in);

    struct cell_list cells = write_month(path);

    row = listed(&cells, "Solids by background");
    assert_int_not_equal(row, 0);
    assert_string_equal(at(&cells, "Month", row, VALUE)->text, "51 mg/L");
    assert_string_equal(at(&cells, "Month", row, BOUND)->text,
                        "not above 23.1 mg/L then (not above 20 + 1 x turbidity-ntu mg/L)");
}

static void a_verdict_that_rests_on_doubt_says_so_on_the_page(void **state)
{
    (void)state;
    only_limit("Solids, each", "suspended-solids", "mg/L", "45");
    reading(SOLIDS, 3)->doubt = "calibration overdue";
    invented_judge(in);
    assert_true(in->verdicts[0].rests_on_doubt);

    struct cell_list cells = write_month(path);

    assert_string_equal(verdict_shown(&cells, "Solids, each"),
                        "outside: above 45, only with evidence in doubt");
    expect_text(&cells, "Limits", "outside: above 45, only with evidence in doubt");
}

/* 50 on the 1st, 22nd and 29th: only the last three hold more than the one of three allowed. */
static void a_value_that_an_allowance_let_pass_is_not_listed_for_a_later_window(void **state)
{
    static const char *const values[] = {"50", "20", "20", "50", "50"};
    struct limit *limit = only_limit("Solids, two of three", "suspended-solids", "mg/L", "45");
    size_t listed_rows = 0;

    (void)state;
    limit->period = PERIOD_LAST_SAMPLES;
    limit->last_samples = 3;
    limit->allowance = (struct limit_allowance){.kind = ALLOWANCE_COUNT, .count = 1, .of = 3};
    for (size_t i = 0; i < ARRAY_LEN(values); i++)
        reading(SOLIDS, i)->reported = dec(values[i]);
    invented_judge(in);
    assert_int_equal(in->verdicts[0].standing, STANDING_OUTSIDE);

    struct cell_list cells = write_month(path);
    uint32_t row = listed(&cells, "Solids, two of three");

    for (size_t i = 0; i < cells.count; i++) {
        const struct cell *cell = &cells.items[i];

        listed_rows += str_equal(cell->sheet, "Month") && cell->row >= row &&
                       cell->column == LIMIT && cell->kind == SHEET_TEXT &&
                       str_starts(cell->text, "Solids, two of three");
        if (str_equal(cell->sheet, "Month") && cell->row == row && cell->column == WHEN)
            assert_true(str_starts(cell->text, "2026-04-22"));
    }
    assert_int_equal(listed_rows, 2);
}

/* Its place is its file and line where it told no station, and it has no time. */
static void a_row_set_aside_that_one_person_left_out_stands_on_the_page(void **state)
{
    static const char *const moved[] = {"Suspended solids, each sample"};

    (void)state;
    in->corrections[0] = (struct report_correction){.at = INSTANT_NONE,
                                                    .receipt = 1,
                                                    .line = 165,
                                                    .first_value = "99",
                                                    .value_before = "99",
                                                    .new_value = "set aside, then left out",
                                                    .made_at = in->month.made_at,
                                                    .person = "Ana Example",
                                                    .reason = "a slip of the pen",
                                                    .outside_to_inside = true,
                                                    .moved = moved,
                                                    .moved_count = 1};
    invented_judge(in);

    struct cell_list cells = write_month(path);
    const struct cell *place = find_text(&cells, "Month", "line 165 of outlet-april.csv");

    assert_non_null(place);
    assert_string_equal(at(&cells, "Month", place->row, WHEN)->text, "not told");
    expect_text(&cells, "Month",
                "1 correction that one person alone made brought something inside");
    expect_text(&cells, "Corrections", "line 165 of outlet-april.csv");
    expect_text(&cells, "Corrections", "set aside, then left out");
    assert_null(at(&cells, "Corrections", find_text(&cells, "Corrections", "line 165")->row, 3));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_rise_over_the_intake_lists_no_temperature_of_either_place),
        CASE(a_rise_beyond_its_bound_is_listed_with_both_readings),
        CASE(a_removal_is_listed_in_percent),
        CASE(a_bound_by_another_reading_is_told_as_it_was_then),
        CASE(a_verdict_that_rests_on_doubt_says_so_on_the_page),
        CASE(a_value_that_an_allowance_let_pass_is_not_listed_for_a_later_window),
        CASE(a_row_set_aside_that_one_person_left_out_stands_on_the_page),
    };

    return cmocka_run_group_tests_name("report/month_outside", tests, NULL, NULL);
}
