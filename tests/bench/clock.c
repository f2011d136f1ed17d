/*
 * Runs a command and appends one line to a file: the wall time in milliseconds, the most memory it
 * had resident, in kilobytes, and the processor's time that it took, in milliseconds.
 *
 *     bench_clock FILE COMMAND [WORD...]
 *
 * Ends as the command did.
 */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

static int64_t now_us(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);

    return (int64_t)now.tv_sec * 1000000 + now.tv_nsec / 1000;
}

static double ms_of(const struct timeval *time)
{
    return (double)time->tv_sec * 1000 + (double)time->tv_usec / 1000;
}

int main(int argc, char **argv)
{
    struct rusage used = {0};
    int status = 0;

    if (argc < 3) {
        fputs("usage: bench_clock FILE COMMAND [WORD...]\n", stderr);
        return 2;
    }

    int64_t began = now_us();
    pid_t pid = fork();

    if (pid == 0) {
        execvp(argv[2], argv + 2);
        perror(argv[2]);
        _exit(127);
    }
    if (pid < 0 || wait4(pid, &status, 0, &used) != pid) {
        perror("bench_clock");
        return 1;
    }

    int64_t took = now_us() - began;
    FILE *file = fopen(argv[1], "a");

    if (!file ||
        fprintf(file, "%.3f %ld %.3f\n", (double)took / 1000, used.ru_maxrss,
                ms_of(&used.ru_utime) + ms_of(&used.ru_stime)) < 0 ||
        fclose(file) != 0) {
        perror(argv[1]);
        return 1;
    }

    return WIFEXITED(status) ? WEXITSTATUS(status) : 1;
}
