/*
 * Look at flags: what the sensor tests of the farm file say of stored readings.
 */
#ifndef APP_LOOK_FLAGS_H
#define APP_LOOK_FLAGS_H

#include "app/open_farm.h"
#include "store/flag_store.h"

/*
 * Spans that meet the days from..to of the farm, of a station and parameter or with NULL of all.
 * ERR_NOT_FOUND: the farm has no such station or parameter; the nearest is told.
 */
MUST_CHECK bool flags_look(struct db *db, struct arena *mem, const struct open_farm *farm,
                           const char *station, const char *parameter, day_number from,
                           day_number to, struct flag_views *out, struct err *err);

#endif
