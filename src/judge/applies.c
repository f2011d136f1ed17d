#include "judge/applies.h"

#include <string.h>

#include "base/buf.h"
#include "base/search.h"
#include "base/str.h"

enum { MONTH_FACTOR = 100 };

static const struct evidence_tides *find_table(const struct evidence *evidence, const char *key)
{
    for (size_t i = 0; i < evidence->tide_table_count; i++) {
        if (str_equal(evidence->tide_tables[i].key, key))
            return &evidence->tide_tables[i];
    }

    return NULL;
}

struct applies_rule applies_rule_of(struct arena *mem, const struct evidence *evidence,
                                    const struct limit *limit)
{
    const struct limit_other *other = &limit->applies_while.other;
    struct applies_rule rule = {.limit = limit,
                                .evidence = evidence,
                                .always = !limit->hours.set && !limit->season.set &&
                                          limit->tide.of == TIDE_NONE && !other->station};

    if (limit->tide.of != TIDE_NONE)
        rule.tides = find_table(evidence, limit->tide.table);
    if (other->station)
        rule.source =
            partner_source_of(mem, evidence, &(struct limit_place){other->station, other->position},
                              other->parameter, other->unit);

    return rule;
}

static struct applies no(const char *why)
{
    return (struct applies){.answer = APPLIES_NO, .why = why};
}

static struct applies not_told(const char *why)
{
    return (struct applies){.answer = APPLIES_NOT_TOLD, .why = why};
}

bool applies_in_season(const struct limit *limit, day_number day)
{
    const struct limit_season *season = &limit->season;
    struct civil civil = civil_from_day(day);
    int date = civil.month * MONTH_FACTOR + civil.day;

    if (!season->set)
        return true;
    if (season->from <= season->to)
        return date >= season->from && date <= season->to;

    return date >= season->from || date <= season->to;
}

static bool in_season(struct arena *mem, struct applies_rule *rule, instant at, day_number day,
                      struct applies *out)
{
    (void)mem;
    (void)at;
    if (applies_in_season(rule->limit, day))
        return true;
    *out = no("out of the clause's season");

    return false;
}

static char *minute_text(struct arena *mem, int minute)
{
    return arena_printf(mem, "%02d:%02d", minute / 60, minute % 60);
}

static bool in_hours(struct arena *mem, struct applies_rule *rule, instant at, day_number day,
                     struct applies *out)
{
    const struct limit_hours *hours = &rule->limit->hours;
    struct civil civil = zone_to_civil(rule->evidence->zone, at, NULL, NULL);
    int minute = civil.hour * 60 + civil.minute;
    bool after = minute >= hours->from_minute;
    bool before = minute < hours->to_minute;

    (void)day;
    if (!hours->set || (hours->from_minute < hours->to_minute ? after && before : after || before))
        return true;
    *out = no(arena_printf(mem, "outside the hours %s to %s", minute_text(mem, hours->from_minute),
                           minute_text(mem, hours->to_minute)));

    return false;
}

/* First row of a table that is not before an instant. */
static size_t first_tide(const struct evidence_tides *table, instant at)
{
    return SEARCH_FROM(table->tides, table->count, at, at);
}

/* Whether a table that is not empty has every tide of a span. */
static bool table_covers(const struct evidence_tides *table, instant from, instant until)
{
    size_t at = first_tide(table, from);

    if (at == 0 && table->tides[0].at > from)
        return false;
    for (size_t i = at > 0 ? at : 1; i < table->count; i++) {
        if (table->tides[i - 1].at >= until)
            return true;
        if (table->tides[i].at - table->tides[i - 1].at > TIDE_STEP_MOST_H * HOUR_US)
            return false;
    }

    return table->tides[table->count - 1].at >= until;
}

static bool in_tide(struct arena *mem, struct applies_rule *rule, instant at, day_number day,
                    struct applies *out)
{
    const struct limit_tide *tide = &rule->limit->tide;
    const struct evidence_tides *table = rule->tides;
    instant from = at - (int64_t)tide->after_s * SECOND_US;
    instant until = at + (int64_t)tide->before_s * SECOND_US;

    (void)day;
    if (tide->of == TIDE_NONE)
        return true;
    if (!table || table->count == 0) {
        *out = not_told(arena_printf(mem, "the tide table '%s' is not on record", tide->table));
        return false;
    }
    for (size_t i = first_tide(table, from); i < table->count && table->tides[i].at <= until; i++) {
        if (table->tides[i].is_high == (tide->of == TIDE_HIGH))
            return true;
    }
    *out = table_covers(table, from, until)
               ? no(arena_printf(mem, "not from %s before to %s after %s water",
                                 partner_apart_words(mem, tide->before_s),
                                 partner_apart_words(mem, tide->after_s),
                                 tide->of == TIDE_HIGH ? "high" : "low"))
               : not_told(arena_printf(mem, "the tide table '%s' does not reach over %s",
                                       tide->table, zone_text(mem, rule->evidence->zone, at)));

    return false;
}

/* How a reading lies to a number: -1 below, 0 at it, 1 above; false: either side. */
static bool side_of(struct arena *mem, const struct partner *other, struct decimal number,
                    int *side)
{
    int order = amount_compare(mem, other->value, amount_from_decimal(number));

    *side = order;
    if (other->qualifier == QUALIFIER_LESS) {
        *side = -1;
        return order <= 0;
    }
    if (other->qualifier == QUALIFIER_GREATER) {
        *side = 1;
        return order >= 0;
    }

    return true;
}

/* Whether the reading is above (or below) the number, as the clause asks. */
static enum applying beyond(struct arena *mem, const struct partner *other, bool asked,
                            struct decimal number, int wanted)
{
    int side;

    if (!asked)
        return APPLIES_YES;
    if (!side_of(mem, other, number, &side))
        return APPLIES_NOT_TOLD;

    return side == wanted ? APPLIES_YES : APPLIES_NO;
}

static char *other_words(struct arena *mem, const struct limit_other *other)
{
    return arena_printf(mem, "%s at %s", other->parameter, other->station);
}

static char *value_words(struct arena *mem, const struct partner *other, const char *unit)
{
    const char *sign = other->qualifier == QUALIFIER_LESS      ? "<"
                       : other->qualifier == QUALIFIER_GREATER ? ">"
                                                               : "";

    return arena_printf(mem, "%s%s %s", sign,
                        exact_text(mem, amount_exact(mem, other->value), DECIMAL_DIGITS_MOST),
                        unit ? unit : "");
}

/* Why the newest reading can't be gone by, or NULL. */
static char *why_unusable(struct arena *mem, const struct limit_while *asked,
                          const struct partner *other)
{
    const char *what = other_words(mem, &asked->other);

    if (other->doubt)
        return arena_printf(mem, "the newest reading of %s is in doubt (%s)", what, other->doubt);
    if (!other->has_value)
        return arena_printf(mem, "the newest reading of %s is no number in %s", what,
                            asked->other.unit ? asked->other.unit : "its unit");

    return NULL;
}

/* Whether the clause applies by such a reading. */
static enum applying by_reading(struct arena *mem, const struct limit_while *asked,
                                const struct partner *other)
{
    enum applying above = beyond(mem, other, asked->has_above, asked->above, 1);
    enum applying below = beyond(mem, other, asked->has_below, asked->below, -1);

    if (above == APPLIES_YES && below == APPLIES_YES)
        return APPLIES_YES;

    return above == APPLIES_NO || below == APPLIES_NO ? APPLIES_NO : APPLIES_NOT_TOLD;
}

/* What rows set aside that may be a newer reading leave of an answer. */
static void hold_rows(struct arena *mem, struct applies_rule *rule, instant at,
                      const struct partner *newest, struct applies *out)
{
    const struct limit_while *asked = &rule->limit->applies_while;
    struct partner_rows rows = partner_newer_rows(&rule->source, at, asked->within_s, newest);
    bool turned = false;

    for (size_t i = partner_row_from(&rows, 0); i < rows.after && out->answer != APPLIES_NOT_TOLD;
         i = partner_row_from(&rows, i + 1)) {
        const struct stand_in *row = &rule->source.rows.items[i];
        const struct partner other = {
            .has_value = row->has_value, .qualifier = row->qualifier, .value = row->value};
        enum applying answer = row->has_value ? by_reading(mem, asked, &other) : APPLIES_NOT_TOLD;

        if (answer == out->answer)
            continue;
        turned = true;
        if (!row->known || answer == APPLIES_NOT_TOLD)
            out->answer = APPLIES_NOT_TOLD;
    }
    if (!turned)
        return;
    out->by_row = true;

    char *words = arena_printf(mem, "a row set aside may be a newer reading of %s",
                               other_words(mem, &asked->other));

    if (out->answer == APPLIES_NOT_TOLD)
        out->why = words;
    else
        out->doubt = arena_printf(mem, "%s: by it the clause %s", words,
                                  out->answer == APPLIES_YES ? "did not apply" : "applied");
}

static bool while_other(struct arena *mem, struct applies_rule *rule, instant at, day_number day,
                        struct applies *out)
{
    const struct limit_while *asked = &rule->limit->applies_while;
    struct partner other;

    (void)day;
    if (!asked->other.station)
        return true;
    if (!partner_newest(mem, &rule->source, at, asked->within_s, &other)) {
        *out = not_told(arena_printf(mem, "no reading of %s in the %s before",
                                     other_words(mem, &asked->other),
                                     partner_apart_words(mem, asked->within_s)));
        return false;
    }

    const char *unusable = why_unusable(mem, asked, &other);

    out->answer = unusable ? APPLIES_NOT_TOLD : by_reading(mem, asked, &other);
    out->has_other = true;
    out->other = other;
    if (out->answer != APPLIES_YES)
        out->why = unusable ? unusable
                            : arena_printf(mem, "%s was %s%s", other_words(mem, &asked->other),
                                           value_words(mem, &other, asked->other.unit),
                                           out->answer == APPLIES_NO ? ": the clause did not apply"
                                                                     : ", on either side");
    out->on_record = out->answer;
    hold_rows(mem, rule, at, &other, out);

    return out->answer == APPLIES_YES;
}

typedef bool condition(struct arena *mem, struct applies_rule *rule, instant at, day_number day,
                       struct applies *out);

/* No while either says no, and yes while both do. */
static enum applying both(enum applying a, enum applying b)
{
    if (a == APPLIES_NO || b == APPLIES_NO)
        return APPLIES_NO;

    return a == APPLIES_YES ? b : APPLIES_NOT_TOLD;
}

/* The first that is not so answers; one that can't be told answers where no other says no. */
struct applies applies_at(struct arena *mem, struct applies_rule *rule, instant at, day_number day)
{
    static condition *const conditions[] = {in_season, in_hours, in_tide, while_other};
    struct applies found = {.answer = APPLIES_YES};

    for (size_t i = 0; !rule->always && i < ARRAY_LEN(conditions); i++) {
        struct applies one = {.answer = APPLIES_YES};
        bool applies = conditions[i](mem, rule, at, day, &one);

        found.on_record = both(found.on_record, one.by_row ? one.on_record : one.answer);
        if (one.has_other && !found.has_other) {
            found.has_other = true;
            found.other = one.other;
        }
        /* What another condition leaves open is not closed by an answer in doubt. */
        if (one.answer == APPLIES_NO && one.doubt && found.answer == APPLIES_NOT_TOLD)
            continue;
        found.doubt = one.doubt;
        found.by_row = one.by_row;
        if (applies || (one.answer == APPLIES_NOT_TOLD && found.answer != APPLIES_YES))
            continue;
        found.answer = one.answer;
        found.why = one.why;
        if (found.answer == APPLIES_NO)
            break;
    }
    if (found.answer == APPLIES_NOT_TOLD)
        found.doubt = NULL;

    return found;
}

static void add_season(struct buf *text, struct arena *mem, const struct limit_season *season)
{
    /* Of any year; one with a 29 February. */
    day_number from =
        day_from_civil(2024, season->from / MONTH_FACTOR, season->from % MONTH_FACTOR);
    day_number to = day_from_civil(2024, season->to / MONTH_FACTOR, season->to % MONTH_FACTOR);
    const char *first = day_words(mem, from);
    const char *last = day_words(mem, to);

    buf_addf(text, "; each year from %.*s to %.*s", (int)(strlen(first) - strlen(" 2024")), first,
             (int)(strlen(last) - strlen(" 2024")), last);
}

static void add_while(struct buf *text, struct arena *mem, const struct limit_while *asked)
{
    const char *unit = asked->other.unit ? asked->other.unit : "";

    buf_addf(text, "; while %s is", other_words(mem, &asked->other));
    if (asked->has_above)
        buf_addf(text, " above %s", decimal_text(mem, asked->above));
    if (asked->has_below)
        buf_addf(text, "%s below %s", asked->has_above ? " and" : "",
                 decimal_text(mem, asked->below));
    buf_addf(text, " %s, by a reading at most %s old", unit,
             partner_apart_words(mem, asked->within_s));
}

char *applies_words(struct arena *mem, const struct limit *limit)
{
    struct buf text = buf_new(mem);

    if (limit->season.set)
        add_season(&text, mem, &limit->season);
    if (limit->hours.set)
        buf_addf(&text, "; from %s to %s", minute_text(mem, limit->hours.from_minute),
                 minute_text(mem, limit->hours.to_minute));
    if (limit->tide.of != TIDE_NONE)
        buf_addf(&text, "; from %s before to %s after %s water by the table '%s'",
                 partner_apart_words(mem, limit->tide.before_s),
                 partner_apart_words(mem, limit->tide.after_s),
                 limit->tide.of == TIDE_HIGH ? "high" : "low", limit->tide.table);
    if (limit->applies_while.other.station)
        add_while(&text, mem, &limit->applies_while);

    return text.len > 0 ? text.data + strlen("; ") : NULL;
}
