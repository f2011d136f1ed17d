/*
 * What lies where in a data folder.
 */
#ifndef CLUSTER_PATHS_H
#define CLUSTER_PATHS_H

#include "base/arena.h"

struct paths {
    char *data;       /* full path, no links */
    char *postgres;   /* the cluster */
    char *fresh;      /* the cluster while it is being made */
    char *start_lock; /* who starts, makes or stops holds it alone */
    char *users_lock; /* who uses the server shares it */
    char *start_log;  /* what the server said before its own log began */
    char *make_log;   /* what initdb said, until the cluster is made */
};

struct paths paths_of(struct arena *mem, const char *data_folder);

#endif
