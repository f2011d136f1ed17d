#include "farmfile/limit_reach.h"

#include "base/exact.h"
#include "base/str.h"
#include "farmfile/name.h"

/* Where figures can be at all, with the words for what lies beyond; NULL: there is no end. */
struct reach {
    const struct exact *least;
    const char *least_words;
    const struct exact *most;
    const char *most_words;
};

static struct reach not_below_zero(struct arena *mem, const char *words)
{
    return (struct reach){.least = exact_from_int(mem, 0), .least_words = words};
}

static struct reach with_most(struct arena *mem, struct reach reach, int64_t most,
                              const char *words)
{
    reach.most = exact_from_int(mem, most);
    reach.most_words = words;

    return reach;
}

/* The most hours that a period has, an hour more where clocks are put back; 0: not known. */
static int64_t hours_of(const struct limit *limit)
{
    static const int64_t days[] = {
        [PERIOD_DAY] = 1,           [PERIOD_WEEK] = 7,   [PERIOD_MONTH] = 31,
        [PERIOD_QUARTER] = 92,      [PERIOD_YEAR] = 366, [PERIOD_LICENCE_YEAR] = 366,
        [PERIOD_DISCHARGE_RUN] = 0,
    };
    int64_t count =
        limit->period == PERIOD_RUNNING_DAYS ? limit->running_days : days[limit->period];

    return count > 0 ? count * 24 + 1 : 0;
}

static struct reach reach_of_time(struct arena *mem, const struct limit *limit)
{
    struct reach reach = not_below_zero(mem, "a time is never below 0");
    int64_t hours = hours_of(limit);

    /* The longest run may have begun before the period. */
    if (hours == 0 || limit->statistic != STATISTIC_TIME_OUTSIDE)
        return reach;
    reach.most = exact_from_ratio(mem, hours * 3600, limit->settings.time_unit_s);
    reach.most_words = arena_printf(mem, "such a period has no more than %d hours", (int)hours);

    return reach;
}

static struct reach reach_of_count(struct arena *mem, const struct limit *limit)
{
    struct reach reach = not_below_zero(mem, "a count is never below 0");

    if (limit->period != PERIOD_LAST_SAMPLES)
        return reach;

    return with_most(mem, reach, limit->last_samples,
                     arena_printf(mem, "no more than %d of the last %d samples can count",
                                  limit->last_samples, limit->last_samples));
}

/* Whether the figures are such as the parameter's readings are, or what a load is made of them. */
static bool is_as_read(const struct limit *limit)
{
    return (limit->against.kind == AGAINST_NONE || limit->against.kind == AGAINST_CREDIT) &&
           !limit_of_change(limit) && !limit_of_time(limit);
}

static struct reach reach_of(struct arena *mem, const struct limit *limit,
                             const struct parameter *parameter)
{
    if (limit_of_time(limit))
        return reach_of_time(mem, limit);
    if (limit->statistic == STATISTIC_COUNT_BEYOND)
        return reach_of_count(mem, limit);
    if (limit->statistic == STATISTIC_SHARE_BEYOND)
        return with_most(mem, not_below_zero(mem, "a share is never below 0 %"), 100,
                         "no share is more than 100 %");
    if (limit_of_change(limit) && limit->settings.change_direction == CHANGE_EITHER)
        return not_below_zero(mem, "a change either way is never below 0");
    if (limit->against.kind == AGAINST_REMOVAL)
        return with_most(mem, (struct reach){0}, 100, "no removal is more than 100 %");
    if (is_as_read(limit) && (parameter->never_negative || limit->daily == DAILY_TOTAL))
        return not_below_zero(mem, arena_printf(mem, "%s is never below 0", parameter->key));

    return (struct reach){0};
}

/* --- a bound and where figures can be -------------------------------------------------------- */

static const char *const upper_keys[] = {"not above", "below", "from"};
static const char *const lower_keys[] = {"not below", "above", "from"};

/* The key of the bound that the limit has on that side. */
static const struct yaml *key_of(const struct yaml *node, const char *const *keys)
{
    const struct yaml *found = NULL;

    for (size_t i = 0; i < ARRAY_LEN(upper_keys) && !found; i++)
        found = yaml_find(node, keys[i]);

    return found ? found : node;
}

/* One side of a bound. */
struct side {
    const struct exact *at;
    bool reached_is_outside;
    const struct exact *beyond_end; /* the end of the reach on the side that is outside */
    const char *beyond_words;
    const struct exact *within_end; /* the end on the side that is within */
    const char *within_words;
    int beyond_is; /* exact_compare() of what is outside with the bound: 1 or -1 */
    const struct yaml *key;
};

/* Whether all figures lie beyond the bound: what is nearest to keep it does not. */
static bool is_never_kept(const struct side *side)
{
    int order = side->within_end ? exact_compare(side->within_end, side->at) * side->beyond_is : -1;

    return order > 0 || (order == 0 && side->reached_is_outside);
}

/* Whether no figure lies beyond it: what is furthest does not. */
static bool is_always_kept(const struct side *side)
{
    int order = side->beyond_end ? exact_compare(side->beyond_end, side->at) * side->beyond_is : 1;

    return order < 0 || (order == 0 && !side->reached_is_outside);
}

/* What of the bound's number can't be read at all, as a pH of 40. */
static void check_possible(struct field_reader *reader, const struct limit *limit,
                           const struct parameter *parameter, const struct side *side)
{
    const struct unit *from = unit_named(reader->units, limit->unit);
    const struct unit *to = parameter->unit ? unit_named(reader->units, parameter->unit) : NULL;
    const struct exact *canonical = NULL;
    struct err ignored = ERR_INIT;

    if (!is_as_read(limit) || limit_counts_beyond(limit) || limit->daily == DAILY_TOTAL ||
        limit->daily == DAILY_LOAD || !from || !to ||
        !unit_convert(reader->units, reader->mem, from, to, side->at, &canonical, &ignored))
        return;

    const char *why = parameter_impossible(reader->mem, parameter, exact_double(canonical));

    if (why)
        field_problem(reader, side->key, NULL, "the bound is a number that nothing can have: %s",
                      why);
}

/* Both sides that the limit has. */
static size_t sides_of(struct arena *mem, const struct yaml *node, const struct limit *limit,
                       const struct reach *reach, struct side *sides)
{
    const struct limit_bound *bound = &limit->bound;
    size_t count = 0;

    if (bound->has_ceiling)
        sides[count++] = (struct side){.at = exact_from_decimal(mem, bound->ceiling),
                                       .reached_is_outside = bound->ceiling_reached_is_outside,
                                       .beyond_end = reach->most,
                                       .beyond_words = reach->most_words,
                                       .within_end = reach->least,
                                       .within_words = reach->least_words,
                                       .beyond_is = 1,
                                       .key = key_of(node, upper_keys)};
    if (bound->has_floor)
        sides[count++] = (struct side){.at = exact_from_decimal(mem, bound->floor),
                                       .reached_is_outside = bound->floor_reached_is_outside,
                                       .beyond_end = reach->least,
                                       .beyond_words = reach->least_words,
                                       .within_end = reach->most,
                                       .within_words = reach->most_words,
                                       .beyond_is = -1,
                                       .key = key_of(node, lower_keys)};

    return count;
}

static void check_bound(struct field_reader *reader, const struct yaml *node,
                        const struct limit *limit, const struct parameter *parameter)
{
    enum { SIDES = 2 };
    struct reach reach = reach_of(reader->mem, limit, parameter);
    struct side sides[SIDES] = {0};
    size_t count = sides_of(reader->mem, node, limit, &reach, sides);
    size_t idle = 0;

    for (size_t i = 0; i < count; i++) {
        if (is_never_kept(&sides[i]))
            field_problem(reader, sides[i].key, NULL, "%s: nothing could keep this",
                          sides[i].within_words);
        else if (!is_always_kept(&sides[i]))
            check_possible(reader, limit, parameter, &sides[i]);
        else
            idle++;
    }
    if (count > 0 && idle == count)
        field_problem(reader, sides[0].key, NULL, "%s: nothing could be outside",
                      sides[0].beyond_words);
}

/* --- the number beyond which it counts, and the margin --------------------------------------- */

static void check_counts(struct field_reader *reader, const struct yaml *node,
                         const struct limit *limit, const struct parameter *parameter)
{
    const struct limit_beyond *beyond = &limit->settings.beyond;
    static const struct decimal zero = {0, 0};

    if (!limit_counts_beyond(limit) || !parameter->never_negative ||
        limit->against.kind != AGAINST_NONE)
        return;
    if (beyond->has_below && !beyond->has_above &&
        decimal_compare(beyond->below, zero) <= (beyond->below_reached_counts ? -1 : 0))
        field_problem(reader, node, NULL, "%s is never below 0: nothing could count",
                      parameter->key);
    if (beyond->has_above &&
        decimal_compare(beyond->above, zero) < (beyond->above_reached_counts ? 1 : 0))
        field_problem(reader, node, NULL, "%s is never below 0: everything would count",
                      parameter->key);
}

/* Whether the other reading could ever be on the right side of its number, or on the wrong one. */
static void check_while(struct field_reader *reader, const struct yaml *node,
                        const struct limit *limit)
{
    static const struct decimal zero = {0, 0};
    const struct limit_while *is = &limit->applies_while;
    const struct parameter *other =
        is->other.parameter ? name_find_parameter(reader, is->other.parameter) : NULL;

    if (!other || !other->never_negative)
        return;
    if (is->has_below && decimal_compare(is->below, zero) <= 0)
        field_problem(reader, yaml_find(node, "while"), NULL,
                      "%s is never below 0: the limit would never apply", other->key);
    if (is->has_above && !is->has_below && decimal_compare(is->above, zero) < 0)
        field_problem(reader, yaml_find(node, "while"), NULL,
                      "%s is never below 0: the limit would always apply", other->key);
}

static void check_steps(struct field_reader *reader, const struct yaml *node,
                        const struct limit *limit, const struct parameter *parameter)
{
    const struct limit_bound_by *by = &limit->bound_by;

    for (size_t i = 0; i < by->step_count && parameter->never_negative && !by->is_floor; i++)
        if (by->steps[i].bound.coefficient < 0) {
            field_problem(reader, yaml_find(node, "bound by"), NULL,
                          "%s is never below 0: nothing could keep this step", parameter->key);
            return;
        }
}

static void check_margin(struct field_reader *reader, const struct yaml *node,
                         const struct limit *limit, const struct reach *reach)
{
    static const struct decimal all = {100, 0};
    const struct limit_bound *bound = &limit->bound;
    bool share = limit->margin == MARGIN_SHARE && decimal_compare(limit->margin_amount, all) >= 0;
    bool amount = limit->margin == MARGIN_AMOUNT && reach->least && bound->has_ceiling &&
                  decimal_compare(limit->margin_amount, bound->ceiling) >= 0;

    if (bound->has_ceiling && (share || amount))
        field_problem(reader, yaml_find(node, "margin"), NULL,
                      "the margin is as wide as the bound itself: every figure would be near it");
}

void limit_reach_check(struct field_reader *reader, const struct yaml *node,
                       const struct limit *limit, const struct parameter *parameter)
{
    struct reach reach = reach_of(reader->mem, limit, parameter);

    check_bound(reader, node, limit, parameter);
    check_counts(reader, node, limit, parameter);
    check_while(reader, node, limit);
    check_steps(reader, node, limit, parameter);
    check_margin(reader, node, limit, &reach);
}
