/*
 * Show: fill a verdict from a judgement, so that a person can work it out again on paper.
 */
#ifndef JUDGE_SHOW_H
#define JUDGE_SHOW_H

#include "judge/pass.h"

/* What the passes came to. */
struct ruling {
    enum pass shown;    /* the pass that the verdict shows */
    enum pass rests_on; /* the one with the doubt that decided; PASS_WITHOUT: none did */
    bool on_numberless; /* a sample set aside without a number decided */
    bool on_water;      /* water in doubt that may be anything did */
};

/* Readings, days, counts and the figure, as the pass shown took them; `result` NULL: no pass was
 * run. */
void show_evidence(const struct judgement *judgement, const struct ruling *ruling,
                   const struct pass_result *result, struct verdict *verdict);

/* Whether it is near its bound, and the sentence; last, when the standing is known. */
void show_words(struct arena *mem, const struct judgement *judgement, struct verdict *verdict);

#endif
