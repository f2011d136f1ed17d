/*
 * The private cluster's life, with real servers: who starts it, who stops it, and what a kill -9
 * of any of them leaves. Expected behaviour of PostgreSQL: its manual, chapters 19.3 (starting),
 * 19.5 (shutting down) and 20.10 (peer authentication).
 */
#include <time.h>

#include "cluster/place.h"
#include "cluster/server.h"
#include "cluster/socket.h"

enum { TOGETHER_TIMES = 30, DURING_STOP_TIMES = 15 };

static int make_once(void **state)
{
    struct cluster *cluster = NULL;
    struct err err = ERR_INIT;

    if (place_setup(state) != 0)
        return -1;
    /* What a making that was interrupted left behind is no hindrance. */
    if (!file_make_folders(at(made, ""), 0755, &err) || !cluster_hold(made, true, &cluster, &err)) {
        fprintf(stderr, "%s\n", err.text);
        return -1;
    }
    cluster_leave(&cluster);

    return 0;
}

static void the_last_to_leave_stops_it(void **state)
{
    struct cluster *first = must_hold(made);
    struct cluster *second = must_hold(made);

    (void)state;
    assert_true(cluster_running(made));
    cluster_leave(&first);
    assert_null(first);
    assert_string_equal(ask(second, "select 1"), "1");
    cluster_leave(&second);
    assert_false(cluster_running(made));
    assert_false(file_exists(at(made, "postgres/postmaster.pid")));
}

static void the_starter_exits_first_and_another_still_works(void **state)
{
    struct other starter = other_holds(made);

    (void)state;
    other_is_ready(&starter);

    pid_t server = server_pid(made);
    struct cluster *cluster = must_hold(made);

    other_leaves(&starter);
    assert_int_equal(other_ended(&starter), 0);
    assert_int_equal(server_pid(made), server);
    assert_string_equal(ask(cluster, "select 2"), "2");
    cluster_leave(&cluster);
    assert_false(cluster_running(made));
}

static void two_that_leave_in_the_same_moment_leave_no_server(void **state)
{
    (void)state;
    for (int i = 0; i < TOGETHER_TIMES; i++) {
        struct other one = other_holds(made);
        struct other two = other_holds(made);

        other_is_ready(&one);
        other_is_ready(&two);
        other_leaves(&one);
        other_leaves(&two);
        assert_int_equal(other_ended(&one), 0);
        assert_int_equal(other_ended(&two), 0);
        if (cluster_running(made))
            fail_msg("time %d: the server still runs", i);
    }
}

static void a_killed_starter_leaves_a_server_that_the_next_uses_and_stops(void **state)
{
    struct other starter = other_holds(made);

    (void)state;
    other_is_ready(&starter);

    pid_t server = server_pid(made);

    kill(starter.pid, SIGKILL);
    other_ended(&starter);
    assert_true(cluster_running(made));

    struct cluster *cluster = must_hold(made);

    assert_int_equal(server_pid(made), server);
    assert_string_equal(ask(cluster, "select 3"), "3");
    cluster_leave(&cluster);
    assert_false(cluster_running(made));
}

static void a_killed_server_comes_back_with_what_was_committed(void **state)
{
    struct cluster *cluster = must_hold(made);

    (void)state;
    assert_string_equal(ask(cluster, "create table kept as select 42 as n"), "");

    pid_t server = server_pid(made);

    kill(server, SIGKILL);
    for (int i = 0; i < 500 && cluster_running(made); i++)
        usleep(10000);

    struct cluster *again = must_hold(made);

    assert_int_not_equal(server_pid(made), server);
    assert_string_equal(ask(again, "select n from kept"), "42");
    assert_string_equal(ask(again, "drop table kept"), "");
    cluster_leave(&cluster);
    cluster_leave(&again);
    assert_false(cluster_running(made));
}

static void a_start_during_a_stop_gets_a_working_server(void **state)
{
    (void)state;
    for (int i = 0; i < DURING_STOP_TIMES; i++) {
        struct other leaving = other_holds(made);

        other_is_ready(&leaving);
        other_leaves(&leaving);
        usleep((unsigned)i * 3000);

        struct cluster *cluster = must_hold(made);

        assert_string_equal(ask(cluster, "select 4"), "4");
        assert_int_equal(other_ended(&leaving), 0);
        assert_string_equal(ask(cluster, "select 5"), "5");
        cluster_leave(&cluster);
        assert_false(cluster_running(made));
    }
}

/* A process of the server's own account that does nothing, or has ended and is not yet reaped. */
static pid_t bystander(bool ended)
{
    pid_t pid = fork();

    if (pid != 0) {
        usleep(20000);
        return pid;
    }

    const struct passwd *entry = geteuid() == 0 ? getpwnam("weirbook") : NULL;

    if (entry && setuid(entry->pw_uid) != 0)
        _exit(1);
    alarm(60);
    if (!ended)
        pause();
    _exit(0);
}

static void an_old_pid_file_that_names_somebody_else_is_no_hindrance(void **state)
{
    const struct {
        pid_t pid;
        const char *why;
    } rows[] = {
        {bystander(false), "a live process of the same account: its number was given out again"},
        {bystander(true), "one that ended and was never reaped, as in some containers"},
        {1, "the first process of the machine"},
        {2147480000, "no process at all"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const char *text = arena_printf(mem, "%d\n%s/postgres\n1\n5432\n%s/run\n\n1 1\nready   \n",
                                        (int)rows[i].pid, made, made);
        struct err err = ERR_INIT;

        assert_done(file_write(at(made, "postgres/postmaster.pid"), text, strlen(text), 0600, &err),
                    &err);
        assert_done(file_write(at(made, "run/.s.PGSQL.5432.lock"), text, strlen(text), 0600, &err),
                    &err);
        assert_false(cluster_running(made));

        struct cluster *cluster = must_hold(made);

        if (!str_equal(ask(cluster, "select 6"), "6"))
            fail_msg("%s", rows[i].why);
        cluster_leave(&cluster);
        assert_false(cluster_running(made));
    }
    assert_int_equal(kill(rows[0].pid, 0), 0); /* it was left alone */
    kill(rows[0].pid, SIGKILL);
    waitpid(rows[0].pid, NULL, 0);
    waitpid(rows[1].pid, NULL, 0);
}

static void a_server_that_does_not_come_up_says_why(void **state)
{
    static const char bad[] = "shared_buffers = 'lots'\n";
    struct cluster *cluster = NULL;
    struct err err = ERR_INIT;
    char *before = NULL;
    size_t length = 0;

    (void)state;
    assert_done(
        file_read(mem, at(made, "postgres/postgresql.auto.conf"), 65536, &before, &length, &err),
        &err);

    struct stat owner;

    assert_int_equal(stat(at(made, "postgres"), &owner), 0);
    assert_done(file_write(at(made, "postgres/postgresql.auto.conf"), bad, strlen(bad), 0644, &err),
                &err);
    assert_false(cluster_hold(made, false, &cluster, &err));
    assert_int_equal(err.code, ERR_UNAVAILABLE);
    assert_non_null(strstr(err.text, "shared_buffers"));
    assert_null(cluster);
    assert_done(file_write(at(made, "postgres/postgresql.auto.conf"), before, length, 0600, &err),
                &err);
    assert_int_equal(lchown(at(made, "postgres/postgresql.auto.conf"), owner.st_uid, owner.st_gid),
                     0);
}

static void a_server_whose_socket_somebody_deleted_is_told_and_not_waited_for(void **state)
{
    struct other user = other_holds(made);
    struct cluster *cluster = NULL;
    struct err err = ERR_INIT;

    (void)state;
    other_is_ready(&user);

    pid_t server = server_pid(made);
    struct server found = server_look(mem, at(made, "postgres"));
    time_t began = time(NULL);

    assert_int_equal(unlink(arena_printf(mem, "%s/" SOCKET_NAME, found.socket_folder)), 0);
    assert_false(cluster_hold(made, false, &cluster, &err));
    assert_in_range(time(NULL) - began, 10, 60);
    assert_int_equal(err.code, ERR_UNAVAILABLE);
    assert_non_null(strstr(err.text, "can't be reached"));
    assert_non_null(strstr(err.hint, arena_printf(mem, "kill -INT %d", (int)server)));
    /* What the hint says helps. */
    kill(server, SIGINT);
    for (int i = 0; i < 3000 && server_look(mem, at(made, "postgres")).state != SERVER_NONE; i++)
        usleep(10000);
    other_leaves(&user);
    other_ended(&user);
    cluster = must_hold(made);
    assert_string_equal(ask(cluster, "select 4"), "4");
    cluster_leave(&cluster);
}

static void root_and_the_account_share_one_server(void **state)
{
    (void)state;
    if (geteuid() != 0)
        skip();

    struct cluster *cluster = must_hold(made);
    pid_t server = server_pid(made);
    pid_t pid = fork();
    int status = 0;

    if (pid == 0) {
        const struct passwd *entry = getpwnam("weirbook");
        struct cluster *own = NULL;
        struct err err = ERR_INIT;

        if (setgid(entry->pw_gid) != 0 || setuid(entry->pw_uid) != 0 ||
            !cluster_hold(made, false, &own, &err)) {
            fprintf(stderr, "as the account: %s\n", err.text);
            _exit(1);
        }
        if (!str_equal(ask(own, "select 7"), "7"))
            _exit(2);
        cluster_leave(&own);
        _exit(cluster_running(made) ? 0 : 3);
    }
    waitpid(pid, &status, 0);
    assert_int_equal(status, 0);
    assert_int_equal(server_pid(made), server);
    cluster_leave(&cluster);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define ROW(test) cmocka_unit_test_teardown(test, made_is_stopped)
        ROW(the_last_to_leave_stops_it),
        ROW(the_starter_exits_first_and_another_still_works),
        ROW(two_that_leave_in_the_same_moment_leave_no_server),
        ROW(a_killed_starter_leaves_a_server_that_the_next_uses_and_stops),
        ROW(a_killed_server_comes_back_with_what_was_committed),
        ROW(a_start_during_a_stop_gets_a_working_server),
        ROW(an_old_pid_file_that_names_somebody_else_is_no_hindrance),
        ROW(a_server_that_does_not_come_up_says_why),
        ROW(a_server_whose_socket_somebody_deleted_is_told_and_not_waited_for),
        ROW(root_and_the_account_share_one_server),
#undef ROW
    };

    return cmocka_run_group_tests_name("cluster/cluster", tests, make_once, place_teardown);
}
