#include "app/look_quality.h"

bool quality_look(struct db *db, struct arena *mem, const struct open_farm *farm, day_number from,
                  day_number to, instant now, struct quality_seen *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    instant first = zone_day_start(farm->farm->zone, from);
    instant until = zone_day_start(farm->farm->zone, to + 1);
    struct quality_checks all = {.count = 0};
    struct quality_seen seen = {.checks = {.count = 0}};

    if (!db_tx_begin(db, farm->farm_id, &tx, err) ||
        !quality_checks_find(&tx, mem, farm->farm, first, until, &all, err) ||
        !coarse_limits_find(&tx, mem, farm, now, &seen.limits, err))
        return false;
    for (size_t i = 0; i < all.count; i++)
        if (all.items[i].at >= first && all.items[i].at < until)
            LIST_ADD(mem, &seen.checks, all.items[i]);
    *out = seen;

    return true;
}
