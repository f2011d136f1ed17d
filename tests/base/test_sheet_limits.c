/*
 * What a workbook's sender can make grow: at each limit of sheet.h and sheet_package.h one workbook
 * is read, and one past it is not. Kinds of attack: CWE-409 (data amplification), CWE-770
 * (allocation without limits).
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>
#include <zip.h>

#include "base/arena.h"
#include "base/buf.h"
#include "base/sheet.h"
#include "base/sheet_package.h"

#define MAIN "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
#define RELATIONS "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
#define PACKAGE "http://schemas.openxmlformats.org/package/2006/relationships"

/* Parts of a workbook of one sheet; NULL and 0 are the plain ones. */
struct book {
    const char *rows;
    const char *texts;
    const char *behind;  /* the sheet's last tag */
    size_t blanks;       /* so many more behind that */
    const char *sheets;  /* more of them */
    const char *related; /* more relationships of the workbook */
    int more_parts;
    bool stored; /* not compressed */
};

static struct arena *mem;
static char path[64];

static int new_place(void **state)
{
    (void)state;
    mem = arena_new();
    strcpy(path, "/tmp/weirbook-limits-XXXXXX");

    int fd = mkstemp(path);

    return fd < 0 ? -1 : close(fd);
}

static int drop_place(void **state)
{
    (void)state;
    arena_free(&mem);

    return unlink(path);
}

static void put(zip_t *zip, const char *name, const char *text, bool stored)
{
    zip_source_t *source = zip_source_buffer(zip, text, strlen(text), 0);
    zip_int64_t index = zip_file_add(zip, name, source, ZIP_FL_OVERWRITE);

    if (index < 0)
        fail_msg("%s: %s", name, zip_strerror(zip));
    if (stored)
        zip_set_file_compression(zip, (zip_uint64_t)index, ZIP_CM_STORE, 0);
}

static const char *text_of(const char *text)
{
    return text ? text : "";
}

/* Pieces of one text: no memory for what only repeats itself. */
static void put_sheet(zip_t *zip, const struct book *book)
{
    static char blanks[1 << 20];
    const char *text =
        arena_printf(mem, "<worksheet xmlns='" MAIN "'><sheetData>%s</sheetData></worksheet>%s",
                     text_of(book->rows), text_of(book->behind));
    size_t count = 1 + (book->blanks + sizeof(blanks) - 1) / sizeof(blanks);
    zip_buffer_fragment_t *pieces = ARENA_ARRAY(mem, zip_buffer_fragment_t, count);
    size_t left = book->blanks;

    memset(blanks, ' ', sizeof(blanks));
    pieces[0] = (zip_buffer_fragment_t){(zip_uint8_t *)arena_strdup(mem, text), strlen(text)};
    for (size_t i = 1; i < count; i++) {
        size_t length = left < sizeof(blanks) ? left : sizeof(blanks);

        pieces[i] = (zip_buffer_fragment_t){(zip_uint8_t *)blanks, length};
        left -= length;
    }

    zip_source_t *source = zip_source_buffer_fragment(zip, pieces, count, 0);
    zip_int64_t index = zip_file_add(zip, "xl/worksheets/sheet1.xml", source, ZIP_FL_OVERWRITE);

    if (index < 0)
        fail_msg("%s", zip_strerror(zip));
    if (book->stored)
        zip_set_file_compression(zip, (zip_uint64_t)index, ZIP_CM_STORE, 0);
}

static void make(const struct book *book)
{
    zip_t *zip = zip_open(path, ZIP_CREATE | ZIP_TRUNCATE, NULL);

    put(zip, "_rels/.rels",
        "<Relationships xmlns='" PACKAGE "'><Relationship Id='r1' Type='" RELATIONS
        "/officeDocument' Target='xl/workbook.xml'/></Relationships>",
        false);
    put(zip, "xl/workbook.xml",
        arena_printf(mem,
                     "<workbook xmlns='" MAIN "' xmlns:r='" RELATIONS
                     "'><sheets><sheet name='S' r:id='r1'/>%s</sheets></workbook>",
                     text_of(book->sheets)),
        true);
    put(zip, "xl/_rels/workbook.xml.rels",
        arena_printf(mem,
                     "<Relationships xmlns='" PACKAGE "'><Relationship Id='r1' Type='" RELATIONS
                     "/worksheet' Target='worksheets/sheet1.xml'/><Relationship Id='r2' "
                     "Type='" RELATIONS "/sharedStrings' Target='sharedStrings.xml'/>%s"
                     "</Relationships>",
                     text_of(book->related)),
        true);
    put_sheet(zip, book);
    put(zip, "xl/sharedStrings.xml",
        arena_printf(mem, "<sst xmlns='" MAIN "'>%s</sst>", text_of(book->texts)), true);
    for (int i = 0; i < book->more_parts; i++)
        put(zip, arena_printf(mem, "f%d", i), "", false);
    if (zip_close(zip) != 0)
        fail_msg("%s", zip_strerror(zip));
}

static bool no_cell(void *context, const struct sheet_cell *cell, struct err *err)
{
    (void)err;
    *(uint32_t *)context = cell->row;

    return true;
}

static struct err read_book(uint32_t *last_row)
{
    static const struct sheet_events events = {.cell = no_cell};
    struct err err = ERR_INIT;

    if (sheet_read(path, &events, last_row, NULL, &err))
        err.code = ERR_NONE;

    return err;
}

static void expect_read(const struct book *book)
{
    uint32_t row;

    make(book);

    struct err err = read_book(&row);

    if (err.code != ERR_NONE)
        fail_msg("%s", err.text);
}

static void expect_refused(const struct book *book, const char *says)
{
    uint32_t row;

    make(book);

    struct err err = read_book(&row);

    assert_int_equal(err.code, ERR_TOO_LARGE);
    if (!strstr(err.text, says))
        fail_msg("%s", err.text);
}

static char *filled(char letter, size_t length)
{
    char *text = arena_alloc(mem, length + 1);

    memset(text, letter, length);

    return text;
}

static char *repeated(const char *text, size_t times)
{
    struct buf buf = buf_new(mem);

    for (size_t i = 0; i < times; i++)
        buf_add_text(&buf, text);

    return buf.data;
}

static void the_last_row_and_column_of_a_sheet_are_read(void **state)
{
    uint32_t row = 0;

    (void)state;
    make(&(struct book){.rows = "<row r='1048576'><c r='XFD1048576'><v>1</v></c></row>"});
    assert_int_equal(read_book(&row).code, ERR_NONE);
    assert_int_equal(row, SHEET_ROWS_MOST);
}

static void a_text_is_only_so_long(void **state)
{
    (void)state;
    expect_read(&(struct book){
        .texts = arena_printf(mem, "<si><t>%s</t></si>", filled('x', SHEET_TEXT_MOST))});
    expect_refused(&(struct book){.texts = arena_printf(mem, "<si><t>%s</t></si>",
                                                        filled('x', SHEET_TEXT_MOST + 1))},
                   "a text longer than");
}

static void texts_together_are_only_so_long(void **state)
{
    const size_t beside = 1 + sizeof(char *); /* what keeping a text costs more than its bytes */
    const char *one =
        arena_printf(mem, "<si><t>%s</t></si>", filled('x', SHEET_TEXT_MOST - beside));
    const char *all = repeated(one, SHEET_SHARED_MOST / SHEET_TEXT_MOST);

    (void)state;
    expect_read(&(struct book){.texts = all});
    expect_refused(&(struct book){.texts = arena_printf(mem, "%s<si><t>x</t></si>", all)},
                   "more than 64 MB");
}

static void a_workbook_has_only_so_many_sheets(void **state)
{
    const char *sheets = repeated("<sheet name='T' r:id='r1'/>", SHEET_SHEETS_MOST - 1);

    (void)state;
    expect_read(&(struct book){.sheets = sheets});
    expect_refused(
        &(struct book){.sheets = arena_printf(mem, "%s<sheet name='T' r:id='r1'/>", sheets)},
        "1000 sheets");
}

static void a_workbook_has_only_so_many_relationships(void **state)
{
    static const char one[] = "<Relationship Id='x' Type='x' Target='x'/>";

    (void)state;
    expect_read(&(struct book){.related = repeated(one, 4094)});
    expect_refused(&(struct book){.related = repeated(one, 4095)}, "more than 4096 relations");
}

static void a_workbook_has_only_so_many_files(void **state)
{
    (void)state;
    expect_read(&(struct book){.more_parts = SHEET_ENTRIES_MOST - 5});
    expect_refused(&(struct book){.more_parts = SHEET_ENTRIES_MOST - 4}, "holds 2001 files");
}

static void elements_lie_only_so_deep(void **state)
{
    static const size_t around = 2; /* worksheet, sheetData */

    (void)state;
    for (size_t past = 0; past < 2; past++) {
        size_t depth = SHEET_DEPTH_MOST - around + past;
        const struct book book = {
            .rows = arena_printf(mem, "%s%s", repeated("<x>", depth), repeated("</x>", depth))};

        if (past)
            expect_refused(&book, "more than 64 elements");
        else
            expect_read(&book);
    }
}

/* A tag is held whole until it ends, whatever the size of the part that it is in. */
static void a_tag_is_only_so_long(void **state)
{
    struct rusage before;
    struct rusage after;

    (void)state;
    expect_read(&(struct book){
        .stored = true, .rows = arena_printf(mem, "<x y='%s'/>", filled('x', SHEET_TAG_MOST - 7))});
    getrusage(RUSAGE_SELF, &before);
    expect_refused(
        &(struct book){.stored = true,
                       .rows = arena_printf(mem, "<x y='%s'/>", filled('x', 2 * SHEET_TAG_MOST))},
        "a tag or comment longer than 1 MB");
    expect_refused(
        &(struct book){.stored = true,
                       .rows = arena_printf(mem, "<!--%s-->", filled('x', 2 * SHEET_TAG_MOST))},
        "a tag or comment longer than 1 MB");
    getrusage(RUSAGE_SELF, &after);
    assert_true(after.ru_utime.tv_sec - before.ru_utime.tv_sec < 10);
}

#define EMPTY_SHEET "<worksheet xmlns='" MAIN "'><sheetData></sheetData></worksheet>"

/* How many blanks, which cost nothing to read, make an empty sheet so many bytes long. */
static size_t blanks_to(size_t size)
{
    return size - strlen(EMPTY_SHEET);
}

static void a_part_is_only_so_large(void **state)
{
    (void)state;
    expect_read(&(struct book){.stored = true, .blanks = blanks_to(SHEET_PART_MOST)});
    expect_refused(&(struct book){.stored = true, .blanks = blanks_to(SHEET_PART_MOST + 1U)},
                   "larger than 256 MB");
}

/* One part read for five sheets: what is unpacked counts each time. */
static void all_that_is_unpacked_is_only_so_large(void **state)
{
    static const size_t others = 4096; /* the workbook's other parts are smaller together */
    const char *sheets = repeated("<sheet name='T' r:id='r1'/>", 4);

    (void)state;
    expect_read(&(struct book){
        .stored = true, .sheets = sheets, .blanks = blanks_to((SHEET_PARTS_MOST - others) / 5)});
    expect_refused(
        &(struct book){.stored = true, .sheets = sheets, .blanks = blanks_to(SHEET_PARTS_MOST / 5)},
        "the workbook is larger than 1024 MB");
}

static uint64_t stored_size(void)
{
    zip_t *zip = zip_open(path, ZIP_RDONLY, NULL);
    zip_stat_t stat;

    assert_int_equal(zip_stat(zip, "xl/worksheets/sheet1.xml", 0, &stat), 0);
    zip_discard(zip);

    return stat.comp_size;
}

/* Letters that don't repeat, which a zip makes little shorter, and blanks, which it does. */
static const char *mixed(size_t letters, size_t size)
{
    char *text = filled(' ', size);
    uint64_t seed = 88172645463325252U;

    memcpy(text, "<!--", 4);
    for (size_t i = 4; i < letters; i++) {
        seed ^= seed << 13;
        seed ^= seed >> 7;
        seed ^= seed << 17;
        text[i] = (char)('a' + seed % 26);
    }
    memcpy(text + letters, "-->", 3);

    return text;
}

static void a_part_grows_only_so_many_times(void **state)
{
    const size_t size = SHEET_RATIO_FROM + 100000;
    const uint64_t least =
        (size + strlen(EMPTY_SHEET)) / SHEET_RATIO_MOST; /* as stored, to be read */
    size_t refused = 2000;                               /* letters with which it is refused, and */
    size_t read = 8000;                                  /* with which it is read */
    uint64_t most_refused = 0;
    uint64_t least_read = UINT64_MAX;
    uint32_t row;

    (void)state;
    while (read - refused > 1) {
        size_t letters = (read + refused) / 2;

        make(&(struct book){.behind = mixed(letters, size)});

        uint64_t stored = stored_size();
        bool is_read = read_book(&row).code == ERR_NONE;

        assert_int_equal(is_read, stored >= least);
        if (is_read) {
            read = letters;
            least_read = stored;
        } else {
            refused = letters;
            most_refused = stored;
        }
    }
    assert_true(least_read - most_refused < 4); /* a letter is about half a byte */
}

static void a_small_part_may_grow_more(void **state)
{
    (void)state;
    expect_read(&(struct book){.blanks = blanks_to(SHEET_RATIO_FROM)});
    expect_refused(&(struct book){.blanks = blanks_to(SHEET_RATIO_FROM + 1)},
                   "more than 300 times");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, new_place, drop_place)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(the_last_row_and_column_of_a_sheet_are_read),
        CASE(a_text_is_only_so_long),
        CASE(texts_together_are_only_so_long),
        CASE(a_workbook_has_only_so_many_sheets),
        CASE(a_workbook_has_only_so_many_relationships),
        CASE(a_workbook_has_only_so_many_files),
        CASE(elements_lie_only_so_deep),
        CASE(a_tag_is_only_so_long),
        CASE(a_part_is_only_so_large),
        CASE(all_that_is_unpacked_is_only_so_large),
        CASE(a_part_grows_only_so_many_times),
        CASE(a_small_part_may_grow_more),
    };

    return cmocka_run_group_tests_name("base/sheet_limits", tests, NULL, NULL);
}
