#include <string.h>

#include "base/buf.h"
#include "harness/cmocka.h"
#include "ingest/csv_source.h"
#include "judge/evidence.h"

/*
 * Files are written out in the tests and read by a source; what comes out is compared as text:
 * drafts as "series at qualifier value unit;", problems as "reason line:column;".
 */

struct file {
    const char *bytes;
    size_t count;
    size_t piece; /* bytes a read gives */
};

static bool file_read_piece(void *context, void *into, size_t room, size_t *got, struct err *err)
{
    struct file *file = context;
    size_t part = file->piece < room ? file->piece : room;

    (void)err;
    *got = part < file->count ? part : file->count;
    memcpy(into, file->bytes, *got);
    file->bytes += *got;
    file->count -= *got;

    return true;
}

struct outcome {
    bool done;
    struct buf drafts;
    struct buf problems;
    struct buf series;
    struct buf details; /* of drafts: limits, labels */
    struct buf words;   /* of problems */
    int64_t draft_count;
    int64_t problem_count;
    int stop_after; /* the sink fails after so many batches; 0 never */
    struct ingest_counts counts;
    struct err err;
};

static bool stop_now(struct outcome *outcome, struct err *err)
{
    return outcome->stop_after > 0 && --outcome->stop_after == 0 &&
           !err_set(err, ERR_UNAVAILABLE, "the sink stopped");
}

static void detail_add(struct buf *out, const struct draft *draft)
{
    struct arena *mem = out->mem;

    buf_addf(out, "%g", draft->value);
    if (draft->has_limits)
        buf_addf(out, " limits %s %s", decimal_text(mem, draft->detection),
                 decimal_text(mem, draft->quantitation));
    if (draft->sample)
        buf_addf(out, " sample %s", draft->sample);
    if (draft->replicate)
        buf_addf(out, " replicate %s", draft->replicate);
    if (draft->purpose)
        buf_addf(out, " purpose %s", draft->purpose);
    if (draft->taken_by)
        buf_addf(out, " by %s", draft->taken_by);
    if (draft->doubt)
        buf_addf(out, " doubt %s", draft->doubt);
    if (draft->until != draft->at)
        buf_addf(out, " until %s", instant_text(mem, draft->until));
    buf_add_char(out, ';');
}

static bool drafts_take(void *context, const struct draft *drafts, size_t count, struct err *err)
{
    struct outcome *outcome = context;

    if (stop_now(outcome, err))
        return false;
    outcome->draft_count += (int64_t)count;
    for (size_t i = 0; i < count; i++) {
        const struct draft *draft = &drafts[i];

        buf_addf(&outcome->drafts, "%u %s %c%s %s;", draft->series,
                 instant_text(outcome->drafts.mem, draft->at), draft->qualifier,
                 decimal_text(outcome->drafts.mem, draft->reported), draft->unit);
        detail_add(&outcome->details, draft);
    }

    return true;
}

static bool problems_take(void *context, const struct problem *problems, size_t count,
                          struct err *err)
{
    struct outcome *outcome = context;

    if (stop_now(outcome, err))
        return false;
    outcome->problem_count += (int64_t)count;
    for (size_t i = 0; i < count; i++) {
        const struct problem *problem = &problems[i];
        struct arena *mem = outcome->words.mem;

        buf_addf(&outcome->problems, "%s %d:%d;", problem_reason_name(problem->reason),
                 problem->line, problem->column);
        buf_addf(&outcome->words, "%s | %s | %s | %s %s %s %s%s%s\n", problem->words, problem->todo,
                 problem->text, problem->station ? problem->station : "-",
                 problem->parameter ? problem->parameter : "-",
                 problem->at == INSTANT_NONE ? "-" : instant_text(mem, problem->at),
                 problem->has_value ? decimal_text(mem, problem->value) : "-",
                 problem->unit ? " " : "", problem->unit ? problem->unit : "");
    }

    return true;
}

static bool series_take(void *context, const struct draft_series *series, struct err *err)
{
    struct outcome *outcome = context;

    (void)err;
    buf_addf(&outcome->series, "%s/%s/%s/%s/%s/%s/%s;", series->station, series->position,
             series->parameter, series->matrix, series->method, series->made_by, series->kind);

    return true;
}

/* What a test program needs of the farm. */
struct farm {
    struct arena *mem;
    struct units *units;
    const struct zone *zone;
};

static int farm_open(void **state)
{
    struct err err = ERR_INIT;
    struct arena *mem = arena_new();
    struct farm *farm = ARENA_NEW(mem, struct farm);

    farm->mem = mem;
    assert_done(units_load(&farm->units, &err), &err);
    assert_done(zone_load(mem, "Pacific/Auckland", &farm->zone, &err), &err);
    *state = farm;

    return 0;
}

static int farm_close(void **state)
{
    struct farm *farm = *state;
    struct arena *mem = farm->mem;

    units_free(&farm->units);
    arena_free(&mem);

    return 0;
}

/* Received on 1 June 2026 at noon UTC. */
static struct outcome read_bytes(struct arena *mem, const struct farm *farm,
                                 const struct source *source, const void *bytes, size_t count,
                                 size_t piece, int stop_after)
{
    static const char *const stations[] = {"pond", "outlet", "intake"};
    static const struct civil noon = {.year = 2026, .month = 6, .day = 1, .hour = 12};
    static const struct parameter_list no_own_parameters;
    struct outcome outcome = {.drafts = buf_new(mem),
                              .problems = buf_new(mem),
                              .series = buf_new(mem),
                              .details = buf_new(mem),
                              .words = buf_new(mem),
                              .stop_after = stop_after,
                              .err = ERR_INIT};
    struct file file = {bytes, count, piece};
    const struct ingest_world world = {.stations = stations,
                                       .station_count = ARRAY_LEN(stations),
                                       .parameters = &no_own_parameters,
                                       .units = farm->units,
                                       .zone = farm->zone,
                                       .received_at = instant_from_utc(&noon)};
    const struct ingest_bytes from = {&file, file_read_piece};
    const struct ingest_sink sink = {&outcome, drafts_take, problems_take, series_take};

    outcome.done = csv_source_read(source, &world, &from, &sink, &outcome.counts, &outcome.err);

    return outcome;
}

/* Read a text; the counts must add up to what the sink got. */
static struct outcome read_text(struct arena *mem, const struct farm *farm,
                                const struct source *source, const char *text)
{
    struct outcome outcome = read_bytes(mem, farm, source, text, strlen(text), 65536, 0);
    const struct ingest_counts *counts = &outcome.counts;

    if (!outcome.done)
        fail_msg("%s; %s", outcome.err.text, outcome.err.hint);
    assert_int_equal(counts->values_in, counts->drafts + counts->blank + counts->problems);
    assert_int_equal(counts->drafts, outcome.draft_count);
    assert_int_equal(counts->problems, outcome.problem_count);

    return outcome;
}

static const struct source_column logger_columns[] = {
    {.header = "Temp", .parameter = "temperature"},
    {.header = "DO", .parameter = "oxygen"},
};

/* An invented logger: two columns, UTC. */
static struct source logger(void)
{
    return (struct source){
        .key = "logger",
        .shape = SOURCE_WIDE,
        .decimal = '.',
        .header_line = 1,
        .clock = CLOCK_UTC,
        .time_headers = {"Time"},
        .time_format = "YYYY-MM-DD hh:mm",
        .station = "pond",
        .columns = logger_columns,
        .column_count = ARRAY_LEN(logger_columns),
        .instrument = "sonde 1",
        .kind = KIND_PROBE,
        .ahead_minutes = 10,
    };
}

static const struct source_word lab_parameters[] = {{"TSS", "suspended-solids"},
                                                    {"E. coli", "ecoli-mpn"}};
static const struct source_word lab_stations[] = {{"Site A", "outlet"}};

/* An invented laboratory: every column a long file may have but limits and spans. */
static struct source laboratory(void)
{
    return (struct source){
        .key = "laboratory",
        .shape = SOURCE_LONG,
        .decimal = '.',
        .header_line = 1,
        .clock = CLOCK_LOCAL,
        .time_headers = {"Date", "Hour"},
        .time_format = "DD/MM/YYYY h:mm",
        .station_header = "Site",
        .stations = {lab_stations, ARRAY_LEN(lab_stations)},
        .parameter_header = "Test",
        .parameters = {lab_parameters, ARRAY_LEN(lab_parameters)},
        .value_header = "Result",
        .unit_header = "Unit",
        .instrument = "an invented laboratory",
        .method = "grab method",
        .kind = KIND_GRAB,
        .ahead_minutes = 10,
    };
}

#define LOGGER_HEADER "Time,Temp (degC),DO (mg/L)\n"
#define LAB_HEADER "Site,Date,Hour,Test,Result,Unit\n"

/* --- what is good --- */

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

/* --- bad rows, each beside a good one --- */

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
    {"2026-05-01 09:10,\"12,5\",2", "value-unreadable 3:2;", "decimal mark"},
    {"2026-05-01 09:10,12 degC,2", "value-unreadable 3:2;",
     "pond temperature 2026-05-01T09:10:00Z -"},
    {"2026-05-01 09:10,1,2,3", "row-shape 3:2;row-shape 3:3;",
     "the row has 4 cells and the header 3"},
    {"2026-05-01 09:10,,,3", "row-shape 3:0;", "the row has 4 cells and the header 3"},
    {"2026-05-01 09:10,\"1\"2,3", "row-shape 3:0;",
     "something stands between a closing quote and the next separator (line 3, place 21)"},
    {"2026-05-01 09:10,\"1,2", "row-shape 3:0;",
     "a quote is opened and never closed (line 3, place 18)"},
    {"2026-05-01 09:10,1\xb0,2", "bytes 3:2;bytes 3:3;",
     "byte 71 of the file, 0xB0 in column 2, is no utf-8 text"},
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
    {"outlet,01/05/2026,9:30,TSS,34,mgl/L", "unit-unknown 3:6;",
     "outlet suspended-solids 2026-04-30T21:30:00Z 34"},
    {"outlet,01/05/2026,9:30,TSS,34,", "unit-unknown 3:6;", "no unit is told for"},
    {"outlet,01/05/2026,9:30,TSS,34,degC", "unit-unfit 3:6;", "34"},
    {"outlet,01/05/2026,9:30,TSS,about 5,mg/L", "value-unreadable 3:5;", "mg/L\n"},
    {"outlet,27/09/2025,2:30,TSS,14,mg/L", "", ""},
    {"outlet,28/09/2025,2:30,TSS,14,mg/L", "time-missing-hour 3:2;",
     "the clocks of Pacific/Auckland jumped over '28/09/2025 2:30'"},
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

    assert_string_equal(outcome.problems.data, "row-shape 3:0;");
    assert_int_equal(outcome.counts.drafts, 4);
    assert_true(outcome.words.len < PROBLEM_TEXT_MOST + 400);
}

/* --- units of a column --- */

struct unit_case {
    const char *header;
    const char *told;
    const char *result; /* a draft's value and unit, or a problem */
    const char *why;
};

static const struct source_word unit_words[] = {{"mgl", "mg/L"}, {"ppb", "ug/L"}};

static const struct unit_case unit_cases[] = {
    {"DO (mg/L)", NULL, "=8 mg/L", "from the header"},
    {"DO", "mg/L", "=8 mg/L", "told"},
    {"DO (mgl)", NULL, "=8 mg/L", "a word of the source"},
    {"DO (mg/l)", "mg/L", "=8 mg/L", "told and shown alike"},
    {"DO (probe 1)", "mg/L", "=8 mg/L", "what stands in brackets is no unit"},
    {"DO (ug/L)", "mg/L", "unit-unfit", "told and shown differ"},
    {"DO", NULL, "unit-unknown", "neither told nor shown"},
    {"DO (mg/K)", NULL, "unit-unknown", "misspelt"},
    {"DO (degC)", NULL, "unit-unfit", "of another parameter"},
};

static void a_columns_unit_is_told_or_shown_and_never_taken_for_granted(void **state)
{
    for (size_t i = 0; i < ARRAY_LEN(unit_cases); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const struct source_column column = {
            .header = "DO", .parameter = "oxygen", .unit = unit_cases[i].told};
        struct source source = logger();

        source.columns = &column;
        source.column_count = 1;
        source.units = (struct source_words){unit_words, ARRAY_LEN(unit_words)};

        struct outcome outcome =
            read_text(mem, *state, &source,
                      arena_printf(mem, "Time,%s\n2026-05-01 09:00,8\n", unit_cases[i].header));

        if (!strstr(outcome.drafts.data, unit_cases[i].result) &&
            !strstr(outcome.problems.data, unit_cases[i].result))
            fail_msg("%s: %s %s", unit_cases[i].why, outcome.drafts.data, outcome.words.data);
        if (outcome.counts.problems > 0)
            assert_non_null(strstr(outcome.words.data, "pond oxygen 2026-05-01T09:00:00Z 8"));
    }
}

/* --- less-thans, limits and qualifiers of a laboratory --- */

struct limit_case {
    const char *cells; /* qualifier, result, detection limit, reporting limit */
    const char *result;
    const char *why;
};

static const char *const not_found[] = {"not found"};

static const struct limit_case limit_cases[] = {
    {",5,,", "=5 mg/L;", "a value"},
    {",<0.05,,", "<0.05 mg/L;", "a less-than in the cell"},
    {"<,0.05,,", "<0.05 mg/L;", "a less-than in a column of its own"},
    {"<,<0.05,,", "<0.05 mg/L;", "in both"},
    {"=,5,,", "=5 mg/L;", "an equals sign"},
    {">,2420,,", ">2420 mg/L;", "a greater-than"},
    {",ND,,", "n0 mg/L;", "not detected and no limit told"},
    {",ND,0.02,0.05", "<0.02 mg/L;", "not detected: below the detection limit"},
    {",ND,,0.05", "<0.05 mg/L;", "or below the reporting limit where that is all"},
    {"ND,,0.02,", "<0.02 mg/L;", "said in the qualifier's column"},
    {"not found,0,0.02,", "<0.02 mg/L;", "with a 0 in the value's cell"},
    {"ND,0.02,0.02,", "<0.02 mg/L;", "with the limit itself in it"},
    {"ND,0.5,0.02,", "value-unreadable", "with a number that is not the limit"},
    {",5,0.02,0.05", "=5 mg/L;", "limits beside a value"},
    {",5,<0.02,", "=5 mg/L;", "a limit written as a less-than"},
    {",5,n/a?,", "value-unreadable", "a limit that is none"},
    {"J,5,,", "value-unreadable", "a qualifier nobody told of"},
    {">,<5,,", "value-unreadable", "two that contradict each other"},
    {"<,,,", "value-unreadable", "a less-than of nothing"},
    {",,0.02,", "", "limits and no value: blank"},
};

static void not_detected_is_below_the_limit_that_is_told(void **state)
{
    for (size_t i = 0; i < ARRAY_LEN(limit_cases); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct source source = laboratory();

        source.qualifier_header = "Q";
        source.detection_header = "MDL";
        source.quantitation_header = "RL";
        source.not_detected = not_found;
        source.not_detected_count = ARRAY_LEN(not_found);

        struct outcome outcome = read_text(mem, *state, &source,
                                           arena_printf(mem,
                                                        "Site,Date,Hour,Test,Unit,Q,Result,MDL,RL\n"
                                                        "outlet,01/05/2026,9:30,TSS,mg/L,%s\n",
                                                        limit_cases[i].cells));
        const char *expected = limit_cases[i].result;
        bool fits = *expected ? strstr(outcome.drafts.data, expected) ||
                                    strstr(outcome.problems.data, expected)
                              : outcome.counts.blank == 1;

        if (!fits || outcome.counts.values_in != 1)
            fail_msg("%s: %s %s", limit_cases[i].why, outcome.drafts.data, outcome.words.data);
    }
}

static void limits_are_kept_beside_the_value(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = laboratory();

    source.detection_header = "MDL";
    source.quantitation_header = "RL";

    struct outcome outcome = read_text(mem, *state, &source,
                                       "Site,Date,Hour,Test,Unit,Result,MDL,RL\n"
                                       "outlet,01/05/2026,9:30,TSS,g/m3,5,0.50,1\n");

    assert_string_equal(outcome.details.data, "5 limits 0.50 1;");
}

/* --- the file's own flags --- */

static const struct source_word flag_words[] = {
    {"ok", "use"}, {"0", "use"}, {"?", "doubt"}, {"bad", "leave"}, {"bad?", "doubt"}};

static void a_flag_decides_whether_its_value_is_used(void **state)
{
    static const struct source_column column = {
        .header = "Temp", .parameter = "temperature", .unit = "degC", .flag_header = "F"};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = logger();

    source.columns = &column;
    source.column_count = 1;
    source.flags = (struct source_words){flag_words, ARRAY_LEN(flag_words)};

    struct outcome outcome =
        read_text(mem, *state, &source,
                  "Time,Temp,F\n2026-05-01 09:00,1,ok (checked)\n2026-05-01 09:01,2,\n"
                  "2026-05-01 09:02,3, ? \n2026-05-01 09:03,4,BAD\n2026-05-01 09:04,5,bad? no\n"
                  "2026-05-01 09:05,6,new\n2026-05-01 09:06,7,00\n2026-05-01 09:07,,bad\n");

    assert_string_equal(outcome.details.data, "1;2;3 doubt ?;5 doubt bad? no;");
    assert_string_equal(outcome.problems.data, "flagged 5:2;flagged 7:2;flagged 8:2;");
    assert_non_null(strstr(outcome.words.data, "its flag 'BAD' says that it may not be used | "));
    assert_non_null(strstr(outcome.words.data, "pond temperature 2026-05-01T09:03:00Z 4 degC"));
    assert_non_null(strstr(outcome.words.data, "its flag 'new' is not among the source's flags"));
    assert_int_equal(outcome.counts.blank, 1);
}

/* --- the hour that comes twice: 5 April 2026, 02:00 to 03:00 in New Zealand --- */

struct twice_row {
    const char *hours; /* of the rows, in order */
    const char *at;    /* their instants on 4 April UTC, "?" set aside */
    const char *why;
};

static const struct twice_row twice_rows[] = {
    {"01:30 02:00 02:30 02:00 02:30 03:00", "12:30 13:00 13:30 14:00 14:30 15:00",
     "once through, then again"},
    {"03:00 02:30 02:00 02:30 02:00 01:30", "15:00 14:30 14:00 13:30 13:00 12:30",
     "the newest first"},
    {"01:30 02:30 02:30 03:30", "12:30 13:30 14:30 15:30", "a row an hour"},
    {"03:30 02:30 02:30 01:30", "15:30 14:30 13:30 12:30", "and the newest first"},
    {"02:30 02:30 03:30", "13:30 14:30 15:30", "from the beginning of the file"},
    {"01:30 02:30 02:30", "12:30 13:30 14:30", "to its end"},
    {"02:00 02:30 02:00 02:30", "13:00 13:30 14:00 14:30", "nothing around it"},
    {"02:30 02:30", "? ?", "nothing around it that tells the way"},
    {"01:30 02:00 02:30 03:00", "12:30 ? ? 15:00", "only once through"},
    {"01:30 02:30 03:30", "12:30 ? 15:30", "one row"},
    {"01:30 02:00 02:00 02:30 02:00 02:30 03:00", "12:30 13:00 13:00 13:30 14:00 14:30 15:00",
     "a row written twice is the same instant twice"},
    {"01:30 02:00 02:30 02:30 03:00", "12:30 ? ? ? 15:00", "a row written twice is not two passes"},
    {"01:30 02:00 02:30 02:00 02:30 02:00 02:30 03:00", "12:30 ? ? ? ? ? ? 15:00",
     "three times through"},
    {"05:00 01:30 02:20 02:10 04:00", "17:00 12:30 ? ? 16:00", "the rows before go no one way"},
    {"01:30 02:20 02:10 01:00", "12:30 ? ? 12:00", "nor do those around"},
};

/* Rows of one logger, or mixed with those of another station that ran through it once. */
static struct outcome read_hours(struct arena *mem, const struct farm *farm, const char *hours,
                                 bool mixed)
{
    struct source source = logger();
    struct buf text = buf_new(mem);

    source.clock = CLOCK_LOCAL;
    source.station = NULL;
    source.station_header = "Where";
    buf_add_text(&text, "Where,Time,Temp (degC),DO (mg/L)\n");
    for (const char *at = hours; *at; at += at[5] ? 6 : 5) {
        buf_addf(&text, "pond,2026-04-05 %.5s,1,\n", at);
        if (mixed)
            buf_addf(&text, "outlet,2026-04-05 0%d:%02zu,,9\n", (at - hours) / 6 < 3 ? 1 : 3,
                     (size_t)(at - hours));
    }

    return read_text(mem, farm, &source, text.data);
}

/* Instants of the temperatures in the order of the file, "?" for those set aside. */
static char *instants_of(struct arena *mem, const struct outcome *outcome, size_t rows, size_t step)
{
    struct buf out = buf_new(mem);
    const char *draft = outcome->drafts.data;

    for (size_t i = 0; i < rows; i++) {
        if (strstr(outcome->problems.data, arena_printf(mem, "time-twice %zu:3;", i * step + 2))) {
            buf_add_text(&out, i ? " ?" : "?");
            continue;
        }
        for (const char *end; draft && (end = strchr(draft, ';')); draft = end + 1)
            if (memmem(draft, (size_t)(end - draft), "degC", 4)) {
                buf_addf(&out, "%s%.5s", i ? " " : "", strchr(draft, 'T') + 1);
                draft = end + 1;
                break;
            }
    }

    return out.data;
}

static void the_order_of_rows_tells_the_two_passes_apart(void **state)
{
    for (size_t i = 0; i < ARRAY_LEN(twice_rows); i++)
        for (size_t mixed = 0; mixed < 2; mixed++) {
            CLEANUP(arena_free) struct arena *mem = arena_new();
            struct outcome outcome = read_hours(mem, *state, twice_rows[i].hours, mixed > 0);
            char *at = instants_of(mem, &outcome, (strlen(twice_rows[i].hours) + 1) / 6, mixed + 1);

            if (strcmp(at, twice_rows[i].at) != 0)
                fail_msg("%s (mixed %zu): %s; %s %s", twice_rows[i].why, mixed, at,
                         outcome.drafts.data, outcome.problems.data);
        }
}

static void each_series_of_a_long_file_is_placed_by_its_own_rows(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = laboratory();
    struct outcome outcome = read_text(mem, *state, &source,
                                       LAB_HEADER "outlet,05/04/2026,1:30,TSS,1,mg/L\n"
                                                  "outlet,05/04/2026,1:30,pH,7.1,pH\n"
                                                  "outlet,05/04/2026,2:30,TSS,2,mg/L\n"
                                                  "outlet,05/04/2026,2:30,pH,7.2,pH\n"
                                                  "outlet,05/04/2026,2:30,TSS,3,mg/L\n"
                                                  "outlet,05/04/2026,3:30,TSS,4,mg/L\n"
                                                  "outlet,05/04/2026,3:30,pH,7.3,pH\n");

    assert_non_null(strstr(outcome.drafts.data, "2026-04-04T13:30:00Z =2 mg/L;"));
    assert_non_null(strstr(outcome.drafts.data, "2026-04-04T14:30:00Z =3 mg/L;"));
    assert_string_equal(outcome.problems.data, "time-twice 5:2;");
}

static void too_many_rows_to_wait_for_are_set_aside(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = logger();
    struct buf text = buf_new(mem);

    source.clock = CLOCK_LOCAL;
    buf_add_text(&text, LOGGER_HEADER);
    buf_add_text(&text, "2026-04-05 01:00,1,1\n");
    for (int i = 0; i < 30000; i++)
        buf_addf(&text, "2026-04-05 02:%02d,1,\n", i % 15000 / 250);
    buf_add_text(&text, "2026-04-05 03:00,1,1\n");

    struct outcome outcome = read_text(mem, *state, &source, text.data);

    assert_int_equal(outcome.counts.problems, 30000);
    assert_int_equal(outcome.counts.drafts, 4);
}

static void a_fixed_offset_has_no_such_hours(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = logger();

    source.clock = CLOCK_OFFSET;
    source.offset_s = 12 * 3600;

    struct outcome outcome =
        read_text(mem, *state, &source,
                  LOGGER_HEADER "2026-04-05 02:30,1,\n2025-09-28 02:30,2,\n2026-04-05 24:00,3,\n");

    assert_string_equal(outcome.drafts.data, "0 2026-04-04T14:30:00Z =1 degC;"
                                             "0 2025-09-27T14:30:00Z =2 degC;"
                                             "0 2026-04-05T12:00:00Z =3 degC;");
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
    const struct ingest_sink sink = {&outcome, drafts_take, problems_take, series_take};

    assert_fails(csv_source_read(&source, &world, &from, &sink, &outcome.counts, &outcome.err),
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
        cmocka_unit_test(a_bad_row_of_a_logger_is_set_aside_and_its_neighbours_go_on),
        cmocka_unit_test(a_bad_row_of_a_laboratory_is_set_aside_with_what_could_be_read),
        cmocka_unit_test(a_line_of_many_megabytes_is_one_problem_and_the_rest_goes_on),
        cmocka_unit_test(a_columns_unit_is_told_or_shown_and_never_taken_for_granted),
        cmocka_unit_test(not_detected_is_below_the_limit_that_is_told),
        cmocka_unit_test(limits_are_kept_beside_the_value),
        cmocka_unit_test(a_flag_decides_whether_its_value_is_used),
        cmocka_unit_test(the_order_of_rows_tells_the_two_passes_apart),
        cmocka_unit_test(each_series_of_a_long_file_is_placed_by_its_own_rows),
        cmocka_unit_test(too_many_rows_to_wait_for_are_set_aside),
        cmocka_unit_test(a_fixed_offset_has_no_such_hours),
        cmocka_unit_test(a_file_that_is_not_the_sources_is_refused_whole),
        cmocka_unit_test(a_header_line_past_the_end_of_the_file_is_told),
        cmocka_unit_test(a_sink_that_fails_stops_the_reader_with_its_error),
        cmocka_unit_test(bytes_that_can_not_be_read_stop_the_reader),
        cmocka_unit_test(every_reason_has_a_word),
    };

    return cmocka_run_group_tests_name("ingest/csv_source", tests, farm_open, farm_close);
}
