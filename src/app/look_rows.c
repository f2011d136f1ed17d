#include <string.h>

#include "app/look_parts.h"
#include "base/str.h"
#include "ingest/sniff_book.h"
#include "ingest/sniff_json.h"
#include "ingest/sniff_text.h"

enum { SHOWN_MOST = 60, SHEETS_SHOWN = 6 };

static void fact_add(struct arena *mem, struct look_result *result, const char *what,
                     const char *found, const char *evidence)
{
    LIST_ADD(mem, &result->guess.facts, ((struct sniff_fact){what, found, evidence}));
}

/* --- text --- */

static const char *separator_name(char separator)
{
    static const char *const names[] = {"comma", "semicolon", "tab", "bar"};
    const char *at = separator ? strchr(",;\t|", separator) : NULL;

    return at ? names[at - ",;\t|"] : "none";
}

static bool separator_answered(const char *says, char *out, struct err *err)
{
    for (const char *at = ",;\t|"; *at; at++)
        if (str_equal_nocase(separator_name(*at), says)) {
            *out = *at;
            return true;
        }

    return err_set(err, ERR_INVALID, "separator is comma, semicolon, tab or bar");
}

static bool fail_no_separator(const struct sniff_separator *found, struct err *err)
{
    (void)err_set(err, ERR_INVALID, "no comma, semicolon, tab or bar parts the lines into cells");

    return err_hint(err, "%s",
                    found->is_blank ? "The cells seem to be parted by blanks, which Weirbook does "
                                      "not read: have the file written with one of these."
                                    : "Is it a file of readings? Each line needs a time and a "
                                      "value at least.");
}

static bool separator_settle(struct arena *mem, const struct look_request *request,
                             const struct sniff_text *text, struct look_result *result,
                             struct err *err)
{
    const char *says = sniff_answer_to(request->answers, "separator", NULL);
    struct source *source = &result->guess.source;
    struct sniff_separator found = {.separator = text->told_separator};
    const char *evidence = "the first line says so";

    if (says) {
        evidence = "as you answered";
        if (!separator_answered(says, &found.separator, err))
            return false;
    } else if (!found.separator) {
        found = sniff_separator_find(mem, &text->lines);
        evidence = arena_printf(mem, "%zu of the first %zu lines have %zu cells with it",
                                found.lines, found.of, found.cells);
    }
    if (!found.separator)
        return fail_no_separator(&found, err);
    source->separator = found.separator;
    fact_add(mem, result, "separator", separator_name(found.separator), evidence);

    return true;
}

/* A word with a letter that is no ASCII, as it reads: for a person to see whether it is right. */
static const char *foreign_word(struct arena *mem, const struct sniff_rows *rows)
{
    for (size_t r = 0; r < rows->count; r++)
        for (size_t c = 0; c < rows->items[r].count; c++)
            for (const char *at = rows->items[r].cells[c].text; *at; at++)
                if ((unsigned char)*at >= 0x80)
                    return str_show(mem, rows->items[r].cells[c].text, SHOWN_MOST);

    return NULL;
}

static void charset_tell(struct arena *mem, const struct sniff_text *text,
                         const struct sniff_text_read *read, const struct sniff_rows *rows,
                         struct look_result *result)
{
    const char *word = foreign_word(mem, rows);
    bool is_own = str_equal(read->charset, "windows-1252");
    const char *evidence = text->has_mark ? "the file begins with its mark"
                           : is_own       ? "its letters are no UTF-8"
                           : word         ? "all its letters are"
                                          : "letters and digits that are the same in most";

    if (word)
        evidence = arena_printf(mem, "%s; see that '%s' reads right", evidence, word);
    if (is_own)
        result->guess.source.charset = read->charset;
    fact_add(mem, result, "letters", read->charset, evidence);
    if (read->bad_bytes > 0)
        LIST_ADD(mem, &result->guess.notes,
                 arena_printf(mem, "%lld bytes are no text in it: their rows are set aside.",
                              (long long)read->bad_bytes));
    if (read->faults > 0)
        LIST_ADD(mem, &result->guess.notes,
                 arena_printf(mem, "%lld rows can't be divided into cells: they are set aside.",
                              (long long)read->faults));
}

static bool text_rows(struct arena *mem, const struct look_request *request,
                      struct bytes_file *file, const struct sniff_text *text,
                      struct sniff_rows *rows, struct look_result *result, struct err *err)
{
    const struct ingest_bytes bytes = {file, bytes_file_read};
    CLEANUP(sniff_sample_done) struct sniff_sample sample = sniff_sample_new(mem);
    struct sniff_text_read read = {.charset = NULL};

    fact_add(mem, result, "file", "text", "no workbook and no JSON, by what is in it");
    if (!separator_settle(mem, request, text, result, err))
        return false;
    bytes_file_rewind(file);
    if (!sniff_text_rows(mem, &bytes, result->guess.source.separator, &sample, &read, err))
        return false;
    *rows = sniff_sample_rows(&sample);
    result->rows = sample.seen;
    result->rows_looked = (int64_t)rows->count;
    charset_tell(mem, text, &read, rows, result);

    return true;
}

/* --- JSON --- */

static bool json_rows(struct arena *mem, struct bytes_file *file, struct sniff_rows *rows,
                      struct look_result *result, struct err *err)
{
    const struct ingest_bytes bytes = {file, bytes_file_read};
    struct sniff_json json;

    bytes_file_rewind(file);
    if (!sniff_json_rows(mem, &bytes, &json, err))
        return false;
    *rows = json.rows;
    result->rows = json.count;
    result->rows_looked = (int64_t)json.rows.count - 1;
    result->guess.source.records = json.records;
    fact_add(mem, result, "file", "JSON", "it reads as such");
    fact_add(mem, result, "records", json.records ? json.records : "the document itself",
             arena_printf(mem, "%lld of them%s", (long long)json.count,
                          json.lists > 1 ? "; the longest of its lists" : ""));

    return true;
}

/* --- a workbook --- */

/* Whether a sheet has the same columns as the one that was chosen. */
static bool same_columns(struct arena *mem, const struct sniff_table *a,
                         const struct sniff_sheet *sheet)
{
    struct sniff_table b;
    struct err ignored = ERR_INIT;

    if (!sniff_table_find(mem, &sheet->rows, &b, &ignored) || a->column_count != b.column_count)
        return false;
    for (size_t i = 0; i < a->column_count; i++)
        if (!str_equal_nocase(a->columns[i].name, b.columns[i].name))
            return false;

    return true;
}

static void sheets_tell(struct arena *mem, const struct sniff_sheets *sheets,
                        const struct sniff_sheet *chosen, const struct sniff_table *table,
                        struct look_result *result)
{
    const char **others = ARENA_ARRAY(mem, const char *, sheets->count);
    const char **alike = ARENA_ARRAY(mem, const char *, sheets->count);
    size_t other_count = 0;
    size_t alike_count = 0;

    for (size_t i = 0; i < sheets->count; i++) {
        const struct sniff_sheet *sheet = &sheets->items[i];

        if (sheet != chosen && sheet->looked_at && same_columns(mem, table, sheet))
            alike[alike_count++] = sheet->name;
        else if (sheet != chosen)
            others[other_count++] = sheet->name;
        if (sheet->hidden && (sheet == chosen || same_columns(mem, table, sheet)))
            LIST_ADD(mem, &result->guess.notes,
                     arena_printf(mem, "sheet %s is hidden, and would be taken in.", sheet->name));
    }
    fact_add(mem, result, "sheet", chosen->name,
             alike_count > 0 ? arena_printf(mem, "and %s, with the same columns",
                                            sniff_list_text(mem, alike, alike_count, SHEETS_SHOWN))
                             : "the only one with these columns");
    if (other_count > 0)
        fact_add(mem, result, "sheets left out",
                 sniff_list_text(mem, others, other_count, SHEETS_SHOWN),
                 "other columns, or none; to look at one: sheet=NAME");
}

/* The sheet that was named, else the one with the most rows of data. */
static bool sheet_choose(struct arena *mem, const struct look_request *request,
                         const struct sniff_sheets *sheets, const struct sniff_sheet **out,
                         struct err *err)
{
    const char *says = sniff_answer_to(request->answers, "sheet", NULL);
    struct err first = ERR_INIT;
    size_t most = 0;

    *out = NULL;
    for (size_t i = 0; i < sheets->count; i++) {
        const struct sniff_sheet *sheet = &sheets->items[i];
        struct sniff_table table;
        struct err ignored = ERR_INIT;

        if (says && str_equal_nocase(says, sheet->name))
            *out = sheet;
        if (says || !sheet->looked_at)
            continue;
        if (!sniff_table_find(mem, &sheet->rows, &table, first.code ? &ignored : &first))
            continue;
        if (table.data.count > most) {
            most = table.data.count;
            *out = sheet;
        }
    }
    if (!*out && says)
        (void)err_set(err, ERR_NOT_FOUND, "the workbook has no sheet '%s'",
                      str_show(mem, says, SHOWN_MOST));
    else if (!*out && first.code == ERR_NONE)
        (void)err_set(err, ERR_INVALID, "the workbook has no sheet with anything in it");
    else if (!*out)
        *err = first;

    return *out != NULL;
}

/* Names for places, in the workbook's order. */
static void sheets_keep(struct arena *mem, const struct sniff_sheets *sheets,
                        const struct sniff_sheet *chosen, struct look_result *result)
{
    struct place_sheet *kept = ARENA_ARRAY(mem, struct place_sheet, sheets->count);

    for (size_t i = 0; i < sheets->count; i++)
        kept[i] = (struct place_sheet){(int32_t)i, sheets->items[i].name};
    result->sheets = (struct place_sheets){kept, sheets->count};
    result->sheet = chosen->name;
}

static bool book_rows(struct arena *mem, const struct look_request *request,
                      struct bytes_file *file, struct sniff_rows *rows, struct look_result *result,
                      struct err *err)
{
    const struct ingest_bytes bytes = {file, bytes_file_read};
    struct source *source = &result->guess.source;
    struct sniff_sheets sheets = {0};
    const struct sniff_sheet *chosen = NULL;
    struct sniff_table table;

    bytes_file_rewind(file);
    if (!sniff_book_rows(mem, &bytes, &sheets, err))
        return *err->hint ? false
                          : err_hint(err, "Is it a workbook (.xlsx)? Another spreadsheet or a zip "
                                          "file: open it, and save the table as CSV.");
    if (!sheet_choose(mem, request, &sheets, &chosen, err) ||
        !sniff_table_find(mem, &chosen->rows, &table, err))
        return false;
    *rows = chosen->rows;
    result->rows = chosen->seen;
    result->rows_looked = (int64_t)rows->count;
    fact_add(mem, result, "file", "workbook", "XLSX, by what is in it");
    sheets_keep(mem, &sheets, chosen, result);
    sheets_tell(mem, &sheets, chosen, &table, result);
    if (sniff_answer_to(request->answers, "sheet", NULL)) {
        const char **named = ARENA_ARRAY(mem, const char *, 1);

        named[0] = chosen->name;
        source->sheets = named;
        source->sheet_count = 1;
    }

    return true;
}

/* --- the table --- */

/* Of "result.temp" the last key says what it is. */
static void keys_shorten(struct sniff_table *table)
{
    for (size_t i = 0; i < table->column_count; i++) {
        const char *dot = strrchr(table->columns[i].name, '.');

        if (dot && dot[1] && !table->columns[i].unit)
            table->columns[i].bare = dot + 1;
    }
}

static void table_tell(struct arena *mem, const struct sniff_table *table,
                       struct look_result *result)
{
    struct source *source = &result->guess.source;

    source->skip_after_header = table->lines_after;
    source->header_rows = table->header_rows == 2 ? 2 : 0;
    if (source->format != SOURCE_JSON)
        fact_add(mem, result, "header",
                 table->header_rows == 2 ? arena_printf(mem, "lines %d and %d, names above names",
                                                        table->header_line - 1, table->header_line)
                                         : arena_printf(mem, "line %d", table->header_line),
                 arena_printf(
                     mem, "it names %zu columns%s%s", table->column_count,
                     table->rows_above == 0 ? ""
                     : table->rows_above == 1
                         ? "; a row of titles stands above"
                         : arena_printf(mem, "; %zu rows of titles stand above", table->rows_above),
                     table->header_repeats > 0 ? "; it comes again" : ""));
    if (table->changed_line > 0)
        fact_add(mem, result, "header with other columns",
                 arena_printf(mem, "line %d", table->changed_line),
                 "names alone, at least half of them of the first header; columns that come or go "
                 "may lack");
    if (table->lines_after > 0)
        fact_add(mem, result, "units",
                 arena_printf(mem, "%d %s behind the header", table->lines_after,
                              table->lines_after == 1 ? "row" : "rows"),
                 "words alone, before the first number");
    if (table->remark_count > 0) {
        const char **starts = ARENA_ARRAY(mem, const char *, table->remark_count);

        for (size_t i = 0; i < table->remark_count; i++)
            starts[i] = table->remarks[i];
        source->comment_starts = starts;
        source->comment_start_count = table->remark_count;
        fact_add(mem, result, "remarks",
                 sniff_list_text(mem, starts, table->remark_count, SNIFF_REMARKS_MOST),
                 table->remark_rows == 1
                     ? "a row begins so and holds no data"
                     : arena_printf(mem, "%zu rows begin so and hold no data", table->remark_rows));
    }
}

bool look_rows(struct arena *mem, const struct look_request *request, struct bytes_file *file,
               struct sniff_table *table, struct look_result *result, struct err *err)
{
    const struct ingest_bytes bytes = {file, bytes_file_read};
    struct sniff_text text = {.format = SOURCE_CSV};
    struct sniff_rows rows = {0};
    bool done = false;

    bytes_file_rewind(file);
    if (!sniff_text_head(mem, &bytes, &text, err))
        return false;
    result->guess.source.format = text.format;
    switch (text.format) {
    case SOURCE_CSV:
        done = text_rows(mem, request, file, &text, &rows, result, err);
        break;
    case SOURCE_XLSX:
        done = book_rows(mem, request, file, &rows, result, err);
        break;
    case SOURCE_JSON:
        done = json_rows(mem, file, &rows, result, err);
        break;
    }
    if (!done || !sniff_table_find(mem, &rows, table, err))
        return false;
    if (text.format == SOURCE_JSON)
        keys_shorten(table);
    table_tell(mem, table, result);

    return true;
}
