/*
 * Options: one row each, and the taking apart of a command line by them.
 */
#ifndef CLI_OPTION_H
#define CLI_OPTION_H

#include "cli/cli.h"

struct option_row {
    const char *name;  /* "--data" */
    const char *value; /* "FOLDER", or NULL when it has none */
    const char *help;
    bool everywhere; /* every command takes it */
};

extern const struct option_row option_rows[OPTIONS];

/*
 * Split `argv` into options and words. An option of no command is ERR_INVALID with the nearest;
 * "--" ends the options.
 */
MUST_CHECK bool options_read(struct cli *cli, int argc, const char *const *argv, struct err *err);

/* That the command takes each option given. */
MUST_CHECK bool options_fit(const struct cli *cli, const struct command *command,
                            struct err *err);

#endif
