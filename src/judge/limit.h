/*
 * Limit: one clause of a licence about a value, as the farm copied it out.
 *
 * A limit is written as choices: where, what, when it applies, what is done with each day first,
 * which statistic over which period, the bound, how less-thans count, how the figure is
 * rounded, how much data is enough. Nothing has a default that could flip a verdict unless the
 * header says so; the loader of the farm file refuses a limit that leaves such a choice out.
 */
#ifndef JUDGE_LIMIT_H
#define JUDGE_LIMIT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/decimal.h"
#include "base/exact.h"
#include "base/instant.h"

/* What is made of each civil day before the statistic of the period. */
enum limit_daily {
    DAILY_EVERY, /* nothing: every reading counts by itself */
    DAILY_MEAN,
    DAILY_MINIMUM,
    DAILY_MAXIMUM,
    DAILY_TOTAL, /* of a counter: the day's volume */
    DAILY_LOAD,  /* the day's mean concentration times the day's volume times the factor */
};

enum limit_statistic {
    STATISTIC_VALUE, /* each figure by itself: every one must keep the bound */
    STATISTIC_MEAN,
    STATISTIC_GEOMETRIC_MEAN,
    STATISTIC_MEDIAN,
    STATISTIC_MINIMUM,
    STATISTIC_MAXIMUM,
    STATISTIC_SUM,
};

enum limit_period {
    PERIOD_EACH_SAMPLE, /* kept as one verdict a day, with the readings outside */
    PERIOD_DAY,
    PERIOD_MONTH,
};

/*
 * A ceiling, a floor or both. `reached_is_outside`: the licence says that a figure equal to the
 * bound is outside ("shall be below", "equals or exceeds"); otherwise equal is within ("shall
 * not exceed").
 */
struct limit_bound {
    bool has_ceiling;
    struct decimal ceiling;
    bool ceiling_reached_is_outside;
    bool has_floor;
    struct decimal floor;
    bool floor_reached_is_outside;
};

/* What a less-than stands for in a mean or other figure (single values are judged by what they
 * allow). */
enum less_than_rule {
    LESS_THAN_UNSET, /* the clause says nothing: a figure with a less-than is not assessable */
    LESS_THAN_ZERO,
    LESS_THAN_HALF,
    LESS_THAN_AT_LIMIT,
    LESS_THAN_STATED, /* a number the licence states */
};

enum greater_than_rule {
    GREATER_THAN_REFUSED, /* a figure with a greater-than is not assessable */
    GREATER_THAN_STATED,
    GREATER_THAN_STEP, /* one step of the last reported digit above */
};

/* Which samples and instruments the clause accepts; NULL or 0 accepts any. */
enum limit_kinds { KIND_GRAB = 1, KIND_COMPOSITE = 2, KIND_PROBE = 4, KIND_BY_HAND = 8 };

/*
 * Where the water of a load is measured: any series of that station and parameter, of whatever
 * kind and method, for those of the clause are about the concentration.
 */
struct limit_flow {
    const char *station;
    const char *parameter; /* a counter (its differences), or a flow (its mean over the day) */
};

/* What is done, in a load, on days with flow and no result. */
enum load_gap_rule {
    LOAD_GAP_LEFT_OUT, /* only days with a result count (a sum then lacks them: not assessable) */
    LOAD_GAP_PERIOD_MEAN, /* the mean concentration of the period stands in, and is marked */
};

/* A period in which the clause changed. */
enum change_rule { CHANGE_UNSET /* not assessable */, CHANGE_OLD, CHANGE_NEW };

enum margin_kind { MARGIN_NONE, MARGIN_SHARE /* percent of the bound */, MARGIN_AMOUNT };

struct limit {
    const char *key;  /* "solids-mean": the farm's own short name */
    const char *name; /* "Suspended solids, monthly mean" */
    int order;        /* place in the licence's table: position in the farm file */

    const char *licence;         /* key */
    const char *licence_version; /* the version date of the licence, "2026-01-01" */
    const char *authority;       /* key, taken from the licence */
    const char *clause;          /* "Table 2, row 3" */
    const char *wording;         /* the licence's own words */

    const char *station;
    const char *position; /* NULL: any */
    const char *parameter;
    const char *unit; /* the clause's own unit: figures are converted into it and judged in it */
    unsigned kinds;   /* enum limit_kinds, or-ed; 0 any */
    const char *const *methods;
    size_t method_count; /* 0 any */

    bool only_while_discharging;
    int day_starts_hour; /* 0-23, default 0 */
    enum limit_daily daily;
    enum limit_statistic statistic;
    enum limit_period period;
    struct limit_bound bound;

    enum less_than_rule less_than;
    struct decimal less_than_stated; /* in the clause's unit */
    enum greater_than_rule greater_than;
    struct decimal greater_than_stated;
    /*
     * As the farm wrote it. No verdict depends on it: a not-detected with no limit told counts
     * where the rule for less-thans needs none (zero, a stated number), and nowhere else.
     */
    bool not_detected_allowed;

    struct rounding rounding;
    bool rounding_to_bound; /* digits of the bound as written: `rounding` is filled from it */

    int least_samples; /* 0: none asked */
    struct decimal
        least_coverage;   /* percent of the period's (or day's) time covered; 0 none asked */
    int reading_stands_s; /* for coverage: longest step that still counts as covered; 0 none */

    struct limit_flow flow;     /* of a load */
    const char *load_factor;    /* exact text ("8.34", "1/1000"), or NULL: exact by the units */
    const char *load_flow_unit; /* with a stated factor: the unit of volume a day it expects */
    const char *load_concentration_unit;
    enum load_gap_rule load_gap;

    enum margin_kind margin;
    struct decimal margin_amount;

    day_number in_force_from;
    day_number in_force_to; /* last day, or DAY_NONE */
    enum change_rule change;

    int version;    /* the farm-file version this form came with */
    bool confirmed; /* a person compared it with the licence */
};

/* Tables of the words the farm file uses for the choices, in enum order; NULL ends each. */
extern const char *const limit_daily_words[];     /* "every reading", "mean", "lowest", ... */
extern const char *const limit_statistic_words[]; /* "value", "mean", "geometric mean", ... */
extern const char *const limit_period_words[];    /* "each sample", "day", "month" */
extern const char *const less_than_words[];
extern const char *const greater_than_words[];
extern const char *const load_gap_words[];
extern const char *const change_words[];

/*
 * Why this combination of choices makes no sense, or NULL when it does; pure. The farm file
 * reports it with line and column. `parameter_kind`, `is_ph` come from the parameter.
 */
const char *limit_refuse(const struct limit *limit, bool is_counter, bool is_state, bool is_ph);

struct statistic;

/* The row of stat/ behind the limit's statistic; NULL for STATISTIC_VALUE. */
const struct statistic *limit_statistic_row(const struct limit *limit);

/*
 * Whether the bound is on single values all the way: every reading, a lowest or a highest one.
 * Then a less-than stands for every value it allows and needs no rule.
 */
bool limit_of_single_values(const struct limit *limit);

/* What is compared: "monthly mean", "each daily load", "each sample". */
char *limit_figure_words(struct arena *mem, const struct limit *limit);

/* One line for people: "monthly mean not above 30 mg/L". */
char *limit_words(struct arena *mem, const struct limit *limit);

/* The bound in words: "not above 30 mg/L", "below 5.0 mg/L", "from 6.5 to 9.0". */
char *limit_bound_words(struct arena *mem, const struct limit *limit);

#endif
