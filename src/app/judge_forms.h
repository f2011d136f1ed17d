/*
 * Judging one clause of a month: each form of it over the periods that it is in force in, from
 * evidence that is loaded already.
 */
#ifndef APP_JUDGE_FORMS_H
#define APP_JUDGE_FORMS_H

#include "app/evidence_digest.h"
#include "app/judge_month.h"

struct shared;

/* A judging on its way: of one thread. */
struct judging {
    struct arena *mem;
    struct arena *room; /* what clauses are judged in, one after the other; NULL: in mem, in full */
    struct shared *shared; /* with a room: what they have in common */
    const struct open_farm *farm;
    struct judged_month *month;
    struct evidence_hashing *hashing; /* NULL: nobody asks for digests */
    month_tell tell;                  /* who is told of verdicts instead of keeping them, or NULL */
    void *context;
};

/* The forms of one clause, oldest first. */
struct forms {
    struct clause_limit *items;
    size_t count;
};

/* Judge them, into month->verdicts and month->digests, or tell them. */
void forms_judge(const struct judging *judging, const struct forms *forms);

#endif
