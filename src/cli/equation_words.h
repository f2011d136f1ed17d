/*
 * weirbook words equations: by what readings can be worked out.
 */
#ifndef CLI_EQUATION_WORDS_H
#define CLI_EQUATION_WORDS_H

#include "cli/word_list.h"

/* A topic of weirbook words. */
void equations_topic(struct arena *mem, struct word_lists *lists);

#endif
