/*
 * The private PostgreSQL: a cluster under the data folder, on a Unix socket only, shared by every
 * weirbook program that uses the folder. Started when first needed, stopped by the last to leave.
 *
 * Nobody is the server's parent: it is started detached, under an exclusive lock on start.lock.
 * Each program holds a shared lock on users.lock while it works. On leaving, whoever gets
 * users.lock exclusively without waiting, while holding start.lock, stops the server. After a
 * kill -9 the server stays up and the next program uses it.
 *
 *     DATA/postgres/     the cluster (mode 0700, checksums on)
 *     DATA/start.lock    DATA/users.lock
 *     socket             DATA/run, or a short folder when that path would pass 107 bytes
 *
 * As root everything below runs as the system account `weirbook` (made by start.sh; never
 * `postgres`), and the data folder is that account's.
 *
 * A program that holds a cluster and is ended by a signal leaves the server up; the next one uses
 * and then stops it. So main catches SIGINT and SIGTERM and leaves.
 */
#ifndef CLUSTER_CLUSTER_H
#define CLUSTER_CLUSTER_H

#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/macro.h"

struct cluster;

/*
 * Make sure the server of `data_folder` runs and hold it for this process. Makes the cluster when
 * the folder has none and `create` says so.
 *
 * ERR_NOT_FOUND: no cluster there and not asked to make one.
 * ERR_CONFLICT: data of another PostgreSQL major (both named, with what to do).
 * ERR_DENIED: the account can't enter a parent folder (named), or root without the account.
 * ERR_UNAVAILABLE: it did not come up; the last lines of its log are in the text.
 */
MUST_CHECK bool cluster_hold(const char *data_folder, bool create, struct cluster **out,
                             struct err *err);

/* libpq connection string without a user: "host=... port=5432 dbname=weirbook". */
const char *cluster_conninfo(const struct cluster *cluster);

/* Let go; stops the server when no other program holds it. For CLEANUP; fine on NULL. */
void cluster_leave(struct cluster **cluster);

/* Whether a server answers for the folder, without starting or holding it. */
bool cluster_running(const char *data_folder);

/*
 * Whether a disk has room for more readings: at least 500 MB, and at least 5 % of it. Taking in
 * asks this first; reading, reports and backup go on without.
 */
bool cluster_room_enough(uint64_t free_bytes, uint64_t total_bytes);

/* Where farm data lie when nobody says: /var/lib/weirbook as root or as the account itself,
 * else ~/.local/share/weirbook. */
MUST_CHECK bool cluster_default_folder(struct arena *mem, char **out, struct err *err);

#endif
