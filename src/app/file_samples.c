#include "app/file_samples.h"

#include "base/str.h"
#include "store/receipt_store.h"

/* --- what may differ ------------------------------------------------------------------------- */

static bool place_differs(const struct file_sample *a, const struct file_sample *b)
{
    return !str_equal(a->station, b->station) || !str_equal(a->position, b->position);
}

static char *place_words(struct arena *mem, const struct zone *zone, const struct file_sample *of)
{
    (void)zone;

    return arena_printf(mem, "taken at %s%s%s", of->station, *of->position ? ", " : "",
                        of->position);
}

static bool time_differs(const struct file_sample *a, const struct file_sample *b)
{
    return a->from != b->from || a->until != b->until;
}

static char *time_words(struct arena *mem, const struct zone *zone, const struct file_sample *of)
{
    char *from = zone_text(mem, zone, of->from);

    return of->until == of->from
               ? arena_printf(mem, "taken on %s", from)
               : arena_printf(mem, "taken from %s to %s", from, zone_text(mem, zone, of->until));
}

static bool purpose_differs(const struct file_sample *a, const struct file_sample *b)
{
    return a->purpose && b->purpose && !str_equal(a->purpose, b->purpose);
}

static char *purpose_words(struct arena *mem, const struct zone *zone, const struct file_sample *of)
{
    (void)zone;

    return arena_printf(mem, "'%s'", of->purpose);
}

static bool taker_differs(const struct file_sample *a, const struct file_sample *b)
{
    return a->taken_by && b->taken_by && !str_equal(a->taken_by, b->taken_by);
}

static char *taker_words(struct arena *mem, const struct zone *zone, const struct file_sample *of)
{
    (void)zone;

    return arena_printf(mem, "taken by %s", of->taken_by);
}

static int32_t first_line(const struct file_sample *of)
{
    return of->line;
}

static int32_t purpose_line(const struct file_sample *of)
{
    return of->purpose_line;
}

static int32_t taker_line(const struct file_sample *of)
{
    return of->taker_line;
}

static const struct {
    bool (*differs)(const struct file_sample *a, const struct file_sample *b);
    char *(*words)(struct arena *mem, const struct zone *zone, const struct file_sample *of);
    int32_t (*line)(const struct file_sample *of); /* that told it first */
} aspects[] = {
    {place_differs, place_words, first_line},
    {time_differs, time_words, first_line},
    {purpose_differs, purpose_words, purpose_line},
    {taker_differs, taker_words, taker_line},
};

/* The first aspect in which they differ; the count of aspects: none. */
static size_t aspect_that_differs(const struct file_sample *a, const struct file_sample *b)
{
    size_t i = 0;

    while (i < ARRAY_LEN(aspects) && !aspects[i].differs(a, b))
        i++;

    return i;
}

/* --- rows of the file ------------------------------------------------------------------------ */

static void contradict(struct file_samples *samples, struct file_sample *sample,
                       enum problem_reason reason, const char *words)
{
    sample->reason = reason;
    sample->trouble = words;
    samples->contradicting++;
}

static struct file_sample told_by(const struct draft *draft, const struct draft_series *series)
{
    return (struct file_sample){.sample = draft->sample,
                                .station = series->station,
                                .position = series->position,
                                .from = draft->at,
                                .until = draft->until,
                                .purpose = draft->purpose,
                                .taken_by = draft->taken_by,
                                .line = draft->line,
                                .purpose_line = draft->line,
                                .taker_line = draft->line};
}

static void sample_add(struct file_samples *samples, struct file_sample told)
{
    told.sample = arena_strdup(samples->mem, told.sample);
    told.purpose = told.purpose ? arena_strdup(samples->mem, told.purpose) : NULL;
    told.taken_by = told.taken_by ? arena_strdup(samples->mem, told.taken_by) : NULL;
    key_index_add(samples->mem, &samples->index, told.sample, samples->count);
    LIST_ADD(samples->mem, samples, told);
}

/* A further row of a sample: what it tells is held against the rows before, or fills them up. */
static void sample_tell(struct file_samples *samples, struct file_sample *sample,
                        const struct file_sample *told)
{
    size_t aspect = aspect_that_differs(sample, told);

    if (aspect < ARRAY_LEN(aspects)) {
        struct arena *mem = samples->mem;

        contradict(samples, sample, PROBLEM_SAMPLE_CONTRADICTS_FILE,
                   arena_printf(mem,
                                "rows of this file contradict each other on sample %s: %s by line "
                                "%d, %s by line %d",
                                sample->sample, aspects[aspect].words(mem, samples->zone, sample),
                                (int)aspects[aspect].line(sample),
                                aspects[aspect].words(mem, samples->zone, told), (int)told->line));
        return;
    }
    if (told->purpose && !sample->purpose) {
        sample->purpose = arena_strdup(samples->mem, told->purpose);
        sample->purpose_line = told->line;
    }
    if (told->taken_by && !sample->taken_by) {
        sample->taken_by = arena_strdup(samples->mem, told->taken_by);
        sample->taker_line = told->line;
    }
}

void file_samples_note(struct file_samples *samples, const struct draft *draft,
                       const struct draft_series *series)
{
    size_t position = 0;

    if (!draft->sample)
        return;

    struct file_sample told = told_by(draft, series);

    if (!key_index_find(&samples->index, draft->sample, &position))
        sample_add(samples, told);
    else if (!samples->items[position].trouble)
        sample_tell(samples, &samples->items[position], &told);
}

const struct file_sample *file_samples_of(const struct file_samples *samples,
                                          const struct draft *draft)
{
    size_t position = 0;

    return draft->sample && key_index_find(&samples->index, draft->sample, &position)
               ? &samples->items[position]
               : NULL;
}

/* --- what is on record ----------------------------------------------------------------------- */

static void sample_compare(struct file_samples *samples, const struct sample_row *stored)
{
    struct file_sample on_record = {.station = stored->station,
                                    .position = stored->position,
                                    .from = stored->from,
                                    .until = stored->until,
                                    .purpose = stored->purpose,
                                    .taken_by = stored->taken_by};
    size_t position = 0;

    if (!key_index_find(&samples->index, stored->sample, &position))
        return;

    struct file_sample *sample = &samples->items[position];
    size_t aspect = aspect_that_differs(&on_record, sample);

    if (sample->trouble || aspect == ARRAY_LEN(aspects))
        return;
    contradict(samples, sample, PROBLEM_SAMPLE_CONTRADICTS_STORED,
               arena_printf(samples->mem, "sample %s is stored already as %s, here it is %s",
                            sample->sample,
                            aspects[aspect].words(samples->mem, samples->zone, &on_record),
                            aspects[aspect].words(samples->mem, samples->zone, sample)));
}

bool file_samples_compare(struct file_samples *samples, struct db_tx *tx, struct err *err)
{
    const char **numbers = ARENA_ARRAY(samples->mem, const char *, samples->count);
    struct sample_rows stored = {0};

    if (samples->count == 0)
        return true;
    for (size_t i = 0; i < samples->count; i++)
        numbers[i] = samples->items[i].sample;
    if (!sample_store_list(tx, samples->mem, numbers, samples->count, &stored, err))
        return false;
    for (size_t i = 0; i < stored.count; i++)
        sample_compare(samples, &stored.items[i]);

    return true;
}

const char *file_sample_todo(const struct file_sample *sample)
{
    return sample->reason == PROBLEM_SAMPLE_CONTRADICTS_FILE
               ? "Ask who wrote the file which of them is right. Type the right number into a row "
                 "that has a wrong one (weirbook aside correct FILE LINE sample NUMBER), or leave "
                 "the wrong rows out (weirbook aside leave-out FILE LINE); then weirbook aside "
                 "read-again FILE takes the others."
               : "Ask who wrote the file which of them is right. If this row has a wrong number, "
                 "type the right one (weirbook aside correct FILE LINE sample NUMBER); if it is "
                 "wrong, leave it out (weirbook aside leave-out FILE LINE). If what is stored is "
                 "wrong, leave its "
                 "readings out (weirbook leave-out) and have the sample sent again under a number "
                 "of its own.";
}
