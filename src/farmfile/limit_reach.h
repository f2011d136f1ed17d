/*
 * Limit reach: bounds that no figure could keep, because it can't be there, and bounds that every
 * figure keeps: a share of more than 100 %, a count of 12 in the last 10 samples, a time of 30
 * hours in a day. Told at the bound.
 *
 * Where a limit has two bounds and one of them can be broken, the other may be idle: licences are
 * worded as 0 to 30.
 */
#ifndef FARMFILE_LIMIT_REACH_H
#define FARMFILE_LIMIT_REACH_H

#include "farmfile/field.h"
#include "judge/limit.h"

void limit_reach_check(struct field_reader *reader, const struct yaml *node,
                       const struct limit *limit, const struct parameter *parameter);

#endif
