#include "judge/gather_readings.h"

#include <string.h>

#include "base/str.h"
#include "judge/accepts.h"
#include "judge/applies.h"
#include "judge/applies_spans.h"
#include "judge/bound_by.h"
#include "judge/converter.h"
#include "judge/gather.h"
#include "judge/held_states.h"

/* The series whose readings are being gathered, and what they have in common. */
struct gathering {
    struct judgement *judgement;
    struct applies_rule *rule;
    struct converter converter;
    size_t series;
    size_t place;
    struct acceptance acceptance;
    bool is_of_discharge; /* a shut outlet makes its readings no samples of the discharge */
};

static const struct evidence_series *series_of(const struct gathering *gathering)
{
    return &gathering->judgement->evidence->series[gathering->series];
}

/* Why it does not count by what is known of it, whatever the clause's conditions say. */
static const char *why_reading_not(const struct gathering *gathering,
                                   const struct evidence_reading *reading,
                                   const struct acceptance *own, int day)
{
    const struct judgement *judgement = gathering->judgement;

    if (reading->left_out)
        return arena_printf(judgement->mem, "left out: %s", reading->left_out);
    if (!reading->counts)
        return "a check sample or the authority's own: shown, never counted";
    if (judgement->days[day].why_not)
        return judgement->days[day].why_not;
    if (gathering->acceptance.why_not || own->why_not)
        return gathering->acceptance.why_not ? gathering->acceptance.why_not : own->why_not;

    if (!gathering->is_of_discharge)
        return NULL;

    return gather_shut_at(judgement, reading->at);
}

/* It counts, and may not, or counts only as it may: the first reason to doubt it is kept. */
static void put_in_doubt(struct use *use, const char *doubt)
{
    if (!doubt || use->why_not)
        return;
    if (use->trust == TRUST_SOUND)
        use->trust = TRUST_IN_DOUBT;
    if (!use->doubt)
        use->doubt = doubt;
}

/* Whether it is of the discharge is in doubt by a row set aside of the outlet's record. */
static void hold_outlet(const struct gathering *gathering, const struct evidence_reading *reading,
                        struct use *use)
{
    const struct judgement *judgement = gathering->judgement;

    if (gathering->is_of_discharge)
        put_in_doubt(use, gather_shut_doubt(judgement, reading->at));
    put_in_doubt(use, judgement->days[use->day].doubt);
}

/* A composite is of all its time: where the clause applied in a part of it, nothing can be told. */
static void hold_composite(const struct judgement *judgement, struct use *use,
                           struct applies *applies)
{
    instant from = use->at > judgement->from_at ? use->at : judgement->from_at;
    instant until = use->until < judgement->until_at ? use->until : judgement->until_at;
    int64_t least = applies_time_us(judgement->applies, from, until, false);
    int64_t most = applies_time_us(judgement->applies, from, until, true);

    for (size_t i = 0; i < judgement->applies->untold.count; i++) {
        const struct untold_span *span = &judgement->applies->untold.items[i];

        if (span->from < until && span->until > from && !use->untold)
            use->untold = "a row set aside may say otherwise of a part of a composite";
    }
    if (most == 0 || least == until - from)
        return;
    applies->answer = APPLIES_NOT_TOLD;
    applies->why = "a composite lies partly in the time of the clause";
}

static const char *not_told_words(struct arena *mem, const char *why)
{
    return arena_printf(mem, "it can't be told whether the clause applied: %s", why);
}

/* What the clause's conditions say of a reading that counts by everything else. */
static void hold_conditions(const struct gathering *gathering, struct use *use)
{
    struct judgement *judgement = gathering->judgement;
    struct applies applies =
        applies_at(judgement->mem, gathering->rule, use->at, judgement->days[use->day].day);

    if (judgement->applies && use->until > use->at &&
        (series_of(gathering)->kind & KIND_COMPOSITE) != 0)
        hold_composite(judgement, use, &applies);
    if (applies.has_other) {
        struct verdict_other *other = ARENA_NEW(judgement->mem, struct verdict_other);

        *other = (struct verdict_other){
            .series = applies.other.series,
            .reading = applies.other.reading,
            .value =
                applies.other.has_value ? amount_exact(judgement->mem, applies.other.value) : NULL};
        use->others = other;
        use->other_count = 1;
    }
    if (applies.doubt && !limit_of_time(judgement->limit)) {
        put_in_doubt(use, applies.doubt);
        return;
    }
    if (applies.by_row) {
        use->untold = applies.doubt ? applies.doubt : applies.why;
        applies.answer = applies.on_record;
        applies.why = use->untold;
    }
    if (applies.answer == APPLIES_YES)
        return;
    use->not_applying = true;
    use->cannot_tell = applies.answer == APPLIES_NOT_TOLD || use->untold;
    use->why_not = use->cannot_tell ? not_told_words(judgement->mem, applies.why) : applies.why;
}

static void read_value(struct gathering *gathering, const struct evidence_reading *reading,
                       struct use *use)
{
    struct judgement *judgement = gathering->judgement;

    if (judgement->limit->bound_by.kind == BOUND_STATE) {
        use->has_value = true;
        use->value = bound_by_state(judgement->limit, reading->unit);
        return;
    }
    use->has_value = reading->qualifier != QUALIFIER_NOT_DETECTED &&
                     converter_apply(judgement->mem, &gathering->converter, reading->unit,
                                     reading->reported, &use->value, &use->step);
    use->has_detection = reading->detection.coefficient != 0 &&
                         converter_apply(judgement->mem, &gathering->converter, reading->unit,
                                         reading->detection, &use->detection, NULL);
    use->has_quantitation = reading->quantitation.coefficient != 0 &&
                            converter_apply(judgement->mem, &gathering->converter, reading->unit,
                                            reading->quantitation, &use->quantitation, NULL);
}

/* The day with most of a span; of two with as much, the one in which it began. */
static day_number day_of_most(const struct judgement *judgement, instant at, instant until)
{
    const struct zone *zone = judgement->evidence->zone;
    int hour = judgement->limit->day_starts_hour;
    day_number most = zone_day_at(zone, at, hour);
    int64_t longest = 0;

    for (day_number day = most; zone_day_start_at(zone, day, hour) < until; day++) {
        instant start = zone_day_start_at(zone, day, hour);
        instant end = zone_day_start_at(zone, day + 1, hour);
        int64_t inside = (end < until ? end : until) - (start > at ? start : at);

        if (inside > longest) {
            most = day;
            longest = inside;
        }
    }

    return most;
}

/* The judged day that a reading belongs to by the clause; NO_INDEX outside them. */
static int day_of(const struct judgement *judgement, const struct evidence_reading *reading)
{
    enum belongs belongs = judgement->limit->span_belongs;

    if (reading->until == reading->at || (belongs != BELONGS_ENDED && belongs != BELONGS_MOSTLY))
        return judgement_day(judgement, reading->at);
    /* What ends at a day's end is of that day, not of the next. */
    if (belongs == BELONGS_ENDED)
        return judgement_day(judgement, reading->until - 1);

    day_number day = day_of_most(judgement, reading->at, reading->until);
    day_number first = judgement->days[0].day;

    return day < first || day >= first + (day_number)judgement->day_count ? NO_INDEX
                                                                          : (int)(day - first);
}

/* Room for what may come, so that it need not be moved as it grows. */
static void make_room(struct judgement *judgement, size_t more)
{
    struct use *items;

    if (judgement->capacity - judgement->count >= more)
        return;
    items = ARENA_ARRAY(judgement->mem, struct use, judgement->count + more);
    if (judgement->count > 0)
        memcpy(items, judgement->items, judgement->count * sizeof(*items));
    judgement->items = items;
    judgement->capacity = judgement->count + more;
}

static void gather_one(struct gathering *gathering, size_t index)
{
    struct judgement *judgement = gathering->judgement;
    const struct evidence_reading *reading = &series_of(gathering)->readings[index];
    struct acceptance own = accepts_reading(judgement->mem, judgement->limit, judgement->evidence,
                                            series_of(gathering), reading);
    const char *doubt = reading->doubt                ? reading->doubt
                        : gathering->acceptance.doubt ? gathering->acceptance.doubt
                                                      : own.doubt;
    struct use use = {
        .series = (int)gathering->series,
        .reading = index,
        .at = reading->at,
        .until = reading->until,
        .day = day_of(judgement, reading),
        .qualifier = reading->qualifier,
        .trust = doubt ? TRUST_IN_DOUBT : TRUST_SOUND,
        .doubt = doubt,
        .place = gathering->place,
    };

    if (use.day == NO_INDEX)
        return;
    read_value(gathering, reading, &use);
    use.why_not = why_reading_not(gathering, reading, &own, use.day);
    use.not_applying = use.why_not == gather_shut_words &&
                       applies_while_open(judgement->evidence, judgement->limit);
    if (!use.why_not)
        hold_conditions(gathering, &use);
    hold_outlet(gathering, reading, &use);
    LIST_ADD(judgement->mem, judgement, use);
}

/* How long before the period a reading may begin that belongs to it. */
static int64_t reaches_back_us(const struct limit *limit, const struct evidence_series *series)
{
    int64_t longest = 0;

    if (limit->span_belongs != BELONGS_ENDED && limit->span_belongs != BELONGS_MOSTLY)
        return 0;
    for (size_t i = 0; i < series->count; i++) {
        int64_t span = series->readings[i].until - series->readings[i].at;

        longest = span > longest ? span : longest;
    }

    return longest;
}

/* What the verdict says where conditions could not be looked up. */
static void say_not_told(struct judgement *judgement)
{
    const struct use *first = NULL;
    size_t count = 0;

    for (size_t i = 0; i < judgement->count; i++) {
        const struct use *use = &judgement->items[i];

        if ((use->cannot_tell || use->untold) && count++ == 0)
            first = use;
    }
    if (count == 0)
        return;

    const char *why =
        first->cannot_tell ? first->why_not : not_told_words(judgement->mem, first->untold);

    judgement->cannot_tell =
        count == 1 ? why : arena_printf(judgement->mem, "of %zu readings %s", count, why);
}

/* What goes by the time and not by readings alone: a part of it that a row set aside may turn. */
static void say_time_not_told(struct judgement *judgement)
{
    const struct applies_spans *spans = judgement->applies;
    instant from = judgement->days[judgement->first_asked].start;

    for (size_t i = 0; spans && i < spans->untold.count && !judgement->cannot_tell; i++) {
        const struct untold_span *span = &spans->untold.items[i];

        if (span->until > from && span->from < judgement->evidence->now)
            judgement->cannot_tell =
                arena_printf(judgement->mem,
                             "it can't be told whether the clause applied from %s on: a row set "
                             "aside may say otherwise",
                             zone_text(judgement->mem, judgement->evidence->zone,
                                       span->from > from ? span->from : from));
    }
}

void gather_readings(struct judgement *judgement, const char *unit)
{
    const struct evidence *evidence = judgement->evidence;
    const struct limit *limit = judgement->limit;
    struct applies_rule rule = applies_rule_of(judgement->mem, evidence, limit);

    for (size_t i = 0; i < evidence->series_count; i++) {
        const struct evidence_series *series = &evidence->series[i];
        int place = gather_place_of(judgement, series);

        if (place == NO_INDEX)
            continue;

        struct gathering gathering = {
            .judgement = judgement,
            .rule = &rule,
            .converter = converter_to(evidence->units, judgement->parameter, unit),
            .series = i,
            .place = (size_t)place,
            .acceptance = accepts_series(judgement->mem, limit, series),
            /* A meter or a flow is read at a shut outlet too: so it shows that nothing flows. */
            .is_of_discharge =
                limit->daily != DAILY_TOTAL && str_equal(series->station, limit->station),
        };
        instant first = judgement->from_at - reaches_back_us(limit, series);

        size_t from = gather_first_from(series, first);
        size_t after = gather_first_from(series, judgement->until_at);

        if (from < after)
            make_room(judgement, after - from);
        for (size_t k = from; k < after; k++)
            gather_one(&gathering, k);
    }
    held_states_add(judgement);
    say_not_told(judgement);
    if (limit_of_time(judgement->limit) || judgement->limit->bound_by.kind == BOUND_STATE)
        say_time_not_told(judgement);
}
