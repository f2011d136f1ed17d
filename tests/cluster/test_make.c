/*
 * How the cluster is made, closed and refused. Settings: PostgreSQL manual, chapter 20; the limit
 * of a socket's path: unix(7), sun_path of 108 bytes with its NUL.
 */
#include <dirent.h>
#include <errno.h>
#include <sched.h>
#include <sys/mount.h>
#include <unistd.h>

#include "cluster/place.h"
#include "cluster/socket.h"
#include "harness/cmocka.h"

static int make_once(void **state)
{
    struct cluster *cluster = NULL;
    struct err err = ERR_INIT;
    char *rubbish = NULL;

    if (place_setup(state) != 0)
        return -1;
    /* A making that was interrupted left this: no hindrance. */
    rubbish = arena_printf(mem, "%s/postgres.new/base/1", made);
    if (!file_make_folders(rubbish, 0755, &err) || chmod(made, 0755) != 0 ||
        !file_write(arena_printf(mem, "%s/PG_VERSION", rubbish), "", 0, 0600, &err))
        return -1;
    if (geteuid() == 0 && lchown(made, getpwnam("weirbook")->pw_uid, (gid_t)-1) != 0)
        return -1;
    for (const char *const *part =
             (const char *const[]){"", "/base", "/base/1", "/base/1/PG_VERSION", NULL};
         *part; part++) {
        const char *path = arena_printf(mem, "%s/postgres.new%s", made, *part);

        if (geteuid() == 0 && lchown(path, getpwnam("weirbook")->pw_uid, (gid_t)-1) != 0)
            return -1;
    }
    if (!cluster_hold(made, true, &cluster, &err)) {
        fprintf(stderr, "%s (%s)\n", err.text, err.hint);
        return -1;
    }
    cluster_leave(&cluster);

    return 0;
}

static void the_server_is_set_as_agreed(void **state)
{
    const struct {
        const char *statement;
        const char *answer;
    } rows[] = {
        {"show data_checksums", "on"},
        {"show listen_addresses", ""},
        {"show unix_socket_permissions", "0700"},
        {"show fsync", "on"},
        {"show full_page_writes", "on"},
        {"show shared_buffers", "64MB"},
        {"show max_connections", "40"},
        {"show wal_compression", "lz4"},
        {"show timezone", "UTC"},
        {"show datestyle", "ISO, YMD"},
        {"show server_encoding", "UTF8"},
        {"show lc_collate", "C"},
        {"show logging_collector", "on"},
        {"show log_filename", "postgres-%a.log"},
        {"select current_database()", "weirbook"},
        {"select count(*) from pg_roles where rolcanlogin", "1"},
        {"select usename from pg_user", "weirbook_admin"},
    };
    struct cluster *cluster = must_hold(made);

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const char *answer = ask(cluster, rows[i].statement);

        if (!str_equal(answer, rows[i].answer))
            fail_msg("%s: '%s' instead of '%s'", rows[i].statement, answer, rows[i].answer);
    }
    cluster_leave(&cluster);
}

/* Whether a line of /proc/net/tcp or tcp6 is about this socket, as "socket:[12345]". */
static bool listed_as_tcp(const char *link)
{
    const char *const tables[] = {"/proc/net/tcp", "/proc/net/tcp6"};
    struct err err = ERR_INIT;
    char *text = NULL;
    size_t length = 0;

    for (size_t i = 0; i < ARRAY_LEN(tables); i++) {
        char *inode = arena_printf(mem, " %ld ", strtol(link + strlen("socket:["), NULL, 10));

        if (file_read(mem, tables[i], 1 << 24, &text, &length, &err) && strstr(text, inode))
            return true;
    }

    return false;
}

static void the_server_has_one_socket_and_it_is_no_network_socket(void **state)
{
    struct cluster *cluster = must_hold(made);
    const char *folder = arena_printf(mem, "/proc/%d/fd", (int)server_pid(made));
    DIR *files = opendir(folder);
    size_t sockets = 0;

    (void)state;
    assert_non_null(files);
    for (struct dirent *entry = readdir(files); entry; entry = readdir(files)) {
        char link[256];
        ssize_t length = readlink(at(folder, entry->d_name), link, sizeof(link) - 1);

        if (length < 0)
            continue;
        link[length] = '\0';
        if (!str_starts(link, "socket:["))
            continue;
        sockets++;
        assert_false(listed_as_tcp(link));
    }
    closedir(files);
    assert_true(sockets >= 1);
    cluster_leave(&cluster);
}

static void everything_is_closed_to_others(void **state)
{
    const char *const closed[] = {"postgres",   "run",        "run/.s.PGSQL.5432",
                                  "start.lock", "users.lock", "start.log"};
    struct cluster *cluster = must_hold(made);

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(closed); i++) {
        struct stat status;

        if (stat(at(made, closed[i]), &status) != 0 || (status.st_mode & 077) != 0)
            fail_msg("%s is open to others: mode %o", closed[i], (unsigned)status.st_mode & 07777);
        if (geteuid() == 0)
            assert_int_equal(status.st_uid, getpwnam("weirbook")->pw_uid);
    }
    cluster_leave(&cluster);
}

static void only_the_four_roles_are_let_in(void **state)
{
    struct cluster *cluster = must_hold(made);

    (void)state;
    ask(cluster, "create role somebody login; create role weirbook_reader login");
    assert_string_equal(ask_as("weirbook_reader", cluster, "select current_user"),
                        "weirbook_reader");
    assert_non_null(strstr(ask_as("somebody", cluster, "select 1"), "Peer authentication failed"));
    ask(cluster, "drop role somebody; drop role weirbook_reader");
    cluster_leave(&cluster);
}

static void the_log_is_a_file_for_the_weekday(void **state)
{
    struct cluster *cluster = must_hold(made);
    size_t found = 0;

    (void)state;
    for (const char *const *day =
             (const char *const[]){"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun", NULL};
         *day; day++)
        found += file_is_plain(arena_printf(mem, "%s/postgres/log/postgres-%s.log", made, *day));
    assert_in_range(found, 1, 2); /* two when midnight passes meanwhile */
    cluster_leave(&cluster);
}

static void without_being_asked_to_nothing_is_made(void **state)
{
    const char *folder = at(place, "nothing-here");
    struct cluster *cluster = NULL;
    struct err err = ERR_INIT;

    (void)state;
    assert_fails(cluster_hold(folder, false, &cluster, &err), ERR_NOT_FOUND, &err);
    assert_non_null(strstr(err.text, folder));
    assert_null(cluster);
    assert_false(file_exists(folder));
    assert_false(cluster_running(folder));
}

static void data_of_another_version_are_refused_and_both_are_named(void **state)
{
    const struct {
        const char *version;
        enum err_code code;
        const char *named;
    } rows[] = {
        {"14\n", ERR_CONFLICT, "made by PostgreSQL 14, and this machine has PostgreSQL 1"},
        {"99\n", ERR_CONFLICT, "made by PostgreSQL 99, and this machine has PostgreSQL 1"},
        {"9.6\n", ERR_INVALID, "does not name a version"},
        {"", ERR_INVALID, "does not name a version"},
    };
    struct err err = ERR_INIT;
    char *before = NULL;
    size_t length = 0;

    (void)state;
    assert_done(file_read(mem, at(made, "postgres/PG_VERSION"), 64, &before, &length, &err), &err);
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct cluster *cluster = NULL;

        assert_done(file_write(at(made, "postgres/PG_VERSION"), rows[i].version,
                               strlen(rows[i].version), 0644, &err),
                    &err);
        assert_fails(cluster_hold(made, true, &cluster, &err), rows[i].code, &err);
        assert_non_null(strstr(err.text, rows[i].named));
        assert_false(cluster_running(made));
    }
    assert_done(file_write(at(made, "postgres/PG_VERSION"), before, length, 0644, &err), &err);
}

/* Move the cluster to another folder of this path, use it there, and move it back. */
static void works_under(const char *folder)
{
    struct err err = ERR_INIT;

    assert_done(file_make_folders(at(folder, "."), 0755, &err), &err);
    folder = at(folder, "data");
    assert_int_equal(rename(made, folder), 0);

    struct cluster *cluster = must_hold(folder);
    const char *conninfo = arena_strdup(mem, cluster_conninfo(cluster));
    const char *answer = ask(cluster, "select 8");

    cluster_leave(&cluster);
    assert_int_equal(rename(folder, made), 0);
    if (!str_equal(answer, "8"))
        fail_msg("%s: %s", conninfo, answer);
}

static void folders_with_awkward_names_work(void **state)
{
    const struct {
        const char *name;
        const char *why;
    } rows[] = {
        {"a-name-so-long-that-the-path-of-the-socket-in-it-is-over-the-limit-of-a-hundred-and-"
         "seven-"
         "bytes-that-the-system-sets",
         "a path too long for a socket"},
        {"one,two", "a comma parts names in libpq and in PostgreSQL"},
        {"it's a \\ farm", "quotes, blanks and backslashes in a connection string"},
        {"Zuchtbecken \xc3\xa4\xc3\xb6", "letters beyond ASCII"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        print_message("%s\n", rows[i].why);
        works_under(at(place, rows[i].name));
    }
}

static void a_socket_path_of_just_the_limit_fits(void **state)
{
    char folder[SOCKET_PATH_MAX + 1] = {0};

    (void)state;
    memset(folder, 'x', SOCKET_PATH_MAX - strlen("/.s.PGSQL.5432"));
    assert_true(socket_folder_fits(folder));
    strcat(folder, "x");
    assert_false(socket_folder_fits(folder));
    assert_false(socket_folder_fits("/srv/a,b"));
}

static void a_closed_parent_is_named_and_nothing_is_made(void **state)
{
    const char *closed = at(place, "closed");
    const char *folder = at(closed, "above/data");
    struct cluster *cluster = NULL;
    struct err err = ERR_INIT;

    (void)state;
    assert_int_equal(mkdir(closed, 0700), 0);
    assert_int_equal(chmod(closed, geteuid() == 0 ? 0700 : 0), 0);
    assert_fails(cluster_hold(folder, true, &cluster, &err), ERR_DENIED, &err);
    assert_int_equal(chmod(closed, 0700), 0);
    assert_non_null(strstr(err.text, closed));
    assert_false(file_exists(at(closed, "above")));
    assert_int_equal(rmdir(closed), 0);
}

static void a_folder_of_files_that_the_account_may_not_change_is_refused(void **state)
{
    const char *folder = at(place, "papers");
    struct cluster *cluster = NULL;
    struct err err = ERR_INIT;

    (void)state;
    if (geteuid() != 0)
        skip();
    assert_int_equal(mkdir(folder, 0755), 0);
    assert_done(file_write(at(folder, "letter.txt"), "", 0, 0644, &err), &err);
    assert_fails(cluster_hold(folder, true, &cluster, &err), ERR_DENIED, &err);
    assert_non_null(strstr(err.text, "can't write in"));
    assert_false(file_exists(at(folder, "start.lock")));
}

static void a_database_of_another_user_is_refused_by_name(void **state)
{
    struct cluster *cluster = NULL;
    struct err err = ERR_INIT;
    struct stat status;

    (void)state;
    if (geteuid() != 0)
        skip();
    assert_int_equal(stat(at(made, "postgres"), &status), 0);
    assert_int_equal(lchown(at(made, "postgres"), 0, 0), 0);
    assert_fails(cluster_hold(made, true, &cluster, &err), ERR_DENIED, &err);
    assert_non_null(strstr(err.text, "belongs to 'root'"));
    assert_int_equal(lchown(at(made, "postgres"), status.st_uid, status.st_gid), 0);
}

/* In a child with an /etc/passwd of its own, where the account is not. */
static int root_without_the_account(const char *passwd)
{
    struct cluster *cluster = NULL;
    struct err err = ERR_INIT;

    if (unshare(CLONE_NEWNS) != 0 || mount(NULL, "/", NULL, MS_REC | MS_PRIVATE, NULL) != 0 ||
        mount(passwd, "/etc/passwd", NULL, MS_BIND, NULL) != 0)
        return 77;
    if (cluster_hold(made, true, &cluster, &err) || err.code != ERR_DENIED ||
        !strstr(err.hint, "adduser --system --group --home /var/lib/weirbook --no-create-home "
                          "weirbook"))
        return 1;

    return 0;
}

static void root_without_the_account_is_told_how_to_make_it(void **state)
{
    static const char passwd[] = "root:x:0:0:root:/root:/bin/sh\n";
    struct err err = ERR_INIT;
    int status = 0;

    (void)state;
    if (geteuid() != 0)
        skip();
    assert_done(file_write(at(place, "passwd"), passwd, strlen(passwd), 0644, &err), &err);

    pid_t pid = fork();

    if (pid == 0)
        _exit(root_without_the_account(at(place, "passwd")));
    waitpid(pid, &status, 0);
    if (WIFEXITED(status) && WEXITSTATUS(status) == 77)
        skip(); /* a container that may not mount */
    assert_int_equal(status, 0);
}

static void a_making_that_is_killed_is_done_again(void **state)
{
    const char *folder = at(place, "again");
    struct other maker = other_holds(folder);

    (void)state;
    for (int i = 0; i < 500 && !file_exists(at(folder, "postgres.new/base")); i++)
        usleep(10000);
    assert_false(file_exists(at(folder, "postgres")));
    kill(maker.pid, SIGKILL);
    other_ended(&maker);

    struct other one = other_holds(folder);
    struct other two = other_holds(folder);
    struct cluster *cluster = must_hold(folder);

    other_is_ready(&one);
    other_is_ready(&two);
    assert_string_equal(ask(cluster, "select 9"), "9");
    assert_false(file_exists(at(folder, "postgres.new")));
    assert_false(file_exists(at(folder, "make.log")));
    other_leaves(&one);
    other_leaves(&two);
    assert_int_equal(other_ended(&one), 0);
    assert_int_equal(other_ended(&two), 0);
    cluster_leave(&cluster);
    assert_false(cluster_running(folder));
}

static void the_usual_folder_is_the_system_s_for_root_and_one_s_own_for_others(void **state)
{
    struct err err = ERR_INIT;
    char *folder = NULL;

    (void)state;
    assert_done(cluster_default_folder(mem, &folder, &err), &err);
    if (geteuid() == 0) {
        assert_string_equal(folder, "/var/lib/weirbook");
    } else {
        assert_true(str_starts(folder, getenv("HOME")));
        assert_true(str_ends(folder, "/.local/share/weirbook"));
    }
}

static void room_is_enough_from_500_mb_and_5_percent(void **state)
{
    const struct {
        uint64_t free_mb;
        uint64_t total_mb;
        bool enough;
        const char *why;
    } rows[] = {
        {500, 1000, true, "just 500 MB, half the disk"},
        {499, 1000, false, "below 500 MB, whatever the share"},
        {5000, 100000, true, "just 5 %"},
        {4999, 100000, false, "below 5 %, whatever the amount"},
        {0, 0, false, "a disk that tells nothing"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        if (cluster_room_enough(rows[i].free_mb * 1000000, rows[i].total_mb * 1000000) !=
            rows[i].enough)
            fail_msg("%s", rows[i].why);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define ROW(test) cmocka_unit_test_teardown(test, made_is_stopped)
        ROW(the_server_is_set_as_agreed),
        ROW(the_server_has_one_socket_and_it_is_no_network_socket),
        ROW(everything_is_closed_to_others),
        ROW(only_the_four_roles_are_let_in),
        ROW(the_log_is_a_file_for_the_weekday),
        ROW(without_being_asked_to_nothing_is_made),
        ROW(data_of_another_version_are_refused_and_both_are_named),
        ROW(folders_with_awkward_names_work),
        ROW(a_socket_path_of_just_the_limit_fits),
        ROW(a_closed_parent_is_named_and_nothing_is_made),
        ROW(a_folder_of_files_that_the_account_may_not_change_is_refused),
        ROW(a_database_of_another_user_is_refused_by_name),
        ROW(root_without_the_account_is_told_how_to_make_it),
        ROW(a_making_that_is_killed_is_done_again),
        ROW(the_usual_folder_is_the_system_s_for_root_and_one_s_own_for_others),
        ROW(room_is_enough_from_500_mb_and_5_percent),
#undef ROW
    };

    return cmocka_run_group_tests_name("cluster/make", tests, make_once, place_teardown);
}
