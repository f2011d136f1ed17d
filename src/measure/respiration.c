#include "measure/respiration.h"

#include <math.h>

#include "measure/input_range.h"
#include "measure/valid_range.h"

/* Temperature inside the equation's own range, and an animal with flesh. */
static bool inside(const char *equation, double temperature_c, double least_c, double most_c,
                   double dry_g, struct err *err)
{
    const struct valid_range range = {"temperature", "degC", temperature_c, least_c, most_c};

    return valid_range_hold(equation, &range, 1, err) &&
           input_positive("dry flesh of one animal", dry_g, "g", err);
}

bool respiration_oxygen(double temperature_c, double dry_g, double *mg_per_h, struct err *err)
{
    if (!inside("oxygen consumption by Akashige et al. 2005", temperature_c,
                RESPIRATION_OXYGEN_LOWEST_C, RESPIRATION_OXYGEN_HIGHEST_C, dry_g, err))
        return false;

    *mg_per_h = (0.072 * temperature_c - 0.64) * pow(dry_g, 0.75);

    return true;
}

bool respiration_filtration(double temperature_c, double dry_g, bool spawning, double *l_per_h,
                            struct err *err)
{
    if (!inside("filtration by Akashige et al. 2005", temperature_c,
                RESPIRATION_FILTRATION_LOWEST_C, RESPIRATION_FILTRATION_HIGHEST_C, dry_g, err))
        return false;

    *l_per_h = (spawning ? 4.9 : 0.70 * temperature_c - 6.6) * dry_g;

    return true;
}

bool respiration_stock_oxygen(const struct respiration_group *groups, size_t count,
                              double temperature_c, double *g_per_h, struct err *err)
{
    double sum = 0;

    for (size_t i = 0; i < count; i++) {
        double one = 0;

        if (!input_not_negative("animals", groups[i].animals, "animals", err) ||
            !respiration_oxygen(temperature_c, groups[i].dry_g, &one, err))
            return err_wrap(err, "group %zu of %zu", i + 1, count);
        sum += groups[i].animals * one / 1000;
    }
    *g_per_h = sum;

    return true;
}

bool respiration_stock_filtration(const struct respiration_group *groups, size_t count,
                                  double temperature_c, bool spawning, double *m3_per_h,
                                  struct err *err)
{
    double sum = 0;

    for (size_t i = 0; i < count; i++) {
        double one = 0;

        if (!input_not_negative("animals", groups[i].animals, "animals", err) ||
            !respiration_filtration(temperature_c, groups[i].dry_g, spawning, &one, err))
            return err_wrap(err, "group %zu of %zu", i + 1, count);
        sum += groups[i].animals * one / 1000;
    }
    *m3_per_h = sum;

    return true;
}
