#include "cluster/pause.h"

#include <time.h>

static int64_t elapsed_ms(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);

    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

struct pause pause_begin(int most_seconds)
{
    return (struct pause){.until_ms = elapsed_ms() + (int64_t)most_seconds * 1000};
}

bool pause_once(const struct pause *pause)
{
    const struct timespec step = {.tv_nsec = 10 * 1000 * 1000};

    if (elapsed_ms() >= pause->until_ms)
        return false;
    nanosleep(&step, NULL);

    return true;
}
