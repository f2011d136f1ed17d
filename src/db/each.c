#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "base/buf.h"
#include "base/decimal.h"
#include "db/db_private.h"
#include "db/wire.h"

/* Signature, flags and an empty extension go before the first row, -1 fields after the last. */
enum { COPY_HEADER = 19, COPY_END = -1 };

/* A read by rows, while they come. */
struct each {
    struct db *db;
    const char *name;
    const PGresult *columns; /* as the server described them */
    db_each_row row;
    void *context;
    bool begun; /* the header has come */
};

/* --- the statement as a copy --------------------------------------------------------------- */

/* The end of a comment, a quoted text or anything else that begins at `at`. */
static const char *piece_end(const char *at)
{
    const char *end;

    if (strncmp(at, "--", 2) == 0)
        return at + strcspn(at, "\n");
    if (*at == '$' && isdigit((unsigned char)at[1]))
        return at + 1 + strspn(at + 1, "0123456789");
    if (*at != '\'' && *at != '"')
        return at + 1;
    end = strchr(at + 1, *at);

    return end ? end + 1 : at + strlen(at);
}

static bool literal_add(struct db *db, struct buf *text, const char *value, struct err *err)
{
    char *literal;

    if (!value) {
        buf_add_text(text, "null");
        return true;
    }
    literal = PQescapeLiteral(db->conn, value, strlen(value));
    if (!literal)
        return db_fail(db, "parameter", NULL, err);
    buf_add_text(text, literal);
    PQfreemem(literal);

    return true;
}

/* A copy takes no parameters: they stand in its text, without the comments. */
static bool copy_text(struct db *db, const struct sql_text *sql, const struct db_encoded *params,
                      struct buf *text, struct err *err)
{
    buf_add_text(text, "copy (");
    for (const char *at = sql->text, *end; *at; at = end) {
        end = piece_end(at);
        if (*at == '-' && at[1] == '-')
            continue;
        if (*at == '$' && end > at + 1) {
            long nth = strtol(at + 1, NULL, 10);

            if (nth < 1 || nth > params->count || params->formats[nth - 1])
                return err_set(err, ERR_BUG, "%s: parameter %ld can't be read by", sql->name, nth);
            if (!literal_add(db, text, params->values[nth - 1], err))
                return false;
        } else if (*at != ';') {
            buf_add(text, at, (size_t)(end - at));
        }
    }
    buf_add_text(text, ") to stdout (format binary)");

    return true;
}

/* --- its rows ------------------------------------------------------------------------------ */

/* The fields of a row; false: it is not one. */
static bool fields_cut(const struct each *each, const char *at, const char *end,
                       struct db_field *fields)
{
    int count = PQnfields(each->columns);

    if (end - at < 2 || (int16_t)wire_get(at, 2) != count)
        return false;
    at += 2;
    for (int i = 0; i < count; i++) {
        if (end - at < 4)
            return false;
        fields[i] = (struct db_field){
            .bytes = at + 4, .length = (int32_t)wire_get(at, 4), .type = PQftype(each->columns, i)};
        at += 4;
        if (fields[i].length > end - at)
            return false;
        at += fields[i].length > 0 ? fields[i].length : 0;
    }

    return at == end;
}

/* One message of the copy: the server sends a row in each. */
static bool message_hand(struct each *each, const char *at, size_t length, struct err *err)
{
    struct db_field fields[DB_FIELDS_MOST];
    const char *end = at + length;

    if (!each->begun && length >= COPY_HEADER) {
        each->begun = true;
        at += COPY_HEADER;
        if (at == end)
            return true;
    }
    if (end - at == 2 && (int16_t)wire_get(at, 2) == COPY_END)
        return true;
    if (!fields_cut(each, at, end, fields))
        return err_set(err, ERR_BUG, "%s: a row could not be read", each->name);

    return each->row(each->context, fields, PQnfields(each->columns), err);
}

/* Read to the end whatever happens: rows behind a failure are thrown away. */
static bool rows_read(struct each *each, struct err *err)
{
    struct db *db = each->db;
    PGresult *result;
    bool fine = true;
    char *message;
    int length;

    while ((length = PQgetCopyData(db->conn, &message, 0)) > 0) {
        fine = fine && message_hand(each, message, (size_t)length, err);
        PQfreemem(message);
    }
    while ((result = PQgetResult(db->conn))) {
        if (fine && !db_result_fine(result))
            fine = db_fail(db, each->name, result, err);
        PQclear(result);
    }

    return fine;
}

static bool copy_run(struct each *each, const char *text, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {.result = PQexec(each->db->conn, text)};

    if (PQresultStatus(rows.result) != PGRES_COPY_OUT)
        return db_fail(each->db, each->name, rows.result, err);

    each->db->busy = true;

    bool fine = rows_read(each, err);

    each->db->busy = false;

    return fine;
}

bool db_each(struct db_tx *tx, const struct sql_text *sql, struct db_params params,
             db_each_row each, void *context, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_rows_clear) struct db_rows columns = {0};
    struct db *db = tx->db;
    struct buf text = buf_new(mem);
    struct db_encoded encoded;

    if (!db_tx_ready(tx, sql->name, err) || !db_encode(sql, params, &encoded, err) ||
        !db_prepare(tx, sql, err) || !copy_text(db, sql, &encoded, &text, err))
        return false;
    columns.result = PQdescribePrepared(db->conn, sql->name);
    if (!db_result_fine(columns.result))
        return db_fail(db, sql->name, columns.result, err);
    if (PQnfields(columns.result) > DB_FIELDS_MOST)
        return err_set(err, ERR_BUG, "%s: %d columns in a row, at most %d", sql->name,
                       PQnfields(columns.result), DB_FIELDS_MOST);

    return copy_run(&(struct each){.db = db,
                                   .name = sql->name,
                                   .columns = columns.result,
                                   .row = each,
                                   .context = context},
                    text.data, err);
}

/* --- fields -------------------------------------------------------------------------------- */

/* Microseconds from PostgreSQL's epoch to ours; the infinities stay what they are. */
static int64_t instant_from_wire(int64_t at)
{
    return at == INT64_MIN || at == INT64_MAX ? at : at + WIRE_EPOCH_US;
}

int64_t db_field_int(const struct db_field *field)
{
    int64_t value = 0;

    switch (field->length) {
    case 1:
        return field->bytes[0];
    case 2:
        return (int16_t)wire_get(field->bytes, 2);
    case 4:
        value = (int32_t)wire_get(field->bytes, 4);
        return field->type == OID_DATE ? value + WIRE_EPOCH_DAYS : value;
    case 8:
        value = (int64_t)wire_get(field->bytes, 8);
        return field->type == OID_TIMESTAMPTZ ? instant_from_wire(value) : value;
    default:
        return field->type == OID_TIMESTAMPTZ ? INSTANT_NONE : 0;
    }
}

double db_field_double(const struct db_field *field)
{
    struct decimal decimal = {0};
    int scale = 0;
    uint64_t bits;
    double value;

    if (field->type == OID_NUMERIC) {
        if (!db_field_numeric(field, &decimal.coefficient, &scale))
            return 0;
        decimal.scale = (uint8_t)scale;
        return decimal_double(decimal);
    }
    if (field->type != OID_FLOAT8 || field->length != 8)
        return (double)db_field_int(field);

    bits = wire_get(field->bytes, 8);
    memcpy(&value, &bits, sizeof(value));

    return value;
}

char *db_field_dup(const struct db_field *field, struct arena *mem)
{
    return field->length < 0 ? NULL : arena_strndup(mem, field->bytes, (size_t)field->length);
}

bool db_field_numeric(const struct db_field *field, int64_t *coefficient, int *scale)
{
    if (field->length < 0 || field->type != OID_NUMERIC)
        return false;

    return wire_numeric_read(field->bytes, (size_t)field->length, coefficient, scale);
}

bool db_field_decimal(const struct db_field *field, struct decimal *out, struct err *err)
{
    int64_t coefficient = 0;
    int scale = 0;

    *out = (struct decimal){0};
    if (field->length < 0)
        return true;
    if (!db_field_numeric(field, &coefficient, &scale))
        return err_set(err, ERR_BUG, "a stored number has too many digits");
    *out = (struct decimal){.coefficient = coefficient, .scale = (uint8_t)scale};

    return true;
}
