#include "judge/reduce.h"

#include "judge/against.h"
#include "judge/alike.h"
#include "judge/alternatives.h"
#include "judge/combine.h"
#include "judge/day_load.h"
#include "judge/flow_choice.h"
#include "judge/load_steps.h"
#include "judge/shared.h"
#include "judge/together.h"
#include "judge/volume.h"
#include "judge/water.h"
#include "judge/weighted.h"
#include "stat/average.h"
#include "stat/rank.h"

enum { WEEK_DAYS = 7, DAY_S = 86400 };

static const struct statistic *const day_statistics[] = {
    [DAILY_EVERY] = NULL,
    [DAILY_MEAN] = &stat_mean,
    [DAILY_MINIMUM] = &stat_minimum,
    [DAILY_MAXIMUM] = &stat_maximum,
    [DAILY_TOTAL] = NULL,
    [DAILY_LOAD] = &stat_mean,
    [DAILY_FLOW_WEIGHTED_MEAN] = &stat_mean,
};

/* Readings of a place that the pass takes, as figures, with the day each is of. */
static struct figure_list taken(const struct judgement *judgement, enum pass pass, size_t place,
                                struct reduced *reduced)
{
    struct figure_list list = {.items =
                                   ARENA_ARRAY(judgement->mem, struct figure, judgement->count),
                               .capacity = judgement->count};

    for (size_t i = 0; i < judgement->count; i++) {
        const struct use *use = &judgement->items[i];

        if (use->place != place || !pass_takes(use, pass))
            continue;
        list.items[list.count] = figure_of_use(judgement, use);
        reduced->not_told += list.items[list.count++].not_told;
    }
    alike_merge(judgement, &list);

    return list;
}

const char *reduce_gap_words(const struct judgement *judgement, size_t day, const char *what)
{
    return arena_printf(judgement->mem, "%s on %s", what,
                        day_words(judgement->mem, judgement->days[day].day));
}

void reduce_note_gap(const struct judgement *judgement, struct reduced *reduced, size_t day,
                     const char *what)
{
    reduced->days[day].gap = true;
    if (!reduced->days[day].note)
        reduced->days[day].note = what;
    if (reduced->gaps++ == 0)
        reduced->first_gap = reduce_gap_words(judgement, day, what);
}

const struct day_volume *reduce_volume(const struct judgement *judgement, enum pass pass,
                                       size_t place, size_t day)
{
    static const struct day_volume unknown = {.note = "no flow known"};
    const struct judged_place *from = &judgement->places[place];
    const struct day_volume *volumes = from->volumes[water_of_pass(judgement, pass, place)];

    return volumes ? &volumes[day] : &unknown;
}

const struct day_volume *reduce_show_volume(const struct judgement *judgement, enum pass pass,
                                            size_t place, size_t day, struct pass_day *out)
{
    const struct day_volume *volume = reduce_volume(judgement, pass, place, day);
    bool over = judgement->days[day].over;

    out->volume = volume->m3;
    out->note = over ? volume->note : "the day still runs";
    out->filled = volume->filled;

    return over ? volume : NULL;
}

void reduce_add_figure(const struct judgement *judgement, struct reduced *reduced, size_t day,
                       struct figure figure)
{
    figure.day = (int)day;
    figure.at = judgement->days[day].start;
    figure.use = NO_INDEX;
    if (!judgement->statistic)
        combine_finish(judgement, &figure);
    reduced->days[day].has_figure = true;
    reduced->days[day].figure = figure;
    LIST_ADD(judgement->mem, &reduced->figures, figure);
}

/* A sum over the period takes water that is known of several days together only. */
static bool takes_together(const struct limit *limit)
{
    return limit->statistic == STATISTIC_SUM && limit->period == PERIOD_MONTH;
}

/* The water of several days, as one figure of the sum; the days themselves stay without one. */
static void total_together(const struct judgement *judgement, size_t place, size_t first,
                           const struct day_volume *volume, struct reduced *reduced)
{
    size_t last = first + volume->together_days - 1;
    const char *note =
        arena_printf(judgement->mem, "%s: %s m3 from %s to %s together",
                     volume->misread ? volume->note : "the meter was not read between",
                     exact_text(judgement->mem, volume->together_m3, DECIMAL_DIGITS_MOST),
                     day_words(judgement->mem, judgement->days[first].day),
                     day_words(judgement->mem, judgement->days[last].day));

    for (size_t i = first; i <= last; i++) {
        if (judgement->days[i].why_not)
            continue;
        reduced->days[i].together = true;
        reduced->days[i].note = note;
        reduced->together_days++;
    }
    reduced->together++;
    LIST_ADD(judgement->mem, &reduced->figures,
             ((struct figure){
                 .range = range_of_amount(day_load_factor(judgement, volume->together_m3)),
                 .qualifier = QUALIFIER_NONE,
                 .day = NO_INDEX,
                 .place = place,
                 .at = judgement->days[first].start,
                 .use = NO_INDEX,
             }));
}

/* A total of a day that may be without discharge is in doubt, as a reading can be. */
static bool takes_total(const struct judgement *judgement, enum pass pass, size_t day,
                        const struct range *total)
{
    enum fit fit;

    if (!judgement->days[day].doubt || pass == PASS_ALL)
        return true;
    fit = bound_fit(judgement->mem, &judgement->bound, total);

    return (pass == PASS_ABOVE && fit == FIT_ABOVE) || (pass == PASS_BELOW && fit == FIT_BELOW);
}

static void total_of_day(const struct judgement *judgement, enum pass pass, size_t place,
                         size_t day, struct reduced *reduced)
{
    const struct day_volume *known = reduce_volume(judgement, pass, place, day);

    if (reduced->days[day].together)
        return;
    if (known->together_days > 0 && takes_together(judgement->limit)) {
        total_together(judgement, place, day, known, reduced);
        return;
    }

    const struct day_volume *volume =
        reduce_show_volume(judgement, pass, place, day, &reduced->days[day]);

    if (!volume)
        return;
    if (!volume->m3) {
        reduce_note_gap(judgement, reduced, day, volume->note ? volume->note : "no volume known");
        return;
    }

    struct range total = range_of_amount(day_load_factor(judgement, volume->m3));

    if (takes_total(judgement, pass, day, &total))
        reduce_add_figure(
            judgement, reduced, day,
            (struct figure){.place = place, .range = total, .qualifier = QUALIFIER_NONE});
}

static const char unknown_flow[] = "no flow known while a sample was taken";
static const char no_flow[] = "no flow while the samples were taken";

/* The flow by which the readings of a place's days are weighted. */
struct weighing {
    const struct judgement *judgement;
    struct flow_curve least;
    struct flow_curve most;
    bool is_range; /* they differ */
    bool highest;  /* then: the figure that is looked for */
};

/* A reading with the flow that it is weighted by, to be shown. */
static const struct verdict_loads *weight_step(const struct judgement *judgement,
                                               const struct figure *reading,
                                               const struct exact *m3_per_s)
{
    return load_steps_of(
        judgement, &(struct load_step){.place = reading->place,
                                       .water_used = LOAD_WATER_WHILE_SAMPLING,
                                       .at = judgement->items[reading->use].at,
                                       .concentration = reading,
                                       .m3 = exact_mul(judgement->mem, m3_per_s,
                                                       exact_from_int(judgement->mem, DAY_S))});
}

/* The flow while each reading was taken; false where one is not known. */
static bool flows_of(const struct judgement *judgement, const struct flow_curve *curve,
                     const struct figure *readings, size_t count, struct amount *flows)
{
    for (size_t i = 0; i < count; i++) {
        const struct use *use = &judgement->items[readings[i].use];
        const struct exact *flow = flow_choice_at(judgement->mem, curve, use->at, use->until);

        if (!flow)
            return false;
        flows[i] = (struct amount){.exact = flow};
    }

    return true;
}

/* The readings of a day, each by the flow while it was taken; why there is none, or NULL. */
static const char *weighted_of_day(const struct weighing *weighing, const struct figure *readings,
                                   size_t count, struct figure *out)
{
    const struct judgement *judgement = weighing->judgement;
    struct amount *most = ARENA_ARRAY(judgement->mem, struct amount, count);
    struct amount *least = most;
    bool flows = false;

    if (!flows_of(judgement, &weighing->most, readings, count, most))
        return unknown_flow;
    if (weighing->is_range) {
        least = ARENA_ARRAY(judgement->mem, struct amount, count);
        if (!flows_of(judgement, &weighing->least, readings, count, least))
            return unknown_flow;
    }
    for (size_t i = 0; i < count; i++)
        flows = flows || amount_sign(most[i]) > 0;
    if (!flows)
        return no_flow;
    *out = weighted_figure(judgement, readings, &(struct weights){least, most}, count,
                           weighing->highest);
    for (size_t i = 0; i < count && least == most; i++)
        out->loads = load_steps_join(judgement, out->loads,
                                     weight_step(judgement, &readings[i], most[i].exact));

    return NULL;
}

/* What the readings of a day are made; why it can't be, or NULL. */
static const char *figure_of_day(const struct weighing *weighing, const struct figure *readings,
                                 size_t count, struct figure *out)
{
    const struct judgement *judgement = weighing->judgement;
    /* One alone too: with no water, or with none known, there is no such mean. */
    bool weighted =
        judgement->limit->daily == DAILY_FLOW_WEIGHTED_MEAN && readings[0].day != NO_INDEX;

    const char *why = weighted ? weighted_of_day(weighing, readings, count, out) : NULL;

    if (!weighted)
        *out = combine_before(judgement, day_statistics[judgement->limit->daily], readings, count);
    if (!why)
        out->place = readings[0].place;

    return why;
}

/* A day that was sampled has no figure: it is left out only if it is known that nothing flowed. */
static void reduce_note_no_figure(const struct judgement *judgement, struct reduced *reduced,
                                  size_t day, const char *why)
{
    reduce_note_gap(judgement, reduced, day, why);
    reduced->days[day].unknown_load = why == unknown_flow;
    if (why == unknown_flow && !reduced->unknown_load)
        reduced->unknown_load = reduce_gap_words(judgement, day, why);
}

/* Make one figure of the readings of each day; those of no known day stand by themselves. */
static void reduce_readings(const struct weighing *weighing, const struct figure_list *readings,
                            struct reduced *reduced)
{
    const struct judgement *judgement = weighing->judgement;
    bool is_load = judgement->limit->daily == DAILY_LOAD;

    for (size_t first = 0, after; first < readings->count; first = after) {
        const struct figure *items = readings->items + first;
        int day = items->day;
        struct figure figure;

        after = first + 1;
        while (day != NO_INDEX && after < readings->count && readings->items[after].day == day)
            after++;

        const char *why = figure_of_day(weighing, items, after - first, &figure);

        if (day == NO_INDEX) {
            if (!is_load && !why)
                LIST_ADD(judgement->mem, &reduced->figures, figure);
            continue;
        }
        reduced->days[day].readings = after - first;
        if (why) {
            reduce_note_no_figure(judgement, reduced, (size_t)day, why);
            continue;
        }
        reduced->days[day].has_concentration = true;
        reduced->days[day].concentration = figure;
        if (!is_load)
            reduce_add_figure(judgement, reduced, (size_t)day, figure);
    }
}

static void reduce_totals(const struct judgement *judgement, enum pass pass, size_t place,
                          struct reduced *reduced)
{
    for (size_t i = 0; i < judgement->count; i++) {
        const struct use *use = &judgement->items[i];

        if (use->place == place && pass_takes(use, pass) && use->day != NO_INDEX)
            reduced->days[use->day].readings++;
    }
    for (size_t i = 0; i < judgement->day_count; i++)
        if (!judgement->days[i].why_not && judgement->days[i].begun)
            total_of_day(judgement, pass, place, i, reduced);
}

enum water_version reduce_least_water(enum water_version version)
{
    return version == WATER_HIGHEST       ? WATER_LOWEST
           : version == WATER_TRY_HIGHEST ? WATER_TRY_LOWEST
                                          : version;
}

enum water_version reduce_most_water(enum water_version version)
{
    return version == WATER_LOWEST       ? WATER_HIGHEST
           : version == WATER_TRY_LOWEST ? WATER_TRY_HIGHEST
                                         : version;
}

bool reduce_wants_highest(const struct judgement *judgement, enum pass pass, size_t place)
{
    return alternatives_takes_highest(judgement, pass) != alternatives_fall(judgement, place);
}

static struct weighing weighing_of(const struct judgement *judgement, enum pass pass, size_t place)
{
    const struct water *const *water = judgement->places[place].water;
    enum water_version version = water_of_pass(judgement, pass, place);
    const struct water *least = water[reduce_least_water(version)];
    const struct water *most = water[reduce_most_water(version)];
    struct weighing weighing = {.judgement = judgement,
                                .is_range = least != most,
                                .highest = reduce_wants_highest(judgement, pass, place)};

    if (judgement->limit->daily != DAILY_FLOW_WEIGHTED_MEAN || !most)
        return weighing;
    weighing.most = flow_curve_of(judgement, most);
    if (weighing.is_range)
        weighing.least = flow_curve_of(judgement, least);

    return weighing;
}

/* Each reading is a figure by itself. */
static void keep_readings(const struct figure_list *readings, struct reduced *reduced)
{
    for (size_t i = 0; i < readings->count; i++)
        if (readings->items[i].day != NO_INDEX)
            reduced->days[readings->items[i].day].readings++;
    reduced->figures = *readings;
}

static struct reduced reduce_place(const struct judgement *judgement, enum pass pass, size_t place)
{
    struct reduced reduced = {
        .days = ARENA_ARRAY(judgement->mem, struct pass_day, judgement->day_count)};

    if (judgement->limit->daily == DAILY_TOTAL) {
        reduce_totals(judgement, pass, place, &reduced);
        return reduced;
    }

    struct figure_list readings = taken(judgement, pass, place, &reduced);

    if (judgement->limit->daily == DAILY_EVERY) {
        keep_readings(&readings, &reduced);
        return reduced;
    }

    struct weighing weighing = weighing_of(judgement, pass, place);

    reduce_readings(&weighing, &readings, &reduced);
    if (judgement->limit->daily == DAILY_LOAD)
        day_load_make(judgement, pass, place, &readings, &reduced);

    return reduced;
}

struct figure_list reduce_plain_readings(const struct judgement *judgement)
{
    struct reduced ignored = {.not_told = 0};

    return taken(judgement, PASS_WITHOUT, 0, &ignored);
}

struct reduced reduce_plain_days(const struct judgement *judgement,
                                 const struct figure_list *readings)
{
    const struct weighing weighing = weighing_of(judgement, PASS_WITHOUT, 0);
    struct reduced reduced = {
        .days = ARENA_ARRAY(judgement->mem, struct pass_day, judgement->day_count)};

    if (judgement->limit->daily == DAILY_EVERY)
        keep_readings(readings, &reduced);
    else
        reduce_readings(&weighing, readings, &reduced);

    return reduced;
}

struct reduced reduce_days(const struct judgement *judgement, enum pass pass)
{
    const struct limit *limit = judgement->limit;
    bool against = limit->against.kind != AGAINST_NONE;
    size_t added = judgement->place_count - against;

    if (judgement->shared)
        return shared_reduce(judgement);

    struct reduced *parts = ARENA_ARRAY(judgement->mem, struct reduced, judgement->place_count);

    for (size_t i = 0; i < judgement->place_count; i++)
        parts[i] = reduce_place(judgement, pass, i);

    struct reduced all = added == 1 ? parts[0]
                         : limit->load_water == LOAD_MEAN_TIMES_VOLUME
                             ? together_beside(judgement, parts, added)
                             : together_add(judgement, parts, added);

    if (!against)
        return all;

    const struct reduced both[] = {all, parts[judgement->place_count - 1]};

    return limit->against.pairing == PAIR_PERIOD
               ? together_beside(judgement, both, ARRAY_LEN(both))
               : against_apply(judgement, pass, &both[0], &both[1]);
}

/* How many daily loads the figure adds up: so many like this one are held against its bound. */
static int64_t loads_added(const struct judgement *judgement)
{
    const struct limit *limit = judgement->limit;

    if (limit->statistic != STATISTIC_SUM)
        return 1;
    if (limit->period == PERIOD_WEEK)
        return WEEK_DAYS;

    return limit->period == PERIOD_RUNNING_DAYS
               ? limit->running_days
               : (int64_t)(judgement->after_asked - judgement->first_asked);
}

/* By one version of the water. */
static enum fit load_fit(const struct judgement *judgement, const struct use *use,
                         enum water_version version)
{
    const struct day_volume *volumes = judgement->places[use->place].volumes[version];
    struct arena *mem = judgement->mem;

    if (use->day == NO_INDEX || !volumes || !volumes[use->day].m3)
        return FIT_UNKNOWN;

    struct figure figure = {.range = figure_allowed(use), .qualifier = use->qualifier};
    const struct exact *m3 =
        exact_mul(mem, volumes[use->day].m3, exact_from_int(mem, loads_added(judgement)));

    figure = figure_times(judgement, figure, day_load_factor(judgement, m3));

    return bound_fit(mem, &judgement->bound, &figure.range);
}

enum fit reduce_load_fit(const struct judgement *judgement, const struct use *use)
{
    const struct judged_place *place = &judgement->places[use->place];

    if (place->against)
        return judgement->bound.has_ceiling ? FIT_ABOVE : FIT_BELOW;
    if (!judgement->water_in_doubt)
        return load_fit(judgement, use, WATER_SOUND);
    if (load_fit(judgement, use, WATER_TRY_HIGHEST) == FIT_ABOVE)
        return FIT_ABOVE;
    if (load_fit(judgement, use, WATER_TRY_LOWEST) == FIT_BELOW)
        return FIT_BELOW;

    return load_fit(judgement, use, WATER_ALL);
}
