/*
 * Finding a place in a list by halving. The list is in order of a whole number of 64 bits that
 * each of its items holds: an instant, an id.
 */
#ifndef BASE_SEARCH_H
#define BASE_SEARCH_H

#include <stddef.h>
#include <stdint.h>

/*
 * The first item whose number is `key` or more; `count` when there is none. The number lies
 * `offset` bytes into an item of `size` bytes. `items` may be NULL where `count` is 0.
 */
size_t search_from(const void *items, size_t count, size_t size, size_t offset, int64_t key);

/* The same for a list of structs, by a member of theirs: SEARCH_FROM(list->items, n, at, noon). */
#define SEARCH_FROM(items, count, member, key)                                                     \
    search_from((items), (count), sizeof(*(items)),                                                \
                _Generic((items)->member, int64_t                                                  \
                         : offsetof(__typeof__(*(items)), member)),                                \
                (key))

#endif
