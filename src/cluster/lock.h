/*
 * Locks on a file, held by an open file and so by the process that opened it: they go when it
 * ends, however it ends. Open-file-description locks (fcntl F_OFD_SETLK): two locks of one
 * process on the same file exclude each other too.
 */
#ifndef CLUSTER_LOCK_H
#define CLUSTER_LOCK_H

#include <stdbool.h>

#include "base/err.h"
#include "base/macro.h"

enum lock_kind { LOCK_SHARED, LOCK_EXCLUSIVE };

/* Open the lock file, made when it is not there, without locking it. Follows no link. */
MUST_CHECK bool lock_open(const char *path, int *fd, struct err *err);

/* Take the lock, or change its kind, if that needs no waiting. */
MUST_CHECK bool lock_try(int fd, enum lock_kind kind);

/* Take it, waiting at most so long. False: somebody else still has it. */
MUST_CHECK bool lock_wait(int fd, enum lock_kind kind, int most_seconds);

/* Let go, and keep the file open to take it again. */
void lock_release(int fd);

/* Let go and close; for CLEANUP. Fine on -1. */
void lock_close(int *fd);

#endif
