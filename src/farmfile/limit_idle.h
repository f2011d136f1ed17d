/*
 * Limit idle: choices of a limit that nothing could go by, as the limit and its parameter are: a
 * laboratory's accreditation asked of a probe, coverage of a single sample, a load of turbidity.
 * Each is told at its key; a choice left out is none of these.
 */
#ifndef FARMFILE_LIMIT_IDLE_H
#define FARMFILE_LIMIT_IDLE_H

#include "farmfile/field.h"
#include "judge/limit.h"

/* A problem for each; `parameter` is the limit's own. */
void limit_idle_check(struct field_reader *reader, const struct yaml *node,
                      const struct limit *limit, const struct parameter *parameter);

#endif
