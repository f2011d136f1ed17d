#include "app/look_flags.h"

bool flags_look(struct db *db, struct arena *mem, const struct open_farm *farm, const char *station,
                const char *parameter, day_number from, day_number to, struct flag_views *out,
                struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    const struct zone *zone = farm->farm->zone;
    const struct parameter *known = NULL;

    if ((station && !farm_require_station(mem, farm->farm, station, err)) ||
        (parameter && !parameter_require(&farm->farm->known_parameters, parameter, &known, err)))
        return false;

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           flag_store_list(&tx, mem, station, parameter, zone_day_start(zone, from),
                           zone_day_start(zone, to + 1), out, err);
}
