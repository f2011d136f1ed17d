#include "judge/day_load.h"

#include "judge/combine.h"
#include "judge/flow_choice.h"
#include "judge/load_steps.h"
#include "judge/volume.h"
#include "stat/average.h"

enum { DAY_S = 86400 };

static const char no_flow_words[] = "no flow known";

/* The loads of one place while they are made. */
struct work {
    const struct judgement *judgement;
    enum pass pass;
    size_t place;
    const struct figure_list *readings;
    struct reduced *reduced;
    bool fills; /* `stand_in` stands for the concentration of days with flow and no result */
    struct figure stand_in;
    const struct water *water;   /* for the water while sampling: the readings of the flow, and */
    struct flow_curve curve;     /* the flow over time that they make */
    const struct exact *mean_m3; /* the period's mean of a day; NULL: not known, or not asked */
    size_t after_together;       /* the day after those whose water is known together, last seen */
};

struct amount day_load_factor(const struct judgement *judgement, const struct exact *m3)
{
    return amount_from_exact(exact_mul(judgement->mem, m3, judgement->load_factor));
}

void day_load_block(const struct judgement *judgement, const struct figure *readings, size_t count,
                    struct amount factor, struct figure *load)
{
    const struct bound *bound = &judgement->bound;

    if (!bound->has_ceiling || judgement->limit->beyond_by_rule ||
        judgement->places[load->place].against)
        return;
    for (size_t i = 0; i < count && !load->blocked; i++)
        if (readings[i].less_thans > 0 &&
            amount_compare(judgement->mem,
                           amount_multiply(judgement->mem, readings[i].largest, factor),
                           bound->ceiling) > 0)
            load->blocked = "a less-than reaches beyond the bound";
}

/* The readings of a day: [*first, *after) of the list. */
static void readings_of(const struct work *work, size_t day, size_t *first, size_t *after)
{
    const struct figure_list *list = work->readings;
    size_t low = 0;
    size_t high = list->count;

    while (low < high) {
        size_t middle = (low + high) / 2;

        if (list->items[middle].day < (int)day)
            low = middle + 1;
        else
            high = middle;
    }
    *first = low;
    while (low < list->count && list->items[low].day == (int)day)
        low++;
    *after = low;
}

/* The mean of the days that have a result, for days that have flow and none. */
static bool period_mean(const struct work *work, struct figure *out)
{
    const struct judgement *judgement = work->judgement;
    struct figure_list means = {0};

    for (size_t i = 0; i < judgement->day_count; i++)
        if (work->reduced->days[i].has_concentration)
            LIST_ADD(judgement->mem, &means, work->reduced->days[i].concentration);
    if (means.count == 0)
        return false;
    *out = combine_before(judgement, &stat_mean, means.items, means.count);

    return true;
}

/* The mean volume of the days judged; NULL where one of them is not known. */
static const struct exact *mean_volume(const struct work *work)
{
    const struct judgement *judgement = work->judgement;
    struct arena *mem = judgement->mem;
    const struct exact *sum = exact_from_int(mem, 0);
    int64_t count = 0;

    for (size_t i = judgement->first_asked; i < judgement->after_asked; i++) {
        const struct judged_day *day = &judgement->days[i];
        const struct exact *m3 = reduce_volume(judgement, work->pass, work->place, i)->m3;

        if (day->why_not || !day->over)
            continue;
        if (!m3)
            return NULL;
        sum = exact_add(mem, sum, m3);
        count++;
    }

    return count == 0 ? NULL : exact_div(mem, sum, exact_from_int(mem, count));
}

static void no_load(struct work *work, size_t day, const char *what)
{
    struct reduced *reduced = work->reduced;

    reduced->days[day].unknown_load = reduced->days[day].has_concentration;
    if (reduced->days[day].has_concentration && !reduced->unknown_load)
        reduced->unknown_load = reduce_gap_words(work->judgement, day, what);
    reduce_note_gap(work->judgement, reduced, day, what);
}

/* Each reading of the day times the flow while it was taken; their mean. */
static void load_while_sampling(struct work *work, size_t day)
{
    const struct judgement *judgement = work->judgement;
    struct arena *mem = judgement->mem;
    struct figure_list loads = {0};
    size_t first;
    size_t after;

    /* What the volume of the day lacks does not matter here. */
    work->reduced->days[day].note = NULL;
    readings_of(work, day, &first, &after);
    for (size_t i = first; i < after; i++) {
        const struct figure *reading = &work->readings->items[i];
        const struct use *use = &judgement->items[reading->use];
        const struct exact *flow = flow_choice_at(mem, &work->curve, use->at, use->until);

        if (!flow) {
            no_load(work, day, "no flow known while a sample was taken");
            return;
        }

        const struct exact *m3 = exact_mul(mem, flow, exact_from_int(mem, DAY_S));
        struct amount factor = day_load_factor(judgement, m3);
        struct figure load = figure_times(judgement, *reading, factor);

        if (load.less_thans > 0)
            day_load_block(judgement, reading, 1, factor, &load);
        load.loads = load_steps_of(
            judgement, &(struct load_step){
                           .place = work->place,
                           .water_used = LOAD_WATER_WHILE_SAMPLING,
                           .at = use->at,
                           .concentration = reading,
                           .m3 = m3,
                           .flow = load_steps_flow(judgement, work->water, use->at, use->until),
                           .load = &load});
        LIST_ADD(mem, &loads, load);
    }

    struct figure mean = combine_before(judgement, &stat_mean, loads.items, loads.count);

    mean.loads = load_steps_of_all(judgement, loads.items, loads.count);
    reduce_add_figure(judgement, work->reduced, day, mean);
}

/* The water that a concentration of the day is multiplied with; NULL: not known. */
static const struct exact *water_of(const struct work *work, const struct day_volume *volume)
{
    return work->judgement->limit->load_water == LOAD_WATER_PERIOD_MEAN ? work->mean_m3
                                                                        : volume->m3;
}

static const char *why_no_water(const struct work *work, const struct day_volume *volume)
{
    if (work->judgement->limit->load_water == LOAD_WATER_PERIOD_MEAN)
        return "the flow is not known on every day of the period";

    return volume->note ? volume->note : no_flow_words;
}

static void load_by_volume(struct work *work, size_t day, const struct day_volume *volume)
{
    const struct judgement *judgement = work->judgement;
    struct pass_day *out = &work->reduced->days[day];
    const struct figure *concentration = out->has_concentration ? &out->concentration
                                         : work->fills          ? &work->stand_in
                                                                : NULL;
    const struct exact *water = water_of(work, volume);
    size_t first;
    size_t after;

    if (!out->has_concentration && volume->m3 && exact_sign(volume->m3) == 0)
        return;
    if (!water || !volume->m3) {
        no_load(work, day, !volume->m3 && volume->note ? volume->note : why_no_water(work, volume));
        return;
    }
    if (!concentration) {
        out->note = "flow and no result";
        no_load(work, day, out->note);
        return;
    }

    struct amount factor = day_load_factor(judgement, water);
    struct figure load = figure_times(judgement, *concentration, factor);

    if (!out->has_concentration) {
        out->filled = true;
        out->note = "flow and no result: the period's mean stands in";
    } else if (load.less_thans > 0) {
        readings_of(work, day, &first, &after);
        day_load_block(judgement, work->readings->items + first, after - first, factor, &load);
    }
    load.loads =
        load_steps_of(judgement, &(struct load_step){.place = work->place,
                                                     .water_used = judgement->limit->load_water ==
                                                                           LOAD_WATER_PERIOD_MEAN
                                                                       ? LOAD_WATER_PERIOD_MEAN
                                                                       : LOAD_WATER_OF_DAY,
                                                     .at = INSTANT_NONE,
                                                     .concentration = concentration,
                                                     .m3 = water,
                                                     .load = &load});
    reduce_add_figure(judgement, work->reduced, day, load);
}

static void load_of_day(struct work *work, size_t day)
{
    const struct judgement *judgement = work->judgement;
    struct pass_day *out = &work->reduced->days[day];
    const struct day_volume *volume =
        reduce_show_volume(judgement, work->pass, work->place, day, out);
    bool sampled = judgement->limit->load_water == LOAD_WATER_WHILE_SAMPLING;

    if (!volume)
        return;
    if (sampled && out->has_concentration)
        load_while_sampling(work, day);
    else
        load_by_volume(work, day, volume);
}

/*
 * For one load of the period: what the days have stays a concentration, and may lack its water. Of
 * days whose water is known together the period's has it.
 */
static void keep_concentrations(struct work *work, size_t day)
{
    const struct judgement *judgement = work->judgement;
    struct pass_day *out = &work->reduced->days[day];
    const struct day_volume *volume =
        reduce_show_volume(judgement, work->pass, work->place, day, out);

    if (volume && volume->together_days > 0)
        work->after_together = day + volume->together_days;
    if (day < work->after_together)
        out->together = true;
    else if (volume && !volume->m3)
        no_load(work, day, volume->note ? volume->note : no_flow_words);
    if (!out->has_concentration)
        return;

    struct figure figure = out->concentration;

    figure.day = (int)day;
    LIST_ADD(judgement->mem, &work->reduced->figures, figure);
}

void day_load_make(const struct judgement *judgement, enum pass pass, size_t place,
                   const struct figure_list *readings, struct reduced *reduced)
{
    const struct limit *limit = judgement->limit;
    const struct water *water =
        judgement->places[place].water[water_of_pass(judgement, pass, place)];
    struct work work = {.judgement = judgement,
                        .pass = pass,
                        .place = place,
                        .readings = readings,
                        .reduced = reduced};

    work.fills = limit->load_gap == LOAD_GAP_PERIOD_MEAN && period_mean(&work, &work.stand_in);
    if (limit->load_water == LOAD_WATER_WHILE_SAMPLING && water) {
        work.water = water;
        work.curve = flow_curve_of(judgement, water);
    }
    if (limit->load_water == LOAD_WATER_PERIOD_MEAN)
        work.mean_m3 = mean_volume(&work);
    reduced->mean_m3 = work.mean_m3;
    for (size_t i = 0; i < judgement->day_count; i++) {
        if (judgement->days[i].why_not || !judgement->days[i].begun)
            continue;
        if (limit->load_water == LOAD_MEAN_TIMES_VOLUME)
            keep_concentrations(&work, i);
        else
            load_of_day(&work, i);
    }
}
