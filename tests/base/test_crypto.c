#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "base/crypto.h"
#include "base/macro.h"

static void assert_digest(struct digest digest, const char *expected)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    assert_string_equal(digest_text(mem, &digest), expected);
}

/* FIPS 180-2, appendix B: the messages of B.1, B.2 and B.3 with the digests printed there. */
static const char one_block[] = "abc";
static const char two_blocks[] = "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq";
static const char one_block_digest[] =
    "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
static const char two_blocks_digest[] =
    "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1";
static const char million_digest[] =
    "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0";

static void sha256_gives_the_published_digests(void **state)
{
    (void)state;
    assert_digest(sha256(one_block, strlen(one_block)), one_block_digest);
    assert_digest(sha256(two_blocks, strlen(two_blocks)), two_blocks_digest);
}

/* RFC 4231, 4.2, 4.3 and 4.7 (a key longer than a block). */
static void hmac_gives_the_published_codes(void **state)
{
    char key[131];

    (void)state;
    memset(key, 0x0b, 20);
    assert_digest(hmac_sha256(key, 20, "Hi There", 8),
                  "b0344c61d8db38535ca8afceaf0bf12b881dc200c9833da726e9376c2e32cff7");
    assert_digest(hmac_sha256("Jefe", 4, "what do ya want for nothing?", 28),
                  "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843");
    memset(key, 0xaa, sizeof(key));
    assert_digest(hmac_sha256(key, sizeof(key),
                              "Test Using Larger Than Block-Size Key - Hash Key First", 54),
                  "60e431591ee0b67f0d8a26aacbf5b77f8e0bc6213728c5140546040f0ee37f54");
}

static void a_digest_taken_bit_by_bit_is_the_same(void **state)
{
    char thousand[1000];
    struct sha256_state *taken = sha256_begin();

    (void)state;
    memset(thousand, 'a', sizeof(thousand));
    for (int i = 0; i < 1000; i++)
        sha256_add(taken, thousand, sizeof(thousand));
    assert_digest(sha256_end(&taken), million_digest);
    assert_null(taken);
}

static void pieces_of_any_size_make_the_same_digest(void **state)
{
    static const size_t sizes[] = {1, 63, 0, 64, 4095, 4096, 4097, 1, 9000};
    char most[9000];
    size_t left = 1000000;
    struct sha256_state *taken = sha256_begin();

    (void)state;
    memset(most, 'a', sizeof(most));
    for (size_t i = 0; left > 0; i++) {
        size_t size = sizes[i % ARRAY_LEN(sizes)];

        size = size < left ? size : left;
        sha256_add(taken, most, size);
        left -= size;
    }
    assert_digest(sha256_end(&taken), million_digest);
}

static void two_runs_of_bytes_are_digested_as_one(void **state)
{
    (void)state;
    for (size_t cut = 0; cut <= strlen(two_blocks); cut++)
        assert_digest(sha256_two(two_blocks, cut, two_blocks + cut, strlen(two_blocks) - cut),
                      two_blocks_digest);
}

static void a_digest_begun_can_be_dropped(void **state)
{
    struct sha256_state *taken = sha256_begin();

    (void)state;
    sha256_add(taken, "abc", 3);
    sha256_drop(&taken);
    assert_null(taken);
    sha256_drop(&taken);
    assert_null(taken);
}

static void digests_differ_by_their_last_bit(void **state)
{
    struct digest a = sha256("abc", 3);
    struct digest b = a;

    (void)state;
    assert_true(digest_equal(&a, &b));
    b.bytes[SHA256_SIZE - 1] ^= 1;
    assert_false(digest_equal(&a, &b));
}

static void a_text_always_gives_the_same_number(void **state)
{
    (void)state;
    /* The first eight bytes of the digest of "abc" above, top bit cleared. */
    assert_true(text_id("abc") == 0x3a7816bf8f01cfea);
    assert_true(text_id("abc") != text_id("abd"));
}

static void random_numbers_are_positive_and_do_not_repeat(void **state)
{
    int64_t drawn[100];

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(drawn); i++) {
        drawn[i] = random_id();
        assert_true(drawn[i] > 0);
        for (size_t j = 0; j < i; j++)
            assert_true(drawn[i] != drawn[j]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hmac_gives_the_published_codes),
        cmocka_unit_test(sha256_gives_the_published_digests),
        cmocka_unit_test(a_digest_taken_bit_by_bit_is_the_same),
        cmocka_unit_test(pieces_of_any_size_make_the_same_digest),
        cmocka_unit_test(two_runs_of_bytes_are_digested_as_one),
        cmocka_unit_test(a_digest_begun_can_be_dropped),
        cmocka_unit_test(digests_differ_by_their_last_bit),
        cmocka_unit_test(a_text_always_gives_the_same_number),
        cmocka_unit_test(random_numbers_are_positive_and_do_not_repeat),
    };

    return cmocka_run_group_tests_name("base/crypto", tests, NULL, NULL);
}
