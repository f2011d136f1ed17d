#include "judge/windows.h"

#include "judge/period.h"
#include "judge/runs.h"

enum { WEEK_DAYS = 7, HALF_A_WEEK = 4 };

/* A list on its way. */
struct making {
    const struct judgement *judgement;
    const struct figure_list *figures;
    struct window_list list;
};

enum window_force window_in_force(const struct limit *limit, day_number from, day_number to)
{
    bool begins_inside = limit->in_force_from > from;
    bool ends_inside = limit->in_force_to != DAY_NONE && limit->in_force_to < to;

    if (limit->in_force_from > to || (limit->in_force_to != DAY_NONE && limit->in_force_to < from))
        return FORCE_NOT;
    if (!begins_inside && !ends_inside)
        return FORCE_WHOLE;
    if (limit->change == CHANGE_UNSET)
        return FORCE_UNSAID;

    return limit->change == (begins_inside ? CHANGE_NEW : CHANGE_OLD) ? FORCE_FULL : FORCE_NOT;
}

const char *window_change_words(struct arena *mem, const struct limit *limit, day_number from)
{
    bool begins_inside = limit->in_force_from > from;

    return arena_printf(mem,
                        "the clause %s %s, and it is not said (across a change) how a period that "
                        "%s is judged",
                        begins_inside ? "is in force only from" : "was in force only to",
                        day_words(mem, begins_inside ? limit->in_force_from : limit->in_force_to),
                        begins_inside ? "begins before that day" : "goes on after that day");
}

int window_figure_day(const struct judgement *judgement, const struct figure *figure)
{
    if (figure->day != NO_INDEX || figure->at == INSTANT_NONE)
        return figure->day;

    return judgement_day(judgement, figure->at);
}

/* The first figure of a judged day, or of a later one. */
static size_t figures_from(const struct making *making, size_t day)
{
    size_t low = 0;
    size_t high = making->figures->count;

    while (low < high) {
        size_t middle = low + (high - low) / 2;

        if (window_figure_day(making->judgement, &making->figures->items[middle]) < (int)day)
            low = middle + 1;
        else
            high = middle;
    }

    return low;
}

/* Put it in the list, as far as the clause is in force in it. */
static void window_add(struct making *making, struct window window)
{
    const struct judgement *judgement = making->judgement;

    if (period_has_one_figure(judgement->limit)) {
        enum window_force force = window_in_force(judgement->limit, window.from, window.to);

        if (force == FORCE_NOT)
            return;
        if (force == FORCE_UNSAID)
            window.why_not =
                arena_printf(judgement->mem, "%s%s",
                             window_change_words(judgement->mem, judgement->limit, window.from),
                             window_words(judgement, &window));
    }
    LIST_ADD(judgement->mem, &making->list, window);
}

static bool is_asked(const struct judgement *judgement, size_t day)
{
    return day >= judgement->first_asked && day < judgement->after_asked;
}

/* A window of whole days, [first_day, after_day) of those judged, if it has begun. */
static void days_add(struct making *making, size_t first_day, size_t after_day, bool asked)
{
    const struct judgement *judgement = making->judgement;
    const struct judged_day *first = &judgement->days[first_day];
    const struct judged_day *last = &judgement->days[after_day - 1];

    if (!first->begun)
        return;
    window_add(making, (struct window){
                           .from = first->day,
                           .to = last->day,
                           .from_at = first->start,
                           .until_at = last->end,
                           .first_day = first_day,
                           .after_day = after_day,
                           .first = figures_from(making, first_day),
                           .after = figures_from(making, after_day),
                           .asked = asked,
                           .so_far = !last->over,
                       });
}

static size_t index_of(const struct judgement *judgement, day_number day)
{
    return (size_t)(day - judgement->days[0].day);
}

/* The days asked for, and the periods before them that the clause looks at. */
static void list_spans(struct making *making)
{
    const struct judgement *judgement = making->judgement;
    const struct judged_day *days = judgement->days;

    for (size_t first = 0; first < judgement->first_asked;) {
        day_number from;
        day_number to;

        judge_period(judgement->limit, days[first].day, &from, &to);
        if (to >= days[judgement->first_asked].day)
            break;
        days_add(making, first, index_of(judgement, to) + 1, false);
        first = index_of(judgement, to) + 1;
    }
    days_add(making, judgement->first_asked, judgement->after_asked, true);
}

/* A day without any reading is judged only where something is asked of every day. */
static bool day_is_asked(const struct judgement *judgement, size_t day)
{
    const struct limit *limit = judgement->limit;
    const struct judged_day *judged = &judgement->days[day];
    bool of_every_day =
        limit->least_samples > 0 || limit->least_coverage.coefficient > 0 || limit->across_of > 0;

    return !judged->why_not && judged->over && of_every_day;
}

static void list_days(struct making *making)
{
    const struct judgement *judgement = making->judgement;

    for (size_t day = 0; day < judgement->after_asked; day++) {
        bool has = figures_from(making, day) < figures_from(making, day + 1);

        if (has || day_is_asked(judgement, day))
            days_add(making, day, day + 1, is_asked(judgement, day));
    }
}

static bool week_belongs(const struct judgement *judgement, size_t first, size_t after)
{
    size_t begin = first > judgement->first_asked ? first : judgement->first_asked;
    size_t end = after < judgement->after_asked ? after : judgement->after_asked;

    switch (judgement->limit->period_belongs) {
    case BELONGS_ENDED:
        return is_asked(judgement, after - 1);
    case BELONGS_MOSTLY:
        return end >= begin + HALF_A_WEEK;
    case BELONGS_DAYS:
    case BELONGS_BOTH:
        return end > begin;
    case BELONGS_UNSET:
    case BELONGS_BEGAN:
    default:
        return is_asked(judgement, first);
    }
}

static void list_weeks(struct making *making)
{
    const struct judgement *judgement = making->judgement;
    const struct limit *limit = judgement->limit;
    bool cut = limit->period_belongs == BELONGS_DAYS;

    for (size_t first = 0, after; first < judgement->day_count; first = after) {
        day_number week = period_week_first(limit, judgement->days[first].day);
        bool before = first < judgement->first_asked;

        after = first + WEEK_DAYS - (size_t)(judgement->days[first].day - week);
        if (after > judgement->day_count)
            after = judgement->day_count;
        if (cut && before && after > judgement->first_asked)
            after = judgement->first_asked;
        if (week_belongs(judgement, first, after))
            days_add(making, first, after, true);
        else if (before)
            days_add(making, first, after, false);
    }
}

static void list_running_days(struct making *making)
{
    const struct judgement *judgement = making->judgement;
    size_t length = (size_t)judgement->limit->running_days;

    for (size_t last = length - 1; last < judgement->after_asked; last++)
        if (judgement->days[last].begun)
            days_add(making, last + 1 - length, last + 1, is_asked(judgement, last));
}

/* The window of last samples that ends at a figure; `known` is the first of known time. */
static void last_samples_add(struct making *making, size_t known, size_t last, bool asked)
{
    const struct judgement *judgement = making->judgement;
    size_t length = (size_t)judgement->limit->last_samples;
    size_t has = last + 1 - known;
    bool is_short = has < length && judgement->limit->least_samples == 0;
    size_t first = has >= length ? last + 1 - length : known;
    const struct figure *from = &making->figures->items[first];
    const struct figure *to = &making->figures->items[last];
    size_t first_day = (size_t)window_figure_day(judgement, from);
    size_t last_day = (size_t)window_figure_day(judgement, to);

    window_add(
        making,
        (struct window){
            .from = judgement->days[first_day].day,
            .to = judgement->days[last_day].day,
            .from_at = from->at,
            .until_at = to->at + 1,
            .first_day = first_day,
            .after_day = last_day + 1,
            .first = first,
            .after = last + 1,
            .asked = asked,
            .lacking = is_short
                           ? arena_printf(judgement->mem,
                                          "not enough samples at the sample of %s: %zu of "
                                          "%zu",
                                          day_words(judgement->mem, judgement->days[last_day].day),
                                          has, length)
                           : NULL,
        });
}

static void list_last_samples(struct making *making)
{
    const struct judgement *judgement = making->judgement;
    size_t known = figures_from(making, 0);
    size_t looked_at =
        judgement->limit->across_of > 1 ? (size_t)judgement->limit->across_of - 1 : 0;
    size_t first = figures_from(making, judgement->first_asked);

    for (size_t i = first > known + looked_at ? first - looked_at : known;
         i < making->figures->count; i++) {
        int day = window_figure_day(judgement, &making->figures->items[i]);

        if (day == NO_INDEX || (size_t)day >= judgement->after_asked)
            break;
        last_samples_add(making, known, i, is_asked(judgement, (size_t)day));
    }
}

/* The first figure of a range that is not before an instant. */
static size_t figure_at(const struct making *making, size_t first, size_t after, instant at)
{
    while (first < after && making->figures->items[first].at < at)
        first++;

    return first;
}

static void run_add(struct making *making, const struct judged_run *run)
{
    const struct judgement *judgement = making->judgement;
    instant end = runs_end(judgement, run);
    int first_day = judgement_day(judgement, run->opened);
    int last_day = judgement_day(judgement, end);

    if (first_day == NO_INDEX)
        return;
    if (last_day == NO_INDEX)
        last_day = (int)judgement->day_count - 1;

    struct window window = {
        .from = judgement->days[first_day].day,
        .to = judgement->days[last_day].day,
        .from_at = run->opened,
        .until_at = end,
        .first_day = (size_t)first_day,
        .after_day = (size_t)last_day + 1,
        .first = figures_from(making, (size_t)first_day),
        .after = figures_from(making, (size_t)last_day + 1),
        .asked = true,
        .so_far = run->shut == INSTANT_NONE && !run->gone_silent,
        .why_not = run->why_not,
    };

    if (judgement->limit->daily == DAILY_EVERY) {
        window.first = figure_at(making, window.first, window.after, run->opened);
        window.after = figure_at(making, window.first, window.after, end + (window.so_far ? 1 : 0));
    }
    window_add(making, window);
}

static void list_runs(struct making *making)
{
    for (size_t i = 0; i < making->judgement->run_count; i++)
        run_add(making, &making->judgement->runs[i]);
}

struct window_list windows_list(const struct judgement *judgement,
                                const struct figure_list *figures)
{
    struct making making = {.judgement = judgement, .figures = figures};
    static void (*const lists[])(struct making *) = {
        [PERIOD_EACH_SAMPLE] = list_spans,
        [PERIOD_DAY] = list_days,
        [PERIOD_MONTH] = list_spans,
        [PERIOD_WEEK] = list_weeks,
        [PERIOD_QUARTER] = list_spans,
        [PERIOD_YEAR] = list_spans,
        [PERIOD_LICENCE_YEAR] = list_spans,
        [PERIOD_RUNNING_DAYS] = list_running_days,
        [PERIOD_LAST_SAMPLES] = list_last_samples,
        [PERIOD_DISCHARGE_RUN] = list_runs,
    };

    if (judgement->day_count > 0)
        lists[judgement->limit->period](&making);

    return making.list;
}

const char *window_words(const struct judgement *judgement, const struct window *window)
{
    struct arena *mem = judgement->mem;
    const struct limit *limit = judgement->limit;

    switch (limit->period) {
    case PERIOD_DAY:
        return arena_printf(mem, " on %s", day_words(mem, window->from));
    case PERIOD_WEEK:
        return arena_printf(mem, " in the week from %s", day_words(mem, window->from));
    case PERIOD_RUNNING_DAYS:
        return arena_printf(mem, " in the %d days to %s", limit->running_days,
                            day_words(mem, window->to));
    case PERIOD_LAST_SAMPLES:
        return arena_printf(mem, " at the sample of %s", day_words(mem, window->to));
    case PERIOD_DISCHARGE_RUN:
        return arena_printf(mem, " in the run from %s", day_words(mem, window->from));
    case PERIOD_EACH_SAMPLE:
    case PERIOD_MONTH:
    case PERIOD_QUARTER:
    case PERIOD_YEAR:
    case PERIOD_LICENCE_YEAR:
    default:
        return "";
    }
}
