#include <string.h>

#include "base/buf.h"
#include "base/charset.h"
#include "harness/cmocka.h"

/* What came out: text as it is, faults as {B0@12}. */
static bool text_add(void *context, const char *text, size_t count, struct err *err)
{
    (void)err;
    buf_add(context, text, count);

    return true;
}

static bool fault_add(void *context, const struct charset_fault *fault, struct err *err)
{
    (void)err;
    buf_addf(context, "{%02X@%lld}", fault->byte, (long long)fault->offset);

    return true;
}

struct outcome {
    bool done;
    char *text;
    const char *found;
    struct err err;
};

/* Convert the bytes in pieces of `piece`. */
static struct outcome convert(struct arena *mem, const char *told, const void *bytes, size_t count,
                              size_t piece)
{
    struct buf out = buf_new(mem);
    const struct charset_sink sink = {&out, text_add, fault_add};
    struct charset *charset = charset_new(mem, told, &sink);
    struct outcome outcome = {.done = true, .err = ERR_INIT};

    for (size_t at = 0; at < count && outcome.done; at += piece)
        outcome.done = charset_feed(charset, (const char *)bytes + at,
                                    count - at < piece ? count - at : piece, &outcome.err);
    outcome.done = outcome.done && charset_end(charset, &outcome.err);
    outcome.text = out.data;
    outcome.found = charset_found(charset);

    return outcome;
}

struct text_row {
    const char *told;
    const char *bytes;
    size_t count;
    const char *text;
    const char *found;
    const char *why;
};

#define BYTES(text) (text), sizeof(text) - 1

static const struct text_row text_rows[] = {
    {NULL, BYTES("a,b\n"), "a,b\n", "utf-8", "plain ASCII"},
    {NULL,
     BYTES("\xef\xbb\xbf"
           "a"),
     "a", "utf-8", "a byte order mark is no text"},
    {"windows-1252", BYTES("\xef\xbb\xbf\xc2\xb0"), "\xc2\xb0", "utf-8", "the mark overrides"},
    {NULL, BYTES("\xc2\xb0 \xe2\x82\xac \xf0\x9f\x90\x9f"),
     "\xc2\xb0 \xe2\x82\xac \xf0\x9f\x90\x9f", "utf-8", "characters of 2, 3 and 4 bytes"},
    {"utf-8",
     BYTES("a\xb0"
           "C,5\n"),
     "a{B0@1}C,5\n", "utf-8", "told utf-8 and it is not: the byte is a fault, the rest goes on"},
    {"utf-8", BYTES("\xc0\x80"), "{C0@0}{80@1}", "utf-8", "an overlong form (RFC 3629 section 3)"},
    {"utf-8", BYTES("\xe0\x9f\xbf"), "{E0@0}{9F@1}{BF@2}", "utf-8", "overlong in three bytes"},
    {"utf-8", BYTES("\xed\xa0\x80"), "{ED@0}{A0@1}{80@2}", "utf-8", "a surrogate"},
    {"utf-8", BYTES("\xf4\x90\x80\x80"), "{F4@0}{90@1}{80@2}{80@3}", "utf-8", "over U+10FFFF"},
    {"utf-8", BYTES("x\xe2\x82"), "x{E2@1}{82@2}", "utf-8", "cut off at the end of the file"},
    {"windows-1252",
     BYTES("\xb0"
           "C \x80 \x96"),
     "\xc2\xb0"
     "C \xe2\x82\xac \xe2\x80\x93",
     "windows-1252", "the WHATWG index of windows-1252"},
    {"windows-1252", BYTES("x\x81y\xe9"), "x{81@1}y\xc3\xa9", "windows-1252",
     "0x81 is no character of windows-1252"},
    {"latin-1", BYTES("Salinit\xe9"), "Salinit\xc3\xa9", "latin-1", "ISO 8859-1"},
    {"ISO-8859-1", BYTES("\xe9"), "\xc3\xa9", "latin-1", "the other name, in capitals"},
    {"windows-1252",
     BYTES("T (\xc2\xb0"
           "C)"),
     "T (\xc2\xb0"
     "C)",
     "utf-8", "strict UTF-8 comes before what was told"},
    {"windows-1252", BYTES("plain"), "plain", "utf-8", "nothing outside ASCII decides nothing"},
    {NULL,
     BYTES("\xff\xfe"
           "a\0,\0\xac\x20\n\0"),
     "a,\xe2\x82\xac\n", "utf-16", "UTF-16 little endian with its mark (RFC 2781)"},
    {NULL, BYTES("\xfe\xff\0a\xd8\x3d\xdc\x1f"), "a\xf0\x9f\x90\x9f", "utf-16",
     "big endian, a surrogate pair"},
    {NULL, BYTES("a\0,\0b\0\n\0"), "a,b\n", "utf-16", "no mark: NULs in every second byte"},
    {NULL, BYTES("\0a\0,\0b\0\n"), "a,b\n", "utf-16", "and on the other side"},
    {"utf-16", BYTES("a,b\n"), "a,b\n", "utf-8", "told utf-16, but the file is plain text"},
    {NULL,
     BYTES("\xff\xfe\x1f\xdc"
           "a\0"),
     "{1F@2}{DC@3}a", "utf-16", "half a surrogate pair"},
    {NULL,
     BYTES("\xff\xfe"
           "a\0b"),
     "a{62@4}", "utf-16", "an odd byte at the end"},
    {NULL, "", 0, "", "utf-8", "nothing at all"},
};

static void text_comes_out_as_utf8_whole_and_byte_by_byte(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(text_rows); i++)
        for (size_t piece = 1; piece <= 64; piece += 63) {
            CLEANUP(arena_free) struct arena *mem = arena_new();
            const struct text_row *row = &text_rows[i];
            struct outcome outcome = convert(mem, row->told, row->bytes, row->count, piece);

            if (!outcome.done || strcmp(outcome.text, row->text) != 0 ||
                strcmp(outcome.found, row->found) != 0)
                fail_msg("%s: %s %s %s", row->why, outcome.text, outcome.found, outcome.err.text);
        }
}

static const struct {
    const char *bytes;
    size_t count;
    const char *text;
    const char *hint;
} refused_rows[] = {
    {BYTES("PK\x03\x04\x14\0\x06\0"), "a workbook", "save it as CSV"},
    {BYTES("\xd0\xcf\x11\xe0\xa1\xb1"), "an old spreadsheet", "save it as CSV"},
    {BYTES("\x7f"
           "ELF\x02\x01"),
     "a program", "logger"},
    {BYTES("%PDF-1.4"), "a PDF", "laboratory"},
    {BYTES("\x1f\x8b\x08"), "gzip", "Unpack"},
    {BYTES("time,temp\n2026,1\0\0\0\0\0"), "byte 16 is a NUL", "damaged"},
};

static void a_file_that_is_no_text_is_refused_with_advice(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(refused_rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct outcome outcome =
            convert(mem, NULL, refused_rows[i].bytes, refused_rows[i].count, 3);

        assert_false(outcome.done);
        assert_int_equal(outcome.err.code, ERR_INVALID);
        if (!strstr(outcome.err.text, refused_rows[i].text) ||
            !strstr(outcome.err.hint, refused_rows[i].hint))
            fail_msg("row %zu: %s; %s", i, outcome.err.text, outcome.err.hint);
        assert_string_equal(outcome.text, "");
    }
}

/* A power cut leaves NULs inside a logger's file: only the rows with them may be lost. */
static void a_nul_far_inside_a_text_is_a_fault_with_its_offset(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct buf bytes = buf_new(mem);

    (void)state;
    for (int i = 0; i < 1000; i++)
        buf_add_text(&bytes, "12345678,\n");
    buf_add(&bytes, "\0x", 2);

    struct outcome outcome = convert(mem, NULL, bytes.data, bytes.len, 700);

    assert_true(outcome.done);
    assert_string_equal(outcome.text + 9999, "\n{00@10000}x");
}

/* Every character there is, over pieces that cut it anywhere, must come out unchanged. */
static void every_character_survives_every_cut(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct buf wide = buf_new(mem);
    struct buf narrow = buf_new(mem);

    (void)state;
    buf_add(&wide, "\xff\xfe", 2);
    for (uint32_t c = 1; c < 0x10000; c += c < 0x300 ? 1 : 37) {
        if (c >= 0xd800 && c <= 0xdfff)
            continue;
        buf_add_char(&wide, (char)(c & 0xff));
        buf_add_char(&wide, (char)(c >> 8));
    }

    struct outcome first = convert(mem, NULL, wide.data, wide.len, wide.len);

    buf_add_text(&narrow, first.text);
    for (size_t piece = 1; piece < 8; piece++) {
        struct outcome again = convert(mem, NULL, narrow.data, narrow.len, piece);
        struct outcome wider = convert(mem, NULL, wide.data, wide.len, piece);

        assert_string_equal(again.text, first.text);
        assert_string_equal(wider.text, first.text);
    }
}

static void names_that_may_be_told_are_known(void **state)
{
    (void)state;
    for (size_t i = 0; charset_names[i]; i++)
        assert_true(charset_known(charset_names[i]));
    assert_true(charset_known("UTF-8"));
    assert_false(charset_known("ebcdic"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(text_comes_out_as_utf8_whole_and_byte_by_byte),
        cmocka_unit_test(a_file_that_is_no_text_is_refused_with_advice),
        cmocka_unit_test(a_nul_far_inside_a_text_is_a_fault_with_its_offset),
        cmocka_unit_test(every_character_survives_every_cut),
        cmocka_unit_test(names_that_may_be_told_are_known),
    };

    return cmocka_run_group_tests_name("base/charset", tests, NULL, NULL);
}
