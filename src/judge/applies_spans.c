#include "judge/applies_spans.h"

#include <stdlib.h>

#include "base/search.h"
#include "judge/gather.h"
#include "judge/outlet_rows.h"

/* Instants at which an answer may change. */
struct edges {
    instant from;
    instant until;
    instant *items;
    size_t count;
    size_t capacity;
};

bool applies_within_days(const struct limit *limit)
{
    return limit->hours.set || limit->tide.of != TIDE_NONE || limit->applies_while.other.station;
}

bool applies_while_open(const struct evidence *evidence, const struct limit *limit)
{
    return limit->only_while_discharging && limit_of_time(limit) && evidence->outlet_series >= 0;
}

static void add(struct arena *mem, struct edges *edges, instant at)
{
    if (at >= edges->from && at < edges->until)
        LIST_ADD(mem, edges, at);
}

static int offset_of(const struct zone *zone, instant at)
{
    int offset_s = 0;

    (void)zone_to_civil(zone, at, &offset_s, NULL);

    return offset_s;
}

/* Where clocks change between two instants, found by halves. */
static void add_clock_change(struct arena *mem, struct edges *edges, const struct zone *zone,
                             instant low, instant high)
{
    int before = offset_of(zone, low);

    if (offset_of(zone, high) == before)
        return;
    while (high - low > 1) {
        instant middle = low + (high - low) / 2;

        if (offset_of(zone, middle) == before)
            low = middle;
        else
            high = middle;
    }
    add(mem, edges, high);
}

static void add_minute(struct arena *mem, struct edges *edges, const struct zone *zone,
                       day_number day, int minute)
{
    struct civil civil = civil_from_day(day + minute / (24 * 60));
    instant at[2];

    civil.hour = minute / 60 % 24;
    civil.minute = minute % 60;

    enum zone_answer answer = zone_to_instants(zone, &civil, at);

    if (answer != ZONE_NONE)
        add(mem, edges, at[0]);
    if (answer == ZONE_TWO)
        add(mem, edges, at[1]);
}

static void add_hours(struct arena *mem, struct edges *edges, const struct zone *zone,
                      const struct limit_hours *hours)
{
    for (day_number day = zone_day(zone, edges->from) - 1; day <= zone_day(zone, edges->until);
         day++) {
        add_minute(mem, edges, zone, day, hours->from_minute);
        add_minute(mem, edges, zone, day, hours->to_minute);
        add_clock_change(mem, edges, zone, zone_day_start(zone, day),
                         zone_day_start(zone, day + 1));
    }
}

static void add_tides(struct arena *mem, struct edges *edges, const struct applies_rule *rule)
{
    const struct limit_tide *tide = &rule->limit->tide;

    for (size_t i = 0; rule->tides && i < rule->tides->count; i++) {
        instant first = rule->tides->tides[i].at - tide->before_s * SECOND_US;
        instant last = rule->tides->tides[i].at + tide->after_s * SECOND_US;

        add(mem, edges, first);
        add(mem, edges, first + 1);
        add(mem, edges, last);
        add(mem, edges, last + 1);
    }
}

static void add_readings(struct arena *mem, struct edges *edges, const struct applies_rule *rule)
{
    int64_t within_us = rule->limit->applies_while.within_s * SECOND_US;

    for (size_t i = 0; i < rule->source.count; i++) {
        const struct evidence_series *series = &rule->evidence->series[rule->source.series[i]];

        for (size_t k = 0; k < series->count; k++) {
            add(mem, edges, series->readings[k].at);
            add(mem, edges, series->readings[k].until + within_us + 1);
        }
    }
    for (size_t i = 0; i < rule->source.rows.count; i++) {
        instant row_at = rule->source.rows.items[i].at;

        if (row_at == INSTANT_NONE)
            continue;
        add(mem, edges, row_at);
        add(mem, edges, row_at + within_us + 1);
    }
}

/* Where the outlet's record says something new, or may, or grows too old to say anything. */
static void add_outlet(struct arena *mem, struct edges *edges, const struct evidence *evidence,
                       const struct outlet_rows *rows)
{
    const struct evidence_series *outlet = &evidence->series[evidence->outlet_series];

    for (size_t i = 0; i < outlet->count; i++) {
        add(mem, edges, outlet->readings[i].at);
        if (evidence->state_holds_s > 0)
            add(mem, edges,
                outlet->readings[i].at + (int64_t)evidence->state_holds_s * SECOND_US + 1);
    }
    for (size_t i = 0; i < rows->count; i++) {
        add(mem, edges, rows->items[i].from);
        add(mem, edges, rows->items[i].until);
    }
}

static int by_time(const void *a, const void *b)
{
    instant left = *(const instant *)a;
    instant right = *(const instant *)b;

    return (left > right) - (left < right);
}

/* A stretch more; one that answers as the last one did makes that longer. */
static void put(struct arena *mem, struct applies_spans *spans, struct applies_span span)
{
    if (spans->count > 0 && spans->items[spans->count - 1].answer == span.answer) {
        spans->items[spans->count - 1].until = span.until;
        return;
    }
    LIST_ADD(mem, spans, span);
}

struct applies_spans applies_spans_of(struct arena *mem, const struct evidence *evidence,
                                      const struct limit *limit, instant from, instant until)
{
    struct applies_rule rule = applies_rule_of(mem, evidence, limit);
    struct edges edges = {.from = from, .until = until};
    struct applies_spans spans = {.count = 0};
    bool open = applies_while_open(evidence, limit);
    struct outlet_rows rows = {0};

    if (open)
        rows = outlet_rows_of(mem, evidence);
    add(mem, &edges, from);
    if (limit->hours.set)
        add_hours(mem, &edges, evidence->zone, &limit->hours);
    if (limit->tide.of != TIDE_NONE)
        add_tides(mem, &edges, &rule);
    if (limit->applies_while.other.station)
        add_readings(mem, &edges, &rule);
    if (open)
        add_outlet(mem, &edges, evidence, &rows);
    if (edges.items && edges.count > 1)
        qsort(edges.items, edges.count, sizeof(*edges.items), by_time);
    for (size_t i = 0; i < edges.count; i++) {
        instant at = edges.items[i];
        instant next = i + 1 < edges.count ? edges.items[i + 1] : until;
        day_number day = zone_day_at(evidence->zone, at, limit->day_starts_hour);

        if (next <= at)
            continue;

        struct applies applies = applies_at(mem, &rule, at, day);
        bool shut = open && gather_is_shut(evidence, at);
        bool turns = open && outlet_rows_may_turn(&rows, at, shut);

        put(mem, &spans, (struct applies_span){at, next, shut ? APPLIES_NO : applies.on_record});
        if (turns || applies.by_row)
            LIST_ADD(mem, &spans.untold, ((struct untold_span){at, next}));
    }

    return spans;
}

int64_t applies_time_us(const struct applies_spans *spans, instant from, instant until,
                        bool or_not_told)
{
    int64_t total = 0;
    for (size_t i = SEARCH_FROM(spans->items, spans->count, until, from + 1);
         i < spans->count && spans->items[i].from < until; i++) {
        const struct applies_span *span = &spans->items[i];
        instant first = span->from > from ? span->from : from;
        instant last = span->until < until ? span->until : until;

        if (span->answer == APPLIES_YES || (or_not_told && span->answer == APPLIES_NOT_TOLD))
            total += last > first ? last - first : 0;
    }

    return total;
}
