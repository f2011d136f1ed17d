/*
 * Sensor tests: what the values of a series say of the sensor that gave them. They flag and never
 * change a value: a true collapse of oxygen looks like a spike.
 *
 * The tests and flags are those of the QARTOD manuals of the US Integrated Ocean Observing System
 * (IOOS; dissolved oxygen v2.1 2018, temperature and salinity v2.1 2020, pH v1.0 2019), an open
 * standard; its wording from memory, its examples in tests/trust/. Every threshold is the farm's:
 * nothing here has a default, and a test without thresholds is not run.
 *
 * Values come in order of time, and each costs the same little whatever came before.
 */
#ifndef TRUST_SENSOR_TEST_H
#define TRUST_SENSOR_TEST_H

#include <stdbool.h>
#include <stddef.h>

#include "base/zone.h"

/* By the standard's numbers (IOC Manuals and Guides 54, volume 3). */
enum trust_flag {
    FLAG_PASS = 1,
    FLAG_NOT_EVALUATED = 2, /* no thresholds, or nothing to compare with */
    FLAG_SUSPECT = 3,
    FLAG_FAIL = 4,
    FLAG_MISSING = 9,
};

enum sensor_test {
    SENSOR_GAP,
    SENSOR_RANGE,
    SENSOR_SEASON,
    SENSOR_SPIKE,
    SENSOR_RATE,
    SENSOR_FLAT,
    SENSOR_TESTS
};

/* "gap", "gross range", "climatology", "spike", "rate of change", "flat line": stored. */
extern const char *const sensor_test_words[SENSOR_TESTS];

/* Both ends belong to it; an end that is not told is infinite. */
struct sensor_range {
    bool given;
    double low;
    double high;
};

/* What is expected in a part of the year: month * 100 + day, both in it, over New Year too. */
struct sensor_season {
    int from;
    int to;
    struct sensor_range expected;
};

/* Above `suspect` is suspect, above `fail` fails; infinite where it is not told. */
struct sensor_steps {
    bool given;
    double suspect;
    double fail;
};

/* A value that stays within so little for so many readings or so long, itself included. */
struct sensor_flat {
    bool given;
    double within;        /* between the highest and the lowest */
    int suspect_readings; /* 0: not told */
    int fail_readings;
    int64_t suspect_us; /* 0: not told */
    int64_t fail_us;
};

/* Thresholds in one unit, that of the values. */
struct sensor_rules {
    int64_t
        gap_us; /* longer between two values is a gap, over which none are neighbours; 0: none */
    struct sensor_range sensor; /* what the sensor can read: beyond it fails */
    struct sensor_range user;   /* what the farm expects: beyond it is suspect */
    const struct sensor_season *seasons;
    size_t season_count;
    const struct zone *zone;   /* of the days of the seasons; NULL where there are none */
    struct sensor_steps spike; /* between a value and the mean of its two neighbours */
    struct sensor_steps rate;  /* per second */
    struct sensor_flat flat;
};

/*
 * How far a value's flags reach: values further apart than this never change each other's.
 * INT64_MAX: no bound, for a spike, a rate or a count of readings without `gap_us`.
 */
int64_t sensor_rules_reach_us(const struct sensor_rules *rules);

/* What one value came to. */
struct sensor_flags {
    instant at;
    double value; /* NaN: missing */
    unsigned char flags[SENSOR_TESTS];
};

/* The worst of its flags: fail, suspect, pass, not evaluated; missing where the value is. */
enum trust_flag sensor_flags_worst(const struct sensor_flags *flags);

/*
 * How many values of a flat run can be told apart for its highest or lowest. A run that creeps on
 * in more steps than this within its tolerance is followed in coarser ones: it is called flat
 * later, never sooner.
 */
enum { SENSOR_FLAT_STEPS = 64 };

/* A value that may still be the highest or lowest of the run. */
struct sensor_extreme {
    double value;
    int64_t number;  /* of the value, from 0 */
    instant next_at; /* of the value after it */
};

struct sensor_extremes {
    struct sensor_extreme items[SENSOR_FLAT_STEPS]; /* in order of number, as a ring */
    unsigned first;
    unsigned count;
};

/* A series under test. Nothing in it is allocated. */
struct sensor_tester {
    const struct sensor_rules *rules;
    bool begun;
    struct sensor_flags last; /* the value that came last; its spike waits for the next */
    bool has_before;          /* whether the one before that is its neighbour */
    double before;
    int64_t values;   /* that were not missing, since the last gap */
    instant run_from; /* since when the values stay within the tolerance */
    int64_t run_first;
    struct sensor_extremes highest;
    struct sensor_extremes lowest;
    instant day_from; /* of the day whose season is known */
    instant day_until;
    struct sensor_range expected; /* of that day */
};

void sensor_tester_begin(struct sensor_tester *tester, const struct sensor_rules *rules);

/*
 * The next value, NaN for a missing one; `at` is not before the last. True: the flags of the value
 * before it are complete, in *done.
 */
bool sensor_tester_feed(struct sensor_tester *tester, instant at, double value,
                        struct sensor_flags *done);

/* No more values: the flags of the last one. False: there was none. */
bool sensor_tester_end(struct sensor_tester *tester, struct sensor_flags *done);

#endif
