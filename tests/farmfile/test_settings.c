/* Machine settings: what weirbook.conf may say, and secrets that others can't read. */

#include "farmfile/settings.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/file.h"
#include "base/str.h"
#include "harness/cmocka.h"

static struct source loggers = {.key = "logger"};

/* A farm with one source. */
static struct farm farm_of(struct arena *mem)
{
    struct farm farm = {.key = "shore"};

    LIST_ADD(mem, &farm.sources, ((struct farm_source){.source = loggers}));

    return farm;
}

static void a_full_file_is_read(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm farm = farm_of(mem);
    struct farmfile_problems problems = {0};
    struct machine_settings settings = {0};
    struct err err = ERR_INIT;
    const char *text = "watch:\n"
                       "  - folder: /srv/logger\n"
                       "    source: logger\n"
                       "    done: /srv/kept\n"
                       "    settle: 2 minutes\n"
                       "    quiet after: 2 hours\n"
                       "  - {folder: /srv/other, source: unheard-of, farm: elsewhere}\n"
                       "mail:\n"
                       "  {server: mail.example.org, tls: from the start, from: w@example.org,\n"
                       "   user: w, secret: mail}\n"
                       "webhooks:\n"
                       "  - {key: room, url: \"http://localhost:8080/x\", secret: room}\n";

    (void)state;
    if (!settings_read(mem, text, strlen(text), &farm, &settings, &problems, &err))
        fail_msg("%s", err.text);
    assert_int_equal(settings.watch.count, 2);
    assert_string_equal(settings.watch.items[0].done, "/srv/kept");
    assert_string_equal(settings.watch.items[0].refused, "refused");
    assert_int_equal(settings.watch.items[0].settle_s, 120);
    assert_int_equal(settings.watch.items[0].quiet_after_s, 7200);
    assert_int_equal(settings.watch.items[1].settle_s, 10);
    assert_int_equal(settings.watch.items[1].quiet_after_s, 0);
    assert_int_equal(settings.mail.port, 465); /* RFC 8314 section 7.3 */
    assert_int_equal(settings.webhooks.count, 1);
}

static void without_a_file_nothing_is_set(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct farmfile_problems problems = {0};
    const struct machine_settings *settings = NULL;
    struct err err = ERR_INIT;
    char folder[] = "/tmp/weirbook-settings-XXXXXX";

    (void)state;
    assert_non_null(mkdtemp(folder));
    if (!settings_load(mem, folder, NULL, &settings, &problems, &err))
        fail_msg("%s", err.text);
    assert_int_equal(settings->watch.count, 0);
    assert_null(settings->mail.server);
    assert_true(file_remove_tree(folder, &err));
}

struct mistake {
    const char *text;
    const char *told;
};

static const struct mistake mistakes[] = {
    {"watsh: []", "line 1, column 1: 'watsh' is no key of a settings file; did you mean 'watch'?"},
    {"watch: {folder: /a}", "can't be `watch`: expected a list of watched folders"},
    {"watch: [{folder: /a, source: loger}]",
     "line 1, column 30: there is no source 'loger'; did you mean 'logger'?"},
    {"watch: [{folder: srv/a, source: logger}]",
     "'srv/a' can't be `folder`: expected a full path, as /srv/logger"},
    {"watch: [{folder: /a, source: logger, done: ../x}]", "'../x' can't be `done`"},
    {"watch: [{folder: /a, source: logger, done: x, refused: x}]",
     "`done` and `refused` are the same folder"},
    {"watch: [{folder: /a, source: logger}, {folder: /a, source: logger}]",
     "the folder '/a' is watched already"},
    {"watch: [{folder: /a, source: logger, settle: 10}]", "'10' can't be `settle`"},
    {"mail: {server: m.example.org, from: w@example.org, tls: none}",
     "`tls: none` is only for a server on this machine"},
    {"mail: {server: m.example.org, from: \"a@b>\\r\\nRCPT TO:<c@d\"}", "can't be `from`"},
    {"mail: {server: m.example.org, from: w@example.org, user: w}",
     "`user` and `secret` go together"},
    {"mail: {server: m.example.org, from: w@example.org, password: x}",
     "'password' looks like a secret, and this file holds none"},
    {"webhooks: [{key: a, url: \"http://example.org/x\", secret: a}]", "can't be `url`"},
    {"webhooks: [{key: a, url: \"http://localhost@example.org/\", secret: a}]", "can't be `url`"},
    {"webhooks: [{key: a, url: \"http://localhost.example.org/\", secret: a}]", "can't be `url`"},
    {"webhooks: [{key: a, url: \"https://example.org/x\", secret: ../../a}]", "can't be `secret`"},
};

static void every_mistake_is_told_with_its_place(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(mistakes); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const struct farm farm = farm_of(mem);
        struct farmfile_problems problems = {0};
        struct machine_settings settings = {0};
        struct err err = ERR_INIT;

        if (settings_read(mem, mistakes[i].text, strlen(mistakes[i].text), &farm, &settings,
                          &problems, &err))
            fail_msg("taken: %s", mistakes[i].text);
        assert_int_equal(err.code, ERR_INVALID);
        assert_true(problems.count > 0);
        if (!strstr(err.text, mistakes[i].told))
            fail_msg("%s\nsays: %s", mistakes[i].text, err.text);
    }
}

static void a_secret_is_one_line_that_only_we_can_read(void **state)
{
    static const struct {
        const char *text;
        mode_t mode;
        enum err_code code;
        const char *told; /* of the error, or the secret */
    } rows[] = {
        {"s3 cret\n", 0600, ERR_NONE, "s3 cret"},
        {"s3 cret\r\nsecond line", 0400, ERR_NONE, "s3 cret"},
        {"s3 cret\n", 0640, ERR_DENIED, "has mode 0640: others on this machine may read it"},
        {"s3 cret\n", 0604, ERR_DENIED, "has mode 0604"},
        {"\n", 0600, ERR_INVALID, "is empty"},
    };
    char folder[] = "/tmp/weirbook-settings-XXXXXX";
    struct err err = ERR_INIT;

    (void)state;
    assert_non_null(mkdtemp(folder));
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const char *secret = "";

        err = ERR_INIT;
        assert_true(file_make_folders(arena_printf(mem, "%s/secrets", folder), 0700, &err));
        assert_true(file_write(arena_printf(mem, "%s/secrets/mail", folder), rows[i].text,
                               strlen(rows[i].text), rows[i].mode, &err));

        bool read = settings_secret(mem, folder, "mail", &secret, &err);

        assert_int_equal(err.code, rows[i].code);
        assert_int_equal(read, rows[i].code == ERR_NONE);
        if (!strstr(read ? secret : err.text, rows[i].told))
            fail_msg("row %zu: %s", i, read ? secret : err.text);
    }
    assert_true(file_remove_tree(folder, &err));
}

static void a_link_is_no_secret_and_others_may_not_write_the_settings(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct farmfile_problems problems = {0};
    const struct machine_settings *settings = NULL;
    const char *secret = NULL;
    char folder[] = "/tmp/weirbook-settings-XXXXXX";
    struct err err = ERR_INIT;

    (void)state;
    assert_non_null(mkdtemp(folder));
    assert_true(file_make_folders(arena_printf(mem, "%s/secrets", folder), 0700, &err));
    assert_int_equal(symlink("/etc/hostname", arena_printf(mem, "%s/secrets/mail", folder)), 0);
    assert_false(settings_secret(mem, folder, "mail", &secret, &err));
    err = ERR_INIT;
    assert_true(file_write(arena_printf(mem, "%s/weirbook.conf", folder), "", 0, 0662, &err));
    assert_false(settings_load(mem, folder, NULL, &settings, &problems, &err));
    assert_int_equal(err.code, ERR_DENIED);
    err = ERR_INIT;
    assert_true(file_remove_tree(folder, &err));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_full_file_is_read),
        cmocka_unit_test(without_a_file_nothing_is_set),
        cmocka_unit_test(every_mistake_is_told_with_its_place),
        cmocka_unit_test(a_secret_is_one_line_that_only_we_can_read),
        cmocka_unit_test(a_link_is_no_secret_and_others_may_not_write_the_settings),
    };

    return cmocka_run_group_tests_name("farmfile/settings", tests, NULL, NULL);
}
