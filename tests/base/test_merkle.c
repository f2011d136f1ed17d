#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "base/macro.h"
#include "base/merkle.h"

/*
 * The eight leaves, and the roots over the first n of them, that public implementations of
 * Certificate Transparency (RFC 6962, RFC 9162) test with: from memory, and worked out again
 * here by the definition in RFC 9162 section 2.1.1 (see root_by_definition).
 */
static const struct {
    const char *bytes;
    size_t count;
} leaves[] = {
    {"", 0},
    {"\x00", 1},
    {"\x10", 1},
    {"\x20\x21", 2},
    {"\x30\x31", 2},
    {"\x40\x41\x42\x43", 4},
    {"\x50\x51\x52\x53\x54\x55\x56\x57", 8},
    {"\x60\x61\x62\x63\x64\x65\x66\x67\x68\x69\x6a\x6b\x6c\x6d\x6e\x6f", 16},
};

static const char *const roots[ARRAY_LEN(leaves) + 1] = {
    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855", /* SHA-256 of nothing */
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
};

static struct digest leaf_hash(size_t i)
{
    return merkle_leaf_hash(leaves[i].bytes, leaves[i].count);
}

/* RFC 9162, section 2.1.1, word for word and slowly. */
static struct digest root_by_definition(const struct digest *hashes, size_t count)
{
    size_t k = 1;

    if (count == 0)
        return sha256("", 0);
    if (count == 1)
        return hashes[0];
    while (k * 2 < count)
        k *= 2;

    struct digest left = root_by_definition(hashes, k);
    struct digest right = root_by_definition(hashes + k, count - k);
    struct sha256_state *node = sha256_begin();

    sha256_add(node, "\x01", 1);
    sha256_add(node, left.bytes, SHA256_SIZE);
    sha256_add(node, right.bytes, SHA256_SIZE);

    return sha256_end(&node);
}

static void the_known_leaves_give_the_known_roots(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct merkle tree = {0};

    (void)state;
    for (size_t i = 0; i <= ARRAY_LEN(leaves); i++) {
        struct digest root = merkle_root(&tree);

        assert_string_equal(digest_text(mem, &root), roots[i]);
        if (i < ARRAY_LEN(leaves))
            merkle_push(&tree, leaves[i].bytes, leaves[i].count);
    }
    assert_int_equal(tree.count, ARRAY_LEN(leaves));
}

static void a_leaf_is_hashed_with_a_zero_byte_in_front(void **state)
{
    const struct digest expected = sha256("\x00"
                                          "abc",
                                          4);
    const struct digest got = merkle_leaf_hash("abc", 3);

    (void)state;
    assert_true(digest_equal(&got, &expected));
}

enum { MANY = 70 };

static void fill(struct digest hashes[MANY])
{
    for (size_t i = 0; i < MANY; i++) {
        const unsigned char leaf = (unsigned char)i;

        hashes[i] = merkle_leaf_hash(&leaf, 1);
    }
}

static void any_number_of_leaves_follows_the_definition(void **state)
{
    struct digest hashes[MANY];
    struct merkle tree = {0};

    (void)state;
    fill(hashes);
    for (size_t count = 0; count < MANY; count++) {
        const struct digest expected = root_by_definition(hashes, count);
        const struct digest got = merkle_root(&tree);

        assert_true(digest_equal(&got, &expected));
        merkle_push_hash(&tree, &hashes[count]);
    }
}

static void every_leaf_of_every_tree_can_be_proved(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct digest hashes[MANY];

    (void)state;
    fill(hashes);
    for (size_t count = 1; count < MANY; count++) {
        const struct digest root = root_by_definition(hashes, count);

        for (size_t i = 0; i < count; i++) {
            const struct merkle_proof proof = merkle_prove(mem, hashes, count, i);

            assert_true(merkle_verify(&hashes[i], i, count, &proof, &root));
        }
        arena_reset(mem);
    }
}

/* The audit path of leaf d0 in the tree of seven of RFC 9162, section 2.1.5: [b, h, l]. */
static void the_proof_of_the_published_example_has_the_published_nodes(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct digest d[7];

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(d); i++)
        d[i] = leaf_hash(i);

    const struct digest h = merkle_node_hash(&d[2], &d[3]);
    const struct digest i45 = merkle_node_hash(&d[4], &d[5]);
    const struct digest l = merkle_node_hash(&i45, &d[6]);
    const struct merkle_proof proof = merkle_prove(mem, d, ARRAY_LEN(d), 0);

    assert_int_equal(proof.count, 3);
    assert_true(digest_equal(&proof.items[0], &d[1]));
    assert_true(digest_equal(&proof.items[1], &h));
    assert_true(digest_equal(&proof.items[2], &l));
}

static void a_proof_holds_for_nothing_else(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct digest hashes[MANY];

    (void)state;
    fill(hashes);

    const struct digest root = root_by_definition(hashes, 7);
    struct merkle_proof proof = merkle_prove(mem, hashes, 7, 4);
    const struct merkle_proof shorter = {.items = proof.items, .count = proof.count - 1};
    const struct merkle_proof longer = {.items = proof.items, .count = proof.count + 1};

    assert_true(merkle_verify(&hashes[4], 4, 7, &proof, &root));
    assert_false(merkle_verify(&hashes[3], 4, 7, &proof, &root));  /* another leaf */
    assert_false(merkle_verify(&hashes[4], 5, 7, &proof, &root));  /* another place */
    assert_false(merkle_verify(&hashes[4], 7, 7, &proof, &root));  /* no place of this tree */
    assert_false(merkle_verify(&hashes[4], 0, 0, &proof, &root));  /* nor of an empty one */
    assert_false(merkle_verify(&hashes[4], 4, 70, &proof, &root)); /* a larger tree */
    assert_false(merkle_verify(&hashes[4], 4, 7, &shorter, &root));
    assert_false(merkle_verify(&hashes[4], 4, 7, &longer, &root));
    proof.items[1].bytes[0] ^= 1;
    assert_false(merkle_verify(&hashes[4], 4, 7, &proof, &root)); /* a changed digest */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_known_leaves_give_the_known_roots),
        cmocka_unit_test(a_leaf_is_hashed_with_a_zero_byte_in_front),
        cmocka_unit_test(any_number_of_leaves_follows_the_definition),
        cmocka_unit_test(every_leaf_of_every_tree_can_be_proved),
        cmocka_unit_test(the_proof_of_the_published_example_has_the_published_nodes),
        cmocka_unit_test(a_proof_holds_for_nothing_else),
    };

    return cmocka_run_group_tests_name("base/merkle", tests, NULL, NULL);
}
