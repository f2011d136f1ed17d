#include "measure/ammonia.h"

#include <math.h>
#include <stddef.h>

#include "base/str.h"
#include "measure/nutrient_basis.h"
#include "measure/valid_range.h"

static const double zero_k = 273.15;

static double emerson_273_2(double t_degc, double salinity)
{
    (void)salinity;

    return 0.09018 + 2729.92 / (273.2 + t_degc);
}

static double emerson_273_15(double t_degc, double salinity)
{
    (void)salinity;

    return 0.09018 + 2729.92 / (zero_k + t_degc);
}

/* The table's own salinities have one column, so that salinity is no term. */
static double bower_bidwell(double t_degc, double salinity)
{
    (void)salinity;

    return 9.35 + 0.0324 * (25 - t_degc);
}

static double khoo(double t_degc, double salinity)
{
    const double ionic = 19.973 * salinity / (1000 - 1.2005109 * salinity);

    return 0.0901821 + 2729.92 / (273.2 + t_degc) + (0.1552 - 0.0003142 * t_degc) * ionic;
}

static double epa_1989(double t_degc, double salinity)
{
    const double t_k = t_degc + zero_k;
    const double ionic = 19.9273 * salinity / (1000 - 1.005109 * salinity);
    const double atm = 1;

    return 9.245 + 0.116 * ionic + 0.0324 * (298 - t_k) + 0.0415 * atm / t_k;
}

/* Equation 18 of the paper. */
static double clegg_whitfield(double t_degc, double s)
{
    const double t = t_degc + zero_k;
    const double root_t = sqrt(t);
    const double root_s = sqrt(s);

    return 9.244605 - 2729.33 * (1 / 298.15 - 1 / t) + (0.04203362 - 11.24742 / t) * sqrt(root_s) +
           (-13.6416 + 1.176949 * root_t - 0.02860785 * t + 545.4834 / t) * root_s +
           (-0.1462507 + 0.0090226468 * root_t - 0.0001471361 * t + 10.5425 / t) * s * root_s +
           (0.004669309 - 0.0001691742 * root_t - 0.5677934 / t) * s * s +
           (-2.354039e-5 + 0.009698623 / t) * s * s * root_s;
}

typedef double pka_function(double t_degc, double salinity);

static const struct {
    struct ammonia_form_facts facts;
    pka_function *pka;
} forms[AMMONIA_FORM_COUNT] = {
    [AMMONIA_EMERSON_273_2] = {{"emerson-273.2", "fresh water, Emerson 1975 with 273.2",
                                "Emerson, Russo, Lund and Thurston 1975, J. Fish. Res. Bd Can. 32, "
                                "2379-2383",
                                "NBS", 0, 50, 0, 1, 5, 12},
                               emerson_273_2},
    [AMMONIA_EMERSON_273_15] = {{"emerson-273.15", "fresh water, Emerson 1975 with 273.15",
                                 "Emerson and others 1975, as in CCME 2010", "NBS", 0, 50, 0, 1, 5,
                                 12},
                                emerson_273_15},
    [AMMONIA_BOWER_BIDWELL] = {{"bower-bidwell", "sea water, Bower and Bidwell 1978",
                                "Bower and Bidwell 1978, J. Fish. Res. Bd Can. 35, 1012-1016",
                                "NBS", 0, 25, 32, 40, 7.5, 8.5},
                               bower_bidwell},
    [AMMONIA_KHOO] = {{"khoo", "sea water, Khoo 1977",
                       "Khoo, Culberson and Bates 1977, J. Solution Chem. 6, 281", "NBS", 5, 40, 0,
                       40, 4, 10},
                      khoo},
    [AMMONIA_EPA_1989] = {{"epa-1989", "sea water, US EPA 1989 (Hampson)",
                           "US EPA 440/5-88-004, 1989, after Hampson 1977", "NBS", 0, 35, 0, 40, 7,
                           9},
                          epa_1989},
    [AMMONIA_CLEGG_WHITFIELD] = {{"clegg-whitfield", "sea water, Clegg and Whitfield 1995",
                                  "Clegg and Whitfield 1995, Geochim. Cosmochim. Acta 59, "
                                  "2403-2421, equation 18",
                                  "total", -2, 40, 0, 40, 4, 10},
                                 clegg_whitfield},
};

const struct ammonia_form_facts *ammonia_form_facts(enum ammonia_form form)
{
    return &forms[form].facts;
}

bool ammonia_form_parse(const char *key, enum ammonia_form *out)
{
    for (size_t i = 0; i < ARRAY_LEN(forms); i++) {
        if (str_equal(forms[i].facts.key, key)) {
            *out = (enum ammonia_form)i;
            return true;
        }
    }

    return false;
}

bool ammonia_pka(enum ammonia_form form, double t_degc, double salinity, double *out,
                 struct err *err)
{
    const struct ammonia_form_facts *facts = &forms[form].facts;
    const struct valid_range ranges[] = {
        {"temperature", "degC", t_degc, facts->t_least, facts->t_most},
        {"practical salinity", "", salinity, facts->salinity_least, facts->salinity_most},
    };

    if (!valid_range_hold(facts->name, ranges, ARRAY_LEN(ranges), err))
        return false;
    *out = forms[form].pka(t_degc, salinity);

    return true;
}

bool ammonia_fraction(enum ammonia_form form, const struct ammonia_water *water, double *out,
                      struct err *err)
{
    const struct ammonia_form_facts *facts = &forms[form].facts;
    const struct valid_range range = {"pH", "", water->ph, facts->ph_least, facts->ph_most};
    double pka = 0;

    if (!valid_range_hold(facts->name, &range, 1, err) ||
        !ammonia_pka(form, water->t_degc, water->salinity, &pka, err))
        return false;
    *out = 1 / (1 + pow(10, pka - water->ph));

    return true;
}

/* The share, and what an amount in one basis is multiplied by to be in the other. */
static bool share_and_factor(enum ammonia_form form, const struct ammonia_water *water,
                             double amount, const char *from, const char *to, double *share,
                             double *factor, struct err *err)
{
    const struct valid_range range = {"ammonia", "", amount, 0, INFINITY};

    return valid_range_hold(forms[form].facts.name, &range, 1, err) &&
           ammonia_fraction(form, water, share, err) &&
           nutrient_basis_factor(from, to, factor, err);
}

bool ammonia_un_ionised(enum ammonia_form form, const struct ammonia_water *water, double total,
                        const char *total_basis, const char *basis, double *out, struct err *err)
{
    double share = 0;
    double factor = 0;

    if (!share_and_factor(form, water, total, total_basis, basis, &share, &factor, err))
        return false;
    *out = total * factor * share;

    return true;
}

bool ammonia_total(enum ammonia_form form, const struct ammonia_water *water, double un_ionised,
                   const char *basis, const char *total_basis, double *out, struct err *err)
{
    double share = 0;
    double factor = 0;

    if (!share_and_factor(form, water, un_ionised, basis, total_basis, &share, &factor, err))
        return false;
    *out = un_ionised * factor / share;

    return true;
}
