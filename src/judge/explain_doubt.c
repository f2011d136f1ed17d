#include "base/str.h"
#include "judge/explain_parts.h"
#include "judge/set_aside.h"

/* Of what a verdict rests on, how many are listed. */
enum { DECIDED_MOST = 20 };

static const struct evidence_set_aside *row_of(const struct writer *writer,
                                               const struct verdict_aside *aside)
{
    return &writer->evidence->set_aside[aside->row];
}

/* "2026-03-17 12:00: 44 mg/L (the unit can't be read) [lab.csv line 12 column 3]" */
static void add_row(const struct writer *writer, struct buf *text,
                    const struct evidence_set_aside *row)
{
    buf_addf(text, "%s: ",
             row->at == INSTANT_NONE ? "time not known"
                                     : zone_text(writer->mem, writer->evidence->zone, row->at));
    if (row->has_value)
        buf_addf(text, "%s%s %s",
                 row->qualifier == QUALIFIER_LESS      ? "<"
                 : row->qualifier == QUALIFIER_GREATER ? ">"
                                                       : "",
                 decimal_text(writer->mem, row->value),
                 row->unit ? row->unit : "(unit not readable)");
    else if (row->kind != KIND_DERIVED)
        buf_add_text(text, row->qualifier == QUALIFIER_NOT_DETECTED ? "not detected" : "no number");
    buf_addf(text, row->kind == KIND_DERIVED ? "%s" : " (%s)",
             row->reason ? row->reason : "no reason on record");
    writer_add_origin(writer, text, row->origin);
}

/* " m3" of a day by the units that the row may have: one number, or from one to another. */
static const char *water_with(const struct writer *writer, const struct verdict_aside *aside)
{
    if (!aside->with_most)
        return "how much flowed is not known";
    if (exact_compare(aside->with_least, aside->with_most) == 0)
        return arena_printf(writer->mem, "%s m3 flowed", writer_digits(writer, aside->with_most));

    return arena_printf(writer->mem, "from %s to %s m3 flowed, by the units its parameter allows,",
                        writer_digits(writer, aside->with_least),
                        writer_digits(writer, aside->with_most));
}

/* What a row of the meter or flow did to the water. */
static const char *water_outcome(const struct writer *writer, const struct verdict_aside *aside)
{
    const struct evidence_set_aside *row = row_of(writer, aside);

    if (!row->has_value)
        return row->from_probe ? "of the meter or flow: a gap"
                               : "of the meter or flow: it could have been any number";
    if (row->at == INSTANT_NONE)
        return "of the meter or flow: it may be of any time, and was tried on every day";
    if (aside->day == DAY_NONE)
        return "of the meter or flow: by itself it changes the water of no day";

    return arena_printf(
        writer->mem, "of the meter or flow: with it %s on %s, without what is in doubt %s%s%s",
        water_with(writer, aside), day_words(writer->mem, aside->day),
        aside->without ? writer_digits(writer, aside->without) : "it is not known",
        aside->without ? " m3" : "", aside->counted ? "; counted, though set aside" : "");
}

/* What came of trying it. */
static const char *outcome(const struct writer *writer, const struct verdict_aside *aside)
{
    const struct evidence_set_aside *row = row_of(writer, aside);
    const char *beyond = aside->outside ? ", beyond the bound" : "";
    const struct exact *least = aside->least ? aside->least : aside->most;
    const struct exact *most = aside->most ? aside->most : aside->least;

    if (!most && aside->of_water)
        return water_outcome(writer, aside);
    if (!most && (aside->roles & (ASIDE_OWN | ASIDE_AGAINST)) == 0)
        return NULL;
    if (!most)
        return set_aside_leaves_open(writer->verdict->limit, row) ? "it could have been any number"
                                                                  : "a gap";
    if (exact_compare(least, most) != 0)
        return arena_printf(
            writer->mem, "by the units its parameter allows it is from %s to %s%s%s",
            writer_digits(writer, least), writer_digits(writer, most), writer_unit(writer),
            aside->outside ? ", beyond the bound in one of them" : "");
    if (aside->counted)
        return arena_printf(writer->mem, "counted as %s%s, though set aside",
                            writer_digits(writer, most), beyond);

    return arena_printf(writer->mem, "tried as %s%s, not in the figure",
                        writer_digits(writer, most), beyond);
}

/* What a row may be beside a reading of the clause's places, and what that does. */
static const struct {
    enum aside_role role;
    const char *words;
} others[] = {
    {ASIDE_OUTLET,
     "it may have opened or shut the outlet: what was sampled from then until the next "
     "sound word of its record is in doubt"},
    {ASIDE_CONDITION, "it may be a newer reading of what the clause applies by"},
    {ASIDE_BOUND, "it may be the reading that a bound goes by, and was tried as that"},
};

static void add_outcome(const struct writer *writer, const struct verdict_aside *aside,
                        struct buf *text)
{
    const char *own = outcome(writer, aside);

    if (own)
        buf_addf(text, ": %s", own);
    for (size_t i = 0; i < ARRAY_LEN(others); i++)
        if ((aside->roles & others[i].role) != 0)
            buf_addf(text, ": %s", others[i].words);
}

void explain_asides(struct writer *writer)
{
    const struct verdict *verdict = writer->verdict;
    bool all = writer->choices->every_reading || verdict->set_aside <= EXPLAIN_READINGS_MOST;
    size_t listed = 0;

    if (verdict->set_aside == 0)
        return;
    if (verdict->set_aside > verdict->not_given)
        writer_say(writer, arena_printf(writer->mem, "rows set aside that could belong here: %zu",
                                        verdict->set_aside - verdict->not_given));
    if (verdict->not_given > 0)
        writer_say(writer, arena_printf(writer->mem, "derived readings that are not given: %zu",
                                        verdict->not_given));
    for (size_t i = 0; i < verdict->set_aside; i++) {
        const struct verdict_aside *aside = &verdict->asides[i];
        struct buf text = buf_new(writer->mem);

        if (!all && !aside->decided && !aside->counted && !aside->outside)
            continue;
        buf_add_text(&text, "  ");
        add_row(writer, &text, row_of(writer, aside));
        add_outcome(writer, aside, &text);
        writer_say(writer, text.data);
        listed++;
    }
    if (listed == verdict->set_aside)
        return;
    writer->lines.shortened = true;
    writer_say(writer, arena_printf(writer->mem, "  and %zu that are not beyond the bound",
                                    verdict->set_aside - listed));
}

static void add_decided_readings(struct writer *writer, size_t *listed)
{
    const struct verdict *verdict = writer->verdict;

    for (size_t i = 0; i < verdict->item_count; i++) {
        const struct verdict_item *item = &verdict->items[i];

        if (!item->decided || (*listed)++ >= DECIDED_MOST)
            continue;

        const struct evidence_reading *reading =
            &writer->evidence->series[item->series].readings[item->reading];
        struct buf text = buf_new(writer->mem);

        buf_addf(&text, "  the reading of %s (%s)",
                 zone_text(writer->mem, writer->evidence->zone, reading->at), item->doubt);
        writer_add_origin(writer, &text, reading->origin);
        writer_say(writer, text.data);
    }
}

static void add_decided_rows(struct writer *writer, size_t *listed)
{
    const struct verdict *verdict = writer->verdict;

    for (size_t i = 0; i < verdict->set_aside; i++) {
        struct buf text = buf_new(writer->mem);

        if (!verdict->asides[i].decided || (*listed)++ >= DECIDED_MOST)
            continue;
        buf_add_text(&text, "  the row set aside, ");
        add_row(writer, &text, row_of(writer, &verdict->asides[i]));
        writer_say(writer, text.data);
    }
}

/* What a row set aside can do depends on what of it can be read. */
static const char *power_of(const struct writer *writer, const struct verdict_aside *aside)
{
    const struct evidence_set_aside *row = row_of(writer, aside);

    if (row->kind == KIND_DERIVED)
        return "a derived reading that could not be worked out could have been anything: it makes "
               "the verdict not assessable";
    if (!aside->of_water && (aside->roles & (ASIDE_OWN | ASIDE_AGAINST)) == 0)
        return "a row set aside that a bound may go by can make the verdict outside, or, where its "
               "number or unit can't be read, not assessable, and never within";
    if (!row->has_value)
        return "a sample's result set aside without a number could have been anything: it makes "
               "the verdict not assessable until a person answers it";
    if (aside->of_water && (!row->unit || row->at == INSTANT_NONE))
        return "a row of the meter or flow whose unit or time can't be read is tried in each that "
               "it "
               "may have had: as nobody knows which it was, it makes the verdict not assessable, "
               "never outside";
    if (aside->of_water)
        return "a row of the meter or flow with a number and a unit that can be read is weighed as "
               "any reading in doubt: it can make the verdict outside or not assessable, never "
               "within";
    if (!aside->least || !aside->most || exact_compare(aside->least, aside->most) != 0)
        return "a row set aside with a number whose unit can't be read is tried in every unit its "
               "parameter allows: as nobody knows which it was, it makes the verdict not "
               "assessable, never outside";

    return "a row set aside with a number and a unit that can be read is weighed as any reading in "
           "doubt: it can make the verdict outside or not assessable, never within";
}

static bool looks_at_water(const struct limit *limit)
{
    return limit->daily == DAILY_TOTAL || limit->flow.station != NULL;
}

void explain_doubt(struct writer *writer)
{
    const struct verdict *verdict = writer->verdict;
    size_t listed = 0;

    writer_say(writer, "this rests on evidence in doubt:");
    add_decided_readings(writer, &listed);
    add_decided_rows(writer, &listed);
    if (listed == 0)
        writer_say(writer, looks_at_water(verdict->limit) ? "  readings of the meter or flow"
                                                          : "  what is in doubt above");
    if (listed > DECIDED_MOST)
        writer_say(writer, arena_printf(writer->mem, "  and %zu more", listed - DECIDED_MOST));
    for (size_t i = 0; i < verdict->set_aside; i++)
        if (verdict->asides[i].decided) {
            writer_say(writer, power_of(writer, &verdict->asides[i]));
            return;
        }
}
