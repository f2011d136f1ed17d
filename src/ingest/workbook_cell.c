#include "ingest/workbook_cell.h"

#include <errno.h>
#include <string.h>

#include "base/file.h"
#include "base/sheet_format.h"
#include "ingest/workbook.h"

enum { PIECE = 65536, DIGITS_MOST = 15 };

/* With the file's own decimal mark. */
static const char *mark_put(char *text, char decimal)
{
    for (char *at = text; *at; at++)
        if (*at == '.')
            *at = decimal;

    return text;
}

/* Digits of a number as a spreadsheet shows them. */
static const char *number_text(struct arena *mem, const struct sheet_cell *cell, char decimal)
{
    size_t digits = 0;

    for (const char *at = cell->text; *at && *at != 'e' && *at != 'E'; at++)
        digits += *at >= '0' && *at <= '9' && (digits > 0 || *at != '0');

    return mark_put(digits > DIGITS_MOST ? arena_printf(mem, "%.*g", DIGITS_MOST, cell->number)
                                         : arena_strdup(mem, cell->text),
                    decimal);
}

static struct csv_cell number_cell(struct arena *mem, const struct sheet_cell *cell, char decimal)
{
    const struct sheet_shown shown = sheet_format_show(mem, cell->format, cell->number);
    const char *text = shown.show == SHEET_SHOW_TEXT
                           ? mark_put(arena_strdup(mem, shown.text), decimal)
                           : number_text(mem, cell, decimal);

    return (struct csv_cell){.text = text, .shown_unit = shown.unit, .shown_other = shown.why};
}

/* A date, a time of day, or NULL where the number is neither. */
static const char *date_text(struct arena *mem, double number, bool counts_from_1904)
{
    struct civil civil;

    if (!sheet_serial(number, counts_from_1904, &civil))
        return NULL;

    const char *fraction =
        civil.microsecond ? arena_printf(mem, ".%03d", civil.microsecond / 1000) : "";
    const char *hour =
        arena_printf(mem, "%02d:%02d:%02d%s", civil.hour, civil.minute, civil.second, fraction);

    return number < 1
               ? hour
               : arena_printf(mem, "%04d-%02d-%02d %s", civil.year, civil.month, civil.day, hour);
}

static const char *iso_text(struct arena *mem, const char *stored)
{
    char *text = arena_strdup(mem, stored);
    char *letter = strchr(text, 'T');

    if (letter)
        *letter = ' ';

    return text;
}

static struct csv_cell cell_of(struct arena *mem, const struct sheet_cell *cell,
                               bool counts_from_1904, char decimal)
{
    const char *date = NULL;

    switch (cell->kind) {
    case SHEET_NOTHING:
        return (struct csv_cell){.text =
                                     arena_printf(mem, "=%s", cell->formula ? cell->formula : "")};
    case SHEET_NUMBER:
        date = cell->is_date ? date_text(mem, cell->number, counts_from_1904) : NULL;
        if (date)
            return (struct csv_cell){.text = date, .is_date = true};
        return cell->is_date ? (struct csv_cell){.text = number_text(mem, cell, decimal)}
                             : number_cell(mem, cell, decimal);
    case SHEET_BOOLEAN:
        return (struct csv_cell){.text = cell->number != 0 ? "TRUE" : "FALSE"};
    case SHEET_ISO_DATE:
        return (struct csv_cell){.text = iso_text(mem, cell->text), .is_date = true};
    case SHEET_TEXT:
    case SHEET_ERROR:
        break;
    }

    return (struct csv_cell){.text = arena_strdup(mem, cell->text)};
}

struct csv_cell workbook_cell_read(struct arena *mem, const struct sheet_cell *cell,
                                   bool counts_from_1904, char decimal)
{
    struct csv_cell read = cell_of(mem, cell, counts_from_1904, decimal);

    read.length = (uint32_t)strlen(read.text);

    return read;
}

void workbook_spool_close(FILE **spool)
{
    if (*spool)
        fclose(*spool);
    *spool = NULL;
}

static bool spool_fill(FILE *spool, struct arena *mem, const struct ingest_bytes *bytes,
                       struct err *err)
{
    char *piece = arena_alloc(mem, PIECE);
    int64_t all = 0;

    for (size_t got = 1; got > 0;) {
        if (!bytes->read(bytes->context, piece, PIECE, &got, err))
            return false;
        all += (int64_t)got;
        if (all > WORKBOOK_BYTES_MOST)
            return err_set(err, ERR_TOO_LARGE, "the workbook is larger than %d MB",
                           WORKBOOK_BYTES_MOST / 1048576);
        if (fwrite(piece, 1, got, spool) != got)
            return file_fail(err, errno, "write", "a temporary file");
    }

    return fflush(spool) == 0 || file_fail(err, errno, "write", "a temporary file");
}

bool workbook_spool(struct arena *mem, const struct ingest_bytes *bytes, FILE **out,
                    struct err *err)
{
    CLEANUP(workbook_spool_close) FILE *spool = tmpfile();

    if (!spool)
        return file_fail(err, errno, "make", "a temporary file");
    if (!spool_fill(spool, mem, bytes, err))
        return false;
    *out = spool;
    spool = NULL;

    return true;
}
