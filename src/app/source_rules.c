#include "app/source_rules.h"

#include "app/correct.h"
#include "app/source_rule_check.h"
#include "app/source_words.h"
#include "base/str.h"
#include "store/aside_store.h"
#include "store/receipt_store.h"

/* Rows that wait and are looked through for the parameters that a source brings. */
enum { WAITING_MOST = 100000 };

static bool reason_given(const char *reason, struct err *err)
{
    if (!str_empty(reason))
        return true;
    err_set(err, ERR_INVALID, "a reason is needed, in words");

    return err_hint(err, "Add --because \"...\": an auditor will read it.");
}

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

/* The rule that stands about a word; of units letter case counts. NULL: none. */
static const struct source_rule *rule_standing(const struct source_rules *rules, const char *source,
                                               const char *kind, const char *word)
{
    bool is_unit = str_equal(kind, "unit");

    for (size_t i = 0; i < rules->count; i++) {
        const struct source_rule *rule = &rules->items[i];

        if (!rule->withdrawn && str_equal(rule->source, source) && str_equal(rule->kind, kind) &&
            (is_unit ? str_equal(rule->word, word) : str_equal_nocase(rule->word, word)))
            return rule;
    }

    return NULL;
}

/* Who sees a rule that somebody else made alone; NULL: nobody new. */
static const char *seer_of(const struct source_rule *rule, const struct source_rule_order *order,
                           const struct act *act)
{
    if (!rule || rule->second_person || !order->second_person ||
        !str_equal_nocase(rule->means ? rule->means : "", order->means ? order->means : ""))
        return NULL;

    return str_equal(order->second_person, rule->person) ? act->person : order->second_person;
}

/* A second person agrees to a rule, and to the rows that were answered as it was made. */
static bool rule_see(struct db_tx *tx, struct arena *mem, const struct source_rule *rule,
                     const char *seer, const char *reason, const struct act *act,
                     struct source_files_mended *out, struct err *err)
{
    size_t seen = 0;

    if (!source_rule_store_see(tx, rule, seer, act->at, err) ||
        !aside_store_see_rule(tx, rule->source, rule->person, rule->made_at, seer, act->at, &seen,
                              err))
        return false;

    struct entry_field fields[] = {
        {"what", "a word of a source, seen by a second person"},
        {"kind", rule->kind},
        {"word", rule->word},
        {"means", rule->means},
        {"made by", rule->person},
        {"seen by", seer},
        {"rows", arena_printf(mem, "%zu", seen)},
        {"reason", reason},
    };

    if (!ledger_store_append(tx, act, ENTRY_NOTE, rule->source, fields, ARRAY_LEN(fields), err) ||
        !db_tx_commit(tx, err))
        return false;
    out->seen_by = seer;
    out->seen = seen;

    return true;
}

static bool rule_put(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                     const struct source_rule_order *order, const struct source *plain,
                     const struct act *act, struct source_files_mended *out, struct err *err)
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

    const struct source_rule *standing =
        rule_standing(&rules, order->source, order->kind, order->word);
    const char *seer = seer_of(standing, order, act);

    if (seer)
        return rule_see(tx, mem, standing, seer, order->reason, act, out, err);

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
    if (!reason_given(order->reason, err))
        return false;
    if (!db_tx_begin(db, farm->farm_id, &tx, err) ||
        !rule_put(&tx, mem, farm, order, plain, act, out, err))
        return false;
    if (out->seen_by)
        return true;
    db_tx_end(&tx);

    return files_mend(db, mem, farm, order, act, out, err);
}

static bool take_back(struct db_tx *tx, struct arena *mem, const struct source_rule_back *back,
                      const struct act *act, const struct source_rule **out, struct err *err)
{
    struct source_rules rules = {0};
    const struct source_rule *rule;

    if (!source_rule_store_list(tx, mem, &rules, err))
        return false;
    rule = rule_standing(&rules, back->source, back->kind, back->word);
    if (!rule) {
        err_set(err, ERR_NOT_FOUND, "no rule stands about the %s '%s' of %s", back->kind,
                back->word, back->source);
        return err_hint(err, "`weirbook aside rules` lists them. What the farm file says of a "
                             "word is changed there.");
    }

    struct entry_field fields[] = {
        {"what", "a word of a source, taken back"},
        {"kind", rule->kind},
        {"word", rule->word},
        {"means", rule->means},
        {"made by", rule->person},
        {"reason", back->reason},
    };

    *out = rule;

    return source_rule_store_withdraw(tx, rule, back->reason, act->person, act->at, err) &&
           ledger_store_append(tx, act, ENTRY_NOTE, rule->source, fields, ARRAY_LEN(fields), err);
}

bool source_rule_take_back(struct db *db, struct arena *mem, const struct open_farm *farm,
                           const struct source_rule_back *back, const struct act *act,
                           struct source_rule *rule, struct aside_counts *files, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    const struct source_rule *taken = NULL;
    struct aside_counts counts = {0};

    if (!act_allowed(farm->farm, act, MAY_CORRECT, err) || !reason_given(back->reason, err) ||
        !db_tx_begin(db, farm->farm_id, &tx, err) || !take_back(&tx, mem, back, act, &taken, err) ||
        !aside_store_of_rule(&tx, mem, taken->source, taken->person, taken->made_at, &counts,
                             err) ||
        !db_tx_commit(&tx, err))
        return false;
    *rule = *taken;
    *files = counts;

    return true;
}

bool source_rules_list(struct db *db, struct arena *mem, const struct open_farm *farm,
                       struct source_rules *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) && source_rule_store_list(&tx, mem, out, err);
}
