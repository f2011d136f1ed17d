/*
 * Un-ionised ammonia: the share of total ammonia that is NH3, the poisonous part, from pH,
 * temperature and salinity:
 *
 *     share = 1 / (1 + 10^(pKa - pH))
 *
 * Several equations for pKa are in use. In sea water they disagree by up to 30 percent in the
 * share, mostly because each belongs to a scale of pH: the form used is kept with every figure.
 * A probe set with ordinary buffers reads the NBS scale; the total scale reads about 0.1 lower
 * there, and 0.1 is 26 percent of the share.
 *
 * Un-ionised ammonia as N is the share of total ammonia as N; as NH3 it is 1.2159 times that. A
 * limit says which it means.
 */
#ifndef MEASURE_AMMONIA_H
#define MEASURE_AMMONIA_H

#include <stdbool.h>

#include "base/err.h"
#include "base/macro.h"

enum ammonia_form {
    AMMONIA_EMERSON_273_2,   /* fresh: with 273.2 + t, as the tables of Emerson and Thurston */
    AMMONIA_EMERSON_273_15,  /* fresh: with 273.15 + t, as the table of CCME 2010 */
    AMMONIA_BOWER_BIDWELL,   /* sea: the equation behind the printed table for salinity 32 to 40 */
    AMMONIA_KHOO,            /* sea: 1977 */
    AMMONIA_EPA_1989,        /* sea: Hampson 1977 as the US EPA uses it */
    AMMONIA_CLEGG_WHITFIELD, /* sea: 1995, total scale */
    AMMONIA_FORM_COUNT,
};

/*
 * What a form is and where it holds; both ends belong to each range. Temperatures and salinities
 * are those of the published tables and measurements; pH that of the printed table where there is
 * one (Emerson, Bower and Bidwell, US EPA), else that of ordinary buffers. Fresh is a salinity of
 * at most 1.
 */
struct ammonia_form_facts {
    const char *key;                      /* "emerson-273.2": in files and commands */
    const char *name;                     /* for people */
    const char *source;                   /* the publication */
    const char *scale;                    /* "NBS", "total": of the pH it takes */
    double t_least, t_most;               /* degC */
    double salinity_least, salinity_most; /* practical */
    double ph_least, ph_most;
};

/* The same ranges in words, for whoever chooses a form. */
#define AMMONIA_FORM_RANGES                                                                        \
    "emerson-273.2 and emerson-273.15 from 0 to 50 degC, salinity 0 to 1, pH 5 to 12; "            \
    "bower-bidwell from 0 to 25 degC, salinity 32 to 40, pH 7.5 to 8.5; "                          \
    "khoo from 5 to 40 degC, salinity 0 to 40, pH 4 to 10; "                                       \
    "epa-1989 from 0 to 35 degC, salinity 0 to 40, pH 7 to 9; "                                    \
    "clegg-whitfield from -2 to 40 degC, salinity 0 to 40, pH 4 to 10"

const struct ammonia_form_facts *ammonia_form_facts(enum ammonia_form form);

/* False for a word that is no form's key. */
bool ammonia_form_parse(const char *key, enum ammonia_form *out);

/* The water the ammonia is in. Salinity counts in every form as a range, in sea forms as a term. */
struct ammonia_water {
    double ph; /* on the form's scale */
    double t_degc;
    double salinity;
};

/* ERR_INVALID: a part of the water is outside the form's range. pH is not looked at. */
MUST_CHECK bool ammonia_pka(enum ammonia_form form, double t_degc, double salinity, double *out,
                            struct err *err);

/* The share, 0 to 1. */
MUST_CHECK bool ammonia_fraction(enum ammonia_form form, const struct ammonia_water *water,
                                 double *out, struct err *err);

/*
 * Un-ionised ammonia from total, and the total that holds so much un-ionised. Each amount has its
 * own basis: "as N", "as NH3" or "as NH4" (nutrient_basis.h). The unit is any mass by volume, the
 * same for both.
 */
MUST_CHECK bool ammonia_un_ionised(enum ammonia_form form, const struct ammonia_water *water,
                                   double total, const char *total_basis, const char *basis,
                                   double *out, struct err *err);
MUST_CHECK bool ammonia_total(enum ammonia_form form, const struct ammonia_water *water,
                              double un_ionised, const char *basis, const char *total_basis,
                              double *out, struct err *err);

#endif
