/*
 * Held states: the state in which something is while the clause applies, though nobody wrote it
 * down then. An outlet that a walk at 08:00 found open is open at 20:00 too, when the clause's
 * hours begin, unless a later word says otherwise or the farm's own longest silence
 * (`evidence.state_holds_s`) is over: then the state is unknown.
 *
 * So of a clause on a state that holds at some times only, the newest word before each stretch of
 * those times counts at its beginning, and a stretch of which the state is not known throughout, by
 * sound words, leaves the clause uncleared. So does a row set aside that may be the newest word and
 * can't be read; one that can be read counts in doubt. What is `seen` or not is seen at an instant:
 * it is held to those written alone.
 */
#ifndef JUDGE_HELD_STATES_H
#define JUDGE_HELD_STATES_H

#include "judge/judgement.h"

/* Add what held; after the readings are gathered and `applies` is known, before gather_sort(). */
void held_states_add(struct judgement *judgement);

#endif
