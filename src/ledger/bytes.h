/*
 * Big-endian numbers in the ledger's bytes.
 */
#ifndef LEDGER_BYTES_H
#define LEDGER_BYTES_H

#include <stdint.h>

/* Write at `at`; the place behind what was written. */
unsigned char *bytes_put_u32(unsigned char *at, uint32_t value);
unsigned char *bytes_put_i64(unsigned char *at, int64_t value);

uint32_t bytes_get_u32(const unsigned char *at);
int64_t bytes_get_i64(const unsigned char *at);

#endif
