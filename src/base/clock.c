#include "base/clock.h"

#include <stdlib.h>
#include <time.h>

static const char *const override_name = "WEIRBOOK_NOW";

instant clock_now(void)
{
    const char *override = getenv(override_name);
    struct err err = ERR_INIT;
    struct timespec now;
    instant at;

    if (override && instant_parse(override, &at, &err))
        return at;
    clock_gettime(CLOCK_REALTIME, &now);

    return now.tv_sec * SECOND_US + now.tv_nsec / 1000;
}

double clock_steady_s(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);

    return (double)now.tv_sec + (double)now.tv_nsec / 1e9;
}

bool clock_check(struct err *err)
{
    const char *override = getenv(override_name);
    instant at;

    if (override && !instant_parse(override, &at, err))
        return err_wrap(err, "%s", override_name);

    return true;
}
