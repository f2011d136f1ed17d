#include "ingest/csv_file.h"

static void a_wide_row_becomes_a_draft_a_cell(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = logger();
    struct outcome outcome = read_text(mem, *state, &source,
                                       LOGGER_HEADER "2026-05-01 09:00,12.30,8.1\n"
                                                     "2026-05-01 09:10,,<0.5\n");

    assert_string_equal(outcome.series.data, "pond//temperature/water//sonde 1/probe;"
                                             "pond//oxygen/water//sonde 1/probe;");
    assert_string_equal(outcome.drafts.data, "0 2026-05-01T09:00:00Z =12.30 degC;"
                                             "1 2026-05-01T09:00:00Z =8.1 mg/L;"
                                             "1 2026-05-01T09:10:00Z <0.5 mg/L;");
    assert_int_equal(outcome.counts.blank, 1);
    assert_int_equal(outcome.counts.rows, 2);
    assert_string_equal(instant_text(mem, outcome.counts.last_at), "2026-05-01T09:10:00Z");
}

static void a_long_row_becomes_one_draft_by_the_source_words(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = laboratory();
    struct outcome outcome =
        read_text(mem, *state, &source,
                  LAB_HEADER "Site A,01/05/2026,9:30,TSS,14,g/m3\n"
                             "outlet,01/05/2026,9:30,E. coli,>2420,MPN/100 mL\n"
                             "OUTLET,01/05/2026,9:30,tss,ND,mg/l\n");

    assert_string_equal(outcome.problems.data, "");
    assert_string_equal(outcome.series.data,
                        "outlet//suspended-solids/water/grab method/an invented laboratory/grab;"
                        "outlet//ecoli-mpn/water/grab method/an invented laboratory/grab;");
    assert_string_equal(outcome.drafts.data, "0 2026-04-30T21:30:00Z =14 g/m3;"
                                             "1 2026-04-30T21:30:00Z >2420 MPN/100 mL;"
                                             "0 2026-04-30T21:30:00Z n0 mg/L;");
    assert_string_equal(outcome.details.data, "14;2420;0;");
}

static void labels_of_a_sample_come_with_its_results(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = laboratory();

    source.sample_header = "Lab no";
    source.replicate_header = "Rep";
    source.purpose_header = "Why";
    source.taken_by_header = "Who";
    source.method_header = "Method";
    source.position_header = "Depth";
    source.until_headers[0] = "End date";
    source.until_headers[1] = "End hour";

    struct outcome outcome = read_text(
        mem, *state, &source,
        "Site,Date,Hour,Test,Result,Unit,Lab no,Rep,Why,Who,Method,Depth,End date,End "
        "hour\n"
        "outlet,01/05/2026,9:30,TSS,14,mg/L, 77 ,2,required,anna,M 1,top,02/05/2026,9:30\n"
        "outlet,01/05/2026,9:30,TSS,15,mg/L,,,,,,,,\n");

    assert_string_equal(outcome.details.data,
                        "14 sample 77 replicate 2 purpose required by anna until "
                        "2026-05-01T21:30:00Z;15;");
    assert_string_equal(outcome.series.data,
                        "outlet/top/suspended-solids/water/M 1/an invented laboratory/grab;"
                        "outlet//suspended-solids/water/grab method/an invented laboratory/grab;");
}

static const struct source_word stop_words[] = {{"stopped", "off"}, {"1", "on"}};

static void words_of_a_state_are_the_parameters_own(void **state)
{
    static const struct source_column columns[] = {
        {.header = "Pump", .parameter = "pump", .station = "intake"}};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = logger();

    source.columns = columns;
    source.column_count = 1;
    source.states = (struct source_words){stop_words, ARRAY_LEN(stop_words)};

    struct outcome outcome =
        read_text(mem, *state, &source,
                  "Time,Pump\n2026-05-01 09:00,ON\n2026-05-01 09:01,Stopped\n2026-05-01 09:02, 1 \n"
                  "2026-05-01 09:03,maybe\n2026-05-01 09:04,\n");

    assert_string_equal(outcome.drafts.data, "0 2026-05-01T09:00:00Z =0 on;"
                                             "0 2026-05-01T09:01:00Z =0 off;"
                                             "0 2026-05-01T09:02:00Z =0 on;");
    assert_string_equal(outcome.problems.data, "state-unknown 5:2;");
    assert_non_null(strstr(outcome.words.data, "The states are on, off."));
    assert_int_equal(outcome.counts.blank, 1);
}

/* --- how files are written --- */

struct writing_row {
    const char *charset;
    char separator;
    char decimal;
    int header_line;
    int skip_after_header;
    const char *const *comments;
    const char *const *blanks;
    const char *time_format;
    const char *time_headers[2];
    const char *text;
    const char *why;
};

static const char *const hash[] = {"#"};
static const char *const nines[] = {"-9999", "NaN"};

/* The same two rows, written in many ways: 12.5 and 8.1 at 09:00, 12.6 and nothing at 09:10. */
static const struct writing_row writing_rows[] = {
    {.text = "Time,Temp (degC),DO (mg/L)\n2026-05-01 09:00,12.5,8.1\n2026-05-01 09:10,12.6,\n",
     .why = "plainly"},
    {.text = "\xef\xbb\xbfTime,Temp (degC),DO (mg/L)\r\n2026-05-01 09:00,12.5,8.1\r\n"
             "2026-05-01 09:10,12.6,\r\n",
     .why = "byte order mark and CRLF"},
    {.text = "\"Time\",\"Temp [degC]\",\"DO, mg/L\"\n\"2026-05-01 09:00\",\"12.5\",\"8.1\"\n"
             "\"2026-05-01 09:10\",\"12.6\",\"\"\n",
     .why = "everything in quotes, units in brackets and behind a comma"},
    {.decimal = ',',
     .text = "Time;Temp (degC);DO (mg/L)\n2026-05-01 09:00;12,5;8,1\n2026-05-01 09:10;12,6;\n",
     .why = "semicolons and decimal commas; the separator found"},
    {.decimal = ',',
     .text =
         "Time\tTemp (degC)\tDO (mg/L)\n2026-05-01 09:00\t12,5\t8,1\n2026-05-01 09:10\t12,6\t\n",
     .why = "tabs"},
    {.separator = ',',
     .text = "sep=;\nTime;Temp (degC);DO (mg/L)\n2026-05-01 09:00;12.5;8.1\n2026-05-01 "
             "09:10;12.6;\n",
     .why = "a first line that names the separator"},
    {.header_line = 4,
     .text = "Station: \"pond\nSerial;77\n\nTime,Temp (degC),DO (mg/L)\n2026-05-01 "
             "09:00,12.5,8.1\n2026-05-01 09:10,12.6,\n",
     .why = "lines before the header"},
    {.skip_after_header = 1,
     .text = "Time,Temp,DO\n[utc],[degC],mg/L\n2026-05-01 09:00,12.5,8.1\n2026-05-01 09:10,12.6,\n",
     .why = "a row of units"},
    {.comments = hash,
     .text = "Time,Temp (degC),DO (mg/L)\n# cleaned, \"by hand\n2026-05-01 09:00,12.5,8.1\n"
             "2026-05-01 09:10,12.6,\n# end\n",
     .why = "comments"},
    {.blanks = nines,
     .text = "Time,Temp (degC),DO (mg/L)\n2026-05-01 09:00,12.5,8.1\n2026-05-01 09:10,12.6,-9999\n",
     .why = "a word for no value"},
    {.text = "Time,Temp (degC),DO (mg/L),\n2026-05-01 09:00,12.5,8.1,\n2026-05-01 09:10,12.6,,\n\n",
     .why = "a separator at the end of every row, an empty line at the end of the file"},
    {.text = "Time,Temp (degC),DO (mg/L)\n2026-05-01 09:00,12.5,8.1\n2026-05-01 09:10,12.6\n",
     .why = "a row cut short at its end"},
    {.text = "DO (mg/L), temp (DEGC) ,TIME\n8.1,12.5,2026-05-01 09:00\n,12.6,2026-05-01 09:10\n",
     .why = "columns in another order, letter case and blanks"},
    {.text = "Time,Temp (degC),DO (mg/L)\n2026-05-01 09:00,12.5,8.1\nTime,Temp (degC),DO (mg/L)\n"
             "2026-05-01 09:10,12.6,\n",
     .why = "the header again, where the logger restarted"},
    {.time_headers = {"Day", "Hour"},
     .time_format = "D/M/YYYY h:mm AM/PM",
     .text = "Day,Hour,Temp (degC),DO (mg/L)\n1/5/2026,9:00 am,12.5,8.1\n1/5/2026,9:10 "
             "am,12.6,\n",
     .why = "day and hour in two columns"},
    {.charset = "windows-1252",
     .text = "Time,Temp (\xb0"
             "C),DO (mg/L)\n2026-05-01 09:00,12.5,8.1\n2026-05-01 09:10,12.6,\n",
     .why = "windows-1252 as told"},
};

static void one_series_is_the_same_however_it_is_written(void **state)
{
    for (size_t i = 0; i < ARRAY_LEN(writing_rows); i++)
        for (size_t piece = 1; piece < 70000; piece *= 37) {
            CLEANUP(arena_free) struct arena *mem = arena_new();
            const struct writing_row *row = &writing_rows[i];
            struct source source = logger();

            source.charset = row->charset;
            source.separator = row->separator;
            source.decimal = row->decimal ? row->decimal : '.';
            source.header_line = row->header_line ? row->header_line : 1;
            source.skip_after_header = row->skip_after_header;
            source.comment_starts = row->comments;
            source.comment_start_count = row->comments ? 1 : 0;
            source.blanks = row->blanks;
            source.blank_count = row->blanks ? 2 : 0;
            source.time_format = row->time_format ? row->time_format : source.time_format;
            if (row->time_headers[0])
                memcpy(source.time_headers, row->time_headers, sizeof(source.time_headers));

            struct outcome outcome =
                read_bytes(mem, *state, &source, row->text, strlen(row->text), piece, 0);

            if (!outcome.done || outcome.counts.blank != 1 || outcome.counts.values_in != 4 ||
                !strstr(outcome.drafts.data, "2026-05-01T09:00:00Z =12.5 degC;") ||
                !strstr(outcome.drafts.data, "2026-05-01T09:00:00Z =8.1 mg/L;") ||
                !strstr(outcome.drafts.data, "2026-05-01T09:10:00Z =12.6 degC;"))
                fail_msg("%s: %s %s %s", row->why, outcome.drafts.data, outcome.problems.data,
                         outcome.err.text);
        }
}

static void utf16_comes_with_its_own_mark(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *text = LOGGER_HEADER "2026-05-01 09:00,12.5,8.1\n";
    struct buf wide = buf_new(mem);
    struct source source = logger();

    buf_add(&wide, "\xff\xfe", 2);
    for (const char *at = text; *at; at++)
        buf_add(&wide, (const char[]){*at, 0}, 2);

    struct outcome outcome = read_bytes(mem, *state, &source, wide.data, wide.len, 3, 0);

    assert_done(outcome.done, &outcome.err);
    assert_int_equal(outcome.draft_count, 2);
    assert_string_equal(outcome.counts.charset, "utf-16");
}

static void a_row_that_is_cut_short_is_counted_as_such(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = logger();
    struct outcome outcome =
        read_text(mem, *state, &source, LOGGER_HEADER "2026-05-01 09:00,1\nTotal records: 1\n");

    assert_int_equal(outcome.counts.short_rows, 2);
    assert_int_equal(outcome.counts.blank, 3);
    assert_int_equal(outcome.counts.problems, 0);
}

/* --- what stops the whole file --- */

static const struct {
    const char *text;
    const char *error;
    const char *hint;
    const char *why;
} refused_rows[] = {
    {"", "the file is empty", "again", "an empty file"},
    {"\n\n", "line 1: the file ends before its header line", "line the header is on",
     "nothing but empty lines"},
    {"PK\x03\x04", "no text file but a workbook", "save it as CSV", "a spreadsheet"},
    {"Time,Tmp (degC),DO (mg/L)\n", "line 1: the header has no column 'Temp'", "Did you mean 'Tmp",
     "a misspelt column"},
    {"Time,Temp (degC),DO (mg/L),Depth,Note\n",
     "line 1: columns are neither mapped nor ignored by the source: 4 'Depth', 5 'Note'",
     "Map each in the source", "columns nobody told of"},
    {"Time,Temp,DO,Temp\n", "line 1: columns 2 and 4 are both named 'Temp'", "its own name",
     "a header twice"},
    {"Time,\"Temp,DO\n", "line 1: the header can't be read: a quote is opened and never closed",
     "line the header is on", "a header with an open quote"},
};

static void a_file_that_is_not_the_sources_is_refused_whole(void **state)
{
    for (size_t i = 0; i < ARRAY_LEN(refused_rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct source source = logger();
        struct outcome outcome = read_bytes(mem, *state, &source, refused_rows[i].text,
                                            strlen(refused_rows[i].text), 65536, 0);

        assert_false(outcome.done);
        assert_int_equal(outcome.err.code, ERR_INVALID);
        assert_int_equal(outcome.draft_count + outcome.problem_count, 0);
        if (!strstr(outcome.err.text, refused_rows[i].error) ||
            !strstr(outcome.err.hint, refused_rows[i].hint))
            fail_msg("%s: %s; %s", refused_rows[i].why, outcome.err.text, outcome.err.hint);
    }
}

static void a_header_line_past_the_end_of_the_file_is_told(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = logger();

    source.header_line = 9;

    struct outcome outcome = read_bytes(mem, *state, &source, "a\nb\n", 4, 4, 0);

    assert_false(outcome.done);
    assert_string_equal(outcome.err.text, "line 9: the file ends before its header line");
}

static void a_sink_that_fails_stops_the_reader_with_its_error(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = logger();
    struct buf text = buf_new(mem);

    buf_add_text(&text, LOGGER_HEADER);
    for (int i = 0; i < 10000; i++)
        buf_addf(&text, "2026-05-%02d %02d:%02d,1,bad\n", i / 1440 + 1, i / 60 % 24, i % 60);
    for (int stop = 1; stop < 5; stop++) {
        struct outcome outcome = read_bytes(mem, *state, &source, text.data, text.len, 65536, stop);

        assert_false(outcome.done);
        assert_int_equal(outcome.err.code, ERR_UNAVAILABLE);
        assert_string_equal(outcome.err.text, "the sink stopped");
    }
}

static bool fail_to_read(void *context, void *into, size_t room, size_t *got, struct err *err)
{
    (void)context, (void)into, (void)room, (void)got;

    return err_set(err, ERR_UNAVAILABLE, "the disk is gone");
}

static void bytes_that_can_not_be_read_stop_the_reader(void **state)
{
    const struct farm *farm = *state;
    struct source source = logger();
    struct outcome outcome = {.err = ERR_INIT};
    const struct ingest_world world = {.units = farm->units, .zone = farm->zone};
    const struct ingest_bytes from = {NULL, fail_to_read};
    const struct ingest_sink sink = {&outcome, drafts_take, problems_take, series_take, NULL, NULL};

    assert_fails(source_read(&source, &world, &from, &sink, &outcome.counts, &outcome.err),
                 ERR_UNAVAILABLE, &outcome.err);
    assert_string_equal(outcome.err.text, "the disk is gone");
}

static void every_reason_has_a_word(void **state)
{
    (void)state;
    for (int i = 0; i < PROBLEM_REASONS; i++)
        assert_non_null(problem_reason_name((enum problem_reason)i));
    assert_string_equal(problem_reason_name(PROBLEM_TIME_TWICE), "time-twice");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_wide_row_becomes_a_draft_a_cell),
        cmocka_unit_test(a_long_row_becomes_one_draft_by_the_source_words),
        cmocka_unit_test(labels_of_a_sample_come_with_its_results),
        cmocka_unit_test(words_of_a_state_are_the_parameters_own),
        cmocka_unit_test(one_series_is_the_same_however_it_is_written),
        cmocka_unit_test(utf16_comes_with_its_own_mark),
        cmocka_unit_test(a_row_that_is_cut_short_is_counted_as_such),
        cmocka_unit_test(a_file_that_is_not_the_sources_is_refused_whole),
        cmocka_unit_test(a_header_line_past_the_end_of_the_file_is_told),
        cmocka_unit_test(a_sink_that_fails_stops_the_reader_with_its_error),
        cmocka_unit_test(bytes_that_can_not_be_read_stop_the_reader),
        cmocka_unit_test(every_reason_has_a_word),
    };

    return cmocka_run_group_tests_name("ingest/csv_source", tests, farm_open, farm_close);
}
