#include "judge/bound.h"

#include <string.h>

static const struct decimal minus_one = {-1, 0};
static const struct decimal hundredth = {1, 2};

struct range range_of_amount(struct amount value)
{
    struct end end = {.known = true, .at = value};

    return (struct range){.low = end, .high = end};
}

struct bound bound_of_limit(const struct limit *limit)
{
    const struct limit_bound *from = &limit->bound;

    return (struct bound){
        .has_ceiling = from->has_ceiling,
        .ceiling_reached_is_outside = from->ceiling_reached_is_outside,
        .ceiling = amount_from_decimal(from->ceiling),
        .has_floor = from->has_floor,
        .floor_reached_is_outside = from->floor_reached_is_outside,
        .floor = amount_from_decimal(from->floor),
        .rounding = limit->rounding,
    };
}

/* The end, as it is compared. */
static struct amount rounded(struct arena *mem, const struct bound *bound, const struct end *end)
{
    return end->open ? end->at : amount_round(mem, end->at, bound->rounding);
}

/* -1: all of it keeps the bound; 1: all of it is beyond; 0: some of both. `up` for a ceiling. */
static int keeps(struct arena *mem, const struct bound *bound, const struct range *range, bool up)
{
    struct amount at = up ? bound->ceiling : bound->floor;
    bool reached_is_outside =
        up ? bound->ceiling_reached_is_outside : bound->floor_reached_is_outside;
    const struct end *far = up ? &range->high : &range->low;
    const struct end *near = up ? &range->low : &range->high;
    int sign = up ? 1 : -1;

    if (near->known) {
        int order = sign * amount_compare(mem, rounded(mem, bound, near), at);

        if (order > 0 || (order == 0 && (near->open || reached_is_outside)))
            return 1;
    }
    if (far->known) {
        int order = sign * amount_compare(mem, rounded(mem, bound, far), at);

        if (order < 0 || (order == 0 && (far->open || !reached_is_outside)))
            return -1;
    }

    return 0;
}

enum fit bound_fit(struct arena *mem, const struct bound *bound, const struct range *range)
{
    int over = bound->has_ceiling ? keeps(mem, bound, range, true) : -1;
    int under = bound->has_floor ? keeps(mem, bound, range, false) : -1;

    if (over > 0)
        return FIT_ABOVE;
    if (under > 0)
        return FIT_BELOW;

    return over < 0 && under < 0 ? FIT_WITHIN : FIT_UNKNOWN;
}

static struct amount minus(struct arena *mem, struct amount a, struct amount b)
{
    return amount_add(mem, a, amount_multiply(mem, b, amount_from_decimal(minus_one)));
}

struct amount bound_excess(struct arena *mem, const struct bound *bound, struct amount value,
                           enum side *side)
{
    struct amount over = {.exact = NULL};

    *side = bound->has_ceiling ? SIDE_ABOVE : SIDE_BELOW;
    if (bound->has_ceiling)
        over = minus(mem, value, bound->ceiling);
    if (!bound->has_floor)
        return over;

    struct amount under = minus(mem, bound->floor, value);

    if (bound->has_ceiling && amount_compare(mem, over, under) >= 0)
        return over;
    *side = SIDE_BELOW;

    return under;
}

/* The state that keeps the bound, or the one that breaks it. */
static char *state_words(struct arena *mem, const struct limit *limit, bool breaks)
{
    static const char no[] = "not ";
    const struct limit_bound_by *by = &limit->bound_by;
    size_t length = strlen(no);

    if (by->state_is_outside == breaks)
        return arena_strdup(mem, by->state);
    /* What is not "not seen" was seen. */
    if (strncmp(by->state, no, length) == 0)
        return arena_strdup(mem, by->state + length);

    return arena_printf(mem, "%s%s", no, by->state);
}

char *bound_text(struct arena *mem, const struct limit *limit, enum side side)
{
    if (limit->bound_by.kind == BOUND_STATE)
        return state_words(mem, limit, false);
    if (limit->bound_by.kind != BOUND_NUMBER)
        return arena_strdup(mem, "its bound");

    bool upper = side == SIDE_ABOVE || (side == SIDE_NONE && limit->bound.has_ceiling);

    return decimal_text(mem, upper ? limit->bound.ceiling : limit->bound.floor);
}

char *bound_beyond_words(struct arena *mem, const struct limit *limit, enum side side,
                         const char *text)
{
    const struct limit_bound *bound = &limit->bound;
    bool reached = limit->bound_by.kind != BOUND_NUMBER ? limit->bound_by.reached_is_outside
                   : side == SIDE_ABOVE                 ? bound->ceiling_reached_is_outside
                                                        : bound->floor_reached_is_outside;

    if (limit->bound_by.kind == BOUND_STATE)
        return state_words(mem, limit, true);

    return arena_printf(mem, "%s%s %s", reached ? "at or " : "",
                        side == SIDE_ABOVE ? "above" : "below", text);
}

char *bound_side_words(struct arena *mem, const struct limit *limit, enum side side)
{
    return bound_beyond_words(mem, limit, side, bound_text(mem, limit, side));
}

/* The farm's own margin at a bound, as an amount. */
static struct amount margin_at(struct arena *mem, const struct limit *limit, struct amount bound)
{
    struct amount margin = amount_from_decimal(limit->margin_amount);

    if (limit->margin == MARGIN_AMOUNT)
        return margin;
    if (amount_sign(bound) < 0)
        bound = amount_multiply(mem, bound, amount_from_decimal(minus_one));

    return amount_multiply(mem, amount_multiply(mem, bound, margin),
                           amount_from_decimal(hundredth));
}

bool bound_near(struct arena *mem, const struct limit *limit, const struct bound *bound,
                struct amount compared)
{
    if (limit->margin == MARGIN_NONE)
        return false;
    if (bound->has_ceiling &&
        amount_compare(mem, compared,
                       minus(mem, bound->ceiling, margin_at(mem, limit, bound->ceiling))) > 0)
        return true;

    return bound->has_floor &&
           amount_compare(mem, compared,
                          amount_add(mem, bound->floor, margin_at(mem, limit, bound->floor))) < 0;
}
