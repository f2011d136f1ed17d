#include "app/documents.h"

#include <stdio.h>
#include <string.h>

#include "app/document_about.h"
#include "base/file.h"
#include "base/str.h"
#include "judge/evidence.h"
#include "store/doubt_store.h"

const char *const document_kinds[] = {"certificate", "notice", "licence", "photo", "other", NULL};

static bool kind_known(struct arena *mem, const char *kind, struct err *err)
{
    struct buf list = buf_new(mem);

    for (size_t i = 0; document_kinds[i]; i++) {
        if (str_equal(document_kinds[i], kind))
            return true;
        buf_addf(&list, "%s%s", i ? ", " : "", document_kinds[i]);
    }
    if (str_empty(kind))
        err_set(err, ERR_INVALID, "it is not told what kind of document this is");
    else
        err_set(err, ERR_INVALID, "'%s' is no kind of document", kind);

    return err_hint(err, "Say --kind: %s.", list.data);
}

/* The last part of a path, as a label. */
static bool name_of(struct arena *mem, const char *path, const char **name, struct err *err)
{
    const char *slash = strrchr(path, '/');

    *name = arena_strdup(mem, slash ? slash + 1 : path);
    if (strlen(*name) > DOCUMENT_NAME_MOST)
        return err_set(err, ERR_TOO_LARGE, "the file's name is longer than %d bytes",
                       DOCUMENT_NAME_MOST);

    return true;
}

static bool bytes_read(struct arena *mem, const char *path, char **bytes, size_t *length,
                       struct err *err)
{
    if (!file_read(mem, path, DOCUMENT_BYTES_MOST, bytes, length, err))
        return false;
    if (*length > 0)
        return true;
    err_set(err, ERR_INVALID, "%s is empty: it has not one byte", path);

    return err_hint(err, "Scan or save it again.");
}

static bool pieces_add(struct db_tx *tx, int64_t document, const char *bytes, size_t length,
                       struct err *err)
{
    for (size_t at = 0, piece = 0; at < length; at += DOCUMENT_PIECE_BYTES, piece++) {
        size_t count = length - at < DOCUMENT_PIECE_BYTES ? length - at : DOCUMENT_PIECE_BYTES;

        if (!document_store_piece_add(tx, document, (int)piece, bytes + at, count, err))
            return false;
    }

    return true;
}

static bool document_find(struct db_tx *tx, struct arena *mem, int64_t document,
                          struct document_row *out, struct err *err)
{
    struct document_rows rows = {0};

    if (!document_store_list(tx, mem, &rows, err))
        return false;
    for (size_t i = 0; i < rows.count; i++) {
        if (rows.items[i].document != document)
            continue;
        *out = rows.items[i];
        return true;
    }
    err_set(err, ERR_NOT_FOUND, "there is no document %lld", (long long)document);

    return err_hint(err, "`weirbook document list` lists them.");
}

/* Its bytes and row, where they are new; else the row on record. */
static bool bytes_keep(struct db_tx *tx, struct arena *mem, const char *bytes, size_t length,
                       struct document_kept *kept, struct err *err)
{
    int64_t known = 0;

    if (!document_store_find(tx, &kept->row.sha256, &known, err))
        return false;
    kept->already = known > 0;
    if (known)
        return document_find(tx, mem, known, &kept->row, err);

    return document_store_add(tx, &kept->row, &kept->row.document, err) &&
           pieces_add(tx, kept->row.document, bytes, length, err);
}

static bool keep_in(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                    const struct document_order *order, const char *bytes, size_t length,
                    const struct act *act, struct document_kept *kept, struct err *err)
{
    struct document_tie tie = {.person = act->person, .tied_at = act->at};

    if ((order->about && !document_about_read(tx, mem, farm, order->about, &tie, err)) ||
        !bytes_keep(tx, mem, bytes, length, kept, err))
        return false;
    if (kept->already && !order->about)
        return true;
    tie.document = kept->row.document;
    if (order->about && !document_store_tie_add(tx, &tie, err))
        return false;

    struct entry_field fields[] = {
        {"document", arena_printf(mem, "%lld", (long long)kept->row.document)},
        {"name", kept->row.name},
        {"kind", kept->row.kind},
        {"sha256", digest_text(mem, &kept->row.sha256)},
        {"bytes", arena_printf(mem, "%lld", (long long)kept->row.byte_count)},
        {"about", order->about ? arena_printf(mem, "%s %s", tie.kind, tie.about) : NULL},
    };

    return ledger_store_append(tx, act, ENTRY_DOCUMENT, NULL, fields, ARRAY_LEN(fields), err) &&
           db_tx_commit(tx, err);
}

bool document_keep(struct db *db, struct arena *mem, const struct open_farm *farm,
                   const struct document_order *order, const struct act *act,
                   struct document_kept *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct document_kept kept = {
        .row = {.kind = order->kind, .received_at = act->at, .person = act->person}};
    char *bytes = NULL;
    size_t length = 0;

    if (!act_allowed(farm->farm, act, MAY_READ, err) || !kind_known(mem, order->kind, err) ||
        !name_of(mem, order->path, &kept.row.name, err) ||
        !bytes_read(mem, order->path, &bytes, &length, err))
        return false;
    kept.row.sha256 = sha256(bytes, length);
    kept.row.byte_count = (int64_t)length;
    if (!db_tx_begin(db, farm->farm_id, &tx, err) ||
        !keep_in(&tx, mem, farm, order, bytes, length, act, &kept, err))
        return false;
    *out = kept;

    return true;
}

bool documents_list(struct db *db, struct arena *mem, const struct open_farm *farm,
                    struct document_rows *out, struct document_ties *ties, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) && document_store_list(&tx, mem, out, err) &&
           document_store_ties(&tx, mem, ties, err);
}

/* All its bytes, which still have the digest they came in with. */
static bool bytes_load(struct db_tx *tx, struct arena *mem, const struct document_row *row,
                       char **bytes, struct err *err)
{
    struct digest digest;
    int64_t length = 0;
    size_t count = 1;

    *bytes = ARENA_ARRAY(mem, char, (size_t)row->byte_count);
    for (int piece = 0; count > 0; piece++) {
        const void *part = NULL;

        if (!document_store_piece(tx, mem, row->document, piece, &part, &count, err))
            return false;
        if (length + (int64_t)count > row->byte_count)
            break;
        if (count > 0)
            memcpy(*bytes + length, part, count);
        length += (int64_t)count;
    }
    digest = sha256(*bytes, (size_t)length);
    if (length == row->byte_count && digest_equal(&digest, &row->sha256))
        return true;
    err_set(err, ERR_BUG, "the bytes of document %lld are no longer those that came in",
            (long long)row->document);

    return err_hint(err, "Nothing was written. Put the records back from a backup.");
}

bool document_write(struct db *db, struct arena *mem, const struct open_farm *farm,
                    int64_t document, const char *path, struct document_row *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct document_row row = {0};
    char *bytes = NULL;

    if (!db_tx_begin(db, farm->farm_id, &tx, err) || !document_find(&tx, mem, document, &row, err))
        return false;
    if (!path) {
        err_set(err, ERR_INVALID, "it is not told where to write the document");
        return err_hint(err, "Say --out FILE, where no file is yet.");
    }
    if (file_exists(path)) {
        err_set(err, ERR_CONFLICT, "there is something at %s already", path);
        return err_hint(err, "Say another file: --out FILE.");
    }
    if (!bytes_load(&tx, mem, &row, &bytes, err) ||
        !file_write(path, bytes, (size_t)row.byte_count, 0644, err))
        return false;
    *out = row;

    return true;
}

char *sample_result_words(struct arena *mem, const struct sample_result *result)
{
    if (result->qualifier == QUALIFIER_NOT_DETECTED)
        return arena_strdup(mem, "not detected");

    return arena_printf(mem, "%s%s%s%s",
                        result->qualifier == QUALIFIER_LESS      ? "<"
                        : result->qualifier == QUALIFIER_GREATER ? ">"
                                                                 : "",
                        result->reported, *result->reported ? " " : "", result->unit);
}

/* "nitrate-n of outlet 0.31 mg/L; ...", as the ledger keeps it. */
static char *results_words(struct arena *mem, const struct sample_results *results)
{
    struct buf text = buf_new(mem);

    for (size_t i = 0; i < results->count; i++) {
        const struct sample_result *result = &results->items[i];

        buf_addf(&text, "%s%s of %s%s%s %s%s", i ? "; " : "", result->parameter, result->station,
                 *result->replicate ? ", replicate " : "", result->replicate,
                 sample_result_words(mem, result), result->left_out ? " (left out)" : "");
    }

    return text.data;
}

static bool may_check(const struct farm *farm, const struct act *act, struct err *err)
{
    struct err ignored = ERR_INIT;

    return act_allowed(farm, act, MAY_SAMPLE, &ignored) || act_allowed(farm, act, MAY_CORRECT, err);
}

bool document_check(struct db *db, struct arena *mem, const struct open_farm *farm,
                    const char *sample, int64_t document, const struct act *act,
                    struct document_check *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct document_check done = {.results = {.count = 0}};
    instant from = INSTANT_NONE;
    instant until = INSTANT_NONE;

    if (!may_check(farm->farm, act, err) || !db_tx_begin(db, farm->farm_id, &tx, err) ||
        !document_find(&tx, mem, document, &done.document, err) ||
        !doubt_store_sample(&tx, sample, &from, &until, err) ||
        !document_store_results(&tx, mem, sample, from, until, &done.results, err))
        return false;
    if (done.results.count == 0)
        return err_set(err, ERR_NOT_FOUND, "sample %s has no results on record", sample);

    const struct result_check check = {.sample = sample,
                                       .document = document,
                                       .person = act->person,
                                       .checked_at = act->at,
                                       .results = results_words(mem, &done.results)};
    const struct document_tie tie = {.document = document,
                                     .kind = "sample",
                                     .about = sample,
                                     .person = act->person,
                                     .tied_at = act->at};
    struct entry_field fields[] = {
        {"what", "results checked"},
        {"sample", sample},
        {"document", arena_printf(mem, "%lld", (long long)document)},
        {"sha256", digest_text(mem, &done.document.sha256)},
        {"results", check.results},
    };

    if (!document_store_check_add(&tx, &check, err) || !document_store_tie_add(&tx, &tie, err) ||
        !ledger_store_append(&tx, act, ENTRY_DOCUMENT, NULL, fields, ARRAY_LEN(fields), err) ||
        !db_tx_commit(&tx, err))
        return false;
    *out = done;

    return true;
}
