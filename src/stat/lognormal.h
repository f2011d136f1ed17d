/*
 * Log-normal percentile: 10^(mean + z s) of the logarithms to base 10, the form in which bathing
 * and shellfish waters are classed. The z is a number of the rule, not of mathematics: 1.282 and
 * 1.65 in Directive 2006/7/EC Annex II, 1.28 for the "estimated 90th percentile" of shellfish
 * waters (National Shellfish Sanitation Program; 9VAC25-260-160). Whether s divides by n or by
 * n - 1 is not said by the directive, and moves the figure.
 */
#ifndef STAT_LOGNORMAL_H
#define STAT_LOGNORMAL_H

#include "stat/statistic.h"

/*
 * "log-normal percentile": input->z and input->population_deviation. In double, to 12 significant
 * digits. ERR_INVALID: z is missing, there are fewer than two values, or one is 0 or below.
 */
extern const struct statistic stat_log_normal_percentile;

#endif
