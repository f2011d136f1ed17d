#include "app/months_waiting.h"

#include <stdlib.h>

#include "app/load_evidence.h"
#include "base/str.h"
#include "judge/limit_reads.h"
#include "judge/period.h"

enum { WEEK_DAYS = 7, SPAN_DAYS = 31, DAY_S = 24 * 3600 };

static bool names(const char *station, const char *parameter, const struct window_row *window)
{
    return station && parameter && str_equal(station, window->station) &&
           str_equal(parameter, window->parameter);
}

/* Whether it is the outlet or the meter of a discharge point at that station. */
static bool of_point(const struct open_farm *farm, const char *station,
                     const struct window_row *window)
{
    for (size_t i = 0; i < farm->farm->licences.count; i++) {
        const struct farm_licence *licence = &farm->farm->licences.items[i];

        for (size_t j = 0; j < licence->point_count; j++) {
            const struct farm_point *point = &licence->points[j];

            if (str_equal(point->station, station) &&
                (names(point->outlet_station, point->outlet_parameter, window) ||
                 names(point->meter_station, point->meter_parameter, window)))
                return true;
        }
    }

    return false;
}

static bool limit_changed(struct arena *mem, const struct open_farm *farm,
                          const struct limit *limit, const struct window_row *window)
{
    return window->series_id == 0 || of_point(farm, limit->station, window) ||
           limit_reads_series(mem, limit, window->station, window->parameter);
}

static bool form_changed(struct arena *mem, const struct open_farm *farm,
                         const struct clause_limit *form, const struct window_rows *windows)
{
    for (size_t i = 0; i < windows->count; i++)
        if (limit_changed(mem, farm, &form->limit, &windows->items[i]) ||
            (form->before && limit_changed(mem, farm, form->before, &windows->items[i])))
            return true;

    return false;
}

struct clause_limits months_waiting_limits(struct arena *mem, const struct open_farm *farm,
                                           const struct clause_limits *limits,
                                           const struct window_rows *windows)
{
    struct clause_limits list = {0};

    for (size_t i = 0, next; i < limits->count; i = next) {
        bool changed = false;

        for (next = i; next < limits->count &&
                       str_equal(limits->items[next].limit.key, limits->items[i].limit.key);
             next++)
            changed = changed || form_changed(mem, farm, &limits->items[next], windows);
        for (size_t k = i; k < next && changed; k++)
            LIST_ADD(mem, &list, limits->items[k]);
    }

    return list;
}

static bool interval_goes_by(const struct interval *interval, const struct window_row *window)
{
    for (size_t i = 0; i < interval->parameter_count; i++)
        if (names(interval->station, interval->parameters[i], window))
            return true;

    return interval->parameter_count == 0 && str_equal(interval->station, window->station);
}

bool months_waiting_of_limits(const struct open_farm *farm, const struct window_rows *windows)
{
    for (size_t i = 0; i < windows->count; i++) {
        const struct window_row *window = &windows->items[i];

        if (window->series_id == 0)
            return false;
        for (size_t j = 0; j < farm->farm->intervals.count; j++) {
            const struct interval *interval = &farm->farm->intervals.items[j].interval;

            if (interval_goes_by(interval, window) || of_point(farm, interval->station, window))
                return false;
        }
    }

    return true;
}

static void add(struct arena *mem, struct day_list *list, day_number day)
{
    day_number month = month_first(day);

    for (size_t i = 0; i < list->count; i++)
        if (list->items[i] == month)
            return;
    LIST_ADD(mem, list, month);
}

static void add_months(struct arena *mem, struct day_list *list, day_number first, day_number last)
{
    for (day_number day = month_first(first); day <= last; day = month_next(day))
        add(mem, list, day);
}

/* How long the word of a state may hold, as far back as one is read. */
static int held_days(const struct farm *farm)
{
    int days = (farm->state_holds_s + DAY_S - 1) / DAY_S;

    return days == 0 || days > LEAD_DAYS ? LEAD_DAYS : days;
}

/* How many days around a reading its effect may lie. */
static int effect_days(struct arena *mem, const struct farm *farm, const struct limit *limit,
                       int margin_days)
{
    struct limit_read_list reads = limit_reads(mem, limit);
    int days = margin_days;

    for (size_t i = 0; i < reads.count; i++) {
        int before = (reads.items[i].before_s + DAY_S - 1) / DAY_S;
        int after = (reads.items[i].after_s + DAY_S - 1) / DAY_S;

        days = before > days ? before : days;
        days = after > days ? after : days;
    }
    if (limit->span_belongs == BELONGS_ENDED || limit->span_belongs == BELONGS_MOSTLY)
        days = days > SPAN_DAYS ? days : SPAN_DAYS;
    if (limit->bound_by.kind == BOUND_STATE)
        days = days > held_days(farm) ? days : held_days(farm);

    return days;
}

/* Whether the clause judges a period in full that the window lies in, and begins after it. */
static bool begins_later(const struct limit *limit, const struct window_row *window)
{
    return limit->change == CHANGE_NEW && limit->in_force_from > window->last_day;
}

/* A month in which each period that looks at the window's days is judged. */
static void add_periods(struct arena *mem, const struct farm *farm, const struct limit *limit,
                        const struct window_row *window, int margin_days, struct day_list *list)
{
    int effect = effect_days(mem, farm, limit, margin_days);
    day_number from;
    day_number to;
    day_number first;
    day_number last;

    judge_period(limit, window->first_day - effect - WEEK_DAYS, &from, &to);
    judge_reach(limit, from, to, &first, &last);
    while (first <= window->last_day + effect) {
        if (last >= window->first_day - effect) {
            day_number begins = limit->in_force_from > from ? limit->in_force_from : from;

            if (!period_is_span(limit) || window->first_day < from || window->first_day > to ||
                begins_later(limit, window))
                add(mem, list, begins <= to ? begins : from);
        }
        judge_period(limit, to + 1, &from, &to);
        judge_reach(limit, from, to, &first, &last);
    }
}

static bool window_add(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                       const struct limit *limit, const struct window_row *window, int margin_days,
                       struct day_list *out, struct err *err)
{
    if (limit->period == PERIOD_LAST_SAMPLES || limit->period == PERIOD_DISCHARGE_RUN)
        return verdict_store_windows_touching(tx, mem, limit->key, window->first_day - margin_days,
                                              window->last_day + margin_days, out, err);
    add_periods(mem, farm, limit, window, margin_days, out);

    return true;
}

static int by_day(const void *a, const void *b)
{
    day_number left = *(const day_number *)a;
    day_number right = *(const day_number *)b;

    return (left > right) - (left < right);
}

/* Each once, as months, in order. */
static void put_in_order(struct arena *mem, const struct day_list *from, struct day_list *out)
{
    for (size_t i = 0; i < from->count; i++)
        add(mem, out, from->items[i]);
    if (out->count > 1)
        qsort(out->items, out->count, sizeof(out->items[0]), by_day);
}

bool months_waiting(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                    const struct clause_limits *limits, const struct window_rows *windows,
                    int margin_days, struct day_list *out, struct err *err)
{
    struct day_list list = {0};

    for (size_t i = 0; i < windows->count; i++) {
        const struct window_row *window = &windows->items[i];

        add_months(mem, &list, window->first_day - margin_days, window->last_day + margin_days);
        for (size_t j = 0; j < limits->count && window->series_id != 0; j++) {
            const struct limit *limit = &limits->items[j].limit;

            if (limit_changed(mem, farm, limit, window) &&
                !window_add(tx, mem, farm->farm, limit, window, margin_days, &list, err))
                return false;
        }
    }
    put_in_order(mem, &list, out);

    return true;
}
