#include "harness/program.h"

#include <dirent.h>
#include <errno.h>
#include <grp.h>
#include <pwd.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/macro.h"
#include "base/str.h"

void program_account(uid_t *uid, gid_t *gid)
{
    static const char *const names[] = {"weirbook", "postgres", "nobody"};

    *uid = geteuid();
    *gid = getegid();
    for (size_t i = 0; *uid == 0 && i < ARRAY_LEN(names); i++) {
        struct passwd *account = getpwnam(names[i]);

        if (account) {
            *uid = account->pw_uid;
            *gid = account->pw_gid;
        }
    }
}

const char *program_postgres_folder(struct arena *mem)
{
    static const char root[] = "/usr/lib/postgresql";
    DIR *folder = opendir(root);
    long newest = 0;

    for (struct dirent *entry; folder && (entry = readdir(folder));) {
        long major = strtol(entry->d_name, NULL, 10);
        char *initdb = arena_printf(mem, "%s/%ld/bin/initdb", root, major);

        if (major >= 15 && major > newest && access(initdb, X_OK) == 0)
            newest = major;
    }
    if (folder)
        closedir(folder);

    if (!newest) {
        fprintf(stderr, "no PostgreSQL from 15 on below %s\n", root);
        exit(1);
    }

    return arena_printf(mem, "%s/%ld/bin", root, newest);
}

/* --- the child ----------------------------------------------------------------------------- */

static bool is_foreign(const char *variable)
{
    return str_starts(variable, "PG") || str_starts(variable, "LC_") ||
           str_starts(variable, "LD_") || str_starts(variable, "LANG");
}

static void environment_clear(void)
{
    for (size_t i = 0; environ[i];) {
        char name[256];

        if (!is_foreign(environ[i])) {
            i++;
            continue;
        }
        snprintf(name, sizeof(name), "%.*s", (int)strcspn(environ[i], "="), environ[i]);
        unsetenv(name); /* moves the later ones down */
    }
}

static bool account_become(void)
{
    uid_t uid;
    gid_t gid;

    program_account(&uid, &gid);

    return getuid() != 0 || (setgroups(1, &gid) == 0 && setgid(gid) == 0 && setuid(uid) == 0);
}

static NORETURN void child(const char *const *argv, bool as_account, int input, int output)
{
    dup2(input, STDIN_FILENO);
    dup2(output, STDOUT_FILENO);
    dup2(output, STDERR_FILENO);
    closefrom(STDERR_FILENO + 1);
    environment_clear();
    if (chdir("/") == 0 && (!as_account || account_become()))
        execvp(argv[0], (char *const *)(uintptr_t)argv);
    fprintf(stderr, "%s: %s\n", argv[0], strerror(errno));
    _exit(127);
}

/* --- the parent ---------------------------------------------------------------------------- */

/* An unlinked file that holds the input. */
static int input_file(const char *input)
{
    FILE *file = tmpfile();
    int fd = -1;

    if (file && (!input || fputs(input, file) >= 0) && fflush(file) == 0) {
        rewind(file);
        fd = dup(fileno(file));
    }
    if (file)
        fclose(file);

    return fd;
}

static char *read_all(struct arena *mem, int fd)
{
    struct buf text = buf_new(mem);
    char block[4096];
    ssize_t count;

    while ((count = read(fd, block, sizeof(block))) > 0)
        buf_add(&text, block, (size_t)count);

    return text.data;
}

int program_run(struct arena *mem, const char *const *argv, bool as_account, const char *input,
                char **out)
{
    int in = input_file(input);
    int ends[2];
    int status = -1;

    if (in < 0 || pipe(ends) != 0)
        return -1;

    pid_t pid = fork();

    if (pid == 0)
        child(argv, as_account, in, ends[1]);
    close(in);
    close(ends[1]);
    *out = pid > 0 ? read_all(mem, ends[0]) : arena_strdup(mem, "can't fork");
    close(ends[0]);
    if (pid < 0 || waitpid(pid, &status, 0) != pid || !WIFEXITED(status))
        return -1;

    return WEXITSTATUS(status);
}
