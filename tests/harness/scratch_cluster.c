#include "harness/scratch_cluster.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/macro.h"
#include "db/db.h"
#include "db/migrate.h"
#include "harness/program.h"

enum { SOCKET_PATH_MOST = 107 };

/* Nothing here must survive a power cut. */
static const char settings[] = "listen_addresses = ''\n"
                               "fsync = off\n"
                               "full_page_writes = off\n"
                               "synchronous_commit = off\n"
                               "shared_buffers = 64MB\n"
                               "max_wal_size = 1GB\n"
                               "max_connections = 60\n"
                               "log_statement = none\n";

static bool complain(const char *what, const char *detail)
{
    fprintf(stderr, "scratch cluster: %s: %s\n", what, detail);

    return false;
}

static bool run_as_account(struct arena *mem, const char *const *argv)
{
    char *out = NULL;

    return program_run(mem, argv, true, NULL, &out) == 0 || complain(argv[0], out ? out : "");
}

/* --- its end ------------------------------------------------------------------------------- */

static void server_stop(struct arena *mem, const struct scratch_cluster *cluster)
{
    const char *const stop[] = {arena_printf(mem, "%s/pg_ctl", cluster->bin),
                                "-D",
                                arena_printf(mem, "%s/cluster", cluster->folder),
                                "-m",
                                "immediate",
                                "-w",
                                "stop",
                                NULL};
    const char *const drop[] = {"rm", "-rf", "--", cluster->folder, NULL};
    char *out = NULL;

    program_run(mem, stop, true, NULL, &out);
    program_run(mem, drop, false, NULL, &out);
}

/*
 * A process that outlives us, however we end, and then takes the cluster down. It waits for the
 * other end of a pipe to close.
 */
static bool keeper_start(struct scratch_cluster *cluster)
{
    int ends[2];

    if (pipe2(ends, O_CLOEXEC) != 0)
        return complain("pipe", strerror(errno));

    pid_t pid = fork();

    if (pid == 0) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        char byte;

        setsid();
        signal(SIGINT, SIG_IGN);
        close(ends[1]);
        while (read(ends[0], &byte, 1) < 0 && errno == EINTR)
            continue;
        server_stop(mem, cluster);
        _exit(0);
    }
    close(ends[0]);
    cluster->keeper = ends[1];

    return pid > 0 || complain("fork", strerror(errno));
}

void scratch_cluster_leave(struct scratch_cluster *cluster)
{
    if (cluster->keeper < 0)
        return;

    close(cluster->keeper);
    cluster->keeper = -1;
    wait(NULL);
}

/* --- its beginning ------------------------------------------------------------------------- */

static bool settings_write(struct arena *mem, const struct scratch_cluster *cluster)
{
    char *path = arena_printf(mem, "%s/cluster/postgresql.conf", cluster->folder);
    FILE *file = fopen(path, "a");
    bool fine =
        file && fprintf(file, "%sunix_socket_directories = '%s'\n", settings, cluster->socket) > 0;

    return (file && fclose(file) == 0 && fine) || complain(path, strerror(errno));
}

static bool server_make(struct arena *mem, const struct scratch_cluster *cluster)
{
    const char *data = arena_printf(mem, "%s/cluster", cluster->folder);
    const char *const initdb[] = {arena_printf(mem, "%s/initdb", cluster->bin),
                                  "-D",
                                  data,
                                  "-U",
                                  "weirbook_admin",
                                  "-A",
                                  "trust",
                                  "-E",
                                  "UTF8",
                                  "--locale=C",
                                  "--no-sync",
                                  NULL};
    const char *const start[] = {arena_printf(mem, "%s/pg_ctl", cluster->bin), "-D", data,    "-l",
                                 arena_printf(mem, "%s/log", cluster->socket), "-w", "start", NULL};

    return run_as_account(mem, initdb) && settings_write(mem, cluster) &&
           run_as_account(mem, start);
}

bool scratch_cluster_tool(struct arena *mem, const struct scratch_cluster *cluster,
                          const char *const *argv)
{
    const char *all[16] = {arena_printf(mem, "%s/%s", cluster->bin, argv[0]), "-h", cluster->socket,
                           "-U", "weirbook_admin"};
    size_t count = 5;
    char *out = NULL;

    for (size_t i = 1; argv[i] && count < ARRAY_LEN(all) - 1; i++)
        all[count++] = argv[i];

    return program_run(mem, all, false, NULL, &out) == 0 || complain(all[0], out ? out : "");
}

const char *scratch_cluster_conninfo(struct arena *mem, const struct scratch_cluster *cluster,
                                     const char *database)
{
    return arena_printf(mem, "host=%s port=5432 dbname=%s", cluster->socket, database);
}

static bool template_migrate(const char *conninfo)
{
    CLEANUP(db_close) struct db *admin = NULL;
    CLEANUP(db_close) struct db *owner = NULL;
    struct err err = ERR_INIT;
    int applied = 0;

    return (db_open(conninfo, true, DB_ROLE_ADMIN, &admin, &err) && migrate_roles(admin, &err) &&
            db_open(conninfo, true, DB_ROLE_OWNER, &owner, &err) &&
            migrate_up(owner, &applied, &err)) ||
           complain("template", err.text);
}

static bool template_make(struct arena *mem, const struct scratch_cluster *cluster)
{
    const char *const createdb[] = {"createdb", SCRATCH_TEMPLATE, NULL};

    return scratch_cluster_tool(mem, cluster, createdb) &&
           template_migrate(scratch_cluster_conninfo(mem, cluster, SCRATCH_TEMPLATE));
}

/* A folder that only the account may enter; its parent lets it through. */
static bool folder_make(const char *path, uid_t uid, gid_t gid)
{
    if (mkdir(path, 0700) != 0 && errno != EEXIST)
        return complain(path, strerror(errno));

    return (chown(path, uid, gid) == 0) || complain(path, strerror(errno));
}

static bool folders_make(struct arena *mem, const struct scratch_cluster *cluster)
{
    uid_t uid;
    gid_t gid;

    program_account(&uid, &gid);
    if (chmod(cluster->folder, 0711) != 0)
        return complain(cluster->folder, strerror(errno));

    return folder_make(arena_printf(mem, "%s/cluster", cluster->folder), uid, gid) &&
           folder_make(cluster->socket, uid, gid);
}

static bool ready_mark(const char *path)
{
    int fd = open(path, O_CREAT | O_WRONLY | O_CLOEXEC, 0600);

    return (fd >= 0 && close(fd) == 0) || complain(path, strerror(errno));
}

/* The first to hold the lock makes everything; the others find it ready. */
static bool cluster_make_once(struct arena *mem, struct scratch_cluster *cluster)
{
    char *ready = arena_printf(mem, "%s/ready", cluster->folder);
    int lock =
        open(arena_printf(mem, "%s/lock", cluster->folder), O_CREAT | O_RDWR | O_CLOEXEC, 0600);

    if (lock < 0 || flock(lock, LOCK_EX) != 0)
        return complain(cluster->folder, strerror(errno));

    bool fine = access(ready, F_OK) == 0 ||
                (folders_make(mem, cluster) && (!cluster->own || keeper_start(cluster)) &&
                 server_make(mem, cluster) && template_make(mem, cluster) && ready_mark(ready));

    close(lock);

    return fine;
}

static const char *own_folder(struct arena *mem)
{
    char *folder = arena_strdup(mem, "/tmp/weirbook-test-XXXXXX");

    return mkdtemp(folder);
}

bool scratch_cluster_find(struct arena *mem, struct scratch_cluster *out)
{
    const char *shared = getenv("WEIRBOOK_SCRATCH");
    struct scratch_cluster cluster = {.own = !shared || !*shared, .keeper = -1};

    cluster.folder = cluster.own ? own_folder(mem) : arena_strdup(mem, shared);
    if (!cluster.folder)
        return complain("/tmp", strerror(errno));
    cluster.bin = program_postgres_folder(mem);
    cluster.socket = arena_printf(mem, "%s/s", cluster.folder);
    if (strlen(cluster.socket) + strlen("/.s.PGSQL.5432") > SOCKET_PATH_MOST)
        return complain(cluster.folder, "the path is too long for a socket");

    bool fine = cluster_make_once(mem, &cluster);

    if (!fine)
        scratch_cluster_leave(&cluster);
    *out = cluster;

    return fine;
}
