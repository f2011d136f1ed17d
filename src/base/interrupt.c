#include "base/interrupt.h"

#include <string.h>

static volatile sig_atomic_t interrupted;
static volatile sig_atomic_t hung_up;

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

static void reload_note(int signal_number)
{
    hung_up = signal_number;
}

void reload_listen(void)
{
    struct sigaction action;

    memset(&action, 0, sizeof(action));
    action.sa_handler = reload_note;
    sigemptyset(&action.sa_mask);
    sigaction(SIGHUP, &action, NULL);
}

bool reload_asked(void)
{
    bool asked = hung_up != 0;

    hung_up = 0;

    return asked;
}
