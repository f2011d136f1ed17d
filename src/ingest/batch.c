#include "ingest/batch.h"

#include <string.h>

#include "base/str.h"

struct batch batch_new(struct arena *mem, const struct ingest_sink *sink,
                       struct ingest_counts *counts)
{
    *counts = (struct ingest_counts){.first_at = INSTANT_NONE, .last_at = INSTANT_NONE};

    return (struct batch){
        .sink = sink,
        .counts = counts,
        .texts = arena_new(),
        .drafts = ARENA_ARRAY(mem, struct draft, DRAFT_BATCH_MOST),
        .problems = ARENA_ARRAY(mem, struct problem, DRAFT_BATCH_MOST),
        .series = word_map_new(mem, SERIES_MOST),
    };
}

void batch_done(struct batch *batch)
{
    arena_free(&batch->texts);
}

bool batch_series(struct batch *batch, const struct draft_series *series, uint32_t *out,
                  struct err *err)
{
    const char *key = arena_printf(batch->texts, "%s\x1f%s\x1f%s\x1f%s\x1f%s\x1f%s",
                                   series->station, series->position, series->parameter,
                                   series->method, series->made_by, series->kind);
    const uint32_t *known = word_map_get(&batch->series, key);

    if (known) {
        *out = *known;
        return true;
    }

    uint32_t *number = ARENA_NEW(batch->series.mem, uint32_t);

    *number = batch->series_count;
    if (!word_map_put(&batch->series, key, number)) {
        (void)err_set(err, ERR_TOO_LARGE, "the file has more than %d series", SERIES_MOST);
        return err_hint(err, "See that the columns for position and method name what they should.");
    }
    if (!batch->sink->series(batch->sink->context, series, err))
        return false;
    *out = batch->series_count++;

    return true;
}

bool batch_flush(struct batch *batch, struct err *err)
{
    const struct ingest_sink *sink = batch->sink;

    if (batch->draft_count > 0 &&
        !sink->drafts(sink->context, batch->drafts, batch->draft_count, err))
        return false;
    if (batch->problem_count > 0 &&
        !sink->problems(sink->context, batch->problems, batch->problem_count, err))
        return false;
    batch->draft_count = 0;
    batch->problem_count = 0;
    arena_reset(batch->texts);

    return true;
}

static bool flush_when_full(struct batch *batch, struct err *err)
{
    bool full = batch->draft_count == DRAFT_BATCH_MOST ||
                batch->problem_count == DRAFT_BATCH_MOST ||
                arena_held(batch->texts) > BATCH_TEXT_MOST;

    return !full || batch_flush(batch, err);
}

/* A copy, or the text of the draft before it where they are the same. */
static const char *keep(struct batch *batch, const char *text, const char *before)
{
    return str_equal(text, before) ? before : arena_strdup(batch->texts, text);
}

static void counts_add_draft(struct ingest_counts *counts, const struct draft *draft)
{
    counts->values_in++;
    counts->drafts++;
    if (counts->first_at == INSTANT_NONE || draft->at < counts->first_at)
        counts->first_at = draft->at;
    if (counts->last_at == INSTANT_NONE || draft->at > counts->last_at)
        counts->last_at = draft->at;
}

bool batch_add_draft(struct batch *batch, const struct draft *draft, struct err *err)
{
    static const struct draft none;
    const struct draft *before =
        batch->draft_count > 0 ? &batch->drafts[batch->draft_count - 1] : &none;
    struct draft *kept = &batch->drafts[batch->draft_count];

    *kept = *draft;
    kept->sample = keep(batch, draft->sample, before->sample);
    kept->replicate = keep(batch, draft->replicate, before->replicate);
    kept->purpose = keep(batch, draft->purpose, before->purpose);
    kept->taken_by = keep(batch, draft->taken_by, before->taken_by);
    kept->doubt = keep(batch, draft->doubt, before->doubt);
    batch->draft_count++;
    counts_add_draft(batch->counts, draft);

    return flush_when_full(batch, err);
}

/* A copy of at most `most` bytes, cut between characters. */
static const char *keep_start(struct batch *batch, const char *text, size_t most)
{
    size_t length = strnlen(text, most + 1);

    if (length > most)
        for (length = most; length > 0 && ((unsigned char)text[length] & 0xc0) == 0x80;)
            length--;

    return arena_strndup(batch->texts, text, length);
}

bool batch_add_problem(struct batch *batch, const struct problem *problem, struct err *err)
{
    struct problem *kept = &batch->problems[batch->problem_count++];

    *kept = *problem;
    kept->words = keep_start(batch, problem->words, PROBLEM_TEXT_MOST);
    kept->todo = keep_start(batch, problem->todo, PROBLEM_TEXT_MOST);
    kept->text = keep_start(batch, problem->text, PROBLEM_TEXT_MOST);
    batch->counts->values_in++;
    batch->counts->problems++;

    return flush_when_full(batch, err);
}

bool batch_add_blank(struct batch *batch, int32_t line, int32_t column, struct err *err)
{
    const struct ingest_sink *sink = batch->sink;

    batch->counts->values_in++;
    batch->counts->blank++;

    return !sink->blank || sink->blank(sink->context, line, column, err);
}

bool batch_add_ignored(struct batch *batch, int32_t line, int32_t column, struct err *err)
{
    const struct ingest_sink *sink = batch->sink;

    batch->counts->ignored_rows++;

    return !sink->blank || sink->blank(sink->context, line, column, err);
}
