#include "judge/censored_figure.h"

#include <assert.h>

#include "judge/combine.h"
#include "stat/kaplan_meier.h"
#include "stat/rank.h"
#include "stat/ros.h"

bool censored_figure_applies(const struct judgement *judgement, const struct figure *figures,
                             size_t count)
{
    bool ranked = figure_less_than_rule(judgement->limit) == LESS_THAN_RANKED;

    if (!figure_rule_is_of_whole(judgement->limit) || judgement->single)
        return false;
    for (size_t i = 0; i < count; i++) {
        int use = figures[i].use;

        if (figures[i].less_thans > 0 ||
            (ranked && use != NO_INDEX &&
             figure_detection(judgement, &judgement->items[use]) != DETECTION_NUMBER))
            return true;
    }

    return false;
}

/* The results as a method takes them; false where one is neither a number nor a less-than. */
static bool as_censored(const struct judgement *judgement, const struct figure *figures,
                        size_t count, struct censored_value *out)
{
    for (size_t i = 0; i < count; i++) {
        bool less = figures[i].only_less_thans;

        if (!less && !combine_is_number(judgement, &figures[i]))
            return false;
        out[i] = (struct censored_value){
            .value = less ? figures[i].largest : figures[i].range.high.at, .less_than = less};
    }

    return true;
}

static void settle(struct figure *out, const struct exact *value)
{
    out->range = range_of_amount((struct amount){.exact = value});
    out->qualifier = QUALIFIER_NONE;
}

static void less_than(struct figure *out, struct amount below)
{
    out->range =
        (struct range){.low = {.known = true}, .high = {.known = true, .open = true, .at = below}};
    out->qualifier = QUALIFIER_LESS;
}

static const struct exact *share_of(const struct judgement *judgement)
{
    struct arena *mem = judgement->mem;

    return judgement->limit->statistic == STATISTIC_MEDIAN ? exact_from_ratio(mem, 1, 2)
                                                           : combine_input(judgement, NULL, 0).p;
}

static bool by_kaplan_meier(const struct judgement *judgement, const struct censored_value *values,
                            size_t count, struct figure *out, struct err *err)
{
    struct arena *mem = judgement->mem;
    enum kaplan_meier_rest rest =
        figure_less_than_rule(judgement->limit) == LESS_THAN_KAPLAN_MEIER_RESTRICTED
            ? KAPLAN_MEIER_REST_AT_LIMIT
            : KAPLAN_MEIER_REST_AT_NUMBER;
    const struct exact *figure = NULL;
    const struct exact *below = NULL;
    struct kaplan_meier fit;

    if (!kaplan_meier_fit(mem, values, count, rest, &fit, err))
        return false;
    if (judgement->limit->statistic == STATISTIC_MEAN) {
        figure = kaplan_meier_mean(mem, &fit);
    } else if (judgement->limit->statistic == STATISTIC_GEOMETRIC_MEAN) {
        if (!kaplan_meier_geometric_mean(mem, &fit, &figure, err))
            return false;
    } else if (!kaplan_meier_percentile(mem, &fit, share_of(judgement), &figure, &below, err)) {
        if (!below)
            return false;
        less_than(out, (struct amount){.exact = below});
        return true;
    }
    settle(out, figure);

    return true;
}

/* The plotting position's own number: 0, as Weibull's. */
static bool by_regression(const struct judgement *judgement, const struct censored_value *values,
                          size_t count, struct figure *out, struct err *err)
{
    struct arena *mem = judgement->mem;
    const struct exact *figure = NULL;
    struct ros fit;

    if (!ros_fit(mem, values, count, 0, &fit, err))
        return false;

    const struct stat_input filled = combine_input(judgement, fit.filled, fit.count);

    if (judgement->limit->statistic == STATISTIC_MEAN)
        figure = ros_mean(mem, &fit);
    else if (judgement->limit->statistic == STATISTIC_GEOMETRIC_MEAN)
        figure = ros_geometric_mean(mem, &fit);
    else if (!statistic_work_out(mem, judgement->statistic, &filled, &figure, err))
        return false;
    settle(out, figure);

    return true;
}

/* What a result that is no number is less than; one that nobody told is in no figure. */
static struct amount reach_of(const struct use *use)
{
    return use->qualifier == QUALIFIER_LESS ? use->value : use->quantitation;
}

/* The result in the middle that is no number. */
static const struct use *middle_of(const struct judgement *judgement, const struct figure *figures,
                                   size_t count, const struct ordered_median *median)
{
    for (size_t i = 0; i < count; i++) {
        const struct use *use = &judgement->items[figures[i].use];
        const struct exact *value = amount_exact(judgement->mem, use->value);

        if (figure_detection(judgement, use) == median->detection &&
            exact_compare(value, median->value) == 0)
            return use;
    }

    return NULL;
}

static bool by_rank(const struct judgement *judgement, const struct figure *figures, size_t count,
                    struct figure *out, struct err *err)
{
    struct ordered_result *results = ARENA_ARRAY(judgement->mem, struct ordered_result, count);
    struct ordered_median median;

    for (size_t i = 0; i < count; i++) {
        if (figures[i].use == NO_INDEX)
            return err_set(err, ERR_INVALID, "a ranked median is of single results");

        const struct use *use = &judgement->items[figures[i].use];

        /* What a greater-than counts as is the clause's to say. */
        results[i] = (struct ordered_result){figure_detection(judgement, use),
                                             use->qualifier == QUALIFIER_GREATER &&
                                                     figures[i].range.high.known
                                                 ? figures[i].range.high.at
                                                 : use->value};
    }
    if (!ordered_median(judgement->mem, results, count, &median, err))
        return false;
    if (median.detection == DETECTION_NUMBER) {
        settle(out, median.value);
        return true;
    }

    const struct use *middle = middle_of(judgement, figures, count, &median);

    assert(middle);
    less_than(out, reach_of(middle));
    if (median.detection == DETECTION_BETWEEN)
        out->range.low.at = middle->detection;

    return true;
}

static bool by_rule(const struct judgement *judgement, const struct figure *figures, size_t count,
                    struct figure *out, struct err *err)
{
    enum less_than_rule rule = figure_less_than_rule(judgement->limit);
    enum limit_statistic statistic = judgement->limit->statistic;
    struct censored_value *values = ARENA_ARRAY(judgement->mem, struct censored_value, count);
    bool median = statistic == STATISTIC_MEDIAN;
    bool log_normal = statistic == STATISTIC_LOG_NORMAL_PERCENTILE;

    if (rule == LESS_THAN_RANKED && !median)
        return err_set(err, ERR_INVALID, "less-thans are ranked for a median only");
    if (!median && statistic != STATISTIC_MEAN && statistic != STATISTIC_GEOMETRIC_MEAN &&
        statistic != STATISTIC_PERCENTILE && !(log_normal && rule == LESS_THAN_REGRESSION))
        return err_set(err, ERR_INVALID, "the clause's rule for less-thans can't make a %s",
                       judgement->statistic->word);
    if (rule == LESS_THAN_RANKED)
        return by_rank(judgement, figures, count, out, err);
    if (!as_censored(judgement, figures, count, values))
        return err_set(err, ERR_INVALID,
                       "the clause's rule for less-thans works on numbers and less-thans alone");

    return rule == LESS_THAN_REGRESSION ? by_regression(judgement, values, count, out, err)
                                        : by_kaplan_meier(judgement, values, count, out, err);
}

struct figure censored_figure(const struct judgement *judgement, const struct figure *figures,
                              size_t count)
{
    struct figure out = combine_figures(judgement, judgement->statistic, figures, count);
    struct figure by_it = out;
    struct err err = ERR_INIT;

    if (out.not_told > 0)
        return out;
    if (by_rule(judgement, figures, count, &by_it, &err))
        return by_it;
    if (!out.blocked)
        out.blocked = arena_strdup(judgement->mem, err.text);

    return out;
}
