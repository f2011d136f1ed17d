#include "ledger/chain.h"

#include <inttypes.h>

struct digest chain_genesis(void)
{
    return (struct digest){{0}};
}

struct digest chain_hash(const struct digest *previous, const void *entry_bytes, size_t count)
{
    return sha256_two(previous->bytes, SHA256_SIZE, entry_bytes, count);
}

struct chain chain_begin(struct arena *mem, int64_t farm_id)
{
    const struct digest genesis = chain_genesis();

    return chain_resume(mem, farm_id, 0, &genesis);
}

struct chain chain_resume(struct arena *mem, int64_t farm_id, int64_t sequence,
                          const struct digest *hash)
{
    return (struct chain){
        .farm_id = farm_id, .sequence = sequence, .hash = *hash, .bytes = buf_new(mem)};
}

static enum chain_fault fault_of(const struct chain *chain, int64_t farm_id, int64_t sequence,
                                 const struct digest *stored, const struct digest *expected)
{
    if (farm_id != chain->farm_id)
        return CHAIN_FARM;
    if (sequence <= chain->sequence)
        return CHAIN_ORDER;
    if (sequence != chain->sequence + 1)
        return CHAIN_GAP;

    return digest_equal(stored, expected) ? CHAIN_SOUND : CHAIN_HASH;
}

bool chain_follow_bytes(struct chain *chain, int64_t farm_id, int64_t sequence, const void *bytes,
                        size_t count, const struct digest *stored)
{
    if (chain->fault != CHAIN_SOUND)
        return false;

    const struct digest expected = chain_hash(&chain->hash, bytes, count);

    chain->fault = fault_of(chain, farm_id, sequence, stored, &expected);
    if (chain->fault != CHAIN_SOUND) {
        chain->fault_sequence = sequence;
        return false;
    }
    chain->sequence = sequence;
    chain->hash = expected;

    return true;
}

bool chain_follow(struct chain *chain, const struct entry *entry, const struct digest *stored)
{
    buf_clear(&chain->bytes);
    entry_write(entry, &chain->bytes);

    return chain_follow_bytes(chain, entry->farm_id, entry->sequence, chain->bytes.data,
                              chain->bytes.len, stored);
}

char *chain_fault_text(struct arena *mem, const struct chain *chain)
{
    static const struct {
        const char *before;
        const char *after;
    } words[] = {
        [CHAIN_FARM] = {"entry", " is of another farm"},
        [CHAIN_ORDER] = {"entry", " comes again or out of order"},
        [CHAIN_GAP] = {"entries are missing before entry", ""},
        [CHAIN_HASH] = {"entry", " or its hash is not as it was written"},
    };

    if (chain->fault == CHAIN_SOUND)
        return arena_strdup(mem, "every entry is as it was written");

    return arena_printf(mem, "%s %" PRId64 "%s", words[chain->fault].before, chain->fault_sequence,
                        words[chain->fault].after);
}
