#include "cluster/make.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

#include "base/buf.h"
#include "base/file.h"
#include "base/str.h"
#include "cluster/child.h"
#include "cluster/log_tail.h"
#include "cluster/programs.h"

enum { SETTINGS_BYTES_MAX = 1 << 20 };

/*
 * Our settings. fsync and full_page_writes are not named: they stay on. Read after the rest of
 * postgresql.conf, and before what an administrator sets with ALTER SYSTEM.
 */
static const char settings[] =
    "# Written by weirbook at every start; changes here are lost. To set something else for\n"
    "# good use ALTER SYSTEM as weirbook_admin.\n"
    "\n"
    "# Reached over its socket only, never by network.\n"
    "listen_addresses = ''\n"
    "unix_socket_permissions = 0700\n"
    "max_connections = 40\n"
    "\n"
    "# A small machine that does other things too.\n"
    "shared_buffers = 64MB\n"
    "# Not pglz, which takes several times as long for the pages that are written whole.\n"
    "wal_compression = lz4\n"
    "max_wal_size = 512MB\n"
    "# Compiling statements costs more than it saves over many small partitions.\n"
    "jit = off\n"
    "# A partition a month: a statement over ten years locks more than the usual 64.\n"
    "max_locks_per_transaction = 256\n"
    "\n"
    "timezone = 'UTC'\n"
    "datestyle = 'ISO, YMD'\n"
    "\n"
    "# Seven files, one a weekday, each begun anew after a week.\n"
    "logging_collector = on\n"
    "log_directory = 'log'\n"
    "log_filename = 'postgres-%a.log'\n"
    "log_file_mode = 0600\n"
    "log_rotation_age = 1d\n"
    "log_rotation_size = 0\n"
    "log_truncate_on_rotation = on\n"
    "log_timezone = 'UTC'\n";

static const char who_may_connect[] =
    "# Written by weirbook at every start. Over the socket, as who the system says one is.\n"
    "local all all peer map=weirbook\n"
    "local replication weirbook_admin peer map=weirbook\n";

static const char include_line[] = "\n# Added by weirbook: its own settings.\n"
                                   "include 'weirbook.conf'\n";

/* pg_ident.conf: our account is all four roles; root is too where it is the system account. */
static const char *who_is_who(struct arena *mem, const struct account *account)
{
    static const char *const roles[] = {"weirbook_admin", "weirbook_owner", "weirbook_program",
                                        "weirbook_reader"};
    struct buf buf = buf_new(mem);

    buf_add_text(&buf, "# Written by weirbook at every start: map, system user, role.\n");
    for (size_t i = 0; i < ARRAY_LEN(roles); i++) {
        buf_addf(&buf, "weirbook \"%s\" %s\n", account->name, roles[i]);
        if (account_is_system(account))
            buf_addf(&buf, "weirbook root %s\n", roles[i]);
    }

    return buf.data;
}

static bool write_if_different(struct arena *mem, const char *path, const char *text,
                               struct err *err)
{
    struct err unread = ERR_INIT;
    char *now = NULL;
    size_t length = 0;

    if (file_read(mem, path, SETTINGS_BYTES_MAX, &now, &length, &unread) && str_equal(now, text))
        return true;

    return file_write(path, text, strlen(text), 0600, err);
}

bool make_settings(struct arena *mem, const char *postgres_folder, const struct account *account,
                   struct err *err)
{
    CLEANUP(account_files_end) struct account_files files = account_files_begin(account);
    const struct {
        const char *name;
        const char *text;
    } ours[] = {
        {"weirbook.conf", settings},
        {"pg_hba.conf", who_may_connect},
        {"pg_ident.conf", who_is_who(mem, account)},
    };

    for (size_t i = 0; i < ARRAY_LEN(ours); i++) {
        if (!write_if_different(mem, arena_printf(mem, "%s/%s", postgres_folder, ours[i].name),
                                ours[i].text, err))
            return false;
    }

    return true;
}

static bool add_include_line(struct arena *mem, const struct paths *paths,
                             const struct account *account, struct err *err)
{
    CLEANUP(account_files_end) struct account_files files = account_files_begin(account);
    const char *path = arena_printf(mem, "%s/postgresql.conf", paths->fresh);
    struct buf whole = buf_new(mem);
    char *text = NULL;
    size_t length = 0;

    if (!file_read(mem, path, SETTINGS_BYTES_MAX, &text, &length, err))
        return false;
    buf_add(&whole, text, length);
    buf_add_text(&whole, include_line);

    return file_write(path, whole.data, whole.len, 0600, err);
}

static bool run(struct arena *mem, const struct paths *paths, struct child child, struct err *err)
{
    child.folder = paths->data;
    child.output = paths->make_log;
    if (child_run(&child, err))
        return true;

    const char *said = log_tail(mem, paths->make_log, 3, 100);

    if (*said)
        err_set(err, ERR_UNAVAILABLE, "%s: %s", arena_strdup(mem, err->text), said);

    return err_wrap(err, "can't make the database");
}

static bool run_initdb(struct arena *mem, const struct paths *paths, const struct account *account,
                       const char *programs, int start_fd, struct err *err)
{
    char *argv[] = {
        arena_printf(mem, "%s/initdb", programs),
        "-D",
        paths->fresh,
        "-U",
        "weirbook_admin",
        "-E",
        "UTF8",
        "--locale=C",
        "-k",
        "--auth=peer",
        "--no-instructions",
        NULL,
    };

    return run(mem, paths, (struct child){.account = account, .argv = argv, .keep = start_fd}, err);
}

/* No server runs yet, and none needs to: the single-user mode reads statements from its input. */
static bool add_database(struct arena *mem, const struct paths *paths,
                         const struct account *account, const char *programs, int start_fd,
                         struct err *err)
{
    char *argv[] = {
        arena_printf(mem, "%s/postgres", programs),
        "--single",
        "-D",
        paths->fresh,
        "-c",
        "exit_on_error=on",
        "-c",
        "logging_collector=off",
        "postgres",
        NULL,
    };

    return run(mem, paths,
               (struct child){.account = account,
                              .argv = argv,
                              .input = "create database weirbook;\n",
                              .keep = start_fd},
               err);
}

static bool put_in_place(const struct paths *paths, const struct account *account, struct err *err)
{
    CLEANUP(account_files_end) struct account_files files = account_files_begin(account);

    if (rename(paths->fresh, paths->postgres) != 0)
        return file_fail(err, errno, "put in place", paths->postgres);
    if (remove(paths->make_log) != 0)
        return file_fail(err, errno, "remove", paths->make_log);

    return file_sync_folder(paths->data, err);
}

static bool clear_unfinished(const struct paths *paths, const struct account *account,
                             struct err *err)
{
    CLEANUP(account_files_end) struct account_files files = account_files_begin(account);

    return file_remove_tree(paths->fresh, err);
}

bool make_cluster(struct arena *mem, const struct paths *paths, const struct account *account,
                  int start_fd, struct err *err)
{
    char *programs = NULL;

    return programs_newest(mem, &programs, err) && clear_unfinished(paths, account, err) &&
           run_initdb(mem, paths, account, programs, start_fd, err) &&
           make_settings(mem, paths->fresh, account, err) &&
           add_include_line(mem, paths, account, err) &&
           add_database(mem, paths, account, programs, start_fd, err) &&
           put_in_place(paths, account, err);
}
