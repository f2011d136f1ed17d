#include "base/thread.h"

#include <sched.h>
#include <signal.h>

bool thread_begin(pthread_t *out, void *(*run)(void *context), void *context)
{
    sigset_t all;
    sigset_t before;

    sigfillset(&all);
    pthread_sigmask(SIG_SETMASK, &all, &before);

    bool begun = pthread_create(out, NULL, run, context) == 0;

    pthread_sigmask(SIG_SETMASK, &before, NULL);

    return begun;
}

size_t thread_processors(void)
{
    cpu_set_t set;

    /* Those that this program may use, which a container may have cut. */
    if (sched_getaffinity(0, sizeof(set), &set) != 0)
        return 1;

    int count = CPU_COUNT(&set);

    return count > 0 ? (size_t)count : 1;
}
