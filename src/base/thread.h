/*
 * Thread: beginning one. Signals stay with the thread that the program began with.
 */
#ifndef BASE_THREAD_H
#define BASE_THREAD_H

#include <pthread.h>
#include <stdbool.h>
#include <stddef.h>

/* Begin a thread, to be joined; false: the machine gives none. */
bool thread_begin(pthread_t *out, void *(*run)(void *context), void *context);

/* How many of them can work at the same time; at least 1. */
size_t thread_processors(void);

#endif
