/*
 * Set aside: rows of a file that were not accepted and could belong to this clause. They are in
 * doubt: they can stop a verdict and never clear one.
 *
 * A row whose unit could not be read is tried in every unit its parameter allows: the highest and
 * the lowest it may have been take part in passes of their own. A row with no number at all is a
 * gap for a probe; for a sample it makes the verdict not assessable. A row that could be another
 * reading the clause looks at (a flow, the pH of a formula) is counted with them.
 *
 * A derived reading of a probe that is not given though all of it was read, as where the head is
 * above what the weir's equation holds for, is no gap: it may lie anywhere, and likely far out.
 * Where one reading can break the bound (each, lowest, highest, a count or share, a time outside, a
 * change, a rank) it makes the verdict not assessable; of a mean or total it is part of what is not
 * covered.
 */
#ifndef JUDGE_SET_ASIDE_H
#define JUDGE_SET_ASIDE_H

#include "judge/judgement.h"

/* Count the rows and add those with a number to the judgement's readings, turned into `unit`. */
void set_aside_gather(struct judgement *judgement, const char *unit);

/* Whether a row that has no number leaves the clause open, and is not a gap of a probe. */
bool set_aside_leaves_open(const struct limit *limit, const struct evidence_set_aside *row);

/* Whether the clause takes readings of the kind that the row would be. */
bool set_aside_kind_fits(const struct limit *limit, const struct evidence_set_aside *row);

#endif
