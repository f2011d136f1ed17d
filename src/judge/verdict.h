/*
 * Verdict: what a limit says of a period, with everything it rests on, so that a person can
 * work it out again on paper.
 */
#ifndef JUDGE_VERDICT_H
#define JUDGE_VERDICT_H

#include "judge/evidence.h"
#include "judge/limit.h"

enum standing {
    STANDING_WITHIN,
    STANDING_OUTSIDE,
    STANDING_NOT_ASSESSABLE,
    STANDING_NOTHING_DUE,
};

enum side { SIDE_NONE, SIDE_ABOVE, SIDE_BELOW };

/* Another reading that one was held against: the intake's, the pH of a formula, a condition's. */
struct verdict_other {
    int series;                /* index into evidence.series */
    size_t reading;            /* index into that series */
    const struct exact *value; /* in the unit the clause states it in */
};

/* One reading as it was used, or why it was not. */
struct verdict_item {
    size_t series;  /* index into evidence.series */
    size_t reading; /* index into that series */
    day_number day;
    const struct exact *value; /* in the clause's unit; NULL for a not-detected without a limit */
    char qualifier;
    const struct exact *used; /* after the less-than rule; NULL when it does not count */
    bool counted;
    bool outside;        /* of a bound on single values: this one is beyond it; where two places are
                            compared: its pair is */
    bool decided;        /* it is in doubt, and the verdict rests on it */
    const char *doubt;   /* why it is in doubt for this clause, or NULL */
    const char *why_not; /* why it does not count, or why it can't be assessed; NULL */
    instant held_at;     /* of a state read before that still held: when; else INSTANT_NONE */
    size_t place; /* 0: the limit's station; 1...: of its added ones; the one it is held against
                     comes last */
    const struct exact *bound; /* its own, where the bound goes by other readings */
    /* The same by a row set aside that may be one of them, which is stricter. */
    bool has_beside;
    size_t beside_row;                /* index into evidence.set_aside */
    const struct exact *beside_bound; /* NULL: it could be any */
    const struct verdict_other *others;
    size_t other_count;
};

/* From the least to the most that a number can be; NULL: no such end is known. */
struct verdict_span {
    const struct exact *least;
    const struct exact *most;
};

/* A figure of a limit that compares two places, and what it was made of. */
struct verdict_pair {
    size_t item;    /* index into items: a reading; SIZE_MAX: the figure of a day or longer */
    instant at;     /* of one reading; else INSTANT_NONE */
    day_number day; /* DAY_NONE: of the whole window */
    size_t window;  /* index into windows, of the figure of a whole one; else SIZE_MAX */
    struct verdict_span discharge;
    bool has_intake;
    struct verdict_span intake;         /* as counted; meaningless without */
    struct verdict_span result;         /* the difference, removal, or what the credit leaves */
    bool outside;                       /* where each is compared by itself: it is beyond */
    const char *why_not;                /* why the pair can't clear the limit, or NULL */
    const struct verdict_other *others; /* readings of the intake */
    size_t other_count;
};

/* One unbroken time outside, of a clause that limits such times. */
struct verdict_run {
    instant from; /* of the whole run, also where that is before the window */
    instant until;
    const struct exact *whole;  /* in the unit of the figure */
    const struct exact *within; /* of it, in the window while the clause applied */
    bool begins_at_gap;         /* what was before it is not known: it may have begun earlier */
    bool ends_at_gap;           /* the same after it */
};

/* In order of time. */
struct verdict_runs {
    struct verdict_run *items;
    size_t count;
    size_t capacity;
    bool at_most; /* less-thans and the like leave open how long: as long as they could be */
};

/*
 * One figure that was compared: of a week, of running days, of the last samples, of a run; of
 * the whole period where it has one figure.
 */
struct verdict_window {
    day_number from;
    day_number to;
    instant from_at;
    instant until_at;
    enum standing standing;
    enum side side;
    bool so_far;
    size_t samples;               /* readings or daily figures it is over */
    size_t beyond;                /* of them, where each is compared by itself or counted */
    size_t allowed;               /* of them, by the clause's allowance; SIZE_MAX: it has none */
    bool too_few;                 /* of the last samples that it should hold */
    const struct exact *figure;   /* unrounded; NULL: none */
    const struct exact *compared; /* rounded */
    const char *figure_text;
    const char *compared_text;
    const struct verdict_runs *outside; /* of a time outside: when it was; NULL: another figure */
    const struct verdict_loads *loads;  /* of one load of the whole window; NULL: as of a day */
    const char *reason;                 /* why not assessable; NULL */
    const char *note; /* "the 95th percentile of 12 samples is simply the highest", or NULL */
};

/* One of the periods one after the other that a clause across periods looks at. */
struct verdict_period {
    day_number from;
    day_number to;
    enum standing standing;
    const char *compared_text; /* NULL: none */
};

/* What a row set aside may be for a clause; of several all. */
enum aside_role {
    ASIDE_OWN = 1,        /* a reading of its places */
    ASIDE_AGAINST = 2,    /* one of the place it is compared with */
    ASIDE_WATER = 4,      /* of a meter or flow */
    ASIDE_OUTLET = 8,     /* a word of the outlet's record */
    ASIDE_CONDITION = 16, /* a reading it applies by */
    ASIDE_BOUND = 32,     /* a reading its bound goes by */
};

/* A row set aside that could belong here, and what came of trying it. */
struct verdict_aside {
    size_t row;     /* index into evidence.set_aside */
    unsigned roles; /* enum aside_role */
    /*
     * In the clause's unit. Where its own unit can't be read, the least and the most that it may
     * have been in one its parameter allows; else both are the value. NULL: it has no number.
     */
    const struct exact *least;
    const struct exact *most;
    bool of_water; /* it could be of the meter or flow that the limit goes by */
    /*
     * Then, of the day that it moves most: its water in m3 without what is in doubt and with this
     * row beside it, the least and the most over the units it may have. NULL: not known. DAY_NONE:
     * it moves none.
     */
    day_number day;
    const struct exact *without;
    const struct exact *with_least;
    const struct exact *with_most;
    bool counted; /* the figure shown includes it */
    bool outside; /* beyond the bound by itself, as far as it can be compared by itself */
    bool decided; /* the verdict rests on it */
};

/*
 * A step of a load, or of a mean weighted by the flow while sampling: a concentration and the water
 * it went with. concentration x water x verdict.load_factor = load.
 */
struct verdict_load {
    size_t place;                      /* as of an item */
    enum load_water water_used;        /* which water this one went with */
    instant at;                        /* of one reading: when it was taken; else INSTANT_NONE */
    const struct exact *concentration; /* as it counts, in the clause's concentration unit; NULL: no
                                          one number */
    char qualifier;
    const struct exact *water; /* in load_flow_unit or m3; of a flow: as if it ran for 24 hours */
    const struct evidence_reading *flow; /* the one reading of a flow that is; NULL: several */
    const struct exact *load;            /* NULL: no one number; meaningless of a weighted mean */
};

struct verdict_loads {
    const struct verdict_load *items; /* place by place, of each in order of time */
    size_t count;
};

/* One civil day: its figure where the limit makes one. */
struct verdict_day {
    day_number day;
    enum discharge_state discharge;
    const char *discharge_because;
    size_t readings;                   /* that counted */
    const struct exact *concentration; /* mean, minimum ... of the day in the clause's concentration
                                          unit; NULL none */
    const struct exact *volume; /* of a load or total, in load_flow_unit or m3; NULL not known */
    const struct exact *figure; /* what goes into the statistic; NULL: none that day */
    const struct verdict_loads
        *loads;            /* what it was made of; NULL in brief, and of other figures */
    char figure_qualifier; /* '=' or, where every reading of the day is a less-than, '<' */
    bool outside;
    bool filled;      /* made by a stated way to fill a gap */
    const char *note; /* "no flow known", "shared over 3 days", ... or NULL */
};

/* What the other of two forms of a clause says. */
struct verdict_beside {
    const struct limit *limit;
    enum standing standing;
    enum side side;
    const char *words;
};

struct verdict {
    const struct limit *limit;
    /*
     * Where a changed form was not yet compared with the licence, the old and the new are judged
     * and the worse stands: this is what the other says. NULL: there is one form.
     */
    const struct verdict_beside *beside;
    day_number from; /* first civil day of the period */
    day_number to;   /* last civil day */
    instant from_at; /* the period as instants: from_at <= t < until_at */
    instant until_at;
    enum standing standing;
    enum side side;      /* which side of the bound, when outside */
    bool so_far;         /* the period still runs */
    bool near_bound;     /* within the farm's own margin; never in a report to an authority */
    bool rests_on_doubt; /* it is outside only with evidence in doubt, or not assessable for it */

    /* The figure compared: of a bound on single values the worst one. NULL when there is none. */
    const struct exact *figure;   /* unrounded, clause's unit */
    const struct exact *compared; /* rounded by the limit's rule: this one was compared */
    const char *figure_text;      /* up to 12 figures */
    const char *compared_text;  /* with the digits its rounding keeps; with '<' where that is all */
    const char *compared_shown; /* the same for people: where the clause rounds nothing and it was
                                   worked out, with no more figures than say something */
    const char *bound_text;     /* the bound it was compared with: "30" */

    size_t samples;       /* readings or daily figures that the statistic is over */
    size_t timeless;      /* beside daily figures: rows set aside that may be of any day */
    size_t together_days; /* of a sum, beside the samples: days of which only the water of several
                             together is known */
    size_t less_thans;    /* of them */
    size_t not_detected;  /* of them, with no limit told, counted by the clause's rule */
    size_t
        not_told;  /* not detected with no limit told and no rule that counts them: in no figure */
    size_t beyond; /* single values or days beyond the bound */
    size_t set_aside;      /* rows set aside that could belong here */
    size_t not_given;      /* of them, derived readings that could not be worked out */
    size_t asides_counted; /* of them, that the figure includes */
    size_t left_out;       /* by a person */
    size_t undischarged;   /* samples that don't count because nothing was discharged then */
    size_t in_doubt;
    struct decimal coverage; /* percent of time covered; scale 1; meaningful when asked */
    bool has_coverage;

    /* What concentration times water is multiplied by, in the units they are shown in; NULL: no
     * load
     */
    const struct exact *load_factor;

    const char *reason; /* why not assessable or nothing due, for people; NULL else */
    const char *words;  /* one sentence: "outside: above 30 (34.2 mg/L, mean of 4 samples)" */

    struct verdict_item *items;
    size_t item_count;
    struct verdict_pair *pairs; /* where the limit compares two places, in order of time */
    size_t pair_count;
    struct verdict_aside *asides; /* `set_aside` of them */
    struct verdict_day *days;
    size_t day_count;
    struct verdict_window *windows; /* every figure that was compared, in order of time */
    size_t window_count;
    size_t worst_window; /* index of the one shown as `figure`; meaningless without windows */
    struct verdict_period *across; /* oldest first, this period last; NULL: not across periods */
    size_t across_count;
    size_t across_beyond; /* of them */
};

/* "within", "outside: above 30", "not assessable", "nothing due"; with "so far " where it runs. */
char *verdict_standing_words(struct arena *mem, const struct verdict *verdict);

/*
 * One sentence for people, as `words` holds it: "within, 2 rows set aside (19.75 mg/L, monthly
 * mean of 4 samples, not above 30 mg/L)".
 */
char *verdict_words(struct arena *mem, const struct verdict *verdict);

/* Of a verdict outside that rests on doubt: ", only with evidence in doubt"; else "". */
const char *verdict_doubt_words(const struct verdict *verdict);

/* What the statistic is over: "4 samples", "1 reading", "28 daily means". */
char *verdict_samples_words(struct arena *mem, const struct verdict *verdict);

/*
 * How the figure came about: "monthly mean of 4 samples", "2 of 30 samples" (beyond the bound),
 * "monthly sum of 28 daily totals and the total of 3 more days".
 */
char *verdict_figure_words(struct arena *mem, const struct verdict *verdict);

/* "the 7 days to 10 May 2026", "the run from 3 May 2026" */
char *verdict_window_words(struct arena *mem, const struct limit *limit,
                           const struct verdict_window *window);

/* The pair that a reading is the discharge of, one of the verdict's items; NULL: none. */
const struct verdict_pair *verdict_pair_of(const struct verdict *verdict,
                                           const struct verdict_item *item);

/* What a pair makes, and of a range the end that is nearer to the bound's inside; NULL: unknown. */
const struct exact *verdict_pair_number(const struct verdict *verdict,
                                        const struct verdict_pair *pair);

/* "within", "outside", "not assessable", "nothing due" */
const char *standing_name(enum standing standing);
bool standing_from_name(const char *name, enum standing *out);

#endif
