/*
 * Drop folder: the files side of watching a folder (watch_folder.h): what lies in it, whether it
 * is complete, and moving it on. Knows no database.
 *
 * All is done relative to open folders, and no name leads out of them.
 */
#ifndef APP_DROP_FOLDER_H
#define APP_DROP_FOLDER_H

#include <stdbool.h>
#include <stddef.h>
#include <sys/stat.h>
#include <time.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/macro.h"
#include "farmfile/settings.h"

struct drop_folder {
    struct arena *mem;
    const char *path;
    int folder;
    int taking; /* locked: one program works through a folder at a time */
    int done;
    int refused;
    struct timespec clock; /* zero: not needed yet */
};

#define DROP_FOLDER_CLOSED                                                                         \
    ((struct drop_folder){.folder = -1, .taking = -1, .done = -1, .refused = -1})

/* ERR_NOT_FOUND, ERR_DENIED, ERR_INVALID (it is no folder), ERR_CONFLICT (somebody has it). */
MUST_CHECK bool drop_folder_open(struct arena *mem, const struct settings_watch *watch,
                                 struct drop_folder *out, struct err *err);
void drop_folder_close(struct drop_folder *drop); /* for CLEANUP */

/* Names in order of their bytes, without those that are never taken (.part and so on). */
struct drop_names {
    const char **items;
    size_t count;
    size_t capacity;
};

MUST_CHECK bool drop_folder_names(struct drop_folder *drop, int folder, struct drop_names *out,
                                  struct err *err);

enum drop_state {
    DROP_READY,
    DROP_WAITING, /* may still be written */
    DROP_LEFT,    /* no plain file, or one with a second name */
    DROP_GONE,
};

/*
 * Whether a file of the watched folder, or of .taking, may be taken. It is still being written when
 * it changed within the settle time, by the clock of the machine that its disk belongs to. Where
 * the system can't tell whether somebody has it open, within so many times that.
 */
enum { DROP_UNTOLD_TIMES = 6 };

MUST_CHECK bool drop_look(struct drop_folder *drop, int folder, const char *name, int settle_s,
                          enum drop_state *out, struct err *err);

/* Move a file into .taking. *moved false: it is gone, or one of that name is there still. */
MUST_CHECK bool drop_claim(struct drop_folder *drop, const char *name, bool *moved,
                           struct err *err);

/* Open a plain file of .taking for reading; *fd -1: it is gone, or none. ERR_DENIED: not ours
 * to read. */
MUST_CHECK bool drop_open_claimed(const struct drop_folder *drop, const char *name, int *fd,
                                  struct stat *status, struct err *err);

/* Whether the file is still as it was when it was opened: nobody wrote to it since. */
bool drop_unchanged(int fd, const struct stat *status);

/* Move a file of .taking to a folder under a name that is free there, and bring both to the disk.
 */
MUST_CHECK bool drop_move_on(struct drop_folder *drop, const char *name, int to, struct err *err);

/* The same to the refused folder, beside a text NAME.txt that says why. */
MUST_CHECK bool drop_refuse(struct drop_folder *drop, const char *name, const char *why,
                            struct err *err);

/* A name as it may be shown and stored: bytes that are no letters as \xNN. */
char *drop_label(struct arena *mem, const char *name);

#endif
