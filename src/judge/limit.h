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
    DAILY_TOTAL,              /* of a counter: the day's volume */
    DAILY_LOAD,               /* concentration times water times the factor, see enum load_water */
    DAILY_FLOW_WEIGHTED_MEAN, /* of the readings, each by the flow while it was taken */
};

enum limit_statistic {
    STATISTIC_VALUE, /* each figure by itself: every one must keep the bound */
    STATISTIC_MEAN,
    STATISTIC_GEOMETRIC_MEAN,
    STATISTIC_MEDIAN,
    STATISTIC_MINIMUM,
    STATISTIC_MAXIMUM,
    STATISTIC_SUM,
    STATISTIC_PERCENTILE,
    STATISTIC_LOG_NORMAL_PERCENTILE,
    STATISTIC_COUNT_BEYOND,       /* how many lie beyond `settings.beyond` */
    STATISTIC_SHARE_BEYOND,       /* what percent of them */
    STATISTIC_FLOW_WEIGHTED_MEAN, /* of the daily figures, each by the day's volume */
    STATISTIC_HYDROGEN_ION_MEAN,  /* of pH: -log10 of the mean of 10^-pH */
    STATISTIC_CHANGE,             /* greatest change within a span of time */
    STATISTIC_RATE,               /* greatest rate of change from a reading to the next */
    STATISTIC_TIME_OUTSIDE,       /* total time outside `settings.beyond` */
    STATISTIC_LONGEST_OUTSIDE,    /* longest single run outside it */
};

/*
 * What some statistics need beside their name. What a statistic does not use stays 0; what it
 * uses has no default.
 */
enum change_direction { CHANGE_EITHER, CHANGE_RISE, CHANGE_FALL };
enum deviation { DEVIATION_UNSET, DEVIATION_SAMPLE /* n - 1 */, DEVIATION_POPULATION /* n */ };

/* What is outside a range, in the unit of the readings: as a bound. */
struct limit_beyond {
    bool has_above;
    struct decimal above;
    bool above_reached_counts; /* the licence counts a value equal to it */
    bool has_below;
    struct decimal below;
    bool below_reached_counts;
};

struct statistic_settings {
    struct decimal percent;      /* of a percentile: 90 */
    const char *percentile_rule; /* a word of stat/percentile: "Hazen" */
    struct decimal z;            /* of a log-normal percentile: 1.282 */
    enum deviation deviation;
    struct limit_beyond beyond;             /* of count, share, time outside, longest outside */
    int change_span_s;                      /* of a change: within so long */
    enum change_direction change_direction; /* of a change or a rate */
    int rate_per_s;                         /* of a rate: 3600 for "per hour" */
    int time_unit_s;                        /* of times outside: 60 for minutes, 3600 for hours */
};

enum limit_period {
    PERIOD_EACH_SAMPLE, /* kept as one verdict a day, with the readings outside */
    PERIOD_DAY,
    PERIOD_MONTH,
    PERIOD_WEEK, /* calendar weeks */
    PERIOD_QUARTER,
    PERIOD_YEAR,
    PERIOD_LICENCE_YEAR,  /* from the licence's anniversary */
    PERIOD_RUNNING_DAYS,  /* every `running_days` days that end on a day of the span */
    PERIOD_LAST_SAMPLES,  /* the last `last_samples` figures, ending at each one of the span */
    PERIOD_DISCHARGE_RUN, /* from outlet opened to outlet shut */
};

/* Which day, or month, something that lies across its edge belongs to. */
enum belongs {
    BELONGS_UNSET,
    BELONGS_BEGAN,
    BELONGS_ENDED,
    BELONGS_MOSTLY, /* where most of it lies; as much in both: where it began */
    BELONGS_DAYS,   /* of a week: cut at the month's end, each part by itself */
    BELONGS_BOTH,   /* of a week: counts in both months */
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

/*
 * A bound that is not one number. `by_other` bounds go by other readings at the same time, and
 * hold for single values only.
 */
enum bound_kind {
    BOUND_NUMBER,
    BOUND_STATE,      /* the words of a state: `state` must be read, or must not */
    BOUND_TABLE,      /* printed steps over another reading */
    BOUND_LINEAR,     /* offset + factor * another reading */
    BOUND_UNIONISED,  /* total ammonia for a stated un-ionised part: by pH, temperature, salinity */
    BOUND_SATURATION, /* oxygen as a share of saturation: by temperature, salinity */
};

/* Another reading that is read at the same time. */
struct limit_other {
    const char *station;
    const char *position; /* NULL: any */
    const char *parameter;
    const char *unit; /* the one the clause's numbers are in */
};

enum { LIMIT_OTHERS_MOST = 3 };

struct bound_step {
    bool last;            /* no end: every reading above the step before */
    struct decimal up_to; /* readings up to and with this one */
    struct decimal bound;
};

struct limit_bound_by {
    enum bound_kind kind;
    bool is_floor; /* else a ceiling */
    bool reached_is_outside;
    const char *state;     /* of BOUND_STATE: "seen" */
    bool state_is_outside; /* reading it is outside ("not seen"); else reading any other is */
    struct limit_other others[LIMIT_OTHERS_MOST]; /* table, linear: one; un-ionised: pH,
                                                     temperature, salinity (or none: fresh);
                                                     saturation: temperature, salinity (or none) */
    size_t other_count;
    int within_s;                   /* how far apart "at the same time" may be */
    const struct bound_step *steps; /* in rising order */
    size_t step_count;
    struct decimal offset;
    struct decimal factor;
    struct decimal stated;    /* un-ionised part in the clause's unit; percent of saturation */
    const char *ammonia_form; /* a word of measure/ammonia */
};

/* How many beyond the bound are allowed, of the values or daily figures of the period. */
enum allowance_kind { ALLOWANCE_NONE, ALLOWANCE_COUNT, ALLOWANCE_SHARE, ALLOWANCE_TABLE };

struct allowance_row {
    int from; /* samples */
    int to;   /* INT_MAX: and more */
    int allowed;
};

struct limit_allowance {
    enum allowance_kind kind;
    int count; /* no more than this many ... */
    int of; /* ... of so many, which there must be, and which more don't raise; 0: of any number */
    struct decimal percent;
    const struct allowance_row *rows; /* as the licence prints them, in rising order */
    size_t row_count;
};

/* When the clause applies to a reading. */
struct limit_hours {
    bool set;
    int from_minute; /* of the local day */
    int to_minute;   /* without it; before from_minute: over midnight */
};

enum tide_kind { TIDE_NONE, TIDE_HIGH, TIDE_LOW };

struct limit_tide {
    enum tide_kind of;
    const char *table; /* key of a tide table of the farm file */
    int before_s;
    int after_s;
};

struct limit_season {
    bool set;
    int from; /* month * 100 + day */
    int to;   /* with it; before from: over the new year */
};

/* While another reading is above or below a number. */
struct limit_while {
    struct limit_other other; /* station NULL: none */
    bool has_above;
    struct decimal above;
    bool has_below;
    struct decimal below;
    int within_s; /* how old that reading may be */
};

/* Another place along a flow path that the clause compares with. */
enum against_kind {
    AGAINST_NONE,
    AGAINST_DIFFERENCE, /* this less that: net of intake */
    AGAINST_REMOVAL,    /* percent of that which is not in this: 100 (that - this) / that */
    AGAINST_CREDIT,     /* intake credit: 40 CFR 122.45(g); see judge/against.h */
};

enum pairing {
    PAIR_UNSET,
    PAIR_SAME_DAY,
    PAIR_WITHIN,    /* the nearest in time, at most `within_s` apart */
    PAIR_RESIDENCE, /* the nearest to `residence_s` earlier, at most `within_s` from it */
    PAIR_PERIOD,    /* the figures of the period: a removal of averages */
};

struct limit_place {
    const char *station;
    const char *position; /* NULL: any */
};

/*
 * Where the water of a load is measured: any series of that station and parameter, of whatever
 * kind and method, for those of the clause are about the concentration. Where the farm works it out
 * there (`derived:`), only what is worked out counts.
 */
struct limit_flow {
    const char *station;
    const char *parameter; /* a counter (its differences), or a flow (its mean over the day) */
};

struct limit_against {
    enum against_kind kind;
    struct limit_place place;
    struct limit_flow flow; /* of a load: that place's own water */
    enum pairing pairing;
    int within_s;
    int residence_s;
};

/* What a less-than stands for in a mean or other figure (single values are judged by what they
 * allow). */
enum less_than_rule {
    LESS_THAN_UNSET, /* the clause says nothing: a figure with a less-than is not assessable */
    LESS_THAN_ZERO,
    LESS_THAN_HALF,
    LESS_THAN_AT_LIMIT,
    LESS_THAN_STATED,                  /* a number the licence states */
    LESS_THAN_STEP_BELOW,              /* one step of the last reported digit below: <9.0 is 8.9 */
    LESS_THAN_LOWER_OF_HALF,           /* half of it or half the bound, whichever is lower */
    LESS_THAN_KAPLAN_MEIER,            /* the mass below the smallest detect lies at that detect */
    LESS_THAN_KAPLAN_MEIER_RESTRICTED, /* ... at the smallest limit */
    LESS_THAN_REGRESSION,              /* regression on order statistics */
    LESS_THAN_RANKED, /* of a median: not detected < between the limits < measured; of an even
                         number with one of those in the middle, the lower of the two */
};

/*
 * What a result between its detection and its quantitation limit stands for in a figure, where
 * both are told; without this rule it counts as it was reported.
 */
enum between_rule {
    BETWEEN_AS_REPORTED,
    BETWEEN_ZERO,
    BETWEEN_AT_DETECTION,
    BETWEEN_HALF_DETECTION,
    BETWEEN_AT_QUANTITATION,
    BETWEEN_HALF_QUANTITATION,
};

/* What a less-than is against a bound on single values. */
enum single_less_than {
    SINGLE_AS_ALLOWED, /* every value it allows */
    SINGLE_WITHIN,     /* the licence says that a less-than complies with a ceiling */
    SINGLE_BY_RULE,    /* the number that `less_than` puts there */
};

enum greater_than_rule {
    GREATER_THAN_REFUSED, /* a figure with a greater-than is not assessable */
    GREATER_THAN_STATED,
    GREATER_THAN_STEP, /* one step of the last reported digit above */
};

/* Which samples and instruments the clause accepts; NULL or 0 accepts any. */
enum limit_kinds {
    KIND_GRAB = 1,
    KIND_COMPOSITE = 2,
    KIND_PROBE = 4,
    KIND_BY_HAND = 8,
    KIND_DERIVED = 16, /* worked out from other readings */
};

/* Portions of one sample, or instruments side by side at one instant. */
enum alike_rule {
    ALIKE_EACH,     /* each counts by itself */
    ALIKE_AVERAGED, /* their mean counts as one */
};

/* Which water a load is made with. */
enum load_water {
    LOAD_WATER_OF_DAY,         /* the day's mean concentration times the day's volume */
    LOAD_WATER_WHILE_SAMPLING, /* each reading times the flow while it was taken; their mean */
    LOAD_WATER_PERIOD_MEAN, /* the day's mean concentration times the period's mean volume a day */
    LOAD_MEAN_TIMES_VOLUME, /* one load: the period's mean concentration times its volume */
};

/* How a reading of a probe stands until the next one. */
enum standing_rule { STANDS_TO_NEXT, STANDS_HALF_WAY, STANDS_STRAIGHT_LINE };

/* What is done, in a load, on days with flow and no result. */
enum load_gap_rule {
    LOAD_GAP_LEFT_OUT, /* only days with a result count (a sum then lacks them: not assessable) */
    LOAD_GAP_PERIOD_MEAN, /* the mean concentration of the period stands in, and is marked */
};

/* A period in which the clause changed. */
enum change_rule { CHANGE_UNSET /* not assessable */, CHANGE_OLD, CHANGE_NEW };

enum margin_kind { MARGIN_NONE, MARGIN_SHARE /* percent of the bound */, MARGIN_AMOUNT };

/* A changed form that nobody confirmed is judged beside the form before it; the worse stands. */
enum limit_beside {
    BESIDE_NONE,
    BESIDE_OLDER,   /* it is the changed one */
    BESIDE_CHANGED, /* it is the one before */
};

struct limit {
    const char *key;  /* "solids-mean": the farm's own short name */
    const char *name; /* "Suspended solids, monthly mean" */
    int order;        /* place in the licence's table: position in the farm file */

    const char *licence;         /* key */
    const char *licence_version; /* the version date of the licence, "2026-01-01" */
    const char *authority;       /* key, taken from the licence */
    const char *clause;          /* "Table 2, row 3" */
    const char *wording;         /* the licence's own words */
    const char *definition;      /* JSON: every choice in the farm file's words, as stored; NULL:
                                    not from there. Nothing is judged by it */

    const char *station;
    const char *position; /* NULL: any */
    const char *parameter;
    const char *unit; /* the clause's own unit: figures are converted into it and judged in it */
    unsigned kinds;   /* enum limit_kinds, or-ed; 0 any */
    const char *const *methods;
    size_t method_count;            /* 0 any */
    const char *const *instruments; /* or laboratories: as the series names them */
    size_t instrument_count;        /* 0 any */
    const char *const *takers;      /* people who may take it: as the sample or row names them */
    size_t taker_count;             /* 0 any */
    bool accredited; /* only by a laboratory accredited for it on that day; else it is in doubt */
    bool without_looking_for_cause; /* samples that look for a cause don't count */
    enum alike_rule replicates;
    enum alike_rule side_by_side;

    const struct limit_place *added; /* more places whose daily figures are added to this one's */
    size_t added_count;
    const struct limit_flow *added_flows; /* of loads: the water of each of `added` */
    struct limit_against against;

    struct limit_hours hours;
    struct limit_tide tide;
    struct limit_season season;
    struct limit_while applies_while;

    bool only_while_discharging;
    int day_starts_hour; /* 0-23, default 0 */
    enum limit_daily daily;
    enum limit_statistic statistic;
    struct statistic_settings settings;
    bool ph_mean_as_written; /* pH: the clause says that the written values are averaged */
    enum limit_period period;
    int running_days;
    int last_samples;
    int week_starts;             /* 0 Monday .. 6 Sunday */
    int anniversary;             /* of the licence: month * 100 + day */
    enum belongs period_belongs; /* a week or run across two months */
    enum belongs span_belongs;   /* a composite or other span across two days */
    struct limit_bound bound;
    struct limit_bound_by bound_by;
    struct limit_allowance allowance;
    int across_outside; /* outside only when so many ... 0: each period by itself */
    int across_of;      /* ... of so many periods one after the other are beyond the bound */

    enum less_than_rule less_than;
    struct decimal less_than_stated; /* in the clause's unit */
    bool has_geometric_rule;         /* another rule where the statistic is a geometric mean */
    enum less_than_rule less_than_geometric;
    enum between_rule between;
    enum single_less_than single_less_than;
    bool beyond_by_rule; /* a less-than that reaches beyond the bound counts by the rule too */
    bool largest_if_all; /* a figure of nothing but less-thans is `<` the largest of them */
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
    int reading_stands_s; /* the longest step that is no gap; 0: not said */
    enum standing_rule standing_rule;

    struct limit_flow flow; /* of a load, or of a flow-weighted mean */
    enum load_water load_water;
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
    bool confirmed; /* a person compared it with the licence, or `beside` stands in for that */
    /* Why it can be outside and never within: today's program asks what the farm file, accepted by
       an earlier one, does not say; or what its figures are worked out with changed, and nobody has
       compared it since. NULL: nothing. */
    const char *lacks;
    enum limit_beside beside;
};

/*
 * Tables of the words the farm file uses for the choices, in enum order; NULL ends each. Of enums
 * whose first is "unset" or "none" the words begin with the second.
 */
extern const char *const limit_daily_words[];     /* "every reading", "mean", "lowest", ... */
extern const char *const limit_statistic_words[]; /* "value", "mean", "geometric mean", ... */
extern const char *const limit_period_words[];    /* "each sample", "day", "month" */
extern const char *const less_than_words[];
extern const char *const greater_than_words[];
extern const char *const load_gap_words[];
extern const char *const change_words[];
extern const char *const between_words[];
extern const char *const single_less_than_words[];
extern const char *const alike_words[];
extern const char *const load_water_words[];
extern const char *const standing_rule_words[];
extern const char *const belongs_words[];
extern const char *const against_words[];
extern const char *const pairing_words[];
extern const char *const deviation_words[];
extern const char *const change_direction_words[];
extern const char *const tide_words[];

/*
 * Why this combination of choices makes no sense, or NULL when it does; pure. The farm file
 * reports it with line and column. `parameter_kind`, `is_ph` come from the parameter.
 */
const char *limit_refuse(const struct limit *limit, bool is_counter, bool is_state, bool is_ph);

/* Whether the bound goes by other readings at the same time. */
bool limit_bound_by_other(const struct limit *limit);

/* Whether the figure is of what lies beyond `settings.beyond`: a count, a share, a time outside. */
bool limit_counts_beyond(const struct limit *limit);

/* Whether it is a time outside, in all or at a stretch. */
bool limit_of_time(const struct limit *limit);

/* Whether it is a greatest change or rate. */
bool limit_of_change(const struct limit *limit);

/* "1 hour", "90 minutes", "7 days"; "no time" for 0. */
char *limit_length_words(struct arena *mem, int length_s);

/* The station of a place of the limit: 0 is its own, then those added, and last the one compared
 * with. */
const char *limit_station(const struct limit *limit, size_t place);

/*
 * The unit in which readings are held: the clause's own; of a change or rate too. The unit of
 * the figure is another one for a count ("samples", "days"), a share or a removal ("%"), times
 * outside ("minutes", "hours") and a rate ("mg/L per hour").
 */
char *limit_figure_unit(struct arena *mem, const struct limit *limit);

/* The same after a number as it is shown: "sample" after 1. */
char *limit_figure_unit_of(struct arena *mem, const struct limit *limit, const char *number);

struct statistic;

/* The row of stat/ behind the limit's statistic; NULL for STATISTIC_VALUE. */
const struct statistic *limit_statistic_row(const struct limit *limit);

/*
 * Whether the bound is on single values all the way: every reading, a lowest or a highest one, or
 * what of them lies beyond a number. Then a less-than stands for every value it allows and needs no
 * rule.
 */
bool limit_of_single_values(const struct limit *limit);

/* The statistic with what it needs: "90th percentile (Hazen)", "longest time above 9.0". */
const char *limit_statistic_phrase(struct arena *mem, const struct limit *limit);

/* What is compared: "monthly mean", "each daily load", "each sample". */
char *limit_figure_words(struct arena *mem, const struct limit *limit);

/* One line for people: "monthly mean not above 30 mg/L". */
char *limit_words(struct arena *mem, const struct limit *limit);

/* How many may lie beyond the bound: "2 of 12 may lie beyond"; "" where none is said. */
char *limit_allowance_words(struct arena *mem, const struct limit *limit);

/*
 * The bound in words: "not above 30 mg/L", "below 5.0 mg/L", "from 6.5 to 9.0", "must be 'shut'",
 * "not below 60 % of saturation".
 */
char *limit_bound_words(struct arena *mem, const struct limit *limit);

/*
 * Where the bound goes by another reading, with the number that it was at a time: "not above 23.1
 * NTU then (not above 20 + 1 x turbidity-ntu NTU)".
 */
char *limit_own_bound_words(struct arena *mem, const struct limit *limit, const char *number);

#endif
