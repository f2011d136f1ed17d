/*
 * Interval: a clause about how often to sample, and what became of it. Pure.
 */
#ifndef PLAN_INTERVAL_H
#define PLAN_INTERVAL_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/instant.h"

enum interval_shape {
    INTERVAL_AT_MOST_DAYS, /* at most `days` days from one sample to the next */
    INTERVAL_PER_PERIOD,   /* at least `count` in each week or month, not closer than `apart_days` */
};

enum interval_period { INTERVAL_WEEK, INTERVAL_MONTH };

struct interval {
    const char *key;
    const char *name;
    int order;
    const char *licence;
    const char *licence_version;
    const char *authority;
    const char *clause;
    const char *wording;
    const char *station;
    const char *position;
    const char *const *parameters; /* a sample counts when every one of them has a result */
    size_t parameter_count;
    unsigned kinds; /* enum limit_kinds of judge/limit.h, or-ed; 0 any */
    enum interval_shape shape;
    int days;
    int count;
    enum interval_period period;
    int apart_days;     /* 0: none */
    int week_starts;    /* 1 Monday .. 7 Sunday */
    int tolerance_days; /* 0: none */
    bool only_while_discharging;
    day_number in_force_from; /* also the first date it counts from */
    day_number in_force_to;   /* last day, or DAY_NONE */
    int season_from;          /* month * 100 + day, 0: all year */
    int season_to;
    int version;
};

/* Why no sample: words from a list. The first two are no miss, unless the records deny it. */
enum no_sample_reason {
    NO_SAMPLE_NO_DISCHARGE,
    NO_SAMPLE_NOT_REQUIRED,
    NO_SAMPLE_LOST,
    NO_SAMPLE_NOT_TAKEN,
    NO_SAMPLE_UNSAFE,
    NO_SAMPLE_EQUIPMENT,
    NO_SAMPLE_LABORATORY,
};
extern const char *const no_sample_words[]; /* in enum order, NULL ends it */

/* A person's explanation for a day without the sample that was due. */
struct no_sample {
    day_number day; /* a day of the period, or between the samples, that it explains */
    enum no_sample_reason reason;
    const char *explanation;
    const char *person;
};

/* A day on which a sample was taken that does not count, as something of it is lacking. */
struct partial_sample {
    day_number day;
    const char *lacks; /* "suspended-solids has no result" */
};

/* What is known of the days from..to and around them. */
struct plan_evidence {
    /*
     * Civil days on which a valid sample was taken, ascending, one entry a sample; they must reach
     * back at least one interval before `from`. Samples at a shut outlet are not among them.
     */
    const day_number *samples;
    size_t sample_count;
    const struct partial_sample *partials; /* ascending; they only explain */
    size_t partial_count;
    const struct no_sample *reasons;
    size_t reason_count;
    /*
     * Of day from + i, whether it counts as discharging; NULL: every day does, and so does a day
     * outside from..to.
     */
    const bool *discharging;
    /*
     * Of day from + i, the words of a record that something was discharged, or of two that
     * disagree; NULL: none says so. A person's `no discharge` excuses no sample of such a day.
     * NULL: none does of any day.
     */
    const char *const *discharged;
    day_number from;
    day_number to;
    day_number today; /* the day on which it is judged */
};

enum due_state {
    DUE_DONE,
    DUE_DUE,         /* inside its time, not yet done */
    DUE_LATE,        /* past its day, inside the tolerance */
    DUE_MISSED,      /* past the tolerance; never undone by a later sample */
    DUE_NOTHING,     /* nothing due: no discharge, not required, out of season */
};

/* One thing that was to be done: a period of a PER_PERIOD interval, or one gap of an AT_MOST one. */
struct due {
    day_number from;    /* first day in which it could be done */
    day_number due;     /* last day in time */
    day_number lapses;  /* last day inside the tolerance */
    enum due_state state;
    int required;
    int done;
    day_number done_on; /* newest sample that served it, or DAY_NONE */
    const char *reason; /* a no-sample reason word, or NULL */
    const char *explanation;
    const char *denied; /* what the records say against its `no discharge`, or NULL */
    const char *partly; /* "sampled on 10 March 2026, but suspended-solids has no result", or NULL */
    const char *words;  /* one sentence for people */
};

struct due_list {
    struct due *items;
    size_t count;
    size_t capacity;
};

/*
 * What the interval asked in from..to and what became of it.
 *
 * Of PER_PERIOD: the periods that end in from..to, and the one that still runs on `today` where
 * that lies in from..to. A week belongs where it ends, so let `from` be plan_first_day() of the
 * month's first day: then the discharge of the whole week is told. A period that is only partly in
 * force or in season asks for one sample, by the last of its days that is, and one taken out of
 * season does not serve it. A sample taken within the tolerance serves the period
 * before when that one lacks it, and then not its own.
 *
 * Of AT_MOST_DAYS: one item a gap between samples. A gap that was kept belongs where its sample
 * was taken, one that was not to every span in which it stood open past its time. Days out of
 * season, and with only_while_discharging those without discharge, do not count. The first gap
 * runs from the last sample before in_force_from, else from in_force_from itself. A span in
 * which no day counts is one item: nothing due.
 */
struct due_list plan_dues(struct arena *mem, const struct interval *interval,
                          const struct plan_evidence *evidence);

/* The first day of the period that `day` lies in; of AT_MOST_DAYS the day itself. */
day_number plan_first_day(const struct interval *interval, day_number day);

/* How many samples it lacks for ever: of two that were asked for and not taken, two. */
int due_missed(const struct due *due);

/* "done", "due", "late", "missed", "nothing due". */
const char *due_state_name(enum due_state state);

/* "at least 1 in each week", "at most 7 days apart". */
char *interval_words(struct arena *mem, const struct interval *interval);

#endif
