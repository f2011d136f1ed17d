/*
 * Verdict copy: a verdict taken out of the memory it was judged in, so that thousands of clauses
 * can be judged in the same room one after the other.
 */
#ifndef JUDGE_VERDICT_COPY_H
#define JUDGE_VERDICT_COPY_H

#include "judge/verdict.h"

/*
 * Everything but readings that are not beyond the bound by themselves: those are what explaining
 * and reports list, and what fills the memory. `limit` stays where it is.
 */
struct verdict verdict_copy_brief(struct arena *mem, const struct verdict *verdict);

#endif
