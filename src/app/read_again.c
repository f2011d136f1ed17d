#include "app/read_again.h"

#include <assert.h>
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "app/again_inside.h"
#include "app/correct.h"
#include "app/source_words.h"
#include "base/file.h"
#include "base/str.h"
#include "store/aside_store.h"
#include "store/receipt_store.h"

static const struct take_in_options no_options;

bool again_pick(struct again *again, const char *file_name, int64_t receipt, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct receipt_rows rows = {0};

    if (!db_tx_begin(again->db, again->farm->farm_id, &tx, err) ||
        !receipt_store_list(&tx, again->mem, &rows, err))
        return false;
    for (size_t i = 0; i < rows.count; i++) {
        if (file_name ? !str_equal(rows.items[i].file_name, file_name)
                      : rows.items[i].receipt != receipt)
            continue;
        if (!aside_store_open_places(&tx, again->mem, rows.items[i].receipt, &again->places, err))
            return false;
        if (again->places.count > 0) {
            again->receipt = rows.items[i];
            return true;
        }
    }
    if (file_name)
        err_set(err, ERR_NOT_FOUND, "no file named '%s' has a row that waits", file_name);
    else
        err_set(err, ERR_NOT_FOUND, "no row of that file waits");

    return err_hint(err, "`weirbook aside` lists what waits, with its file.");
}

bool again_source(struct again *again, struct err *err)
{
    const struct farm_source *source = farm_find_source(again->farm->farm, again->receipt.source);

    if (!source) {
        err_set(err, ERR_NOT_FOUND, "the farm file no longer has the source '%s'",
                again->receipt.source);
        return err_hint(err, "Put it back into the farm file, then read the file again.");
    }

    return source_with_rules(again->db, again->mem, again->farm, &source->source, &again->source,
                             err);
}

/* The kept bytes as a file without a name, so that they can be read twice and piece by piece. */
static bool bytes_spool(struct again *again, struct bytes_file *out, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    FILE *spool = tmpfile();
    size_t count = 1;
    bool done = spool && db_tx_begin(again->db, again->farm->farm_id, &tx, err);

    if (!spool)
        return file_fail(err, errno, "make", "a temporary file");
    for (int piece = 0; done && count > 0; piece++) {
        const void *bytes = NULL;

        arena_reset(mem);
        done = receipt_store_piece(&tx, mem, again->receipt.receipt, piece, &bytes, &count, err);
        if (done && count > 0 && fwrite(bytes, 1, count, spool) != count)
            done = file_fail(err, errno, "write", "a temporary file");
    }
    if (done && fflush(spool) != 0)
        done = file_fail(err, errno, "write", "a temporary file");
    if (done)
        *out = (struct bytes_file){.fd = dup(fileno(spool)),
                                   .name = again->receipt.file_name,
                                   .size = again->receipt.byte_count,
                                   .digest = sha256_begin(),
                                   .options = &no_options};
    fclose(spool);

    return done;
}

static bool entry_put(struct again *again, struct db_tx *tx, size_t accepted, const char *roots,
                      struct err *err)
{
    struct arena *mem = again->mem;
    const struct entry_field own[] = {
        {"receipt", arena_printf(mem, "%lld", (long long)again->receipt.receipt)},
        {"file", again->receipt.file_name},
        {"farm file version", arena_printf(mem, "%d", again->farm->version)},
        {"accepted", arena_printf(mem, "%zu", accepted)},
        {"blank", arena_printf(mem, "%zu", again->storing.blanks.count)},
        {"second person", again->second_person},
        {"batch roots", roots},
    };
    size_t count = ARRAY_LEN(own) + again->told_count;
    struct entry_field *fields = ARENA_ARRAY(mem, struct entry_field, count);

    for (size_t i = 0; i < count; i++)
        fields[i] = i < ARRAY_LEN(own) ? own[i] : again->told[i - ARRAY_LEN(own)];

    return ledger_store_append(tx, again->act, ENTRY_MENDED, again->receipt.source, fields, count,
                               err);
}

/* What the source now says holds no value is left out, so that nobody waits for it. */
static bool blanks_answer(const struct again *again, struct db_tx *tx, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct aside_deed deed = {
        arena_printf(again->mem, "blank by version %d of the farm file", again->farm->version),
        again->act->person, again->second_person, again->act->at};

    for (size_t i = 0; i < again->storing.blanks.count; i++) {
        const struct aside_place *place = &again->storing.blanks.items[i];
        struct aside_row row = {0};

        arena_reset(mem);
        if (!aside_store_one(tx, mem, again->receipt.receipt, place->line, place->column, &row,
                             err) ||
            !aside_leave_out_in(tx, again->farm, &row, &deed, err))
            return false;
    }

    return true;
}

/* What the rows that were stored leave behind. */
static bool again_traces(struct again *again, struct db_tx *tx, int batches, struct buf *roots,
                         struct err *err)
{
    return traces_batches(tx, &again->storing, batches, roots, err) &&
           traces_stored(tx, again->farm->farm, &again->storing, err) &&
           traces_windows(tx, again->farm->farm, &again->scan.months, NULL,
                          again->scan.counts.first_at, again->scan.counts.last_at, err);
}

static bool again_store(struct again *again, const struct ingest_world *world,
                        const struct byte_source *from, size_t *accepted, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct buf roots = buf_new(again->mem);
    const struct aside_deed deed = {
        again->reason ? again->reason
                      : arena_printf(again->mem, "read again by version %d of the farm file",
                                     again->farm->version),
        again->act->person, again->second_person, again->act->at};
    int batches = 0;

    again->storing = (struct storing){.tx = &tx,
                                      .mem = again->mem,
                                      .scan = &again->scan,
                                      .farm = again->farm->farm,
                                      .receipt = again->receipt.receipt,
                                      .staged = true};
    if (!db_tx_begin(again->db, again->farm->farm_id, &tx, err) ||
        !traces_series(&tx, &again->scan, err) ||
        !receipt_store_batches(&tx, again->receipt.receipt, &batches, err) ||
        !file_samples_compare(&again->scan.samples, &tx, err) ||
        !storing_run(&again->storing, again->source, world, from, err) ||
        !blanks_answer(again, &tx, err))
        return false;
    if (again->scan.counts.drafts > 0 &&
        !aside_store_accept_staged(&tx, again->receipt.receipt, again->scan.wanted.by_column, &deed,
                                   accepted, err))
        return false;
    if (*accepted == 0 && again->storing.blanks.count == 0)
        return true;
    if (*accepted > 0 && (!again_traces(again, &tx, batches, &roots, err) ||
                          (again->more && !again->more(again, &tx, err))))
        return false;

    return entry_put(again, &tx, *accepted, roots.data, err) && db_tx_commit(&tx, err);
}

bool again_run(struct again *again, size_t *accepted, struct err *err)
{
    CLEANUP(bytes_file_close) struct bytes_file file = {.fd = -1};

    if (!bytes_spool(again, &file, err))
        return false;
    assert(again->source);

    /* Times are judged as on the day the file came in. */
    struct ingest_world world = traces_world(again->mem, again->farm, again->receipt.received_at);
    struct byte_source from = {{&file, bytes_file_read}, bytes_file_rewind};
    struct wanted_rows waiting = {&again->places, source_by_column(again->source)};

    world.typed = again->typed;

    return (scan_read(&again->scan, again->mem, again->source, &world, &from, waiting, err) &&
            (again->scan.counts.drafts == 0 ||
             scan_partitions(again->db, &again->scan, again->farm->farm_id, err)) &&
            again_store(again, &world, &from, accepted, err)) ||
           err_wrap(err, "%s", again->receipt.file_name);
}

static bool again_begin(struct again *again, const char *file_name, int64_t receipt,
                        struct read_again_result *result, struct err *err)
{
    size_t accepted = 0;

    if (!act_allowed(again->farm->farm, again->act, MAY_CORRECT, err) ||
        !correct_second_allowed(again->farm->farm, again->second_person, again->act, err) ||
        !again_pick(again, file_name, receipt, err) || !again_source(again, err) ||
        !again_run(again, &accepted, err))
        return false;
    *result = (struct read_again_result){.file_name = again->receipt.file_name,
                                         .waited = (int64_t)again->places.count,
                                         .accepted = (int64_t)accepted,
                                         .blank = (int64_t)again->storing.blanks.count,
                                         .contradicting = again->storing.counts.set_aside};

    return true;
}

bool read_again(struct db *db, struct arena *mem, const struct open_farm *farm,
                const char *file_name, const char *second_person, const struct act *act,
                struct read_again_result *result, struct err *err)
{
    struct again again = {
        .db = db, .mem = mem, .farm = farm, .act = act, .second_person = second_person};

    return again_begin(&again, file_name, 0, result, err);
}

bool read_again_receipt(struct db *db, struct arena *mem, const struct open_farm *farm,
                        int64_t receipt, const char *second_person, const struct act *act,
                        struct read_again_result *result, struct err *err)
{
    struct again again = {
        .db = db, .mem = mem, .farm = farm, .act = act, .second_person = second_person};

    return again_begin(&again, NULL, receipt, result, err);
}
