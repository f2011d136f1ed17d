#include "base/merkle.h"

#include <assert.h>
#include <string.h>

static const unsigned char leaf_prefix = 0x00;
static const unsigned char node_prefix = 0x01;

struct digest merkle_leaf_hash(const void *bytes, size_t count)
{
    return sha256_two(&leaf_prefix, 1, bytes, count);
}

struct digest merkle_node_hash(const struct digest *left, const struct digest *right)
{
    unsigned char pair[1 + SHA256_SIZE + SHA256_SIZE] = {node_prefix};

    memcpy(pair + 1, left->bytes, SHA256_SIZE);
    memcpy(pair + 1 + SHA256_SIZE, right->bytes, SHA256_SIZE);

    return sha256(pair, sizeof(pair));
}

void merkle_push(struct merkle *tree, const void *bytes, size_t count)
{
    struct digest hash = merkle_leaf_hash(bytes, count);

    merkle_push_hash(tree, &hash);
}

void merkle_push_hash(struct merkle *tree, const struct digest *leaf_hash)
{
    struct digest joined = *leaf_hash;
    size_t level = 0;

    /* As in counting up by one: every full subtree met is joined and carried. */
    for (; tree->count >> level & 1; level++)
        joined = merkle_node_hash(&tree->whole[level], &joined);
    tree->whole[level] = joined;
    tree->count++;
}

struct digest merkle_root(const struct merkle *tree)
{
    struct digest root = {{0}};
    bool any = false;

    if (!tree->count)
        return sha256("", 0);
    for (size_t level = 0; level < MERKLE_LEVELS_MOST; level++) {
        if (!(tree->count >> level & 1))
            continue;
        root = any ? merkle_node_hash(&tree->whole[level], &root) : tree->whole[level];
        any = true;
    }

    return root;
}

/* The largest power of two smaller than count; count > 1. */
static uint64_t left_part(uint64_t count)
{
    uint64_t part = 1;

    while (part < count - part)
        part *= 2;

    return part;
}

static struct digest root_of(const struct digest *leaf_hashes, uint64_t count)
{
    struct merkle tree = {0};

    for (uint64_t i = 0; i < count; i++)
        merkle_push_hash(&tree, &leaf_hashes[i]);

    return merkle_root(&tree);
}

struct merkle_proof merkle_prove(struct arena *mem, const struct digest *leaf_hashes,
                                 uint64_t count, uint64_t index)
{
    struct merkle_proof proof = {.items = ARENA_ARRAY(mem, struct digest, MERKLE_LEVELS_MOST)};
    struct digest highest_first[MERKLE_LEVELS_MOST];

    assert(index < count);
    while (count > 1) {
        uint64_t left = left_part(count);
        bool in_left = index < left;

        highest_first[proof.count++] =
            in_left ? root_of(leaf_hashes + left, count - left) : root_of(leaf_hashes, left);
        leaf_hashes += in_left ? 0 : left;
        index -= in_left ? 0 : left;
        count = in_left ? left : count - left;
    }
    for (size_t i = 0; i < proof.count; i++)
        proof.items[i] = highest_first[proof.count - 1 - i];

    return proof;
}

bool merkle_verify(const struct digest *leaf_hash, uint64_t index, uint64_t count,
                   const struct merkle_proof *proof, const struct digest *root)
{
    struct digest hash = *leaf_hash;
    uint64_t place = index;
    uint64_t last = count - 1;

    if (index >= count)
        return false;
    for (size_t i = 0; i < proof->count; i++) {
        if (last == 0)
            return false;
        if (place & 1 || place == last) {
            hash = merkle_node_hash(&proof->items[i], &hash);
            /* The last leaf of a ragged tree skips the levels at which it has no brother. */
            while (!(place & 1) && place != 0) {
                place >>= 1;
                last >>= 1;
            }
        } else {
            hash = merkle_node_hash(&hash, &proof->items[i]);
        }
        place >>= 1;
        last >>= 1;
    }

    return last == 0 && digest_equal(&hash, root);
}
