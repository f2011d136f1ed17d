/*
 * Workbooks made in tests: each sheet is given as the XML of its rows.
 */
#ifndef TESTS_INGEST_WORKBOOK_FILE_H
#define TESTS_INGEST_WORKBOOK_FILE_H

#include <stdlib.h>
#include <unistd.h>
#include <zip.h>

#include "base/file.h"
#include "ingest/csv_file.h"

struct made_sheet {
    const char *name;
    const char *state; /* "visible", "hidden" */
    const char *rows;
};

struct made_book {
    const struct made_sheet *sheets;
    size_t count;
    bool from_1904;
    const char *extra_part; /* "xl/more.xml", or NULL */
};

#define BOOK_MAIN "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
#define BOOK_RELATIONS "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
#define BOOK_PACKAGE "http://schemas.openxmlformats.org/package/2006/relationships"

/* Cells of rows: style 1 is a date, 2 shows %, 3 "<", 4 thousands, 5 "ug/L", 6 nothing. */
#define N(place, digits) "<c r=\"" place "\"><v>" digits "</v></c>"
#define D(place, digits) "<c r=\"" place "\" s=\"1\"><v>" digits "</v></c>"
#define S(place, style, digits) "<c r=\"" place "\" s=\"" style "\"><v>" digits "</v></c>"
#define T(place, text) "<c r=\"" place "\" t=\"inlineStr\"><is><t>" text "</t></is></c>"
#define ROW(number, cells) "<row r=\"" number "\">" cells "</row>"
#define HIDDEN_ROW(number, cells) "<row r=\"" number "\" hidden=\"1\">" cells "</row>"

static inline void book_put(struct arena *mem, zip_t *zip, const char *name, const char *text)
{
    zip_source_t *source = zip_source_buffer(zip, arena_strdup(mem, text), strlen(text), 0);

    if (zip_file_add(zip, name, source, ZIP_FL_OVERWRITE) < 0)
        fail_msg("%s: %s", name, zip_strerror(zip));
}

static inline void book_parts(struct arena *mem, zip_t *zip, const struct made_book *book)
{
    struct buf sheets = buf_new(mem);
    struct buf relations = buf_new(mem);

    for (size_t i = 0; i < book->count; i++) {
        const struct made_sheet *sheet = &book->sheets[i];

        buf_addf(&sheets, "<sheet name=\"%s\" sheetId=\"%zu\" state=\"%s\" r:id=\"r%zu\"/>",
                 sheet->name, i + 1, sheet->state, i + 1);
        buf_addf(&relations,
                 "<Relationship Id=\"r%zu\" Type=\"" BOOK_RELATIONS
                 "/worksheet\" Target=\"worksheets/sheet%zu.xml\"/>",
                 i + 1, i + 1);
        book_put(mem, zip, arena_printf(mem, "xl/worksheets/sheet%zu.xml", i + 1),
                 arena_printf(mem,
                              "<worksheet xmlns=\"" BOOK_MAIN
                              "\"><sheetData>%s</sheetData></worksheet>",
                              sheet->rows));
    }
    book_put(mem, zip, "_rels/.rels",
             "<Relationships xmlns=\"" BOOK_PACKAGE
             "\"><Relationship Id=\"r\" Type=\"" BOOK_RELATIONS
             "/officeDocument\" Target=\"xl/workbook.xml\"/></Relationships>");
    book_put(mem, zip, "xl/workbook.xml",
             arena_printf(mem,
                          "<workbook xmlns=\"" BOOK_MAIN "\" xmlns:r=\"" BOOK_RELATIONS
                          "\"><workbookPr date1904=\"%d\"/><sheets>%s</sheets></workbook>",
                          book->from_1904, sheets.data));
    book_put(mem, zip, "xl/_rels/workbook.xml.rels",
             arena_printf(mem,
                          "<Relationships xmlns=\"" BOOK_PACKAGE
                          "\">%s<Relationship Id=\"s\" Type=\"" BOOK_RELATIONS
                          "/styles\" Target=\"styles.xml\"/></Relationships>",
                          relations.data));
    book_put(mem, zip, "xl/styles.xml",
             "<styleSheet xmlns=\"" BOOK_MAIN
             "\"><numFmts><numFmt numFmtId=\"164\" formatCode=\"&quot;&lt;&quot;0.0\"/>"
             "<numFmt numFmtId=\"165\" formatCode=\"0,\"/>"
             "<numFmt numFmtId=\"166\" formatCode=\"0.0&quot; ug/L&quot;\"/>"
             "<numFmt numFmtId=\"167\" formatCode=\";;;\"/></numFmts>"
             "<cellXfs><xf numFmtId=\"0\"/><xf numFmtId=\"22\"/><xf numFmtId=\"9\"/>"
             "<xf numFmtId=\"164\"/><xf numFmtId=\"165\"/><xf numFmtId=\"166\"/>"
             "<xf numFmtId=\"167\"/></cellXfs></styleSheet>");
    if (book->extra_part)
        book_put(mem, zip, book->extra_part, "");
}

/* Its bytes, in mem. */
static inline char *book_bytes(struct arena *mem, const struct made_book *book, size_t *count)
{
    char path[] = "/tmp/weirbook-book-XXXXXX";
    struct err err = ERR_INIT;
    char *bytes = NULL;
    int fd = mkstemp(path);

    if (fd < 0)
        fail_msg("%s", path);
    close(fd);

    zip_t *zip = zip_open(path, ZIP_CREATE | ZIP_TRUNCATE, NULL);

    book_parts(mem, zip, book);
    if (zip_close(zip) != 0)
        fail_msg("%s", zip_strerror(zip));
    assert_done(file_read(mem, path, 64U * 1024 * 1024, &bytes, count, &err), &err);
    unlink(path);

    return bytes;
}

static inline struct outcome read_book(struct arena *mem, const struct farm *farm,
                                       const struct source *source, const struct made_book *book)
{
    size_t count = 0;
    char *bytes = book_bytes(mem, book, &count);
    struct outcome outcome = read_bytes(mem, farm, source, bytes, count, 1000, 0);

    if (outcome.done)
        assert_int_equal(outcome.counts.values_in,
                         outcome.counts.drafts + outcome.counts.blank + outcome.counts.problems);

    return outcome;
}

#endif
