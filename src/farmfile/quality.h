/*
 * Quality: what a farm accepts of duplicates, replicates and blanks, and how fine a laboratory's
 * limits must be, of one parameter and, where it says so, one laboratory. Part of struct farm
 * (farm.h). No number is built in: each item names the document that it was copied from.
 */
#ifndef FARMFILE_QUALITY_H
#define FARMFILE_QUALITY_H

#include "farmfile/works.h"
#include "measure/unit.h"
#include "trust/duplicates.h"

enum { QUALITY_FILE_REACH_DAYS = 31 }; /* so far around a blank its file's results are its own */

struct farm_duplicates {
    bool asked;
    struct duplicate_bounds bounds;
    int within_s;  /* a check sample so near in time is a duplicate; 0: at the same time */
    bool in_doubt; /* of a pair that failed both */
};

struct farm_replicates {
    bool asked;
    struct decimal percent;
    bool in_doubt; /* all of them */
};

enum blank_concerns { BLANK_SAME_DAY, BLANK_SAME_FILE };

struct farm_blanks {
    bool asked;
    struct blank_bounds bounds;
    struct decimal touches_times; /* results below so many times the blank; coefficient 0: all */
    enum blank_concerns concerns;
    bool in_doubt; /* those that it concerns */
};

/* How a unit of the parameter is brought to that of the item. */
struct farm_quality_unit {
    const char *unit;
    struct unit_conversion conversion;
};

struct farm_quality {
    const char *key; /* "ammonia", "ammonia by shore-lab": made of the parts */
    const char *parameter;
    const char *laboratory; /* key; NULL: any */
    const char *copied_from;
    const char *unit;                /* of the amounts, and what results are compared in */
    struct farm_number quantitation; /* where the laboratory tells none */
    struct farm_duplicates duplicates;
    struct farm_replicates replicates;
    struct farm_blanks blanks;
    struct decimal coarse_percent; /* of a bound: a limit above it is too coarse; coefficient 0 */
    const struct farm_quality_unit *units;
    size_t unit_count;
    const char *definition;
};

/* A reported number brought to the item's unit; NULL: that unit is none of the parameter's. */
const struct exact *farm_quality_amount(const struct farm_quality *quality, struct arena *mem,
                                        const char *unit, struct decimal reported);

#endif
