/*
 * The standing process: it watches folders and looks at what time alone brings, for one farm, until
 * it is told to stop. It calls use cases of app/ and decides nothing itself.
 *
 * Each thing it does again and again is a step: a row with how often. What feeds readings in by
 * another way (a request, a message) becomes a step, or wakes one, and calls the same take_in()
 * with a file that is open already.
 *
 * SIGHUP reads weirbook.conf, its secrets and the farm file anew; where they don't check, those
 * that were in force stay so, and the log says why. A new version of the farm file is noticed by
 * itself. Without a database it goes on trying, at longer and longer intervals up to a minute;
 * files wait in their folders meanwhile. Only one runs for a farm and data folder.
 */
#ifndef SERVE_SERVE_H
#define SERVE_SERVE_H

#include <signal.h>
#include <stdio.h>

#include "app/watch_folder.h"

/* Who lends it a connection. */
struct serve_host {
    void *context;
    bool (*connect)(void *context, struct db **out, struct err *err);
    void (*disconnect)(void *context);
};

struct serve_options {
    struct serve_host host;
    struct units *units;
    const char *farm_key;    /* NULL: the only farm there is */
    const char *data_folder; /* of weirbook.conf, secrets/ and the lock */
    const volatile sig_atomic_t *stop;
    bool (*room_enough)(uint64_t free_bytes, uint64_t total_bytes); /* take_in.h */
    FILE *log;
};

/*
 * Run until told to stop.
 *
 * ERR_CONFLICT: another one runs for this farm. ERR_INVALID, ERR_DENIED, ERR_NOT_FOUND: the farm,
 * its settings or secrets can't be used at the start. A database that is away is no error.
 */
MUST_CHECK bool serve_run(const struct serve_options *options, struct err *err);

/* The unit file for systemd. */
const char *serve_unit(void);

#endif
