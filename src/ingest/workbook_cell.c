#include "ingest/workbook_cell.h"

#include <errno.h>
#include <string.h>

#include "base/file.h"
#include "ingest/workbook.h"

enum { PIECE = 65536, DIGITS_MOST = 15 };

/* Digits of a number as a spreadsheet shows them. */
static const char *number_text(struct arena *mem, const struct sheet_cell *cell, char decimal)
{
    size_t digits = 0;
    char *text;

    for (const char *at = cell->text; *at && *at != 'e' && *at != 'E'; at++)
        digits += *at >= '0' && *at <= '9' && (digits > 0 || *at != '0');
    text = digits > DIGITS_MOST ? arena_printf(mem, "%.*g", DIGITS_MOST, cell->number)
                                : arena_strdup(mem, cell->text);
    for (char *at = text; *at; at++)
        if (*at == '.')
            *at = decimal;

    return text;
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

const char *workbook_cell_text(struct arena *mem, const struct sheet_cell *cell,
                               bool counts_from_1904, char decimal, bool *is_date)
{
    const char *text = NULL;

    *is_date = false;
    switch (cell->kind) {
    case SHEET_NOTHING:
        return arena_printf(mem, "=%s", cell->formula ? cell->formula : "");
    case SHEET_NUMBER:
        text = cell->is_date ? date_text(mem, cell->number, counts_from_1904) : NULL;
        *is_date = text != NULL;
        return text ? text : number_text(mem, cell, decimal);
    case SHEET_BOOLEAN:
        return cell->number != 0 ? "TRUE" : "FALSE";
    case SHEET_ISO_DATE:
        *is_date = true;
        return iso_text(mem, cell->text);
    case SHEET_TEXT:
    case SHEET_ERROR:
        break;
    }

    return arena_strdup(mem, cell->text);
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
