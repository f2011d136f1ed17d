#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "ledger/chain.h"

enum { ENTRIES = 3 };

#define FARM INT64_C(0x1122334455667788)

static const struct entry_field made[] = {{"key", "saltmarsh-demo"}, {"zone", "Europe/Dublin"}};
static const struct entry_field taken_in[] = {
    {"sha256", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
    {"note", NULL},
    {"name", "\xc3\x9c"
             "berlauf.csv"},
};

/* Three entries whose hashes must stay what they are for as long as there are ledgers. */
static const struct entry golden[ENTRIES] = {
    {FARM, 1, 1777626000000000, ENTRY_FARM, "maria", NULL, made, ARRAY_LEN(made)},
    {FARM, 2, 1777626060123456, ENTRY_RECEIPT, NULL, "logger", taken_in, ARRAY_LEN(taken_in)},
    {FARM, 3, -1, ENTRY_LEAVE_OUT, "maria", "lab", NULL, 0},
};

/* Worked out by another program from the description in entry.h and chain.h. */
static const char *const golden_hashes[ENTRIES] = {
    "bf4a70244b89ddf38c0d44821d6657b8e0507dec5e1a824b8687e7093278814e",
    "f00b86b1d5dce62e316213ccb84af0d2d949dfeb33ecca489d7f24f51b5737b8",
    "6e96878789f165348e83b3b5fce846cbab70d3080cd1fadbf025958209816eff",
};

static void golden_chain(struct arena *mem, struct digest hashes[ENTRIES])
{
    struct digest hash = chain_genesis();

    for (size_t i = 0; i < ENTRIES; i++) {
        struct buf bytes = buf_new(mem);

        entry_write(&golden[i], &bytes);
        hash = chain_hash(&hash, bytes.data, bytes.len);
        hashes[i] = hash;
    }
}

static void three_fixed_entries_have_their_hashes_for_ever(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct digest hashes[ENTRIES];

    (void)state;
    golden_chain(mem, hashes);
    for (size_t i = 0; i < ENTRIES; i++)
        assert_string_equal(digest_text(mem, &hashes[i]), golden_hashes[i]);
}

static void a_sound_ledger_is_followed_to_its_end(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct chain chain = chain_begin(mem, FARM);
    struct digest hashes[ENTRIES];

    (void)state;
    golden_chain(mem, hashes);
    for (size_t i = 0; i < ENTRIES; i++)
        assert_true(chain_follow(&chain, &golden[i], &hashes[i]));
    assert_int_equal(chain.sequence, ENTRIES);
    assert_true(digest_equal(&chain.hash, &hashes[ENTRIES - 1]));
    assert_string_equal(chain_fault_text(mem, &chain), "every entry is as it was written");
}

static void verification_goes_on_from_a_kept_hash(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct digest hashes[ENTRIES];

    (void)state;
    golden_chain(mem, hashes);

    struct chain right = chain_resume(mem, FARM, 2, &hashes[1]);
    struct chain wrong = chain_resume(mem, FARM, 2, &hashes[0]);

    assert_true(chain_follow(&right, &golden[2], &hashes[2]));
    assert_false(chain_follow(&wrong, &golden[2], &hashes[2]));
}

/* What a row does to the second of the three entries. */
enum damage { TIME, PERSON, VALUE, KIND, HASH, OTHER_FARM, MISSING, TWICE, REWRITTEN };

/* Follow the golden chain with its second entry damaged. */
static struct chain follow_damaged(struct arena *mem, enum damage damage)
{
    static const struct entry_field changed[] = {{"sha256", "00"}};
    struct chain chain = chain_begin(mem, FARM);
    struct digest hashes[ENTRIES];
    struct entry second = golden[1];

    golden_chain(mem, hashes);

    struct digest hash = hashes[1];

    second.at += damage == TIME;
    second.person = damage == PERSON ? "maria" : second.person;
    second.fields = damage == VALUE || damage == REWRITTEN ? changed : second.fields;
    second.field_count = damage == VALUE || damage == REWRITTEN ? 1 : second.field_count;
    second.kind = damage == KIND ? ENTRY_REPORT : second.kind;
    second.farm_id += damage == OTHER_FARM;
    second.sequence -= damage == TWICE;
    hash.bytes[31] ^= damage == HASH;
    if (damage == REWRITTEN) {
        struct buf bytes = buf_new(mem);

        entry_write(&second, &bytes);
        hash = chain_hash(&hashes[0], bytes.data, bytes.len);
    }

    bool sound = chain_follow(&chain, &golden[0], &hashes[0]) &&
                 (damage == MISSING || chain_follow(&chain, &second, &hash)) &&
                 chain_follow(&chain, &golden[2], &hashes[2]);

    assert_false(sound);
    assert_false(chain_follow(&chain, &golden[2], &hashes[2]));

    return chain;
}

static void the_first_break_is_named(void **state)
{
    static const struct {
        enum damage damage;
        enum chain_fault fault;
        int64_t sequence;
        const char *says;
    } rows[] = {
        {TIME, CHAIN_HASH, 2, "entry 2 or its hash is not as it was written"},
        {PERSON, CHAIN_HASH, 2, "entry 2 or its hash is not as it was written"},
        {VALUE, CHAIN_HASH, 2, "entry 2 or its hash is not as it was written"},
        {KIND, CHAIN_HASH, 2, "entry 2 or its hash is not as it was written"},
        {HASH, CHAIN_HASH, 2, "entry 2 or its hash is not as it was written"},
        {OTHER_FARM, CHAIN_FARM, 2, "entry 2 is of another farm"},
        {MISSING, CHAIN_GAP, 3, "entries are missing before entry 3"},
        {TWICE, CHAIN_ORDER, 1, "entry 1 comes again or out of order"},
        /* Whoever rewrites an entry with its hash is caught at the next one. */
        {REWRITTEN, CHAIN_HASH, 3, "entry 3 or its hash is not as it was written"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const struct chain chain = follow_damaged(mem, rows[i].damage);

        assert_int_equal(chain.fault, rows[i].fault);
        assert_int_equal(chain.fault_sequence, rows[i].sequence);
        assert_string_equal(chain_fault_text(mem, &chain), rows[i].says);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(three_fixed_entries_have_their_hashes_for_ever),
        cmocka_unit_test(a_sound_ledger_is_followed_to_its_end),
        cmocka_unit_test(verification_goes_on_from_a_kept_hash),
        cmocka_unit_test(the_first_break_is_named),
    };

    return cmocka_run_group_tests_name("ledger/chain", tests, NULL, NULL);
}
