#include "app/load_farm.h"

#include <string.h>

#include "app/sensing.h"
#include "app/windows.h"
#include "app/works_changes.h"
#include "base/str.h"
#include "base/yaml.h"
#include "store/farm_store.h"
#include "store/item_store.h"
#include "store/reading_store.h"

/* A loading on its way. */
struct loading {
    struct arena *mem;
    const struct act *act;
    const struct farm *farm;
    const struct farm *old; /* in force until now, or NULL */
    struct item_rows current;
    struct farm_changes *changes;
    struct buf questions; /* clauses that do not say why they changed */
    bool judges_anew;     /* something changed that verdicts rest on */
};

/* Whether two canonical texts say the same, `change:` apart: that word speaks of the loading. */
static bool definition_same(struct arena *mem, const char *a, const char *b, struct err *err)
{
    const struct yaml *left = NULL;
    const struct yaml *right = NULL;
    size_t i = 0;
    size_t j = 0;

    if (str_equal(a, b))
        return true;
    if (!yaml_load(mem, a, strlen(a), &left, err) || !yaml_load(mem, b, strlen(b), &right, err))
        return false;
    for (;; i++, j++) {
        if (i < left->count && left->items[i].key && str_equal(left->items[i].key->text, "change"))
            i++;
        if (j < right->count && right->items[j].key &&
            str_equal(right->items[j].key->text, "change"))
            j++;
        if (i >= left->count || j >= right->count)
            return i >= left->count && j >= right->count;
        if (!left->items[i].key || !right->items[j].key ||
            !str_equal(left->items[i].key->text, right->items[j].key->text) ||
            !str_equal(yaml_json(mem, left->items[i].value), yaml_json(mem, right->items[j].value)))
            return false;
    }
}

static const struct item_row *current_find(const struct loading *loading, enum item_kind kind,
                                           const char *key)
{
    for (size_t i = 0; i < loading->current.count; i++) {
        const struct item_row *row = &loading->current.items[i];

        if (str_equal(row->kind, item_kind_name(kind)) && str_equal(row->key, key))
            return row;
    }

    return NULL;
}

static bool is_clause(enum item_kind kind)
{
    return kind == ITEM_LIMIT || kind == ITEM_INTERVAL;
}

static bool verdicts_rest_on(enum item_kind kind)
{
    return is_clause(kind) || kind == ITEM_LICENCE || kind == ITEM_METER || kind == ITEM_PARAMETER;
}

static void change_add(struct loading *loading, enum change_kind change, enum item_kind kind,
                       const char *key, const char *says)
{
    LIST_ADD(loading->mem, loading->changes,
             ((struct farm_change){
                 .kind = change,
                 .what = arena_printf(loading->mem, "%s %s", item_kind_name(kind), key),
                 .says = says}));
    loading->judges_anew |= verdicts_rest_on(kind);
}

/* First day in force of a clause, by its key; DAY_NONE when the farm does not have it. */
static day_number clause_from(const struct farm *farm, enum item_kind kind, const char *key)
{
    const struct farm_limit *limit = farm_find_limit(farm, key);
    const struct farm_interval *interval = farm_find_interval(farm, key);

    if (kind == ITEM_LIMIT)
        return limit ? limit->limit.in_force_from : DAY_NONE;

    return interval ? interval->interval.in_force_from : DAY_NONE;
}

/* A licence that changed did so after it began: the form before needs a day of its own. */
static bool change_fits(const struct loading *loading, enum item_kind kind, const char *key,
                        const char *says, struct err *err)
{
    if (!loading->old || !str_equal(says, "licence changed") ||
        clause_from(loading->farm, kind, key) > clause_from(loading->old, kind, key))
        return true;
    err_set(err, ERR_INVALID, "%s %s: the licence changed, but it is in force from no later a day",
            item_kind_name(kind), key);

    return err_hint(err, "Give it the first day of the change (in force: from:), or say `change: "
                         "copied wrongly`.");
}

/* Whether a clause of the old farm file says something else to whoever judges. */
static bool judged_differs(const struct loading *loading, enum item_kind kind, size_t index,
                           const char *key)
{
    for (size_t i = 0; loading->old && i < item_count(loading->old, kind); i++) {
        if (str_equal(item_key(loading->mem, loading->old, kind, i), key))
            return !str_equal(item_judged(loading->old, kind, i),
                              item_judged(loading->farm, kind, index));
    }

    return true;
}

/*
 * `change:` stays in people's files. Beside words that judge nothing it speaks of an earlier
 * loading, and would ask for a new comparing with the licence.
 */
static const struct farm *changes_settled(const struct loading *loading)
{
    struct farm *farm = arena_copy(loading->mem, loading->farm, sizeof(*farm));

    farm->limits.items = arena_copy(loading->mem, farm->limits.items,
                                    farm->limits.count * sizeof(farm->limits.items[0]));
    farm->intervals.items = arena_copy(loading->mem, farm->intervals.items,
                                       farm->intervals.count * sizeof(farm->intervals.items[0]));
    for (size_t i = 0; i < farm->limits.count; i++) {
        if (!judged_differs(loading, ITEM_LIMIT, i, farm->limits.items[i].limit.key))
            farm->limits.items[i].change = NULL;
    }
    for (size_t i = 0; i < farm->intervals.count; i++) {
        if (!judged_differs(loading, ITEM_INTERVAL, i, farm->intervals.items[i].interval.key))
            farm->intervals.items[i].change = NULL;
    }

    return farm;
}

/* What the new file adds or changes of one kind; stored when `tx` is given. */
static bool kind_compare(struct loading *loading, struct db_tx *tx, enum item_kind kind,
                         struct err *err)
{
    struct arena *mem = loading->mem;
    int version = loading->changes->version;

    for (size_t i = 0; i < item_count(loading->farm, kind); i++) {
        char *key = item_key(mem, loading->farm, kind, i);
        const struct item_row *row = current_find(loading, kind, key);
        const char *says = item_change(loading->farm, kind, i);

        if (row &&
            definition_same(mem, row->definition, item_definition(loading->farm, kind, i), err))
            continue;
        if (!tx) {
            bool asks = row && is_clause(kind) && judged_differs(loading, kind, i, key);

            change_add(loading, row ? CHANGE_ITEM : CHANGE_NEW_ITEM, kind, key, row ? says : NULL);
            if (asks && !change_fits(loading, kind, key, says, err))
                return false;
            if (asks && !says)
                buf_addf(&loading->questions, "%s%s %s", loading->questions.len ? ", " : "",
                         item_kind_name(kind), key);
        } else if (!item_store_put(tx, loading->farm, kind, i, version, false, err)) {
            return false;
        }
    }

    return true;
}

static bool in_new(const struct loading *loading, enum item_kind kind, const char *key)
{
    for (size_t i = 0; i < item_count(loading->farm, kind); i++) {
        if (str_equal(item_key(loading->mem, loading->farm, kind, i), key))
            return true;
    }

    return false;
}

/* What the new file lacks of one kind. */
static bool kind_gone(struct loading *loading, struct db_tx *tx, enum item_kind kind,
                      struct err *err)
{
    for (size_t i = 0; loading->old && i < item_count(loading->old, kind); i++) {
        char *key = item_key(loading->mem, loading->old, kind, i);

        if (in_new(loading, kind, key) || !current_find(loading, kind, key))
            continue;
        if (is_clause(kind)) {
            err_set(err, ERR_INVALID, "%s %s is no longer in the file", item_kind_name(kind), key);
            return err_hint(err, "Keep it and give it a last day (in force: to:), so that the "
                                 "time before stays judged.");
        }
        if (!tx)
            change_add(loading, CHANGE_GONE, kind, key, NULL);
        else if (!item_store_put(tx, loading->old, kind, i, loading->changes->version, true, err))
            return false;
    }

    return true;
}

/* Without tx: find what changes. With tx: store it. */
static bool items_walk(struct loading *loading, struct db_tx *tx, struct err *err)
{
    for (int kind = 0; kind < ITEM_KINDS; kind++) {
        if (!kind_compare(loading, tx, (enum item_kind)kind, err) ||
            !kind_gone(loading, tx, (enum item_kind)kind, err))
            return false;
    }

    return true;
}

/* The farm's own lines: its name, and the clocks that days are counted by. */
static void farm_compare(struct loading *loading)
{
    if (!loading->old || str_equal(loading->old->definition, loading->farm->definition))
        return;
    LIST_ADD(loading->mem, loading->changes,
             ((struct farm_change){.kind = CHANGE_ITEM, .what = "farm: name, clocks or states"}));
    loading->judges_anew = true;
}

static bool questions_asked(const struct loading *loading, struct err *err)
{
    if (loading->questions.len == 0)
        return true;
    err_set(err, ERR_INVALID, "%s changed: did the licence change, or was it copied wrongly?",
            loading->questions.data);

    return err_hint(err, "Add `change: licence changed` (with the day it is in force from) or "
                         "`change: copied wrongly` to each of them.");
}

/* Keys are unique by this alone: farms may come to lie on many machines. */
static bool farm_make(struct loading *loading, struct db_tx *tx, struct err *err)
{
    struct farm_rows farms = {0};

    if (!farm_store_making(tx, err) || !farm_store_list(tx, loading->mem, &farms, err))
        return false;
    for (size_t i = 0; i < farms.count; i++) {
        if (str_equal(farms.items[i].key, loading->farm->key)) {
            err_set(err, ERR_CONFLICT, "somebody else made the farm %s in this moment",
                    loading->farm->key);
            return err_hint(err, "Load the file again: it says whether theirs is another.");
        }
    }

    return farm_store_add(tx, loading->farm->key, err) && ledger_store_start(tx, loading->act, err);
}

static bool loading_store(struct loading *loading, struct db_tx *tx, const char *text,
                          size_t length, struct err *err)
{
    struct arena *mem = loading->mem;
    struct digest digest = sha256(text, length);
    struct farm_file_row file = {.version = loading->changes->version,
                                 .sha256 = digest,
                                 .bytes = text,
                                 .length = length,
                                 .name = loading->farm->name,
                                 .zone = loading->farm->zone_name,
                                 .invented = loading->farm->invented,
                                 .loaded_at = loading->act->at,
                                 .person = loading->act->person};
    struct entry_field fields[] = {
        {"version", arena_printf(mem, "%d", file.version)},
        {"sha256", digest_text(mem, &digest)},
        {"changes", arena_printf(mem, "%zu", loading->changes->count)},
    };

    if (loading->changes->new_farm && !farm_make(loading, tx, err))
        return false;

    return farm_store_file_add(tx, &file, err) && items_walk(loading, tx, err) &&
           (!loading->judges_anew || windows_put_all(tx, loading->farm, err)) &&
           sensing_changed(tx, mem, loading->old, loading->farm, err) &&
           ledger_store_append(tx, loading->act, ENTRY_FARM_FILE, NULL, fields, ARRAY_LEN(fields),
                               err) &&
           db_tx_commit(tx, err);
}

static bool farm_number(struct db *db, struct arena *mem, const char *key, int64_t *farm_id,
                        bool *found, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct farm_rows farms = {0};

    if (!db_tx_begin(db, 0, &tx, err) || !farm_store_list(&tx, mem, &farms, err))
        return false;
    *found = false;
    for (size_t i = 0; i < farms.count && !*found; i++) {
        if (str_equal(farms.items[i].key, key)) {
            *farm_id = farms.items[i].farm_id;
            *found = true;
        }
    }

    return true;
}

/* The farm as it is until now: its file and items. */
static bool loading_before(struct loading *loading, struct db_tx *tx, struct units *units,
                           const char *text, size_t length, struct err *err)
{
    struct farm_file_row file = {0};
    struct err old_problem = {0};
    struct digest digest = sha256(text, length);

    if (!farm_store_file_latest(tx, loading->mem, &file, err) ||
        !item_store_current(tx, loading->mem, &loading->current, err))
        return false;
    loading->changes->version = file.version + 1;
    if (file.version == 0)
        return true;
    loading->changes->same_file = memcmp(digest.bytes, file.sha256.bytes, SHA256_SIZE) == 0;
    if (loading->changes->same_file)
        loading->changes->version = file.version;

    /* What is wrong with it is what this loading mends. */
    loading->old = farmfile_accepted(loading->mem, file.bytes, file.length, units, &old_problem);
    if (!loading->old->zone)
        loading->old = NULL;

    return true;
}

bool farm_load(struct db *db, struct arena *mem, struct units *units, const char *text,
               size_t length, const struct act *act, bool dry_run, struct farm_changes *changes,
               struct farmfile_problems *problems, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct loading loading = {
        .mem = mem, .act = act, .changes = changes, .questions = buf_new(mem)};
    int64_t farm_id = 0;
    bool found = false;

    *changes = (struct farm_changes){0};
    if (!farmfile_read(mem, text, length, units, &loading.farm, problems, err) ||
        !act_allowed(loading.farm, act, MAY_CORRECT, err) ||
        !farm_number(db, mem, loading.farm->key, &farm_id, &found, err))
        return false;

    changes->key = loading.farm->key;
    changes->farm = loading.farm;
    changes->new_farm = !found;
    if (!db_tx_begin(db, found ? farm_id : random_id(), &tx, err) ||
        !loading_before(&loading, &tx, units, text, length, err))
        return false;
    if (changes->same_file)
        return true;
    if (loading.old && !act_allowed(loading.old, act, MAY_CORRECT, err))
        return err_wrap(err, "by the farm file in force");
    farm_compare(&loading);
    loading.judges_anew |= works_changes(mem, loading.old, loading.farm, changes);
    loading.farm = changes_settled(&loading);
    if (!items_walk(&loading, NULL, err) || !questions_asked(&loading, err))
        return false;

    return dry_run || loading_store(&loading, &tx, text, length, err);
}
