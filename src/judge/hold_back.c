#include "judge/hold_back.h"

#include "judge/set_aside.h"

static const char not_confirmed[] =
    "not confirmed: nobody has compared this clause with the licence";

static const char by_the_other_form[] =
    "by the other form of the clause: nobody has compared the changed one with the licence";

/* A verdict on its way. */
struct holding {
    const struct judgement *judgement;
    const struct pass_result *results;
    const bool *run;
    const struct verdict *verdict;
};

/* Why a span of days is past the licence's end, as far as it has begun; NULL: it is not. */
static const char *licence_ended(const struct judgement *judgement, day_number from, day_number to)
{
    day_number ends = judgement->evidence->licence_ends;
    day_number after = ends > from ? ends : from;

    if (ends == DAY_NONE || to < ends)
        return NULL;

    size_t day = after > judgement->days[0].day ? (size_t)(after - judgement->days[0].day) : 0;

    if (day >= judgement->day_count || !judgement->days[day].begun)
        return NULL;

    return arena_printf(judgement->mem, "the licence ended on %s",
                        day_words(judgement->mem, ends - 1));
}

/* Why the clause clears nothing at all; NULL: it may. */
static const char *never_within(const struct judgement *judgement)
{
    if (judgement->cannot_tell)
        return judgement->cannot_tell;
    if (judgement->limit->lacks)
        return judgement->limit->lacks;

    return judgement->limit->confirmed ? NULL : not_confirmed;
}

static void hold_verdict(const struct judgement *judgement, struct verdict *verdict)
{
    const char *ended =
        licence_ended(judgement, judgement->days[judgement->first_asked].day, verdict->to);
    const char *never = never_within(judgement);

    if (verdict->standing == STANDING_OUTSIDE)
        return;
    if (ended || (verdict->standing == STANDING_WITHIN && never)) {
        verdict->standing = STANDING_NOT_ASSESSABLE;
        verdict->side = SIDE_NONE;
        verdict->reason = ended ? ended : never;
        never = ended ? judgement->cannot_tell : NULL;
    } else {
        never = judgement->cannot_tell;
    }
    if (verdict->standing == STANDING_NOT_ASSESSABLE && never)
        verdict->reason = arena_printf(judgement->mem, "%s; %s", verdict->reason, never);
}

/* A sample set aside without a number lies in the window, or may. */
static bool has_numberless(const struct holding *holding, const struct verdict_window *window)
{
    const struct evidence *evidence = holding->judgement->evidence;

    if (!holding->judgement->sample_without_number)
        return false;
    for (size_t i = 0; i < holding->verdict->set_aside; i++) {
        const struct verdict_aside *aside = &holding->verdict->asides[i];
        const struct evidence_set_aside *row = &evidence->set_aside[aside->row];
        bool has_number = aside->least || aside->most || row->qualifier == QUALIFIER_NOT_DETECTED;

        if (!has_number && set_aside_leaves_open(holding->judgement->limit, row) &&
            (row->at == INSTANT_NONE || (row->at >= window->from_at && row->at < window->until_at)))
            return true;
    }

    return false;
}

/* Whether the same window is open or outside in a pass with what is in doubt. */
static bool doubt_stops(const struct pass_result *result, const struct verdict_window *window)
{
    for (size_t i = 0; i < result->window_count; i++) {
        const struct pass_window *with = &result->windows[i];
        bool stops = with->standing == STANDING_OUTSIDE ||
                     (with->standing == STANDING_NOT_ASSESSABLE && !with->too_little);

        if (with->window.from_at == window->from_at && with->window.until_at == window->until_at)
            return stops;
    }

    return false;
}

static const char *in_doubt(const struct holding *holding, const struct verdict_window *window)
{
    if (has_numberless(holding, window))
        return holding->judgement->sample_without_number;
    for (enum pass pass = PASS_ALL; pass <= PASS_TRY_BELOW; pass++)
        if (holding->run[pass] && doubt_stops(&holding->results[pass], window))
            return pass <= PASS_BELOW ? "what is in doubt could bring it outside"
                                      : holding->judgement->tried_words;

    return NULL;
}

static void hold_window(const struct holding *holding, struct verdict_window *window)
{
    const char *why = NULL;

    if (window->standing == STANDING_OUTSIDE || window->standing == STANDING_NOT_ASSESSABLE)
        return;
    why = licence_ended(holding->judgement, window->from, window->to);
    if (!why && window->standing == STANDING_WITHIN)
        why = never_within(holding->judgement);
    if (!why && window->standing == STANDING_WITHIN)
        why = in_doubt(holding, window);
    if (!why)
        return;
    window->standing = STANDING_NOT_ASSESSABLE;
    window->reason = why;
}

static void hold_period(const struct judgement *judgement, struct verdict_period *period)
{
    bool within = period->standing == STANDING_WITHIN;
    bool nothing_due = period->standing == STANDING_NOTHING_DUE;

    if ((within && never_within(judgement)) ||
        ((within || nothing_due) && licence_ended(judgement, period->from, period->to)))
        period->standing = STANDING_NOT_ASSESSABLE;
}

void hold_back(const struct judgement *judgement, const struct pass_result *results,
               const bool *run, struct verdict *verdict)
{
    const struct holding holding = {judgement, results, run, verdict};

    hold_verdict(judgement, verdict);
    for (size_t i = 0; i < verdict->window_count; i++)
        hold_window(&holding, &verdict->windows[i]);
    for (size_t i = 0; i < verdict->across_count; i++)
        hold_period(judgement, &verdict->across[i]);
}

/* Outside is worse than not assessable, that than the rest. */
static int badness(enum standing standing)
{
    static const int of[] = {
        [STANDING_WITHIN] = 0,
        [STANDING_NOTHING_DUE] = 1,
        [STANDING_NOT_ASSESSABLE] = 2,
        [STANDING_OUTSIDE] = 3,
    };

    return of[standing];
}

static const struct verdict_window *window_like(const struct verdict *verdict,
                                                const struct verdict_window *window)
{
    for (size_t i = 0; i < verdict->window_count; i++)
        if (verdict->windows[i].from_at == window->from_at &&
            verdict->windows[i].until_at == window->until_at)
            return &verdict->windows[i];

    return NULL;
}

static void window_beside(struct verdict_window *window, const struct verdict *verdict,
                          const struct verdict *other)
{
    const struct verdict_window *like = window_like(other, window);

    if (like && badness(like->standing) > badness(window->standing)) {
        *window = *like;
        window->note = by_the_other_form;
    } else if (!like && window->standing == STANDING_WITHIN &&
               verdict->standing != STANDING_WITHIN) {
        window->standing = STANDING_NOT_ASSESSABLE;
        window->reason = not_confirmed;
    }
}

static void period_beside(struct verdict_period *period, const struct verdict *verdict,
                          const struct verdict *other)
{
    bool found = false;

    for (size_t i = 0; i < other->across_count && !found; i++) {
        const struct verdict_period *like = &other->across[i];

        found = like->from == period->from && like->to == period->to;
        if (found && badness(like->standing) > badness(period->standing))
            *period = *like;
    }
    if (!found && period->standing == STANDING_WITHIN && verdict->standing != STANDING_WITHIN)
        period->standing = STANDING_NOT_ASSESSABLE;
}

void hold_back_beside(struct verdict *verdict, const struct verdict *other)
{
    for (size_t i = 0; i < verdict->window_count; i++)
        window_beside(&verdict->windows[i], verdict, other);
    for (size_t i = 0; i < verdict->across_count; i++)
        period_beside(&verdict->across[i], verdict, other);
}
