/*
 * The message that a mail server gets, against RFC 5322, 2045 and 2047; tests/end/notices.sh has
 * it read by another program's parser too.
 */
#include "message/mail.h"

#include <string.h>

#include "base/str.h"
#include "harness/cmocka.h"

static struct mail plain(void)
{
    return (struct mail){.from = "farm@example.org",
                         .to = "wren@example.org",
                         .id = "notice-17.5f@north-bay",
                         .at = 1792191600 * SECOND_US, /* 2026-10-16 23:00 UTC, a Friday */
                         .subject = "North Bay: a probe is silent",
                         .text = "Look at the probe.\n"};
}

static char *written(struct arena *mem, struct mail mail)
{
    struct err err = ERR_INIT;
    size_t length = 0;
    char *text = NULL;

    assert_done(mail_write(mem, &mail, &text, &length, &err), &err);
    assert_int_equal(strlen(text), length);

    return text;
}

static void a_plain_notice_is_this_message(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    assert_string_equal(written(mem, plain()), "Date: Fri, 16 Oct 2026 23:00:00 +0000\r\n"
                                               "From: <farm@example.org>\r\n"
                                               "To: <wren@example.org>\r\n"
                                               "Message-ID: <notice-17.5f@north-bay>\r\n"
                                               "Subject: North Bay: a probe is silent\r\n"
                                               "Auto-Submitted: auto-generated\r\n"
                                               "MIME-Version: 1.0\r\n"
                                               "Content-Type: text/plain; charset=utf-8\r\n"
                                               "Content-Transfer-Encoding: quoted-printable\r\n"
                                               "\r\n"
                                               "Look at the probe.\r\n\r\n");
}

/* RFC 5322, appendix A.1.1: the example's date; before 1970 the weekdays go on. */
static void the_day_of_the_week_is_right(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const struct {
        struct civil civil;
        const char *date;
    } rows[] = {
        {{1997, 11, 21, 9, 55, 6, 0}, "Date: Fri, 21 Nov 1997 09:55:06 +0000\r\n"},
        {{1970, 1, 1, 0, 0, 0, 0}, "Date: Thu, 01 Jan 1970 00:00:00 +0000\r\n"},
        {{1969, 2, 13, 23, 32, 54, 0}, "Date: Thu, 13 Feb 1969 23:32:54 +0000\r\n"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct mail mail = plain();

        mail.at = instant_from_utc(&rows[i].civil);
        assert_true(str_starts(written(mem, mail), rows[i].date));
    }
}

static const char *body_of(const char *message)
{
    return strstr(message, "\r\n\r\n") + 4;
}

/* RFC 2045, 6.7. */
static void text_is_quoted_printable(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const struct {
        const char *text;
        const char *encoded;
        const char *why;
    } rows[] = {
        {"a=b", "a=3Db\r\n", "the sign itself"},
        {"5 \xC2\xB5g/L", "5 =C2=B5g/L\r\n", "letters beyond ASCII, byte by byte"},
        {"a \nb", "a=20\r\nb\r\n", "a blank that ends a line"},
        {"a\tb", "a=09b\r\n", "a tab"},
        {".\n", ".\r\n\r\n", "a dot alone is the transport's affair"},
        {"From here\n", "=46rom here\r\n\r\n", "the line that mail boxes part messages by"},
        {"\x1B[2J", "=1B[2J\r\n", "a terminal's control sequence never goes out as one"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct mail mail = plain();

        mail.text = rows[i].text;
        assert_string_equal(body_of(written(mem, mail)), rows[i].encoded);
    }
}

static void no_line_of_the_text_is_over_76(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct mail mail = plain();
    char text[1001];
    size_t longest = 0;

    (void)state;
    for (size_t i = 0; i < sizeof(text) - 1; i++)
        text[i] = i % 7 == 0 ? '=' : 'x';
    text[sizeof(text) - 1] = '\0';
    mail.text = text;
    for (const char *at = body_of(written(mem, mail)); *at; at += strcspn(at, "\n") + 1) {
        size_t length = strcspn(at, "\r");

        longest = length > longest ? length : longest;
    }
    assert_in_range(longest, 70, 76);
}

/* RFC 2047: encoded words of at most 75 characters, no letter parted. */
static void a_subject_beyond_ascii_is_encoded(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct mail mail = plain();
    const char *line;

    (void)state;
    mail.subject = "K\xC3\xBCste: pH 8.1?";
    assert_non_null(
        strstr(written(mem, mail), "\r\nSubject: =?UTF-8?Q?K=C3=BCste=3A_pH_8=2E1=3F?=\r\n"));
    mail.subject = "=?UTF-8?Q?x?=";
    assert_non_null(strstr(written(mem, mail), "\r\nSubject: =?UTF-8?Q?=3D=3F"));
    mail.subject =
        "\xE2\x82\xAC\xE2\x82\xAC\xE2\x82\xAC\xE2\x82\xAC\xE2\x82\xAC\xE2\x82\xAC\xE2\x82\xAC"
        "\xE2\x82\xAC\xE2\x82\xAC\xE2\x82\xAC";
    line = strstr(written(mem, mail), "\r\nSubject: ") + 2;
    assert_true(strcspn(line, "\r") <= 76);
    assert_non_null(strstr(line, "=E2=82=AC?=\r\n =?UTF-8?Q?=E2=82=AC"));
}

static void a_long_plain_subject_is_folded_at_blanks(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct mail mail = plain();
    const char *message;

    (void)state;
    mail.subject = "one two three four five six seven eight nine ten eleven twelve thirteen "
                   "fourteen fifteen";
    message = written(mem, mail);
    assert_non_null(strstr(message, "\r\nSubject: one two three four five six seven eight nine ten "
                                    "eleven twelve\r\n thirteen fourteen fifteen\r\n"));
}

static void what_could_begin_a_header_of_its_own_is_refused(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const struct {
        const char *from;
        const char *to;
        const char *id;
        const char *subject;
        const char *why;
    } rows[] = {
        {"farm@example.org\r\nBcc: x@y", NULL, NULL, NULL, "a line end in the sender"},
        {NULL, "wren@example.org\r\nDATA", NULL, NULL, "a line end in the receiver"},
        {NULL, "wren@example.org> SIZE=1", NULL, NULL, "the end of the path and more"},
        {NULL, "a@b,c@d", NULL, NULL, "two addresses"},
        {NULL, "wren", NULL, NULL, "no place"},
        {NULL, "-oQ@example.org", NULL, NULL, "what a program could take for an option"},
        {NULL, NULL, "x\r\ny@z", NULL, "a line end in the identity"},
        {NULL, NULL, NULL, "a\nBcc: x@y", "a line end in the subject"},
        {NULL, NULL, NULL, "a\x7F", "a control character in the subject"},
        {NULL, NULL, NULL, "a\xFF", "no UTF-8"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct mail mail = plain();
        struct err err = ERR_INIT;
        size_t length = 0;
        char *text = NULL;

        mail.from = rows[i].from ? rows[i].from : mail.from;
        mail.to = rows[i].to ? rows[i].to : mail.to;
        mail.id = rows[i].id ? rows[i].id : mail.id;
        mail.subject = rows[i].subject ? rows[i].subject : mail.subject;
        assert_fails(mail_write(mem, &mail, &text, &length, &err), ERR_INVALID, &err);
        assert_null(text);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_plain_notice_is_this_message),
        cmocka_unit_test(the_day_of_the_week_is_right),
        cmocka_unit_test(text_is_quoted_printable),
        cmocka_unit_test(no_line_of_the_text_is_over_76),
        cmocka_unit_test(a_subject_beyond_ascii_is_encoded),
        cmocka_unit_test(a_long_plain_subject_is_folded_at_blanks),
        cmocka_unit_test(what_could_begin_a_header_of_its_own_is_refused),
    };

    return cmocka_run_group_tests_name("message/mail", tests, NULL, NULL);
}
