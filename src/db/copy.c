#include <stdlib.h>
#include <string.h>

#include "db/db_private.h"
#include "db/wire.h"

enum { COPY_ROOM = 65536 };

/* Signature, flags and length of the header extension (PostgreSQL manual, COPY, binary format). */
static const char copy_header[] = "PGCOPY\n\377\r\n\0\0\0\0\0\0\0\0\0";

/* Send what has gathered. A failure is remembered and told by db_copy_end. */
static void copy_flush(struct db_copy *copy)
{
    struct db *db = copy->tx->db;
    struct err ignored = ERR_INIT;

    if (!copy->failed && copy->length &&
        (db_fault_now(db, &ignored) ||
         PQputCopyData(db->conn, copy->buffer, (int)copy->length) != 1))
        copy->failed = true;
    copy->length = 0;
}

/* Room for a few bytes, which the caller fills. */
static char *copy_room(struct db_copy *copy, size_t size)
{
    if (copy->length + size > COPY_ROOM)
        copy_flush(copy);

    char *room = copy->buffer + copy->length;

    copy->length += size;

    return room;
}

static void copy_bytes(struct db_copy *copy, const char *bytes, size_t length)
{
    while (length) {
        size_t part = length < COPY_ROOM ? length : COPY_ROOM;

        memcpy(copy_room(copy, part), bytes, part);
        bytes += part;
        length -= part;
    }
}

bool db_copy_begin(struct db_tx *tx, const struct sql_text *sql, struct db_copy *copy,
                   struct err *err)
{
    struct db *db = tx->db;

    if (!db_tx_ready(tx, sql->name, err) || !db_prepare(tx, NULL, err))
        return false;

    CLEANUP(db_rows_clear) struct db_rows rows = {.result = PQexec(db->conn, sql->text)};

    if (PQresultStatus(rows.result) != PGRES_COPY_IN) {
        if (!db_result_fine(rows.result))
            return db_fail(db, sql->name, rows.result, err);
        return err_set(err, ERR_BUG, "%s: is not a copy from stdin", sql->name);
    }

    *copy = (struct db_copy){.tx = tx, .name = sql->name, .active = true};
    copy->buffer = malloc(COPY_ROOM);
    db->busy = true;
    if (!copy->buffer || !PQbinaryTuples(rows.result)) {
        db_copy_drop(copy);
        return err_set(err, ERR_BUG, "%s: no memory left, or not a binary copy", sql->name);
    }
    copy_bytes(copy, copy_header, sizeof(copy_header) - 1);

    return true;
}

void db_copy_row(struct db_copy *copy, int fields)
{
    wire_put(copy_room(copy, 2), (uint64_t)fields, 2);
}

void db_copy_null(struct db_copy *copy)
{
    wire_put(copy_room(copy, 4), UINT32_MAX, 4);
}

/* A field of up to eight bytes: its length, then itself. */
static void copy_field(struct db_copy *copy, uint64_t value, int size)
{
    char *room = copy_room(copy, 4 + (size_t)size);

    wire_put(room, (uint64_t)size, 4);
    wire_put(room + 4, value, size);
}

void db_copy_int8(struct db_copy *copy, int64_t value)
{
    copy_field(copy, (uint64_t)value, 8);
}

void db_copy_int4(struct db_copy *copy, int32_t value)
{
    copy_field(copy, (uint64_t)value, 4);
}

void db_copy_int2(struct db_copy *copy, int16_t value)
{
    copy_field(copy, (uint64_t)value, 2);
}

void db_copy_bool(struct db_copy *copy, bool value)
{
    copy_field(copy, value, 1);
}

void db_copy_float8(struct db_copy *copy, double value)
{
    uint64_t bits;

    memcpy(&bits, &value, sizeof(bits));
    copy_field(copy, bits, 8);
}

void db_copy_instant(struct db_copy *copy, instant at)
{
    if (at == INSTANT_NONE)
        db_copy_null(copy);
    else
        copy_field(copy, (uint64_t)(at - WIRE_EPOCH_US), 8);
}

void db_copy_day(struct db_copy *copy, day_number day)
{
    if (day == DAY_NONE)
        db_copy_null(copy);
    else
        copy_field(copy, (uint64_t)(day - WIRE_EPOCH_DAYS), 4);
}

void db_copy_bytes(struct db_copy *copy, const void *bytes, size_t length)
{
    if (!bytes) {
        db_copy_null(copy);
        return;
    }

    wire_put(copy_room(copy, 4), length, 4);
    copy_bytes(copy, bytes, length);
}

void db_copy_text(struct db_copy *copy, const char *text)
{
    db_copy_bytes(copy, text, text ? strlen(text) : 0);
}

void db_copy_numeric(struct db_copy *copy, int64_t coefficient, int scale)
{
    char number[WIRE_NUMERIC_MOST];
    size_t length = wire_numeric_write(number, coefficient, scale);

    db_copy_bytes(copy, number, length);
}

/* Everything the server says after the end of the data; its first failure fills err. */
static bool copy_answer(struct db_copy *copy, size_t *rows, struct err *err)
{
    struct db *db = copy->tx->db;
    bool fine = true;
    PGresult *result;

    while ((result = PQgetResult(db->conn))) {
        if (fine && !db_result_fine(result))
            fine = db_fail(db, copy->name, result, err);
        else if (fine)
            *rows = (size_t)strtoull(PQcmdTuples(result), NULL, 10);
        PQclear(result);
    }

    return fine;
}

/* The copy is over, well or not. */
static void copy_close(struct db_copy *copy)
{
    copy->tx->db->busy = false;
    copy->active = false;
    free(copy->buffer);
    copy->buffer = NULL;
}

bool db_copy_end(struct db_copy *copy, size_t *rows, struct err *err)
{
    struct db *db = copy->tx->db;
    size_t count = 0;

    if (!copy->active)
        return err_set(err, ERR_BUG, "no copy is under way");

    wire_put(copy_room(copy, 2), UINT16_MAX, 2);
    copy_flush(copy);
    if (copy->failed) {
        bool fault = db->stopped;

        db_copy_drop(copy);
        return fault ? err_set(err, ERR_UNAVAILABLE, "%s: the connection to the database was lost",
                               copy->name)
                     : db_fail(db, copy->name, NULL, err);
    }

    bool fine = PQputCopyEnd(db->conn, NULL) == 1 ? copy_answer(copy, &count, err)
                                                  : db_fail(db, copy->name, NULL, err);

    copy_close(copy);
    if (fine && rows)
        *rows = count;

    return fine;
}

void db_copy_drop(struct db_copy *copy)
{
    struct err ignored = ERR_INIT;
    size_t rows = 0;

    if (!copy->active)
        return;

    if (PQputCopyEnd(copy->tx->db->conn, "given up") == 1)
        (void)!copy_answer(copy, &rows, &ignored);
    copy_close(copy);
}
