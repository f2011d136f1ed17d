/*
 * Key index: where each of many keys stands, found by hash. Of a few keys a loop does as well.
 */
#ifndef BASE_KEY_INDEX_H
#define BASE_KEY_INDEX_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

struct key_place;

/* All zero: empty. */
struct key_index {
    struct key_place *places;
    size_t size; /* a power of two, over twice the keys */
    size_t count;
};

/* Whether the key is there; then `position` is where. */
bool key_index_find(const struct key_index *index, const char *key, size_t *position);

/* Add a key that is not there yet, and that outlives the index. */
void key_index_add(struct arena *mem, struct key_index *index, const char *key, size_t position);

#endif
