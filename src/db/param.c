#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "db/db_private.h"

struct db_param db_null(void)
{
    return (struct db_param){.kind = DB_NULL};
}

struct db_param db_text(const char *text)
{
    return (struct db_param){.kind = text ? DB_TEXT : DB_NULL, .text = text};
}

struct db_param db_int(int64_t value)
{
    return (struct db_param){.kind = DB_INT, .integer = value};
}

struct db_param db_double(double value)
{
    return (struct db_param){.kind = DB_DOUBLE, .real = value};
}

struct db_param db_bool(bool value)
{
    return (struct db_param){.kind = DB_BOOL, .integer = value};
}

struct db_param db_bytes(const void *bytes, size_t length)
{
    return (struct db_param){.kind = bytes ? DB_BYTES : DB_NULL, .text = bytes, .length = length};
}

struct db_param db_instant(instant at)
{
    return (struct db_param){.kind = at == INSTANT_NONE ? DB_NULL : DB_INSTANT, .integer = at};
}

struct db_param db_day(day_number day)
{
    return (struct db_param){.kind = day == DAY_NONE ? DB_NULL : DB_DAY, .integer = day};
}

static void double_spell(char *out, size_t size, double value)
{
    if (isnan(value))
        snprintf(out, size, "NaN");
    else if (isinf(value))
        snprintf(out, size, "%sInfinity", value < 0 ? "-" : "");
    else
        snprintf(out, size, "%.17g", value);
}

/* PostgreSQL writes the years before 1 as BC, which no record of ours has. */
static void instant_spell(char *out, size_t size, instant at)
{
    struct civil utc = instant_to_utc(at);

    snprintf(out, size, "%04d-%02d-%02dT%02d:%02d:%02d.%06dZ", utc.year, utc.month, utc.day,
             utc.hour, utc.minute, utc.second, utc.microsecond);
}

static void day_spell(char *out, size_t size, day_number day)
{
    struct civil date = civil_from_day(day);

    snprintf(out, size, "%04d-%02d-%02d", date.year, date.month, date.day);
}

/* Texts go as they lie, numbers and times spelt out; the server reads them as its parameter. */
static const char *param_value(const struct db_param *param, char *digits, size_t size)
{
    switch (param->kind) {
    case DB_TEXT:
    case DB_BYTES:
        return param->text;
    case DB_INT:
        snprintf(digits, size, "%" PRId64, param->integer);
        return digits;
    case DB_DOUBLE:
        double_spell(digits, size, param->real);
        return digits;
    case DB_BOOL:
        return param->integer ? "true" : "false";
    case DB_INSTANT:
        instant_spell(digits, size, param->integer);
        return digits;
    case DB_DAY:
        day_spell(digits, size, (day_number)param->integer);
        return digits;
    case DB_NULL:
        break;
    }

    return NULL;
}

bool db_encode(const struct sql_text *sql, struct db_params params, struct db_encoded *out,
               struct err *err)
{
    if (params.count != (size_t)sql->parameters || params.count > DB_PARAMETERS_MOST)
        return err_set(err, ERR_BUG, "%s: %zu parameters given, it takes %d", sql->name,
                       params.count, sql->parameters);

    out->count = sql->parameters;
    for (size_t i = 0; i < params.count; i++) {
        const struct db_param *param = &params.items[i];

        if (param->kind == DB_BYTES && param->length > INT32_MAX)
            return err_set(err, ERR_TOO_LARGE, "%s: %zu bytes in one parameter", sql->name,
                           param->length);
        out->values[i] = param_value(param, out->digits[i], sizeof(out->digits[i]));
        out->lengths[i] = (int)param->length;
        out->formats[i] = param->kind == DB_BYTES;
    }

    return true;
}
