#include "judge/pass.h"

#include <stdlib.h>

#include "judge/across.h"
#include "judge/pass_window.h"
#include "judge/period.h"

bool pass_takes(const struct use *use, enum pass pass)
{
    if (use->why_not || (use->passed_over & (1U << pass)) != 0)
        return false;
    if (use->trust == TRUST_SOUND || (use->trust == TRUST_IN_DOUBT && pass == PASS_ALL))
        return true;

    bool above = pass == PASS_ABOVE || pass == PASS_TRY_ABOVE;
    bool below = pass == PASS_BELOW || pass == PASS_TRY_BELOW;

    if (use->trust == TRUST_IN_DOUBT)
        return (above && use->fit == FIT_ABOVE) || (below && use->fit == FIT_BELOW);

    /* Of one that is tried the side is its own: what may be beyond its bound may stop too. */
    return (pass == PASS_TRY_ABOVE && use->tried_side == SIDE_ABOVE &&
            (use->fit == FIT_ABOVE || use->fit == FIT_UNKNOWN)) ||
           (pass == PASS_TRY_BELOW && use->tried_side == SIDE_BELOW &&
            (use->fit == FIT_BELOW || use->fit == FIT_UNKNOWN));
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

/* A pass while it is being worked out. */
struct run {
    const struct judgement *judgement;
    struct window_work work;
    struct reduced reduced;
    struct pass_result result;
    int across_rank; /* of the window shown, of a clause across periods; 0: none yet */
};

static void not_assessable(struct pass_result *result, const char *reason, bool little)
{
    if (result->standing != STANDING_WITHIN)
        return;
    result->standing = STANDING_NOT_ASSESSABLE;
    result->reason = reason;
    result->too_little = little;
}

/* Of what was asked, for the verdict to show: of runs their own time, else the days. */
static void show_coverage(struct run *run)
{
    const struct judgement *judgement = run->judgement;
    struct pass_result *result = &run->result;
    struct coverage all = {0};

    if (!run->work.coverage)
        return;
    if (judgement->limit->period != PERIOD_DISCHARGE_RUN)
        all = coverage_sum(run->work.coverage, judgement->first_asked, judgement->after_asked);
    else
        for (size_t i = 0; i < result->window_count; i++) {
            all.covered_us += result->windows[i].coverage.covered_us;
            all.asked_us += result->windows[i].coverage.asked_us;
        }
    result->has_coverage = true;
    result->coverage = coverage_percent(all);
}

static int order(const void *a, const void *b, void *context)
{
    const struct figure *left = a;
    const struct figure *right = b;
    const struct run *run = context;
    int left_day = window_figure_day(run->judgement, left);
    int right_day = window_figure_day(run->judgement, right);

    if (left_day != right_day)
        return left_day < right_day ? -1 : 1;
    if (left->at != right->at)
        return left->at < right->at ? -1 : 1;

    return left->use < right->use ? -1 : left->use > right->use;
}

/* By days and instants: a span may count on another day than the one it began. */
static void put_in_order(struct run *run)
{
    struct figure_list *figures = &run->reduced.figures;
    bool sorted = true;

    if (run->judgement->shared)
        return;
    for (size_t i = 1; i < figures->count && sorted; i++)
        sorted = order(&figures->items[i - 1], &figures->items[i], run) <= 0;
    if (!sorted)
        qsort_r(figures->items, figures->count, sizeof(*figures->items), order, run);
}

/* Single values that are not counted window by window: those of no known time come once. */
static void compare_unknown(struct run *run, struct pass_window *out)
{
    const struct figure_list *figures = &run->reduced.figures;

    for (size_t i = 0; i < figures->count; i++) {
        if (window_figure_day(run->judgement, &figures->items[i]) != NO_INDEX)
            break;
        pass_window_compare(&run->work, out, &figures->items[i]);
    }
}

/* Days that should have a figure of their own and have none. */
static void look_for_gaps(struct run *run)
{
    if (run->reduced.unknown_load)
        not_assessable(&run->result, run->reduced.unknown_load, true);
    else if (run->reduced.gaps > 0 && pass_window_gaps_matter(run->judgement->limit))
        not_assessable(&run->result, run->reduced.first_gap, true);
}

/* Take one window's standing into that of all. */
static void add_standing(struct pass_result *result, enum standing standing, enum side side,
                         const char *reason, bool little)
{
    if (standing == STANDING_OUTSIDE) {
        if (result->standing != STANDING_OUTSIDE)
            result->side = side;
        result->standing = STANDING_OUTSIDE;
        result->reason = NULL;
    } else if (standing == STANDING_NOT_ASSESSABLE) {
        not_assessable(result, reason, little);
    }
}

static bool is_alone(const struct limit *limit)
{
    return limit->statistic == STATISTIC_VALUE && limit->allowance.kind == ALLOWANCE_NONE;
}

/* Keep the worst figure of all windows asked for. */
static void keep_worst(struct run *run, const struct pass_window *window, size_t index)
{
    struct pass_result *result = &run->result;
    const struct pass_window *worst =
        result->has_figure ? &result->windows[result->worst_window] : NULL;
    bool outside = window->standing == STANDING_OUTSIDE;
    bool worst_outside = worst && worst->standing == STANDING_OUTSIDE;

    if (!window->has_figure)
        return;
    if (worst &&
        (outside != worst_outside ? worst_outside
                                  : !pass_window_worse(run->judgement->mem, window, worst)))
        return;
    result->has_figure = true;
    result->worst = window->figure;
    result->worst_excess = window->excess;
    result->worst_outside = window->figure_outside;
    result->worst_window = index;
    if (outside)
        result->side = window->side;
}

/* What is counted: of single values all of them, else what the worst window holds. */
static void add_counts(struct pass_result *result, const struct limit *limit)
{
    const struct pass_window *worst = &result->windows[result->worst_window];
    bool one_window = result->window_count == 1;

    for (size_t i = 0; i < result->window_count; i++) {
        const struct pass_window *window = &result->windows[i];

        if (!window->window.asked)
            continue;
        if (is_alone(limit) || limit->period == PERIOD_DAY) {
            result->samples += window->samples;
            result->less_thans += window->less_thans;
            result->beyond += window->beyond;
        } else if (!one_window) {
            result->beyond += window->standing == STANDING_OUTSIDE;
        }
    }
    if (is_alone(limit) || limit->period == PERIOD_DAY || result->window_count == 0)
        return;
    result->samples = worst->samples;
    result->timeless = worst->timeless;
    result->less_thans = worst->less_thans;
    if (one_window)
        result->beyond = worst->beyond;
}

/* A window that still runs and has too little yet says nothing, beside others that do. */
static bool says_nothing_yet(const struct pass_result *result, const struct pass_window *window)
{
    if (!window->window.so_far || !window->too_little ||
        window->standing != STANDING_NOT_ASSESSABLE)
        return false;
    for (size_t i = 0; i < result->window_count; i++)
        if (result->windows[i].window.asked && !result->windows[i].window.so_far)
            return true;

    return false;
}

/* Show the window whose periods decide; of those alike the last. */
static void keep_across(struct run *run, const struct across *across, size_t index)
{
    static const int ranks[] = {
        [STANDING_WITHIN] = 1,
        [STANDING_OUTSIDE] = 3,
        [STANDING_NOT_ASSESSABLE] = 2,
        [STANDING_NOTHING_DUE] = 1,
    };
    struct pass_result *result = &run->result;
    const struct pass_window *window = &result->windows[index];

    if (ranks[across->standing] < run->across_rank)
        return;
    run->across_rank = ranks[across->standing];
    result->across_first = across->first;
    result->across_beyond = across->beyond;
    result->worst_window = index;
    result->has_figure = window->has_figure;
    result->worst = window->figure;
    result->worst_excess = window->excess;
    result->worst_outside = window->figure_outside;
}

static void judge_asked(struct run *run, size_t index)
{
    const struct judgement *judgement = run->judgement;
    struct pass_result *result = &run->result;
    const struct pass_window *window = &result->windows[index];

    if (judgement->limit->across_of == 0) {
        keep_worst(run, window, index);
        if (!says_nothing_yet(result, window))
            add_standing(result, window->standing, window->side, window->reason,
                         window->too_little);
        return;
    }

    struct across across = across_judge(judgement->mem, judgement->limit, result->windows, index);

    keep_across(run, &across, index);
    if (across.standing == STANDING_OUTSIDE || !says_nothing_yet(result, window))
        add_standing(result, across.standing, across.side, across.reason, across.too_little);
}

/* Whether there are windows asked for and nothing was due in any of them. */
static const char *nothing_due(const struct pass_result *result)
{
    const char *reason = NULL;

    for (size_t i = 0; i < result->window_count; i++) {
        if (!result->windows[i].window.asked)
            continue;
        if (result->windows[i].standing != STANDING_NOTHING_DUE)
            return NULL;
        reason = result->windows[i].reason;
    }

    return reason;
}

static void judge_windows(struct run *run)
{
    const struct judgement *judgement = run->judgement;
    struct pass_result *result = &run->result;
    struct window_list windows = windows_list(judgement, &run->reduced.figures);
    const char *reason;

    result->windows = ARENA_ARRAY(judgement->mem, struct pass_window, windows.count);
    result->window_count = windows.count;
    for (size_t i = 0; i < windows.count; i++)
        result->windows[i] = pass_window_judge(&run->work, &windows.items[i]);
    for (size_t i = 0; i < windows.count; i++)
        if (windows.items[i].asked)
            judge_asked(run, i);
    add_counts(result, judgement->limit);
    reason = nothing_due(result);
    if (reason && result->standing == STANDING_WITHIN) {
        result->standing = STANDING_NOTHING_DUE;
        result->reason = reason;
    }
}

/* Rows of no known time, where each value is compared by itself: they are in no window. */
static void judge_unknown(struct run *run)
{
    struct pass_result *result = &run->result;
    struct pass_window unknown = {.standing = STANDING_WITHIN};
    const struct limit *limit = run->judgement->limit;

    if (period_is_span(limit) || !(is_alone(limit) || limit->period == PERIOD_DAY))
        return;
    /* Of a change, a time or a count one value is no figure. */
    if (limit_of_change(limit) || limit_counts_beyond(limit))
        return;
    compare_unknown(run, &unknown);
    if (unknown.samples == 0 && unknown.standing == STANDING_WITHIN)
        return;
    add_standing(result, unknown.standing, unknown.side, unknown.reason, false);
    result->samples += unknown.samples;
    result->less_thans += unknown.less_thans;
    result->beyond += unknown.beyond;
    if (!unknown.has_figure)
        return;

    const struct pass_window worst = {.has_figure = result->has_figure,
                                      .figure_outside = result->worst_outside,
                                      .excess = result->worst_excess};

    if (!pass_window_worse(run->judgement->mem, &unknown, &worst))
        return;
    result->has_figure = true;
    result->worst = unknown.figure;
    if (unknown.figure_outside)
        result->side = unknown.side;
}

struct pass_result pass_run(const struct judgement *judgement, enum pass pass)
{
    const struct limit *limit = judgement->limit;
    bool adds_up = limit->daily == DAILY_TOTAL || limit->daily == DAILY_LOAD;
    struct run run = {.judgement = judgement,
                      .reduced = reduce_days(judgement, pass),
                      .result = {.standing = STANDING_WITHIN}};

    run.work = (struct window_work){.judgement = judgement,
                                    .pass = pass,
                                    .reduced = &run.reduced,
                                    .covers_whole_days = adds_up};
    if (limit->least_coverage.coefficient > 0)
        run.work.coverage = adds_up ? coverage_by_figures(judgement, &run.reduced)
                                    : coverage_of_days(judgement, pass != PASS_WITHOUT);
    put_in_order(&run);
    judge_windows(&run);
    judge_unknown(&run);
    if (limit->period == PERIOD_DAY)
        look_for_gaps(&run);
    if (run.reduced.figures.count == 0)
        not_assessable(&run.result, "no result in the period", true);
    show_coverage(&run);
    run.result.days = run.reduced.days;
    run.result.figures = run.reduced.figures;
    run.result.samples -= run.reduced.together;
    run.result.not_told = run.reduced.not_told;
    run.result.together_days = run.reduced.together_days;

    return run.result;
}
