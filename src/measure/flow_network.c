#include "measure/flow_network.h"

#include <math.h>

#include "measure/input_range.h"

/* What a station takes in and gives out, in m3/h. */
struct exchange {
    double in;
    double out;
    bool reached; /* by water from outside */
    bool drained; /* to outside */
};

static const char *name_of(const struct flow_network *network, size_t station)
{
    return station == FLOW_OUTSIDE ? "outside" : network->stations[station].name;
}

static bool path_holds(const struct flow_network *network, size_t path, struct err *err)
{
    const struct flow_path *p = &network->paths[path];
    size_t count = network->station_count;

    if ((p->from != FLOW_OUTSIDE && p->from >= count) || (p->to != FLOW_OUTSIDE && p->to >= count))
        return err_set(err, ERR_INVALID, "flow path %zu has an end at no station", path + 1);
    if (p->from == FLOW_OUTSIDE && p->to == FLOW_OUTSIDE)
        return err_set(err, ERR_INVALID, "flow path %zu touches no station", path + 1);
    if (!input_not_negative("flow", p->flow_m3_per_h, "m3/h", err))
        return err_wrap(err, "path from %s to %s", name_of(network, p->from),
                        name_of(network, p->to));

    return true;
}

static bool shape_holds(const struct flow_network *network, struct err *err)
{
    if (network->station_count == 0 || network->station_count > FLOW_NETWORK_STATIONS_MAX)
        return err_set(err, ERR_INVALID, "the network has %zu stations: it must have 1 to %d",
                       network->station_count, FLOW_NETWORK_STATIONS_MAX);
    if (network->path_count > FLOW_NETWORK_PATHS_MAX)
        return err_set(err, ERR_INVALID, "the network has %zu paths: it may have %d",
                       network->path_count, FLOW_NETWORK_PATHS_MAX);
    if (!input_within("balance share", network->balance_share, 0, 0.5, "(a share)", err))
        return false;

    for (size_t i = 0; i < network->station_count; i++)
        if (!input_positive("volume", network->stations[i].volume_m3, "m3", err))
            return err_wrap(err, "%s", network->stations[i].name);
    for (size_t i = 0; i < network->path_count; i++)
        if (!path_holds(network, i, err))
            return false;

    return true;
}

static double sum_flows(const struct flow_network *network, struct exchange *stations)
{
    double fresh = 0;

    for (size_t i = 0; i < network->path_count; i++) {
        const struct flow_path *p = &network->paths[i];

        if (p->from == FLOW_OUTSIDE)
            fresh += p->flow_m3_per_h;
        else
            stations[p->from].out += p->flow_m3_per_h;
        if (p->to != FLOW_OUTSIDE)
            stations[p->to].in += p->flow_m3_per_h;
    }

    return fresh;
}

/* Follow the open paths once; true while something new was found. */
static bool follow(const struct flow_network *network, struct exchange *stations)
{
    bool found = false;

    for (size_t i = 0; i < network->path_count; i++) {
        const struct flow_path *p = &network->paths[i];

        if (!(p->flow_m3_per_h > 0))
            continue;
        if (p->to != FLOW_OUTSIDE && !stations[p->to].reached &&
            (p->from == FLOW_OUTSIDE || stations[p->from].reached))
            found = stations[p->to].reached = true;
        if (p->from != FLOW_OUTSIDE && !stations[p->from].drained &&
            (p->to == FLOW_OUTSIDE || stations[p->to].drained))
            found = stations[p->from].drained = true;
    }

    return found;
}

static bool stations_hold(const struct flow_network *network, const struct exchange *stations,
                          struct err *err)
{
    for (size_t i = 0; i < network->station_count; i++) {
        const struct exchange *s = &stations[i];
        const char *name = network->stations[i].name;

        if (s->in == 0)
            return err_set(err, ERR_INVALID,
                           "%s: flow is 0 m3/h: residence time is undefined where nothing flows, "
                           "it must be above 0",
                           name);
        if (fabs(s->in - s->out) > network->balance_share * fmax(s->in, s->out) + 1e-12 * s->in)
            return err_set(err, ERR_INVALID,
                           "%s takes in %.6g m3/h and gives out %.6g m3/h: they may differ by a "
                           "share of %.4g",
                           name, s->in, s->out, network->balance_share);
        if (!s->reached)
            return err_set(err, ERR_INVALID, "no water from outside reaches %s", name);
        if (!s->drained)
            return err_set(err, ERR_INVALID, "no water of %s ever leaves", name);
    }

    return true;
}

static void swap_rows(double *m, size_t columns, size_t a, size_t b)
{
    for (size_t j = 0; a != b && j < columns; j++) {
        double kept = m[a * columns + j];

        m[a * columns + j] = m[b * columns + j];
        m[b * columns + j] = kept;
    }
}

/*
 * Gauss-Jordan with partial pivoting on rows x columns: the columns beyond the square become the
 * solutions. ERR_BUG: singular, which stations_hold() rules out.
 */
static bool eliminate(double *m, size_t rows, size_t columns, struct err *err)
{
    for (size_t k = 0; k < rows; k++) {
        size_t best = k;

        for (size_t i = k + 1; i < rows; i++)
            if (fabs(m[i * columns + k]) > fabs(m[best * columns + k]))
                best = i;
        if (!(fabs(m[best * columns + k]) > 0))
            return err_set(err, ERR_BUG, "the network's equations have no one solution");
        swap_rows(m, columns, k, best);

        for (size_t i = 0; i < rows; i++) {
            double factor = m[i * columns + k] / m[k * columns + k];

            for (size_t j = k; i != k && j < columns; j++)
                m[i * columns + j] -= factor * m[k * columns + j];
        }
    }

    for (size_t k = 0; k < rows; k++)
        for (size_t j = columns; j-- > k;)
            m[k * columns + j] /= m[k * columns + k];

    return true;
}

/* T_i a_i - sum q_ji a_j = V_i */
static bool solve_ages(struct arena *mem, const struct flow_network *network,
                       const struct exchange *stations, struct flow_station_state *states,
                       struct err *err)
{
    size_t n = network->station_count;
    size_t columns = n + 1;
    double *m = ARENA_ARRAY(mem, double, n *columns);

    for (size_t i = 0; i < n; i++) {
        m[i * columns + i] = stations[i].in;
        m[i * columns + n] = network->stations[i].volume_m3;
    }
    for (size_t k = 0; k < network->path_count; k++) {
        const struct flow_path *p = &network->paths[k];

        if (p->from != FLOW_OUTSIDE && p->to != FLOW_OUTSIDE)
            m[p->to * columns + p->from] -= p->flow_m3_per_h;
    }
    if (!eliminate(m, n, columns, err))
        return false;

    for (size_t i = 0; i < n; i++)
        states[i].age_h = m[i * columns + n];

    return true;
}

/* (I - P) N = I, and of N the diagonal. */
static bool solve_passes(struct arena *mem, const struct flow_network *network,
                         const struct exchange *stations, struct flow_station_state *states,
                         struct err *err)
{
    size_t n = network->station_count;
    size_t columns = 2 * n;
    double *m = ARENA_ARRAY(mem, double, n *columns);

    for (size_t i = 0; i < n; i++)
        m[i * columns + i] = m[i * columns + n + i] = 1;
    for (size_t k = 0; k < network->path_count; k++) {
        const struct flow_path *p = &network->paths[k];

        if (p->from != FLOW_OUTSIDE && p->to != FLOW_OUTSIDE)
            m[p->from * columns + p->to] -= p->flow_m3_per_h / stations[p->from].out;
    }
    if (!eliminate(m, n, columns, err))
        return false;

    for (size_t i = 0; i < n; i++) {
        states[i].passes = m[i * columns + n + i];
        states[i].returned_share = 1 - 1 / states[i].passes;
    }

    return true;
}

bool flow_network_solve(struct arena *mem, const struct flow_network *network,
                        struct flow_network_state *out, struct err *err)
{
    struct flow_network_state state = {.station_count = network->station_count};

    if (!shape_holds(network, err))
        return false;

    struct exchange *stations = ARENA_ARRAY(mem, struct exchange, network->station_count);

    state.fresh_m3_per_h = sum_flows(network, stations);
    while (follow(network, stations))
        continue;
    if (!stations_hold(network, stations, err))
        return false;

    state.stations = ARENA_ARRAY(mem, struct flow_station_state, network->station_count);
    if (!solve_ages(mem, network, stations, state.stations, err) ||
        !solve_passes(mem, network, stations, state.stations, err))
        return false;

    for (size_t i = 0; i < network->station_count; i++) {
        double volume = network->stations[i].volume_m3;

        state.stations[i].through_m3_per_h = stations[i].in;
        state.stations[i].nominal_h = volume / stations[i].in;
        state.total_h += volume / state.fresh_m3_per_h;
    }
    *out = state;

    return true;
}
