/*
 * Settings: what belongs to the machine and not to the farm: folders that are watched, how mail
 * leaves, where webhooks go. They stand in `weirbook.conf` in the data folder, in the form of the
 * farm file; every problem is told with its line and column.
 *
 * The file holds no secret, it names them: a secret is a file of that name in the folder
 * `secrets/` beside it, one line, mode 0600. What others on the machine may read is refused.
 *
 *     watch:
 *       - folder: /srv/logger
 *         source: logger
 *         settle: 10 seconds
 *         quiet after: 2 hours
 *     mail:
 *       server: mail.example.org
 *       port: 587
 *       tls: starttls
 *       from: weirbook@example.org
 *       user: weirbook
 *       secret: mail
 *     webhooks:
 *       - {key: control-room, url: "https://example.org/hook", secret: control-room}
 */
#ifndef FARMFILE_SETTINGS_H
#define FARMFILE_SETTINGS_H

#include "farmfile/farmfile.h"

#define SETTINGS_FILE "weirbook.conf"

enum {
    SETTINGS_BYTES_MOST = 1024 * 1024,
    SETTINGS_SECRET_MOST = 4096, /* bytes of a secret */
};

struct settings_watch {
    const char *folder;  /* full path */
    const char *farm;    /* key of the farm whose files come there; NULL: of any */
    const char *source;  /* key of a source of that farm */
    const char *done;    /* where a file goes once it is taken in: full path, or a name in folder */
    const char *refused; /* where one goes that can't be: the same */
    int settle_s;        /* a file is left alone until it was the same for so long */
    int quiet_after_s;   /* with no new file for so long the folder is quiet; 0: not told */
};

struct settings_watch_list {
    struct settings_watch *items;
    size_t count;
    size_t capacity;
};

enum settings_tls {
    SETTINGS_TLS_STARTTLS,   /* "starttls": a plain connection that must turn to TLS, RFC 3207 */
    SETTINGS_TLS_FROM_START, /* "from the start": RFC 8314 */
    SETTINGS_TLS_NONE,       /* "none": only for a server on this machine */
};

struct settings_mail {
    const char *server; /* NULL: no mail leaves */
    int port;
    enum settings_tls tls;
    const char *from;         /* an address */
    const char *user;         /* NULL: the server asks for none */
    const char *secret;       /* its name; NULL with user */
    const char *password;     /* what the secret's file holds */
    const char *certificates; /* full path of a PEM file of whom to trust; NULL: whom the system
                                 trusts */
};

struct settings_webhook {
    const char *key;
    const char *url;       /* https, or http to this machine alone */
    const char *secret;    /* its name */
    const char *sign_with; /* what the secret's file holds */
};

struct settings_webhook_list {
    struct settings_webhook *items;
    size_t count;
    size_t capacity;
};

struct machine_settings {
    struct settings_watch_list watch;
    struct settings_mail mail;
    struct settings_webhook_list webhooks;
};

/*
 * Read FOLDER/weirbook.conf and the secrets it names; without such a file all is empty. Sources
 * are looked up in `farm` (NULL: not looked up) where the entry is of that farm. True with *out
 * when all is sound. On problems: false, err has the first with its place, `problems` all of them.
 *
 * ERR_INVALID: something in it is wrong. ERR_DENIED: others may write the file, or read a secret.
 */
MUST_CHECK bool settings_load(struct arena *mem, const char *folder, const struct farm *farm,
                              const struct machine_settings **out,
                              struct farmfile_problems *problems, struct err *err);

/* The rules of `text` alone, without secrets: for settings_load() and tests. */
MUST_CHECK bool settings_read(struct arena *mem, const char *text, size_t length,
                              const struct farm *farm, struct machine_settings *out,
                              struct farmfile_problems *problems, struct err *err);

/*
 * The secret of that name: the one line in FOLDER/secrets/NAME, without its line end. Links are
 * not followed.
 *
 * ERR_NOT_FOUND, ERR_DENIED (others may read it, with the command that mends it), ERR_INVALID.
 */
MUST_CHECK bool settings_secret(struct arena *mem, const char *folder, const char *name,
                                const char **out, struct err *err);

#endif
