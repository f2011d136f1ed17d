/*
 * The wire: PostgreSQL's binary forms of values, big endian, as its send and receive functions
 * have them (src/backend/utils/adt/numeric.c for numeric). Inside of db/ only.
 */
#ifndef DB_WIRE_H
#define DB_WIRE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Its times count from 2000-01-01. */
#define WIRE_EPOCH_DAYS 10957
#define WIRE_EPOCH_US INT64_C(946684800000000)

/* Numbers of the built-in types, the same in every server (pg_type.dat). */
enum {
    OID_FLOAT8 = 701,
    OID_DATE = 1082,
    OID_TIMESTAMPTZ = 1184,
    OID_NUMERIC = 1700,
};

/* The lowest `size` bytes of a value, highest first. */
void wire_put(char *to, uint64_t value, int size);
uint64_t wire_get(const char *from, int size);

/* Room wire_numeric_write needs: a header and six groups of four digits. */
enum { WIRE_NUMERIC_MOST = 8 + 2 * 10 };

/* coefficient / 10^scale with exactly that scale; returns the bytes written. scale 0..18. */
size_t wire_numeric_write(char *to, int64_t coefficient, int scale);

/* False for NaN, infinity and whatever has more than 18 digits or a larger scale. */
bool wire_numeric_read(const char *from, size_t length, int64_t *coefficient, int *scale);

#endif
