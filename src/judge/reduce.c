#include "judge/reduce.h"

#include "stat/average.h"
#include "stat/rank.h"

static const struct statistic *const day_statistics[] = {
    [DAILY_EVERY] = NULL,
    [DAILY_MEAN] = &stat_mean,
    [DAILY_MINIMUM] = &stat_minimum,
    [DAILY_MAXIMUM] = &stat_maximum,
    [DAILY_TOTAL] = NULL,
    [DAILY_LOAD] = &stat_mean,
};

/* Readings that the pass takes, as figures, with the day each is of. */
static struct figure_list taken(const struct judgement *judgement, enum pass pass,
                                struct reduced *reduced)
{
    struct figure_list list = {.items =
                                   ARENA_ARRAY(judgement->mem, struct figure, judgement->count),
                               .capacity = judgement->count};

    for (size_t i = 0; i < judgement->count; i++) {
        if (!pass_takes(&judgement->items[i], pass))
            continue;
        list.items[list.count] = figure_of_use(judgement, &judgement->items[i]);
        reduced->not_told += list.items[list.count++].not_told;
    }

    return list;
}

static const char *gap_words(const struct judgement *judgement, size_t day, const char *what)
{
    return arena_printf(judgement->mem, "%s on %s", what,
                        day_words(judgement->mem, judgement->days[day].day));
}

static void note_gap(const struct judgement *judgement, struct reduced *reduced, size_t day,
                     const char *what)
{
    if (!reduced->days[day].note)
        reduced->days[day].note = what;
    if (reduced->gaps++ == 0)
        reduced->first_gap = gap_words(judgement, day, what);
}

/* The volume of a day in m3 as an amount of the clause's: a load of concentration 1, or a total. */
static struct amount factor_of(const struct judgement *judgement, const struct exact *m3)
{
    return amount_from_exact(judgement->mem, exact_mul(judgement->mem, m3, judgement->load_factor));
}

static const struct day_volume *volume_in(const struct judgement *judgement, enum pass pass,
                                          size_t day)
{
    return pass == PASS_WITHOUT ? &judgement->places->sound_volumes[day]
                                : &judgement->places->all_volumes[day];
}

/* X of a less-than, times the day's volume, beyond the bound of the load. */
static void block_less_thans(const struct judgement *judgement, enum pass pass, size_t day,
                             struct amount factor, struct figure *load)
{
    const struct bound *bound = &judgement->bound;

    for (size_t i = 0; i < judgement->count && bound->has_ceiling && !load->blocked; i++) {
        const struct use *use = &judgement->items[i];

        if (use->day == (int)day && use->qualifier == QUALIFIER_LESS && use->has_value &&
            pass_takes(use, pass) &&
            amount_compare(judgement->mem, amount_multiply(judgement->mem, use->value, factor),
                           bound->ceiling) > 0)
            load->blocked = "a less-than reaches beyond the bound";
    }
}

static void add_figure(const struct judgement *judgement, struct reduced *reduced, size_t day,
                       struct figure figure)
{
    figure.day = (int)day;
    figure.at = judgement->days[day].start;
    figure.use = NO_INDEX;
    reduced->days[day].has_figure = true;
    reduced->days[day].figure = figure;
    LIST_ADD(judgement->mem, &reduced->figures, figure);
}

/* The day's volume, shown in `out`; NULL while the day runs: then nothing is made of it yet. */
static const struct day_volume *volume_shown(const struct judgement *judgement, enum pass pass,
                                             size_t day, struct pass_day *out)
{
    const struct day_volume *volume = volume_in(judgement, pass, day);
    bool over = judgement->days[day].over;

    out->volume = volume->m3;
    out->note = over ? volume->note : "the day still runs";
    out->filled = volume->filled;

    return over ? volume : NULL;
}

/* A sum over the period takes water that is known of several days together only. */
static bool takes_together(const struct limit *limit)
{
    return limit->statistic == STATISTIC_SUM && limit->period == PERIOD_MONTH;
}

/* The water of several days, as one figure of the sum; the days themselves stay without one. */
static void total_together(const struct judgement *judgement, size_t first,
                           const struct day_volume *volume, struct reduced *reduced)
{
    size_t last = first + volume->together_days - 1;
    const char *note =
        arena_printf(judgement->mem, "the meter was not read between: %s m3 from %s to %s together",
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
                 .range = range_of_amount(factor_of(judgement, volume->together_m3)),
                 .qualifier = QUALIFIER_NONE,
                 .day = NO_INDEX,
                 .at = judgement->days[first].start,
                 .use = NO_INDEX,
             }));
}

static void total_of_day(const struct judgement *judgement, enum pass pass, size_t day,
                         struct reduced *reduced)
{
    const struct day_volume *known = volume_in(judgement, pass, day);

    if (reduced->days[day].together)
        return;
    if (known->together_days > 0 && takes_together(judgement->limit)) {
        total_together(judgement, day, known, reduced);
        return;
    }

    const struct day_volume *volume = volume_shown(judgement, pass, day, &reduced->days[day]);

    if (!volume)
        return;
    if (!volume->m3) {
        note_gap(judgement, reduced, day, volume->note ? volume->note : "no volume known");
        return;
    }
    add_figure(judgement, reduced, day,
               (struct figure){.range = range_of_amount(factor_of(judgement, volume->m3)),
                               .qualifier = QUALIFIER_NONE});
}

/* The mean of the days that have a result, for days that have flow and none. */
static bool period_mean(const struct judgement *judgement, const struct reduced *reduced,
                        struct figure *out)
{
    struct figure_list means = {0};

    for (size_t i = 0; i < judgement->day_count; i++)
        if (reduced->days[i].has_concentration)
            LIST_ADD(judgement->mem, &means, reduced->days[i].concentration);
    if (means.count == 0)
        return false;
    *out = figure_combine(judgement, &stat_mean, means.items, means.count);

    return true;
}

static void load_of_day(const struct judgement *judgement, enum pass pass, size_t day,
                        const struct figure *stand_in, struct reduced *reduced)
{
    struct pass_day *out = &reduced->days[day];
    const struct day_volume *volume = volume_shown(judgement, pass, day, out);
    const struct figure *concentration = out->has_concentration ? &out->concentration : stand_in;

    if (!volume)
        return;
    if (!out->has_concentration && volume->m3 && exact_sign(volume->m3) == 0)
        return;
    if (!volume->m3) {
        const char *what = volume->note ? volume->note : "no flow known";

        if (out->has_concentration && !reduced->unknown_load)
            reduced->unknown_load = gap_words(judgement, day, what);
        note_gap(judgement, reduced, day, what);
        return;
    }
    if (!concentration) {
        out->note = "flow and no result";
        note_gap(judgement, reduced, day, "flow and no result");
        return;
    }

    struct amount factor = factor_of(judgement, volume->m3);
    struct figure load = figure_times(judgement, *concentration, factor);

    if (!out->has_concentration) {
        out->filled = true;
        out->note = "flow and no result: the period's mean stands in";
    } else if (load.less_thans > 0) {
        block_less_thans(judgement, pass, day, factor, &load);
    }
    add_figure(judgement, reduced, day, load);
}

/* Make one figure of the readings of each day; those of no known day stand by themselves. */
static void reduce_readings(const struct judgement *judgement, const struct figure_list *readings,
                            struct reduced *reduced)
{
    const struct statistic *statistic = day_statistics[judgement->limit->daily];
    bool is_load = judgement->limit->daily == DAILY_LOAD;

    for (size_t first = 0, after; first < readings->count; first = after) {
        int day = readings->items[first].day;

        after = first + 1;
        while (day != NO_INDEX && after < readings->count && readings->items[after].day == day)
            after++;

        struct figure figure =
            figure_combine(judgement, statistic, readings->items + first, after - first);

        if (day == NO_INDEX) {
            if (!is_load)
                LIST_ADD(judgement->mem, &reduced->figures, figure);
            continue;
        }
        reduced->days[day].readings = after - first;
        reduced->days[day].has_concentration = true;
        reduced->days[day].concentration = figure;
        if (!is_load)
            add_figure(judgement, reduced, (size_t)day, figure);
    }
}

static void reduce_loads(const struct judgement *judgement, enum pass pass, struct reduced *reduced)
{
    struct figure mean;
    bool fills = judgement->limit->load_gap == LOAD_GAP_PERIOD_MEAN &&
                 period_mean(judgement, reduced, &mean);

    for (size_t i = 0; i < judgement->day_count; i++)
        if (!judgement->days[i].why_not && judgement->days[i].begun)
            load_of_day(judgement, pass, i, fills ? &mean : NULL, reduced);
}

static void reduce_totals(const struct judgement *judgement, enum pass pass,
                          struct reduced *reduced)
{
    for (size_t i = 0; i < judgement->count; i++)
        if (pass_takes(&judgement->items[i], pass) && judgement->items[i].day != NO_INDEX)
            reduced->days[judgement->items[i].day].readings++;
    for (size_t i = 0; i < judgement->day_count; i++)
        if (!judgement->days[i].why_not && judgement->days[i].begun)
            total_of_day(judgement, pass, i, reduced);
}

struct reduced reduce_days(const struct judgement *judgement, enum pass pass)
{
    struct reduced reduced = {
        .days = ARENA_ARRAY(judgement->mem, struct pass_day, judgement->day_count)};

    if (judgement->limit->daily == DAILY_TOTAL) {
        reduce_totals(judgement, pass, &reduced);
        return reduced;
    }

    struct figure_list readings = taken(judgement, pass, &reduced);

    if (judgement->limit->daily == DAILY_EVERY) {
        for (size_t i = 0; i < readings.count; i++)
            if (readings.items[i].day != NO_INDEX)
                reduced.days[readings.items[i].day].readings++;
        reduced.figures = readings;
        return reduced;
    }
    reduce_readings(judgement, &readings, &reduced);
    if (judgement->limit->daily == DAILY_LOAD)
        reduce_loads(judgement, pass, &reduced);

    return reduced;
}

enum fit reduce_load_fit(const struct judgement *judgement, const struct use *use)
{
    if (use->day == NO_INDEX || !judgement->places[use->place].all_volumes[use->day].m3)
        return FIT_UNKNOWN;

    struct figure figure = {.range = figure_allowed(use), .qualifier = use->qualifier};
    struct amount factor =
        factor_of(judgement, judgement->places[use->place].all_volumes[use->day].m3);

    figure = figure_times(judgement, figure, factor);

    return bound_fit(judgement->mem, &judgement->bound, &figure.range);
}
