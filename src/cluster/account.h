/*
 * Account: who the private server runs as, and doing things as that account.
 *
 * For an ordinary user it is the user, and nothing here changes anything. For root it is the
 * system account `weirbook` (PostgreSQL refuses to run as root): the server and what makes it are
 * children that became the account for good, and files in the data folder are made and read with
 * the account's rights, so that a link put there can't lead root anywhere.
 */
#ifndef CLUSTER_ACCOUNT_H
#define CLUSTER_ACCOUNT_H

#include <stdbool.h>
#include <sys/types.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/macro.h"

#define ACCOUNT_SYSTEM "weirbook"

struct account {
    const char *name;
    const char *home;
    uid_t uid;
    gid_t gid;
    gid_t *groups;
    size_t group_count;
    bool from_root; /* we are root and the account is ACCOUNT_SYSTEM */
};

/* ERR_DENIED: root, and there is no such account (the hint makes it), or a user without a name. */
MUST_CHECK bool account_find(struct arena *mem, struct account *out, struct err *err);

/* The system account, whether as itself or from root: root may use its server too. */
bool account_is_system(const struct account *account);

/*
 * In a child process only: be the account, with no way back. False with errno set when that
 * can't be, or can't be proven. Calls nothing that a forked child of a threaded program may not.
 */
MUST_CHECK bool account_become(const struct account *account);

/* access(2) as the account: R_OK, W_OK, X_OK. */
bool account_may(const struct account *account, const char *path, int access_mode);

/*
 * File operations of this thread with the account's rights until the scope ends. A child forked
 * meanwhile can still account_become.
 *
 *     CLEANUP(account_files_end) struct account_files files = account_files_begin(account);
 */
struct account_files {
    bool on;
} __attribute__((unused)); /* only its end matters */

struct account_files account_files_begin(const struct account *account);
void account_files_end(struct account_files *files);

#endif
