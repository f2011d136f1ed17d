/*
 * Outlet shut: when the outlet of a licence's point was shut, by its own record. A state holds
 * until the next word or the farm's own longest silence; one in doubt never says that it was shut.
 */
#ifndef APP_OUTLET_SHUT_H
#define APP_OUTLET_SHUT_H

#include "app/place_values.h"

struct shut_span {
    instant from;
    instant until;
};

struct shut_times {
    struct shut_span *items; /* in order, apart from each other */
    size_t count;
    size_t capacity;
};

/* Within first <= t < until; none where the station is no point with an outlet's record. */
MUST_CHECK bool outlet_shut_load(struct place_reader *reader, const char *station, instant first,
                                 instant until, struct shut_times *out, struct err *err);

/* How much of from..until it was shut. */
int64_t outlet_shut_us(const struct shut_times *shut, instant from, instant until);

bool outlet_shut_at(const struct shut_times *shut, instant at);

#endif
