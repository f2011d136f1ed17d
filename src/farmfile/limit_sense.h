/*
 * Limit sense: what of a limit could never be meant, by what its parameters are: a load by a flow
 * that is no water, a bound on ammonia for something else, a removal of more than all there is, a
 * bound that nothing could keep or break. What hangs on its other choices is limit_check's.
 */
#ifndef FARMFILE_LIMIT_SENSE_H
#define FARMFILE_LIMIT_SENSE_H

#include "farmfile/field.h"
#include "judge/limit.h"

/* Problems at the key that each comes from; `parameter` is the limit's own. */
void limit_sense_check(struct field_reader *reader, const struct yaml *node,
                       const struct limit *limit, const struct parameter *parameter);

#endif
