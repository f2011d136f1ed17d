#include "ledger/leaf.h"

#include <string.h>

#include "ledger/bytes.h"

enum {
    LEAF_VERSION = 1,
    FIXED_SIZE = 1 + 4 * 8 + 8 + 1 + 1 + 8 + 4 * 4,
    SHORT_SIZE = 256, /* of a leaf that needs no more than a buffer on the stack */
};

static const unsigned char leaf_prefix = 0x00;

/* Everything but the two texts. */
static void write_fixed(const struct leaf *leaf, size_t portion_length, size_t unit_length,
                        unsigned char bytes[FIXED_SIZE])
{
    unsigned char *at = bytes;

    *at++ = LEAF_VERSION;
    at = bytes_put_i64(at, leaf->farm_id);
    at = bytes_put_i64(at, leaf->series_id);
    at = bytes_put_i64(at, leaf->at);
    at = bytes_put_i64(at, leaf->until);
    at = bytes_put_i64(at, leaf->coefficient);
    *at++ = leaf->scale;
    *at++ = (unsigned char)leaf->qualifier;
    at = bytes_put_i64(at, leaf->receipt);
    at = bytes_put_u32(at, (uint32_t)leaf->line);
    at = bytes_put_u32(at, (uint32_t)leaf->column);
    at = bytes_put_u32(at, (uint32_t)portion_length);
    bytes_put_u32(at, (uint32_t)unit_length);
}

void leaf_write(const struct leaf *leaf, struct buf *out)
{
    unsigned char fixed[FIXED_SIZE];

    write_fixed(leaf, strlen(leaf->portion), strlen(leaf->unit), fixed);
    buf_add(out, fixed, sizeof(fixed));
    buf_add_text(out, leaf->portion);
    buf_add_text(out, leaf->unit);
}

/* The same digest for texts of any length. */
static struct digest hash_long(const struct leaf *leaf, const unsigned char fixed[FIXED_SIZE])
{
    struct sha256_state *state = sha256_begin();

    sha256_add(state, &leaf_prefix, 1);
    sha256_add(state, fixed, FIXED_SIZE);
    sha256_add(state, leaf->portion, strlen(leaf->portion));
    sha256_add(state, leaf->unit, strlen(leaf->unit));

    return sha256_end(&state);
}

struct digest leaf_hash(const struct leaf *leaf)
{
    unsigned char bytes[1 + FIXED_SIZE + SHORT_SIZE] = {leaf_prefix};
    size_t portion_length = strlen(leaf->portion);
    size_t unit_length = strlen(leaf->unit);

    write_fixed(leaf, portion_length, unit_length, bytes + 1);
    if (portion_length > SHORT_SIZE || unit_length > SHORT_SIZE - portion_length)
        return hash_long(leaf, bytes + 1);

    unsigned char *texts = bytes + 1 + FIXED_SIZE;

    memcpy(texts, leaf->portion, portion_length);
    memcpy(texts + portion_length, leaf->unit, unit_length);

    return sha256(bytes, 1 + FIXED_SIZE + portion_length + unit_length);
}
