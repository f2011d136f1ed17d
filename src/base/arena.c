#include "base/arena.h"

#include <stdalign.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    FIRST_BLOCK = 16 * 1024,
    LARGEST_STEP = 4 * 1024 * 1024,
    LARGE_FROM = 128 * 1024,      /* the system clears pages as they are used, not before */
    KEPT_MOST = 64 * 1024 * 1024, /* over a reset: pages that need not be asked for again */
};

struct block {
    struct block *older;
    size_t size;
    size_t used;
    size_t clear_from; /* all behind it is zero */
    alignas(max_align_t) unsigned char bytes[];
};

struct arena {
    struct block *newest;
    struct block *spare; /* kept by a reset, not in use */
};

static NORETURN void out_of_memory(size_t size)
{
    fprintf(stderr, "weirbook: no memory left (asked for %zu bytes); nothing half done was kept\n",
            size);
    exit(70);
}

/* A spare block of at least the size; NULL when there is none. */
static struct block *block_take_spare(struct arena *mem, size_t size)
{
    for (struct block **at = &mem->spare; *at; at = &(*at)->older) {
        struct block *block = *at;

        if (block->size < size)
            continue;
        *at = block->older;
        return block;
    }

    return NULL;
}

static void block_add(struct arena *mem, size_t size)
{
    struct block *spare = block_take_spare(mem, size);

    if (spare) {
        spare->older = mem->newest;
        spare->used = 0;
        mem->newest = spare;
        return;
    }

    size_t step = mem->newest ? mem->newest->size * 2 : FIRST_BLOCK;
    bool large = size >= LARGE_FROM;

    if (step > LARGEST_STEP)
        step = LARGEST_STEP;
    if (step < size || large)
        step = size;

    size_t whole = step <= SIZE_MAX - sizeof(struct block) ? sizeof(struct block) + step : SIZE_MAX;
    struct block *block = whole == SIZE_MAX ? NULL : large ? calloc(1, whole) : malloc(whole);

    if (!block)
        out_of_memory(size);

    block->older = mem->newest;
    block->size = step;
    block->used = 0;
    block->clear_from = large ? 0 : step;
    mem->newest = block;
}

struct arena *arena_new(void)
{
    struct arena *mem = calloc(1, sizeof(*mem));

    if (!mem)
        out_of_memory(sizeof(*mem));

    return mem;
}

static void blocks_free(struct block *newest)
{
    for (struct block *block = newest, *older; block; block = older) {
        older = block->older;
        free(block);
    }
}

void arena_free(struct arena **mem)
{
    if (!*mem)
        return;
    blocks_free((*mem)->newest);
    blocks_free((*mem)->spare);
    free(*mem);
    *mem = NULL;
}

void arena_reset(struct arena *mem)
{
    size_t kept = 0;

    for (const struct block *block = mem->spare; block; block = block->older)
        kept += block->size;
    for (struct block *block = mem->newest, *older; block; block = older) {
        older = block->older;
        kept += block->size;
        if (kept > KEPT_MOST && block != mem->newest) {
            kept -= block->size;
            free(block);
            continue;
        }
        block->older = mem->spare;
        mem->spare = block;
    }
    mem->newest = NULL;
}

/* Put one chain behind the blocks of another. */
static void chain_add(struct block **chain, struct block *blocks)
{
    while (*chain)
        chain = &(*chain)->older;
    *chain = blocks;
}

void arena_take_over(struct arena *mem, struct arena **other)
{
    chain_add(&mem->newest, (*other)->newest);
    blocks_free((*other)->spare);
    free(*other);
    *other = NULL;
}

void *arena_alloc(struct arena *mem, size_t size)
{
    size_t unit = alignof(max_align_t);

    if (size > SIZE_MAX / 2)
        out_of_memory(size);
    size = size ? (size + unit - 1) / unit * unit : unit;
    if (!mem->newest || mem->newest->size - mem->newest->used < size)
        block_add(mem, size);

    struct block *block = mem->newest;
    unsigned char *at = block->bytes + block->used;
    size_t written = block->clear_from > block->used ? block->clear_from - block->used : 0;

    memset(at, 0, written < size ? written : size);
    block->used += size;
    if (block->clear_from < block->used)
        block->clear_from = block->used;

    return at;
}

size_t arena_held(const struct arena *mem)
{
    size_t held = 0;

    for (const struct block *block = mem->newest; block; block = block->older)
        held += block->size;

    return held;
}

void *arena_array(struct arena *mem, size_t count, size_t size)
{
    if (size && count > SIZE_MAX / 2 / size)
        out_of_memory(SIZE_MAX);

    return arena_alloc(mem, count * size);
}

char *arena_strdup(struct arena *mem, const char *text)
{
    return text ? arena_strndup(mem, text, strlen(text)) : NULL;
}

char *arena_strndup(struct arena *mem, const char *text, size_t length)
{
    char *copy = arena_alloc(mem, length + 1);

    memcpy(copy, text, length);

    return copy;
}

void *arena_copy(struct arena *mem, const void *from, size_t size)
{
    void *copy = arena_alloc(mem, size);

    if (size)
        memcpy(copy, from, size);

    return copy;
}

char *arena_printf(struct arena *mem, const char *fmt, ...)
{
    va_list args;
    va_list again;

    va_start(args, fmt);
    va_copy(again, args);

    int length = vsnprintf(NULL, 0, fmt, args);
    char *text = arena_alloc(mem, (size_t)(length < 0 ? 0 : length) + 1);

    if (length > 0)
        vsnprintf(text, (size_t)length + 1, fmt, again);
    va_end(again);
    va_end(args);

    return text;
}

void *arena_grow(struct arena *mem, const void *items, size_t count, size_t *capacity, size_t size)
{
    size_t room = *capacity ? *capacity * 2 : 8;
    void *grown = arena_array(mem, room, size);

    if (count)
        memcpy(grown, items, count * size);
    *capacity = room;

    return grown;
}
