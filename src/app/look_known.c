#include "app/look_parts.h"
#include "app/receipt_traces.h"
#include "base/str.h"

struct trying {
    int64_t drafts;
    int64_t problems;
    bool enough;
};

static bool go_on(struct trying *trying, struct err *err)
{
    trying->enough = trying->drafts + trying->problems >= LOOK_KNOWN_VALUES;

    return !trying->enough || err_set(err, ERR_INVALID, "that is enough of it");
}

static bool drafts_count(void *context, const struct draft *drafts, size_t count, struct err *err)
{
    struct trying *trying = context;

    (void)drafts;
    trying->drafts += (int64_t)count;

    return go_on(trying, err);
}

static bool problems_count(void *context, const struct problem *problems, size_t count,
                           struct err *err)
{
    struct trying *trying = context;

    (void)problems;
    trying->problems += (int64_t)count;

    return go_on(trying, err);
}

static bool series_pass(void *context, const struct draft_series *series, struct err *err)
{
    (void)context;
    (void)series;
    (void)err;

    return true;
}

/* A file that a source refuses is no fault here: it is another's. */
static void source_try(struct arena *mem, const struct look_request *request,
                       struct bytes_file *file, const struct farm_source *source,
                       struct look_result *result)
{
    const struct open_farm open = {.farm = request->farm, .units = request->units};
    const struct ingest_world world = traces_world(mem, &open, request->now);
    const struct ingest_bytes bytes = {file, bytes_file_read};
    struct trying trying = {0};
    const struct ingest_sink sink = {&trying,     drafts_count, problems_count,
                                     series_pass, NULL,         NULL};
    struct ingest_counts counts;
    struct err none = ERR_INIT;

    bytes_file_rewind(file);
    if (!source_read(&source->source, &world, &bytes, &sink, &counts, &none) && !trying.enough)
        return;
    if (trying.drafts > trying.problems && result->known_count < LOOK_KNOWN_MOST)
        result->known[result->known_count++] =
            (struct look_known){.source = source->source.key,
                                .name = source->source.name,
                                .values = trying.drafts + trying.problems,
                                .drafts = trying.drafts};
}

void look_known(struct arena *mem, const struct look_request *request, struct bytes_file *file,
                struct look_result *result)
{
    for (size_t i = 0; request->farm && i < request->farm->sources.count; i++)
        source_try(mem, request, file, &request->farm->sources.items[i], result);
}
