/*
 * No result: why a window has no figure, in words. Results that there are, and that are all in
 * doubt, are not none: "no result in the period but 2 in doubt: calibration overdue".
 */
#ifndef JUDGE_NO_RESULT_H
#define JUDGE_NO_RESULT_H

#include "judge/windows.h"

const char *no_result_words(const struct judgement *judgement, const struct window *window);

#endif
