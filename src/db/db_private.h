/*
 * Inside of db/: what a connection holds and what its parts lend each other. Only db/ and the
 * tests of db/ include this.
 */
#ifndef DB_DB_PRIVATE_H
#define DB_DB_PRIVATE_H

#include <libpq-fe.h>

#include "db/db.h"

struct prepared {
    const struct sql_text *sql;
};

struct prepared_list {
    struct prepared *items;
    size_t count;
    size_t capacity;
};

struct db {
    PGconn *conn;
    struct arena *mem;
    enum db_role role;
    bool private_cluster;
    bool in_transaction; /* between db_tx_begin and its commit or end */
    bool busy;           /* a copy or a read by rows is under way */
    bool stopped;        /* this transaction may only be rolled back */
    bool committing;
    bool commit_doubtful; /* the server warned while it committed */
    int schema;           /* newest migration found by migrate_check, 0 before */
    char version[24];
    char sqlstate[6];
    struct prepared_list prepared; /* on this session */
};

/* --- errors (sqlstate.c) --- */

/* What a caller may do about an SQLSTATE. */
enum err_code db_class(const char *sqlstate);

/* Fill err from a failed result, or from the connection where there is none. Always false. */
bool db_fail(struct db *db, const char *name, const PGresult *result, struct err *err);

/* Swallows notices; one that comes with a COMMIT makes the commit doubtful. */
void db_on_notice(void *db, const PGresult *notice);

/* Whether a result is one of a statement that worked. */
bool db_result_fine(const PGresult *result);

/* --- sessions (connect.c) --- */

/* Connect again when the connection is broken, with everything prepared forgotten. */
MUST_CHECK bool db_mend(struct db *db, struct err *err);

/* --- faults (fault.c) --- */

/* True when this call is the one that shall fail; err is filled and the transaction stopped. */
bool db_fault_now(struct db *db, struct err *err);

/* --- parameters (param.c) --- */

enum { DB_PARAMETERS_MOST = 64, DB_FIELDS_MOST = 64 };

struct db_encoded {
    const char *values[DB_PARAMETERS_MOST];
    int lengths[DB_PARAMETERS_MOST];
    int formats[DB_PARAMETERS_MOST];
    char digits[DB_PARAMETERS_MOST][40]; /* numbers and times, spelt out */
    int count;
};

/* ERR_BUG when the statement takes another number of parameters. Points into params. */
MUST_CHECK bool db_encode(const struct sql_text *sql, struct db_params params,
                          struct db_encoded *out, struct err *err);

/* --- statements (run.c) --- */

/*
 * Look whether the transaction can take one more call: open, not stopped, nothing under way, and
 * no fault due.
 */
MUST_CHECK bool db_tx_ready(struct db_tx *tx, const char *name, struct err *err);

/*
 * Everything that must go before a statement that is sent by itself: BEGIN and the farm if they
 * have not gone out, and the statement's preparation unless it is NULL. One round trip or none.
 */
MUST_CHECK bool db_prepare(struct db_tx *tx, const struct sql_text *sql, struct err *err);

/* A text of any number of statements (a migration), inside the transaction. */
MUST_CHECK bool db_script(struct db_tx *tx, const char *name, const char *text, struct err *err);

#endif
