#include "ingest/csv_file.h"

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

static void nitrate_told_as_the_ion_is_never_stored_as_nitrogen(void **state)
{
    static const struct source_word words[] = {{"mg NO3/L", "mg/L"}};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct source_column column = {.header = "NO3 (mg NO3/L)", .parameter = "nitrate"};
    struct source source = logger();

    source.columns = &column;
    source.column_count = 1;
    for (size_t count = 0; count <= ARRAY_LEN(words); count++) {
        source.units = (struct source_words){words, count};

        struct outcome outcome =
            read_text(mem, *state, &source, "Time,NO3 (mg NO3/L)\n2026-05-01 09:00,4.43\n");

        assert_string_equal(outcome.drafts.data, "");
        assert_non_null(strstr(outcome.problems.data, "unit-unfit"));
        assert_non_null(strstr(outcome.words.data, "is as NO3, and nitrate is kept as N"));
        assert_non_null(strstr(outcome.words.data, "`parameter words`"));
        assert_null(strstr(outcome.words.data, "(unit words)"));
    }
}

/* FNU never turns into NTU, and the farm file refuses a unit word that says so. */
static void a_unit_that_never_fits_names_the_parameter_of_that_unit_as_the_way_out(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct source_column column = {.header = "Turb (FNU)", .parameter = "turbidity-ntu"};
    struct source source = logger();

    source.columns = &column;
    source.column_count = 1;

    struct outcome outcome =
        read_text(mem, *state, &source, "Time,Turb (FNU)\n2026-05-01 09:00,4.4\n");

    assert_non_null(strstr(outcome.problems.data, "unit-unfit"));
    assert_non_null(strstr(outcome.words.data, "`parameter words`"));
    assert_null(strstr(outcome.words.data, "(unit words)"));
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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nitrate_told_as_the_ion_is_never_stored_as_nitrogen),
        cmocka_unit_test(a_unit_that_never_fits_names_the_parameter_of_that_unit_as_the_way_out),
        cmocka_unit_test(a_columns_unit_is_told_or_shown_and_never_taken_for_granted),
        cmocka_unit_test(not_detected_is_below_the_limit_that_is_told),
        cmocka_unit_test(limits_are_kept_beside_the_value),
        cmocka_unit_test(a_flag_decides_whether_its_value_is_used),
    };

    return cmocka_run_group_tests_name("ingest/csv_value", tests, farm_open, farm_close);
}
