#include "app/text_changes.h"

#include <string.h>

#include "base/buf.h"
#include "base/str.h"
#include "base/yaml.h"

enum {
    TOLD_MOST = 6,    /* differences that are told */
    VALUE_SHOWN = 80, /* characters of a value that is no single text */
};

struct comparing {
    struct arena *mem;
    struct buf words;
    size_t count;
};

static const char *value_text(struct comparing *comparing, const struct yaml *value)
{
    const char *json;

    if (!value)
        return "not told";
    if (value->kind == YAML_TEXT)
        return value->text[0] ? value->text : "nothing";
    json = yaml_json(comparing->mem, value);

    return strlen(json) <= VALUE_SHOWN ? json
                                       : arena_printf(comparing->mem, "%zu entries", value->count);
}

static void tell(struct comparing *comparing, const char *path, const char *words)
{
    comparing->count++;
    if (comparing->count > TOLD_MOST)
        return;
    buf_addf(&comparing->words, "%s%s%s%s", comparing->count > 1 ? "; " : "", path,
             path[0] ? ": " : "", words);
}

static bool same(struct comparing *comparing, const struct yaml *a, const struct yaml *b)
{
    return a && b && str_equal(yaml_json(comparing->mem, a), yaml_json(comparing->mem, b));
}

static bool list_has(struct comparing *comparing, const struct yaml *list, const struct yaml *value)
{
    for (size_t i = 0; i < list->count; i++)
        if (same(comparing, list->items[i].value, value))
            return true;

    return false;
}

/* Entries of `of` that `other` has not; another order alone is told as such. */
static bool list_tell(struct comparing *comparing, const char *path, const struct yaml *of,
                      const struct yaml *other, const char *word)
{
    bool any = false;

    for (size_t i = 0; i < of->count; i++) {
        if (list_has(comparing, other, of->items[i].value))
            continue;
        tell(
            comparing, path,
            arena_printf(comparing->mem, "%s %s", word, value_text(comparing, of->items[i].value)));
        any = true;
    }

    return any;
}

static void node_compare(struct comparing *comparing, const char *path, const struct yaml *then,
                         const struct yaml *now);

static const char *path_to(struct comparing *comparing, const char *path, const char *key)
{
    return path[0] ? arena_printf(comparing->mem, "%s, %s", path, key) : key;
}

static void map_compare(struct comparing *comparing, const char *path, const struct yaml *then,
                        const struct yaml *now)
{
    for (size_t i = 0; i < now->count; i++) {
        const char *key = now->items[i].key->text;

        node_compare(comparing, path_to(comparing, path, key), yaml_find(then, key),
                     now->items[i].value);
    }
    for (size_t i = 0; i < then->count; i++) {
        const char *key = then->items[i].key->text;

        if (!yaml_find(now, key))
            node_compare(comparing, path_to(comparing, path, key), then->items[i].value, NULL);
    }
}

static void list_compare(struct comparing *comparing, const char *path, const struct yaml *then,
                         const struct yaml *now)
{
    if (then->count == 1 && now->count == 1) {
        node_compare(comparing, path, then->items[0].value, now->items[0].value);
        return;
    }

    bool gone = list_tell(comparing, path, then, now, "no longer");
    bool new = list_tell(comparing, path, now, then, "new");

    if (!gone && !new)
        tell(comparing, path, "in another order");
}

static void node_compare(struct comparing *comparing, const char *path, const struct yaml *then,
                         const struct yaml *now)
{
    if (same(comparing, then, now))
        return;
    if (then && now && then->kind == YAML_MAP && now->kind == YAML_MAP) {
        map_compare(comparing, path, then, now);
        return;
    }
    if (then && now && then->kind == YAML_LIST && now->kind == YAML_LIST) {
        list_compare(comparing, path, then, now);
        return;
    }
    tell(comparing, path,
         arena_printf(comparing->mem, "%s -> %s", value_text(comparing, then),
                      value_text(comparing, now)));
}

const char *text_changes(struct arena *mem, const char *then, const char *now)
{
    struct comparing comparing = {.mem = mem, .words = buf_new(mem)};
    const struct yaml *left = NULL;
    const struct yaml *right = NULL;
    struct err err = ERR_INIT;

    if (str_equal(then, now))
        return NULL;
    if (!yaml_load(mem, then, strlen(then), &left, &err) ||
        !yaml_load(mem, now, strlen(now), &right, &err))
        return "it reads otherwise";
    node_compare(&comparing, "", left, right);
    if (comparing.count > TOLD_MOST)
        buf_addf(&comparing.words, "; and %zu more", comparing.count - TOLD_MOST);

    return comparing.count > 0 ? comparing.words.data : NULL;
}
