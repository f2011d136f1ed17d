#include "measure/input_range.h"

#include <math.h>

bool input_within(const char *name, double value, double low, double high, const char *unit,
                  struct err *err)
{
    if (isfinite(value) && value >= low && value <= high)
        return true;

    return err_set(err, ERR_INVALID, "%s is %.6g %s: it must be from %.6g to %.6g %s", name, value,
                   unit, low, high, unit);
}

bool input_positive(const char *name, double value, const char *unit, struct err *err)
{
    if (isfinite(value) && value > 0)
        return true;

    return err_set(err, ERR_INVALID, "%s is %.6g %s: it must be above 0", name, value, unit);
}

bool input_not_negative(const char *name, double value, const char *unit, struct err *err)
{
    if (isfinite(value) && value >= 0)
        return true;

    return err_set(err, ERR_INVALID, "%s is %.6g %s: it must be 0 or more", name, value, unit);
}

bool input_finite(const char *name, double value, const char *unit, struct err *err)
{
    if (isfinite(value))
        return true;

    return err_set(err, ERR_INVALID, "%s is %.6g %s: it must be a number", name, value, unit);
}
