/*
 * Interrupt: a person presses Ctrl-C, or a service is told to stop. Long work looks at the flag
 * and stops where nothing is half done; a second signal ends the program at once.
 */
#ifndef BASE_INTERRUPT_H
#define BASE_INTERRUPT_H

#include <signal.h>
#include <stdbool.h>

/* From now on SIGINT and SIGTERM set the flag. */
const volatile sig_atomic_t *interrupt_flag(void);

/* From now on SIGHUP asks a service to read its settings again. */
void reload_listen(void);

/* Whether it was asked since the last call. */
bool reload_asked(void);

#endif
