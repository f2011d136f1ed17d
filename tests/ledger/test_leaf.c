#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "base/merkle.h"
#include "ledger/leaf.h"

static char long_portion[301];

static const struct {
    struct leaf leaf;
    const char *hash; /* worked out by another program from the description in leaf.h */
    const char *why;
} golden[] = {
    {{.farm_id = 0x1122334455667788,
      .series_id = 42,
      .at = 1777626000000000,
      .until = 1777626000000000,
      .portion = "",
      .qualifier = '<',
      .coefficient = -30,
      .scale = 2,
      .unit = "mg/L",
      .receipt = 7,
      .line = 2,
      .column = 3},
     "94f7082a70780d378b853b097a7bf89315eea5bf8e6083d3322e45d0369455d3",
     "a reading of a probe"},
    {{.farm_id = 0x1122334455667788,
      .series_id = -1,
      .at = 1777626000000000,
      .until = 1777712400000000,
      .portion = "S-17/unit 3",
      .qualifier = '=',
      .coefficient = 999999999999999999,
      .scale = 18,
      .unit = "CFU/100 mL",
      .receipt = INT64_MAX,
      .line = INT32_MAX,
      .column = 0},
     "df71d2ee36ac2b8f0e33c2dfd436f97f6814fcba9ddb38ea5ac95cfe0e8e117e",
     "a portion of a sample, with the largest numbers"},
    {{.farm_id = 0x1122334455667788,
      .series_id = 42,
      .portion = long_portion,
      .qualifier = '=',
      .coefficient = 1,
      .unit = "\xc2\xb5",
      .receipt = 1,
      .line = 1,
      .column = 1},
     "5cad719b595de096fe6da96ad29e48851f3ea1694efc2fb07ce6d6aeadd45384",
     "texts longer than the quick way takes"},
};

static int fill_long_portion(void **state)
{
    (void)state;
    memset(long_portion, 'x', sizeof(long_portion) - 1);

    return 0;
}

static void fixed_leaves_have_their_hashes_for_ever(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(golden); i++) {
        const struct digest hash = leaf_hash(&golden[i].leaf);

        if (strcmp(digest_text(mem, &hash), golden[i].hash) != 0)
            fail_msg("%s: %s", golden[i].why, digest_text(mem, &hash));
    }
}

static void the_hash_is_that_of_the_bytes_in_a_tree(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t length = 0; length < sizeof(long_portion); length++) {
        struct buf bytes = buf_new(mem);
        struct leaf leaf = golden[0].leaf;

        leaf.portion = arena_strndup(mem, long_portion, length);
        leaf_write(&leaf, &bytes);

        const struct digest quick = leaf_hash(&leaf);
        const struct digest slow = merkle_leaf_hash(bytes.data, bytes.len);

        assert_true(digest_equal(&quick, &slow));
    }
}

static void every_field_is_in_the_hash(void **state)
{
    const struct leaf leaf = golden[0].leaf;
    struct leaf others[12];
    const struct digest hash = leaf_hash(&leaf);

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(others); i++)
        others[i] = leaf;
    others[0].farm_id++;
    others[1].series_id++;
    others[2].at++;
    others[3].until++;
    others[4].portion = "1";
    others[5].qualifier = '=';
    others[6].coefficient++;
    others[7].scale++;
    others[8].unit = "mg/l";
    others[9].receipt++;
    others[10].line++;
    others[11].column++;
    for (size_t i = 0; i < ARRAY_LEN(others); i++) {
        const struct digest other = leaf_hash(&others[i]);

        if (digest_equal(&hash, &other))
            fail_msg("field %zu is not in the hash", i);
    }
}

/* 0.30 and 0.3 are equal in value; what was reported differs. */
static void reported_digits_are_in_the_hash(void **state)
{
    struct leaf two_digits = golden[0].leaf;
    struct leaf one_digit = golden[0].leaf;

    (void)state;
    two_digits.coefficient = 30;
    two_digits.scale = 2;
    one_digit.coefficient = 3;
    one_digit.scale = 1;

    const struct digest a = leaf_hash(&two_digits);
    const struct digest b = leaf_hash(&one_digit);

    assert_false(digest_equal(&a, &b));
}

/* Without lengths, portion "a" of unit "bc" and portion "ab" of unit "c" would be the same. */
static void texts_cannot_run_into_each_other(void **state)
{
    struct leaf one = golden[0].leaf;
    struct leaf other = golden[0].leaf;

    (void)state;
    one.portion = "a";
    one.unit = "bc";
    other.portion = "ab";
    other.unit = "c";

    const struct digest a = leaf_hash(&one);
    const struct digest b = leaf_hash(&other);

    assert_false(digest_equal(&a, &b));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fixed_leaves_have_their_hashes_for_ever),
        cmocka_unit_test(the_hash_is_that_of_the_bytes_in_a_tree),
        cmocka_unit_test(every_field_is_in_the_hash),
        cmocka_unit_test(reported_digits_are_in_the_hash),
        cmocka_unit_test(texts_cannot_run_into_each_other),
    };

    return cmocka_run_group_tests_name("ledger/leaf", tests, fill_long_portion, NULL);
}
