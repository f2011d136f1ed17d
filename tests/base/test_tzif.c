#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

#include "base/buf.h"
#include "base/tzif.h"

/* A header of RFC 8536, section 3.1. */
static void add_header(struct buf *file, char version, const unsigned char counts[6])
{
    static const char nothing[15] = {0};

    buf_add(file, "TZif", 4);
    buf_add_char(file, version);
    buf_add(file, nothing, sizeof(nothing));
    for (size_t i = 0; i < 6; i++) {
        buf_add(file, nothing, 3);
        buf_add_char(file, (char)counts[i]);
    }
}

/* Counts: marks of UTC, marks of standard, leap seconds, changes, clocks, bytes of names. */
static const unsigned char nothing_counts[6] = {0, 0, 0, 0, 1, 1};
static const unsigned char counts_of_file[6] = {0, 0, 0, 1, 2, 8};

/* One change, 1970-01-02T00:00:00Z, from AAA (no offset) to BBB (an hour ahead). */
static struct buf small_file(struct arena *mem)
{
    struct buf file = buf_new(mem);

    add_header(&file, '2', nothing_counts);
    buf_add(&file, "\0\0\0\0\0\0\0", 7);
    add_header(&file, '2', counts_of_file);
    buf_add(&file, "\0\0\0\0\0\x01\x51\x80\x01", 9);
    buf_add(&file, "\0\0\0\0\0\0\0\0\x0e\x10\x01\x04", 12);
    buf_add(&file, "AAA\0BBB", 8);
    buf_add_text(&file, "\nBBB-1\n");

    return file;
}

static void a_small_file_is_read(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct buf file = small_file(mem);
    struct tzif tzif;
    struct err err = ERR_INIT;

    (void)state;
    if (!tzif_parse(mem, file.data, file.len, &tzif, &err))
        fail_msg("%s", err.text);
    assert_int_equal(tzif.count, 1);
    assert_int_equal(tzif.at[0], 86400);
    assert_int_equal(tzif.clock_of[0], 1);
    assert_int_equal(tzif.clocks[0].offset_s, 0);
    assert_string_equal(tzif.clocks[1].abbreviation, "BBB");
    assert_int_equal(tzif.clocks[1].offset_s, 3600);
    assert_string_equal(tzif.rule, "BBB-1");
}

/* The bytes are copied to their exact size, so that the sanitizer sees one read too many. */
static bool parse_exactly(struct arena *mem, const char *bytes, size_t size, struct err *err)
{
    char *copy = size ? test_malloc(size) : NULL;
    struct tzif tzif;

    if (size)
        memcpy(copy, bytes, size);

    bool done = tzif_parse(mem, copy ? copy : "", size, &tzif, err);

    if (copy)
        test_free(copy);

    return done;
}

static void a_file_cut_short_anywhere_is_refused(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct buf file = small_file(mem);

    (void)state;
    for (size_t size = 0; size < file.len; size++) {
        struct err err = ERR_INIT;

        if (parse_exactly(mem, file.data, size, &err))
            fail_msg("read with %zu of %zu bytes", size, file.len);
        assert_int_equal(err.code, ERR_INVALID);
    }
}

static void a_file_with_a_byte_changed_never_reads_past_its_end(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    size_t refused = 0;

    (void)state;
    for (size_t i = 0; i < small_file(mem).len; i++) {
        struct buf file = small_file(mem);
        struct err err = ERR_INIT;

        file.data[i] = (char)0xff;
        refused += !parse_exactly(mem, file.data, file.len, &err);
    }
    assert_true(refused > 40);
}

static void damage_has_its_own_words(void **state)
{
    (void)state;

    static const struct {
        size_t at; /* byte that is changed */
        char byte;
        const char *text;
    } rows[] = {
        {0, 'X', "not a time zone file (TZif)"},
        {4, '\0', "a time zone file of the first version, too old to use"},
        {51, 'X', "a time zone file that is cut short or damaged"},       /* second header */
        {51 + 31, 1, "a time zone file that counts leap seconds"},        /* leap seconds */
        {95 + 8, 7, "a time zone file that is cut short or damaged"},     /* no such clock */
        {104 + 5, 9, "a time zone file that is cut short or damaged"},    /* name out of reach */
        {104 + 6, 0x7f, "a time zone file that is cut short or damaged"}, /* centuries ahead */
        {116 + 7, 'X', "a time zone file that is cut short or damaged"},  /* name without end */
        {124, 'X', "a time zone file that is cut short or damaged"},      /* no line for the rule */
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct buf file = small_file(mem);
        struct err err = ERR_INIT;

        file.data[rows[i].at] = rows[i].byte;
        assert_false(parse_exactly(mem, file.data, file.len, &err));
        if (strcmp(err.text, rows[i].text) != 0)
            fail_msg("byte %zu: %s", rows[i].at, err.text);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_small_file_is_read),
        cmocka_unit_test(a_file_cut_short_anywhere_is_refused),
        cmocka_unit_test(a_file_with_a_byte_changed_never_reads_past_its_end),
        cmocka_unit_test(damage_has_its_own_words),
    };

    return cmocka_run_group_tests_name("base/tzif", tests, NULL, NULL);
}
