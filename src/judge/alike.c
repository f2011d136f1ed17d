#include "judge/alike.h"

#include "base/str.h"
#include "judge/combine.h"
#include "stat/average.h"

/* Results that are alike, by their positions in the list. */
struct group {
    struct figure *items;
    size_t count;
    size_t capacity;
};

static const struct evidence_series *series_of(const struct judgement *judgement,
                                               const struct figure *figure)
{
    const struct use *use = &judgement->items[figure->use];

    return use->series == NO_INDEX ? NULL : &judgement->evidence->series[use->series];
}

/* The number of its sample; NULL: none. */
static const char *sample_of(const struct judgement *judgement, const struct figure *figure)
{
    const struct evidence_series *series = series_of(judgement, figure);

    return series ? series->readings[judgement->items[figure->use].reading].sample : NULL;
}

static bool same_position(const struct evidence_series *a, const struct evidence_series *b)
{
    return a->position == b->position ||
           (a->position && b->position && str_equal(a->position, b->position));
}

static bool alike(const struct judgement *judgement, const struct figure *a, const struct figure *b)
{
    const struct evidence_series *left = series_of(judgement, a);
    const struct evidence_series *right = series_of(judgement, b);
    const char *sample = sample_of(judgement, a);
    const char *other = sample_of(judgement, b);

    if (!left || !right || a->place != b->place)
        return false;
    if (sample && other)
        return judgement->limit->replicates == ALIKE_AVERAGED && str_equal(sample, other);

    return judgement->limit->side_by_side == ALIKE_AVERAGED && !sample && !other &&
           a->at == b->at && left != right && same_position(left, right);
}

/* The group of an earlier result that this one is alike to; `count` for none. */
static size_t group_of(const struct judgement *judgement, const struct group *groups, size_t count,
                       const struct figure *figure)
{
    bool of_sample = sample_of(judgement, figure) != NULL;

    for (size_t i = count; i-- > 0;) {
        const struct figure *first = &groups[i].items[0];

        /* Portions of a sample may have been read at any time, instruments at one instant. */
        if (!of_sample && first->at != figure->at)
            break;
        if (alike(judgement, first, figure))
            return i;
    }

    return count;
}

static struct figure merged(const struct judgement *judgement, const struct group *group)
{
    const struct figure *first = &group->items[0];

    if (group->count == 1)
        return *first;

    struct figure figure = combine_before(judgement, &stat_mean, group->items, group->count);

    figure.day = first->day;
    figure.place = first->place;
    figure.at = first->at;
    figure.use = first->use;
    figure.own_bound = first->own_bound;

    return figure;
}

void alike_merge(const struct judgement *judgement, struct figure_list *figures)
{
    const struct limit *limit = judgement->limit;
    struct group *groups;
    size_t count = 0;

    if (limit->replicates != ALIKE_AVERAGED && limit->side_by_side != ALIKE_AVERAGED)
        return;
    groups = ARENA_ARRAY(judgement->mem, struct group, figures->count);
    for (size_t i = 0; i < figures->count; i++) {
        size_t at = group_of(judgement, groups, count, &figures->items[i]);

        count += at == count;
        LIST_ADD(judgement->mem, &groups[at], figures->items[i]);
    }
    for (size_t i = 0; i < count; i++)
        figures->items[i] = merged(judgement, &groups[i]);
    figures->count = count;
}

size_t alike_portions(const struct judgement *judgement, const struct figure *figures, size_t count)
{
    const struct figure **first = ARENA_ARRAY(judgement->mem, const struct figure *, count);
    size_t portions = 0;
    size_t samples = 0;

    for (size_t i = 0; i < count; i++) {
        const char *sample = figures[i].use == NO_INDEX ? NULL : sample_of(judgement, &figures[i]);
        size_t of = 0;

        if (!sample || judgement->places[figures[i].place].against)
            continue;
        while (of < samples && (first[of]->place != figures[i].place ||
                                !str_equal(sample_of(judgement, first[of]), sample)))
            of++;
        if (of < samples)
            portions++;
        else
            first[samples++] = &figures[i];
    }

    return portions;
}
