#include "app/farm_network.h"

#include <math.h>

#include "base/str.h"

/* A station that is no tank holds as little as this, so that it takes no part in any time. */
static const double pipe_m3 = 1e-6;

/* Rounds of spreading known flows along the paths: a loop's share comes nearer in each. */
enum { ROUNDS = 400 };

/* Flows are worked out so that each station is even; what is left is rounding. */
static const double balance_share = 1e-6;

/* Paths from a station that return nothing: how many, the last of them, and the share returned. */
struct leaving {
    size_t count;
    struct open_path *path;
    double returned;
};

static struct leaving leaving_of(const struct farm_flows *flows, size_t station)
{
    struct leaving leaving = {0};

    for (size_t i = 0; i < flows->path_count; i++) {
        struct open_path *path = &flows->paths[i];

        if (path->from != station)
            continue;
        leaving.returned += path->returned;
        if (path->returned > 0.0)
            continue;
        leaving.count++;
        leaving.path = path;
    }

    return leaving;
}

static size_t arriving_count(const struct farm_flows *flows, size_t station)
{
    size_t count = 0;

    for (size_t i = 0; i < flows->path_count; i++)
        count += flows->paths[i].to == station && flows->paths[i].returned == 0.0;

    return count;
}

/* What returns to a station. */
static double returning(const struct farm_flows *flows, size_t station)
{
    double sum = 0.0;

    for (size_t i = 0; i < flows->path_count; i++) {
        if (flows->paths[i].to == station && flows->paths[i].returned > 0.0)
            sum += flows->paths[i].m3_per_h;
    }

    return sum;
}

/* The flow along a path, from either end. */
static void path_fill(const struct farm_flows *flows, struct open_path *path)
{
    const struct station_flow *from = &flows->stations[path->from];
    const struct station_flow *to = &flows->stations[path->to];
    struct leaving leaving = leaving_of(flows, path->from);

    if (path->returned > 0.0) {
        path->known = from->known;
        path->m3_per_h = from->known ? from->m3_per_h * path->returned : 0.0;
        return;
    }

    double given = from->m3_per_h * fmax(1.0 - leaving.returned, 0.0);
    double taken = fmax(to->m3_per_h - returning(flows, path->to), 0.0);
    bool one_out = leaving.count == 1;
    bool one_in = arriving_count(flows, path->to) == 1;

    if (from->known && one_out) {
        /* More than the next station takes leaves on the way, as by an overflow. */
        path->m3_per_h = to->measured.known && one_in ? fmin(given, taken) : given;
        path->known = true;
    } else if (to->known && one_in) {
        path->m3_per_h = from->known ? fmin(given, taken) : taken;
        path->known = true;
    }
}

static const char from_arriving[] =
    "nothing is measured there: by the flow paths, from what comes in";
static const char from_leaving[] =
    "nothing is measured there: by the flow paths, from where it goes";

/* A station's flow from all that arrives, or from where it all goes; once so, always so. */
static void station_fill(struct arena *mem, struct farm_flows *flows, size_t station)
{
    struct station_flow *flow = &flows->stations[station];
    struct leaving leaving = leaving_of(flows, station);
    double sum = 0.0;
    size_t arriving = 0;
    bool all = true;

    if (flow->measured.known)
        return;
    for (size_t i = 0; i < flows->path_count; i++) {
        if (flows->paths[i].to != station)
            continue;
        sum += flows->paths[i].m3_per_h;
        arriving += flows->paths[i].returned == 0.0;
        all = all && (flows->paths[i].known || flows->paths[i].returned > 0.0);
    }
    if (arriving > 0 && all && flow->words != from_leaving) {
        flow->known = true;
        flow->m3_per_h = sum;
        flow->words = from_arriving;
    } else if (leaving.count == 1 && leaving.path->known && leaving.returned < 1.0) {
        flow->known = true;
        flow->m3_per_h = leaving.path->m3_per_h / (1.0 - leaving.returned);
        flow->words = from_leaving;
    } else if (leaving.count > 1) {
        flow->words = arena_printf(mem, "%s, and how much goes by each path from it is not known",
                                   flow->measured.words);
    }
}

static void spread(struct arena *mem, struct farm_flows *flows)
{
    for (int round = 0; round < ROUNDS; round++) {
        for (size_t i = 0; i < flows->path_count; i++)
            path_fill(flows, &flows->paths[i]);
        for (size_t i = 0; i < flows->station_count; i++)
            station_fill(mem, flows, i);
    }
}

/* A kind of station that holds water: without a volume on record it is no pipe. */
static bool holds_water(const struct station_flow *flow)
{
    static const char *const kinds[] = {"tank", "pond", "feed-pond", "header-tank"};

    for (size_t i = 0; i < ARRAY_LEN(kinds); i++) {
        if (str_equal(flow->station->kind, kinds[i]))
            return true;
    }

    return false;
}

/* Why no time through the station can be told, or NULL. */
static const char *volume_missing(struct arena *mem, const struct station_flow *flow)
{
    if (flow->tank || !holds_water(flow))
        return NULL;

    return arena_printf(mem, "the volume of %s (a %s) is missing: add it under `tanks:`",
                        flow->station->key, flow->station->kind);
}

/* --- the network ----------------------------------------------------------------------------- */

static bool on_a_path(const struct farm_flows *flows, size_t station)
{
    for (size_t i = 0; i < flows->path_count; i++) {
        if (flows->paths[i].from == station || flows->paths[i].to == station)
            return true;
    }

    return false;
}

struct building {
    struct flow_station *stations;
    size_t *index; /* of a station of the farm; SIZE_MAX: not in the network */
    struct flow_path *paths;
    size_t path_count;
    size_t count;
};

/* What comes in or goes out by no path of the farm file. */
static void outside_add(const struct farm_flows *flows, struct building *building, size_t station)
{
    double in = 0.0;
    double out = 0.0;
    double through = flows->stations[station].m3_per_h;

    for (size_t i = 0; i < flows->path_count; i++) {
        in += flows->paths[i].to == station ? flows->paths[i].m3_per_h : 0.0;
        out += flows->paths[i].from == station ? flows->paths[i].m3_per_h : 0.0;
    }
    through = fmax(through, fmax(in, out));
    if (through - in > balance_share * through)
        building->paths[building->path_count++] =
            (struct flow_path){FLOW_OUTSIDE, building->index[station], through - in};
    if (through - out > balance_share * through)
        building->paths[building->path_count++] =
            (struct flow_path){building->index[station], FLOW_OUTSIDE, through - out};
}

/* False, with the reason, where a station on a path has no flow that is known. */
static bool network_build(struct arena *mem, struct farm_flows *flows, struct building *building)
{
    for (size_t i = 0; i < flows->station_count; i++) {
        const struct station_flow *flow = &flows->stations[i];

        building->index[i] = SIZE_MAX;
        if (!on_a_path(flows, i))
            continue;
        flows->why_not = volume_missing(mem, flow);
        if (flows->why_not)
            return false;
        if (!flow->known) {
            flows->why_not = arena_printf(mem, "the flow at %s is not known", flow->station->key);
            return false;
        }
        building->index[i] = building->count;
        building->stations[building->count++] = (struct flow_station){
            .name = flow->station->key, .volume_m3 = flow->tank ? flow->volume_m3 : pipe_m3};
    }
    for (size_t i = 0; i < flows->path_count; i++) {
        const struct open_path *path = &flows->paths[i];

        if (!path->known) {
            flows->why_not = arena_printf(mem, "the flow from %s to %s is not known",
                                          flows->stations[path->from].station->key,
                                          flows->stations[path->to].station->key);
            return false;
        }
        building->paths[building->path_count++] = (struct flow_path){
            building->index[path->from], building->index[path->to], path->m3_per_h};
    }
    for (size_t i = 0; i < flows->station_count; i++) {
        if (building->index[i] != SIZE_MAX)
            outside_add(flows, building, i);
    }

    return true;
}

static void network_solve(struct arena *mem, struct farm_flows *flows)
{
    struct building building = {
        .stations = ARENA_ARRAY(mem, struct flow_station, flows->station_count),
        .index = ARENA_ARRAY(mem, size_t, flows->station_count),
        .paths = ARENA_ARRAY(mem, struct flow_path, flows->path_count + 2 * flows->station_count)};
    struct flow_network_state state = {0};
    struct err err = ERR_INIT;

    flows->why_not = "the farm file has no flow path that was open";
    if (flows->path_count == 0 || !network_build(mem, flows, &building))
        return;

    struct flow_network network = {.stations = building.stations,
                                   .station_count = building.count,
                                   .paths = building.paths,
                                   .path_count = building.path_count,
                                   .balance_share = 1e3 * balance_share};

    if (!flow_network_solve(mem, &network, &state, &err)) {
        flows->why_not = arena_strdup(mem, err.text);
        return;
    }
    flows->network_known = true;
    flows->why_not = NULL;
    flows->fresh_m3_per_h = state.fresh_m3_per_h;
    flows->total_h = state.total_h;
    for (size_t i = 0; i < flows->station_count; i++) {
        flows->stations[i].state_known = building.index[i] != SIZE_MAX;
        if (flows->stations[i].state_known)
            flows->stations[i].state = state.stations[building.index[i]];
    }
}

/* --- chains ---------------------------------------------------------------------------------- */

/* The delay along a chain: its tanks, each with the flow through it. */
static void chain_work_out(struct arena *mem, const struct farm_flows *flows,
                           struct flow_chain *chain)
{
    struct residence_station *tanks = ARENA_ARRAY(mem, struct residence_station, chain->count);
    struct err err = ERR_INIT;
    size_t count = 0;

    for (size_t i = 0; i < chain->count; i++) {
        const struct station_flow *flow = &flows->stations[chain->stations[i]];

        chain->why_not = volume_missing(mem, flow);
        if (chain->why_not)
            return;
        if (!flow->tank)
            continue;
        if (!flow->known) {
            chain->why_not = arena_printf(mem, "the flow at %s is not known", flow->station->key);
            return;
        }
        tanks[count++] = (struct residence_station){.name = flow->station->key,
                                                    .volume_m3 = flow->volume_m3,
                                                    .flow_m3_per_h = flow->m3_per_h};
    }
    if (count == 0)
        chain->why_not = "none of its stations is in the farm file's tanks, so no volume is known";
    else if (residence_of_chain(tanks, count, &chain->delay, &err))
        chain->known = true;
    else
        chain->why_not = arena_strdup(mem, err.text);
}

static bool ends_here(const struct farm_flows *flows, size_t station)
{
    return str_equal(flows->stations[station].station->kind, "discharge");
}

/* Every way on from the last station of `way`, each station once. */
static void chains_follow(struct arena *mem, struct farm_flows *flows, size_t *way, size_t count)
{
    if (ends_here(flows, way[count - 1]) && count > 1) {
        if (flows->chain_count == FLOW_CHAINS_MOST)
            return;

        struct flow_chain *chain = &flows->chains[flows->chain_count++];

        chain->stations = arena_copy(mem, way, count * sizeof(*way));
        chain->count = count;
        chain_work_out(mem, flows, chain);
        return;
    }
    if (count == flows->station_count || count == RESIDENCE_STATIONS_MAX)
        return;
    for (size_t i = 0; i < flows->path_count; i++) {
        const struct open_path *path = &flows->paths[i];
        bool passed = path->returned > 0.0 || path->from != way[count - 1];

        for (size_t j = 0; j < count; j++)
            passed = passed || way[j] == path->to;
        if (passed)
            continue;
        way[count] = path->to;
        chains_follow(mem, flows, way, count + 1);
    }
}

static void chains_find(struct arena *mem, struct farm_flows *flows)
{
    size_t *way = ARENA_ARRAY(mem, size_t, flows->station_count + 1);

    flows->chains = ARENA_ARRAY(mem, struct flow_chain, FLOW_CHAINS_MOST);
    for (size_t i = 0; i < flows->station_count; i++) {
        if (!str_equal(flows->stations[i].station->kind, "intake"))
            continue;
        way[0] = i;
        chains_follow(mem, flows, way, 1);
    }
}

void farm_network_work_out(struct arena *mem, struct farm_flows *flows)
{
    spread(mem, flows);
    network_solve(mem, flows);
    chains_find(mem, flows);
}
