/*
 * Writes small entries on a farm, one after the other, until it is told to stop (SIGTERM), and
 * prints how many there were and how long they took, in milliseconds: the middle one and the
 * longest.
 *
 *     bench_entries CONNINFO FARM
 *
 * An entry is a person's note in the ledger, with its own transaction, from BEGIN to COMMIT, which
 * takes the same lock on the farm's head as every use case. Between two of them it rests a little.
 */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "app/open_farm.h"
#include "base/clock.h"
#include "base/interrupt.h"
#include "measure/unit.h"

enum { MOST = 100000, REST_MS = 5 };

struct times {
    double ms[MOST];
    size_t count;
};

static double now_ms(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);

    return (double)now.tv_sec * 1000 + (double)now.tv_nsec / 1e6;
}

static void rest(void)
{
    nanosleep(&(struct timespec){.tv_nsec = REST_MS * 1000000L}, NULL);
}

static int by_size(const void *a, const void *b)
{
    double left = *(const double *)a;
    double right = *(const double *)b;

    return (left > right) - (left < right);
}

static bool note_write(struct db *db, const struct open_farm *farm, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct act act = {.person = "owner", .at = clock_now()};
    struct entry_field fields[] = {{"words", "an entry of the bench"}};

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           ledger_store_append(&tx, &act, ENTRY_NOTE, NULL, fields, ARRAY_LEN(fields), err) &&
           db_tx_commit(&tx, err);
}

static bool entries_write(struct db *db, const struct open_farm *farm, struct times *times,
                          struct err *err)
{
    const volatile sig_atomic_t *stop = interrupt_flag();

    while (!*stop && times->count < MOST) {
        double began = now_ms();

        if (!note_write(db, farm, err))
            return false;
        times->ms[times->count++] = now_ms() - began;
        rest();
    }

    return true;
}

int main(int argc, char **argv)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(units_free) struct units *units = NULL;
    CLEANUP(db_close) struct db *db = NULL;
    static struct times times;
    struct open_farm farm = {0};
    struct err err = ERR_INIT;

    if (argc != 3) {
        fputs("usage: bench_entries CONNINFO FARM\n", stderr);
        return 2;
    }
    if (!units_load(&units, &err) || !db_open(argv[1], true, DB_ROLE_PROGRAM, &db, &err) ||
        !farm_open(db, mem, units, argv[2], &farm, &err) ||
        !entries_write(db, &farm, &times, &err) || times.count == 0) {
        fprintf(stderr, "bench_entries: %s\n", err.text);
        return 1;
    }
    qsort(times.ms, times.count, sizeof(times.ms[0]), by_size);
    printf("%zu %.1f %.1f\n", times.count, times.ms[times.count / 2], times.ms[times.count - 1]);

    return 0;
}
