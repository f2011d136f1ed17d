/*
 * Workbooks by two programs that are not ours (fixtures/sheets: openpyxl and LibreOffice), and
 * packages made here to be refused. Formats: ECMA-376 part 1; the kinds of attack are those of
 * CWE-409 (data amplification) and CWE-776 (entity expansion).
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <zip.h>

#include "base/arena.h"
#include "base/buf.h"
#include "base/file.h"
#include "base/sheet.h"
#include "base/sheet_package.h"
#include "base/sheet_style.h"
#include "base/str.h"

#define MAIN "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
#define RELATIONS "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
#define PACKAGE "http://schemas.openxmlformats.org/package/2006/relationships"

static struct arena *mem;
static char path[64];

static int new_place(void **state)
{
    (void)state;
    mem = arena_new();
    strcpy(path, "/tmp/weirbook-sheet-XXXXXX");

    int fd = mkstemp(path);

    return fd < 0 ? -1 : close(fd);
}

static int drop_place(void **state)
{
    (void)state;
    arena_free(&mem);

    return unlink(path);
}

/* ---- a workbook as lines of text ---- */

static bool note_sheet(void *context, const struct sheet_info *sheet, struct err *err)
{
    (void)err;
    buf_addf(context, "[%s%s]\n", sheet->name, sheet->hidden ? ", hidden" : "");

    return true;
}

static bool note_cell(void *context, const struct sheet_cell *cell, struct err *err)
{
    static const char *const kinds[] = {
        [SHEET_NOTHING] = "nothing", [SHEET_NUMBER] = "number", [SHEET_TEXT] = "text",
        [SHEET_BOOLEAN] = "boolean", [SHEET_ERROR] = "error",   [SHEET_ISO_DATE] = "iso date"};

    (void)err;
    buf_addf(context, "%u,%u %s %s%s%s%s%s\n", cell->row, cell->column, kinds[cell->kind],
             cell->is_date ? "date " : "", cell->text, cell->formula ? " =" : "",
             cell->formula ? cell->formula : "", cell->row_hidden ? " (row hidden)" : "");

    return true;
}

static const struct sheet_events note = {.sheet = note_sheet, .cell = note_cell};

static const char *notes_of(const char *file)
{
    struct buf buf = buf_new(mem);
    struct err err = ERR_INIT;

    if (!sheet_read(file, &note, &buf, NULL, &err))
        fail_msg("%s", err.text);

    return buf.data;
}

static void a_workbook_of_another_program_is_read_cell_by_cell(void **state)
{
    (void)state;
    assert_string_equal(notes_of(SOURCE_DIR "/fixtures/sheets/laboratory.xlsx"),
                        "[Results]\n"
                        "1,1 text Invented results\n"
                        "2,1 text Point\n"
                        "2,2 text Taken\n"
                        "2,3 text Solids\n"
                        "2,4 text Unit\n"
                        "2,5 text Accredited\n"
                        "3,1 text Outlet\n"
                        "3,2 number date 46093.39583333334\n"
                        "3,3 number 34.2\n"
                        "3,4 text mg/L\n"
                        "3,5 boolean 1\n"
                        "4,1 text Outlet (row hidden)\n"
                        "4,2 number date 46100 (row hidden)\n"
                        "4,3 text <0.05 (row hidden)\n"
                        "4,4 text mg/L (row hidden)\n"
                        "4,5 boolean 0 (row hidden)\n"
                        "5,1 text Outlet\n"
                        "5,2 number date 0.2604166666666667\n"
                        "5,3 number 1e-07\n"
                        "5,4 text µg/L\n"
                        "6,3 nothing  =AVERAGE(C3:C5)\n"
                        "6,4 nothing  =1/0\n"
                        "7,2 number date 1.104166666666667\n"
                        "[Notes & more, hidden]\n"
                        "2,3 text =not a formula\n"
                        "4,1 text two\nlines A stays\n"
                        "[Empty]\n");
}

static void a_formula_brings_the_value_stored_beside_it(void **state)
{
    (void)state;

    const char *notes = notes_of(SOURCE_DIR "/fixtures/sheets/office/laboratory.xlsx");

    assert_non_null(strstr(notes, "\n6,3 number 17.10000005 =AVERAGE(C3:C5)\n"));
    assert_non_null(strstr(notes, "\n6,4 error #DIV/0! =1/0\n"));
    assert_non_null(strstr(notes, "[Notes & more, hidden]\n"));
    assert_non_null(strstr(notes, "\n2,3 text =not a formula\n"));
    assert_non_null(strstr(notes, "\n4,3 text <0.05 (row hidden)\n"));
}

static bool keep_number(void *context, const struct sheet_cell *cell, struct err *err)
{
    double *out = context;

    (void)err;
    *out = cell->number;

    return true;
}

static void a_workbook_that_counts_from_1904_says_so(void **state)
{
    static const struct sheet_events events = {.cell = keep_number};
    struct err err = ERR_INIT;
    struct civil civil;
    bool from_1904 = false;
    double number = 0;

    (void)state;
    assert_true(sheet_read(SOURCE_DIR "/fixtures/sheets/from-1904.xlsx", &events, &number,
                           &from_1904, &err));
    assert_true(from_1904);
    assert_true(sheet_serial(number, from_1904, &civil));
    assert_int_equal(civil.year, 2026);
    assert_int_equal(civil.month, 3);
    assert_int_equal(civil.day, 12);
    assert_int_equal(civil.hour, 9);
    assert_int_equal(civil.minute, 30);
}

/* Serial numbers of ECMA-376 part 1, 18.17.4 (its example and both counts from memory). */
static void a_date_number_shows_its_day_and_time(void **state)
{
    static const struct {
        double number;
        bool from_1904;
        const char *shows; /* NULL: no date */
        const char *reason;
    } rows[] = {
        {1, false, "1900-01-01 00:00:00.000", "the first day"},
        {59, false, "1900-02-28 00:00:00.000", "the day before the one that never was"},
        {60, false, NULL, "29 February 1900 is in no calendar"},
        {61, false, "1900-03-01 00:00:00.000", "the day after it"},
        {3687.4207639, false, "1910-02-03 10:05:54.001", "the standard's own example"},
        {2225.4207639, true, "1910-02-03 10:05:54.001", "the same, counted from 1904"},
        {0, true, "1904-01-01 00:00:00.000", "the first day of the other count"},
        {46093.39583333334, false, "2026-03-12 09:30:00.000", "half past nine, to the millisecond"},
        {46092.999999999996, false, "2026-03-12 00:00:00.000", "rounding carries into the day"},
        {0.25, false, "1899-12-31 06:00:00.000", "a time of day alone"},
        {-1, false, NULL, "below zero"},
        {2958466, false, NULL, "past the year 9999"},
        {NAN, false, NULL, "no number"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct civil at;
        bool is_date = sheet_serial(rows[i].number, rows[i].from_1904, &at);

        if (is_date != (rows[i].shows != NULL))
            fail_msg("%s", rows[i].reason);
        if (!is_date)
            continue;

        const char *shows =
            arena_printf(mem, "%04d-%02d-%02d %02d:%02d:%02d.%03d", at.year, at.month, at.day,
                         at.hour, at.minute, at.second, at.microsecond / 1000);

        if (!str_equal(shows, rows[i].shows))
            fail_msg("%s: %s, not %s", rows[i].reason, shows, rows[i].shows);
    }
}

static void a_date_number_and_its_wall_time_agree_both_ways(void **state)
{
    struct civil civil = {.year = 2026, .month = 3, .day = 12, .hour = 9, .minute = 30};

    (void)state;
    assert_true(fabs(sheet_serial_from_civil(&civil) - 46093.395833333336) < 1e-9);
}

static void a_format_is_a_date_by_its_letters_outside_quotes(void **state)
{
    static const struct {
        const char *code;
        bool is_date;
    } rows[] = {
        {"yyyy-mm-dd", true},   {"[h]:mm", true},           {"d mmm \"at\" hh", true},
        {"[$-809]dd/mm", true}, {"0.00\" mg/day\"", false}, {"[Red]0.0", false},
        {"General", false},     {"#,##0\\ \\d", false},     {"0_d", false},
        {"0.00E+00", false},    {"\"open", false},          {"[<1]0.00;0.0", false},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        if (sheet_format_is_date(rows[i].code) != rows[i].is_date)
            fail_msg("%s", rows[i].code);
    }
}

/* ---- packages made here ---- */

static void zip_put(zip_t *zip, const char *name, const char *text)
{
    zip_source_t *source = zip_source_buffer(zip, arena_strdup(mem, text), strlen(text), 0);

    if (zip_file_add(zip, name, source, ZIP_FL_OVERWRITE) < 0)
        fail_msg("%s: %s", name, zip_strerror(zip));
}

/* A workbook of one sheet, S, whose rows, shared texts and workbook part are given. */
static void make(const char *rows, const char *texts, const char *prolog)
{
    zip_t *zip = zip_open(path, ZIP_CREATE | ZIP_TRUNCATE, NULL);

    zip_put(zip, "_rels/.rels",
            "<Relationships xmlns='" PACKAGE "'><Relationship Id='r1' Type='" RELATIONS
            "/officeDocument' Target='xl/workbook.xml'/></Relationships>");
    zip_put(zip, "xl/workbook.xml",
            arena_printf(mem,
                         "%s<workbook xmlns='" MAIN "' xmlns:r='" RELATIONS
                         "'><sheets><sheet name='S' r:id='r1'/></sheets></workbook>",
                         prolog));
    zip_put(zip, "xl/_rels/workbook.xml.rels",
            "<Relationships xmlns='" PACKAGE "'><Relationship Id='r1' Type='" RELATIONS
            "/worksheet' Target='/xl/worksheets/sheet1.xml'/><Relationship Id='r2' Type='" RELATIONS
            "/sharedStrings' Target='sharedStrings.xml'/></Relationships>");
    zip_put(zip, "xl/worksheets/sheet1.xml",
            arena_printf(mem, "<worksheet xmlns='" MAIN "'><sheetData>%s</sheetData></worksheet>",
                         rows));
    zip_put(zip, "xl/sharedStrings.xml",
            arena_printf(mem, "<sst xmlns='" MAIN "'>%s</sst>", texts));
    if (zip_close(zip) != 0)
        fail_msg("%s", zip_strerror(zip));
}

static void cells_without_references_count_on(void **state)
{
    (void)state;
    make("<row><c><v>1</v></c><c r='D1'><v>2</v></c><c><v>3</v></c></row>"
         "<row r='5'><c t='inlineStr'><is><r><t>two </t></r><r><t>runs</t></r></is></c></row>"
         "<row><c s='9'/><c t='str'><f>\"a\"</f><v>a_x000A_b</v></c></row>",
         "", "");
    assert_string_equal(notes_of(path), "[S]\n1,1 number 1\n1,4 number 2\n1,5 number 3\n"
                                        "5,1 text two runs\n6,2 text a\nb =\"a\"\n");
}

static void a_reading_aid_is_no_part_of_the_text(void **state)
{
    (void)state;
    make("<row r='1'><c r='A1' t='s'><v>0</v></c></row>",
         "<si><t>\xE6\xB9\xBE</t><rPh sb='0' eb='1'><t>wan</t></rPh></si>", "");
    assert_string_equal(notes_of(path), "[S]\n1,1 text \xE6\xB9\xBE\n");
}

static void what_contradicts_itself_is_refused_with_its_place(void **state)
{
    static const struct {
        const char *rows;
        const char *says;
        const char *reason;
    } rows[] = {
        {"<row r='1'><c r='A1' t='s'><v>7</v></c></row>", "cell A1: it names text 7 of 1",
         "shared text out of range"},
        {"<row r='1'><c r='A2'><v>1</v></c></row>", "cell A2 is out of order",
         "a cell of another row"},
        {"<row r='1'><c r='B1'><v>1</v></c><c r='A1'><v>1</v></c></row>", "out of order",
         "a cell that goes back"},
        {"<row r='2'/><row r='1'/>", "row 1 after row 2", "a row that goes back"},
        {"<row r='1048577'/>", "row 1048577", "a row past the last"},
        {"<row r='1'><c r='XFE1'><v>1</v></c></row>", "XFE1", "a column past the last"},
        {"<row r='1'><c r='AAAAAAAAAA1'><v>1</v></c></row>", "is no cell", "no column at all"},
        {"<row r='1'><c r='A1'><v>1.2.3</v></c></row>", "\"1.2.3\" is no number", "no number"},
        {"<row r='1'><c r='A1'><v>NAN</v></c></row>", "\"NAN\" is no number", "no finite number"},
        {"<row r='1'><c r='A1'><v>1e999</v></c></row>", "is no number", "past every number"},
        {"<row r='1'><c r='A1' t='zz'><v>1</v></c></row>", "unknown type zz", "an unknown type"},
        {"<c r='A1'><v>1</v></c>", "outside any row", "a cell without a row"},
        {"<row r='1'><c r='A1'><v>1</v></row>", "part xl/worksheets/sheet1.xml: line 1",
         "broken XML"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct buf buf = buf_new(mem);
        struct err err = ERR_INIT;

        make(rows[i].rows, "<si><t>only</t></si>", "");
        if (sheet_read(path, &note, &buf, NULL, &err))
            fail_msg("%s: was read", rows[i].reason);
        if (err.code != ERR_INVALID || !strstr(err.text, rows[i].says))
            fail_msg("%s: %s", rows[i].reason, err.text);
    }
}

static void expect_refused(enum err_code code, const char *says)
{
    struct buf buf = buf_new(mem);
    struct err err = ERR_INIT;

    assert_false(sheet_read(path, &note, &buf, NULL, &err));
    if (err.code != code || !strstr(err.text, says))
        fail_msg("%s", err.text);
}

static void entities_and_outside_files_are_refused(void **state)
{
    (void)state;
    make("", "", "<!DOCTYPE w [<!ENTITY a 'aaaa'><!ENTITY b SYSTEM 'file:///etc/passwd'>]>");
    expect_refused(ERR_INVALID, "DOCTYPE");
}

static void a_small_file_that_unpacks_without_end_is_refused(void **state)
{
    struct buf rows = buf_new(mem);

    (void)state;
    for (size_t i = 0; i < 1000000; i++)
        buf_add_text(&rows, "<!----->");
    make(rows.data, "", "");
    expect_refused(ERR_TOO_LARGE, "more than 300 times");
}

static void a_text_past_the_limit_is_refused(void **state)
{
    struct buf text = buf_new(mem);

    (void)state;
    for (size_t i = 0; i <= SHEET_TEXT_MOST / 8; i++)
        buf_addf(&text, "%08zx", i * 2654435761U % 0xffffffffU);
    make("", arena_printf(mem, "<si><t>%s</t></si>", text.data), "");
    expect_refused(ERR_TOO_LARGE, "a text longer than");
}

static void more_files_than_a_workbook_needs_are_refused(void **state)
{
    zip_t *zip = zip_open(path, ZIP_CREATE | ZIP_TRUNCATE, NULL);

    (void)state;
    for (int i = 0; i <= SHEET_ENTRIES_MOST; i++)
        zip_put(zip, arena_printf(mem, "f%d", i), "");
    assert_int_equal(zip_close(zip), 0);
    expect_refused(ERR_TOO_LARGE, "2001 files");
}

static void what_is_no_workbook_is_refused_in_words(void **state)
{
    static const char old_office[] = "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1 and more";
    struct err err = ERR_INIT;
    struct buf buf = buf_new(mem);

    (void)state;
    assert_true(file_write(path, old_office, sizeof(old_office), 0600, &err));
    expect_refused(ERR_INVALID, "is not an XLSX workbook");
    assert_true(file_write(path, "", 0, 0600, &err));
    assert_false(sheet_read(path, &note, &buf, NULL, &err));
    assert_false(sheet_read("/nowhere/a.xlsx", &note, &buf, NULL, &err));
    assert_int_equal(err.code, ERR_NOT_FOUND);
    assert_false(sheet_read("/tmp", &note, &buf, NULL, &err));
    assert_int_equal(err.code, ERR_INVALID);
}

static void a_workbook_cut_short_anywhere_is_refused(void **state)
{
    struct err err = ERR_INIT;
    char *bytes;
    size_t length;

    (void)state;
    assert_true(file_read(mem, SOURCE_DIR "/fixtures/sheets/laboratory.xlsx", 1 << 20, &bytes,
                          &length, &err));
    for (size_t keep = 0; keep < length; keep += 97) {
        struct buf buf = buf_new(mem);

        assert_true(file_write(path, bytes, keep, 0600, &err));
        if (sheet_read(path, &note, &buf, NULL, &err))
            fail_msg("read although cut after %zu of %zu bytes", keep, length);
    }
}

static bool refuse_cell(void *context, const struct sheet_cell *cell, struct err *err)
{
    (void)context;
    (void)cell;

    return err_set(err, ERR_CONFLICT, "not wanted");
}

static void the_callers_own_error_ends_the_reading(void **state)
{
    static const struct sheet_events events = {.cell = refuse_cell};
    struct err err = ERR_INIT;

    (void)state;
    make("<row><c><v>1</v></c></row>", "", "");
    assert_false(sheet_read(path, &events, NULL, NULL, &err));
    assert_int_equal(err.code, ERR_CONFLICT);
    assert_non_null(strstr(err.text, "sheet S, cell A1: not wanted"));
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, new_place, drop_place)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_workbook_of_another_program_is_read_cell_by_cell),
        CASE(a_formula_brings_the_value_stored_beside_it),
        CASE(a_workbook_that_counts_from_1904_says_so),
        CASE(a_date_number_shows_its_day_and_time),
        CASE(a_date_number_and_its_wall_time_agree_both_ways),
        CASE(a_format_is_a_date_by_its_letters_outside_quotes),
        CASE(cells_without_references_count_on),
        CASE(a_reading_aid_is_no_part_of_the_text),
        CASE(what_contradicts_itself_is_refused_with_its_place),
        CASE(entities_and_outside_files_are_refused),
        CASE(a_small_file_that_unpacks_without_end_is_refused),
        CASE(a_text_past_the_limit_is_refused),
        CASE(more_files_than_a_workbook_needs_are_refused),
        CASE(what_is_no_workbook_is_refused_in_words),
        CASE(a_workbook_cut_short_anywhere_is_refused),
        CASE(the_callers_own_error_ends_the_reading),
    };

    return cmocka_run_group_tests_name("base/sheet", tests, NULL, NULL);
}
