/*
 * Limit check: what must hold between the parts of a limit, told where it does not, with the key
 * that lacks or has no place. What makes no sense together is limit_refuse()'s to say.
 */
#ifndef FARMFILE_LIMIT_CHECK_H
#define FARMFILE_LIMIT_CHECK_H

#include "farmfile/section.h"

/*
 * Units are put into their canonical names. `had_problems`: the limit is wrong already, so that
 * limit_refuse(), which needs a whole one, is not asked. Of a stored limit nothing is asked.
 */
void limit_check(struct field_reader *reader, const struct yaml *node, struct limit *limit,
                 bool had_problems);

#endif
