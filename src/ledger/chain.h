/*
 * Chain: every entry's hash covers the one before it, so that no entry can be changed, taken
 * out or put in without every later hash being another. Whoever kept the newest hash somewhere
 * else can tell.
 *
 *     hash of entry n = SHA-256(hash of entry n - 1 || canonical bytes of entry n)
 *
 * and the hash before the first entry is 32 zero bytes. Entries of a farm are numbered 1, 2,
 * 3, ... in the order in which they were committed. Their times may step back, as a clock that
 * was put right does.
 */
#ifndef LEDGER_CHAIN_H
#define LEDGER_CHAIN_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/buf.h"
#include "base/crypto.h"
#include "ledger/entry.h"

/* 32 zero bytes. */
struct digest chain_genesis(void);

struct digest chain_hash(const struct digest *previous, const void *entry_bytes, size_t count);

enum chain_fault {
    CHAIN_SOUND,
    CHAIN_FARM,  /* an entry of another farm */
    CHAIN_ORDER, /* a number that has been, or comes after a higher one */
    CHAIN_GAP,   /* numbers are missing before it */
    CHAIN_HASH,  /* its stored hash is not the one of its bytes and the hash before */
};

/* A verification on its way; feed it entries in the order in which they are stored. */
struct chain {
    int64_t farm_id;
    int64_t sequence;   /* of the last entry that was sound; 0 before the first */
    struct digest hash; /* of that entry */
    enum chain_fault fault;
    int64_t fault_sequence; /* number of the first entry that does not fit */
    struct buf bytes;       /* reused, so that memory does not grow with the ledger */
};

struct chain chain_begin(struct arena *mem, int64_t farm_id);

/* Go on after an entry that was verified before, whose hash the caller kept. */
struct chain chain_resume(struct arena *mem, int64_t farm_id, int64_t sequence,
                          const struct digest *hash);

/*
 * The next entry with its stored hash. False from the first break on, which `fault` and
 * `fault_sequence` then say; what comes after it is not looked at.
 */
bool chain_follow(struct chain *chain, const struct entry *entry, const struct digest *stored);

/* The same for stored canonical bytes, which need not be readable to be hashed. */
bool chain_follow_bytes(struct chain *chain, int64_t farm_id, int64_t sequence, const void *bytes,
                        size_t count, const struct digest *stored);

/* "entry 3 or its hash is not as it was written": a sentence without its full stop. */
char *chain_fault_text(struct arena *mem, const struct chain *chain);

#endif
