/*
 * Files: whole files in and out, folders, and the room left on a disk.
 *
 * Nothing here keeps a file open. Files that may be large are read piece by piece by their own
 * readers, not by file_read.
 *
 * Every error names the path and says what is wrong in plain words. Codes: ERR_NOT_FOUND (it is
 * not there), ERR_DENIED (not allowed), ERR_TOO_LARGE (over the caller's limit), ERR_UNAVAILABLE
 * (the disk is full or broken), ERR_INVALID (the path can't be what was asked for).
 */
#ifndef BASE_FILE_H
#define BASE_FILE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <sys/types.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/macro.h"

/*
 * The whole of a plain file, at most `limit` bytes. `bytes` ends in a NUL that `length` does not
 * count. A folder, pipe or device is ERR_INVALID, and none of them is waited for.
 */
MUST_CHECK bool file_read(struct arena *mem, const char *path, size_t limit, char **bytes,
                          size_t *length, struct err *err);

/*
 * Put a file in place in one step: after a crash at any moment the path holds the old bytes or
 * the new ones, never a part. Written beside it, brought to the disk, then renamed over it; the
 * mode is exactly `mode`. A symbolic link at `path` is replaced, not followed.
 */
MUST_CHECK bool file_write(const char *path, const void *bytes, size_t length, mode_t mode,
                           struct err *err);

/*
 * Make a folder and what is missing above it. Those made get exactly `mode`, whatever the umask;
 * those already there keep theirs. Fine when all are there.
 */
MUST_CHECK bool file_make_folders(const char *path, mode_t mode, struct err *err);

/* Remove a folder and all it holds, following no link; fine when it is not there. */
MUST_CHECK bool file_remove_tree(const char *path, struct err *err);

/* Bring a folder's own entries (after a rename in it) to the disk. */
MUST_CHECK bool file_sync_folder(const char *path, struct err *err);

/* Something of that name can be seen there, whatever it is; or a folder, or a plain file. */
bool file_exists(const char *path);
bool file_is_folder(const char *path);
bool file_is_plain(const char *path);

/* The path from the root, without links or `..`; all of it must exist. */
MUST_CHECK bool file_full_path(struct arena *mem, const char *path, char **out, struct err *err);

/* What a person without special rights may still write on the disk that holds `path`. */
struct file_space {
    uint64_t free_bytes;
    uint64_t total_bytes;
};

MUST_CHECK bool file_space(const char *path, struct file_space *out, struct err *err);

/*
 * Fill `err` from an errno value: "can't open /srv/a.csv: it is not there". `doing` is the verb.
 * Always false.
 */
bool file_fail(struct err *err, int number, const char *doing, const char *path);

#endif
