/*
 * Judgement: one limit and one period while they are being judged. What is inside is worked out
 * once, by gather, set_aside and volume; a pass (pass.h) then takes a part of it and works the
 * figure out. Only for files of this folder.
 */
#ifndef JUDGE_JUDGEMENT_H
#define JUDGE_JUDGEMENT_H

#include "judge/applies_spans.h"
#include "judge/bound.h"
#include "judge/evidence.h"
#include "judge/outlet_rows.h"
#include "judge/verdict.h"
#include "stat/statistic.h"

enum { NO_INDEX = -1 };

struct judged_day {
    day_number day;
    instant start;
    instant end;
    enum discharge_state discharge;
    const char *because;
    bool in_force;             /* the clause applies to the day by its dates */
    const char *why_not;       /* why the day is not judged by this clause; NULL: it is */
    bool is_without_discharge; /* and that is why */
    const char *doubt; /* why that is in doubt: only with what is in doubt it counts; NULL */
    bool begun;        /* it had begun by the evidence's now */
    bool over;         /* and had ended */
};

enum trust {
    TRUST_SOUND,
    TRUST_IN_DOUBT,
    TRUST_TRIED, /* a value set aside whose unit could not be read, in one it may have had */
};

/* A reading, or a row set aside that has a number, on its way into a figure. */
struct use {
    int series;     /* index into the evidence, NO_INDEX for a row set aside */
    size_t reading; /* in the series, or of the evidence's rows set aside */
    instant at;
    instant until;
    int day; /* index of the judged day; NO_INDEX where the time is not known */
    struct amount value;
    struct amount step;         /* one step of the last reported digit */
    struct amount detection;    /* its detection limit, where one is told */
    struct amount quantitation; /* and its quantitation limit */
    bool has_detection;
    bool has_quantitation;
    char qualifier;
    bool has_value; /* false: not detected without a limit, or a unit that does not convert */
    enum trust trust;
    enum side tried_side; /* of TRUST_TRIED: where the most or the least that it may have been
                             brings the figure */
    enum fit fit; /* as a single value against the bound; of sound ones only where each is held
                     against it alone */
    size_t place; /* index of the judgement's place it was read at */
    const struct bound *own_bound; /* where the bound goes by other readings; NULL: the limit's */
    const struct verdict_other *others; /* the readings it was held against */
    size_t other_count;
    const char *doubt;    /* why it is in doubt for this clause; NULL: it is sound */
    const char *blocked;  /* why it can't be held against its bound, so that it is never within */
    const char *why_not;  /* why it does not count; NULL: it may */
    unsigned passed_over; /* 1 << enum pass: another value of the same result is in its place */
    bool is_beside;     /* another use with the bound that a row set aside gives, bound_beside.h */
    size_t beside_row;  /* and that row */
    bool held;          /* a state read before, which held at `at` */
    bool not_applying;  /* it does not count, as the clause did not apply then ... */
    bool cannot_tell;   /* ... or as it can't be told whether it did */
    const char *untold; /* it counts, or does not, as it would without a row set aside; NULL */
};

/* The volume of a day. */
struct day_volume {
    const struct exact *m3; /* NULL: not known */
    bool filled;            /* shared out from a difference over several days */
    bool misread;           /* known together only as the count fell, not for want of a reading */
    const char *note;
    /*
     * Of the first of several days whose water is known together only, as the meter was not read
     * between them: how many days, and their water. Only where the two readings lie within the
     * period, and each day is judged or without discharge.
     */
    size_t together_days; /* 0: none begin here */
    const struct exact *together_m3;
};

/*
 * The water of a place, by which of the readings of its meter or flow count: see water_pick.h and
 * meter_doubt.h. Those that try take in what has no readable unit or time too.
 */
enum water_version {
    WATER_SOUND,
    WATER_ALL, /* with all that is in doubt */
    WATER_HIGHEST,
    WATER_LOWEST,
    WATER_TRY_HIGHEST,
    WATER_TRY_LOWEST,
    WATER_VERSIONS
};

struct water;

/*
 * A place the limit reads: its station, those whose figures are added to it, and last the one it
 * is compared with.
 */
struct judged_place {
    struct limit_place place;
    struct limit_flow flow; /* of loads; station NULL: none */
    bool against;
    /* By day, and the readings behind them; NULL where the limit looks at no water. */
    const struct day_volume *volumes[WATER_VERSIONS];
    const struct water *water[WATER_VERSIONS];
    const struct water *all_water; /* everything gathered; NULL: nothing of it is in doubt */
};

/* Water leaving from the outlet's opening to its shutting. */
struct judged_run {
    instant opened;
    instant shut;        /* INSTANT_NONE: still open */
    bool gone_silent;    /* open at its last word, which has not held until now: it runs no more */
    const char *why_not; /* why it can't be judged: its opening is not known; NULL: it can */
};

/* A row of evidence.set_aside that could belong to the clause. */
struct judged_aside {
    size_t row;
    unsigned roles; /* enum aside_role */
};

struct row_list {
    struct judged_aside *items;
    size_t count;
    size_t capacity;
};

struct shared;
struct intakes;

struct judgement {
    struct arena *mem;
    bool in_brief; /* of the readings only those beyond the bound are shown */
    /* In brief, where all readings that count are plain: what other clauses may take of them. */
    struct shared *shared; /* shared.h; NULL: judged by itself */
    const struct limit *limit;
    const struct evidence *evidence;
    const struct parameter *parameter; /* NULL: not known */
    struct bound bound;
    const struct statistic *statistic; /* NULL: each value by itself */
    bool single;                       /* limit_of_single_values() */
    /*
     * The days worked with: those asked for, and around them the ones that windows reach into.
     * Nothing is judged by itself outside [first_asked, after_asked).
     */
    instant from_at;
    instant until_at;
    struct judged_day *days;
    size_t day_count;
    size_t first_asked;
    size_t after_asked;
    const struct judged_run *runs; /* of a limit by discharge run, in order of time */
    size_t run_count;
    const struct applies_spans *applies; /* when; NULL: at any time of its days */
    struct outlet_rows outlet_rows;      /* rows set aside that may be of the outlet's record */
    /* Whether the clause applied at some reading can't be told: it clears nothing. NULL: it can. */
    const char *cannot_tell;

    /* In order of time; of one instant, in order of the samples' numbers, then of value. */
    struct use *items;
    size_t count;
    size_t capacity;

    /* What the rows set aside say, set_aside.h. */
    struct row_list asides;            /* every one that could belong here */
    const char *sample_without_number; /* NULL: there is none */
    size_t numberless;                 /* and which row that is */
    bool has_beside;                   /* some uses are there with a row's bound too */
    const char *tried_words;           /* the row and units tried, for a reason; NULL: none */

    struct judged_place *places; /* the limit's own station first */
    size_t place_count;
    const struct intakes *intakes; /* intakes.h; NULL: no pairs are made by time */
    bool water_in_doubt;           /* its versions differ */
    bool water_tried;              /* and those that try differ from the others */
    /* What of the water is in doubt and could be anything, so that nothing is cleared; NULL. */
    const char *water_open;
    size_t water_open_row;           /* the row set aside that it is; SIZE_MAX: none */
    const struct exact *load_factor; /* concentration * volume in m3 -> the clause's unit */
};

/* The judged day an instant lies in; NO_INDEX outside the period. */
int judgement_day(const struct judgement *judgement, instant at);

#endif
