/*
 * Make the cluster: initdb, our settings, and the empty database `weirbook` in it.
 *
 * It is made beside its place and put there in one step, so that it is whole or not there: what
 * an interrupted making left is thrown away by the next.
 */
#ifndef CLUSTER_MAKE_H
#define CLUSTER_MAKE_H

#include <stdbool.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/macro.h"
#include "cluster/account.h"
#include "cluster/paths.h"

/*
 * start.lock is held through `start_fd`; the programs that make the cluster share it, so that if
 * we are killed nobody else begins before they have ended.
 */
MUST_CHECK bool make_cluster(struct arena *mem, const struct paths *paths,
                             const struct account *account, int start_fd, struct err *err);

/*
 * Write the files that are ours (settings, who may connect, who is who) where they differ from
 * what this program wants. postgresql.conf and what an administrator set are left alone.
 */
MUST_CHECK bool make_settings(struct arena *mem, const char *postgres_folder,
                              const struct account *account, struct err *err);

#endif
