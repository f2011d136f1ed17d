#include "app/judge_month.h"

#include "app/coarse_limits.h"
#include "app/findings.h"
#include "app/judge_clauses.h"
#include "app/judge_intervals.h"
#include "app/months_due.h"
#include "app/months_waiting.h"
#include "app/quality_findings.h"
#include "app/verdict_storer.h"
#include "app/watch_findings.h"
#include "base/str.h"
#include "store/look_store.h"
#include "store/reading_store.h"

/* How a month is judged. */
struct way {
    bool in_full; /* each verdict lists every reading */
    bool kept;    /* the verdicts are stored as they come */
    const struct acts_undone *undone;
};

/* Judge the limits from the evidence of `out`, whose month and limits are set. */
static bool limits_judge(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                         instant now, const struct way *way, struct judged_month *out,
                         struct err *err)
{
    struct clauses_way judged = {.in_brief = !way->in_full, .hashed = !way->undone};

    if (way->kept)
        judged.storer = verdict_storer_begin(mem, tx, out->from, out->to, now);
    clauses_judge(mem, farm, out, &judged);

    return !way->kept || verdict_storer_end(judged.storer, err);
}

/* month_judge(), in some way. */
static bool month_judge_as(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                           day_number first, instant now, const struct way *way,
                           struct judged_month *out, struct err *err)
{
    *out = (struct judged_month){.from = month_first(first), .to = month_next(first) - 1};

    return clauses_limits(tx, mem, farm, &out->limits, err) &&
           evidence_load(tx, mem, farm, &out->limits, out->from, out->to, now, way->undone,
                         !way->in_full, &out->loaded, err) &&
           limits_judge(tx, mem, farm, now, way, out, err) &&
           intervals_judge(tx, mem, farm, &out->loaded, now, &out->intervals, err);
}

bool month_judge(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                 day_number first, instant now, const struct acts_undone *undone,
                 struct judged_month *out, struct err *err)
{
    return month_judge_as(tx, mem, farm, first, now,
                          &(struct way){.in_full = true, .undone = undone}, out, err);
}

/* Only the clauses whose evidence changed, with what they read and no more; they are stored. */
static bool month_judge_changed(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                                day_number first, instant now, const struct window_rows *windows,
                                struct judged_month *out, struct err *err)
{
    const struct way way = {.kept = true};
    struct clause_limits all = {0};

    if (!months_waiting_of_limits(farm, windows))
        return month_judge_as(tx, mem, farm, first, now, &way, out, err);
    *out = (struct judged_month){
        .from = month_first(first), .to = month_next(first) - 1, .partly = true};
    if (!clauses_limits(tx, mem, farm, &all, err))
        return false;
    out->limits = months_waiting_limits(mem, farm, &all, windows);

    return evidence_load_for_limits(tx, mem, farm, &out->limits, out->from, out->to, now, true,
                                    &out->loaded, err) &&
           limits_judge(tx, mem, farm, now, &way, out, err);
}

bool month_look(struct db *db, struct arena *mem, const struct open_farm *farm, day_number first,
                instant now, struct judged_month *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           month_judge(&tx, mem, farm, first, now, NULL, out, err);
}

bool month_look_each(struct db *db, struct arena *mem, const struct open_farm *farm,
                     day_number first, instant now, month_tell tell, void *context,
                     struct judged_month *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    *out = (struct judged_month){.from = month_first(first), .to = month_next(first) - 1};
    if (!db_tx_begin(db, farm->farm_id, &tx, err) ||
        !clauses_limits(&tx, mem, farm, &out->limits, err) ||
        !evidence_load(&tx, mem, farm, &out->limits, out->from, out->to, now, NULL, false,
                       &out->loaded, err) ||
        !intervals_judge(&tx, mem, farm, &out->loaded, now, &out->intervals, err))
        return false;
    clauses_tell(farm, out, tell, context);

    return true;
}

/* The forms of the clause alone, in full; `out` is left without verdicts where there is none. */
static bool clause_judge_alone(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                               day_number first, const char *key, instant now,
                               struct judged_month *out, struct err *err)
{
    struct clause_limits all = {0};
    struct clause_limits *limits = &out->limits;

    *out = (struct judged_month){
        .from = month_first(first), .to = month_next(first) - 1, .partly = true};
    if (!clauses_limits(tx, mem, farm, &all, err))
        return false;
    for (size_t i = 0; i < all.count; i++)
        if (str_equal(all.items[i].limit.key, key))
            LIST_ADD(mem, limits, all.items[i]);
    if (limits->count == 0)
        return true;
    if (!evidence_load_for_limits(tx, mem, farm, limits, out->from, out->to, now, false,
                                  &out->loaded, err))
        return false;
    clauses_judge(mem, farm, out, &(struct clauses_way){.in_brief = false});

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

    return month_judge_as(&tx, mem, farm, first, now,
                          &(struct way){.in_full = out->verdicts.count > 0}, out, err);
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

/*
 * What else is kept of a month whose verdicts are. `coarse_too`: laboratories' limits, which are of
 * no month, are looked at with it.
 */
static bool month_keep(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                       const struct judged_month *month, bool coarse_too, instant now, int *opened,
                       struct err *err)
{
    struct finding_rows found = findings_of(mem, farm, month, now);

    if (!watch_findings_add(tx, mem, farm, month->from, month->to, now, &found, err) ||
        !quality_findings_add(tx, mem, farm, month->from, month->to, now, &found, err) ||
        (coarse_too && !coarse_limits_add(tx, mem, farm, now, &found, err)))
        return false;
    for (size_t i = 0; i < month->intervals.count; i++) {
        const struct month_interval *one = &month->intervals.items[i];

        if (!lapse_store_put(tx, one->interval, &one->dues, month->from, month->to, now, err))
            return false;
    }
    if (!month->partly &&
        !look_store_month_put(tx, &(struct month_look){month->from, now, farm->version}, err))
        return false;

    return findings_store(tx, mem, farm->farm, &found, month, now, opened, err);
}

bool month_check(struct db *db, struct arena *mem, const struct open_farm *farm, day_number first,
                 instant now, bool in_full, struct judged_month *out, int *opened, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct window_rows windows = {0};
    struct months_span span = {0};

    *opened = 0;

    return months_span(db, mem, farm, &span, err) && db_tx_begin(db, farm->farm_id, &tx, err) &&
           window_store_list(&tx, mem, &windows, err) &&
           month_judge_as(&tx, mem, farm, first, now,
                          &(struct way){.in_full = in_full, .kept = true}, out, err) &&
           windows_remove(&tx, mem, farm, &windows, out, span.newest, err) &&
           month_keep(&tx, mem, farm, out, true, now, opened, err) && db_tx_commit(&tx, err);
}

/* Windows that wait, and the months to judge for them. */
static bool waiting_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                         struct window_rows *windows, struct day_list *months, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct clause_limits limits = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) && window_store_list(&tx, mem, windows, err) &&
           clauses_limits(&tx, mem, farm, &limits, err) &&
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
           month_keep(&tx, mem, farm, &month, false, now, opened, err) && db_tx_commit(&tx, err);
}

bool months_check_waiting(struct db *db, struct arena *mem, const struct open_farm *farm,
                          instant now, const volatile sig_atomic_t *stop, int *months, int *opened,
                          struct err *err)
{
    CLEANUP(arena_free) struct arena *one = arena_new();
    struct window_rows windows = {0};
    struct day_list list = {0};
    struct months_span span = {0};

    *months = 0;
    *opened = 0;
    if (!months_span(db, mem, farm, &span, err) ||
        !waiting_read(db, mem, farm, &windows, &list, err))
        return false;
    for (size_t i = 0; i < list.count && list.items[i] <= span.newest; i++) {
        if (list.items[i] < span.oldest)
            continue;
        if (stop && *stop)
            return err_set(err, ERR_UNAVAILABLE, "stopped after %d months, as asked", *months);
        arena_reset(one);
        if (!month_check_changed(db, one, farm, list.items[i], now, &windows, opened, err))
            return err_wrap(err, "%s", month_words(mem, list.items[i]));
        *months += 1;
    }

    return windows.count == 0 || (coarse_limits_look(db, farm, now, opened, err) &&
                                  waiting_remove(db, mem, farm, &windows, err));
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
