/*
 * Covered: the words for a window of which too little of the time was covered. Where readings are
 * there and in doubt it is that which is said, and not that there are none.
 */
#ifndef JUDGE_COVERED_H
#define JUDGE_COVERED_H

#include "judge/coverage.h"
#include "judge/windows.h"

/* `without_doubt`: what is in doubt was left out of `covered`. */
const char *covered_too_little(const struct judgement *judgement, const struct window *window,
                               struct coverage covered, bool without_doubt);

#endif
