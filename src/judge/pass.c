#include "judge/pass.h"

#include "judge/coverage.h"
#include "judge/window_figure.h"

/* One comparison, or for `value` one for each figure: the whole period, or one day. */
struct group {
    size_t first_day; /* days [first_day, after_day) */
    size_t after_day;
    const struct figure *figures;
    size_t count;
    size_t readings; /* in a day */
};

/* A pass while it is being worked out. */
struct work {
    const struct judgement *judgement;
    enum pass pass;
    const struct coverage *coverage; /* of each day; NULL where none is asked */
    struct reduced reduced;
    struct pass_result result;
    struct amount worst_excess;
    bool worst_outside;
};

bool pass_takes(const struct use *use, enum pass pass)
{
    if (use->why_not)
        return false;
    if (use->trust == TRUST_SOUND || (use->trust == TRUST_IN_DOUBT && pass == PASS_ALL))
        return true;

    bool above = pass == PASS_ABOVE || pass == PASS_TRY_ABOVE;
    bool below = pass == PASS_BELOW || pass == PASS_TRY_BELOW;

    if (use->trust == TRUST_IN_DOUBT)
        return (above && use->fit == FIT_ABOVE) || (below && use->fit == FIT_BELOW);

    return (pass == PASS_TRY_ABOVE && use->tried_side == SIDE_ABOVE && use->fit == FIT_ABOVE) ||
           (pass == PASS_TRY_BELOW && use->tried_side == SIDE_BELOW && use->fit == FIT_BELOW);
}

static struct coverage group_coverage(const struct work *work, const struct group *group)
{
    struct coverage all = {0};

    for (size_t i = group->first_day; i < group->after_day; i++) {
        all.covered_us += work->coverage[i].covered_us;
        all.asked_us += work->coverage[i].asked_us;
    }

    return all;
}

/* For totals and loads a day is covered when it has a figure. */
static struct coverage *coverage_by_figures(const struct judgement *judgement,
                                            const struct reduced *reduced)
{
    struct coverage *days = ARENA_ARRAY(judgement->mem, struct coverage, judgement->day_count);

    for (size_t i = 0; i < judgement->day_count; i++) {
        const struct judged_day *day = &judgement->days[i];

        if (day->why_not || !day->over)
            continue;
        days[i].asked_us = day->end - day->start;
        days[i].covered_us =
            reduced->days[i].has_figure || reduced->days[i].together ? days[i].asked_us : 0;
    }

    return days;
}

/* Whether a missing figure leaves the statistic open: it can only hide something, or only more. */
static bool gaps_matter(const struct limit *limit)
{
    if (limit->daily == DAILY_TOTAL)
        return limit->statistic != STATISTIC_MEAN && limit->statistic != STATISTIC_MEDIAN &&
               limit->statistic != STATISTIC_GEOMETRIC_MEAN;

    return limit->daily == DAILY_LOAD && limit->statistic == STATISTIC_SUM;
}

/* Why there is too little, or NULL. */
static const char *too_little(const struct work *work, const struct group *group)
{
    const struct limit *limit = work->judgement->limit;
    struct arena *mem = work->judgement->mem;
    bool by_day = limit->period == PERIOD_DAY;
    size_t samples = by_day ? group->readings : group->count;
    const struct reduced *reduced = &work->reduced;
    const char *on = by_day
                         ? arena_printf(mem, " on %s",
                                        day_words(mem, work->judgement->days[group->first_day].day))
                         : "";

    if (limit->least_samples > 0 && samples < (size_t)limit->least_samples)
        return arena_printf(mem, "too few samples%s: %zu of at least %d", on, samples,
                            limit->least_samples);
    if (work->coverage) {
        struct coverage covered = group_coverage(work, group);

        if (!coverage_reaches(covered, limit->least_coverage))
            return arena_printf(mem,
                                "too little of the time was covered%s: %s percent of at "
                                "least %s",
                                on, decimal_text(mem, coverage_percent(covered)),
                                decimal_text(mem, limit->least_coverage));
    }
    if (!by_day && reduced->unknown_load)
        return reduced->unknown_load;
    if (!by_day && reduced->gaps > 0 && gaps_matter(limit))
        return reduced->gaps == 1 ? reduced->first_gap
                                  : arena_printf(mem, "%s and on %zu more days", reduced->first_gap,
                                                 reduced->gaps - 1);

    return NULL;
}

/* What more data could do to the group's figure: the statistic's, or in a day what made it. */
static enum stat_more more_of(const struct limit *limit)
{
    static const enum stat_more of_day[] = {
        [DAILY_MINIMUM] = STAT_MORE_LOWERS,
        [DAILY_MAXIMUM] = STAT_MORE_RAISES,
        [DAILY_TOTAL] = STAT_MORE_RAISES,
        [DAILY_LOAD] = STAT_MORE_EITHER,
    };

    if (limit->period == PERIOD_DAY && limit->daily != DAILY_EVERY)
        return of_day[limit->daily];

    return limit_statistic_row(limit)->more;
}

/* Whether a figure beyond the bound stays there whatever is missing. */
static bool is_final(const struct limit *limit, enum fit fit)
{
    bool each_alone = limit->statistic == STATISTIC_VALUE &&
                      (limit->period != PERIOD_DAY || limit->daily == DAILY_EVERY);

    if (each_alone)
        return true;

    enum stat_more more = more_of(limit);

    return (fit == FIT_ABOVE && more == STAT_MORE_RAISES) ||
           (fit == FIT_BELOW && more == STAT_MORE_LOWERS);
}

static void not_assessable(struct work *work, const char *reason, bool little)
{
    if (work->result.standing == STANDING_WITHIN) {
        work->result.standing = STANDING_NOT_ASSESSABLE;
        work->result.reason = reason;
        work->result.too_little = little;
    }
}

/* Keep the worst figure: one beyond the bound before any other, then the one nearest to it. */
static void keep_worst(struct work *work, const struct figure *figure, bool outside)
{
    struct amount shown;
    enum side side;

    if (!figure_shown(figure, &shown))
        return;

    struct arena *mem = work->judgement->mem;
    struct amount excess = bound_excess(mem, &work->judgement->bound, shown, &side);
    bool worse =
        !work->result.has_figure || outside > work->worst_outside ||
        (outside == work->worst_outside && amount_compare(mem, excess, work->worst_excess) > 0);

    if (!worse)
        return;
    work->result.has_figure = true;
    work->result.worst = *figure;
    work->worst_excess = excess;
    work->worst_outside = outside;
    if (outside)
        work->result.side = side;
}

/* Not-detecteds without a limit, of all the period. */
static const char *not_told_words(const struct work *work)
{
    size_t count = work->reduced.not_told;
    bool alone = !work->judgement->statistic;

    return arena_printf(work->judgement->mem, "%zu %s not detected with no limit told and %s %s",
                        count, count == 1 ? "sample was" : "samples were",
                        alone        ? "can't be"
                        : count == 1 ? "is not"
                                     : "are not",
                        alone ? "compared" : "in the figure");
}

static const char *open_words(const struct work *work, const struct figure *figure)
{
    struct arena *mem = work->judgement->mem;
    struct amount shown;

    if (figure->not_told > 0)
        return not_told_words(work);
    if (figure->blocked)
        return figure->blocked;
    if (!figure_shown(figure, &shown))
        return "it could be any number";

    return arena_printf(mem, "%c%s can be on either side of the bound", figure->qualifier,
                        exact_text(mem, amount_exact(mem, shown), DECIMAL_DIGITS_MOST));
}

/* Compare one figure of a group that lacks something for the reason `little`, or nothing. */
static void compare(struct work *work, const struct figure *figure, const char *little)
{
    enum fit fit = figure_fit(work->judgement, figure);
    bool beyond = fit == FIT_ABOVE || fit == FIT_BELOW;
    bool outside = beyond && (!little || is_final(work->judgement->limit, fit));

    keep_worst(work, figure, outside);
    if (outside) {
        work->result.standing = STANDING_OUTSIDE;
        work->result.beyond++;
        if (figure->day != NO_INDEX)
            work->reduced.days[figure->day].outside = true;
    } else if (!little && fit == FIT_UNKNOWN) {
        not_assessable(work, open_words(work, figure), false);
    }
}

static void judge_group(struct work *work, const struct group *group)
{
    const struct judgement *judgement = work->judgement;
    const char *little = too_little(work, group);

    for (size_t i = 0; i < group->count; i++) {
        if (figure_is_missing(&group->figures[i]))
            continue;
        work->result.samples++;
        work->result.less_thans += figure_is_less_than(&group->figures[i]);
    }
    if (little)
        not_assessable(work, little, true);
    if (group->count == 0)
        return;

    if (!judgement->statistic) {
        for (size_t i = 0; i < group->count; i++)
            compare(work, &group->figures[i], little);
        return;
    }

    const char *note;
    const struct figure_window window = {
        .pass = work->pass,
        .reduced = &work->reduced,
        .figures = group->figures,
        .count = group->count,
        .first_day = group->first_day,
        .after_day = group->after_day,
        .from_at = judgement->days[group->first_day].start,
        .until_at = judgement->days[group->after_day - 1].end,
    };
    struct figure figure = window_figure(judgement, &window, &note);

    if (judgement->limit->period == PERIOD_DAY)
        figure.day = (int)group->first_day;
    compare(work, &figure, little);
}

/* A day without any reading is judged only where something is asked of every day. */
static bool day_is_asked(const struct work *work, size_t day)
{
    const struct limit *limit = work->judgement->limit;
    const struct judged_day *judged = &work->judgement->days[day];

    return !judged->why_not && judged->over && (limit->least_samples > 0 || work->coverage != NULL);
}

static void judge_days(struct work *work)
{
    const struct judgement *judgement = work->judgement;
    const struct figure_list *figures = &work->reduced.figures;
    size_t at = 0;

    /* Rows of no known time come first: each is a day of its own. */
    for (; at < figures->count && figures->items[at].day == NO_INDEX; at++)
        compare(work, &figures->items[at], NULL);
    for (size_t day = 0; day < judgement->day_count; day++) {
        struct group group = {.first_day = day,
                              .after_day = day + 1,
                              .figures = figures->items + at,
                              .readings = work->reduced.days[day].readings};

        while (at < figures->count && figures->items[at].day == (int)day)
            at++;
        group.count = (size_t)(figures->items + at - group.figures);
        if (group.count > 0 || day_is_asked(work, day))
            judge_group(work, &group);
    }
    if (work->reduced.unknown_load)
        not_assessable(work, work->reduced.unknown_load, true);
    else if (work->reduced.gaps > 0 && gaps_matter(judgement->limit))
        not_assessable(work, work->reduced.first_gap, true);
}

/* Coverage of the whole, for the verdict to show. */
static void show_coverage(struct work *work)
{
    struct group all = {.after_day = work->judgement->day_count};

    if (!work->coverage)
        return;
    work->result.has_coverage = true;
    work->result.coverage = coverage_percent(group_coverage(work, &all));
}

struct pass_result pass_run(const struct judgement *judgement, enum pass pass)
{
    const struct limit *limit = judgement->limit;
    bool adds_up = limit->daily == DAILY_TOTAL || limit->daily == DAILY_LOAD;
    struct work work = {.judgement = judgement,
                        .pass = pass,
                        .reduced = reduce_days(judgement, pass),
                        .result = {.standing = STANDING_WITHIN}};

    if (limit->least_coverage.coefficient > 0)
        work.coverage = adds_up ? coverage_by_figures(judgement, &work.reduced)
                                : coverage_of_days(judgement, pass != PASS_WITHOUT);

    if (limit->period == PERIOD_DAY) {
        judge_days(&work);
    } else {
        struct group all = {.after_day = judgement->day_count,
                            .figures = work.reduced.figures.items,
                            .count = work.reduced.figures.count};

        judge_group(&work, &all);
    }
    if (work.reduced.figures.count == 0)
        not_assessable(&work, "no result in the period", true);
    show_coverage(&work);
    work.result.days = work.reduced.days;
    work.result.samples -= work.reduced.together;
    work.result.not_told = work.reduced.not_told;
    work.result.together_days = work.reduced.together_days;

    return work.result;
}
