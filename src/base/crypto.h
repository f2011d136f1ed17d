/*
 * Digests (libcrypto) and randomness (getrandom).
 */
#ifndef BASE_CRYPTO_H
#define BASE_CRYPTO_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

enum { SHA256_SIZE = 32 };

struct digest {
    unsigned char bytes[SHA256_SIZE];
};

struct digest sha256(const void *bytes, size_t count);

/* Of two runs of bytes, one after the other: a prefix and what it stands before. */
struct digest sha256_two(const void *first, size_t first_count, const void *second,
                         size_t second_count);

/* HMAC-SHA-256 (RFC 2104, FIPS 198-1) of bytes under a key of any length. */
struct digest hmac_sha256(const void *key, size_t key_count, const void *bytes, size_t count);

bool digest_equal(const struct digest *a, const struct digest *b);

/* Bit by bit, for files that are not held in memory. */
struct sha256_state;
struct sha256_state *sha256_begin(void);
void sha256_add(struct sha256_state *state, const void *bytes, size_t count);
struct digest sha256_end(struct sha256_state **state); /* frees it */
void sha256_drop(struct sha256_state **state);         /* for CLEANUP; fine on NULL */

/* 64 lower-case hexadecimal digits. */
char *digest_text(struct arena *mem, const struct digest *digest);

/* A random positive 63-bit number, never 0. */
int64_t random_id(void);

/*
 * A positive 63-bit number that a text always gives: its SHA-256, first eight bytes big
 * endian, top bit cleared, 0 becoming 1. For keys made from natural keys.
 */
int64_t text_id(const char *text);

#endif
