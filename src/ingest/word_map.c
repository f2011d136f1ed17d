#include "ingest/word_map.h"

#include <string.h>

enum { FIRST_ROOM = 64 };

struct word_map word_map_new(struct arena *mem, size_t most)
{
    return (struct word_map){
        .mem = mem,
        .entries = ARENA_ARRAY(mem, struct word_entry, FIRST_ROOM),
        .room = FIRST_ROOM,
        .most = most,
    };
}

/* FNV-1a, 64 bits. */
static uint64_t word_hash(const char *word)
{
    uint64_t hash = 14695981039346656037u;

    for (; *word; word++)
        hash = (hash ^ (unsigned char)*word) * 1099511628211u;

    return hash ^ hash >> 32;
}

static struct word_entry *entry_find(const struct word_map *map, const char *word, uint64_t hash)
{
    size_t at = hash & (map->room - 1);

    while (map->entries[at].word &&
           (map->entries[at].hash != hash || strcmp(map->entries[at].word, word) != 0))
        at = (at + 1) & (map->room - 1);

    return &map->entries[at];
}

void *word_map_get(struct word_map *map, const char *word)
{
    if (map->last && strcmp(map->last->word, word) == 0)
        return map->last->value;

    struct word_entry *entry = entry_find(map, word, word_hash(word));

    if (!entry->word)
        return NULL;
    map->last = entry;

    return entry->value;
}

static void map_grow(struct word_map *map)
{
    struct word_map wider = *map;

    wider.room = map->room * 2;
    wider.entries = ARENA_ARRAY(map->mem, struct word_entry, wider.room);
    wider.last = NULL;
    for (size_t i = 0; i < map->room; i++)
        if (map->entries[i].word)
            *entry_find(&wider, map->entries[i].word, map->entries[i].hash) = map->entries[i];
    *map = wider;
}

bool word_map_put(struct word_map *map, const char *word, void *value)
{
    if (map->count == map->most)
        return false;
    if (map->count * 2 >= map->room)
        map_grow(map);

    uint64_t hash = word_hash(word);
    struct word_entry *entry = entry_find(map, word, hash);

    *entry = (struct word_entry){arena_strdup(map->mem, word), hash, value};
    map->count++;

    return true;
}
