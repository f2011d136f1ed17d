#include "base/interrupt.h"

#include <string.h>

static volatile sig_atomic_t interrupted;

static void interrupt_note(int signal_number)
{
    interrupted = signal_number;
}

const volatile sig_atomic_t *interrupt_flag(void)
{
    struct sigaction action;

    memset(&action, 0, sizeof(action));
    action.sa_handler = interrupt_note;
    action.sa_flags = (int)SA_RESETHAND; /* the second one ends the program */
    sigemptyset(&action.sa_mask);
    sigaction(SIGINT, &action, NULL);
    sigaction(SIGTERM, &action, NULL);

    return &interrupted;
}
