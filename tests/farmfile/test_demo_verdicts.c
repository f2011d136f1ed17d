/*
 * The invented farm Quillmere judged from its files, without a database: each limit and interval
 * of each month says what the farm's README promises. What only a store can know (files taken in
 * before, contradictions) is left to the end-to-end test, so the sheets sent again are left out.
 */

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/str.h"
#include "farmfile/farmfile.h"
#include "ingest/csv_source.h"
#include "judge/judge.h"

#define DEMO SOURCE_DIR "/fixtures/quillmere/"

enum { FILE_MOST = 4 << 20, SERIES_MOST = 40 };

static const char *const files[][2] = {
    {"logger-2026-02.csv", "logger"},     {"logger-2026-03.csv", "logger"},
    {"logger-2026-04.csv", "logger"},     {"meter-2026.csv", "meter-sheet"},
    {"outlet-2026.csv", "outlet-sheet"},  {"lab-2026-02-03.csv", "laboratory"},
    {"lab-2026-02-10.csv", "laboratory"}, {"lab-2026-02-17.csv", "laboratory"},
    {"lab-2026-02-24.csv", "laboratory"}, {"lab-2026-03-03.csv", "laboratory"},
    {"lab-2026-03-13.csv", "laboratory"}, {"lab-2026-03-17.csv", "laboratory"},
    {"lab-2026-03-31.csv", "laboratory"}, {"lab-2026-04-07.csv", "laboratory"},
    {"lab-2026-04-14.csv", "laboratory"}, {"lab-2026-04-21.csv", "laboratory"},
    {"lab-2026-04-28.csv", "laboratory"},
};

/* What the README promises that is not plain `within`. */
static const struct promise {
    const char *limit;
    int month;
    const char *standing;
    const char *figure; /* as compared, or NULL: not looked at */
} promises[] = {
    {"solids-each", 2, "outside: above 60", "71"},
    {"solids-mean", 2, "within", "33"},
    {"temperature-day", 2, "not assessable", NULL},
    {"ammonia-mean", 3, "within", "0.27"},
    {"nitrogen-load-day", 4, "outside: above 6.0", "7.1"},
    {"solids-each", 4, "not assessable", NULL},
    {"solids-mean", 4, "not assessable", NULL},
    {"volume-month", 2, "within", "20313"},
    {"volume-month", 3, "within", "21952"},
    {"volume-month", 4, "within", "23221"},
};

struct series {
    struct draft_series is;
    struct evidence_reading *items;
    size_t count;
    size_t capacity;
};

struct world {
    struct arena *mem;
    struct units *units;
    const struct farm *farm;
    struct series series[SERIES_MOST];
    size_t series_count;
    size_t first_of_file; /* series of the file at hand begin here ... */
    size_t numbers[SERIES_MOST];
    struct {
        struct evidence_set_aside *items;
        size_t count;
        size_t capacity;
    } set_aside;
    struct evidence evidence;
};

static char *read_file(struct arena *mem, const char *name, size_t *length)
{
    struct err err = ERR_INIT;
    char *bytes = NULL;

    if (!file_read(mem, arena_printf(mem, DEMO "%s", name), FILE_MOST, &bytes, length, &err))
        fail_msg("%s", err.text);

    return bytes;
}

/* --- files to evidence ----------------------------------------------------------------------- */

/* A series of a file is that of an earlier file where it says the same. */
static bool take_series(void *context, const struct draft_series *is, struct err *err)
{
    struct world *world = context;
    size_t at = 0;

    (void)err;
    while (at < world->series_count && !(str_equal(world->series[at].is.station, is->station) &&
                                         str_equal(world->series[at].is.position, is->position) &&
                                         str_equal(world->series[at].is.parameter, is->parameter) &&
                                         str_equal(world->series[at].is.kind, is->kind)))
        at++;
    if (at == world->series_count) {
        assert_true(at < SERIES_MOST);
        world->series[at].is = (struct draft_series){
            .station = arena_strdup(world->mem, is->station),
            .position = arena_strdup(world->mem, is->position),
            .parameter = arena_strdup(world->mem, is->parameter),
            .method = arena_strdup(world->mem, is->method),
            .made_by = arena_strdup(world->mem, is->made_by),
            .kind = arena_strdup(world->mem, is->kind),
        };
        world->series_count++;
    }
    world->numbers[world->first_of_file++] = at;

    return true;
}

static bool take_drafts(void *context, const struct draft *drafts, size_t count, struct err *err)
{
    struct world *world = context;

    (void)err;
    for (size_t i = 0; i < count; i++) {
        const struct draft *draft = &drafts[i];
        struct series *series = &world->series[world->numbers[draft->series]];

        LIST_ADD(world->mem, series,
                 ((struct evidence_reading){
                     .at = draft->at,
                     .until = draft->until,
                     .qualifier = draft->qualifier,
                     .reported = draft->reported,
                     .unit = arena_strdup(world->mem, draft->unit),
                     .counts = true,
                     .sample = arena_strdup(world->mem, draft->sample),
                     .origin = {.line = draft->line, .column = draft->column},
                 }));
    }

    return true;
}

static bool take_problems(void *context, const struct problem *problems, size_t count,
                          struct err *err)
{
    struct world *world = context;

    (void)err;
    for (size_t i = 0; i < count; i++)
        LIST_ADD(world->mem, &world->set_aside,
                 ((struct evidence_set_aside){
                     .station = arena_strdup(world->mem, problems[i].station),
                     .parameter = arena_strdup(world->mem, problems[i].parameter),
                     .at = problems[i].at,
                     .has_value = problems[i].has_value,
                     .qualifier = problems[i].qualifier,
                     .value = problems[i].value,
                     .unit = arena_strdup(world->mem, problems[i].unit),
                     .reason = arena_strdup(world->mem, problems[i].words),
                     .from_probe = problems[i].from_probe,
                 }));

    return true;
}

struct text_left {
    const char *at;
    size_t left;
};

static bool read_bytes(void *context, void *into, size_t room, size_t *got, struct err *err)
{
    struct text_left *text = context;

    (void)err;
    *got = text->left < room ? text->left : room;
    memcpy(into, text->at, *got);
    text->at += *got;
    text->left -= *got;

    return true;
}

static void take_in(struct world *world, const char *name, const char *source)
{
    const struct farm *farm = world->farm;
    const char **stations = ARENA_ARRAY(world->mem, const char *, farm->stations.count);
    struct text_left left = {0};
    struct ingest_bytes bytes = {&left, read_bytes};
    struct ingest_sink sink = {world, take_drafts, take_problems, take_series, NULL, NULL};
    struct ingest_counts counts = {0};
    struct err err = ERR_INIT;

    left.at = read_file(world->mem, name, &left.left);
    for (size_t i = 0; i < farm->stations.count; i++)
        stations[i] = farm->stations.items[i].key;

    struct ingest_world ingest = {
        .stations = stations,
        .station_count = farm->stations.count,
        .parameters = &farm->known_parameters,
        .units = world->units,
        .zone = farm->zone,
        .received_at = (instant)day_from_civil(2026, 5, 10) * DAY_US,
    };

    world->first_of_file = 0;
    if (!csv_source_read(&farm_find_source(farm, source)->source, &ingest, &bytes, &sink, &counts,
                         &err))
        fail_msg("%s: %s", name, err.text);
}

static unsigned kind_of(const char *word)
{
    static const char *const words[] = {"grab", "composite", "probe", "by hand"};

    for (unsigned i = 0; i < ARRAY_LEN(words); i++)
        if (str_equal(word, words[i]))
            return 1U << i;

    return 0;
}

/* The series as evidence; the outlet's and the meter's are told. */
static void fill_evidence(struct world *world, int *outlet, int *meter)
{
    struct evidence_series *series =
        ARENA_ARRAY(world->mem, struct evidence_series, world->series_count);
    const struct farm_counter *own = &world->farm->counters.items[0];
    struct evidence_counter *counter = ARENA_NEW(world->mem, struct evidence_counter);

    *outlet = *meter = -1;
    for (size_t i = 0; i < world->series_count; i++) {
        const struct series *from = &world->series[i];

        series[i] = (struct evidence_series){
            .station = from->is.station,
            .position = str_empty(from->is.position) ? NULL : from->is.position,
            .parameter = from->is.parameter,
            .kind = kind_of(from->is.kind),
            .readings = from->items,
            .count = from->count,
        };
        if (str_equal(from->is.parameter, "outlet"))
            *outlet = (int)i;
        if (str_equal(from->is.parameter, "discharge-meter"))
            *meter = (int)i;
    }
    *counter = (struct evidence_counter){
        .station = own->station,
        .parameter = own->parameter,
        .size = own->size,
        .multiplier = own->multiplier,
        .most_per_day = own->most_per_day,
        .share_over_days = own->share_over_days,
        .replaced_at = own->replaced_at,
        .replaced_count = own->replaced_count,
    };
    world->evidence = (struct evidence){
        .zone = world->farm->zone,
        .now = (instant)day_from_civil(2026, 5, 10) * DAY_US,
        .units = world->units,
        .parameters = &world->farm->known_parameters,
        .series = series,
        .series_count = world->series_count,
        .set_aside = world->set_aside.items,
        .set_aside_count = world->set_aside.count,
        .outlet_series = *outlet,
        .counters = counter,
        .counter_count = 1,
        .licence_ends = DAY_NONE,
    };
}

static int world_begin(void **state)
{
    static struct world world;
    struct farmfile_problems problems = {0};
    struct err err = ERR_INIT;
    size_t length = 0;
    int outlet = -1;
    int meter = -1;

    *state = &world;
    world.mem = arena_new();

    const char *text = read_file(world.mem, "farm.yaml", &length);

    if (!units_load(&world.units, &err) ||
        !farmfile_read(world.mem, text, length, world.units, &world.farm, &problems, &err)) {
        print_message("%s\n", err.text);
        return -1;
    }
    for (size_t i = 0; i < ARRAY_LEN(files); i++)
        take_in(&world, files[i][0], files[i][1]);
    fill_evidence(&world, &outlet, &meter);

    day_number from = day_from_civil(2026, 2, 1);
    day_number to = day_from_civil(2026, 4, 30);

    world.evidence.days = judge_discharge_days(world.mem, &world.evidence, outlet, meter, from, to);
    world.evidence.day_count = (size_t)(to - from) + 1;

    return 0;
}

static int world_end(void **state)
{
    struct world *world = *state;

    units_free(&world->units);
    arena_free(&world->mem);

    return 0;
}

/* --- what is promised ------------------------------------------------------------------------ */

static const struct promise *promise_of(const char *limit, int month)
{
    for (size_t i = 0; i < ARRAY_LEN(promises); i++)
        if (promises[i].month == month && str_equal(promises[i].limit, limit))
            return &promises[i];

    return NULL;
}

static bool is_kept(struct arena *mem, const struct verdict *verdict, const char *limit, int month)
{
    const struct promise *promise = promise_of(limit, month);
    const char *expected = promise ? promise->standing : "within";
    const char *standing = verdict_standing_words(mem, verdict);
    bool same =
        str_equal(standing, expected) &&
        (!promise || !promise->figure || str_equal(verdict->compared_text, promise->figure));

    if (!same)
        print_message("%s in month %d: %s (%s): %s\n", limit, month, standing,
                      verdict->compared_text ? verdict->compared_text : "no figure",
                      verdict->words ? verdict->words : "");

    return same;
}

static void every_limit_says_what_the_readme_promises(void **state)
{
    const struct world *world = *state;
    size_t broken = 0;

    for (int month = 2; month <= 4; month++) {
        for (size_t i = 0; i < world->farm->limits.count; i++) {
            CLEANUP(arena_free) struct arena *mem = arena_new();
            const struct limit *limit = &world->farm->limits.items[i].limit;
            struct limit confirmed = *limit;
            struct verdict verdict = {0};

            confirmed.confirmed = true;
            judge_limit(mem, &confirmed, &world->evidence, day_from_civil(2026, month, 1),
                        day_from_civil(2026, month, days_in_month(2026, month)), &verdict);
            broken += !is_kept(mem, &verdict, limit->key, month);
        }
    }
    assert_int_equal(broken, 0);
}

static void the_shut_days_are_days_without_discharge(void **state)
{
    static const int shut[][2] = {{2, 14}, {2, 15}, {3, 10}, {3, 11}, {3, 12}, {4, 25}, {4, 26}};
    const struct world *world = *state;
    size_t found = 0;

    for (size_t i = 0; i < world->evidence.day_count; i++) {
        const struct discharge_day *day = &world->evidence.days[i];

        if (day->state == DISCHARGE_YES)
            continue;
        if (found == ARRAY_LEN(shut) || day->state != DISCHARGE_NONE ||
            day->day != day_from_civil(2026, shut[found][0], shut[found][1]))
            fail_msg("day %zu: %s", i, day->because);
        found++;
    }
    assert_int_equal(found, ARRAY_LEN(shut));
}

static bool has_result(const struct world *world, const char *station, const char *parameter,
                       day_number day)
{
    for (size_t i = 0; i < world->series_count; i++) {
        const struct series *series = &world->series[i];

        if (!str_equal(series->is.station, station) || !str_equal(series->is.kind, "grab") ||
            !str_equal(series->is.parameter, parameter))
            continue;
        for (size_t k = 0; k < series->count; k++)
            if (zone_day(world->farm->zone, series->items[k].at) == day)
                return true;
    }

    return false;
}

/* Days of samples with a result of every parameter that the interval names. */
static size_t sample_days(const struct world *world, const struct interval *interval,
                          day_number *days)
{
    size_t count = 0;

    for (size_t i = 0; i < world->evidence.day_count; i++) {
        day_number day = world->evidence.days[i].day;
        bool whole = true;

        for (size_t k = 0; k < interval->parameter_count; k++)
            whole = whole && has_result(world, interval->station, interval->parameters[k], day);
        if (whole)
            days[count++] = day;
    }

    return count;
}

static void the_missed_samples_are_those_of_the_readme(void **state)
{
    static const struct {
        const char *interval;
        size_t missed;
    } rows[] = {{"weekly", 2}, {"bacteria", 0}, {"bod-month", 0}};
    const struct world *world = *state;
    day_number from = day_from_civil(2026, 2, 1);
    day_number to = day_from_civil(2026, 4, 30);

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const struct interval *interval =
            &farm_find_interval(world->farm, rows[i].interval)->interval;
        bool *discharging = ARENA_ARRAY(mem, bool, world->evidence.day_count);
        day_number *days = ARENA_ARRAY(mem, day_number, world->evidence.day_count);
        size_t count = sample_days(world, interval, days);
        size_t missed = 0;

        for (size_t k = 0; k < world->evidence.day_count; k++)
            discharging[k] = world->evidence.days[k].state != DISCHARGE_NONE;

        const struct plan_evidence evidence = {.samples = days,
                                               .sample_count = count,
                                               .discharging = discharging,
                                               .from = from,
                                               .to = to,
                                               .today = day_from_civil(2026, 5, 10)};
        struct due_list dues = plan_dues(mem, interval, &evidence);

        for (size_t k = 0; k < dues.count; k++) {
            missed += dues.items[k].state == DUE_MISSED;
            if (dues.items[k].state == DUE_MISSED && rows[i].missed == 0)
                print_message("%s: %s\n", rows[i].interval, dues.items[k].words);
        }
        assert_int_equal(missed, rows[i].missed);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_limit_says_what_the_readme_promises),
        cmocka_unit_test(the_shut_days_are_days_without_discharge),
        cmocka_unit_test(the_missed_samples_are_those_of_the_readme),
    };

    return cmocka_run_group_tests_name("farmfile/demo_verdicts", tests, world_begin, world_end);
}
