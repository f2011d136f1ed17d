/*
 * Judging the clauses of a month, from evidence that is loaded already.
 *
 * In brief several threads judge at the same time, each of them all clauses of one series and then
 * those of the next that nobody has taken: judging is pure, and what clauses share is of one
 * series. What comes of it does not go by how many there are.
 */
#ifndef APP_JUDGE_CLAUSES_H
#define APP_JUDGE_CLAUSES_H

#include "app/judge_month.h"

struct verdict_storer;

struct clauses_way {
    bool in_brief;                 /* without the readings that a verdict rests on */
    bool hashed;                   /* with the digest of what each verdict rests on */
    struct verdict_storer *storer; /* with digests: what keeps verdicts meanwhile, or NULL */
};

enum { JUDGING_THREADS_MOST = 4 };

/*
 * Judge the limits, all forms of a clause one after the other, into month->verdicts and
 * month->digests, in the order of the file. With a storer all of them have been handed to it.
 */
void clauses_judge(struct arena *mem, const struct open_farm *farm, struct judged_month *month,
                   const struct clauses_way *way);

/* Judge them in full, in the order of the file, and tell each verdict without keeping it. */
void clauses_tell(const struct open_farm *farm, struct judged_month *month, month_tell tell,
                  void *context);

#endif
