#include "judge/explain.h"

#include "base/str.h"
#include "judge/explain_parts.h"

enum { FIGURES_SHOWN = 12 };

void writer_say(struct writer *writer, const char *text)
{
    LIST_ADD(writer->mem, &writer->lines, text);
}

const char *writer_digits(const struct writer *writer, const struct exact *value)
{
    return exact_text(writer->mem, value, FIGURES_SHOWN);
}

const char *writer_unit(const struct writer *writer)
{
    const char *unit = writer->verdict->limit->unit;

    return str_empty(unit) || str_equal(unit, "pH") ? "" : arena_printf(writer->mem, " %s", unit);
}

const char *writer_figure_unit(const struct writer *writer)
{
    const char *unit = limit_figure_unit(writer->mem, writer->verdict->limit);

    return str_empty(unit) || str_equal(unit, "pH") ? "" : arena_printf(writer->mem, " %s", unit);
}

void writer_add_origin(const struct writer *writer, struct buf *text, struct origin origin)
{
    const struct explain_names *names = writer->choices->names;
    const struct explain_place place =
        names ? names->place(names->context, origin) : (struct explain_place){.line = origin.line};

    if (place.file)
        buf_addf(text, " [%s", place.file);
    else
        buf_addf(text, " [file %lld", (long long)origin.receipt);
    if (place.sheet)
        buf_addf(text, ", sheet %s, row %d column %d]", place.sheet, place.line, origin.column);
    else
        buf_addf(text, " line %d column %d]", place.line, origin.column);
}

static const char *const beside_words[] = {
    [BESIDE_OLDER] = "nobody has confirmed yet that this changed form says what the licence says: "
                     "it is judged by the form before it too, and the worse of both stands",
    [BESIDE_CHANGED] = "this is the form before a change that nobody has confirmed yet: both are "
                       "judged, and the worse of both stands",
};

static void explain_clause(struct writer *writer)
{
    const struct limit *limit = writer->verdict->limit;
    struct arena *mem = writer->mem;

    writer_say(writer, arena_printf(mem, "%s: %s", limit->name ? limit->name : limit->key,
                                    limit_words(mem, limit)));
    writer_say(writer,
               arena_printf(mem, "clause: %s of licence %s%s%s, decided by %s",
                            limit->clause ? limit->clause : "not named",
                            limit->licence ? limit->licence : "not named",
                            limit->licence_version ? ", version " : "",
                            limit->licence_version ? limit->licence_version : "",
                            limit->authority ? limit->authority : "an authority not named"));
    if (limit->wording)
        writer_say(writer, arena_printf(mem, "in its own words: %s", limit->wording));
    if (!limit->confirmed)
        writer_say(writer, "nobody has confirmed yet that this form says what the licence says");
    if (limit->lacks)
        writer_say(writer, arena_printf(mem, "it clears nothing for now: %s", limit->lacks));
    if (beside_words[limit->beside])
        writer_say(writer, beside_words[limit->beside]);
}

/* What the other of two forms says, where a changed one is not confirmed yet. */
static void explain_beside(struct writer *writer)
{
    const struct verdict_beside *beside = writer->verdict->beside;
    struct arena *mem = writer->mem;

    if (beside)
        writer_say(writer, arena_printf(mem, "  the other form: %s: %s",
                                        limit_words(mem, beside->limit), beside->words));
}

/* The days on which this form counts. */
static void explain_force(struct writer *writer)
{
    const struct limit *limit = writer->verdict->limit;
    struct arena *mem = writer->mem;

    if (limit->in_force_from == DAY_NONE)
        return;
    writer_say(
        writer,
        arena_printf(mem, "in force from %s%s%s", day_words(mem, limit->in_force_from),
                     limit->in_force_to == DAY_NONE ? "" : " to ",
                     limit->in_force_to == DAY_NONE ? "" : day_words(mem, limit->in_force_to)));
}

static void explain_period(struct writer *writer)
{
    const struct verdict *verdict = writer->verdict;
    struct arena *mem = writer->mem;

    writer_say(writer, arena_printf(mem, "period: %s to %s, that is from %s until %s in %s%s",
                                    day_words(mem, verdict->from), day_words(mem, verdict->to),
                                    zone_text(mem, writer->evidence->zone, verdict->from_at),
                                    zone_text(mem, writer->evidence->zone, verdict->until_at),
                                    zone_name(writer->evidence->zone),
                                    verdict->so_far ? "; it still runs" : ""));
}

/* "half", "stated 0.5". */
static const char *stands_for(struct arena *mem, enum less_than_rule rule, struct decimal stated)
{
    return rule == LESS_THAN_STATED
               ? arena_printf(mem, "%s %s", less_than_words[rule], decimal_text(mem, stated))
               : less_than_words[rule];
}

static const char *single_less_thans(struct arena *mem, const struct limit *limit)
{
    const char *words = single_less_than_words[limit->single_less_than];

    if (limit->single_less_than == SINGLE_AS_ALLOWED)
        return "less-thans and greater-thans stand for every value they allow";
    if (limit->single_less_than != SINGLE_BY_RULE)
        return arena_printf(mem, "a less-than against the bound by itself: %s", words);

    return arena_printf(mem, "a less-than against the bound by itself: %s, which is %s", words,
                        stands_for(mem, limit->less_than, limit->less_than_stated));
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
        writer_say(writer, single_less_thans(writer->mem, limit));
        return;
    }

    bool geometric = limit->has_geometric_rule && limit->statistic == STATISTIC_GEOMETRIC_MEAN;
    enum less_than_rule rule = geometric ? limit->less_than_geometric : limit->less_than;

    bool number = limit->greater_than == GREATER_THAN_STATED;

    writer_say(writer,
               arena_printf(writer->mem, "less-thans stand for: %s; greater-thans: %s%s%s",
                            stands_for(writer->mem, rule, limit->less_than_stated),
                            greater_than_words[limit->greater_than], number ? " " : "",
                            number ? decimal_text(writer->mem, limit->greater_than_stated) : ""));
    if (limit->between != BETWEEN_AS_REPORTED)
        writer_say(writer,
                   arena_printf(writer->mem, "  between detection and quantitation limit: %s",
                                between_words[limit->between]));
    if (limit->largest_if_all)
        writer_say(writer, "  where all are less-thans the figure is less than the largest");
    if (limit->beyond_by_rule)
        writer_say(writer, "  one that reaches beyond the bound counts by the rule too");
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
        writer_say(writer, arena_printf(writer->mem, "asked for at least %d samples%s",
                                        limit->least_samples,
                                        limit->period == PERIOD_DAY ? " each day" : ""));
    if (verdict->has_coverage)
        writer_say(writer,
                   arena_printf(writer->mem, "covered %s percent of the time, at least %s asked",
                                decimal_text(writer->mem, verdict->coverage),
                                decimal_text(writer->mem, limit->least_coverage)));
}

/* Whether a figure within its bound is near to it, by the farm's own margin. */
static void explain_margin(struct writer *writer)
{
    const struct verdict *verdict = writer->verdict;
    const struct limit *limit = verdict->limit;

    if (limit->margin == MARGIN_NONE || verdict->standing != STANDING_WITHIN)
        return;
    writer_say(writer, arena_printf(writer->mem, "%s the bound, by the farm's own margin of %s%s",
                                    verdict->near_bound ? "near" : "not near",
                                    decimal_text(writer->mem, limit->margin_amount),
                                    limit->margin == MARGIN_SHARE ? " % of the bound"
                                                                  : writer_figure_unit(writer)));
}

static void explain_comparison(struct writer *writer)
{
    const struct verdict *verdict = writer->verdict;
    struct arena *mem = writer->mem;

    if (verdict->figure) {
        writer_say(writer,
                   arena_printf(mem, "figure: %s%s, %s", verdict->figure_text,
                                writer_figure_unit(writer), verdict_figure_words(mem, verdict)));
        writer_say(writer,
                   arena_printf(mem, "%s: %s", rounding_words(mem, verdict->limit->rounding),
                                verdict->compared_text));
        writer_say(writer, arena_printf(mem, "compared: %s with %s", verdict->compared_text,
                                        limit_bound_words(mem, verdict->limit)));
    }
    explain_note(writer);
    explain_across(writer);
    explain_margin(writer);
    if (verdict->rests_on_doubt)
        explain_doubt(writer);
    writer_say(writer, arena_printf(mem, "verdict: %s", verdict->words));
}

struct explanation judge_explain(struct arena *mem, const struct verdict *verdict,
                                 const struct evidence *evidence,
                                 const struct explain_choices *choices)
{
    struct writer writer = {
        .mem = mem, .verdict = verdict, .evidence = evidence, .choices = choices};

    explain_clause(&writer);
    explain_beside(&writer);
    explain_force(&writer);
    explain_period(&writer);
    explain_readings(&writer);
    explain_pairs(&writer);
    explain_asides(&writer);
    explain_days(&writer);
    explain_less_thans(&writer);
    explain_enough(&writer);
    explain_statistic(&writer);
    explain_windows(&writer);
    explain_comparison(&writer);

    return writer.lines;
}
