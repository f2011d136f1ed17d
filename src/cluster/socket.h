/*
 * The folder of the server's socket: DATA/run where that works. A socket's path holds at most 107
 * bytes (struct sockaddr_un of Linux), and libpq and PostgreSQL both read a comma in it as the
 * end of a name; then it is a short folder of our own under /run/weirbook or /tmp.
 *
 * A program that finds the server running uses the folder the server names, so it does not
 * matter who started it.
 */
#ifndef CLUSTER_SOCKET_H
#define CLUSTER_SOCKET_H

#include <stdbool.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/macro.h"
#include "cluster/account.h"

#define SOCKET_PORT "5432" /* only a part of the name: nothing listens on the network */
#define SOCKET_NAME ".s.PGSQL." SOCKET_PORT

enum { SOCKET_PATH_MAX = 107 };

/* Whether a socket can lie in this folder. */
bool socket_folder_fits(const char *folder);

/*
 * Choose and make the folder, mode 0700 and the account's own.
 * ERR_DENIED: the short folder's name is taken by somebody else.
 */
MUST_CHECK bool socket_folder_make(struct arena *mem, const struct account *account,
                                   const char *data_folder, char **out, struct err *err);

/* Take an empty short folder away again; DATA/run stays. */
void socket_folder_drop(const struct account *account, const char *data_folder, const char *folder);

#endif
