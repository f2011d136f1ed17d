#include "cluster/socket.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/crypto.h"
#include "base/file.h"
#include "base/str.h"

#define RUN_FOLDER "/run/weirbook"

bool socket_folder_fits(const char *folder)
{
    return strlen(folder) + strlen("/" SOCKET_NAME) <= SOCKET_PATH_MAX && !strpbrk(folder, ",\"");
}

static char *folder_beside(struct arena *mem, const char *data_folder)
{
    return arena_printf(mem, "%s/run", data_folder);
}

/* It is a real folder, the account's own and closed to others. */
static bool is_ours(const struct account *account, const char *folder)
{
    struct stat status;

    return lstat(folder, &status) == 0 && S_ISDIR(status.st_mode) &&
           status.st_uid == account->uid && (status.st_mode & 077) == 0;
}

static bool make_one(const struct account *account, const char *folder, struct err *err)
{
    CLEANUP(account_files_end) struct account_files files = account_files_begin(account);

    if (mkdir(folder, 0700) != 0 && errno != EEXIST)
        return file_fail(err, errno, "make the folder", folder);
    if (!is_ours(account, folder)) {
        err_set(err, ERR_DENIED, "%s is there already and is not a closed folder of '%s'", folder,
                account->name);
        return err_hint(err, "Find out whose it is. The database's socket must lie in it.");
    }

    return true;
}

/*
 * The account's run folder, if it has one: made by root, or by the system when it started the
 * account's service.
 */
static bool has_run_folder(const struct account *account)
{
    if (!account_is_system(account))
        return false;
    if (account->from_root && mkdir(RUN_FOLDER, 0700) == 0 &&
        lchown(RUN_FOLDER, account->uid, account->gid) != 0)
        return false;

    return is_ours(account, RUN_FOLDER);
}

bool socket_folder_make(struct arena *mem, const struct account *account, const char *data_folder,
                        char **out, struct err *err)
{
    char *folder = folder_beside(mem, data_folder);
    unsigned long long hash = (unsigned long long)text_id(data_folder);

    if (!socket_folder_fits(folder))
        folder = has_run_folder(account)
                     ? arena_printf(mem, RUN_FOLDER "/%016llx", hash)
                     : arena_printf(mem, "/tmp/weirbook-%u-%016llx", (unsigned)account->uid, hash);
    if (!make_one(account, folder, err))
        return false;

    *out = folder;

    return true;
}

void socket_folder_drop(const struct account *account, const char *data_folder, const char *folder)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(account_files_end) struct account_files files = account_files_begin(account);

    if (!str_equal(folder, folder_beside(mem, data_folder)))
        rmdir(folder);
}
