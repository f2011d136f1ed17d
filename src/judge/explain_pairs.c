#include "judge/explain_parts.h"

/* "17.5"; "13 to 18"; "at least 13"; with a qualifier's digits as they are counted. */
static const char *span_words(const struct writer *writer, const struct verdict_span *span)
{
    if (span->least && span->most && exact_compare(span->least, span->most) == 0)
        return writer_digits(writer, span->least);
    if (span->least && span->most)
        return arena_printf(writer->mem, "anything from %s to %s",
                            writer_digits(writer, span->least), writer_digits(writer, span->most));
    if (span->least)
        return arena_printf(writer->mem, "at least %s", writer_digits(writer, span->least));
    if (span->most)
        return arena_printf(writer->mem, "at most %s", writer_digits(writer, span->most));

    return "not known";
}

static bool is_number(const struct verdict_span *span, const struct exact *number)
{
    return number && span->least && span->most && exact_compare(span->least, number) == 0 &&
           exact_compare(span->most, number) == 0;
}

static const struct evidence_reading *intake_reading(const struct writer *writer,
                                                     const struct verdict_other *other)
{
    return &writer->evidence->series[other->series].readings[other->reading];
}

/* "17.5"; of a reading that counts as another number "<8 mg/L (counted as 4)". */
static void add_discharge(const struct writer *writer, struct buf *text,
                          const struct verdict_pair *pair)
{
    const struct verdict *verdict = writer->verdict;
    const struct verdict_item *item = pair->item == SIZE_MAX ? NULL : &verdict->items[pair->item];

    if (!item || (item->qualifier == QUALIFIER_NONE && is_number(&pair->discharge, item->value))) {
        buf_add_text(text, span_words(writer, &pair->discharge));
        return;
    }

    const struct evidence_reading *reading =
        &writer->evidence->series[item->series].readings[item->reading];

    buf_addf(text, "%s (counted as %s)", writer_reported(writer, reading),
             span_words(writer, &pair->discharge));
}

/* "5 (intake, 5 May 2026 08:30, reported as <5 mg/L)" */
static void add_intake(const struct writer *writer, struct buf *text,
                       const struct verdict_pair *pair)
{
    const char *station = writer->verdict->limit->against.place.station;
    bool as_read = pair->other_count == 1 && is_number(&pair->intake, pair->others[0].value) &&
                   intake_reading(writer, &pair->others[0])->qualifier == QUALIFIER_NONE;

    if (pair->other_count == 1 && !as_read)
        buf_add_text(text, writer_reported(writer, intake_reading(writer, &pair->others[0])));
    else
        buf_add_text(text, span_words(writer, &pair->intake));
    buf_addf(text, " (%s", station);
    for (size_t i = 0; i < pair->other_count; i++) {
        const struct evidence_reading *reading = intake_reading(writer, &pair->others[i]);

        buf_addf(text, ", %s", zone_text(writer->mem, writer->evidence->zone, reading->at));
        if (pair->other_count > 1)
            buf_addf(text, " %s", writer_reported(writer, reading));
    }
    if (pair->other_count > 1)
        buf_add_text(text, ", their mean");
    else if (pair->other_count == 1 && !as_read)
        buf_addf(text, ", counted as %s", span_words(writer, &pair->intake));
    buf_add_text(text, ")");
}

/* The one number that a range is; NULL: it is more. */
static const struct exact *number_of(const struct verdict_span *span)
{
    return is_number(span, span->least) ? span->least : NULL;
}

/* Of a credit: how much was taken off, and why nothing was. */
static void add_credit(const struct writer *writer, struct buf *text,
                       const struct verdict_pair *pair)
{
    const struct limit *limit = writer->verdict->limit;
    const struct exact *discharge = number_of(&pair->discharge);
    const struct exact *result = number_of(&pair->result);
    bool uncredited = discharge && result && exact_compare(discharge, result) == 0;

    if (uncredited && (!pair->why_not || pair->has_intake)) {
        if (exact_compare(discharge, exact_from_decimal(writer->mem, limit->bound.ceiling)) > 0)
            buf_add_text(text, ", which is nothing to credit");
        else
            buf_addf(text, ", not above %s, so %s", decimal_text(writer->mem, limit->bound.ceiling),
                     pair->has_intake ? "nothing is credited" : "no intake sample is needed");
    } else if (discharge && result && pair->has_intake) {
        buf_addf(text, ", credited %s",
                 writer_digits(writer, exact_sub(writer->mem, discharge, result)));
    } else if (pair->has_intake) {
        buf_add_text(text, ", with the credit");
    }
    if (pair->has_intake)
        buf_addf(text, ": %s", span_words(writer, &pair->result));
}

static void add_result(const struct writer *writer, struct buf *text,
                       const struct verdict_pair *pair)
{
    static const char *const results[] = {
        [AGAINST_NONE] = "",
        [AGAINST_DIFFERENCE] = " = ",
        [AGAINST_REMOVAL] = ": removal ",
        [AGAINST_CREDIT] = "",
    };
    enum against_kind kind = writer->verdict->limit->against.kind;

    if (pair->has_intake) {
        buf_add_text(text, kind == AGAINST_DIFFERENCE ? " less " : " against ");
        add_intake(writer, text, pair);
        if (kind != AGAINST_CREDIT)
            buf_addf(text, "%s%s%s", results[kind], span_words(writer, &pair->result),
                     kind == AGAINST_REMOVAL && pair->result.least ? " %" : "");
    }
    if (kind == AGAINST_CREDIT)
        add_credit(writer, text, pair);
    if (pair->outside)
        buf_add_text(text, ", beyond the bound");
    if (pair->why_not)
        buf_addf(text, ": %s%s", pair->why_not,
                 kind == AGAINST_CREDIT && !pair->has_intake ? ", so nothing is credited" : "");
}

static const char *when_words(const struct writer *writer, const struct verdict_pair *pair)
{
    if (pair->at != INSTANT_NONE)
        return zone_text(writer->mem, writer->evidence->zone, pair->at);
    if (pair->day != DAY_NONE)
        return day_words(writer->mem, pair->day);
    if (pair->window < writer->verdict->window_count)
        return verdict_window_words(writer->mem, writer->verdict->limit,
                                    &writer->verdict->windows[pair->window]);

    return "the period";
}

static void explain_pair(struct writer *writer, const struct verdict_pair *pair)
{
    const struct verdict *verdict = writer->verdict;
    struct buf text = buf_new(writer->mem);

    buf_addf(&text, "  %s", when_words(writer, pair));
    if (pair->item != SIZE_MAX) {
        const struct verdict_item *item = &verdict->items[pair->item];
        const char *sample = writer->evidence->series[item->series].readings[item->reading].sample;

        if (sample)
            buf_addf(&text, ", sample %s", sample);
    }
    buf_add_text(&text, ": ");
    add_discharge(writer, &text, pair);
    add_result(writer, &text, pair);
    writer_say(writer, text.data);
}

void explain_pairs(struct writer *writer)
{
    const struct verdict *verdict = writer->verdict;
    bool all = writer->choices->every_reading || verdict->pair_count <= EXPLAIN_READINGS_MOST;
    size_t untold = 0;

    if (verdict->pair_count == 0)
        return;
    writer_say(writer, arena_printf(writer->mem, "compared with %s: %s of each pair",
                                    verdict->limit->against.place.station,
                                    against_words[verdict->limit->against.kind - 1]));
    for (size_t i = 0; i < verdict->pair_count; i++) {
        if (all || verdict->pairs[i].why_not || verdict->pairs[i].outside)
            explain_pair(writer, &verdict->pairs[i]);
        else
            untold++;
    }
    if (untold > 0) {
        writer_say(writer, arena_printf(writer->mem, "  and %zu more pairs", untold));
        writer->lines.shortened = true;
    }
}
