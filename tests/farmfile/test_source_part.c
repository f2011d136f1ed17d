/* What a source may say, beside the rows of test_farmfile.c. */

#include "farmfile/source_part.h"
#include "sound.h"

static void an_ambiguous_word_may_be_made_a_unit(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *text =
        replaced(mem, "    kind: probe",
                 "    kind: probe\n    unit words: {gal: L, ppm: mg/L, MG/L: mg/L, C: degF}");
    struct farmfile_problems problems = {0};
    const struct farm *farm = NULL;
    struct err err = ERR_INIT;

    (void)state;
    if (!farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err))
        fail_msg("%s", err.text);
}

/* A farm file with the sound source's shape line and what follows it changed. */
struct source_row {
    const char *from;
    const char *to;
    const char *problem; /* NULL: it is sound */
};

#define TIME_LINE "    time: {columns: [Date, Time], format: YYYY-MM-DD hh:mm}"

static const struct source_row source_rows[] = {
    {"    shape: wide",
     "    shape: wide\n    format: xlsx\n    sheets: [May, June]\n    hidden: leave", NULL},
    {"    shape: wide", "    shape: wide\n    format: json\n    records: data.items", NULL},
    {"    shape: wide", "    shape: wide\n    records: data.items",
     "`records` has no place here: no csv file has it"},
    {"    shape: wide", "    shape: wide\n    format: json\n    sheets: May",
     "`sheets` has no place here: no json file has it"},
    {"    shape: wide", "    shape: wide\n    format: xlsx\n    separator: comma",
     "`separator` has no place here: no xlsx file has it"},
    {"    shape: wide", "    shape: wide\n    format: ods", "'ods' can't be `format`"},
    {TIME_LINE, "    time: {columns: Date}", "this time lacks `format`"},
    {TIME_LINE, "    format: xlsx\n    time: {columns: Date}", NULL},
    {TIME_LINE, "    time: {columns: Date, format: Excel 1904}", NULL},
    {TIME_LINE, "    time: {columns: Date, format: Excel 1904 hh:mm}", "time format"},
    {TIME_LINE, TIME_LINE "\n    clock column: Zone\n    clock words: {EST: -05:00, GMT: UTC}",
     NULL},
    {TIME_LINE, TIME_LINE "\n    clock column: Zone\n    clock words: {EST: eastern}",
     "'eastern' can't be `clock words`"},
    {TIME_LINE, TIME_LINE "\n    clock column: Zone\n    clock words: {L: local}",
     "'L' is local: that goes with `clock: local`"},
    {TIME_LINE, TIME_LINE "\n    clock words: {EST: -05:00}",
     "`clock words` has no place here: it goes with `clock column`"},
    {TIME_LINE, TIME_LINE "\n    date alone: some time that day", NULL},
    {TIME_LINE, TIME_LINE "\n    flag words: {\"<-4>\": less than, X: leave}", NULL},
    {TIME_LINE, TIME_LINE "\n    flag words: {X: perhaps}", "'perhaps' can't be `flag words`"},
    {TIME_LINE, TIME_LINE "\n    ignored columns: all others", NULL},
    {TIME_LINE, TIME_LINE "\n    ignored parameters: [Weather]",
     "`ignored parameters` has no place here: only a long file has it"},
    {TIME_LINE, TIME_LINE "\n    until: {columns: [End]}", NULL},
    {TIME_LINE, TIME_LINE "\n    until: {columns: [End], format: YYYY-MM-DD}",
     "the end of a span is written as its beginning"},
    {TIME_LINE, TIME_LINE "\n    instrument column: Probe\n    replicate column: Rep", NULL},
};

static void a_source_says_what_its_files_are_like(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(source_rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const char *text = replaced(mem, source_rows[i].from, source_rows[i].to);
        struct farmfile_problems problems = {0};
        const struct farm *farm = NULL;
        struct err err = ERR_INIT;
        bool done = farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err);

        if (done != !source_rows[i].problem ||
            (!done && !strstr(problems.items[0].words, source_rows[i].problem)))
            fail_msg("%s: %s", source_rows[i].to, done ? "sound" : problems.items[0].words);
    }
}

/* "on" and "open" have no unit; a result in a laboratory's sheet has. */
static void a_source_of_states_alone_needs_no_unit(void **state)
{
    static const struct {
        const char *words;
        bool sound;
    } rows[] = {
        {"{Pump: pump, Gate: outlet}", true},
        {"{Pump: pump, Temp: temperature}", false},
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const char *book = arena_printf(mem,
                                        "sources:\n"
                                        "  - key: book\n"
                                        "    name: Book\n"
                                        "    shape: long\n"
                                        "    decimal mark: point\n"
                                        "    clock: +12:00\n"
                                        "    time: {columns: Date, format: YYYY-MM-DD hh:mm}\n"
                                        "    station: out\n"
                                        "    parameter column: What\n"
                                        "    parameter words: %s\n"
                                        "    value column: Word\n"
                                        "    kind: by hand\n",
                                        rows[i].words);
        const char *text = replaced(mem, "sources:\n", book);
        struct farmfile_problems problems = {0};
        const struct farm *farm = NULL;
        struct err err = ERR_INIT;

        if (farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err) != rows[i].sound)
            fail_msg("%s: %s", rows[i].words, err.text);
        if (!rows[i].sound)
            assert_non_null(strstr(problems.items[0].words, "lacks `unit`"));
    }
}

/* What can't be said is not among the words that are listed. */
static void the_words_of_until_have_no_format(void **state)
{
    (void)state;
    for (size_t i = 0; i < source_part_until_table.count; i++)
        assert_string_not_equal(source_part_until_table.fields[i].key, "format");
}

static void how_long_a_state_holds_may_be_said_in_days(void **state)
{
    static const struct {
        const char *length;
        int seconds; /* 0: refused */
    } rows[] = {{"40 days", 40 * 86400}, {"72 hours", 72 * 3600}, {"40 moons", 0}};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const char *text = replaced(
            mem, "time zone:", arena_printf(mem, "a state holds: %s, time zone:", rows[i].length));
        struct farmfile_problems problems = {0};
        const struct farm *farm = NULL;
        struct err err = ERR_INIT;

        if (farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err) !=
            (rows[i].seconds > 0))
            fail_msg("%s: %s", rows[i].length, err.text);
        if (rows[i].seconds > 0)
            assert_int_equal(farm->state_holds_s, rows[i].seconds);
        else
            assert_non_null(strstr(problems.items[0].words, "40 days"));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_ambiguous_word_may_be_made_a_unit),
        cmocka_unit_test(a_source_says_what_its_files_are_like),
        cmocka_unit_test(a_source_of_states_alone_needs_no_unit),
        cmocka_unit_test(the_words_of_until_have_no_format),
        cmocka_unit_test(how_long_a_state_holds_may_be_said_in_days),
    };

    return cmocka_run_group_tests_name("farmfile/source_part", tests, load_units, free_units);
}
