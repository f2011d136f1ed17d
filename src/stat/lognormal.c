#include "stat/lognormal.h"

#include <math.h>

static bool log_normal_percentile(struct arena *mem, const struct stat_input *input,
                                  const struct exact **out, struct err *err)
{
    size_t count = input->count;
    long double *logs = ARENA_ARRAY(mem, long double, count);
    long double mean = 0;
    long double squares = 0;

    if (!input->z)
        return err_set(err, ERR_INVALID, "a log-normal percentile needs the z of its rule");
    if (count < 2)
        return err_set(err, ERR_INVALID, "a log-normal percentile needs two values at least");

    for (size_t i = 0; i < count; i++) {
        int sign = amount_sign(input->values[i]);

        if (sign <= 0)
            return err_set(err, ERR_INVALID,
                           "a log-normal percentile has no answer for a value of %s",
                           sign == 0 ? "0" : "less than 0");
        logs[i] = log10l((long double)amount_double(input->values[i]));
        mean += logs[i] / (long double)count;
    }
    for (size_t i = 0; i < count; i++)
        squares += (logs[i] - mean) * (logs[i] - mean);

    size_t under = input->population_deviation ? count : count - 1;
    long double deviation = sqrtl(squares / (long double)under);
    const struct exact *figure = exact_from_double(
        mem, (double)powl(10, mean + (long double)exact_double(input->z) * deviation));

    if (!figure)
        return err_set(err, ERR_INVALID, "the log-normal percentile is too large to be told");
    *out = figure;

    return true;
}

const struct statistic stat_log_normal_percentile = {.word = "log-normal percentile",
                                                     .work_out = log_normal_percentile};
