/* What kind of file it is, by what is in it; its separator; the rows that are kept of a long one.
 */
#include "ingest/sniff_json.h"
#include "sniff_file.h"

static void the_kind_of_file_goes_by_its_content(void **state)
{
    static const struct {
        const char *text;
        enum source_format format;
    } rows[] = {
        {"Time,Temp\n", SOURCE_CSV},
        {"PK\x03\x04 and so on", SOURCE_XLSX},
        {"  [ {\"at\": 1} ]", SOURCE_JSON},
        {"{\"data\": []}", SOURCE_JSON},
        {"\xef\xbb\xbf{\"at\": 1}\n{\"at\": 2}\n", SOURCE_JSON},
        {"[degC],[mg/L]\n1,2\n", SOURCE_CSV}, /* a title in brackets is no JSON */
        {"{CSM} flags\n", SOURCE_CSV},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct err err = ERR_INIT;
        struct sniff_text text;
        struct file file;
        struct ingest_bytes bytes = bytes_of(&file, rows[i].text);

        assert_done(sniff_text_head(mem, &bytes, &text, &err), &err);
        if (text.format != rows[i].format)
            fail_msg("row %zu: %d instead of %d", i, text.format, rows[i].format);
    }
}

static void a_picture_is_no_file_of_readings(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct err err = ERR_INIT;
    struct sniff_text text;
    struct file file;
    struct ingest_bytes bytes = bytes_of(&file, "%PDF-1.7 and so on");

    (void)state;
    assert_fails(sniff_text_head(mem, &bytes, &text, &err), ERR_INVALID, &err);
    assert_non_null(strstr(err.hint, "CSV"));
}

static void the_separator_is_what_most_lines_agree_on(void **state)
{
    static const struct {
        const char *text;
        char separator;
        size_t cells;
        const char *why;
    } rows[] = {
        {"a,b,c\n1,2,3\n", ',', 3, "plain"},
        {"a;b;c\n1,5;2,5;3\n1,6;2,6;3\n", ';', 3, "commas stand in decimals"},
        {"Date;Hour;Temp;DO\n01/05/2026;00:00;16,2;8,4\n01/05/2026;00:15;16,1;8,3\n", ';', 4,
         "decimal commas are as even as the semicolons"},
        {"a\tb\n1,5\t2,5\n", '\t', 2, "tabs"},
        {"a|b|c\n1|2|3\n", '|', 3, "bars"},
        {"Made by K7;;;\nTime,Temp,DO\n1,2,3\n4,5,6\n", ',', 3, "a title in another fashion"},
        {"a,b\n\"x;y;z\",1\n\"x;y;z\",2\n", ',', 2, "semicolons in quotes"},
        {"time temp\n1 2\n", 0, 0, "blanks are none"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct err err = ERR_INIT;
        struct sniff_text text;
        struct file file;
        struct ingest_bytes bytes = bytes_of(&file, rows[i].text);
        struct sniff_separator found;

        assert_done(sniff_text_head(mem, &bytes, &text, &err), &err);
        found = sniff_separator_find(mem, &text.lines);
        if (found.separator != rows[i].separator || found.cells != rows[i].cells)
            fail_msg("%s: '%c' %zu", rows[i].why, found.separator, found.cells);
        if (!rows[i].separator)
            assert_true(found.is_blank);
    }
}

static void a_line_in_front_tells_the_separator(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct err err = ERR_INIT;
    struct sniff_text text;
    struct file file;
    struct ingest_bytes bytes = bytes_of(&file, "sep=;\na;b\n");

    (void)state;
    assert_done(sniff_text_head(mem, &bytes, &text, &err), &err);
    assert_int_equal(text.told_separator, ';');
}

/* Of 100,000 rows the first ones, some of the rest and the last ones, in their order. */
static void a_long_file_is_sampled_to_its_end(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(sniff_sample_done) struct sniff_sample sample = sniff_sample_new(mem);
    enum { ROWS = 100000 };
    struct sniff_rows rows;

    (void)state;
    for (int32_t i = 0; i < ROWS; i++) {
        const struct sniff_cell cell = {.text = arena_printf(mem, "%d", i)};

        sniff_sample_add(&sample, i + 1, &cell, 1);
    }
    rows = sniff_sample_rows(&sample);
    assert_int_equal(sample.seen, ROWS);
    assert_in_range(rows.count, SNIFF_FIRST_ROWS + SNIFF_LAST_ROWS,
                    SNIFF_FIRST_ROWS + SNIFF_LATER_ROWS + 2 * SNIFF_LAST_ROWS);
    assert_int_equal(rows.items[SNIFF_FIRST_ROWS - 1].line, SNIFF_FIRST_ROWS);
    assert_int_equal(rows.items[rows.count - 1].line, ROWS);
    assert_int_equal(rows.items[rows.count - SNIFF_LAST_ROWS].line, ROWS - SNIFF_LAST_ROWS + 1);
    for (size_t i = 1; i < rows.count; i++) {
        assert_true(rows.items[i].line > rows.items[i - 1].line);
        assert_int_equal(rows.items[i].follows, rows.items[i].line == rows.items[i - 1].line + 1);
        assert_string_equal(rows.items[i].cells[0].text,
                            arena_printf(mem, "%d", rows.items[i].line - 1));
    }
    /* And spread evenly: no gap of more than a tenth of the file. */
    for (size_t i = 1; i < rows.count; i++)
        assert_true(rows.items[i].line - rows.items[i - 1].line < ROWS / 10);
}

/* However deep in the file: it may be a header with other columns. */
static void a_row_of_words_is_kept_wherever_it_stands(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(sniff_sample_done) struct sniff_sample sample = sniff_sample_new(mem);
    enum { ROWS = 50000, AT = 31234 };
    struct sniff_rows rows;
    size_t found = 0;

    (void)state;
    for (int32_t i = 0; i < ROWS; i++) {
        const struct sniff_cell words[] = {{.text = "Time"}, {.text = "pH"}};
        const struct sniff_cell numbers[] = {{.text = "2026-05-01"}, {.text = "8.1"}};

        sniff_sample_add(&sample, i + 1, i == AT ? words : numbers, 2);
    }
    rows = sniff_sample_rows(&sample);
    for (size_t i = 1; i < rows.count; i++) {
        assert_true(rows.items[i].line > rows.items[i - 1].line);
        found += rows.items[i].line == AT + 1;
    }
    assert_int_equal(found, 1);
}

static void a_cell_is_kept_in_part_and_never_cut_inside_a_letter(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(sniff_sample_done) struct sniff_sample sample = sniff_sample_new(mem);
    char text[SNIFF_CELL_MOST + 3];
    const struct sniff_cell cell = {.text = text};
    struct sniff_rows rows;

    (void)state;
    memset(text, 'x', sizeof(text));
    memcpy(text + SNIFF_CELL_MOST - 1, "\xc3\xa9", 2);
    text[SNIFF_CELL_MOST + 1] = '\0';
    sniff_sample_add(&sample, 1, &cell, 1);
    rows = sniff_sample_rows(&sample);
    assert_int_equal(strlen(rows.items[0].cells[0].text), SNIFF_CELL_MOST - 1);
}

static void records_are_found_where_they_lie(void **state)
{
    static const struct {
        const char *text;
        const char *records; /* NULL: the document */
        int64_t count;
        const char *names;
    } rows[] = {
        {"[{\"at\": 1, \"t\": {\"a\": 2, \"b\": [3, 4]}}]", NULL, 1, "at t.a t.b.0 t.b.1 "},
        {"{\"data\": {\"items\": [{\"at\": 1}, {\"at\": 2}]}}", "data.items", 2, "at "},
        {"{\"at\": 1}\n{\"at\": 2, \"x\": null}\n", NULL, 2, "at x "},
        {"{\"a\": [{\"p\": 1}], \"b\": [{\"q\": 1}, {\"q\": 2}]}", "b", 2, "q "},
        {"{\"only\": 1}", NULL, 1, "only "},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct err err = ERR_INIT;
        struct buf names = buf_new(mem);
        struct sniff_json json;
        struct file file;
        struct ingest_bytes bytes = bytes_of(&file, rows[i].text);

        assert_done(sniff_json_rows(mem, &bytes, &json, &err), &err);
        for (size_t k = 0; k < json.rows.items[0].count; k++)
            buf_addf(&names, "%s ", json.rows.items[0].cells[k].text);
        assert_string_equal(names.data, rows[i].names);
        assert_int_equal(json.count, rows[i].count);
        assert_int_equal(json.rows.count, rows[i].count + 1);
        if (rows[i].records)
            assert_string_equal(json.records, rows[i].records);
        else
            assert_null(json.records);
    }
}

static void a_document_without_records_is_refused(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct err err = ERR_INIT;
    struct sniff_json json;
    struct file file;
    struct ingest_bytes bytes = bytes_of(&file, "[1, 2, 3]");

    (void)state;
    assert_fails(sniff_json_rows(mem, &bytes, &json, &err), ERR_INVALID, &err);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_kind_of_file_goes_by_its_content),
        cmocka_unit_test(a_picture_is_no_file_of_readings),
        cmocka_unit_test(the_separator_is_what_most_lines_agree_on),
        cmocka_unit_test(a_line_in_front_tells_the_separator),
        cmocka_unit_test(a_long_file_is_sampled_to_its_end),
        cmocka_unit_test(a_row_of_words_is_kept_wherever_it_stands),
        cmocka_unit_test(a_cell_is_kept_in_part_and_never_cut_inside_a_letter),
        cmocka_unit_test(records_are_found_where_they_lie),
        cmocka_unit_test(a_document_without_records_is_refused),
    };

    return cmocka_run_group_tests_name("ingest/sniff_text", tests, NULL, NULL);
}
