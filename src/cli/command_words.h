/*
 * weirbook words: what may stand in a farm file, out of the tables by which it is read.
 */
#ifndef CLI_COMMAND_WORDS_H
#define CLI_COMMAND_WORDS_H

#include "cli/cli.h"

bool command_words(struct cli *cli, struct err *err);

#endif
