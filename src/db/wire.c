#include "db/wire.h"

#include "base/decimal.h"

enum { NUMERIC_NEGATIVE = 0x4000, GROUP_DIGITS = 4, GROUPS_MOST = 10 };

static const int64_t powers[] = {1, 10, 100, 1000, 10000};

void wire_put(char *to, uint64_t value, int size)
{
    for (int i = size - 1; i >= 0; i--) {
        to[i] = (char)(value & 0xff);
        value >>= 8;
    }
}

uint64_t wire_get(const char *from, int size)
{
    uint64_t value = 0;

    for (int i = 0; i < size; i++)
        value = value << 8 | (unsigned char)from[i];

    return value;
}

/*
 * Cut a number into groups of four digits from the point outwards, lowest first. Where the
 * scale is no multiple of four, the lowest group is filled up with zeros.
 */
static int groups_cut(uint64_t digits, int scale, unsigned *groups)
{
    int fill = (GROUP_DIGITS - scale % GROUP_DIGITS) % GROUP_DIGITS;
    uint64_t first = (uint64_t)powers[GROUP_DIGITS - fill];
    int count = 0;

    groups[count++] = (unsigned)(digits % first * (uint64_t)powers[fill]);
    for (digits /= first; digits; digits /= 10000)
        groups[count++] = (unsigned)(digits % 10000);

    return count;
}

size_t wire_numeric_write(char *to, int64_t coefficient, int scale)
{
    uint64_t digits = coefficient < 0 ? 0 - (uint64_t)coefficient : (uint64_t)coefficient;
    unsigned groups[GROUPS_MOST];
    int after_point = (scale + GROUP_DIGITS - 1) / GROUP_DIGITS;
    int high = digits ? groups_cut(digits, scale, groups) : 0;
    int low = 0;

    while (low < high && groups[low] == 0)
        low++;

    wire_put(to, (uint64_t)(high - low), 2);
    wire_put(to + 2, (uint64_t)(high ? high - 1 - after_point : 0), 2);
    wire_put(to + 4, coefficient < 0 ? NUMERIC_NEGATIVE : 0, 2);
    wire_put(to + 6, (uint64_t)scale, 2);
    for (int i = 0; i < high - low; i++)
        wire_put(to + 8 + 2 * i, groups[high - 1 - i], 2);

    return 8 + 2 * (size_t)(high - low);
}

bool wire_numeric_read(const char *from, size_t length, int64_t *coefficient, int *scale)
{
    if (length < 8)
        return false;

    int count = (int)wire_get(from, 2);
    int weight = (int16_t)wire_get(from + 2, 2);
    unsigned sign = (unsigned)wire_get(from + 4, 2);
    int after = (int)wire_get(from + 6, 2);
    int64_t value = 0;

    if ((sign != 0 && sign != NUMERIC_NEGATIVE) || length != 8 + 2 * (size_t)count ||
        after > DECIMAL_DIGITS_MOST || (count && weight >= GROUPS_MOST))
        return false;

    /* Group g stands for 10000^g; the last one may lie half behind the scale. */
    for (int g = count ? weight : 0; g >= -((after + GROUP_DIGITS - 1) / GROUP_DIGITS); g--) {
        int at = weight - g;
        int64_t group = at >= 0 && at < count ? (int64_t)wire_get(from + 8 + 2 * at, 2) : 0;
        int behind = -g * GROUP_DIGITS - after;
        int drop = g < 0 && behind > 0 ? behind : 0;

        if (__builtin_mul_overflow(value, powers[GROUP_DIGITS - drop], &value) ||
            __builtin_add_overflow(value, group / powers[drop], &value))
            return false;
    }
    if (value > INT64_C(999999999999999999))
        return false;

    *coefficient = sign ? -value : value;
    *scale = after;

    return true;
}
