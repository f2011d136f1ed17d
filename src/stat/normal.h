/*
 * Normal distribution: the score that a share of a normal population does not pass, and back.
 */
#ifndef STAT_NORMAL_H
#define STAT_NORMAL_H

/*
 * z with P(Z <= z) = p: algorithm AS 241 (PPND16) of M. J. Wichura, Applied Statistics 37 (1988)
 * 477-484, accurate to about 1 part in 10^16. 0 < p < 1; NAN for anything else.
 */
double normal_quantile(double p);

/* P(Z <= z). */
double normal_share_below(double z);

#endif
