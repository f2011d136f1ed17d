#include "base/search.h"

size_t search_from(const void *items, size_t count, size_t size, size_t offset, int64_t key)
{
    size_t low = 0;
    size_t high = count;

    while (low < high) {
        size_t middle = low + (high - low) / 2;
        const int64_t *number = (const void *)((const char *)items + middle * size + offset);

        if (*number < key)
            low = middle + 1;
        else
            high = middle;
    }

    return low;
}
