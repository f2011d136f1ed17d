/*
 * Help, drawn from the rows of commands and options.
 */
#ifndef CLI_HELP_H
#define CLI_HELP_H

#include "cli/cli.h"

void help_all(FILE *out);
void help_command(FILE *out, const struct command *command);

/* Commands whose name begins with this word; false when there are none. */
bool help_group(FILE *out, const char *word);

#endif
