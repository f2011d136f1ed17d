/*
 * Arena: memory that is let go all at once.
 *
 * One arena per command, request or receipt. A function that returns memory
 * takes the arena it should live in as a parameter named `mem`; nothing taken
 * from an arena is freed by itself.
 *
 * Memory never comes back NULL. When the machine has none left the program ends
 * with a line on stderr: a transaction that was open is rolled back by the
 * server, so nothing half stored is left behind.
 */
#ifndef BASE_ARENA_H
#define BASE_ARENA_H

#include <stddef.h>

#include "base/macro.h"

struct arena;

struct arena *arena_new(void);

/* Let go of everything; for CLEANUP(arena_free). Sets *mem to NULL. */
void arena_free(struct arena **mem);

/* Forget everything but keep the blocks, up to 64 MB of them, so that a loop over batches stays
 * flat and asks the system for nothing. */
void arena_reset(struct arena *mem);

/* Let `mem` hold all that another arena holds, from now on; ends that one and sets it to NULL. */
void arena_take_over(struct arena *mem, struct arena **other);

/* Zeroed memory, aligned for any type. A size of 0 gives a valid pointer. */
void *arena_alloc(struct arena *mem, size_t size);

/* Bytes of the blocks in use since the last reset, for tests and memory reports. */
size_t arena_held(const struct arena *mem);

/* count * size, zeroed; ends the program when the product overflows. */
void *arena_array(struct arena *mem, size_t count, size_t size);

#define ARENA_NEW(mem, type) ((type *)arena_alloc((mem), sizeof(type)))
#define ARENA_ARRAY(mem, type, count) ((type *)arena_array((mem), (count), sizeof(type)))

/* Copies; arena_strdup(mem, NULL) is NULL. */
char *arena_strdup(struct arena *mem, const char *text);
char *arena_strndup(struct arena *mem, const char *text, size_t length);
void *arena_copy(struct arena *mem, const void *from, size_t size);
char *arena_printf(struct arena *mem, const char *fmt, ...) PRINTF_LIKE(2, 3);

/*
 * Grow an array by one: keeps `items`, `count` and `capacity` of a list struct in step.
 *
 *     LIST_ADD(mem, &list, ((struct reading){ ... }));
 */
#define LIST_ADD(mem, list, ...)                                                                   \
    do {                                                                                           \
        if ((list)->count == (list)->capacity)                                                     \
            (list)->items = arena_grow((mem), (list)->items, (list)->count, &(list)->capacity,     \
                                       sizeof(*(list)->items));                                    \
        (list)->items[(list)->count++] = __VA_ARGS__;                                              \
    } while (0)

/* Behind LIST_ADD: at least twice the room, old items copied. */
void *arena_grow(struct arena *mem, const void *items, size_t count, size_t *capacity, size_t size);

#endif
