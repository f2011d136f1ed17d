#include "app/look_parts.h"
#include "app/receipt_traces.h"
#include "base/str.h"
#include "ingest/place.h"
#include "judge/evidence.h"
#include "judge/limit.h"

enum { VALUE_SHOWN = 80 };

struct reading {
    struct arena *mem;
    struct look_result *result;
    const struct parameter_list *parameters;
    struct draft_series series[LOOK_SERIES_MOST]; /* the first ones: enough for the first rows */
    size_t series_count;
    bool only_first; /* the first values are enough */
    bool enough;
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
    reading->enough = reading->only_first && result->value_count == LOOK_ROWS;

    return !reading->enough || err_set(err, ERR_INVALID, "that is enough of it");
}

static void problem_note(struct reading *reading, const struct problem *problem)
{
    struct look_result *result = reading->result;
    size_t at = 0;

    while (at < result->reason_count && !str_equal(result->reasons[at].words, problem->words))
        at++;
    if (at == LOOK_REASONS_MOST) {
        result->other_reasons++;
        return;
    }
    if (at == result->reason_count)
        result->reasons[result->reason_count++] =
            (struct look_reason){.line = problem->line,
                                 .place = arena_printf(reading->mem, "line %d, column %d",
                                                       problem->line, problem->column),
                                 .words = arena_strdup(reading->mem, problem->words),
                                 .todo = arena_strdup(reading->mem, problem->todo)};
    result->reasons[at].count++;
}

static bool problems_seen(void *context, const struct problem *problems, size_t count,
                          struct err *err)
{
    struct reading *reading = context;

    (void)err;
    for (size_t i = 0; i < count && !reading->only_first; i++)
        problem_note(reading, &problems[i]);

    return true;
}

/* Places of a workbook are of sheet and row. */
static void places_name(struct reading *reading)
{
    struct look_result *result = reading->result;
    const struct place_sheets *sheets = &result->sheets;

    for (size_t i = 0; i < result->reason_count && sheets->count > 0; i++)
        result->reasons[i].place = place_text(reading->mem, sheets, result->reasons[i].line, 0);
    for (size_t i = 0; i < result->value_count && sheets->count > 0; i++) {
        struct look_value *value = &result->values[i];

        value->sheet = place_sheet_name(sheets, value->line);
        value->line = place_row(value->line);
    }
}

/* --- while questions are open --- */

static struct source_words words_certain(struct arena *mem, const struct source_words *words)
{
    struct source_word *kept = ARENA_ARRAY(mem, struct source_word, words->count);
    size_t count = 0;

    for (size_t i = 0; i < words->count; i++)
        if (words->items[i].means)
            kept[count++] = words->items[i];

    return (struct source_words){kept, count};
}

/* Columns of which nothing is asked. */
static void columns_certain(struct arena *mem, const struct sniff_guess *guess,
                            struct source *source)
{
    struct source_column *kept = ARENA_ARRAY(mem, struct source_column, source->column_count);
    size_t count = 0;

    for (size_t i = 0; i < source->column_count; i++)
        if (source->columns[i].parameter &&
            sniff_question_number(guess, "column", source->columns[i].header) == 0)
            kept[count++] = source->columns[i];
    source->columns = kept;
    source->column_count = count;
}

/* The guess with what is open left out of it; false where too little is left to read by. */
static bool source_certain(struct arena *mem, const struct sniff_guess *guess, struct source *out)
{
    struct source source = guess->source;

    if (!source.time_headers[0] || (!source.time_format && !guess->times_need_no_format) ||
        !source.decimal || sniff_question_number(guess, "zone", NULL) > 0 ||
        sniff_question_number(guess, "date-alone", NULL) > 0)
        return false;
    columns_certain(mem, guess, &source);
    if (source.shape == SOURCE_WIDE ? source.column_count == 0
                                    : (!source.parameter && !source.parameter_header) ||
                                          (!source.unit && !source.unit_header))
        return false;
    source.stations = words_certain(mem, &source.stations);
    source.parameters = words_certain(mem, &source.parameters);
    source.units = words_certain(mem, &source.units);
    source.flags = words_certain(mem, &source.flags);
    source.qualifiers = words_certain(mem, &source.qualifiers);
    source.clocks = words_certain(mem, &source.clocks);
    source.ignores_other_headers = true;
    if (!source.station && !source.station_header)
        source.station = "?";
    if (!guess->has_clock)
        source.clock = CLOCK_UTC;
    if (source.kind == 0)
        source.kind = KIND_BY_HAND;
    *out = source;

    return true;
}

void look_certain(struct arena *mem, const struct look_request *request, struct bytes_file *file,
                  const struct farm *farm, struct look_result *result)
{
    const struct open_farm open = {.farm = farm, .units = request->units};
    struct ingest_world world = traces_world(mem, &open, request->now);
    const struct ingest_bytes bytes = {file, bytes_file_read};
    struct reading *reading = ARENA_NEW(mem, struct reading);
    const struct ingest_sink sink = {reading, drafts_seen, problems_seen, series_seen, NULL, NULL};
    struct ingest_counts ignored;
    struct source source;
    struct err none = ERR_INIT;

    if (!source_certain(mem, &result->guess, &source))
        return;
    reading->mem = mem;
    reading->result = result;
    reading->parameters = &farm->known_parameters;
    reading->only_first = true;
    result->clock_open = !result->guess.has_clock;
    bytes_file_rewind(file);
    if (!source_read(&source, &world, &bytes, &sink, &ignored, &none) && !reading->enough)
        result->value_count = 0; /* it shows nothing, then: the rows stand there as they are */
    places_name(reading);
}

/* --- when nothing is open --- */

bool look_read(struct arena *mem, const struct look_request *request, struct bytes_file *file,
               const struct farm *farm, struct look_result *result, struct err *err)
{
    struct farmfile_problems problems = {0};
    const struct open_farm open = {.farm = farm, .units = request->units};
    const struct ingest_world world = traces_world(mem, &open, request->now);
    const struct ingest_bytes bytes = {file, bytes_file_read};
    struct reading *reading = ARENA_NEW(mem, struct reading);
    const struct ingest_sink sink = {reading, drafts_seen, problems_seen, series_seen, NULL, NULL};
    struct source source;

    reading->mem = mem;
    reading->result = result;
    reading->parameters = &farm->known_parameters;
    if (!farmfile_source(mem, result->source_text, farm, request->units, &source, &problems, err))
        return false;
    bytes_file_rewind(file);
    if (source_read(&source, &world, &bytes, &sink, &result->counts, err)) {
        places_name(reading);
        result->is_read = true;
        return true;
    }
    if (err->code != ERR_INVALID && err->code != ERR_TOO_LARGE)
        return false;
    result->refused = arena_printf(mem, "%s. %s", err->text, err->hint);
    *err = ERR_INIT;

    return true;
}
