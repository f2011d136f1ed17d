#include <string.h>

#include "db/db_private.h"
#include "db/sql_catalog.h"

bool db_tx_begin(struct db *db, int64_t farm_id, struct db_tx *tx, struct err *err)
{
    if (db->in_transaction)
        return err_set(err, ERR_BUG, "a transaction is open on this connection already");
    if (!db_mend(db, err))
        return false;

    db->in_transaction = true;
    db->stopped = false;
    db->sqlstate[0] = '\0';
    *tx = (struct db_tx){.db = db, .farm_id = farm_id, .open = true};

    return true;
}

/* One of our own statements without parameters or rows, sent by itself. */
static bool command(struct db *db, const struct sql_text *sql, const char *expected,
                    struct err *err)
{
    PGresult *result = PQexec(db->conn, sql->text);
    bool fine = db_result_fine(result);

    if (!fine)
        db_fail(db, sql->name, result, err);
    else if (strcmp(PQcmdStatus(result), expected) != 0)
        fine = err_set(err, ERR_BUG, "%s: the server answered %s", sql->name, PQcmdStatus(result));
    PQclear(result);

    return fine;
}

static void tx_close(struct db_tx *tx)
{
    tx->db->in_transaction = false;
    tx->db->stopped = false;
    tx->open = false;
}

/* COMMIT, and whether everyone who must have it has it. */
static bool commit(struct db *db, struct err *err)
{
    db->committing = true;
    db->commit_doubtful = false;

    bool fine = command(db, &sql_transaction_commit, "COMMIT", err);

    db->committing = false;
    if (fine && db->commit_doubtful)
        fine = err_set(err, ERR_UNAVAILABLE,
                       "stored on this server, but its standby did not confirm it");

    return fine;
}

bool db_tx_commit(struct db_tx *tx, struct err *err)
{
    if (!db_tx_ready(tx, "commit", err))
        return false;
    if (tx->begun && !commit(tx->db, err))
        return false;

    tx_close(tx);

    return true;
}

void db_tx_end(struct db_tx *tx)
{
    if (!tx->open)
        return;

    PGconn *conn = tx->db->conn;
    PGTransactionStatusType status = PQtransactionStatus(conn);

    /* A copy or a read still under way is cut off when the connection is next used. */
    if (status == PQTRANS_INTRANS || status == PQTRANS_INERROR)
        PQclear(PQexec(conn, sql_transaction_rollback.text));
    tx_close(tx);
}

/* A savepoint statement, after BEGIN and the farm. */
static bool savepoint(struct db_tx *tx, const struct sql_text *sql, const char *expected,
                      struct err *err)
{
    return db_tx_ready(tx, sql->name, err) && db_prepare(tx, NULL, err) &&
           command(tx->db, sql, expected, err);
}

bool db_savepoint(struct db_tx *tx, struct err *err)
{
    return savepoint(tx, &sql_savepoint_set, "SAVEPOINT", err);
}

bool db_savepoint_release(struct db_tx *tx, struct err *err)
{
    return savepoint(tx, &sql_savepoint_release, "RELEASE", err);
}

bool db_savepoint_rollback(struct db_tx *tx, struct err *err)
{
    return savepoint(tx, &sql_savepoint_rollback, "ROLLBACK", err) &&
           command(tx->db, &sql_savepoint_release, "RELEASE", err);
}
