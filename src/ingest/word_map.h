/*
 * Word map: texts of a file, each met many times, and what was found out about them once.
 *
 * It holds at most the number of texts it was made for: a file of ever new words finds it full,
 * and is then looked up word by word.
 */
#ifndef INGEST_WORD_MAP_H
#define INGEST_WORD_MAP_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

struct word_entry {
    const char *word;
    uint64_t hash;
    void *value;
};

struct word_map {
    struct arena *mem;
    struct word_entry *entries;
    size_t room; /* a power of two */
    size_t count;
    size_t most;
    struct word_entry *last; /* the one found last: files repeat themselves */
};

struct word_map word_map_new(struct arena *mem, size_t most);

/* What was put for this text, or NULL. */
void *word_map_get(struct word_map *map, const char *word);

/* Keep `value` (not NULL) for a text that is not in the map; false when the map is full. */
bool word_map_put(struct word_map *map, const char *word, void *value);

#endif
