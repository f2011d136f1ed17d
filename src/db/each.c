#include <string.h>

#include "base/decimal.h"
#include "db/db_private.h"
#include "db/wire.h"

/* Hand one row to the callback. */
static bool row_hand(const PGresult *result, db_each_row each, void *context, struct err *err)
{
    struct db_field fields[DB_FIELDS_MOST];
    int count = PQnfields(result);

    if (count > DB_FIELDS_MOST)
        return err_set(err, ERR_BUG, "%d columns in a row, at most %d", count, DB_FIELDS_MOST);

    for (int i = 0; i < count; i++) {
        fields[i].bytes = PQgetvalue(result, 0, i);
        fields[i].length = PQgetisnull(result, 0, i) ? -1 : PQgetlength(result, 0, i);
        fields[i].type = PQftype(result, i);
    }

    return each(context, fields, count, err);
}

/* Read to the end whatever happens: rows behind a failure are thrown away. */
static bool rows_read(struct db *db, const char *name, db_each_row each, void *context,
                      struct err *err)
{
    bool fine = true;
    PGresult *result;

    while ((result = PQgetResult(db->conn))) {
        if (fine && !db_result_fine(result))
            fine = db_fail(db, name, result, err);
        else if (fine && PQntuples(result) == 1)
            fine = row_hand(result, each, context, err);
        PQclear(result);
    }

    return fine;
}

bool db_each(struct db_tx *tx, const struct sql_text *sql, struct db_params params,
             db_each_row each, void *context, struct err *err)
{
    struct db *db = tx->db;
    struct db_encoded encoded;

    if (!db_tx_ready(tx, sql->name, err) || !db_encode(sql, params, &encoded, err) ||
        !db_prepare(tx, sql, err))
        return false;

    if (!PQsendQueryPrepared(db->conn, sql->name, encoded.count, encoded.values, encoded.lengths,
                             encoded.formats, 1) ||
        !PQsetSingleRowMode(db->conn))
        return db_fail(db, sql->name, NULL, err);

    db->busy = true;

    bool fine = rows_read(db, sql->name, each, context, err);

    db->busy = false;

    return fine;
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
