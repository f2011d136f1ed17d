/*
 * Reading CSV files in tests: a small farm, an invented logger and laboratory, and what comes out
 * of a file as text.
 *
 * Files are written out in the tests and read by a source; what comes out is compared as text:
 * drafts as "series at qualifier value unit;", problems as "reason line:column;".
 */
#ifndef TESTS_INGEST_CSV_FILE_H
#define TESTS_INGEST_CSV_FILE_H

#include <string.h>

#include "base/buf.h"
#include "harness/cmocka.h"
#include "ingest/source_read.h"
#include "judge/evidence.h"

struct file {
    const char *bytes;
    size_t count;
    size_t piece; /* bytes a read gives */
};

static inline bool file_read_piece(void *context, void *into, size_t room, size_t *got,
                                   struct err *err)
{
    struct file *file = context;
    size_t part = file->piece < room ? file->piece : room;

    (void)err;
    *got = part < file->count ? part : file->count;
    memcpy(into, file->bytes, *got);
    file->bytes += *got;
    file->count -= *got;

    return true;
}

struct outcome {
    bool done;
    struct buf drafts;
    struct buf problems;
    struct buf series;
    struct buf details; /* of drafts: limits, labels */
    struct buf words;   /* of problems */
    struct buf blanks;
    struct buf sheets;
    int64_t draft_count;
    int64_t problem_count;
    int stop_after; /* the sink fails after so many batches; 0 never */
    struct ingest_counts counts;
    struct err err;
};

static inline bool stop_now(struct outcome *outcome, struct err *err)
{
    return outcome->stop_after > 0 && --outcome->stop_after == 0 &&
           !err_set(err, ERR_UNAVAILABLE, "the sink stopped");
}

static inline void detail_add(struct buf *out, const struct draft *draft)
{
    struct arena *mem = out->mem;

    buf_addf(out, "%g", draft->value);
    if (draft->has_limits)
        buf_addf(out, " limits %s %s", decimal_text(mem, draft->detection),
                 decimal_text(mem, draft->quantitation));
    if (draft->sample)
        buf_addf(out, " sample %s", draft->sample);
    if (draft->replicate)
        buf_addf(out, " replicate %s", draft->replicate);
    if (draft->purpose)
        buf_addf(out, " purpose %s", draft->purpose);
    if (draft->taken_by)
        buf_addf(out, " by %s", draft->taken_by);
    if (draft->doubt)
        buf_addf(out, " doubt %s", draft->doubt);
    if (draft->until != draft->at)
        buf_addf(out, " until %s", instant_text(mem, draft->until));
    buf_add_char(out, ';');
}

static inline bool drafts_take(void *context, const struct draft *drafts, size_t count,
                               struct err *err)
{
    struct outcome *outcome = context;

    if (stop_now(outcome, err))
        return false;
    outcome->draft_count += (int64_t)count;
    for (size_t i = 0; i < count; i++) {
        const struct draft *draft = &drafts[i];

        buf_addf(&outcome->drafts, "%u %s %c%s %s;", draft->series,
                 instant_text(outcome->drafts.mem, draft->at), draft->qualifier,
                 decimal_text(outcome->drafts.mem, draft->reported), draft->unit);
        detail_add(&outcome->details, draft);
    }

    return true;
}

static inline bool problems_take(void *context, const struct problem *problems, size_t count,
                                 struct err *err)
{
    struct outcome *outcome = context;

    if (stop_now(outcome, err))
        return false;
    outcome->problem_count += (int64_t)count;
    for (size_t i = 0; i < count; i++) {
        const struct problem *problem = &problems[i];
        struct arena *mem = outcome->words.mem;

        buf_addf(&outcome->problems, "%s %d:%d;", problem_reason_name(problem->reason),
                 problem->line, problem->column);
        buf_addf(&outcome->words, "%s | %s | %s | %s %s %s %s%s%s\n", problem->words, problem->todo,
                 problem->text, problem->station ? problem->station : "-",
                 problem->parameter ? problem->parameter : "-",
                 problem->at == INSTANT_NONE ? "-" : instant_text(mem, problem->at),
                 problem->has_value ? decimal_text(mem, problem->value) : "-",
                 problem->unit ? " " : "", problem->unit ? problem->unit : "");
    }

    return true;
}

static inline bool series_take(void *context, const struct draft_series *series, struct err *err)
{
    struct outcome *outcome = context;

    (void)err;
    buf_addf(&outcome->series, "%s/%s/%s/%s/%s/%s/%s;", series->station, series->position,
             series->parameter, series->matrix, series->method, series->made_by, series->kind);

    return true;
}

static inline bool blank_take(void *context, int32_t line, int32_t column, struct err *err)
{
    struct outcome *outcome = context;

    (void)err;
    buf_addf(&outcome->blanks, "%d:%d;", line, column);

    return true;
}

static inline bool sheet_take(void *context, const struct ingest_sheet *sheet, struct err *err)
{
    struct outcome *outcome = context;

    (void)err;
    buf_addf(&outcome->sheets, "%d %s %s rows %lld hidden %lld;", sheet->number, sheet->name,
             sheet->taken ? "taken" : "not taken", (long long)sheet->rows,
             (long long)sheet->hidden_rows);

    return true;
}

/* What a test program needs of the farm. */
struct farm {
    struct arena *mem;
    struct units *units;
    const struct zone *zone;
};

static inline int farm_open(void **state)
{
    struct err err = ERR_INIT;
    struct arena *mem = arena_new();
    struct farm *farm = ARENA_NEW(mem, struct farm);

    farm->mem = mem;
    assert_done(units_load(&farm->units, &err), &err);
    assert_done(zone_load(mem, "Pacific/Auckland", &farm->zone, &err), &err);
    *state = farm;

    return 0;
}

static inline int farm_close(void **state)
{
    struct farm *farm = *state;
    struct arena *mem = farm->mem;

    units_free(&farm->units);
    arena_free(&mem);

    return 0;
}

/* Received on 1 June 2026 at noon UTC. */
static inline struct outcome read_bytes(struct arena *mem, const struct farm *farm,
                                        const struct source *source, const void *bytes,
                                        size_t count, size_t piece, int stop_after)
{
    static const char *const stations[] = {"pond", "outlet", "intake"};
    static const struct civil noon = {.year = 2026, .month = 6, .day = 1, .hour = 12};
    static const struct parameter_list no_own_parameters;
    struct outcome outcome = {.drafts = buf_new(mem),
                              .problems = buf_new(mem),
                              .series = buf_new(mem),
                              .details = buf_new(mem),
                              .words = buf_new(mem),
                              .blanks = buf_new(mem),
                              .sheets = buf_new(mem),
                              .stop_after = stop_after,
                              .err = ERR_INIT};
    struct file file = {bytes, count, piece};
    const struct ingest_world world = {.stations = stations,
                                       .station_count = ARRAY_LEN(stations),
                                       .parameters = &no_own_parameters,
                                       .units = farm->units,
                                       .zone = farm->zone,
                                       .received_at = instant_from_utc(&noon)};
    const struct ingest_bytes from = {&file, file_read_piece};
    const struct ingest_sink sink = {&outcome, drafts_take, problems_take, series_take, blank_take, sheet_take};

    outcome.done = source_read(source, &world, &from, &sink, &outcome.counts, &outcome.err);

    return outcome;
}

/* Read a text; the counts must add up to what the sink got. */
static inline struct outcome read_text(struct arena *mem, const struct farm *farm,
                                       const struct source *source, const char *text)
{
    struct outcome outcome = read_bytes(mem, farm, source, text, strlen(text), 65536, 0);
    const struct ingest_counts *counts = &outcome.counts;

    if (!outcome.done)
        fail_msg("%s; %s", outcome.err.text, outcome.err.hint);
    assert_int_equal(counts->values_in, counts->drafts + counts->blank + counts->problems);
    assert_int_equal(counts->drafts, outcome.draft_count);
    assert_int_equal(counts->problems, outcome.problem_count);

    return outcome;
}

static const struct source_column logger_columns[] = {
    {.header = "Temp", .parameter = "temperature"},
    {.header = "DO", .parameter = "oxygen"},
};

/* An invented logger: two columns, UTC. */
static inline struct source logger(void)
{
    return (struct source){
        .key = "logger",
        .shape = SOURCE_WIDE,
        .decimal = '.',
        .header_line = 1,
        .clock = CLOCK_UTC,
        .time_headers = {"Time"},
        .time_format = "YYYY-MM-DD hh:mm",
        .station = "pond",
        .columns = logger_columns,
        .column_count = ARRAY_LEN(logger_columns),
        .instrument = "sonde 1",
        .kind = KIND_PROBE,
        .ahead_minutes = 10,
    };
}

static const struct source_word lab_parameters[] = {{"TSS", "suspended-solids"},
                                                    {"E. coli", "ecoli-mpn"}};
static const struct source_word lab_stations[] = {{"Site A", "outlet"}};

/* An invented laboratory: every column a long file may have but limits and spans. */
static inline struct source laboratory(void)
{
    return (struct source){
        .key = "laboratory",
        .shape = SOURCE_LONG,
        .decimal = '.',
        .header_line = 1,
        .clock = CLOCK_LOCAL,
        .time_headers = {"Date", "Hour"},
        .time_format = "DD/MM/YYYY h:mm",
        .station_header = "Site",
        .stations = {lab_stations, ARRAY_LEN(lab_stations)},
        .parameter_header = "Test",
        .parameters = {lab_parameters, ARRAY_LEN(lab_parameters)},
        .value_header = "Result",
        .unit_header = "Unit",
        .instrument = "an invented laboratory",
        .method = "grab method",
        .kind = KIND_GRAB,
        .ahead_minutes = 10,
    };
}

#define LOGGER_HEADER "Time,Temp (degC),DO (mg/L)\n"
#define LAB_HEADER "Site,Date,Hour,Test,Result,Unit\n"

#endif
