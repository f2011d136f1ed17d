/*
 * JSON documents (RFC 8259) by a source: where the records are, which keys are columns, that
 * digits stay as written, and that what is no JSON is refused with its place.
 */
#include "ingest/csv_file.h"

static const struct source_column json_columns[] = {
    {.header = "result.temp", .parameter = "temperature", .unit = "degC"},
    {.header = "result.do", .parameter = "oxygen", .unit = "mg/L"},
};

static struct source json_logger(void)
{
    struct source source = logger();

    source.format = SOURCE_JSON;
    source.header_line = 0;
    source.time_headers[0] = "at";
    source.time_format = "YYYY-MM-DDThh:mm:ss+hh:mm";
    source.columns = json_columns;
    source.column_count = ARRAY_LEN(json_columns);

    return source;
}

static struct source json_laboratory(void)
{
    struct source source = laboratory();

    source.format = SOURCE_JSON;
    source.header_line = 0;
    source.time_headers[0] = "date";
    source.time_headers[1] = NULL;
    source.time_format = "YYYY-MM-DD hh:mm";
    source.station_header = "site";
    source.parameter_header = "test";
    source.value_header = "result";
    source.unit_header = "unit";

    return source;
}

struct document {
    const char *name;
    const char *records;
    const char *text;
    const char *drafts;
    const char *problems;
};

#define NINE "2026-05-01T09:00:00Z"

static const struct document logger_documents[] = {
    {"a list, with digits as written", NULL,
     "[{\"at\":\"" NINE "\",\"result\":{\"temp\":12.50,\"do\":null}},\n"
     " {\"at\":\"2026-05-01T21:10:00+12:00\",\"result\":{\"temp\":1.2E1,\"do\":\"<0.30\"}}]",
     "0 " NINE " =12.50 degC;0 2026-05-01T09:10:00Z =12 degC;1 2026-05-01T09:10:00Z <0.30 mg/L;",
     ""},
    {"a list inside", "data.items",
     "{\"name\":\"Logger 7\",\"data\":{\"more\":{\"items\":[1]},\"items\":[{\"at\":\"" NINE
     "\",\"result\":{\"temp\":1,\"do\":2}}]},\"items\":[]}",
     "0 " NINE " =1 degC;1 " NINE " =2 mg/L;", ""},
    {"a record a line, keys in another order and letter case", NULL,
     "{\"result\":{\"DO\":8.10,\"Temp\":12.5},\"at\":\"" NINE "\"}\n"
     "{\"at\":\"" NINE "\"}\n",
     "0 " NINE " =12.5 degC;1 " NINE " =8.10 mg/L;", ""},
    {"what can't be read is set aside at its own line and column", NULL,
     "[{\"at\":\"" NINE "\",\"result\":{\"temp\":true,\"do\":8}},\n"
     "{\"at\":\"yesterday\",\"result\":{\"temp\":1,\n\"do\":2}}]",
     "0 " NINE " =8 mg/L;", "value-unreadable 1:48;time-unreadable 2:36;time-unreadable 3:6;"},
    {"escapes", NULL,
     "[{\"at\":\"2026-05-01\\u0054"
     "09:00:00\\u005a\",\"result\":{\"temp\":1,\"do\":2}}]",
     "0 " NINE " =1 degC;1 " NINE " =2 mg/L;", ""},
};

static void documents_are_read(void **state)
{
    for (size_t i = 0; i < ARRAY_LEN(logger_documents); i++) {
        const struct document *document = &logger_documents[i];
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct source source = json_logger();

        source.records = document->records;

        struct outcome outcome = read_text(mem, *state, &source, document->text);

        if (strcmp(outcome.drafts.data, document->drafts) != 0 ||
            strcmp(outcome.problems.data, document->problems) != 0)
            fail_msg("%s:\n%s\n%s\n%s", document->name, outcome.drafts.data, outcome.problems.data,
                     outcome.words.data);
    }
}

static void a_long_document_has_a_record_a_result(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = json_laboratory();
    struct outcome outcome = read_text(
        mem, *state, &source,
        "[{\"site\":\"Site A\",\"date\":\"2026-05-01 09:00\",\"test\":\"TSS\",\"result\":0.30,"
        "\"unit\":\"mg/L\"},{\"site\":\"Site A\",\"date\":\"2026-05-01 09:00\",\"test\":\"TSS\","
        "\"result\":5,\"unit\":\"furlong\"},{\"site\":\"Site A\",\"date\":\"2026-05-01 09:00\","
        "\"test\":\"TSS\",\"unit\":\"mg/L\"}]");

    assert_string_equal(outcome.drafts.data, "0 2026-04-30T21:00:00Z =0.30 mg/L;");
    /* The second result's own place, though its unit is at fault. */
    assert_string_equal(outcome.problems.data, "unit-unknown 1:152;");
    assert_int_equal(outcome.counts.blank, 1);
}

struct refused {
    const char *text;
    const char *error;
};

#define RECORD "{\"at\":\"" NINE "\",\"result\":{\"temp\":1,\"do\":2}}"

static const struct refused refused_documents[] = {
    {"", "the file is empty"},
    {"[", "line 1, column 2: the document ends in the middle"},
    {"[" RECORD, "line 1, column 58: the document ends in the middle"},
    {"[" RECORD ",]", "line 1, column 59: expected a value"},
    {"[" RECORD " " RECORD "]", "line 1, column 59: expected a comma"},
    {"[1]", "line 1, column 2: expected a record, which is an object"},
    {"7", "line 1, column 1: expected a list of records"},
    {"[]", "the document holds no record"},
    {"{\"a\":1}", "line 1, column 6: the key 'a' is neither mapped nor ignored by the source"},
    {"[{\"at\":\"" NINE "\",\"at\":\"" NINE "\"}]",
     "line 1, column 36: the key 'at' stands twice in its record"},
    {"[{\"at\":\"" NINE "\",\"result\":{\"temp\":01}}]",
     "line 1, column 48: a number is written in a way that JSON does not know"},
    {"[{\"at\":NaN}]", "line 1, column 8: expected a value"},
    {"[{'at':1}]", "line 1, column 3: expected a key in quotes"},
    {"[{\"at\":\"\\ud800\"}]", "line 1, column 9: a backslash in a text means nothing here"},
    {"[{\"at\":\"\\u0000\"}]", "line 1, column 9: a backslash in a text means nothing here"},
    {"[{\"at\":\"a\tb\"}]",
     "line 1, column 10: a line end or another control character stands in a text"},
    {"[{\"at\":\"" NINE "\",\"result\":{\"temp\":1}}]", "no record has the key 'result.do'"},
    {"[{\"at\":\"a", "line 1, column 8: a text is opened and never closed"},
    {"[{\"at\":\"\xff\"}]", "byte 8 of the file, 0xFF, is no text"},
};

static void what_is_no_document_is_refused_with_its_place(void **state)
{
    for (size_t i = 0; i < ARRAY_LEN(refused_documents); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const char *text = refused_documents[i].text;
        struct source source = json_logger();
        struct outcome outcome = read_bytes(mem, *state, &source, text, strlen(text), 7, 0);

        if (outcome.done || strcmp(outcome.err.text, refused_documents[i].error) != 0)
            fail_msg("%s: %s", text, outcome.err.text);
    }
}

static void a_way_that_leads_nowhere_is_told(void **state)
{
    static const struct {
        const char *records;
        const char *text;
        const char *error;
    } rows[] = {
        {"data.items", "{\"data\":{},\"items\":[" RECORD "]}",
         "the document has no list at 'data.items'"},
        {"data", "{\"data\":{}}", "line 1, column 9: here no list of records stands"},
        {"data.items", "{\"data\":[]}", "line 1, column 9: here the way to the records ends"},
        {"data", "[" RECORD "]", "line 1, column 1: the document itself is the list"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct source source = json_logger();

        source.records = rows[i].records;

        struct outcome outcome =
            read_bytes(mem, *state, &source, rows[i].text, strlen(rows[i].text), 100, 0);

        assert_false(outcome.done);
        assert_string_equal(outcome.err.text, rows[i].error);
    }
}

static void ignored_keys_take_what_is_inside_them_along(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const char *const ignored[] = {"station", "tags.0"};
    struct source source = json_logger();
    struct outcome outcome;

    source.ignored_headers = ignored;
    source.ignored_header_count = ARRAY_LEN(ignored);
    outcome = read_text(mem, *state, &source,
                        "[{\"at\":\"" NINE "\",\"station\":{\"name\":\"x\",\"depths\":[1,2,{}]},"
                        "\"tags\":[\"a\"],\"result\":{\"temp\":1,\"do\":2}}]");
    assert_int_equal(outcome.draft_count, 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(documents_are_read),
        cmocka_unit_test(a_long_document_has_a_record_a_result),
        cmocka_unit_test(what_is_no_document_is_refused_with_its_place),
        cmocka_unit_test(a_way_that_leads_nowhere_is_told),
        cmocka_unit_test(ignored_keys_take_what_is_inside_them_along),
    };

    return cmocka_run_group_tests_name("ingest/json_source", tests, farm_open, farm_close);
}
