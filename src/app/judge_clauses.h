/*
 * Judging the clauses of a month: each form of a clause over the periods that it is in force in,
 * from evidence that is loaded already.
 */
#ifndef APP_JUDGE_CLAUSES_H
#define APP_JUDGE_CLAUSES_H

#include "app/evidence_digest.h"
#include "app/judge_month.h"

struct shared;
struct verdict_storer;

/* A judging on its way. */
struct judging {
    struct arena *mem;
    struct arena *room; /* what clauses are judged in, one after the other; NULL: in mem, in full */
    struct shared *shared; /* with a room: what they have in common */
    const struct open_farm *farm;
    struct judged_month *month;
    struct evidence_hashing *hashing; /* NULL: nobody asks for digests */
    struct verdict_storer *storer;    /* with hashing: what keeps them meanwhile, or NULL */
    month_tell tell;                  /* of clauses_tell() */
    void *context;
};

/*
 * Judge the limits, all forms of a clause one after the other, into month->verdicts and
 * month->digests. Clauses that read the same are judged one after the other, whatever stands
 * between them in the file; the verdicts come in the order of the file. With a storer all of them
 * have been handed to it.
 */
void clauses_judge(const struct judging *judging, const struct clause_limits *limits);

/* Judge them in full, in the order of the file, and tell each verdict without keeping it. */
void clauses_tell(const struct judging *judging, const struct clause_limits *limits);

#endif
