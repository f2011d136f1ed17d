#include "judge/figure.h"

#include "stat/average.h"
#include "stat/substitute.h"

static const struct substitution *const less_than_rules[] = {
    [LESS_THAN_UNSET] = NULL,
    [LESS_THAN_ZERO] = &substitute_zero,
    [LESS_THAN_HALF] = &substitute_half,
    [LESS_THAN_AT_LIMIT] = &substitute_at_limit,
    [LESS_THAN_STATED] = &substitute_stated,
};

static const struct substitution *const greater_than_rules[] = {
    [GREATER_THAN_REFUSED] = NULL,
    [GREATER_THAN_STATED] = &substitute_stated,
    [GREATER_THAN_STEP] = &substitute_step_up,
};

static const char not_told_words[] = "not detected with no limit told: it could be any number";

struct range figure_allowed(const struct use *use)
{
    struct range range = range_of_amount(use->value);

    if (!use->has_value)
        return (struct range){0};
    if (use->qualifier == QUALIFIER_LESS) {
        range.low.known = false;
        range.high.open = true;
    } else if (use->qualifier == QUALIFIER_GREATER) {
        range.high.known = false;
        range.low.open = true;
    }

    return range;
}

/* The number the rule gives for a less-than or a greater-than. */
static struct range substituted(const struct judgement *judgement, const struct use *use,
                                const struct substitution *rule, struct decimal stated)
{
    const struct censored censored = {
        .limit = use->value, .step = use->step, .stated = amount_from_decimal(stated)};

    return range_of_amount(rule->of(judgement->mem, &censored));
}

/* A less-than, or a not-detected, in a figure that is not of single values. */
static void less_than_by_rule(const struct judgement *judgement, const struct use *use,
                              struct figure *figure)
{
    const struct limit *limit = judgement->limit;
    const struct bound *bound = &judgement->bound;
    const struct substitution *rule = less_than_rules[limit->less_than];
    bool detected = use->qualifier == QUALIFIER_LESS;

    if (rule && (detected || !rule->needs_limit)) {
        figure->range = substituted(judgement, use, rule, limit->less_than_stated);
    } else {
        figure->range.low = (struct end){.known = true};
        figure->blocked =
            detected ? "the clause does not say what a less-than stands for" : not_told_words;
        figure->not_told = !detected;
        return;
    }
    if (bound->has_floor)
        figure->blocked = "a less-than can't show that a lowest bound is kept";
    else if (detected && limit->daily != DAILY_LOAD &&
             amount_compare(judgement->mem, use->value, bound->ceiling) > 0)
        figure->blocked = "a less-than reaches beyond the bound";
}

static void greater_than_by_rule(const struct judgement *judgement, const struct use *use,
                                 struct figure *figure)
{
    const struct limit *limit = judgement->limit;
    const struct substitution *rule = greater_than_rules[limit->greater_than];

    if (rule)
        figure->range = substituted(judgement, use, rule, limit->greater_than_stated);
    else
        figure->blocked = "the clause does not say what a greater-than stands for";
}

/* A bound on single values asks no rule, except of a not-detected that has no number. */
static void not_detected_alone(const struct judgement *judgement, const struct use *use,
                               struct figure *figure)
{
    const struct limit *limit = judgement->limit;
    const struct substitution *rule = less_than_rules[limit->less_than];

    if (rule && !rule->needs_limit) {
        figure->range = substituted(judgement, use, rule, limit->less_than_stated);
        return;
    }
    figure->blocked = not_told_words;
    figure->not_told = 1;
}

struct figure figure_of_use(const struct judgement *judgement, const struct use *use)
{
    struct figure figure = {.range = figure_allowed(use),
                            .qualifier = use->qualifier,
                            .day = use->day,
                            .place = use->place,
                            .at = use->at,
                            .use = (int)(use - judgement->items),
                            .own_bound = use->own_bound,
                            .less_thans = use->qualifier == QUALIFIER_LESS ||
                                          use->qualifier == QUALIFIER_NOT_DETECTED};

    if (use->blocked)
        figure.blocked = use->blocked;
    else if (!use->has_value && use->qualifier != QUALIFIER_NOT_DETECTED)
        figure.blocked = "a reading's unit can't be turned into the clause's";
    else if (use->qualifier == QUALIFIER_NOT_DETECTED && judgement->single)
        not_detected_alone(judgement, use, &figure);
    else if (figure.less_thans > 0 && !judgement->single)
        less_than_by_rule(judgement, use, &figure);
    else if (use->qualifier == QUALIFIER_GREATER && !judgement->single)
        greater_than_by_rule(judgement, use, &figure);

    return figure;
}

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

/* An end of any other statistic: all of them rise, or stay, when a value does. */
static struct end worked_out_end(const struct judgement *judgement,
                                 const struct statistic *statistic, const struct figure *figures,
                                 size_t count, bool high, const char **why_not)
{
    struct amount *values = ARENA_ARRAY(judgement->mem, struct amount, count);
    struct stat_input input = {.values = values, .count = count};
    const struct exact *figure = NULL;
    struct err err = ERR_INIT;

    for (size_t i = 0; i < count; i++) {
        const struct end *end = end_of(&figures[i], high);

        if (!end->known)
            return (struct end){.known = false};
        values[i] = end->at;
    }
    if (!statistic_work_out(judgement->mem, statistic, &input, &figure, &err)) {
        *why_not = arena_strdup(judgement->mem, err.text);
        return (struct end){.known = false};
    }

    return (struct end){.known = true, .at = {.exact = figure}};
}

/* Whether both ends of every figure are one number, so that one working out does for both. */
static bool settled(const struct figure *figures, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const struct range *range = &figures[i].range;

        if (figures[i].blocked || figures[i].qualifier != QUALIFIER_NONE || !range->low.known ||
            !range->high.known)
            return false;
    }

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
    bool only_less = judgement->limit->less_than == LESS_THAN_AT_LIMIT;
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

static void work_out(const struct judgement *judgement, const struct statistic *statistic,
                     const struct figure *figures, size_t count, struct figure *out)
{
    bool settles = settled(figures, count);
    const char *why_not = NULL;

    if (statistic->picks) {
        out->range.low = picked_end(judgement, statistic->more, figures, count, false);
        out->range.high = picked_end(judgement, statistic->more, figures, count, true);
        return;
    }
    out->range.low = worked_out_end(judgement, statistic, figures, count, false, &why_not);
    out->range.high = settles
                          ? out->range.low
                          : worked_out_end(judgement, statistic, figures, count, true, &why_not);
    if (!out->blocked)
        out->blocked = why_not;
}

/* The figure of those that have a number, for a figure that holds not-detecteds without one. */
static void combine_told(const struct judgement *judgement, const struct statistic *statistic,
                         const struct figure *figures, size_t count, struct figure *out)
{
    struct figure *told = ARENA_ARRAY(judgement->mem, struct figure, count);
    size_t told_count = 0;
    struct amount shown;

    for (size_t i = 0; i < count; i++) {
        if (figure_is_missing(&figures[i]))
            continue;
        told[told_count] = figures[i];
        if (figures[i].not_told > 0)
            told[told_count] = (struct figure){.range = range_of_amount(figures[i].without_them.at),
                                               .qualifier = figures[i].qualifier};
        told_count++;
    }
    if (told_count == 0)
        return;

    struct figure figure = figure_combine(judgement, statistic, told, told_count);

    out->qualifier = figure.qualifier;
    if (figure_shown(&figure, &shown))
        out->without_them = (struct end){.known = true, .at = shown};
}

struct figure figure_combine(const struct judgement *judgement, const struct statistic *statistic,
                             const struct figure *figures, size_t count)
{
    struct figure out = {.day = NO_INDEX};

    for (size_t i = 0; i < count; i++) {
        if (!out.blocked)
            out.blocked = figures[i].blocked;
        out.less_thans += figures[i].less_thans;
        out.not_told += figures[i].not_told;
    }
    work_out(judgement, statistic, figures, count, &out);
    out.qualifier = judgement->single ? qualifier_of_range(&out.range)
                                      : qualifier_of(judgement, figures, count);
    if (out.not_told > 0)
        combine_told(judgement, statistic, figures, count, &out);

    return out;
}

struct figure figure_times(const struct judgement *judgement, struct figure figure,
                           struct amount factor)
{
    if (figure.range.low.known)
        figure.range.low.at = amount_multiply(judgement->mem, figure.range.low.at, factor);
    if (figure.range.high.known)
        figure.range.high.at = amount_multiply(judgement->mem, figure.range.high.at, factor);
    if (figure.without_them.known)
        figure.without_them.at = amount_multiply(judgement->mem, figure.without_them.at, factor);

    return figure;
}

bool figure_is_less_than(const struct figure *figure)
{
    return figure->qualifier == QUALIFIER_LESS || figure->qualifier == QUALIFIER_NOT_DETECTED;
}

bool figure_is_missing(const struct figure *figure)
{
    return figure->not_told > 0 && !figure->without_them.known;
}

bool figure_shown(const struct figure *figure, struct amount *out)
{
    const struct end *end = figure->range.high.known ? &figure->range.high : &figure->range.low;

    if (figure->qualifier == QUALIFIER_GREATER && figure->range.low.known)
        end = &figure->range.low;
    if (figure->not_told > 0)
        end = &figure->without_them;
    if (!end->known)
        return false;
    *out = end->at;

    return true;
}

enum fit figure_fit(const struct judgement *judgement, const struct figure *figure)
{
    const struct bound *bound = figure->own_bound ? figure->own_bound : &judgement->bound;
    enum fit fit = bound_fit(judgement->mem, bound, &figure->range);

    return fit == FIT_WITHIN && figure->blocked ? FIT_UNKNOWN : fit;
}
