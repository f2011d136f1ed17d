/*
 * Merkle tree hash of a list of byte strings, after RFC 9162 section 2.1 (the same as in
 * RFC 6962), with SHA-256:
 *
 *     hash of no leaf      SHA-256 of nothing
 *     hash of one leaf     SHA-256(0x00 || bytes)
 *     hash of n > 1        SHA-256(0x01 || hash of the first k || hash of the rest),
 *                          k the largest power of two smaller than n
 *
 * Leaves are pushed one by one; only one digest per level is held, so a tree of any size
 * takes the same two kilobytes. A proof shows that one leaf is in a tree of which only the
 * root is kept.
 */
#ifndef BASE_MERKLE_H
#define BASE_MERKLE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/crypto.h"

enum { MERKLE_LEVELS_MOST = 64 };

/* A tree being built. Zeroed memory is an empty tree; a plain value, nothing to let go. */
struct merkle {
    uint64_t count;                          /* leaves pushed */
    struct digest whole[MERKLE_LEVELS_MOST]; /* [i]: a full subtree of 2^i leaves, where bit i
                                                of count is set */
};

struct digest merkle_leaf_hash(const void *bytes, size_t count);
struct digest merkle_node_hash(const struct digest *left, const struct digest *right);

void merkle_push(struct merkle *tree, const void *bytes, size_t count);

/* Push a leaf whose hash is at hand already. */
void merkle_push_hash(struct merkle *tree, const struct digest *leaf_hash);

/* The root over the leaves pushed so far; more may be pushed afterwards. */
struct digest merkle_root(const struct merkle *tree);

/* The digests that lead from a leaf to the root, lowest first. */
struct merkle_proof {
    struct digest *items;
    size_t count;
};

/* The proof of leaf `index` (from 0) of `count` leaf hashes; index < count. */
struct merkle_proof merkle_prove(struct arena *mem, const struct digest *leaf_hashes,
                                 uint64_t count, uint64_t index);

/*
 * Whether the leaf is number `index` of the `count` leaves under `root` (RFC 9162, section
 * 2.1.3.2). False for a proof that is too short, too long or of another place.
 */
bool merkle_verify(const struct digest *leaf_hash, uint64_t index, uint64_t count,
                   const struct merkle_proof *proof, const struct digest *root);

#endif
