/*
 * Counted figure: how many figures of a window lie beyond `settings.beyond`, or what percent of
 * them. One that may lie on either side, as a less-than may, makes the count a range from those
 * that surely do to those that may; so a less-than never lowers it.
 */
#ifndef JUDGE_COUNTED_FIGURE_H
#define JUDGE_COUNTED_FIGURE_H

#include "judge/figure.h"

struct figure counted_figure(const struct judgement *judgement, const struct figure *figures,
                             size_t count);

#endif
