/*
 * A farm for a test: every test has one of its own in the program's scratch database, loaded as
 * a person loads it (tests/harness/farm.yaml, under a random key), with its limits confirmed.
 *
 *     const struct CMUnitTest tests[] = {FARM_TEST(a_file_comes_in), ...};
 *
 *     return cmocka_run_group_tests_name("app/take_in", tests, test_farms_setup,
 *                                        test_farms_teardown);
 *
 * Its people: pat loads the file and may do everything; quinn may correct too and confirmed the
 * limits; rory may only read; sam left with the end of May 2026. "Now" is noon of 10 July 2026.
 */
#ifndef HARNESS_FARM_H
#define HARNESS_FARM_H

#include "app/load_farm.h"
#include "app/take_in.h"
#include "harness/cmocka.h"
#include "harness/scratch.h"

struct test_farm {
    struct arena *mem;
    struct db *db; /* as the program connects */
    struct units *units;
    struct open_farm open;
    struct act act; /* pat, now */
    const char *key;
    const char *text;   /* its farm file */
    const char *folder; /* for files of the test; goes with it */
};

#define FARM_TEST(test) cmocka_unit_test_setup_teardown(test, test_farm_new, test_farm_done)

/* Group fixtures: scratch_database_setup() and what the helpers below need. */
int test_farms_setup(void **state);
int test_farms_teardown(void **state);

/* Test fixtures: *state is the farm. */
int test_farm_new(void **state);
int test_farm_done(void **state);

/* The same beside the test's own, for tests of two farms or of many. */
struct test_farm *test_farm_make(void);
void test_farm_drop(struct test_farm **farm); /* for CLEANUP */

/* A farm that stands only in memory: key, text and connection, nothing loaded. */
struct test_farm *test_farm_unmade(void);

/* "2026-05-01 09:30", UTC, as an instant; the test fails on anything else. */
instant test_at(const char *text);
struct act test_act(const char *person, const char *at);

/* `text` with the one `old` in it replaced; the test fails when it is not there just once. */
char *test_swap(struct arena *mem, const char *text, const char *old, const char *with);

/* Load a farm file and open the farm as it then is. */
void test_farm_load(struct test_farm *farm, const char *text, const struct act *act,
                    struct farm_changes *changes);
void test_farm_confirm(struct test_farm *farm);

/* Write a file into the farm's folder; its path. */
const char *test_file(struct test_farm *farm, const char *name, const char *text);
const char *test_file_bytes(struct test_farm *farm, const char *name, const void *bytes,
                            size_t length);

/* Take in a text as a file of that name; the test fails when that fails. */
struct take_in_result test_take(struct test_farm *farm, const char *source, const char *name,
                                const char *text);
struct take_in_result test_take_staged(struct test_farm *farm, const char *source, const char *name,
                                       const char *text);

/*
 * What SQL answers in its first column, run as an administrator who sees and may do everything:
 * rows parted by newlines. $1::bigint is the farm.
 */
char *test_query(const struct test_farm *farm, const char *sql);
int64_t test_number(const struct test_farm *farm, const char *sql);

/* Every table of records with its number of rows and a digest of them, of all farms. */
char *test_state(const struct test_farm *farm);

/* The same numbers of rows without the digests, of this farm. */
char *test_sizes(const struct test_farm *farm);

/* The test fails where the two differ, showing the first table that does. */
void test_state_same(const char *before, const char *after, const char *when);

#endif
