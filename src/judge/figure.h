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

struct figure {
    struct range range;
    char qualifier;      /* enum qualifier: '<' where that is all that is known */
    const char *blocked; /* why it can't clear the limit, or NULL */
    int day;             /* index of the judged day, NO_INDEX: of none or of several */
    size_t place;        /* index of the judgement's place */
    instant at;          /* of one reading: when; else INSTANT_NONE */
    int use;             /* of one reading: its index in the judgement's items; else NO_INDEX */
    const struct bound *own_bound; /* NULL: the limit's */
    size_t less_thans;             /* readings in it that are less-thans */
    /*
     * Not-detecteds whose limit nobody told and that no rule counts. They may be anything, which
     * the range shows; the number shown is worked out without them.
     */
    size_t not_told;
    struct end without_them; /* not known: there is nothing else */
};

struct figure_list {
    struct figure *items;
    size_t count;
    size_t capacity;
};

/* What a reading stands for in this clause. */
struct figure figure_of_use(const struct judgement *judgement, const struct use *use);

/* Every value that the reading allows, whatever the clause's rules. */
struct range figure_allowed(const struct use *use);

/*
 * The figure of `count` > 0 figures. Where the statistic has no answer, its ends are not known
 * and `blocked` says why.
 */
struct figure figure_combine(const struct judgement *judgement, const struct statistic *statistic,
                             const struct figure *figures, size_t count);

/* A figure times a number that is not below 0. */
struct figure figure_times(const struct judgement *judgement, struct figure figure,
                           struct amount factor);

/* Whether all that is known of it is that it is less. */
bool figure_is_less_than(const struct figure *figure);

/* Whether it is nothing but not-detecteds whose limit nobody told: then it is in no figure. */
bool figure_is_missing(const struct figure *figure);

/* The number to show for it: the value, X of `<X` or `>X`. False when there is none. */
bool figure_shown(const struct figure *figure, struct amount *out);

/* How it stands to the bound; a blocked figure that would be within is FIT_UNKNOWN. */
enum fit figure_fit(const struct judgement *judgement, const struct figure *figure);

#endif
