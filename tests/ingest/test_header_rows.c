/*
 * Headers of two rows, names above names, in text files and workbooks. Farms and numbers are
 * invented.
 */
#include "ingest/workbook_file.h"

static const struct source_column two_places[] = {
    {.header = "Outlet / Temp (degC)", .parameter = "temperature", .station = "outlet"},
    {.header = "Outlet / DO", .parameter = "oxygen", .station = "outlet"},
    {.header = "Tank 1 / Temp (degC)", .parameter = "temperature", .station = "pond"},
    {.header = "Tank 1 / DO", .parameter = "oxygen", .station = "pond"},
};

static struct source two_rows(void)
{
    struct source source = logger();

    source.header_line = 0;
    source.header_rows = 2;
    source.station = NULL;
    source.columns = two_places;
    source.column_count = ARRAY_LEN(two_places);

    return source;
}

#define UPPER ",Outlet,,Tank 1,\n"
#define LOWER "Time,Temp (degC),DO (mg/L),Temp (degC),DO (mg/L)\n"
#define NINE "2026-05-01 09:00,1,2,3,4\n"
#define NINE_DRAFTS                                                                                \
    "0 2026-05-01T09:00:00Z =1 degC;1 2026-05-01T09:00:00Z =2 mg/L;"                               \
    "2 2026-05-01T09:00:00Z =3 degC;3 2026-05-01T09:00:00Z =4 mg/L;"
#define TEN_DRAFTS                                                                                 \
    "0 2026-05-01T09:10:00Z =5 degC;1 2026-05-01T09:10:00Z =6 mg/L;"                               \
    "2 2026-05-01T09:10:00Z =7 degC;3 2026-05-01T09:10:00Z =8 mg/L;"
#define TEN_ASIDE "row-shape 6:2;row-shape 6:3;row-shape 6:4;row-shape 6:5;"

struct text_row {
    const char *why;
    int header_line;
    const char *text;
    const char *drafts;
    const char *problems;
};

static const struct text_row texts[] = {
    {"found below a title", 0, "Monthly sheet\n" UPPER LOWER NINE, NINE_DRAFTS, ""},
    {"told by the line of the lower row", 3, "Monthly sheet\n" UPPER LOWER NINE, NINE_DRAFTS, ""},
    {"a name above an empty cell stands alone", 0,
     "Time,Outlet,,Tank 1,\n,Temp (degC),DO (mg/L),Temp (degC),DO (mg/L)\n" NINE, NINE_DRAFTS, ""},
    {"another separator", 0,
     ";Outlet;;Tank 1;\nTime;Temp (degC);DO (mg/L);Temp (degC);DO (mg/L)\n2026-05-01 "
     "09:00;1;2;3;4\n",
     NINE_DRAFTS, ""},
    {"both rows again", 0, UPPER LOWER NINE UPPER LOWER "2026-05-01 09:10,5,6,7,8\n",
     NINE_DRAFTS TEN_DRAFTS, ""},
    {"places that swap half-way are never read as they stood", 0,
     UPPER LOWER NINE ",Tank 1,,Outlet,\n" LOWER "2026-05-01 09:10,5,6,7,8\n", NINE_DRAFTS,
     "time-unreadable 4:2;time-unreadable 4:4;" TEN_ASIDE},
    {"until both rows come as they were", 0,
     UPPER LOWER NINE UPPER "Time,DO (mg/L),Temp (degC),Temp (degC),DO (mg/L)\n"
                            "2026-05-01 09:10,5,6,7,8\n" UPPER LOWER "2026-05-01 09:10,5,6,7,8\n",
     NINE_DRAFTS TEN_DRAFTS, TEN_ASIDE},
};

static void columns_are_named_by_both_rows(void **state)
{
    for (size_t i = 0; i < ARRAY_LEN(texts); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct source source = two_rows();
        struct outcome outcome;

        source.header_line = texts[i].header_line;
        outcome = read_text(mem, *state, &source, texts[i].text);
        if (strcmp(outcome.drafts.data, texts[i].drafts) != 0 ||
            strcmp(outcome.problems.data, texts[i].problems) != 0)
            fail_msg("%s:\n%s\n%s", texts[i].why, outcome.drafts.data, outcome.problems.data);
        assert_non_null(strstr(outcome.series.data, "outlet//temperature/"));
        assert_non_null(strstr(outcome.series.data, "pond//oxygen/"));
    }
}

static void merged_titles_of_a_workbook_name_the_columns_below(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const struct made_sheet sheets[] = {
        {"May", "visible",
         ROW("1", T("A1", "Invented")) ROW("3", T("C3", "Outlet") T("E3", "Tank 1")) ROW(
             "4", T("B4", "Time") T("C4", "Temp (degC)") T("D4", "DO (mg/L)") T("E4", "Temp (degC)")
                      T("F4", "DO (mg/L)"))
             ROW("5", D("B5", "46143.375") N("C5", "1") N("D5", "2") N("E5", "3") N("F5", "4"))},
        {"June", "visible",
         ROW("1", T("C1", "Outlet") T("E1", "Tank 1")) ROW(
             "2", T("B2", "Time") T("C2", "Temp (degC)") T("D2", "DO (mg/L)") T("E2", "Temp (degC)")
                      T("F2", "DO (mg/L)")) ROW("3", D("B3", "46143.3819444444") N("C3", "5")
                                                         N("D3", "6") N("E3", "7") N("F3", "8"))}};
    struct source source = two_rows();
    struct outcome outcome;

    source.format = SOURCE_XLSX;
    source.time_format = NULL;
    outcome = read_book(mem, *state, &source, &(struct made_book){.sheets = sheets, .count = 2});
    assert_done(outcome.done, &outcome.err);
    assert_string_equal(outcome.drafts.data, NINE_DRAFTS TEN_DRAFTS);
    assert_string_equal(outcome.problems.data, "");
}

static void what_is_not_there_is_told_by_both_names(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const char text[] = ",Outlet,,Tank 2,\n" LOWER NINE;
    struct source source = two_rows();
    struct outcome outcome = read_bytes(mem, *state, &source, text, strlen(text), 65536, 0);

    assert_false(outcome.done);
    assert_string_equal(outcome.err.text,
                        "line 2: the header has no column 'Tank 1 / Temp (degC)'");
    assert_non_null(strstr(outcome.err.hint, "Tank 2 / Temp"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(columns_are_named_by_both_rows),
        cmocka_unit_test(merged_titles_of_a_workbook_name_the_columns_below),
        cmocka_unit_test(what_is_not_there_is_told_by_both_names),
    };

    return cmocka_run_group_tests_name("ingest/header_rows", tests, farm_open, farm_close);
}
