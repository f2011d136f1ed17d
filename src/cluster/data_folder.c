#include "cluster/data_folder.h"

#include <dirent.h>
#include <errno.h>
#include <limits.h>
#include <pwd.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/file.h"
#include "base/str.h"

static bool check_owner(struct arena *mem, const struct account *account, const char *folder,
                        struct err *err)
{
    struct stat status;

    if (stat(folder, &status) != 0)
        return file_fail(err, errno, "look at", folder);
    if (status.st_uid == account->uid)
        return true;

    const struct passwd *entry = getpwuid(status.st_uid);
    const char *owner =
        entry ? entry->pw_name : arena_printf(mem, "user number %u", (unsigned)status.st_uid);

    err_set(err, ERR_DENIED, "the database in %s belongs to '%s', not to '%s'", folder, owner,
            account->name);

    return err_hint(err, "Run the same command as '%s'.", owner);
}

bool data_folder_find(struct arena *mem, const struct account *account, const char *path,
                      char **full, struct err *err)
{
    char *folder = NULL;

    if (!file_full_path(mem, arena_printf(mem, "%s/postgres", path), &folder, err)) {
        if (err->code != ERR_NOT_FOUND)
            return false;
        err_set(err, ERR_NOT_FOUND, "there is no farm's database in %s", path);
        return err_hint(err, "Make a farm there first, or name the folder that holds it.");
    }
    if (!check_owner(mem, account, folder, err))
        return false;

    return file_full_path(mem, path, full, err);
}

/* The path from the root without links, of a folder of which a part may still be missing. */
static bool resolve(struct arena *mem, const char *path, char **full, struct err *err)
{
    char here[PATH_MAX];
    char known[PATH_MAX];
    const char *missing = "";

    if (*path != '/' && !getcwd(here, sizeof(here))) {
        file_fail(err, errno, "find the folder we are in, to reach", path);
        return false;
    }

    char *whole = *path == '/' ? arena_strdup(mem, path) : arena_printf(mem, "%s/%s", here, path);

    while (!realpath(*whole ? whole : "/", known)) {
        if (errno != ENOENT) {
            file_fail(err, errno, "use", path);
            return false;
        }

        char *slash = strrchr(whole, '/');

        missing = arena_printf(mem, "/%s%s", slash + 1, missing);
        *slash = '\0';
    }

    *full = arena_printf(mem, "%s%s", str_equal(known, "/") ? "" : known, missing);

    return true;
}

static bool closed_parent(const struct account *account, const char *parent, const char *full,
                          struct err *err)
{
    err_set(err, ERR_DENIED, "the account '%s', which runs the database, can't enter %s, above %s",
            account->name, parent, full);

    return err_hint(err, "Name a data folder elsewhere, or let others enter: chmod o+x %s", parent);
}

/* Every folder above must be open to the account, or the server could not start. */
static bool check_parents(struct arena *mem, const struct account *account, const char *full,
                          struct err *err)
{
    char *part = arena_strdup(mem, full);

    if (!account_may(account, "/", X_OK))
        return closed_parent(account, "/", full, err);
    for (char *slash = strchr(part + 1, '/'); slash; slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        if (file_exists(part) && !account_may(account, part, X_OK))
            return closed_parent(account, part, full, err);
        *slash = '/';
    }

    return true;
}

static bool is_empty(const char *folder)
{
    DIR *open_folder = opendir(folder);
    size_t entries = 0;

    if (!open_folder)
        return false;
    while (readdir(open_folder))
        entries++;
    closedir(open_folder);

    return entries <= 2; /* . and .. */
}

/* An empty folder that root made, or had, becomes the account's. */
static bool hand_over(const struct account *account, const char *full, struct err *err)
{
    struct stat status;

    if (!account->from_root || lstat(full, &status) != 0 || status.st_uid != 0 || !is_empty(full))
        return true;
    if (lchown(full, account->uid, account->gid) != 0 || chmod(full, 0700) != 0)
        return file_fail(err, errno, "give the account 'weirbook' the folder", full);

    return true;
}

bool data_folder_make(struct arena *mem, const struct account *account, const char *path,
                      char **full, struct err *err)
{
    char *folder = NULL;

    if (!resolve(mem, path, &folder, err) || !check_parents(mem, account, folder, err) ||
        !file_make_folders(folder, account->from_root ? 0755 : 0700, err) ||
        !hand_over(account, folder, err))
        return false;
    if (!account_may(account, folder, R_OK | W_OK | X_OK)) {
        err_set(err, ERR_DENIED, "the account '%s', which runs the database, can't write in %s",
                account->name, folder);
        return err_hint(err,
                        "Name a folder that is not there yet, or give it this one: chown %s %s",
                        account->name, folder);
    }

    return file_full_path(mem, folder, full, err);
}
