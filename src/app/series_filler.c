#include "app/series_filler.h"

#include <string.h>

#include "base/search.h"
#include "base/str.h"
#include "ingest/purpose.h"
#include "judge/beside.h"
#include "judge/limit.h"

unsigned kind_bit(const char *kind)
{
    static const struct {
        const char *word;
        unsigned bit;
    } kinds[] = {{"grab", KIND_GRAB},
                 {"composite", KIND_COMPOSITE},
                 {"probe", KIND_PROBE},
                 {"by hand", KIND_BY_HAND},
                 {"derived", KIND_DERIVED}};

    for (size_t i = 0; i < ARRAY_LEN(kinds); i++) {
        if (str_equal(kinds[i].word, kind))
            return kinds[i].bit;
    }

    return 0;
}

/* A unit's text, kept once; the server's copy goes with its row. */
static const char *unit_keep(struct filler *filler, const char *unit, int length)
{
    size_t size = (size_t)length;

    for (size_t i = 0; i < filler->unit_count; i++) {
        if (strncmp(filler->units[i], unit, size) == 0 && filler->units[i][size] == '\0')
            return filler->units[i];
    }

    const char *copy = arena_strndup(filler->mem, unit, size);

    if (filler->unit_count < ARRAY_LEN(filler->units))
        filler->units[filler->unit_count++] = copy;

    return copy;
}

static struct filler_series *series_of(struct filler *filler, int64_t series_id)
{
    if (filler->at < filler->series_count && filler->series[filler->at].row->series_id == series_id)
        return &filler->series[filler->at];
    for (size_t i = 0; i < filler->series_count; i++) {
        if (filler->series[i].row->series_id == series_id) {
            filler->at = i;
            return &filler->series[i];
        }
    }

    return NULL;
}

static const struct portion_row *portion_find(const struct filler *filler, int64_t portion)
{
    const struct portion_row *portions = filler->portions.items;
    size_t at = SEARCH_FROM(portions, filler->portions.count, portion, portion);

    return at < filler->portions.count && portions[at].portion == portion ? &portions[at] : NULL;
}

/* Negative, 0 or positive, in the order of the list of what was told. */
static int told_compare(const struct reading_told *told, const struct reading_view *view)
{
    const int64_t differences[][2] = {{told->series_id, view->series_id},
                                      {told->at, view->at},
                                      {told->until, view->until},
                                      {told->portion, view->portion}};

    for (size_t i = 0; i < ARRAY_LEN(differences); i++) {
        if (differences[i][0] != differences[i][1])
            return differences[i][0] < differences[i][1] ? -1 : 1;
    }

    return 0;
}

/* What was told beside a reading, or NULL. */
static const struct reading_told *told_find(const struct filler *filler,
                                            const struct reading_view *view)
{
    size_t low = 0;
    size_t high = filler->told.count;

    while (low < high) {
        size_t middle = low + (high - low) / 2;
        int order = told_compare(&filler->told.items[middle], view);

        if (order == 0)
            return &filler->told.items[middle];
        if (order < 0)
            low = middle + 1;
        else
            high = middle;
    }

    return NULL;
}

bool filler_doubts(struct filler *filler, struct db_tx *tx, const struct farm *farm, instant first,
                   instant until, struct err *err)
{
    struct doubt_marks marks = {.count = 0};

    if (!doubt_meeting(tx, filler->mem, farm, filler->undone, first, until, &marks, &filler->book,
                       err))
        return false;
    filler->first = first;
    filler->until = until;
    for (size_t i = 0; i < filler->series_count; i++)
        filler->series[i].probe_known = false;
    filler->doubts = doubt_index_of(filler->mem, &marks);

    return true;
}

/* Why a reading is in doubt: by its own file first, then by what was found out since; or NULL. */
static const char *doubt_find(const struct filler *filler, const struct reading_view *view,
                              const struct reading_told *told, const struct portion_row *portion)
{
    const struct doubt_mark *mark;

    if (view->in_doubt)
        return told && told->doubt ? told->doubt : "flagged in its file";
    mark = doubt_index_find(&filler->doubts, view->series_id, view->at, view->until,
                            portion ? portion->sample : NULL);

    return mark ? arena_printf(filler->mem, "%s: %s", mark->kind, mark->words) : NULL;
}

bool filler_beside(struct filler *filler, struct db_tx *tx, const struct farm *farm, instant first,
                   instant until, struct err *err)
{
    if (!document_store_checks(tx, filler->mem, first, until, &filler->checks, err) ||
        !aside_store_typed_list(tx, filler->mem, &filler->typed, err))
        return false;

    bool *by_line = ARENA_ARRAY(filler->mem, bool, filler->typed.count);

    for (size_t i = 0; i < filler->typed.count; i++) {
        const struct farm_source *source = farm_find_source(farm, filler->typed.items[i].source);

        by_line[i] = source && !source_by_column(&source->source);
    }
    filler->typed_by_line = by_line;

    return true;
}

/* The newest check of a sample's results; or NULL. */
static const struct result_check *check_find(const struct filler *filler, const char *sample)
{
    const struct result_check *found = NULL;

    for (size_t i = 0; sample && i < filler->checks.count; i++)
        if (str_equal(filler->checks.items[i].sample, sample))
            found = &filler->checks.items[i];

    return found;
}

/* What was typed for the row that the reading came from; or NULL. */
static const struct aside_typed *typed_find(const struct filler *filler,
                                            const struct reading_view *view)
{
    size_t low = 0;
    size_t high = filler->typed.count;

    while (low < high) {
        size_t middle = low + (high - low) / 2;
        const struct aside_typed *typed = &filler->typed.items[middle];

        if (typed->receipt < view->receipt ||
            (typed->receipt == view->receipt && typed->line < view->line))
            low = middle + 1;
        else
            high = middle;
    }
    for (; low < filler->typed.count; low++) {
        const struct aside_typed *typed = &filler->typed.items[low];

        if (typed->receipt != view->receipt || typed->line != view->line)
            return NULL;
        if (filler->typed_by_line[low] || typed->column == view->column)
            return typed;
    }

    return NULL;
}

static const struct beside_checked *checked_of(const struct filler *filler,
                                               const struct result_check *check)
{
    struct beside_checked *checked = ARENA_NEW(filler->mem, struct beside_checked);

    *checked = (struct beside_checked){.document = check->name,
                                       .number = check->document,
                                       .person = check->person,
                                       .at = check->checked_at,
                                       .corrected_since = check->corrected_since};

    return checked;
}

static const struct beside_typed *typed_of(const struct filler *filler,
                                           const struct aside_typed *row)
{
    struct beside_typed *typed = ARENA_NEW(filler->mem, struct beside_typed);

    *typed = (struct beside_typed){
        .typed = row->typed, .text = row->text, .person = row->person, .at = row->typed_at};

    return typed;
}

static const struct beside_corrected *corrected_of(const struct filler *filler,
                                                   const struct reading_view *view)
{
    struct beside_corrected *corrected = ARENA_NEW(filler->mem, struct beside_corrected);

    *corrected = (struct beside_corrected){
        .person = arena_strdup(filler->mem, view->value_person),
        .second_person = view->value_second ? arena_strdup(filler->mem, view->value_second) : NULL,
        .at = view->value_made_at,
        .because = arena_strdup(filler->mem, view->value_reason)};

    return corrected;
}

/* What people did beside a reading; or NULL. */
static const struct reading_beside *beside_of(const struct filler *filler,
                                              const struct reading_view *view,
                                              const struct portion_row *portion)
{
    const struct result_check *check = check_find(filler, portion ? portion->sample : NULL);
    const struct aside_typed *typed = typed_find(filler, view);
    struct reading_beside *beside;
    bool corrected = view->corrected && view->value_person;

    if (!check && !typed && !corrected)
        return NULL;
    beside = ARENA_NEW(filler->mem, struct reading_beside);
    beside->corrected = corrected ? corrected_of(filler, view) : NULL;
    beside->checked = check ? checked_of(filler, check) : NULL;
    beside->typed = typed ? typed_of(filler, typed) : NULL;

    return beside;
}

/* What the reading's sample says of it. */
static void add_sample(struct evidence_reading *reading, const struct portion_row *portion)
{
    reading->counts = purpose_counts(portion->purpose);
    reading->looks_for_cause = str_equal(portion->purpose, "looking for a cause");
    reading->sample = portion->sample;
    reading->replicate = str_empty(portion->replicate) ? NULL : portion->replicate;
    reading->taken_by = portion->taken_by;
}

static const struct probe_series *probe_of(struct filler *filler, struct filler_series *series)
{
    if (!series->probe_known) {
        series->probe = filler->book.count > 0
                            ? probe_series_of(&filler->book, filler->unit_table, series->row)
                            : NULL;
        series->probe_known = true;
    }

    return series->probe;
}

/* What visits to the probe that read it make of it. */
static void apply_probe(struct filler *filler, struct filler_series *series,
                        const struct reading_view *view, struct evidence_reading *reading)
{
    const struct probe_series *probe = probe_of(filler, series);

    if (!probe)
        return;

    const struct probe_effect effect = probe_series_apply(filler->mem, probe, filler->undone, view);

    if (effect.left_out && !reading->left_out)
        reading->left_out = effect.left_out;
    if (effect.doubt && !reading->doubt)
        reading->doubt = effect.doubt;
    if (!effect.corrected_by)
        return;
    reading->corrected = true;
    reading->corrected_by = effect.corrected_by;
    reading->reported = effect.reported;
}

bool filler_add(void *context, const struct reading_view *stored, struct err *err)
{
    struct filler *filler = context;
    struct reading_view undone = *stored;
    const struct reading_view *view = &undone;
    struct filler_series *series = series_of(filler, view->series_id);
    const struct portion_row *portion = view->portion ? portion_find(filler, view->portion) : NULL;
    const char *reason =
        view->reason ? arena_strndup(filler->mem, view->reason, (size_t)view->reason_length) : NULL;
    const struct reading_told *told = told_find(filler, view);

    if (!series)
        return err_set(err, ERR_BUG, "a reading of a series that was not asked for");
    if (filler->undone)
        acts_undone_view(filler->undone, stored, &undone);

    struct evidence_reading reading = {
        .at = view->at,
        .until = view->until,
        .qualifier = view->qualifier,
        .reported = view->reported,
        .unit = unit_keep(filler, view->unit, view->unit_length),
        .doubt = doubt_find(filler, view, told, portion),
        .left_out = view->left_out ? reason : NULL,
        .corrected = view->corrected,
        .counts = true,
        .beside = beside_of(filler, view, portion),
        .origin = {view->receipt, view->line, view->column},
        .first_qualifier = view->first_qualifier,
        .first_reported = view->first_reported,
        .first_unit = unit_keep(filler, view->first_unit, view->first_unit_length)};

    if (told) {
        reading.detection = told->detection;
        reading.quantitation = told->quantitation;
        reading.taken_by = told->taken_by;
    }
    if (portion)
        add_sample(&reading, portion);
    apply_probe(filler, series, view, &reading);
    if (series->capacity == 0) {
        series->items = ARENA_ARRAY(filler->mem, struct evidence_reading, view->of_series);
        series->capacity = view->of_series;
    }
    LIST_ADD(filler->mem, series, reading);
    filler->rows++;

    return true;
}

struct evidence_series *filler_series_of(const struct filler *filler,
                                         const struct series_row *const *rows, size_t count)
{
    struct evidence_series *list = ARENA_ARRAY(filler->mem, struct evidence_series, count);

    for (size_t i = 0; i < count; i++) {
        const struct series_row *row = rows[i];

        list[i] = (struct evidence_series){.station = row->station,
                                           .position = *row->position ? row->position : NULL,
                                           .parameter = row->parameter,
                                           .method = *row->method ? row->method : NULL,
                                           .made_by = *row->made_by ? row->made_by : NULL,
                                           .kind = kind_bit(row->kind)};
        for (size_t j = 0; j < filler->series_count; j++) {
            if (filler->series[j].row->series_id != row->series_id)
                continue;
            list[i].readings = filler->series[j].items;
            list[i].count = filler->series[j].count;
            if (filler->series[j].probe_known && filler->series[j].probe)
                probe_series_tell(filler->mem, filler->series[j].probe, filler->first,
                                  filler->until, &list[i]);
        }
    }

    return list;
}
