#include "app/load_evidence.h"

#include <string.h>

#include "app/series_filler.h"
#include "base/str.h"
#include "measure/parameter.h"

/* A loading on its way. */
struct loading {
    struct db_tx *tx;
    struct arena *mem;
    const struct farm *farm;
    const struct clause_limits *limits;
    struct loaded_evidence *out;
    struct series_rows all;
    const struct series_row **wanted;
    size_t wanted_count;
    struct filler filler;
};

static bool names(const char *station, const char *parameter, const struct series_row *row)
{
    return station && parameter && str_equal(station, row->station) &&
           str_equal(parameter, row->parameter);
}

static bool point_names(const struct farm_licence *licence, const struct series_row *row)
{
    for (size_t i = 0; i < licence->point_count; i++) {
        const struct farm_point *point = &licence->points[i];

        if (names(point->outlet_station, point->outlet_parameter, row) ||
            names(point->meter_station, point->meter_parameter, row))
            return true;
    }

    return false;
}

static bool series_wanted(const struct loading *loading, const struct series_row *row)
{
    for (size_t i = 0; i < loading->limits->count; i++) {
        const struct limit *limit = &loading->limits->items[i].limit;

        if (clause_meets(limit->in_force_from, limit->in_force_to, loading->out->from,
                         loading->out->to) &&
            (names(limit->station, limit->parameter, row) ||
             names(limit->flow.station, limit->flow.parameter, row)))
            return true;
    }
    for (size_t i = 0; i < loading->farm->licences.count; i++) {
        if (point_names(&loading->farm->licences.items[i], row))
            return true;
    }

    return false;
}

/* States hold and counters differ across the edges of a span: the readings next to it belong. */
static bool reaches_over(const struct loading *loading, const struct series_row *row)
{
    const struct parameter *parameter =
        parameter_find(&loading->farm->known_parameters, row->parameter);

    return parameter && parameter->kind != PARAMETER_NUMBER;
}

static bool series_fill(struct loading *loading, const char *series, instant first, instant until,
                        struct err *err)
{
    return reading_store_evidence(loading->tx, series, first, until, filler_add, &loading->filler,
                                  err);
}

static bool reaching_fill(struct loading *loading, const struct series_row *row, struct err *err)
{
    struct loaded_evidence *out = loading->out;
    instant before = INSTANT_NONE;
    instant after = INSTANT_NONE;
    char *series = arena_printf(loading->mem, "{%lld}", (long long)row->series_id);

    instant first = out->from_at - LEAD_DAYS * DAY_US;

    if (!reading_store_neighbours(loading->tx, row->series_id, first, out->until_at, &before,
                                  &after, err))
        return false;

    return series_fill(loading, series, before == INSTANT_NONE ? first : before,
                       after == INSTANT_NONE ? out->until_at : after + 1, err);
}

static bool readings_fill(struct loading *loading, struct err *err)
{
    struct buf plain = buf_new(loading->mem);
    struct loaded_evidence *out = loading->out;
    instant first = out->from_at - DAY_US;
    instant until = out->until_at + DAY_US;

    if (!reading_store_doubts(loading->tx, loading->mem, first, until, &loading->filler.doubts,
                              err) ||
        !reading_store_portions(loading->tx, loading->mem, first, until,
                                &loading->filler.portions, err))
        return false;
    for (size_t i = 0; i < loading->wanted_count; i++) {
        const struct series_row *row = loading->wanted[i];

        if (!reaches_over(loading, row))
            buf_addf(&plain, "%s%lld", plain.len ? "," : "{", (long long)row->series_id);
        else if (!reaching_fill(loading, row, err))
            return false;
    }
    if (plain.len == 0)
        return true;
    buf_add_char(&plain, '}');

    return series_fill(loading, plain.data, first, until, err);
}

static void wanted_pick(struct loading *loading)
{
    loading->wanted = ARENA_ARRAY(loading->mem, const struct series_row *, loading->all.count);
    for (size_t i = 0; i < loading->all.count; i++) {
        if (series_wanted(loading, &loading->all.items[i]))
            loading->wanted[loading->wanted_count++] = &loading->all.items[i];
    }
    loading->filler.series =
        ARENA_ARRAY(loading->mem, struct filler_series, loading->wanted_count);
    loading->filler.series_count = loading->wanted_count;

    int64_t *ids = ARENA_ARRAY(loading->mem, int64_t, loading->wanted_count);

    for (size_t i = 0; i < loading->wanted_count; i++) {
        loading->filler.series[i].row = loading->wanted[i];
        ids[i] = loading->wanted[i]->series_id;
    }
    loading->out->series_ids = ids;
}

static bool asides_fill(struct loading *loading, struct err *err)
{
    struct loaded_evidence *out = loading->out;

    if (!aside_store_between(loading->tx, loading->mem, out->from_at, out->until_at, &out->asides,
                             err))
        return false;

    struct evidence_set_aside *list =
        ARENA_ARRAY(loading->mem, struct evidence_set_aside, out->asides.count);

    for (size_t i = 0; i < out->asides.count; i++) {
        const struct aside_row *row = &out->asides.items[i];
        struct origin origin = {row->receipt, row->line, row->column};

        list[i] = (struct evidence_set_aside){.station = row->station,
                                              .parameter = row->parameter,
                                              .at = row->at,
                                              .has_value = row->has_value,
                                              .qualifier = row->qualifier,
                                              .value = row->value,
                                              .unit = row->unit,
                                              .reason = row->words,
                                              .from_probe = row->from_probe,
                                              .origin = origin};
        sha256_add(loading->filler.digest, &origin, sizeof(origin));
    }
    out->evidence.set_aside = list;
    out->evidence.set_aside_count = out->asides.count;

    return true;
}

static void counters_fill(struct loading *loading)
{
    const struct farm *farm = loading->farm;
    struct evidence_counter *list =
        ARENA_ARRAY(loading->mem, struct evidence_counter, farm->counters.count);

    for (size_t i = 0; i < farm->counters.count; i++) {
        const struct farm_counter *counter = &farm->counters.items[i];

        list[i] = (struct evidence_counter){.station = counter->station,
                                            .parameter = counter->parameter,
                                            .size = counter->size,
                                            .multiplier = counter->multiplier,
                                            .most_per_day = counter->most_per_day,
                                            .share_over_days = counter->share_over_days,
                                            .replaced_at = counter->replaced_at,
                                            .replaced_count = counter->replaced_count};
    }
    loading->out->evidence.counters = list;
    loading->out->evidence.counter_count = farm->counters.count;
}

/* The first loaded series of a station and parameter, or -1. */
static int series_index(const struct evidence *evidence, const char *station,
                        const char *parameter)
{
    for (size_t i = 0; station && parameter && i < evidence->series_count; i++) {
        if (str_equal(evidence->series[i].station, station) &&
            str_equal(evidence->series[i].parameter, parameter))
            return (int)i;
    }

    return -1;
}

static void points_fill(struct loading *loading)
{
    struct loaded_evidence *out = loading->out;
    size_t count = 0;

    for (size_t i = 0; i < loading->farm->licences.count; i++)
        count += loading->farm->licences.items[i].point_count;

    struct evidence_point *points = ARENA_ARRAY(loading->mem, struct evidence_point, count);

    for (size_t i = 0; i < loading->farm->licences.count; i++) {
        const struct farm_licence *licence = &loading->farm->licences.items[i];

        for (size_t j = 0; j < licence->point_count; j++) {
            const struct farm_point *point = &licence->points[j];
            struct evidence_point *into = &points[out->point_count++];

            *into = (struct evidence_point){
                .licence = licence,
                .point = point,
                .outlet_series =
                    series_index(&out->evidence, point->outlet_station, point->outlet_parameter),
                .meter_series =
                    series_index(&out->evidence, point->meter_station, point->meter_parameter)};
            into->days = judge_discharge_days(loading->mem, &out->evidence, into->outlet_series,
                                              into->meter_series, out->from - LEAD_DAYS, out->to) +
                         LEAD_DAYS;
        }
    }
    out->points = points;
}

bool evidence_load(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                   const struct clause_limits *limits, day_number from, day_number to, instant now,
                   bool as_first_stored, struct loaded_evidence *out, struct err *err)
{
    CLEANUP(sha256_drop) struct sha256_state *digest = sha256_begin();
    struct loading loading = {.tx = tx,
                              .mem = mem,
                              .farm = farm->farm,
                              .limits = limits,
                              .out = out,
                              .filler = {.mem = mem,
                                         .digest = digest,
                                         .as_first_stored = as_first_stored}};

    *out = (struct loaded_evidence){.from = from,
                                    .to = to,
                                    .from_at = zone_day_start(farm->farm->zone, from),
                                    .until_at = zone_day_start(farm->farm->zone, to + 1),
                                    .evidence = {.zone = farm->farm->zone,
                                                 .now = now,
                                                 .units = farm->units,
                                                 .parameters = &farm->farm->known_parameters,
                                                 .outlet_series = -1,
                                                 .state_holds_s = farm->farm->state_holds_s,
                                                 .licence_ends = DAY_NONE}};
    if (!series_store_list(tx, mem, &loading.all, err))
        return false;
    wanted_pick(&loading);
    if (!readings_fill(&loading, err) || !asides_fill(&loading, err))
        return false;
    out->evidence.series = filler_series_of(&loading.filler, loading.wanted, loading.wanted_count);
    out->evidence.series_count = loading.wanted_count;
    counters_fill(&loading);
    points_fill(&loading);
    out->digest = sha256_end(&digest);

    return true;
}

const struct evidence_point *evidence_point_find(const struct loaded_evidence *loaded,
                                                 const char *station)
{
    for (size_t i = 0; i < loaded->point_count; i++) {
        if (str_equal(loaded->points[i].point->station, station))
            return &loaded->points[i];
    }

    return NULL;
}

struct evidence evidence_for_limit(const struct loaded_evidence *loaded, const struct farm *farm,
                                   const struct limit *limit)
{
    struct evidence evidence = loaded->evidence;
    const struct evidence_point *point = evidence_point_find(loaded, limit->station);
    const struct farm_licence *licence = farm_find_licence(farm, limit->licence);

    if (point) {
        evidence.days = point->days;
        evidence.day_count = (size_t)(loaded->to - loaded->from) + 1;
        evidence.outlet_series = point->outlet_series;
    }
    if (licence && licence->ends != DAY_NONE && !licence->continued)
        evidence.licence_ends = licence->ends + 1;

    return evidence;
}
