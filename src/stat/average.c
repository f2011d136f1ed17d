#include "stat/average.h"

#include <math.h>

static bool sum(struct arena *mem, const struct stat_input *input, const struct exact **out,
                struct err *err)
{
    (void)err;
    *out = amount_sum(mem, input->values, input->count);

    return true;
}

static bool mean(struct arena *mem, const struct stat_input *input, const struct exact **out,
                 struct err *err)
{
    (void)err;
    *out = exact_div(mem, amount_sum(mem, input->values, input->count),
                     exact_from_int(mem, (int64_t)input->count));

    return true;
}

static bool geometric_mean(struct arena *mem, const struct stat_input *input,
                           const struct exact **out, struct err *err)
{
    long double logs = 0;

    for (size_t i = 0; i < input->count; i++) {
        if (amount_sign(input->values[i]) <= 0)
            return err_set(err, ERR_INVALID, "a geometric mean has no answer for a value of %s",
                           amount_sign(input->values[i]) == 0 ? "0" : "less than 0");
        logs += logl((long double)amount_double(input->values[i]));
    }

    *out = exact_from_double(mem, (double)expl(logs / (long double)input->count));

    return true;
}

const struct statistic stat_mean = {.word = "mean", .work_out = mean};
const struct statistic stat_geometric_mean = {.word = "geometric mean", .work_out = geometric_mean};
const struct statistic stat_sum = {.word = "sum", .more = STAT_MORE_RAISES, .work_out = sum};
