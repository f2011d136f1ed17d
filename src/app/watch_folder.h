/*
 * Watching a folder into which loggers, mail clients and people drop files: one round over it.
 *
 * Only plain files are opened, and nothing follows a link: folders, links, pipes, sockets and
 * devices are left alone, and so is a file with a second name (a hard link). A file's name is a
 * label, never a path. Left alone too, for they are not complete: names that begin with a dot or
 * end in .part, .tmp or .crdownload, files that some program has open for writing (where the
 * system can tell), and files that changed less than the settle time ago by the folder's own
 * clock.
 *
 * What becomes of a complete file, in this order, so that being ended at any moment loses nothing
 * and takes nothing twice (the same bytes of the same source are known already):
 *
 *     FOLDER/name           claimed: moved to FOLDER/.taking/name, out of reach of who writes
 *                           another file of that name
 *     FOLDER/.taking/name   taken in by its source, in one transaction; what lies there at the
 *                           start of a round was left by one that was ended, and goes first
 *     DONE/name             taken in, or known already
 *     REFUSED/name          can't be read by its source: NAME.txt beside it says why, and a
 *                           finding 'refused file' is open
 *
 * Nothing is ever deleted or overwritten: where a name is taken, name-2, name-3 and so on. When
 * the database is away the file stays in .taking for the next round.
 */
#ifndef APP_WATCH_FOLDER_H
#define APP_WATCH_FOLDER_H

#include "app/take_in.h"
#include "farmfile/settings.h"

enum {
    WATCH_FILES_MOST = 50,      /* taken in one round; the others wait for the next */
    WATCH_ENTRIES_MOST = 50000, /* of a folder; one with more is told, not worked through */
};

/* What became of one file, for telling whoever looks on. */
enum watch_became { WATCH_TAKEN, WATCH_KNOWN, WATCH_REFUSED };

struct watch_result {
    int taken;
    int known; /* came in before */
    int refused;
    int waiting; /* not complete yet */
    int left;    /* no plain files, or with a second name */
    int opened;  /* findings */
    int failed;  /* folders, of watch_folders() */
};

struct watch_options {
    /* A folder of several failed, and the others go on. NULL: nobody looks on. */
    void (*failed)(void *context, const char *folder, const struct err *err);
    struct take_in_options take_in; /* unattended and opened are set by the round */
    void *context;
    /* A file was dealt with; `words` say what came of it. NULL: nobody looks on. */
    void (*tell)(void *context, enum watch_became became, const char *name, const char *words);
};

/*
 * One round. The folders for done, refused and .taking are made where they lack.
 *
 * ERR_NOT_FOUND: the folder is not there, or the farm has no such source. ERR_DENIED: files can't
 * be moved in it. ERR_CONFLICT: another program works through it just now. ERR_UNAVAILABLE: the
 * database went away or the disk is full; the next round goes on. *result counts what was done.
 */
/*
 * One round over every folder that is watched for this farm; *result adds them up. A folder that
 * fails is told and counted, and the others go on; only without a database all of it ends.
 */
MUST_CHECK bool watch_folders(struct db *db, const struct open_farm *farm,
                              const struct machine_settings *settings, instant now,
                              const struct watch_options *options, struct watch_result *result,
                              struct err *err);

MUST_CHECK bool watch_folder(struct db *db, const struct open_farm *farm,
                             const struct settings_watch *watch, instant now,
                             const struct watch_options *options, struct watch_result *result,
                             struct err *err);

#endif
