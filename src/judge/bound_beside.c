#include "judge/bound_beside.h"

#include "judge/gather.h"
#include "judge/pass.h"

/* One row, or the reading on record, for one of the clause's others. */
struct choice {
    struct partner partner;
    bool by_row;
    bool known;
    size_t row;
};

struct choice_list {
    struct choice *items;
    size_t count;
    size_t capacity;
};

/* The strictest bound that rows give, of those that can be read and of all others. */
struct strictest {
    const struct exact *bound; /* NULL: none */
    bool unknown;              /* one of them could be any bound */
    size_t row;
    bool any;
};

/* One use while the ways to hold it are looked through. */
struct looking {
    struct bound_finder *finder;
    const struct use *use;
    struct choice_list choices[LIMIT_OTHERS_MOST];
    struct strictest known;
    struct strictest tried;
};

static void add_choices(struct looking *looking, size_t other)
{
    struct bound_finder *finder = looking->finder;
    struct arena *mem = finder->judgement->mem;
    const struct use *use = looking->use;
    struct choice_list *list = &looking->choices[other];
    struct partner best;
    bool found = partner_nearest(mem, &finder->sources[other], use->at, use->until,
                                 finder->by->within_s, true, &best);
    struct partner_rows rows = partner_nearer_rows(&finder->sources[other], use->at, use->until,
                                                   finder->by->within_s, found ? &best : NULL);

    if (found)
        LIST_ADD(mem, list, ((struct choice){.partner = best, .known = true}));
    for (size_t i = partner_row_from(&rows, 0); i < rows.after;
         i = partner_row_from(&rows, i + 1)) {
        const struct stand_in *row = &finder->sources[other].rows.items[i];

        LIST_ADD(mem, list,
                 ((struct choice){.partner = {.has_value = row->has_value,
                                              .qualifier = row->qualifier,
                                              .value = row->value},
                                  .by_row = true,
                                  .known = row->known,
                                  .row = row->row}));
    }
}

static bool is_stricter(const struct judgement *judgement, const struct exact *bound,
                        const struct exact *than)
{
    int order = than ? exact_compare(bound, than) : 0;

    return !than || (judgement->bound.has_ceiling ? order < 0 : order > 0);
}

static void take(struct looking *looking, const struct bound_found *found, bool known, size_t row)
{
    struct bound_finder *finder = looking->finder;
    struct strictest *of = known ? &looking->known : &looking->tried;
    const struct exact *bound = NULL;
    const char *why_not = NULL;

    for (size_t i = 0; i < found->count && !why_not; i++)
        why_not = bound_finder_unusable(finder->judgement->mem, &finder->by->others[i],
                                        &found->others[i]);
    if (!why_not)
        bound = bound_finder_value(finder, found, &why_not);
    if (!bound) {
        of = &looking->tried;
        of->unknown = true;
    }
    if (!of->any || (bound && is_stricter(finder->judgement, bound, of->bound)))
        of->row = row;
    of->any = true;
    if (bound && is_stricter(finder->judgement, bound, of->bound))
        of->bound = bound;
}

/* How many ways there are to take one of each; 0: one of them has none. */
static size_t ways_of(const struct looking *looking)
{
    size_t ways = 1;

    for (size_t i = 0; i < looking->finder->by->other_count; i++) {
        ways *= looking->choices[i].count;
        if (ways > COMBINATIONS_MOST)
            return ways;
    }

    return ways;
}

/* The first of the rows that are choices; there is one. */
static size_t first_row(const struct looking *looking)
{
    for (size_t i = 0; i < looking->finder->by->other_count; i++)
        for (size_t k = 0; k < looking->choices[i].count; k++)
            if (looking->choices[i].items[k].by_row)
                return looking->choices[i].items[k].row;

    return 0;
}

static void look(struct looking *looking)
{
    size_t others = looking->finder->by->other_count;
    size_t ways = ways_of(looking);

    if (ways > COMBINATIONS_MOST) {
        looking->tried =
            (struct strictest){.unknown = true, .any = true, .row = first_row(looking)};
        return;
    }
    for (size_t way = 0; way < ways; way++) {
        struct bound_found found = {.count = others};
        bool known = true;
        size_t row = SIZE_MAX;
        size_t rest = way;

        for (size_t i = 0; i < others; i++) {
            const struct choice *choice =
                &looking->choices[i].items[rest % looking->choices[i].count];

            rest /= looking->choices[i].count;
            found.others[i] = choice->partner;
            known = known && choice->known;
            row = choice->by_row && row == SIZE_MAX ? choice->row : row;
        }
        if (row != SIZE_MAX)
            take(looking, &found, known, row);
    }
}

static const char *words_of(const struct judgement *judgement, const struct limit_bound_by *by,
                            size_t row)
{
    const struct evidence_set_aside *of = &judgement->evidence->set_aside[row];

    return arena_printf(judgement->mem, "a row set aside may be the %s it is held against (%s)",
                        of->parameter ? of->parameter : by->others[0].parameter,
                        of->place ? of->place
                                  : arena_printf(judgement->mem, "line %d", of->origin.line));
}

static const struct exact *own_value(const struct judgement *judgement, const struct use *use)
{
    const struct bound *bound = use->own_bound;

    if (!bound || (!bound->has_ceiling && !bound->has_floor) || use->blocked)
        return NULL;

    return amount_exact(judgement->mem, bound->has_ceiling ? bound->ceiling : bound->floor);
}

/* The same reading with the bound of rows. */
static void add_beside(struct looking *looking, const struct strictest *strictest, enum trust trust)
{
    struct judgement *judgement = looking->finder->judgement;
    const struct exact *own = own_value(judgement, looking->use);
    struct use beside = *looking->use;

    if (!strictest->any ||
        (!strictest->unknown && own && !is_stricter(judgement, strictest->bound, own)))
        return;
    beside.is_beside = true;
    beside.beside_row = strictest->row;
    beside.trust = beside.trust == TRUST_TRIED ? TRUST_TRIED : trust;
    if (looking->use->trust != TRUST_TRIED)
        beside.tried_side = judgement->bound.has_ceiling ? SIDE_ABOVE : SIDE_BELOW;
    if (!beside.doubt)
        beside.doubt = words_of(judgement, looking->finder->by, strictest->row);
    beside.own_bound = bound_finder_bound(judgement, strictest->bound);
    beside.blocked =
        strictest->unknown ? words_of(judgement, looking->finder->by, strictest->row) : NULL;
    if (beside.trust == TRUST_TRIED && !judgement->tried_words)
        judgement->tried_words = words_of(judgement, looking->finder->by, strictest->row);
    LIST_ADD(judgement->mem, judgement, beside);
    judgement->has_beside = true;
}

void bound_beside_add(struct bound_finder *finder)
{
    struct judgement *judgement = finder->judgement;
    size_t count = judgement->count;
    bool any = false;

    for (size_t i = 0; i < finder->by->other_count; i++)
        any = any || finder->sources[i].rows.count > 0;
    for (size_t i = 0; i < count && any; i++) {
        /* The list may be moved as it grows. */
        const struct use use = judgement->items[i];
        struct looking looking = {.finder = finder, .use = &use};

        if (use.why_not || use.at == INSTANT_NONE)
            continue;
        for (size_t k = 0; k < finder->by->other_count; k++)
            add_choices(&looking, k);
        look(&looking);
        add_beside(&looking, &looking.known, TRUST_IN_DOUBT);
        add_beside(&looking, &looking.tried, TRUST_TRIED);
    }
    if (judgement->count > count)
        gather_sort(judgement);
}

static bool is_of(const struct use *beside, const struct use *use)
{
    return !use->is_beside && use->series == beside->series && use->reading == beside->reading &&
           use->place == beside->place &&
           (use->trust != TRUST_TRIED || use->tried_side == beside->tried_side);
}

/* In the passes that take it, it stands in the place of the reading with its own bound. */
static void settle(struct use *beside, struct use *use)
{
    beside->passed_over |= use->passed_over;
    for (enum pass pass = PASS_ALL; pass <= PASS_TRY_BELOW; pass++)
        if (pass_takes(beside, pass))
            use->passed_over |= 1U << pass;
}

struct use *bound_beside_next(const struct judgement *judgement, const struct use *use,
                              const struct use *after)
{
    size_t first = (size_t)(use - judgement->items);

    while (first > 0 && judgement->items[first - 1].day == use->day &&
           judgement->items[first - 1].at == use->at)
        first--;
    for (size_t i = after ? (size_t)(after - judgement->items) + 1 : first;
         i < judgement->count && judgement->items[i].day == use->day &&
         judgement->items[i].at == use->at;
         i++)
        if (judgement->items[i].is_beside && is_of(&judgement->items[i], use))
            return &judgement->items[i];

    return NULL;
}

void bound_beside_settle(struct judgement *judgement)
{
    for (size_t i = 0; i < judgement->count && judgement->has_beside; i++) {
        struct use *use = &judgement->items[i];

        if (use->is_beside)
            continue;
        for (struct use *beside = bound_beside_next(judgement, use, NULL); beside;
             beside = bound_beside_next(judgement, use, beside))
            settle(beside, use);
    }
}
