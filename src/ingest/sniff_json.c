#include "ingest/sniff_json.h"

#include <string.h>

#include "base/buf.h"
#include "base/charset.h"
#include "base/str.h"
#include "ingest/csv.h"
#include "ingest/json_text.h"

enum { PIECE = 65536, PATH_MOST = 1000 };

/* A list of records that was found. */
struct found_list {
    const char *path; /* NULL: the document, or its lines */
    struct json_text at;
    int64_t records;
};

struct found_lists {
    struct found_list *items;
    size_t count;
    size_t capacity;
};

struct names {
    const char **items;
    size_t count;
    size_t capacity;
};

struct walk {
    struct arena *mem;
    struct arena *record_mem;
    struct json_text json;
    struct found_lists lists;
    struct names names;
    struct sniff_cell *cells; /* CSV_COLUMNS_MOST, as `names` */
    struct sniff_sample *sample;
};

static bool text_add(void *context, const char *text, size_t count, struct err *err)
{
    struct buf *buf = context;

    if (buf->len + count > JSON_DOCUMENT_MOST)
        return err_set(err, ERR_TOO_LARGE, "the document is larger than %d MB",
                       JSON_DOCUMENT_MOST / 1048576);
    buf_add(buf, text, count);

    return true;
}

static bool fault_add(void *context, const struct charset_fault *fault, struct err *err)
{
    (void)context;

    return err_set(err, ERR_INVALID, "byte %lld of the file, 0x%02X, is no text",
                   (long long)fault->offset, fault->byte);
}

static bool text_fill(struct buf *text, const struct ingest_bytes *bytes, const char **name,
                      struct err *err)
{
    const struct charset_sink sink = {text, text_add, fault_add};
    struct charset *charset = charset_new(text->mem, NULL, &sink);
    char *piece = arena_alloc(text->mem, PIECE);

    for (size_t got = 1; got > 0;)
        if (!bytes->read(bytes->context, piece, PIECE, &got, err) ||
            (got > 0 && !charset_feed(charset, piece, got, err)))
            return false;
    if (!charset_end(charset, err))
        return false;
    *name = charset_found(charset);

    return true;
}

/* --- where the records lie --- */

/* A list: how many objects are in it, and whether nothing else is. */
static bool list_count(struct walk *walk, const char *path, struct err *err)
{
    struct found_list list = {.path = path, .at = walk->json};
    bool only_objects = true;
    bool first = true;
    bool more = true;

    if (!json_text_enter(&walk->json, err))
        return false;
    while (more) {
        enum json_kind kind;

        if (!json_text_item(&walk->json, &first, &more, err))
            return false;
        if (!more)
            break;
        if (!json_text_kind(&walk->json, &kind, err) || !json_text_skip(&walk->json, err))
            return false;
        only_objects = only_objects && kind == JSON_OBJECT;
        list.records++;
    }
    if (only_objects && list.records > 0)
        LIST_ADD(walk->mem, &walk->lists, list);

    return true;
}

/* Through objects inside objects; lists are counted and not gone into. */
static bool object_search(struct walk *walk, struct err *err)
{
    struct {
        const char *path;
        bool first;
    } levels[JSON_LEVELS_MOST + 1] = {{.path = "", .first = true}};
    size_t depth = 0;

    if (!json_text_enter(&walk->json, err))
        return false;
    for (;;) {
        bool more = false;
        const char *key = "";
        enum json_kind kind;

        if (!json_text_member(&walk->json, walk->mem, &levels[depth].first, &more, &key, err))
            return false;
        if (!more && depth == 0)
            return true;
        if (!more) {
            depth--;
            continue;
        }

        const char *path =
            *levels[depth].path ? arena_printf(walk->mem, "%s.%s", levels[depth].path, key) : key;

        if (!json_text_kind(&walk->json, &kind, err))
            return false;
        if (kind == JSON_LIST ? !list_count(walk, path, err)
                              : kind != JSON_OBJECT && !json_text_skip(&walk->json, err))
            return false;
        if (kind == JSON_OBJECT) {
            if (strlen(path) > PATH_MOST || !json_text_enter(&walk->json, err))
                return err_set(err, ERR_TOO_LARGE, "its objects lie too deep in each other");
            depth++;
            levels[depth].path = path;
            levels[depth].first = true;
        }
    }
}

/* All top values: one list; one object with the list in it; or an object a line. */
static bool lists_find(struct walk *walk, struct err *err)
{
    const struct json_text start = walk->json;
    int64_t objects = 0;

    while (json_text_more(&walk->json)) {
        enum json_kind kind;

        if (!json_text_kind(&walk->json, &kind, err))
            return false;
        if (kind == JSON_LIST                     ? !list_count(walk, NULL, err)
            : objects == 0 && kind == JSON_OBJECT ? !object_search(walk, err)
                                                  : !json_text_skip(&walk->json, err))
            return false;
        objects += kind == JSON_OBJECT;
    }
    /* An object a line, or an object that holds no list of records and is one itself. */
    if (objects > 1 || (objects == 1 && walk->lists.count == 0)) {
        walk->lists.count = 0;
        LIST_ADD(walk->mem, &walk->lists,
                 ((struct found_list){.path = NULL, .at = start, .records = objects}));
    }

    return walk->lists.count > 0 ||
           err_set(err, ERR_INVALID, "the document holds no list of records");
}

/* --- records to rows --- */

static bool name_cell(struct walk *walk, const char *name, size_t *cell, struct err *err)
{
    for (size_t i = 0; i < walk->names.count; i++)
        if (str_equal_nocase(walk->names.items[i], name)) {
            *cell = i;
            return true;
        }
    if (walk->names.count == CSV_COLUMNS_MOST)
        return err_set(err, ERR_TOO_LARGE, "its records have more than %d keys", CSV_COLUMNS_MOST);
    *cell = walk->names.count;
    LIST_ADD(walk->mem, &walk->names, arena_strdup(walk->mem, name));
    walk->cells[*cell] = (struct sniff_cell){.text = ""};

    return true;
}

static bool value_take(struct walk *walk, const char *name, struct err *err)
{
    const char *text = NULL;
    size_t cell;

    if (!json_text_scalar(&walk->json, walk->record_mem, &text, err) ||
        !name_cell(walk, name, &cell, err))
        return false;
    walk->cells[cell].text = text;

    return true;
}

static bool record_walk(struct walk *walk, struct err *err)
{
    struct {
        const char *key;
        bool is_object;
        bool first;
        int next;
    } levels[JSON_LEVELS_MOST + 1] = {{.key = "", .is_object = true, .first = true}};
    struct json_text *json = &walk->json;
    size_t depth = 0;

    if (!json_text_enter(json, err))
        return false;
    for (;;) {
        bool more = false;
        const char *key = "";
        enum json_kind kind;

        if (!(levels[depth].is_object
                  ? json_text_member(json, walk->record_mem, &levels[depth].first, &more, &key, err)
                  : json_text_item(json, &levels[depth].first, &more, err)))
            return false;
        if (!more && depth == 0)
            return true;
        if (!more) {
            depth--;
            continue;
        }
        if (!levels[depth].is_object)
            key = arena_printf(walk->record_mem, "%d", levels[depth].next++);
        if (*levels[depth].key)
            key = arena_printf(walk->record_mem, "%s.%s", levels[depth].key, key);
        if (strlen(key) > PATH_MOST)
            return err_set(err, ERR_TOO_LARGE, "a record's keys lie too deep in each other");
        if (!json_text_kind(json, &kind, err))
            return false;
        if (kind != JSON_LIST && kind != JSON_OBJECT) {
            if (!value_take(walk, key, err))
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

static bool record_take(struct walk *walk, struct err *err)
{
    int32_t line;

    arena_reset(walk->record_mem);
    for (size_t i = 0; i < walk->names.count; i++)
        walk->cells[i] = (struct sniff_cell){.text = ""};
    if (!json_text_more(&walk->json))
        return true;
    line = walk->json.line;
    if (!record_walk(walk, err))
        return false;
    sniff_sample_add(walk->sample, line, walk->cells, walk->names.count);

    return true;
}

static bool records_take(struct walk *walk, const struct found_list *list, struct err *err)
{
    enum json_kind kind;
    bool first = true;
    bool more = true;

    walk->json = list->at;
    if (!json_text_kind(&walk->json, &kind, err))
        return false;
    if (kind == JSON_OBJECT) {
        while (json_text_more(&walk->json))
            if (!json_text_kind(&walk->json, &kind, err) ||
                !(kind == JSON_OBJECT ? record_take(walk, err) : json_text_skip(&walk->json, err)))
                return false;
        return true;
    }
    if (!json_text_enter(&walk->json, err))
        return false;
    for (;;) {
        if (!json_text_item(&walk->json, &first, &more, err))
            return false;
        if (!more)
            return true;
        if (!record_take(walk, err))
            return false;
    }
}

/* The names as the first row, in front of the others. */
static struct sniff_rows rows_named(const struct walk *walk, const struct sniff_rows *rows)
{
    struct sniff_cell *cells = ARENA_ARRAY(walk->mem, struct sniff_cell, walk->names.count);
    struct sniff_rows all = {0};

    for (size_t i = 0; i < walk->names.count; i++)
        cells[i].text = walk->names.items[i];
    LIST_ADD(walk->mem, &all,
             ((struct sniff_row){.line = 1, .cells = cells, .count = walk->names.count}));
    for (size_t i = 0; i < rows->count; i++)
        LIST_ADD(walk->mem, &all, rows->items[i]);

    return all;
}

bool sniff_json_rows(struct arena *mem, const struct ingest_bytes *bytes, struct sniff_json *out,
                     struct err *err)
{
    CLEANUP(arena_free) struct arena *record_mem = arena_new();
    CLEANUP(sniff_sample_done) struct sniff_sample sample = sniff_sample_new(mem);
    struct buf text = buf_new(mem);
    struct sniff_json found = {.records = NULL};
    struct walk walk = {.mem = mem,
                        .record_mem = record_mem,
                        .cells = ARENA_ARRAY(mem, struct sniff_cell, CSV_COLUMNS_MOST),
                        .sample = &sample};
    const struct found_list *longest;

    if (!text_fill(&text, bytes, &found.charset, err))
        return false;
    walk.json = json_text_begin(text.data, text.len);
    if (!lists_find(&walk, err))
        return false;
    longest = &walk.lists.items[0];
    for (size_t i = 1; i < walk.lists.count; i++)
        if (walk.lists.items[i].records > longest->records)
            longest = &walk.lists.items[i];
    found.records = longest->path;
    found.count = longest->records;
    found.lists = walk.lists.count;
    if (!records_take(&walk, longest, err))
        return false;

    struct sniff_rows rows = sniff_sample_rows(&sample);

    found.rows = rows_named(&walk, &rows);
    *out = found;

    return true;
}
