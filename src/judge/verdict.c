#include "judge/verdict.h"

#include <string.h>

#include "base/buf.h"
#include "base/str.h"
#include "judge/across.h"
#include "judge/bound.h"
#include "judge/bound_by.h"
#include "judge/period.h"

static const char *const standing_names[] = {
    [STANDING_WITHIN] = "within",
    [STANDING_OUTSIDE] = "outside",
    [STANDING_NOT_ASSESSABLE] = "not assessable",
    [STANDING_NOTHING_DUE] = "nothing due",
};

const char *standing_name(enum standing standing)
{
    return standing_names[standing];
}

bool standing_from_name(const char *name, enum standing *out)
{
    for (size_t i = 0; i < ARRAY_LEN(standing_names); i++)
        if (str_equal(standing_names[i], name)) {
            *out = (enum standing)i;
            return true;
        }

    return false;
}

/* The bound that other readings made; a word of a state as it is. */
static const char *own_bound_shown(struct arena *mem, const struct verdict *verdict)
{
    struct decimal bound;

    if (verdict->limit->bound_by.kind == BOUND_STATE || !decimal_parse(verdict->bound_text, &bound))
        return verdict->bound_text;

    return bound_by_shown(mem, verdict->limit, exact_from_decimal(mem, bound), verdict->compared);
}

/* What was read breaks "not seen": it need not be "seen", where the parameter has more words. */
static bool is_another_word(const struct verdict *verdict)
{
    const struct limit_bound_by *by = &verdict->limit->bound_by;

    return by->kind == BOUND_STATE && !by->state_is_outside && verdict->compared_text &&
           strncmp(by->state, "not ", strlen("not ")) == 0;
}

char *verdict_standing_words(struct arena *mem, const struct verdict *verdict)
{
    const char *so_far = verdict->so_far ? "so far " : "";
    const char *name = standing_name(verdict->standing);

    if (verdict->standing != STANDING_OUTSIDE || verdict->side == SIDE_NONE)
        return arena_printf(mem, "%s%s", so_far, name);
    if (is_another_word(verdict))
        return arena_printf(mem, "%s%s: %s", so_far, name, verdict->compared_text);

    return arena_printf(
        mem, "%s%s: %s", so_far, name,
        verdict->bound_text && verdict->limit->bound_by.kind != BOUND_NUMBER
            ? bound_beyond_words(mem, verdict->limit, verdict->side, own_bound_shown(mem, verdict))
            : bound_side_words(mem, verdict->limit, verdict->side));
}

/* What the statistic is over, one and several. */
static const char *const counted_words[][2] = {
    [DAILY_EVERY] = {"sample", "samples"},
    [DAILY_MEAN] = {"daily mean", "daily means"},
    [DAILY_MINIMUM] = {"daily lowest reading", "daily lowest readings"},
    [DAILY_MAXIMUM] = {"daily highest reading", "daily highest readings"},
    [DAILY_TOTAL] = {"daily total", "daily totals"},
    [DAILY_LOAD] = {"daily load", "daily loads"},
    [DAILY_FLOW_WEIGHTED_MEAN] = {"daily flow-weighted mean", "daily flow-weighted means"},
};

char *verdict_samples_words(struct arena *mem, const struct verdict *verdict)
{
    const struct limit *limit = verdict->limit;
    bool several = verdict->samples != 1;
    const char *word = counted_words[limit->daily][several];

    if (limit->daily == DAILY_EVERY && limit->kinds != 0 &&
        (limit->kinds & ~(unsigned)(KIND_PROBE | KIND_DERIVED)) == 0)
        word = several ? "readings" : "reading";

    return arena_printf(mem, "%zu %s", verdict->samples, word);
}

static const char *together_words(struct arena *mem, size_t days)
{
    return days == 0 ? "" : arena_printf(mem, " and the total of %zu more days", days);
}

static const char *timeless_words(struct arena *mem, size_t rows)
{
    return rows == 0 ? ""
                     : arena_printf(mem, " and %zu %s set aside that may be of any day", rows,
                                    rows == 1 ? "row" : "rows");
}

/* What a figure is called by its period. */
static const char *const period_names[] = {
    [PERIOD_EACH_SAMPLE] = "",
    [PERIOD_DAY] = "daily ",
    [PERIOD_MONTH] = "monthly ",
    [PERIOD_WEEK] = "",
    [PERIOD_QUARTER] = "quarterly ",
    [PERIOD_YEAR] = "yearly ",
    [PERIOD_LICENCE_YEAR] = "licence year's ",
    [PERIOD_RUNNING_DAYS] = "",
    [PERIOD_LAST_SAMPLES] = "",
    [PERIOD_DISCHARGE_RUN] = "",
};

char *verdict_window_words(struct arena *mem, const struct limit *limit,
                           const struct verdict_window *window)
{
    switch (limit->period) {
    case PERIOD_WEEK:
        return arena_printf(mem, "the week from %s", day_words(mem, window->from));
    case PERIOD_RUNNING_DAYS:
        return arena_printf(mem, "the %d days to %s", limit->running_days,
                            day_words(mem, window->to));
    case PERIOD_LAST_SAMPLES:
        if (window->too_few)
            return arena_printf(mem, "all that there were to %s", day_words(mem, window->to));
        return arena_printf(mem, "the last %d to %s", limit->last_samples,
                            day_words(mem, window->to));
    case PERIOD_DISCHARGE_RUN:
        return arena_printf(mem, "the run from %s", day_words(mem, window->from));
    case PERIOD_DAY:
        return day_words(mem, window->from);
    case PERIOD_EACH_SAMPLE:
    case PERIOD_MONTH:
    case PERIOD_QUARTER:
    case PERIOD_YEAR:
    case PERIOD_LICENCE_YEAR:
    default:
        return arena_printf(mem, "%s to %s", day_words(mem, window->from),
                            day_words(mem, window->to));
    }
}

/* Which window the figure is of, and how many there are. */
static void add_window(struct buf *words, struct arena *mem, const struct verdict *verdict)
{
    const struct limit *limit = verdict->limit;
    size_t beyond = 0;
    size_t judged = 0;

    if (verdict->window_count == 0 || period_is_span(limit) || limit->period == PERIOD_DAY)
        return;
    buf_addf(words, " in %s",
             verdict_window_words(mem, limit, &verdict->windows[verdict->worst_window]));
    for (size_t i = 0; i < verdict->window_count; i++) {
        beyond += verdict->windows[i].standing == STANDING_OUTSIDE;
        judged += verdict->windows[i].standing == STANDING_OUTSIDE ||
                  verdict->windows[i].standing == STANDING_WITHIN;
    }
    if (verdict->window_count > 1 && verdict->standing == STANDING_NOT_ASSESSABLE &&
        verdict->windows[verdict->worst_window].standing == STANDING_NOT_ASSESSABLE)
        buf_add_text(words, ", which could not be judged");
    if (verdict->window_count > 1 && beyond > 0)
        buf_addf(words, "; %zu of %zu windows", beyond, verdict->window_count);
    else if (verdict->window_count > 1)
        buf_addf(words, "; the nearest of %zu windows", verdict->window_count);
    if (verdict->window_count > 1 && verdict->standing == STANDING_NOT_ASSESSABLE &&
        judged < verdict->window_count)
        buf_addf(words, ", of which %zu could be judged", judged);
}

/* "3 of 10 samples, with 1 allowed" */
static void add_allowance(struct buf *words, struct arena *mem, const struct verdict *verdict)
{
    const struct verdict_window *window =
        verdict->window_count > 0 ? &verdict->windows[verdict->worst_window] : NULL;

    buf_addf(words, "%zu of %s beyond it", window ? window->beyond : 0,
             verdict_samples_words(mem, verdict));
    if (window && window->allowed != SIZE_MAX)
        buf_addf(words, ", with %zu allowed", window->allowed);
}

static void add_values(struct buf *words, struct arena *mem, const struct verdict *verdict)
{
    char *samples = verdict_samples_words(mem, verdict);

    if (verdict->beyond > 0)
        buf_addf(words, "%zu of %s", verdict->beyond, samples);
    else if (verdict->samples == 1)
        buf_add_text(words, samples);
    else
        buf_addf(words, "the nearest of %s", samples);
}

char *verdict_figure_words(struct arena *mem, const struct verdict *verdict)
{
    const struct limit *limit = verdict->limit;
    struct buf words = buf_new(mem);

    if (limit->allowance.kind != ALLOWANCE_NONE)
        add_allowance(&words, mem, verdict);
    else if (limit->statistic == STATISTIC_VALUE)
        add_values(&words, mem, verdict);
    else if (limit->daily == DAILY_LOAD && limit->load_water == LOAD_MEAN_TIMES_VOLUME)
        buf_addf(&words, "%smean of %zu daily mean%s times the volume", period_names[limit->period],
                 verdict->samples, verdict->samples == 1 ? "" : "s");
    else
        buf_addf(&words, "%s%s of %s%s%s", period_names[limit->period],
                 limit_statistic_phrase(mem, limit), verdict_samples_words(mem, verdict),
                 together_words(mem, verdict->together_days),
                 timeless_words(mem, verdict->timeless));
    if (limit->statistic != STATISTIC_VALUE || limit->allowance.kind != ALLOWANCE_NONE)
        add_window(&words, mem, verdict);

    return words.data;
}

static const char *unit_after(struct arena *mem, const char *unit)
{
    return str_empty(unit) || str_equal(unit, "pH") ? "" : arena_printf(mem, " %s", unit);
}

/* Of the figure; a state that was read has none. */
static const char *figure_unit(struct arena *mem, const struct verdict *verdict)
{
    const struct limit *limit = verdict->limit;

    if (limit->bound_by.kind == BOUND_STATE)
        return "";

    return unit_after(mem, limit_figure_unit_of(mem, limit, verdict->compared_shown));
}

/* Whether the figure holds rows set aside, so that a later verdict without them is no surprise. */
static void add_asides(struct buf *words, const struct verdict *verdict)
{
    size_t count = verdict->set_aside - verdict->not_given;
    const char *rows = count == 1 ? "row" : "rows";

    if (verdict->not_given > 0)
        buf_addf(words, ", %zu derived %s not given", verdict->not_given,
                 verdict->not_given == 1 ? "value" : "values");
    if (verdict->asides_counted == 0 && count > 0)
        buf_addf(words, ", %zu %s set aside", count, rows);
    else if (verdict->asides_counted == count && count > 0)
        buf_addf(words, ", counting %zu %s set aside", count, rows);
    else if (count > 0)
        buf_addf(words, ", counting %zu of %zu %s set aside", verdict->asides_counted, count, rows);
}

/* Drawn, and not in the figure: nobody should have to look for why. */
static void add_undischarged(struct buf *words, const struct verdict *verdict)
{
    if (verdict->undischarged > 0)
        buf_addf(words, ", %zu %s without discharge not counted", verdict->undischarged,
                 verdict->undischarged == 1 ? "result" : "results");
}

/* What the figure made of samples in which nothing was detected, with no limit told. */
static const char *not_detected_words(struct arena *mem, const struct verdict *verdict)
{
    const struct limit *limit = verdict->limit;

    if (verdict->not_detected > 0)
        return arena_printf(mem, ", %zu not detected and counted as %s", verdict->not_detected,
                            limit->less_than == LESS_THAN_STATED
                                ? decimal_text(mem, limit->less_than_stated)
                                : "0");
    if (verdict->not_told > 0 && verdict->standing == STANDING_OUTSIDE)
        return arena_printf(mem, ", %zu not-detected with no limit told, left out",
                            verdict->not_told);

    return "";
}

const char *verdict_doubt_words(const struct verdict *verdict)
{
    return verdict->standing == STANDING_OUTSIDE && verdict->rests_on_doubt
               ? ", only with evidence in doubt"
               : "";
}

char *verdict_words(struct arena *mem, const struct verdict *verdict)
{
    struct buf words = buf_new(mem);

    buf_add_text(&words, verdict_standing_words(mem, verdict));
    if (verdict->across_count > 0 && verdict->standing == STANDING_OUTSIDE)
        buf_addf(&words, " in %s", across_words(mem, verdict->limit, verdict->across_beyond));
    if (verdict->reason)
        buf_addf(&words, ": %s", verdict->reason);
    if (verdict->standing == STANDING_WITHIN && verdict->limit->beside != BESIDE_NONE)
        buf_add_text(
            &words,
            ", by the form before a change and by the changed one, which nobody has confirmed");
    add_asides(&words, verdict);
    add_undischarged(&words, verdict);
    buf_add_text(&words, verdict_doubt_words(verdict));
    if (verdict->compared_text)
        buf_addf(&words, " (%s%s, %s%s, %s)", verdict->compared_shown, figure_unit(mem, verdict),
                 verdict_figure_words(mem, verdict), not_detected_words(mem, verdict),
                 limit_bound_words(mem, verdict->limit));

    return words.data;
}

const struct verdict_pair *verdict_pair_of(const struct verdict *verdict,
                                           const struct verdict_item *item)
{
    size_t index = (size_t)(item - verdict->items);

    for (size_t i = 0; i < verdict->pair_count; i++)
        if (verdict->pairs[i].item == index)
            return &verdict->pairs[i];

    return NULL;
}

const struct exact *verdict_pair_number(const struct verdict *verdict,
                                        const struct verdict_pair *pair)
{
    const struct exact *least = pair->result.least;
    const struct exact *most = pair->result.most;

    if (!least || !most)
        return least ? least : most;

    return verdict->limit->bound.has_ceiling ? least : most;
}
