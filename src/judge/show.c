#include "judge/show.h"

#include "judge/volume.h"

enum { FIGURES_SHOWN = 12 };

/* The number that a reading went into the figure with; NULL: none. */
static const struct exact *used_number(const struct judgement *judgement,
                                       const struct figure *figure, const struct use *use,
                                       const struct exact *value)
{
    struct amount shown;

    if (figure->blocked && (!figure->range.low.known || !figure->range.high.known))
        return NULL;
    if (use->qualifier == QUALIFIER_NONE)
        return value;

    return figure_shown(figure, &shown) ? amount_exact(judgement->mem, shown) : NULL;
}

static const char *doubt_words(const struct judgement *judgement, const struct use *use)
{
    const struct evidence_reading *reading =
        &judgement->evidence->series[use->series].readings[use->reading];

    return arena_printf(judgement->mem, "in doubt: %s", reading->doubt);
}

static struct verdict_item item_of(const struct judgement *judgement, enum pass pass,
                                   const struct use *use)
{
    struct verdict_item item = {
        .series = (size_t)use->series,
        .reading = use->reading,
        .day = judgement->days[use->day].day,
        .value = use->has_value ? amount_exact(judgement->mem, use->value) : NULL,
        .qualifier = use->qualifier,
        .counted = pass_takes(use, pass),
        .why_not = use->why_not,
    };

    if (item.counted) {
        struct figure figure = figure_of_use(judgement, use);

        item.used = judgement->limit->daily == DAILY_TOTAL
                        ? NULL
                        : used_number(judgement, &figure, use, item.value);
        item.why_not = figure.blocked;
        item.outside = !judgement->statistic && judgement->limit->daily == DAILY_EVERY &&
                       (use->fit == FIT_ABOVE || use->fit == FIT_BELOW);
    } else if (!item.why_not && use->trust == TRUST_IN_DOUBT) {
        item.why_not = doubt_words(judgement, use);
    }

    return item;
}

static void show_items(const struct judgement *judgement, enum pass pass, struct verdict *verdict)
{
    verdict->items = ARENA_ARRAY(judgement->mem, struct verdict_item, judgement->count);
    for (size_t i = 0; i < judgement->count; i++) {
        const struct use *use = &judgement->items[i];

        if (use->series == NO_INDEX)
            continue;

        const struct evidence_reading *reading =
            &judgement->evidence->series[use->series].readings[use->reading];

        verdict->items[verdict->item_count++] = item_of(judgement, pass, use);
        verdict->left_out += reading->left_out != NULL;
        verdict->in_doubt += !use->why_not && use->trust == TRUST_IN_DOUBT;
    }
}

static const struct exact *shown_exact(struct arena *mem, bool has, const struct figure *figure)
{
    struct amount shown;

    return has && figure_shown(figure, &shown) ? amount_exact(mem, shown) : NULL;
}

/* m3 in the unit that the licence states for its factor. */
static const struct exact *shown_volume(const struct judgement *judgement, const struct exact *m3)
{
    const struct exact *per_m3 = NULL;
    struct err ignored = ERR_INIT;

    if (!m3 || !judgement->limit->load_flow_unit ||
        !volume_per_m3(judgement->mem, judgement->evidence->units, judgement->limit->load_flow_unit,
                       &per_m3, &ignored))
        return m3;

    return exact_mul(judgement->mem, m3, per_m3);
}

static void show_day(const struct judgement *judgement, const struct pass_day *from,
                     struct verdict_day *out)
{
    struct arena *mem = judgement->mem;

    out->readings = from->readings;
    out->concentration = shown_exact(mem, from->has_concentration, &from->concentration);
    out->volume = shown_volume(judgement, from->volume);
    out->figure = shown_exact(mem, from->has_figure, &from->figure);
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

static void show_figure(const struct judgement *judgement, const struct pass_result *result,
                        struct verdict *verdict)
{
    struct arena *mem = judgement->mem;
    const struct figure *worst = &result->worst;
    struct rounding rounding = judgement->bound.rounding;
    struct amount shown;
    enum side nearer;

    if (!result->has_figure || !figure_shown(worst, &shown))
        return;
    bound_excess(mem, &judgement->bound, shown, &nearer);
    verdict->figure = amount_exact(mem, shown);
    verdict->figure_text = exact_text(mem, verdict->figure, FIGURES_SHOWN);
    if (worst->range.low.open || worst->range.high.open)
        rounding.rule = ROUND_NONE;
    verdict->compared = exact_round(mem, verdict->figure, rounding);
    verdict->compared_text = arena_printf(mem, "%s%s",
                                          worst->qualifier == QUALIFIER_LESS      ? "<"
                                          : worst->qualifier == QUALIFIER_GREATER ? ">"
                                                                                  : "",
                                          exact_rounded_text(mem, verdict->figure, rounding));
    verdict->bound_text =
        bound_text(mem, judgement->limit, verdict->side == SIDE_NONE ? nearer : verdict->side);
}

void show_evidence(const struct judgement *judgement, enum pass pass,
                   const struct pass_result *result, struct verdict *verdict)
{
    show_items(judgement, pass, verdict);
    show_days(judgement, result, verdict);
    verdict->set_aside = judgement->set_aside;
    if (!result)
        return;
    show_figure(judgement, result, verdict);
    verdict->samples = result->samples;
    verdict->together_days = result->together_days;
    verdict->less_thans = result->less_thans;
    verdict->beyond = result->beyond;
    verdict->has_coverage = result->has_coverage;
    verdict->coverage = result->coverage;
}

void show_words(struct arena *mem, const struct judgement *judgement, struct verdict *verdict)
{
    if (!verdict->bound_text)
        verdict->bound_text = bound_text(mem, judgement->limit, verdict->side);
    verdict->near_bound = verdict->standing == STANDING_WITHIN && verdict->compared &&
                          bound_near(mem, judgement->limit, &judgement->bound,
                                     amount_from_exact(mem, verdict->compared));
    verdict->words = verdict_words(mem, verdict);
}
