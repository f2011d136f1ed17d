#include "judge/window_figure.h"

#include "judge/against.h"
#include "judge/censored_figure.h"
#include "judge/combine.h"
#include "judge/counted_figure.h"
#include "judge/day_load.h"
#include "judge/load_steps.h"
#include "judge/over_time.h"
#include "judge/shared.h"
#include "judge/water.h"
#include "judge/weighted.h"
#include "stat/average.h"
#include "stat/percentile.h"

/* A figure that there is nothing to make of. */
static struct figure no_figure(const char *why)
{
    return (struct figure){.day = NO_INDEX,
                           .use = NO_INDEX,
                           .at = INSTANT_NONE,
                           .qualifier = QUALIFIER_NONE,
                           .blocked = why};
}

static struct figure plain(const struct judgement *judgement, const struct figure_window *window,
                           const char **note)
{
    struct figure figure;

    *note = NULL;
    if (judgement->shared)
        return shared_combine(judgement, window->figures, window->count);
    figure = censored_figure_applies(judgement, window->figures, window->count)
                 ? censored_figure(judgement, window->figures, window->count)
                 : combine_figures(judgement, judgement->statistic, window->figures, window->count);
    combine_finish(judgement, &figure);

    return figure;
}

static const char *ordinal(struct decimal number)
{
    int64_t last = number.coefficient % 10;
    bool teen = number.coefficient / 10 % 10 == 1;

    if (number.scale > 0 || teen)
        return "th";

    return last == 1 ? "st" : last == 2 ? "nd" : last == 3 ? "rd" : "th";
}

static struct figure percentile(const struct judgement *judgement,
                                const struct figure_window *window, const char **note)
{
    static const struct decimal half = {50, 0};
    const struct statistic_settings *settings = &judgement->limit->settings;
    struct stat_input input = combine_input(judgement, NULL, window->count);
    struct figure figure = plain(judgement, window, note);

    if (input.definition &&
        percentile_is_end_value(judgement->mem, input.definition, input.p, window->count))
        *note = arena_printf(judgement->mem, "the %s%s percentile of %zu values is simply the %s",
                             decimal_text(judgement->mem, settings->percent),
                             ordinal(settings->percent), window->count,
                             decimal_compare(settings->percent, half) >= 0 ? "highest" : "lowest");

    return figure;
}

static struct figure counted(const struct judgement *judgement, const struct figure_window *window,
                             const char **note)
{
    *note = NULL;

    return counted_figure(judgement, window->figures, window->count);
}

/* Each figure by its day's volume, which the figures of one day share; why not, or NULL. */
static const char *volumes_of(const struct judgement *judgement, const struct figure_window *window,
                              bool most, struct amount *weights)
{
    struct arena *mem = judgement->mem;
    int64_t *of_day = ARENA_ARRAY(mem, int64_t, judgement->day_count);

    for (size_t i = 0; i < window->count; i++)
        if (window->figures[i].day != NO_INDEX)
            of_day[window->figures[i].day]++;
    for (size_t i = 0; i < window->count; i++) {
        const struct figure *figure = &window->figures[i];
        enum water_version version = water_of_pass(judgement, window->pass, figure->place);
        const struct day_volume *volumes =
            judgement->places[figure->place]
                .volumes[most ? reduce_most_water(version) : reduce_least_water(version)];

        if (figure->day == NO_INDEX)
            return "a result is of no known day, and so of no known flow";
        if (!volumes || !volumes[figure->day].m3)
            return reduce_gap_words(judgement, (size_t)figure->day, "no flow known");
        weights[i].exact =
            exact_div(mem, volumes[figure->day].m3, exact_from_int(mem, of_day[figure->day]));
    }

    return NULL;
}

static struct figure weighted_by_days(const struct judgement *judgement,
                                      const struct figure_window *window, const char **note)
{
    struct amount *most = ARENA_ARRAY(judgement->mem, struct amount, window->count);
    struct amount *least = most;
    const char *why = volumes_of(judgement, window, true, most);

    *note = NULL;
    if (!why && judgement->water_in_doubt && window->pass > PASS_ALL) {
        least = ARENA_ARRAY(judgement->mem, struct amount, window->count);
        why = volumes_of(judgement, window, false, least);
    }
    if (why)
        return no_figure(why);

    struct figure figure =
        weighted_figure(judgement, window->figures, &(struct weights){least, most}, window->count,
                        reduce_wants_highest(judgement, window->pass, window->figures[0].place));

    combine_finish(judgement, &figure);

    return figure;
}

typedef struct figure (*of_window)(const struct judgement *judgement,
                                   const struct figure_window *window, const char **note);

static const of_window rows[] = {
    [STATISTIC_VALUE] = plain,
    [STATISTIC_MEAN] = plain,
    [STATISTIC_GEOMETRIC_MEAN] = plain,
    [STATISTIC_MEDIAN] = plain,
    [STATISTIC_MINIMUM] = plain,
    [STATISTIC_MAXIMUM] = plain,
    [STATISTIC_SUM] = plain,
    [STATISTIC_PERCENTILE] = percentile,
    [STATISTIC_LOG_NORMAL_PERCENTILE] = plain,
    [STATISTIC_COUNT_BEYOND] = counted,
    [STATISTIC_SHARE_BEYOND] = counted,
    [STATISTIC_FLOW_WEIGHTED_MEAN] = weighted_by_days,
    [STATISTIC_HYDROGEN_ION_MEAN] = plain,
    [STATISTIC_CHANGE] = over_time_figure,
    [STATISTIC_RATE] = over_time_figure,
    [STATISTIC_TIME_OUTSIDE] = over_time_figure,
    [STATISTIC_LONGEST_OUTSIDE] = over_time_figure,
};

/* The water of a place in the window, as far as it is known: of some days perhaps together only. */
struct known_water {
    const struct exact *m3;
    int64_t days;
    const char *lacks; /* words for a day that is not known; NULL: all of them are */
};

static struct known_water water_of(const struct judgement *judgement,
                                   const struct figure_window *window, size_t place)
{
    struct known_water water = {.m3 = exact_from_int(judgement->mem, 0)};

    for (size_t i = window->first_day; i < window->after_day; i++) {
        const struct judged_day *day = &judgement->days[i];

        if (day->why_not || !day->over)
            continue;

        const struct day_volume *volume = reduce_volume(judgement, window->pass, place, i);
        size_t together = volume->together_days;

        if (together > 0 && i + together <= window->after_day) {
            water.m3 = exact_add(judgement->mem, water.m3, volume->together_m3);
            for (size_t last = i + together - 1; i < last; i++)
                water.days += !judgement->days[i].why_not;
            water.days += !judgement->days[i].why_not;
        } else if (volume->m3) {
            water.m3 = exact_add(judgement->mem, water.m3, volume->m3);
            water.days++;
        } else if (!water.lacks) {
            water.lacks = reduce_gap_words(judgement, i, "no flow known");
        }
    }

    return water;
}

/* Figures of some places of a window. */
static struct figure_window window_of(const struct judgement *judgement,
                                      const struct figure_window *window, size_t from, size_t to)
{
    struct figure_list list = {0};
    struct figure_window some = *window;

    for (size_t i = 0; i < window->count; i++)
        if (window->figures[i].place >= from && window->figures[i].place < to)
            LIST_ADD(judgement->mem, &list, window->figures[i]);
    some.figures = list.items;
    some.count = list.count;

    return some;
}

/* One load: the mean concentration of a place times its volume. */
static struct figure load_of_place(const struct judgement *judgement,
                                   const struct figure_window *window, size_t place)
{
    struct figure_window of_place = window_of(judgement, window, place, place + 1);
    struct known_water water = water_of(judgement, window, place);

    if (of_place.count == 0)
        return no_figure(arena_printf(judgement->mem, "no result at %s",
                                      judgement->places[place].place.station));

    struct amount factor = day_load_factor(judgement, water.m3);
    struct figure mean = combine_figures(judgement, &stat_mean, of_place.figures, of_place.count);
    struct figure load = figure_times(judgement, mean, factor);

    if (load.less_thans > 0)
        day_load_block(judgement, &mean, 1, factor, &load);
    if (water.lacks) {
        load.range.high.known = false;
        load.blocked = water.lacks;
    }
    load.loads = load_steps_of(judgement, &(struct load_step){.place = place,
                                                              .water_used = LOAD_MEAN_TIMES_VOLUME,
                                                              .at = INSTANT_NONE,
                                                              .concentration = &mean,
                                                              .m3 = water.m3,
                                                              .load = &load});

    return load;
}

static struct figure load_of_places(const struct judgement *judgement,
                                    const struct figure_window *window, size_t from, size_t to)
{
    struct figure *loads = ARENA_ARRAY(judgement->mem, struct figure, to - from);

    for (size_t i = from; i < to; i++)
        loads[i - from] = load_of_place(judgement, window, i);
    if (to - from == 1)
        return loads[0];


    struct figure sum = combine_figures(judgement, &stat_sum, loads, to - from);

    sum.loads = load_steps_of_all(judgement, loads, to - from);

    return sum;
}

/* Daily loads were made with the mean of all days judged: here with that of the window's. */
static void scale_to_window(const struct judgement *judgement, const struct figure_window *window,
                            struct figure *figure)
{
    const struct exact *mean = window->reduced->mean_m3;
    struct known_water water = water_of(judgement, window, 0);
    struct arena *mem = judgement->mem;

    if (!mean || (window->first_day <= judgement->first_asked &&
                  window->after_day >= judgement->after_asked))
        return;
    if (water.lacks || water.days == 0 || exact_sign(mean) == 0 || judgement->place_count > 1) {
        *figure = no_figure(water.lacks ? water.lacks
                                        : "the mean flow of a part of the days is not known");
        return;
    }

    const struct exact *mean_here = exact_div(mem, water.m3, exact_from_int(mem, water.days));

    *figure =
        figure_times(judgement, *figure, (struct amount){.exact = exact_div(mem, mean_here, mean)});
}

/* The figure of places [from, to), of which the window holds nothing else. */
static struct figure figure_of_places(const struct judgement *judgement,
                                      const struct figure_window *window, size_t from, size_t to,
                                      const char **note)
{
    const struct limit *limit = judgement->limit;

    *note = NULL;
    if (limit->daily == DAILY_LOAD && limit->load_water == LOAD_MEAN_TIMES_VOLUME)
        return load_of_places(judgement, window, from, to);

    struct figure figure = rows[limit->statistic](judgement, window, note);

    if (limit->daily == DAILY_LOAD && limit->load_water == LOAD_WATER_PERIOD_MEAN)
        scale_to_window(judgement, window, &figure);

    return figure;
}

struct figure window_figure(const struct judgement *judgement, const struct figure_window *window,
                            const char **note)
{
    const struct limit_against *against = &judgement->limit->against;
    size_t intake = judgement->place_count - 1;

    if (against->kind == AGAINST_NONE || against->pairing != PAIR_PERIOD)
        return figure_of_places(judgement, window, 0,
                                judgement->place_count - (against->kind != AGAINST_NONE), note);

    struct figure_window here = window_of(judgement, window, 0, intake);
    struct figure_window there = window_of(judgement, window, intake, intake + 1);
    const char *ignored;

    if (here.count == 0) {
        *note = NULL;
        return no_figure("no result of the discharge");
    }

    struct figure discharge = figure_of_places(judgement, &here, 0, intake, note);

    if (there.count == 0)
        return against_pair(judgement, &discharge, NULL);

    struct figure brought = figure_of_places(judgement, &there, intake, intake + 1, &ignored);

    return against_pair(judgement, &discharge, &brought);
}
