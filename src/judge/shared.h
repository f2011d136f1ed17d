/*
 * Shared: what one clause after another has in common where they read the same plain readings.
 *
 * A licence holds many clauses about one series, and a month of it is gathered, put in order and
 * made into days alike for each of them. Where every reading is plain, nothing of that goes by the
 * clause's bound or by its rules for less-thans: it is worked out once and kept for the next clause
 * that has the same reading side. What is kept is what would have been worked out again, so that no
 * verdict can tell.
 *
 * Plain is a number, sound, without a qualifier or limits of detection, of a known day; a clause
 * about anything else (loads, other places, times of day or tide, a bound by other readings) is
 * judged by itself.
 */
#ifndef JUDGE_SHARED_H
#define JUDGE_SHARED_H

#include "base/err.h"
#include "judge/reduce.h"

struct shared;

/*
 * In `mem`. `kept` is for it alone: it is reset whenever another reading side comes, so that
 * clauses that have one alike should follow each other. Clauses that look at other days of the same
 * readings (a week or last samples that reach before the month) may stand between them.
 */
struct shared *shared_new(struct arena *mem, struct arena *kept);

/*
 * As prepare_judgement(). Where the clause's readings are plain, judgement->shared stays set and
 * the rest of this header may be used; else it becomes NULL. What the
 * limit and the evidence point to has to last as long as the clauses with that reading side do.
 */
MUST_CHECK bool shared_prepare(struct judgement *judgement, day_number from, day_number to,
                               bool in_full, struct err *err);

/* As reduce_days(), in order of days and instants. Its figures must not be written to. */
struct reduced shared_reduce(const struct judgement *judgement);

/* As combine_figures() by the limit's statistic, for figures that shared_reduce() has made. */
struct figure shared_combine(const struct judgement *judgement, const struct figure *figures,
                             size_t count);

/*
 * Of figures that shared_reduce() has made: the first lowest and the first highest. Where both are
 * within a bound so is the rest, and one of them is the nearest to it.
 */
struct shared_ends {
    size_t lowest;
    size_t highest;
};

struct shared_ends shared_ends_of(const struct judgement *judgement, const struct figure *figures,
                                  size_t count);

/*
 * Other things that clauses with one reading side over the same days work out alike, by all else
 * that they hang on: numbers of the clause's, 0 where there are fewer.
 */
enum shared_kind { SHARED_LINE, SHARED_CHANGE, SHARED_COVERAGE };

struct shared_key {
    int64_t kind; /* enum shared_kind */
    int64_t numbers[8];
};

/* What is kept by that key; NULL: nothing yet. */
const void *shared_find(const struct judgement *judgement, const struct shared_key *key);

/* Keep it; it has to be made with shared_to_keep(). */
void shared_keep(const struct judgement *judgement, const struct shared_key *key,
                 const void *thing);

/* The judgement as if it stood by itself, in the memory that is kept. */
struct judgement shared_to_keep(const struct judgement *judgement);

/* Whether no reading is beyond the bound by itself, where the clause holds each against it. */
bool shared_all_within(const struct judgement *judgement);

/* How many of the readings a person left out, and how many samples are of no discharge. */
void shared_counts(const struct judgement *judgement, struct verdict *verdict);

#endif
