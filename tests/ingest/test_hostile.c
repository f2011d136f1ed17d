/*
 * Files made to hurt: each costs a bounded amount and is refused, or set aside, in words; at each
 * limit one file is taken and one past it is not. Kinds of attack: CWE-409 (data amplification),
 * CWE-776 (entity expansion), CWE-674 (recursion).
 */
#include <sys/resource.h>

#include "base/sheet.h"
#include "ingest/grid.h"
#include "ingest/json_text.h"
#include "ingest/workbook.h"
#include "ingest/workbook_file.h"

static struct source json_of(const char *time_format)
{
    static const struct source_column columns[] = {
        {.header = "v", .parameter = "temperature", .unit = "degC"}};
    struct source source = logger();

    source.format = SOURCE_JSON;
    source.time_headers[0] = "at";
    source.time_format = time_format;
    source.columns = columns;
    source.column_count = 1;
    source.ignores_other_headers = true;

    return source;
}

static struct source book_of(void)
{
    struct source source = logger();

    source.format = SOURCE_XLSX;
    source.header_line = 0;
    source.time_format = NULL;

    return source;
}

static char *repeated(struct arena *mem, const char *text, size_t times)
{
    struct buf buf = buf_new(mem);

    for (size_t i = 0; i < times; i++)
        buf_add_text(&buf, text);

    return buf.data;
}

/* --- JSON --- */

static struct outcome read_nested(struct arena *mem, const struct farm *farm, size_t lists)
{
    struct source source = json_of("YYYY-MM-DD hh:mm");
    const char *text = arena_printf(mem, "[{\"at\":\"2026-05-01 09:00\",\"v\":1,\"x\":%s%s}]",
                                    repeated(mem, "[", lists), repeated(mem, "]", lists));

    return read_bytes(mem, farm, &source, text, strlen(text), 65536, 0);
}

static void a_document_is_only_so_deep(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct outcome outcome = read_nested(mem, *state, JSON_LEVELS_MOST - 2);

    assert_done(outcome.done, &outcome.err);
    outcome = read_nested(mem, *state, JSON_LEVELS_MOST - 1);
    assert_false(outcome.done);
    assert_int_equal(outcome.err.code, ERR_TOO_LARGE);
    outcome = read_nested(mem, *state, 1000000);
    assert_false(outcome.done);
    assert_int_equal(outcome.err.code, ERR_TOO_LARGE);
}

static struct outcome read_number(struct arena *mem, const struct farm *farm, size_t digits)
{
    struct source source = json_of("YYYY-MM-DD hh:mm");
    const char *text =
        arena_printf(mem, "[{\"at\":\"2026-05-01 09:00\",\"v\":%s}]", repeated(mem, "9", digits));

    return read_bytes(mem, farm, &source, text, strlen(text), 65536, 0);
}

static void a_number_of_many_digits_is_no_value(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct outcome outcome = read_number(mem, *state, JSON_TEXT_MOST);

    assert_done(outcome.done, &outcome.err);
    assert_string_equal(outcome.problems.data, "value-unreadable 1:31;");
    outcome = read_number(mem, *state, JSON_TEXT_MOST + 1);
    assert_false(outcome.done);
    assert_int_equal(outcome.err.code, ERR_TOO_LARGE);
}

/* Bytes that go on for ever: a blank, and again. */
static bool read_blanks(void *context, void *into, size_t room, size_t *got, struct err *err)
{
    int64_t *left = context;

    (void)err;
    *got = (int64_t)room < *left ? room : (size_t)*left;
    memset(into, ' ', *got);
    *left -= (int64_t)*got;

    return true;
}

static struct outcome read_long(struct arena *mem, const struct farm *farm,
                                const struct source *source, int64_t bytes)
{
    static const struct parameter_list no_own_parameters;
    struct outcome outcome = {.drafts = buf_new(mem), .err = ERR_INIT};
    const struct ingest_world world = {
        .parameters = &no_own_parameters, .units = farm->units, .zone = farm->zone};
    const struct ingest_bytes from = {&bytes, read_blanks};
    const struct ingest_sink sink = {.context = &outcome};

    outcome.done = source_read(source, &world, &from, &sink, &outcome.counts, &outcome.err);

    return outcome;
}

static void a_document_is_only_so_large(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = json_of("YYYY-MM-DD hh:mm");
    struct outcome outcome = read_long(mem, *state, &source, JSON_DOCUMENT_MOST);

    assert_string_equal(outcome.err.text, "the document holds no record");
    outcome = read_long(mem, *state, &source, JSON_DOCUMENT_MOST + 1);
    assert_string_equal(outcome.err.text, "the document is larger than 32 MB");
}

static void a_record_has_only_so_many_keys(void **state)
{
    static const size_t counts[] = {CSV_COLUMNS_MOST - 3, CSV_COLUMNS_MOST - 2, 1000000};

    for (size_t i = 0; i < ARRAY_LEN(counts); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct source source = json_of("YYYY-MM-DD hh:mm");
        const char *text = arena_printf(mem, "[{\"at\":\"2026-05-01 09:00\",\"v\":1,\"x\":[0%s]}]",
                                        repeated(mem, ",0", counts[i] - 1));
        struct outcome outcome = read_bytes(mem, *state, &source, text, strlen(text), 65536, 0);

        assert_int_equal(outcome.done, i == 0);
        assert_int_equal(outcome.err.code, i == 0 ? ERR_NONE : ERR_TOO_LARGE);
    }
}

/* --- workbooks --- */

#define HEADER ROW("1", T("A1", "Time") T("B1", "Temp (degC)") T("C1", "DO (mg/L)"))

static struct outcome read_rows(struct arena *mem, const struct farm *farm, const char *rows)
{
    struct source source = book_of();
    const struct made_sheet sheet = {"Data", "visible", arena_printf(mem, HEADER "%s", rows)};

    return read_book(mem, farm, &source, &(struct made_book){.sheets = &sheet, .count = 1});
}

static void a_bomb_in_a_workbook_is_refused_before_it_is_large(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct rusage before;
    struct rusage after;
    struct outcome outcome;

    getrusage(RUSAGE_SELF, &before);
    /* 20 MB of blanks that a zip makes into some 20 kB. */
    outcome = read_rows(mem, *state, repeated(mem, "                    ", 1000000));
    getrusage(RUSAGE_SELF, &after);
    assert_false(outcome.done);
    assert_int_equal(outcome.err.code, ERR_TOO_LARGE);
    assert_true(after.ru_utime.tv_sec - before.ru_utime.tv_sec < 30);
}

static void a_workbook_s_entities_are_refused(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = book_of();
    const struct made_sheet sheet = {
        "Data", "visible",
        "</sheetData></worksheet><!DOCTYPE a [<!ENTITY a \"aaaa\">]><worksheet><sheetData>"};
    struct outcome outcome =
        read_book(mem, *state, &source, &(struct made_book){.sheets = &sheet, .count = 1});

    assert_false(outcome.done);
    assert_int_equal(outcome.err.code, ERR_INVALID);
}

static void a_row_has_only_so_many_columns(void **state)
{
    static const struct {
        const char *cell; /* ALL is the 1000th column, ALM the next; XFE is none of a sheet */
        bool done;
        const char *problems;
    } rows[] = {
        {"ALL2", true, "row-shape 2:1000;row-shape 2:1000;"},
        {"ALM2", true, "row-shape 2:2;row-shape 2:3;"},
        {"XFE2", false, NULL},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct outcome outcome =
            read_rows(mem, *state,
                      arena_printf(mem,
                                   "<row r=\"2\">" D("A2", "46143.375") N("B2", "1")
                                       N("C2", "2") "<c r=\"%s\"><v>1</v></c></row>" ROW(
                                           "3", D("A3", "46143.5") N("B3", "1")),
                                   rows[i].cell));

        assert_int_equal(outcome.done, rows[i].done);
        if (!rows[i].done)
            continue;
        if (i > 0)
            assert_string_equal(outcome.problems.data, rows[i].problems);
        assert_non_null(strstr(outcome.drafts.data, "2026-05-01T12:00:00Z =1 degC"));
    }
}

static void a_cell_is_only_so_long(void **state)
{
    static const size_t lengths[] = {CSV_CELL_MOST, CSV_CELL_MOST + 1, SHEET_TEXT_MOST + 1};

    for (size_t i = 0; i < ARRAY_LEN(lengths); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        /* Digits in no order, which a zip can't make small. */
        char *digits = arena_alloc(mem, lengths[i] + 1);

        for (size_t k = 0; k < lengths[i]; k++)
            digits[k] = (char)('1' + (k * k * 7 + k / 3 + k * (k >> 5)) % 9);
        digits[lengths[i]] = '\0';

        struct outcome outcome = read_rows(
            mem, *state,
            arena_printf(
                mem,
                "<row r=\"2\">" D("A2", "46143.375") "<c r=\"B2\" t=\"str\"><v>%s</v></c></row>",
                digits));

        assert_int_equal(outcome.done, i < 2);
        if (i < 2)
            assert_string_equal(outcome.problems.data,
                                i == 0 ? "value-unreadable 2:2;" : "row-shape 2:2;row-shape 2:3;");
        if (i == 2)
            assert_int_equal(outcome.err.code, ERR_TOO_LARGE);
    }
}

static void a_workbook_is_only_so_large(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = book_of();
    struct outcome outcome = read_long(mem, *state, &source, (int64_t)WORKBOOK_BYTES_MOST + 1);

    assert_false(outcome.done);
    assert_int_equal(outcome.err.code, ERR_TOO_LARGE);
    assert_string_equal(outcome.err.text, "the workbook is larger than 256 MB");
}

/* --- CSV --- */

static struct outcome read_headers(struct arena *mem, const struct farm *farm, int changes)
{
    struct source source = logger();
    struct buf text = buf_new(mem);

    buf_add_text(&text, LOGGER_HEADER);
    for (int i = 0; i < changes; i++)
        buf_add_text(&text, i % 2 ? LOGGER_HEADER : "DO (mg/L),Time,Temp (degC)\n");

    return read_bytes(mem, farm, &source, text.data, text.len, 65536, 0);
}

static void a_header_changes_only_so_often(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct outcome outcome = read_headers(mem, *state, HEADERS_MOST);

    assert_done(outcome.done, &outcome.err);
    outcome = read_headers(mem, *state, HEADERS_MOST + 1);
    assert_false(outcome.done);
    assert_string_equal(outcome.err.text, "line 202: the header changes more than 200 times");
}

static void a_header_is_looked_for_only_so_far(void **state)
{
    static const size_t titles[] = {199, 200};

    for (size_t i = 0; i < ARRAY_LEN(titles); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct source source = logger();
        const char *text =
            arena_printf(mem, "%s" LOGGER_HEADER, repeated(mem, "title\n", titles[i]));

        source.header_line = 0;

        struct outcome outcome = read_bytes(mem, *state, &source, text, strlen(text), 65536, 0);

        assert_int_equal(outcome.done, i == 0);
    }
}

static void a_row_of_a_million_columns_is_set_aside(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = logger();
    struct outcome outcome =
        read_text(mem, *state, &source,
                  arena_printf(mem, LOGGER_HEADER "2026-05-01 09:00,1,2%s\n2026-05-01 09:10,3,4\n",
                               repeated(mem, ",", 1000000)));

    assert_string_equal(outcome.problems.data, "row-shape 2:2;row-shape 2:3;");
    assert_int_equal(outcome.draft_count, 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_document_is_only_so_deep),
        cmocka_unit_test(a_number_of_many_digits_is_no_value),
        cmocka_unit_test(a_document_is_only_so_large),
        cmocka_unit_test(a_record_has_only_so_many_keys),
        cmocka_unit_test(a_bomb_in_a_workbook_is_refused_before_it_is_large),
        cmocka_unit_test(a_workbook_s_entities_are_refused),
        cmocka_unit_test(a_row_has_only_so_many_columns),
        cmocka_unit_test(a_cell_is_only_so_long),
        cmocka_unit_test(a_workbook_is_only_so_large),
        cmocka_unit_test(a_header_changes_only_so_often),
        cmocka_unit_test(a_header_is_looked_for_only_so_far),
        cmocka_unit_test(a_row_of_a_million_columns_is_set_aside),
    };

    return cmocka_run_group_tests_name("ingest/hostile", tests, farm_open, farm_close);
}
