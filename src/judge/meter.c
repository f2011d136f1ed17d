#include "judge/meter.h"

#include "base/buf.h"
#include "base/str.h"
#include "judge/converter.h"
#include "measure/counter.h"

static const struct evidence_counter *record_of(const struct evidence *evidence,
                                                const struct water *water)
{
    for (size_t i = 0; i < evidence->counter_count; i++)
        if (str_equal(evidence->counters[i].station, water->place->station) &&
            str_equal(evidence->counters[i].parameter, water->parameter))
            return &evidence->counters[i];

    return NULL;
}

static const struct exact *on_record(struct arena *mem, struct decimal value)
{
    return value.coefficient == 0 ? NULL : exact_from_decimal(mem, value);
}

static struct counter counter_of(struct arena *mem, const struct evidence_counter *record)
{
    if (!record)
        return (struct counter){.multiplier = exact_from_int(mem, 1)};

    const struct exact *multiplier = on_record(mem, record->multiplier);

    return (struct counter){
        .size = record->size.coefficient > 0 ? counter_full_turn(mem, record->size) : NULL,
        .multiplier = multiplier ? multiplier : exact_from_int(mem, 1),
        .most_per_day = on_record(mem, record->most_per_day),
    };
}

/*
 * One reading an instant: of several the highest, which the order of the list puts last. A count
 * is of the parameter's own unit, in whichever it was reported.
 */
static struct counter_reading *readings_of(const struct judgement *judgement,
                                           const struct water *water,
                                           const struct evidence_counter *record, size_t *count)
{
    struct arena *mem = judgement->mem;
    struct counter_reading *readings = ARENA_ARRAY(mem, struct counter_reading, water->count);
    struct converter converter =
        converter_to(judgement->evidence->units, water->known, water->known->unit);

    *count = 0;
    for (size_t i = 0; i < water->count; i++) {
        const struct evidence_reading *reading = water->items[i].reading;
        struct amount value;

        if (reading->qualifier != QUALIFIER_NONE ||
            !converter_apply(mem, &converter, reading->unit, reading->reported, &value, NULL))
            continue;
        if (*count > 0 && readings[*count - 1].at == reading->at)
            --*count;
        readings[(*count)++] =
            (struct counter_reading){.at = reading->at, .count = amount_exact(mem, value)};
    }
    for (size_t i = 0; record && i < record->replaced_count; i++)
        counter_mark_replaced(readings, *count, record->replaced_at[i]);

    return readings;
}

/* Readings in order, and what ran between them. */
struct counted_meter {
    const struct counter_reading *readings;
    size_t count;
    struct counter_spans spans;
};

/* The judged days with those around them that the spans reach into. */
struct day_span {
    day_number first;
    instant *bounds;
    size_t day_count;
};

static struct day_span day_span_of(const struct judgement *judgement, instant from, instant until)
{
    const struct zone *zone = judgement->evidence->zone;
    int hour = judgement->limit->day_starts_hour;
    day_number first = zone_day_at(zone, from, hour);
    day_number last = zone_day_at(zone, until, hour);
    day_number judged = judgement->days[0].day;
    day_number judged_last = judgement->days[judgement->day_count - 1].day;

    if (first > judged)
        first = judged;
    if (last < judged_last)
        last = judged_last;

    struct day_span window = {.first = first, .day_count = (size_t)(last - first) + 1};

    window.bounds = ARENA_ARRAY(judgement->mem, instant, window.day_count + 1);
    for (size_t i = 0; i <= window.day_count; i++)
        window.bounds[i] = zone_day_start_at(zone, first + (day_number)i, hour);

    return window;
}

/* The longest difference that began in the day. */
static int64_t longest_span(const struct counter_spans *spans, const struct judged_day *day)
{
    int64_t longest = 0;

    for (size_t i = 0; i < spans->count; i++) {
        const struct counter_span *span = &spans->items[i];
        int64_t length = span->until - span->from;

        if (span->from >= day->start && span->from < day->end && length > longest)
            longest = length;
    }

    return longest;
}

static const char *marks_note(struct arena *mem, const struct counter_day *day)
{
    struct buf note = buf_new(mem);

    for (unsigned mark = COUNTER_ROLLED_OVER; mark < COUNTER_MARKS; mark++)
        if (day->marks & (1u << mark))
            buf_addf(&note, "%smeter %s", note.len > 0 ? ", " : "",
                     counter_mark_words((enum counter_mark)mark));
    if (day->shared)
        buf_addf(&note, "%sshared evenly over several days", note.len > 0 ? ", " : "");

    return note.len > 0 ? note.data : NULL;
}

/* The reading of a span at which the count fell; its last where it only rose. */
static size_t misread_at(const struct counted_meter *meter, const struct counter_span *span)
{
    size_t last = 0;

    for (size_t i = 1; i < meter->count; i++) {
        if (meter->readings[i - 1].at < span->from || meter->readings[i].at > span->until)
            continue;
        last = i;
        if (exact_compare(meter->readings[i].count, meter->readings[i - 1].count) < 0)
            break;
    }

    return last;
}

/* Words for a fall or a leap of the count within a span of its own: "..., (439814, then 439775)".
 */
static const char *misread_note(struct arena *mem, const struct counted_meter *meter,
                                const struct judged_day *day)
{
    static const char words[] = "the meter was reset or misread";

    for (size_t i = 0; i < meter->spans.count; i++) {
        const struct counter_span *span = &meter->spans.items[i];

        if (span->mark != COUNTER_RESET_OR_MISREAD || span->from >= day->end ||
            span->until <= day->start)
            continue;

        size_t at = misread_at(meter, span);

        if (at == 0)
            continue;

        const struct exact *before = meter->readings[at - 1].count;
        const struct exact *then = meter->readings[at].count;

        return arena_printf(
            mem, "%s (%s, then %s%s)", words, exact_text(mem, before, DECIMAL_DIGITS_MOST),
            exact_text(mem, then, DECIMAL_DIGITS_MOST),
            exact_compare(then, before) > 0 ? ": more than its `most per day`" : "");
    }

    return words;
}

static struct day_volume volume_of(const struct judgement *judgement,
                                   const struct counted_meter *meter,
                                   const struct counter_day *counted, const struct judged_day *day,
                                   const struct exact *to_m3)
{
    struct arena *mem = judgement->mem;
    bool misread = (counted->marks & 1U << COUNTER_RESET_OR_MISREAD) != 0;

    if (misread && (counted->not_shared || !counted->volume))
        return (struct day_volume){.misread = true, .note = misread_note(mem, meter, day)};
    if (counted->not_shared)
        return (struct day_volume){.note = "the meter was not read for several days"};
    if (!counted->volume)
        return (struct day_volume){.note = counted->marks ? marks_note(mem, counted)
                                                          : "the meter was not read"};
    if (!counted->shared &&
        counted->covered_us + longest_span(&meter->spans, day) < day->end - day->start)
        return (struct day_volume){.note = "the meter was read for part of the day only"};

    return (struct day_volume){.m3 = exact_mul(mem, counted->volume, to_m3),
                               .filled = counted->shared,
                               .note = marks_note(mem, counted)};
}

/* m3 in one canonical unit of the meter; NULL when it does not measure volumes. */
static const struct exact *m3_of_canonical(const struct judgement *judgement,
                                           const struct water *water)
{
    const struct units *units = judgement->evidence->units;
    const struct unit *from = unit_named(units, water->known->unit);
    const struct unit *to = unit_named(units, "m3");
    const struct exact *m3 = NULL;
    struct err ignored = ERR_INIT;

    if (!from || !to ||
        !unit_convert(units, judgement->mem, from, to, exact_from_int(judgement->mem, 1), &m3,
                      &ignored))
        return NULL;

    return m3;
}

/*
 * Whether all of the run's water is of days that are judged: each is, or nothing was discharged
 * on it. `first` is the index of its first day.
 */
static bool run_is_judged(const struct judgement *judgement, size_t first, size_t count)
{
    if (first + count > judgement->day_count)
        return false;
    for (size_t i = first; i < first + count; i++) {
        const struct judged_day *day = &judgement->days[i];

        if (!day->in_force || !day->over)
            return false;
    }

    return true;
}

/* The water of days that is known together only, at the first of them that is judged. */
static void add_runs(const struct judgement *judgement, const struct counter_spans *spans,
                     const struct day_span *window, size_t offset, const struct exact *to_m3,
                     struct day_volume *volumes)
{
    struct arena *mem = judgement->mem;
    struct counter_runs runs =
        counter_runs_of(mem, spans, window->bounds, window->day_count, COUNTER_BEGAN);

    for (size_t i = 0; i < runs.count; i++) {
        const struct counter_run *run = &runs.items[i];
        size_t days = run->after - run->first;
        size_t first = run->first - offset;

        if (!run->volume || run->from < judgement->from_at || run->until > judgement->until_at ||
            !run_is_judged(judgement, first, days))
            continue;
        for (; days > 1 && judgement->days[first].why_not; days--)
            first++;
        volumes[first].together_days = days;
        volumes[first].together_m3 = exact_mul(mem, run->volume, to_m3);
    }
}

const struct day_volume *meter_volumes(const struct judgement *judgement, const struct water *water)
{
    struct arena *mem = judgement->mem;
    struct day_volume *volumes = ARENA_ARRAY(mem, struct day_volume, judgement->day_count);
    const struct evidence_counter *record = record_of(judgement->evidence, water);
    const struct exact *to_m3 = m3_of_canonical(judgement, water);
    const struct counter counter = counter_of(mem, record);
    struct counted_meter meter = {0};
    struct counter_suspects suspects = {0};
    size_t count = 0;
    const struct counter_reading *readings = readings_of(judgement, water, record, &count);

    if (count < 2 || !to_m3) {
        for (size_t i = 0; i < judgement->day_count; i++)
            volumes[i].note = "the meter was not read";
        return volumes;
    }
    meter.readings = readings;
    meter.count = count;
    counter_spans_of(mem, &counter, readings, count, &meter.spans, &suspects);

    struct day_span window = day_span_of(judgement, readings[0].at, readings[count - 1].at);
    bool may_share = record && record->share_over_days;
    const struct counter_day *counted = counter_days_of(mem, &meter.spans, window.bounds,
                                                        window.day_count, COUNTER_BEGAN, may_share);
    size_t offset = (size_t)(judgement->days[0].day - window.first);

    for (size_t i = 0; i < judgement->day_count; i++)
        volumes[i] = volume_of(judgement, &meter, &counted[offset + i], &judgement->days[i], to_m3);
    if (!may_share)
        add_runs(judgement, &meter.spans, &window, offset, to_m3, volumes);

    return volumes;
}
