#include "app/judge_forms.h"

#include "judge/hold_back.h"
#include "judge/shared.h"
#include "judge/verdict_copy.h"

/* Outside is worse than not assessable, that than the rest. */
static int worse(const struct verdict *verdict)
{
    switch (verdict->standing) {
    case STANDING_OUTSIDE:
        return 3;
    case STANDING_NOT_ASSESSABLE:
        return 2;
    case STANDING_NOTHING_DUE:
        return 1;
    case STANDING_WITHIN:
    default:
        return 0;
    }
}

static void verdict_add(const struct judging *judging, const struct forms *forms,
                        const struct verdict *verdict)
{
    if (judging->tell) {
        judging->tell(judging->context, judging->mem, judging->month, verdict);
        return;
    }
    LIST_ADD(judging->mem, &judging->month->verdicts, *verdict);
    if (!judging->hashing)
        return;

    const struct clause_limits loaded = {.items = forms->items, .count = forms->count};
    struct digest digest = evidence_digest(judging->hashing, &loaded, verdict);

    LIST_ADD(judging->mem, &judging->month->digests, digest);
}

/* A limit over some days: in full, or what of it outlives the room. */
static struct verdict limit_judge(const struct judging *judging, const struct limit *limit,
                                  const struct evidence *evidence, day_number from, day_number to)
{
    struct verdict verdict = {0};

    if (!judging->room) {
        judge_limit(judging->mem, limit, evidence, from, to, &verdict);
        return verdict;
    }
    arena_reset(judging->room);
    judge_limit_in_brief(judging->room, judging->shared, limit, evidence, from, to, &verdict);
    verdict = verdict_copy_brief(judging->mem, &verdict);
    verdict.limit = limit; /* where it looked across periods, a copy of it in the room */

    return verdict;
}

static struct verdict with_beside(struct arena *mem, struct verdict verdict,
                                  const struct verdict *other)
{
    struct verdict_beside *beside = ARENA_NEW(mem, struct verdict_beside);

    *beside = (struct verdict_beside){other->limit, other->standing, other->side, other->words};
    verdict.beside = beside;

    return verdict;
}

/* One form of a clause over some days. */
static struct verdict form_judge(const struct judging *judging, const struct clause_limit *form,
                                 day_number from, day_number to)
{
    struct evidence *evidence = ARENA_NEW(judging->mem, struct evidence);
    struct verdict verdict;

    *evidence = evidence_for_limit(&judging->month->loaded, judging->farm->farm, &form->limit);
    verdict = limit_judge(judging, &form->limit, evidence, from, to);
    if (form->before) {
        struct verdict older = limit_judge(judging, form->before, evidence, from, to);

        bool is_worse = worse(&older) > worse(&verdict);
        struct verdict stands = is_worse ? older : verdict;
        const struct verdict *other = is_worse ? &verdict : &older;

        hold_back_beside(&stands, other);
        verdict = with_beside(judging->mem, stands, other);
    }

    return verdict;
}

static bool meets(const struct clause_limit *form, day_number from, day_number to)
{
    return clause_meets(form->limit.in_force_from, form->limit.in_force_to, from, to);
}

/*
 * Which form judges a figure when the clause changed inside its period: the one its rule names,
 * widened to the whole of it; without a rule the newer as it is, which is not assessable.
 */
static struct clause_limit *form_across(struct arena *mem, struct clause_limit *first,
                                        struct clause_limit *second, day_number from, day_number to)
{
    struct clause_limit *chosen = second;
    struct clause_limit *widened;

    if (second->limit.change == CHANGE_UNSET)
        return second;
    if (second->limit.change == CHANGE_OLD)
        chosen = first;
    widened = arena_copy(mem, chosen, sizeof(*chosen));
    widened->limit.in_force_from = from;
    widened->limit.in_force_to = to;

    return widened;
}

static bool is_one_span(const struct clause_limit *form)
{
    return period_is_span(&form->limit) && period_has_one_figure(&form->limit);
}

/* Whether a later form that is in force in the month makes a figure of the same period. */
static bool is_left_to_a_later(const struct judging *judging, const struct forms *forms, size_t at,
                               day_number from, day_number to)
{
    for (size_t i = at + 1; i < forms->count; i++) {
        day_number first;
        day_number last;

        if (!is_one_span(&forms->items[i]) ||
            !clause_judged_in(&forms->items[i].limit, judging->month->from, judging->month->to))
            continue;
        judge_period(&forms->items[i].limit, from, &first, &last);
        if (first == from && last == to)
            return true;
    }

    return false;
}

/* A figure of a period that meets the month: a month, a quarter, a year. */
static void span_judge(const struct judging *judging, const struct forms *forms, size_t at,
                       day_number from, day_number to)
{
    struct clause_limit *chosen = NULL;
    struct verdict verdict;

    if (is_left_to_a_later(judging, forms, at, from, to))
        return;
    for (size_t i = 0; i < forms->count; i++) {
        if (!is_one_span(&forms->items[i]) || !meets(&forms->items[i], from, to) ||
            forms->items[i].limit.period != forms->items[at].limit.period)
            continue;
        chosen = chosen ? form_across(judging->mem, chosen, &forms->items[i], from, to)
                        : &forms->items[i];
    }
    verdict = form_judge(judging, chosen ? chosen : &forms->items[at], from, to);
    verdict_add(judging, forms, &verdict);
}

static void spans_judge(const struct judging *judging, const struct forms *forms, size_t at)
{
    const struct judged_month *month = judging->month;

    if (!clause_judged_in(&forms->items[at].limit, month->from, month->to))
        return;
    for (day_number day = month->from; day <= month->to;) {
        day_number from;
        day_number to;

        judge_period(&forms->items[at].limit, day, &from, &to);
        span_judge(judging, forms, at, from, to);
        day = to + 1;
    }
}

static day_number least_day(day_number a, day_number b)
{
    return b != DAY_NONE && b < a ? b : a;
}

/* Samples, days and windows of the month: each form over the part in which it is in force. */
static void parts_judge(const struct judging *judging, const struct forms *forms, size_t at)
{
    const struct judged_month *month = judging->month;
    struct clause_limit form = forms->items[at];
    struct clause_limit *next = at + 1 < forms->count ? &forms->items[at + 1] : NULL;
    day_number from =
        form.limit.in_force_from > month->from ? form.limit.in_force_from : month->from;
    day_number to = least_day(month->to, form.limit.in_force_to);
    bool by_window = period_has_one_figure(&form.limit);
    day_number reach_first;
    day_number reach_last;

    judge_reach(&form.limit, month->from, month->to, &reach_first, &reach_last);
    if (!meets(&form, by_window ? reach_first : month->from, month->to))
        return;
    if (!by_window) {
        struct verdict verdict = form_judge(judging, &forms->items[at], from, to);

        verdict_add(judging, forms, &verdict);
        return;
    }
    /* A window across its end goes by the rule of the form that comes after. */
    if (next && form.limit.in_force_to != DAY_NONE)
        form.limit.change = next->limit.change;

    struct clause_limit *kept = arena_copy(judging->mem, &form, sizeof(form));
    struct verdict verdict = form_judge(judging, kept, month->from, month->to);

    if (verdict.window_count == 0 && !meets(&form, month->from, month->to))
        return;
    verdict.from = from;
    verdict.to = to;
    for (size_t i = 0; i < verdict.window_count; i++)
        if (verdict.windows[i].to > verdict.to && verdict.windows[i].to <= month->to)
            verdict.to = verdict.windows[i].to;
    verdict_add(judging, forms, &verdict);
}

void forms_judge(const struct judging *judging, const struct forms *forms)
{
    for (size_t i = 0; i < forms->count; i++) {
        if (is_one_span(&forms->items[i]))
            spans_judge(judging, forms, i);
        else
            parts_judge(judging, forms, i);
    }
}
