/*
 * Limits of reading text, documents and workbooks that test_hostile.c and test_csv.c don't hold: at
 * each one file is taken as it is, and of one past it only so much is lost as the limit says.
 */
#include "ingest/batch.h"
#include "ingest/csv.h"
#include "ingest/csv_order.h"
#include "ingest/csv_reader.h"
#include "ingest/grid.h"
#include "ingest/time_format.h"
#include "ingest/workbook_file.h"

static char *filled(struct arena *mem, char letter, size_t length)
{
    char *text = arena_alloc(mem, length + 1);

    memset(text, letter, length);

    return text;
}

/* --- rows --- */

struct rows_seen {
    size_t rows;
    enum csv_fault fault; /* of the first row */
};

static bool row_seen(void *context, const struct csv_row *row, struct err *err)
{
    struct rows_seen *seen = context;

    (void)err;
    if (seen->rows++ == 0)
        seen->fault = row->fault;

    return true;
}

/* The fault of a first row; the row after it must come all the same. */
static enum csv_fault first_fault(const char *text)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct rows_seen seen = {0};
    const struct csv_rules rules = {.separator = ',', .context = &seen, .row = row_seen};
    struct csv *csv = csv_new(mem, &rules);
    struct err err = ERR_INIT;

    assert_done(csv_feed(csv, text, strlen(text), &err), &err);
    assert_done(csv_end(csv, &err), &err);
    assert_true(seen.rows >= 2);

    return seen.fault;
}

/* Cells of 2000 bytes. */
static char *row_of_bytes(struct arena *mem, size_t length)
{
    char *text = filled(mem, 'x', length);

    for (size_t at = 2000; at < length; at += 2000)
        text[at] = ',';

    return arena_printf(mem, "%s\nnext\n", text);
}

static void a_row_is_only_so_long(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    /* Its line end counts. */
    assert_int_equal(first_fault(row_of_bytes(mem, CSV_ROW_MOST - 1)), CSV_GOOD);
    assert_int_equal(first_fault(row_of_bytes(mem, CSV_ROW_MOST)), CSV_ROW_LONG);
}

static void a_quoted_cell_has_only_so_many_lines(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    char *lines = filled(mem, '\n', CSV_QUOTED_LINES_MOST);

    (void)state;
    assert_int_equal(first_fault(arena_printf(mem, "\"%s\"\nnext\n", lines)), CSV_GOOD);
    assert_int_equal(first_fault(arena_printf(mem, "\"%s\n\"\nnext\n", lines)), CSV_QUOTE_OPEN);
}

/* --- labels, words and series of a long file --- */

static struct source with_labels(void)
{
    struct source source = laboratory();

    source.sample_header = "Sample";
    source.method_header = "Method";

    return source;
}

#define LABEL_HEADER "Site,Date,Hour,Test,Result,Unit,Sample,Method\n"
#define LABEL_ROW "Site A,01/05/2026,9:00,TSS,5,mg/L,"

static void a_label_is_only_so_long(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = with_labels();
    const char *label = filled(mem, 's', LABEL_MOST);
    struct outcome outcome = read_text(
        mem, *state, &source,
        arena_printf(mem, LABEL_HEADER LABEL_ROW "%s,m\n" LABEL_ROW "s%s,m\n", label, label));

    assert_int_equal(outcome.draft_count, 1);
    assert_string_equal(outcome.problems.data, "row-shape 3:7;");
}

/* Words that are no longer remembered are looked up again, and say the same. */
static void a_file_may_have_more_words_than_are_remembered(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = laboratory();
    struct buf text = buf_new(mem);

    buf_add_text(&text, LAB_HEADER);
    for (int i = 0; i < WORDS_MOST + 5; i++)
        buf_addf(&text, "Site %d,01/05/2026,9:00,TSS,5,mg/L\n", i);
    buf_add_text(&text, "Site A,01/05/2026,9:00,TSS,5,mg/L\n");

    struct outcome outcome = read_text(mem, *state, &source, text.data);

    assert_int_equal(outcome.problem_count, WORDS_MOST + 5);
    assert_int_equal(outcome.draft_count, 1);
}

static void a_file_has_only_so_many_series(void **state)
{
    for (int past = 0; past < 2; past++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct source source = with_labels();
        struct buf text = buf_new(mem);

        buf_add_text(&text, LABEL_HEADER);
        for (int i = 0; i < SERIES_MOST + past; i++)
            buf_addf(&text, LABEL_ROW ",m%d\n", i);

        struct outcome outcome = read_bytes(mem, *state, &source, text.data, text.len, 65536, 0);

        assert_int_equal(outcome.done, past == 0);
        assert_int_equal(outcome.err.code, past ? ERR_TOO_LARGE : ERR_NONE);
    }
}

/* --- batches --- */

struct batches_seen {
    size_t largest;
    size_t all;
};

static bool batch_seen(void *context, const struct draft *drafts, size_t count, struct err *err)
{
    struct batches_seen *seen = context;

    (void)drafts;
    (void)err;
    seen->largest = count > seen->largest ? count : seen->largest;
    seen->all += count;

    return true;
}

static bool any_series(void *context, const struct draft_series *series, struct err *err)
{
    (void)context;
    (void)series;
    (void)err;

    return true;
}

enum { BATCH_ROWS = 3 * DRAFT_BATCH_MOST };

/* Rows whose samples have names of so many letters. */
static struct batches_seen batches_of(const struct farm *farm, size_t letters)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const char *const stations[] = {"outlet"};
    static const struct parameter_list no_own_parameters;
    struct source source = with_labels();
    struct buf text = buf_new(mem);
    struct batches_seen seen = {0};
    struct ingest_counts counts;
    struct err err = ERR_INIT;

    buf_add_text(&text, LABEL_HEADER);
    for (int i = 0; i < BATCH_ROWS; i++)
        buf_addf(&text, LABEL_ROW "%0*d,m\n", (int)letters, i);

    struct file file = {text.data, text.len, 65536};
    const struct ingest_world world = {.stations = stations,
                                       .station_count = 1,
                                       .parameters = &no_own_parameters,
                                       .units = farm->units,
                                       .zone = farm->zone,
                                       .received_at = INT64_MAX / 4};
    const struct ingest_bytes from = {&file, file_read_piece};
    const struct ingest_sink sink = {.context = &seen, .drafts = batch_seen, .series = any_series};

    assert_done(source_read(&source, &world, &from, &sink, &counts, &err), &err);

    return seen;
}

static void long_texts_make_a_batch_shorter_and_lose_nothing(void **state)
{
    struct batches_seen plain = batches_of(*state, 8);
    struct batches_seen heavy = batches_of(*state, 2 * BATCH_TEXT_MOST / DRAFT_BATCH_MOST / 5);
    struct batches_seen fullest = batches_of(*state, LABEL_MOST);

    assert_int_equal(plain.largest, DRAFT_BATCH_MOST);
    assert_int_equal(plain.all, BATCH_ROWS);
    assert_int_equal(heavy.all, BATCH_ROWS);
    assert_int_equal(fullest.all, BATCH_ROWS);
    assert_true(fullest.largest <= plain.largest);
}

/* --- the hour that comes twice --- */

/* Rows of a second each in the hour that came twice in New Zealand on 5 April 2026. */
static struct outcome hour_of_rows(struct arena *mem, const struct farm *farm, int rows)
{
    struct source source = logger();
    struct buf text = buf_new(mem);

    source.clock = CLOCK_LOCAL;
    source.time_format = "YYYY-MM-DD hh:mm:ss";
    buf_add_text(&text, LOGGER_HEADER "2026-04-05 01:59:59,1,\n");
    for (int pass = 0; pass < 2; pass++)
        for (int i = 0; i < rows / 2; i++)
            buf_addf(&text, "2026-04-05 02:%02d:%02d.%03d,1,\n", i / 600, i / 10 % 60,
                     i % 10 * 100);
    if (rows % 2)
        buf_add_text(&text, "2026-04-05 02:59:59,1,\n");
    buf_add_text(&text, "2026-04-05 03:00:00,1,\n");

    return read_text(mem, farm, &source, text.data);
}

static void only_so_many_rows_wait_for_an_hour_to_end(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct outcome outcome = hour_of_rows(mem, *state, ORDER_ROWS_MOST);

    assert_int_equal(outcome.draft_count, ORDER_ROWS_MOST + 2);
    outcome = hour_of_rows(mem, *state, ORDER_ROWS_MOST + 1);
    assert_int_equal(outcome.draft_count, 2);
    assert_int_equal(outcome.problem_count, ORDER_ROWS_MOST + 1);
}

struct placed {
    size_t known;
    size_t unknown;
};

static bool place_row(void *context, const struct csv_row *row, instant at, struct err *err)
{
    struct placed *placed = context;

    (void)row;
    (void)err;
    *(at == INSTANT_NONE ? &placed->unknown : &placed->known) += 1;

    return true;
}

#define MINUTE INT64_C(60000000)

/* Two passes of one row for each sequence, a step before and one behind. */
static struct placed passes_of(size_t sequences, const char *text)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct placed placed = {0};
    struct csv_order *order = csv_order_new(mem, &placed, place_row);
    const struct csv_cell cell = {.text = text, .length = (uint32_t)strlen(text)};
    const struct csv_row row = {.line = 1, .cells = &cell, .count = 1, .begin = text};
    const instant two[2] = {60 * MINUTE, 120 * MINUTE};
    struct err err = ERR_INIT;

    for (size_t i = 0; i < sequences; i++) {
        const char *key = arena_printf(mem, "%zu", i);

        assert_done(csv_order_step(order, key, 30 * MINUTE, &err), &err);
        for (int pass = 0; pass < 2; pass++)
            assert_done(csv_order_wait(order, key, &row, two, &err), &err);
        assert_done(csv_order_step(order, key, 200 * MINUTE, &err), &err);
    }
    assert_done(csv_order_end(order, &err), &err);
    csv_order_done(order);

    return placed;
}

static void only_so_many_sequences_are_told_apart(void **state)
{
    struct placed placed = passes_of(ORDER_SEQUENCES_MOST, "x");

    (void)state;
    assert_int_equal(placed.known, 2 * ORDER_SEQUENCES_MOST);
    assert_int_equal(placed.unknown, 0);
    placed = passes_of(ORDER_SEQUENCES_MOST + 1, "x");
    assert_int_equal(placed.known, 2 * ORDER_SEQUENCES_MOST);
    assert_int_equal(placed.unknown, 2);
}

static void only_so_many_bytes_wait_for_an_hour_to_end(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const size_t rows = ORDER_BYTES_MOST / (CSV_CELL_MOST - 1) + 1;
    const char *text = filled(mem, 'x', CSV_CELL_MOST - 1);

    (void)state;
    for (size_t past = 0; past < 2; past++) {
        struct placed placed = {0};
        struct csv_order *order = csv_order_new(mem, &placed, place_row);
        const struct csv_cell cell = {.text = text, .length = CSV_CELL_MOST - 1};
        const struct csv_row row = {
            .line = 1, .cells = &cell, .count = 1, .begin = text, .length = CSV_CELL_MOST - 1};
        struct err err = ERR_INIT;

        for (size_t i = 0; i < rows / (past ? 1 : 4); i++) {
            const instant two[2] = {(instant)i * 1000, 60 * MINUTE + (instant)i * 1000};

            assert_done(csv_order_wait(order, "one", &row, two, &err), &err);
        }
        assert_int_equal(placed.unknown > 0, past);
        csv_order_done(order);
    }
}

/* --- formats and headers --- */

static void a_time_format_has_only_so_many_parts(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const char date[] = "YYYY-MM-DD"; /* five parts */
    struct time_format format;
    struct err err = ERR_INIT;

    (void)state;
    assert_done(time_format_compile(
                    arena_printf(mem, "%s%s", date, filled(mem, '-', TIME_FORMAT_PARTS_MOST - 5)),
                    &format, &err),
                &err);
    assert_false(time_format_compile(
        arena_printf(mem, "%s%s", date, filled(mem, '-', TIME_FORMAT_PARTS_MOST - 4)), &format,
        &err));
}

static void the_header_of_a_sheet_is_looked_for_only_so_far(void **state)
{
    for (int past = 0; past < 2; past++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        int row = HEADER_LINES_MOST + past;
        struct source source = logger();
        const struct made_sheet sheet = {
            "Data", "visible",
            arena_printf(mem,
                         "<row r=\"%d\"><c t=\"inlineStr\"><is><t>Time</t></is></c><c "
                         "t=\"inlineStr\"><is><t>Temp (degC)</t></is></c><c t=\"inlineStr\"><is>"
                         "<t>DO (mg/L)</t></is></c></row>",
                         row)};

        source.format = SOURCE_XLSX;
        source.header_line = 0;
        source.time_format = NULL;

        struct outcome outcome =
            read_book(mem, *state, &source, &(struct made_book){.sheets = &sheet, .count = 1});

        assert_int_equal(outcome.done, past == 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_row_is_only_so_long),
        cmocka_unit_test(a_quoted_cell_has_only_so_many_lines),
        cmocka_unit_test(a_label_is_only_so_long),
        cmocka_unit_test(a_file_may_have_more_words_than_are_remembered),
        cmocka_unit_test(a_file_has_only_so_many_series),
        cmocka_unit_test(long_texts_make_a_batch_shorter_and_lose_nothing),
        cmocka_unit_test(only_so_many_rows_wait_for_an_hour_to_end),
        cmocka_unit_test(only_so_many_sequences_are_told_apart),
        cmocka_unit_test(only_so_many_bytes_wait_for_an_hour_to_end),
        cmocka_unit_test(a_time_format_has_only_so_many_parts),
        cmocka_unit_test(the_header_of_a_sheet_is_looked_for_only_so_far),
    };

    return cmocka_run_group_tests_name("ingest/limits", tests, farm_open, farm_close);
}
