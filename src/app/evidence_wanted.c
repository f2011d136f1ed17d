#include "app/evidence_wanted.h"

#include "base/str.h"
#include "judge/limit_reads.h"

static bool has(const struct evidence_wanted *wanted, const char *station, const char *parameter)
{
    for (size_t i = 0; i < wanted->count; i++) {
        if (str_equal(wanted->items[i].parameter, parameter) &&
            str_equal(wanted->items[i].station, station))
            return true;
    }

    return false;
}

static void add(struct arena *mem, struct evidence_wanted *wanted, const char *station,
                const char *parameter)
{
    if (station && parameter && !has(wanted, station, parameter))
        LIST_ADD(mem, wanted, ((struct wanted_read){station, parameter}));
}

static void limit_add(struct arena *mem, struct evidence_wanted *wanted, const struct limit *limit)
{
    struct limit_read_list reads = limit_reads(mem, limit);

    for (size_t i = 0; i < reads.count; i++) {
        const struct limit_read *read = &reads.items[i];

        add(mem, wanted, read->station, read->parameter);
        wanted->before_s = read->before_s > wanted->before_s ? read->before_s : wanted->before_s;
        wanted->after_s = read->after_s > wanted->after_s ? read->after_s : wanted->after_s;
    }
    wanted->span_moves = wanted->span_moves || limit->span_belongs == BELONGS_ENDED ||
                         limit->span_belongs == BELONGS_MOSTLY;
}

/* Whether a limit of the list is about that station. */
static bool station_judged(const struct clause_limits *limits, const char *station)
{
    for (size_t i = 0; i < limits->count; i++) {
        if (str_equal(limits->items[i].limit.station, station))
            return true;
    }

    return false;
}

/* How far from readings of the place those lie that what is made of it may go by. */
static int reach_s(const struct farm *farm, const struct evidence_wanted *wanted, const int *reach,
                   size_t at)
{
    const struct farm_place *made = &farm->derived.items[at].made;
    int furthest = 0;

    for (size_t i = 0; i < wanted->derived_count; i++) {
        if (derivation_reads(wanted->derived[i], made->station, made->parameter) &&
            reach[i] > furthest)
            furthest = reach[i];
    }

    return furthest + farm->derived.items[at].within_s;
}

/*
 * What the farm works out of what is wanted: then that is wanted too. What a derived reading is
 * made of stands above it in the file, so that going upwards meets all of it.
 */
static void derived_add(struct arena *mem, struct evidence_wanted *wanted, const struct farm *farm)
{
    size_t count = farm->derived.count;
    const struct derivation **upwards = ARENA_ARRAY(mem, const struct derivation *, count);
    int *reach = ARENA_ARRAY(mem, int, count);
    int furthest = 0;

    wanted->derived = upwards;
    for (size_t at = count; at-- > 0;) {
        const struct derivation *derivation = farm->derived.items[at].derivation;

        if (!has(wanted, derivation->made.station, derivation->made.parameter->key))
            continue;
        reach[wanted->derived_count] = reach_s(farm, wanted, reach, at);
        if (reach[wanted->derived_count] > furthest)
            furthest = reach[wanted->derived_count];
        upwards[wanted->derived_count++] = derivation;
        for (size_t i = 0; i < EQUATION_INPUTS_MOST; i++) {
            if (derivation->inputs[i].parameter)
                add(mem, wanted, derivation->inputs[i].station,
                    derivation->inputs[i].parameter->key);
        }
    }
    wanted->before_s += furthest;
    wanted->after_s += furthest;

    const struct derivation **downwards =
        ARENA_ARRAY(mem, const struct derivation *, wanted->derived_count);

    for (size_t i = 0; i < wanted->derived_count; i++)
        downwards[i] = upwards[wanted->derived_count - 1 - i];
    wanted->derived = downwards;
}

struct evidence_wanted evidence_wanted_of(struct arena *mem, const struct farm *farm,
                                          const struct clause_limits *limits, day_number first,
                                          day_number last, bool points_of_limits)
{
    struct evidence_wanted wanted = {.count = 0};

    for (size_t i = 0; i < limits->count; i++) {
        const struct clause_limit *clause = &limits->items[i];

        if (!clause_meets(clause->limit.in_force_from, clause->limit.in_force_to, first, last))
            continue;
        limit_add(mem, &wanted, &clause->limit);
        if (clause->before)
            limit_add(mem, &wanted, clause->before);
    }
    for (size_t i = 0; i < farm->licences.count; i++) {
        const struct farm_licence *licence = &farm->licences.items[i];

        for (size_t j = 0; j < licence->point_count; j++) {
            const struct farm_point *point = &licence->points[j];

            if (points_of_limits && !station_judged(limits, point->station))
                continue;
            add(mem, &wanted, point->outlet_station, point->outlet_parameter);
            add(mem, &wanted, point->meter_station, point->meter_parameter);
        }
    }
    derived_add(mem, &wanted, farm);

    return wanted;
}

bool evidence_wants(const struct evidence_wanted *wanted, const struct series_row *row)
{
    return has(wanted, row->station, row->parameter);
}
