#include "app/load_evidence.h"

#include <string.h>

#include "app/evidence_farm.h"
#include "app/evidence_wanted.h"
#include "app/series_filler.h"
#include "base/str.h"
#include "derive/derive.h"
#include "measure/parameter.h"

/* A loading on its way. */
struct loading {
    struct db_tx *tx;
    struct arena *mem;
    const struct farm *farm;
    struct evidence_wanted reads;
    struct loaded_evidence *out;
    struct series_rows all;
    const struct series_row **wanted;
    size_t wanted_count;
    struct filler filler;
};

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

/* A composite may belong to a day long after the one it began in. */
static bool span_reaches_over(const struct loading *loading, const struct series_row *row)
{
    return loading->reads.span_moves && str_equal(row->kind, "composite");
}

static int64_t at_least_a_day_us(int seconds)
{
    int64_t us = seconds * SECOND_US;

    return us > DAY_US ? us : DAY_US;
}

/* What is told beside the readings of a span: samples, limits of detection, marks of doubt. */
static bool beside_fill(struct loading *loading, instant first, instant until, struct err *err)
{
    struct filler *filler = &loading->filler;

    return reading_store_notes(loading->tx, loading->mem, first, until, &filler->told, err) &&
           doubt_store_meeting(loading->tx, loading->mem, first, until, &filler->marks, err) &&
           reading_store_portions(loading->tx, loading->mem, first, until, &filler->portions, err);
}

/* The series of a list that was opened with "{"; none where it is empty. */
static bool list_fill(struct loading *loading, struct buf *list, instant first, instant until,
                      struct err *err)
{
    if (list->len == 0)
        return true;
    buf_add_char(list, '}');

    return series_fill(loading, list->data, first, until, err);
}

static bool readings_fill(struct loading *loading, struct err *err)
{
    struct buf plain = buf_new(loading->mem);
    struct buf spans = buf_new(loading->mem);
    struct loaded_evidence *out = loading->out;
    instant first = out->from_at - at_least_a_day_us(loading->reads.before_s);
    instant until = out->until_at + at_least_a_day_us(loading->reads.after_s);
    instant earliest = loading->reads.span_moves && first > out->from_at - LEAD_DAYS * DAY_US
                           ? out->from_at - LEAD_DAYS * DAY_US
                           : first;

    if (!beside_fill(loading, earliest, until, err))
        return false;
    for (size_t i = 0; i < loading->wanted_count; i++) {
        const struct series_row *row = loading->wanted[i];

        if (span_reaches_over(loading, row))
            buf_addf(&spans, "%s%lld", spans.len ? "," : "{", (long long)row->series_id);
        else if (!reaches_over(loading, row))
            buf_addf(&plain, "%s%lld", plain.len ? "," : "{", (long long)row->series_id);
        else if (!reaching_fill(loading, row, err))
            return false;
    }

    return list_fill(loading, &spans, earliest, until, err) &&
           list_fill(loading, &plain, first, until, err);
}

static void wanted_pick(struct loading *loading)
{
    loading->wanted = ARENA_ARRAY(loading->mem, const struct series_row *, loading->all.count);
    for (size_t i = 0; i < loading->all.count; i++) {
        if (evidence_wants(&loading->reads, &loading->all.items[i]))
            loading->wanted[loading->wanted_count++] = &loading->all.items[i];
    }
    loading->filler.series = ARENA_ARRAY(loading->mem, struct filler_series, loading->wanted_count);
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

    if (!aside_store_between(loading->tx, loading->mem,
                             out->from_at - loading->reads.before_s * SECOND_US,
                             out->until_at + loading->reads.after_s * SECOND_US, &out->asides, err))
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

/* The first loaded series of a station and parameter, or -1. */
static int series_index(const struct evidence *evidence, const char *station, const char *parameter)
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

/* What is worked out from the rest: what goes in is in the digest already. */
static void derived_fill(struct loading *loading)
{
    const struct evidence_wanted *reads = &loading->reads;
    struct evidence *evidence = &loading->out->evidence;
    const struct farm_derived_list *all = &loading->farm->derived;

    for (size_t i = 0; i < all->count; i++) {
        const struct farm_derived *derived = &all->items[i];

        for (size_t k = 0; k < reads->derived_count; k++)
            if (reads->derived[k] == derived->derivation)
                sha256_add(loading->filler.digest, derived->definition,
                           strlen(derived->definition));
    }
    *evidence = derive_all(loading->mem, reads->derived, reads->derived_count, evidence);
}

static bool load(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                 const struct clause_limits *limits, day_number from, day_number to, instant now,
                 bool as_first_stored, bool points_of_limits, struct loaded_evidence *out,
                 struct err *err)
{
    CLEANUP(sha256_drop) struct sha256_state *digest = sha256_begin();
    struct loading loading = {
        .tx = tx,
        .mem = mem,
        .farm = farm->farm,
        .reads = evidence_wanted_of(mem, farm->farm, limits, from, to, points_of_limits),
        .out = out,
        .filler = {.mem = mem, .digest = digest, .as_first_stored = as_first_stored}};

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
    evidence_farm_fill(mem, farm->farm, &out->evidence, digest);
    derived_fill(&loading);
    points_fill(&loading);
    out->digest = sha256_end(&digest);

    return true;
}

bool evidence_load(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                   const struct clause_limits *limits, day_number from, day_number to, instant now,
                   bool as_first_stored, struct loaded_evidence *out, struct err *err)
{
    return load(tx, mem, farm, limits, from, to, now, as_first_stored, false, out, err);
}

bool evidence_load_for_limits(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                              const struct clause_limits *limits, day_number from, day_number to,
                              instant now, struct loaded_evidence *out, struct err *err)
{
    return load(tx, mem, farm, limits, from, to, now, false, true, out, err);
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
