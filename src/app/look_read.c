#include "app/look_parts.h"
#include "app/receipt_traces.h"
#include "base/str.h"
#include "ingest/place.h"
#include "judge/evidence.h"

enum { VALUE_SHOWN = 80 };

struct reading {
    struct arena *mem;
    struct look_result *result;
    const struct parameter_list *parameters;
    struct draft_series series[LOOK_SERIES_MOST]; /* the first ones: enough for the first rows */
    size_t series_count;
    enum problem_reason reasons[LOOK_REASONS_MOST];
    struct {
        struct place_sheet *items;
        size_t count;
        size_t capacity;
    } sheets;
};

static bool series_seen(void *context, const struct draft_series *series, struct err *err)
{
    struct reading *reading = context;
    struct arena *mem = reading->mem;

    (void)err;
    if (reading->series_count < LOOK_SERIES_MOST)
        reading->series[reading->series_count++] =
            (struct draft_series){.station = arena_strdup(mem, series->station),
                                  .position = arena_strdup(mem, series->position),
                                  .parameter = arena_strdup(mem, series->parameter)};

    return true;
}

static const char *value_text(struct arena *mem, const struct draft *draft)
{
    if (draft->qualifier == QUALIFIER_NOT_DETECTED)
        return "not detected";

    const char sign[2] = {draft->qualifier == QUALIFIER_LESS      ? '<'
                          : draft->qualifier == QUALIFIER_GREATER ? '>'
                                                                  : '\0',
                          '\0'};

    return arena_printf(mem, "%s%s", sign, decimal_text(mem, draft->reported));
}

static bool is_state(const struct reading *reading, const char *key)
{
    const struct parameter *parameter = parameter_find(reading->parameters, key);

    return parameter && parameter->kind == PARAMETER_STATE;
}

static bool drafts_seen(void *context, const struct draft *drafts, size_t count, struct err *err)
{
    struct reading *reading = context;
    struct look_result *result = reading->result;
    struct arena *mem = reading->mem;

    (void)err;
    for (size_t i = 0; i < count && result->value_count < LOOK_ROWS; i++) {
        const struct draft *draft = &drafts[i];
        const struct draft_series *series;

        if (draft->series >= reading->series_count)
            continue;
        series = &reading->series[draft->series];
        result->values[result->value_count++] = (struct look_value){
            .line = draft->line,
            .station = series->station,
            .position = series->position,
            .parameter = series->parameter,
            .value = is_state(reading, series->parameter) ? "" : value_text(mem, draft),
            .unit = arena_strdup(mem, draft->unit),
            .sample = arena_strdup(mem, draft->sample),
            .at = draft->at,
            .until = draft->until};
    }

    return true;
}

static bool problems_seen(void *context, const struct problem *problems, size_t count,
                          struct err *err)
{
    struct reading *reading = context;
    struct look_result *result = reading->result;

    (void)err;
    for (size_t i = 0; i < count; i++) {
        size_t at = 0;

        while (at < result->reason_count && reading->reasons[at] != problems[i].reason)
            at++;
        if (at == result->reason_count) {
            reading->reasons[at] = problems[i].reason;
            result->reasons[at] =
                (struct look_reason){.line = problems[i].line,
                                     .place = arena_printf(reading->mem, "line %d, column %d",
                                                           problems[i].line, problems[i].column),
                                     .words = arena_strdup(reading->mem, problems[i].words),
                                     .todo = arena_strdup(reading->mem, problems[i].todo)};
            result->reason_count++;
        }
        result->reasons[at].count++;
    }

    return true;
}

static bool sheet_seen(void *context, const struct ingest_sheet *sheet, struct err *err)
{
    struct reading *reading = context;

    (void)err;
    LIST_ADD(reading->mem, &reading->sheets,
             ((struct place_sheet){sheet->number, arena_strdup(reading->mem, sheet->name)}));

    return true;
}

/* Places of a workbook are of sheet and row. */
static void places_name(struct reading *reading)
{
    const struct place_sheets sheets = {reading->sheets.items, reading->sheets.count};
    struct look_result *result = reading->result;

    for (size_t i = 0; i < result->reason_count && sheets.count > 0; i++)
        result->reasons[i].place = place_text(reading->mem, &sheets, result->reasons[i].line, 0);
    for (size_t i = 0; i < result->value_count && sheets.count > 0; i++)
        result->values[i].line = place_row(result->values[i].line);
}

bool look_read(struct arena *mem, const struct look_request *request, struct bytes_file *file,
               const struct farm *farm, struct look_result *result, struct err *err)
{
    struct farmfile_problems problems = {0};
    const struct open_farm open = {.farm = farm, .units = request->units};
    const struct ingest_world world = traces_world(mem, &open, request->now);
    const struct ingest_bytes bytes = {file, bytes_file_read};
    struct reading *reading = ARENA_NEW(mem, struct reading);
    const struct ingest_sink sink = {reading,     drafts_seen, problems_seen,
                                     series_seen, NULL,        sheet_seen};
    struct source source;

    reading->mem = mem;
    reading->result = result;
    reading->parameters = &farm->known_parameters;
    if (!farmfile_source(mem, result->source_text, farm, request->units, &source, &problems, err))
        return false;
    bytes_file_rewind(file);
    if (!source_read(&source, &world, &bytes, &sink, &result->counts, err))
        return false;
    places_name(reading);
    result->is_read = true;

    return true;
}
