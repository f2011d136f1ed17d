/*
 * Server: the postgres process that works in a folder: look at it, stop it, clear up after one
 * that was killed.
 *
 * A process counts only if it really is the folder's server: its working folder is that folder
 * and its program is postgres. A process number alone, which may have been given to somebody
 * else since, is never believed.
 */
#ifndef CLUSTER_SERVER_H
#define CLUSTER_SERVER_H

#include <stdbool.h>
#include <sys/types.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/macro.h"

enum server_state {
    SERVER_NONE,     /* no server, though an old pid file may lie there */
    SERVER_STARTING, /* coming up, perhaps replaying what a crash left */
    SERVER_READY,
    SERVER_STOPPING,
};

struct server {
    enum server_state state;
    pid_t pid;
    char *socket_folder; /* as the server says; NULL before it knows */
};

/* What stands there now. Never fails: what can't be read is no server of ours. */
struct server server_look(struct arena *mem, const char *postgres_folder);

/* A process is the server (or a part of one) of this folder. */
bool server_is(pid_t pid, const char *postgres_folder);

/*
 * Watch a process that was just started, by a pidfd to be closed (-1: it is gone). While it comes
 * up, server_is does not know it: postgres looks for its own program from other folders first.
 */
int server_watch(pid_t pid);
bool server_ended(int watch);

/* A client gets through to the socket in this folder. */
bool server_answers(const char *socket_folder);

/*
 * Stop it, letting what is written down reach the disk. After two minutes it is stopped the hard
 * way, which costs nothing but a longer next start. Fine when it is gone already.
 */
MUST_CHECK bool server_stop(pid_t pid, const char *postgres_folder, struct err *err);

/*
 * With no server there: wait for the children of a killed one, end those that stay, and only then
 * take away the pid file and the socket it left.
 */
MUST_CHECK bool server_clear(struct arena *mem, const char *postgres_folder,
                             const char *socket_folder, struct err *err);

#endif
