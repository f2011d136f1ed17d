/*
 * Probe spans: which readings of a probe stand in doubt, by the visits to it and by how often the
 * farm wants it checked; and what a person's answers make of them.
 *
 * Every reading since the last good check is in doubt when a check finds the probe off; after one
 * that left it off, until a check leaves it good; and after a check was due, until there is a good
 * one. Errors beyond the maximum make a gap. All instants are "after < t <= until".
 */
#ifndef TRUST_PROBE_SPANS_H
#define TRUST_PROBE_SPANS_H

#include "trust/probe_check.h"

/* A visit, of one parameter; in order of time, withdrawn ones left out. */
struct probe_visit {
    int visit; /* its number */
    instant at;
    enum probe_result found;
    enum probe_result left;
    bool calibrated;
    bool cleaned;
    const struct exact *fouling; /* or NULL */
    const struct exact *drift;   /* or NULL */
    bool has_standards;          /* it tells how the cleaned probe reads: a check */
};

struct probe_rule {
    instant from;               /* the instrument is in use; readings before are not its own */
    int64_t check_every_us;     /* 0: not asked */
    int64_t calibrate_every_us; /* 0: not asked */
};

enum probe_issue_kind {
    PROBE_CHECK_OVERDUE,
    PROBE_CALIBRATION_OVERDUE,
    PROBE_CHECK_FAILED,  /* `visit` found it so */
    PROBE_NOT_PUT_RIGHT, /* `since` left it so */
    PROBE_GAP,           /* beyond the maximum by `visit` */
};

struct probe_issue {
    enum probe_issue_kind kind;
    instant after;
    instant until; /* INT64_MAX: still */
    int visit;     /* that ends it, and by which a person answers; 0: none yet */
    int since;     /* the visit after which it begins; 0: there was none */
};

struct probe_issues {
    struct probe_issue *items;
    size_t count;
    size_t capacity;
};

struct probe_issues probe_issues_of(struct arena *mem, const struct probe_visit *visits,
                                    size_t count, const struct probe_rule *rule);

enum probe_answer_kind {
    PROBE_ANSWER_CORRECTED, /* the proposal was accepted */
    PROBE_ANSWER_LEFT_OUT,
    PROBE_ANSWER_STANDS,  /* the readings stand, for a stated reason */
    PROBE_ANSWER_REFUSED, /* the proposal was refused; the doubt stays */
    PROBE_ANSWERS
};

/* "corrected", "left out", "stands", "refused": as stored. */
extern const char *const probe_answer_words[PROBE_ANSWERS + 1];

/* The newest answer to a visit. */
struct probe_answer {
    int visit;
    enum probe_answer_kind kind;
    instant after;
    instant until;
    /* Of PROBE_ANSWER_CORRECTED: the errors at `until`, which grew from nothing: fouling since it
     * was cleaned, drift since `after`. */
    instant cleaned;
    const struct exact *fouling; /* or NULL */
    const struct exact *drift;   /* or NULL */
};

/* Whether the answer takes the doubt, or the gap, of that issue away where both reach. */
bool probe_answer_settles(const struct probe_answer *answer, const struct probe_issue *issue);

/* The issues without the parts that answers settle. */
struct probe_issues probe_issues_left(struct arena *mem, const struct probe_issues *issues,
                                      const struct probe_answer *answers, size_t count);

/* What an accepted correction adds to a reading at `at`; NULL where it says nothing. */
const struct exact *probe_correction_at(struct arena *mem, const struct probe_answer *answer,
                                        instant at);

/* What a failed check lets a person accept. */
struct probe_proposal {
    struct probe_answer answer; /* as PROBE_ANSWER_CORRECTED would be */
    const char *why_not;        /* NULL: there is one */
    instant good_after; /* the last good check before: any other answer reaches back to it */
};

/* Of visits[at]. */
struct probe_proposal probe_proposal_of(const struct probe_visit *visits, size_t at,
                                        const struct probe_rule *rule);

/* The end of the time in which it need not be checked or calibrated; INSTANT_NONE: not asked. */
instant probe_due(const struct probe_visit *visits, size_t count, const struct probe_rule *rule);

/* The newest visit no later than `at` that left it good; NULL: none. */
const struct probe_visit *probe_last_good(const struct probe_visit *visits, size_t count,
                                          instant at);

#endif
