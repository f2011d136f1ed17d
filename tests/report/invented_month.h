/*
 * An invented month, April 2026 of an invented farm, judged for real: samples with less-thans, a
 * probe with a gap, a meter, loads, limits that are kept, broken and can't be assessed. Every
 * name and number is made up; no bound is one of a real licence.
 */
#ifndef TESTS_REPORT_INVENTED_MONTH_H
#define TESTS_REPORT_INVENTED_MONTH_H

#include <math.h>

#include "base/str.h"
#include "judge/judge.h"
#include "report/discharge_month.h"

enum { INVENTED_DAYS = 30, PROBE_MOST = 24 * INVENTED_DAYS };

static struct decimal dec(const char *text)
{
    struct decimal value = {0};

    if (!decimal_parse(text, &value))
        fail_msg("%s is no decimal", text);

    return value;
}

/* What a test may change before the month is judged. */
struct invented {
    struct arena *mem;
    struct farm farm;
    struct farm_authority authority;
    struct farm_licence licence;
    struct farm_person signer;
    struct farm_point point;
    struct units *units;
    struct evidence evidence;
    struct evidence_series series[14];
    struct evidence_counter counter;
    struct discharge_day days[INVENTED_DAYS];
    struct limit limits[16];
    size_t limit_count;
    struct verdict verdicts[16];
    struct interval interval;
    struct due dues[2];
    struct no_sample excused;
    struct report_interval intervals[1];
    struct report_receipt receipts[2];
    struct report_set_aside set_aside[2];
    struct report_correction corrections[1];
    struct report_finding findings[1];
    struct discharge_month month;
};

static instant invented_at(struct invented *in, int day, int hour)
{
    return zone_day_start(in->farm.zone, day_from_civil(2026, 4, day)) + hour * HOUR_US;
}

static void add_reading(struct evidence_series *series, struct invented *in, instant at,
                        const char *text, const char *unit)
{
    struct evidence_reading *readings = (struct evidence_reading *)(uintptr_t)series->readings;
    bool marked = *text == '<' || *text == '>';

    readings[series->count] = (struct evidence_reading){
        .at = at,
        .until = at,
        .qualifier = marked                  ? *text
                     : str_equal(text, "nd") ? QUALIFIER_NOT_DETECTED
                                             : QUALIFIER_NONE,
        .reported = str_equal(text, "nd") ? (struct decimal){0} : dec(marked ? text + 1 : text),
        .unit = unit,
        .counts = true,
        .origin = {.receipt = series->kind == KIND_GRAB ? 2 : 1,
                   .line = (int32_t)series->count + 2,
                   .column = 4},
    };
    readings[series->count].first_qualifier = readings[series->count].qualifier;
    readings[series->count].first_reported = readings[series->count].reported;
    readings[series->count].first_unit = unit;
    if (series->kind == KIND_GRAB)
        readings[series->count].sample = arena_printf(in->mem, "S-%zu", series->count + 1);
    series->count++;
}

static struct evidence_series *add_series(struct invented *in, const char *parameter, unsigned kind,
                                          size_t most)
{
    struct evidence_series *series = &in->series[in->evidence.series_count++];

    *series = (struct evidence_series){
        .station = "outlet",
        .parameter = parameter,
        .kind = kind,
        .readings = ARENA_ARRAY(in->mem, struct evidence_reading, most),
    };

    return series;
}

static void add_samples(struct invented *in, const char *parameter, const char *unit,
                        const char *const *values)
{
    struct evidence_series *series = add_series(in, parameter, KIND_GRAB, 8);

    for (int i = 0; values[i]; i++)
        add_reading(series, in, invented_at(in, 1 + 7 * i, 9), values[i], unit);
}

/* A probe by the hour, silent on the 12th and 13th; `low` is its dip on the 21st. */
static void add_probe(struct invented *in, const char *parameter, const char *unit, double middle,
                      double swing, const char *low)
{
    struct evidence_series *series = add_series(in, parameter, KIND_PROBE, PROBE_MOST);

    for (int day = 1; day <= INVENTED_DAYS; day++) {
        for (int hour = 0; hour < 24; hour++) {
            double value = middle + swing * sin((day * 24 + hour) / 3.8);

            if (day == 12 || day == 13)
                continue;
            add_reading(series, in, invented_at(in, day, hour),
                        low && day == 21 && hour == 5 ? low : arena_printf(in->mem, "%.2f", value),
                        unit);
        }
    }
}

static void add_meter(struct invented *in)
{
    struct evidence_series *series = add_series(in, "discharge-meter", KIND_BY_HAND, 40);
    int64_t count = 104200;

    for (int day = 1; day <= INVENTED_DAYS; day++) {
        add_reading(series, in, invented_at(in, day, 0),
                    arena_printf(in->mem, "%lld", (long long)count), "m3");
        count += day % 10 == 0 ? 0 : 410 + day * 7 % 40;
    }
    add_reading(series, in, zone_day_start(in->farm.zone, day_from_civil(2026, 5, 1)),
                arena_printf(in->mem, "%lld", (long long)count), "m3");
    in->counter = (struct evidence_counter){.station = "outlet",
                                            .parameter = "discharge-meter",
                                            .size = dec("1000000"),
                                            .multiplier = dec("1"),
                                            .most_per_day = dec("5000")};
    in->evidence.counters = &in->counter;
    in->evidence.counter_count = 1;
}

/* A limit with the choices that most of these share. */
static struct limit *add_limit(struct invented *in, const char *name, const char *parameter,
                               const char *unit)
{
    struct limit *limit = &in->limits[in->limit_count++];

    *limit = (struct limit){
        .key = name,
        .name = name,
        .order = (int)in->limit_count,
        .licence = "licence",
        .licence_version = "2026-01-01",
        .authority = "authority",
        .clause = arena_printf(in->mem, "Table 2, row %zu", in->limit_count),
        .wording = "An example wording: the figure shall not exceed the bound in this table.",
        .station = "outlet",
        .parameter = parameter,
        .unit = unit,
        .only_while_discharging = true,
        .less_than = LESS_THAN_HALF,
        .period = PERIOD_MONTH,
        .in_force_from = day_from_civil(2026, 1, 1),
        .in_force_to = DAY_NONE,
        .version = 3,
        .confirmed = true,
    };

    return limit;
}

static void ceiling(struct limit *limit, const char *bound)
{
    limit->bound.has_ceiling = true;
    limit->bound.ceiling = dec(bound);
}

static void floor_of(struct limit *limit, const char *bound)
{
    limit->bound.has_floor = true;
    limit->bound.floor = dec(bound);
}

static void rounded(struct limit *limit, enum rounding_rule rule, enum rounding_to to, int digits)
{
    limit->rounding = (struct rounding){rule, to, digits};
}

static void add_limits(struct invented *in)
{
    struct limit *limit =
        add_limit(in, "Suspended solids, each sample", "suspended-solids", "mg/L");

    ceiling(limit, "45");
    limit->period = PERIOD_EACH_SAMPLE;

    limit = add_limit(in, "Suspended solids, monthly mean", "suspended-solids", "mg/L");
    ceiling(limit, "30");
    limit->statistic = STATISTIC_MEAN;
    rounded(limit, ROUND_HALF_UP, ROUND_TO_DECIMALS, 0);

    limit = add_limit(in, "Suspended solids, mean daily load", "suspended-solids", "kg/day");
    ceiling(limit, "14.0");
    limit->daily = DAILY_LOAD;
    limit->statistic = STATISTIC_MEAN;
    limit->flow = (struct limit_flow){"outlet", "discharge-meter"};
    limit->load_gap = LOAD_GAP_PERIOD_MEAN;
    rounded(limit, ROUND_HALF_EVEN, ROUND_TO_DECIMALS, 1);

    limit = add_limit(in, "Total ammonia, monthly mean", "ammonia", "mg/L");
    ceiling(limit, "0.50");
    limit->statistic = STATISTIC_MEAN;
    rounded(limit, ROUND_HALF_UP, ROUND_TO_FIGURES, 2);

    limit = add_limit(in, "Total ammonia, monthly median", "ammonia", "mg/L");
    ceiling(limit, "0.50");
    limit->statistic = STATISTIC_MEDIAN;
    limit->less_than = LESS_THAN_AT_LIMIT;
    rounded(limit, ROUND_HALF_EVEN, ROUND_TO_FIGURES, 2);

    limit = add_limit(in, "Enterococci, monthly geometric mean", "enterococci-mpn", "MPN/100 mL");
    ceiling(limit, "35");
    limit->statistic = STATISTIC_GEOMETRIC_MEAN;
    rounded(limit, ROUND_HALF_UP, ROUND_TO_DECIMALS, 1);

    limit = add_limit(in, "pH, every reading", "ph", "pH");
    ceiling(limit, "9.0");
    floor_of(limit, "6.5");

    limit = add_limit(in, "Dissolved oxygen, lowest of each day", "oxygen", "mg/L");
    floor_of(limit, "5.0");
    limit->daily = DAILY_MINIMUM;

    limit = add_limit(in, "Temperature, mean of each day", "temperature", "degC");
    ceiling(limit, "23");
    limit->daily = DAILY_MEAN;
    rounded(limit, ROUND_HALF_UP, ROUND_TO_DECIMALS, 1);

    limit = add_limit(in, "Volume, month", "discharge-meter", "m3");
    ceiling(limit, "20000");
    limit->daily = DAILY_TOTAL;
    limit->statistic = STATISTIC_SUM;

    limit = add_limit(in, "Temperature, every reading, nearly all the time", "temperature", "degC");
    ceiling(limit, "30");
    limit->least_coverage = dec("99");
    limit->reading_stands_s = 3600;

    limit = add_limit(in, "Phosphate, monthly mean", "phosphate", "mg/L");
    ceiling(limit, "1.0");
    limit->statistic = STATISTIC_MEAN;
    limit->least_samples = 4;
}

static void add_people(struct invented *in)
{
    static struct farm_station stations[] = {{.key = "outlet", .name = "Pond outlet"}};

    in->authority = (struct farm_authority){.key = "authority",
                                            .name = "Example Water Office",
                                            .decides = "what may be discharged",
                                            .call = "555 0100, weekdays"};
    in->point = (struct farm_point){.station = "outlet", .called = "Discharge point 1"};
    in->licence = (struct farm_licence){
        .key = "licence",
        .number = "EX-0042",
        .holder = "Invented Pond Company",
        .authority = "authority",
        .version = day_from_civil(2026, 1, 1),
        .ends = DAY_NONE,
        .certification = "I have looked through these figures and they are what our records show. "
                         "(An example text: the farm types its own.)",
        .points = &in->point,
        .point_count = 1,
    };
    in->signer = (struct farm_person){.key = "ana", .name = "Ana Example", .position = "Manager"};
    in->farm = (struct farm){.key = "pond-demo",
                             .name = "Invented Pond Farm",
                             .zone_name = "Pacific/Auckland",
                             .invented = true,
                             .stations = {.items = stations, .count = ARRAY_LEN(stations)}};
}

static void add_records(struct invented *in)
{
    in->receipts[0] = (struct report_receipt){.receipt = 1,
                                              .file_name = "outlet-april.csv",
                                              .source = "Outlet logger",
                                              .sha256 = "aa11",
                                              .received_at = invented_at(in, 30, 12),
                                              .person = "Ana Example"};
    in->receipts[1] = (struct report_receipt){.receipt = 2,
                                              .file_name = "=lab april.csv",
                                              .source = "Laboratory",
                                              .sha256 = "bb22",
                                              .received_at = invented_at(in, 30, 13),
                                              .person = "Ana Example"};
    in->set_aside[0] = (struct report_set_aside){.receipt = 2,
                                                 .line = 9,
                                                 .column = 5,
                                                 .reason = "unknown unit",
                                                 .words = "mg/M is no unit of Total ammonia",
                                                 .todo = "Ask the laboratory, then mend it.",
                                                 .text = "-0.31"};
    in->set_aside[1] = (struct report_set_aside){.receipt = 2,
                                                 .line = 10,
                                                 .column = 5,
                                                 .reason = "not a number",
                                                 .words = "? is no number",
                                                 .text = "?",
                                                 .answer = "left out",
                                                 .because = "The laboratory lost the bottle.",
                                                 .person = "Ana Example",
                                                 .answered_at = invented_at(in, 29, 9)};
    static const char *const moved[] = {"Suspended solids, each sample",
                                        "Suspended solids, monthly mean",
                                        "Suspended solids, mean daily load"};

    in->corrections[0] =
        (struct report_correction){.station = "outlet",
                                   .parameter = "suspended-solids",
                                   .at = invented_at(in, 15, 9),
                                   .first_value = "82 mg/L",
                                   .value_before = "82 mg/L",
                                   .new_value = "28 mg/L",
                                   .made_at = invented_at(in, 28, 10),
                                   .person = "Ana Example",
                                   .reason = "The laboratory sent a corrected sheet.",
                                   .outside_to_inside = true,
                                   .moved = moved,
                                   .moved_count = ARRAY_LEN(moved)};
    in->findings[0] =
        (struct report_finding){.title = "Suspended solids, each sample: above 45 on 22 April",
                                .standing = "in hand",
                                .opened_at = invented_at(in, 24, 8),
                                .words = "Settling pond emptied and cleaned."};
    in->interval = (struct interval){.key = "weekly",
                                     .name = "Solids and nutrients",
                                     .clause = "Table 3, row 1",
                                     .station = "outlet",
                                     .shape = INTERVAL_PER_PERIOD,
                                     .count = 1,
                                     .period = INTERVAL_WEEK,
                                     .week_starts = 1,
                                     .in_force_to = DAY_NONE};
    in->dues[0] = (struct due){
        .state = DUE_DONE, .required = 1, .done = 1, .from = day_from_civil(2026, 4, 1)};
    in->dues[1] = (struct due){.state = DUE_MISSED,
                               .required = 1,
                               .reason = "laboratory",
                               .explanation = "the bottle broke on the way",
                               .words = "no sample in the week of 6 April: laboratory"};
    in->excused = (struct no_sample){.day = day_from_civil(2026, 4, 20),
                                     .reason = NO_SAMPLE_NOT_REQUIRED,
                                     .explanation = "said so on the telephone",
                                     .person = "Ana Example"};
    in->intervals[0] = (struct report_interval){.interval = &in->interval,
                                                .dues = {.items = in->dues, .count = 2},
                                                .required = 4,
                                                .done = 3,
                                                .excused = &in->excused,
                                                .excused_count = 1};
}

/* The month's totals as app/ would give them. */
static void add_totals(struct invented *in)
{
    const struct verdict *volume = NULL;

    for (size_t i = 0; i < in->limit_count; i++) {
        if (in->limits[i].daily == DAILY_TOTAL)
            volume = &in->verdicts[i];
    }
    in->month.volume_m3 = volume ? volume->figure : NULL;
    in->month.volume_note = "by the meter at Pond outlet";
    for (int i = 0; i < INVENTED_DAYS; i++) {
        enum discharge_state state = in->days[i].state;

        in->month.days_without_discharge += state == DISCHARGE_NONE;
        in->month.days_unknown += state == DISCHARGE_UNKNOWN;
        in->month.days_discharged += state != DISCHARGE_NONE;
    }
}

static void invented_judge(struct invented *in)
{
    for (size_t i = 0; i < in->limit_count; i++)
        judge_limit(in->mem, &in->limits[i], &in->evidence, day_from_civil(2026, 4, 1),
                    day_from_civil(2026, 4, 30), &in->verdicts[i]);
    in->month.verdicts = in->verdicts;
    in->month.verdict_count = in->limit_count;
    add_totals(in);
}

/* Everything but the judging. */
static struct invented *invented_new(struct arena *mem)
{
    static const char *const solids[] = {"12.4", "34.2", "28", "51", "19.5", NULL};
    static const char *const ammonia[] = {"<0.05", "0.12", "<0.05", "0.31", "0.085", NULL};
    static const char *const enterococci[] = {"4", "16", "64", "<2.2", "130", NULL};
    static const char *const phosphate[] = {"210", "180", NULL};
    struct invented *in = ARENA_NEW(mem, struct invented);
    struct err err = ERR_INIT;

    in->mem = mem;
    add_people(in);
    if (!zone_load(mem, in->farm.zone_name, &in->farm.zone, &err) || !units_load(&in->units, &err))
        fail_msg("%s", err.text);
    in->evidence = (struct evidence){.zone = in->farm.zone,
                                     .now = invented_at(in, 30, 24) + 40 * HOUR_US,
                                     .units = in->units,
                                     .parameters = &in->farm.known_parameters,
                                     .series = in->series,
                                     .days = in->days,
                                     .day_count = INVENTED_DAYS,
                                     .outlet_series = -1,
                                     .licence_ends = DAY_NONE};
    for (int i = 0; i < INVENTED_DAYS; i++)
        in->days[i] = (struct discharge_day){.day = day_from_civil(2026, 4, i + 1),
                                             .state = (i + 1) % 10 == 0 ? DISCHARGE_NONE
                                                      : i == 3          ? DISCHARGE_UNKNOWN
                                                                        : DISCHARGE_YES,
                                             .because = (i + 1) % 10 == 0 ? "outlet shut all day"
                                                                          : "counter moved"};
    add_samples(in, "suspended-solids", "mg/L", solids);
    add_samples(in, "ammonia", "mg/L", ammonia);
    add_samples(in, "enterococci-mpn", "MPN/100 mL", enterococci);
    add_samples(in, "phosphate", "ug/L", phosphate);
    add_probe(in, "ph", "pH", 7.8, 0.4, "6.21");
    add_probe(in, "oxygen", "mg/L", 7.1, 1.3, "4.62");
    add_probe(in, "temperature", "degC", 20.5, 2.1, NULL);
    add_meter(in);
    add_limits(in);
    add_records(in);
    in->month = (struct discharge_month){.farm = &in->farm,
                                         .licence = &in->licence,
                                         .authority = &in->authority,
                                         .signer = &in->signer,
                                         .month = day_from_civil(2026, 4, 1),
                                         .made_at = invented_at(in, 30, 24) + 40 * HOUR_US,
                                         .made_by = "Ana Example",
                                         .program_version = "weirbook 0.1",
                                         .ledger_head = "cc33",
                                         .ledger_entries = 41,
                                         .farm_file_version = 3,
                                         .evidence = &in->evidence,
                                         .intervals = in->intervals,
                                         .interval_count = 1,
                                         .receipts = in->receipts,
                                         .receipt_count = 2,
                                         .set_aside = in->set_aside,
                                         .set_aside_count = 2,
                                         .corrections = in->corrections,
                                         .correction_count = 1,
                                         .findings = in->findings,
                                         .finding_count = 1};

    return in;
}

#endif
