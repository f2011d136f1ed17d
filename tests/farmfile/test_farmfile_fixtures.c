/* The farm files that ship: they load, and what they say arrives where it belongs. */

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "base/file.h"
#include "base/str.h"
#include "farmfile/farmfile.h"

struct loaded {
    struct arena *mem;
    struct units *units;
    const struct farm *farm;
};

static void load(struct loaded *loaded, const char *path)
{
    struct farmfile_problems problems = {0};
    struct err err = ERR_INIT;
    char *text = NULL;
    size_t length = 0;

    loaded->mem = arena_new();
    if (!units_load(&loaded->units, &err) ||
        !file_read(loaded->mem, path, 4 << 20, &text, &length, &err))
        fail_msg("%s", err.text);
    if (!farmfile_read(loaded->mem, text, length, loaded->units, &loaded->farm, &problems, &err)) {
        for (size_t i = 0; i < problems.count; i++)
            print_message("%s:%d:%d: %s\n", path, problems.items[i].line, problems.items[i].column,
                          problems.items[i].words);
        fail_msg("%s (%s)", err.text, err.hint);
    }
}

static void unload(struct loaded *loaded)
{
    units_free(&loaded->units);
    arena_free(&loaded->mem);
}

static void the_example_loads(void **state)
{
    CLEANUP(unload) struct loaded loaded = {0};

    (void)state;
    load(&loaded, SOURCE_DIR "/fixtures/example/farm.yaml");
    assert_string_equal(loaded.farm->key, "example-shore");
    assert_true(loaded.farm->invented);
    assert_int_equal(loaded.farm->stations.count, 3);
    assert_int_equal(loaded.farm->sources.count, 2);
    assert_int_equal(loaded.farm->limits.count, 3);
    assert_int_equal(loaded.farm->intervals.count, 1);
}

/* A farm can only learn from it what is in it. */
static void the_full_example_loads_and_shows_what_a_farm_may_need(void **state)
{
    CLEANUP(unload) struct loaded loaded = {0};

    (void)state;
    load(&loaded, SOURCE_DIR "/fixtures/example/farm-full.yaml");

    const struct farm *farm = loaded.farm;
    const struct limit *load_limit = &farm->limits.items[0].limit;
    const struct limit *temperature = &farm->limits.items[2].limit;
    const struct source *logger = &farm->sources.items[0].source;

    assert_true(farm->invented);
    assert_int_equal(load_limit->daily, DAILY_LOAD);
    assert_int_equal(load_limit->load_gap, LOAD_GAP_LEFT_OUT);
    assert_int_equal(farm->limits.items[1].limit.statistic, STATISTIC_GEOMETRIC_MEAN);
    assert_int_equal(temperature->daily, DAILY_MEAN);
    assert_int_equal(temperature->least_coverage.coefficient, 75);
    assert_int_equal(temperature->reading_stands_s, 20 * 60);
    assert_int_equal(farm->limits.items[3].limit.daily, DAILY_TOTAL);
    assert_int_equal(farm->counters.items[0].replaced_count, 1);
    assert_int_equal(farm->counters.items[0].size.coefficient, 1000000);
    assert_string_equal(farm->licences.items[0].points[1].outlet_parameter, "outlet");
    assert_int_equal(logger->separator, ';');
    assert_int_equal(logger->decimal, ',');
    assert_string_equal(logger->charset, "windows-1252");
    assert_int_equal(logger->flags.count, 3);
    assert_int_equal(logger->blank_count, 2);
    assert_int_equal(farm->sources.items[1].source.units.count, 2);
    assert_int_equal(farm->sources.items[1].source.not_detected_count, 1);
    assert_int_equal(farm->intervals.items[0].interval.week_starts, 1);
    assert_int_equal(farm->intervals.items[1].interval.shape, INTERVAL_AT_MOST_DAYS);
    assert_int_equal(farm->laboratories.count, 1);
    assert_int_equal(farm->tide_tables.items[0].tide_count, 4);
    assert_string_equal(farm->tanks.items[0].still_water.oxygen.station, "tank-1");
    assert_int_equal(farm->derived.count, 14); /* one of each kind */
    assert_string_equal(farm_find_limit(farm, "nitrogen-p90")->limit.settings.percentile_rule,
                        "Hazen");
    assert_string_equal(farm_find_limit(farm, "solids--drain")->limit.station, "drain");
    assert_int_equal(farm_find_limit(farm, "no-scum")->limit.tide.of, TIDE_HIGH);
}

static void a_limit_says_what_the_file_says(void **state)
{
    CLEANUP(unload) struct loaded loaded = {0};

    (void)state;
    load(&loaded, SOURCE_DIR "/fixtures/quillmere/farm.yaml");

    const struct limit *load_mean = &farm_find_limit(loaded.farm, "nitrogen-load-mean")->limit;

    assert_int_equal(load_mean->order, 7);
    assert_string_equal(load_mean->licence_version, "2025-11-20");
    assert_string_equal(load_mean->authority, "shore-council");
    assert_int_equal(load_mean->daily, DAILY_LOAD);
    assert_int_equal(load_mean->statistic, STATISTIC_MEAN);
    assert_int_equal(load_mean->period, PERIOD_MONTH);
    assert_int_equal(load_mean->kinds, KIND_GRAB);
    assert_true(load_mean->only_while_discharging);
    assert_true(load_mean->bound.has_ceiling);
    assert_false(load_mean->bound.ceiling_reached_is_outside);
    assert_string_equal(load_mean->flow.parameter, "flow");
    assert_int_equal(load_mean->load_gap, LOAD_GAP_LEFT_OUT);
    assert_int_equal(load_mean->rounding.rule, ROUND_HALF_UP);
    assert_int_equal(load_mean->rounding.digits, 1);
    assert_int_equal(load_mean->least_samples, 3);
    assert_int_equal(load_mean->in_force_from, day_from_civil(2025, 11, 20));
    assert_int_equal(load_mean->in_force_to, DAY_NONE);

    const struct limit *below = &farm_find_limit(loaded.farm, "nitrogen-each")->limit;

    assert_true(below->bound.ceiling_reached_is_outside);

    const struct limit *mean = &farm_find_limit(loaded.farm, "ammonia-mean")->limit;

    assert_int_equal(mean->less_than, LESS_THAN_HALF);
    assert_true(mean->rounding_to_bound);
    assert_int_equal(mean->rounding.digits, 2); /* of 0.30 */
    assert_int_equal(mean->margin, MARGIN_SHARE);

    const struct limit *range = &farm_find_limit(loaded.farm, "ph-range")->limit;

    assert_true(range->bound.has_floor && range->bound.has_ceiling);
    assert_int_equal(range->bound.floor.coefficient, 65);

    const struct limit *day = &farm_find_limit(loaded.farm, "temperature-day")->limit;

    assert_int_equal(day->reading_stands_s, 1200);
    assert_int_equal(day->least_coverage.coefficient, 75);
}

static void sources_meters_and_intervals_say_what_the_file_says(void **state)
{
    CLEANUP(unload) struct loaded loaded = {0};

    (void)state;
    load(&loaded, SOURCE_DIR "/fixtures/quillmere/farm.yaml");

    const struct source *logger = &farm_find_source(loaded.farm, "logger")->source;

    assert_int_equal(logger->separator, ';');
    assert_int_equal(logger->decimal, ',');
    assert_int_equal(logger->clock, CLOCK_LOCAL);
    assert_int_equal(logger->column_count, 10);
    assert_string_equal(logger->columns[5].position, "surface");
    assert_int_equal(logger->kind, KIND_PROBE);
    assert_int_equal(logger->ahead_minutes, 10);

    const struct source *sheet = &farm_find_source(loaded.farm, "outlet-sheet")->source;

    assert_string_equal(sheet->states.items[1].word, "closed");
    assert_string_equal(sheet->states.items[1].means, "shut");

    const struct farm_counter *meter = &loaded.farm->counters.items[0];
    struct civil replaced = instant_to_utc(meter->replaced_at[0]);

    assert_int_equal(meter->replaced_count, 1);
    assert_int_equal(replaced.day, 17); /* 10:20 of the 18th, 13 hours ahead of UTC */
    assert_int_equal(replaced.hour, 21);

    const struct interval *weekly = &farm_find_interval(loaded.farm, "weekly")->interval;
    const struct interval *bacteria = &farm_find_interval(loaded.farm, "bacteria")->interval;

    assert_int_equal(weekly->shape, INTERVAL_PER_PERIOD);
    assert_int_equal(weekly->period, INTERVAL_WEEK);
    assert_int_equal(weekly->count, 1);
    assert_int_equal(weekly->week_starts, 1);
    assert_int_equal(bacteria->shape, INTERVAL_AT_MOST_DAYS);
    assert_int_equal(bacteria->days, 16);
    assert_int_equal(bacteria->tolerance_days, 2);

    const struct farm_licence *licence = farm_find_licence(loaded.farm, "dp-26");

    assert_int_equal(licence->anniversary, 1101);
    assert_string_equal(licence->points[1].outlet_parameter, "outlet");
    assert_string_equal(licence->points[1].meter_parameter, "discharge-meter");
}

/* Whether two readings of one clause agree; texts by what they say. */
static void assert_same_limit(const struct limit *one, const struct limit *other)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    assert_string_equal(one->key, other->key);
    assert_string_equal(limit_words(mem, one), limit_words(mem, other));
    assert_string_equal(one->unit, other->unit);
    assert_string_equal(one->wording, other->wording);
    assert_string_equal(one->authority, other->authority);
    assert_string_equal(one->licence_version, other->licence_version);
    assert_true(str_equal(one->position, other->position));
    assert_true(str_equal(one->flow.station, other->flow.station));
    assert_int_equal(one->kinds, other->kinds);
    assert_int_equal(one->only_while_discharging, other->only_while_discharging);
    assert_int_equal(one->daily, other->daily);
    assert_int_equal(one->statistic, other->statistic);
    assert_int_equal(one->period, other->period);
    assert_memory_equal(&one->rounding, &other->rounding, sizeof(one->rounding));
    assert_int_equal(one->less_than, other->less_than);
    assert_int_equal(one->least_samples, other->least_samples);
    assert_int_equal(one->reading_stands_s, other->reading_stands_s);
    assert_int_equal(decimal_compare(one->least_coverage, other->least_coverage), 0);
    assert_int_equal(one->margin, other->margin);
    assert_int_equal(one->in_force_from, other->in_force_from);
    assert_int_equal(one->in_force_to, other->in_force_to);
}

static void a_clause_comes_back_from_its_definition(void **state)
{
    CLEANUP(unload) struct loaded loaded = {0};
    struct err err = ERR_INIT;

    (void)state;
    load(&loaded, SOURCE_DIR "/fixtures/quillmere/farm.yaml");
    for (size_t i = 0; i < loaded.farm->limits.count; i++) {
        const struct farm_limit *limit = &loaded.farm->limits.items[i];
        struct limit back = {0};

        if (!farmfile_limit(loaded.mem, limit->definition, loaded.farm, &back, &err))
            fail_msg("%s: %s", limit->limit.key, err.text);
        assert_same_limit(&limit->limit, &back);
    }
    for (size_t i = 0; i < loaded.farm->intervals.count; i++) {
        const struct farm_interval *interval = &loaded.farm->intervals.items[i];
        struct interval back = {0};

        if (!farmfile_interval(loaded.mem, interval->definition, loaded.farm, &back, &err))
            fail_msg("%s: %s", interval->interval.key, err.text);
        assert_string_equal(interval_words(loaded.mem, &back),
                            interval_words(loaded.mem, &interval->interval));
        assert_int_equal(back.parameter_count, interval->interval.parameter_count);
        assert_int_equal(back.in_force_from, interval->interval.in_force_from);
        assert_int_equal(back.tolerance_days, interval->interval.tolerance_days);
    }
}

static void an_old_clause_reads_back_when_its_station_is_gone(void **state)
{
    CLEANUP(unload) struct loaded loaded = {0};
    struct limit back = {0};
    struct err err = ERR_INIT;

    (void)state;
    load(&loaded, SOURCE_DIR "/fixtures/quillmere/farm.yaml");

    const char *definition = farm_find_limit(loaded.farm, "solids-each")->definition;
    struct farm emptied = *loaded.farm;

    emptied.stations.count = 0;
    emptied.licences.count = 0;
    assert_true(farmfile_limit(loaded.mem, definition, &emptied, &back, &err));
    assert_string_equal(back.station, "outlet");
    assert_string_equal(back.authority, "");
}

static void a_damaged_definition_is_our_own_fault(void **state)
{
    CLEANUP(unload) struct loaded loaded = {0};
    struct limit limit = {0};
    struct interval interval = {0};
    struct err err = ERR_INIT;

    (void)state;
    load(&loaded, SOURCE_DIR "/fixtures/example/farm.yaml");
    assert_false(farmfile_limit(loaded.mem, "{\"key\":", loaded.farm, &limit, &err));
    assert_int_equal(err.code, ERR_BUG);
    assert_false(farmfile_limit(loaded.mem, "{\"key\":\"x\"}", loaded.farm, &limit, &err));
    assert_int_equal(err.code, ERR_BUG);
    assert_false(farmfile_interval(loaded.mem, "[]", loaded.farm, &interval, &err));
    assert_int_equal(err.code, ERR_BUG);
    assert_null(limit.key);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_example_loads),
        cmocka_unit_test(the_full_example_loads_and_shows_what_a_farm_may_need),
        cmocka_unit_test(a_limit_says_what_the_file_says),
        cmocka_unit_test(sources_meters_and_intervals_say_what_the_file_says),
        cmocka_unit_test(a_clause_comes_back_from_its_definition),
        cmocka_unit_test(an_old_clause_reads_back_when_its_station_is_gone),
        cmocka_unit_test(a_damaged_definition_is_our_own_fault),
    };

    return cmocka_run_group_tests_name("farmfile/fixtures", tests, NULL, NULL);
}
