#include "cluster/child.h"

#include <errno.h>
#include <fcntl.h>
#include <linux/close_range.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/file.h"

/* What a child tells us through the pipe before it becomes the program. */
enum report_step { AT_PID, AT_ACCOUNT, AT_FOLDER, AT_OUTPUT, AT_PROGRAM };

struct report {
    enum report_step step;
    int number; /* the process number at AT_PID, else errno */
};

struct tube {
    int out; /* we read here */
    int in;  /* and write here */
};

#define TUBE_NONE ((struct tube){-1, -1})

static bool tube_open(struct tube *tube)
{
    int ends[2];

    if (pipe2(ends, O_CLOEXEC) != 0)
        return false;
    *tube = (struct tube){.out = ends[0], .in = ends[1]};

    return true;
}

/* The other side sees the end only when nobody can write any more. */
static void tube_close_in(struct tube *tube)
{
    if (tube->in >= 0)
        close(tube->in);
    tube->in = -1;
}

static void tube_close(struct tube *tube)
{
    tube_close_in(tube);
    if (tube->out >= 0)
        close(tube->out);
    tube->out = -1;
}

/* Everything below this line until child_exec ends runs in the child: async-signal-safe only. */

static void tell(int report_fd, struct report report)
{
    if (write(report_fd, &report, sizeof(report)) != (ssize_t)sizeof(report))
        _exit(126);
}

NORETURN static void give_up(int report_fd, enum report_step step)
{
    tell(report_fd, (struct report){.step = step, .number = errno});
    _exit(126);
}

/* What the caller ignores or holds back, the program must not. */
static void reset_signals(void)
{
    const struct sigaction usual = {.sa_handler = SIG_DFL};
    sigset_t none;

    for (int number = 1; number < NSIG; number++)
        sigaction(number, &usual, NULL);
    sigemptyset(&none);
    sigprocmask(SIG_SETMASK, &none, NULL);
}

static bool set_streams(const struct child *child, int input_fd)
{
    int in = input_fd >= 0 ? input_fd : open("/dev/null", O_RDONLY);
    int out = open(child->output, O_WRONLY | O_CREAT | O_TRUNC | O_NOFOLLOW, 0600);

    return in >= 0 && out >= 0 && dup2(in, 0) == 0 && dup2(out, 1) == 1 && dup2(out, 2) == 2;
}

NORETURN static void child_exec(const struct child *child, int input_fd, int report_fd)
{
    static char *const environment[] = {"PATH=/usr/sbin:/usr/bin:/sbin:/bin", "LANG=C", "HOME=/",
                                        NULL};

    reset_signals();
    umask(077);
    if (!account_become(child->account))
        give_up(report_fd, AT_ACCOUNT);
    if (chdir(child->folder) != 0)
        give_up(report_fd, AT_FOLDER);
    if (!set_streams(child, input_fd))
        give_up(report_fd, AT_OUTPUT);
    /* Without it (before Linux 5.11) our own files still close themselves. */
    close_range(3, ~0U, CLOSE_RANGE_CLOEXEC);
    if (child->keep >= 0)
        fcntl(child->keep, F_SETFD, 0);
    execve(child->argv[0], child->argv, environment);
    give_up(report_fd, AT_PROGRAM);
}

/* From here on we are the parent again. */

static bool report_fail(const struct child *child, struct report report, struct err *err)
{
    switch (report.step) {
    case AT_ACCOUNT:
        return err_set(err, ERR_DENIED, "can't become the account '%s' (system error %d)",
                       child->account->name, report.number);
    case AT_FOLDER:
        file_fail(err, report.number, "enter", child->folder);
        return err_wrap(err, "as the account '%s'", child->account->name);
    case AT_OUTPUT:
        file_fail(err, report.number, "write", child->output);
        return err_wrap(err, "as the account '%s'", child->account->name);
    case AT_PROGRAM:
        return file_fail(err, report.number, "run", child->argv[0]);
    case AT_PID:
        break;
    }

    return err_set(err, ERR_BUG, "child reported step %d", (int)report.step);
}

/* Read what the child has to say until the pipe closes: it runs the program, or is gone. */
static bool hear(const struct child *child, int report_fd, pid_t *pid, struct err *err)
{
    struct report report;

    for (;;) {
        ssize_t got = read(report_fd, &report, sizeof(report));

        if (got < 0 && errno == EINTR)
            continue;
        if (got != (ssize_t)sizeof(report))
            return true;
        if (report.step != AT_PID)
            return report_fail(child, report, err);
        *pid = report.number;
    }
}

static int wait_for(pid_t pid)
{
    int status = 0;

    while (waitpid(pid, &status, 0) < 0) {
        if (errno != EINTR)
            return -1;
    }

    return status;
}

static bool no_process(struct err *err)
{
    return err_set(err, ERR_UNAVAILABLE, "can't start another process (system error %d)", errno);
}

static bool ended_well(const struct child *child, int status, struct err *err)
{
    const char *slash = strrchr(child->argv[0], '/');
    const char *name = slash ? slash + 1 : child->argv[0];

    if (WIFEXITED(status) && WEXITSTATUS(status) == 0)
        return true;
    if (WIFSIGNALED(status))
        return err_set(err, ERR_UNAVAILABLE, "%s was ended by signal %d", name, WTERMSIG(status));

    return err_set(err, ERR_UNAVAILABLE, "%s ended with status %d", name, WEXITSTATUS(status));
}

/* The text fits a pipe, so that writing it before anybody reads can't wait. */
static bool fill_input(const char *input, int fd, struct err *err)
{
    size_t length = strlen(input);

    if (length > 4096 || write(fd, input, length) != (ssize_t)length)
        return err_set(err, ERR_BUG, "input of %zu bytes for a child", length);

    return true;
}

bool child_run(const struct child *child, struct err *err)
{
    CLEANUP(tube_close) struct tube report = TUBE_NONE;
    CLEANUP(tube_close) struct tube input = TUBE_NONE;
    pid_t unused = 0;

    if (!tube_open(&report) || (child->input && !tube_open(&input)))
        return no_process(err);
    if (child->input && !fill_input(child->input, input.in, err))
        return false;

    pid_t pid = fork();

    if (pid < 0)
        return no_process(err);
    if (pid == 0)
        child_exec(child, input.out, report.in);
    tube_close_in(&report);
    tube_close_in(&input);

    bool ran = hear(child, report.out, &unused, err);
    int status = wait_for(pid);

    return ran && ended_well(child, status, err);
}

bool child_start(const struct child *child, pid_t *pid, struct err *err)
{
    CLEANUP(tube_close) struct tube report = TUBE_NONE;
    pid_t started = 0;

    if (!tube_open(&report))
        return no_process(err);

    pid_t between = fork();

    if (between < 0)
        return no_process(err);
    if (between == 0) {
        /* A session of its own: a key pressed in our terminal does not reach it. */
        setsid();

        pid_t last = fork();

        if (last != 0)
            _exit(last < 0);
        tell(report.in, (struct report){.step = AT_PID, .number = getpid()});
        child_exec(child, -1, report.in);
    }
    tube_close_in(&report);
    wait_for(between);
    if (!hear(child, report.out, &started, err))
        return false;
    if (started == 0)
        return err_set(err, ERR_UNAVAILABLE, "can't start another process");

    *pid = started;

    return true;
}
