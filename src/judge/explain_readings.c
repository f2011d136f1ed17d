#include <string.h>

#include "base/str.h"
#include "judge/applies.h"
#include "judge/beside.h"
#include "judge/bound_by.h"
#include "judge/explain_parts.h"
#include "judge/gather.h"
#include "judge/limit_choices.h"

static const struct {
    unsigned kind;
    const char *word;
} kinds[] = {{KIND_GRAB, "grab samples"},
             {KIND_COMPOSITE, "composite samples"},
             {KIND_PROBE, "probes"},
             {KIND_BY_HAND, "readings by hand"},
             {KIND_DERIVED, "readings worked out from others"}};

/* Readings of the same station and parameter that the clause does not take. */
static void explain_not_accepted(struct writer *writer)
{
    const struct verdict *verdict = writer->verdict;
    const struct limit *limit = verdict->limit;
    size_t count = 0;

    for (size_t i = 0; i < writer->evidence->series_count; i++) {
        const struct evidence_series *series = &writer->evidence->series[i];

        if (str_equal(series->station, limit->station) &&
            str_equal(series->parameter, limit->parameter) && !gather_series_shown(limit, series))
            count += gather_first_from(series, verdict->until_at) -
                     gather_first_from(series, verdict->from_at);
    }
    if (count > 0)
        writer_say(
            writer,
            arena_printf(writer->mem,
                         "  %zu more of the same place are not taken: their kind or position is "
                         "not one that the clause accepts",
                         count));
}

/* "name or name or name" after what they are; nothing where the clause takes any. */
static void add_names(struct buf *text, const char *what, const char *const *names, size_t count)
{
    for (size_t i = 0; i < count; i++)
        buf_addf(text, "%s%s", i == 0 ? what : " or ", names[i]);
}

/* The clause's other places: each added to its own, or compared with it. */
static void add_places(struct buf *text, const struct limit *limit)
{
    for (size_t i = 0; i < limit->added_count; i++)
        buf_addf(text, " and %s", limit->added[i].station);
    if (limit->against.kind != AGAINST_NONE)
        buf_addf(text, ", held against %s", limit->against.place.station);
}

static void explain_who(struct writer *writer)
{
    const struct limit *limit = writer->verdict->limit;
    struct buf text = buf_new(writer->mem);

    add_names(&text, "; by ", limit->instruments, limit->instrument_count);
    add_names(&text, "; taken by ", limit->takers, limit->taker_count);
    if (limit->accredited)
        buf_add_text(&text, "; by a laboratory accredited on the day");
    if (limit->without_looking_for_cause)
        buf_add_text(&text, "; without samples that look for a cause");
    if (text.len > 0)
        writer_say(writer, arena_printf(writer->mem, "  only %s", text.data + strlen("; ")));
}

/* Choices that few clauses make and that no other line shows. */
static void explain_more(struct writer *writer)
{
    const char *more = limit_more_words(writer->mem, writer->verdict->limit);

    if (*more)
        writer_say(writer, arena_printf(writer->mem, "  the clause also says: %s", more));
}

static void explain_when(struct writer *writer)
{
    char *words = applies_words(writer->mem, writer->verdict->limit);

    if (words)
        writer_say(writer, arena_printf(writer->mem, "  the clause applies %s", words));
}

/* Where the bound goes by other readings: how it is worked out for each. */
static void explain_bound(struct writer *writer)
{
    const struct limit *limit = writer->verdict->limit;
    char *words = bound_by_words(writer->mem, limit);

    if (words)
        writer_say(writer,
                   arena_printf(writer->mem,
                                "  each is held against a bound of its own, by what was read "
                                "within %s of it: %s",
                                partner_apart_words(writer->mem, limit->bound_by.within_s), words));
}

static void explain_selection(struct writer *writer)
{
    const struct limit *limit = writer->verdict->limit;
    struct buf text = buf_new(writer->mem);
    const char *between = " by ";

    buf_addf(&text, "readings: %s at %s", limit->parameter, limit->station);
    if (limit->position)
        buf_addf(&text, ", %s", limit->position);
    add_places(&text, limit);
    for (size_t i = 0; i < ARRAY_LEN(kinds); i++)
        if (limit->kinds & kinds[i].kind) {
            buf_addf(&text, "%s%s", between, kinds[i].word);
            between = " or ";
        }
    add_names(&text, ", method ", limit->methods, limit->method_count);
    if (limit->only_while_discharging)
        buf_add_text(&text, ", only while discharging");
    writer_say(writer, text.data);
    explain_who(writer);
    explain_when(writer);
    explain_bound(writer);
    explain_more(writer);
    explain_equations(writer);
    explain_not_accepted(writer);
}

const char *writer_reported(const struct writer *writer, const struct evidence_reading *reading)
{
    if (reading->qualifier == QUALIFIER_NOT_DETECTED)
        return "not detected";

    return arena_printf(writer->mem, "%s%s %s",
                        reading->qualifier == QUALIFIER_LESS      ? "<"
                        : reading->qualifier == QUALIFIER_GREATER ? ">"
                                                                  : "",
                        decimal_text(writer->mem, reading->input_count > 0 ? reading->first_reported
                                                                           : reading->reported),
                        reading->unit ? reading->unit : "");
}

/* The reading of an item: of a state its word, and not the number that stands for it. */
static const char *item_reported(const struct writer *writer,
                                 const struct evidence_reading *reading)
{
    return writer->verdict->limit->bound_by.kind == BOUND_STATE ? reading->unit
                                                                : writer_reported(writer, reading);
}

/* Whether it should have a bound of its own and none could be made; its why_not says why. */
static bool lacks_bound(const struct writer *writer, const struct verdict_item *item)
{
    return !item->bound && item->counted && item->why_not &&
           bound_by_words(writer->mem, writer->verdict->limit);
}

/* The readings that one was held against, and its own bound. */
static void add_held_against(const struct writer *writer, struct buf *text,
                             const struct verdict_item *item)
{
    for (size_t i = 0; i < item->other_count; i++) {
        const struct verdict_other *other = &item->others[i];
        const struct evidence_series *series = &writer->evidence->series[other->series];
        const struct evidence_reading *reading = &series->readings[other->reading];

        buf_addf(text, "%s%s at %s %s (%s)", i == 0 ? ", with " : " and ", series->parameter,
                 series->station, writer_reported(writer, reading),
                 zone_text(writer->mem, writer->evidence->zone, reading->at));
    }
    if (item->bound)
        buf_addf(text, ", so its bound is %s%s",
                 bound_by_shown(writer->mem, writer->verdict->limit, item->bound, item->used),
                 writer_unit(writer));
    else if (lacks_bound(writer, item))
        buf_addf(text, ", without a bound (%s)", item->why_not);
}

/* Whether it is of the place compared with, and went into its pair as a range. */
static bool in_pair_only(const struct writer *writer, const struct verdict_item *item)
{
    const struct limit *limit = writer->verdict->limit;

    return limit->against.kind != AGAINST_NONE && item->place == limit->added_count + 1 &&
           !item->used && !item->why_not && item->qualifier != QUALIFIER_NONE;
}

/* Of two places compared it is what they make that is beyond: the reading has no such bound. */
static const char *beyond_words(const struct writer *writer, const struct verdict_item *item)
{
    if (!item->outside)
        return "";

    return writer->verdict->limit->against.kind == AGAINST_NONE ? ", beyond the bound"
                                                                : ", its pair beyond the bound";
}

/* What stood first of a reading that a person or a visit to its probe corrected. */
static void add_first(const struct writer *writer, struct buf *text,
                      const struct evidence_reading *reading)
{
    const struct evidence_reading first = {.qualifier = reading->first_qualifier,
                                           .reported = reading->first_reported,
                                           .unit = reading->first_unit};

    if (reading->corrected_by)
        buf_addf(text, ", corrected from %s (%s)",
                 decimal_text(writer->mem, reading->first_reported), reading->corrected_by);
    else if (reading->corrected)
        buf_addf(text, ", first %s", writer_reported(writer, &first));
}

static void explain_item(struct writer *writer, const struct verdict_item *item)
{
    const struct evidence_reading *reading =
        &writer->evidence->series[item->series].readings[item->reading];
    struct buf text = buf_new(writer->mem);

    bool held = item->held_at != INSTANT_NONE;

    buf_addf(&text, "  %s: %s",
             zone_text(writer->mem, writer->evidence->zone, held ? item->held_at : reading->at),
             item_reported(writer, reading));
    if (held)
        buf_addf(&text, ", held since %s",
                 zone_text(writer->mem, writer->evidence->zone, reading->at));
    if (reading->sample)
        buf_addf(&text, ", sample %s", reading->sample);
    else if (reading->taken_by)
        buf_addf(&text, ", read by %s", reading->taken_by);
    add_first(writer, &text, reading);
    if (reading->beside)
        buf_addf(&text, ", %s", beside_words(writer->mem, writer->evidence->zone, reading->beside));
    add_held_against(writer, &text, item);
    if (!item->counted)
        buf_addf(&text, ", not counted (%s)", item->why_not ? item->why_not : "no reason");
    else if (item->used && writer->verdict->limit->bound_by.kind == BOUND_STATE)
        buf_addf(&text, ", counted%s", beyond_words(writer, item));
    else if (lacks_bound(writer, item))
        buf_add_text(&text, ", so it can't be compared");
    else if (item->used)
        buf_addf(&text, ", counted as %s%s%s",
                 item->qualifier == QUALIFIER_NONE ? "" : "the number ",
                 writer_digits(writer, item->used), beyond_words(writer, item));
    else if (in_pair_only(writer, item))
        buf_add_text(&text, ", counted as anything that it may be");
    else
        buf_addf(&text, ", counted%s%s", item->why_not ? ": " : "",
                 item->why_not ? item->why_not : "");
    if (item->has_beside)
        buf_addf(&text, "; by a row set aside its bound %s%s",
                 item->beside_bound ? "is " : "is not known",
                 item->beside_bound
                     ? bound_by_shown(writer->mem, writer->verdict->limit, item->beside_bound, NULL)
                     : "");
    if (item->doubt && item->counted)
        buf_addf(&text, ", though in doubt (%s)", item->doubt);
    if (reading->input_count == 0)
        writer_add_origin(writer, &text, reading->origin);
    writer_say(writer, text.data);
    explain_inputs(writer, reading);
}

/* Readings of one series on one day. */
struct day_summary {
    size_t count;
    size_t not_counted;
    const char *why_not; /* of the first of them */
    bool more_reasons;
    const struct verdict_item *lowest;
    const struct verdict_item *highest;
};

static const struct evidence_reading *reading_of(const struct writer *writer,
                                                 const struct verdict_item *item)
{
    return &writer->evidence->series[item->series].readings[item->reading];
}

static void summary_add(struct day_summary *summary, const struct verdict_item *item)
{
    summary->count++;
    if (!item->counted) {
        summary->not_counted++;
        if (!summary->why_not)
            summary->why_not = item->why_not;
        summary->more_reasons =
            summary->more_reasons || !str_equal(summary->why_not, item->why_not);
    }
    if (!item->value)
        return;
    if (!summary->lowest || exact_compare(item->value, summary->lowest->value) < 0)
        summary->lowest = item;
    if (!summary->highest || exact_compare(item->value, summary->highest->value) > 0)
        summary->highest = item;
}

static void summary_say(struct writer *writer, day_number day, const struct day_summary *summary)
{
    struct buf text = buf_new(writer->mem);

    buf_addf(&text, "  %s: %zu %s", day_words(writer->mem, day), summary->count,
             summary->count == 1 ? "reading" : "readings");
    if (summary->lowest)
        buf_addf(&text, ", lowest %s, highest %s",
                 writer_reported(writer, reading_of(writer, summary->lowest)),
                 writer_reported(writer, reading_of(writer, summary->highest)));
    if (summary->not_counted > 0)
        buf_addf(&text, ", %zu not counted (%s%s)", summary->not_counted,
                 summary->why_not ? summary->why_not : "no reason",
                 summary->more_reasons ? ", and other reasons" : "");
    writer_say(writer, text.data);
}

/* The day of an item's series, told in one line; items are in order of time. True: none counted,
 * all for one reason, which the line has. */
static bool explain_day_of_series(struct writer *writer, size_t first)
{
    const struct verdict *verdict = writer->verdict;
    const struct verdict_item *item = &verdict->items[first];
    struct day_summary summary = {.count = 0};

    for (size_t i = first; i < verdict->item_count && verdict->items[i].day == item->day; i++)
        if (verdict->items[i].series == item->series)
            summary_add(&summary, &verdict->items[i]);
    summary_say(writer, item->day, &summary);

    return summary.not_counted == summary.count && !summary.more_reasons;
}

/* Whether it has a line of its own though its series is told by day. */
static bool item_stands_out(const struct writer *writer, const struct verdict_item *item,
                            bool day_alike)
{
    const struct evidence_reading *reading = reading_of(writer, item);
    bool corrected = reading->corrected && !reading->corrected_by;

    return item->outside || item->decided || corrected ||
           (!day_alike && (item->doubt || reading->left_out));
}

/* The instrument behind the readings, and the checks that they rest on. */
static void explain_instrument(struct writer *writer, const struct evidence_series *series)
{
    if (!series->instrument)
        return;
    writer_say(writer,
               arena_printf(writer->mem, "  %s by %s%s", series->parameter, series->instrument,
                            series->check_count ? ":" : ", no check on record"));
    for (size_t i = 0; i < series->check_count; i++)
        writer_say(writer, arena_printf(writer->mem, "    %s", series->checks[i].words));
}

/* What is alike and not averaged: portions of a sample, instruments at one instant. */
struct side_by_side {
    bool portions;
    bool instruments;
};

static bool both_count(const struct verdict_item *a, const struct verdict_item *b)
{
    return a->counted && b->counted && a->place == b->place && a->held_at == b->held_at;
}

/* Items are in order of time, so that what is alike lies together. */
static struct side_by_side find_alike(const struct writer *writer)
{
    const struct verdict *verdict = writer->verdict;
    struct side_by_side found = {0};

    for (size_t i = 1; i < verdict->item_count; i++) {
        const struct verdict_item *item = &verdict->items[i];
        const struct verdict_item *before = item - 1;
        const struct evidence_reading *one = reading_of(writer, before);
        const struct evidence_reading *other = reading_of(writer, item);

        if (one->at != other->at || !both_count(before, item))
            continue;
        if (one->sample && other->sample)
            found.portions = found.portions || str_equal(one->sample, other->sample);
        else if (!one->sample && !other->sample)
            found.instruments = found.instruments || before->series != item->series;
    }

    return found;
}

/* Where it made a difference: that the clause lets them count each by itself. */
static void explain_alike(struct writer *writer)
{
    const struct limit *limit = writer->verdict->limit;
    struct side_by_side found = find_alike(writer);

    if (found.portions && limit->replicates == ALIKE_EACH)
        writer_say(writer, "  portions of one sample count each by itself");
    if (found.instruments && limit->side_by_side == ALIKE_EACH)
        writer_say(writer, "  instruments side by side count each by itself");
}

void explain_readings(struct writer *writer)
{
    const struct verdict *verdict = writer->verdict;
    size_t series_count = writer->evidence->series_count;
    size_t *readings = ARENA_ARRAY(writer->mem, size_t, series_count);
    day_number *told = ARENA_ARRAY(writer->mem, day_number, series_count);
    bool *alike = ARENA_ARRAY(writer->mem, bool, series_count);
    struct reading_groups *groups = NULL;

    explain_selection(writer);
    for (size_t i = 0; i < series_count; i++)
        told[i] = DAY_NONE;
    for (size_t i = 0; i < verdict->item_count; i++)
        readings[verdict->items[i].series]++;
    for (size_t i = 0; i < series_count; i++)
        if (readings[i] > 0)
            explain_instrument(writer, &writer->evidence->series[i]);
    for (size_t i = 0; i < verdict->item_count; i++) {
        const struct verdict_item *item = &verdict->items[i];
        bool by_day =
            !writer->choices->every_reading && readings[item->series] > EXPLAIN_READINGS_MOST;

        if (by_day && told[item->series] != item->day) {
            alike[item->series] = explain_day_of_series(writer, i);
            told[item->series] = item->day;
            writer->lines.shortened = true;
        }
        if (!by_day || (item_stands_out(writer, item, alike[item->series]) &&
                        !explain_together(writer, &groups, item)))
            explain_item(writer, item);
    }
    explain_alike(writer);
}
