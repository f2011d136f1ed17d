/*
 * What a reply means, and that nobody being there is no end of it. tests/end/notices.sh sends to
 * real servers.
 */
#include "message/send.h"

#include <string.h>

#include "harness/cmocka.h"

/* RFC 5321, 4.2.1: 4yz may be tried again, 5yz not. */
static void smtp_replies_are_told_apart(void **state)
{
    static const struct {
        int code;
        bool transferred;
        bool log_in_failed;
        enum send_outcome outcome;
        const char *why;
    } rows[] = {
        {250, true, false, SEND_DONE, "taken over"},
        {451, false, false, SEND_LATER, "the server asks for another try"},
        {421, false, false, SEND_LATER, "the server closes"},
        {550, false, false, SEND_REFUSED, "no such mailbox"},
        {552, false, false, SEND_REFUSED, "too large"},
        {535, false, true, SEND_LATER, "a wrong password is mended on this side"},
        {0, false, false, SEND_LATER, "nobody answered"},
        {250, false, false, SEND_LATER, "cut off after a good reply: not taken over for sure"},
        {354, false, false, SEND_LATER, "cut off in the text"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_int_equal(
            send_smtp_outcome(rows[i].code, rows[i].transferred, rows[i].log_in_failed),
            rows[i].outcome);
}

/* RFC 9110, 15; RFC 6585, 4; RFC 8470, 5.2. */
static void http_replies_are_told_apart(void **state)
{
    static const struct {
        int code;
        enum send_outcome outcome;
    } rows[] = {
        {200, SEND_DONE},    {202, SEND_DONE},    {204, SEND_DONE},    {301, SEND_REFUSED},
        {302, SEND_REFUSED}, {400, SEND_REFUSED}, {401, SEND_REFUSED}, {404, SEND_REFUSED},
        {410, SEND_REFUSED}, {408, SEND_LATER},   {425, SEND_LATER},   {429, SEND_LATER},
        {500, SEND_LATER},   {503, SEND_LATER},   {0, SEND_LATER},     {100, SEND_LATER},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_int_equal(send_http_outcome(rows[i].code), rows[i].outcome);
}

static const struct webhook_message message = {
    .body = "{}", .length = 2, .headers = {"A: 1", "B: 2", "C: 3", "D: 4"}};

static void a_server_that_is_away_is_tried_again(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    /* Port 1 of this machine: nothing listens there. */
    struct send_mail_server server = {.host = "127.0.0.1", .port = 1, .tls = SEND_TLS_STARTTLS};
    struct send_reply reply =
        send_mail(mem, &server, "a@b.example", "c@d.example", "x\r\n", 3, NULL);

    (void)state;
    assert_int_equal(reply.outcome, SEND_LATER);
    assert_int_equal(reply.code, 0);
    assert_true(strlen(reply.words) > 0);
    reply = send_webhook(mem, "http://127.0.0.1:1/hook", &message, NULL);
    assert_int_equal(reply.outcome, SEND_LATER);
    assert_int_equal(reply.code, 0);
}

static void no_other_protocol_is_spoken(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const char *const urls[] = {"file:///etc/hostname", "gopher://127.0.0.1:1/x",
                                       "ftp://127.0.0.1:1/x"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(urls); i++) {
        struct send_reply reply = send_webhook(mem, urls[i], &message, NULL);

        assert_int_not_equal(reply.outcome, SEND_DONE);
        assert_non_null(strstr(reply.words, "rotocol"));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(smtp_replies_are_told_apart),
        cmocka_unit_test(http_replies_are_told_apart),
        cmocka_unit_test(a_server_that_is_away_is_tried_again),
        cmocka_unit_test(no_other_protocol_is_spoken),
    };

    return cmocka_run_group_tests_name("message/send", tests, NULL, NULL);
}
