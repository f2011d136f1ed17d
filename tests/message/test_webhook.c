/* A signed webhook; tests/end/notices.sh has its signature checked by another program. */
#include "message/webhook.h"

#include <string.h>

#include "base/crypto.h"
#include "base/str.h"
#include "harness/cmocka.h"

static struct webhook_notice notice(void)
{
    return (struct webhook_notice){.id = "notice-1.ab@north-bay",
                                   .number = 1,
                                   .farm = "north-bay",
                                   .kind = "limit",
                                   .about = "solids-mean",
                                   .station = "outlet",
                                   .since = "2026-03-17",
                                   .person = "wren",
                                   .subject = "North Bay: \"outside\"",
                                   .text = "a\nb",
                                   .queued_at = 0};
}

static void the_body_is_json_and_the_signature_is_of_identity_time_and_body(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct webhook_notice of = notice();
    struct webhook_message message = {0};
    struct err err = ERR_INIT;

    (void)state;
    assert_done(webhook_write(mem, &of, "key", 1767225600 * SECOND_US + 5, &message, &err), &err);
    assert_string_equal(
        message.body,
        "{\"id\":\"notice-1.ab@north-bay\",\"number\":1,\"farm\":\"north-bay\",\"invented\":false,"
        "\"kind\":\"limit\",\"about\":\"solids-mean\",\"station\":\"outlet\",\"since\":"
        "\"2026-03-17\",\"person\":\"wren\",\"subject\":\"North Bay: \\\"outside\\\"\","
        "\"text\":\"a\\nb\",\"queued_at\":\"1970-01-01T00:00:00Z\"}");
    assert_int_equal(message.length, strlen(message.body));
    assert_string_equal(message.headers[1], "Weirbook-Id: notice-1.ab@north-bay");
    assert_string_equal(message.headers[2], "Weirbook-Time: 1767225600");

    const char *text = arena_printf(mem, "notice-1.ab@north-bay.1767225600.%s", message.body);
    struct digest mac = hmac_sha256("key", 3, text, strlen(text));

    assert_string_equal(message.headers[3],
                        arena_printf(mem, "Weirbook-Signature: sha256=%s", digest_text(mem, &mac)));
}

static void an_identity_that_breaks_a_header_and_no_secret_are_refused(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const char *const ids[] = {"", "a b", "a\r\nX: y", "\xC3\xBC"};
    struct webhook_message message = {0};
    struct webhook_notice of = notice();
    struct err err = ERR_INIT;

    (void)state;
    assert_fails(webhook_write(mem, &of, "", 0, &message, &err), ERR_INVALID, &err);
    for (size_t i = 0; i < ARRAY_LEN(ids); i++) {
        of.id = ids[i];
        assert_fails(webhook_write(mem, &of, "key", 0, &message, &err), ERR_INVALID, &err);
    }
    assert_null(message.body);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_body_is_json_and_the_signature_is_of_identity_time_and_body),
        cmocka_unit_test(an_identity_that_breaks_a_header_and_no_secret_are_refused),
    };

    return cmocka_run_group_tests_name("message/webhook", tests, NULL, NULL);
}
