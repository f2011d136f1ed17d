#include "judge/alternatives.h"

#include "base/str.h"
#include "judge/figure.h"

bool alternatives_fall(const struct judgement *judgement, size_t place)
{
    enum against_kind kind = judgement->limit->against.kind;
    bool against = judgement->places[place].against;

    return kind == AGAINST_REMOVAL ? !against : against;
}

static const struct evidence_set_aside *row_of(const struct judgement *judgement,
                                               const struct use *use)
{
    return use->series == NO_INDEX ? &judgement->evidence->set_aside[use->reading] : NULL;
}

/* Rows of one file that contradict each other. */
static bool same_rows(const struct evidence_set_aside *a, const struct evidence_set_aside *b)
{
    return a->contradicts && b->contradicts && a->origin.receipt == b->origin.receipt &&
           a->origin.column == b->origin.column && str_equal(a->contradicts, b->contradicts);
}

/*
 * Whether a stored reading is the one that a row of its place and instant contradicts. The row does
 * not tell the instrument: of several side by side it stands in the place of the first.
 */
static bool is_contradicted(const struct judgement *judgement, const struct use *stored,
                            const struct evidence_set_aside *row)
{
    bool from_probe = judgement->evidence->series[stored->series].kind == KIND_PROBE;

    if (!row->beside_stored || row->from_probe != from_probe)
        return false;
    for (const struct use *use = stored; use-- > judgement->items && use->at == stored->at;)
        if (use->series != NO_INDEX && use->place == stored->place)
            return false;

    return true;
}

/* Whether two of one instant are values of one result. */
static bool are_alternatives(const struct judgement *judgement, const struct use *a,
                             const struct use *b)
{
    const struct evidence_set_aside *row = row_of(judgement, a);
    const struct evidence_set_aside *other = row_of(judgement, b);

    if (a == b || a->place != b->place || a->at != b->at)
        return false;
    if (row && other)
        return same_rows(row, other) || (row->beside_stored && other->beside_stored);

    return (row || other) && is_contradicted(judgement, row ? b : a, row ? row : other);
}

bool alternatives_takes_highest(const struct judgement *judgement, enum pass pass)
{
    if (pass == PASS_ALL)
        return judgement->bound.has_ceiling && !limit_of_change(judgement->limit);

    return pass == PASS_ABOVE || pass == PASS_TRY_ABOVE;
}

/* Above 0: `a` brings the figure higher than `b`. */
static int by_figure(const struct judgement *judgement, const struct use *a, const struct use *b)
{
    int order;

    if (limit_counts_beyond(judgement->limit)) {
        bool beyond = figure_fit_alone(judgement, a) == FIT_ABOVE;
        bool other = figure_fit_alone(judgement, b) == FIT_ABOVE;

        if (beyond != other)
            return beyond ? 1 : -1;
    }
    order = a->has_value && b->has_value ? amount_compare(judgement->mem, a->value, b->value)
                                         : (int)a->has_value - (int)b->has_value;

    return alternatives_fall(judgement, a->place) ? -order : order;
}

/* Whether `a` stands for the result in the pass, and not `b`; of two alike the first. */
static bool stands_before(const struct judgement *judgement, enum pass pass, const struct use *a,
                          const struct use *b)
{
    int order = by_figure(judgement, a, b);

    if (order == 0)
        return a < b;

    return alternatives_takes_highest(judgement, pass) == (order > 0);
}

/* The passes in which another value of the result at `index` is taken in its place. */
static unsigned passed_over(const struct judgement *judgement, size_t first, size_t after,
                            size_t index)
{
    const struct use *use = &judgement->items[index];
    unsigned over = 0;

    for (size_t i = first; i < after; i++) {
        const struct use *other = &judgement->items[i];

        if (!are_alternatives(judgement, use, other))
            continue;
        for (enum pass pass = PASS_ALL; pass <= PASS_TRY_BELOW; pass++)
            if (pass_takes(other, pass) && stands_before(judgement, pass, other, use))
                over |= 1U << pass;
    }

    return over;
}

/* Those of one instant lie together: the items are in order of time. */
static void settle_instant(struct judgement *judgement, size_t first, size_t after)
{
    unsigned *over = ARENA_ARRAY(judgement->mem, unsigned, after - first);

    for (size_t i = first; i < after; i++)
        over[i - first] = passed_over(judgement, first, after, i);
    for (size_t i = first; i < after; i++)
        judgement->items[i].passed_over = over[i - first];
}

static bool is_told_twice(const struct judgement *judgement, const struct use *use)
{
    const struct evidence_set_aside *row = row_of(judgement, use);

    return row && use->at != INSTANT_NONE && (row->contradicts || row->beside_stored);
}

void alternatives_settle(struct judgement *judgement)
{
    for (size_t first = 0, after; judgement->asides.count > 0 && first < judgement->count;
         first = after) {
        bool told_twice = false;

        for (after = first;
             after < judgement->count && judgement->items[after].at == judgement->items[first].at;
             after++)
            told_twice = told_twice || is_told_twice(judgement, &judgement->items[after]);
        if (told_twice)
            settle_instant(judgement, first, after);
    }
}
