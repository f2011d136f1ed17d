#include "harness/scratch.h"

#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/macro.h"
#include "harness/cmocka.h"
#include "harness/program.h"
#include "harness/scratch_cluster.h"

/* Of this test program, between setup and teardown. */
static struct {
    struct arena *mem;
    struct scratch_cluster cluster;
    const char *database;
    const char *conninfo;
} scratch;

int scratch_cluster_setup(void **state)
{
    (void)state;
    scratch.mem = arena_new();
    if (!scratch_cluster_find(scratch.mem, &scratch.cluster)) {
        arena_free(&scratch.mem);
        return -1;
    }
    scratch.database = arena_printf(scratch.mem, "test_%d", (int)getpid());
    scratch.conninfo = scratch_cluster_conninfo(scratch.mem, &scratch.cluster, scratch.database);

    return 0;
}

int scratch_cluster_teardown(void **state)
{
    (void)state;
    scratch_cluster_leave(&scratch.cluster);
    arena_free(&scratch.mem);

    return 0;
}

int scratch_database_setup(void **state)
{
    if (scratch_cluster_setup(state) != 0)
        return -1;

    const char *const createdb[] = {"createdb", "-T", SCRATCH_TEMPLATE, scratch.database, NULL};

    if (!scratch_cluster_tool(scratch.mem, &scratch.cluster, createdb)) {
        scratch_cluster_teardown(state);
        return -1;
    }

    return 0;
}

int scratch_database_teardown(void **state)
{
    const char *const dropdb[] = {"dropdb", "--force", scratch.database, NULL};

    /* A cluster of our own goes as a whole. */
    if (!scratch.cluster.own)
        scratch_cluster_tool(scratch.mem, &scratch.cluster, dropdb);

    return scratch_cluster_teardown(state);
}

const char *scratch_conninfo(void)
{
    return scratch.conninfo;
}

struct db *scratch_open(enum db_role role)
{
    struct db *db = NULL;
    struct err err = ERR_INIT;

    assert_done(db_open(scratch.conninfo, true, role, &db, &err), &err);

    return db;
}

const char *scratch_empty_database(struct arena *mem, const char *name)
{
    const char *database = arena_printf(mem, "%s_%s", scratch.database, name);
    const char *const createdb[] = {"createdb", database, NULL};

    assert_true(scratch_cluster_tool(mem, &scratch.cluster, createdb));

    return scratch_cluster_conninfo(mem, &scratch.cluster, database);
}

char *scratch_psql_as(struct arena *mem, const char *conninfo, const char *role, const char *sql)
{
    const char *where =
        arena_printf(mem, "%s user=%s", conninfo ? conninfo : scratch.conninfo, role);
    const char *const argv[] = {arena_printf(mem, "%s/psql", scratch.cluster.bin),
                                "-X",
                                "-q",
                                "-A",
                                "-t",
                                "-v",
                                "ON_ERROR_STOP=1",
                                "-d",
                                where,
                                "-f",
                                "-",
                                NULL};
    char *out = NULL;
    char *path = arena_printf(mem, "set search_path = weirbook, public;\n%s", sql);

    if (program_run(mem, argv, false, path, &out) != 0)
        fail_msg("psql as %s: %s", role, out);

    size_t length = strlen(out);

    if (length && out[length - 1] == '\n')
        out[length - 1] = '\0';

    return out;
}

char *scratch_psql(struct arena *mem, const char *conninfo, const char *sql)
{
    return scratch_psql_as(mem, conninfo, "weirbook_admin", sql);
}
