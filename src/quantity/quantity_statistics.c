#include "quantity/quantity_inside.h"
#include "stat/average.h"
#include "stat/kaplan_meier.h"
#include "stat/lognormal.h"
#include "stat/percentile.h"
#include "stat/rank.h"
#include "stat/ros.h"
#include "stat/share.h"
#include "stat/statistic.h"
#include "stat/substitute.h"
#include "stat/weighted.h"

/* --- words ----------------------------------------------------------------------------------- */

static const struct substitution *const substitutions[] = {
    &substitute_zero,
    &substitute_half,
    &substitute_at_limit,
};

static const char *less_than_word(size_t position, const char **means)
{
    static const char *const words[][2] = {
        {"zero", "a less-than counts as 0"},
        {"half", "as half of its limit"},
        {"limit", "as its limit"},
    };

    return word_pick(words, ARRAY_LEN(words), position, means);
}

/* The first three as above. */
enum { METHOD_KM = ARRAY_LEN(substitutions), METHOD_KM_RESTRICTED, METHOD_ROS };

static const char *censored_method_word(size_t position, const char **means)
{
    static const char *const words[][2] = {
        [METHOD_KM - METHOD_KM] = {"kaplan-meier", "what is left below the smallest number at it"},
        [METHOD_KM_RESTRICTED -
            METHOD_KM] = {"kaplan-meier-restricted", "what is left there at the smallest limit"},
        [METHOD_ROS - METHOD_KM] = {"ros", "regression on order statistics"},
    };

    if (position < METHOD_KM)
        return less_than_word(position, means);

    return word_pick(words, ARRAY_LEN(words), position - METHOD_KM, means);
}

static const char *percentile_word(size_t position, const char **means)
{
    const struct percentile_definition *definition = percentile_definition_at(position);

    if (definition && means)
        *means = definition->rank;

    return definition ? definition->word : NULL;
}

enum { DEVIATION_SAMPLE, DEVIATION_POPULATION };

static const char *deviation_word(size_t position, const char **means)
{
    static const char *const words[][2] = {
        [DEVIATION_SAMPLE] = {"sample", "divides by n - 1"},
        [DEVIATION_POPULATION] = {"population", "divides by n"},
    };

    return word_pick(words, ARRAY_LEN(words), position, means);
}

enum { SIDE_ABOVE, SIDE_BELOW };

static const char *side_word(size_t position, const char **means)
{
    static const char *const words[][2] = {
        [SIDE_ABOVE] = {"above", NULL}, [SIDE_BELOW] = {"below", NULL}};

    return word_pick(words, ARRAY_LEN(words), position, means);
}

enum { EQUAL_NO, EQUAL_YES };

static const char *equal_word(size_t position, const char **means)
{
    static const char *const words[][2] = {
        [EQUAL_NO] = {"no", "exceeds"}, [EQUAL_YES] = {"yes", "equals or exceeds"}};

    return word_pick(words, ARRAY_LEN(words), position, means);
}

/* --- plain ----------------------------------------------------------------------------------- */

static bool by_statistic(struct arena *mem, const struct quantity_asked *asked,
                         const struct statistic *statistic, struct stat_input *input,
                         struct quantity_value *out, struct err *err)
{
    const struct exact *figure = NULL;

    if (!asked_amounts(mem, asked, "values", &input->values, &input->count, err) ||
        !statistic_work_out(mem, statistic, input, &figure, err))
        return false;
    *out = value_exact(figure);

    return true;
}

/* A row whose word is that of the statistic. */
static bool plain(struct arena *mem, const struct quantity_asked *asked,
                  struct quantity_answer *answer, struct err *err)
{
    struct stat_input input = {0};

    return by_statistic(mem, asked, statistic_find(asked->quantity->word), &input,
                        &answer->figures[0], err);
}

/* 90 where 0.9 is meant. */
static bool share_is_percent(struct arena *mem, const struct exact *share, struct err *err)
{
    const struct exact *hundred = exact_from_int(mem, 100);

    if (exact_compare(share, exact_from_int(mem, 1)) <= 0 || exact_compare(share, hundred) > 0)
        return true;

    char *percent = exact_text(mem, share, DECIMAL_DIGITS_MOST);

    err_set(err, ERR_INVALID, "%s is more than the whole as a share", percent);

    return err_hint(
        err, "Write %s %% or %s.", percent,
        exact_text(mem, exact_mul(mem, share, exact_from_ratio(mem, 1, 100)), DECIMAL_DIGITS_MOST));
}

static bool percentile(struct arena *mem, const struct quantity_asked *asked,
                       struct quantity_answer *answer, struct err *err)
{
    const struct percentile_definition *definition =
        percentile_definition_at(asked_word(asked, "definition"));
    struct stat_input input = {.p = asked_exact(asked, "share"), .definition = definition};

    if (!share_is_percent(mem, input.p, err))
        return false;
    answer->equation =
        arena_printf(mem, "%s: the value at rank %s", definition->word, definition->rank);
    if (!by_statistic(mem, asked, &stat_percentile, &input, &answer->figures[0], err))
        return false;
    if (percentile_is_end_value(mem, definition, input.p, input.count))
        answer->note = "With so few values this is no more than the highest or lowest of them.";

    return true;
}

static bool log_normal(struct arena *mem, const struct quantity_asked *asked,
                       struct quantity_answer *answer, struct err *err)
{
    struct stat_input input = {
        .z = asked_exact(asked, "z"),
        .population_deviation = asked_word(asked, "deviation") == DEVIATION_POPULATION,
    };

    return by_statistic(mem, asked, &stat_log_normal_percentile, &input, &answer->figures[0], err);
}

static bool share_beyond(struct arena *mem, const struct quantity_asked *asked,
                         struct quantity_answer *answer, struct err *err)
{
    struct stat_input input = {
        .beyond = amount_from_exact(asked_exact(asked, "number")),
        .beyond_side = asked_word(asked, "side") == SIDE_ABOVE ? 1 : -1,
        .beyond_reached_counts = asked_word(asked, "equal-counts") == EQUAL_YES,
    };

    return by_statistic(mem, asked, &stat_share_beyond, &input, &answer->figures[0], err) &&
           by_statistic(mem, asked, &stat_count_beyond, &input, &answer->figures[1], err);
}

static bool weighted(struct arena *mem, const struct quantity_asked *asked,
                     struct quantity_answer *answer, struct err *err)
{
    const struct amount *values = NULL;
    const struct amount *weights = NULL;
    const struct exact *out = NULL;
    size_t count = 0;
    size_t weight_count = 0;

    if (!asked_same_count(asked, "values", "weights", err) ||
        !asked_amounts(mem, asked, "values", &values, &count, err) ||
        !asked_amounts(mem, asked, "weights", &weights, &weight_count, err) ||
        !weighted_mean(mem, values, weights, count, &out, err))
        return false;
    answer->figures[0] = value_exact(out);

    return true;
}

/* --- less-thans ------------------------------------------------------------------------------ */

static void substituted(struct arena *mem, const struct quantity_input_value *value, size_t rule,
                        struct stat_input *input)
{
    struct amount *amounts = ARENA_ARRAY(mem, struct amount, value->count);

    for (size_t i = 0; i < value->count; i++) {
        struct censored censored = {.limit = value->results[i].value};

        amounts[i] = value->results[i].less_than ? substitutions[rule]->of(mem, &censored)
                                                 : value->results[i].value;
    }
    *input = (struct stat_input){.values = amounts, .count = value->count};
}

static bool needs_rule(const struct quantity_asked *asked, struct err *err)
{
    const struct quantity_input_value *values = asked_value(asked, "values");

    if (asked_there(asked, "less-thans") ||
        censored_count_numbers(values->results, values->count) == values->count)
        return true;
    err_set(err, ERR_INVALID,
            "a less-than stands among the values, and what it counts as is "
            "missing");

    return err_hint(err, "Write less-thans=zero, half or limit, as the licence says.");
}

/* A 0 among the values, which makes the whole product 0; nothing may be below it. */
static bool product_is_zero(const struct stat_input *input)
{
    bool zero = false;

    for (size_t i = 0; i < input->count; i++) {
        if (amount_sign(input->values[i]) < 0)
            return false;
        zero = zero || amount_sign(input->values[i]) == 0;
    }

    return zero;
}

static bool geometric_mean(struct arena *mem, const struct quantity_asked *asked,
                           struct quantity_answer *answer, struct err *err)
{
    const struct exact *out = NULL;
    struct stat_input input;

    if (!needs_rule(asked, err))
        return false;
    substituted(mem, asked_value(asked, "values"), asked_word(asked, "less-thans"), &input);
    if (product_is_zero(&input)) {
        answer->figures[0] = value_exact(exact_from_int(mem, 0));
        answer->note = "One of the values is 0, which makes the whole product 0, whatever the "
                       "others are. A limit is never judged so: its licence has to say what "
                       "stands for a 0.";
        return true;
    }
    if (!statistic_work_out(mem, &stat_geometric_mean, &input, &out, err))
        return false;
    answer->figures[0] = value_exact(out);

    return true;
}

enum { CENSORED_MEAN, CENSORED_DEVIATION, CENSORED_ERROR, CENSORED_MEDIAN };

static bool by_kaplan_meier(struct arena *mem, const struct quantity_input_value *values,
                            enum kaplan_meier_rest rest, struct quantity_answer *answer,
                            struct err *err)
{
    struct kaplan_meier fit;
    const struct exact *median = NULL;
    const struct exact *below = NULL;
    struct err undefined = ERR_INIT;

    if (!kaplan_meier_fit(mem, values->results, values->count, rest, &fit, err))
        return false;
    answer->equation = arena_printf(mem, "Kaplan-Meier, what is left below the smallest number %s",
                                    kaplan_meier_rest_words[rest]);
    answer->source = "Kaplan and Meier 1958, JASA 53; Helsel, Nondetects and Data Analysis (2005); "
                     "US EPA Unified Guidance (2009), chapter 15";
    answer->figures[CENSORED_MEAN] = value_exact(kaplan_meier_mean(mem, &fit));
    answer->figures[CENSORED_DEVIATION] = value_exact(kaplan_meier_deviation(mem, &fit));
    answer->figures[CENSORED_ERROR] = value_exact(kaplan_meier_mean_error(mem, &fit));
    if (kaplan_meier_percentile(mem, &fit, exact_from_ratio(mem, 1, 2), &median, &below,
                                &undefined)) {
        answer->figures[CENSORED_MEDIAN] = value_exact(median);
    } else if (below) {
        answer->figures[CENSORED_MEDIAN] = value_exact(below);
        answer->figures[CENSORED_MEDIAN].qualifier = '<';
    }

    return true;
}

static bool by_ros(struct arena *mem, const struct quantity_asked *asked,
                   struct quantity_answer *answer, struct err *err)
{
    const struct quantity_input_value *values = asked_value(asked, "values");
    struct ros fit;

    if (!ros_fit(mem, values->results, values->count, asked_number(asked, "position"), &fit, err))
        return false;
    answer->equation = arena_printf(mem,
                                    "regression on order statistics, plotting positions with "
                                    "a = %s",
                                    asked_value(asked, "position")->text);
    answer->source = "Helsel and Cohn 1988, Water Resources Research 24 (12), 1997-2004";
    answer->figures[CENSORED_MEAN] = value_exact(ros_mean(mem, &fit));
    answer->figures[CENSORED_DEVIATION] = value_exact(ros_deviation(mem, &fit));
    answer->figures[CENSORED_MEDIAN] = value_exact(ros_percentile(
        mem, &fit, percentile_definition_find("type 2"), exact_from_ratio(mem, 1, 2)));

    return true;
}

static bool by_substitution(struct arena *mem, const struct quantity_asked *asked, size_t rule,
                            struct quantity_answer *answer, struct err *err)
{
    const struct exact *mean = NULL;
    const struct exact *median = NULL;
    struct stat_input input;

    substituted(mem, asked_value(asked, "values"), rule, &input);
    if (!statistic_work_out(mem, &stat_mean, &input, &mean, err) ||
        !statistic_work_out(mem, &stat_median, &input, &median, err))
        return false;
    answer->figures[CENSORED_MEAN] = value_exact(mean);
    answer->figures[CENSORED_MEDIAN] = value_exact(median);

    return true;
}

static bool censored_mean(struct arena *mem, const struct quantity_asked *asked,
                          struct quantity_answer *answer, struct err *err)
{
    const struct quantity_input_value *values = asked_value(asked, "values");
    size_t method = asked_word(asked, "method");

    switch (method) {
    case METHOD_KM:
        return by_kaplan_meier(mem, values, KAPLAN_MEIER_REST_AT_NUMBER, answer, err);
    case METHOD_KM_RESTRICTED:
        return by_kaplan_meier(mem, values, KAPLAN_MEIER_REST_AT_LIMIT, answer, err);
    case METHOD_ROS:
        return by_ros(mem, asked, answer, err);
    default:
        return by_substitution(mem, asked, method, answer, err);
    }
}

/* --- the table ------------------------------------------------------------------------------- */

#define VALUES                                                                                     \
    {                                                                                              \
        "values", QUANTITY_RESULTS, NULL, NULL, "all in one unit", NULL                            \
    }
#define PLAIN(name, how)                                                                           \
    {                                                                                              \
        .word = name, .equation = how, .source = "its definition", .range = "any values",          \
        .example = "values=3.2,1.7,8.4,2.9", .inputs = {VALUES}, .figures = {{name, NULL, 10}},    \
        .work_out = plain,                                                                         \
    }

static const struct quantity rows[] = {
    PLAIN("mean", "sum of the values over their count"),
    PLAIN("sum", "all values together"),
    PLAIN("median", "the middle value; of an even count the mean of the two in the middle"),
    PLAIN("minimum", "the lowest value"),
    PLAIN("maximum", "the highest value"),
    {
        .word = "geometric mean",
        .equation = "exp of the mean of the natural logarithms",
        .source = "its definition",
        .range = "values above 0",
        .example = "values=50,100,150,200",
        .inputs = {VALUES,
                   {"less-thans", QUANTITY_WORD, "", "", "what they count as", less_than_word}},
        .figures = {{"geometric mean", NULL, 6}},
        .work_out = geometric_mean,
    },
    {
        .word = "weighted mean",
        .equation = "sum of value times weight over the sum of the weights",
        .source = "its definition",
        .range = "weights of 0 or more; with flows it is the flow-weighted mean",
        .example = "values=5,6,4 weights=720,700,650",
        .inputs = {VALUES, {"weights", QUANTITY_RESULTS, "", NULL, NULL, NULL}},
        .figures = {{"weighted mean", NULL, 8}},
        .work_out = weighted,
    },
    {
        .word = "percentile",
        .equation = "the value at the rank that the definition gives",
        .source = "Hyndman and Fan 1996, The American Statistician 50, 361-365",
        .range = "a share of 0 to 100 %; at least one value",
        .example = "values=3.2,1.7,8.4,2.9,15 share=90% definition=Hazen",
        .inputs = {VALUES,
                   {"share", QUANTITY_NUMBER, "1", NULL, "0.9 or 90 %", NULL},
                   {"definition", QUANTITY_WORD, "", NULL, "the licence has to say which",
                    percentile_word}},
        .figures = {{"percentile", NULL, 10}},
        .work_out = percentile,
    },
    {
        .word = "log-normal percentile",
        .equation = "10^(mean + z s) of the logarithms to base 10",
        .source = "Directive 2006/7/EC, Annex II; National Shellfish Sanitation Program",
        .range = "at least two values, all above 0",
        .example = "values=3.2,1.7,8.4,2.9 z=1.28 deviation=sample",
        .inputs = {VALUES,
                   {"z", QUANTITY_NUMBER, "", NULL, "as the rule prints it: 1.28, 1.282, 1.65",
                    NULL},
                   {"deviation", QUANTITY_WORD, "", NULL, "of the logarithms", deviation_word}},
        .figures = {{"log-normal percentile", NULL, 6}},
        .work_out = log_normal,
    },
    {
        .word = "share beyond a number",
        .equation = "values beyond it over all values",
        .source = "its definition",
        .range = "any values",
        .example = "values=12,7,25,31 number=20",
        .inputs = {VALUES,
                   {"number", QUANTITY_NUMBER, NULL, NULL, NULL, NULL},
                   {"side", QUANTITY_WORD, "", "above", NULL, side_word},
                   {"equal-counts", QUANTITY_WORD, "", "no",
                    "whether a value equal to it is beyond", equal_word}},
        .figures = {{"share beyond", "%", 5}, {"count beyond", "", 6}},
        .work_out = share_beyond,
    },
    {
        .word = "censored mean",
        .equation = "mean of results with less-thans, by the method that is named",
        .source = "Helsel, Statistics for Censored Environmental Data (2012)",
        .range = "kaplan-meier and ros: at least 3 numbers, not more than 80 % less-thans",
        .example = "\"values=20,<10,7,3,<3,12\" method=kaplan-meier",
        .inputs = {VALUES,
                   {"method", QUANTITY_WORD, "", NULL, "the licence has to say which",
                    censored_method_word},
                   {"position", QUANTITY_NUMBER, "", "0", "a of ros: 0 Weibull, 0.375 Blom", NULL}},
        .figures = {[CENSORED_MEAN] = {"mean", NULL, 8},
                    [CENSORED_DEVIATION] = {"standard deviation", NULL, 6},
                    [CENSORED_ERROR] = {"standard error of the mean", NULL, 6},
                    [CENSORED_MEDIAN] = {"median", NULL, 6}},
        .work_out = censored_mean,
    },
};

const struct quantity_family family_statistics = {"statistics", rows, ARRAY_LEN(rows)};
