/*
 * The shapes in which loggers and laboratories write their text files, each read whole: what it
 * comes to, and what of it is set aside. Farms, probes and laboratories are invented.
 */
#include "ingest/csv_file.h"
#include "ingest/source_clock.h"

struct shape {
    const char *name; /* why it is there */
    void (*change)(struct source *source);
    const char *text;
    const char *drafts;
    const char *problems;
};

static void shapes_read(void **state, struct source (*made)(void), const struct shape *shapes,
                        size_t count)
{
    for (size_t i = 0; i < count; i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct source source = made();

        shapes[i].change(&source);

        struct outcome outcome = read_text(mem, *state, &source, shapes[i].text);

        if (strcmp(outcome.drafts.data, shapes[i].drafts) != 0 ||
            strcmp(outcome.problems.data, shapes[i].problems) != 0)
            fail_msg("%s:\n%s\n%s\n%s", shapes[i].name, outcome.drafts.data, outcome.problems.data,
                     outcome.words.data);
    }
}

/* --- loggers --- */

static void as_it_is(struct source *source)
{
    source->header_line = 0;
}

static void counted_from_1900(struct source *source)
{
    source->time_format = "Excel 1900";
}

static void counted_from_1904(struct source *source)
{
    source->time_format = "Excel 1904";
}

static void clock_in_a_column(struct source *source)
{
    static const struct source_word words[] = {{"EST", "-05:00"}, {"EDT", "-04:00"}};

    source->clock_header = "Zone";
    source->clocks = (struct source_words){words, ARRAY_LEN(words)};
}

static void half_days(struct source *source)
{
    source->time_format = "M/D/YYYY h:mm AM/PM";
}

static void days_alone(struct source *source)
{
    source->time_format = "YYYY-MM-DD";
    source->date_alone = DATE_ALONE_DAY;
    source->clock = CLOCK_LOCAL;
}

static void columns_that_may_lack(struct source *source)
{
    static const struct source_column columns[] = {
        {.header = "Temp", .parameter = "temperature"},
        {.header = "DO", .parameter = "oxygen", .may_lack = true},
    };

    source->columns = columns;
    source->header_line = 0;
}

static void remarks_and_units(struct source *source)
{
    static const char *const remarks[] = {"Total"};
    static const char *const blanks[] = {"-9999"};

    source->header_line = 0;
    source->skip_after_header = 1;
    source->comment_starts = remarks;
    source->comment_start_count = 1;
    source->blanks = blanks;
    source->blank_count = 1;
}

static void probe_in_a_column(struct source *source)
{
    source->instrument_header = "Probe";
}

static void replicates(struct source *source)
{
    source->replicate_header = "Rep";
}

static void others_ignored(struct source *source)
{
    source->ignores_other_headers = true;
}

static const struct shape logger_shapes[] = {
    {"titles above the header, whose line is not told", as_it_is,
     "Logger 7;;\n\nexported 2026-05-02\n" LOGGER_HEADER "2026-05-01 09:00,12.5,8.1\n",
     "0 2026-05-01T09:00:00Z =12.5 degC;1 2026-05-01T09:00:00Z =8.1 mg/L;", ""},
    {"a spreadsheet's date numbers: 46143 is 2026-05-01 (ECMA-376 part 1, 18.17.4)",
     counted_from_1900,
     LOGGER_HEADER "46143.375,12.5,\n46143.3854166667,12.6,\n60.5,12,\n0.5,12,\n2026-05-01,12,\n",
     "0 2026-05-01T09:00:00Z =12.5 degC;0 2026-05-01T09:15:00Z =12.6 degC;",
     "time-impossible 4:2;time-impossible 5:2;time-unreadable 6:2;"},
    {"the same counted from 1904: 1462 days fewer", counted_from_1904,
     LOGGER_HEADER "44681.375,12.5,\n", "0 2026-05-01T09:00:00Z =12.5 degC;", ""},
    {"a clock in each row; where none is told the source's", clock_in_a_column,
     "Time,Zone,Temp (degC),DO (mg/L)\n2026-05-01 09:00,EDT,12.5,\n2026-05-01 09:00,EST,12.6,\n"
     "2026-05-01 09:00,,12.7,\n2026-05-01 09:00,+12:00,12.8,\n2026-05-01 09:00,PST,12.9,\n",
     "0 2026-05-01T13:00:00Z =12.5 degC;0 2026-05-01T14:00:00Z =12.6 degC;"
     "0 2026-05-01T09:00:00Z =12.7 degC;0 2026-04-30T21:00:00Z =12.8 degC;",
     "time-unreadable 6:3;"},
    {"midnight at 12 and noon at 12", half_days,
     LOGGER_HEADER "5/1/2026 12:00 AM,1,\n5/1/2026 12:30 PM,2,\n5/1/2026 1:05 pm,3,\n",
     "0 2026-05-01T00:00:00Z =1 degC;0 2026-05-01T12:30:00Z =2 degC;"
     "0 2026-05-01T13:05:00Z =3 degC;",
     ""},
    {"days, each from its first moment to its last in the farm's clock", days_alone,
     LOGGER_HEADER "2026-05-01,12.5,\n", "0 2026-04-30T12:00:00Z =12.5 degC;", ""},
    {"a column that comes half-way, and the columns in another order", columns_that_may_lack,
     "Time,Temp (degC)\n2026-05-01 09:00,12.5\nDO (mg/L),Time,Temp (degC)\n"
     "8.1,2026-05-01 09:10,12.6\n",
     "0 2026-05-01T09:00:00Z =12.5 degC;0 2026-05-01T09:10:00Z =12.6 degC;"
     "1 2026-05-01T09:10:00Z =8.1 mg/L;",
     ""},
    {"units in a row of their own, the header again, -9999 and a footer", remarks_and_units,
     "Station 7,,\nTime,Temp,DO\n[yyyy],[degC],[mg/L]\n2026-05-01 09:00,12.5,-9999\n"
     "Time,Temp,DO\n[yyyy],[degC],[mg/L]\n2026-05-01 09:10,12.6,8.2\n\"Total records: 2\",,\n",
     "0 2026-05-01T09:00:00Z =12.5 degC;0 2026-05-01T09:10:00Z =12.6 degC;"
     "1 2026-05-01T09:10:00Z =8.2 mg/L;",
     ""},
    {"a probe in each row", probe_in_a_column,
     "Time,Probe,Temp (degC),DO (mg/L)\n2026-05-01 09:00,P1,1,\n2026-05-01 09:00,P2,2,\n"
     "2026-05-01 09:10,P1,3,\n",
     "0 2026-05-01T09:00:00Z =1 degC;1 2026-05-01T09:00:00Z =2 degC;"
     "0 2026-05-01T09:10:00Z =3 degC;",
     ""},
    {"replicates at one time", replicates,
     "Time,Rep,Temp (degC),DO (mg/L)\n2026-05-01 09:00,1,1,\n2026-05-01 09:00,2,2,\n",
     "0 2026-05-01T09:00:00Z =1 degC;0 2026-05-01T09:00:00Z =2 degC;", ""},
    {"columns that nobody wants, and an empty one at the end of each row", others_ignored,
     "Time,Battery,Temp (degC),DO (mg/L),\n2026-05-01 09:00,3.6,12.5,8.1,\n",
     "0 2026-05-01T09:00:00Z =12.5 degC;1 2026-05-01T09:00:00Z =8.1 mg/L;", ""},
};

static void loggers_are_read_in_every_shape(void **state)
{
    shapes_read(state, logger, logger_shapes, ARRAY_LEN(logger_shapes));
}

static void a_day_lasts_as_long_as_the_clocks_say(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = logger();
    struct outcome outcome;

    days_alone(&source);
    /* New Zealand's clocks went back on 5 April 2026: that day had 25 hours. */
    outcome = read_text(mem, *state, &source, LOGGER_HEADER "2026-04-05,1,\n2026-04-06,2,\n");
    assert_string_equal(outcome.details.data,
                        "1 until 2026-04-05T12:00:00Z;2 until 2026-04-06T12:00:00Z;");
    assert_non_null(strstr(outcome.drafts.data, "2026-04-04T11:00:00Z =1"));
}

static void a_header_that_is_not_there_is_told_by_the_likeliest_line(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const char text[] = "Logger 7\nTime,Temp (degC),D0 (mg/L)\n2026-05-01 09:00,12.5,8.1\n";
    struct source source = logger();
    struct outcome outcome;

    source.header_line = 0;
    outcome = read_bytes(mem, *state, &source, text, strlen(text), 65536, 0);
    assert_false(outcome.done);
    assert_string_equal(outcome.err.text, "line 2: the header has no column 'DO'");
    assert_string_equal(outcome.err.hint, "Did you mean 'D0'? Correct the column in the source.");
}

/* --- laboratories --- */

static const struct source_word flag_words[] = {
    {"<0>", "use"}, {"<1>", "doubt"}, {"<-3>", "leave"}, {"<-4>", "less than"}};
static const struct source_word condition_words[] = {
    {"Not Detected", "not detected"},
    {"Below Limit", "less than"},
    {"Above Range", "more than"},
    {"Estimated", "doubt"},
    {"Lost", "leave"},
    {"Not Reported", "use"},
};

static void flags(struct source *source)
{
    source->flag_header = "Flag";
    source->flags = (struct source_words){flag_words, ARRAY_LEN(flag_words)};
}

static void conditions(struct source *source)
{
    source->qualifier_header = "Condition";
    source->qualifiers = (struct source_words){condition_words, ARRAY_LEN(condition_words)};
    source->quantitation_header = "Limit";
    source->limit_unit_header = "Limit unit";
}

static void detection_limits(struct source *source)
{
    conditions(source);
    source->quantitation_header = NULL;
    source->detection_header = "Limit";
}

static void laboratories(struct source *source)
{
    source->instrument_header = "Laboratory";
}

static void some_parameters(struct source *source)
{
    source->ignores_other_parameters = true;
}

static void day_only(struct source *source)
{
    source->date_alone = DATE_ALONE_DAY;
}

#define AT "Site A,01/05/2026,9:00,TSS,"
#define WHEN "0 2026-04-30T21:00:00Z "

static const struct shape laboratory_shapes[] = {
    {"flags: the number under a less-than is its limit; what may not be used is set aside", flags,
     "Site,Date,Hour,Test,Result,Unit,Flag\n" AT "5,mg/L,<0>\n" AT "0.5,mg/L,<-4> [SBL]\n" AT
     "7,mg/L,<-3> [X]\n" AT "8,mg/L,<1> (C)\n" AT "9,mg/L,<7>\n" AT ",mg/L,<-4>\n",
     WHEN "=5 mg/L;" WHEN "<0.5 mg/L;" WHEN "=8 mg/L;", "flagged 4:5;flagged 6:5;"},
    {"conditions in words beside an empty value: a not-detected is never 0", conditions,
     "Site,Date,Hour,Test,Result,Unit,Condition,Limit,Limit unit\n" AT ",,Not Detected,,\n" AT
     ",,Not Detected,2,mg/L\n" AT ",,Below Limit,3,ug/L\n" AT ",,Below Limit,,\n" AT
     "9,mg/L,Above Range,,\n" AT ",,Not Reported,,\n" AT ",mg/L,Lost,,\n" AT "4,mg/L,Lost,,\n" AT
     "6,mg/L,Estimated,,\n" AT "6,mg/L,Strange,,\n" AT "6,mg/L,,1,ug/L\n",
     WHEN "n0 mg/L;" WHEN "<2 mg/L;" WHEN "<3 ug/L;" WHEN ">9 mg/L;" WHEN "=6 mg/L;" WHEN
          "=6 mg/L;",
     "value-unreadable 5:5;flagged 8:5;flagged 9:5;value-unreadable 11:7;"},
    {"a laboratory in each row; where none is told the source's", laboratories,
     "Site,Date,Hour,Test,Result,Unit,Laboratory\n" AT "1,mg/L,North\n" AT "2,mg/L,South\n" AT
     "3,mg/L,\n" AT "4,mg/L,North\n",
     WHEN "=1 mg/L;1 2026-04-30T21:00:00Z =2 mg/L;2 2026-04-30T21:00:00Z =3 mg/L;" WHEN "=4 mg/L;",
     ""},
    {"rows of parameters that the farm does not take are no values", some_parameters,
     LAB_HEADER AT "5,mg/L\nSite A,01/05/2026,9:00,Weather,sunny,\nSite A,01/05/2026,9:00,,1,\n",
     WHEN "=5 mg/L;", "parameter-unknown 4:4;"},
    {"a date without its hour is some time in that day", day_only,
     LAB_HEADER "Site A,01/05/2026,,TSS,5,mg/L\n" AT "6,mg/L\nSite A,,9:00,TSS,7,mg/L\n",
     "0 2026-04-30T12:00:00Z =5 mg/L;" WHEN "=6 mg/L;", "time-unreadable 4:2;"},
};

static void laboratories_are_read_in_every_shape(void **state)
{
    shapes_read(state, laboratory, laboratory_shapes, ARRAY_LEN(laboratory_shapes));
}

static void a_result_without_a_number_that_may_not_be_used_is_set_aside(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = laboratory();
    struct source wide = logger();
    static const struct source_column columns[] = {
        {.header = "Temp", .parameter = "temperature", .flag_header = "F"}};
    struct outcome outcome;

    flags(&source);
    outcome =
        read_text(mem, *state, &source, "Site,Date,Hour,Test,Result,Unit,Flag\n" AT ",mg/L,<-3>\n");
    assert_string_equal(outcome.problems.data, "flagged 2:5;");
    /* A logger's empty cell is no value, whatever its flag says. */
    flags(&wide);
    wide.flag_header = NULL;
    wide.columns = columns;
    wide.column_count = 1;
    outcome = read_text(mem, *state, &wide, "Time,Temp (degC),F\n2026-05-01 09:00,,<-3>\n");
    assert_string_equal(outcome.problems.data, "");
    assert_int_equal(outcome.counts.blank, 1);
}

/* A thousand micrograms are a milligram. */
static void a_limit_is_brought_to_the_unit_of_its_value(void **state)
{
    static const struct {
        const char *row;
        const char *details;
        const char *problems;
    } rows[] = {
        {"4,mg/L,,50,ug/L", "4 limits 0.05 0;", ""},
        {",mg/L,Not Detected,50,ug/L", "0.05 limits 0.05 0;", ""},
        {"0.04,mg/L,,0.05,mg/L", "0.04 limits 0.05 0;", ""},
        {"4,mg/L,,50,%", "", "unit-unfit 2:6;"},
        {"4,mg/L,,,%", "4;", ""},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct source source = laboratory();
        struct outcome outcome;

        detection_limits(&source);
        outcome = read_text(
            mem, *state, &source,
            arena_printf(mem,
                         "Site,Date,Hour,Test,Result,Unit,Condition,Limit,Limit unit\n" AT "%s\n",
                         rows[i].row));
        assert_string_equal(outcome.details.data, rows[i].details);
        assert_string_equal(outcome.problems.data, rows[i].problems);
    }
}

static void a_less_than_below_its_own_detection_limit_is_set_aside(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = laboratory();
    struct outcome outcome;

    detection_limits(&source);
    outcome =
        read_text(mem, *state, &source,
                  "Site,Date,Hour,Test,Result,Unit,Condition,Limit,Limit unit\n" AT
                  "<0.02,mg/L,,0.05,mg/L\n" AT "<0.05,mg/L,,50,ug/L\n" AT "<0.1,mg/L,,0.05,mg/L\n");
    assert_string_equal(outcome.problems.data, "value-unreadable 2:5;");
    assert_non_null(strstr(outcome.words.data,
                           "'<0.02': the detection limit beside it is 0.05, which is more"));
    assert_int_equal(outcome.counts.drafts, 2);
}

static void ignored_rows_are_counted_apart(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const char *const words[] = {"weather"};
    struct source source = laboratory();
    struct outcome outcome;

    source.ignored_parameters = words;
    source.ignored_parameter_count = 1;
    outcome = read_text(mem, *state, &source,
                        LAB_HEADER AT "5,mg/L\nSite A,01/05/2026,9:00,Weather,sunny,\n" AT ",\n");
    assert_int_equal(outcome.counts.rows, 3);
    assert_int_equal(outcome.counts.ignored_rows, 1);
    assert_int_equal(outcome.counts.values_in, 2);
    assert_int_equal(outcome.counts.blank, 1);
}

static void a_flag_in_doubt_keeps_its_words(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = laboratory();
    struct outcome outcome;

    flags(&source);
    outcome = read_text(mem, *state, &source,
                        "Site,Date,Hour,Test,Result,Unit,Flag\n" AT "8,mg/L,<1> (C)\n");
    assert_string_equal(outcome.details.data, "8 doubt <1> (C);");
}

static void tenths_are_units(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const struct source_column columns[] = {
        {.header = "Rain", .parameter = "rain", .unit = "tenths of mm"},
        {.header = "Temp", .parameter = "temperature", .unit = "0.1 degC"},
    };
    struct source source = logger();
    struct outcome outcome;

    source.columns = columns;
    outcome = read_text(mem, *state, &source, "Time,Rain,Temp\n2026-05-01 09:00,254,-77\n");
    assert_string_equal(outcome.drafts.data, "0 2026-05-01T09:00:00Z =254 mm/10;"
                                             "1 2026-05-01T09:00:00Z =-77 degC/10;");
    assert_string_equal(outcome.details.data, "25.4;-7.7;");
}

struct clock_word {
    const char *text;
    bool is_one;
    enum source_clock clock;
    int offset_s;
};

static const struct clock_word clock_texts[] = {
    {"local", true, CLOCK_LOCAL, 0},
    {"UTC", true, CLOCK_UTC, 0},
    {"utc", true, CLOCK_UTC, 0},
    {"+12:00", true, CLOCK_OFFSET, 43200},
    {"-03:30", true, CLOCK_OFFSET, -12600},
    {"+14:59", true, CLOCK_OFFSET, 53940},
    {"+15:00", false, CLOCK_LOCAL, 0},
    {"12:00", false, CLOCK_LOCAL, 0},
    {"+1:00", false, CLOCK_LOCAL, 0},
    {"EST", false, CLOCK_LOCAL, 0},
    {"", false, CLOCK_LOCAL, 0},
    {"+12:60", false, CLOCK_LOCAL, 0},
};

static void a_clock_is_local_utc_or_an_offset(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(clock_texts); i++) {
        enum source_clock clock = CLOCK_LOCAL;
        int offset_s = 0;

        if (source_clock_parse(clock_texts[i].text, &clock, &offset_s) != clock_texts[i].is_one ||
            clock != clock_texts[i].clock || offset_s != clock_texts[i].offset_s)
            fail_msg("%s", clock_texts[i].text);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(loggers_are_read_in_every_shape),
        cmocka_unit_test(a_day_lasts_as_long_as_the_clocks_say),
        cmocka_unit_test(a_header_that_is_not_there_is_told_by_the_likeliest_line),
        cmocka_unit_test(laboratories_are_read_in_every_shape),
        cmocka_unit_test(a_result_without_a_number_that_may_not_be_used_is_set_aside),
        cmocka_unit_test(a_limit_is_brought_to_the_unit_of_its_value),
        cmocka_unit_test(a_less_than_below_its_own_detection_limit_is_set_aside),
        cmocka_unit_test(ignored_rows_are_counted_apart),
        cmocka_unit_test(a_flag_in_doubt_keeps_its_words),
        cmocka_unit_test(tenths_are_units),
        cmocka_unit_test(a_clock_is_local_utc_or_an_offset),
    };

    return cmocka_run_group_tests_name("ingest/shapes", tests, farm_open, farm_close);
}
