/*
 * Works: what the farm file says of laboratories, tide tables, tanks with their pumps, and of
 * readings that are worked out from others. Part of struct farm (farm.h); all texts live in the
 * farm's arena. Nothing here has a default: what the farm did not tell is not told.
 */
#ifndef FARMFILE_WORKS_H
#define FARMFILE_WORKS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/decimal.h"
#include "base/instant.h"
#include "derive/derivation.h"
#include "judge/evidence.h"
#include "trust/sensor_test.h"

/* A number with its unit, canonical name. `unit` NULL: not told. */
struct farm_amount {
    struct decimal number;
    const char *unit;
};

struct farm_number {
    bool given;
    struct decimal number;
};

/* A series of readings; `parameter` NULL: none told. */
struct farm_place {
    const char *station;
    const char *position; /* NULL: any */
    const char *parameter;
};

/* --- laboratories ---------------------------------------------------------------------------- */

/* What a laboratory may do by which paper, from one day to another. */
struct farm_accreditation {
    const char *number;
    const char *by;                /* who gave it */
    const char *const *parameters; /* keys */
    size_t parameter_count;        /* 0: every one */
    const char *const *methods;    /* as results name them */
    size_t method_count;           /* 0: every one */
    day_number from;
    day_number to;        /* last day, or DAY_NONE */
    const char *document; /* where the paper is kept, or NULL */
};

struct farm_laboratory {
    const char *key;
    const char *name;
    const char *const *written_as; /* as files and sources name it (`made_by` of a series); the
                                      name itself is among them */
    size_t written_as_count;
    const struct farm_accreditation *accreditations;
    size_t accreditation_count;
    const char *definition;
};

/* --- tide tables ----------------------------------------------------------------------------- */

struct farm_tide_table {
    const char *key;
    const char *place;               /* "Port Example" */
    const char *from;                /* where the times come from: who printed it, which year */
    const struct tide *tides;        /* in order of time, highs and lows in turn */
    const struct decimal *heights_m; /* one for each of `tides`, or NULL */
    size_t tide_count;
    const char *definition;
};

/* --- tanks and ponds ------------------------------------------------------------------------- */

struct farm_animals {
    struct decimal number;       /* coefficient 0: not told */
    struct farm_amount dry_mass; /* of one: flesh, dried */
    day_number counted_on;       /* DAY_NONE: not told */
};

struct farm_pump {
    struct farm_number rated_power_kw;
    struct farm_place state; /* a state parameter */
    const char *running;     /* its word for running: "on"; NULL where there is no state */
    struct farm_place meter; /* of energy: a counter */
    struct farm_place hours; /* a counter of the hours it ran */
};

/* Oxygen while the pump is off: each number is the farm's own. */
struct farm_still_water {
    struct farm_place oxygen;  /* `parameter` NULL: the tank has no such record */
    bool probe_reads_still;    /* on record as reading in still water */
    struct farm_amount floor;  /* a concentration */
    struct farm_amount margin; /* nearer to the floor than this is a finding */
    int old_after_days;        /* older stops don't count */
    struct farm_place temperature;
    struct farm_place stock; /* `parameter` NULL: the number of `animals` stands */
    struct farm_place feed;
    struct farm_number beyond_temperature_degc; /* how far beyond what was measured still counts */
    struct farm_number beyond_stock_percent;
    struct farm_number beyond_feed_percent;
};

struct farm_tank {
    const char *station;
    struct farm_amount volume;
    struct farm_amount depth;
    struct farm_place flow; /* through it */
    struct farm_animals animals;
    struct farm_pump pump;
    struct farm_still_water still_water;
    const char *feed_pond;            /* station that its feed comes from, or NULL */
    struct farm_number feed_below_um; /* the size below which the share of particles is told */
    const char *definition;
};

/* --- readings worked out from others --------------------------------------------------------- */

/* What an equation is told beside readings; which it needs is the equation's to say. */
struct farm_derived_settings {
    struct farm_number alpha; /* of specific conductance, per degC */
    struct farm_number notch_angle_deg;
    struct farm_number crest_m;
    struct farm_number crest_height_m;
    struct farm_number weir_coefficient;
    struct farm_number head_extra_m; /* kh, beside a coefficient of the farm's own */
    struct farm_number zero_at_m;    /* the level at which nothing flows: head is level less it */
    const char *throat;              /* of a flume: "6 in" */
    const char *pressure;            /* "local" or "sea level": what 100 % of saturation is */
    struct farm_number altitude_m;
    struct farm_number air_pressure_kpa; /* where it is not read */
    struct farm_number salinity;         /* PSU, where it is not read */
    struct farm_number depth_m;
    const char *ammonia_form;
    const char *ph_scale; /* of the probe: "NBS" or "total" */
};

/* One reading that goes in. */
struct farm_derived_input {
    const char *as; /* what it is in the equation where the parameter doesn't say: "before" */
    struct farm_place place;
};

struct farm_derived {
    const char *key;
    struct farm_place made; /* where the result belongs */
    const char *unit;       /* canonical name: the parameter's own where the farm said none */
    const char *equation;   /* a word of derive/equation.h */
    const struct farm_derived_input *inputs;
    size_t input_count;
    int within_s; /* how far apart readings may be that are taken together */
    struct farm_derived_settings settings;
    const struct derivation *derivation; /* the same, ready to be worked out */
    const char *definition;
};

/* --- sensor tests ---------------------------------------------------------------------------- */

/* The tests that the probes of a parameter at a station stand under. */
struct farm_sensor_test {
    const char *key; /* "outlet oxygen", and what else it names: made of the parts */
    const char *station;
    const char *position; /* NULL: any */
    const char *parameter;
    const char *instrument;             /* `made_by` of a series; NULL: any */
    const char *unit;                   /* of the thresholds as the farm wrote them */
    struct sensor_rules rules;          /* in the parameter's own unit */
    const char *words[SENSOR_TESTS][2]; /* what makes a reading suspect, and fail; NULL: nothing */
    const char *definition;
};

#endif
