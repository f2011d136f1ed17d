#include <stdlib.h>
#include <string.h>

#include "db/db_private.h"
#include "db/sql_catalog.h"

enum { SERVER_OLDEST = 150000 };

static const char *const role_names[] = {
    [DB_ROLE_PROGRAM] = "weirbook_program",
    [DB_ROLE_READER] = "weirbook_reader",
    [DB_ROLE_OWNER] = "weirbook_owner",
    [DB_ROLE_ADMIN] = "weirbook_admin",
};

/* libpq's word for it, first line, in front of nothing: it names the server already. */
static bool connect_fail(struct db *db, enum err_code code, struct err *err)
{
    const char *text = PQerrorMessage(db->conn);

    return err_set(err, code, "database: %.*s", (int)strcspn(text, "\n"), text);
}

/* Not connected. libpq gives no SQLSTATE here, but a server that answers a ping refused us. */
static bool connect_explain(struct db *db, const char *const *names, const char *const *values,
                            struct err *err)
{
    switch (PQpingParams(names, values, 1)) {
    case PQPING_OK:
        connect_fail(db, ERR_DENIED, err);
        return err_hint(err, "The server is there but did not let this account in: look at the "
                             "user, password and database name, and at how many are connected.");
    case PQPING_NO_ATTEMPT:
        return connect_fail(db, ERR_INVALID, err);
    case PQPING_REJECT:
    case PQPING_NO_RESPONSE:
        break;
    }

    return connect_fail(db, ERR_UNAVAILABLE, err);
}

/* The string is looked at first, so that a misspelt one is told from a silent server. */
static bool conninfo_check(const char *conninfo, struct err *err)
{
    char *problem = NULL;
    PQconninfoOption *options = PQconninfoParse(conninfo, &problem);

    if (!options)
        err_set(err, ERR_INVALID, "connection string: %.*s",
                problem ? (int)strcspn(problem, "\n") : 0, problem ? problem : "");
    PQfreemem(problem);
    PQconninfoFree(options);

    return options != NULL;
}

/* What the session must be before the first transaction: our role, our settings. */
static bool session_start(struct db *db, struct err *err)
{
    bool as_role = !db->private_cluster && db->role != DB_ROLE_ADMIN;
    const char *role = as_role ? role_names[db->role] : "none";
    const char *const values[] = {role};
    PGresult *result =
        PQexecParams(db->conn, sql_session_start.text, 1, NULL, values, NULL, NULL, 0);
    bool fine = db_result_fine(result);

    if (!fine) {
        db_fail(db, sql_session_start.name, result, err);
        if (as_role) {
            err->code = err->code == ERR_UNAVAILABLE ? ERR_UNAVAILABLE : ERR_DENIED;
            err_hint(err, "Run `weirbook database prepare` as one who may make roles, or give what "
                          "`weirbook database sql` prints to whoever looks after the server.");
        }
    }
    PQclear(result);

    return fine;
}

static bool server_check(struct db *db, struct err *err)
{
    const char *version = PQparameterStatus(db->conn, "server_version");
    size_t length = version ? strcspn(version, " ") : 0;

    if (length >= sizeof(db->version))
        length = sizeof(db->version) - 1;
    if (length)
        memcpy(db->version, version, length);

    if (PQserverVersion(db->conn) < SERVER_OLDEST)
        return err_set(err, ERR_INVALID, "the database server is PostgreSQL %s, and 15 is needed",
                       db->version);

    return true;
}

static bool db_connect(struct db *db, const char *conninfo, struct err *err)
{
    /* What stands after dbname wins over the connection string, what stands before gives way. */
    const char *const names[] = {
        "connect_timeout", "dbname", "application_name", "client_encoding", "user", NULL,
    };
    const char *const values[] = {
        "10", conninfo, "weirbook", "UTF8", db->private_cluster ? role_names[db->role] : NULL, NULL,
    };

    if (!conninfo_check(conninfo, err))
        return false;

    db->conn = PQconnectdbParams(names, values, 1);
    if (!db->conn)
        return err_set(err, ERR_UNAVAILABLE, "database: no memory left for a connection");
    if (PQstatus(db->conn) != CONNECTION_OK)
        return connect_explain(db, names, values, err);

    PQsetNoticeReceiver(db->conn, db_on_notice, db);

    return server_check(db, err) && session_start(db, err);
}

bool db_open(const char *conninfo, bool private_cluster, enum db_role role, struct db **out,
             struct err *err)
{
    struct arena *mem = arena_new();
    CLEANUP(db_close) struct db *db = ARENA_NEW(mem, struct db);

    db->mem = mem;
    db->role = role;
    db->private_cluster = private_cluster;
    if (!db_connect(db, conninfo, err))
        return false;

    *out = db;
    db = NULL;

    return true;
}

void db_close(struct db **db)
{
    if (!*db)
        return;

    struct arena *mem = (*db)->mem;

    PQfinish((*db)->conn);
    arena_free(&mem);
    *db = NULL;
}

bool db_mend(struct db *db, struct err *err)
{
    if (PQstatus(db->conn) == CONNECTION_OK && !db->busy)
        return true;

    db->prepared.count = 0;
    db->busy = false;
    PQreset(db->conn);
    if (PQstatus(db->conn) != CONNECTION_OK)
        return connect_fail(db, ERR_UNAVAILABLE, err);

    return server_check(db, err) && session_start(db, err);
}

const char *db_server_version(const struct db *db)
{
    return db->version;
}
