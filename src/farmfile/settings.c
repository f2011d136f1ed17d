#include "farmfile/settings.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/file.h"
#include "base/str.h"
#include "farmfile/moment.h"
#include "message/mail.h"

enum { SETTLE_S = 10, PORT_SUBMISSION = 587, PORT_SUBMISSION_TLS = 465, PORT_MOST = 65535 };

/* --- watch ----------------------------------------------------------------------------------- */

static void read_path(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    const char **path = into;

    if (!field_is_text(reader, field, value))
        return;

    const char *text = str_trim(reader->mem, value->text);

    if (text[0] == '/')
        *path = text;
    else
        field_unfit(reader, field, value, NULL, 0);
}

/* A full path, or the name of a folder inside the watched one. */
static void read_aside(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    const char **path = into;

    if (!field_is_text(reader, field, value))
        return;

    const char *text = str_trim(reader->mem, value->text);

    if (text[0] == '/' || (!strchr(text, '/') && text[0] != '.'))
        *path = text;
    else
        field_unfit(reader, field, value, NULL, 0);
}

#define WATCH(key, need, read, member, expected)                                                   \
    FIELD(key, need, read, struct settings_watch, member, expected)

static const struct field watch_fields[] = {
    {WATCH("folder", FIELD_REQUIRED, read_path, folder, "a full path, as /srv/logger")},
    {WATCH("farm", FIELD_OPTIONAL, value_key, farm, "the key of the farm")},
    {WATCH("source", FIELD_REQUIRED, value_key, source,
           "the key of a source, from `sources:` in the farm file")},
    {WATCH("done", FIELD_OPTIONAL, read_aside, done,
           "a full path, or the name of a folder inside the watched one")},
    {WATCH("refused", FIELD_OPTIONAL, read_aside, refused,
           "a full path, or the name of a folder inside the watched one")},
    {WATCH("settle", FIELD_OPTIONAL, moment_length, settle_s,
           "how long a file must stay as it is, as 10 seconds"),
     .words = moment_length_words, .least = 1, .most = 86400},
    {WATCH("quiet after", FIELD_OPTIONAL, moment_length, quiet_after_s,
           "how long no file may come before somebody is told, as 2 hours"),
     .words = moment_length_words, .least = 60, .most = 366 * 86400},
};

static const struct field_table watch_table = {"watched folder", watch_fields,
                                               ARRAY_LEN(watch_fields)};

static void check_source(struct field_reader *reader, const struct yaml *node,
                         const struct settings_watch *watch)
{
    const struct farm *farm = reader->farm;
    const struct yaml *source = yaml_find(node, "source");

    if (!farm->key || !watch->source || farm_find_source(farm, watch->source) ||
        (watch->farm && !str_equal(watch->farm, farm->key)))
        return;

    const char **keys = ARENA_ARRAY(reader->mem, const char *, farm->sources.count);

    for (size_t i = 0; i < farm->sources.count; i++)
        keys[i] = farm->sources.items[i].source.key;
    field_unknown(reader, source, "source", keys, farm->sources.count);
}

static void read_watch(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    struct settings_watch_list *list = into;

    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct settings_watch watch = {.done = "done", .refused = "refused", .settle_s = SETTLE_S};

        if (!field_read_map(reader, &watch_table, node, &watch) || !watch.folder)
            continue;
        for (size_t j = 0; j < list->count; j++)
            if (str_equal(list->items[j].folder, watch.folder))
                field_problem(reader, yaml_find(node, "folder"), NULL,
                              "the folder '%s' is watched already",
                              str_show(reader->mem, watch.folder, FARM_KEY_MOST));
        if (str_equal(watch.done, watch.refused))
            field_problem(reader, node, NULL, "`done` and `refused` are the same folder");
        check_source(reader, node, &watch);
        LIST_ADD(reader->mem, list, watch);
    }
}

/* --- mail ------------------------------------------------------------------------------------ */

static const char *const tls_words[] = {"starttls", "from the start", "none", NULL};

#define MAIL(key, need, read, member, expected)                                                    \
    FIELD(key, need, read, struct settings_mail, member, expected)

static const struct field mail_fields[] = {
    {MAIL("server", FIELD_REQUIRED, value_text, server, "the name of a mail server")},
    {MAIL("tls", FIELD_OPTIONAL, value_choice, tls, "how the connection is made safe"),
     .words = tls_words, .note = "Without it starttls. None is for a server on this machine."},
    {MAIL("port", FIELD_OPTIONAL, value_count, port, "a number from 1 to 65535"), .least = 1,
     .most = PORT_MOST},
    {MAIL("from", FIELD_REQUIRED, value_text, from, "the address that mail comes from")},
    {MAIL("user", FIELD_OPTIONAL, value_text, user, "the name to log in with")},
    {MAIL("secret", FIELD_OPTIONAL, value_key, secret, "the name of a file in secrets/")},
    {MAIL("certificates", FIELD_OPTIONAL, read_path, certificates,
          "a full path, as /etc/ssl/own-authority.pem"),
     .note = "A PEM file of the authorities to trust instead of the system's."},
};

static const struct field_table mail_table = {"mail server", mail_fields, ARRAY_LEN(mail_fields)};

/* The same machine, whose talk with itself nobody else hears. */
static bool is_this_machine(const char *host, size_t length)
{
    static const char *const names[] = {"localhost", "127.0.0.1", "[::1]", "::1"};

    for (size_t i = 0; i < ARRAY_LEN(names); i++)
        if (strlen(names[i]) == length && strncmp(names[i], host, length) == 0)
            return true;

    return false;
}

static void read_mail(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    struct settings_mail *mail = into;

    (void)field;
    if (!field_read_map(reader, &mail_table, value, mail) || !mail->server)
        return;
    if (mail->port == 0)
        mail->port = mail->tls == SETTINGS_TLS_FROM_START ? PORT_SUBMISSION_TLS : PORT_SUBMISSION;
    if (mail->from && !mail_is_address(mail->from))
        field_problem(reader, yaml_find(value, "from"), NULL,
                      "'%s' can't be `from`: expected one address, as weirbook@example.org",
                      str_show(reader->mem, mail->from, FARM_KEY_MOST));
    if (!mail->user != !mail->secret)
        field_problem(reader, value, NULL,
                      "`user` and `secret` go together: expected both or none");
    if (mail->tls == SETTINGS_TLS_NONE && !is_this_machine(mail->server, strlen(mail->server)))
        field_problem(reader, yaml_find(value, "tls"),
                      "Everybody on the way could read and change the mail.",
                      "`tls: none` is only for a server on this machine, as localhost");
}

/* --- webhooks -------------------------------------------------------------------------------- */

#define HOOK(key, need, read, member, expected)                                                    \
    FIELD(key, need, read, struct settings_webhook, member, expected)

static const struct field webhook_fields[] = {
    {HOOK("key", FIELD_REQUIRED, value_key, key, "a short name in lower case")},
    {HOOK("url", FIELD_REQUIRED, value_text, url, "an address that begins with https://")},
    {HOOK("secret", FIELD_REQUIRED, value_key, secret, "the name of a file in secrets/")},
};

static const struct field_table webhook_table = {"webhook", webhook_fields,
                                                 ARRAY_LEN(webhook_fields)};

static bool url_is_safe(const char *url)
{
    static const char plain[] = "http://";
    const char *host = url + sizeof(plain) - 1;

    if (strpbrk(url, " \t\r\n"))
        return false;
    if (str_starts(url, "https://"))
        return strlen(url) > sizeof("https://") - 1;
    if (!str_starts(url, plain))
        return false;

    size_t length = host[0] == '[' ? strcspn(host, "]") + 1 : strcspn(host, ":/?#");

    return strchr(host, '@') == NULL && is_this_machine(host, length);
}

static void read_webhooks(struct field_reader *reader, const struct field *field,
                          const struct yaml *value, void *into)
{
    struct settings_webhook_list *list = into;

    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct settings_webhook hook = {0};

        if (!field_read_map(reader, &webhook_table, node, &hook) ||
            !value_key_once(reader, &webhook_table, value, i) || !hook.key)
            continue;
        if (hook.url && !url_is_safe(hook.url))
            field_problem(reader, yaml_find(node, "url"), NULL,
                          "'%s' can't be `url`: expected an address that begins with https://, or "
                          "with http:// on this machine",
                          str_show(reader->mem, hook.url, FARM_KEY_MOST));
        LIST_ADD(reader->mem, list, hook);
    }
}

/* --- the file -------------------------------------------------------------------------------- */

static const struct field settings_fields[] = {
    {FIELD("watch", FIELD_OPTIONAL, read_watch, struct machine_settings, watch,
           "a list of watched folders"),
     .inside = &watch_table},
    {FIELD("mail", FIELD_OPTIONAL, read_mail, struct machine_settings, mail,
           "the mail server and how to reach it"),
     .inside = &mail_table},
    {FIELD("webhooks", FIELD_OPTIONAL, read_webhooks, struct machine_settings, webhooks,
           "a list of webhooks"),
     .inside = &webhook_table},
};

static const struct field_table settings_table = {"settings file", settings_fields,
                                                  ARRAY_LEN(settings_fields)};

bool settings_read(struct arena *mem, const char *text, size_t length, const struct farm *farm,
                   struct machine_settings *out, struct farmfile_problems *problems,
                   struct err *err)
{
    struct farm known = farm ? *farm : (struct farm){0}; /* nothing is added to it */
    struct field_reader reader = {.mem = mem, .farm = &known, .problems = problems};
    struct machine_settings settings = {0};

    if (!field_read_file(&reader, &settings_table, text, length, &settings, err))
        return false;
    *out = settings;

    return true;
}

/* --- secrets --------------------------------------------------------------------------------- */

static void close_fd(const int *fd)
{
    if (*fd >= 0)
        close(*fd);
}

/* That nobody else on the machine may do what `mode` says with the open file. */
static bool is_private(int fd, const char *path, mode_t others, const char *what, struct err *err)
{
    struct stat status;

    if (fstat(fd, &status) != 0)
        return file_fail(err, errno, "look at", path);
    if (!S_ISREG(status.st_mode))
        return err_set(err, ERR_INVALID, "%s is not a plain file", path);
    if (status.st_uid != geteuid() && status.st_uid != 0 && geteuid() != 0) {
        err_set(err, ERR_DENIED, "%s belongs to another user", path);
        return err_hint(err, "Give it to the user that weirbook runs as.");
    }
    if (status.st_mode & others) {
        err_set(err, ERR_DENIED, "%s has mode %04o: others on this machine may %s it", path,
                (unsigned)status.st_mode & 07777, what);
        return err_hint(err, "Run: chmod %s %s", others & 0044 ? "0600" : "go-w", path);
    }

    return true;
}

bool settings_secret(struct arena *mem, const char *folder, const char *name, const char **out,
                     struct err *err)
{
    const char *path = arena_printf(mem, "%s/secrets/%s", folder, name);
    CLEANUP(close_fd) int fd = open(path, O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
    char *text = arena_alloc(mem, SETTINGS_SECRET_MOST + 2);

    if (fd < 0) {
        file_fail(err, errno, "read the secret", path);
        return err_hint(err, "A secret is one line in a plain file of mode 0600, of the user that "
                             "weirbook runs as.");
    }
    if (!is_private(fd, path, 0077, "read", err))
        return false;

    ssize_t count = read(fd, text, SETTINGS_SECRET_MOST + 1);

    if (count < 0)
        return file_fail(err, errno, "read the secret", path);
    text[count] = '\0';
    if (count > SETTINGS_SECRET_MOST || strlen(text) != (size_t)count)
        return err_set(err, ERR_INVALID, "%s is no secret of one line, at most %d bytes", path,
                       SETTINGS_SECRET_MOST);
    text[strcspn(text, "\r\n")] = '\0';
    if (*text == '\0')
        return err_set(err, ERR_INVALID, "%s is empty", path);
    *out = text;

    return true;
}

static bool secrets_load(struct arena *mem, const char *folder, struct machine_settings *settings,
                         struct err *err)
{
    if (settings->mail.secret &&
        !settings_secret(mem, folder, settings->mail.secret, &settings->mail.password, err))
        return false;
    for (size_t i = 0; i < settings->webhooks.count; i++) {
        struct settings_webhook *hook = &settings->webhooks.items[i];

        if (!settings_secret(mem, folder, hook->secret, &hook->sign_with, err))
            return false;
    }

    return true;
}

/* The file's text; "" when there is none. */
static bool text_load(struct arena *mem, const char *path, char **text, size_t *length,
                      struct err *err)
{
    CLEANUP(close_fd) int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);

    *text = arena_strdup(mem, "");
    *length = 0;
    if (fd < 0 && errno == ENOENT)
        return true;
    if (fd < 0)
        return file_fail(err, errno, "read", path);

    return is_private(fd, path, 0022, "change", err) &&
           file_read(mem, path, SETTINGS_BYTES_MOST, text, length, err);
}

bool settings_load(struct arena *mem, const char *folder, const struct farm *farm,
                   const struct machine_settings **out, struct farmfile_problems *problems,
                   struct err *err)
{
    const char *path = arena_printf(mem, "%s/%s", folder, SETTINGS_FILE);
    struct machine_settings *settings = ARENA_NEW(mem, struct machine_settings);
    size_t length = 0;
    char *text = NULL;

    if (!text_load(mem, path, &text, &length, err))
        return false;
    if (!settings_read(mem, text, length, farm, settings, problems, err))
        return err_wrap(err, "%s", path);
    if (!secrets_load(mem, folder, settings, err))
        return false;
    *out = settings;

    return true;
}
