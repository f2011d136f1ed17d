/*
 * Most probable number: the density of organisms that makes a pattern of positive and negative
 * tubes most likely. x of n tubes, each with the amount z of sample, are positive; the density L
 * solves  sum x z / (1 - exp(-L z)) = sum n z  (W. G. Cochran, Biometrics 6, 1950; R. Blodgett, US
 * FDA Bacteriological Analytical Manual, Appendix 2; B. Jarvis et al., Journal of Applied
 * Microbiology 109, 2010). Any dilutions, any counts of tubes.
 *
 * Printed tables show two significant figures of it, and limits are set in those: what is compared
 * with a limit is `reported`, never `number`. 5-0-0 in tubes of 1, 0.1, 0.01 g is 231.16 per 100 g,
 * reported as 230.
 */
#ifndef STAT_MOST_PROBABLE_NUMBER_H
#define STAT_MOST_PROBABLE_NUMBER_H

#include <stddef.h>

#include "base/err.h"
#include "stat/amount.h"

enum { MPN_DILUTIONS_MOST = 20, MPN_TUBES_MOST = 1000 };

struct mpn_dilution {
    int tubes;
    int positive;
    struct amount amount; /* of sample in each tube: grams or millilitres */
};

enum mpn_kind {
    MPN_NUMBER,
    MPN_LESS,    /* all tubes negative: less than what the least pattern with one positive gives */
    MPN_GREATER, /* all positive: more than what the highest pattern with one negative gives */
};

/* Figures are to 12 significant digits, in organisms per `per`. */
struct mpn {
    enum mpn_kind kind;
    const struct exact *number;
    const struct exact *reported; /* to two significant figures, half up */

    /*
     * 95 % by the likelihood ratio (M. S. Ridout, Biometrics 50, 1994); with all tubes negative or
     * positive the one-sided limit. NULL: 0 below, or no end above.
     */
    const struct exact *low;
    const struct exact *high;

    /* NULL from here on where all tubes are negative or all positive. */
    const struct exact *log_normal_low; /* 95 %, 1.96 of Haldane's errors of the logarithm */
    const struct exact *log_normal_high;
    const struct exact *log10_error;

    /*
     * How likely the pattern is beside the likeliest one for this density (Blodgett): 1 is
     * ordinary, 0.0001 says that something went wrong in the laboratory. The limit is the caller's.
     */
    const struct exact *rarity;

    const struct exact *thomas;   /* H. A. Thomas 1942: P / sqrt(negative amount x all amount) */
    const struct exact *adjusted; /* less its bias (Salama, Koch and Tolley 1978; C. Haas 1989) */
};

/*
 * `per` is the amount the figure is told for, in the unit of the amounts: 100 for "per 100 mL".
 * ERR_INVALID: no dilution or too many, a dilution without a tube or with too many, one tube
 * in all, more positive tubes than tubes, an
 * amount or `per` of 0 or below.
 */
MUST_CHECK bool most_probable_number(struct arena *mem, const struct mpn_dilution *dilutions,
                                     size_t count, struct amount per, struct mpn *out,
                                     struct err *err);

#endif
