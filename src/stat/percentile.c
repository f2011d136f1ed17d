#include "stat/percentile.h"

#include <math.h>

#include "base/str.h"

/* The value at a place from 1; below and above the ends, the end. */
static const struct exact *value_at(struct arena *mem, const struct amount *sorted, size_t count,
                                    int64_t place)
{
    if (place < 1)
        place = 1;
    if (place > (int64_t)count)
        place = (int64_t)count;

    return amount_exact(mem, sorted[place - 1]);
}

/* The whole number at or below a rank, which lies near 0 to n. */
static int64_t whole_below(struct arena *mem, const struct exact *rank)
{
    int64_t whole = (int64_t)floor(exact_double(rank));

    while (exact_compare(exact_from_int(mem, whole), rank) > 0)
        whole--;
    while (exact_compare(exact_from_int(mem, whole + 1), rank) <= 0)
        whole++;

    return whole;
}

static bool is_whole(struct arena *mem, const struct exact *rank)
{
    return exact_compare(exact_from_int(mem, whole_below(mem, rank)), rank) == 0;
}

/* A straight line between the values on both sides of the rank. */
static const struct exact *on_line(struct arena *mem, const struct amount *sorted, size_t count,
                                   const struct exact *rank)
{
    int64_t place = whole_below(mem, rank);
    const struct exact *low = value_at(mem, sorted, count, place);
    const struct exact *high = value_at(mem, sorted, count, place + 1);
    const struct exact *part = exact_sub(mem, rank, exact_from_int(mem, place));

    return exact_add(mem, low, exact_mul(mem, part, exact_sub(mem, high, low)));
}

static const struct exact *rounded_up(struct arena *mem, const struct amount *sorted, size_t count,
                                      const struct exact *rank)
{
    return value_at(mem, sorted, count, whole_below(mem, rank) + (is_whole(mem, rank) ? 0 : 1));
}

static const struct exact *averaged(struct arena *mem, const struct amount *sorted, size_t count,
                                    const struct exact *rank)
{
    int64_t place = whole_below(mem, rank);

    if (!is_whole(mem, rank))
        return value_at(mem, sorted, count, place + 1);

    return exact_div(mem,
                     exact_add(mem, value_at(mem, sorted, count, place),
                               value_at(mem, sorted, count, place + 1)),
                     exact_from_int(mem, 2));
}

static const struct exact *nearest_even(struct arena *mem, const struct amount *sorted,
                                        size_t count, const struct exact *rank)
{
    const struct exact *lower = exact_sub(mem, rank, exact_from_ratio(mem, 1, 2));
    int64_t place = whole_below(mem, lower);
    bool stays = is_whole(mem, lower) && place % 2 == 0;

    return value_at(mem, sorted, count, stays ? place : place + 1);
}

#define NONE                                                                                       \
    {                                                                                              \
        0, 1                                                                                       \
    }
#define HALF                                                                                       \
    {                                                                                              \
        1, 2                                                                                       \
    }

static const struct percentile_definition rows[] = {
    {"type 1", "n p, rounded up", true, NONE, NONE, rounded_up},
    {"type 2", "n p, rounded up; where it is whole, the mean of that value and the next", false,
     NONE, NONE, averaged},
    {"type 3", "n p, to the nearest whole number, a half to the even one", true, NONE, NONE,
     nearest_even},
    {"type 4", "n p", false, NONE, NONE, on_line},
    {"type 5", "n p + 1/2", false, NONE, HALF, on_line},
    {"type 6", "(n + 1) p", false, {1, 1}, NONE, on_line},
    {"type 7", "(n - 1) p + 1", false, {-1, 1}, {1, 1}, on_line},
    {"type 8", "(n + 1/3) p + 1/3", false, {1, 3}, {1, 3}, on_line},
    {"type 9", "(n + 1/4) p + 3/8", false, {1, 4}, {3, 8}, on_line},
    {"nearest rank", "n p, rounded up", true, NONE, NONE, rounded_up},
    {"Hazen", "n p + 1/2", false, NONE, HALF, on_line},
    {"Weibull", "(n + 1) p", false, {1, 1}, NONE, on_line},
    {"Blom", "(n + 1/4) p + 3/8", false, {1, 4}, {3, 8}, on_line},
    {"inclusive", "(n - 1) p + 1", false, {-1, 1}, {1, 1}, on_line},
};

const struct percentile_definition *percentile_definition_at(size_t position)
{
    return position < ARRAY_LEN(rows) ? &rows[position] : NULL;
}

const struct percentile_definition *percentile_definition_find(const char *word)
{
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (str_equal(rows[i].word, word))
            return &rows[i];

    return NULL;
}

static const struct exact *rank_of(struct arena *mem,
                                   const struct percentile_definition *definition, size_t count,
                                   const struct exact *p)
{
    const struct exact *n =
        exact_add(mem, exact_from_int(mem, (int64_t)count),
                  exact_from_ratio(mem, definition->more.over, definition->more.under));

    return exact_add(mem, exact_mul(mem, n, p),
                     exact_from_ratio(mem, definition->plus.over, definition->plus.under));
}

const struct exact *percentile_of_sorted(struct arena *mem,
                                         const struct percentile_definition *definition,
                                         const struct amount *sorted, size_t count,
                                         const struct exact *p)
{
    return definition->at_rank(mem, sorted, count, rank_of(mem, definition, count, p));
}

/* The places 1 to n as values: what a definition takes of them is the place it takes. */
static const struct exact *place_taken(struct arena *mem,
                                       const struct percentile_definition *definition, size_t count,
                                       const struct exact *p)
{
    struct amount *places = ARENA_ARRAY(mem, struct amount, count);

    for (size_t i = 0; i < count; i++)
        places[i].decimal = (struct decimal){.coefficient = (int64_t)i + 1};

    return percentile_of_sorted(mem, definition, places, count, p);
}

bool percentile_is_end_value(struct arena *mem, const struct percentile_definition *definition,
                             const struct exact *p, size_t count)
{
    const struct exact *first = exact_from_int(mem, 1);
    const struct exact *last = exact_from_int(mem, (int64_t)count);

    if (count <= 1)
        return true;
    if (definition->at_rank == on_line) {
        const struct exact *rank = rank_of(mem, definition, count, p);

        return exact_compare(rank, first) < 0 || exact_compare(rank, last) > 0;
    }

    const struct exact *place = place_taken(mem, definition, count, p);

    return exact_compare(place, first) == 0 || exact_compare(place, last) == 0;
}

size_t percentile_least_count(const struct percentile_definition *definition, const struct exact *p)
{
    for (size_t count = 2; count <= PERCENTILE_COUNT_MOST; count++) {
        CLEANUP(arena_free) struct arena *scratch = arena_new();

        if (!percentile_is_end_value(scratch, definition, p, count))
            return count;
    }

    return 0;
}

static bool percentile(struct arena *mem, const struct stat_input *input, const struct exact **out,
                       struct err *err)
{
    if (!input->p || !input->definition)
        return err_set(err, ERR_INVALID,
                       "a percentile needs to be told which one, and by which definition");
    if (exact_sign(input->p) < 0 || exact_compare(input->p, exact_from_int(mem, 1)) > 0)
        return err_set(err, ERR_INVALID, "a percentile lies between 0 and 100");

    const struct amount *sorted =
        input->sorted ? input->sorted : amount_sorted(mem, input->values, input->count);

    *out = percentile_of_sorted(mem, input->definition, sorted, input->count, input->p);

    return true;
}

const struct statistic stat_percentile = {
    .word = "percentile", .sorts = true, .work_out = percentile};
