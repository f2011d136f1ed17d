/*
 * PostgreSQL's own programs: which majors this machine has, and which one a data folder needs.
 * Debian's packages keep each major in a folder of its own, so several stand side by side.
 */
#ifndef CLUSTER_PROGRAMS_H
#define CLUSTER_PROGRAMS_H

#include <stdbool.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/macro.h"

enum {
    PROGRAMS_OLDEST = 15, /* what the schema needs */
};

/*
 * The folder of the newest major here, for making a cluster.
 * ERR_UNAVAILABLE: none is installed that is new enough.
 */
MUST_CHECK bool programs_newest(struct arena *mem, char **folder, struct err *err);

/*
 * The folder of the major that made the data in `postgres_folder` (its PG_VERSION).
 * ERR_CONFLICT: another major than any we can run, or one that is not installed; both sides are
 * named. ERR_INVALID: PG_VERSION is not there or says nothing sensible.
 */
MUST_CHECK bool programs_for(struct arena *mem, const char *postgres_folder, char **folder,
                             struct err *err);

#endif
