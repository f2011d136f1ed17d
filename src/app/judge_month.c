#include "app/judge_month.h"

#include "app/evidence_digest.h"
#include "app/findings.h"
#include "app/judge_intervals.h"
#include "app/months_waiting.h"
#include "app/watch_findings.h"
#include "base/str.h"
#include "judge/hold_back.h"
#include "judge/shared.h"
#include "judge/verdict_copy.h"
#include "store/reading_store.h"
#include "store/verdict_put.h"

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

/* The forms of one clause, oldest first. */
struct forms {
    struct clause_limit *items;
    size_t count;
};

/* A judging on its way. */
struct judging {
    struct arena *mem;
    struct arena *room; /* what clauses are judged in, one after the other; NULL: in mem, in full */
    struct shared *shared; /* with a room: what they have in common */
    const struct open_farm *farm;
    struct judged_month *month;
    struct evidence_hashing *hashing; /* NULL: nobody asks for digests */
};

static void verdict_add(const struct judging *judging, const struct forms *forms,
                        const struct verdict *verdict)
{
    struct judged_month *month = judging->month;

    LIST_ADD(judging->mem, &month->verdicts, *verdict);
    if (!judging->hashing)
        return;

    const struct clause_limits loaded = {.items = forms->items, .count = forms->count};
    struct digest digest = evidence_digest(judging->hashing, &loaded, verdict);

    LIST_ADD(judging->mem, &month->digests, digest);
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

        hold_back_beside(&stands, is_worse ? &verdict : &older);
        verdict = stands;
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

static void clause_judge(const struct judging *judging, const struct forms *forms)
{
    for (size_t i = 0; i < forms->count; i++) {
        if (is_one_span(&forms->items[i]))
            spans_judge(judging, forms, i);
        else
            parts_judge(judging, forms, i);
    }
}

static void clauses_judge(const struct judging *judging, const struct clause_limits *limits)
{
    for (size_t i = 0, next; i < limits->count; i = next) {
        next = i + 1;
        while (next < limits->count &&
               str_equal(limits->items[next].limit.key, limits->items[i].limit.key))
            next++;
        clause_judge(judging, &(struct forms){&limits->items[i], next - i});
    }
}

/* month_judge(), in full or in brief. */
static bool month_judge_as(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                           day_number first, instant now, bool as_first_stored, bool in_full,
                           struct judged_month *out, struct err *err)
{
    CLEANUP(arena_free) struct arena *room = in_full ? NULL : arena_new();
    CLEANUP(arena_free) struct arena *kept = in_full ? NULL : arena_new();
    struct shared *shared = in_full ? NULL : shared_new(mem, kept);

    *out = (struct judged_month){.from = month_first(first), .to = month_next(first) - 1};
    if (!clauses_limits(tx, mem, farm->farm, &out->limits, err) ||
        !evidence_load(tx, mem, farm, &out->limits, out->from, out->to, now, as_first_stored,
                       &out->loaded, err))
        return false;

    struct evidence_hashing hashing = {mem, farm->farm, &out->loaded, {0}};

    clauses_judge(
        &(struct judging){mem, room, shared, farm, out, as_first_stored ? NULL : &hashing},
        &out->limits);

    return intervals_judge(tx, mem, farm, &out->loaded, now, &out->intervals, err);
}

bool month_judge(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                 day_number first, instant now, bool as_first_stored, struct judged_month *out,
                 struct err *err)
{
    return month_judge_as(tx, mem, farm, first, now, as_first_stored, true, out, err);
}

/* Only the clauses whose evidence changed, with what they read and no more. */
static bool month_judge_changed(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                                day_number first, instant now, const struct window_rows *windows,
                                struct judged_month *out, struct err *err)
{
    CLEANUP(arena_free) struct arena *room = arena_new();
    CLEANUP(arena_free) struct arena *kept = arena_new();
    struct shared *shared = shared_new(mem, kept);
    struct clause_limits all = {0};

    if (!months_waiting_of_limits(farm, windows))
        return month_judge_as(tx, mem, farm, first, now, false, false, out, err);
    *out = (struct judged_month){
        .from = month_first(first), .to = month_next(first) - 1, .partly = true};
    if (!clauses_limits(tx, mem, farm->farm, &all, err))
        return false;
    out->limits = months_waiting_limits(mem, farm, &all, windows);
    if (!evidence_load_for_limits(tx, mem, farm, &out->limits, out->from, out->to, now,
                                  &out->loaded, err))
        return false;

    struct evidence_hashing hashing = {mem, farm->farm, &out->loaded, {0}};

    clauses_judge(&(struct judging){mem, room, shared, farm, out, &hashing}, &out->limits);

    return true;
}

bool month_look(struct db *db, struct arena *mem, const struct open_farm *farm, day_number first,
                instant now, struct judged_month *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           month_judge(&tx, mem, farm, first, now, false, out, err);
}

/* The forms of the clause alone, in full; `out` is left without verdicts where there is none. */
static bool clause_judge_alone(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                               day_number first, const char *key, instant now,
                               struct judged_month *out, struct err *err)
{
    struct clause_limits all = {0};
    struct clause_limits limits = {0};

    *out = (struct judged_month){
        .from = month_first(first), .to = month_next(first) - 1, .partly = true};
    if (!clauses_limits(tx, mem, farm->farm, &all, err))
        return false;
    for (size_t i = 0; i < all.count; i++)
        if (str_equal(all.items[i].limit.key, key))
            LIST_ADD(mem, &limits, all.items[i]);
    if (limits.count == 0)
        return true;
    if (!evidence_load_for_limits(tx, mem, farm, &limits, out->from, out->to, now, &out->loaded,
                                  err))
        return false;
    clauses_judge(&(struct judging){.mem = mem, .farm = farm, .month = out}, &limits);

    return true;
}

static bool has_interval(const struct farm *farm, const char *key)
{
    for (size_t i = 0; i < farm->intervals.count; i++)
        if (str_equal(farm->intervals.items[i].interval.key, key))
            return true;

    return false;
}

bool month_look_at(struct db *db, struct arena *mem, const struct open_farm *farm, day_number first,
                   const char *key, instant now, struct judged_month *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    bool of_interval = has_interval(farm->farm, key);

    if (!db_tx_begin(db, farm->farm_id, &tx, err) ||
        !clause_judge_alone(&tx, mem, farm, first, key, now, out, err))
        return false;
    if (out->verdicts.count > 0 && !of_interval)
        return true;

    return month_judge_as(&tx, mem, farm, first, now, false, out->verdicts.count > 0, out, err);
}

/* Add a window's ticket to "{a,b". */
static void ticket_add(struct buf *text, const struct window_row *window)
{
    buf_addf(text, "%s%s", text->len > 1 ? "," : "", window->ticket);
}

/* Whether a window makes no other month old, of those up to the newest. */
static bool of_month_only(const struct day_list *months, const struct judged_month *month,
                          day_number newest)
{
    for (size_t i = 0; i < months->count; i++)
        if (months->items[i] != month->from && months->items[i] <= newest)
            return false;

    return true;
}

/* Take away the windows that the judging of this month has answered. */
static bool windows_remove(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                           const struct window_rows *windows, const struct judged_month *month,
                           day_number newest, struct err *err)
{
    struct buf tickets = buf_new(mem);

    buf_add_char(&tickets, '{');
    for (size_t i = 0; i < windows->count; i++) {
        const struct window_row *window = &windows->items[i];
        const struct window_rows one = {&windows->items[i], 1};
        struct day_list months = {0};

        if (window->first_day < month->from || window->last_day > month->to)
            continue;
        if (!months_waiting(tx, mem, farm, &month->limits, &one, 0, &months, err))
            return false;
        if (of_month_only(&months, month, newest))
            ticket_add(&tickets, window);
    }
    buf_add_char(&tickets, '}');

    return tickets.len == 2 || window_store_remove(tx, tickets.data, err);
}

static bool month_keep(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                       const struct judged_month *month, instant now, int *opened, struct err *err)
{
    struct finding_rows found = findings_of(mem, farm, month, now);

    if (!watch_findings_add(tx, mem, farm, month->from, month->to, now, &found, err))
        return false;
    if (!verdict_store_put(tx, month->verdicts.items, month->verdicts.count, month->from, month->to,
                           month->digests.items, now, err))
        return false;
    for (size_t i = 0; i < month->intervals.count; i++) {
        const struct month_interval *one = &month->intervals.items[i];

        if (!lapse_store_put(tx, one->interval, &one->dues, month->from, month->to, now, err))
            return false;
    }

    return findings_store(tx, mem, &found, month, now, opened, err);
}

bool month_check(struct db *db, struct arena *mem, const struct open_farm *farm, day_number first,
                 instant now, bool in_full, struct judged_month *out, int *opened, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct window_rows windows = {0};
    day_number newest = DAY_NONE;

    *opened = 0;

    return month_newest(db, farm, &newest, err) && db_tx_begin(db, farm->farm_id, &tx, err) &&
           window_store_list(&tx, mem, &windows, err) &&
           month_judge_as(&tx, mem, farm, first, now, false, in_full, out, err) &&
           windows_remove(&tx, mem, farm, &windows, out, newest, err) &&
           month_keep(&tx, mem, farm, out, now, opened, err) && db_tx_commit(&tx, err);
}

/* Windows that wait, and the months to judge for them. */
static bool waiting_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                         struct window_rows *windows, struct day_list *months, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct clause_limits limits = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) && window_store_list(&tx, mem, windows, err) &&
           clauses_limits(&tx, mem, farm->farm, &limits, err) &&
           months_waiting(&tx, mem, farm, &limits, windows, 1, months, err);
}

static bool waiting_remove(struct db *db, struct arena *mem, const struct open_farm *farm,
                           const struct window_rows *windows, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct buf tickets = buf_new(mem);

    buf_add_char(&tickets, '{');
    for (size_t i = 0; i < windows->count; i++)
        ticket_add(&tickets, &windows->items[i]);
    buf_add_char(&tickets, '}');

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           window_store_remove(&tx, tickets.data, err) && db_tx_commit(&tx, err);
}

static bool month_check_changed(struct db *db, struct arena *mem, const struct open_farm *farm,
                                day_number first, instant now, const struct window_rows *windows,
                                int *opened, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct judged_month month = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           month_judge_changed(&tx, mem, farm, first, now, windows, &month, err) &&
           month_keep(&tx, mem, farm, &month, now, opened, err) && db_tx_commit(&tx, err);
}

bool months_check_waiting(struct db *db, struct arena *mem, const struct open_farm *farm,
                          instant now, const volatile sig_atomic_t *stop, int *months, int *opened,
                          struct err *err)
{
    CLEANUP(arena_free) struct arena *one = arena_new();
    struct window_rows windows = {0};
    struct day_list list = {0};
    day_number newest = DAY_NONE;

    *months = 0;
    *opened = 0;
    if (!month_newest(db, farm, &newest, err) || !waiting_read(db, mem, farm, &windows, &list, err))
        return false;
    for (size_t i = 0; i < list.count && list.items[i] <= newest; i++) {
        if (stop && *stop)
            return err_set(err, ERR_UNAVAILABLE, "stopped after %d months, as asked", *months);
        arena_reset(one);
        if (!month_check_changed(db, one, farm, list.items[i], now, &windows, opened, err))
            return err_wrap(err, "%s", month_words(mem, list.items[i]));
        *months += 1;
    }

    return windows.count == 0 || waiting_remove(db, mem, farm, &windows, err);
}

bool month_newest(struct db *db, const struct open_farm *farm, day_number *first, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    instant from = INSTANT_NONE;
    instant last = INSTANT_NONE;

    if (!db_tx_begin(db, farm->farm_id, &tx, err) || !reading_store_span(&tx, &from, &last, err))
        return false;
    /* A reading at the last midnight closes the month before it. */
    *first = last == INSTANT_NONE ? DAY_NONE : month_first(zone_day(farm->farm->zone, last - 1));

    return true;
}
