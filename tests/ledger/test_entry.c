#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "ledger/entry.h"

static const struct entry_field fields[] = {{"sha256", "ba78"}, {"note", NULL}, {"name", ""}};

static struct entry example(void)
{
    return (struct entry){
        .farm_id = 0x1122334455667788,
        .sequence = 2,
        .at = 1777626060123456,
        .kind = ENTRY_RECEIPT,
        .source = "logger",
        .fields = fields,
        .field_count = ARRAY_LEN(fields),
    };
}

/* The layout in entry.h, written out by hand. */
static void the_bytes_are_those_of_the_header(void **state)
{
    static const unsigned char expected[] = {
        'W',  'B',  'E',  'N',  'T',  'R',  'Y',  1,                   /* version 1 */
        0x11, 0x22, 0x33, 0x44, 0x55, 0x66, 0x77, 0x88,                /* farm */
        0,    0,    0,    0,    0,    0,    0,    2,                   /* sequence */
        0x00, 0x06, 0x50, 0xbd, 0xd1, 0xdb, 0x6d, 0x40,                /* at */
        0,    0,    0,    7,    'r',  'e',  'c',  'e',  'i', 'p', 't', /* kind */
        0xff, 0xff, 0xff, 0xff,                                        /* no person */
        0,    0,    0,    6,    'l',  'o',  'g',  'g',  'e', 'r',      /* source */
        0,    0,    0,    3,                                           /* fields */
        0,    0,    0,    6,    's',  'h',  'a',  '2',  '5', '6', 0,   0,   0,    4,
        'b',  'a',  '7',  '8',  0,    0,    0,    4,    'n', 'o', 't', 'e', 0xff, 0xff,
        0xff, 0xff, 0,    0,    0,    4,    'n',  'a',  'm', 'e', 0,   0,   0,    0,
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct buf buf = buf_new(mem);
    const struct entry entry = example();

    (void)state;
    entry_write(&entry, &buf);
    assert_int_equal(buf.len, sizeof(expected));
    assert_memory_equal(buf.data, expected, sizeof(expected));
}

static void an_entry_comes_back_from_its_bytes(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct buf buf = buf_new(mem);
    struct buf again = buf_new(mem);
    const struct entry entry = example();
    struct entry back = {0};
    struct err err = ERR_INIT;

    (void)state;
    entry_write(&entry, &buf);
    assert_true(entry_parse(mem, buf.data, buf.len, &back, &err));
    entry_write(&back, &again);
    assert_int_equal(buf.len, again.len);
    assert_memory_equal(buf.data, again.data, buf.len);
    assert_string_equal(entry_field(&back, "sha256"), "ba78");
    assert_null(entry_field(&back, "note"));
    assert_string_equal(entry_field(&back, "name"), "");
    assert_null(entry_field(&back, "nothing of the kind"));
    assert_null(back.person);
    assert_string_equal(back.source, "logger");
}

static void no_cut_and_no_tail_is_accepted(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct buf buf = buf_new(mem);
    const struct entry entry = example();
    struct entry back = {.sequence = 77};
    struct err err = ERR_INIT;

    (void)state;
    entry_write(&entry, &buf);
    for (size_t length = 0; length < buf.len; length++)
        assert_false(entry_parse(mem, buf.data, length, &back, &err));

    size_t length = buf.len;

    buf_add_char(&buf, '\0');
    assert_false(entry_parse(mem, buf.data, length + 1, &back, &err));
    assert_non_null(strstr(err.text, "longer than it says"));
    assert_int_equal(back.sequence, 77);
}

static void damaged_bytes_are_refused(void **state)
{
    static const struct {
        size_t at;
        char byte;
        const char *says;
        const char *why;
    } rows[] = {
        {0, 'X', "no ledger entry", "another first letter"},
        {7, 2, "version 2", "a version that is not known yet"},
        {23, 0, "numbered from 1", "a sequence of 0"},
        {36, 'R', "no known kind", "kinds are spelled in one way"},
        {43, 0x10, "cut short or damaged", "a length past the end"},
        {60, '\xff', "cut short or damaged", "more fields than there is room for"},
        {68, '\0', "cut short or damaged", "a NUL inside a text"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct buf buf = buf_new(mem);
        const struct entry entry = example();
        struct entry back = {0};
        struct err err = ERR_INIT;

        entry_write(&entry, &buf);
        buf.data[rows[i].at] = rows[i].byte;
        if (entry_parse(mem, buf.data, buf.len, &back, &err))
            fail_msg("accepted: %s", rows[i].why);
        if (!strstr(err.text, rows[i].says))
            fail_msg("%s: %s", rows[i].why, err.text);
    }
}

static void an_entry_says_who_when_and_what(void **state)
{
    static const struct entry_field nameless[] = {{"", "x"}};
    const struct entry sound = example();
    struct entry entry;
    struct err err = ERR_INIT;

    (void)state;
    assert_true(entry_check(&sound, &err));
    entry = sound;
    entry.source = NULL;
    assert_false(entry_check(&entry, &err));
    entry.person = "";
    assert_false(entry_check(&entry, &err));
    assert_non_null(strstr(err.text, "neither a person nor a source"));
    entry = sound;
    entry.sequence = 0;
    assert_false(entry_check(&entry, &err));
    entry = sound;
    entry.at = INSTANT_NONE;
    assert_false(entry_check(&entry, &err));
    entry = sound;
    entry.kind = ENTRY_KINDS;
    assert_false(entry_check(&entry, &err));
    entry = sound;
    entry.fields = nameless;
    entry.field_count = 1;
    assert_false(entry_check(&entry, &err));
    entry = sound;
    entry.field_count = ENTRY_FIELDS_MOST + 1;
    assert_false(entry_check(&entry, &err));
    assert_int_equal(err.code, ERR_TOO_LARGE);
}

static void every_kind_has_a_name_of_its_own(void **state)
{
    (void)state;
    for (int i = 0; i < ENTRY_KINDS; i++) {
        enum entry_kind back = ENTRY_KINDS;

        assert_non_null(entry_kind_name((enum entry_kind)i));
        assert_true(entry_kind_parse(entry_kind_name((enum entry_kind)i), &back));
        assert_int_equal(back, i);
    }

    enum entry_kind untouched = ENTRY_NOTE;

    assert_false(entry_kind_parse("Receipt", &untouched));
    assert_false(entry_kind_parse(NULL, &untouched));
    assert_int_equal(untouched, ENTRY_NOTE);
}

/* Without lengths, {"ab", "c"} and {"a", "bc"} would be the same bytes. */
static void fields_cannot_run_into_each_other(void **state)
{
    static const struct entry_field one[] = {{"ab", "c"}};
    static const struct entry_field other[] = {{"a", "bc"}};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct buf first = buf_new(mem);
    struct buf second = buf_new(mem);
    struct entry entry = example();

    (void)state;
    entry.fields = one;
    entry.field_count = 1;
    entry_write(&entry, &first);
    entry.fields = other;
    entry_write(&entry, &second);
    assert_int_equal(first.len, second.len);
    assert_memory_not_equal(first.data, second.data, first.len);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_bytes_are_those_of_the_header),
        cmocka_unit_test(an_entry_comes_back_from_its_bytes),
        cmocka_unit_test(no_cut_and_no_tail_is_accepted),
        cmocka_unit_test(damaged_bytes_are_refused),
        cmocka_unit_test(an_entry_says_who_when_and_what),
        cmocka_unit_test(every_kind_has_a_name_of_its_own),
        cmocka_unit_test(fields_cannot_run_into_each_other),
    };

    return cmocka_run_group_tests_name("ledger/entry", tests, NULL, NULL);
}
