#include "judge/pass_window.h"

#include "judge/alike.h"
#include "judge/allowance.h"
#include "judge/covered.h"
#include "judge/no_result.h"
#include "judge/period.h"
#include "judge/shared.h"
#include "judge/timeless.h"
#include "judge/window_figure.h"

/* A window while it is judged. */
struct one {
    const struct window_work *work;
    const struct limit *limit;
    const struct figure *figures; /* those of no known time first */
    size_t count;
    size_t held;   /* samples of them, without the place it is compared with */
    size_t filled; /* and those that stand in for a day without a result: no samples */
    bool few;      /* fewer samples than the clause asks for */
    struct pass_window *out;
};

/* Of a run its own time; totals and loads are of whole days also then. */
static struct coverage window_coverage(const struct window_work *work, const struct window *window)
{
    if (work->judgement->limit->period == PERIOD_DISCHARGE_RUN && !work->covers_whole_days)
        return coverage_between(work->judgement, work->pass != PASS_WITHOUT, window->from_at,
                                window->until_at);

    return coverage_sum(work->coverage, window->first_day, window->after_day);
}

/* It can only hide something, or only more. */
bool pass_window_gaps_matter(const struct limit *limit)
{
    if (limit->daily == DAILY_TOTAL)
        return limit->statistic != STATISTIC_MEAN && limit->statistic != STATISTIC_MEDIAN &&
               limit->statistic != STATISTIC_GEOMETRIC_MEAN;

    return limit->daily == DAILY_LOAD && limit->statistic == STATISTIC_SUM;
}

/* Days of the window without the figure, or the load, that they should have. */
static const char *gap_words(const struct one *one)
{
    const struct judgement *judgement = one->work->judgement;
    const struct window *window = &one->out->window;
    const char *first = NULL;
    size_t gaps = 0;

    for (size_t i = window->first_day; i < window->after_day; i++) {
        const struct pass_day *day = &one->work->reduced->days[i];

        if (!day->gap)
            continue;
        if (!first || day->unknown_load)
            first = arena_printf(judgement->mem, "%s on %s", day->note,
                                 day_words(judgement->mem, judgement->days[i].day));
        if (day->unknown_load)
            return first;
        gaps++;
    }
    if (!first || !pass_window_gaps_matter(one->limit))
        return NULL;

    return gaps == 1 ? first
                     : arena_printf(judgement->mem, "%s and on %zu more days", first, gaps - 1);
}

/* What the clause asks of the number of samples, and what its allowance does. */
static const char *too_few(const struct one *one)
{
    const struct judgement *judgement = one->work->judgement;
    const struct limit *limit = one->limit;
    const struct limit_allowance *allowance = &limit->allowance;
    size_t samples = limit->period == PERIOD_DAY
                         ? one->work->reduced->days[one->out->window.first_day].readings
                         : one->held - one->filled;
    size_t allowed;

    if (limit->least_samples > 0 && samples < (size_t)limit->least_samples)
        return arena_printf(judgement->mem, "too few samples%s: %zu of at least %d",
                            window_words(judgement, &one->out->window), samples,
                            limit->least_samples);
    if (allowance->kind == ALLOWANCE_COUNT && samples < (size_t)allowance->of)
        return arena_printf(judgement->mem,
                            "too few samples%s: %zu of the %d that its allowance "
                            "is for",
                            window_words(judgement, &one->out->window), samples, allowance->of);
    if (samples > 0 && allowance->kind == ALLOWANCE_TABLE &&
        !allowance_of(allowance, samples, &allowed))
        return arena_printf(judgement->mem, "the licence's table has no row for %zu samples%s",
                            samples, window_words(judgement, &one->out->window));

    return NULL;
}

/* The first day of the window that lacks its total or load, with what it lacks; NULL: none. */
static const char *first_lacking(const struct one *one)
{
    const struct judgement *judgement = one->work->judgement;
    const struct window *window = &one->out->window;

    for (size_t i = window->first_day; i < window->after_day; i++) {
        const struct pass_day *day = &one->work->reduced->days[i];

        if (day->gap && day->note)
            return one->limit->period == PERIOD_DAY
                       ? day->note
                       : arena_printf(judgement->mem, "%s on %s", day->note,
                                      day_words(judgement->mem, judgement->days[i].day));
    }

    return NULL;
}

/*
 * Totals and loads are of whole days, and `covers` asks how many of the days have one: what a day
 * lacks is never guessed, however much of it is known.
 */
static const char *too_few_days(const struct one *one)
{
    const struct judgement *judgement = one->work->judgement;
    const struct limit *limit = one->limit;
    const char *what = limit->daily == DAILY_LOAD ? "load" : "total";
    const char *lacks = first_lacking(one);
    const char *words = window_words(judgement, &one->out->window);

    if (!lacks)
        lacks = "nothing that it needs is known";
    if (limit->period == PERIOD_DAY)
        return arena_printf(judgement->mem,
                            "there is no %s%s: %s, and what is missing of a %s is not guessed",
                            what, words, lacks, what);

    return arena_printf(judgement->mem,
                        "too few days%s have a %s: %s percent of at least %s (%s, and what is "
                        "missing of a %s is not guessed)",
                        words, what,
                        decimal_text(judgement->mem, coverage_percent(one->out->coverage)),
                        decimal_text(judgement->mem, limit->least_coverage), lacks, what);
}

/* Why there is too little, or NULL. */
static const char *too_little(struct one *one)
{
    const struct judgement *judgement = one->work->judgement;
    const struct limit *limit = one->limit;
    const char *few = too_few(one);

    one->few = few != NULL;
    if (one->out->window.lacking)
        return one->out->window.lacking;
    if (few)
        return few;
    if (one->work->coverage) {
        struct coverage covered = one->out->coverage;

        if (!coverage_reaches(covered, limit->least_coverage) && one->work->covers_whole_days)
            return too_few_days(one);
        if (!coverage_reaches(covered, limit->least_coverage))
            return covered_too_little(judgement, &one->out->window, covered,
                                      one->work->pass == PASS_WITHOUT);
    }

    return limit->period == PERIOD_DAY ? NULL : gap_words(one);
}

/* What more data could do to the window's figure. */
static enum stat_more more_of(const struct limit *limit)
{
    static const enum stat_more of_day[] = {
        [DAILY_MINIMUM] = STAT_MORE_LOWERS,
        [DAILY_MAXIMUM] = STAT_MORE_RAISES,
        [DAILY_TOTAL] = STAT_MORE_RAISES,
        [DAILY_LOAD] = STAT_MORE_EITHER,
        [DAILY_FLOW_WEIGHTED_MEAN] = STAT_MORE_EITHER,
    };
    static const enum stat_more of_statistic[] = {
        [STATISTIC_VALUE] = STAT_MORE_EITHER,
        [STATISTIC_MINIMUM] = STAT_MORE_LOWERS,
        [STATISTIC_MAXIMUM] = STAT_MORE_RAISES,
        [STATISTIC_SUM] = STAT_MORE_RAISES,
        [STATISTIC_COUNT_BEYOND] = STAT_MORE_RAISES,
        [STATISTIC_CHANGE] = STAT_MORE_RAISES,
        [STATISTIC_RATE] = STAT_MORE_RAISES,
        [STATISTIC_TIME_OUTSIDE] = STAT_MORE_RAISES,
        [STATISTIC_LONGEST_OUTSIDE] = STAT_MORE_RAISES,
    };

    /* Net of an intake, or as a removal, a day may go either way. */
    if (limit->against.kind != AGAINST_NONE &&
        (limit->statistic == STATISTIC_SUM || limit->daily != DAILY_EVERY))
        return STAT_MORE_EITHER;
    if (limit->period == PERIOD_DAY && limit->daily != DAILY_EVERY)
        return of_day[limit->daily];

    return of_statistic[limit->statistic];
}

/* Whether a figure beyond the bound stays there whatever is missing. */
static bool is_final(const struct limit *limit, enum fit fit)
{
    if (limit->statistic == STATISTIC_VALUE &&
        (limit->period != PERIOD_DAY || limit->daily == DAILY_EVERY))
        return true;

    enum stat_more more = more_of(limit);

    return (fit == FIT_ABOVE && more == STAT_MORE_RAISES) ||
           (fit == FIT_BELOW && more == STAT_MORE_LOWERS);
}

static void not_assessable(struct pass_window *out, const char *reason, bool little)
{
    if (out->standing != STANDING_WITHIN)
        return;
    out->standing = STANDING_NOT_ASSESSABLE;
    out->reason = reason;
    out->too_little = little;
}

static const struct bound *bound_of(const struct judgement *judgement, const struct figure *figure)
{
    return figure->own_bound ? figure->own_bound : &judgement->bound;
}

/* Keep the worst figure: one beyond the bound before any other, then the one nearest to it. */
static void keep_worst(const struct judgement *judgement, struct pass_window *out,
                       const struct figure *figure, bool outside)
{
    const struct bound *bound = bound_of(judgement, figure);
    struct amount shown;
    struct pass_window one = {.has_figure = true, .figure = *figure, .figure_outside = outside};

    /* Without a bound of its own it is neither beyond nor near it. */
    if (!figure_shown(figure, &shown) || (!bound->has_ceiling && !bound->has_floor))
        return;
    one.excess = bound_excess(judgement->mem, bound, shown, &one.side);
    if (!pass_window_worse(judgement->mem, &one, out))
        return;
    out->has_figure = true;
    out->figure = *figure;
    out->excess = one.excess;
    out->figure_outside = outside;
    if (outside)
        out->side = one.side;
}

bool pass_window_worse(struct arena *mem, const struct pass_window *a, const struct pass_window *b)
{
    if (!a->has_figure || !b->has_figure)
        return a->has_figure;
    if (a->figure_outside != b->figure_outside)
        return a->figure_outside;

    return amount_compare(mem, a->excess, b->excess) > 0;
}

/* Not-detecteds without a limit. */
static const char *not_told_words(const struct window_work *work, size_t count)
{
    bool alone = work->judgement->limit->statistic == STATISTIC_VALUE;

    return arena_printf(work->judgement->mem, "%zu %s not detected with no limit told and %s %s",
                        count, count == 1 ? "sample was" : "samples were",
                        alone        ? "can't be"
                        : count == 1 ? "is not"
                                     : "are not",
                        alone ? "compared" : "in the figure");
}

/* Of a figure that stands for several, as the lowest does: the one that leaves it open, or itself.
 */
static const struct figure *open_one(const struct window_work *work, const struct figure *figure,
                                     const struct one *of)
{
    if (!of || figure->blocked || figure->qualifier != QUALIFIER_NONE || figure->less_thans == 0)
        return figure;
    for (size_t i = 0; i < of->count; i++)
        if ((of->figures[i].qualifier == QUALIFIER_LESS ||
             of->figures[i].qualifier == QUALIFIER_GREATER) &&
            figure_fit(work->judgement, &of->figures[i]) == FIT_UNKNOWN)
            return &of->figures[i];

    return figure;
}

static const char *open_words(const struct window_work *work, const struct figure *figure)
{
    struct arena *mem = work->judgement->mem;
    struct amount shown;

    if (figure->not_told > 0)
        return not_told_words(work, work->reduced->not_told);
    if (figure->blocked)
        return figure->blocked;
    if (!figure_shown(figure, &shown))
        return "it could be any number";

    return arena_printf(mem, "%.*s%s can be on either side of the bound",
                        figure->qualifier == QUALIFIER_NONE ? 0 : 1, &figure->qualifier,
                        exact_text(mem, amount_exact(mem, shown), DECIMAL_DIGITS_MOST));
}

static bool is_beyond(enum fit fit)
{
    return fit == FIT_ABOVE || fit == FIT_BELOW;
}

static void mark_outside(const struct window_work *work, struct pass_window *out,
                         const struct figure *figure)
{
    out->beyond++;
    if (figure->day != NO_INDEX)
        work->reduced->days[figure->day].outside = true;
}

/* One figure, made of those of `of` (NULL: one of them); what the window lacks is `little`. */
static void compare(const struct window_work *work, struct pass_window *out,
                    const struct figure *figure, const struct one *of, const char *little)
{
    enum fit fit = figure_fit(work->judgement, figure);
    bool outside = is_beyond(fit) && (!little || is_final(work->judgement->limit, fit));

    keep_worst(work->judgement, out, figure, outside);
    if (outside) {
        out->standing = STANDING_OUTSIDE;
        mark_outside(work, out, figure);
    } else if (!little && fit == FIT_UNKNOWN) {
        not_assessable(out, open_words(work, open_one(work, figure, of)), false);
    }
}

void pass_window_compare(const struct window_work *work, struct pass_window *out,
                         const struct figure *figure)
{
    out->samples += !figure_is_missing(figure);
    out->less_thans += figure_is_less_than(figure);
    compare(work, out, figure, NULL, NULL);
}

/* How many may be on either side; `first` is one of them. */
static size_t count_open(const struct one *one, const struct figure **first)
{
    size_t open = 0;

    for (size_t i = 0; i < one->count; i++) {
        const struct figure *figure = &one->figures[i];

        if (figure_fit(one->work->judgement, figure) != FIT_UNKNOWN)
            continue;
        *first = *first ? *first : figure;
        open++;
    }

    return open;
}

/* Taking more samples than the clause speaks of lets no more of them pass; NULL: none more. */
static const char *allowance_note(const struct one *one)
{
    const struct limit_allowance *allowance = &one->limit->allowance;

    if (allowance->kind != ALLOWANCE_COUNT || allowance->of == 0 ||
        one->held <= (size_t)allowance->of)
        return NULL;

    return arena_printf(one->work->judgement->mem,
                        "the clause allows %d of %d, and no more of the %zu there are",
                        allowance->count, allowance->of, one->held);
}

/* Count what lies beyond the bound, and hold it against what the clause lets pass. */
static void judge_allowance(const struct one *one, const char *little)
{
    const struct window_work *work = one->work;
    const struct limit_allowance *allowance = &one->limit->allowance;
    struct pass_window *out = one->out;
    const struct figure *in_between = NULL;
    size_t open = count_open(one, &in_between);

    for (size_t i = 0; i < one->count; i++) {
        const struct figure *figure = &one->figures[i];
        bool beyond = is_beyond(figure_fit(work->judgement, figure));

        keep_worst(work->judgement, out, figure, beyond);
        if (beyond)
            mark_outside(work, out, figure);
    }
    if (!allowance_of(allowance, one->held, &out->allowed))
        return;
    out->note = allowance_note(one);
    if (out->beyond > out->allowed && (!little || allowance_is_fixed(allowance)))
        out->standing = STANDING_OUTSIDE;
    else if (!little && out->beyond + open > out->allowed)
        not_assessable(out,
                       arena_printf(work->judgement->mem, "%s, and that could be one too many",
                                    open_words(work, in_between)),
                       false);
}

static void judge_statistic(const struct one *one, const char *little)
{
    const struct window *window = &one->out->window;
    const struct figure_window asked = {
        .pass = one->work->pass,
        .reduced = one->work->reduced,
        .figures = one->figures,
        .count = one->count,
        .first_day = window->first_day,
        .after_day = window->after_day,
        .from_at = window->from_at,
        .until_at = window->until_at,
    };
    struct figure figure = window_figure(one->work->judgement, &asked, &one->out->note);

    /* One more result may lower the mean that is multiplied with all of the water. */
    if (one->few && one->limit->load_water == LOAD_MEAN_TIMES_VOLUME)
        figure.range.low.known = false;
    if (one->limit->period == PERIOD_DAY)
        figure.day = (int)window->first_day;
    compare(one->work, one->out, &figure, one, little);
}

/* Whether the mean of the other days stands in for the result that its day lacks. */
static bool is_filled(const struct one *one, const struct figure *figure)
{
    const struct pass_day *days = one->work->reduced->days;

    return one->limit->load_gap == LOAD_GAP_PERIOD_MEAN && figure->day != NO_INDEX &&
           days[figure->day].filled && !days[figure->day].has_concentration;
}

/* With too few samples one more may change what stands in: what is beyond already is without it. */
static void drop_filled(struct one *one)
{
    struct figure *figures = ARENA_ARRAY(one->work->judgement->mem, struct figure, one->count);
    size_t count = 0;

    for (size_t i = 0; i < one->count; i++)
        if (!is_filled(one, &one->figures[i]))
            figures[count++] = one->figures[i];
    one->figures = figures;
    one->count = count;
    one->out->samples -= one->filled;
}

static void count_samples(struct one *one)
{
    if (one->work->judgement->shared) {
        one->held = one->out->samples = one->count;
        return;
    }
    for (size_t i = 0; i < one->count; i++) {
        const struct figure *figure = &one->figures[i];

        one->out->not_told += figure->not_told;
        if (one->work->judgement->places[figure->place].against)
            continue;
        one->held++;
        one->filled += is_filled(one, figure);
        if (figure_is_missing(figure))
            continue;
        one->out->samples++;
        one->out->less_thans += figure_is_less_than(figure);
    }
}

/*
 * Whether what is of no known time is put to the figures of a window. A day is judged without: one
 * such row is held against its bound by itself (pass.c), unless the bound is on how many there are.
 */
static bool takes_timeless(const struct limit *limit)
{
    return limit->period != PERIOD_DAY || limit_counts_beyond(limit);
}

/* The window's figures, and those of no known time, which may belong to it. */
static void pick_figures(struct one *one)
{
    const struct figure_list *list = &one->work->reduced->figures;
    const struct window *window = &one->out->window;
    bool alone = one->limit->statistic == STATISTIC_VALUE &&
                 one->limit->allowance.kind == ALLOWANCE_NONE && !period_is_span(one->limit);
    size_t unknown = 0;

    one->figures = list->items + window->first;
    one->count = window->after - window->first;
    while (!alone && takes_timeless(one->limit) && unknown < list->count &&
           window_figure_day(one->work->judgement, &list->items[unknown]) == NO_INDEX)
        unknown++;
    if (unknown == 0)
        return;

    struct figure *figures =
        ARENA_ARRAY(one->work->judgement->mem, struct figure, unknown + one->count);

    for (size_t i = 0; i < unknown; i++)
        figures[i] = list->items[i];
    for (size_t i = 0; i < one->count; i++)
        figures[unknown + i] = one->figures[i];

    size_t kept = timeless_settle(one->work->judgement, one->work->pass, window,
                                  one->work->reduced->days, figures, unknown, unknown + one->count);

    for (size_t i = 0; i < one->count && kept < unknown; i++)
        figures[kept + i] = figures[unknown + i];
    one->figures = figures;
    one->count += kept;
    one->out->timeless = one->limit->daily == DAILY_EVERY ? 0 : kept;
}

/* Why the clause asks nothing of the window: of none of its days so far. NULL: it does. */
static const char *nothing_due(const struct judgement *judgement, const struct window *window)
{
    const char *why = NULL;

    for (size_t i = window->first_day; i < window->after_day; i++) {
        const struct judged_day *day = &judgement->days[i];

        if (!day->begun || !day->in_force)
            continue;
        if (!day->why_not)
            return NULL;
        why = day->discharge == DISCHARGE_NONE ? "no discharge" : day->why_not;
    }

    return why;
}

/* Plain figures: the lowest and the highest speak for the rest where both are within the bound. */
static bool all_within(const struct one *one, const char *little)
{
    const struct judgement *judgement = one->work->judgement;
    struct shared_ends ends = shared_ends_of(judgement, one->figures, one->count);
    const struct figure *low = &one->figures[ends.lowest];
    const struct figure *high = &one->figures[ends.highest];

    if (figure_fit(judgement, low) != FIT_WITHIN || figure_fit(judgement, high) != FIT_WITHIN)
        return false;
    /* The earlier one first: of two as near to the bound it is the one shown. */
    compare(one->work, one->out, low < high ? low : high, NULL, little);
    compare(one->work, one->out, low < high ? high : low, NULL, little);

    return true;
}

static void judge_figures(const struct one *one, const char *little)
{
    if (one->limit->allowance.kind != ALLOWANCE_NONE)
        judge_allowance(one, little);
    else if (one->limit->statistic != STATISTIC_VALUE)
        judge_statistic(one, little);
    else if (!one->work->judgement->shared || !all_within(one, little))
        for (size_t i = 0; i < one->count; i++)
            compare(one->work, one->out, &one->figures[i], NULL, little);
}

struct pass_window pass_window_judge(const struct window_work *work, const struct window *window)
{
    const struct judgement *judgement = work->judgement;
    struct pass_window out = {.window = *window, .standing = STANDING_WITHIN, .allowed = SIZE_MAX};
    struct one one = {.work = work, .limit = judgement->limit, .out = &out};

    pick_figures(&one);
    count_samples(&one);
    one.held -= alike_portions(judgement, one.figures, one.count);
    if (work->coverage)
        out.coverage = window_coverage(work, window);
    if (window->why_not) {
        not_assessable(&out, window->why_not, false);
        return out;
    }
    if (one.count == 0 && nothing_due(judgement, window)) {
        out.standing = STANDING_NOTHING_DUE;
        out.reason = nothing_due(judgement, window);
        return out;
    }

    const char *little = too_little(&one);

    if (little)
        not_assessable(&out, little, true);
    out.samples -= out.timeless < out.samples ? out.timeless : out.samples;
    if (one.few && one.filled > 0)
        drop_filled(&one);
    if (one.count > 0)
        judge_figures(&one, little);
    else
        not_assessable(&out, no_result_words(judgement, window), true);

    return out;
}
