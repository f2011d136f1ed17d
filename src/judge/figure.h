/*
 * Figure: a number on its way to the bound, with what less-thans and greater-thans leave open in
 * it. A reading becomes a figure, figures become the figure of a day, and those of days the one
 * of the period.
 *
 * Where the bound is on single values a less-than stands for every value it allows, so a figure
 * is a range. In a mean or another figure the clause's rule gives the number that stands for it;
 * without a rule the figure is the range from the least to the most that it can be, and it is
 * `blocked`: it may show that the bound is broken, never that it is kept.
 */
#ifndef JUDGE_FIGURE_H
#define JUDGE_FIGURE_H

#include "judge/judgement.h"
#include "stat/ordered_median.h"

/* What a figure held against another place was made of. */
struct figure_pair {
    struct range discharge;
    bool has_intake;
    struct range intake;    /* meaningless without */
    const char *not_paired; /* why the pair leaves it open, or NULL */
};

struct figure {
    struct range range;
    /*
     * Where the clause lets a less-than comply though it reaches beyond the bound, `range` ends at
     * the bound, and this is what was reported. NULL: the same.
     */
    const struct range *as_reported;
    char qualifier;      /* enum qualifier: '<' where that is all that is known */
    const char *blocked; /* why it can't clear the limit, or NULL */
    int day;             /* index of the judged day, NO_INDEX: of none or of several */
    size_t place;        /* index of the judgement's place */
    instant at;          /* of one reading: when; else INSTANT_NONE */
    int use;             /* of one reading: its index in the judgement's items; else NO_INDEX */
    const struct bound *own_bound;      /* NULL: the limit's */
    size_t less_thans;                  /* readings in it that are less-thans */
    struct amount largest;              /* the largest X among them */
    bool only_less_thans;               /* it is nothing but less-thans */
    const struct verdict_other *others; /* what it was held against, against.h */
    size_t other_count;
    const struct figure_pair *pair; /* NULL: it was not held against another place */
    /*
     * Not-detecteds whose limit nobody told and that no rule counts. They may be anything, which
     * the range shows; the number shown is worked out without them.
     */
    size_t not_told;
    struct end without_them;            /* not known: there is nothing else */
    const struct verdict_runs *outside; /* of a time outside: when it was; else NULL */
    const struct verdict_loads *loads;  /* load_steps.h; NULL: none are kept */
};

struct figure_list {
    struct figure *items;
    size_t count;
    size_t capacity;
};

/* What a reading stands for in this clause: one of the judgement's items. */
struct figure figure_of_use(const struct judgement *judgement, const struct use *use);

/* The same of one that is not among them, without an index. */
struct figure figure_of_reading(const struct judgement *judgement, const struct use *use);

/* Every value that the reading allows, whatever the clause's rules. */
struct range figure_allowed(const struct use *use);

/* A figure times a number that is not below 0. */
struct figure figure_times(const struct judgement *judgement, struct figure figure,
                           struct amount factor);

/* Whether it is made of nothing but less-thans and not-detecteds, whatever stands for them. */
bool figure_is_less_than(const struct figure *figure);

/* Whether it is nothing but not-detecteds whose limit nobody told: then it is in no figure. */
bool figure_is_missing(const struct figure *figure);

/* The number to show for it: the value, X of `<X` or `>X`. False when there is none. */
bool figure_shown(const struct figure *figure, struct amount *out);

/*
 * How a reading stands by itself: to the bound, or to the range of a count or time outside, where
 * beyond is FIT_ABOVE as it raises the figure, and over a floor the rest is FIT_BELOW. Any reading
 * may make a change or a rate greater, and is FIT_ABOVE, the least that a row set aside may have
 * been FIT_BELOW. What another
 * place is compared with (`against`) pushes the figure either way and is FIT_ABOVE under a ceiling,
 * else FIT_BELOW.
 */
enum fit figure_fit_alone(const struct judgement *judgement, const struct use *use);

/* The clause's rule for less-thans: a geometric mean may have its own. */
enum less_than_rule figure_less_than_rule(const struct limit *limit);

/*
 * Whether that rule works on all results of the period together and puts no number in the place of
 * one: Kaplan-Meier, regression, ranked (censored_figure.h).
 */
bool figure_rule_is_of_whole(const struct limit *limit);

/* `settings.beyond` as a bound. */
struct bound figure_beyond(const struct limit *limit);

/* What a result is by its own limits: between them it is detected, and not a number. */
enum detection figure_detection(const struct judgement *judgement, const struct use *use);

/* How it stands to the bound; a blocked figure that would be within is FIT_UNKNOWN. */
enum fit figure_fit(const struct judgement *judgement, const struct figure *figure);

#endif
