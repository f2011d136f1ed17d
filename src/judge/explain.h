/*
 * Explain: a verdict step by step in words, so that a person can work it out again on paper:
 * the clause, every reading and why it counts or not, every row set aside and what came of trying
 * it, what was made of each day, the statistic, the rule for less-thans, the rounding, the
 * comparison, and what the verdict rests on where that is in doubt.
 *
 * Of a series with more than EXPLAIN_READINGS_MOST readings in the period each day is told in one
 * line, with its lowest and highest, and by itself only what is beyond the bound, in doubt, left
 * out or corrected, unless every reading is asked for. More than a few that are so for one and the
 * same reason are told together, with the first of them.
 *
 * Lines of plain text without a line feed. Lines that belong to the one above begin with two
 * blanks.
 */
#ifndef JUDGE_EXPLAIN_H
#define JUDGE_EXPLAIN_H

#include "judge/verdict.h"

enum { EXPLAIN_READINGS_MOST = 60 };

/* Where a value came from, for people. */
struct explain_place {
    const char *file;  /* NULL: not known */
    const char *sheet; /* of a workbook, else NULL */
    int32_t line;      /* or the sheet's row */
};

/* How files are called, and their sheets. */
struct explain_names {
    void *context;
    struct explain_place (*place)(void *context, struct origin origin);
};

struct explain_choices {
    const struct explain_names *names; /* NULL: a file is called by its receipt's number */
    bool every_reading;                /* and every row set aside */
};

struct explanation {
    const char **items;
    size_t count;
    size_t capacity;
    bool shortened; /* not every reading, or row set aside, has a line of its own */
};

/* `evidence` is what the verdict was judged from. The lines live in mem. */
struct explanation judge_explain(struct arena *mem, const struct verdict *verdict,
                                 const struct evidence *evidence,
                                 const struct explain_choices *choices);

#endif
