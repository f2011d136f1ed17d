#include "app/clause_acts.h"

#include "app/windows.h"
#include "base/str.h"
#include "store/clause_store.h"
#include "store/farm_store.h"

/* Whether a person compared this form, or one that differs only in words that judge nothing. */
static bool compared(const struct clause_rows *rows, size_t form)
{
    while (rows->items[form].confirmed == 0 && !rows->items[form].change && form > 0 &&
           str_equal(rows->items[form - 1].clause, rows->items[form].clause))
        form--;

    return rows->items[form].confirmed > 0;
}

/* The clause as it is judged. */
static const struct clause_limit *judged_of(const struct clause_limits *judged, const char *key)
{
    for (size_t i = 0; i < judged->count; i++)
        if (str_equal(judged->items[i].limit.key, key))
            return &judged->items[i];

    return NULL;
}

/*
 * The newest form of each clause, when nobody compared it, or what its figures are worked out with
 * changed since.
 */
static bool waiting(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                    struct clause_limits *out, struct err *err)
{
    struct clause_rows rows = {0};
    struct clause_limits judged = {0};

    if (!clause_store_limits(tx, mem, &rows, err) || !clauses_limits(tx, mem, farm, &judged, err))
        return false;
    for (size_t i = 0; i < rows.count; i++) {
        const struct clause_row *row = &rows.items[i];
        const struct clause_limit *now = judged_of(&judged, row->clause);
        struct clause_limit form = {.basis = now ? now->basis : NULL};
        bool newest = i + 1 == rows.count || !str_equal(rows.items[i + 1].clause, row->clause);

        if (!newest || row->gone || (compared(&rows, i) && !form.basis))
            continue;
        if (!farmfile_limit(mem, row->definition, farm->farm, &form.limit, err))
            return err_wrap(err, "limit %s", row->clause);
        form.limit.version = row->version;
        if (farm_find_limit(farm->farm, row->clause))
            form.limit.order = farm_find_limit(farm->farm, row->clause)->limit.order;
        LIST_ADD(mem, out, form);
    }
    clauses_sort(out);

    return true;
}

bool limits_unconfirmed(struct db *db, struct arena *mem, const struct open_farm *farm,
                        struct clause_limits *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) && waiting(&tx, mem, farm, out, err);
}

/* Somebody else than the person who wrote it should compare it, where there is somebody. */
static bool other_person(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                         const struct act *act, struct err *err)
{
    struct farm_file_row file = {0};

    if (!farm_store_file_latest(tx, mem, &file, err))
        return false;
    if (!act_another_may(farm->farm, act, MAY_CORRECT) || !str_equal(file.person, act->person))
        return true;
    err_set(err, ERR_DENIED, "%s loaded this farm file, so somebody else compares it",
            farm_find_person(farm->farm, act->person)->name);

    return err_hint(err, "Ask another person who may correct to read it beside the licence.");
}

static bool key_asked(const char *const *keys, size_t count, const char *key)
{
    for (size_t i = 0; i < count; i++) {
        if (str_equal(keys[i], key))
            return true;
    }

    return count == 0;
}

static bool keys_known(const struct clause_limits *list, const char *const *keys, size_t count,
                       struct err *err)
{
    for (size_t i = 0; i < count; i++) {
        bool known = false;

        for (size_t j = 0; j < list->count; j++)
            known |= str_equal(list->items[j].limit.key, keys[i]);
        if (!known) {
            err_set(err, ERR_NOT_FOUND, "no limit '%s' waits to be compared", keys[i]);
            return err_hint(err, "`weirbook confirm --list` shows those that wait.");
        }
    }

    return true;
}

bool limits_confirm(struct db *db, struct arena *mem, const struct open_farm *farm,
                    const char *const *keys, size_t count, const struct act *act, int *confirmed,
                    struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct clause_limits list = {0};
    struct entry_field *fields;

    *confirmed = 0;
    if (!act_allowed(farm->farm, act, MAY_CORRECT, err) ||
        !db_tx_begin(db, farm->farm_id, &tx, err) || !waiting(&tx, mem, farm, &list, err) ||
        !keys_known(&list, keys, count, err))
        return false;
    if (list.count == 0)
        return true;
    if (!other_person(&tx, mem, farm, act, err))
        return false;

    fields = ARENA_ARRAY(mem, struct entry_field, list.count);
    for (size_t i = 0; i < list.count; i++) {
        const struct limit *limit = &list.items[i].limit;

        if (!key_asked(keys, count, limit->key))
            continue;
        if (!clause_store_confirm(&tx, limit->key, limit->version, farm->version, act->person,
                                  act->at, err))
            return false;
        fields[(*confirmed)++] = (struct entry_field){
            limit->key, arena_printf(mem, "version %d, farm file %d: %s", limit->version,
                                     farm->version, limit_words(mem, limit))};
    }

    return windows_put_all(&tx, farm->farm, err) &&
           ledger_store_append(&tx, act, ENTRY_CONFIRM, NULL, fields, (size_t)*confirmed, err) &&
           db_tx_commit(&tx, err);
}
