/*
 * Child: run a program as the account, to its end or left on its own.
 *
 * Always a fixed argv, never a shell. The environment is a short list of ours, so no LC_*, PG* or
 * LD_* of the caller gets through. Of our open files only the one named is passed on.
 */
#ifndef CLUSTER_CHILD_H
#define CLUSTER_CHILD_H

#include <stdbool.h>
#include <sys/types.h>

#include "base/err.h"
#include "base/macro.h"
#include "cluster/account.h"

struct child {
    const struct account *account;
    char *const *argv;  /* argv[0] is the full path; ends in NULL */
    const char *folder; /* where it works */
    const char *input;  /* text on its standard input (at most 4096 bytes), or NULL for none */
    const char *output; /* the file that gets what it prints; begun anew */
    int keep;           /* an open file it shares with us, or -1 */
};

/* ERR_UNAVAILABLE: it could not be run, or did not end with status 0. */
MUST_CHECK bool child_run(const struct child *child, struct err *err);

/*
 * Start it in a session of its own, as nobody's child, and say its process number. True means
 * that the program itself runs by now.
 */
MUST_CHECK bool child_start(const struct child *child, pid_t *pid, struct err *err);

#endif
