/*
 * Other programs, for tests: run one to its end and keep what it prints.
 *
 * PG*, LC_* and LD_* of the environment are not handed on. As root the program may be run as the
 * account that PostgreSQL runs as in tests: `weirbook` where there is one, else `postgres`, else
 * `nobody`. For everybody else it is the user himself.
 */
#ifndef HARNESS_PROGRAM_H
#define HARNESS_PROGRAM_H

#include <stdbool.h>
#include <sys/types.h>

#include "base/arena.h"

/*
 * argv[0] is a path or a name looked up in PATH; input may be NULL. Returns the exit status, or
 * -1 when it could not be run or was killed. *out has its stdout and stderr, in order.
 */
int program_run(struct arena *mem, const char *const *argv, bool as_account, const char *input,
                char **out);

/* Whose files the account's programs may read and write: our own user when not root. */
void program_account(uid_t *uid, gid_t *gid);

/* The folder of the newest PostgreSQL programs from 15 on; ends the test program if none. */
const char *program_postgres_folder(struct arena *mem);

#endif
