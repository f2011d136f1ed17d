#include "measure/ph_mean.h"

#include <math.h>

#include "measure/valid_range.h"

static const char *const names[PH_MEAN_COUNT] = {
    [PH_MEAN_ARITHMETIC] = "arithmetic mean",
    [PH_MEAN_HYDROGEN_ION] = "mean by hydrogen ions",
};

const char *ph_mean_name(enum ph_mean mean)
{
    return names[mean];
}

static bool check(enum ph_mean mean, const double *ph, const double *weights, size_t count,
                  struct err *err)
{
    double sum = 0;

    for (size_t i = 0; i < count; i++) {
        const struct valid_range ranges[] = {
            {"pH", "", ph[i], 0, 14},
            {"weight", "", weights ? weights[i] : 1, 0, INFINITY},
        };

        if (!valid_range_hold(names[mean], ranges, ARRAY_LEN(ranges), err))
            return false;
        sum += ranges[1].value;
    }
    if (count == 0)
        return err_set(err, ERR_INVALID, "there is no pH to take a mean of");
    if (sum <= 0)
        return err_set(err, ERR_INVALID, "the weights of the pH values add up to 0");

    return true;
}

bool ph_mean_of(enum ph_mean mean, const double *ph, const double *weights, size_t count,
                double *out, struct err *err)
{
    double sum = 0;
    double sum_of_weights = 0;

    if (!check(mean, ph, weights, count, err))
        return false;
    for (size_t i = 0; i < count; i++) {
        const double weight = weights ? weights[i] : 1;

        sum += weight * (mean == PH_MEAN_ARITHMETIC ? ph[i] : pow(10, -ph[i]));
        sum_of_weights += weight;
    }
    *out = mean == PH_MEAN_ARITHMETIC ? sum / sum_of_weights : -log10(sum / sum_of_weights);

    return true;
}

bool ph_electrode_slope_mv(double t_degc, double *out, struct err *err)
{
    const struct valid_range range = {"temperature", "degC", t_degc, -5, 100};
    const double gas_j_per_mol_k = 8.314462618;
    const double faraday_c_per_mol = 96485.33212;

    if (!valid_range_hold("the slope of an electrode", &range, 1, err))
        return false;
    *out = 1000 * log(10) * gas_j_per_mol_k * (t_degc + 273.15) / faraday_c_per_mol;

    return true;
}
