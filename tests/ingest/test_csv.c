#include <csv.h>
#include <stdlib.h>
#include <string.h>

#include "base/buf.h"
#include "harness/cmocka.h"
#include "ingest/csv.h"

/* Rows as text: "1:a|b;" with the line in front, and faults as "2!quote-place 2:5;". */
static bool row_write(void *context, const struct csv_row *row, struct err *err)
{
    struct buf *out = context;

    (void)err;
    if (row->fault != CSV_GOOD) {
        buf_addf(out, "%d!%d@%d:%d;", row->line, (int)row->fault, row->fault_line,
                 row->fault_place);
        return true;
    }
    buf_addf(out, "%d:", row->line);
    for (size_t i = 0; i < row->count; i++) {
        assert_int_equal(strlen(row->cells[i].text), row->cells[i].length);
        buf_addf(out, "%s%s%s", i ? "|" : "", row->cells[i].quoted ? "'" : "", row->cells[i].text);
    }
    if (row->has_bad_byte)
        buf_addf(out, "{%02X@%lld in %zu}", row->bad_byte, (long long)row->bad_offset,
                 row->bad_cell);
    buf_add_char(out, ';');

    return true;
}

/* Push the text in pieces and give back the rows as text. */
static char *rows_of(struct arena *mem, const char *text, size_t piece)
{
    static const char *const comments[] = {"#", "//"};
    struct buf out = buf_new(mem);
    const struct csv_rules rules = {
        .separator = ',',
        .comment_starts = comments,
        .comment_start_count = ARRAY_LEN(comments),
        .context = &out,
        .row = row_write,
    };
    struct csv *csv = csv_new(mem, &rules);
    size_t count = strlen(text);
    struct err err = ERR_INIT;

    for (size_t at = 0; at < count; at += piece)
        assert_true(csv_feed(csv, text + at, count - at < piece ? count - at : piece, &err));
    assert_true(csv_end(csv, &err));

    return out.data;
}

static const struct {
    const char *text;
    const char *rows;
    const char *why;
} row_rows[] = {
    {"a,b\r\nc,d\r\n", "1:a|b;2:c|d;", "RFC 4180 section 2 rule 1"},
    {"a,b\nc,d", "1:a|b;2:c|d;", "rule 2: the last line end may be missing"},
    {"a\rb\r", "1:a;2:b;", "CR alone"},
    {"a\r\n\nb\n\r\nc", "1:a;3:b;5:c;", "empty lines are no rows and are counted as lines"},
    {"a\n  \t \nb", "1:a;3:b;", "nor are lines of blanks"},
    {"a\n,,\nb", "1:a;2:||;3:b;", "a row of empty cells is a row"},
    {"a,\n", "1:a|;", "a separator at the end opens one more cell"},
    {"a,", "1:a|;", "also at the end of the text"},
    {" a b ,c ", "1: a b |c ;", "rule 4: blanks are part of a cell"},
    {"\"a\",\"b\"\n", "1:'a|'b;", "rule 5: quoted cells"},
    {"\"a\r\nb\",c\nd", "1:'a\r\nb|c;3:d;", "rule 6: line ends in quotes, lines go on counting"},
    {"\"a,b\"", "1:'a,b;", "a separator in quotes"},
    {"\"a\"\"b\"\"\",\"\"", "1:'a\"b\"|';", "rule 7: doubled quotes"},
    {"\"\"\"\"", "1:'\";", "one quote, quoted"},
    {"\"a\" ,b", "1:'a|b;", "blanks after a closing quote"},
    {"x, \"a,b\" ,c", "1:x|'a,b|c;", "and before an opening one"},
    {"5\" pipe,6\"\n7", "1:5\" pipe|6\";2:7;", "a quote inside a plain cell is a quote"},
    {"a,\"b\"c,d\ne,f", "1!2@1:6;2:e|f;", "text after a closing quote: two readings, so none"},
    {"a,\"b\nc,d\ne,f", "1!1@1:3;2:c|d;3:e|f;", "never closed: only its own line is lost"},
    {"a\nb,\"x\ny\"z\nc", "1:a;2!2@3:3;3:y\"z;4:c;", "the lines of a broken cell are rows again"},
    {"\"", "1!1@1:1;", "a quote and no more"},
    {"# no data, \"\na\n// nor this\nb#\n", "2:a;4:b#;", "comments, with a stray quote in one"},
    {"", "", "nothing"},
    {"\n\r\n", "", "line ends alone"},
};

static void rows_are_the_same_whole_and_byte_by_byte(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(row_rows); i++)
        for (size_t piece = 1; piece < 1000; piece = piece * 3 + 1) {
            CLEANUP(arena_free) struct arena *mem = arena_new();
            char *rows = rows_of(mem, row_rows[i].text, piece);

            if (strcmp(rows, row_rows[i].rows) != 0)
                fail_msg("%s: %s (pieces of %zu)", row_rows[i].why, rows, piece);
        }
}

static char *repeat(struct arena *mem, const char *part, size_t times)
{
    struct buf buf = buf_new(mem);

    for (size_t i = 0; i < times; i++)
        buf_add_text(&buf, part);

    return buf.data;
}

/* Around the limits: one under, one over, and the row after it. */
static void a_cell_row_or_column_over_its_limit_loses_only_its_line(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    char *cell = repeat(mem, "x", CSV_CELL_MOST + 1);
    char *commas = repeat(mem, ",", CSV_COLUMNS_MOST);
    char *lines = repeat(mem, "l\n", CSV_QUOTED_LINES_MOST + 1);
    char *long_row = repeat(mem, "123456789,", 100000);
    const struct {
        const char *text;
        const char *fault;
        const char *why;
    } rows[] = {
        {arena_printf(mem, "a,%s,b\nc", cell), "1!3@1:3;2:c;", "a cell over the limit"},
        {arena_printf(mem, "a,\"%s\",b\nc", cell), "1!3@1:3;2:c;", "the same in quotes"},
        {arena_printf(mem, "%s\nc", commas), "1!4@1:1001;2:c;", "one column too many"},
        {arena_printf(mem, "\"%s\"", lines), "1!1@1:1;", "too many lines in one cell"},
        {arena_printf(mem, "\"%s%s\"\nc", long_row, long_row), "1!3@1:1;2:c;", "a long open quote"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        for (size_t piece = 7; piece < 100000; piece *= 100) {
            char *got = rows_of(mem, rows[i].text, piece);

            if (strncmp(got, rows[i].fault, strlen(rows[i].fault)) != 0)
                fail_msg("%s: %.60s", rows[i].why, got);
        }

    struct buf under = buf_new(mem);

    buf_addf(&under, "1:%s;", cell + 1);
    assert_string_equal(rows_of(mem, cell + 1, 1000), under.data);
    assert_non_null(strstr(rows_of(mem, commas + 1, 1000), "1:|"));
}

static void a_line_of_two_gigabytes_costs_no_more_memory_than_a_row(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct buf out = buf_new(mem);
    const struct csv_rules rules = {.separator = ',', .context = &out, .row = row_write};
    struct csv *csv = csv_new(mem, &rules);
    char *part = repeat(mem, "1,", 32768);
    size_t held = arena_held(mem);
    struct err err = ERR_INIT;

    (void)state;
    assert_true(csv_feed(csv, "a,b\n", 4, &err));
    for (int i = 0; i < 32768; i++)
        assert_true(csv_feed(csv, part, 65536, &err));
    assert_true(csv_feed(csv, "\nc,d\n", 5, &err));
    assert_true(csv_end(csv, &err));
    assert_string_equal(out.data, "1:a|b;2!4@2:2001;3:c|d;");
    assert_true(arena_held(mem) - held < 4096);
}

static bool take_third_line(void *context, int32_t number, const char *text, size_t length,
                            enum csv_line_use *use, struct err *err)
{
    (void)err;
    buf_addf(context, "(%d %.*s)", number, (int)length, text);
    *use = number == 3 ? CSV_LINE_ROWS : CSV_LINE_SKIP;

    return true;
}

static void lines_before_the_header_are_shown_as_they_are(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct buf out = buf_new(mem);
    const struct csv_rules rules = {
        .separator = ';', .context = &out, .line = take_third_line, .row = row_write};
    struct csv *csv = csv_new(mem, &rules);
    struct err err = ERR_INIT;
    const char *text = "Station: \"one\r\n\r\na;b\r\n1;2\r\n";

    (void)state;
    assert_true(csv_feed(csv, text, strlen(text), &err));
    assert_true(csv_end(csv, &err));
    assert_string_equal(out.data, "(1 Station: \"one)(2 )(3 a;b)3:a|b;4:1|2;");
}

static void a_byte_that_is_no_text_is_told_with_its_row_and_cell(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct buf out = buf_new(mem);
    const struct csv_rules rules = {.separator = ',', .context = &out, .row = row_write};
    struct csv *csv = csv_new(mem, &rules);
    struct err err = ERR_INIT;

    (void)state;
    assert_true(csv_feed(csv, "a,b\nc,x", 7, &err));
    assert_true(csv_feed_bad_byte(csv, 0xb0, 7, &err));
    assert_true(csv_feed_bad_byte(csv, 0xb1, 8, &err));
    assert_true(csv_feed(csv, ",y\nd", 4, &err));
    assert_true(csv_end(csv, &err));
    assert_string_equal(out.data, "1:a|b;2:c|x\\xB0\\xB1|y{B0@7 in 1};3:d;");
}

static bool row_keep_text(void *context, const struct csv_row *row, struct err *err)
{
    struct buf *out = context;

    (void)err;
    buf_addf(out, "<%s>", csv_row_text(out->mem, row, 12));

    return true;
}

static void the_text_of_a_row_is_as_it_stands_in_the_file_and_cut_between_characters(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct buf out = buf_new(mem);
    const struct csv_rules rules = {.separator = ',', .context = &out, .row = row_keep_text};
    struct csv *csv = csv_new(mem, &rules);
    struct err err = ERR_INIT;
    const char *text = "a, \"b\"\"c\" \r\n12345678901\xc2\xb0"
                       "C\nx,\"y\nz,3\n";

    (void)state;
    assert_true(csv_feed(csv, text, strlen(text), &err));
    assert_true(csv_end(csv, &err));
    assert_string_equal(out.data, "<a, \"b\"\"c\" ><12345678901><x,\"y><z,3>");
}

/* --- against libcsv 3.0.3, a parser by others --- */

static void libcsv_cell(void *text, size_t length, void *context)
{
    buf_addf(context, "|%.*s", (int)length, text ? (const char *)text : "");
}

static void libcsv_row(int end, void *context)
{
    (void)end;
    buf_add_char(context, ';');
}

static bool row_write_trimmed(void *context, const struct csv_row *row, struct err *err)
{
    struct buf *out = context;

    (void)err;
    for (size_t i = 0; i < row->count; i++) {
        const char *text = row->cells[i].text;
        size_t length = row->cells[i].length;

        if (!row->cells[i].quoted) {
            while (length > 0 && *text == ' ') {
                text++;
                length--;
            }
            while (length > 0 && text[length - 1] == ' ')
                length--;
        }
        buf_addf(out, "|%.*s", (int)length, text);
    }
    buf_addf(out, row->fault ? "fault;" : ";");

    return true;
}

static uint32_t draw(uint64_t *seed)
{
    *seed = *seed * 6364136223846793005u + 1442695040888963407u;

    return (uint32_t)(*seed >> 33);
}

/* Text that libcsv takes in its strict mode must give the same cells here. */
static void generated_texts_are_read_as_libcsv_reads_them(void **state)
{
    static const char letters[] = "ab1 ,,,\"\"\"\n\n\r ";
    uint64_t seed = 20260101;
    size_t compared = 0;

    (void)state;
    for (int round = 0; round < 8000; round++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct buf theirs = buf_new(mem);
        struct buf ours = buf_new(mem);
        const struct csv_rules rules = {
            .separator = ',', .context = &ours, .row = row_write_trimmed};
        struct csv *csv = NULL;
        struct csv_parser parser;
        struct err err = ERR_INIT;
        char text[32];
        size_t length = draw(&seed) % sizeof(text);

        for (size_t i = 0; i < length; i++)
            text[i] = letters[draw(&seed) % (sizeof(letters) - 1)];
        assert_int_equal(csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI), 0);

        bool strict =
            csv_parse(&parser, text, length, libcsv_cell, libcsv_row, &theirs) == length &&
            csv_fini(&parser, libcsv_cell, libcsv_row, &theirs) == 0;

        csv_free(&parser);
        if (!strict)
            continue;
        compared++;
        csv = csv_new(mem, &rules);
        assert_true(csv_feed(csv, text, length, &err) && csv_end(csv, &err));
        if (strcmp(ours.data, theirs.data) != 0)
            fail_msg("[%.*s]: ours %s theirs %s", (int)length, text, ours.data, theirs.data);
    }
    assert_true(compared > 1500);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rows_are_the_same_whole_and_byte_by_byte),
        cmocka_unit_test(a_cell_row_or_column_over_its_limit_loses_only_its_line),
        cmocka_unit_test(a_line_of_two_gigabytes_costs_no_more_memory_than_a_row),
        cmocka_unit_test(lines_before_the_header_are_shown_as_they_are),
        cmocka_unit_test(a_byte_that_is_no_text_is_told_with_its_row_and_cell),
        cmocka_unit_test(the_text_of_a_row_is_as_it_stands_in_the_file_and_cut_between_characters),
        cmocka_unit_test(generated_texts_are_read_as_libcsv_reads_them),
    };

    return cmocka_run_group_tests_name("ingest/csv", tests, NULL, NULL);
}
