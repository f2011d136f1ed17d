/*
 * Explain: what an interval asked and what became of it, step by step in words, so that a person
 * can go over it again with a calendar: the clause, which samples were found and how far apart,
 * which do not count and why, reasons and days without discharge, and what was due.
 *
 * Lines of plain text without a line feed. Lines that belong to the one above begin with two
 * blanks.
 */
#ifndef PLAN_EXPLAIN_H
#define PLAN_EXPLAIN_H

#include "plan/interval.h"

struct plan_lines {
    const char **items;
    size_t count;
    size_t capacity;
};

/* `dues` is what plan_dues() made of `evidence`. The lines live in mem. */
struct plan_lines plan_explain(struct arena *mem, const struct interval *interval,
                               const struct plan_evidence *evidence, const struct due_list *dues);

#endif
