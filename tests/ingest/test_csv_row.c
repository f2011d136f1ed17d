#include "base/utf8.h"
#include "ingest/csv_file.h"

/* Every bad row stands between two good ones, which must come through. */

struct bad_row {
    const char *row;
    const char *problems; /* the bad row is line 3 */
    const char *words;    /* part of what is said of it */
};

static const struct bad_row bad_logger_rows[] = {
    {"yesterday,1,2", "time-unreadable 3:2;time-unreadable 3:3;",
     "'yesterday' is not written as YYYY-MM-DD hh:mm | Correct the time"},
    {"yesterday,1,", "time-unreadable 3:2;", "yesterday,1, | pond temperature - 1 degC"},
    {",1,2", "time-unreadable 3:2;time-unreadable 3:3;", "the row has no time"},
    {"2026-02-30 09:00,1,2", "time-impossible 3:2;time-impossible 3:3;",
     "no calendar or clock shows '2026-02-30 09:00'"},
    {"2026-06-01 12:11,1,", "time-future 3:2;",
     "more than 10 minutes later than the file was received"},
    {"1949-12-31 23:59,1,", "time-too-old 3:2;", "before 1950"},
    {"2026-05-01 09:10,1.2.3,2", "value-unreadable 3:2;", "'1.2.3': it has two separators"},
    {"2026-05-01 09:10,\"1,234.5\",2", "value-unreadable 3:2;", "it has two separators"},
    {"2026-05-01 09:10,\"12,5\",2", "value-unreadable 3:2;",
     "decimal mark | If only this cell is wrong, ask for a corrected sheet; if the whole file "
     "writes decimals so, say so in the source."},
    {"2026-05-01 09:10,12 degC,2", "value-unreadable 3:2;",
     "pond temperature 2026-05-01T09:10:00Z -"},
    {"2026-05-01 09:10,1,2,3", "row-shape 3:2;row-shape 3:3;",
     "the row has 4 cells and the header 3"},
    {"2026-05-01 09:10,,,3", "row-shape 3:0;", "the row has 4 cells and the header 3"},
    {"2026-05-01 09:10,\"1\"2,3", "row-shape 3:2;row-shape 3:3;",
     "something stands between a closing quote and the next separator (line 3, place 21)"},
    {"2026-05-01 09:10,\"1,2", "row-shape 3:2;row-shape 3:3;",
     "a quote is opened and never closed (line 3, place 18)"},
    {"2026-05-01 09:10,1\xb0,2", "bytes 3:2;bytes 3:3;",
     "byte 71 of the file, 0xB0 in column 2, is no utf-8 text"},
    /* The text of a cell with doubled quotes lies elsewhere: before or behind the row's own. */
    {"2026-05-01 09:10,\"1\"\"\",2\xb0", "bytes 3:2;bytes 3:3;",
     "byte 77 of the file, 0xB0 in column 3, is no utf-8 text"},
    {"2026-05-01 09:10\xb0,\"1\"\"\",2", "bytes 3:2;bytes 3:3;",
     "byte 69 of the file, 0xB0 in column 1, is no utf-8 text"},
};

static void a_bad_row_of_a_logger_is_set_aside_and_its_neighbours_go_on(void **state)
{
    for (size_t i = 0; i < ARRAY_LEN(bad_logger_rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct source source = logger();
        struct outcome outcome =
            read_text(mem, *state, &source,
                      arena_printf(mem,
                                   LOGGER_HEADER "2026-05-01 09:00,12.5,8.1\n%s\n"
                                                 "2026-05-01 09:20,12.6,8.2\n",
                                   bad_logger_rows[i].row));

        if (strcmp(outcome.problems.data, bad_logger_rows[i].problems) != 0 ||
            !strstr(outcome.words.data, bad_logger_rows[i].words))
            fail_msg("%s: %s %s", bad_logger_rows[i].row, outcome.problems.data,
                     outcome.words.data);
        assert_non_null(strstr(outcome.drafts.data, "09:00:00Z =12.5 degC;"));
        assert_non_null(strstr(outcome.drafts.data, "09:20:00Z =8.2 mg/L;"));
    }
}

static const struct bad_row bad_lab_rows[] = {
    {"Site C,01/05/2026,9:30,TSS,14,mg/L", "station-unknown 3:1;",
     "there is no station 'Site C' | Did you mean 'Site A'? "},
    {",01/05/2026,9:30,TSS,14,mg/L", "station-unknown 3:1;", "the row names no station"},
    {"outlet,01/05/2026,9:30,TTS,14,mg/L", "parameter-unknown 3:4;", "Did you mean 'TSS'?"},
    {"outlet,01/05/2026,9:30,Nitrate,1,mg/L", "parameter-unknown 3:4;",
     "there is no parameter 'Nitrate' | It may mean 'nitrate'. Say what it means under `parameter "
     "words` of the source; "},
    {"outlet,01/05/2026,9:30,Nitrate (as N),1,mg/L", "parameter-unknown 3:4;",
     "It may mean 'nitrate'. "},
    {"outlet,01/05/2026,9:30,pH,7,pH", "parameter-unknown 3:4;", "It may mean 'ph'. "},
    {"outlet,01/05/2026,9:30,nitrate,1,mg/L", "", ""},
    {"outlet,01/05/2026,9:30,BOD,12,mg/L", "parameter-unknown 3:4;",
     "outlet - 2026-04-30T21:30:00Z 12 mg/L\n"},
    {"outlet,01/05/2026,9:30,,1,mg/L", "parameter-unknown 3:4;", "the row names no parameter"},
    {"outlet,01/05/2026,9:30,TSS,34,mgl/L", "unit-unknown 3:6;",
     "outlet suspended-solids 2026-04-30T21:30:00Z 34"},
    {"outlet,01/05/2026,9:30,TSS,34,", "unit-unknown 3:6;", "no unit is told for"},
    {"outlet,01/05/2026,9:30,TSS,34,degC", "unit-unfit 3:6;", "34"},
    /* "1,900" and, in a file with room for one more, "1,2.3": read as 1 they were within. */
    {"outlet,01/05/2026,9:30,TSS,1,900,mg/L", "row-shape 3:7;",
     "outlet suspended-solids 2026-04-30T21:30:00Z -\n"},
    {"outlet,01/05/2026,9:30,TSS,1,2.3", "row-shape 3:6;",
     "outlet suspended-solids 2026-04-30T21:30:00Z -\n"},
    {"outlet,01/05/2026,9:30,TSS,about 5,mg/L", "value-unreadable 3:5;", "mg/L\n"},
    {"outlet,01/05/2026,9:30,TSS,-3,mg/L", "value-impossible 3:5;",
     "'-3': Total suspended solids can't be negative | If it means that there is no value, list it "
     "under `blanks` of the source and read it again; "},
    {"outlet,01/05/2026,9:30,TSS,<-3,mg/L", "value-impossible 3:5;",
     "outlet suspended-solids 2026-04-30T21:30:00Z - mg/L\n"},
    {"outlet,01/05/2026,9:30,TSS,-0,mg/L", "", ""},
    {"outlet,01/05/2026,9:30,ph,17.9,pH", "value-impossible 3:5;",
     "'17.9': pH can't be above 15 | If the unit is another one, "},
    {"outlet,01/05/2026,9:30,conductivity,41200,mS/cm", "value-impossible 3:5;",
     "'41200': Conductivity can't be above 2000 mS/cm"},
    {"outlet,01/05/2026,9:30,conductivity,41200,uS/cm", "", ""},
    {"outlet,01/05/2026,9:30,temperature,-1.2,degC", "", ""},
    {"outlet,27/09/2025,2:30,TSS,14,mg/L", "", ""},
    {"outlet,28/09/2025,2:30,TSS,14,mg/L", "time-missing-hour 3:2;",
     "the clocks of Pacific/Auckland jumped over '28/09/2025 2:30' | If the clock was put forward, "
     "the time is a slip: leave the row out. If it was not, every reading after this one is an "
     "hour "
     "off: "},
    {"outlet,05/04/2026,2:30,TSS,14,mg/L", "time-twice 3:2;",
     "'05/04/2026 2:30' came twice that day"},
    {"outlet,01/05/2026,9:30,TSS,,mg/L", "", ""},
};

static void a_bad_row_of_a_laboratory_is_set_aside_with_what_could_be_read(void **state)
{
    for (size_t i = 0; i < ARRAY_LEN(bad_lab_rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct source source = laboratory();
        struct outcome outcome =
            read_text(mem, *state, &source,
                      arena_printf(mem,
                                   LAB_HEADER "outlet,01/02/2025,9:30,TSS,11,mg/L\n%s\n"
                                              "outlet,03/05/2026,9:30,TSS,12,mg/L\n",
                                   bad_lab_rows[i].row));

        if (strcmp(outcome.problems.data, bad_lab_rows[i].problems) != 0 ||
            !strstr(outcome.words.data, bad_lab_rows[i].words))
            fail_msg("%s: %s %s", bad_lab_rows[i].row, outcome.problems.data, outcome.words.data);
        assert_non_null(strstr(outcome.drafts.data, "=11 mg/L;"));
        assert_non_null(strstr(outcome.drafts.data, "=12 mg/L;"));
        assert_int_equal(outcome.counts.values_in, 3);
    }
}

static void a_sink_that_asks_is_told_the_place_of_each_blank(void **state)
{
    static const char *const cleaned[] = {"probe cleaned"};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source wide = logger();
    struct source lab = laboratory();

    wide.blanks = cleaned;
    wide.blank_count = 1;

    struct outcome outcome = read_text(mem, *state, &wide,
                                       LOGGER_HEADER "2026-05-01 09:00,,8.1\n"
                                                     "2026-05-01 09:10,12.5,Probe cleaned\n"
                                                     "2026-05-01 09:20\n");

    assert_string_equal(outcome.blanks.data, "2:2;3:3;4:2;4:3;");
    outcome = read_text(mem, *state, &lab,
                        LAB_HEADER "outlet,01/05/2026,9:30,TSS,,mg/L\n"
                                   "outlet,02/05/2026,9:30,TSS,4,mg/L\n");
    assert_string_equal(outcome.blanks.data, "2:5;");
}

/* Long: a row with a time that ends before its value; the last one where its line end is missing.
 */
static const struct {
    const char *rows;
    const char *problems;
    const char *why;
} cut_lab_rows[] = {
    {"outlet,01/05/2026,9:30\n", "row-cut 2:0;", "a time, and no cell for a value"},
    {"outlet,01/05/2026,9:30,TSS\n", "row-cut 2:0;", "up to its parameter"},
    {"outlet,01/05/2026,9:30,TSS,\n", "", "an empty cell is a blank"},
    {"outlet,01/05/2026,9:30,TSS,14", "row-cut 2:0;", "14 may be the beginning of 140"},
    {"outlet,01/05/2026,9:30,TSS,14,mg/L", "", "whole, though no line end follows"},
    {"outlet,01/05/2026,9:3", "row-cut 2:0;", "in the middle of its time"},
    {"outlet,01/", "row-cut 2:0;", "before its time"},
    {"End of report", "", "one cell at the end is a remark"},
    {"End of report\n", "", "so it is in the middle"},
};

static void a_row_that_was_cut_off_is_set_aside_as_damaged(void **state)
{
    struct source source = laboratory();

    for (size_t i = 0; i < ARRAY_LEN(cut_lab_rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct outcome outcome = read_text(
            mem, *state, &source, arena_printf(mem, LAB_HEADER "%s", cut_lab_rows[i].rows));

        if (strcmp(outcome.problems.data, cut_lab_rows[i].problems) != 0)
            fail_msg("%s: %s", cut_lab_rows[i].why, outcome.problems.data);
        assert_int_equal(outcome.counts.values_in, 1);
    }
}

/* Wide: a logger that leaves empty cells off is blank there; where the file ends it may be torn. */
static void a_short_row_of_a_logger_is_damaged_only_where_the_file_ends_in_it(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = logger();
    struct outcome outcome = read_text(mem, *state, &source,
                                       LOGGER_HEADER "2026-05-01 09:00,12.5\n"
                                                     "2026-05-01 09:10,12.5");

    assert_string_equal(outcome.problems.data, "row-cut 3:2;row-cut 3:3;");
    assert_non_null(strstr(outcome.words.data, "the file ends in the middle of this row, after 2 "
                                               "of 3 cells"));
    assert_int_equal(outcome.counts.blank, 1);
    assert_int_equal(outcome.counts.drafts, 1);
    assert_int_equal(outcome.counts.values_in, 4);
}

static void a_line_of_many_megabytes_is_one_problem_and_the_rest_goes_on(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct buf text = buf_new(mem);
    struct source source = logger();

    buf_add_text(&text, LOGGER_HEADER "2026-05-01 09:00,12.5,8.1\n");
    for (int i = 0; i < 4000000; i++)
        buf_add_char(&text, 'x');
    buf_add_text(&text, "\n2026-05-01 09:20,12.6,8.2\n");

    struct outcome outcome = read_text(mem, *state, &source, text.data);

    assert_string_equal(outcome.problems.data, "row-shape 3:2;row-shape 3:3;");
    assert_int_equal(outcome.counts.drafts, 4);
    assert_true(outcome.words.len < 2 * (PROBLEM_TEXT_MOST + 400));
}

static bool is_utf8(const char *text, size_t count)
{
    uint32_t character;

    for (size_t at = 0, length; at < count; at += length)
        if ((length = utf8_character(text + at, count - at, &character)) == 0)
            return false;

    return true;
}

/* Long cells of two-byte characters in every place, so that cutting them shows. */
static void what_is_said_of_long_cells_is_short_and_whole_characters(void **state)
{
    static const struct {
        const char *before;
        const char *after;
        size_t skip;
    } rows[] = {
        {"", ",01/05/2026,9:30,TSS,14,mg/L", 0},
        {"outlet,", ",9:30,TSS,14,mg/L", 0},
        {"outlet,01/05/2026,9:30,", ",14,mg/L", 0},
        {"outlet,01/05/2026,9:30,TSS,", ",mg/L", 0},
        {"outlet,01/05/2026,9:30,TSS,14,", "", 0},
        {"outlet,01/05/2026,9:30,TSS,14,x", "", 3962},
        {"outlet,01/05/2026,9:30,TSS,14,mg/L,x", "", 0},
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct buf cell = buf_new(mem);
    struct source source = laboratory();

    for (int i = 0; i < 2000; i++)
        buf_add_text(&cell, "\xc3\xa9");
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct buf text = buf_new(mem);

        buf_add_text(&text, LAB_HEADER);
        buf_addf(&text, "%s%s%s", rows[i].before, cell.data + rows[i].skip, rows[i].after);

        struct outcome outcome = read_text(mem, *state, &source, text.data);

        assert_int_equal(outcome.problem_count, 1);
        assert_true(is_utf8(outcome.words.data, outcome.words.len));
        assert_true(outcome.words.len < PROBLEM_TEXT_MOST + 500);
    }
}

static uint32_t draw(uint64_t *seed)
{
    *seed = *seed * 6364136223846793005u + 1442695040888963407u;

    return (uint32_t)(*seed >> 33);
}

/* Bytes changed at random: whatever comes in, every value is a draft, a blank or a problem. */
static void damaged_files_lose_nothing_uncounted(void **state)
{
    static const char bytes[] = "\"\",;\n\r\t \0\xb0\xff<09-:xm/";
    const char *good[] = {LOGGER_HEADER "2026-05-01 09:00,12.5,8.1\n2026-04-05 02:10,12.6,8.2\n"
                                        "2026-04-05 02:00,1,2\n2026-04-05 02:20,,\n",
                          LAB_HEADER "outlet,01/05/2026,9:30,TSS,11,mg/L\n"
                                     "Site A,05/04/2026,2:30,ph,<7,pH\n"};
    struct source sources[] = {logger(), laboratory()};
    uint64_t seed = 7;
    size_t done = 0;

    sources[0].clock = CLOCK_LOCAL;
    for (size_t round = 0; round < 3000; round++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        size_t which = round % 2;
        size_t count = strlen(good[which]);
        char *text = arena_strndup(mem, good[which], count);

        for (size_t i = 0; i < 1 + round % 4; i++)
            text[draw(&seed) % count] = bytes[draw(&seed) % (sizeof(bytes) - 1)];

        struct outcome outcome = read_bytes(mem, *state, &sources[which], text, count, 40, 0);
        const struct ingest_counts *counts = &outcome.counts;

        if (!outcome.done)
            continue;
        done++;
        assert_int_equal(counts->values_in, counts->drafts + counts->blank + counts->problems);
        assert_int_equal(counts->drafts, outcome.draft_count);
        assert_int_equal(counts->problems, outcome.problem_count);
        assert_true(counts->values_in > 0);
    }
    assert_true(done > 1000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_bad_row_of_a_logger_is_set_aside_and_its_neighbours_go_on),
        cmocka_unit_test(a_bad_row_of_a_laboratory_is_set_aside_with_what_could_be_read),
        cmocka_unit_test(a_sink_that_asks_is_told_the_place_of_each_blank),
        cmocka_unit_test(a_row_that_was_cut_off_is_set_aside_as_damaged),
        cmocka_unit_test(a_short_row_of_a_logger_is_damaged_only_where_the_file_ends_in_it),
        cmocka_unit_test(a_line_of_many_megabytes_is_one_problem_and_the_rest_goes_on),
        cmocka_unit_test(what_is_said_of_long_cells_is_short_and_whole_characters),
        cmocka_unit_test(damaged_files_lose_nothing_uncounted),
    };

    return cmocka_run_group_tests_name("ingest/csv_row", tests, farm_open, farm_close);
}
