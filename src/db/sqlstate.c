#include <string.h>

#include "db/db_private.h"

/* First prefix that fits decides. */
static const struct {
    const char *prefix;
    enum err_code code;
} classes[] = {
    {"23505", ERR_CONFLICT},    /* unique violation */
    {"40001", ERR_CONFLICT},    /* serialization failure */
    {"40P01", ERR_UNAVAILABLE}, /* deadlock: the other one got through, try again */
    {"42501", ERR_DENIED},      /* insufficient privilege */
    {"55P03", ERR_UNAVAILABLE}, /* lock not available in time */
    {"57014", ERR_UNAVAILABLE}, /* cancelled: a timeout or an operator */
    {"57P", ERR_UNAVAILABLE},   /* server going down or coming up */
    {"08", ERR_UNAVAILABLE},    /* connection */
    {"53", ERR_UNAVAILABLE},    /* disk full, out of memory, too many connections */
    {"22", ERR_INVALID},        /* data */
    {"23", ERR_INVALID},        /* other constraints */
};

/* The server words it in several ways, by what it was about to write. */
static const char DISK_FULL[] = "53100";

enum err_code db_class(const char *sqlstate)
{
    for (size_t i = 0; i < ARRAY_LEN(classes); i++) {
        if (strncmp(sqlstate, classes[i].prefix, strlen(classes[i].prefix)) == 0)
            return classes[i].code;
    }

    return ERR_BUG;
}

bool db_result_fine(const PGresult *result)
{
    ExecStatusType status = PQresultStatus(result);

    return status == PGRES_COMMAND_OK || status == PGRES_TUPLES_OK ||
           status == PGRES_SINGLE_TUPLE || status == PGRES_COPY_IN;
}

bool db_fail(struct db *db, const char *name, const PGresult *result, struct err *err)
{
    const char *state = result ? PQresultErrorField(result, PG_DIAG_SQLSTATE) : NULL;
    const char *text = result ? PQresultErrorField(result, PG_DIAG_MESSAGE_PRIMARY) : NULL;
    /* An error that no server gave a state is libpq's of the connection, also before it says so. */
    bool lost = PQstatus(db->conn) != CONNECTION_OK ||
                (result && !state && PQresultStatus(result) == PGRES_FATAL_ERROR);

    if (!text)
        text = PQerrorMessage(db->conn);
    if (!state)
        state = lost ? "08006" : "XX000"; /* libpq itself failed and gives no state */

    memcpy(db->sqlstate, state, 5);

    err_set(err, lost ? ERR_UNAVAILABLE : db_class(state), "%s: %.*s [%s]", name,
            (int)strcspn(text, "\n"), text, db->sqlstate);
    if (strcmp(db->sqlstate, DISK_FULL) == 0)
        err_wrap(err, "the disk of the database is full");

    return false;
}

/*
 * A COMMIT that is answered well but with a warning (its standby did not confirm in time) is no
 * acknowledgement. Every other notice is of no interest to anyone.
 */
void db_on_notice(void *context, const PGresult *notice)
{
    struct db *db = context;
    const char *state = PQresultErrorField(notice, PG_DIAG_SQLSTATE);

    if (db->committing && state && (strcmp(state, "01000") == 0 || strcmp(state, "57P01") == 0))
        db->commit_doubtful = true;
}

const char *db_sqlstate(const struct db *db)
{
    return db->sqlstate;
}
