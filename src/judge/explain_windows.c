#include "judge/across.h"
#include "judge/explain_parts.h"
#include "judge/period.h"
#include "stat/percentile.h"

/* Of a longer list only what is not within, and the worst, unless all is asked for. */
enum { WINDOWS_MOST = 12, RUNS_MOST = 40 };

/* What a statistic is, where its name alone leaves that open. */
static const char *const definitions[] = {
    [STATISTIC_GEOMETRIC_MEAN] = "the n-th root of the product of n values",
    [STATISTIC_MEDIAN] = "the middle one by size, or the mean of the two in the middle",
    [STATISTIC_LOG_NORMAL_PERCENTILE] =
        "10 to the power of (mean of the logarithms + z times their standard deviation)",
    [STATISTIC_SHARE_BEYOND] = "100 times how many lie beyond, by how many there are",
    [STATISTIC_FLOW_WEIGHTED_MEAN] = "the sum of figure times water, by the sum of the water",
    [STATISTIC_HYDROGEN_ION_MEAN] = "-log10 of the mean of 10 to the power of -pH",
    [STATISTIC_CHANGE] = "the greatest difference of two readings no further apart than that",
    [STATISTIC_RATE] = "the greatest difference from a reading to the next, by the time between",
    [STATISTIC_TIME_OUTSIDE] = "each reading stands as the clause says; the times added",
    [STATISTIC_LONGEST_OUTSIDE] = "the longest of the times without a break",
};

/* Which changes it looks at. */
static const char *const ways[] = {
    [CHANGE_EITHER] = "a rise and a fall count alike",
    [CHANGE_RISE] = "only a rise counts",
    [CHANGE_FALL] = "only a fall counts",
};

void explain_statistic(struct writer *writer)
{
    const struct limit *limit = writer->verdict->limit;
    const char *definition =
        limit->statistic < ARRAY_LEN(definitions) ? definitions[limit->statistic] : NULL;

    if (limit->statistic == STATISTIC_PERCENTILE && limit->settings.percentile_rule) {
        const struct percentile_definition *rule =
            percentile_definition_find(limit->settings.percentile_rule);

        definition = rule ? arena_printf(writer->mem, "the value at rank %s of n in order of size",
                                         rule->rank)
                          : NULL;
    }
    if (definition && limit_of_change(limit))
        definition =
            arena_printf(writer->mem, "%s; %s", definition, ways[limit->settings.change_direction]);
    if (definition)
        writer_say(writer, arena_printf(writer->mem, "statistic: %s: %s",
                                        limit_statistic_phrase(writer->mem, limit), definition));
}

static bool is_told(const struct writer *writer, size_t index)
{
    const struct verdict *verdict = writer->verdict;

    return writer->choices->every_reading || verdict->window_count <= WINDOWS_MOST ||
           verdict->windows[index].standing == STANDING_OUTSIDE ||
           verdict->windows[index].standing == STANDING_NOT_ASSESSABLE ||
           index == verdict->worst_window;
}

static void add_standing(struct buf *text, const struct verdict_window *window)
{
    buf_addf(text, ": %s%s", window->so_far ? "so far " : "", standing_name(window->standing));
    if (window->side != SIDE_NONE)
        buf_addf(text, ", %s", window->side == SIDE_ABOVE ? "above" : "below");
    if (window->reason)
        buf_addf(text, " (%s)", window->reason);
    if (window->note)
        buf_addf(text, "; %s", window->note);
}

/* "  2026-05-06 10:00 to 2026-05-06 14:00: 240 minutes". */
static void explain_run(struct writer *writer, const char *indent, const struct verdict_run *run)
{
    const struct zone *zone = writer->evidence->zone;
    const char *unit = writer_figure_unit(writer);
    struct buf text = buf_new(writer->mem);

    buf_addf(&text, "%s%s to %s: %s%s", indent, zone_text(writer->mem, zone, run->from),
             zone_text(writer->mem, zone, run->until), writer_digits(writer, run->whole), unit);
    if (exact_compare(run->whole, run->within) != 0)
        buf_addf(&text, ", of which %s%s count here", writer_digits(writer, run->within), unit);
    if (run->begins_at_gap)
        buf_add_text(&text, "; nothing was read before it, so it may have begun earlier");
    if (run->ends_at_gap)
        buf_add_text(&text, "; nothing was read after it, so it may have gone on");
    writer_say(writer, text.data);
}

/* When it was outside, of a clause on the time outside. */
static void explain_runs(struct writer *writer, const char *indent,
                         const struct verdict_window *window)
{
    const struct verdict_runs *runs = window->outside;
    const char *deeper = arena_printf(writer->mem, "%s  ", indent);
    size_t told = runs && (writer->choices->every_reading || runs->count <= RUNS_MOST) ? runs->count
                                                                                       : RUNS_MOST;

    if (!runs || runs->count == 0)
        return;
    writer_say(writer, arena_printf(writer->mem, "%soutside in %zu %s%s:", indent, runs->count,
                                    runs->count == 1 ? "run" : "runs",
                                    runs->at_most ? ", as long as they could be" : ""));
    for (size_t i = 0; i < told; i++)
        explain_run(writer, deeper, &runs->items[i]);
    if (told < runs->count) {
        writer_say(writer, arena_printf(writer->mem, "%s%zu more", deeper, runs->count - told));
        writer->lines.shortened = true;
    }
}

static void explain_window(struct writer *writer, const struct verdict_window *window)
{
    const struct limit *limit = writer->verdict->limit;
    struct buf text = buf_new(writer->mem);

    buf_addf(&text, "  %s: %zu %s", verdict_window_words(writer->mem, limit, window),
             window->samples, window->samples == 1 ? "value" : "values");
    if (limit->allowance.kind != ALLOWANCE_NONE) {
        buf_addf(&text, ", %zu beyond the bound", window->beyond);
        if (window->allowed != SIZE_MAX)
            buf_addf(&text, ", %zu allowed", window->allowed);
    } else if (window->figure_text) {
        buf_addf(&text, ", %s%s, compared as %s", window->figure_text, writer_figure_unit(writer),
                 window->compared_text);
    }
    add_standing(&text, window);
    writer_say(writer, text.data);
    explain_runs(writer, "    ", window);
    if (window->loads)
        explain_loads(writer, "    ", window->loads);
}

/* The one window of a whole period is told by the figure itself. */
static bool has_windows(const struct verdict *verdict)
{
    const struct limit *limit = verdict->limit;

    return verdict->window_count > 0 &&
           (!period_is_span(limit) || limit->allowance.kind != ALLOWANCE_NONE);
}

void explain_windows(struct writer *writer)
{
    const struct verdict *verdict = writer->verdict;
    size_t untold = 0;

    if (!has_windows(verdict)) {
        for (size_t i = 0; i < verdict->window_count; i++) {
            explain_runs(writer, "", &verdict->windows[i]);
            if (verdict->windows[i].loads)
                explain_loads(writer, "  ", verdict->windows[i].loads);
        }
        return;
    }
    writer_say(writer, arena_printf(writer->mem, "%zu %s, each of which has to keep the bound",
                                    verdict->window_count,
                                    verdict->window_count == 1 ? "window" : "windows"));
    for (size_t i = 0; i < verdict->window_count; i++) {
        if (is_told(writer, i))
            explain_window(writer, &verdict->windows[i]);
        else
            untold++;
    }
    if (untold > 0) {
        writer_say(writer, arena_printf(writer->mem, "  %zu more are within", untold));
        writer->lines.shortened = true;
    }
}

void explain_note(struct writer *writer)
{
    const struct verdict *verdict = writer->verdict;

    if (!has_windows(verdict) && verdict->window_count == 1 && verdict->windows[0].note)
        writer_say(writer, verdict->windows[0].note);
}

void explain_across(struct writer *writer)
{
    const struct verdict *verdict = writer->verdict;
    const struct limit *limit = verdict->limit;
    struct arena *mem = writer->mem;

    if (verdict->across_count == 0)
        return;
    writer_say(writer, arena_printf(mem, "outside only when %s are beyond the bound",
                                    across_words(mem, limit, (size_t)limit->across_outside)));
    for (size_t i = 0; i < verdict->across_count; i++) {
        const struct verdict_period *period = &verdict->across[i];

        writer_say(writer, arena_printf(mem, "  %s to %s: %s%s%s", day_words(mem, period->from),
                                        day_words(mem, period->to),
                                        period->compared_text ? period->compared_text : "",
                                        period->compared_text ? ", " : "",
                                        period->standing == STANDING_OUTSIDE
                                            ? "beyond it"
                                            : standing_name(period->standing)));
    }
    writer_say(writer,
               arena_printf(mem, "  so %s", across_words(mem, limit, verdict->across_beyond)));
}
