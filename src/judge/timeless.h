/*
 * Timeless: rows set aside whose time can't be read, among the daily figures of a window.
 *
 * Such a row may be of any day. While days of the window lack a figure it may be one of theirs, and
 * stands beside the daily figures as one more. A window never holds more figures than days: a row
 * for which no day is left belongs to one that has readings, and moves that day's figure as one
 * more reading of it. It is put to the day that it moves most to the side that the pass looks at.
 */
#ifndef JUDGE_TIMELESS_H
#define JUDGE_TIMELESS_H

#include "judge/pass.h"
#include "judge/reduce.h"

/*
 * Of `count` figures of a window, the first `unknown` of which have no known time: put away those
 * for which no day is left. Returns how many of the unknown stay; they are the first, and the
 * figures of days lie from figures[unknown] on as before. Changes nothing where each reading counts
 * by itself, and where places are added or compared.
 */
size_t timeless_settle(const struct judgement *judgement, enum pass pass,
                       const struct window *window, const struct pass_day *days,
                       struct figure *figures, size_t unknown, size_t count);

#endif
