/*
 * The Merkle roots of a receipt, worked out again from the readings as they lie in the database,
 * and compared with those of its batches and of its ledger entry.
 */
#ifndef TESTS_APP_ROOTS_H
#define TESTS_APP_ROOTS_H

#include <stdlib.h>
#include <string.h>

#include "base/buf.h"
#include "base/merkle.h"
#include "harness/farm.h"
#include "ledger/leaf.h"
#include "store/receipt_store.h"

/* The next field of a row whose fields are parted by |. */
static inline const char *roots_field(struct arena *mem, const char **at)
{
    size_t length = strcspn(*at, "|\n");
    const char *field = arena_strndup(mem, *at, length);

    *at += length + (*(*at + length) == '|');

    return field;
}

static inline struct digest roots_leaf(struct arena *mem, const struct test_farm *farm,
                                       int64_t receipt, const char *row)
{
    struct leaf leaf = {.farm_id = farm->open.farm_id, .receipt = receipt};

    leaf.series_id = strtoll(roots_field(mem, &row), NULL, 10);
    leaf.at = strtoll(roots_field(mem, &row), NULL, 10);
    leaf.until = strtoll(roots_field(mem, &row), NULL, 10);
    leaf.portion = roots_field(mem, &row);
    leaf.qualifier = *roots_field(mem, &row);
    leaf.coefficient = strtoll(roots_field(mem, &row), NULL, 10);
    leaf.scale = (uint8_t)strtoll(roots_field(mem, &row), NULL, 10);
    leaf.unit = roots_field(mem, &row);
    leaf.line = (int32_t)strtoll(roots_field(mem, &row), NULL, 10);
    leaf.column = (int32_t)strtoll(roots_field(mem, &row), NULL, 10);

    return leaf_hash(&leaf);
}

static const char roots_rows[] =
    "select concat_ws('|', series_id, us(at), us(until), case portion when 0 then '' else "
    "portion::text end, qualifier, replace(coalesce(reported, 0)::text, '.', ''), "
    "coalesce(scale(reported), 0), unit, line, col) from reading where farm_id = $1 and receipt = "
    "%lld order by line, col";

/* "ROOT ROOT ...", as a receipt's ledger entry has them. */
static inline char *roots_again(const struct test_farm *farm, int64_t receipt)
{
    CLEANUP(arena_free) struct arena *row_mem = arena_new();
    struct arena *mem = farm->mem;
    struct buf text = buf_new(mem);
    struct merkle tree = {.count = 0};
    const char *row = test_query(farm, arena_printf(mem, roots_rows, (long long)receipt));

    while (*row) {
        struct digest hash = roots_leaf(row_mem, farm, receipt, row);
        size_t length = strcspn(row, "\n");

        arena_reset(row_mem);
        row += length + (row[length] == '\n');
        merkle_push_hash(&tree, &hash);
        if (tree.count < RECEIPT_BATCH_READINGS && *row)
            continue;

        struct digest root = merkle_root(&tree);

        buf_addf(&text, "%s%s", text.len ? " " : "", digest_text(mem, &root));
        tree = (struct merkle){.count = 0};
    }

    return text.data;
}

/* Batches, entry and readings of a receipt agree; how many batches there are. */
static inline int64_t roots_check(const struct test_farm *farm, int64_t receipt)
{
    struct arena *mem = farm->mem;
    const char *again = roots_again(farm, receipt);
    const char *batches = test_query(
        farm, arena_printf(mem,
                           "select coalesce(string_agg(encode(root, 'hex'), ' ' order by batch), "
                           "'') from receipt_batch where farm_id = $1 and receipt = %lld",
                           (long long)receipt));

    assert_string_equal(batches, again);
    /* The entry's bytes hold the text of its fields as it is. */
    assert_int_equal(
        test_number(farm, arena_printf(mem,
                                       "select count(*) from ledger where farm_id = $1 and kind = "
                                       "'receipt' and position('%lld'::bytea in bytes) > 0 and "
                                       "position('%s'::bytea in bytes) > 0",
                                       (long long)receipt, again)),
        1);

    return test_number(farm, arena_printf(mem,
                                          "select count(*) from receipt_batch where farm_id = $1 "
                                          "and receipt = %lld",
                                          (long long)receipt));
}

#endif
