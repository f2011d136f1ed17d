#include <stdlib.h>
#include <string.h>

#include "db/db_private.h"

size_t db_rows_count(const struct db_rows *rows)
{
    return (size_t)PQntuples(rows->result);
}

bool db_rows_null(const struct db_rows *rows, size_t row, int column)
{
    return PQgetisnull(rows->result, (int)row, column);
}

const char *db_rows_text(const struct db_rows *rows, size_t row, int column)
{
    return PQgetvalue(rows->result, (int)row, column);
}

int64_t db_rows_int(const struct db_rows *rows, size_t row, int column)
{
    return strtoll(db_rows_text(rows, row, column), NULL, 10);
}

bool db_rows_bool(const struct db_rows *rows, size_t row, int column)
{
    return db_rows_text(rows, row, column)[0] == 't';
}

instant db_rows_instant(const struct db_rows *rows, size_t row, int column)
{
    return db_rows_null(rows, row, column) ? INSTANT_NONE : db_rows_int(rows, row, column);
}

day_number db_rows_day(const struct db_rows *rows, size_t row, int column)
{
    struct err err = ERR_INIT;
    day_number day = DAY_NONE;

    if (db_rows_null(rows, row, column) || !day_parse(db_rows_text(rows, row, column), &day, &err))
        return DAY_NONE;

    return day;
}

char *db_rows_dup(const struct db_rows *rows, size_t row, int column, struct arena *mem)
{
    if (db_rows_null(rows, row, column))
        return NULL;

    return arena_strdup(mem, db_rows_text(rows, row, column));
}

static unsigned hex_value(char c)
{
    return c <= '9' ? (unsigned)(c - '0') : (unsigned)(c - 'a') + 10;
}

/* The session's bytea_output is hex: "\x" and two lower-case digits a byte. */
const void *db_rows_bytes(const struct db_rows *rows, size_t row, int column, struct arena *mem,
                          size_t *length)
{
    const char *text = db_rows_text(rows, row, column);

    if (db_rows_null(rows, row, column) || strncmp(text, "\\x", 2) != 0) {
        *length = 0;
        return NULL;
    }

    size_t count = ((size_t)PQgetlength(rows->result, (int)row, column) - 2) / 2;
    unsigned char *bytes = arena_alloc(mem, count + 1);

    for (size_t i = 0; i < count; i++)
        bytes[i] = (unsigned char)(hex_value(text[2 + 2 * i]) << 4 | hex_value(text[3 + 2 * i]));
    *length = count;

    return bytes;
}

void db_rows_clear(struct db_rows *rows)
{
    PQclear(rows->result);
    rows->result = NULL;
}
