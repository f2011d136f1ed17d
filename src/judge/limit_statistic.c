#include "judge/limit_statistic.h"

#include "measure/ph_mean.h"
#include "stat/average.h"
#include "stat/lognormal.h"
#include "stat/percentile.h"
#include "stat/rank.h"
#include "stat/share.h"

/* Net of an intake a day may be below 0. */
static bool net_sum(struct arena *mem, const struct stat_input *input, const struct exact **out,
                    struct err *err)
{
    return stat_sum.work_out(mem, input, out, err);
}

/* -log10 of the mean of 10^-pH: it rises with each pH. */
static bool hydrogen_ion_mean(struct arena *mem, const struct stat_input *input,
                              const struct exact **out, struct err *err)
{
    double *values = ARENA_ARRAY(mem, double, input->count);
    double mean;

    for (size_t i = 0; i < input->count; i++)
        values[i] = amount_double(input->values[i]);
    if (!ph_mean_of(PH_MEAN_HYDROGEN_ION, values, NULL, input->count, &mean, err))
        return false;
    *out = exact_from_double(mem, mean);

    return true;
}

static bool of_more_than_values(struct arena *mem, const struct stat_input *input,
                                const struct exact **out, struct err *err)
{
    (void)mem;
    (void)input;
    (void)out;

    return err_set(err, ERR_BUG, "this statistic can't be worked out from values alone");
}

static const struct statistic row_net_sum = {.word = "sum", .work_out = net_sum};
static const struct statistic row_hydrogen_ion_mean = {.word = "hydrogen-ion mean",
                                                       .work_out = hydrogen_ion_mean};
static const struct statistic row_flow_weighted_mean = {.word = "flow-weighted mean",
                                                        .work_out = of_more_than_values};
static const struct statistic row_change = {
    .word = "greatest change", .more = STAT_MORE_RAISES, .work_out = of_more_than_values};
static const struct statistic row_rate = {
    .word = "greatest rate", .more = STAT_MORE_RAISES, .work_out = of_more_than_values};
static const struct statistic row_time_outside = {
    .word = "time outside", .more = STAT_MORE_RAISES, .work_out = of_more_than_values};
static const struct statistic row_longest_outside = {
    .word = "longest time outside", .more = STAT_MORE_RAISES, .work_out = of_more_than_values};

static const struct statistic *const rows[] = {
    [STATISTIC_VALUE] = NULL,
    [STATISTIC_MEAN] = &stat_mean,
    [STATISTIC_GEOMETRIC_MEAN] = &stat_geometric_mean,
    [STATISTIC_MEDIAN] = &stat_median,
    [STATISTIC_MINIMUM] = &stat_minimum,
    [STATISTIC_MAXIMUM] = &stat_maximum,
    [STATISTIC_SUM] = &stat_sum,
    [STATISTIC_PERCENTILE] = &stat_percentile,
    [STATISTIC_LOG_NORMAL_PERCENTILE] = &stat_log_normal_percentile,
    [STATISTIC_COUNT_BEYOND] = &stat_count_beyond,
    [STATISTIC_SHARE_BEYOND] = &stat_share_beyond,
    [STATISTIC_FLOW_WEIGHTED_MEAN] = &row_flow_weighted_mean,
    [STATISTIC_HYDROGEN_ION_MEAN] = &row_hydrogen_ion_mean,
    [STATISTIC_CHANGE] = &row_change,
    [STATISTIC_RATE] = &row_rate,
    [STATISTIC_TIME_OUTSIDE] = &row_time_outside,
    [STATISTIC_LONGEST_OUTSIDE] = &row_longest_outside,
};

const struct statistic *limit_statistic_of(const struct limit *limit)
{
    if (limit->statistic == STATISTIC_SUM && limit->against.kind != AGAINST_NONE)
        return &row_net_sum;

    return rows[limit->statistic];
}
