/*
 * Leaf: a stored reading as bytes, and its hash in the Merkle tree (RFC 9162, section 2.1) of
 * its batch. The roots of a receipt's batches are in the receipt's ledger entry, so that every
 * reading is bound by the ledger though the ledger holds none.
 *
 * Bytes, version 1. Numbers are big endian, signed ones in two's complement.
 *
 *     1  version, 01
 *     8  farm_id
 *     8  series_id
 *     8  at, microseconds since 1970-01-01T00:00:00Z
 *     8  until, the same; equal to at for an instant
 *     8  coefficient; the value reported is coefficient / 10^scale
 *     1  scale
 *     1  qualifier, one ASCII character
 *     8  receipt
 *     4  line
 *     4  column
 *     4  length of portion in bytes
 *     4  length of unit in bytes
 *        portion, UTF-8 without a NUL
 *        unit, the same
 */
#ifndef LEDGER_LEAF_H
#define LEDGER_LEAF_H

#include <stddef.h>
#include <stdint.h>

#include "base/buf.h"
#include "base/crypto.h"
#include "base/instant.h"

struct leaf {
    int64_t farm_id;
    int64_t series_id;
    instant at;
    instant until;
    const char *portion; /* "" where there is none; never NULL */
    const char *unit;    /* canonical name, or the word of a state; never NULL */
    int64_t coefficient;
    int64_t receipt;
    int32_t line;
    int32_t column;
    uint8_t scale;
    char qualifier;
};

/* Add the bytes to `out`, for those who check a proof by other means. */
void leaf_write(const struct leaf *leaf, struct buf *out);

/* SHA-256(0x00 || bytes), without a copy in an arena: made millions of times. */
struct digest leaf_hash(const struct leaf *leaf);

#endif
