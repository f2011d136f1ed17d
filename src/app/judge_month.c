#include "app/judge_month.h"

#include "app/findings.h"
#include "app/judge_intervals.h"
#include "app/watch_findings.h"
#include "base/str.h"
#include "store/reading_store.h"
#include "store/verdict_store.h"

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

static bool is_statistic(const struct limit *limit)
{
    return limit->period == PERIOD_MONTH;
}

/* One form of a clause over the days of the month in which it was in force. */
static void form_judge(struct arena *mem, const struct open_farm *farm,
                       const struct clause_limit *form, struct judged_month *month,
                       day_number from, day_number to)
{
    struct evidence *evidence = ARENA_NEW(mem, struct evidence);
    struct verdict verdict = {0};
    struct verdict older = {0};

    *evidence = evidence_for_limit(&month->loaded, farm->farm, &form->limit);
    judge_limit(mem, &form->limit, evidence, from, to, &verdict);
    if (form->before) {
        judge_limit(mem, form->before, evidence, from, to, &older);
        if (worse(&older) > worse(&verdict))
            verdict = older;
    }
    LIST_ADD(mem, &month->verdicts, verdict);
}

/*
 * Which form judges a monthly figure when the clause changed inside the month: the one its rule
 * names, widened to the whole month; without a rule the newer as it is, which is not assessable.
 */
static struct clause_limit *form_for_month(struct arena *mem, struct clause_limit *first,
                                           struct clause_limit *second,
                                           const struct judged_month *month)
{
    struct clause_limit *chosen = second;
    struct clause_limit *widened;

    if (second->limit.change == CHANGE_UNSET)
        return second;
    if (second->limit.change == CHANGE_OLD)
        chosen = first;
    widened = arena_copy(mem, chosen, sizeof(*chosen));
    widened->limit.in_force_from = month->from;
    widened->limit.in_force_to = month->to;

    return widened;
}

static void clause_judge(struct arena *mem, const struct open_farm *farm,
                         struct clause_limit *forms, size_t count, struct judged_month *month)
{
    struct clause_limit *last = NULL;

    for (size_t i = 0; i < count; i++) {
        struct limit *limit = &forms[i].limit;

        if (!clause_meets(limit->in_force_from, limit->in_force_to, month->from, month->to))
            continue;
        if (is_statistic(limit)) {
            last = last ? form_for_month(mem, last, &forms[i], month) : &forms[i];
            continue;
        }

        day_number from = limit->in_force_from > month->from ? limit->in_force_from : month->from;
        day_number to = limit->in_force_to != DAY_NONE && limit->in_force_to < month->to
                            ? limit->in_force_to
                            : month->to;

        form_judge(mem, farm, &forms[i], month, from, to);
    }
    if (last)
        form_judge(mem, farm, last, month, month->from, month->to);
}

bool month_judge(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                 day_number first, instant now, bool as_first_stored, struct judged_month *out,
                 struct err *err)
{
    struct clause_limits limits = {0};

    *out = (struct judged_month){.from = month_first(first), .to = month_next(first) - 1};
    if (!clauses_limits(tx, mem, farm->farm, &limits, err) ||
        !evidence_load(tx, mem, farm, &limits, out->from, out->to, now, as_first_stored,
                       &out->loaded, err))
        return false;

    for (size_t i = 0, next; i < limits.count; i = next) {
        next = i + 1;
        while (next < limits.count &&
               str_equal(limits.items[next].limit.key, limits.items[i].limit.key))
            next++;
        clause_judge(mem, farm, &limits.items[i], next - i, out);
    }

    return intervals_judge(tx, mem, farm, &out->loaded, now, &out->intervals, err);
}

bool month_look(struct db *db, struct arena *mem, const struct open_farm *farm, day_number first,
                instant now, struct judged_month *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           month_judge(&tx, mem, farm, first, now, false, out, err);
}

/* "{a,b}" of the windows that lie wholly in the span, and whether there is one. */
static char *tickets_inside(struct arena *mem, const struct window_rows *windows, day_number from,
                            day_number to)
{
    struct buf text = buf_new(mem);

    buf_add_char(&text, '{');
    for (size_t i = 0; i < windows->count; i++) {
        const struct window_row *window = &windows->items[i];

        if (window->first_day >= from && window->last_day <= to)
            buf_addf(&text, "%s%s", text.len > 1 ? "," : "", window->ticket);
    }
    buf_add_char(&text, '}');

    return text.data;
}

static bool month_keep(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                       const struct judged_month *month, instant now, int *opened, struct err *err)
{
    struct finding_rows found = findings_of(mem, farm, month, now);

    if (!watch_findings_add(tx, mem, farm, month->from, month->to, now, &found, err))
        return false;
    for (size_t i = 0; i < month->verdicts.count; i++) {
        if (!verdict_store_put(tx, &month->verdicts.items[i], &month->loaded.digest, now, err))
            return false;
    }
    for (size_t i = 0; i < month->intervals.count; i++) {
        const struct month_interval *one = &month->intervals.items[i];

        if (!lapse_store_put(tx, one->interval, &one->dues, month->from, month->to, now, err))
            return false;
    }

    return findings_store(tx, mem, &found, month, now, opened, err);
}

static bool month_check_windows(struct db *db, struct arena *mem, const struct open_farm *farm,
                                day_number first, instant now, bool remove,
                                struct judged_month *out, int *opened, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct window_rows windows = {0};

    if (!db_tx_begin(db, farm->farm_id, &tx, err) || !window_store_list(&tx, mem, &windows, err) ||
        !month_judge(&tx, mem, farm, first, now, false, out, err))
        return false;

    char *tickets = tickets_inside(mem, &windows, out->from, out->to);

    if (remove && !str_equal(tickets, "{}") && !window_store_remove(&tx, tickets, err))
        return false;

    return month_keep(&tx, mem, farm, out, now, opened, err) && db_tx_commit(&tx, err);
}

bool month_check(struct db *db, struct arena *mem, const struct open_farm *farm, day_number first,
                 instant now, struct judged_month *out, int *opened, struct err *err)
{
    *opened = 0;

    return month_check_windows(db, mem, farm, first, now, true, out, opened, err);
}

/* Days by which a window's evidence may reach into the month before or after it. */
enum { REACH_DAYS = 1 };

static bool windows_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                         struct window_rows *windows, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) && window_store_list(&tx, mem, windows, err);
}

bool months_check_waiting(struct db *db, struct arena *mem, const struct open_farm *farm,
                          instant now, const volatile sig_atomic_t *stop, int *months,
                          int *opened, struct err *err)
{
    CLEANUP(arena_free) struct arena *one = arena_new();
    struct window_rows windows = {0};
    day_number done = DAY_NONE;
    day_number newest = DAY_NONE;

    *months = 0;
    *opened = 0;
    if (!windows_read(db, mem, farm, &windows, err) || !month_newest(db, farm, &newest, err))
        return false;
    /* Windows come by their first day, and none spans more than a month. */
    for (size_t i = 0; i < windows.count; i++) {
        day_number last = windows.items[i].last_day + REACH_DAYS;

        for (day_number day = month_first(windows.items[i].first_day - REACH_DAYS); day <= last;
             day = month_next(day)) {
            struct judged_month month = {0};

            if (stop && *stop)
                return err_set(err, ERR_UNAVAILABLE, "stopped after %d months, as asked", *months);
            if ((done != DAY_NONE && day <= done) || day > newest)
                continue;
            arena_reset(one);
            if (!month_check_windows(db, one, farm, day, now, false, &month, opened, err))
                return err_wrap(err, "%s", month_words(mem, day));
            done = day;
            *months += 1;
        }
    }
    if (windows.count == 0)
        return true;

    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           window_store_remove(&tx, tickets_inside(mem, &windows, INT32_MIN + 1, INT32_MAX), err) &&
           db_tx_commit(&tx, err);
}

bool month_newest(struct db *db, const struct open_farm *farm, day_number *first, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    instant from = INSTANT_NONE;
    instant last = INSTANT_NONE;

    if (!db_tx_begin(db, farm->farm_id, &tx, err) ||
        !reading_store_span(&tx, &from, &last, err))
        return false;
    /* A reading at the last midnight closes the month before it. */
    *first = last == INSTANT_NONE ? DAY_NONE : month_first(zone_day(farm->farm->zone, last - 1));

    return true;
}
