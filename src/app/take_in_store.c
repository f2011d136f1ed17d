#include "app/take_in_store.h"

#include <math.h>
#include <stdio.h>

#include "base/str.h"
#include "ingest/purpose.h"
#include "judge/evidence.h"
#include "ledger/leaf.h"
#include "store/aside_store.h"

static bool copying_end(struct storing *storing, struct err *err)
{
    size_t rows = 0;

    if (storing->copying == COPYING_NOTHING)
        return true;
    storing->copying = COPYING_NOTHING;

    return db_copy_end(&storing->copy, &rows, err);
}

static bool copying_readings(struct storing *storing, struct err *err)
{
    if (storing->copying == COPYING_READINGS)
        return true;
    if (!copying_end(storing, err))
        return false;
    if (storing->staged ? !reading_store_stage(storing->tx, &storing->copy, err)
                        : !reading_store_copy(storing->tx, &storing->copy, err))
        return false;
    storing->copying = COPYING_READINGS;

    return true;
}

static bool copying_aside(struct storing *storing, struct err *err)
{
    if (storing->copying == COPYING_ASIDE)
        return true;
    if (!copying_end(storing, err) || !aside_store_copy(storing->tx, &storing->copy, err))
        return false;
    storing->copying = COPYING_ASIDE;

    return true;
}

static void batch_close(struct storing *storing)
{
    LIST_ADD(storing->mem, &storing->roots,
             ((struct batch_root){(size_t)storing->tree.count, merkle_root(&storing->tree)}));
    storing->tree = (struct merkle){.count = 0};
}

/* A stored reading becomes a leaf of the receipt, in the order of the file. */
static bool leaf_add(struct storing *storing, const struct reading_row *row, struct err *err)
{
    char portion[24] = "";
    int64_t place = ((int64_t)row->line << 31) + row->column;

    if (place <= storing->last_place)
        return err_set(err, ERR_CONFLICT, "rows are not in the order of the file");
    storing->last_place = place;
    if (row->portion)
        snprintf(portion, sizeof(portion), "%lld", (long long)row->portion);

    struct digest hash = leaf_hash(&(struct leaf){.farm_id = storing->tx->farm_id,
                                                  .series_id = row->series_id,
                                                  .at = row->at,
                                                  .until = row->until,
                                                  .portion = portion,
                                                  .qualifier = row->qualifier,
                                                  .coefficient = row->reported.coefficient,
                                                  .scale = row->reported.scale,
                                                  .unit = row->unit,
                                                  .receipt = storing->receipt,
                                                  .line = row->line,
                                                  .column = row->column});

    merkle_push_hash(&storing->tree, &hash);
    if (storing->tree.count == RECEIPT_BATCH_READINGS)
        batch_close(storing);

    return true;
}

/* Whether a reading is of a blank: clean water that went the sample's way. */
static bool is_blank_taken(const struct storing *storing, const struct reading_row *row)
{
    for (size_t i = 0; row->portion != 0 && i < storing->blanks_taken.count; i++)
        if (storing->blanks_taken.items[i] == row->portion)
            return true;

    return false;
}

static void blank_note(struct storing *storing, const struct draft *draft,
                       const struct reading_row *row)
{
    const struct file_sample *told = file_samples_of(&storing->scan->samples, draft);

    if (told && told->purpose && purpose_is_blank(told->purpose) && !is_blank_taken(storing, row))
        LIST_ADD(storing->mem, &storing->blanks_taken, row->portion);
}

static void span_add(struct storing *storing, size_t series, const struct reading_row *row)
{
    struct series_span *span = &storing->spans[series];

    if (span->first == INSTANT_NONE || row->at < span->first)
        span->first = row->at;
    if (span->last == INSTANT_NONE || row->at > span->last)
        span->last = row->at;
    if ((span->latest.at == INSTANT_NONE || row->at >= span->latest.at) &&
        !is_blank_taken(storing, row)) {
        /* Units are few and the same pointer comes again and again. */
        if (span->latest.unit == NULL || !str_equal(span->latest.unit, row->unit))
            span->latest.unit = arena_strdup(storing->mem, row->unit);
        span->latest.series_id = row->series_id;
        span->latest.at = row->at;
        span->latest.qualifier = row->qualifier;
        span->latest.reported = row->reported;
    }
}

static struct reading_row row_from_draft(const struct storing *storing, const struct draft *draft)
{
    bool has_number = draft->qualifier != QUALIFIER_NOT_DETECTED;

    return (struct reading_row){
        .series_id = storing->scan->series.items[draft->series].series_id,
        .at = draft->at,
        .until = draft->until,
        .portion = draft->sample ? sample_portion_of(draft->sample, draft->replicate) : 0,
        .value = has_number ? draft->value : (double)NAN,
        .receipt = storing->receipt,
        .line = draft->line,
        .column = draft->column,
        .in_doubt = draft->doubt != NULL,
        .qualifier = draft->qualifier,
        .reported = has_number ? draft->reported : (struct decimal){0},
        .unit = draft->unit};
}

static struct reading_note note_from_draft(const struct draft *draft)
{
    return (struct reading_note){
        .detection = draft->has_limits ? draft->detection : (struct decimal){0},
        .quantitation = draft->has_limits ? draft->quantitation : (struct decimal){0},
        .doubt = draft->doubt,
        .taken_by = draft->sample ? NULL : draft->taken_by};
}

/* Whether anything is told beside the reading. */
static bool is_noted(const struct draft *draft)
{
    return draft->has_limits || draft->doubt || (draft->taken_by && !draft->sample);
}

static bool storing_blank(void *context, int32_t line, int32_t column, struct err *err)
{
    struct storing *storing = context;
    const struct aside_place *place = wanted_place(&storing->scan->wanted, line, column);

    (void)err;
    if (place)
        LIST_ADD(storing->mem, &storing->blanks, *place);

    return true;
}

static bool draft_put(struct storing *storing, const struct draft *draft, struct err *err)
{
    struct reading_row row = row_from_draft(storing, draft);

    if (draft->sample)
        blank_note(storing, draft, &row);
    if (storing->staged) {
        struct reading_note note = note_from_draft(draft);
        instant *newest = &storing->spans[draft->series].staged;

        /* A logger's file goes forward in time: then no two rows can speak of the same thing. */
        storing->each_once = storing->each_once && row.at > *newest;
        *newest = row.at;
        storing->noted = storing->noted || is_noted(draft);
        storing->staged_rows++;
        reading_store_stage_put(&storing->copy, storing->tx->farm_id, &row, &note);
        return true;
    }
    reading_store_put(&storing->copy, storing->tx->farm_id, &row);
    span_add(storing, draft->series, &row);
    if (storing->spans[draft->series].sensing && row.portion == 0)
        sensing_add(storing->spans[draft->series].sensing, row.at,
                    row.qualifier == QUALIFIER_NONE ? row.value : (double)NAN);

    return leaf_add(storing, &row, err);
}

/* The sample of a row, as all rows of the file that speak of it tell it. */
static bool sample_put(struct storing *storing, const struct draft *draft, struct err *err)
{
    const struct file_sample *told = file_samples_of(&storing->scan->samples, draft);
    struct sample_row sample = {.sample = draft->sample,
                                .station = told->station,
                                .position = told->position,
                                .purpose = told->purpose ? told->purpose : "required",
                                .kind = storing->scan->series.items[draft->series].series.kind,
                                .from = told->from,
                                .until = told->until,
                                .taken_by = told->taken_by,
                                .receipt = storing->receipt};

    return sample_store_add(storing->tx, &sample, draft->replicate, err);
}

/* The samples a batch speaks of; rows of one sample mostly follow each other. */
static bool batch_samples(struct storing *storing, const struct draft *drafts, size_t count,
                          struct err *err)
{
    for (size_t i = 0; i < count; i++) {
        const struct draft *draft = &drafts[i];

        if (!draft->sample || !wanted_draft(&storing->scan->wanted, draft) ||
            (i > 0 && !storing->scan->wanted.places &&
             str_equal(draft->sample, drafts[i - 1].sample) &&
             str_equal(draft->replicate, drafts[i - 1].replicate)))
            continue;
        if (!copying_end(storing, err) || !sample_put(storing, draft, err))
            return false;
    }

    return true;
}

/* Detection limits, doubts and who read it of a batch that went straight in. */
static bool batch_notes(struct storing *storing, const struct draft *drafts, size_t count,
                        struct err *err)
{
    size_t rows = 0;
    size_t first = 0;

    while (first < count && !is_noted(&drafts[first]))
        first++;
    if (first == count)
        return true;
    storing->noted = true;
    if (!copying_end(storing, err) || !reading_store_note_copy(storing->tx, &storing->copy, err))
        return false;
    for (size_t i = first; i < count; i++) {
        struct reading_row row = row_from_draft(storing, &drafts[i]);
        struct reading_note note = note_from_draft(&drafts[i]);

        if (is_noted(&drafts[i]))
            reading_store_note_put(&storing->copy, storing->tx->farm_id, &row, &note);
    }

    return db_copy_end(&storing->copy, &rows, err);
}

/* A result in words, as SQL says it of rows that contradict each other's values. */
static char *result_text(struct arena *mem, const struct draft *draft)
{
    char qualifier[2] = {draft->qualifier == QUALIFIER_NONE ? '\0' : draft->qualifier, '\0'};

    return draft->qualifier == QUALIFIER_NOT_DETECTED
               ? arena_printf(mem, "not detected %s", draft->unit)
               : arena_printf(mem, "%s%s %s", qualifier, decimal_text(mem, draft->reported),
                              draft->unit);
}

/* A row whose sample is told in two ways. Of a file read again it goes on waiting. */
static bool contradicting_put(struct storing *storing, const struct draft *draft,
                              const struct file_sample *sample, struct err *err)
{
    const struct draft_series *series = &storing->scan->series.items[draft->series].series;
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct problem problem = {
        .reason = sample->reason,
        .line = draft->line,
        .column = draft->column,
        .words = sample->trouble,
        .todo = file_sample_todo(sample),
        .text = result_text(mem, draft),
        .station = series->station,
        .parameter = series->parameter,
        .at = draft->at,
        .has_value = true,
        .qualifier = draft->qualifier,
        .value = draft->reported,
        .unit = draft->unit,
        .from_probe = str_equal(series->kind, "probe"),
    };

    storing->aside_rows++;
    if (storing->scan->wanted.places)
        return true;
    if (!copying_aside(storing, err))
        return false;
    aside_store_put(&storing->copy, storing->tx->farm_id, storing->receipt, &problem);

    return true;
}

/* The rows of a batch without those whose sample is told in two ways, which are set aside. */
static bool batch_agreeing(struct storing *storing, const struct draft **drafts, size_t *count,
                           struct err *err)
{
    size_t agreeing = 0;

    if (storing->scan->samples.contradicting == 0)
        return true;
    if (!storing->agreeing)
        storing->agreeing = ARENA_ARRAY(storing->mem, struct draft, DRAFT_BATCH_MOST);
    for (size_t i = 0; i < *count; i++) {
        const struct draft *draft = &(*drafts)[i];
        const struct file_sample *sample = file_samples_of(&storing->scan->samples, draft);

        if (!sample || !sample->trouble)
            storing->agreeing[agreeing++] = *draft;
        else if (wanted_draft(&storing->scan->wanted, draft) &&
                 !contradicting_put(storing, draft, sample, err))
            return false;
    }
    *drafts = storing->agreeing;
    *count = agreeing;

    return true;
}

static bool storing_drafts(void *context, const struct draft *drafts, size_t count, struct err *err)
{
    struct storing *storing = context;

    if (!batch_agreeing(storing, &drafts, &count, err))
        return false;
    if (!copying_readings(storing, err))
        return false;
    for (size_t i = 0; i < count; i++) {
        if (wanted_draft(&storing->scan->wanted, &drafts[i]) &&
            !draft_put(storing, &drafts[i], err))
            return false;
    }

    return batch_samples(storing, drafts, count, err) &&
           (storing->staged || batch_notes(storing, drafts, count, err));
}

static bool storing_problems(void *context, const struct problem *problems, size_t count,
                             struct err *err)
{
    struct storing *storing = context;

    if (storing->scan->wanted.places)
        return true;
    if (!copying_aside(storing, err))
        return false;
    for (size_t i = 0; i < count; i++)
        aside_store_put(&storing->copy, storing->tx->farm_id, storing->receipt, &problems[i]);

    return true;
}

/* The scan has met them all already, in the same order. */
static bool storing_series(void *context, const struct draft_series *series, struct err *err)
{
    (void)context;
    (void)series;
    (void)err;

    return true;
}

/* Which series of the scan a stored number is of. */
static size_t series_index(const struct scan *scan, int64_t series_id)
{
    size_t i = 0;

    while (i + 1 < scan->series.count && scan->series.items[i].series_id != series_id)
        i++;

    return i;
}

static bool staged_leaf(void *context, const struct reading_row *row, struct err *err)
{
    struct storing *storing = context;
    struct reading_row stored = *row;

    stored.receipt = storing->receipt;
    span_add(storing, series_index(storing->scan, row->series_id), &stored);

    return leaf_add(storing, &stored, err);
}

static bool storing_settle(struct storing *storing, const struct ingest_counts *counts,
                           struct err *err)
{
    if (!storing->staged) {
        storing->counts = (struct settle_counts){.stored = counts->drafts - storing->aside_rows,
                                                 .set_aside = storing->aside_rows};
        return !storing->noted || reading_store_note_settle(storing->tx, err);
    }

    struct settle_order order = {.series = scan_series_text(storing->mem, storing->scan),
                                 .first = counts->first_at,
                                 .last = counts->last_at,
                                 .rows = storing->staged_rows,
                                 .noted = storing->noted,
                                 .each_once = storing->each_once,
                                 .set_aside = !storing->scan->wanted.places};

    if (!reading_store_settle(storing->tx, &order, &storing->counts, err))
        return false;
    storing->counts.set_aside += storing->aside_rows;

    return reading_store_staged(storing->tx, staged_leaf, storing, err);
}

/* Readings that go straight in are tested as they pass. */
static bool tests_begin(struct storing *storing, struct err *err)
{
    const struct scan *scan = storing->scan;

    for (size_t i = 0; !storing->staged && i < scan->series.count; i++) {
        const struct draft_series *series = &scan->series.items[i].series;
        const struct sensed of = {
            scan->series.items[i].series_id, series->station, series->parameter,
            farm_find_sensor_test(storing->farm, series->station, series->position,
                                  series->parameter, series->made_by, series->kind)};

        if (!of.test)
            continue;
        storing->spans[i].sensing = ARENA_NEW(storing->mem, struct sensing);
        if (!sensing_begin(storing->spans[i].sensing, storing->tx, storing->mem, &of,
                           scan->counts.first_at, err))
            return false;
    }

    return true;
}

bool storing_run(struct storing *storing, const struct source *source,
                 const struct ingest_world *world, const struct byte_source *from, struct err *err)
{
    struct ingest_sink sink = {storing,
                               storing_drafts,
                               storing_problems,
                               storing_series,
                               storing->scan->wanted.places ? storing_blank : NULL,
                               NULL};
    struct ingest_counts counts = {0};
    size_t series_count = storing->scan->series.count;

    storing->roots.count = 0;
    storing->blanks.count = 0;
    storing->blanks_taken.count = 0;
    storing->tree = (struct merkle){.count = 0};
    storing->last_place = 0;
    storing->noted = false;
    storing->each_once = true;
    storing->staged_rows = 0;
    storing->aside_rows = 0;
    storing->copying = COPYING_NOTHING;
    storing->spans = ARENA_ARRAY(storing->mem, struct series_span, series_count);
    for (size_t i = 0; i < series_count; i++)
        storing->spans[i] = (struct series_span){.latest = {.at = INSTANT_NONE},
                                                 .first = INSTANT_NONE,
                                                 .last = INSTANT_NONE,
                                                 .staged = INSTANT_NONE};
    if (!tests_begin(storing, err))
        return false;

    from->rewind(from->bytes.context);

    bool done =
        source_read(source, world, &from->bytes, &sink, &counts, err) && copying_end(storing, err);

    if (!done) {
        db_copy_drop(&storing->copy);
        return false;
    }
    if (counts.problems + storing->aside_rows > 0 && !storing->scan->wanted.places &&
        !aside_store_settle(storing->tx, err))
        return false;
    if (counts.drafts == 0)
        return true;
    if (!storing_settle(storing, &counts, err))
        return false;
    if (storing->tree.count > 0)
        batch_close(storing);

    return true;
}
