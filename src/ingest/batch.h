/*
 * Batch: drafts and problems on their way to the sink, a few thousand at a time, and the counts
 * of both.
 */
#ifndef INGEST_BATCH_H
#define INGEST_BATCH_H

#include "ingest/draft.h"
#include "ingest/word_map.h"

enum {
    BATCH_TEXT_MOST = 4194304, /* bytes of text held, beside one row's */
    SERIES_MOST = 65536,       /* of one file */
};

struct batch {
    const struct ingest_sink *sink;
    struct ingest_counts *counts;
    struct arena *texts; /* of the batch: forgotten when it is handed over */
    struct draft *drafts;
    size_t draft_count;
    struct problem *problems;
    size_t problem_count;
    struct word_map series; /* joined fields -> its number + 1 */
    uint32_t series_count;
};

/* `counts` is set to nothing counted. */
struct batch batch_new(struct arena *mem, const struct ingest_sink *sink,
                       struct ingest_counts *counts);

/* Let go of what the batch holds outside `mem`. */
void batch_done(struct batch *batch);

/*
 * The number of a series; a new one is shown to the sink. Its texts must live as long as the
 * reader, as the sink is told they do.
 *
 * ERR_TOO_LARGE: over SERIES_MOST.
 */
MUST_CHECK bool batch_series(struct batch *batch, const struct draft_series *series, uint32_t *out,
                             struct err *err);

/* Add one; its texts that live only as long as the row are copied. False when the sink was. */
MUST_CHECK bool batch_add_draft(struct batch *batch, const struct draft *draft, struct err *err);
MUST_CHECK bool batch_add_problem(struct batch *batch, const struct problem *problem,
                                  struct err *err);

/* Count a blank, and tell a sink that asks for them. */
MUST_CHECK bool batch_add_blank(struct batch *batch, int32_t line, int32_t column, struct err *err);

/* A row of a parameter that the source ignores: no value; told as a blank to a sink that asks. */
MUST_CHECK bool batch_add_ignored(struct batch *batch, int32_t line, int32_t column,
                                  struct err *err);

/* Hand over what is left. */
MUST_CHECK bool batch_flush(struct batch *batch, struct err *err);

#endif
