/*
 * Pump stops: every time a tank's pump was off by its record, what the oxygen did meanwhile, and
 * from that the time left to the farm's own floor (measure/oxygen_fall.h).
 *
 * A stop begins with a record that says anything but the pump's running word, and ends with the
 * next that says it runs. A record holds until the next, but no longer than the farm lets a state
 * hold: what comes after that is another stop, for the pump may have run between. A stop whose
 * record of the pump is in doubt gives no rate. Of conditions: the warmest and the most feed while
 * it was off; where nothing was read then, the last reading before it, of temperature no older than
 * an hour, of feed no older than a day; of the stock the last count, else the farm file's.
 *
 * Its readings are those from the pump off until it is on again; one at the moment of the restart
 * only where it is no higher than the one before it, and so still of the same water. The fit takes
 * no reading that is in doubt; the lowest reading takes all, and says so.
 */
#ifndef APP_PUMP_STOPS_H
#define APP_PUMP_STOPS_H

#include "app/place_values.h"
#include "measure/oxygen_fall.h"

enum {
    PUMP_TEMPERATURE_REACH_S = 3600,
    PUMP_FEED_REACH_S = 86400,
    PUMP_NEWEST_MOST_S = 3600, /* an older reading says nothing of now */
    PUMP_READINGS_LEAST = 3,
};

struct pump_stop {
    instant from;
    instant until; /* or how far it is known */
    bool over;     /* false: still off, or the record ran out */
    struct oxygen_fall_stop record;
    bool fitted;
    struct oxygen_fall fall; /* where fitted; else `why_not` */
    const char *why_not;
    bool lowest_known;
    double lowest_mg_per_l;
    bool lowest_in_doubt; /* flagged, or by a probe not on record as reading in still water */
    instant lowest_at;
};

struct pump_stops {
    struct pump_stop *items; /* in order of time */
    size_t count;
    size_t capacity;
    double floor_mg_per_l; /* the farm's own */
    double margin_mg_per_l;
};

/* Stops that began in first <= time < until. A tank without such a record has none. */
MUST_CHECK bool pump_stops_read(struct place_reader *reader, const struct farm_tank *tank,
                                instant first, instant until, instant now, struct pump_stops *out,
                                struct err *err);

struct pump_answer {
    struct oxygen_fall_answer answer; /* `why` says why it is not known */
    bool reading_known;
    /* The newest reading, which `answer` counts from. One in doubt stands only where it is lower
     * than the sound one before it. */
    instant reading_at;
    double reading_mg_per_l;
    bool off_now;
    struct oxygen_fall_conditions conditions;
    /* Not of `not known`, nor at the floor: the stop whose rate stands. */
    const struct pump_stop *measured;
};

struct pump_month {
    const struct farm_tank *tank;
    struct pump_stops stops; /* of the month */
    struct pump_answer now;
    int rows_waiting; /* set aside, that are or may be of its pump or oxygen: in nothing of this */
};

/*
 * The stops of a month, and the time left from the newest reading by all stops that are not too
 * old. ERR_NOT_FOUND: no such tank. ERR_INVALID: its record of oxygen and pump is not told.
 */
MUST_CHECK bool pump_month_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                                const char *station, day_number month, instant now,
                                struct pump_month *out, struct err *err);

#endif
