#include "cluster/server.h"

#include <dirent.h>
#include <errno.h>
#include <limits.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/pidfd.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

#include "base/file.h"
#include "base/str.h"
#include "cluster/pause.h"
#include "cluster/socket.h"

enum { PID_FILE_BYTES_MAX = 16384, FAST_STOP_S = 120, HARD_STOP_S = 20, ORPHAN_S = 5 };

/* The pid file's lines, counted from one (PostgreSQL: src/include/utils/pidfile.h). */
enum { LINE_PID = 1, LINE_SOCKET_FOLDER = 5, LINE_STATE = 8, LINES = 8 };

/* Split in place; lines that are not there yet stay "". */
static void split_lines(char *text, const char *lines[LINES + 1])
{
    for (int i = 1; i <= LINES; i++) {
        char *end = strchr(text, '\n');

        lines[i] = text;
        if (!end) {
            text += strlen(text);
            continue;
        }
        *end = '\0';
        text = end + 1;
    }
}

static pid_t pid_from_text(const char *text)
{
    char *end = NULL;
    long pid = strtol(text, &end, 10);

    return end != text && pid > 0 && pid <= INT_MAX ? (pid_t)pid : 0;
}

static enum server_state state_from_text(const char *text)
{
    if (str_starts(text, "ready") || str_starts(text, "standby"))
        return SERVER_READY;

    return str_starts(text, "stopping") ? SERVER_STOPPING : SERVER_STARTING;
}

bool server_is(pid_t pid, const char *postgres_folder)
{
    char path[64];
    char program[PATH_MAX];
    struct stat folder;
    struct stat works_in;

    snprintf(path, sizeof(path), "/proc/%d/cwd", (int)pid);
    if (stat(postgres_folder, &folder) != 0 || stat(path, &works_in) != 0 ||
        folder.st_dev != works_in.st_dev || folder.st_ino != works_in.st_ino)
        return false;

    snprintf(path, sizeof(path), "/proc/%d/exe", (int)pid);

    ssize_t length = readlink(path, program, sizeof(program) - 1);

    if (length < 0)
        return false;
    program[length] = '\0';

    /* An upgrade of the package removes the program of a server that still runs. */
    return str_ends(program, "/postgres") || str_ends(program, "/postgres (deleted)");
}

struct server server_look(struct arena *mem, const char *postgres_folder)
{
    const struct server none = {.state = SERVER_NONE};
    const char *lines[LINES + 1];
    struct err unread = ERR_INIT;
    char *text = NULL;
    size_t length = 0;

    if (!file_read(mem, arena_printf(mem, "%s/postmaster.pid", postgres_folder), PID_FILE_BYTES_MAX,
                   &text, &length, &unread))
        return none;

    split_lines(text, lines);

    pid_t pid = pid_from_text(lines[LINE_PID]);

    if (pid == 0 || !server_is(pid, postgres_folder))
        return none;

    return (struct server){
        .state = state_from_text(lines[LINE_STATE]),
        .pid = pid,
        .socket_folder =
            *lines[LINE_SOCKET_FOLDER] ? arena_strdup(mem, lines[LINE_SOCKET_FOLDER]) : NULL,
    };
}

bool server_answers(const char *socket_folder)
{
    struct sockaddr_un address = {.sun_family = AF_UNIX};
    int length =
        snprintf(address.sun_path, sizeof(address.sun_path), "%s/" SOCKET_NAME, socket_folder);

    if (length < 0 || (size_t)length >= sizeof(address.sun_path))
        return false;

    int fd = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);

    if (fd < 0)
        return false;

    bool answers = connect(fd, (const struct sockaddr *)&address, sizeof(address)) == 0;

    close(fd);

    return answers;
}

int server_watch(pid_t pid)
{
    return pidfd_open(pid, 0);
}

bool server_ended(int watch)
{
    struct pollfd ended = {.fd = watch, .events = POLLIN};

    return watch < 0 || poll(&ended, 1, 0) == 1;
}

/* Signal a process that is surely still the server, and wait for its end. */
static bool signal_and_wait(int pidfd, int number, int most_seconds)
{
    struct pause pause = pause_begin(most_seconds);

    if (pidfd_send_signal(pidfd, number, NULL, 0) != 0)
        return errno == ESRCH;
    do {
        if (server_ended(pidfd))
            return true;
    } while (pause_once(&pause));

    return false;
}

static void close_fd(const int *fd)
{
    if (*fd >= 0)
        close(*fd);
}

/* Send signals in turn until it ends. The pidfd keeps its number from going to another. */
static bool end_process(pid_t pid, const char *postgres_folder, bool gently, struct err *err)
{
    CLEANUP(close_fd) int pidfd = pidfd_open(pid, 0);

    if (pidfd < 0 && errno != ESRCH)
        return err_set(err, ERR_UNAVAILABLE, "can't stop the database process %d (system error %d)",
                       (int)pid, errno);
    if (pidfd < 0 || !server_is(pid, postgres_folder))
        return true;
    if (gently && signal_and_wait(pidfd, SIGINT, FAST_STOP_S))
        return true;
    if (signal_and_wait(pidfd, SIGQUIT, HARD_STOP_S) ||
        signal_and_wait(pidfd, SIGKILL, HARD_STOP_S))
        return true;

    return err_set(err, ERR_UNAVAILABLE, "the database process %d does not stop", (int)pid);
}

bool server_stop(pid_t pid, const char *postgres_folder, struct err *err)
{
    return end_process(pid, postgres_folder, true, err);
}

/* Some process that still works in the folder, or 0. */
static pid_t any_left(const char *postgres_folder)
{
    DIR *folder = opendir("/proc");
    pid_t found = 0;

    if (!folder)
        return 0;
    for (struct dirent *entry = readdir(folder); entry && !found; entry = readdir(folder)) {
        pid_t pid = pid_from_text(entry->d_name);

        if (pid > 0 && server_is(pid, postgres_folder))
            found = pid;
    }
    closedir(folder);

    return found;
}

static bool wait_for_orphans(const char *postgres_folder, struct err *err)
{
    struct pause pause = pause_begin(ORPHAN_S);

    while (any_left(postgres_folder)) {
        if (!pause_once(&pause))
            break;
    }
    for (pid_t pid = any_left(postgres_folder); pid; pid = any_left(postgres_folder)) {
        if (!end_process(pid, postgres_folder, false, err))
            return false;
    }

    return true;
}

bool server_clear(struct arena *mem, const char *postgres_folder, const char *socket_folder,
                  struct err *err)
{
    const char *const left[] = {
        arena_printf(mem, "%s/postmaster.pid", postgres_folder),
        arena_printf(mem, "%s/" SOCKET_NAME ".lock", socket_folder),
        arena_printf(mem, "%s/" SOCKET_NAME, socket_folder),
    };

    if (!wait_for_orphans(postgres_folder, err))
        return err_wrap(err, "left over from a database that was killed");
    for (size_t i = 0; i < ARRAY_LEN(left); i++) {
        if (unlink(left[i]) != 0 && errno != ENOENT)
            return file_fail(err, errno, "remove", left[i]);
    }

    return true;
}
