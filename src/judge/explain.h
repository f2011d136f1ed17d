/*
 * Explain: a verdict step by step in words, so that a person can work it out again on paper:
 * the clause, every reading and why it counts or not, what was made of each day, the statistic,
 * the rule for less-thans, the rounding, the comparison.
 *
 * Lines of plain text without a line feed. Lines that belong to the one above begin with two
 * blanks.
 */
#ifndef JUDGE_EXPLAIN_H
#define JUDGE_EXPLAIN_H

#include "judge/verdict.h"

struct explanation {
    const char **items;
    size_t count;
    size_t capacity;
};

/* `evidence` is what the verdict was judged from. The lines live in mem. */
struct explanation judge_explain(struct arena *mem, const struct verdict *verdict,
                                 const struct evidence *evidence);

#endif
