#include "app/load_evidence.h"

#include <stdlib.h>

#include "app/evidence_farm.h"
#include "app/evidence_wanted.h"
#include "app/series_filler.h"
#include "base/str.h"
#include "derive/derive.h"
#include "ingest/draft.h"
#include "ingest/place.h"

/* first <= t < until */
struct span {
    instant first;
    instant until;
};

/* Beside those that a clause looks at: some of the newest samples, or days, may not count. */
enum { SAMPLES_MORE = 20 };

/* A series that is read. */
struct wanted_series {
    struct span span; /* of what was read of it */
    bool is_read;
    bool samples_cut; /* of last samples the store may have more than were asked of it */
    bool lacks_samples;
};

/* A loading on its way. */
struct loading {
    struct db_tx *tx;
    struct arena *mem;
    const struct farm *farm;
    struct evidence_wanted reads;
    bool in_brief; /* nobody is told where a reading came from */
    struct loaded_evidence *out;
    struct series_rows all;
    const struct series_row **wanted;
    struct wanted_series *series; /* beside them */
    size_t wanted_count;
    struct span all_time; /* of all that is read */
    struct filler filler;
};

static bool series_fill(struct loading *loading, const char *series, instant first, instant until,
                        struct err *err)
{
    return reading_view_list(loading->tx, series, first, until, loading->in_brief, filler_add,
                             &loading->filler, err);
}

/* From when to when a series is read: states and meters with their neighbours. */
static bool span_find(struct loading *loading, const struct series_row *row, struct span *out,
                      struct err *err)
{
    const struct wanted_span wanted = evidence_wanted_span(
        loading->farm, evidence_wants(&loading->reads, row), kind_bit(row->kind));
    instant before = INSTANT_NONE;
    instant after = INSTANT_NONE;

    *out = (struct span){wanted.first, wanted.until};
    if (!wanted.reaches_over)
        return true;
    if (!reading_store_neighbours(loading->tx, row->series_id, out->first, out->until, &before,
                                  &after, err))
        return false;
    out->first = before == INSTANT_NONE ? out->first : before;
    out->until = after == INSTANT_NONE ? out->until : after + 1;

    return true;
}

/* What is told beside the readings of a span: samples, limits of detection, marks of doubt. */
static bool beside_fill(struct loading *loading, instant first, instant until, struct err *err)
{
    struct filler *filler = &loading->filler;

    return reading_store_notes(loading->tx, loading->mem, first, until, &filler->told, err) &&
           filler_doubts(filler, loading->tx, loading->farm, first, until, err) &&
           filler_beside(filler, loading->tx, loading->farm, first, until, err) &&
           reading_store_portions(loading->tx, loading->mem, first, until, &filler->portions, err);
}

static bool same_span(const struct span *a, const struct span *b)
{
    return a->first == b->first && a->until == b->until;
}

/* Series that are to be read over the same span as the one at `at`, as an array for the store. */
static const char *alike_begin(struct loading *loading, const struct span *spans, size_t at)
{
    struct buf list = buf_new(loading->mem);

    for (size_t i = at; i < loading->wanted_count; i++) {
        struct wanted_series *series = &loading->series[i];

        if (series->is_read || !same_span(&spans[i], &spans[at]))
            continue;
        buf_addf(&list, "%s%lld", list.len ? "," : "{", (long long)loading->wanted[i]->series_id);
        loading->filler.series[i] = (struct filler_series){.row = loading->wanted[i]};
        series->span = spans[i];
        series->is_read = true;
    }
    buf_add_char(&list, '}');

    return list.data;
}

/* All series that are read over the same span, in one statement; what was read stays. */
static bool spans_fill(struct loading *loading, const struct span *spans, struct err *err)
{
    for (size_t i = 0; i < loading->wanted_count; i++) {
        struct wanted_series *series = &loading->series[i];

        series->is_read = series->is_read && same_span(&series->span, &spans[i]);
    }
    for (size_t i = 0; i < loading->wanted_count; i++) {
        if (loading->series[i].is_read)
            continue;
        if (!series_fill(loading, alike_begin(loading, spans, i), spans[i].first, spans[i].until,
                         err))
            return false;
    }
    loading->out->rows_read = loading->filler.rows;

    return true;
}

static bool readings_fill(struct loading *loading, struct err *err)
{
    struct span *spans = ARENA_ARRAY(loading->mem, struct span, loading->wanted_count);
    struct span *all = &loading->all_time;

    *all = (struct span){loading->out->from_at - DAY_US, loading->out->until_at + DAY_US};
    for (size_t i = 0; i < loading->wanted_count; i++) {
        if (!span_find(loading, loading->wanted[i], &spans[i], err))
            return false;
        all->first = spans[i].first < all->first ? spans[i].first : all->first;
        all->until = spans[i].until > all->until ? spans[i].until : all->until;
    }

    return beside_fill(loading, all->first, all->until, err) && spans_fill(loading, spans, err);
}

/* Days before the span that hold so many days with a reading, where each of them has one. */
static day_number days_reach(const struct loading *loading, const struct wanted_read *read,
                             size_t depth)
{
    size_t days = read->samples * depth;

    return loading->out->from - (day_number)(read->skips_days ? 2 * days + SAMPLES_MORE : days);
}

/* How far before the span a series' last samples lie: where each counts, `depth` 1 is enough. */
static void series_reach(struct loading *loading, size_t at, size_t depth,
                         const struct reading_newest *newest)
{
    struct wanted_read *read = evidence_wants(&loading->reads, loading->wanted[at]);
    bool cut = newest->found == newest->most;
    day_number day =
        newest->found > 0 ? zone_day(loading->farm->zone, newest->oldest) : read->first;

    loading->series[at].samples_cut = cut;
    if (read->by_day && cut && days_reach(loading, read, depth) < day)
        day = days_reach(loading, read, depth);
    read->first = day < read->first ? day : read->first;
}

/* Of last samples: how far before the span they lie, at first and where that was too little. */
static bool samples_reach(struct loading *loading, size_t depth, struct err *err)
{
    struct reading_newest *newest =
        ARENA_ARRAY(loading->mem, struct reading_newest, loading->wanted_count);
    size_t *of = ARENA_ARRAY(loading->mem, size_t, loading->wanted_count);
    size_t count = 0;

    for (size_t i = 0; i < loading->wanted_count; i++) {
        size_t samples = evidence_wants(&loading->reads, loading->wanted[i])->samples;

        if (samples == 0 || (depth > 1 && !loading->series[i].lacks_samples))
            continue;
        of[count] = i;
        newest[count++] = (struct reading_newest){.series_id = loading->wanted[i]->series_id,
                                                  .most = 2 * samples * depth + SAMPLES_MORE};
    }
    if (!reading_store_newest(loading->tx, loading->mem, newest, count, loading->out->from_at, err))
        return false;
    for (size_t i = 0; i < count; i++)
        series_reach(loading, of[i], depth, &newest[i]);

    return true;
}

/* Whether so many instants, or days, before the span have a reading that may well count. */
static bool has_samples(const struct loading *loading, const struct filler_series *series,
                        const struct wanted_read *read)
{
    const struct zone *zone = loading->farm->zone;
    int64_t last = INT64_MIN;
    size_t count = 0;

    for (size_t i = 0; i < series->count && series->items[i].at < loading->out->from_at; i++) {
        const struct evidence_reading *reading = &series->items[i];

        if (reading->left_out || reading->doubt || !reading->counts)
            continue;

        int64_t when = read->by_day ? zone_day(zone, reading->at) : reading->at;

        count += when != last;
        last = when;
    }

    return count >= read->samples;
}

/* Whether a clause on last samples has fewer than it looks at among what was read. */
static bool lacks_samples(struct loading *loading)
{
    bool any = false;

    for (size_t i = 0; i < loading->wanted_count; i++) {
        const struct wanted_read *read = evidence_wants(&loading->reads, loading->wanted[i]);
        struct wanted_series *series = &loading->series[i];

        series->lacks_samples = read->samples > 0 && series->samples_cut &&
                                !has_samples(loading, &loading->filler.series[i], read);
        any = any || series->lacks_samples;
    }

    return any;
}

/* Read, and again further back while a clause on last samples lacks some that there may be. */
static bool samples_fill(struct loading *loading, struct err *err)
{
    bool again = true;

    for (size_t depth = 1; again; depth *= 2) {
        if (!samples_reach(loading, depth, err))
            return false;
        evidence_wanted_points(&loading->reads, loading->farm);
        if (!readings_fill(loading, err))
            return false;
        again = lacks_samples(loading);
    }

    return true;
}

static void wanted_pick(struct loading *loading)
{
    loading->wanted_count = 0;
    loading->wanted = ARENA_ARRAY(loading->mem, const struct series_row *, loading->all.count);
    for (size_t i = 0; i < loading->all.count; i++) {
        if (evidence_wants(&loading->reads, &loading->all.items[i]))
            loading->wanted[loading->wanted_count++] = &loading->all.items[i];
    }
    loading->series = ARENA_ARRAY(loading->mem, struct wanted_series, loading->wanted_count);
    loading->filler.series = ARENA_ARRAY(loading->mem, struct filler_series, loading->wanted_count);
    loading->filler.series_count = loading->wanted_count;

    int64_t *ids = ARENA_ARRAY(loading->mem, int64_t, loading->wanted_count);

    for (size_t i = 0; i < loading->wanted_count; i++) {
        loading->filler.series[i].row = loading->wanted[i];
        ids[i] = loading->wanted[i]->series_id;
    }
    loading->out->series_ids = ids;
}

/* Rows set aside that were accepted, in order of place, and whether columns tell them apart. */
struct forgotten {
    const struct aside_row *row;
    bool by_column;
};

static int place_order(const void *key, const void *item)
{
    const struct origin *origin = key;
    const struct forgotten *other = item;

    if (origin->receipt != other->row->receipt)
        return origin->receipt < other->row->receipt ? -1 : 1;
    if (origin->line != other->row->line)
        return origin->line < other->row->line ? -1 : 1;
    if (!other->by_column || origin->column == other->row->column)
        return 0;

    return origin->column < other->row->column ? -1 : 1;
}

/* Readings that rows set aside became when their file was read again: at first there were none. */
static void readings_forget(struct loading *loading, const struct aside_rows *rows)
{
    struct forgotten *list = ARENA_ARRAY(loading->mem, struct forgotten, rows->count);
    size_t count = 0;

    for (size_t i = 0; i < rows->count; i++) {
        const struct aside_row *row = &rows->items[i];
        const struct farm_source *source =
            row->answered ? farm_find_source(loading->farm, row->source) : NULL;

        if (row->answered)
            list[count++] = (struct forgotten){row, source && source_by_column(&source->source)};
    }
    for (size_t i = 0; i < loading->filler.series_count && count > 0; i++) {
        struct filler_series *series = &loading->filler.series[i];
        size_t kept = 0;

        for (size_t j = 0; j < series->count; j++) {
            if (!bsearch(&series->items[j].origin, list, count, sizeof(*list), place_order))
                series->items[kept++] = series->items[j];
        }
        series->count = kept;
    }
}

static bool is_for(const struct aside_row *row, enum problem_reason reason)
{
    return str_equal(row->reason, problem_reason_name(reason));
}

/* Rows whose answers are not undone wait no more. */
static void answers_keep(const struct acts_undone *undone, struct aside_rows *rows)
{
    size_t kept = 0;

    for (size_t i = 0; i < rows->count; i++) {
        if (!rows->items[i].answered || acts_undone_row(undone, &rows->items[i]))
            rows->items[kept++] = rows->items[i];
    }
    rows->count = kept;
}

static bool asides_fill(struct loading *loading, struct err *err)
{
    struct loaded_evidence *out = loading->out;
    struct aside_rows rows = {0};

    if (!aside_store_between(loading->tx, loading->mem, loading->all_time.first,
                             loading->all_time.until, loading->filler.undone != NULL, &rows, err) ||
        !aside_store_between(loading->tx, loading->mem, out->from_at, out->until_at, false,
                             &out->asides, err))
        return false;
    answers_keep(loading->filler.undone, &rows);
    readings_forget(loading, &rows);

    struct evidence_set_aside *list =
        ARENA_ARRAY(loading->mem, struct evidence_set_aside, rows.count);

    for (size_t i = 0; i < rows.count; i++) {
        const struct aside_row *row = &rows.items[i];
        struct origin origin = {row->receipt, row->line, row->column};

        list[i] = (struct evidence_set_aside){
            .station = row->station,
            .parameter = row->parameter,
            .at = row->at,
            .has_value = row->has_value,
            .qualifier = row->qualifier,
            .value = row->value,
            .unit = row->unit,
            .reason = row->words,
            .place = row->sheet ? arena_printf(loading->mem, "sheet %s, row %d", row->sheet,
                                               place_row(row->line))
                                : NULL,
            .from_probe = row->from_probe,
            .contradicts = is_for(row, PROBLEM_CONTRADICTS_FILE) ? row->words : NULL,
            .beside_stored = is_for(row, PROBLEM_CONTRADICTS_STORED),
            .origin = origin};
    }
    out->evidence.set_aside = list;
    out->evidence.set_aside_count = rows.count;

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

static void point_days(struct loading *loading, struct evidence_point *point)
{
    const struct loaded_evidence *out = loading->out;
    struct evidence evidence = out->evidence;

    evidence.outlet_station = point->point->outlet_station;
    evidence.outlet_parameter = point->point->outlet_parameter;
    point->first = out->from;
    point->last = out->to;
    evidence_wanted_days(&loading->reads, point->point->station, &point->first, &point->last);
    point->first -= LEAD_DAYS;
    point->days = judge_discharge_days(loading->mem, &evidence, point->outlet_series,
                                       point->meter_series, point->first, point->last) +
                  (out->from - point->first);
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
            point_days(loading, into);
        }
    }
    out->points = points;
}

static bool load(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                 const struct clause_limits *limits, day_number from, day_number to, instant now,
                 const struct acts_undone *undone, bool in_brief, bool points_of_limits,
                 struct loaded_evidence *out, struct err *err)
{
    struct loading loading = {
        .tx = tx,
        .mem = mem,
        .farm = farm->farm,
        .reads = evidence_wanted_of(mem, farm->farm, limits, from, to, points_of_limits),
        .out = out,
        .filler = {.mem = mem, .unit_table = farm->units, .undone = undone}};

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
    /* What stands in for a derived reading tells its row, and what an act brought goes by it. */
    loading.in_brief = in_brief && loading.reads.derived_count == 0 && !undone;
    if (!series_store_list(tx, mem, &loading.all, err))
        return false;
    wanted_pick(&loading);
    if (!samples_fill(&loading, err) || !asides_fill(&loading, err))
        return false;
    out->evidence.series = filler_series_of(&loading.filler, loading.wanted, loading.wanted_count);
    out->evidence.series_count = loading.wanted_count;
    out->stored_count = loading.wanted_count;
    evidence_farm_fill(mem, farm->farm, &out->evidence);
    out->evidence =
        derive_all(mem, loading.reads.derived, loading.reads.derived_count, &out->evidence);
    points_fill(&loading);

    return true;
}

bool evidence_load(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                   const struct clause_limits *limits, day_number from, day_number to, instant now,
                   const struct acts_undone *undone, bool in_brief, struct loaded_evidence *out,
                   struct err *err)
{
    return load(tx, mem, farm, limits, from, to, now, undone, in_brief, false, out, err);
}

bool evidence_load_for_limits(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                              const struct clause_limits *limits, day_number from, day_number to,
                              instant now, bool in_brief, struct loaded_evidence *out,
                              struct err *err)
{
    return load(tx, mem, farm, limits, from, to, now, NULL, in_brief, true, out, err);
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
        evidence.days = point->days - (loaded->from - point->first);
        evidence.day_count = (size_t)(point->last - point->first) + 1;
        evidence.outlet_series = point->outlet_series;
        evidence.outlet_station = point->point->outlet_station;
        evidence.outlet_parameter = point->point->outlet_parameter;
    }
    if (licence && licence->ends != DAY_NONE && !licence->continued)
        evidence.licence_ends = licence->ends + 1;

    return evidence;
}
