#include "judge/combine.h"

#include "stat/average.h"
#include "stat/lognormal.h"
#include "stat/percentile.h"
#include "stat/weighted.h"

enum { PERCENT = 100 };

/* How figures become one: a row of stat/, or with weights a weighted mean. */
struct way {
    const struct statistic *statistic;
    const struct amount *weights; /* one to each figure; NULL: none */
};

/* -1, 0, 1; of equal ends of one side, an open high end is less and an open low end is more. */
static int end_compare(struct arena *mem, const struct end *a, const struct end *b, bool high)
{
    int order = amount_compare(mem, a->at, b->at);

    if (order != 0 || a->open == b->open)
        return order;

    return a->open == high ? -1 : 1;
}

static const struct end *end_of(const struct figure *figure, bool high)
{
    return high ? &figure->range.high : &figure->range.low;
}

/*
 * An end of a minimum or maximum. The most a maximum can be is not known when one of its values
 * has no upper end; the least it can be is the greatest of those that have a lower one.
 */
static struct end picked_end(const struct judgement *judgement, enum stat_more more,
                             const struct figure *figures, size_t count, bool high)
{
    struct end found = {.known = false};
    bool needs_all = (more == STAT_MORE_RAISES) == high;
    int side = more == STAT_MORE_RAISES ? 1 : -1;

    for (size_t i = 0; i < count; i++) {
        const struct end *end = end_of(&figures[i], high);

        if (!end->known && needs_all)
            return (struct end){.known = false};
        if (end->known && (!found.known || end_compare(judgement->mem, end, &found, high) == side))
            found = *end;
    }

    return found;
}

struct stat_input combine_input(const struct judgement *judgement, const struct amount *values,
                                size_t count)
{
    const struct statistic_settings *settings = &judgement->limit->settings;
    struct arena *mem = judgement->mem;
    struct stat_input input = {.values = values, .count = count};

    if (settings->percentile_rule)
        input.definition = percentile_definition_find(settings->percentile_rule);
    input.p =
        exact_div(mem, exact_from_decimal(mem, settings->percent), exact_from_int(mem, PERCENT));
    if (settings->z.coefficient != 0)
        input.z = exact_from_decimal(mem, settings->z);
    input.population_deviation = settings->deviation == DEVIATION_POPULATION;

    return input;
}

/* An end of any other statistic: all but one of them rise, or stay, when a value does. */
static struct end worked_out_end(const struct judgement *judgement, const struct way *way,
                                 const struct figure *figures, size_t count, bool high,
                                 const char **why_not)
{
    struct amount *values = ARENA_ARRAY(judgement->mem, struct amount, count);
    struct stat_input input = combine_input(judgement, values, count);
    const struct exact *figure = NULL;
    struct err err = ERR_INIT;
    bool open = true;

    for (size_t i = 0; i < count; i++) {
        const struct end *end = end_of(&figures[i], high);

        if (!end->known)
            return (struct end){.known = false};
        /* A less-than that may be as good as 0 brings the product there. */
        if (way->statistic == &stat_geometric_mean && !high && amount_sign(end->at) == 0 &&
            !combine_is_number(judgement, &figures[i]))
            return *end;
        values[i] = end->at;
        open = open && end->open;
    }

    bool done = way->weights
                    ? weighted_mean(judgement->mem, values, way->weights, count, &figure, &err)
                    : statistic_work_out(judgement->mem, way->statistic, &input, &figure, &err);

    if (!done) {
        *why_not = arena_strdup(judgement->mem, err.text);
        return (struct end){.known = false};
    }

    return (struct end){.known = true, .open = open, .at = {.exact = figure}};
}

bool combine_is_number(const struct judgement *judgement, const struct figure *figure)
{
    const struct range *range = &figure->range;

    return range->low.known && range->high.known && !range->low.open && !range->high.open &&
           amount_compare(judgement->mem, range->low.at, range->high.at) == 0;
}

/* Whether one working out does for both ends. */
static bool settled(const struct judgement *judgement, const struct figure *figures, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (!combine_is_number(judgement, &figures[i]))
            return false;

    return true;
}

/* Of a lowest or highest value: what its range says. */
static char qualifier_of_range(const struct range *range)
{
    if (range->low.known && !range->high.known)
        return QUALIFIER_GREATER;

    return range->high.open ? QUALIFIER_LESS : QUALIFIER_NONE;
}

/* Of a figure by the clause's rules: '>' decides where both meet, '<' where there is nothing else.
 */
static char qualifier_of(const struct judgement *judgement, const struct figure *figures,
                         size_t count)
{
    enum less_than_rule rule = figure_less_than_rule(judgement->limit);
    bool only_less = rule == LESS_THAN_AT_LIMIT || figure_rule_is_of_whole(judgement->limit);
    bool floor_only = judgement->bound.has_floor && !judgement->bound.has_ceiling;
    bool any_less = false;
    bool any_greater = false;

    for (size_t i = 0; i < count; i++) {
        bool less = figures[i].qualifier == QUALIFIER_LESS;

        only_less = only_less && less;
        any_less = any_less || less;
        any_greater = any_greater || figures[i].qualifier == QUALIFIER_GREATER;
    }
    if (any_greater && any_less && floor_only)
        return QUALIFIER_LESS;
    if (any_greater)
        return QUALIFIER_GREATER;

    return only_less ? QUALIFIER_LESS : QUALIFIER_NONE;
}

static void work_out(const struct judgement *judgement, const struct way *way,
                     const struct figure *figures, size_t count, struct figure *out)
{
    bool settles = settled(judgement, figures, count);
    const struct statistic *statistic = way->statistic;
    const char *why_not = NULL;

    if (statistic->picks) {
        out->range.low = picked_end(judgement, statistic->more, figures, count, false);
        out->range.high = picked_end(judgement, statistic->more, figures, count, true);
        return;
    }
    /* A spread may fall when a value rises, so that nothing is known of its ends. */
    if (statistic == &stat_log_normal_percentile && !settles)
        return;
    out->range.low = worked_out_end(judgement, way, figures, count, false, &why_not);
    out->range.high =
        settles ? out->range.low : worked_out_end(judgement, way, figures, count, true, &why_not);
    if (!out->blocked)
        out->blocked = why_not;
}

static struct figure combine(const struct judgement *judgement, const struct way *way,
                             const struct figure *figures, size_t count);

/* The figure of those that have a number, for a figure that holds not-detecteds without one. */
static void combine_told(const struct judgement *judgement, const struct way *way,
                         const struct figure *figures, size_t count, struct figure *out)
{
    struct figure *told = ARENA_ARRAY(judgement->mem, struct figure, count);
    struct amount *weights = ARENA_ARRAY(judgement->mem, struct amount, count);
    const struct way way_of_told = {way->statistic, way->weights ? weights : NULL};
    size_t told_count = 0;
    struct amount shown;

    for (size_t i = 0; i < count; i++) {
        if (figure_is_missing(&figures[i]))
            continue;
        told[told_count] = figures[i];
        if (figures[i].not_told > 0)
            told[told_count] = (struct figure){.range = range_of_amount(figures[i].without_them.at),
                                               .qualifier = figures[i].qualifier};
        if (way->weights)
            weights[told_count] = way->weights[i];
        told_count++;
    }
    if (told_count == 0)
        return;

    struct figure figure = combine(judgement, &way_of_told, told, told_count);

    out->qualifier = figure.qualifier;
    if (figure_shown(&figure, &shown))
        out->without_them = (struct end){.known = true, .at = shown};
}

/* What the readings allowed, where the clause lets a less-than among them comply. */
static const struct range *reported_of(const struct judgement *judgement, const struct way *way,
                                       const struct figure *figures, size_t count)
{
    struct figure *reported = ARENA_ARRAY(judgement->mem, struct figure, count);
    struct figure out = {0};
    bool any = false;

    for (size_t i = 0; i < count; i++) {
        reported[i] = figures[i];
        any = any || figures[i].as_reported;
        if (figures[i].as_reported)
            reported[i].range = *figures[i].as_reported;
    }
    if (!any)
        return NULL;
    work_out(judgement, way, reported, count, &out);

    struct range *range = ARENA_NEW(judgement->mem, struct range);

    *range = out.range;

    return range;
}

/* What does not depend on the way. */
static struct figure gathered(const struct judgement *judgement, const struct figure *figures,
                              size_t count)
{
    struct figure out = {.day = NO_INDEX,
                         .use = NO_INDEX,
                         .at = INSTANT_NONE,
                         .place = figures[0].place,
                         .only_less_thans = true};
    bool any = false;

    for (size_t i = 0; i < count; i++) {
        if (!out.blocked)
            out.blocked = figures[i].blocked;
        out.less_thans += figures[i].less_thans;
        out.not_told += figures[i].not_told;
        out.only_less_thans = out.only_less_thans && figures[i].only_less_thans;
        if (figures[i].less_thans > 0 &&
            (!any || amount_compare(judgement->mem, figures[i].largest, out.largest) > 0)) {
            out.largest = figures[i].largest;
            any = true;
        }
    }

    return out;
}

static struct figure combine(const struct judgement *judgement, const struct way *way,
                             const struct figure *figures, size_t count)
{
    struct figure out = gathered(judgement, figures, count);

    work_out(judgement, way, figures, count, &out);
    if (judgement->limit->single_less_than == SINGLE_WITHIN && out.less_thans > 0)
        out.as_reported = reported_of(judgement, way, figures, count);
    out.qualifier = judgement->single
                        ? qualifier_of_range(out.as_reported ? out.as_reported : &out.range)
                        : qualifier_of(judgement, figures, count);
    if (out.not_told > 0)
        combine_told(judgement, way, figures, count, &out);

    return out;
}

struct figure combine_figures(const struct judgement *judgement, const struct statistic *statistic,
                              const struct figure *figures, size_t count)
{
    const struct way way = {statistic, NULL};

    return combine(judgement, &way, figures, count);
}

/* The lowest or the highest of them, as it was reported. */
static struct amount number_picked(const struct judgement *judgement, enum stat_more more,
                                   const struct stat_input *input)
{
    int side = more == STAT_MORE_RAISES ? 1 : -1;
    struct amount found = input->values[0];

    for (size_t i = 1; i < input->count; i++)
        if (amount_compare(judgement->mem, input->values[i], found) == side)
            found = input->values[i];

    return found;
}

struct figure combine_numbers(const struct judgement *judgement, const struct statistic *statistic,
                              const struct stat_input *input, size_t place)
{
    struct figure out = {.day = NO_INDEX,
                         .use = NO_INDEX,
                         .at = INSTANT_NONE,
                         .place = place,
                         .qualifier = QUALIFIER_NONE};
    struct amount number = {.exact = NULL};
    struct err err = ERR_INIT;

    if (statistic->picks) {
        number = number_picked(judgement, statistic->more, input);
    } else if (!statistic_work_out(judgement->mem, statistic, input, &number.exact, &err)) {
        out.blocked = arena_strdup(judgement->mem, err.text);
        return out;
    }
    out.range = range_of_amount(number);

    return out;
}

struct figure combine_weighted(const struct judgement *judgement, const struct figure *figures,
                               const struct amount *weights, size_t count)
{
    const struct way way = {&stat_mean, weights};

    return combine(judgement, &way, figures, count);
}

struct figure combine_before(const struct judgement *judgement, const struct statistic *statistic,
                             const struct figure *figures, size_t count)
{
    struct figure out = combine_figures(judgement, statistic, figures, count);

    if (!out.blocked && out.less_thans > 0 && !out.only_less_thans && !judgement->single &&
        figure_rule_is_of_whole(judgement->limit))
        out.blocked = "the clause's rule for less-thans works on single results, and these are "
                      "averaged before";

    return out;
}

void combine_finish(const struct judgement *judgement, struct figure *figure)
{
    if (!judgement->limit->largest_if_all || judgement->single || !figure->only_less_thans)
        return;
    figure->range = (struct range){.low = {.known = true},
                                   .high = {.known = true, .open = true, .at = figure->largest}};
    figure->qualifier = QUALIFIER_LESS;
    figure->blocked = NULL;
}
