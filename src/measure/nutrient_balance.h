/*
 * Nutrient balance: what became of a nutrient (nitrogen, phosphorus, in one basis) over a month.
 *
 *     kept = brought by water + fertiliser + feed - left by discharge - taken out with animals
 *
 * Each term is known or not. What is kept is known only when every term is: a term that nobody
 * measured is not zero, and one that truly is nothing is stated as a known 0. Kept below zero
 * means that more left than came, or that a term is wrong; it is given as it is.
 */
#ifndef MEASURE_NUTRIENT_BALANCE_H
#define MEASURE_NUTRIENT_BALANCE_H

#include <stdbool.h>

#include "base/err.h"
#include "base/macro.h"

enum nutrient_term {
    NUTRIENT_BROUGHT,    /* by the water taken in */
    NUTRIENT_FERTILISER, /* added, as the nutrient itself */
    NUTRIENT_FEED,       /* added with feed */
    NUTRIENT_LEFT,       /* by discharge */
    NUTRIENT_HARVESTED,  /* taken out with animals */
    NUTRIENT_TERM_COUNT,
};

/* "brought by water", for pages and workbooks. */
const char *nutrient_term_name(enum nutrient_term term);

struct nutrient_amount {
    bool known;
    double kg; /* 0 or more; not looked at unless known */
};

struct nutrient_month {
    struct nutrient_amount terms[NUTRIENT_TERM_COUNT];
};

struct nutrient_kept {
    bool known;
    double kg;      /* where known */
    double in_kg;   /* sum of the known terms in ... */
    double out_kg;  /* ... and out */
    unsigned wants; /* bit 1 << term for each term that is not known */
};

/* ERR_INVALID: a known amount that is negative or no number. */
MUST_CHECK bool nutrient_balance(const struct nutrient_month *month, struct nutrient_kept *out,
                                 struct err *err);

/* Carried by water: m3 x mg/L / 1000. */
MUST_CHECK bool nutrient_in_water(double volume_m3, double mg_per_l, double *kg, struct err *err);

/* In an addition: kg of it times the nutrient's share of its mass, 0 to 1 (46 % N is 0.46). */
MUST_CHECK bool nutrient_in_addition(double added_kg, double share, double *kg, struct err *err);

/*
 * In animals taken out, by a stated content: Higgins, Stephenson & Brown (2011, J. Environ. Qual.)
 * have 132 kg N and 19 kg P in a million 76 mm oysters.
 */
MUST_CHECK bool nutrient_in_animals(double animals, double kg_per_million, double *kg,
                                    struct err *err);

#endif
