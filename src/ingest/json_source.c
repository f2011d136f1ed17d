#include "ingest/json_source.h"

#include <string.h>

#include "base/buf.h"
#include "base/charset.h"
#include "base/str.h"
#include "ingest/grid.h"
#include "ingest/json_text.h"

enum { PIECE = 65536, KEY_MOST = 1000, KEY_SHOWN = 60, RECORD_KEYS_MOST = CSV_COLUMNS_MOST };

/* A document on its way: bytes -> charset -> memory -> records -> grid. */
struct document {
    const struct source *source;
    struct arena *mem;
    struct arena *record_mem;
    struct buf text;
    struct grid grid;
    struct json_text json;
    struct csv_names names; /* of the source's columns: the cells of every record */
    bool *seen;             /* by name: some record has the key */
    struct csv_cell *cells; /* of the record at hand, as `names` */
    size_t keys;            /* of the record at hand */
    int64_t records;
};

/* --- bytes to text --- */

static bool text_add(void *context, const char *text, size_t count, struct err *err)
{
    struct document *document = context;

    if (document->text.len + count > JSON_DOCUMENT_MOST)
        return err_set(err, ERR_TOO_LARGE, "the document is larger than %d MB",
                       JSON_DOCUMENT_MOST / 1048576);
    buf_add(&document->text, text, count);

    return true;
}

static bool fault_add(void *context, const struct charset_fault *fault, struct err *err)
{
    (void)context;
    (void)err_set(err, ERR_INVALID, "byte %lld of the file, 0x%02X, is no text",
                  (long long)fault->offset, fault->byte);

    return err_hint(err, "Say in the source which charset the file is in.");
}

static bool text_fill(struct document *document, const struct ingest_bytes *bytes,
                      const char **charset_name, struct err *err)
{
    const struct charset_sink sink = {document, text_add, fault_add};
    struct charset *charset = charset_new(document->mem, document->source->charset, &sink);
    char *piece = arena_alloc(document->mem, PIECE);

    for (size_t got = 1; got > 0;) {
        if (!bytes->read(bytes->context, piece, PIECE, &got, err) ||
            (got > 0 && !charset_feed(charset, piece, got, err)))
            return false;
    }
    if (!charset_end(charset, err))
        return false;
    *charset_name = charset_found(charset);

    return charset_bytes(charset) > 0 || err_set(err, ERR_INVALID, "the file is empty");
}

/* --- a record to a row --- */

static bool fail_key(const struct json_text *at, const char *why, const char *key, const char *hint,
                     struct err *err)
{
    (void)err_set(err, ERR_INVALID, "line %d, column %d: the key '%.*s' %s", at->line,
                  json_text_place(at), KEY_SHOWN, key, why);

    return err_hint(err, "%s", hint);
}

/* The cell of a key; RECORD_KEYS_MOST and more when it is none of the source's. */
static size_t key_find(const struct document *document, const char *key)
{
    for (size_t i = 0; i < document->names.count; i++)
        if (str_equal_nocase(document->names.items[i], key))
            return i;

    return CELL_NONE;
}

/* Whether the key or one that it lies in is ignored. */
static bool key_ignored(struct document *document, const char *key)
{
    char *part = arena_strdup(document->record_mem, key);

    while (!csv_header_ignores(document->source, part)) {
        char *dot = strrchr(part, '.');

        if (!dot)
            return false;
        *dot = '\0';
    }

    return true;
}

static const char *with_mark(struct document *document, const char *number)
{
    char *text = arena_strdup(document->record_mem, number);
    char *point = strchr(text, '.');

    if (point)
        *point = document->source->decimal;

    return text;
}

/* A value that is no list or object: into its cell, where it has one. */
static bool value_take(struct document *document, const char *key, enum json_kind kind,
                       struct err *err)
{
    const struct json_text at = document->json;
    size_t cell = key_find(document, key);
    const char *text;

    if (!json_text_scalar(&document->json, document->record_mem, &text, err))
        return false;
    if (cell == CELL_NONE)
        return key_ignored(document, key) ||
               fail_key(&at, "is neither mapped nor ignored by the source", key,
                        "Map it in the source, or list it there under the columns to ignore.", err);
    if (document->cells[cell].line > 0)
        return fail_key(&at, "stands twice in its record", key,
                        "Ask for a document in which it stands once.", err);
    if (kind == JSON_NUMBER)
        text = with_mark(document, text);
    document->seen[cell] = true;
    document->cells[cell] = (struct csv_cell){.text = text,
                                              .length = (uint32_t)strlen(text),
                                              .line = at.line,
                                              .place = json_text_place(&at)};

    return true;
}

static const char *key_join(struct document *document, const char *outer, const char *key)
{
    return *outer ? arena_printf(document->record_mem, "%s.%s", outer, key) : key;
}

/* The values of a record, those of lists and objects inside it too. */
static bool record_walk(struct document *document, struct err *err)
{
    struct json_text *json = &document->json;
    struct {
        const char *key;
        bool is_object;
        bool first;
        int next;
    } levels[JSON_LEVELS_MOST + 1] = {{.key = "", .is_object = true, .first = true}};
    size_t depth = 0;

    if (!json_text_enter(json, err))
        return false;
    for (;;) {
        bool more = false;
        const char *key = "";
        enum json_kind kind;

        if (!(levels[depth].is_object ? json_text_member(json, document->record_mem,
                                                         &levels[depth].first, &more, &key, err)
                                      : json_text_item(json, &levels[depth].first, &more, err)))
            return false;
        if (!more && depth == 0)
            return true;
        if (!more) {
            depth--;
            continue;
        }
        if (++document->keys > RECORD_KEYS_MOST || strlen(levels[depth].key) > KEY_MOST)
            return json_text_fail(json, ERR_TOO_LARGE, err, "a record has more than 1000 keys");
        if (!levels[depth].is_object)
            key = arena_printf(document->record_mem, "%d", levels[depth].next++);
        key = key_join(document, levels[depth].key, key);
        if (!json_text_kind(json, &kind, err))
            return false;
        if (kind != JSON_LIST && kind != JSON_OBJECT) {
            if (!value_take(document, key, kind, err))
                return false;
            continue;
        }
        if (!json_text_enter(json, err))
            return false;
        depth++;
        levels[depth].key = key;
        levels[depth].is_object = kind == JSON_OBJECT;
        levels[depth].first = true;
        levels[depth].next = 0;
    }
}

static bool record_take(struct document *document, struct err *err)
{
    const struct json_text at = document->json;

    arena_reset(document->record_mem);
    document->keys = 0;
    document->records++;
    for (size_t i = 0; i < document->names.count; i++)
        document->cells[i] = (struct csv_cell){.text = ""};
    if (!record_walk(document, err))
        return false;

    const struct csv_row row = {.line = at.line,
                                .cells = document->cells,
                                .count = document->names.count,
                                .begin = at.at,
                                .length = (size_t)(document->json.at - at.at),
                                .is_record = true,
                                .place = json_text_place(&at)};

    return grid_row(&document->grid, &row, err);
}

/* --- to the records --- */

static bool fail_shape(const struct document *document, const char *words, struct err *err)
{
    (void)json_text_fail(&document->json, ERR_INVALID, err, words);

    return err_hint(err, "Say in the source where the list of records is: `records`, keys with "
                         "dots between.");
}

static bool list_take(struct document *document, struct err *err)
{
    bool first = true;
    bool more = true;
    enum json_kind kind;

    if (!json_text_enter(&document->json, err))
        return false;
    for (;;) {
        if (!json_text_item(&document->json, &first, &more, err))
            return false;
        if (!more)
            return true;
        if (!json_text_kind(&document->json, &kind, err))
            return false;
        if (kind != JSON_OBJECT)
            return fail_shape(document, "expected a record, which is an object", err);
        if (!record_take(document, err))
            return false;
    }
}

/* The list at the path, in the object that stands here. */
static bool path_take(struct document *document, const char *path, struct err *err)
{
    struct json_text *json = &document->json;
    bool settled = false; /* found, or the way to it left without */
    bool found = false;
    bool first = true;
    bool more = true;
    const int outside = json->level;

    /* `path` shrinks by the key that was gone into; what stands behind it is passed over. */
    if (!json_text_enter(json, err))
        return false;
    while (json->level > outside) {
        size_t length = strcspn(path, ".");
        const char *key = "";
        enum json_kind kind;

        arena_reset(document->record_mem);
        if (!json_text_member(json, document->record_mem, &first, &more, &key, err))
            return false;
        if (!more) {
            settled = true;
            continue;
        }
        if (!json_text_kind(json, &kind, err))
            return false;
        if (settled || strlen(key) != length || strncmp(key, path, length) != 0) {
            if (!json_text_skip(json, err))
                return false;
        } else if (path[length] == '\0') {
            found = settled = true;
            if (kind != JSON_LIST)
                return fail_shape(document, "here no list of records stands", err);
            if (!list_take(document, err))
                return false;
        } else if (kind == JSON_OBJECT) {
            if (!json_text_enter(json, err))
                return false;
            path += length + 1;
            first = true;
        } else {
            return fail_shape(document, "here the way to the records ends", err);
        }
    }
    if (found)
        return true;
    (void)err_set(err, ERR_INVALID, "the document has no list at '%.60s'",
                  document->source->records);

    return err_hint(err, "See in the document which keys lead to its records, and write them in "
                         "the source with dots between.");
}

static bool value_top(struct document *document, struct err *err)
{
    enum json_kind kind;

    if (!json_text_kind(&document->json, &kind, err))
        return false;
    if (kind == JSON_OBJECT && document->source->records)
        return path_take(document, document->source->records, err);
    if (kind == JSON_OBJECT)
        return record_take(document, err);
    if (kind == JSON_LIST && !document->source->records)
        return list_take(document, err);

    return fail_shape(
        document,
        kind == JSON_LIST ? "the document itself is the list" : "expected a list of records", err);
}

/* The source's columns stand for a header. */
static bool header_take(struct document *document, struct err *err)
{
    struct csv_cell *cells;

    document->names = csv_header_wanted(document->mem, document->source);
    document->seen = ARENA_ARRAY(document->mem, bool, document->names.count);
    cells = document->cells = ARENA_ARRAY(document->mem, struct csv_cell, document->names.count);
    for (size_t i = 0; i < document->names.count; i++)
        cells[i] = (struct csv_cell){.text = document->names.items[i],
                                     .length = (uint32_t)strlen(document->names.items[i])};

    const struct csv_row row = {.line = 1, .cells = cells, .count = document->names.count};

    return grid_row(&document->grid, &row, err);
}

static bool may_lack(const struct source *source, const char *name)
{
    for (size_t i = 0; i < source->column_count; i++)
        if (source->columns[i].may_lack && (str_equal_nocase(source->columns[i].header, name) ||
                                            str_equal_nocase(source->columns[i].flag_header, name)))
            return true;

    return false;
}

static bool check_seen(const struct document *document, struct err *err)
{
    if (document->records == 0)
        return err_set(err, ERR_INVALID, "the document holds no record");
    for (size_t i = 0; i < document->names.count; i++)
        if (!document->seen[i] && !may_lack(document->source, document->names.items[i])) {
            (void)err_set(err, ERR_INVALID, "no record has the key '%.60s'",
                          document->names.items[i]);
            return err_hint(err, "Correct the column in the source; a key inside another is "
                                 "written with a dot, as result.temp.");
        }

    return true;
}

static bool document_run(struct document *document, const struct ingest_bytes *bytes,
                         const char **charset, struct err *err)
{
    if (!header_take(document, err) || !text_fill(document, bytes, charset, err))
        return false;
    document->json = json_text_begin(document->text.data, document->text.len);
    while (json_text_more(&document->json))
        if (!value_top(document, err))
            return false;

    return check_seen(document, err) && grid_end(&document->grid, err);
}

bool json_source_read(const struct source *source, const struct ingest_world *world,
                      const struct ingest_bytes *bytes, const struct ingest_sink *sink,
                      struct ingest_counts *counts, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(arena_free) struct arena *record_mem = arena_new();
    struct ingest_counts counted;
    const char *charset = NULL;
    struct document document = {
        .source = source, .mem = mem, .record_mem = record_mem, .text = buf_new(mem)};
    bool done = grid_start(&document.grid, mem, source, world, sink, &counted, err) &&
                document_run(&document, bytes, &charset, err);

    grid_done(&document.grid);
    if (!done)
        return false;
    counted.charset = charset;
    *counts = counted;

    return true;
}
