#include "app/source_rules.h"

#include "app/correct.h"
#include "app/source_rule_check.h"
#include "app/source_words.h"
#include "base/str.h"
#include "store/aside_store.h"
#include "store/receipt_store.h"

/* Rows that wait and are looked through for the parameters that a source brings. */
enum { WAITING_MOST = 100000 };

static bool source_pick(const struct farm *farm, const char *key, const struct source **out,
                        struct err *err)
{
    const struct farm_source *source = farm_find_source(farm, key);

    if (!source) {
        err_set(err, ERR_NOT_FOUND, "the farm file has no source '%s'", key);
        return err_hint(err, "Sources are listed under `sources:` in the farm file.");
    }
    *out = &source->source;

    return true;
}

static bool rule_put(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                     const struct source_rule_order *order, const struct source *plain,
                     const struct act *act, struct err *err)
{
    struct source_rules rules = {0};
    struct aside_rows waiting = {0};
    struct source_rule rule = {.source = order->source,
                               .kind = order->kind,
                               .word = order->word,
                               .reason = order->reason,
                               .person = act->person,
                               .second_person = order->second_person,
                               .made_at = act->at};

    if (!source_rule_store_list(tx, mem, &rules, err) ||
        !aside_store_list(tx, mem, WAITING_MOST, &waiting, err))
        return false;

    const struct source_rule_question ask = {mem, farm, source_add_rules(mem, plain, &rules),
                                             &waiting, order};

    if (!source_rule_check(&ask, &rule.means, err) || !source_rule_store_add(tx, &rule, err))
        return false;

    struct entry_field fields[] = {
        {"what", "a word of a source"},
        {"kind", rule.kind},
        {"word", rule.word},
        {"means", rule.means},
        {"reason", rule.reason},
        {"second person", rule.second_person},
    };

    return ledger_store_append(tx, act, ENTRY_NOTE, order->source, fields, ARRAY_LEN(fields),
                               err) &&
           db_tx_commit(tx, err);
}

/* Files of the source that have rows waiting, oldest first: so they came in. */
static bool files_waiting(struct db *db, struct arena *mem, const struct open_farm *farm,
                          const char *source, struct receipt_rows *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct receipt_rows rows = {0};

    if (!db_tx_begin(db, farm->farm_id, &tx, err) || !receipt_store_list(&tx, mem, &rows, err))
        return false;
    *out = (struct receipt_rows){.items = ARENA_ARRAY(mem, struct receipt_row, rows.count)};
    for (size_t i = rows.count; i-- > 0;) {
        struct aside_places places = {0};

        if (!str_equal(rows.items[i].source, source))
            continue;
        if (!aside_store_open_places(&tx, mem, rows.items[i].receipt, &places, err))
            return false;
        if (places.count > 0)
            out->items[out->count++] = rows.items[i];
    }

    return true;
}

static bool files_mend(struct db *db, struct arena *mem, const struct open_farm *farm,
                       const struct source_rule_order *order, const struct act *act,
                       struct source_files_mended *out, struct err *err)
{
    struct receipt_rows files = {0};

    if (!files_waiting(db, mem, farm, order->source, &files, err))
        return false;
    for (size_t i = 0; i < files.count; i++) {
        struct source_file_mended file = {.result = {.file_name = files.items[i].file_name}};
        struct err trouble = ERR_INIT;

        if (!read_again_receipt(db, mem, farm, files.items[i].receipt, order->second_person, act,
                                &file.result, &trouble)) {
            if (trouble.code == ERR_UNAVAILABLE) {
                *err = trouble;
                return false;
            }
            file.trouble = arena_strdup(mem, trouble.text);
        }
        LIST_ADD(mem, out, file);
    }

    return true;
}

bool source_rule_make(struct db *db, struct arena *mem, const struct open_farm *farm,
                      const struct source_rule_order *order, const struct act *act,
                      struct source_files_mended *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    const struct source *plain = NULL;

    if (!act_allowed(farm->farm, act, MAY_CORRECT, err) ||
        !correct_second_allowed(farm->farm, order->second_person, act, err) ||
        !source_pick(farm->farm, order->source, &plain, err))
        return false;
    if (str_empty(order->reason)) {
        err_set(err, ERR_INVALID, "a reason is needed, in words");
        return err_hint(err, "Add --because \"...\": an auditor will read it.");
    }
    if (!db_tx_begin(db, farm->farm_id, &tx, err) ||
        !rule_put(&tx, mem, farm, order, plain, act, err))
        return false;
    db_tx_end(&tx);

    return files_mend(db, mem, farm, order, act, out, err);
}

bool source_rules_list(struct db *db, struct arena *mem, const struct open_farm *farm,
                       struct source_rules *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) && source_rule_store_list(&tx, mem, out, err);
}
