#include "ingest/sniff_text.h"

#include <ctype.h>
#include <string.h>

#include "base/buf.h"
#include "base/charset.h"
#include "base/str.h"
#include "ingest/csv.h"

/* Told only where nothing else decides: bytes that are no UTF-8 are then letters of this one. */
#define CHARSET_ELSE "windows-1252"

enum { PIECE = 65536, CELLS_COUNTED = CSV_COLUMNS_MOST };

static const char separators[] = {',', ';', '\t', '|'};

/* --- the beginning --- */

static bool head_text(void *context, const char *text, size_t count, struct err *err)
{
    (void)err;
    buf_add(context, text, count);

    return true;
}

static bool head_fault(void *context, const struct charset_fault *fault, struct err *err)
{
    (void)fault;
    (void)err;
    buf_add_char(context, '?');

    return true;
}

static bool head_read(const struct ingest_bytes *bytes, struct buf *head, bool *is_all,
                      struct err *err)
{
    char *piece = arena_alloc(head->mem, PIECE);

    for (*is_all = false; !*is_all && head->len < SNIFF_HEAD_BYTES;) {
        size_t got = 0;

        if (!bytes->read(bytes->context, piece, PIECE, &got, err))
            return false;
        buf_add(head, piece, got);
        *is_all = got == 0;
    }

    return head->len > 0 || err_set(err, ERR_INVALID, "the file is empty");
}

static bool begins(const struct buf *head, const char *bytes, size_t count)
{
    return head->len >= count && memcmp(head->data, bytes, count) == 0;
}

/* What a document of records begins with; "[degC]" in a title is not it. */
static bool is_json(const char *text)
{
    const char *at = text + strspn(text, " \t\r\n");
    char open = *at;

    if (open != '{' && open != '[')
        return false;
    at++;
    at += strspn(at, " \t\r\n");

    return open == '{' ? *at == '"' || *at == '}' : *at == '{' || *at == ']';
}

static void lines_split(struct arena *mem, const struct buf *text, bool is_all,
                        struct sniff_lines *lines)
{
    const char *at = text->data;

    while (lines->count < SNIFF_HEAD_LINES && *at) {
        size_t length = strcspn(at, "\r\n");

        /* The last line may go on behind what was looked at. */
        if (!at[length] && !is_all && lines->count > 0)
            break;
        if (length > 0)
            LIST_ADD(mem, lines, arena_strndup(mem, at, length));
        at += length;
        while (*at == '\r' || *at == '\n')
            at++;
    }
}

static char separator_told(const struct sniff_lines *lines)
{
    const char *line = lines->count > 0 ? lines->items[0] : "";

    if (*line == '"')
        line++;

    return strncmp(line, "sep=", 4) == 0 ? line[4] : '\0';
}

bool sniff_text_head(struct arena *mem, const struct ingest_bytes *bytes, struct sniff_text *out,
                     struct err *err)
{
    struct buf head = buf_new(mem);
    struct buf text = buf_new(mem);
    const struct charset_sink sink = {&text, head_text, head_fault};
    struct charset *charset = charset_new(mem, CHARSET_ELSE, &sink);
    struct sniff_text found = {.format = SOURCE_CSV};
    bool is_all = false;

    if (!head_read(bytes, &head, &is_all, err))
        return false;
    if (begins(&head, "PK\x03\x04", 4)) {
        out->format = SOURCE_XLSX;
        return true;
    }
    found.has_mark = begins(&head, "\xef\xbb\xbf", 3) || begins(&head, "\xff\xfe", 2) ||
                     begins(&head, "\xfe\xff", 2);
    if (!charset_feed(charset, head.data, head.len, err) || (is_all && !charset_end(charset, err)))
        return false;
    if (is_json(text.data)) {
        found.format = SOURCE_JSON;
    } else {
        lines_split(mem, &text, is_all, &found.lines);
        found.told_separator = separator_told(&found.lines);
    }
    *out = found;

    return true;
}

/* --- the separator --- */

/* "16,2": what stands between the digits is no separator then. */
static bool is_decimal(const char *from, size_t length, char mark)
{
    size_t i = length > 0 && (from[0] == '-' || from[0] == '<' || from[0] == '>') ? 1 : 0;
    size_t marks = 0;

    if (i == length)
        return false;
    for (; i < length; i++) {
        marks += from[i] == mark;
        if (!isdigit((unsigned char)from[i]) && from[i] != mark)
            return false;
    }

    return marks <= 1;
}

/* Whether a cell holds another separator, and not as a decimal mark. */
static bool is_mixed(const char *from, size_t length, char separator)
{
    for (size_t i = 0; i < ARRAY_LEN(separators); i++)
        if (separators[i] != separator && memchr(from, separators[i], length) &&
            !is_decimal(from, length, separators[i]))
            return true;

    return false;
}

/* Cells of a line; *mixed: one of them holds another separator outside quotes. */
static size_t cells_count(const char *line, char separator, bool *mixed)
{
    size_t cells = 1;
    size_t from = 0;
    bool in_quotes = false;
    bool was_quoted = false;
    size_t i = 0;

    *mixed = false;
    for (;; i++) {
        if (line[i] == '"') {
            in_quotes = !in_quotes;
            was_quoted = true;
        }
        if (line[i] && (line[i] != separator || in_quotes))
            continue;
        *mixed = *mixed || (!was_quoted && is_mixed(line + from, i - from, separator));
        if (!line[i])
            return cells;
        cells++;
        from = i + 1;
        was_quoted = false;
    }
}

/* How well one separator does. */
static struct sniff_separator separator_try(const struct sniff_lines *lines, char separator,
                                            size_t *counts, size_t *mixed_lines)
{
    struct sniff_separator found = {.separator = separator};

    memset(counts, 0, CELLS_COUNTED * sizeof(*counts));
    *mixed_lines = 0;
    for (size_t i = 0; i < lines->count; i++) {
        bool mixed;
        size_t cells = cells_count(lines->items[i], separator, &mixed);

        found.of++;
        *mixed_lines += mixed;
        if (cells < CELLS_COUNTED)
            counts[cells]++;
    }
    for (size_t cells = 2; cells < CELLS_COUNTED; cells++)
        if (counts[cells] > found.lines) {
            found.lines = counts[cells];
            found.cells = cells;
        }

    return found;
}

/* Most lines agree that there is none, and have two and more blanks between words. */
static bool parts_by_blanks(const struct sniff_lines *lines)
{
    size_t parted = 0;

    for (size_t i = 0; i < lines->count; i++) {
        const char *text = lines->items[i] + strspn(lines->items[i], " ");

        parted += strchr(text, ' ') != NULL;
    }

    return lines->count > 1 && parted * 2 > lines->count;
}

struct sniff_separator sniff_separator_find(struct arena *mem, const struct sniff_lines *lines)
{
    size_t *counts = ARENA_ARRAY(mem, size_t, CELLS_COUNTED);
    struct sniff_separator best = {.separator = 0, .of = lines->count};
    size_t best_score = 0;

    for (size_t i = 0; i < ARRAY_LEN(separators); i++) {
        size_t mixed = 0;
        struct sniff_separator found = separator_try(lines, separators[i], counts, &mixed);
        /* Lines that agree; a separator that leaves others inside its cells counts a third. */
        size_t score = mixed * 2 > found.of ? found.lines : found.lines * 3;

        if (found.cells > 1 &&
            (score > best_score || (score == best_score && found.cells > best.cells))) {
            best = found;
            best_score = score;
        }
    }
    best.is_blank = best.separator == 0 && parts_by_blanks(lines);

    return best;
}

/* --- all rows --- */

struct reading {
    struct csv *csv;
    struct sniff_sample *sample;
    struct sniff_cell *cells; /* CSV_COLUMNS_MOST */
    struct sniff_text_read found;
};

static bool text_add(void *context, const char *text, size_t count, struct err *err)
{
    const struct reading *reading = context;

    return csv_feed(reading->csv, text, count, err);
}

static bool fault_add(void *context, const struct charset_fault *fault, struct err *err)
{
    struct reading *reading = context;

    reading->found.bad_bytes++;

    return csv_feed_bad_byte(reading->csv, fault->byte, fault->offset, err);
}

static bool row_add(void *context, const struct csv_row *row, struct err *err)
{
    struct reading *reading = context;

    (void)err;
    if (row->fault != CSV_GOOD) {
        reading->found.faults++;
        return true;
    }
    if (row->line == 1 && row->count > 0 && str_starts(row->cells[0].text, "sep="))
        return true;
    for (size_t i = 0; i < row->count; i++)
        reading->cells[i] = (struct sniff_cell){.text = row->cells[i].text};
    sniff_sample_add(reading->sample, row->line, reading->cells, row->count);

    return true;
}

bool sniff_text_rows(struct arena *mem, const struct ingest_bytes *bytes, char separator,
                     struct sniff_sample *sample, struct sniff_text_read *out, struct err *err)
{
    struct reading reading = {
        .sample = sample,
        .cells = ARENA_ARRAY(mem, struct sniff_cell, CSV_COLUMNS_MOST),
    };
    const struct csv_rules rules = {.separator = separator, .context = &reading, .row = row_add};
    const struct charset_sink sink = {&reading, text_add, fault_add};
    struct charset *charset = charset_new(mem, CHARSET_ELSE, &sink);
    char *piece = arena_alloc(mem, PIECE);

    reading.csv = csv_new(mem, &rules);
    for (size_t got = 1; got > 0;)
        if (!bytes->read(bytes->context, piece, PIECE, &got, err) ||
            (got > 0 && !charset_feed(charset, piece, got, err)))
            return false;
    if (!charset_end(charset, err) || !csv_end(reading.csv, err))
        return false;
    reading.found.charset = charset_found(charset);
    *out = reading.found;

    return true;
}
