#include "plan/interval.h"

#include <assert.h>

#include "base/buf.h"

enum { DAYS_OF_WEEK = 7, EPOCH_WEEKDAY = 4 /* 1970-01-01 was a Thursday; Monday is 1 */ };

const char *const no_sample_words[] = {
    "no discharge",     "not required", "lost",       "not taken",
    "unsafe to sample", "equipment",    "laboratory", NULL};

static const char *const state_names[] = {
    [DUE_DONE] = "done",           [DUE_DUE] = "due", [DUE_LATE] = "late", [DUE_MISSED] = "missed",
    [DUE_NOTHING] = "nothing due",
};

const char *due_state_name(enum due_state state)
{
    return state_names[state];
}

/* What is asked, and everything it is judged by. */
struct question {
    struct arena *mem;
    const struct interval *interval;
    const day_number *samples;
    size_t sample_count;
    const struct partial_sample *partials;
    size_t partial_count;
    const struct no_sample *reasons;
    size_t reason_count;
    const bool *discharging;
    const char *const *discharged;
    day_number from;
    day_number to;
    day_number today;
};

static day_number later(day_number a, day_number b)
{
    return a > b ? a : b;
}

static day_number earlier(day_number a, day_number b)
{
    return a < b ? a : b;
}

/* --- which days count --- */

static bool is_in_force(const struct interval *interval, day_number day)
{
    return day >= interval->in_force_from &&
           (interval->in_force_to == DAY_NONE || day <= interval->in_force_to);
}

/* A season may run over the turn of the year. */
static bool is_in_season(const struct interval *interval, day_number day)
{
    struct civil civil = civil_from_day(day);
    int date = civil.month * 100 + civil.day;

    if (interval->season_from == 0)
        return true;
    if (interval->season_from <= interval->season_to)
        return date >= interval->season_from && date <= interval->season_to;

    return date >= interval->season_from || date <= interval->season_to;
}

static bool is_discharging(const struct question *question, day_number day)
{
    if (!question->interval->only_while_discharging || !question->discharging)
        return true;

    return day < question->from || day > question->to ||
           question->discharging[day - question->from];
}

static bool day_counts(const struct question *question, day_number day)
{
    return is_in_season(question->interval, day) && is_discharging(question, day);
}

/* --- reasons --- */

/* What the records say against a reason; NULL: nothing. */
static const char *denial_of(const struct question *question, const struct no_sample *reason)
{
    if (reason->reason != NO_SAMPLE_NO_DISCHARGE || !question->discharged ||
        reason->day < question->from || reason->day > question->to)
        return NULL;

    return question->discharged[reason->day - question->from];
}

static bool is_no_miss(const struct question *question, const struct no_sample *reason)
{
    return reason->reason == NO_SAMPLE_NOT_REQUIRED ||
           (reason->reason == NO_SAMPLE_NO_DISCHARGE && !denial_of(question, reason));
}

/* How many reasons of the days first..last are no miss; *newest is the last reason of any kind. */
static int reasons_find(const struct question *question, day_number first, day_number last,
                        const struct no_sample **newest)
{
    int no_miss = 0;

    for (size_t i = 0; i < question->reason_count; i++) {
        const struct no_sample *reason = &question->reasons[i];

        if (reason->day < first || reason->day > last)
            continue;
        no_miss += is_no_miss(question, reason);
        if (!*newest || reason->day >= (*newest)->day)
            *newest = reason;
    }

    return no_miss;
}

/* --- one due --- */

static char *due_words(struct arena *mem, const struct due *due)
{
    char *day = day_words(mem, due->due);
    const char *partly = due->partly ? arena_printf(mem, "; %s", due->partly) : "";
    const char *why = due->denied   ? arena_printf(mem, "; %s, but the records say otherwise: %s",
                                                   due->reason, due->denied)
                      : due->reason ? arena_printf(mem, "; %s", due->reason)
                      : due->partly ? ""
                                    : "; no reason on record";

    switch (due->state) {
    case DUE_DONE:
        return arena_printf(mem, "done: %d of %d, the last on %s", due->done, due->required,
                            day_words(mem, due->done_on));
    case DUE_DUE:
        return arena_printf(mem, "due by %s: %d of %d done%s", day, due->done, due->required,
                            partly);
    case DUE_LATE:
        return arena_printf(mem, "late: was due by %s, still counts until %s; %d of %d done%s", day,
                            day_words(mem, due->lapses), due->done, due->required, partly);
    case DUE_MISSED:
        return arena_printf(mem, "missed: was due by %s; %d of %d done%s%s", day, due->done,
                            due->required, partly, why);
    case DUE_NOTHING:
        break;
    }

    return arena_printf(mem, "nothing due: %s", due->reason ? due->reason : "no reason on record");
}

/* Samples of first..last that lack something; NULL: none. */
static const char *partly_words(const struct question *question, day_number first, day_number last)
{
    struct buf text = buf_new(question->mem);

    for (size_t i = 0; i < question->partial_count; i++) {
        const struct partial_sample *partial = &question->partials[i];

        if (partial->day >= first && partial->day <= last && partial->day <= question->today)
            buf_addf(&text, "%ssampled on %s, but %s", text.len > 0 ? "; " : "",
                     day_words(question->mem, partial->day), partial->lacks);
    }

    return text.len > 0 ? text.data : NULL;
}

static void due_add(const struct question *question, struct due_list *list, struct due due,
                    const struct no_sample *reason)
{
    if (reason && due.state != DUE_DONE) {
        due.reason = due.reason ? due.reason : no_sample_words[reason->reason];
        due.explanation = reason->explanation;
        due.denied = denial_of(question, reason);
    }
    if (due.state != DUE_DONE && due.state != DUE_NOTHING)
        due.partly = partly_words(question, due.from, due.lapses);
    due.words = due_words(question->mem, &due);
    LIST_ADD(question->mem, list, due);
}

/* What is not done by now: due, late or missed. */
static enum due_state state_open(const struct due *due, day_number today)
{
    if (today <= due->due)
        return DUE_DUE;

    return today <= due->lapses ? DUE_LATE : DUE_MISSED;
}

/* --- at least so many in each period --- */

static int weekday(day_number day)
{
    int from_monday = (day + EPOCH_WEEKDAY - 1) % DAYS_OF_WEEK;

    return (from_monday < 0 ? from_monday + DAYS_OF_WEEK : from_monday) + 1;
}

day_number plan_first_day(const struct interval *interval, day_number day)
{
    if (interval->shape == INTERVAL_AT_MOST_DAYS)
        return day;
    if (interval->period == INTERVAL_MONTH)
        return month_first(day);

    int starts = interval->week_starts ? interval->week_starts : 1;

    return day - (weekday(day) - starts + DAYS_OF_WEEK) % DAYS_OF_WEEK;
}

static day_number period_next(const struct interval *interval, day_number first)
{
    return interval->period == INTERVAL_MONTH ? month_next(first) : first + DAYS_OF_WEEK;
}

int due_missed(const struct due *due)
{
    return due->state == DUE_MISSED ? due->required - due->done : 0;
}

/*
 * Take unused samples of first..last for the due, apart from each other as the clause says. One out
 * of season serves none in time; a late one may be.
 */
static void samples_take(const struct question *question, bool *used, day_number first,
                         day_number last, int most, day_number *newest, struct due *due)
{
    for (size_t i = 0; i < question->sample_count && due->done < most; i++) {
        day_number day = question->samples[i];

        if (used[i] || day < first || day > last || day > question->today)
            continue;
        if (day <= due->due && !is_in_season(question->interval, day))
            continue;
        if (*newest != DAY_NONE && day - *newest < question->interval->apart_days)
            continue;
        used[i] = true;
        due->done++;
        due->done_on = day;
        *newest = day;
    }
}

/*
 * Why nothing was to be done in first..last, or NULL; *counting: days that are asked about, and
 * *asked_last the last of them, which stays as it was where there is none.
 */
static const char *period_excuse(const struct question *question, day_number first, day_number last,
                                 int *counting, day_number *asked_last)
{
    int in_season = 0;
    int discharging = 0;

    for (day_number day = first; day <= last; day++) {
        bool asked = is_in_force(question->interval, day) && is_in_season(question->interval, day);

        in_season += asked;
        *asked_last = asked ? day : *asked_last;
        discharging += asked && (day > question->today || is_discharging(question, day));
    }
    *counting = in_season;
    if (in_season == 0)
        return "out of season";

    return discharging == 0 ? no_sample_words[NO_SAMPLE_NO_DISCHARGE] : NULL;
}

/* One period; `newest` is the last sample that served any, `shown` whether it was asked for. */
static void period_judge(const struct question *question, day_number first, bool *used,
                         day_number *newest, bool shown, struct due_list *list)
{
    const struct interval *interval = question->interval;
    day_number last = period_next(interval, first) - 1;
    const struct no_sample *reason = NULL;
    int counting = 0;
    day_number due_day = last;
    const char *excuse = period_excuse(question, first, last, &counting, &due_day);
    struct due due = {
        .from = later(first, interval->in_force_from),
        .due = due_day,
        .done_on = DAY_NONE,
        .reason = excuse,
    };

    due.lapses = due.due + interval->tolerance_days;
    due.required = counting < last - first + 1 ? 1 : interval->count;
    samples_take(question, used, due.from, due.due, INT32_MAX, newest, &due);
    samples_take(question, used, due.due + 1, due.lapses, due.required, newest, &due);

    int no_miss = reasons_find(question, due.from, due.lapses, &reason);

    if (due.done < due.required)
        due.required -= earlier(no_miss, due.required - due.done);
    if (excuse)
        due.required = 0;
    if (due.done > 0 && due.done >= due.required)
        due.state = DUE_DONE;
    else
        due.state = due.required == 0 ? DUE_NOTHING : state_open(&due, question->today);
    if (due.state != DUE_NOTHING)
        due.reason = NULL;
    if (shown)
        due_add(question, list, due, reason);
}

static struct due_list periods_judge(const struct question *question)
{
    const struct interval *interval = question->interval;
    day_number reach = question->sample_count > 0 ? question->samples[0] : question->from;
    day_number first =
        plan_first_day(interval, later(interval->in_force_from, earlier(reach, question->from)));
    bool *used = ARENA_ARRAY(question->mem, bool, question->sample_count);
    struct due_list list = {0};
    day_number newest = DAY_NONE;

    for (; first <= question->to; first = period_next(interval, first)) {
        day_number last = period_next(interval, first) - 1;
        bool ends_here = last >= question->from && last <= question->to;
        bool runs_here = question->today >= question->from && question->today <= question->to &&
                         question->today >= first && question->today <= last;

        if (interval->in_force_to != DAY_NONE && first > interval->in_force_to)
            break;
        period_judge(question, first, used, &newest, ends_here || runs_here, &list);
    }

    return list;
}

/* --- at most so many days apart --- */

/* The day on which `days` counting days have passed since `day`. */
static day_number days_pass(const struct question *question, day_number day, int days)
{
    while (days > 0)
        days -= day_counts(question, ++day);

    return day;
}

static bool spans_meet(const struct question *question, day_number first, day_number last)
{
    return first <= question->to && last >= question->from;
}

/* Whether the gap belongs to from..to; `next` is the sample after it, or DAY_NONE. */
static bool gap_is_here(const struct question *question, const struct due *due, day_number next)
{
    day_number open_until = next == DAY_NONE ? question->today : next - 1;

    switch (due->state) {
    case DUE_DONE:
        return spans_meet(question, due->done_on, due->done_on);
    case DUE_DUE:
    case DUE_LATE:
        return spans_meet(question, due->due, due->due) ||
               spans_meet(question, question->today, question->today);
    case DUE_MISSED:
        return spans_meet(question, due->due, later(open_until, due->lapses));
    case DUE_NOTHING:
        break;
    }

    return spans_meet(question, due->due, due->due);
}

/* One gap from the day `since`; `next` is the first sample after it, or DAY_NONE. */
static struct due gap_judge(const struct question *question, day_number since, day_number next,
                            const struct no_sample **reason)
{
    const struct interval *interval = question->interval;
    day_number due_day = later(days_pass(question, since, interval->days), interval->in_force_from);
    struct due due = {
        .from = later(since + 1, interval->in_force_from),
        .due = due_day,
        .lapses = due_day + interval->tolerance_days,
        .required = 1,
        .done_on = DAY_NONE,
    };
    day_number explained_until = next == DAY_NONE ? later(question->today, due.lapses) : next - 1;

    if (next != DAY_NONE && next <= due.lapses) {
        due.state = DUE_DONE;
        due.done = 1;
        due.done_on = next;
        return due;
    }
    (void)reasons_find(question, since + 1, explained_until, reason);

    const struct no_sample *in_time = NULL;

    if (reasons_find(question, since + 1, due.lapses, &in_time) > 0) {
        due.state = DUE_NOTHING;
        due.required = 0;
        *reason = in_time;
        return due;
    }
    due.state = next != DAY_NONE ? DUE_MISSED : state_open(&due, question->today);

    return due;
}

/* A span in which no day counts. */
static bool add_empty_span(const struct question *question, struct due_list *list)
{
    const struct interval *interval = question->interval;
    bool any_season = false;

    for (day_number day = question->from; day <= question->to; day++) {
        bool in_season = is_in_season(interval, day);

        if (in_season && is_discharging(question, day))
            return false;
        any_season = any_season || in_season;
    }
    due_add(question, list,
            (struct due){.from = question->from,
                         .due = question->to,
                         .lapses = question->to,
                         .state = DUE_NOTHING,
                         .done_on = DAY_NONE,
                         .reason = any_season ? no_sample_words[NO_SAMPLE_NO_DISCHARGE]
                                              : "out of season"},
            NULL);

    return true;
}

static struct due_list gaps_judge(const struct question *question)
{
    const struct interval *interval = question->interval;
    struct due_list list = {0};
    day_number since = interval->in_force_from;
    size_t at = 0;

    /* The last sample before it came into force is where the first gap runs from. */
    for (; at < question->sample_count && question->samples[at] < interval->in_force_from; at++)
        since = question->samples[at];
    if (add_empty_span(question, &list))
        return list;

    for (bool open = true; open;) {
        const struct no_sample *reason = NULL;

        while (at < question->sample_count && question->samples[at] <= since)
            at++;

        bool has_next = at < question->sample_count && question->samples[at] <= question->today;
        day_number next = has_next ? question->samples[at] : DAY_NONE;
        struct due due = gap_judge(question, since, next, &reason);

        if (interval->in_force_to != DAY_NONE && due.due > interval->in_force_to &&
            due.state != DUE_DONE)
            break;
        if (gap_is_here(question, &due, next))
            due_add(question, &list, due, reason);
        since = due.state == DUE_NOTHING ? due.due : next;
        open = (due.state == DUE_NOTHING || has_next) && since <= question->to;
    }

    return list;
}

/* --- both --- */

struct due_list plan_dues(struct arena *mem, const struct interval *interval,
                          const struct plan_evidence *evidence)
{
    const struct question question = {
        .mem = mem,
        .interval = interval,
        .samples = evidence->samples,
        .sample_count = evidence->sample_count,
        .partials = evidence->partials,
        .partial_count = evidence->partial_count,
        .reasons = evidence->reasons,
        .reason_count = evidence->reason_count,
        .discharging = evidence->discharging,
        .discharged = evidence->discharged,
        .from = evidence->from,
        .to = evidence->to,
        .today = evidence->today,
    };

    assert(evidence->from <= evidence->to);

    return interval->shape == INTERVAL_PER_PERIOD ? periods_judge(&question)
                                                  : gaps_judge(&question);
}

char *interval_words(struct arena *mem, const struct interval *interval)
{
    char *apart = interval->apart_days > 0
                      ? arena_printf(mem, ", not closer than %d days", interval->apart_days)
                      : arena_strdup(mem, "");

    if (interval->shape == INTERVAL_AT_MOST_DAYS)
        return arena_printf(mem, "at most %d days apart", interval->days);

    return arena_printf(mem, "at least %d in each %s%s", interval->count,
                        interval->period == INTERVAL_MONTH ? "month" : "week", apart);
}
