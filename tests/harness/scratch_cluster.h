/*
 * The cluster behind scratch.h: found or made, started, and seen to its end.
 */
#ifndef HARNESS_SCRATCH_CLUSTER_H
#define HARNESS_SCRATCH_CLUSTER_H

#include <stdbool.h>

#include "base/arena.h"

#define SCRATCH_TEMPLATE "weirbook_template"

struct scratch_cluster {
    const char *folder; /* with cluster/, s/ (the socket), log, lock and ready in it */
    const char *socket; /* the folder of the socket */
    const char *bin;    /* of PostgreSQL's programs */
    bool own;           /* goes with this test program */
    int keeper;         /* pipe whose end tells the keeper that we are gone; -1 without one */
};

/* Both print what went wrong to stderr. */
bool scratch_cluster_find(struct arena *mem, struct scratch_cluster *out);
void scratch_cluster_leave(struct scratch_cluster *cluster);

/* Run one of PostgreSQL's programs that connects to the cluster as weirbook_admin. */
bool scratch_cluster_tool(struct arena *mem, const struct scratch_cluster *cluster,
                          const char *const *argv);

/* "host=... port=5432 dbname=NAME" */
const char *scratch_cluster_conninfo(struct arena *mem, const struct scratch_cluster *cluster,
                                     const char *database);

#endif
