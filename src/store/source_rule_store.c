#include "store/source_rule_store.h"

#include "db/sql_catalog.h"

bool source_rule_store_add(struct db_tx *tx, const struct source_rule *rule, struct err *err)
{
    return db_do(tx, &sql_source_rule_add,
                 DB_PARAMS(db_int(tx->farm_id), db_text(rule->source), db_text(rule->kind),
                           db_text(rule->word), db_text(rule->means), db_text(rule->reason),
                           db_text(rule->person), db_text(rule->second_person),
                           db_instant(rule->made_at)),
                 err);
}

bool source_rule_store_withdraw(struct db_tx *tx, const struct source_rule *rule,
                                const char *reason, const char *person, instant at, struct err *err)
{
    return db_do(tx, &sql_source_rule_withdraw,
                 DB_PARAMS(db_int(tx->farm_id), db_text(rule->source), db_text(rule->kind),
                           db_text(rule->word), db_int(rule->nth), db_text(reason), db_text(person),
                           db_instant(at)),
                 err);
}

bool source_rule_store_see(struct db_tx *tx, const struct source_rule *rule, const char *person,
                           instant at, struct err *err)
{
    return db_do(tx, &sql_source_rule_see,
                 DB_PARAMS(db_int(tx->farm_id), db_text(rule->source), db_text(rule->kind),
                           db_text(rule->word), db_int(rule->nth), db_text(person), db_instant(at)),
                 err);
}

bool source_rule_store_list(struct db_tx *tx, struct arena *mem, struct source_rules *out,
                            struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_source_rule_list, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;

    struct source_rules list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct source_rule, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct source_rule){.source = db_rows_dup(&rows, i, 0, mem),
                                             .kind = db_rows_dup(&rows, i, 1, mem),
                                             .word = db_rows_dup(&rows, i, 2, mem),
                                             .nth = (int)db_rows_int(&rows, i, 3),
                                             .means = db_rows_dup(&rows, i, 4, mem),
                                             .reason = db_rows_dup(&rows, i, 5, mem),
                                             .person = db_rows_dup(&rows, i, 6, mem),
                                             .second_person = db_rows_dup(&rows, i, 7, mem),
                                             .made_at = db_rows_instant(&rows, i, 8),
                                             .withdrawn = db_rows_dup(&rows, i, 9, mem),
                                             .withdrawn_by = db_rows_dup(&rows, i, 10, mem),
                                             .withdrawn_at = db_rows_instant(&rows, i, 11)};
    *out = list;

    return true;
}
