#include "app/findings.h"

#include "app/notice_queue.h"
#include "base/str.h"

struct finding_list {
    struct finding_row *items;
    size_t count;
    size_t capacity;
};

/* Whether a day of the verdict has something beyond the bound. */
static bool day_beyond(const struct verdict *verdict, day_number day)
{
    for (size_t i = 0; i < verdict->item_count; i++) {
        if (verdict->items[i].day == day && verdict->items[i].outside)
            return true;
    }
    for (size_t i = 0; i < verdict->day_count; i++) {
        if (verdict->days[i].day == day && verdict->days[i].outside)
            return true;
    }

    return false;
}

/* A figure of the period is one run; single values, days and windows make a run of days. */
static bool by_days(const struct limit *limit)
{
    if (limit->period == PERIOD_EACH_SAMPLE || limit->period == PERIOD_DAY)
        return true;

    return !period_is_span(limit);
}

static void limit_run_add(struct arena *mem, struct finding_list *list,
                          const struct verdict *verdict, day_number from, instant now)
{
    char *when = by_days(verdict->limit) || verdict->limit->period != PERIOD_MONTH
                     ? day_words(mem, from)
                     : month_words(mem, from);

    LIST_ADD(
        mem, list,
        ((struct finding_row){
            .kind = "limit",
            .subject = verdict->limit->key,
            .station = verdict->limit->station,
            .from = from,
            .aware_at = now,
            .words = arena_printf(
                mem, "%s, %s%s: %s", verdict->limit->name,
                by_days(verdict->limit) || verdict->limit->period != PERIOD_MONTH ? "from " : "",
                when, verdict->words)}));
}

/* Weeks, running days, last samples and runs with a figure, or a count, of their own. */
static bool by_windows(const struct limit *limit)
{
    return period_has_one_figure(limit) && !period_is_span(limit);
}

/* The day by which a window is known: running days and last samples end on it. */
static day_number window_day(const struct limit *limit, const struct verdict_window *window)
{
    bool ends = limit->period == PERIOD_RUNNING_DAYS || limit->period == PERIOD_LAST_SAMPLES;

    return ends ? window->to : window->from;
}

static void window_findings(struct arena *mem, struct finding_list *list,
                            const struct verdict *verdict, instant now)
{
    for (size_t i = 0; i < verdict->window_count; i++) {
        const struct verdict_window *window = &verdict->windows[i];
        bool running = i > 0 && verdict->windows[i - 1].standing == STANDING_OUTSIDE;

        if (window->standing == STANDING_OUTSIDE && !running)
            limit_run_add(mem, list, verdict, window_day(verdict->limit, window), now);
    }
}

static void limit_findings(struct arena *mem, struct finding_list *list,
                           const struct verdict *verdict, instant now)
{
    bool running = false;

    if (verdict->standing != STANDING_OUTSIDE)
        return;
    if (!by_days(verdict->limit) || verdict->limit->across_of > 0) {
        limit_run_add(mem, list, verdict, verdict->from, now);
        return;
    }
    if (by_windows(verdict->limit)) {
        window_findings(mem, list, verdict, now);
        return;
    }
    for (day_number day = verdict->from; day <= verdict->to; day++) {
        bool beyond = day_beyond(verdict, day);

        if (beyond && !running)
            limit_run_add(mem, list, verdict, day, now);
        running = beyond;
    }
}

static void interval_findings(struct arena *mem, struct finding_list *list,
                              const struct month_interval *month, instant now)
{
    for (size_t i = 0; i < month->dues.count; i++) {
        const struct due *due = &month->dues.items[i];

        if (due->state != DUE_MISSED)
            continue;
        LIST_ADD(mem, list,
                 ((struct finding_row){
                     .kind = "interval",
                     .subject = month->interval->key,
                     .station = month->interval->station,
                     .from = due->from,
                     .aware_at = now,
                     .words = arena_printf(mem, "%s: %s", month->interval->name, due->words)}));
    }
}

static void discharge_findings(struct arena *mem, struct finding_list *list,
                               const struct judged_month *month, const struct evidence_point *point,
                               instant now)
{
    bool running = false;

    for (day_number day = month->from; day <= month->to; day++) {
        const struct discharge_day *known = &point->days[day - month->from];
        bool disagrees = known->state == DISCHARGE_DISAGREES;

        if (disagrees && !running)
            LIST_ADD(
                mem, list,
                ((struct finding_row){
                    .kind = "discharge",
                    .subject = point->licence->key,
                    .station = point->point->station,
                    .from = day,
                    .aware_at = now,
                    .words = arena_printf(mem, "From %s, records of the discharge disagree: %s",
                                          day_words(mem, day), known->because)}));
        running = disagrees;
    }
}

struct finding_rows findings_of(struct arena *mem, const struct open_farm *farm,
                                const struct judged_month *month, instant now)
{
    struct finding_list list = {0};

    (void)farm;
    for (size_t i = 0; i < month->verdicts.count; i++)
        limit_findings(mem, &list, &month->verdicts.items[i], now);
    for (size_t i = 0; i < month->intervals.count; i++)
        interval_findings(mem, &list, &month->intervals.items[i], now);
    for (size_t i = 0; i < month->loaded.point_count; i++)
        discharge_findings(mem, &list, month, &month->loaded.points[i], now);

    return (struct finding_rows){.items = list.items, .count = list.count};
}

static bool still_found(const struct finding_rows *found, int64_t finding)
{
    for (size_t i = 0; i < found->count; i++) {
        if (found->items[i].finding == finding)
            return true;
    }

    return false;
}

/* The month's verdict of a clause; NULL: none of it was judged. */
static const struct verdict *verdict_of(const struct judged_month *month, const char *clause)
{
    for (size_t i = 0; i < month->verdicts.count; i++)
        if (str_equal(month->verdicts.items[i].limit->key, clause))
            return &month->verdicts.items[i];

    return NULL;
}

/* Kinds that judging a month finds; others are opened and ended by who finds them. */
static bool is_judged_kind(const char *kind)
{
    static const char *const kinds[] = {"limit",     "interval",      "discharge",
                                        "pump stop", "salinity fall", "quality check"};

    for (size_t i = 0; i < ARRAY_LEN(kinds); i++)
        if (str_equal(kind, kinds[i]))
            return true;

    return false;
}

/* Whether one that is stored is of what was judged now. */
static bool was_judged(const struct finding_row *row, const struct judged_month *month)
{
    const struct verdict *verdict;

    if (!is_judged_kind(row->kind))
        return false;
    /* Looked for whatever was judged. */
    if (str_equal(row->kind, "quality check"))
        return row->from >= month->from;
    if (!str_equal(row->kind, "limit"))
        return row->from >= month->from && !month->partly;
    verdict = verdict_of(month, row->subject);
    if (row->from >= month->from)
        return verdict || !month->partly;

    /* Of a quarter or a year that began before the month. */
    return verdict && verdict->from == row->from;
}

static day_number first_day(const struct judged_month *month)
{
    day_number first = month->from;

    for (size_t i = 0; i < month->verdicts.count; i++)
        if (month->verdicts.items[i].from < first)
            first = month->verdicts.items[i].from;

    return first;
}

/* Open ones that today's judging no longer finds: said on them, never removed. */
static bool gone_note(struct db_tx *tx, struct arena *mem, const struct finding_rows *found,
                      const struct judged_month *month, instant now, struct err *err)
{
    struct finding_rows stored = {0};

    if (!finding_store_list(tx, mem, first_day(month), month->to, &stored, err))
        return false;
    for (size_t i = 0; i < stored.count; i++) {
        const struct finding_row *row = &stored.items[i];

        if (str_equal(row->step, "settled") || str_equal(row->step, "worked out again") ||
            still_found(found, row->finding) || !was_judged(row, month))
            continue;
        if (!finding_store_step(tx, row->finding, "worked out again",
                                "Worked out again from the records as they stand now, this is no "
                                "longer found.",
                                NULL, now, err))
            return false;
    }

    return true;
}

/* Whether a verdict of the clause begins on a day; one that went on before it was judged as one. */
static bool begins_verdict(const struct judged_month *month, const char *clause, day_number day)
{
    for (size_t i = 0; i < month->verdicts.count; i++)
        if (month->verdicts.items[i].from == day &&
            str_equal(month->verdicts.items[i].limit->key, clause))
            return true;

    return false;
}

/* Whether it goes on from the day, or the window, before, and so belongs to the finding there. */
static bool goes_on(struct db_tx *tx, const struct finding_row *row,
                    const struct judged_month *month, bool *out, struct err *err)
{
    const struct verdict *verdict =
        str_equal(row->kind, "limit") ? verdict_of(month, row->subject) : NULL;
    int64_t beyond = 0;

    *out = false;
    if (!verdict || !by_days(verdict->limit) || verdict->limit->across_of > 0)
        return true;
    if (by_windows(verdict->limit)) {
        const struct verdict_window *first =
            verdict->window_count > 0 ? &verdict->windows[0] : NULL;

        /* Only the first window of the month can go on from one of another month. */
        if (!first || window_day(verdict->limit, first) != row->from)
            return true;

        return verdict_store_window_before(tx, row->subject, first->to, out, err);
    }
    if (!begins_verdict(month, row->subject, row->from))
        return true;
    if (!verdict_store_beyond_on(tx, row->subject, row->from - 1, &beyond, err))
        return false;
    *out = beyond > 0;

    return true;
}

/* Those that begin a run, with their numbers. */
static bool beginnings(struct db_tx *tx, struct arena *mem, const struct finding_rows *found,
                       const struct judged_month *month, struct finding_rows *out, struct err *err)
{
    struct finding_list list = {0};

    for (size_t i = 0; i < found->count; i++) {
        bool on = false;

        if (!goes_on(tx, &found->items[i], month, &on, err))
            return false;
        if (on)
            continue;
        LIST_ADD(mem, &list, found->items[i]);
        list.items[list.count - 1].finding = finding_id_of(&found->items[i]);
    }
    *out = (struct finding_rows){.items = list.items, .count = list.count};

    return true;
}

/* Queued last: the ledger's lock keeps their numbers apart. */
static bool tell_of(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                    const struct finding_list *added, instant now, struct err *err)
{
    for (size_t i = 0; i < added->count; i++)
        if (!notices_queue(tx, mem, farm, &added->items[i], now, err))
            return false;

    return true;
}

bool findings_open(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                   const struct finding_rows *rows, const char *by, instant now, int *opened,
                   struct err *err)
{
    struct entry_field *fields = ARENA_ARRAY(mem, struct entry_field, rows->count);
    struct finding_list added = {0};
    struct finding_rows fresh = {0};

    if (!finding_store_new(tx, mem, rows, &fresh, err))
        return false;
    for (size_t i = 0; i < fresh.count && added.count < ENTRY_FIELDS_MOST; i++) {
        bool is_new = false;

        if (!finding_store_add(tx, &fresh.items[i], &is_new, err))
            return false;
        if (!is_new)
            continue;
        fields[added.count] = (struct entry_field){
            arena_printf(mem, "%lld", (long long)fresh.items[i].finding), fresh.items[i].words};
        LIST_ADD(mem, &added, fresh.items[i]);
    }
    *opened += (int)added.count;
    if (added.count == 0)
        return true;

    return ledger_store_append(tx, &(struct act){.person = NULL, .at = now}, ENTRY_FINDING, by,
                               fields, added.count, err) &&
           tell_of(tx, mem, farm, &added, now, err);
}

bool findings_store(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                    const struct finding_rows *all, const struct judged_month *month, instant now,
                    int *opened, struct err *err)
{
    struct finding_rows found = {0};

    return beginnings(tx, mem, all, month, &found, err) &&
           gone_note(tx, mem, &found, month, now, err) &&
           findings_open(tx, mem, farm, &found, "weirbook check", now, opened, err);
}
