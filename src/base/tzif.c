#include "base/tzif.h"

#include <string.h>

enum {
    HEADER_SIZE = 44,
    VERSION_AT = 4,
    COUNTS_AT = 20,
    CLOCK_SIZE = 6,
    LEAP_SECOND_MORE = 4,
    CHANGES_MOST = 10000,
    CLOCKS_MOST = 256,
    NAMES_MOST = 4096,
    OFFSET_S_MOST = 26 * 3600,
};

/* The numbers of a header, in their order in the file. */
struct counts {
    uint32_t utc_marks;
    uint32_t standard_marks;
    uint32_t leap_seconds;
    uint32_t changes;
    uint32_t clocks;
    uint32_t name_bytes;
};

/* What is left to read. */
struct input {
    const unsigned char *at;
    size_t left;
};

/* The next `count` bytes, or NULL when fewer are left. */
static const unsigned char *take(struct input *input, size_t count)
{
    const unsigned char *start = input->at;

    if (count > input->left)
        return NULL;
    input->at += count;
    input->left -= count;

    return start;
}

static uint64_t big_endian(const unsigned char *bytes, size_t count)
{
    uint64_t value = 0;

    for (size_t i = 0; i < count; i++)
        value = value << 8 | bytes[i];

    return value;
}

static bool read_header(struct input *input, unsigned char *version, struct counts *counts)
{
    const unsigned char *header = take(input, HEADER_SIZE);
    uint32_t *const fields[] = {&counts->utc_marks, &counts->standard_marks, &counts->leap_seconds,
                                &counts->changes,   &counts->clocks,         &counts->name_bytes};

    if (!header || memcmp(header, "TZif", 4) != 0)
        return false;
    *version = header[VERSION_AT];
    for (size_t i = 0; i < ARRAY_LEN(fields); i++)
        *fields[i] = (uint32_t)big_endian(header + COUNTS_AT + i * 4, 4);

    return counts->changes <= CHANGES_MOST && counts->clocks >= 1 &&
           counts->clocks <= CLOCKS_MOST && counts->name_bytes >= 1 &&
           counts->name_bytes <= NAMES_MOST && counts->leap_seconds <= CHANGES_MOST &&
           counts->utc_marks <= CLOCKS_MOST && counts->standard_marks <= CLOCKS_MOST;
}

/* Bytes of the block behind a header whose times take `time_size` bytes. */
static size_t block_size(const struct counts *counts, size_t time_size)
{
    return counts->changes * (time_size + 1) + counts->clocks * CLOCK_SIZE + counts->name_bytes +
           counts->leap_seconds * (time_size + LEAP_SECOND_MORE) + counts->standard_marks +
           counts->utc_marks;
}

static bool read_changes(struct arena *mem, struct input *input, struct tzif *out)
{
    const unsigned char *times = take(input, out->count * 8);
    const unsigned char *clocks = take(input, out->count);

    if (!times || !clocks)
        return false;
    out->at = ARENA_ARRAY(mem, int64_t, out->count);
    out->clock_of = ARENA_ARRAY(mem, uint8_t, out->count);
    for (size_t i = 0; i < out->count; i++) {
        out->at[i] = (int64_t)big_endian(times + i * 8, 8);
        out->clock_of[i] = clocks[i];
        if (clocks[i] >= out->clock_count || (i > 0 && out->at[i] <= out->at[i - 1]))
            return false;
    }

    return true;
}

static bool read_clocks(struct arena *mem, struct input *input, size_t name_bytes, struct tzif *out)
{
    const unsigned char *records = take(input, out->clock_count * CLOCK_SIZE);
    const unsigned char *names = take(input, name_bytes);

    if (!records || !names || names[name_bytes - 1] != '\0')
        return false;
    out->clocks = ARENA_ARRAY(mem, struct tz_clock, out->clock_count);
    for (size_t i = 0; i < out->clock_count; i++) {
        const unsigned char *record = records + i * CLOCK_SIZE;
        int32_t offset_s = (int32_t)(uint32_t)big_endian(record, 4);

        if (record[5] >= name_bytes || offset_s < -OFFSET_S_MOST || offset_s > OFFSET_S_MOST)
            return false;
        out->clocks[i].offset_s = offset_s;
        strncpy(out->clocks[i].abbreviation, (const char *)names + record[5], TZ_ABBREVIATION_MOST);
    }

    return true;
}

/* The line between two line ends that closes the file. */
static const char *read_rule(struct arena *mem, struct input *input)
{
    const unsigned char *start = take(input, 1);
    const unsigned char *end =
        start && *start == '\n' ? memchr(input->at, '\n', input->left) : NULL;

    if (!end || memchr(input->at, '\0', (size_t)(end - input->at)))
        return NULL;

    return arena_strndup(mem, (const char *)input->at, (size_t)(end - input->at));
}

bool tzif_parse(struct arena *mem, const void *bytes, size_t size, struct tzif *out,
                struct err *err)
{
    struct input input = {.at = bytes, .left = size};
    struct counts counts;
    struct tzif file = {0};
    unsigned char version;

    if (!read_header(&input, &version, &counts))
        return err_set(err, ERR_INVALID, "not a time zone file (TZif)");
    if (version < '2')
        return err_set(err, ERR_INVALID, "a time zone file of the first version, too old to use");
    if (!take(&input, block_size(&counts, 4)) || !read_header(&input, &version, &counts))
        return err_set(err, ERR_INVALID, "a time zone file that is cut short or damaged");
    if (counts.leap_seconds > 0)
        return err_set(err, ERR_INVALID, "a time zone file that counts leap seconds");

    file.count = counts.changes;
    file.clock_count = counts.clocks;
    if (!read_changes(mem, &input, &file) || !read_clocks(mem, &input, counts.name_bytes, &file) ||
        !take(&input, (size_t)counts.standard_marks + counts.utc_marks) ||
        !(file.rule = read_rule(mem, &input)))
        return err_set(err, ERR_INVALID, "a time zone file that is cut short or damaged");
    *out = file;

    return true;
}
