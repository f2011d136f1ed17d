#include "judge/figure.h"

#include "stat/substitute.h"

/* Those of all results together (figure_rule_is_of_whole) put no number in the place of one. */
static const struct substitution *const less_than_rules[] = {
    [LESS_THAN_UNSET] = NULL,
    [LESS_THAN_ZERO] = &substitute_zero,
    [LESS_THAN_HALF] = &substitute_half,
    [LESS_THAN_AT_LIMIT] = &substitute_at_limit,
    [LESS_THAN_STATED] = &substitute_stated,
    [LESS_THAN_STEP_BELOW] = &substitute_step_down,
    [LESS_THAN_LOWER_OF_HALF] = &substitute_lower_half,
    [LESS_THAN_RANKED] = NULL,
};

static const struct substitution *const greater_than_rules[] = {
    [GREATER_THAN_REFUSED] = NULL,
    [GREATER_THAN_STATED] = &substitute_stated,
    [GREATER_THAN_STEP] = &substitute_step_up,
};

/* What a result between its limits is counted with. */
static const struct between_row {
    bool at_quantitation;
    const struct substitution *rule;
} between_rules[] = {
    [BETWEEN_AS_REPORTED] = {false, NULL},
    [BETWEEN_ZERO] = {false, &substitute_zero},
    [BETWEEN_AT_DETECTION] = {false, &substitute_at_limit},
    [BETWEEN_HALF_DETECTION] = {false, &substitute_half},
    [BETWEEN_AT_QUANTITATION] = {true, &substitute_at_limit},
    [BETWEEN_HALF_QUANTITATION] = {true, &substitute_half},
};

static const char not_told_words[] = "not detected with no limit told: it could be any number";

enum less_than_rule figure_less_than_rule(const struct limit *limit)
{
    return limit->has_geometric_rule && limit->statistic == STATISTIC_GEOMETRIC_MEAN
               ? limit->less_than_geometric
               : limit->less_than;
}

bool figure_rule_is_of_whole(const struct limit *limit)
{
    enum less_than_rule rule = figure_less_than_rule(limit);

    return rule == LESS_THAN_KAPLAN_MEIER || rule == LESS_THAN_KAPLAN_MEIER_RESTRICTED ||
           rule == LESS_THAN_REGRESSION || rule == LESS_THAN_RANKED;
}

struct bound figure_beyond(const struct limit *limit)
{
    const struct limit_beyond *beyond = &limit->settings.beyond;

    return (struct bound){
        .has_ceiling = beyond->has_above,
        .ceiling_reached_is_outside = beyond->above_reached_counts,
        .ceiling = amount_from_decimal(beyond->above),
        .has_floor = beyond->has_below,
        .floor_reached_is_outside = beyond->below_reached_counts,
        .floor = amount_from_decimal(beyond->below),
    };
}

enum detection figure_detection(const struct judgement *judgement, const struct use *use)
{
    struct arena *mem = judgement->mem;

    if (use->qualifier == QUALIFIER_NOT_DETECTED || !use->has_value)
        return DETECTION_NONE;
    if (use->qualifier != QUALIFIER_LESS)
        return use->has_detection && use->has_quantitation && use->qualifier == QUALIFIER_NONE &&
                       amount_compare(mem, use->value, use->quantitation) < 0
                   ? DETECTION_BETWEEN
                   : DETECTION_NUMBER;

    return use->has_detection && amount_compare(mem, use->value, use->detection) > 0 &&
                   (!use->has_quantitation ||
                    amount_compare(mem, use->value, use->quantitation) <= 0)
               ? DETECTION_BETWEEN
               : DETECTION_NONE;
}

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

/* What the laboratory said stands: no rule makes a `<X` more than X, or a `>X` less. */
static struct amount as_far_as_told(struct arena *mem, const struct use *use, struct amount number)
{
    int past = use->has_value ? amount_compare(mem, number, use->value) : 0;

    return (use->qualifier == QUALIFIER_LESS && past > 0) ||
                   (use->qualifier == QUALIFIER_GREATER && past < 0)
               ? use->value
               : number;
}

/* The number the rule gives for a less-than or a greater-than. */
static struct range substituted(const struct judgement *judgement, const struct use *use,
                                const struct substitution *rule, struct decimal stated)
{
    const struct bound *bound = &judgement->bound;
    const struct censored censored = {.limit = use->value,
                                      .step = use->step,
                                      .stated = amount_from_decimal(stated),
                                      .bound = bound->has_ceiling ? bound->ceiling : bound->floor};

    return range_of_amount(
        as_far_as_told(judgement->mem, use, rule->of(judgement->mem, &censored)));
}

/* A result between its detection and its quantitation limit, where the clause has a rule for it. */
static bool between_by_rule(const struct judgement *judgement, const struct use *use,
                            struct figure *figure)
{
    const struct between_row *row = &between_rules[judgement->limit->between];

    if (!row->rule || figure_detection(judgement, use) != DETECTION_BETWEEN)
        return false;

    const struct censored censored = {.limit = !row->at_quantitation   ? use->detection
                                               : use->has_quantitation ? use->quantitation
                                                                       : use->value};

    figure->range = range_of_amount(
        as_far_as_told(judgement->mem, use, row->rule->of(judgement->mem, &censored)));

    return true;
}

/* Whether the bound is about the values themselves, so that a less-than may reach beyond it. */
static bool bound_is_of_values(const struct limit *limit)
{
    return !limit_of_change(limit) && limit->against.kind != AGAINST_REMOVAL;
}

/* Why a less-than that counts by the rule can't clear the limit, or NULL. */
static const char *why_rule_not_enough(const struct judgement *judgement, const struct use *use)
{
    const struct limit *limit = judgement->limit;
    struct bound beyond = figure_beyond(limit);
    const struct bound *bound = limit_counts_beyond(limit) ? &beyond : &judgement->bound;

    if (limit->beyond_by_rule || !bound_is_of_values(limit) ||
        judgement->places[use->place].against)
        return NULL;
    if (bound->has_floor)
        return "a less-than can't show that a lowest bound is kept";
    if (use->qualifier == QUALIFIER_LESS && limit->daily != DAILY_LOAD && bound->has_ceiling &&
        amount_compare(judgement->mem, use->value, bound->ceiling) > 0)
        return "a less-than reaches beyond the bound";

    return NULL;
}

/* The number of a less-than, or of a not-detected, by the clause's rules; false: they give none. */
static bool less_than_number(const struct judgement *judgement, const struct use *use,
                             struct figure *figure)
{
    const struct limit *limit = judgement->limit;
    const struct substitution *row = less_than_rules[figure_less_than_rule(limit)];

    if (between_by_rule(judgement, use, figure))
        return true;
    if (!row || (use->qualifier != QUALIFIER_LESS && row->needs_limit))
        return false;
    figure->range = substituted(judgement, use, row, limit->less_than_stated);

    return true;
}

/* A less-than, or a not-detected, in a figure that is not of single values. */
static void less_than_by_rule(const struct judgement *judgement, const struct use *use,
                              struct figure *figure)
{
    const struct limit *limit = judgement->limit;
    bool detected = use->qualifier == QUALIFIER_LESS;

    if (less_than_number(judgement, use, figure)) {
        figure->blocked = why_rule_not_enough(judgement, use);
        return;
    }
    figure->range.low = (struct end){.known = true};
    if (detected && figure_rule_is_of_whole(limit)) {
        figure->blocked = why_rule_not_enough(judgement, use);
        return;
    }
    figure->blocked =
        detected ? "the clause does not say what a less-than stands for" : not_told_words;
    figure->not_told = !detected;
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
    const struct substitution *rule = less_than_rules[figure_less_than_rule(limit)];

    if (rule && !rule->needs_limit) {
        figure->range = substituted(judgement, use, rule, limit->less_than_stated);
        return;
    }
    figure->blocked = not_told_words;
    figure->not_told = 1;
}

/* The licence says that a less-than complies with a ceiling, also where it reaches beyond it. */
static void let_comply(const struct judgement *judgement, struct figure *figure)
{
    struct bound beyond = figure_beyond(judgement->limit);
    const struct bound *bound = limit_counts_beyond(judgement->limit) ? &beyond
                                : figure->own_bound                   ? figure->own_bound
                                                                      : &judgement->bound;

    if (!bound->has_ceiling ||
        amount_compare(judgement->mem, figure->range.high.at, bound->ceiling) <= 0)
        return;

    struct range *reported = ARENA_NEW(judgement->mem, struct range);

    *reported = figure->range;
    figure->as_reported = reported;
    figure->range.high.at = bound->ceiling;
}

/* A reading that is compared, or counted, by itself. */
static void stand_alone(const struct judgement *judgement, const struct use *use,
                        struct figure *figure)
{
    const struct limit *limit = judgement->limit;
    const struct substitution *rule = less_than_rules[figure_less_than_rule(limit)];

    if (use->qualifier == QUALIFIER_NOT_DETECTED) {
        not_detected_alone(judgement, use, figure);
    } else if (limit->single_less_than == SINGLE_BY_RULE &&
               between_by_rule(judgement, use, figure)) {
        figure->qualifier = QUALIFIER_NONE;
    } else if (use->qualifier == QUALIFIER_LESS && limit->single_less_than == SINGLE_BY_RULE &&
               rule) {
        figure->range = substituted(judgement, use, rule, limit->less_than_stated);
        figure->qualifier = QUALIFIER_NONE;
    } else if (use->qualifier == QUALIFIER_LESS && limit->single_less_than == SINGLE_WITHIN &&
               limit->against.kind == AGAINST_NONE) {
        let_comply(judgement, figure);
    }
}

/* Whether the reading is compared, or counted, by itself. */
static bool is_alone(const struct judgement *judgement)
{
    return judgement->single ||
           (limit_counts_beyond(judgement->limit) && judgement->limit->daily == DAILY_EVERY);
}

/*
 * What another place is compared with: in a figure by the clause's rules, as that place's own
 * readings. By itself, or without a rule, it is what it may have been: of a less-than from 0.
 */
static void stand_against(const struct judgement *judgement, const struct use *use,
                          struct figure *figure)
{
    const struct limit *limit = judgement->limit;
    const struct substitution *greater = greater_than_rules[limit->greater_than];
    bool alone = is_alone(judgement);
    bool by_rule = !alone || limit->single_less_than == SINGLE_BY_RULE;

    if (figure->less_thans > 0) {
        if (by_rule && less_than_number(judgement, use, figure))
            return;
        figure->range.low = (struct end){.known = true};
        if (use->qualifier == QUALIFIER_NOT_DETECTED)
            figure->blocked = not_told_words;
    } else if (use->qualifier == QUALIFIER_GREATER) {
        if (!alone && greater)
            figure->range = substituted(judgement, use, greater, limit->greater_than_stated);
    } else if (by_rule) {
        (void)between_by_rule(judgement, use, figure);
    }
}

struct figure figure_of_reading(const struct judgement *judgement, const struct use *use)
{
    struct figure figure = {
        .range = figure_allowed(use),
        .qualifier = use->qualifier,
        .day = use->day,
        .place = use->place,
        .at = use->at,
        .use = NO_INDEX,
        .own_bound = use->own_bound,
        .less_thans = use->qualifier == QUALIFIER_LESS || use->qualifier == QUALIFIER_NOT_DETECTED,
        .only_less_thans = use->qualifier == QUALIFIER_LESS,
        .largest = use->value,
    };

    if (use->blocked)
        figure.blocked = use->blocked;
    else if (!use->has_value && use->qualifier != QUALIFIER_NOT_DETECTED)
        figure.blocked = "a reading's unit can't be turned into the clause's";
    else if (judgement->places[use->place].against)
        stand_against(judgement, use, &figure);
    else if (is_alone(judgement))
        stand_alone(judgement, use, &figure);
    else if (figure.less_thans > 0)
        less_than_by_rule(judgement, use, &figure);
    else if (use->qualifier == QUALIFIER_GREATER)
        greater_than_by_rule(judgement, use, &figure);
    else
        (void)between_by_rule(judgement, use, &figure);

    return figure;
}

struct figure figure_of_use(const struct judgement *judgement, const struct use *use)
{
    struct figure figure = figure_of_reading(judgement, use);

    figure.use = (int)(use - judgement->items);

    return figure;
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
    if (figure.less_thans > 0)
        figure.largest = amount_multiply(judgement->mem, figure.largest, factor);

    return figure;
}

bool figure_is_less_than(const struct figure *figure)
{
    return figure->only_less_thans || figure->qualifier == QUALIFIER_LESS ||
           figure->qualifier == QUALIFIER_NOT_DETECTED;
}

bool figure_is_missing(const struct figure *figure)
{
    return figure->not_told > 0 && !figure->without_them.known;
}

bool figure_shown(const struct figure *figure, struct amount *out)
{
    const struct range *range = figure->as_reported ? figure->as_reported : &figure->range;
    const struct end *end = range->high.known ? &range->high : &range->low;

    if (figure->qualifier == QUALIFIER_GREATER && range->low.known)
        end = &range->low;
    if (figure->not_told > 0)
        end = &figure->without_them;
    if (!end->known)
        return false;
    *out = end->at;

    return true;
}

enum fit figure_fit_alone(const struct judgement *judgement, const struct use *use)
{
    const struct bound *bound = use->own_bound ? use->own_bound : &judgement->bound;
    struct range range = figure_allowed(use);

    if (judgement->places[use->place].against)
        return judgement->bound.has_ceiling ? FIT_ABOVE : FIT_BELOW;
    if (limit_of_change(judgement->limit))
        return use->tried_side == SIDE_BELOW ? FIT_BELOW : FIT_ABOVE;
    if (!limit_counts_beyond(judgement->limit))
        return bound_fit(judgement->mem, bound, &range);

    struct bound beyond = figure_beyond(judgement->limit);
    enum fit fit = bound_fit(judgement->mem, &beyond, &range);

    if (fit == FIT_WITHIN && judgement->bound.has_floor)
        return FIT_BELOW;

    return fit == FIT_BELOW ? FIT_ABOVE : fit;
}

enum fit figure_fit(const struct judgement *judgement, const struct figure *figure)
{
    const struct bound *bound = figure->own_bound ? figure->own_bound : &judgement->bound;
    enum fit fit = bound_fit(judgement->mem, bound, &figure->range);

    return fit == FIT_WITHIN && figure->blocked ? FIT_UNKNOWN : fit;
}
