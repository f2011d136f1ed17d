/*
 * Hold back: what would else be within, and nobody may say so. A licence that ended clears nothing
 * of a time after its end, though what lies beyond its last bound is still a finding; a clause that
 * nobody compared with the licence clears nothing, and neither does one of which it can't be told
 * whether it applied. What holds for the verdict holds for each of its windows. A window is not
 * within either where evidence in doubt could bring it outside.
 */
#ifndef JUDGE_HOLD_BACK_H
#define JUDGE_HOLD_BACK_H

#include "judge/pass.h"

/* `results` by pass, those that were `run`. */
void hold_back(const struct judgement *judgement, const struct pass_result *results,
               const bool *run, struct verdict *verdict);

/*
 * Of a changed form that nobody compared with the licence yet, judged by the form before it too:
 * `verdict` is the worse of both, and so is each of its windows and periods after this. One that
 * `other` knows nothing of is within only if the verdict is.
 */
void hold_back_beside(struct verdict *verdict, const struct verdict *other);

#endif
