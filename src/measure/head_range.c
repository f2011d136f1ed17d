#include "measure/head_range.h"

#include <math.h>

#define SLACK 1e-9

bool head_range_holds(const struct head_range *range, double head_m)
{
    return isfinite(head_m) && head_m >= range->lowest_m * (1 - SLACK) &&
           head_m <= range->highest_m * (1 + SLACK);
}

bool head_range_require(const struct head_range *range, const char *what, double head_m,
                        struct err *err)
{
    if (head_range_holds(range, head_m))
        return true;

    return err_set(err, ERR_INVALID,
                   "head is %.6g m: %s holds from %.4g to %.4g m (%.4g to %.4g ft): %s", head_m,
                   what, range->lowest_m, range->highest_m, range->lowest_m / HEAD_M_PER_FT,
                   range->highest_m / HEAD_M_PER_FT, range->why);
}
