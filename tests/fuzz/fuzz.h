/*
 * Fuzzers: what they share. Each fuzz_<what>.c holds one entry, which is linked twice: to
 * libFuzzer (tests/fuzz/run.sh), which invents inputs, and to corpus.c, which gives it every file
 * of tests/fuzz/corpus/<what>/ as an ordinary test.
 *
 * An entry takes any bytes. What has to be true of each of them it says with HOLDS(), which ends
 * the program where it is not.
 */
#ifndef TESTS_FUZZ_FUZZ_H
#define TESTS_FUZZ_FUZZ_H

#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/arena.h"
#include "ingest/draft.h"
#include "ingest/source.h"

/* The name is libFuzzer's. Always 0. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

#define HOLDS(condition)                                                                           \
    do {                                                                                           \
        if (!(condition)) {                                                                        \
            fprintf(stderr, "%s:%d: not so: %s\n", __FILE__, __LINE__, #condition);                \
            abort();                                                                               \
        }                                                                                          \
    } while (0)

/* Units, zone and stations of an invented farm; made once. Received on 1 June 2026 at noon UTC. */
const struct ingest_world *fuzz_world(void);

/* UTF-8 to its end, and nothing that a database would refuse. */
bool fuzz_is_text(const char *text);

/* An error says something, in whole characters. */
void fuzz_error_check(const struct err *err);

/* How large places in the file may be. */
struct fuzz_extent {
    int32_t sheets; /* 0: no workbook, places are lines */
    int32_t lines;  /* or rows of a sheet */
    int32_t columns;
};

/*
 * Read the bytes by the source, whole and in pieces, and check what comes: counts that add up,
 * places inside the file and none twice, numbers and texts that can be stored, and the same from
 * both readings.
 */
void fuzz_read(const struct source *source, const uint8_t *bytes, size_t size, size_t piece,
               const struct fuzz_extent *extent);

/* Ends of lines, and one: as many lines as the bytes can have in any charset. */
int32_t fuzz_lines(const uint8_t *bytes, size_t size);

/* Sources of an invented farm that differ in all that a reader looks at; see fuzz_sources.c. */
const struct source *fuzz_source(unsigned char letter, enum source_format format);

/* 1, 7, 64 or 65536, by the letter. */
size_t fuzz_piece(unsigned char letter);

#endif
