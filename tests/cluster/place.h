/*
 * A place for cluster tests: a folder the server's account can enter, a cluster made once per
 * test program, other processes that hold it, and psql to ask it, as somebody from outside would.
 */
#ifndef CLUSTER_PLACE_H
#define CLUSTER_PLACE_H

#include <pwd.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/file.h"
#include "base/str.h"
#include "cluster/cluster.h"
#include "harness/cmocka.h"
#include "harness/program.h"

static struct arena *mem;
static char *place; /* the folder of this test program */
static char *made;  /* a data folder in it, with a cluster */

static inline const char *at(const char *folder, const char *name)
{
    return arena_printf(mem, "%s/%s", folder, name);
}

static inline struct cluster *must_hold(const char *folder)
{
    struct cluster *cluster = NULL;
    struct err err = ERR_INIT;

    assert_done(cluster_hold(folder, true, &cluster, &err), &err);

    return cluster;
}

/* Without the newlines at the end. */
static inline char *without_last_newline(char *text)
{
    size_t length = strlen(text);

    while (length > 0 && text[length - 1] == '\n')
        text[--length] = '\0';

    return text;
}

/* What psql prints for a statement, its message if it fails. */
static inline char *ask_as(const char *role, const struct cluster *cluster, const char *statement)
{
    const char *const argv[] = {
        "psql", "-XAtq", "-U", role, "-d", cluster_conninfo(cluster), "-c", statement, NULL,
    };
    char *output = NULL;

    program_run(mem, argv, false, NULL, &output);

    return without_last_newline(output);
}

static inline char *ask(const struct cluster *cluster, const char *statement)
{
    return ask_as("weirbook_admin", cluster, statement);
}

/* The process number in a cluster's pid file, 0 without one. */
static inline pid_t server_pid(const char *data)
{
    struct err err = ERR_INIT;
    char *text = NULL;
    size_t length = 0;

    if (!file_read(mem, at(data, "postgres/postmaster.pid"), 4096, &text, &length, &err))
        return 0;

    return (pid_t)strtol(text, NULL, 10);
}

/* Another program that holds a cluster until told to leave. */
struct other {
    pid_t pid;
    int tell;
    int hear;
};

static inline struct other other_holds(const char *folder)
{
    int to[2];
    int from[2];
    char word = 0;

    assert_int_equal(pipe(to), 0);
    assert_int_equal(pipe(from), 0);

    struct other other = {.pid = fork(), .tell = to[1], .hear = from[0]};

    if (other.pid == 0) {
        struct cluster *cluster = NULL;
        struct err err = ERR_INIT;
        bool held = cluster_hold(folder, true, &cluster, &err);

        close(to[1]);
        if (!held)
            fprintf(stderr, "the other program: %s\n", err.text);
        if (write(from[1], held ? "h" : "f", 1) != 1 || read(to[0], &word, 1) != 1)
            _exit(2);
        cluster_leave(&cluster);
        _exit(held ? 0 : 1);
    }
    close(to[0]);
    close(from[1]);

    return other;
}

static inline void other_is_ready(const struct other *other)
{
    char word = 0;

    assert_int_equal(read(other->hear, &word, 1), 1);
    assert_int_equal(word, 'h');
}

static inline void other_leaves(const struct other *other)
{
    assert_int_equal(write(other->tell, "l", 1), 1);
}

static inline int other_ended(struct other *other)
{
    int status = 0;

    waitpid(other->pid, &status, 0);
    close(other->tell);
    close(other->hear);

    return status;
}

static inline int make_account(void)
{
    const char *const argv[] = {
        "adduser",           "--system",         "--quiet",  "--group", "--home",
        "/var/lib/weirbook", "--no-create-home", "weirbook", NULL,
    };
    char *output = NULL;

    if (geteuid() != 0 || getpwnam("weirbook"))
        return 0;

    return program_run(mem, argv, false, NULL, &output);
}

/* Make the place. The caller's surroundings must not reach the server: set them to nonsense. */
static inline int place_setup(void **state)
{
    const char *scratch = getenv("WEIRBOOK_SCRATCH");

    (void)state;
    mem = arena_new();
    place = arena_printf(mem, "%s/cluster-XXXXXX", scratch ? scratch : "/tmp");
    setenv("PGPORT", "1", 1);
    setenv("PGDATA", "/nowhere", 1);
    setenv("PGUSER", "nobody", 1);
    setenv("LC_ALL", "tlh_QO.UTF-8", 1);
    if (make_account() != 0 || !mkdtemp(place) || chmod(place, 0711) != 0)
        return -1;
    made = arena_printf(mem, "%s/made", place);

    return 0;
}

static inline int place_teardown(void **state)
{
    struct err err = ERR_INIT;

    (void)state;

    bool gone = file_remove_tree(place, &err);

    arena_free(&mem);

    return gone ? 0 : -1;
}

/* After each test nothing may run in `made`; what does is stopped, so that the next test can. */
static inline int made_is_stopped(void **state)
{
    pid_t pid = server_pid(made);

    (void)state;
    if (!cluster_running(made))
        return 0;
    kill(pid, SIGQUIT);
    for (int i = 0; i < 500 && cluster_running(made); i++)
        usleep(10000);

    return -1;
}

#endif
