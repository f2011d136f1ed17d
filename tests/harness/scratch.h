/*
 * Scratch databases: a real PostgreSQL for tests.
 *
 * One cluster serves a whole run: the first test program to come makes it in the folder that
 * WEIRBOOK_SCRATCH names, and whoever made that folder stops the server and removes it:
 *
 *     kill -QUIT "$(head -n 1 "$WEIRBOOK_SCRATCH/cluster/postmaster.pid")"
 *
 * Without WEIRBOOK_SCRATCH a test program has a cluster of its own, which goes when the program
 * does, however that ends.
 *
 * In the cluster stands one migrated template; the group fixtures clone a database of it for the
 * test program. Tests connect as the program does, by role; the socket's folder lets in nobody
 * but the account, and there everybody is believed (trust).
 *
 *     cmocka_run_group_tests_name("db/db", tests, scratch_database_setup,
 *                                 scratch_database_teardown)
 */
#ifndef HARNESS_SCRATCH_H
#define HARNESS_SCRATCH_H

#include "base/arena.h"
#include "db/db.h"

/* Group fixtures: a database cloned from the migrated template, and its removal. */
int scratch_database_setup(void **state);
int scratch_database_teardown(void **state);

/* The same with the cluster alone, for tests that make their databases themselves. */
int scratch_cluster_setup(void **state);
int scratch_cluster_teardown(void **state);

/* Of the test program's database: "host=... port=5432 dbname=...", without a user. */
const char *scratch_conninfo(void);

/* A connection in a role to the program's database; the test fails when there is none. */
struct db *scratch_open(enum db_role role);

/* An empty database more; its connection string, without a user, lives in mem. */
const char *scratch_empty_database(struct arena *mem, const char *name);

/*
 * What psql answers to SQL run as weirbook_admin: columns parted by |, a line a row, without the
 * last newline. The test fails when psql does. conninfo NULL: the program's database.
 */
char *scratch_psql(struct arena *mem, const char *conninfo, const char *sql);

/* The same as another role. */
char *scratch_psql_as(struct arena *mem, const char *conninfo, const char *role, const char *sql);

#endif
