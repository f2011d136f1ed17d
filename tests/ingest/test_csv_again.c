/*
 * Headers that come again half-way, rows of units behind them, and rows of data where a source says
 * that units stand. Farms, probes and laboratories are invented.
 */
#include "ingest/csv_reader.h"
#include "ingest/workbook_file.h"

struct again {
    const char *why;
    const char *text; /* behind LOGGER_HEADER and a row of 09:00 */
    const char *drafts;
    const char *problems;
};

#define FIRST_ROW "2026-05-01 09:00,12.5,8.1\n"
#define FIRST_DRAFTS "0 2026-05-01T09:00:00Z =12.5 degC;1 2026-05-01T09:00:00Z =8.1 mg/L;"

static void check_again(const struct again *row, const struct outcome *outcome)
{
    if (strcmp(outcome->drafts.data, row->drafts) != 0 ||
        strcmp(outcome->problems.data, row->problems) != 0)
        fail_msg("%s:\n%s\n%s\n%s", row->why, outcome->drafts.data, outcome->problems.data,
                 outcome->words.data);
}

static const struct source_column columns_with_units[] = {
    {.header = "Temp (degC)", .parameter = "temperature"},
    {.header = "DO (mg/L)", .parameter = "oxygen"},
};

static const struct again unknown_headers[] = {
    {"other units than the source names",
     "Time,Temp (degF),DO (ug/L)\n2026-05-01 09:10,55.6,7100\n2026-05-01 09:20,55.7,\n",
     FIRST_DRAFTS, "row-shape 4:2;row-shape 4:3;row-shape 5:2;"},
    {"columns that swap, one under another name",
     "Time,DO (mg/L),Temperature\n2026-05-01 09:10,7.2,13.2\n", FIRST_DRAFTS,
     "row-shape 4:2;row-shape 4:3;"},
    {"the times under another name", "Date Time,DO (mg/L),Temp (degC)\n2026-05-01 09:10,7.2,13.2\n",
     FIRST_DRAFTS, "row-shape 4:2;row-shape 4:3;"},
    {"no name that is known, but units",
     "Zeit,Wasser (degF),Sauerstoff (ug/L)\n"
     "2026-05-01 09:10,55.6,7100\n",
     FIRST_DRAFTS, "row-shape 4:2;row-shape 4:3;"},
    {"nothing but words", "Zeit,Sauerstoff,Wasser\n2026-05-01 09:10,7.2,13.2\n", FIRST_DRAFTS,
     "row-shape 4:2;row-shape 4:3;"},
    {"a column too many", "Time,DO (mg/L),Temp (degC),Battery\n2026-05-01 09:10,7.2,13.2,12\n",
     FIRST_DRAFTS, "row-shape 4:2;row-shape 4:3;row-shape 4:4;"},
    {"a column twice", "Time,Temp (degC),Temp (degC),DO (mg/L)\n2026-05-01 09:10,1,2,3\n",
     FIRST_DRAFTS, "row-shape 4:2;row-shape 4:3;row-shape 4:4;"},
    {"until one that is known",
     "Time,Temp (degF),DO (mg/L)\n2026-05-01 09:10,55.6,7.1\nTime,Temp (degF),DO (mg/L)\n"
     "2026-05-01 09:20,55.6,7.1\nTime,DO (mg/L),Temp (degC)\n2026-05-01 09:30,7.2,13.2\n",
     FIRST_DRAFTS "0 2026-05-01T09:30:00Z =13.2 degC;1 2026-05-01T09:30:00Z =7.2 mg/L;",
     "row-shape 4:2;row-shape 4:3;row-shape 6:2;row-shape 6:3;"},
    {"a bad row among the good is no header",
     "yesterday,1,2\nprobe lifted,,\n??,ND,n/a\n2026-05-01 09:10,13.2,7.2\n",
     FIRST_DRAFTS "0 2026-05-01T09:10:00Z =13.2 degC;1 2026-05-01T09:10:00Z =7.2 mg/L;",
     "time-unreadable 3:2;time-unreadable 3:3;time-unreadable 5:2;time-unreadable 5:3;"},
};

static void rows_behind_a_header_that_is_not_known_are_never_read_by_the_old_one(void **state)
{
    for (size_t i = 0; i < ARRAY_LEN(unknown_headers); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct source source = logger();

        source.columns = columns_with_units;

        struct outcome outcome =
            read_text(mem, *state, &source,
                      arena_printf(mem, LOGGER_HEADER FIRST_ROW "%s", unknown_headers[i].text));

        check_again(&unknown_headers[i], &outcome);
    }
}

/* The rows above the header that is known would be passed over as titles. */
static void rows_under_another_header_above_the_known_one_refuse_the_file(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const char other[] =
        "Time,Temp (degF),DO (ug/L)\n2026-05-01 08:50,55.6,7100\n" LOGGER_HEADER FIRST_ROW;
    struct source source = logger();
    struct outcome outcome;

    source.header_line = 0;
    source.columns = columns_with_units;
    outcome = read_bytes(mem, *state, &source, other, strlen(other), 65536, 0);
    assert_false(outcome.done);
    assert_string_equal(outcome.err.text, "line 1: the header has no column 'Temp (degC)'");
    outcome =
        read_text(mem, *state, &source, "Time,of the export\nnoon,\n" LOGGER_HEADER FIRST_ROW);
    assert_string_equal(outcome.drafts.data, FIRST_DRAFTS);
}

static void what_is_set_aside_behind_a_header_tells_why_its_day_and_what_to_do(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = logger();
    struct outcome outcome;

    source.columns = columns_with_units;
    outcome =
        read_text(mem, *state, &source,
                  LOGGER_HEADER FIRST_ROW "Date Time,DO (ug/L),Air\n2026-05-01 09:10,7100,13.2\n");
    assert_non_null(strstr(outcome.words.data,
                           "the row is under a header that the source does not know: line 3: the "
                           "header has no column 'Time' | Teach the source both headers"));
    assert_non_null(strstr(outcome.words.data, "| 2026-05-01 09:10,7100,13.2 | pond oxygen "
                                               "2026-05-01T09:10:00Z -\n"));
    /* A column that bears no name of the source's may be of any place. */
    assert_non_null(strstr(outcome.words.data, "| 2026-05-01 09:10,7100,13.2 | - - "
                                               "2026-05-01T09:10:00Z -\n"));
}

static void a_laboratory_s_header_that_changes_half_way_is_not_passed_over(void **state)
{
    static const struct again rows[] = {
        {"columns that swap",
         LAB_HEADER "Site A,01/05/2026,9:00,TSS,5,mg/L\nOrt,Datum,Uhr,Befund,Grenze,Einheit\n"
                    "Site A,01/05/2026,9:00,TSS,2,mg/L\n",
         "0 2026-04-30T21:00:00Z =5 mg/L;", "row-shape 4:0;"},
        {"a row without a time is a row",
         LAB_HEADER "Site A,soon,soon,TSS,pending,mg/L\nSite A,01/05/2026,9:00,TSS,2,mg/L\n",
         "0 2026-04-30T21:00:00Z =2 mg/L;", "time-unreadable 2:2;"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct source source = laboratory();
        struct outcome outcome = read_text(mem, *state, &source, rows[i].text);

        check_again(&rows[i], &outcome);
    }
}

static void a_workbook_s_header_that_changes_half_way_is_not_passed_over(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const struct made_sheet sheet[] = {
        {"Data", "visible",
         ROW("1", T("A1", "Time") T("B1", "Temp (degC)") T("C1", "DO (mg/L)"))
             ROW("2", D("A2", "46143.375") N("B2", "12.5") N("C2", "8.1"))
                 ROW("3", T("A3", "Time") T("B3", "DO (mg/L)") T("C3", "Temperature"))
                     ROW("4", D("A4", "46143.5") N("B4", "7.2") N("C4", "13.2"))}};
    static const struct again expected = {"a workbook", NULL, FIRST_DRAFTS,
                                          "row-shape 4:2;row-shape 4:3;"};
    struct source source = logger();
    struct outcome outcome;

    source.format = SOURCE_XLSX;
    source.header_line = 0;
    source.time_format = NULL;
    outcome = read_book(mem, *state, &source, &(struct made_book){.sheets = sheet, .count = 1});
    assert_done(outcome.done, &outcome.err);
    check_again(&expected, &outcome);
}

static void words_without_end_never_refuse_a_file(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = logger();
    struct buf text = buf_new(mem);
    struct outcome outcome;

    buf_add_text(&text, LOGGER_HEADER FIRST_ROW);
    for (int i = 0; i < HEADERS_MOST + 5; i++)
        buf_addf(&text, "Zeit,Wasser %d,Sauerstoff\n", i);
    outcome = read_text(mem, *state, &source, text.data);
    assert_string_equal(outcome.drafts.data, FIRST_DRAFTS);
}

/* --- rows of units --- */

static const struct source_column columns_told[] = {
    {.header = "Temp", .parameter = "temperature", .unit = "degC"},
    {.header = "DO", .parameter = "oxygen", .unit = "mg/L"},
};
static const struct source_column columns_untold[] = {
    {.header = "Temp", .parameter = "temperature"},
    {.header = "DO", .parameter = "oxygen"},
};

struct unit_rows {
    struct again again;
    const struct source_column *columns;
    const char *words; /* part of what is said, or NULL */
};

#define BARE_HEADER "Time,Temp,DO\n"

static const struct unit_rows unit_rows[] = {
    {{"the first row of units is compared", BARE_HEADER ",degF,mg/L\n2026-05-01 09:00,55,7.1\n",
      "0 2026-05-01T09:00:00Z =7.1 mg/L;", "unit-unfit 3:2;"},
     columns_told,
     "the header says degF and the source says degC"},
    {{"so is one behind the same header again",
      BARE_HEADER ",degC,mg/L\n" FIRST_ROW BARE_HEADER ",degF,ug/L\n2026-05-01 09:10,55,7100\n",
      FIRST_DRAFTS, "unit-unfit 6:2;unit-unfit 6:3;"},
     columns_told,
     "the header says ug/L and the source says mg/L"},
    {{"units that the source does not tell change with the row of units",
      BARE_HEADER ",degC,mg/L\n" FIRST_ROW BARE_HEADER ",degF,ug/L\n2026-05-01 09:10,55,7100\n",
      FIRST_DRAFTS "0 2026-05-01T09:10:00Z =55 degF;1 2026-05-01T09:10:00Z =7100 ug/L;", ""},
     columns_untold,
     NULL},
    {{"and stay where none comes behind the header again",
      BARE_HEADER ",degC,mg/L\n" FIRST_ROW BARE_HEADER "2026-05-01 09:10,12.6,8.2\n",
      FIRST_DRAFTS "0 2026-05-01T09:10:00Z =12.6 degC;1 2026-05-01T09:10:00Z =8.2 mg/L;", ""},
     columns_untold,
     NULL},
    {{"a header that tells another unit than the row of units",
      "Time,Temp (degC),DO\n,degF,mg/L\n2026-05-01 09:00,55,7.1\n",
      "0 2026-05-01T09:00:00Z =7.1 mg/L;", "unit-unfit 3:2;"},
     columns_untold,
     "the header says degC and the row of units says degF"},
    {{"a file without the row of units loses no row",
      BARE_HEADER FIRST_ROW "2026-05-01 09:10,12.6,8.2\n",
      FIRST_DRAFTS "0 2026-05-01T09:10:00Z =12.6 degC;1 2026-05-01T09:10:00Z =8.2 mg/L;", ""},
     columns_told,
     NULL},
    {{"nor one whose time can't be", BARE_HEADER "2026-02-30 09:00,12.6,8.2\n" FIRST_ROW,
      FIRST_DRAFTS, "time-impossible 2:2;time-impossible 2:3;"},
     columns_told,
     NULL},
    {{"nor one that can't be divided", BARE_HEADER "2026-05-01 08:50,\"12.6\"x,8.2\n" FIRST_ROW,
      FIRST_DRAFTS, "row-shape 2:2;row-shape 2:3;"},
     columns_told,
     NULL},
};

static void a_row_of_units_is_held_against_the_source_wherever_it_comes(void **state)
{
    for (size_t i = 0; i < ARRAY_LEN(unit_rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const struct unit_rows *row = &unit_rows[i];
        struct source source = logger();
        struct outcome outcome;

        source.columns = row->columns;
        source.skip_after_header = 1;
        outcome = read_text(mem, *state, &source, row->again.text);
        check_again(&row->again, &outcome);
        if (row->words)
            assert_non_null(strstr(outcome.words.data, row->words));
    }
}

/* --- unreadable rows --- */

static void an_unreadable_row_of_a_wide_file_counts_as_its_cells(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = logger();
    struct outcome outcome =
        read_text(mem, *state, &source, LOGGER_HEADER FIRST_ROW "2026-05-01 09:10,\"1\"2,3\n");

    assert_int_equal(outcome.counts.values_in, 4);
    assert_string_equal(outcome.problems.data, "row-shape 3:2;row-shape 3:3;");
    assert_non_null(strstr(outcome.words.data, "| pond temperature - -\n"));
    assert_non_null(strstr(outcome.words.data, "| pond oxygen - -\n"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rows_behind_a_header_that_is_not_known_are_never_read_by_the_old_one),
        cmocka_unit_test(rows_under_another_header_above_the_known_one_refuse_the_file),
        cmocka_unit_test(what_is_set_aside_behind_a_header_tells_why_its_day_and_what_to_do),
        cmocka_unit_test(a_laboratory_s_header_that_changes_half_way_is_not_passed_over),
        cmocka_unit_test(a_workbook_s_header_that_changes_half_way_is_not_passed_over),
        cmocka_unit_test(words_without_end_never_refuse_a_file),
        cmocka_unit_test(a_row_of_units_is_held_against_the_source_wherever_it_comes),
        cmocka_unit_test(an_unreadable_row_of_a_wide_file_counts_as_its_cells),
    };

    return cmocka_run_group_tests_name("ingest/csv_again", tests, farm_open, farm_close);
}
