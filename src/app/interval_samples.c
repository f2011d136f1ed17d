#include "app/interval_samples.h"

#include <stdlib.h>

#include "app/series_filler.h"
#include "base/search.h"
#include "base/str.h"

/* Days to look back for the sample before the month. */
enum { LOOK_BACK_LEAST = 62 };

/* One parameter at one instant. */
struct moment {
    instant at;
    const char *flaw; /* why the result does not count: "is in doubt"; NULL: it does */
    bool of_sample;   /* of a sample that somebody took, not of a probe */
};

/* Of one parameter, ascending; of one instant the sound ones first. */
struct moments {
    struct moment *items;
    size_t count;
    size_t capacity;
};

/* An interval's samples while they are being found. */
struct finding_samples {
    struct db_tx *tx;
    struct arena *mem;
    const struct farm *farm;
    const struct series_rows *all;
    const struct loaded_evidence *loaded;
    const struct interval *interval;
    instant first;
    struct moments *moments; /* of each parameter */
};

static int by_instant(const void *a, const void *b)
{
    const struct moment *left = a;
    const struct moment *right = b;

    if (left->at != right->at)
        return left->at < right->at ? -1 : 1;

    return (left->flaw != NULL) - (right->flaw != NULL);
}

static bool series_counts(const struct interval *interval, const char *parameter,
                          const struct series_row *row)
{
    return str_equal(row->station, interval->station) && str_equal(row->parameter, parameter) &&
           (!interval->position || str_equal(row->position, interval->position)) &&
           (interval->kinds == 0 || (interval->kinds & kind_bit(row->kind)));
}

/* Whether the outlet was open at an instant, as far as its record says. */
static bool outlet_open(const struct loaded_evidence *loaded, const struct interval *interval,
                        instant at)
{
    const struct evidence_point *point = evidence_point_find(loaded, interval->station);
    bool open = true;

    if (!interval->only_while_discharging || !point || point->outlet_series < 0)
        return true;

    const struct evidence_series *series = &loaded->evidence.series[point->outlet_series];

    for (size_t i = 0; i < series->count && series->readings[i].at <= at; i++) {
        if (!series->readings[i].left_out)
            open = !str_equal(series->readings[i].unit, "shut");
    }

    return open;
}

/* The readings of the filler's series that are of the interval's samples. */
static void readings_add(const struct finding_samples *finding, const struct filler *filler,
                         struct moments *out)
{
    for (size_t i = 0; i < filler->series_count; i++) {
        const struct filler_series *series = &filler->series[i];
        bool is_sample = kind_bit(series->row->kind) & (KIND_GRAB | KIND_COMPOSITE);

        for (size_t j = 0; j < series->count; j++) {
            const struct evidence_reading *reading = &series->items[j];

            if (reading->counts && outlet_open(finding->loaded, finding->interval, reading->at))
                LIST_ADD(finding->mem, out,
                         ((struct moment){.at = reading->at,
                                          .flaw = reading->left_out ? "was left out"
                                                  : reading->doubt  ? "is in doubt"
                                                                    : NULL,
                                          .of_sample = is_sample || reading->sample}));
        }
    }
}

/* Results that were set aside; those of a probe are no samples. */
static void asides_add(const struct finding_samples *finding, const char *parameter,
                       struct moments *out)
{
    const struct aside_rows *rows = &finding->loaded->asides;

    for (size_t i = 0; i < rows->count; i++) {
        const struct aside_row *row = &rows->items[i];

        if (!row->from_probe && row->at != INSTANT_NONE && row->station && row->parameter &&
            str_equal(row->station, finding->interval->station) &&
            str_equal(row->parameter, parameter) &&
            outlet_open(finding->loaded, finding->interval, row->at))
            LIST_ADD(finding->mem, out,
                     ((struct moment){.at = row->at, .flaw = "was set aside", .of_sample = true}));
    }
}

static bool moments_find(const struct finding_samples *finding, const char *parameter,
                         struct moments *out, struct err *err)
{
    struct arena *mem = finding->mem;
    const struct series_rows *all = finding->all;
    instant until = finding->loaded->until_at;
    struct buf text = buf_new(mem);
    struct filler filler = {.mem = mem};

    filler.series = ARENA_ARRAY(mem, struct filler_series, all->count);
    for (size_t i = 0; i < all->count; i++) {
        if (!series_counts(finding->interval, parameter, &all->items[i]))
            continue;
        filler.series[filler.series_count++].row = &all->items[i];
        buf_addf(&text, "%s%lld", text.len ? "," : "{", (long long)all->items[i].series_id);
    }
    if (filler.series_count > 0) {
        buf_add_char(&text, '}');
        if (!filler_doubts(&filler, finding->tx, finding->farm, finding->first, until, err) ||
            !reading_store_portions(finding->tx, mem, finding->first, until, &filler.portions,
                                    err) ||
            !reading_view_list(finding->tx, text.data, finding->first, until, false, filler_add,
                               &filler, err))
            return false;
    }
    readings_add(finding, &filler, out);
    asides_add(finding, parameter, out);
    if (out->count > 1)
        qsort(out->items, out->count, sizeof(out->items[0]), by_instant);

    return true;
}

/* The first moment that is not before `at`. */
static size_t first_from(const struct moments *moments, instant at)
{
    return SEARCH_FROM(moments->items, moments->count, at, at);
}

static const struct moment *moment_at(const struct moments *moments, instant at)
{
    size_t i = first_from(moments, at);

    return i < moments->count && moments->items[i].at == at ? &moments->items[i] : NULL;
}

/* What a parameter lacks in a sample of `at`; NULL: nothing. */
static const char *lack_of(const struct finding_samples *finding, const struct moments *moments,
                           instant at)
{
    const struct zone *zone = finding->loaded->evidence.zone;
    const struct moment *here = moment_at(moments, at);
    day_number day = zone_day(zone, at);
    const char *flaw = "has no result";

    if (here)
        return here->flaw;
    for (size_t i = first_from(moments, zone_day_start(zone, day));
         i < moments->count && zone_day(zone, moments->items[i].at) == day; i++)
        flaw = moments->items[i].flaw ? moments->items[i].flaw : "is of another time that day";

    return flaw;
}

/* "suspended-solids has no result, ammonia is in doubt"; NULL: it is whole. */
static const char *lacks_of(const struct finding_samples *finding, instant at)
{
    struct buf text = buf_new(finding->mem);

    for (size_t i = 0; i < finding->interval->parameter_count; i++) {
        const char *lack = lack_of(finding, &finding->moments[i], at);

        if (lack)
            buf_addf(&text, "%s%s %s", text.len > 0 ? ", " : "", finding->interval->parameters[i],
                     lack);
    }

    return text.len > 0 ? text.data : NULL;
}

/* Every instant of any parameter, ascending, each once; not those of probes alone. */
static struct moments instants_of(const struct finding_samples *finding)
{
    struct moments all = {0};
    size_t kept = 0;

    for (size_t i = 0; i < finding->interval->parameter_count; i++)
        for (size_t j = 0; j < finding->moments[i].count; j++)
            LIST_ADD(finding->mem, &all, finding->moments[i].items[j]);
    if (all.count > 1)
        qsort(all.items, all.count, sizeof(all.items[0]), by_instant);
    for (size_t i = 0; i < all.count; i++) {
        if (kept > 0 && all.items[kept - 1].at == all.items[i].at)
            all.items[kept - 1].of_sample = all.items[kept - 1].of_sample || all.items[i].of_sample;
        else
            all.items[kept++] = all.items[i];
    }
    all.count = kept;

    return all;
}

static bool is_whole(const struct finding_samples *finding, instant at)
{
    for (size_t i = 0; i < finding->interval->parameter_count; i++) {
        const struct moment *here = moment_at(&finding->moments[i], at);

        if (!here || here->flaw)
            return false;
    }

    return true;
}

static void samples_sort_out(const struct finding_samples *finding, struct plan_evidence *out)
{
    const struct zone *zone = finding->loaded->evidence.zone;
    struct moments all = instants_of(finding);
    day_number *samples = ARENA_ARRAY(finding->mem, day_number, all.count);
    struct partial_sample *partials = ARENA_ARRAY(finding->mem, struct partial_sample, all.count);

    out->samples = samples;
    out->partials = partials;
    for (size_t i = 0; i < all.count; i++) {
        day_number day = zone_day(zone, all.items[i].at);

        if (is_whole(finding, all.items[i].at))
            samples[out->sample_count++] = day;
        else if (all.items[i].of_sample)
            partials[out->partial_count++] =
                (struct partial_sample){day, lacks_of(finding, all.items[i].at)};
    }
}

bool interval_samples_find(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                           const struct series_rows *all, const struct loaded_evidence *loaded,
                           const struct interval *interval, struct plan_evidence *out,
                           struct err *err)
{
    int back = interval->days * 2 + interval->tolerance_days;
    struct finding_samples finding = {
        .tx = tx,
        .mem = mem,
        .farm = farm,
        .all = all,
        .loaded = loaded,
        .interval = interval,
        .first = loaded->from_at - DAY_US * (back > LOOK_BACK_LEAST ? back : LOOK_BACK_LEAST),
        .moments = ARENA_ARRAY(mem, struct moments, interval->parameter_count),
    };

    for (size_t i = 0; i < interval->parameter_count; i++) {
        if (!moments_find(&finding, interval->parameters[i], &finding.moments[i], err))
            return false;
    }
    samples_sort_out(&finding, out);

    return true;
}
