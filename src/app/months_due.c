#include "app/months_due.h"

#include "app/clauses.h"
#include "store/farm_store.h"
#include "store/look_store.h"
#include "store/reading_store.h"

/* What is known of the farm's months. */
struct months_known {
    struct months_span span;
    struct month_looks judged;
    int changed; /* the newest farm file that changed what is judged by */
};

static bool months_read(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                        struct months_known *out, struct err *err)
{
    const struct zone *zone = farm->farm->zone;
    instant loaded_at = INSTANT_NONE;
    instant first = INSTANT_NONE;
    instant last = INSTANT_NONE;

    if (!farm_store_since(tx, &loaded_at, &out->changed, err) ||
        !reading_store_span(tx, &first, &last, err) ||
        !look_store_months(tx, mem, &out->judged, err))
        return false;
    if (first == INSTANT_NONE || first > loaded_at)
        first = loaded_at;
    out->span.oldest = month_first(zone_day(zone, first));
    /* A reading at the last midnight closes the month before it. */
    out->span.newest = last == INSTANT_NONE ? DAY_NONE : month_first(zone_day(zone, last - 1));
    if (out->judged.count > 0) {
        day_number judged = out->judged.items[out->judged.count - 1].month;

        if (out->span.newest == DAY_NONE || judged > out->span.newest)
            out->span.newest = judged;
    }

    return true;
}

/* How long after its end a month may still turn. */
static int tolerance_days(const struct clause_intervals *intervals)
{
    int most = 0;

    for (size_t i = 0; i < intervals->count; i++)
        if (intervals->items[i].tolerance_days > most)
            most = intervals->items[i].tolerance_days;

    return most;
}

static bool any_in_force(const struct clause_limits *limits,
                         const struct clause_intervals *intervals, day_number from, day_number to)
{
    for (size_t i = 0; i < limits->count; i++)
        if (clause_judged_in(&limits->items[i].limit, from, to))
            return true;
    for (size_t i = 0; i < intervals->count; i++)
        if (clause_meets(intervals->items[i].in_force_from, intervals->items[i].in_force_to, from,
                         to))
            return true;

    return false;
}

/* Whether a month that was judged has to be judged again; `today` is a civil day of the farm. */
static bool is_old(const struct month_look *look, const struct months_known *known,
                   const struct zone *zone, int tolerance, day_number today)
{
    day_number judged = zone_day(zone, look->judged_at);
    day_number last = month_next(look->month) - 1;

    return look->farm_file < known->changed || (judged < today && judged <= last + tolerance);
}

bool months_span(struct db *db, struct arena *mem, const struct open_farm *farm,
                 struct months_span *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct months_known known = {0};

    if (!db_tx_begin(db, farm->farm_id, &tx, err) || !months_read(&tx, mem, farm, &known, err))
        return false;
    *out = known.span;

    return true;
}

bool months_due(struct db *db, struct arena *mem, const struct open_farm *farm, instant now,
                struct day_list *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    day_number today = zone_day(farm->farm->zone, now);
    struct clause_intervals intervals = {0};
    struct clause_limits limits = {0};
    struct months_known known = {0};
    struct day_list list = {0};
    size_t next = 0;

    if (!db_tx_begin(db, farm->farm_id, &tx, err) || !months_read(&tx, mem, farm, &known, err) ||
        !clauses_limits(&tx, mem, farm, &limits, err) ||
        !clauses_intervals(&tx, mem, farm->farm, &intervals, err))
        return false;

    for (day_number month = known.span.oldest; month <= today; month = month_next(month)) {
        const struct month_look *look = NULL;

        while (next < known.judged.count && known.judged.items[next].month < month)
            next++;
        if (next < known.judged.count && known.judged.items[next].month == month)
            look = &known.judged.items[next];
        if (look && !is_old(look, &known, farm->farm->zone, tolerance_days(&intervals), today))
            continue;
        if (any_in_force(&limits, &intervals, month, month_next(month) - 1))
            LIST_ADD(mem, &list, month);
    }
    *out = list;

    return true;
}
