#include "cluster/cluster.h"

#include <pwd.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/file.h"
#include "cluster/account.h"
#include "cluster/child.h"
#include "cluster/data_folder.h"
#include "cluster/lock.h"
#include "cluster/log_tail.h"
#include "cluster/make.h"
#include "cluster/paths.h"
#include "cluster/pause.h"
#include "cluster/programs.h"
#include "cluster/server.h"
#include "cluster/socket.h"

enum {
    START_LOCK_S = 180, /* somebody makes, starts or stops it */
    USERS_LOCK_S = 10,  /* nobody should be in the way */
    LEAVE_LOCK_S = 60,
    GONE_S = 15,   /* one that says it is ready and can't be reached */
    READY_S = 600, /* replaying after a crash may take minutes on a slow disk */
};

#define SYSTEM_FOLDER "/var/lib/weirbook"

struct cluster {
    struct arena *mem;
    struct account account;
    struct paths paths;
    char *conninfo;
    int start_fd; /* open all the time, locked only while starting and leaving */
    int users_fd;
};

/* Let go of everything but the server. */
static void cluster_drop(struct cluster **cluster)
{
    if (!*cluster)
        return;

    struct arena *mem = (*cluster)->mem;

    lock_close(&(*cluster)->users_fd);
    lock_close(&(*cluster)->start_fd);
    arena_free(&mem);
    *cluster = NULL;
}

static bool did_not_come_up(struct cluster *cluster, struct err *err)
{
    const char *file = cluster->paths.start_log;
    const char *said = log_tail(cluster->mem, file, 3, 100);

    /* Once its own log is open, what matters is there. */
    if (strstr(said, "logging collector")) {
        const char *log =
            log_newest(cluster->mem, arena_printf(cluster->mem, "%s/log", cluster->paths.postgres));

        file = log ? log : file;
        said = log_tail(cluster->mem, file, 3, 100);
    }
    err_set(err, ERR_UNAVAILABLE, "the database did not start: %s",
            *said ? said : "it said nothing");

    return err_hint(err, "The whole log is %.150s", file);
}

/* `watch` is of server_watch. */
static bool start_server(struct cluster *cluster, const char *programs, int *watch, struct err *err)
{
    struct arena *mem = cluster->mem;
    char *socket_folder = NULL;
    pid_t pid = 0;

    if (!socket_folder_make(mem, &cluster->account, cluster->paths.data, &socket_folder, err) ||
        !server_clear(mem, cluster->paths.postgres, socket_folder, err) ||
        !make_settings(mem, cluster->paths.postgres, &cluster->account, err))
        return false;

    /* What may never be otherwise stands here, where no settings file can change it. */
    char *argv[] = {
        arena_printf(mem, "%s/postgres", programs),
        "-D",
        cluster->paths.postgres,
        "-k",
        socket_folder,
        "-p",
        SOCKET_PORT,
        "-c",
        "listen_addresses=",
        "-c",
        "unix_socket_permissions=0700",
        NULL,
    };
    struct child child = {
        .account = &cluster->account,
        .argv = argv,
        .folder = cluster->paths.postgres,
        .output = cluster->paths.start_log,
        .keep = -1,
    };

    if (!child_start(&child, &pid, err))
        return false;
    *watch = server_watch(pid);

    return true;
}

static char *conninfo_for(struct arena *mem, const char *socket_folder)
{
    struct buf buf = buf_new(mem);

    buf_add_text(&buf, "host='");
    for (const char *at = socket_folder; *at; at++) {
        if (*at == '\'' || *at == '\\')
            buf_add_char(&buf, '\\');
        buf_add_char(&buf, *at);
    }
    buf_add_text(&buf, "' port=" SOCKET_PORT " dbname=weirbook");

    return buf.data;
}

static void watch_close(const int *watch)
{
    if (*watch >= 0)
        close(*watch);
}

/* It runs, says that it is ready and can't be reached: somebody removed its socket. */
static bool is_out_of_reach(struct cluster *cluster, const struct server *server, struct err *err)
{
    err_set(err, ERR_UNAVAILABLE,
            "the database in %s runs (process %d) and can't be reached: its socket in %s does not "
            "answer",
            cluster->paths.data, (int)server->pid,
            server->socket_folder ? server->socket_folder : "its folder");

    return err_hint(err,
                    "Files of it may have been deleted. Nothing stored is lost: stop it with "
                    "'kill -INT %d' and try again.",
                    (int)server->pid);
}

/* Use the server that runs, or start it; wait until it takes connections. start.lock is ours. */
static bool bring_up(struct cluster *cluster, const char *programs, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(watch_close) int watch = -1;
    struct pause pause = pause_begin(READY_S);
    struct pause gone = {0};
    bool seen_ready = false;
    bool started = false;

    do {
        arena_reset(mem);

        struct server server = server_look(mem, cluster->paths.postgres);

        if (server.state == SERVER_READY && server.socket_folder &&
            server_answers(server.socket_folder)) {
            cluster->conninfo = conninfo_for(cluster->mem, server.socket_folder);
            return true;
        }
        if (server.state == SERVER_READY && !seen_ready)
            gone = pause_begin(GONE_S);
        else if (server.state == SERVER_READY && !pause_once(&gone))
            return is_out_of_reach(cluster, &server, err);
        seen_ready = server.state == SERVER_READY;
        if (server.state != SERVER_NONE || (started && !server_ended(watch)))
            continue;
        if (started)
            return did_not_come_up(cluster, err);
        if (!start_server(cluster, programs, &watch, err))
            return false;
        started = true;
    } while (pause_once(&pause));

    return err_set(err, ERR_UNAVAILABLE, "the database in %s is still not ready after %d minutes",
                   cluster->paths.data, READY_S / 60);
}

static bool take_locks(struct cluster *cluster, struct err *err)
{
    CLEANUP(account_files_end)
    struct account_files files = account_files_begin(&cluster->account);

    if (!lock_open(cluster->paths.start_lock, &cluster->start_fd, err) ||
        !lock_open(cluster->paths.users_lock, &cluster->users_fd, err))
        return false;
    if (!lock_wait(cluster->start_fd, LOCK_EXCLUSIVE, START_LOCK_S) ||
        !lock_wait(cluster->users_fd, LOCK_SHARED, USERS_LOCK_S)) {
        err_set(err, ERR_UNAVAILABLE,
                "another program has been starting or stopping the database "
                "in %s for minutes",
                cluster->paths.data);
        return err_hint(err, "See what it is (fuser %.120s) and try again.",
                        cluster->paths.start_lock);
    }

    return true;
}

static bool hold(struct cluster *cluster, const char *data_folder, bool create, struct err *err)
{
    struct arena *mem = cluster->mem;
    char *programs = NULL;
    char *full = NULL;

    if (!account_find(mem, &cluster->account, err))
        return false;
    if (!data_folder_find(mem, &cluster->account, data_folder, &full, err)) {
        if (err->code != ERR_NOT_FOUND || !create)
            return false;
        if (!data_folder_make(mem, &cluster->account, data_folder, &full, err))
            return false;
    }
    cluster->paths = paths_of(mem, full);
    if (!take_locks(cluster, err))
        return false;
    /* Somebody else may have made it while we waited. */
    if (!file_exists(cluster->paths.postgres) &&
        !make_cluster(mem, &cluster->paths, &cluster->account, cluster->start_fd, err))
        return false;
    if (!programs_for(mem, cluster->paths.postgres, &programs, err) ||
        !bring_up(cluster, programs, err))
        return false;
    lock_release(cluster->start_fd);

    return true;
}

bool cluster_hold(const char *data_folder, bool create, struct cluster **out, struct err *err)
{
    struct arena *mem = arena_new();
    CLEANUP(cluster_drop) struct cluster *cluster = ARENA_NEW(mem, struct cluster);
    struct err failed = ERR_INIT;

    *cluster = (struct cluster){.mem = mem, .start_fd = -1, .users_fd = -1};
    if (!hold(cluster, data_folder, create, &failed)) {
        *err = failed;
        return false;
    }

    *out = cluster;
    cluster = NULL;

    return true;
}

const char *cluster_conninfo(const struct cluster *cluster)
{
    return cluster->conninfo;
}

static void stop_if_last(struct cluster *cluster)
{
    CLEANUP(account_files_end)
    struct account_files files = account_files_begin(&cluster->account);
    struct err stays_up = ERR_INIT;

    /*
     * Whoever leaves must have its turn with start.lock, or two that leave together would each
     * see the other and nobody would stop the server.
     */
    if (!lock_wait(cluster->start_fd, LOCK_EXCLUSIVE, LEAVE_LOCK_S) ||
        !lock_try(cluster->users_fd, LOCK_EXCLUSIVE))
        return;

    struct server server = server_look(cluster->mem, cluster->paths.postgres);

    /* One that does not stop stays for the next program to use. */
    if (server.state != SERVER_NONE &&
        server_stop(server.pid, cluster->paths.postgres, &stays_up) && server.socket_folder)
        socket_folder_drop(&cluster->account, cluster->paths.data, server.socket_folder);
}

void cluster_leave(struct cluster **cluster)
{
    if (!*cluster)
        return;
    stop_if_last(*cluster);
    /* It lets go of users.lock first, for the next that leaves and waits for start.lock. */
    cluster_drop(cluster);
}

bool cluster_running(const char *data_folder)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct server server = server_look(mem, paths_of(mem, data_folder).postgres);

    return server.state != SERVER_NONE && server.socket_folder &&
           server_answers(server.socket_folder);
}

bool cluster_room_enough(uint64_t free_bytes, uint64_t total_bytes)
{
    return free_bytes >= UINT64_C(500) * 1000 * 1000 && free_bytes >= total_bytes / 20;
}

bool cluster_default_folder(struct arena *mem, char **out, struct err *err)
{
    struct account account = {0};
    const char *home = getenv("HOME");

    if (geteuid() == 0) {
        *out = arena_strdup(mem, SYSTEM_FOLDER);
        return true;
    }
    if (!account_find(mem, &account, err))
        return false;
    if (!home || *home != '/')
        home = account.home;
    *out = account_is_system(&account) ? arena_strdup(mem, SYSTEM_FOLDER)
                                       : arena_printf(mem, "%s/.local/share/weirbook", home);

    return true;
}
