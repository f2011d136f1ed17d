#include "judge/show.h"

#include <math.h>
#include <string.h>

#include "judge/load_steps.h"
#include "judge/period.h"
#include "judge/show_readings.h"

enum { FIGURES_SHOWN = 12, FIGURES_MOST = 6 };

static const struct exact *shown_exact(struct arena *mem, bool has, const struct figure *figure)
{
    struct amount shown;

    return has && figure_shown(figure, &shown) ? amount_exact(mem, shown) : NULL;
}

static void show_day(const struct judgement *judgement, const struct pass_day *from,
                     struct verdict_day *out)
{
    struct arena *mem = judgement->mem;

    out->readings = from->readings;
    out->concentration = shown_exact(mem, from->has_concentration, &from->concentration);
    out->volume = load_steps_water(judgement, from->volume);
    out->figure = shown_exact(mem, from->has_figure, &from->figure);
    out->loads = from->has_figure ? from->figure.loads : NULL;
    out->figure_qualifier = from->has_figure ? from->figure.qualifier : QUALIFIER_NONE;
    out->outside = from->outside;
    out->filled = from->filled;
    if (from->note)
        out->note = from->note;
}

static void show_days(const struct judgement *judgement, const struct pass_result *result,
                      struct verdict *verdict)
{
    verdict->day_count = judgement->day_count;
    verdict->days = ARENA_ARRAY(judgement->mem, struct verdict_day, judgement->day_count);
    for (size_t i = 0; i < judgement->day_count; i++) {
        const struct judged_day *day = &judgement->days[i];

        verdict->days[i] = (struct verdict_day){
            .day = day->day,
            .discharge = day->discharge,
            .discharge_because = day->because,
            .figure_qualifier = QUALIFIER_NONE,
            .note = day->why_not,
        };
        if (result)
            show_day(judgement, &result->days[i], &verdict->days[i]);
    }
}

/*
 * Whether a number is one that was reported, digit for digit, and not turned from another unit; of
 * `kinds` (enum limit_kinds) only.
 */
static bool as_reported(const struct judgement *judgement, struct amount number, unsigned kinds)
{
    for (size_t i = 0; i < judgement->count && !number.exact; i++) {
        const struct use *use = &judgement->items[i];
        struct decimal reported =
            use->series == NO_INDEX
                ? judgement->evidence->set_aside[use->reading].value
                : judgement->evidence->series[use->series].readings[use->reading].reported;

        bool of_kind =
            use->series == NO_INDEX || (judgement->evidence->series[use->series].kind & kinds) != 0;

        if (of_kind && use->has_value && reported.coefficient == number.decimal.coefficient &&
            reported.scale == number.decimal.scale)
            return true;
    }

    return false;
}

/* A single value that is not rounded keeps the digits it was reported with: pH 8.00 is no 8. */
static const char *compared_digits(const struct judgement *judgement, struct amount shown,
                                   struct rounding rounding)
{
    struct arena *mem = judgement->mem;

    if (rounding.rule == ROUND_NONE && judgement->single && as_reported(judgement, shown, ~0U))
        return decimal_text(mem, shown.decimal);

    return exact_rounded_text(mem, amount_exact(mem, shown), rounding);
}

/* Of a state, the word that was read; NULL where the figure is a number. */
static const char *state_read(const struct judgement *judgement, const struct figure *figure)
{
    if (judgement->limit->bound_by.kind != BOUND_STATE || figure->use == NO_INDEX)
        return NULL;

    const struct use *use = &judgement->items[figure->use];

    return use->series == NO_INDEX
               ? judgement->evidence->set_aside[use->reading].unit
               : judgement->evidence->series[use->series].readings[use->reading].unit;
}

/* A figure as it was compared. */
struct shown {
    const struct exact *figure;
    const struct exact *compared;
    const char *figure_text;
    const char *compared_text;
    const char *compared_shown;
    enum side nearer; /* the bound that it is nearer to */
    const struct bound *bound;
};

static int side_of_end(struct arena *mem, struct amount value, bool has, struct amount end)
{
    return has ? amount_compare(mem, value, end) : 0;
}

/* Whether a shortened number lies to both bounds as the number itself does. */
static bool keeps_sides(struct arena *mem, const struct bound *bound, struct amount number,
                        struct amount shortened)
{
    return side_of_end(mem, number, bound->has_ceiling, bound->ceiling) ==
               side_of_end(mem, shortened, bound->has_ceiling, bound->ceiling) &&
           side_of_end(mem, number, bound->has_floor, bound->floor) ==
               side_of_end(mem, shortened, bound->has_floor, bound->floor);
}

/* A percent that was worked out says little beyond a digit more than its bound has. */
static int percent_decimals(const struct limit *limit)
{
    int ceiling = limit->bound.has_ceiling ? limit->bound.ceiling.scale : 0;
    int floor = limit->bound.has_floor ? limit->bound.floor.scale : 0;

    return (ceiling > floor ? ceiling : floor) + 1;
}

/* What was worked out and is rounded by no clause, shortened as far as it shows its side. */
static const char *shortened(const struct judgement *judgement, const struct shown *shown,
                             struct amount number)
{
    struct arena *mem = judgement->mem;
    const char *unit = limit_figure_unit(mem, judgement->limit);
    bool percent = unit && strcmp(unit, "%") == 0;
    int digits = percent ? percent_decimals(judgement->limit) : FIGURES_MOST;

    /* Whole numbers lose no digits. */
    if (fabs(exact_double(shown->figure)) >= pow(10, FIGURES_MOST))
        return shown->compared_text;
    for (; digits < FIGURES_SHOWN; digits++) {
        const struct exact *rounded =
            exact_round(mem, shown->figure,
                        (struct rounding){ROUND_HALF_UP,
                                          percent ? ROUND_TO_DECIMALS : ROUND_TO_FIGURES, digits});

        if (keeps_sides(mem, shown->bound, number, (struct amount){.exact = rounded}))
            return exact_text(mem, rounded, FIGURES_SHOWN);
    }

    return shown->compared_text;
}

static bool show_compared(const struct judgement *judgement, const struct figure *figure,
                          struct shown *out)
{
    struct arena *mem = judgement->mem;
    struct amount number;

    if (!figure_shown(figure, &number))
        return false;
    out->bound = figure->own_bound ? figure->own_bound : &judgement->bound;

    struct rounding rounding = out->bound->rounding;

    bound_excess(mem, out->bound, number, &out->nearer);
    out->figure = amount_exact(mem, number);
    out->figure_text = exact_text(mem, out->figure, FIGURES_SHOWN);
    if (figure->range.low.open || figure->range.high.open)
        rounding.rule = ROUND_NONE;
    out->compared = exact_round(mem, out->figure, rounding);
    out->compared_text = arena_printf(mem, "%s%s",
                                      figure->qualifier == QUALIFIER_LESS      ? "<"
                                      : figure->qualifier == QUALIFIER_GREATER ? ">"
                                                                               : "",
                                      compared_digits(judgement, number, rounding));

    const char *state = state_read(judgement, figure);

    if (state)
        out->figure_text = out->compared_text = state;
    out->compared_shown = out->compared_text;
    if (rounding.rule == ROUND_NONE && figure->qualifier == QUALIFIER_NONE && !state &&
        !(judgement->single && as_reported(judgement, number, ~(unsigned)KIND_DERIVED)))
        out->compared_shown = shortened(judgement, out, number);

    return true;
}

/* A bound of its own has no digits as written: up to 12. */
static const char *bound_digits(const struct judgement *judgement, const struct bound *bound,
                                enum side side)
{
    struct arena *mem = judgement->mem;

    if (bound == &judgement->bound)
        return bound_text(mem, judgement->limit, side);

    return exact_text(mem, amount_exact(mem, side == SIDE_BELOW ? bound->floor : bound->ceiling),
                      FIGURES_SHOWN);
}

static void show_figure(const struct judgement *judgement, const struct pass_result *result,
                        struct verdict *verdict)
{
    struct shown shown;

    if (!result->has_figure || !show_compared(judgement, &result->worst, &shown))
        return;
    verdict->figure = shown.figure;
    verdict->figure_text = shown.figure_text;
    verdict->compared = shown.compared;
    verdict->compared_text = shown.compared_text;
    verdict->compared_shown = shown.compared_shown;
    verdict->bound_text = bound_digits(judgement, shown.bound,
                                       verdict->side == SIDE_NONE ? shown.nearer : verdict->side);
    verdict->near_bound = bound_near(judgement->mem, judgement->limit, shown.bound,
                                     amount_from_exact(shown.compared));
}

/* A window of its own: not where each value stands for itself in the whole span, or in a day. */
static bool has_windows(const struct limit *limit)
{
    bool alone = limit->statistic == STATISTIC_VALUE && limit->allowance.kind == ALLOWANCE_NONE;

    return !alone || (limit->period != PERIOD_DAY && !period_is_span(limit));
}

static struct verdict_window window_of(const struct judgement *judgement,
                                       const struct pass_window *from)
{
    struct verdict_window window = {
        .from = from->window.from,
        .to = from->window.to,
        .from_at = from->window.from_at,
        .until_at = from->window.until_at,
        .standing = from->standing,
        .side = from->standing == STANDING_OUTSIDE ? from->side : SIDE_NONE,
        .so_far = from->window.so_far,
        .samples = from->samples,
        .beyond = from->beyond,
        .allowed = from->allowed,
        .too_few = judgement->limit->period == PERIOD_LAST_SAMPLES &&
                   from->window.after - from->window.first < (size_t)judgement->limit->last_samples,
        .reason = from->reason,
        .note = from->note,
    };
    struct shown shown;

    if (from->has_figure && show_compared(judgement, &from->figure, &shown)) {
        window.outside = from->figure.outside;
        window.loads =
            judgement->limit->load_water == LOAD_MEAN_TIMES_VOLUME ? from->figure.loads : NULL;
        window.figure = shown.figure;
        window.figure_text = shown.figure_text;
        window.compared = shown.compared;
        window.compared_text = shown.compared_text;
    }
    if (window.standing == STANDING_OUTSIDE)
        window.reason = NULL;

    return window;
}

static void show_windows(const struct judgement *judgement, const struct pass_result *result,
                         struct verdict *verdict)
{
    struct verdict_window *list =
        ARENA_ARRAY(judgement->mem, struct verdict_window, result->window_count);

    for (size_t i = 0; i < result->window_count; i++) {
        if (!result->windows[i].window.asked)
            continue;
        if (i == result->worst_window)
            verdict->worst_window = verdict->window_count;
        verdict->so_far = verdict->so_far || result->windows[i].window.so_far;
        list[verdict->window_count++] = window_of(judgement, &result->windows[i]);
    }
    verdict->windows = list;
}

static struct verdict_span span_of(const struct judgement *judgement, const struct range *range)
{
    return (struct verdict_span){
        .least = range->low.known ? amount_exact(judgement->mem, range->low.at) : NULL,
        .most = range->high.known ? amount_exact(judgement->mem, range->high.at) : NULL};
}

static struct verdict_pair pair_of(const struct judgement *judgement, const struct figure *figure)
{
    const struct figure_pair *pair = figure->pair;
    enum fit fit = figure_fit(judgement, figure);

    return (struct verdict_pair){
        .item = SIZE_MAX,
        .window = SIZE_MAX,
        .at = figure->use == NO_INDEX ? INSTANT_NONE : figure->at,
        .day = figure->day == NO_INDEX ? DAY_NONE : judgement->days[figure->day].day,
        .discharge = span_of(judgement, &pair->discharge),
        .has_intake = pair->has_intake,
        .intake = span_of(judgement, &pair->intake),
        .result = span_of(judgement, &figure->range),
        .outside = judgement->limit->statistic == STATISTIC_VALUE &&
                   (fit == FIT_ABOVE || fit == FIT_BELOW),
        .why_not = pair->not_paired,
        .others = figure->others,
        .other_count = figure->other_count,
    };
}

struct pair_list {
    struct verdict_pair *items;
    size_t count;
    size_t capacity;
};

/* Figures of whole windows that were held against each other. */
static void pair_windows(const struct judgement *judgement, const struct pass_result *result,
                         struct pair_list *list)
{
    size_t asked = 0;

    for (size_t i = 0; i < result->window_count; i++) {
        const struct pass_window *window = &result->windows[i];

        if (!window->window.asked)
            continue;
        if (window->has_figure && window->figure.pair) {
            LIST_ADD(judgement->mem, list, pair_of(judgement, &window->figure));
            list->items[list->count - 1].window = asked;
        }
        asked++;
    }
}

/* Each figure of the place with the one of the other that it was held against. */
static void show_pairs(const struct judgement *judgement, const struct pass_result *result,
                       struct verdict *verdict)
{
    struct pair_list list = {0};
    size_t *items = ARENA_ARRAY(judgement->mem, size_t, judgement->count);
    size_t count = 0;

    if (judgement->limit->against.pairing == PAIR_PERIOD)
        pair_windows(judgement, result, &list);
    for (size_t i = 0; i < judgement->count; i++) {
        items[i] = judgement->items[i].series == NO_INDEX ? SIZE_MAX : count;
        count += judgement->items[i].series != NO_INDEX;
    }
    for (size_t i = 0; i < result->figures.count; i++) {
        const struct figure *figure = &result->figures.items[i];

        if (!figure->pair)
            continue;
        LIST_ADD(judgement->mem, &list, pair_of(judgement, figure));
        if (figure->use != NO_INDEX)
            list.items[list.count - 1].item = items[figure->use];
    }
    verdict->pairs = list.items;
    verdict->pair_count = list.count;
}

static void show_across(const struct judgement *judgement, const struct pass_result *result,
                        struct verdict *verdict)
{
    size_t count = result->worst_window + 1 - result->across_first;

    verdict->across = ARENA_ARRAY(judgement->mem, struct verdict_period, count);
    for (size_t i = 0; i < count; i++) {
        const struct verdict_window window =
            window_of(judgement, &result->windows[result->across_first + i]);

        verdict->across[i] = (struct verdict_period){.from = window.from,
                                                     .to = window.to,
                                                     .standing = window.standing,
                                                     .compared_text = window.compared_text};
    }
    verdict->across_count = count;
    verdict->across_beyond = result->across_beyond;
}

void show_evidence(const struct judgement *judgement, const struct ruling *ruling,
                   const struct pass_result *result, struct verdict *verdict)
{
    show_readings_items(judgement, ruling, result, verdict);
    show_readings_asides(judgement, ruling, verdict);
    show_days(judgement, result, verdict);
    if (!result)
        return;
    if (judgement->limit->against.kind != AGAINST_NONE && !judgement->in_brief)
        show_readings_others(judgement, result, verdict);
    show_figure(judgement, result, verdict);
    if (has_windows(judgement->limit))
        show_windows(judgement, result, verdict);
    if (judgement->limit->against.kind != AGAINST_NONE && !judgement->in_brief)
        show_pairs(judgement, result, verdict);
    if (judgement->limit->across_of > 0 && result->window_count > 0)
        show_across(judgement, result, verdict);
    verdict->load_factor = load_steps_factor(judgement);
    verdict->samples = result->samples;
    verdict->together_days = result->together_days;
    verdict->timeless = result->timeless;
    verdict->less_thans = result->less_thans;
    verdict->not_told = result->not_told;
    verdict->beyond = result->beyond;
    verdict->has_coverage = result->has_coverage;
    verdict->coverage = result->coverage;
}

void show_words(struct arena *mem, const struct judgement *judgement, struct verdict *verdict)
{
    if (!verdict->bound_text)
        verdict->bound_text = bound_text(mem, judgement->limit, verdict->side);
    verdict->near_bound = verdict->near_bound && verdict->standing == STANDING_WITHIN;
    verdict->words = verdict_words(mem, verdict);
}
