/*
 * Writes the files that the bench takes in. Every number in them is invented; the same words on
 * the command line give the same bytes on every machine.
 *
 *     bench_files logger DAY MINUTES ROWS       one wide file, to the standard output
 *     bench_files months FOLDER MONTH COUNT     a logger file a month and a laboratory's sheet a
 *                                               week, for COUNT months from MONTH (2015-01) on
 *
 * A logger's row has five values; DAY is its first, as 2015-01-01, and MINUTES its step.
 */
#include <inttypes.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/instant.h"

enum { MINUTES_A_DAY = 1440, MONTH_STEP_MIN = 10 };

static uint64_t seed = UINT64_C(0x2545f4914f6cdd1d);

/* xorshift64*: the same everywhere. */
static int next_random(int below)
{
    seed ^= seed >> 12;
    seed ^= seed << 25;
    seed ^= seed >> 27;

    return (int)((seed * UINT64_C(2685821657736338717) >> 33) % (uint64_t)below);
}

static void stop(const struct err *err)
{
    fprintf(stderr, "bench_files: %s\n", err->text);
    exit(1);
}

static void logger_write(FILE *file, day_number day, int step, int64_t rows)
{
    fputs("Time,Temp (degC),Salinity (PSU),Oxygen (mg/L),pH,Flow (L/s)\n", file);
    for (int64_t row = 0; row < rows; row++) {
        int64_t minute = row * step;
        struct civil date = civil_from_day(day + (day_number)(minute / MINUTES_A_DAY));
        int of_day = (int)(minute % MINUTES_A_DAY);

        fprintf(file, "%04d-%02d-%02d %02d:%02d,%d.%02d,%d.%d,%d.%02d,7.%02d,%d.%d\n", date.year,
                date.month, date.day, of_day / 60, of_day % 60, 14 + next_random(6),
                next_random(100), 32 + next_random(3), next_random(10), 6 + next_random(3),
                next_random(100), 60 + next_random(40), 10 + next_random(8), next_random(10));
    }
}

static void sheet_write(FILE *file, day_number day)
{
    struct civil date = civil_from_day(day);
    static const struct {
        const char *test;
        const char *unit;
        int least;
        int span;
        const char *tail; /* behind the whole number */
    } tests[] = {{"Suspended solids", "mg/L", 8, 20, ""},
                 {"Ammonia as N", "ug/L", 60, 120, ""},
                 {"Total nitrogen", "mg/L", 2, 3, ".4"},
                 {"Enterococci", "MPN/100 mL", 10, 40, ""}};

    fputs("Sample,Date,Time,Test,Result,Unit\n", file);
    for (size_t i = 0; i < sizeof(tests) / sizeof(tests[0]); i++)
        fprintf(file, "B-%" PRId32 ",%02d/%02d/%04d,09:30,%s,%d%s,%s\n", day, date.day, date.month,
                date.year, tests[i].test, tests[i].least + next_random(tests[i].span),
                tests[i].tail, tests[i].unit);
}

static FILE *file_begin(const char *folder, const char *name, day_number day, int length)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *path =
        arena_printf(mem, "%s/%s-%.*s.csv", folder, name, length, day_text(mem, day));
    FILE *file = fopen(path, "w");

    if (!file) {
        perror(path);
        exit(1);
    }

    return file;
}

static void file_end(FILE *file)
{
    if (fclose(file) != 0) {
        perror("bench_files");
        exit(1);
    }
}

static void months_write(const char *folder, day_number first, int count)
{
    for (int i = 0; i < count; i++) {
        day_number next = month_next(first);
        FILE *file = file_begin(folder, "logger", first, 7);

        logger_write(file, first, MONTH_STEP_MIN,
                     (int64_t)(next - first) * MINUTES_A_DAY / MONTH_STEP_MIN);
        file_end(file);
        for (day_number day = first; day < next; day++) {
            if (day % 7 != 0)
                continue;
            file = file_begin(folder, "sheet", day, 10);
            sheet_write(file, day);
            file_end(file);
        }
        first = next;
    }
}

int main(int argc, char **argv)
{
    struct err err = ERR_INIT;
    day_number day = DAY_NONE;

    if (argc != 5) {
        fputs("usage: bench_files logger DAY MINUTES ROWS\n"
              "       bench_files months FOLDER MONTH COUNT\n",
              stderr);
        return 2;
    }
    if (strcmp(argv[1], "months") == 0) {
        if (!month_parse(argv[3], &day, &err))
            stop(&err);
        months_write(argv[2], day, atoi(argv[4]));
        return 0;
    }
    if (!day_parse(argv[2], &day, &err))
        stop(&err);
    logger_write(stdout, day, atoi(argv[3]), atoll(argv[4]));
    file_end(stdout);

    return 0;
}
