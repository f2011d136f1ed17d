#include "app/take_in.h"

#include <string.h>

#include "app/receipt_traces.h"
#include "app/source_words.h"
#include "app/windows.h"
#include "base/file.h"
#include "base/str.h"

/* Everything one taking in needs at hand. */
struct taking {
    struct db *db;
    struct arena *mem;
    const struct open_farm *farm;
    const struct source *source;
    const struct act *act;
    const struct take_in_options *options;
    struct bytes_file *file;
    struct byte_source from; /* that file */
    struct digest digest;
    struct ingest_world world;
    struct scan scan;
    struct storing storing;
};

static bool source_find(const struct farm *farm, struct arena *mem, const char *key,
                        const struct source **out, struct err *err)
{
    const struct farm_source *source = farm_find_source(farm, key);
    const char **keys = ARENA_ARRAY(mem, const char *, farm->sources.count);

    if (source) {
        *out = &source->source;
        return true;
    }
    for (size_t i = 0; i < farm->sources.count; i++)
        keys[i] = farm->sources.items[i].source.key;

    const char *nearest = str_nearest(key, keys, farm->sources.count);

    err_set(err, ERR_NOT_FOUND, "the farm file has no source '%s'", key);
    if (nearest)
        err_hint(err, "Did you mean '%s'?", nearest);
    else
        err_hint(err, "Sources are listed under `sources:` in the farm file.");

    return false;
}

/* First reading of all: the digest that tells whether these bytes are known. */
static bool digest_read(struct taking *taking, struct err *err)
{
    unsigned char bytes[65536];
    size_t got = 0;

    bytes_file_rewind(taking->file);
    do {
        if (!bytes_file_read(taking->file, bytes, sizeof(bytes), &got, err))
            return false;
    } while (got > 0);
    taking->digest = bytes_file_digest(taking->file);

    return true;
}

static bool known_already(struct taking *taking, struct take_in_result *result, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(taking->db, taking->farm->farm_id, &tx, err) &&
           receipt_store_find(&tx, taking->mem, taking->source->key, &taking->digest,
                              &result->receipt, &result->already, err);
}

static bool room_left(const struct taking *taking, struct err *err)
{
    struct file_space space = {0};

    if (!taking->options->room_enough)
        return true;
    if (!file_space(taking->options->data_folder, &space, err))
        return false;
    if (!taking->options->room_enough(space.free_bytes, space.total_bytes)) {
        err_set(err, ERR_UNAVAILABLE,
                "the disk that holds the farm's records is nearly full: %llu MB free",
                (unsigned long long)space.free_bytes / 1000000);
        return err_hint(err, "Make room there, then take the file in again. Reading, reports and "
                             "backups go on.");
    }

    return true;
}

/* The original bytes, a row a megabyte. */
static bool pieces_store(struct taking *taking, struct db_tx *tx, struct err *err)
{
    char *bytes = arena_alloc(taking->mem, RECEIPT_PIECE_BYTES);
    size_t filled = 0;
    int piece = 0;

    bytes_file_rewind(taking->file);
    for (size_t got = 1; got > 0;) {
        if (!bytes_file_read(taking->file, bytes + filled, RECEIPT_PIECE_BYTES - filled, &got, err))
            return false;
        filled += got;
        if (filled == RECEIPT_PIECE_BYTES || (got == 0 && filled > 0)) {
            if (!receipt_store_piece_add(tx, taking->storing.receipt, piece++, bytes, filled, err))
                return err_wrap(err, "keeping the file's bytes");
            filled = 0;
        }
    }

    struct digest digest = bytes_file_digest(taking->file);

    if (memcmp(digest.bytes, taking->digest.bytes, SHA256_SIZE) != 0) {
        err_set(err, ERR_CONFLICT, "%s changed while it was read; nothing of it was kept",
                taking->file->name);
        return err_hint(err, "Wait until it is complete, then take it in again.");
    }

    return true;
}

/* Straight in where nothing stored lies in the file's span and its rows agree; else staged. */
static bool rows_store(struct taking *taking, struct db_tx *tx, struct err *err)
{
    const struct ingest_counts *counts = &taking->scan.counts;
    struct storing *storing = &taking->storing;
    bool overlaps = taking->options->staged_only;

    if (!file_samples_compare(&taking->scan.samples, tx, err))
        return false;
    if (!overlaps && counts->drafts > 0 &&
        !reading_store_any(tx, scan_series_text(taking->mem, &taking->scan), counts->first_at,
                           counts->last_at, &overlaps, err))
        return false;

    storing->staged = overlaps;
    if (!db_savepoint(tx, err))
        return false;
    if (storing_run(storing, taking->source, &taking->world, &taking->from, err))
        return db_savepoint_release(tx, err);

    /* Staged rows conflict only with what somebody else stored meanwhile: once more, seeing it. */
    if ((overlaps && err->code != ERR_CONFLICT) || err->code == ERR_UNAVAILABLE)
        return false;
    *err = ERR_INIT;
    if (!db_savepoint_rollback(tx, err))
        return false;
    storing->staged = true;

    return storing_run(storing, taking->source, &taking->world, &taking->from, err);
}

static struct receipt_row receipt_of(const struct taking *taking)
{
    const struct ingest_counts *counts = &taking->scan.counts;
    const struct settle_counts *settled = &taking->storing.counts;

    return (struct receipt_row){.receipt = taking->storing.receipt,
                                .source = taking->source->key,
                                .farm_file_version = taking->farm->version,
                                .file_name = taking->file->name,
                                .sha256 = taking->digest,
                                .byte_count = taking->file->size,
                                .received_at = taking->act->at,
                                .person = taking->act->person,
                                .values_in = counts->values_in,
                                .stored = settled->stored,
                                .already_known = settled->already_known,
                                .blank = counts->blank,
                                .set_aside = counts->problems + settled->set_aside,
                                .first_at = counts->first_at,
                                .last_at = counts->last_at};
}

/* The months of a file and those beside them. */
static struct scan_months months_about(const struct scan_months *months)
{
    struct scan_months about = *months;

    for (int i = 0; i < SCAN_MONTHS; i++)
        about.held[i] |= (unsigned char)((i > 0 && months->held[i - 1]) ||
                                         (i + 1 < SCAN_MONTHS && months->held[i + 1]));

    return about;
}

/* Where a row without a time may be, aside_store.h, of what is on record. */
static bool unplaced_windows_store(struct taking *taking, struct db_tx *tx,
                                   const struct receipt_row *receipt, struct err *err)
{
    const int64_t apart_us = ASIDE_APART_DAYS * DAY_US;
    const struct scan_months about = months_about(&taking->scan.months);
    instant from = INSTANT_NONE;
    instant until = INSTANT_NONE;

    if (receipt->first_at == INSTANT_NONE)
        return windows_put_all(tx, taking->farm->farm, err);
    if (!reading_store_span(tx, &from, &until, err))
        return false;
    if (from == INSTANT_NONE || from < receipt->first_at - apart_us)
        from = receipt->first_at - apart_us;
    until = receipt->last_at + apart_us;
    if (until > receipt->received_at)
        until = receipt->received_at;

    return traces_windows(tx, taking->farm->farm, &about, NULL, from, until, err);
}

/* What is set aside may belong to any clause of its time; without a time, to any of the file. */
static bool aside_windows_store(struct taking *taking, struct db_tx *tx,
                                const struct receipt_row *receipt, struct err *err)
{
    const struct scan *scan = &taking->scan;
    bool unplaced = scan->aside_anywhere || receipt->set_aside > scan->counts.problems;

    return (!unplaced || unplaced_windows_store(taking, tx, receipt, err)) &&
           (scan->aside_first == INSTANT_NONE ||
            traces_windows(tx, taking->farm->farm, &scan->aside_months, NULL, scan->aside_first,
                           scan->aside_last, err));
}

static char *count_text(struct arena *mem, int64_t count)
{
    return arena_printf(mem, "%lld", (long long)count);
}

/* Last in the transaction: the entry that binds the receipt. */
static bool entry_store(struct taking *taking, struct db_tx *tx, const struct receipt_row *receipt,
                        const char *roots, struct err *err)
{
    struct arena *mem = taking->mem;
    struct entry_field fields[] = {
        {"receipt", count_text(mem, receipt->receipt)},
        {"file", receipt->file_name},
        {"sha256", digest_text(mem, &receipt->sha256)},
        {"bytes", count_text(mem, receipt->byte_count)},
        {"farm file version", count_text(mem, receipt->farm_file_version)},
        {"values in", count_text(mem, receipt->values_in)},
        {"stored", count_text(mem, receipt->stored)},
        {"already known", count_text(mem, receipt->already_known)},
        {"blank", count_text(mem, receipt->blank)},
        {"set aside", count_text(mem, receipt->set_aside)},
        {"batch roots", roots},
    };

    return ledger_store_append(tx, taking->act, ENTRY_RECEIPT, receipt->source, fields,
                               ARRAY_LEN(fields), err);
}

static bool sheets_store(const struct taking *taking, struct db_tx *tx, struct err *err)
{
    const struct scan_sheets *sheets = &taking->scan.sheets;

    for (size_t i = 0; i < sheets->count; i++) {
        const struct place_sheet sheet = {sheets->items[i].number, sheets->items[i].name};

        if (sheets->items[i].taken &&
            !receipt_store_sheet_add(tx, taking->storing.receipt, &sheet, err))
            return false;
    }

    return true;
}

static bool all_store(struct taking *taking, struct take_in_result *result, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct buf roots = buf_new(taking->mem);

    taking->storing = (struct storing){.tx = &tx,
                                       .mem = taking->mem,
                                       .scan = &taking->scan,
                                       .farm = taking->farm->farm,
                                       .receipt = random_id()};
    if (!db_tx_begin(taking->db, taking->farm->farm_id, &tx, err) ||
        !pieces_store(taking, &tx, err) || !traces_series(&tx, &taking->scan, err) ||
        !rows_store(taking, &tx, err))
        return false;

    result->receipt = receipt_of(taking);
    result->straight = !taking->storing.staged;

    return receipt_store_add(&tx, &result->receipt, err) && sheets_store(taking, &tx, err) &&
           traces_batches(&tx, &taking->storing, 0, &roots, err) &&
           traces_stored(&tx, taking->farm->farm, &taking->storing, err) &&
           (result->receipt.set_aside == 0 ||
            aside_windows_store(taking, &tx, &result->receipt, err)) &&
           entry_store(taking, &tx, &result->receipt, roots.data, err) && db_tx_commit(&tx, err);
}

bool take_in(struct db *db, struct arena *mem, const struct open_farm *farm, const char *source_key,
             const char *path, const struct act *act, const struct take_in_options *options,
             struct take_in_result *result, struct err *err)
{
    CLEANUP(bytes_file_close) struct bytes_file file = {.fd = -1};
    struct taking taking = {.db = db,
                            .mem = mem,
                            .farm = farm,
                            .act = act,
                            .options = options,
                            .file = &file,
                            .from = {{&file, bytes_file_read}, bytes_file_rewind},
                            .world = traces_world(mem, farm, act->at)};

    *result = (struct take_in_result){.already = false};
    if ((!options->unattended && !act_allowed(farm->farm, act, MAY_READ, err)) ||
        !source_find(farm->farm, mem, source_key, &taking.source, err) ||
        !source_with_rules(db, mem, farm, taking.source, &taking.source, err) ||
        !bytes_file_open(path, mem, options, &file, err))
        return false;
    if (!digest_read(&taking, err) || !known_already(&taking, result, err))
        return err_wrap(err, "%s", file.name);
    if (result->already)
        return true;
    if (!room_left(&taking, err) ||
        !scan_read(&taking.scan, mem, taking.source, &taking.world, &taking.from,
                   (struct wanted_rows){.places = NULL}, err) ||
        !scan_partitions(db, &taking.scan, farm->farm_id, err) || !all_store(&taking, result, err))
        return err_wrap(err, "%s", file.name);
    result->rows = taking.scan.counts.rows;
    result->ignored_rows = taking.scan.counts.ignored_rows;
    result->sheets = taking.scan.sheets.items;
    result->sheet_count = taking.scan.sheets.count;

    return true;
}
