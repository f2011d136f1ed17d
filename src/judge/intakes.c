#include "judge/intakes.h"

#include <stdlib.h>

#include "base/search.h"
#include "judge/accepts.h"
#include "judge/against.h"
#include "judge/alike.h"
#include "judge/gather.h"
#include "judge/set_aside.h"
#include "judge/stand_in.h"

static size_t place_against(const struct judgement *judgement)
{
    return judgement->place_count - 1;
}

/* How far from the judged days pairs reach. */
static int64_t reach_us(const struct limit_against *against)
{
    return ((int64_t)against->within_s + against->residence_s) * SECOND_US;
}

static void add_in_doubt(const struct judgement *judgement, struct intakes *intakes, bool known,
                         instant at, struct figure figure)
{
    LIST_ADD(judgement->mem, &intakes->in_doubt,
             ((struct intake){.at = at, .known = known, .figure = figure}));
}

/* Those of the judged days. */
static void add_gathered(const struct judgement *judgement, struct intakes *intakes)
{
    for (size_t i = 0; i < judgement->count; i++) {
        const struct use *use = &judgement->items[i];

        if (use->place != place_against(judgement) || use->why_not)
            continue;
        if (use->trust == TRUST_SOUND)
            LIST_ADD(judgement->mem, &intakes->sound, figure_of_use(judgement, use));
        else
            add_in_doubt(judgement, intakes, use->trust == TRUST_IN_DOUBT, use->at,
                         figure_of_use(judgement, use));
    }
    alike_merge(judgement, &intakes->sound);
}

/* A reading of the intake from beside the judged days. */
static struct figure figure_beside(const struct judgement *judgement, struct converter *converter,
                                   int series, size_t index)
{
    const struct evidence_reading *reading = &judgement->evidence->series[series].readings[index];
    struct use use = {.series = series,
                      .reading = index,
                      .at = reading->at,
                      .until = reading->until,
                      .day = NO_INDEX,
                      .qualifier = reading->qualifier,
                      .place = place_against(judgement)};
    struct verdict_other *other = ARENA_NEW(judgement->mem, struct verdict_other);

    use.has_value = reading->qualifier != QUALIFIER_NOT_DETECTED &&
                    converter_apply(judgement->mem, converter, reading->unit, reading->reported,
                                    &use.value, &use.step);

    struct figure figure = figure_of_reading(judgement, &use);

    *other = (struct verdict_other){.series = series,
                                    .reading = index,
                                    .value = use.has_value ? amount_exact(judgement->mem, use.value)
                                                           : NULL};
    figure.use = NO_INDEX;
    figure.others = other;
    figure.other_count = 1;

    return figure;
}

static bool is_judged(const struct judgement *judgement, instant at)
{
    return at >= judgement->from_at && at < judgement->until_at;
}

static void add_reading_beside(const struct judgement *judgement, struct intakes *intakes,
                               struct converter *converter, size_t series, size_t index)
{
    const struct evidence_series *of = &judgement->evidence->series[series];
    const struct evidence_reading *reading = &of->readings[index];
    struct acceptance all = accepts_series(judgement->mem, judgement->limit, of);
    struct acceptance own =
        accepts_reading(judgement->mem, judgement->limit, judgement->evidence, of, reading);
    struct figure figure;

    if (is_judged(judgement, reading->at) || reading->left_out || !reading->counts || own.why_not)
        return;
    figure = figure_beside(judgement, converter, (int)series, index);
    if (!reading->doubt && !own.doubt && !all.doubt) {
        LIST_ADD(judgement->mem, &intakes->sound, figure);
        return;
    }
    intakes->known_beside = true;
    add_in_doubt(judgement, intakes, true, reading->at, figure);
}

/* The intake's readings of some time beside the period on either side, as far as pairs reach. */
static void add_beside(const struct judgement *judgement, struct intakes *intakes,
                       struct converter *converter)
{
    const struct evidence *evidence = judgement->evidence;
    const struct limit_against *against = &judgement->limit->against;
    instant from = judgement->from_at - reach_us(against);
    instant until = judgement->until_at + reach_us(against);

    for (size_t i = 0; i < evidence->series_count; i++) {
        const struct evidence_series *series = &evidence->series[i];

        if (!gather_series_at(judgement->limit, &against->place, series))
            continue;
        for (size_t k = gather_first_from(series, from);
             k < series->count && series->readings[k].at <= until; k++)
            add_reading_beside(judgement, intakes, converter, i, k);
    }
}

/* Rows set aside beside the period; those within it are gathered with the readings. */
static void add_rows_beside(struct judgement *judgement, struct intakes *intakes,
                            struct converter *converter)
{
    const struct limit_against *against = &judgement->limit->against;
    struct stand_in_list rows =
        stand_ins_of(judgement->mem, judgement->evidence, against->place.station,
                     judgement->limit->parameter, converter);

    for (size_t i = stand_in_timeless(&rows); i < rows.count; i++) {
        const struct stand_in *row = &rows.items[i];
        const struct use use = {.series = NO_INDEX,
                                .reading = row->row,
                                .at = row->at,
                                .until = row->at,
                                .day = NO_INDEX,
                                .qualifier = row->qualifier,
                                .has_value = row->has_value,
                                .value = row->value,
                                .place = place_against(judgement)};
        struct figure figure = figure_of_reading(judgement, &use);

        if (is_judged(judgement, row->at) || row->at < judgement->from_at - reach_us(against) ||
            row->at > judgement->until_at + reach_us(against) ||
            !set_aside_kind_fits(judgement->limit, &judgement->evidence->set_aside[row->row]))
            continue;
        if (!row->has_value)
            figure.blocked = "a row set aside may be the nearer intake sample";
        intakes->known_beside = intakes->known_beside || row->known;
        intakes->tried_beside = intakes->tried_beside || !row->known;
        if (!row->known && !judgement->tried_words)
            judgement->tried_words = "a row set aside may be the nearer intake sample";
        add_in_doubt(judgement, intakes, row->known, row->at, figure);
    }
}

static int by_time(const void *a, const void *b)
{
    const struct figure *left = a;
    const struct figure *right = b;

    if (left->at != right->at)
        return left->at < right->at ? -1 : 1;

    return (left->use > right->use) - (left->use < right->use);
}

static int doubts_by_time(const void *a, const void *b)
{
    const struct intake *left = a;
    const struct intake *right = b;

    return left->at != right->at ? (left->at < right->at ? -1 : 1)
                                 : by_time(&left->figure, &right->figure);
}

void intakes_find(struct judgement *judgement)
{
    const struct limit *limit = judgement->limit;
    enum pairing pairing = limit->against.pairing;
    struct converter converter =
        converter_to(judgement->evidence->units, judgement->parameter, limit->unit);
    struct intakes *intakes;

    if (limit->against.kind == AGAINST_NONE || limit->daily != DAILY_EVERY ||
        pairing == PAIR_SAME_DAY || pairing == PAIR_PERIOD)
        return;
    intakes = ARENA_NEW(judgement->mem, struct intakes);
    add_gathered(judgement, intakes);
    add_beside(judgement, intakes, &converter);
    add_rows_beside(judgement, intakes, &converter);
    if (intakes->sound.count > 1)
        qsort(intakes->sound.items, intakes->sound.count, sizeof(*intakes->sound.items), by_time);
    if (intakes->in_doubt.count > 1)
        qsort(intakes->in_doubt.items, intakes->in_doubt.count, sizeof(*intakes->in_doubt.items),
              doubts_by_time);
    judgement->intakes = intakes;
}

static int64_t apart(instant a, instant b)
{
    return a < b ? b - a : a - b;
}

const struct figure *intakes_nearest(const struct figure_list *list, instant at, int64_t within_us)
{
    size_t from = list->count == 0 ? 0 : SEARCH_FROM(list->items, list->count, at, at);
    const struct figure *after = from < list->count ? &list->items[from] : NULL;
    const struct figure *before = from > 0 ? &list->items[from - 1] : NULL;

    while (before && before > list->items && before[-1].at == before->at)
        before--;
    if (before && (before->at == INSTANT_NONE || apart(before->at, at) > within_us))
        before = NULL;
    if (after && apart(after->at, at) > within_us)
        after = NULL;

    return before && (!after || apart(before->at, at) <= apart(after->at, at)) ? before : after;
}

int64_t intakes_residence_us(const struct limit *limit)
{
    return limit->against.pairing == PAIR_RESIDENCE
               ? (int64_t)limit->against.residence_s * SECOND_US
               : 0;
}

/* What one figure may be held against. */
struct choosing {
    const struct judgement *judgement;
    const struct figure *discharge;
    instant at;                 /* when its water was taken in */
    const struct figure *sound; /* NULL: there is none near enough */
    int64_t reach_us;           /* those in doubt count as far as the sound one */
};

static bool choosing_of(const struct judgement *judgement, const struct figure *discharge,
                        struct choosing *out)
{
    const struct limit_against *against = &judgement->limit->against;
    int64_t within_us = (int64_t)against->within_s * SECOND_US;

    if (discharge->at == INSTANT_NONE)
        return false;
    *out = (struct choosing){.judgement = judgement,
                             .discharge = discharge,
                             .at = discharge->at - intakes_residence_us(judgement->limit)};
    out->sound = intakes_nearest(&judgement->intakes->sound, out->at, within_us);
    out->reach_us = out->sound ? apart(out->sound->at, out->at) : within_us;

    return true;
}

/* The next in doubt that may be the partner, from `index` on; NULL: there is no more. */
static const struct intake *next_in_doubt(const struct choosing *choosing, size_t index)
{
    const struct intake_list *list = &choosing->judgement->intakes->in_doubt;
    instant first = choosing->at - choosing->reach_us;

    if (index < list->count && list->items[index].at != INSTANT_NONE &&
        list->items[index].at < first)
        index = SEARCH_FROM(list->items, list->count, at, first);
    if (index >= list->count || (list->items[index].at != INSTANT_NONE &&
                                 list->items[index].at > choosing->at + choosing->reach_us))
        return NULL;

    return &list->items[index];
}

/* How far a pair goes to a side: beyond it, open, within. */
static int badness(enum fit fit, bool above)
{
    if (fit == (above ? FIT_ABOVE : FIT_BELOW))
        return 2;

    return fit == FIT_UNKNOWN;
}

static bool is_worse(const struct choosing *choosing, const struct figure *intake,
                     const struct figure *than, bool above)
{
    const struct judgement *judgement = choosing->judgement;
    struct figure one = against_pair(judgement, choosing->discharge, intake);
    struct figure other = against_pair(judgement, choosing->discharge, than);
    int bad = badness(figure_fit(judgement, &one), above);
    int less = badness(figure_fit(judgement, &other), above);
    const struct end *end = above ? &one.range.high : &one.range.low;
    const struct end *least = above ? &other.range.high : &other.range.low;

    if (bad != less)
        return bad > less;
    if (!end->known || !least->known)
        return !end->known && least->known;

    int order = amount_compare(judgement->mem, end->at, least->at);

    return above ? order > 0 : order < 0;
}

/* With all that can be read, the nearest. */
static const struct figure *nearest_of_all(const struct choosing *choosing)
{
    const struct intake_list *list = &choosing->judgement->intakes->in_doubt;
    const struct figure *nearest = choosing->sound;
    int64_t least = choosing->sound ? choosing->reach_us : INT64_MAX;

    for (const struct intake *one = next_in_doubt(choosing, 0); one;
         one = next_in_doubt(choosing, (size_t)(one - list->items) + 1)) {
        int64_t far = one->at == INSTANT_NONE ? INT64_MAX : apart(one->at, choosing->at);

        if (!one->known || far >= least)
            continue;
        nearest = &one->figure;
        least = far;
    }

    return nearest;
}

const struct figure *intakes_partner(const struct judgement *judgement, enum pass pass,
                                     const struct figure *discharge)
{
    bool tries = pass == PASS_TRY_ABOVE || pass == PASS_TRY_BELOW;
    bool above = pass == PASS_ABOVE || pass == PASS_TRY_ABOVE;
    const struct intake_list *list = &judgement->intakes->in_doubt;
    const struct figure *worst;
    struct choosing choosing;

    if (!choosing_of(judgement, discharge, &choosing))
        return NULL;
    if (pass == PASS_WITHOUT)
        return choosing.sound;
    if (pass == PASS_ALL)
        return nearest_of_all(&choosing);
    worst = choosing.sound;
    for (const struct intake *one = next_in_doubt(&choosing, 0); one;
         one = next_in_doubt(&choosing, (size_t)(one - list->items) + 1))
        if (one->known != tries && is_worse(&choosing, &one->figure, worst, above))
            worst = &one->figure;

    return worst;
}

enum fit intakes_fit(const struct judgement *judgement, const struct figure *discharge)
{
    const struct intake_list *list = &judgement->intakes->in_doubt;
    struct choosing choosing;
    struct figure pair;
    enum fit worst;

    if (!choosing_of(judgement, discharge, &choosing))
        return FIT_UNKNOWN;
    pair = against_pair(judgement, discharge, choosing.sound);
    worst = figure_fit(judgement, &pair);
    for (const struct intake *one = next_in_doubt(&choosing, 0);
         one && worst != FIT_ABOVE && worst != FIT_BELOW;
         one = next_in_doubt(&choosing, (size_t)(one - list->items) + 1)) {
        enum fit fit;

        pair = against_pair(judgement, discharge, &one->figure);
        fit = figure_fit(judgement, &pair);
        worst = fit == FIT_WITHIN ? worst : fit;
    }

    return worst;
}
