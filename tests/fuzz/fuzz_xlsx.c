/*
 * XLSX. The first two bytes choose a source and how many bytes come at a time. Then, either the
 * bytes of a file; or the parts of a workbook as text, each begun by a line `=== NAME`, of which
 * the zip file is made here: a zip's own checksums would keep a fuzzer out of what lies inside.
 * A part that is not given is the one of an invented workbook.
 */
#include <math.h>
#include <string.h>
#include <zip.h>

#include "base/buf.h"
#include "base/sheet.h"
#include "base/sheet_package.h"
#include "fuzz.h"
#include "ingest/csv.h"

#define MAIN "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
#define RELATIONS "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
#define PACKAGE "http://schemas.openxmlformats.org/package/2006/relationships"

enum { PARTS_MOST = 16 };

struct part {
    const char *name;
    const char *bytes;
    size_t size;
};

static const struct part usual[] = {
    {"_rels/.rels",
     "<Relationships xmlns=\"" PACKAGE "\"><Relationship Id=\"r\" Type=\"" RELATIONS
     "/officeDocument\" Target=\"xl/workbook.xml\"/></Relationships>",
     0},
    {"xl/workbook.xml",
     "<workbook xmlns=\"" MAIN "\" xmlns:r=\"" RELATIONS
     "\"><sheets><sheet name=\"Results\" sheetId=\"1\" r:id=\"r1\"/></sheets></workbook>",
     0},
    {"xl/_rels/workbook.xml.rels",
     "<Relationships xmlns=\"" PACKAGE "\"><Relationship Id=\"r1\" Type=\"" RELATIONS
     "/worksheet\" Target=\"worksheets/sheet1.xml\"/><Relationship Id=\"s\" Type=\"" RELATIONS
     "/styles\" Target=\"styles.xml\"/><Relationship Id=\"t\" Type=\"" RELATIONS
     "/sharedStrings\" Target=\"sharedStrings.xml\"/></Relationships>",
     0},
    {"xl/styles.xml",
     "<styleSheet xmlns=\"" MAIN
     "\"><cellXfs><xf numFmtId=\"0\"/><xf numFmtId=\"22\"/></cellXfs></styleSheet>",
     0},
    {"xl/sharedStrings.xml",
     "<sst xmlns=\"" MAIN "\"><si><t>Time</t></si><si><t>Temp (degC)</t></si></sst>", 0},
};

/* --- the zip file --- */

/* Parts as they stand in the input; names are cut out of `text`. */
static size_t parts_find(char *text, size_t size, struct part *parts)
{
    size_t count = 0;
    char *at = text;
    char *end = text + size;

    while (at && at + 4 < end && count < PARTS_MOST) {
        char *line_end = memchr(at, '\n', (size_t)(end - at));

        if (!line_end)
            break;
        *line_end = '\0';
        parts[count].name = at + 4;
        parts[count].bytes = line_end + 1;
        at = memmem(line_end + 1, (size_t)(end - line_end - 1), "\n=== ", 5);
        parts[count].size = (size_t)((at ? at : end) - parts[count].bytes);
        at = at ? at + 1 : NULL;
        count++;
    }

    return count;
}

static void part_put(zip_t *zip, const struct part *part)
{
    size_t size = part->size > 0 ? part->size : strlen(part->bytes);
    zip_source_t *source = zip_source_buffer(zip, part->bytes, size, 0);
    zip_int64_t index = zip_file_add(zip, part->name, source, ZIP_FL_OVERWRITE | ZIP_FL_ENC_UTF_8);

    if (index < 0)
        zip_source_free(source); /* a name that no zip can hold */
    else
        zip_set_file_compression(zip, (zip_uint64_t)index, ZIP_CM_STORE, 0);
}

static char *zip_make(struct arena *mem, const struct part *parts, size_t count, size_t *size)
{
    zip_error_t fault;
    zip_source_t *whole = zip_source_buffer_create(NULL, 0, 0, &fault);
    zip_t *zip = zip_open_from_source(whole, ZIP_CREATE | ZIP_TRUNCATE, &fault);
    zip_stat_t stat;

    HOLDS(whole && zip);
    zip_source_keep(whole);
    for (size_t i = 0; i < ARRAY_LEN(usual); i++)
        part_put(zip, &usual[i]);
    for (size_t i = 0; i < count; i++)
        part_put(zip, &parts[i]);
    HOLDS(zip_close(zip) == 0);
    HOLDS(zip_source_stat(whole, &stat) == 0 && zip_source_open(whole) == 0);

    char *bytes = arena_alloc(mem, stat.size);

    HOLDS(zip_source_read(whole, bytes, stat.size) == (zip_int64_t)stat.size);
    zip_source_close(whole);
    zip_source_free(whole);
    *size = stat.size;

    return bytes;
}

/* --- cell by cell --- */

struct cells_seen {
    size_t sheets;
    uint32_t row;
    uint32_t column;
    bool from_1904;
};

static bool sheet_seen(void *context, const struct sheet_info *sheet, struct err *err)
{
    struct cells_seen *seen = context;

    (void)err;
    HOLDS(sheet->index == seen->sheets && seen->sheets < SHEET_SHEETS_MOST);
    HOLDS(fuzz_is_text(sheet->name));
    seen->sheets++;
    seen->row = seen->column = 0;

    return true;
}

static bool cell_seen(void *context, const struct sheet_cell *cell, struct err *err)
{
    struct cells_seen *seen = context;
    struct civil civil;

    (void)err;
    HOLDS(cell->row >= 1 && cell->row <= SHEET_ROWS_MOST);
    HOLDS(cell->column >= 1 && cell->column <= SHEET_COLUMNS_MOST);
    HOLDS(cell->row > seen->row || (cell->row == seen->row && cell->column > seen->column));
    HOLDS(fuzz_is_text(cell->text) && strlen(cell->text) <= SHEET_TEXT_MOST);
    HOLDS(!cell->formula || fuzz_is_text(cell->formula));
    seen->row = cell->row;
    seen->column = cell->column;
    if (cell->kind == SHEET_NUMBER) {
        HOLDS(isfinite(cell->number) && strtod(cell->text, NULL) == cell->number);
        /* Of a date: what it shows is where it came from, to the millisecond. */
        if (sheet_serial(cell->number, false, &civil) && cell->number >= 61)
            HOLDS(fabs(sheet_serial_from_civil(&civil) - cell->number) < 1.0 / 86400000);
    }

    return true;
}

static void cells_check(const char *bytes, size_t size)
{
    const struct sheet_events events = {.sheet = sheet_seen, .cell = cell_seen};
    struct cells_seen seen = {0};
    struct err err = ERR_INIT;
    FILE *file = fmemopen(NULL, size + 1, "w+");

    HOLDS(file && fwrite(bytes, 1, size, file) == size);
    rewind(file);
    if (!sheet_read_file(file, &events, &seen, &seen.from_1904, &err))
        fuzz_error_check(&err);
    fclose(file);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size < 2)
        return 0;

    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct source *source = fuzz_source(data[0], SOURCE_XLSX);
    size_t piece = fuzz_piece(data[1] | 2);
    size_t count = size - 2;
    char *bytes = arena_copy(mem, data + 2, count);

    if (count > 4 && memcmp(bytes, "=== ", 4) == 0) {
        struct part parts[PARTS_MOST];
        size_t given = parts_find(bytes, count, parts);

        bytes = zip_make(mem, parts, given, &count);
    }

    const struct fuzz_extent extent = {
        .sheets = SHEET_SHEETS_MOST, .lines = SHEET_ROWS_MOST, .columns = CSV_COLUMNS_MOST};

    fuzz_read(source, (const uint8_t *)bytes, count, piece, &extent);
    cells_check(bytes, count);

    return 0;
}
