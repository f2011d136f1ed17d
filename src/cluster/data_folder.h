/*
 * The data folder: find it, or make it ready for a new cluster.
 */
#ifndef CLUSTER_DATA_FOLDER_H
#define CLUSTER_DATA_FOLDER_H

#include <stdbool.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/macro.h"
#include "cluster/account.h"

/*
 * The full path of a folder that holds a cluster of this account.
 * ERR_NOT_FOUND: there is none. ERR_DENIED: it can't be entered, or belongs to another user.
 */
MUST_CHECK bool data_folder_find(struct arena *mem, const struct account *account, const char *path,
                                 char **full, struct err *err);

/*
 * Make the folder and those above it, and see that the account can use it. From root an empty
 * folder of root's is given to the account.
 *
 * ERR_DENIED: the account can't enter a folder above it (named, and nothing is made), or can't
 * write in it.
 */
MUST_CHECK bool data_folder_make(struct arena *mem, const struct account *account, const char *path,
                                 char **full, struct err *err);

#endif
