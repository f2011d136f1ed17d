/*
 * Probe check: what one visit to a probe shows of one parameter, by criteria that the farm chose:
 * the errors to be corrected, whether it was found good, and whether it was left so.
 *
 * Errors by US Geological Survey Techniques and Methods 1-D3 (see drift.h); what is added to a
 * reading. They are exact; which side of a criterion they are on is drift_judge()'s to say.
 */
#ifndef TRUST_PROBE_CHECK_H
#define TRUST_PROBE_CHECK_H

#include "base/exact.h"
#include "measure/unit.h"
#include "trust/drift.h"

/* What the cleaned probe read in a standard, or beside a field meter, whose value is `standard`. */
struct probe_standard {
    struct decimal standard;
    struct decimal found;
    bool has_after; /* read again after it was calibrated */
    struct decimal after;
};

/* All in one unit. */
struct probe_readings {
    bool in_water; /* before and after it was cleaned */
    struct decimal before;
    struct decimal after;
    bool beside_meter; /* a field meter, at the beginning and the end of that */
    struct decimal meter_before;
    struct decimal meter_after;
    const struct probe_standard *standards;
    size_t standard_count;
};

enum probe_result {
    PROBE_NOT_CHECKED,
    PROBE_GOOD,
    PROBE_FAILED, /* the record has to be corrected */
    PROBE_BEYOND, /* beyond the maximum: not to be corrected */
    PROBE_RESULTS
};

/* "not checked", "good", "failed", "beyond": as stored. */
extern const char *const probe_result_words[PROBE_RESULTS + 1];

struct probe_outcome {
    const struct exact *fouling; /* NULL: not checked */
    const struct exact *drift;   /* at the value the cleaned probe read in the water; NULL: not */
    enum probe_result found;
    enum probe_result left; /* never PROBE_BEYOND; without a standard PROBE_NOT_CHECKED */
    bool calibrated;
    bool cleaned;
    enum drift_rating rating; /* of the worst standard */
};

/*
 * `to_criteria` brings values into the criteria's unit. Without a field meter the water is taken
 * not to have changed while the probe was cleaned. Of several standards the worst decides whether
 * the check failed; the error to be corrected is, between two of them, on a straight line by what
 * the probe read, and beyond them that of the nearer one. Without a reading in water: the largest.
 */
struct probe_outcome probe_judge(struct arena *mem, const struct drift_criteria *criteria,
                                 const struct unit_conversion *to_criteria,
                                 const struct probe_readings *readings);

#endif
