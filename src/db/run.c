#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>

#include "db/db_private.h"
#include "db/sql_catalog.h"

/* --- a few messages in one round trip ------------------------------------------------------ */

enum { STEPS_MOST = 6 };

struct step {
    const struct sql_text *sql;
    const struct db_encoded *params; /* NULL: prepare it; else run it */
};

struct steps {
    struct step items[STEPS_MOST];
    size_t count;
};

static bool is_prepared(const struct db *db, const struct sql_text *sql)
{
    for (size_t i = 0; i < db->prepared.count; i++) {
        if (db->prepared.items[i].sql == sql)
            return true;
    }

    return false;
}

/* Prepare a statement unless it is, and run it unless params is NULL. */
static void steps_add(const struct db *db, struct steps *steps, const struct sql_text *sql,
                      const struct db_encoded *params)
{
    if (!is_prepared(db, sql))
        steps->items[steps->count++] = (struct step){sql, NULL};
    if (params)
        steps->items[steps->count++] = (struct step){sql, params};
}

static bool step_send(PGconn *conn, const struct step *step)
{
    const struct db_encoded *params = step->params;

    if (!params)
        return PQsendPrepare(conn, step->sql->name, step->sql->text, 0, NULL);

    return PQsendQueryPrepared(conn, step->sql->name, params->count, params->values,
                               params->lengths, params->formats, 0);
}

/* A schema that a newer program brought up to date while we were connected stops us. */
static bool schema_same(struct db *db, const struct step *step, const PGresult *result,
                        struct err *err)
{
    if (step->sql != &sql_transaction_farms_checked || !step->params)
        return true;

    int newest = (int)strtol(PQgetvalue(result, 0, 1), NULL, 10);

    if (newest == db->schema)
        return true;

    db->stopped = true;
    err_set(err, ERR_CONFLICT,
            "the database was changed by another version of the program "
            "(migration %d, this one knows %d)",
            newest, db->schema);

    return err_hint(err, "Stop this program and start the new version.");
}

/* What an answered step changes: the statement is prepared, the transaction has begun. */
static void step_done(struct db_tx *tx, const struct step *step)
{
    if (!step->params)
        LIST_ADD(tx->db->mem, &tx->db->prepared, ((struct prepared){step->sql}));
    else if (step->sql == &sql_transaction_begin)
        tx->begun = true;
}

/* Next result that is not the NULL between two. */
static PGresult *result_next(PGconn *conn)
{
    PGresult *result = PQgetResult(conn);

    return result ? result : PQgetResult(conn);
}

/* Read the answers; the last one is kept for the caller. The first failure fills err. */
static bool steps_receive(struct db_tx *tx, const struct steps *steps, PGresult **last,
                          struct err *err)
{
    struct db *db = tx->db;
    PGresult *result = NULL;
    bool fine = true;

    for (size_t i = 0; i < steps->count && PQstatus(db->conn) == CONNECTION_OK; i++) {
        const struct step *step = &steps->items[i];

        PQclear(result);
        result = result_next(db->conn);
        if (fine && !db_result_fine(result))
            fine = db_fail(db, step->sql->name, result, err);
        else if (fine)
            fine = schema_same(db, step, result, err);
        if (fine)
            step_done(tx, step);
    }

    PQclear(result_next(db->conn)); /* the synchronisation point */
    if (fine && PQstatus(db->conn) != CONNECTION_OK)
        fine = db_fail(db, "connection", NULL, err);
    if (fine && last)
        *last = result;
    else
        PQclear(result);

    return fine;
}

static bool steps_run(struct db_tx *tx, const struct steps *steps, PGresult **last, struct err *err)
{
    PGconn *conn = tx->db->conn;
    bool sent = PQenterPipelineMode(conn);

    for (size_t i = 0; sent && i < steps->count; i++)
        sent = step_send(conn, &steps->items[i]);
    if (!sent || !PQpipelineSync(conn))
        return db_fail(tx->db, "connection", NULL, err);

    bool fine = steps_receive(tx, steps, last, err);

    if (!PQexitPipelineMode(conn) && fine) {
        if (last)
            PQclear(*last);
        return db_fail(tx->db, "connection", NULL, err);
    }

    return fine;
}

/* --- what goes before a statement ---------------------------------------------------------- */

bool db_tx_ready(struct db_tx *tx, const char *name, struct err *err)
{
    if (!tx->open)
        return err_set(err, ERR_BUG, "%s: no transaction is open", name);
    if (tx->db->stopped)
        return err_set(err, ERR_UNAVAILABLE, "%s: this transaction was stopped", name);
    if (tx->db->busy)
        return err_set(err, ERR_BUG, "%s: a copy or a read is still under way", name);
    if (db_fault_now(tx->db, err))
        return err_wrap(err, "%s", name);

    return true;
}

/* BEGIN and the farm, unless they have gone out. */
static void steps_begin(const struct db_tx *tx, struct steps *steps, struct db_encoded *none,
                        struct db_encoded *farms)
{
    if (tx->begun)
        return;

    none->count = 0;
    *farms = (struct db_encoded){.count = 1};
    if (tx->farm_id)
        snprintf(farms->digits[0], sizeof(farms->digits[0]), "{%" PRId64 "}", tx->farm_id);
    else
        snprintf(farms->digits[0], sizeof(farms->digits[0]), "{}");
    farms->values[0] = farms->digits[0];

    steps_add(tx->db, steps, &sql_transaction_begin, none);
    steps_add(tx->db, steps,
              tx->db->schema ? &sql_transaction_farms_checked : &sql_transaction_farms, farms);
}

bool db_prepare(struct db_tx *tx, const struct sql_text *sql, struct err *err)
{
    struct steps steps = {.count = 0};
    struct db_encoded none;
    struct db_encoded farms;

    steps_begin(tx, &steps, &none, &farms);
    if (sql)
        steps_add(tx->db, &steps, sql, NULL);

    return steps.count == 0 || steps_run(tx, &steps, NULL, err);
}

/* The usual case: everything is prepared and begun, and one message is enough. */
static bool run_one(struct db *db, const struct sql_text *sql, const struct db_encoded *params,
                    PGresult **out, struct err *err)
{
    PGresult *result = PQexecPrepared(db->conn, sql->name, params->count, params->values,
                                      params->lengths, params->formats, 0);

    if (!db_result_fine(result)) {
        db_fail(db, sql->name, result, err);
        PQclear(result);
        return false;
    }

    *out = result;

    return true;
}

static bool run(struct db_tx *tx, const struct sql_text *sql, struct db_params params,
                PGresult **out, struct err *err)
{
    struct steps steps = {.count = 0};
    struct db_encoded encoded;
    struct db_encoded none;
    struct db_encoded farms;

    if (!db_tx_ready(tx, sql->name, err) || !db_encode(sql, params, &encoded, err))
        return false;

    steps_begin(tx, &steps, &none, &farms);
    steps_add(tx->db, &steps, sql, &encoded);
    if (steps.count == 1)
        return run_one(tx->db, sql, &encoded, out, err);

    return steps_run(tx, &steps, out, err);
}

/* --- the shapes callers know --------------------------------------------------------------- */

bool db_run(struct db_tx *tx, const struct sql_text *sql, struct db_params params,
            struct db_rows *rows, struct err *err)
{
    PGresult *result = NULL;

    if (!run(tx, sql, params, &result, err))
        return false;

    db_rows_clear(rows);
    rows->result = result;

    return true;
}

bool db_do(struct db_tx *tx, const struct sql_text *sql, struct db_params params, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    return db_run(tx, sql, params, &rows, err);
}

bool db_do_count(struct db_tx *tx, const struct sql_text *sql, struct db_params params,
                 size_t *changed, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, sql, params, &rows, err))
        return false;

    *changed = (size_t)strtoull(PQcmdTuples(rows.result), NULL, 10);

    return true;
}

bool db_script(struct db_tx *tx, const char *name, const char *text, struct err *err)
{
    if (!db_tx_ready(tx, name, err) || !db_prepare(tx, NULL, err))
        return false;

    CLEANUP(db_rows_clear) struct db_rows rows = {.result = PQexec(tx->db->conn, text)};

    return db_result_fine(rows.result) || db_fail(tx->db, name, rows.result, err);
}
