/*
 * Oxygen fall: how fast a tank's oxygen fell while its pump was off, from its own record, and from
 * that the time left to the farm's own floor.
 *
 * A record, not an alarm and not a switch. Keep an independent low-oxygen alarm; the people in
 * charge of the pump decide.
 *
 * Each stop is fitted with a straight line (measure/line_fit.h): rate of fall with its standard
 * error and 95 % interval. The time left is worked out twice: by the fitted rate (`middle_s`), and
 * by the fast end of the interval or the rate of the stop's first half, whichever is faster
 * (`act_on_s`), which is the figure to act on. The first half is looked at because air that comes
 * in slows a fall down, and a line through all of it is then late at first.
 *
 * Several stops of one tank are not pooled: the fastest rate to act on among those that count
 * stands, since pooling would let a calm night speak for a hot one. A stop counts when
 *   - the probe is on record as reading in still water (many need flow past the membrane),
 *   - it is no older than the farm's own age, and
 *   - it has the farm's own least number of readings, at least 3, and they can be fitted, and
 *   - its temperature, stock and feed are known.
 *
 * Now counts as measured when temperature, stock and feed each lie between the lowest and highest
 * of the stops that count, widened by the farm's own tolerances, and at least one of those stops
 * was as hard as now in all three together (as warm, as much stock, as much feed, less the
 * tolerances): two stops, warm and empty, cold and full, do not measure warm and full. The
 * longest stop is the longest of those as hard as now; nothing is said beyond it.
 */
#ifndef MEASURE_OXYGEN_FALL_H
#define MEASURE_OXYGEN_FALL_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/macro.h"
#include "measure/line_fit.h"

struct oxygen_fall_reading {
    double after_s; /* since the pump stopped; 0 or more */
    double mg_per_l;
};

/* What the tank was like. An unknown one can't be matched, and makes the answer `not known`. */
struct oxygen_fall_conditions {
    bool temperature_known;
    double temperature_c;
    bool stock_known;
    double stock; /* in the farm's own measure: animals, kg wet */
    bool feed_known;
    double feed; /* in the farm's own measure: cells/mL, ug/L chlorophyll; 0 is unfed */
};

/* One stop of the pump. Readings in order of time, from the stop to the restart. */
struct oxygen_fall_stop {
    const struct oxygen_fall_reading *readings;
    size_t count;
    struct oxygen_fall_conditions conditions; /* while it was off; the warmest of it */
    double age_s; /* since the restart; a stop dated in the future does not count */
    bool probe_reads_still_water;
};

/* The fall of one stop. Rates are mg/L an hour and positive where oxygen falls. */
struct oxygen_fall {
    double fall_mg_per_l_h;
    double fall_se_mg_per_l_h;
    double slow_mg_per_l_h; /* the two ends of the 95 % interval */
    double fast_mg_per_l_h;
    bool early_known;        /* the first half of the time has 3 readings of its own ... */
    double early_mg_per_l_h; /* ... and fell at this rate */
    double start_mg_per_l;   /* the line at the moment of the stop */
    double start_se_mg_per_l;
    double lowest_mg_per_l; /* the lowest reading of the stop */
    double length_s;        /* to the last reading: how long it was measured through */
    size_t readings;
};

/* ERR_INVALID: fewer than 3 readings, out of order, negative, or all at one instant. */
MUST_CHECK bool oxygen_fall_fit(struct arena *mem, const struct oxygen_fall_reading *readings,
                                size_t count, struct oxygen_fall *out, struct err *err);

/* The rate to act on: the fast end of the interval, or of the first half where that is faster. */
double oxygen_fall_rate_to_act_on(const struct oxygen_fall *fall);

/* How near to the floor a stop came: its lowest reading less the floor; below 0 is under it. */
double oxygen_fall_margin(const struct oxygen_fall *fall, double floor_mg_per_l);

/* The farm's own; none has a default. */
struct oxygen_fall_bounds {
    double temperature_c; /* how far beyond the measured still counts: degrees ... */
    double stock_share;   /* ... and shares of the measured, 0.1 for a tenth */
    double feed_share;
    double oldest_s;     /* older stops do not count */
    size_t readings_min; /* nor do stops with fewer readings, at least 3 */
};

struct oxygen_fall_question {
    double now_mg_per_l;
    double off_for_s; /* 0 while the pump runs: the time left were it to stop now */
    double floor_mg_per_l;
    struct oxygen_fall_conditions conditions;
    struct oxygen_fall_bounds bounds;
};

enum oxygen_fall_standing {
    OXYGEN_FALL_TIME_LEFT,  /* act_on_s holds, and middle_s where known */
    OXYGEN_FALL_NOT_WITHIN, /* not within the longest stop this tank has been measured through */
    OXYGEN_FALL_NOT_KNOWN,  /* `why` says why */
};

/* "time left", "not within the longest stop this tank has been measured through", "not known". */
const char *oxygen_fall_standing_name(enum oxygen_fall_standing standing);

struct oxygen_fall_answer {
    enum oxygen_fall_standing standing;
    const char *why;   /* of `not known`, constant text; NULL otherwise */
    bool at_floor;     /* now is at the floor or under it: 0 s, record or no record */
    double act_on_s;   /* from now, by the rate to act on */
    bool middle_known; /* false where the fitted rate would lead beyond the longest stop */
    double middle_s;
    double longest_s; /* the longest stop as hard as now; as the next two not of
                         `not known`, nor at the floor */
    size_t stop;      /* index of the stop whose rate stands */
    struct oxygen_fall fall;
    size_t stops_counted;
};

/*
 * What cannot be answered is `not known`, which is an answer. ERR_INVALID: a question with a
 * negative or missing number.
 */
MUST_CHECK bool oxygen_fall_time_left(struct arena *mem, const struct oxygen_fall_stop *stops,
                                      size_t count, const struct oxygen_fall_question *question,
                                      struct oxygen_fall_answer *out, struct err *err);

/* The words that go with every answer, wherever it is shown. */
extern const char oxygen_fall_caution[];

#endif
