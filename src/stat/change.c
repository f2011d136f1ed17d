#include "stat/change.h"

const char *const change_way_words[] = {
    [CHANGE_WAY_RISE] = "rise",
    [CHANGE_WAY_FALL] = "fall",
    [CHANGE_WAY_EITHER] = "either",
};

/*
 * Positions of readings, in order of time, whose values go one way: the first is the lowest (or the
 * highest) of those in the span, for whatever a newer reading undercuts can't be it any more.
 */
struct extremes {
    size_t *positions;
    size_t first;
    size_t end;
    int side; /* -1 keeps the lowest first, 1 the highest */
};

static void extremes_add(struct arena *mem, struct extremes *extremes,
                         const struct timed_value *readings, size_t at, int64_t span_us)
{
    while (extremes->first < extremes->end &&
           readings[at].at_us - readings[extremes->positions[extremes->first]].at_us > span_us)
        extremes->first++;
    while (extremes->first < extremes->end &&
           amount_compare(mem, readings[at].value,
                          readings[extremes->positions[extremes->end - 1]].value) == extremes->side)
        extremes->end--;
    extremes->positions[extremes->end++] = at;
}

/* The greatest so far, its size as an amount. */
struct greatest {
    struct amount size;
    struct change change;
};

/* Takes the change between two readings where it is the greatest so far. */
static void keep_greater(struct arena *mem, const struct timed_value *readings, size_t first,
                         size_t second, bool fell, struct greatest *out)
{
    struct amount from = readings[first].value;
    struct amount until = readings[second].value;
    struct amount size =
        fell ? amount_subtract(mem, from, until) : amount_subtract(mem, until, from);

    if (amount_compare(mem, size, out->size) > 0)
        *out = (struct greatest){size, {.first = first, .second = second, .fell = fell}};
}

/* Two neighbours within the span: without them there are no two readings at all. */
static bool find_neighbours(const struct timed_value *readings, size_t count, int64_t span_us,
                            size_t *out)
{
    for (size_t i = 0; i + 1 < count; i++)
        if (readings[i + 1].at_us - readings[i].at_us <= span_us) {
            *out = i;
            return true;
        }

    return false;
}

static bool check(const struct timed_value *readings, size_t count, int64_t span_us,
                  struct err *err)
{
    if (!timed_check(readings, count, err))
        return false;
    if (span_us < 1)
        return err_set(err, ERR_BUG, "a change has no time in which it is made");

    return true;
}

bool change_within_span(struct arena *mem, const struct timed_value *readings, size_t count,
                        int64_t span_us, enum change_way way, struct change *out, struct err *err)
{
    return change_within_span_since(mem, readings, count, span_us, way, INT64_MIN, out, err);
}

bool change_within_span_since(struct arena *mem, const struct timed_value *readings, size_t count,
                              int64_t span_us, enum change_way way, int64_t since_us,
                              struct change *out, struct err *err)
{
    struct extremes lowest = {.positions = ARENA_ARRAY(mem, size_t, count), .side = -1};
    struct extremes highest = {.positions = ARENA_ARRAY(mem, size_t, count), .side = 1};
    struct greatest found = {.size = amount_from_decimal((struct decimal){0})};

    if (!check(readings, count, span_us, err))
        return false;
    if (!find_neighbours(readings, count, span_us, &found.change.first))
        return err_set(err, ERR_INVALID, "no two readings are near enough in time");

    found.change.second = found.change.first;
    for (size_t i = 0; i < count; i++) {
        extremes_add(mem, &lowest, readings, i, span_us);
        extremes_add(mem, &highest, readings, i, span_us);
        if (readings[i].at_us < since_us)
            continue;
        if (way != CHANGE_WAY_FALL)
            keep_greater(mem, readings, lowest.positions[lowest.first], i, false, &found);
        if (way != CHANGE_WAY_RISE)
            keep_greater(mem, readings, highest.positions[highest.first], i, true, &found);
    }
    *out = found.change;
    out->size = amount_exact(mem, found.size);

    return true;
}

/* The change between two neighbours, a time of `per_us`. */
static const struct exact *rate(struct arena *mem, const struct timed_value *from,
                                const struct timed_value *until, int64_t per_us)
{
    const struct exact *moved =
        exact_sub(mem, amount_exact(mem, until->value), amount_exact(mem, from->value));

    return exact_mul(mem, moved, exact_from_ratio(mem, per_us, until->at_us - from->at_us));
}

bool change_rate(struct arena *mem, const struct timed_value *readings, size_t count,
                 int64_t per_us, int64_t longest_step_us, enum change_way way, struct change *out,
                 struct err *err)
{
    struct change found = {.size = exact_from_int(mem, 0)};
    const struct exact *zero = found.size;
    bool any = false;

    if (!check(readings, count, per_us, err))
        return false;

    for (size_t i = 0; i + 1 < count; i++) {
        int64_t step_us = readings[i + 1].at_us - readings[i].at_us;

        if (longest_step_us > 0 && step_us > longest_step_us)
            continue;
        if (step_us == 0) {
            if (amount_compare(mem, readings[i].value, readings[i + 1].value) != 0)
                return err_set(err, ERR_INVALID, "two readings of the same instant differ");
            continue;
        }

        const struct exact *size = rate(mem, &readings[i], &readings[i + 1], per_us);
        bool fell = exact_sign(size) < 0;

        if (!any)
            found.first = found.second = i;
        any = true;
        if (fell)
            size = exact_sub(mem, zero, size);
        if (way != (fell ? CHANGE_WAY_RISE : CHANGE_WAY_FALL) &&
            exact_compare(size, found.size) > 0)
            found = (struct change){.size = size, .first = i, .second = i + 1, .fell = fell};
    }
    if (!any)
        return err_set(err, ERR_INVALID, "no two neighbouring readings are near enough in time");
    *out = found;

    return true;
}
