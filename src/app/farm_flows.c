#include "app/farm_flows.h"

#include "app/farm_network.h"
#include "base/str.h"

const struct station_flow *farm_flows_find(const struct farm_flows *flows, const char *station)
{
    for (size_t i = 0; i < flows->station_count; i++) {
        if (str_equal(flows->stations[i].station->key, station))
            return &flows->stations[i];
    }

    return NULL;
}

const struct station_flow *farm_flows_before(const struct farm_flows *flows, const char *station)
{
    const struct station_flow *found = NULL;

    for (size_t i = 0; i < flows->path_count; i++) {
        const struct open_path *path = &flows->paths[i];

        if (path->returned > 0.0 || !str_equal(flows->stations[path->to].station->key, station))
            continue;
        if (found)
            return NULL;
        found = &flows->stations[path->from];
    }

    return found;
}

const struct station_flow *farm_flows_after(const struct farm_flows *flows, const char *station)
{
    const struct station_flow *found = NULL;

    for (size_t i = 0; i < flows->path_count; i++) {
        const struct open_path *path = &flows->paths[i];

        if (path->returned > 0.0 || !str_equal(flows->stations[path->from].station->key, station))
            continue;
        if (found)
            return NULL;
        found = &flows->stations[path->to];
    }

    return found;
}

/* --- paths ----------------------------------------------------------------------------------- */

/* The path's own record says that it was shut from before the span to its end. */
static bool shut_throughout(struct place_reader *reader, const struct farm_path *path,
                            instant first, instant until, bool *shut, struct err *err)
{
    struct farm_place place = {.station = path->state_station, .parameter = path->state_parameter};
    struct place_states states = {0};

    *shut = false;
    if (!path->state_parameter)
        return true;
    if (!place_states_load(reader, &place, first, until, &states, err))
        return false;
    *shut = states.count > 0 && states.items[0].at <= first;
    for (size_t i = 0; i < states.count; i++)
        *shut = *shut && !states.items[i].in_doubt && str_equal(states.items[i].word, "shut");

    return true;
}

static double share_of(const char *percent)
{
    struct decimal share = {0};

    return percent && decimal_parse(percent, &share) ? decimal_double(share) / 100.0 : 0.0;
}

static size_t station_index(const struct farm_flows *flows, const char *key)
{
    size_t i = 0;

    while (i < flows->station_count && !str_equal(flows->stations[i].station->key, key))
        i++;

    return i;
}

static bool paths_open(struct place_reader *reader, instant first, instant until,
                       struct farm_flows *flows, struct err *err)
{
    const struct farm *farm = reader->farm->farm;
    day_number from = zone_day(farm->zone, first);
    day_number to = zone_day(farm->zone, until - 1);

    flows->paths = ARENA_ARRAY(reader->mem, struct open_path, farm->paths.count);
    for (size_t i = 0; i < farm->paths.count; i++) {
        const struct farm_path *path = &farm->paths.items[i];
        bool shut = false;

        if (path->since > to || (path->until != DAY_NONE && path->until < from))
            continue;
        if (!shut_throughout(reader, path, first, until, &shut, err))
            return false;
        if (shut)
            continue;

        struct open_path open = {.from = station_index(flows, path->from),
                                 .to = station_index(flows, path->to),
                                 .returned = share_of(path->returned_share)};

        flows->loops = flows->loops || open.returned > 0.0;
        flows->paths[flows->path_count++] = open;
    }

    return true;
}

/* --- flows ----------------------------------------------------------------------------------- */

static bool stations_measure(struct place_reader *reader, instant first, instant until,
                             struct farm_flows *flows, struct err *err)
{
    const struct farm *farm = reader->farm->farm;

    flows->stations = ARENA_ARRAY(reader->mem, struct station_flow, farm->stations.count);
    flows->station_count = farm->stations.count;
    for (size_t i = 0; i < farm->stations.count; i++) {
        struct station_flow *flow = &flows->stations[i];

        flow->station = &farm->stations.items[i];
        flow->tank = farm_find_tank(farm, flow->station->key);
        flow->volume_m3 = flow->tank ? place_amount(reader, &flow->tank->volume, "m3") : 0.0;
        if (!water_flow_of(reader, flow->station->key, first, until, &flow->measured, err))
            return err_wrap(err, "the flow at %s", flow->station->key);
        flow->known = flow->measured.known;
        flow->m3_per_h = flow->measured.m3_per_h;
        flow->words = flow->measured.words;
    }

    return true;
}

bool farm_flows_of(struct place_reader *reader, instant first, instant until,
                   struct farm_flows *out, struct err *err)
{
    struct farm_flows flows = {0};
    if (!stations_measure(reader, first, until, &flows, err) ||
        !paths_open(reader, first, until, &flows, err))
        return false;
    farm_network_work_out(reader->mem, &flows);
    *out = flows;

    return true;
}
