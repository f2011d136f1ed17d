#include "judge/over_time.h"

#include "base/buf.h"
#include "judge/applies_spans.h"
#include "judge/combine.h"
#include "judge/over_time_line.h"
#include "judge/shared.h"
#include "stat/change.h"
#include "stat/duration.h"

/* One of the figures while the lines are worked out. */
struct work {
    const struct judgement *judgement;
    const struct figure_window *window;
    struct figure figure;
    bool has_figure;
    const char *note;
};

/* Keep the worst of the lines: first one beyond the bound, then the greatest. */
static void keep(struct work *work, const struct figure *figure)
{
    const struct judgement *judgement = work->judgement;
    struct amount a;
    struct amount b;

    if (work->has_figure) {
        bool beyond = figure_fit(judgement, figure) == FIT_ABOVE;
        bool kept_beyond = figure_fit(judgement, &work->figure) == FIT_ABOVE;
        bool worse = beyond != kept_beyond ? beyond
                     : figure_shown(figure, &a) && figure_shown(&work->figure, &b)
                         ? amount_compare(judgement->mem, a, b) > 0
                         : figure->blocked != NULL;
        const char *blocked = work->figure.blocked ? work->figure.blocked : figure->blocked;

        if (worse)
            work->figure = *figure;
        work->figure.blocked = work->figure.blocked ? work->figure.blocked : blocked;
        return;
    }
    work->figure = *figure;
    work->has_figure = true;
}

/* The number of a reading, where an end stands for it. */
static struct amount number_of(const struct figure *figure, bool high)
{
    const struct end *end = high ? &figure->range.high : &figure->range.low;

    if (!end->known)
        end = high ? &figure->range.low : &figure->range.high;

    return end->at;
}

static const enum change_way ways[] = {
    [CHANGE_EITHER] = CHANGE_WAY_EITHER,
    [CHANGE_RISE] = CHANGE_WAY_RISE,
    [CHANGE_FALL] = CHANGE_WAY_FALL,
};

/* The greatest of the changes that end in the window; false: there is none. */
static bool greatest_change(const struct work *work, const struct timed_value *values,
                            size_t before, size_t count, const struct exact **out, struct err *err)
{
    const struct statistic_settings *settings = &work->judgement->limit->settings;
    int64_t span_us = (int64_t)settings->change_span_s * SECOND_US;
    struct arena *mem = work->judgement->mem;
    struct timed_value *pair = ARENA_ARRAY(mem, struct timed_value, count + 1);
    struct change change;
    bool found = change_within_span(mem, values + before, count - before, span_us,
                                    ways[settings->change_direction], &change, err);

    if (found)
        *out = change.size;
    for (size_t i = 0; i < before; i++) {
        size_t within = 1;
        struct err ignored = ERR_INIT;

        pair[0] = values[i];
        for (size_t k = before; k < count && values[k].at_us - values[i].at_us <= span_us; k++)
            pair[within++] = values[k];
        if (within == 1 || !change_within_span(mem, pair, within, span_us,
                                               ways[settings->change_direction], &change, &ignored))
            continue;
        if (!found || exact_compare(change.size, *out) > 0)
            *out = change.size;
        found = true;
    }

    return found;
}

static bool greatest_rate(const struct work *work, const struct timed_value *values, size_t before,
                          size_t count, const struct exact **out, struct err *err)
{
    const struct limit *limit = work->judgement->limit;
    size_t first = before > 0 ? before - 1 : 0;
    struct change change;

    if (!change_rate(work->judgement->mem, values + first, count - first,
                     (int64_t)limit->settings.rate_per_s * SECOND_US,
                     (int64_t)limit->reading_stands_s * SECOND_US,
                     ways[limit->settings.change_direction], &change, err))
        return false;
    *out = change.size;

    return true;
}

static struct figure empty_figure(const struct line *line)
{
    return (struct figure){.day = NO_INDEX,
                           .use = NO_INDEX,
                           .at = INSTANT_NONE,
                           .qualifier = QUALIFIER_NONE,
                           .blocked = line->blocked,
                           .less_thans = line->less_thans};
}

/* Those of the line that are numbers: whatever the others were, what these show is true. */
static const struct timed_value *change_values(const struct judgement *judgement,
                                               const struct line *line, size_t *count)
{
    struct timed_value *values = ARENA_ARRAY(judgement->mem, struct timed_value, line->count);

    *count = 0;
    for (size_t i = 0; i < line->count; i++)
        if (combine_is_number(judgement, &line->items[i]))
            values[(*count)++] =
                (struct timed_value){line->items[i].at, number_of(&line->items[i], true)};

    return values;
}

static struct figure work_out_change(const struct work *work, const struct line *line)
{
    const struct judgement *judgement = work->judgement;
    struct figure figure = empty_figure(line);
    const struct exact *size = NULL;
    struct err err = ERR_INIT;
    size_t before = 0;
    size_t count = line->count;
    const struct timed_value *values =
        line->values ? line->values : change_values(judgement, line, &count);

    for (size_t i = 0; i < count; i++)
        before += values[i].at_us < work->window->from_at;

    bool found = judgement->limit->statistic == STATISTIC_CHANGE
                     ? greatest_change(work, values, before, count, &size, &err)
                     : greatest_rate(work, values, before, count, &size, &err);

    if (found)
        figure.range = range_of_amount(amount_from_exact(size));
    if (count < line->count)
        figure.range.high.known = false;
    if (!found && !figure.blocked)
        figure.blocked = arena_strdup(judgement->mem, err.text);

    return figure;
}

/* The same for clauses that ask it alike; where it lacks, its words are of one clause alone. */
static struct figure change_of(const struct work *work, const struct line *line, int series)
{
    const struct judgement *judgement = work->judgement;
    const struct limit *limit = judgement->limit;
    const struct shared_key key = {SHARED_CHANGE,
                                   {series, work->window->from_at, work->window->until_at,
                                    limit->statistic, limit->settings.change_span_s,
                                    limit->settings.rate_per_s, limit->settings.change_direction,
                                    limit->reading_stands_s}};
    const struct figure *kept =
        judgement->shared && line->values ? shared_find(judgement, &key) : NULL;

    if (kept)
        return *kept;
    if (!judgement->shared || !line->values)
        return work_out_change(work, line);

    struct judgement own = shared_to_keep(judgement);
    struct work to_keep = *work;

    to_keep.judgement = &own;

    struct figure figure = work_out_change(&to_keep, line);

    shared_keep(judgement, &key, arena_copy(own.mem, &figure, sizeof(figure)));

    return figure;
}

/*
 * What went on in a step that is a gap: whatever the way from one reading to the next was, of a
 * span so many times shorter some one had so much of it.
 */
static const struct exact *least_in_gap(const struct judgement *judgement,
                                        const struct timed_value *from,
                                        const struct timed_value *until)
{
    const struct statistic_settings *settings = &judgement->limit->settings;
    struct arena *mem = judgement->mem;
    bool is_change = judgement->limit->statistic == STATISTIC_CHANGE;
    int64_t per_us =
        (int64_t)(is_change ? settings->change_span_s : settings->rate_per_s) * SECOND_US;
    int64_t step_us = until->at_us - from->at_us;
    const struct exact *moved =
        exact_sub(mem, amount_exact(mem, until->value), amount_exact(mem, from->value));
    bool fell = exact_sign(moved) < 0;

    if (settings->change_direction == (fell ? CHANGE_RISE : CHANGE_FALL))
        return exact_from_int(mem, 0);
    if (fell)
        moved = exact_sub(mem, exact_from_int(mem, 0), moved);

    return exact_mul(mem, moved,
                     is_change ? exact_from_ratio(mem, 1, (step_us + per_us - 1) / per_us)
                               : exact_from_ratio(mem, per_us, step_us));
}

static const char *unseen_words(const struct judgement *judgement, const struct timed_value *from,
                                const struct timed_value *until)
{
    const struct zone *zone = judgement->evidence->zone;

    return arena_printf(judgement->mem,
                        "nothing was read from %s to %s: what it did between is not known",
                        zone_text(judgement->mem, zone, from->at_us),
                        zone_text(judgement->mem, zone, until->at_us));
}

/* Steps longer than a reading stands, or else than the span of the change, can hide a greater one:
 * `covers` says whether that is too much. */
static void hold_gaps(const struct work *work, const struct line *line, struct figure *figure)
{
    const struct judgement *judgement = work->judgement;
    const struct limit *limit = judgement->limit;
    int64_t longest_us = (int64_t)(limit->reading_stands_s > 0 ? limit->reading_stands_s
                                                               : limit->settings.change_span_s) *
                         SECOND_US;
    size_t count = line->count;
    const struct timed_value *values =
        line->values ? line->values : change_values(judgement, line, &count);

    for (size_t i = 1; longest_us > 0 && i < count; i++) {
        struct end least = {.known = true};

        if (values[i].at_us < work->window->from_at ||
            values[i].at_us - values[i - 1].at_us <= longest_us)
            continue;
        least.at = amount_from_exact(least_in_gap(judgement, &values[i - 1], &values[i]));
        if (!figure->range.low.known ||
            amount_compare(judgement->mem, least.at, figure->range.low.at) > 0)
            figure->range.low = figure->range.high = least;
        if (!figure->blocked && limit->least_coverage.coefficient == 0)
            figure->blocked = unseen_words(judgement, &values[i - 1], &values[i]);
    }
}

static const enum between_readings between[] = {
    [STANDS_TO_NEXT] = BETWEEN_TO_NEXT,
    [STANDS_HALF_WAY] = BETWEEN_HALF_WAY,
    [STANDS_STRAIGHT_LINE] = BETWEEN_STRAIGHT_LINE,
};

static bool in_range(struct arena *mem, const struct range *range, struct amount value)
{
    int low = range->low.known ? amount_compare(mem, value, range->low.at) : 1;
    int high = range->high.known ? amount_compare(mem, value, range->high.at) : -1;

    return (low > 0 || (low == 0 && !range->low.open)) &&
           (high < 0 || (high == 0 && !range->high.open));
}

/*
 * A number that the reading may have been with which it lies outside, or inside, where there is
 * one: an end of its range, or one at the bound or next to it.
 */
static struct amount number_to_be(const struct judgement *judgement, const struct figure *figure,
                                  bool outside)
{
    static const struct decimal up = {1, 9};
    static const struct decimal down = {-1, 9};
    struct arena *mem = judgement->mem;
    struct bound beyond = figure_beyond(judgement->limit);
    struct amount high = number_of(figure, true);
    struct amount low = number_of(figure, false);
    const struct amount candidates[] = {
        high,
        low,
        amount_add(mem, high, amount_from_decimal(down)),
        amount_add(mem, low, amount_from_decimal(up)),
        beyond.ceiling,
        amount_add(mem, beyond.ceiling, amount_from_decimal(up)),
        beyond.floor,
        amount_add(mem, beyond.floor, amount_from_decimal(down)),
    };
    struct amount possible = high;

    for (size_t i = 0; i < ARRAY_LEN(candidates); i++) {
        struct range one = range_of_amount(candidates[i]);
        enum fit fit = bound_fit(mem, &beyond, &one);

        if (!in_range(mem, &figure->range, candidates[i]))
            continue;
        possible = candidates[i];
        if ((fit == FIT_ABOVE || fit == FIT_BELOW) == outside)
            break;
    }

    return possible;
}

/* Numbers that the readings may have been with which least, or most, of them lie outside. */
static const struct timed_value *duration_values(const struct judgement *judgement,
                                                 const struct line *line, bool most)
{
    struct timed_value *values = ARENA_ARRAY(judgement->mem, struct timed_value, line->count);

    for (size_t i = 0; i < line->count; i++) {
        const struct figure *figure = &line->items[i];

        values[i] = (struct timed_value){figure->at, combine_is_number(judgement, figure)
                                                         ? number_of(figure, true)
                                                         : number_to_be(judgement, figure, most)};
    }

    return values;
}

/* What is known of the time outside in a window, over all stretches in which the clause applied. */
struct outside {
    const struct exact *total_us;
    const struct exact *longest_us;
    int64_t gap_us;
    size_t gap_count;
    struct verdict_runs *runs;
    struct buf *gaps; /* when they were, in words */
};

enum { GAPS_TOLD = 4 };

static const struct exact *in_time_unit(const struct judgement *judgement, const struct exact *us)
{
    return exact_div(judgement->mem, us,
                     exact_from_int(judgement->mem,
                                    (int64_t)judgement->limit->settings.time_unit_s * SECOND_US));
}

/* The ends of the stretch at which the clause began or ceased to apply: no run goes over them. */
struct cut {
    bool from;
    bool until;
};

/* The run, as far as the outlet was open. */
static struct duration_run run_cut(const struct judgement *judgement,
                                   const struct duration_input *input, struct cut cut,
                                   struct duration_run run)
{
    const struct exact *from = exact_from_int(judgement->mem, input->from_us);
    const struct exact *until = exact_from_int(judgement->mem, input->until_us);

    if (cut.from && exact_compare(run.from_us, from) < 0)
        run.from_us = from;
    if (cut.until && exact_compare(run.until_us, until) > 0)
        run.until_us = until;
    if (cut.from || cut.until)
        run.whole_us = exact_sub(judgement->mem, run.until_us, run.from_us);

    return run;
}

static void keep_runs(const struct judgement *judgement, const struct duration *duration,
                      const struct duration_input *input, struct cut cut, struct outside *out)
{
    bool whole = !judgement->applies || !applies_within_days(judgement->limit);

    if (!whole && exact_compare(duration->longest_us, out->longest_us) > 0)
        out->longest_us = duration->longest_us;
    for (size_t i = 0; i < duration->run_count; i++) {
        struct duration_run cut_run = run_cut(judgement, input, cut, duration->runs[i]);
        const struct duration_run *run = &cut_run;

        if (whole && exact_compare(run->whole_us, out->longest_us) > 0)
            out->longest_us = run->whole_us;
        LIST_ADD(judgement->mem, out->runs,
                 ((struct verdict_run){
                     .from = (instant)exact_double(run->from_us),
                     .until = (instant)exact_double(run->until_us),
                     .whole = in_time_unit(judgement, run->whole_us),
                     .within = in_time_unit(judgement, run->within_us),
                     .begins_at_gap = run->begins_at_gap,
                     .ends_at_gap = run->ends_at_gap,
                 }));
    }
}

static void keep_gaps(const struct judgement *judgement, const struct duration *duration,
                      struct outside *out)
{
    const struct zone *zone = judgement->evidence->zone;

    for (size_t i = 0; i < duration->gap_count; i++) {
        const struct duration_gap *gap = &duration->gaps[i];

        if (out->gap_count + i < GAPS_TOLD)
            buf_addf(out->gaps, "%s%s to %s", out->gaps->len > 0 ? ", " : "",
                     zone_text(judgement->mem, zone, gap->from_us),
                     zone_text(judgement->mem, zone, gap->until_us));
    }
    out->gap_us += duration->gap_total_us;
    out->gap_count += duration->gap_count;
}

/* One stretch. A run is told whole, unless the clause stopped applying at the stretch's ends. */
static bool add_stretch(const struct judgement *judgement, struct duration_input *input,
                        instant from, instant until, struct cut cut, struct outside *out,
                        struct err *err)
{
    struct arena *mem = judgement->mem;
    struct duration duration;

    input->from_us = from;
    input->until_us = until > from ? until : from;
    if (!duration_outside(mem, input, &duration, err))
        return false;
    out->total_us = exact_add(mem, out->total_us, duration.outside_us);
    keep_gaps(judgement, &duration, out);
    keep_runs(judgement, &duration, input, cut, out);

    return true;
}

/* Every stretch of the window in which the clause applied. */
static bool add_stretches(const struct work *work, struct duration_input *input,
                          struct outside *out, struct err *err)
{
    const struct judgement *judgement = work->judgement;
    const struct applies_spans *spans = judgement->applies;
    instant from = work->window->from_at;
    instant until = work->window->until_at < judgement->evidence->now ? work->window->until_at
                                                                      : judgement->evidence->now;

    if (!spans)
        return add_stretch(judgement, input, from, until, (struct cut){0}, out, err);

    bool cuts = !applies_within_days(judgement->limit);

    for (size_t i = 0; i < spans->count; i++) {
        const struct applies_span *span = &spans->items[i];

        if (span->answer == APPLIES_YES && span->until > from && span->from < until &&
            !add_stretch(judgement, input, span->from > from ? span->from : from,
                         span->until < until ? span->until : until,
                         (struct cut){cuts && span->from > from, cuts && span->until < until}, out,
                         err))
            return false;
    }

    return true;
}

static bool work_out_duration(const struct work *work, const struct line *line, bool most,
                              struct outside *out, struct err *err)
{
    const struct judgement *judgement = work->judgement;
    const struct limit *limit = judgement->limit;
    const struct exact *none = exact_from_int(judgement->mem, 0);
    struct bound beyond = figure_beyond(limit);
    struct duration_input input = {
        .readings = line->values ? line->values : duration_values(judgement, line, most),
        .count = line->count,
        .between = between[limit->standing_rule],
        .gap_us =
            limit->reading_stands_s > 0 ? (int64_t)limit->reading_stands_s * SECOND_US : INT64_MAX,
        .has_ceiling = beyond.has_ceiling,
        .ceiling = beyond.ceiling,
        .ceiling_reached_is_outside = beyond.ceiling_reached_is_outside,
        .has_floor = beyond.has_floor,
        .floor = beyond.floor,
        .floor_reached_is_outside = beyond.floor_reached_is_outside,
    };

    *out = (struct outside){.total_us = none,
                            .longest_us = none,
                            .runs = ARENA_NEW(judgement->mem, struct verdict_runs),
                            .gaps = ARENA_NEW(judgement->mem, struct buf)};
    *out->gaps = buf_new(judgement->mem);

    return add_stretches(work, &input, out, err);
}

static struct end duration_end(const struct judgement *judgement, const struct outside *outside)
{
    const struct exact *us = judgement->limit->statistic == STATISTIC_LONGEST_OUTSIDE
                                 ? outside->longest_us
                                 : outside->total_us;

    return (struct end){.known = true, .at = amount_from_exact(in_time_unit(judgement, us))};
}

static const char *gap_words(const struct judgement *judgement, const struct outside *outside)
{
    enum { MINUTES = 60 };
    int64_t minutes = outside->gap_us / (MINUTES * SECOND_US);

    return arena_printf(judgement->mem,
                        "for %d hours and %d minutes in %zu %s nothing was read: neither inside "
                        "nor outside (%s%s)",
                        (int)(minutes / MINUTES), (int)(minutes % MINUTES), outside->gap_count,
                        outside->gap_count == 1 ? "gap" : "gaps", outside->gaps->data,
                        outside->gap_count > GAPS_TOLD ? ", and more" : "");
}

static struct figure duration_of(struct work *work, const struct line *line)
{
    const struct judgement *judgement = work->judgement;
    struct figure figure = empty_figure(line);
    struct outside least;
    struct outside most;
    struct err err = ERR_INIT;

    if (!work_out_duration(work, line, true, &most, &err)) {
        figure.blocked = arena_strdup(judgement->mem, err.text);
        return figure;
    }
    least = most;
    if (!line->values && !work_out_duration(work, line, false, &least, &err)) {
        figure.blocked = arena_strdup(judgement->mem, err.text);
        return figure;
    }
    figure.range = (struct range){.low = duration_end(judgement, &least),
                                  .high = duration_end(judgement, &most)};
    most.runs->at_most = exact_compare(least.total_us, most.total_us) != 0;
    figure.outside = most.runs;
    if (least.gap_us == 0)
        return figure;
    if (judgement->limit->least_coverage.coefficient > 0)
        work->note = gap_words(judgement, &least);
    else if (!figure.blocked)
        figure.blocked = gap_words(judgement, &least);

    return figure;
}

static void work_out(struct work *work, int series)
{
    struct line line = over_time_line(work->judgement, work->window, series);
    bool inside = false;

    for (size_t i = 0; i < line.count; i++)
        inside = inside || (line.items[i].at >= work->window->from_at &&
                            line.items[i].at < work->window->until_at);
    if (!inside && !line.blocked)
        return;

    bool of_time = limit_of_time(work->judgement->limit);
    struct figure figure = of_time ? duration_of(work, &line) : change_of(work, &line, series);

    if (!of_time)
        hold_gaps(work, &line, &figure);
    keep(work, &figure);
}

struct figure over_time_figure(const struct judgement *judgement,
                               const struct figure_window *window, const char **note)
{
    struct work work = {.judgement = judgement, .window = window};
    bool *seen = ARENA_ARRAY(judgement->mem, bool, judgement->evidence->series_count + 1);
    bool any = false;

    for (size_t i = 0; i < judgement->count; i++) {
        int series = judgement->items[i].series;

        if (series == NO_INDEX || judgement->items[i].place != 0 || seen[series])
            continue;
        seen[series] = true;
        any = true;
        work_out(&work, series);
    }
    if (!any)
        work_out(&work, NO_INDEX);
    if (!work.has_figure) {
        const struct line none = {.blocked = "no result in the period"};

        work.figure = empty_figure(&none);
    }
    *note = work.note;

    return work.figure;
}
