#include "stat/timed_value.h"

bool timed_check(const struct timed_value *readings, size_t count, struct err *err)
{
    for (size_t i = 1; i < count; i++)
        if (readings[i].at_us < readings[i - 1].at_us)
            return err_set(err, ERR_BUG, "readings %zu and %zu are not in the order of time", i,
                           i + 1);

    return true;
}
