#include "store/clause_store.h"

#include "base/str.h"
#include "db/sql_catalog.h"

/* Columns of limit_clause/history.sql and interval_clause/history.sql, in order. */
enum { COL_CLAUSE, COL_VERSION, COL_CHANGE, COL_GONE, COL_CONFIRMED, COL_COMPARED, COL_DEFINITION };

static bool history(struct db_tx *tx, struct arena *mem, const struct sql_text *sql,
                    struct clause_rows *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, sql, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;

    struct clause_rows list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct clause_row, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] =
            (struct clause_row){.clause = db_rows_dup(&rows, i, COL_CLAUSE, mem),
                                .version = (int)db_rows_int(&rows, i, COL_VERSION),
                                .change = db_rows_dup(&rows, i, COL_CHANGE, mem),
                                .gone = db_rows_bool(&rows, i, COL_GONE),
                                .confirmed = (int)db_rows_int(&rows, i, COL_CONFIRMED),
                                .compared = (int)db_rows_int(&rows, i, COL_COMPARED),
                                .definition = db_rows_dup(&rows, i, COL_DEFINITION, mem)};
    *out = list;

    return true;
}

bool clause_store_limits(struct db_tx *tx, struct arena *mem, struct clause_rows *out,
                         struct err *err)
{
    return history(tx, mem, &sql_limit_clause_history, out, err);
}

bool clause_store_intervals(struct db_tx *tx, struct arena *mem, struct clause_rows *out,
                            struct err *err)
{
    return history(tx, mem, &sql_interval_clause_history, out, err);
}

bool clause_store_confirm(struct db_tx *tx, const char *clause, int version, int farm_file,
                          const char *person, instant at, struct err *err)
{
    return db_do(tx, &sql_limit_clause_confirm,
                 DB_PARAMS(db_int(tx->farm_id), db_text(clause), db_int(version), db_text(person),
                           db_instant(at), db_int(farm_file)),
                 err);
}

bool no_sample_store_add(struct db_tx *tx, const char *clause, const struct no_sample *reason,
                         instant at, struct err *err)
{
    return db_do(tx, &sql_no_sample_add,
                 DB_PARAMS(db_int(tx->farm_id), db_text(clause), db_day(reason->day),
                           db_text(no_sample_words[reason->reason]), db_text(reason->explanation),
                           db_text(reason->person), db_instant(at)),
                 err);
}

bool no_sample_store_list(struct db_tx *tx, struct arena *mem, struct no_sample_rows *out,
                          struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_no_sample_list, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;

    struct no_sample_rows list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct no_sample_row, list.count);
    for (size_t i = 0; i < list.count; i++) {
        int word = 0;

        while (no_sample_words[word] &&
               !str_equal(no_sample_words[word], db_rows_text(&rows, i, 2)))
            word++;
        list.items[i] =
            (struct no_sample_row){.clause = db_rows_dup(&rows, i, 0, mem),
                                   .reason = {.day = db_rows_day(&rows, i, 1),
                                              .reason = (enum no_sample_reason)word,
                                              .explanation = db_rows_dup(&rows, i, 3, mem),
                                              .person = db_rows_dup(&rows, i, 4, mem)}};
    }
    *out = list;

    return true;
}
