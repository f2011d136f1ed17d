/*
 * Drift: what a visit to a probe shows of fouling and drift, whether the record has to be
 * corrected, by how much at each instant, and how good it is.
 *
 * By the procedure of US Geological Survey Techniques and Methods 1-D3 (Wagner, Boulger, Oblinger
 * and Smith 2006, "Guidelines and standard procedures for continuous water-quality monitors");
 * formulas and numbers from memory. Its criteria, ratings and maxima are data here
 * (drift_published): a farm may state its own. Whether they apply is for the farm and its
 * authority to say.
 *
 * All values of one visit are in one unit, that of the criteria.
 */
#ifndef TRUST_DRIFT_H
#define TRUST_DRIFT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/instant.h"

/*
 * What was read at a visit, in the water: by the probe before and after it was cleaned, and by a
 * field meter beside it at the beginning and the end, for how the water changed meanwhile.
 */
struct fouling_check {
    double probe_before;
    double probe_after;
    double meter_before;
    double meter_after;
};

/* A standard and what the cleaned probe read in it. */
struct drift_check {
    double standard;
    double reading;
};

/* What has to be added to the readings at the time of the visit, and its share of the value read.
 */
struct drift_error {
    double amount;
    double percent; /* NaN where the value read is 0 */
};

/* (probe_after - probe_before) - (meter_after - meter_before). */
struct drift_error fouling_error(const struct fouling_check *check);

/* standard - reading. */
struct drift_error drift_error_of(const struct drift_check *check);

/* A bound by amount, by percent of the value that was read, or by both (drift_judge()). */
struct drift_bound {
    double amount;  /* 0: not by amount */
    double percent; /* 0: not by percent */
};

enum drift_rating { DRIFT_EXCELLENT, DRIFT_GOOD, DRIFT_FAIR, DRIFT_POOR, DRIFT_RATINGS };

extern const char *const drift_rating_words[DRIFT_RATINGS]; /* "excellent" ... "poor" */

struct drift_criteria {
    const char *quantity;                 /* "dissolved oxygen" */
    const char *unit;                     /* "mg/L" */
    struct drift_bound correct;           /* beyond it the record is corrected */
    struct drift_bound up_to[DRIFT_POOR]; /* excellent, good, fair: at most so much */
    struct drift_bound most;              /* beyond it readings are not to be used */
};

/* Those of the publication; NULL at the end. */
const struct drift_criteria *drift_published(size_t at);

/* Of a quantity: "dissolved oxygen"; NULL: the publication has none of it. */
const struct drift_criteria *drift_published_of(const char *quantity);

/* What a visit comes to; either check may be missing. */
struct drift_finding {
    struct drift_error fouling; /* 0 where it was not checked */
    struct drift_error drift;
    double total;        /* of the amounts: what is added at the visit */
    double size;         /* of both without their signs: what is judged and rated */
    double size_percent; /* NaN where one of the percents is */
    bool has_to_correct;
    bool beyond_most; /* not to be used, and not to be corrected either */
    enum drift_rating rating;
};

/*
 * Judge a visit by its criteria. All of them go by the size, so that errors which cancel out are
 * errors all the same: the publication corrects "when the sum of the absolute values for fouling
 * and calibration drift error exceeds the value listed" (its table of criteria for water-quality
 * data corrections). Where that bound has an amount and a percent the greater of them holds. Of a
 * rating or the maximum "2.0 mg/L or 20 %" is beyond once one of them is, which is the stricter way
 * to read it. Where the value read is 0 there is no percent: the amount alone holds, and without
 * one any error is beyond.
 */
struct drift_finding drift_judge(const struct drift_criteria *criteria,
                                 const struct fouling_check *fouling,
                                 const struct drift_check *drift);

/*
 * What is added to a reading at `at`, where the error grew in a straight line from nothing at the
 * last good check `from` to `total` at the visit `until`. 0 outside of the two.
 */
double drift_prorated(double total, instant from, instant until, instant at);

#endif
