/*
 * Database: the only door to PostgreSQL.
 *
 * Statements are named texts from sql/ (see sql_catalog.h, made at build); nothing takes an SQL
 * string. Every statement runs inside a transaction that carries the farm it may see: the farm
 * goes to the server with SET LOCAL weirbook.farms, in one pipeline with BEGIN and the first
 * statement, and row security there does the rest.
 *
 * One struct db is one connection, for one thread at a time.
 */
#ifndef DB_DB_H
#define DB_DB_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/decimal.h"
#include "base/err.h"
#include "base/instant.h"
#include "base/macro.h"

struct db;

/*
 * A statement of the catalog: its name, its text with the comment, its number of parameters. It is
 * known by its address and prepared under its name, so it must outlive the connection.
 */
struct sql_text {
    const char *name; /* "receipt_add" */
    const char *text;
    int parameters;
};

/* Who a connection is (storage: who connects as what). */
enum db_role {
    DB_ROLE_PROGRAM, /* weirbook_program: owns nothing, may insert and select */
    DB_ROLE_READER,  /* weirbook_reader: may select */
    DB_ROLE_OWNER,   /* weirbook_owner: migrations */
    DB_ROLE_ADMIN,   /* weirbook_admin: makes and repairs the private cluster */
};

/*
 * Connect. `conninfo` is any libpq connection string or URI ("" means the PG* environment).
 * With `private_cluster` the role connects under its own name (peer); on somebody else's server
 * the program connects as conninfo says and does SET ROLE.
 *
 * ERR_UNAVAILABLE: no server there. ERR_DENIED: it refused us. ERR_INVALID: a bad string, or a
 * server older than PostgreSQL 15.
 */
MUST_CHECK bool db_open(const char *conninfo, bool private_cluster, enum db_role role,
                        struct db **out, struct err *err);
void db_close(struct db **db); /* for CLEANUP; fine on NULL */

/* The server's version as it prints it: "15.20". */
const char *db_server_version(const struct db *db);

/*
 * A transaction on one farm. CLEANUP(db_tx_end) rolls back what was not committed.
 * farm_id 0 sees no farm's rows (for lists of words, finding a farm by key and migrations).
 */
struct db_tx {
    struct db *db;
    int64_t farm_id;
    bool open;  /* between begin and commit or end */
    bool begun; /* BEGIN has gone out */
};

/* A broken connection is made anew here, and nowhere else. */
MUST_CHECK bool db_tx_begin(struct db *db, int64_t farm_id, struct db_tx *tx, struct err *err);
MUST_CHECK bool db_tx_commit(struct db_tx *tx, struct err *err);
void db_tx_end(struct db_tx *tx);

/*
 * A savepoint ends by being released (kept) or rolled back (undone); they may nest. After a failed
 * statement the transaction takes nothing but a rollback to a savepoint, or its end.
 */
MUST_CHECK bool db_savepoint(struct db_tx *tx, struct err *err);
MUST_CHECK bool db_savepoint_release(struct db_tx *tx, struct err *err);
MUST_CHECK bool db_savepoint_rollback(struct db_tx *tx, struct err *err);

/* Parameters. Texts and bytes must live until the call returns. */
struct db_param {
    enum { DB_NULL, DB_TEXT, DB_INT, DB_DOUBLE, DB_BOOL, DB_BYTES, DB_INSTANT, DB_DAY } kind;
    const char *text; /* also the bytes */
    size_t length;
    int64_t integer; /* also bool, instant and day */
    double real;
};

struct db_param db_null(void);
struct db_param db_text(const char *text); /* NULL becomes null */
struct db_param db_int(int64_t value);
struct db_param db_double(double value);
struct db_param db_bool(bool value);
struct db_param db_bytes(const void *bytes, size_t length);
struct db_param db_instant(instant at); /* INSTANT_NONE becomes null */
struct db_param db_day(day_number day); /* DAY_NONE becomes null */

struct db_params {
    const struct db_param *items;
    size_t count;
};

#define DB_PARAMS(...)                                                                             \
    ((struct db_params){(const struct db_param[]){__VA_ARGS__},                                    \
                        sizeof((const struct db_param[]){__VA_ARGS__}) / sizeof(struct db_param)})
#define DB_NO_PARAMS ((struct db_params){NULL, 0})

/* A result, all of it in memory: for small answers only. */
struct db_rows {
    void *result;
};

/*
 * Run a statement and keep its rows. Errors carry the statement's name and the SQLSTATE and are
 * classed by SQLSTATE only: 23505 and 40001 ERR_CONFLICT, other 22/23 ERR_INVALID, 42501
 * ERR_DENIED, 08/57P/53, 40P01 (deadlock), 55P03 (lock), 57014 (timeout) and a lost connection
 * ERR_UNAVAILABLE, the rest ERR_BUG.
 */
MUST_CHECK bool db_run(struct db_tx *tx, const struct sql_text *sql, struct db_params params,
                       struct db_rows *rows, struct err *err);

/* Run a statement whose rows do not matter. */
MUST_CHECK bool db_do(struct db_tx *tx, const struct sql_text *sql, struct db_params params,
                      struct err *err);

/* The same, and how many rows it wrote. */
MUST_CHECK bool db_do_count(struct db_tx *tx, const struct sql_text *sql, struct db_params params,
                            size_t *changed, struct err *err);

size_t db_rows_count(const struct db_rows *rows);
bool db_rows_null(const struct db_rows *rows, size_t row, int column);
const char *db_rows_text(const struct db_rows *rows, size_t row, int column); /* "" for null */
int64_t db_rows_int(const struct db_rows *rows, size_t row, int column);      /* 0 for null */
bool db_rows_bool(const struct db_rows *rows, size_t row, int column);

/*
 * Instants: a statement returns them as bigint microseconds since 1970 (see the SQL function
 * weirbook.us(timestamptz)); INSTANT_NONE for null. Days come back as date text.
 */
instant db_rows_instant(const struct db_rows *rows, size_t row, int column);
day_number db_rows_day(const struct db_rows *rows, size_t row, int column);

/* Copies in mem, NULL for null; bytes are decoded from bytea. */
char *db_rows_dup(const struct db_rows *rows, size_t row, int column, struct arena *mem);
const void *db_rows_bytes(const struct db_rows *rows, size_t row, int column, struct arena *mem,
                          size_t *length);

void db_rows_clear(struct db_rows *rows); /* for CLEANUP */

/* SQLSTATE of the last error on this connection, "" when there is none. */
const char *db_sqlstate(const struct db *db);

/*
 * COPY IN, binary. Rows are put together with the copy_* calls: a row begins with its number of
 * fields and each call adds one field. db_copy_end sends the trailer and reports what the server
 * says; db_copy_drop gives up (for CLEANUP; fine when ended).
 *
 *     db_copy_begin(tx, &sql_reading_copy, &copy, err)
 *     db_copy_row(&copy, 14); db_copy_int8(&copy, farm_id); ...
 *     db_copy_end(&copy, err)
 */
struct db_copy {
    struct db_tx *tx;
    const char *name; /* of the statement */
    char *buffer;
    size_t length;
    bool active;
    bool failed;
};

MUST_CHECK bool db_copy_begin(struct db_tx *tx, const struct sql_text *sql, struct db_copy *copy,
                              struct err *err);
void db_copy_row(struct db_copy *copy, int fields);
void db_copy_null(struct db_copy *copy);
void db_copy_int8(struct db_copy *copy, int64_t value);
void db_copy_int4(struct db_copy *copy, int32_t value);
void db_copy_int2(struct db_copy *copy, int16_t value);
void db_copy_float8(struct db_copy *copy, double value);
void db_copy_instant(struct db_copy *copy, instant at); /* INSTANT_NONE becomes null */
void db_copy_bool(struct db_copy *copy, bool value);
void db_copy_day(struct db_copy *copy, day_number day);    /* DAY_NONE becomes null */
void db_copy_text(struct db_copy *copy, const char *text); /* NULL becomes null */
void db_copy_bytes(struct db_copy *copy, const void *bytes, size_t length);
void db_copy_numeric(struct db_copy *copy, int64_t coefficient, int scale); /* keeps the scale */
MUST_CHECK bool db_copy_end(struct db_copy *copy, size_t *rows, struct err *err);
void db_copy_drop(struct db_copy *copy);

/*
 * Read many rows with flat memory, one call per row: the statement, a select, is run as a binary
 * COPY TO, which costs a client a third of what rows as results do. No parameter may be bytes.
 * Returning false from the callback (with err set) stops; the rows behind it are read and thrown
 * away. The callback runs no statement on the same connection. Integers of 2, 4 and 8 bytes and
 * timestamptz (as instant) come through db_field_int; text through db_field_text (not
 * NUL-terminated: a length comes too); numeric through db_field_numeric (false when it does not fit
 * a decimal).
 */
struct db_field {
    const char *bytes;
    int length;    /* -1 for null */
    unsigned type; /* oid */
};

typedef bool (*db_each_row)(void *context, const struct db_field *fields, int count,
                            struct err *err);
MUST_CHECK bool db_each(struct db_tx *tx, const struct sql_text *sql, struct db_params params,
                        db_each_row each, void *context, struct err *err);
int64_t db_field_int(const struct db_field *field);
double db_field_double(const struct db_field *field);
char *db_field_dup(const struct db_field *field, struct arena *mem);
bool db_field_numeric(const struct db_field *field, int64_t *coefficient, int *scale);

/* As a decimal, 0 where it is null. ERR_BUG: it does not fit one. */
MUST_CHECK bool db_field_decimal(const struct db_field *field, struct decimal *out,
                                 struct err *err);

/*
 * For tests: make the n-th database call from now on fail as if the connection was lost
 * (0 switches it off). db_fault_hit says whether it happened.
 */
void db_fault_after(int calls);
bool db_fault_hit(void);

#endif
