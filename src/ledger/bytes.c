#include "ledger/bytes.h"

unsigned char *bytes_put_u32(unsigned char *at, uint32_t value)
{
    for (int shift = 24; shift >= 0; shift -= 8)
        *at++ = (unsigned char)(value >> shift);

    return at;
}

unsigned char *bytes_put_i64(unsigned char *at, int64_t value)
{
    at = bytes_put_u32(at, (uint32_t)((uint64_t)value >> 32));

    return bytes_put_u32(at, (uint32_t)((uint64_t)value & UINT32_MAX));
}

uint32_t bytes_get_u32(const unsigned char *at)
{
    uint32_t value = 0;

    for (int i = 0; i < 4; i++)
        value = value << 8 | at[i];

    return value;
}

int64_t bytes_get_i64(const unsigned char *at)
{
    return (int64_t)((uint64_t)bytes_get_u32(at) << 32 | bytes_get_u32(at + 4));
}
