#include "cluster/account.h"

#include <errno.h>
#include <grp.h>
#include <pwd.h>
#include <sys/fsuid.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/str.h"

enum { GROUPS_MAX = 256 };

static bool no_account(uid_t uid, struct err *err)
{
    if (uid != 0) {
        err_set(err, ERR_DENIED, "user number %u has no name on this machine", (unsigned)uid);
        return err_hint(err, "PostgreSQL needs one: run as a user that is listed in /etc/passwd.");
    }
    err_set(err, ERR_DENIED,
            "root can't run the database itself, and there is no account '%s' to run it",
            ACCOUNT_SYSTEM);

    return err_hint(err, "Make it with: adduser --system --group --home /var/lib/weirbook "
                         "--no-create-home weirbook");
}

/* The account's groups, asked for here because a forked child may not. */
static void find_groups(struct arena *mem, struct account *account)
{
    gid_t groups[GROUPS_MAX];
    int count = GROUPS_MAX;

    if (getgrouplist(account->name, account->gid, groups, &count) < 0)
        count = 0;
    account->groups = ARENA_ARRAY(mem, gid_t, (size_t)count);
    account->group_count = (size_t)count;
    for (int i = 0; i < count; i++)
        account->groups[i] = groups[i];
}

bool account_find(struct arena *mem, struct account *out, struct err *err)
{
    uid_t uid = geteuid();
    const struct passwd *entry = uid == 0 ? getpwnam(ACCOUNT_SYSTEM) : getpwuid(uid);

    if (!entry)
        return no_account(uid, err);
    if (entry->pw_uid == 0)
        return err_set(err, ERR_DENIED, "the account '%s' has root's own number", entry->pw_name);

    struct account account = {
        .name = arena_strdup(mem, entry->pw_name),
        .home = arena_strdup(mem, entry->pw_dir),
        .uid = entry->pw_uid,
        .gid = entry->pw_gid,
        .from_root = uid == 0,
    };

    find_groups(mem, &account);
    *out = account;

    return true;
}

bool account_is_system(const struct account *account)
{
    return str_equal(account->name, ACCOUNT_SYSTEM);
}

bool account_become(const struct account *account)
{
    if (!account->from_root)
        return true;
    if (setgroups(account->group_count, account->groups) != 0 ||
        setresgid(account->gid, account->gid, account->gid) != 0 ||
        setresuid(account->uid, account->uid, account->uid) != 0)
        return false;
    /* The proof: the way back must be closed. */
    if (setuid(0) == 0 || geteuid() != account->uid) {
        errno = EPERM;
        return false;
    }

    return true;
}

bool account_may(const struct account *account, const char *path, int access_mode)
{
    if (!account->from_root)
        return access(path, access_mode) == 0;

    pid_t child = fork();

    if (child == 0)
        _exit(account_become(account) && access(path, access_mode) == 0 ? 0 : 1);

    int status = 0;

    while (child > 0 && waitpid(child, &status, 0) < 0 && errno == EINTR)
        continue;

    return child > 0 && WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

struct account_files account_files_begin(const struct account *account)
{
    if (!account->from_root)
        return (struct account_files){.on = false};

    setfsgid(account->gid);
    setfsuid(account->uid);

    return (struct account_files){.on = true};
}

void account_files_end(struct account_files *files)
{
    if (!files->on)
        return;

    int kept = errno;

    setfsuid(geteuid());
    setfsgid(getegid());
    /* Changing them switched off core files and the leak checker. */
    prctl(PR_SET_DUMPABLE, 1);
    files->on = false;
    errno = kept;
}
