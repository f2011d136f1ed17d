/*
 * Loading a farm file: makes the farm when it is new, else says what would change and stores
 * the new version. Earlier versions stay.
 */
#ifndef APP_LOAD_FARM_H
#define APP_LOAD_FARM_H

#include "app/open_farm.h"

enum change_kind { CHANGE_NEW_ITEM, CHANGE_ITEM, CHANGE_GONE };

struct farm_change {
    enum change_kind kind;
    const char *what; /* "limit solids-mean" */
    const char *says; /* of a changed clause: "licence changed", "copied wrongly"; else NULL */
};

struct farm_changes {
    struct farm_change *items;
    size_t count;
    size_t capacity;
    const char *key;         /* of the farm */
    const struct farm *farm; /* as the file has it; in mem */
    bool new_farm;
    bool same_file; /* byte for byte the one in force */
    int version;    /* that it has now, or would have */
};

/*
 * Load `text`; with `dry_run` nothing is stored. `problems` has what is wrong in the file.
 *
 * ERR_INVALID: the file has problems; or a limit or interval changed and does not say whether
 * the licence changed or it was copied wrongly; or one is missing that was there.
 */
MUST_CHECK bool farm_load(struct db *db, struct arena *mem, struct units *units, const char *text,
                          size_t length, const struct act *act, bool dry_run,
                          struct farm_changes *changes, struct farmfile_problems *problems,
                          struct err *err);

#endif
