/*
 * The last words of a log, for the error of a server that did not come up.
 */
#ifndef CLUSTER_LOG_TAIL_H
#define CLUSTER_LOG_TAIL_H

#include <stddef.h>

#include "base/arena.h"

/*
 * The last lines of a file, at most `most_lines`, each cut after `most_bytes`, with "; " between
 * them; "" when the file is empty or can't be read. Control bytes are shown, not sent.
 */
char *log_tail(struct arena *mem, const char *path, size_t most_lines, size_t most_bytes);

/* The file in a folder that was written to last, NULL when there is none. */
char *log_newest(struct arena *mem, const char *folder);

#endif
