/*
 * Workbooks (ECMA-376 part 1) by a source: made here, and those of fixtures/sheets that two
 * programs by others wrote. Laboratories and numbers are invented.
 */
#include "ingest/workbook_file.h"

#define HEADER_ROW(number)                                                                         \
    ROW(number, T("A" number, "Time") T("B" number, "Temp (degC)") T("C" number, "DO (mg/L)"))

static struct source book_source(void)
{
    struct source source = logger();

    source.format = SOURCE_XLSX;
    source.header_line = 0;
    source.time_format = NULL;

    return source;
}

/* Titles above the header, then every kind of cell. 46143.375 is 2026-05-01 09:00. */
static const struct made_sheet one_sheet[] = {
    {"Results", "visible",
     ROW("1", T("A1", "Results of an invented laboratory")) HEADER_ROW("3")
         ROW("4", D("A4", "46143.375") N("B4", "12.5") N("C4", "8.1999999999999993"))
             ROW("5", D("A5", "46143.3854166667") T("B5", " 12.70 ") T("C5", "&lt;0.5"))
                 ROW("6", D("A6", "46143.3958333333") "<c r=\"B6\"><f>B4+1</f><v>13.5</v></c>"
                                                      "<c r=\"C6\"><f>C4+1</f></c>")
                     HIDDEN_ROW("7", D("A7", "46143.40625")
                                         N("B7", "14") "<c r=\"C7\" t=\"e\"><v>#DIV/0!</v></c>")
                         ROW("8", T("A8", "2026-05-01 10:00") N("B8", "15"))
                             ROW("9", D("A9", "46143.4270833333") D("B9", "46143"))},
};

static const char one_drafts[] =
    "0 2026-05-01T09:00:00Z =12.5 degC;1 2026-05-01T09:00:00Z =8.2 mg/L;"
    "0 2026-05-01T09:15:00Z =12.70 degC;1 2026-05-01T09:15:00Z <0.5 mg/L;"
    "0 2026-05-01T09:30:00Z =13.5 degC;0 2026-05-01T09:45:00Z =14 degC;";

static void every_kind_of_cell_is_taken_as_it_is_stored(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = book_source();
    struct outcome outcome =
        read_book(mem, *state, &source, &(struct made_book){.sheets = one_sheet, .count = 1});

    assert_done(outcome.done, &outcome.err);
    assert_string_equal(outcome.drafts.data, one_drafts);
    assert_string_equal(
        outcome.problems.data,
        "value-unreadable 6:3;value-unreadable 7:3;time-unreadable 8:2;value-unreadable 9:2;");
    assert_non_null(
        strstr(outcome.words.data, "a formula, and the workbook holds no value for it"));
    assert_non_null(strstr(outcome.words.data, "#DIV/0!"));
    assert_string_equal(outcome.blanks.data, "8:3;9:3;");
    assert_string_equal(outcome.sheets.data, "0 Results taken rows 6 hidden 1;");
}

/* What a person sees in the cell counts (ECMA-376 part 1, 18.8.30 and 18.8.31). */
static void a_number_counts_as_its_format_shows_it(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const struct source_column columns[] = {
        {.header = "Sat", .parameter = "oxygen-saturation", .unit = "%"},
        {.header = "DO (mg/L)", .parameter = "oxygen"},
    };
    static const struct made_sheet sheet[] = {
        {"Data", "visible",
         ROW("1", T("A1", "Time") T("B1", "Sat") T("C1", "DO (mg/L)"))
             ROW("2", D("A2", "46143.375") S("B2", "2", "0.95") N("C2", "8.1"))
                 ROW("3", D("A3", "46143.5") N("B3", "95") S("C3", "3", "0.5"))
                     ROW("4", D("A4", "46143.625") S("B4", "4", "96000") S("C4", "2", "0.08"))
                         ROW("5", D("A5", "46143.75") S("B5", "6", "97") S("C5", "5", "12"))
                             ROW("6", D("A6", "46143.875") S("B6", "5", "96"))}};
    struct source source = book_source();
    struct outcome outcome;

    source.columns = columns;
    outcome = read_book(mem, *state, &source, &(struct made_book){.sheets = sheet, .count = 1});
    assert_done(outcome.done, &outcome.err);
    assert_string_equal(outcome.drafts.data,
                        "0 2026-05-01T09:00:00Z =95 %;1 2026-05-01T09:00:00Z =8.1 mg/L;"
                        "0 2026-05-01T12:00:00Z =95 %;1 2026-05-01T12:00:00Z <0.5 mg/L;"
                        "0 2026-05-01T15:00:00Z =96 %;");
    assert_string_equal(outcome.problems.data,
                        "unit-unfit 4:3;value-unreadable 5:2;unit-unfit 5:3;unit-unfit 6:2;");
    assert_non_null(strstr(outcome.words.data, "the cell shows 8 %, and the column is in mg/L"));
    assert_non_null(strstr(outcome.words.data, "the cell holds 97, and its format hides it"));
    assert_non_null(
        strstr(outcome.words.data, "the cell shows 12 ug/L, and the column is in mg/L"));
    assert_non_null(strstr(outcome.words.data, "the cell shows 96 ug/L, and the column is in %"));
}

static void text_times_go_by_the_source_s_format(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = book_source();
    struct outcome outcome;

    source.time_format = "YYYY-MM-DD hh:mm";
    outcome = read_book(mem, *state, &source, &(struct made_book){.sheets = one_sheet, .count = 1});
    assert_done(outcome.done, &outcome.err);
    assert_non_null(strstr(outcome.drafts.data, "0 2026-05-01T10:00:00Z =15 degC;"));
}

static void dates_count_from_where_the_workbook_says(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const struct made_sheet sheet[] = {
        {"Data", "visible",
         HEADER_ROW("1") ROW("2", D("A2", "44681.375") N("B2", "1"))
             ROW("3", N("A3", "44681.385416666664") N("B3", "2"))}};
    struct source source = book_source();
    struct outcome outcome;

    source.time_format = "Excel 1900"; /* of numbers that do not look like dates */
    outcome = read_book(mem, *state, &source,
                        &(struct made_book){.sheets = sheet, .count = 1, .from_1904 = true});
    assert_done(outcome.done, &outcome.err);
    assert_string_equal(outcome.drafts.data, "0 2026-05-01T09:00:00Z =1 degC;"
                                             "0 2026-05-01T09:15:00Z =2 degC;");
}

/* A date in one cell and an hour in the next, as text or as part of a day. */
static void date_and_hour_may_stand_apart(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const struct made_sheet sheet[] = {
        {"Data", "visible",
         ROW("1", T("A1", "Date") T("B1", "Hour") T("C1", "Temp (degC)") T("D1", "DO (mg/L)"))
             ROW("2", D("A2", "46143") D("B2", "0.375") N("C2", "1"))
                 ROW("3", D("A3", "46143") T("B3", "9:15") N("C3", "2"))
                     ROW("4", T("A4", "01/05/2026") D("B4", "0.395833333333333") N("C4", "3"))
                         ROW("5", D("A5", "46143") N("C5", "4"))}};
    struct source source = book_source();
    struct outcome outcome;

    source.time_headers[0] = "Date";
    source.time_headers[1] = "Hour";
    source.time_format = "DD/MM/YYYY hh:mm";
    outcome = read_book(mem, *state, &source, &(struct made_book){.sheets = sheet, .count = 1});
    assert_done(outcome.done, &outcome.err);
    assert_string_equal(outcome.drafts.data, "0 2026-05-01T09:00:00Z =1 degC;"
                                             "0 2026-05-01T09:15:00Z =2 degC;"
                                             "0 2026-05-01T09:30:00Z =3 degC;"
                                             "0 2026-05-01T00:00:00Z =4 degC;");
}

#define MONTH(first) HEADER_ROW("1") ROW("2", D("A2", first) N("B2", "1") N("C2", "8"))

static const struct made_sheet months[] = {
    {"Notes", "visible", ROW("1", T("A1", "Invented"))},
    {"May", "visible", MONTH("46143.375")},
    {"Old", "hidden", MONTH("46113.375")},
    {"Empty", "visible", ""},
};

struct sheet_choice {
    const char *sheet; /* NULL: none is named */
    bool leaves_hidden;
    const char *sheets;
    const char *error;
};

static const struct sheet_choice choices[] = {
    {NULL, false,
     "0 Notes not taken rows 0 hidden 0;1 May taken rows 1 hidden 0;2 Old taken rows 1 hidden 1;"
     "3 Empty not taken rows 0 hidden 0;",
     NULL},
    {NULL, true,
     "0 Notes not taken rows 0 hidden 0;1 May taken rows 1 hidden 0;2 Old not taken rows 0 hidden "
     "0;3 Empty not taken rows 0 hidden 0;",
     NULL},
    {"may", false,
     "0 Notes not taken rows 0 hidden 0;1 May taken rows 1 hidden 0;2 Old not taken rows 0 hidden "
     "0;3 Empty not taken rows 0 hidden 0;",
     NULL},
    {"June", false, NULL, "the workbook has no sheet 'June'"},
    {"Notes", false, NULL, "sheet Notes: line 1: the header has no column 'Time'"},
    {"Empty", false, NULL, "sheet Empty: it ends before its header"},
};

static void sheets_are_chosen_as_the_source_says(void **state)
{
    for (size_t i = 0; i < ARRAY_LEN(choices); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct source source = book_source();

        source.sheets = &choices[i].sheet;
        source.sheet_count = choices[i].sheet != NULL;
        source.leaves_hidden = choices[i].leaves_hidden;

        struct outcome outcome =
            read_book(mem, *state, &source,
                      &(struct made_book){.sheets = months, .count = ARRAY_LEN(months)});

        if (choices[i].error) {
            assert_false(outcome.done);
            assert_string_equal(outcome.err.text, choices[i].error);
            continue;
        }
        assert_done(outcome.done, &outcome.err);
        assert_string_equal(outcome.sheets.data, choices[i].sheets);
    }
}

static void a_place_is_of_sheet_and_row(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const struct made_sheet sheets[] = {
        {"May", "visible", MONTH("46143.375")},
        {"June", "visible", HEADER_ROW("5") ROW("6", D("A6", "46143.5") T("B6", "many"))}};
    struct source source = book_source();
    struct outcome outcome =
        read_book(mem, *state, &source, &(struct made_book){.sheets = sheets, .count = 2});

    assert_done(outcome.done, &outcome.err);
    assert_string_equal(outcome.problems.data, "value-unreadable 1048582:2;");
}

/* fixtures/sheets: written by openpyxl, and the same saved again by LibreOffice. */
static void workbooks_by_other_programs_are_read(void **state)
{
    static const struct source_word points[] = {{"Outlet", "outlet"}};
    static const char *const files[] = {"laboratory.xlsx", "office/laboratory.xlsx"};

    for (size_t i = 0; i < ARRAY_LEN(files); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct err err = ERR_INIT;
        struct source source = laboratory();
        char *bytes = NULL;
        size_t count = 0;

        source.format = SOURCE_XLSX;
        source.header_line = 0;
        source.time_headers[0] = "Taken";
        source.time_headers[1] = NULL;
        source.time_format = NULL;
        source.station_header = "Point";
        source.stations = (struct source_words){points, 1};
        source.parameter_header = NULL;
        source.parameter = "suspended-solids";
        source.value_header = "Solids";
        source.ignores_other_headers = true;
        assert_done(file_read(mem, arena_printf(mem, "%s/fixtures/sheets/%s", SOURCE_DIR, files[i]),
                              1000000, &bytes, &count, &err),
                    &err);

        struct outcome outcome = read_bytes(mem, *state, &source, bytes, count, 65536, 0);

        assert_done(outcome.done, &outcome.err);
        assert_string_equal(outcome.drafts.data, "0 2026-03-11T20:30:00Z =34.2 mg/L;"
                                                 "0 2026-03-18T11:00:00Z <0.05 mg/L;");
        /* An hour without its date, and a value without a time. */
        assert_string_equal(outcome.problems.data, "time-unreadable 5:2;time-unreadable 6:2;");
        assert_non_null(strstr(outcome.sheets.data, "0 Results taken rows"));
        assert_non_null(strstr(outcome.sheets.data, "1 Notes & more not taken"));
    }
}

static void what_is_no_workbook_is_refused(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const char text[] = LOGGER_HEADER;
    struct source source = book_source();
    struct outcome outcome = read_bytes(mem, *state, &source, text, strlen(text), 100, 0);

    assert_false(outcome.done);
    assert_string_equal(outcome.err.text, "the file is not an XLSX workbook, or it is damaged");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_kind_of_cell_is_taken_as_it_is_stored),
        cmocka_unit_test(a_number_counts_as_its_format_shows_it),
        cmocka_unit_test(text_times_go_by_the_source_s_format),
        cmocka_unit_test(dates_count_from_where_the_workbook_says),
        cmocka_unit_test(date_and_hour_may_stand_apart),
        cmocka_unit_test(sheets_are_chosen_as_the_source_says),
        cmocka_unit_test(a_place_is_of_sheet_and_row),
        cmocka_unit_test(workbooks_by_other_programs_are_read),
        cmocka_unit_test(what_is_no_workbook_is_refused),
    };

    return cmocka_run_group_tests_name("ingest/workbook", tests, farm_open, farm_close);
}
