#include "judge/explain.h"

#include "base/buf.h"
#include "base/str.h"

enum { FIGURES_SHOWN = 12 };

/* Lines being written. */
struct writer {
    struct arena *mem;
    const struct verdict *verdict;
    const struct evidence *evidence;
    struct explanation lines;
};

static void say(struct writer *writer, const char *text)
{
    LIST_ADD(writer->mem, &writer->lines, text);
}

static const char *digits(const struct writer *writer, const struct exact *value)
{
    return exact_text(writer->mem, value, FIGURES_SHOWN);
}

static const char *unit_of(const struct writer *writer)
{
    const char *unit = writer->verdict->limit->unit;

    return str_empty(unit) || str_equal(unit, "pH") ? "" : arena_printf(writer->mem, " %s", unit);
}

static void explain_clause(struct writer *writer)
{
    const struct limit *limit = writer->verdict->limit;
    struct arena *mem = writer->mem;

    say(writer, arena_printf(mem, "%s: %s", limit->name ? limit->name : limit->key,
                             limit_words(mem, limit)));
    say(writer, arena_printf(mem, "clause: %s of licence %s%s%s, decided by %s",
                             limit->clause ? limit->clause : "not named",
                             limit->licence ? limit->licence : "not named",
                             limit->licence_version ? ", version " : "",
                             limit->licence_version ? limit->licence_version : "",
                             limit->authority ? limit->authority : "an authority not named"));
    if (limit->wording)
        say(writer, arena_printf(mem, "in its own words: %s", limit->wording));
    if (!limit->confirmed)
        say(writer, "nobody has confirmed yet that this form says what the licence says");
}

static void explain_period(struct writer *writer)
{
    const struct verdict *verdict = writer->verdict;
    struct arena *mem = writer->mem;

    say(writer,
        arena_printf(mem, "period: %s to %s, that is from %s until %s in %s%s",
                     day_words(mem, verdict->from), day_words(mem, verdict->to),
                     zone_text(mem, writer->evidence->zone, verdict->from_at),
                     zone_text(mem, writer->evidence->zone, verdict->until_at),
                     zone_name(writer->evidence->zone), verdict->so_far ? "; it still runs" : ""));
}

static const struct {
    unsigned kind;
    const char *word;
} kinds[] = {{KIND_GRAB, "grab samples"},
             {KIND_COMPOSITE, "composite samples"},
             {KIND_PROBE, "probes"},
             {KIND_BY_HAND, "readings by hand"}};

static void explain_selection(struct writer *writer)
{
    const struct limit *limit = writer->verdict->limit;
    struct buf text = buf_new(writer->mem);
    const char *between = " by ";

    buf_addf(&text, "readings: %s at %s", limit->parameter, limit->station);
    if (limit->position)
        buf_addf(&text, ", %s", limit->position);
    for (size_t i = 0; i < ARRAY_LEN(kinds); i++)
        if (limit->kinds & kinds[i].kind) {
            buf_addf(&text, "%s%s", between, kinds[i].word);
            between = " or ";
        }
    for (size_t i = 0; i < limit->method_count; i++)
        buf_addf(&text, "%s%s", i == 0 ? ", method " : " or ", limit->methods[i]);
    if (limit->only_while_discharging)
        buf_add_text(&text, ", only while discharging");
    say(writer, text.data);
}

/* "<0.05 mg/L" as it was reported. */
static const char *reported(const struct writer *writer, const struct evidence_reading *reading)
{
    if (reading->qualifier == QUALIFIER_NOT_DETECTED)
        return "not detected";

    return arena_printf(writer->mem, "%s%s %s",
                        reading->qualifier == QUALIFIER_LESS      ? "<"
                        : reading->qualifier == QUALIFIER_GREATER ? ">"
                                                                  : "",
                        decimal_text(writer->mem, reading->reported),
                        reading->unit ? reading->unit : "");
}

static void explain_item(struct writer *writer, const struct verdict_item *item)
{
    const struct evidence_reading *reading =
        &writer->evidence->series[item->series].readings[item->reading];
    struct buf text = buf_new(writer->mem);

    buf_addf(&text, "  %s: %s", zone_text(writer->mem, writer->evidence->zone, reading->at),
             reported(writer, reading));
    if (reading->sample)
        buf_addf(&text, ", sample %s", reading->sample);
    if (reading->corrected)
        buf_add_text(&text, ", corrected");
    if (!item->counted)
        buf_addf(&text, ", not counted (%s)", item->why_not ? item->why_not : "no reason");
    else if (item->used)
        buf_addf(&text, ", counted as %s%s%s",
                 item->qualifier == QUALIFIER_NONE ? "" : "the number ", digits(writer, item->used),
                 item->outside ? ", beyond the bound" : "");
    else
        buf_addf(&text, ", counted%s%s", item->why_not ? ": " : "",
                 item->why_not ? item->why_not : "");
    if (reading->doubt && item->counted)
        buf_addf(&text, ", though in doubt (%s)", reading->doubt);
    buf_addf(&text, " [file %lld, row %d, column %d]", (long long)reading->origin.receipt,
             reading->origin.line, reading->origin.column);
    say(writer, text.data);
}

static const char *const discharge_words[] = {
    [DISCHARGE_YES] = "discharging",
    [DISCHARGE_NONE] = "no discharge",
    [DISCHARGE_UNKNOWN] = "discharge not known, so it counts as discharging",
    [DISCHARGE_DISAGREES] = "the records disagree, so it counts as discharging",
};

/* Whether there is anything to say of the day. */
static bool day_speaks(const struct writer *writer, const struct verdict_day *day)
{
    return day->figure || day->note || day->volume ||
           (writer->verdict->limit->only_while_discharging && day->discharge != DISCHARGE_YES);
}

static void explain_day(struct writer *writer, const struct verdict_day *day)
{
    const struct limit *limit = writer->verdict->limit;
    struct buf text = buf_new(writer->mem);

    if (!day_speaks(writer, day))
        return;
    buf_addf(&text, "  %s: %zu %s", day_words(writer->mem, day->day), day->readings,
             day->readings == 1 ? "reading" : "readings");
    if (limit->only_while_discharging)
        buf_addf(&text, ", %s", discharge_words[day->discharge]);
    if (limit->only_while_discharging && day->discharge_because)
        buf_addf(&text, " (%s)", day->discharge_because);
    if (day->concentration && limit->daily == DAILY_LOAD)
        buf_addf(&text, ", mean concentration %s", digits(writer, day->concentration));
    if (day->volume)
        buf_addf(&text, ", water %s %s", digits(writer, day->volume),
                 limit->load_flow_unit ? limit->load_flow_unit : "m3");
    if (day->figure)
        buf_addf(&text, ", %s %s%s%s%s", limit_daily_words[limit->daily],
                 day->figure_qualifier == QUALIFIER_LESS ? "<" : "", digits(writer, day->figure),
                 unit_of(writer), day->outside ? ", beyond the bound" : "");
    if (day->note)
        buf_addf(&text, "; %s", day->note);
    say(writer, text.data);
}

static void explain_readings(struct writer *writer)
{
    const struct verdict *verdict = writer->verdict;
    const struct limit *limit = verdict->limit;

    explain_selection(writer);
    for (size_t i = 0; i < verdict->item_count; i++)
        explain_item(writer, &verdict->items[i]);
    if (verdict->set_aside > 0)
        say(writer, arena_printf(writer->mem, "  rows set aside that could belong here: %zu",
                                 verdict->set_aside));
    if (limit->daily == DAILY_EVERY && !limit->only_while_discharging)
        return;
    say(writer, arena_printf(writer->mem, "each day first: %s", limit_daily_words[limit->daily]));
    if (limit->daily == DAILY_LOAD)
        say(writer, arena_printf(writer->mem,
                                 "  load = mean concentration x water of the day x factor; water "
                                 "from %s at %s; factor %s",
                                 limit->flow.parameter, limit->flow.station,
                                 limit->load_factor ? limit->load_factor : "exact, by the units"));
    for (size_t i = 0; i < verdict->day_count; i++)
        explain_day(writer, &verdict->days[i]);
}

static void explain_less_thans(struct writer *writer)
{
    const struct verdict *verdict = writer->verdict;
    const struct limit *limit = verdict->limit;
    bool any = false;

    for (size_t i = 0; i < verdict->item_count; i++)
        any = any || (verdict->items[i].counted && verdict->items[i].qualifier != QUALIFIER_NONE);
    if (!any)
        return;
    if (limit_of_single_values(limit)) {
        say(writer, "less-thans and greater-thans stand for every value they allow");
        return;
    }
    say(writer, arena_printf(writer->mem, "less-thans stand for: %s%s%s; greater-thans: %s",
                             less_than_words[limit->less_than],
                             limit->less_than == LESS_THAN_STATED ? " " : "",
                             limit->less_than == LESS_THAN_STATED
                                 ? decimal_text(writer->mem, limit->less_than_stated)
                                 : "",
                             greater_than_words[limit->greater_than]));
}

static const char *rounding_words(struct arena *mem, struct rounding rounding)
{
    if (rounding.rule == ROUND_NONE)
        return "not rounded";

    const char *what = rounding.to == ROUND_TO_DECIMALS ? "decimal" : "significant figure";

    return arena_printf(mem, "rounded half %s to %d %s%s",
                        rounding.rule == ROUND_HALF_UP ? "up" : "to even", rounding.digits, what,
                        rounding.digits == 1 ? "" : "s");
}

static void explain_enough(struct writer *writer)
{
    const struct verdict *verdict = writer->verdict;
    const struct limit *limit = verdict->limit;

    if (limit->least_samples > 0)
        say(writer,
            arena_printf(writer->mem, "asked for at least %d samples%s", limit->least_samples,
                         limit->period == PERIOD_DAY ? " each day" : ""));
    if (verdict->has_coverage)
        say(writer, arena_printf(writer->mem, "covered %s percent of the time, at least %s asked",
                                 decimal_text(writer->mem, verdict->coverage),
                                 decimal_text(writer->mem, limit->least_coverage)));
}

static void explain_comparison(struct writer *writer)
{
    const struct verdict *verdict = writer->verdict;
    struct arena *mem = writer->mem;

    if (verdict->figure) {
        say(writer, arena_printf(mem, "figure: %s%s, %s", verdict->figure_text, unit_of(writer),
                                 verdict_figure_words(mem, verdict)));
        say(writer, arena_printf(mem, "%s: %s", rounding_words(mem, verdict->limit->rounding),
                                 verdict->compared_text));
        say(writer, arena_printf(mem, "compared: %s with %s", verdict->compared_text,
                                 limit_bound_words(mem, verdict->limit)));
    }
    if (verdict->near_bound)
        say(writer, "near the bound, by the farm's own margin");
    if (verdict->rests_on_doubt)
        say(writer, "this rests on evidence in doubt");
    say(writer, arena_printf(mem, "verdict: %s", verdict->words));
}

struct explanation judge_explain(struct arena *mem, const struct verdict *verdict,
                                 const struct evidence *evidence)
{
    struct writer writer = {.mem = mem, .verdict = verdict, .evidence = evidence};

    explain_clause(&writer);
    explain_period(&writer);
    explain_readings(&writer);
    explain_less_thans(&writer);
    explain_enough(&writer);
    explain_comparison(&writer);

    return writer.lines;
}
