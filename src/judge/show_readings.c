#include "judge/show_readings.h"

#include "judge/bound_beside.h"
#include "judge/combine.h"
#include "judge/gather.h"
#include "judge/shared.h"
#include "judge/show_water.h"

/* The number that a reading went into the figure with; NULL: none. */
static const struct exact *used_number(const struct judgement *judgement,
                                       const struct figure *figure, const struct use *use,
                                       const struct exact *value)
{
    struct amount shown;

    if (figure->blocked && (!figure->range.low.known || !figure->range.high.known))
        return NULL;
    /* A reading of the intake that may be anything in a range went in as no one number. */
    if (judgement->places[use->place].against && !combine_is_number(judgement, figure))
        return NULL;
    if (use->qualifier == QUALIFIER_NONE)
        return value;
    /* Such a rule puts no number in the place of a less-than. */
    if (figure_rule_is_of_whole(judgement->limit) && figure->less_thans > 0 && !judgement->single)
        return NULL;

    return figure_shown(figure, &shown) ? amount_exact(judgement->mem, shown) : NULL;
}

static bool is_beyond(enum fit fit)
{
    return fit == FIT_ABOVE || fit == FIT_BELOW;
}

/* Whether the limit compares each reading by itself. */
static bool each_alone(const struct judgement *judgement)
{
    return judgement->limit->statistic == STATISTIC_VALUE && judgement->limit->daily == DAILY_EVERY;
}

/* Readings while they are shown. */
struct showing {
    const struct judgement *judgement;
    const struct ruling *ruling;
    /* Of two places, by the judgement's items: whether the pair it is in is beyond. NULL: none is.
     */
    const bool *pairs_beyond;
};

/* Where each value is compared by itself: whether this one, or the pair it makes, is beyond. */
static bool beyond_alone(const struct showing *showing, const struct use *use)
{
    const struct judgement *judgement = showing->judgement;

    if (!each_alone(judgement))
        return false;
    if (judgement->limit->against.kind == AGAINST_NONE)
        return is_beyond(use->fit);

    return showing->pairs_beyond && showing->pairs_beyond[use - judgement->items];
}

static const bool *pairs_beyond(const struct judgement *judgement, const struct pass_result *result)
{
    bool *beyond;

    if (!result || judgement->limit->against.kind == AGAINST_NONE || !each_alone(judgement))
        return NULL;
    beyond = ARENA_ARRAY(judgement->mem, bool, judgement->count);
    for (size_t i = 0; i < result->figures.count; i++) {
        const struct figure *figure = &result->figures.items[i];

        if (figure->use != NO_INDEX)
            beyond[figure->use] = is_beyond(figure_fit(judgement, figure));
    }

    return beyond;
}

/* Whether it is in doubt and the verdict rests on it. */
static bool decides(const struct judgement *judgement, const struct ruling *ruling,
                    const struct use *use)
{
    return ruling->rests_on != PASS_WITHOUT && use->trust != TRUST_SOUND &&
           pass_takes(use, ruling->rests_on) && (!each_alone(judgement) || use->fit != FIT_WITHIN);
}

/* The number that a reading is held against where the bound goes by other readings. */
static const struct exact *own_bound(const struct judgement *judgement, const struct use *use)
{
    const struct bound *bound = use->own_bound;

    if (!bound || (!bound->has_ceiling && !bound->has_floor))
        return NULL;

    return amount_exact(judgement->mem, bound->has_ceiling ? bound->ceiling : bound->floor);
}

/* What the bounds by rows set aside make of a reading. */
static void show_beside(const struct showing *showing, const struct use *use,
                        struct verdict_item *item)
{
    const struct judgement *judgement = showing->judgement;

    for (const struct use *beside = bound_beside_next(judgement, use, NULL); beside;
         beside = bound_beside_next(judgement, use, beside)) {
        bool counted = pass_takes(beside, showing->ruling->shown);
        bool decided = decides(judgement, showing->ruling, beside);

        if (item->has_beside && !counted && !decided)
            continue;
        item->has_beside = true;
        item->beside_row = beside->beside_row;
        item->beside_bound = own_bound(judgement, beside);
        item->counted = item->counted || counted;
        item->outside = item->outside || (counted && beyond_alone(showing, beside));
        item->decided = item->decided || decided;
        if (!item->doubt && (counted || decided))
            item->doubt = beside->doubt;
    }
}

/* Whether a reading counts in what is shown, with its own bound or with that of a row. */
static bool is_counted(const struct showing *showing, const struct use *use)
{
    const struct judgement *judgement = showing->judgement;
    bool counted = pass_takes(use, showing->ruling->shown);

    for (const struct use *beside = judgement->has_beside ? bound_beside_next(judgement, use, NULL)
                                                          : NULL;
         beside && !counted; beside = bound_beside_next(judgement, use, beside))
        counted = pass_takes(beside, showing->ruling->shown);

    return counted;
}

static struct verdict_item item_of(const struct showing *showing, const struct use *use)
{
    const struct judgement *judgement = showing->judgement;
    const struct ruling *ruling = showing->ruling;
    struct verdict_item item = {
        .series = (size_t)use->series,
        .reading = use->reading,
        .day = judgement->days[use->day].day,
        .value = use->has_value ? amount_exact(judgement->mem, use->value) : NULL,
        .qualifier = use->qualifier,
        .counted = is_counted(showing, use),
        .decided = decides(judgement, ruling, use),
        .doubt = use->doubt,
        .why_not = use->why_not,
        .held_at = use->held ? use->at : INSTANT_NONE,
        .place = use->place,
        .bound = own_bound(judgement, use),
        .others = use->others,
        .other_count = use->other_count,
    };

    if (item.counted) {
        struct figure figure = figure_of_use(judgement, use);

        item.used = judgement->limit->daily == DAILY_TOTAL
                        ? NULL
                        : used_number(judgement, &figure, use, item.value);
        item.why_not = figure.blocked;
        item.counted = !figure_is_missing(&figure);
        item.outside = pass_takes(use, ruling->shown) && beyond_alone(showing, use);
    } else if (!item.why_not && (use->passed_over & (1U << ruling->shown)) != 0) {
        item.why_not = "a row set aside that contradicts it stands in its place";
    } else if (!item.why_not && use->trust == TRUST_IN_DOUBT) {
        item.why_not = arena_printf(judgement->mem, "in doubt: %s", use->doubt);
    }
    if (judgement->has_beside)
        show_beside(showing, use, &item);

    return item;
}

struct item_list {
    struct verdict_item *items;
    size_t count;
    size_t capacity;
};

/* Whether a verdict in brief leaves the reading out: what is not beyond its bound by itself. */
static bool is_spared(const struct showing *showing, const struct use *use)
{
    if (showing->judgement->has_beside)
        return false;

    return showing->judgement->in_brief && use->qualifier != QUALIFIER_NOT_DETECTED &&
           !beyond_alone(showing, use);
}

void show_readings_items(const struct judgement *judgement, const struct ruling *ruling,
                         const struct pass_result *result, struct verdict *verdict)
{
    const struct showing showing = {judgement, ruling, pairs_beyond(judgement, result)};
    struct item_list list = {0};

    if (judgement->shared && shared_all_within(judgement)) {
        shared_counts(judgement, verdict);
        return;
    }
    if (!judgement->in_brief) {
        list.items = ARENA_ARRAY(judgement->mem, struct verdict_item, judgement->count);
        list.capacity = judgement->count;
    }
    for (size_t i = 0; i < judgement->count; i++) {
        const struct use *use = &judgement->items[i];

        if (use->series == NO_INDEX || use->is_beside)
            continue;

        const struct evidence_reading *reading =
            &judgement->evidence->series[use->series].readings[use->reading];

        verdict->left_out += reading->left_out != NULL;
        verdict->undischarged += gather_is_without_discharge(judgement, use);
        verdict->in_doubt += !use->why_not && use->trust == TRUST_IN_DOUBT;
        if (is_spared(&showing, use))
            continue;

        struct verdict_item item = item_of(&showing, use);

        verdict->not_detected += item.counted && item.qualifier == QUALIFIER_NOT_DETECTED;
        if (!judgement->in_brief || item.outside)
            LIST_ADD(judgement->mem, &list, item);
    }
    verdict->items = list.items;
    verdict->item_count = list.count;
}

/* Beside a reading, those of the other place that it was held against. */
void show_readings_others(const struct judgement *judgement, const struct pass_result *result,
                          struct verdict *verdict)
{
    size_t *items = ARENA_ARRAY(judgement->mem, size_t, judgement->count);
    size_t count = 0;

    for (size_t i = 0; i < judgement->count; i++) {
        items[i] = count;
        count += judgement->items[i].series != NO_INDEX;
    }
    for (size_t i = 0; i < result->figures.count; i++) {
        const struct figure *figure = &result->figures.items[i];

        if (figure->other_count == 0 || figure->use == NO_INDEX ||
            judgement->items[figure->use].series == NO_INDEX)
            continue;
        verdict->items[items[figure->use]].others = figure->others;
        verdict->items[items[figure->use]].other_count = figure->other_count;
    }
}

/* Whether one row can be told to be beyond by itself: a change, a sum and a pair are of several. */
static bool row_is_alone(const struct judgement *judgement)
{
    const struct limit *limit = judgement->limit;

    return !limit_of_change(limit) && limit->statistic != STATISTIC_SUM &&
           limit->against.kind == AGAINST_NONE;
}

static void show_tried(const struct judgement *judgement, const struct ruling *ruling,
                       const struct use *use, struct verdict_aside *aside)
{
    const struct exact *value = use->has_value ? amount_exact(judgement->mem, use->value) : NULL;

    if (use->trust != TRUST_TRIED || use->tried_side == SIDE_BELOW)
        aside->least = value;
    if (use->trust != TRUST_TRIED || use->tried_side == SIDE_ABOVE)
        aside->most = value;
    aside->counted = aside->counted || pass_takes(use, ruling->shown);
    aside->decided = aside->decided || decides(judgement, ruling, use);
    if (row_is_alone(judgement) &&
        (limit_counts_beyond(judgement->limit) ? use->fit == FIT_ABOVE : is_beyond(use->fit)))
        aside->outside = true;
}

/* A row that gave a reading its bound. */
static void show_given(const struct judgement *judgement, const struct ruling *ruling,
                       const struct use *use, struct verdict_aside *aside)
{
    bool beyond = is_beyond(use->fit);

    aside->counted = aside->counted || (beyond && pass_takes(use, ruling->shown));
    aside->decided = aside->decided || decides(judgement, ruling, use);
    aside->outside = aside->outside || beyond;
}

/* The place of a row in the list, which is in order of rows; it is there. */
static size_t place_of(const struct row_list *rows, size_t row)
{
    size_t low = 0;
    size_t high = rows->count;

    while (low + 1 < high) {
        size_t middle = low + (high - low) / 2;

        if (rows->items[middle].row <= row)
            low = middle;
        else
            high = middle;
    }

    return low;
}

void show_readings_asides(const struct judgement *judgement, const struct ruling *ruling,
                          struct verdict *verdict)
{
    const struct row_list *rows = &judgement->asides;

    verdict->set_aside = rows->count;
    verdict->asides = ARENA_ARRAY(judgement->mem, struct verdict_aside, rows->count);
    for (size_t i = 0; i < rows->count; i++)
        verdict->asides[i] = (struct verdict_aside){
            .row = rows->items[i].row,
            .roles = rows->items[i].roles,
            .decided = (ruling->on_numberless && judgement->numberless == rows->items[i].row) ||
                       (ruling->on_water && judgement->water_open_row == rows->items[i].row)};
    for (size_t i = 0; i < judgement->count && rows->count > 0; i++) {
        const struct use *use = &judgement->items[i];

        if (use->series == NO_INDEX)
            show_tried(judgement, ruling, use, &verdict->asides[place_of(rows, use->reading)]);
        if (use->is_beside && rows->items[place_of(rows, use->beside_row)].row == use->beside_row)
            show_given(judgement, ruling, use, &verdict->asides[place_of(rows, use->beside_row)]);
    }
    if (rows->count > 0)
        show_water_asides(judgement, ruling, verdict);
    for (size_t i = 0; i < rows->count; i++) {
        verdict->asides_counted += verdict->asides[i].counted;
        verdict->not_given +=
            judgement->evidence->set_aside[rows->items[i].row].kind == KIND_DERIVED;
    }
}
