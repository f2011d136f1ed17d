#include "base/yaml.h"

#include <assert.h>
#include <stdint.h>
#include <string.h>
#include <yaml.h>

#include "base/key_index.h"
#include "base/str.h"
#include "base/utf8.h"
#include "base/yaml_fault.h"

struct reader {
    struct arena *mem;
    yaml_parser_t parser;
    yaml_event_t event; /* the one at hand; deleted by next_event and parser_done */
    struct yaml_problems *problems;
    const char *text;
    size_t length;
    size_t nodes;
    size_t depth;
    bool stopped; /* the tree can't be finished */
};

static void problem_add(struct reader *reader, int line, int column, const char *words,
                        const char *hint)
{
    LIST_ADD(reader->mem, reader->problems,
             ((struct yaml_problem){.line = line, .column = column, .words = words, .hint = hint}));
}

static void problem_at(struct reader *reader, const yaml_mark_t *mark, const char *words,
                       const char *hint)
{
    problem_add(reader, (int)mark->line + 1, (int)mark->column + 1, words, hint);
}

/* --- bytes: UTF-8 without control characters --------------------------------------------- */

static bool bytes_refused(struct reader *reader, int line, int column, size_t at)
{
    static const char save_as[] = "Save the file as UTF-8 text.";
    unsigned char byte = (unsigned char)reader->text[at];

    if (byte == 0xff || byte == 0xfe || byte == 0)
        problem_add(reader, line, column,
                    "this is no UTF-8 text: it looks like UTF-16 or a binary file", save_as);
    else if (byte >= 0x80)
        problem_add(reader, line, column,
                    arena_printf(reader->mem, "byte 0x%02x is not UTF-8 text", byte), save_as);
    else
        problem_add(reader, line, column,
                    arena_printf(reader->mem, "control character 0x%02x", byte),
                    "Delete it and type the line again.");

    return false;
}

/* Whether the text may go to the parser, which gives no place for what is refused here. */
static bool bytes_fit(struct reader *reader)
{
    int line = 1;
    int column = 1;

    for (size_t at = 0; at < reader->length;) {
        uint32_t character = 0;
        size_t length = utf8_character(reader->text + at, reader->length - at, &character);

        if (length == 0)
            return bytes_refused(reader, line, column, at);
        if (utf8_unseen(character) && length == 1)
            return bytes_refused(reader, line, column, at);
        if (utf8_unseen(character)) {
            problem_add(
                reader, line, column,
                arena_printf(reader->mem, "character U+%04X, which can't be seen", character),
                "Delete it and type the line again.");
            return false;
        }
        column = character == '\n' ? 1 : column + 1;
        line += character == '\n';
        at += length;
    }

    return true;
}

/* --- events to a tree ------------------------------------------------------------------------ */

/* Go to the next event; false when there is none because the text is wrong. */
static bool next_event(struct reader *reader)
{
    yaml_event_delete(&reader->event);
    if (!yaml_parser_parse(&reader->parser, &reader->event)) {
        reader->stopped = true;
        LIST_ADD(reader->mem, reader->problems,
                 yaml_fault_of(reader->mem, &reader->parser, reader->text, reader->length));
        return false;
    }

    return true;
}

static const struct yaml *read_node(struct reader *reader);

static struct yaml *node_new(struct reader *reader, enum yaml_kind kind)
{
    struct yaml *node = ARENA_NEW(reader->mem, struct yaml);

    node->kind = kind;
    node->line = (int)reader->event.start_mark.line + 1;
    node->column = (int)reader->event.start_mark.column + 1;
    node->text = "";

    return node;
}

static void refuse_marks(struct reader *reader, const yaml_char_t *anchor, const yaml_char_t *tag)
{
    if (anchor)
        problem_at(reader, &reader->event.start_mark, "anchors (`&`) are not taken",
                   "Put a value that begins with & in quotes, or write the part out again.");
    if (tag)
        problem_at(reader, &reader->event.start_mark, "tags (`!`) are not taken",
                   "Put a value that begins with ! in quotes.");
}

/* Escapes in double quotes can bring in what bytes_fit keeps out. */
static bool text_has_unseen(const char *text, size_t length)
{
    for (size_t at = 0; at < length;) {
        uint32_t character = 0;
        size_t step = utf8_character(text + at, length - at, &character);

        if (step == 0 || utf8_unseen(character))
            return true;
        at += step;
    }

    return false;
}

static const struct yaml *read_text(struct reader *reader)
{
    struct yaml *node = node_new(reader, YAML_TEXT);
    const char *value = (const char *)reader->event.data.scalar.value;
    size_t length = reader->event.data.scalar.length;

    refuse_marks(reader, reader->event.data.scalar.anchor, reader->event.data.scalar.tag);
    node->quoted = reader->event.data.scalar.style != YAML_PLAIN_SCALAR_STYLE;
    if (text_has_unseen(value, length))
        problem_at(reader, &reader->event.start_mark, "a control character in a text", NULL);
    else
        node->text = arena_strndup(reader->mem, value, length);

    return node;
}

static const struct yaml *read_alias(struct reader *reader)
{
    problem_at(reader, &reader->event.start_mark, "aliases (`*`) are not taken",
               "Put a value that begins with * in quotes, or write the part out again.");

    return node_new(reader, YAML_TEXT);
}

struct item_list {
    struct yaml_item *items;
    size_t count;
    size_t capacity;
};

/* Whether the key may stand in the map: a text, not too long, not there yet. */
static bool key_fits(struct reader *reader, struct key_index *index, const struct item_list *list,
                     const struct yaml *key)
{
    if (key->kind != YAML_TEXT || strlen(key->text) > YAML_KEY_MOST) {
        problem_add(
            reader, key->line, key->column,
            arena_printf(reader->mem, "a key must be a text of at most %d bytes", YAML_KEY_MOST),
            NULL);
        return false;
    }

    size_t first;

    if (key_index_find(index, key->text, &first)) {
        assert(list->items);
        problem_add(reader, key->line, key->column,
                    arena_printf(reader->mem, "'%s' is given twice (first on line %d)",
                                 str_show(reader->mem, key->text, 60),
                                 list->items[first].key->line),
                    "Keep one of the two.");
        return false;
    }
    key_index_add(reader->mem, index, key->text, list->count);

    return true;
}

static void read_map_items(struct reader *reader, struct item_list *list)
{
    struct key_index index = {0};

    while (next_event(reader) && reader->event.type != YAML_MAPPING_END_EVENT) {
        const struct yaml *key = read_node(reader);

        if (reader->stopped || !next_event(reader))
            return;

        const struct yaml *value = read_node(reader);

        if (reader->stopped)
            return;
        if (key_fits(reader, &index, list, key))
            LIST_ADD(reader->mem, list, ((struct yaml_item){.key = key, .value = value}));
    }
}

static void read_list_items(struct reader *reader, struct item_list *list)
{
    while (next_event(reader) && reader->event.type != YAML_SEQUENCE_END_EVENT) {
        const struct yaml *value = read_node(reader);

        if (reader->stopped)
            return;
        LIST_ADD(reader->mem, list, ((struct yaml_item){.value = value}));
    }
}

static const struct yaml *read_collection(struct reader *reader, enum yaml_kind kind)
{
    struct yaml *node = node_new(reader, kind);
    struct item_list list = {0};

    if (reader->depth == YAML_DEPTH_MOST) {
        problem_at(reader, &reader->event.start_mark,
                   arena_printf(reader->mem, "more than %d lists and maps inside each other",
                                YAML_DEPTH_MOST),
                   NULL);
        reader->stopped = true;
        return node;
    }
    reader->depth++;
    if (kind == YAML_MAP) {
        refuse_marks(reader, reader->event.data.mapping_start.anchor,
                     reader->event.data.mapping_start.tag);
        read_map_items(reader, &list);
    } else {
        refuse_marks(reader, reader->event.data.sequence_start.anchor,
                     reader->event.data.sequence_start.tag);
        read_list_items(reader, &list);
    }
    reader->depth--;
    node->items = list.items;
    node->count = list.count;

    return node;
}

/* The node that begins with the event at hand. Sets `stopped` where it can't be finished. */
static const struct yaml *read_node(struct reader *reader)
{
    if (++reader->nodes > YAML_NODES_MOST) {
        problem_at(reader, &reader->event.start_mark,
                   arena_printf(reader->mem, "more than %d keys and values", YAML_NODES_MOST),
                   NULL);
        reader->stopped = true;
        return node_new(reader, YAML_TEXT);
    }
    if (reader->event.type == YAML_SCALAR_EVENT)
        return read_text(reader);
    if (reader->event.type == YAML_ALIAS_EVENT)
        return read_alias(reader);

    return read_collection(reader,
                           reader->event.type == YAML_MAPPING_START_EVENT ? YAML_MAP : YAML_LIST);
}

static const struct yaml *read_stream(struct reader *reader)
{
    const struct yaml *root = NULL;

    while (next_event(reader) && reader->event.type != YAML_STREAM_END_EVENT) {
        if (reader->event.type != YAML_DOCUMENT_START_EVENT)
            continue;
        if (root) {
            problem_at(reader, &reader->event.start_mark, "a second document begins here",
                       "Keep one document in a file: delete the line `---`.");
            reader->stopped = true;
        }
        if (reader->stopped || !next_event(reader))
            return NULL;
        root = read_node(reader);
        if (reader->stopped)
            return NULL;
    }
    if (reader->stopped)
        return NULL;
    if (!root || (root->kind == YAML_TEXT && !root->quoted && root->text[0] == '\0')) {
        struct yaml *empty = ARENA_NEW(reader->mem, struct yaml);

        *empty = (struct yaml){.kind = YAML_MAP, .line = 1, .column = 1, .text = ""};
        root = empty;
    }

    return root;
}

static void reader_done(struct reader *reader)
{
    yaml_event_delete(&reader->event);
    yaml_parser_delete(&reader->parser);
}

const struct yaml *yaml_read(struct arena *mem, const char *text, size_t length,
                             struct yaml_problems *problems)
{
    CLEANUP(reader_done) struct reader reader = {.mem = mem, .problems = problems};

    if (length >= 3 && memcmp(text, "\xef\xbb\xbf", 3) == 0) {
        text += 3;
        length -= 3;
    }
    reader.text = text;
    reader.length = length;
    if (length > YAML_BYTES_MOST) {
        problem_add(&reader, 1, 1,
                    arena_printf(mem, "%zu bytes, more than the %d taken", length, YAML_BYTES_MOST),
                    NULL);
        return NULL;
    }
    if (!bytes_fit(&reader))
        return NULL;
    if (!yaml_parser_initialize(&reader.parser)) {
        problem_add(&reader, 1, 1, "no memory left for reading it", NULL);
        return NULL;
    }
    yaml_parser_set_encoding(&reader.parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&reader.parser, (const unsigned char *)text, length);

    return read_stream(&reader);
}

bool yaml_load(struct arena *mem, const char *text, size_t length, const struct yaml **out,
               struct err *err)
{
    struct yaml_problems problems = {0};
    const struct yaml *root = yaml_read(mem, text, length, &problems);

    if (problems.count > 0) {
        const struct yaml_problem *first = &problems.items[0];

        err_set(err, length > YAML_BYTES_MOST ? ERR_TOO_LARGE : ERR_INVALID,
                "line %d, column %d: %s", first->line, first->column, first->words);
        return first->hint ? err_hint(err, "%s", first->hint) : false;
    }
    *out = root;

    return true;
}

const struct yaml *yaml_find(const struct yaml *map, const char *key)
{
    if (!map || map->kind != YAML_MAP)
        return NULL;
    for (size_t i = 0; i < map->count; i++) {
        const char *own = map->items[i].key->text;

        if (own[0] == key[0] && strcmp(own, key) == 0)
            return map->items[i].value;
    }

    return NULL;
}

void yaml_json_value(struct json_writer *json, const struct yaml *node)
{
    if (node->kind == YAML_TEXT) {
        json_put_text(json, node->text);
        return;
    }
    if (node->kind == YAML_MAP)
        json_put_object(json);
    else
        json_put_array(json);
    for (size_t i = 0; i < node->count; i++) {
        if (node->items[i].key)
            json_put_name(json, node->items[i].key->text);
        yaml_json_value(json, node->items[i].value);
    }
    if (node->kind == YAML_MAP)
        json_put_object_end(json);
    else
        json_put_array_end(json);
}

char *yaml_json(struct arena *mem, const struct yaml *node)
{
    struct buf buf = buf_new(mem);
    struct json_writer json = json_begin(&buf);

    yaml_json_value(&json, node);
    json_end(&json);

    return buf.data;
}
