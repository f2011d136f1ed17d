/*
 * Over time: figures that go by the time between readings: the greatest change within a span, the
 * greatest rate, the time outside a range and the longest of it (stat/change.h, stat/duration.h).
 *
 * Each series is worked out by itself, and the worst of them is the figure; rows set aside take
 * part in every series, as nobody knows of which they are.
 *
 * - A change or a rate belongs to the window in which it ends: readings before the window are
 *   looked at as far as the span reaches, and for a rate the one before. Less-thans are numbers by
 *   the clause's rule.
 * - A time outside stands as the clause lets its readings stand, also from the reading before the
 *   window and to the one after it. The longest run counts in its whole length, in each window it
 *   touches. A less-than that may be inside or outside makes it the range from the least to the
 *   most.
 * - A gap is neither inside nor outside. It blocks a time outside, unless that is beyond its bound
 *   already, or the clause says what share of the time must be covered: then that decides whether
 *   there is enough, and the gaps are noted.
 */
#ifndef JUDGE_OVER_TIME_H
#define JUDGE_OVER_TIME_H

#include "judge/window_figure.h"

struct figure over_time_figure(const struct judgement *judgement,
                               const struct figure_window *window, const char **note);

#endif
