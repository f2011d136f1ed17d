#include "judge/verdict.h"

#include "base/buf.h"
#include "base/str.h"
#include "judge/bound.h"

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

char *verdict_standing_words(struct arena *mem, const struct verdict *verdict)
{
    const char *so_far = verdict->so_far ? "so far " : "";
    const char *name = standing_name(verdict->standing);

    if (verdict->standing != STANDING_OUTSIDE || verdict->side == SIDE_NONE)
        return arena_printf(mem, "%s%s", so_far, name);

    return arena_printf(mem, "%s%s: %s", so_far, name,
                        bound_side_words(mem, verdict->limit, verdict->side));
}

/* What the statistic is over, one and several. */
static const char *const counted_words[][2] = {
    [DAILY_EVERY] = {"sample", "samples"},
    [DAILY_MEAN] = {"daily mean", "daily means"},
    [DAILY_MINIMUM] = {"daily lowest reading", "daily lowest readings"},
    [DAILY_MAXIMUM] = {"daily highest reading", "daily highest readings"},
    [DAILY_TOTAL] = {"daily total", "daily totals"},
    [DAILY_LOAD] = {"daily load", "daily loads"},
};

char *verdict_samples_words(struct arena *mem, const struct verdict *verdict)
{
    const struct limit *limit = verdict->limit;
    bool several = verdict->samples != 1;
    const char *word = counted_words[limit->daily][several];

    if (limit->daily == DAILY_EVERY && limit->kinds == KIND_PROBE)
        word = several ? "readings" : "reading";

    return arena_printf(mem, "%zu %s", verdict->samples, word);
}

static const char *together_words(struct arena *mem, size_t days)
{
    return days == 0 ? "" : arena_printf(mem, " and the total of %zu more days", days);
}

char *verdict_figure_words(struct arena *mem, const struct verdict *verdict)
{
    const struct limit *limit = verdict->limit;
    char *samples = verdict_samples_words(mem, verdict);

    if (limit->statistic != STATISTIC_VALUE) {
        const char *period = limit->period == PERIOD_MONTH ? "monthly" : "daily";

        return arena_printf(mem, "%s %s of %s%s", period, limit_statistic_words[limit->statistic],
                            samples, together_words(mem, verdict->together_days));
    }
    if (verdict->beyond > 0)
        return arena_printf(mem, "%zu of %s", verdict->beyond, samples);

    return verdict->samples == 1 ? samples : arena_printf(mem, "the nearest of %s", samples);
}

static const char *unit_after(struct arena *mem, const char *unit)
{
    return str_empty(unit) || str_equal(unit, "pH") ? "" : arena_printf(mem, " %s", unit);
}

/* Whether the figure holds rows set aside, so that a later verdict without them is no surprise. */
static void add_asides(struct buf *words, const struct verdict *verdict)
{
    const char *rows = verdict->set_aside == 1 ? "row" : "rows";

    if (verdict->asides_counted == 0 && verdict->set_aside > 0)
        buf_addf(words, ", %zu %s set aside", verdict->set_aside, rows);
    else if (verdict->asides_counted == verdict->set_aside && verdict->set_aside > 0)
        buf_addf(words, ", counting %zu %s set aside", verdict->set_aside, rows);
    else if (verdict->set_aside > 0)
        buf_addf(words, ", counting %zu of %zu %s set aside", verdict->asides_counted,
                 verdict->set_aside, rows);
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
        return arena_printf(mem, " without %zu not detected", verdict->not_told);

    return "";
}

char *verdict_words(struct arena *mem, const struct verdict *verdict)
{
    struct buf words = buf_new(mem);

    buf_add_text(&words, verdict_standing_words(mem, verdict));
    if (verdict->reason)
        buf_addf(&words, ": %s", verdict->reason);
    add_asides(&words, verdict);
    if (verdict->standing == STANDING_OUTSIDE && verdict->rests_on_doubt)
        buf_add_text(&words, ", only with evidence in doubt");
    if (verdict->compared_text)
        buf_addf(&words, " (%s%s, %s%s, %s)", verdict->compared_text,
                 unit_after(mem, verdict->limit->unit), verdict_figure_words(mem, verdict),
                 not_detected_words(mem, verdict), limit_bound_words(mem, verdict->limit));

    return words.data;
}
