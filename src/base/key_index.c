#include "base/key_index.h"

#include <string.h>

enum { SIZE_FIRST = 16, GROWS = 4 };

struct key_place {
    const char *key; /* NULL: free */
    size_t position;
};

static size_t key_hash(const char *key)
{
    size_t hash = 14695981039346656037U; /* FNV-1a */

    for (; *key; key++)
        hash = (hash ^ (unsigned char)*key) * 1099511628211U;

    return hash;
}

/* The key's place, or the free one that it would have. */
static struct key_place *place_of(const struct key_index *index, const char *key)
{
    size_t at = key_hash(key) & (index->size - 1);

    while (index->places[at].key && strcmp(index->places[at].key, key) != 0)
        at = (at + 1) & (index->size - 1);

    return &index->places[at];
}

static void grow(struct arena *mem, struct key_index *index)
{
    struct key_index larger = {.size = index->size ? index->size * GROWS : SIZE_FIRST,
                               .count = index->count};

    larger.places = ARENA_ARRAY(mem, struct key_place, larger.size);
    for (size_t i = 0; i < index->size; i++)
        if (index->places[i].key)
            *place_of(&larger, index->places[i].key) = index->places[i];
    *index = larger;
}

bool key_index_find(const struct key_index *index, const char *key, size_t *position)
{
    const struct key_place *place = index->count > 0 ? place_of(index, key) : NULL;

    if (!place || !place->key)
        return false;
    *position = place->position;

    return true;
}

void key_index_add(struct arena *mem, struct key_index *index, const char *key, size_t position)
{
    if (index->size <= index->count * 2 + 1)
        grow(mem, index);
    *place_of(index, key) = (struct key_place){key, position};
    index->count++;
}
