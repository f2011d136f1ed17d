/*
 * Workbooks as files: what is written is what a reader finds, and what can't be written leaves
 * nothing behind. Limits of a sheet: ECMA-376 part 1, 18.3.1; text that begins like a formula:
 * CWE-1236.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <dirent.h>
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/file.h"
#include "base/sheet.h"
#include "base/str.h"
#include "report/workbook.h"

static struct arena *mem;
static char *place;
static char *path;

static const double widths[] = {12, 30};
static const struct page_setup setup = {.widths = widths, .width_count = ARRAY_LEN(widths)};
/* 2026-04-02T00:00:00Z */
static const struct book_about about = {
    .title = "Invented", .author = "A. Person", .made_at = 1775088000 * SECOND_US};

static int new_place(void **state)
{
    char template[] = "/tmp/weirbook-book-XXXXXX";

    (void)state;
    mem = arena_new();
    place = arena_strdup(mem, mkdtemp(template));
    path = arena_printf(mem, "%s/a.xlsx", place);

    return place ? 0 : -1;
}

static int drop_place(void **state)
{
    struct err err = ERR_INIT;
    bool gone = file_remove_tree(place, &err);

    (void)state;
    arena_free(&mem);

    return gone ? 0 : -1;
}

static struct book *begin(struct page **page)
{
    struct err err = ERR_INIT;
    struct book *book = NULL;

    if (!book_new(mem, path, &about, &book, &err))
        fail_msg("%s", err.text);
    *page = book_page(book, "Data", &setup);

    return book;
}

static struct digest publish(struct book *book)
{
    struct err err = ERR_INIT;
    struct digest digest = {0};

    if (!book_publish(book, &digest, &err))
        fail_msg("%s", err.text);
    book_drop(&book);

    return digest;
}

static bool note_cell(void *context, const struct sheet_cell *cell, struct err *err)
{
    (void)err;
    buf_addf(context, "%u,%u %s%s%s%s\n", cell->row, cell->column,
             cell->kind == SHEET_TEXT ? "text " : "number ", cell->text, cell->formula ? " =" : "",
             cell->formula ? cell->formula : "");

    return true;
}

static const char *read_again(void)
{
    static const struct sheet_events events = {.cell = note_cell};
    struct buf buf = buf_new(mem);
    struct err err = ERR_INIT;

    if (!sheet_read(path, &events, &buf, NULL, &err))
        fail_msg("%s", err.text);

    return buf.data;
}

static size_t files_in_place(void)
{
    DIR *folder = opendir(place);
    size_t count = 0;

    while (readdir(folder))
        count++;
    closedir(folder);

    return count - 2; /* without . and .. */
}

static void a_text_that_begins_like_a_formula_is_a_text(void **state)
{
    static const struct {
        const char *text;
        const char *reads;
        const char *reason;
    } rows[] = {
        {"=1+1", "=1+1", "the plain case"},
        {"+1", "+1", "as some programs begin one"},
        {"-2+3", "-2+3", "the same"},
        {"@SUM(A1)", "@SUM(A1)", "an old way to call a function"},
        {"\t=1", "\t=1", "a tab in front"},
        {"\r=1", "\n=1", "a return in front, which XML can't hold"},
        {"{=1+1}", "{=1+1}", "an array formula's braces"},
        {"=HYPERLINK(\"http://a\")", "=HYPERLINK(\"http://a\")", "a link"},
        {"http://a.example", "http://a.example", "no link is made of it"},
        {"12", "12", "digits of a text stay a text"},
        {"_x0041_", "_x0041_", "looks like the format's own escape"},
        {"a\x01z", "a\x01z", "a control character"},
        {"\xFF!", "\xEF\xBF\xBD!", "no UTF-8"},
        {" both ends ", " both ends ", "blanks are kept"},
    };
    struct page *page;
    struct book *book = begin(&page);
    struct buf want = buf_new(mem);

    (void)state;
    for (uint32_t i = 0; i < ARRAY_LEN(rows); i++) {
        page_text(page, i, 0, STYLE_TEXT, rows[i].text);
        buf_addf(&want, "%u,1 text %s\n", i + 1, rows[i].reads);
    }
    publish(book);
    assert_string_equal(read_again(), want.data);
}

static void numbers_and_formulas_come_back_with_their_values(void **state)
{
    struct page *page;
    struct book *book = begin(&page);

    (void)state;
    page_number(page, 0, 0, STYLE_NUMBER, "0.00", 34.2);
    page_number(page, 1, 0, STYLE_NUMBER, NULL, -0.5);
    page_formula(page, 2, 0, STYLE_NUMBER, "0.0", "=SUM(A1:A2)", 33.7);
    page_formula_text(page, 3, 0, STYLE_TEXT, "=IF(A3>30,\"outside\",\"within\")", "outside");
    page_text(page, 4, 0, STYLE_TEXT, NULL);
    publish(book);
    assert_string_equal(read_again(), "1,1 number 34.2\n2,1 number -0.5\n"
                                      "3,1 number 33.7 =SUM(A1:A2)\n"
                                      "4,1 text outside =IF(A3>30,\"outside\",\"within\")\n");
}

static void the_same_cells_give_the_same_bytes_whatever_the_time_zone(void **state)
{
    struct digest digests[2];

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(digests); i++) {
        struct page *page;

        setenv("TZ", i == 0 ? "UTC" : "Pacific/Auckland", 1);

        struct book *book = begin(&page);

        page_text(page, 0, 0, STYLE_TITLE, "A page");
        page_number(page, 1, 1, STYLE_NUMBER, "0.0", 1.5);
        digests[i] = publish(book);
        sleep(i == 0 ? 1 : 0);
    }
    unsetenv("TZ");
    assert_true(digest_equal(&digests[0], &digests[1]));
}

static void the_digest_is_that_of_the_file(void **state)
{
    struct err err = ERR_INIT;
    struct page *page;
    struct digest digest = publish(begin(&page));
    struct digest again;
    char *bytes;
    size_t length;

    (void)state;
    assert_true(file_read(mem, path, 1 << 20, &bytes, &length, &err));
    again = sha256(bytes, length);
    assert_true(digest_equal(&digest, &again));
}

static void expect_refused(struct book *book, enum err_code code, const char *says)
{
    struct err err = ERR_INIT;
    struct digest digest;

    assert_false(book_publish(book, &digest, &err));
    if (err.code != code || !strstr(err.text, says))
        fail_msg("%s", err.text);
    book_drop(&book);
    assert_int_equal(files_in_place(), 0);
}

static void a_number_that_is_none_is_refused(void **state)
{
    static const struct {
        double value;
        const char *reason;
    } rows[] = {{NAN, "no number"}, {INFINITY, "infinite"}, {-INFINITY, "infinite, below"}};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct page *page;
        struct book *book = begin(&page);

        page_number(page, 3, 1, STYLE_NUMBER, NULL, rows[i].value);
        expect_refused(book, ERR_BUG, "sheet Data, row 4, column 2: a number that is none");
        book = begin(&page);
        page_formula(page, 0, 0, STYLE_NUMBER, NULL, "=A2", rows[i].value);
        expect_refused(book, ERR_BUG, "a number that is none");
    }
}

static void a_row_past_the_last_is_refused(void **state)
{
    struct page *page;
    struct book *book = begin(&page);

    (void)state;
    page_text(page, BOOK_ROWS_MOST, 0, STYLE_TEXT, "one too many");
    expect_refused(book, ERR_TOO_LARGE, "row 1048577 is more than a sheet holds");
}

static void a_name_that_no_sheet_can_have_is_refused(void **state)
{
    static const char *const names[] = {"a/b", "Data", "", "a name of thirty-two characters."};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(names); i++) {
        struct page *page;
        struct book *book = begin(&page);

        page_text(book_page(book, names[i], &setup), 0, 0, STYLE_TEXT, "x");
        expect_refused(book, ERR_BUG, "can't be the name of a sheet");
    }
}

static void a_text_longer_than_a_cell_is_cut_and_says_so(void **state)
{
    struct buf text = buf_new(mem);
    struct page *page;
    struct book *book = begin(&page);

    (void)state;
    for (int i = 0; i < BOOK_TEXT_MOST; i++)
        buf_add_text(&text, "\xC3\xB8");
    page_text(page, 0, 0, STYLE_TEXT, text.data);
    assert_int_equal(book_cut_texts(book), 0);
    buf_add_char(&text, '.');
    page_text(page, 1, 0, STYLE_TEXT, text.data);
    assert_int_equal(book_cut_texts(book), 1);
    publish(book);
    assert_true(str_ends(read_again(), "\xC3\xB8 ... (cut: a cell holds no more)\n"));
}

/* A file of at most 20 KB stands for a full disk: the write fails the same way, in the middle. */
static void a_full_disk_leaves_what_was_there_before(void **state)
{
    struct err err = ERR_INIT;
    struct rlimit old;
    struct page *page;
    char *bytes;
    size_t length;

    (void)state;
    assert_true(file_write(path, "before", 6, 0644, &err));

    struct book *book = begin(&page);

    for (uint32_t i = 0; i < 20000; i++)
        page_number(page, i, 0, STYLE_NUMBER, NULL, i * 1.37);

    signal(SIGXFSZ, SIG_IGN);
    getrlimit(RLIMIT_FSIZE, &old);

    struct rlimit small = {.rlim_cur = 20000, .rlim_max = old.rlim_max};
    struct digest digest;

    setrlimit(RLIMIT_FSIZE, &small);

    bool done = book_publish(book, &digest, &err);

    setrlimit(RLIMIT_FSIZE, &old);
    book_drop(&book);
    assert_false(done);
    assert_int_equal(err.code, ERR_UNAVAILABLE);
    assert_true(file_read(mem, path, 100, &bytes, &length, &err));
    assert_string_equal(bytes, "before");
    assert_int_equal(files_in_place(), 1);
}

static void a_folder_that_is_not_there_is_told_at_once(void **state)
{
    struct err err = ERR_INIT;
    struct book *book = NULL;

    (void)state;
    assert_false(book_new(mem, "/nowhere/at/all.xlsx", &about, &book, &err));
    assert_int_equal(err.code, ERR_NOT_FOUND);
    assert_null(book);
}

static void a_workbook_that_is_dropped_leaves_nothing(void **state)
{
    struct page *page;
    struct book *book = begin(&page);

    (void)state;
    page_text(page, 0, 0, STYLE_TEXT, "never filed");
    book_drop(&book);
    assert_int_equal(files_in_place(), 0);
}

static void a_format_shows_the_digits_reported_and_keeps_points_in_line(void **state)
{
    static const struct {
        char mark;
        int decimals;
        int pad_to;
        const char *format;
        const char *reason;
    } rows[] = {
        {'=', 2, 2, "0.00", "two decimals"},
        {'=', 0, 0, "0", "none"},
        {'<', 2, 2, "\"<\"0.00", "a less-than in front"},
        {'=', 1, 3, "0.0_0_0", "room for two more"},
        {'=', 0, 2, "0_._0_0", "room for the point as well"},
        {'=', -1, 0, "0", "tens have no decimals"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const char *format =
            book_number_format(mem, rows[i].mark, rows[i].decimals, rows[i].pad_to);

        if (!str_equal(format, rows[i].format))
            fail_msg("%s: %s", rows[i].reason, format);
    }
}

static void references_are_written_as_spreadsheets_write_them(void **state)
{
    struct page *page;
    struct book *book = begin(&page);

    (void)state;
    assert_string_equal(book_cell(mem, 4, 1), "$B$5");
    assert_string_equal(book_cell(mem, 0, 26), "$AA$1");
    assert_string_equal(book_range(mem, page, 4, 34, 1), "'Data'!$B$5:$B$35");
    assert_string_equal(book_range(mem, page, 4, 4, 1), "'Data'!$B$5");
    book_drop(&book);
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, new_place, drop_place)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_text_that_begins_like_a_formula_is_a_text),
        CASE(numbers_and_formulas_come_back_with_their_values),
        CASE(the_same_cells_give_the_same_bytes_whatever_the_time_zone),
        CASE(the_digest_is_that_of_the_file),
        CASE(a_number_that_is_none_is_refused),
        CASE(a_row_past_the_last_is_refused),
        CASE(a_name_that_no_sheet_can_have_is_refused),
        CASE(a_text_longer_than_a_cell_is_cut_and_says_so),
        CASE(a_full_disk_leaves_what_was_there_before),
        CASE(a_folder_that_is_not_there_is_told_at_once),
        CASE(a_workbook_that_is_dropped_leaves_nothing),
        CASE(a_format_shows_the_digits_reported_and_keeps_points_in_line),
        CASE(references_are_written_as_spreadsheets_write_them),
    };

    return cmocka_run_group_tests_name("report/workbook", tests, NULL, NULL);
}
