/* A limit in words for people. */
#include <limits.h>

#include "base/buf.h"
#include "base/instant.h"
#include "base/str.h"
#include "judge/limit.h"

static const char *const day_figure_words[] = {
    [DAILY_EVERY] = "reading",
    [DAILY_MEAN] = "daily mean",
    [DAILY_MINIMUM] = "lowest reading of a day",
    [DAILY_MAXIMUM] = "highest reading of a day",
    [DAILY_TOTAL] = "daily total",
    [DAILY_LOAD] = "daily load",
    [DAILY_FLOW_WEIGHTED_MEAN] = "daily flow-weighted mean",
};

static const char *const day_figures_words[] = {
    [DAILY_EVERY] = "readings",
    [DAILY_MEAN] = "daily means",
    [DAILY_MINIMUM] = "each day's lowest reading",
    [DAILY_MAXIMUM] = "each day's highest reading",
    [DAILY_TOTAL] = "daily totals",
    [DAILY_LOAD] = "daily loads",
    [DAILY_FLOW_WEIGHTED_MEAN] = "daily flow-weighted means",
};

/* Of periods that have one; others stand behind the figure. */
static const char *const period_adjectives[] = {
    [PERIOD_DAY] = "daily",         [PERIOD_WEEK] = "weekly", [PERIOD_MONTH] = "monthly",
    [PERIOD_QUARTER] = "quarterly", [PERIOD_YEAR] = "yearly", [PERIOD_DISCHARGE_RUN] = NULL,
};

/* --- the figure ------------------------------------------------------------------------------ */

/* "above 43", "below 5.0 or from 9.0 on". */
static const char *beyond_words(struct arena *mem, const struct limit_beyond *beyond)
{
    struct buf words = buf_new(mem);

    if (beyond->has_below)
        buf_addf(&words, beyond->below_reached_counts ? "%s or less" : "below %s",
                 decimal_text(mem, beyond->below));
    if (beyond->has_below && beyond->has_above)
        buf_addf(&words, " or ");
    if (beyond->has_above)
        buf_addf(&words, beyond->above_reached_counts ? "%s or more" : "above %s",
                 decimal_text(mem, beyond->above));

    return words.data;
}

/* "90th" */
static const char *ordinal(struct arena *mem, struct decimal number)
{
    static const char *const ends[] = {"th", "st", "nd", "rd"};
    int64_t last = number.coefficient % 10;
    bool teen = number.coefficient / 10 % 10 == 1;
    size_t end = number.scale == 0 && !teen && last <= 3 ? (size_t)last : 0;

    return arena_printf(mem, "%s%s", decimal_text(mem, number), ends[end]);
}

static const char *percentile_words(struct arena *mem, const struct limit *limit)
{
    const char *rule = limit->settings.percentile_rule;

    return arena_printf(mem, "%s percentile (%s)", ordinal(mem, limit->settings.percent),
                        rule ? rule : "no rule");
}

static const char *log_normal_words(struct arena *mem, const struct limit *limit)
{
    return arena_printf(
        mem, "log-normal percentile (z %s, %s deviation)", decimal_text(mem, limit->settings.z),
        limit->settings.deviation == DEVIATION_POPULATION ? "population" : "sample");
}

static const char *direction_words(const struct limit *limit)
{
    static const char *const words[] = {
        [CHANGE_EITHER] = "change", [CHANGE_RISE] = "rise", [CHANGE_FALL] = "fall"};

    return words[limit->settings.change_direction];
}

const char *limit_statistic_phrase(struct arena *mem, const struct limit *limit)
{
    static const char *const counts[] = {
        [STATISTIC_COUNT_BEYOND] = "number",
        [STATISTIC_SHARE_BEYOND] = "share",
        [STATISTIC_TIME_OUTSIDE] = "time",
        [STATISTIC_LONGEST_OUTSIDE] = "longest time",
    };

    if (limit_counts_beyond(limit))
        return arena_printf(mem, "%s %s", counts[limit->statistic],
                            beyond_words(mem, &limit->settings.beyond));
    if (limit->statistic == STATISTIC_PERCENTILE)
        return percentile_words(mem, limit);
    if (limit->statistic == STATISTIC_LOG_NORMAL_PERCENTILE)
        return log_normal_words(mem, limit);
    if (limit->statistic == STATISTIC_CHANGE)
        return arena_printf(mem, "greatest %s within %s", direction_words(limit),
                            limit_length_words(mem, limit->settings.change_span_s));
    if (limit->statistic == STATISTIC_RATE)
        return arena_printf(mem, "fastest %s", direction_words(limit));

    return limit_statistic_words[limit->statistic];
}

static const char *figure_words(struct arena *mem, const struct limit *limit)
{
    const char *adjective =
        limit->period < ARRAY_LEN(period_adjectives) ? period_adjectives[limit->period] : NULL;
    struct buf words = buf_new(mem);

    if (limit->period == PERIOD_EACH_SAMPLE)
        return "each sample";
    if (limit->statistic == STATISTIC_VALUE && limit->daily != DAILY_EVERY)
        return arena_printf(mem, "%s%s", limit->period == PERIOD_DAY ? "" : "each ",
                            day_figure_words[limit->daily]);
    if (limit->statistic == STATISTIC_VALUE)
        return "every reading";
    if (adjective)
        buf_addf(&words, "%s ", adjective);
    if (limit->daily == DAILY_LOAD && limit->load_water == LOAD_MEAN_TIMES_VOLUME)
        buf_addf(&words, "mean of daily means times the volume");
    else
        buf_addf(&words, "%s", limit_statistic_phrase(mem, limit));
    if (limit->daily != DAILY_EVERY && limit->period != PERIOD_DAY &&
        limit->load_water != LOAD_MEAN_TIMES_VOLUME)
        buf_addf(&words, " of %s", day_figures_words[limit->daily]);
    if (limit->period == PERIOD_LICENCE_YEAR)
        buf_addf(&words, " of a licence year");
    if (limit->period == PERIOD_RUNNING_DAYS)
        buf_addf(&words, " of any %d days running", limit->running_days);
    if (limit->period == PERIOD_LAST_SAMPLES)
        buf_addf(&words, " of the last %d %s", limit->last_samples,
                 limit->daily == DAILY_EVERY ? "samples" : "of them");
    if (limit->period == PERIOD_DISCHARGE_RUN)
        buf_addf(&words, " of a discharge run");

    return words.data;
}

char *limit_figure_words(struct arena *mem, const struct limit *limit)
{
    static const char *const against[] = {
        [AGAINST_DIFFERENCE] = "less",
        [AGAINST_REMOVAL] = "percent removed since",
        [AGAINST_CREDIT] = "with intake credit for",
    };
    struct buf words = buf_new(mem);

    buf_addf(&words, "%s", figure_words(mem, limit));
    for (size_t i = 0; i < limit->added_count; i++)
        buf_addf(&words, "%s%s", i == 0 ? " (added with " : ", ", limit->added[i].station);
    if (limit->added_count > 0)
        buf_addf(&words, ")");
    if (limit->against.kind != AGAINST_NONE)
        buf_addf(&words, " (%s %s)", against[limit->against.kind], limit->against.place.station);

    return words.data;
}

/* --- the bound ------------------------------------------------------------------------------- */

/* " mg/L", and nothing for pH, whose numbers stand by themselves. */
static const char *unit_after(struct arena *mem, const char *unit)
{
    if (str_empty(unit) || str_equal(unit, "pH"))
        return "";

    return arena_printf(mem, " %s", unit);
}

static char *number_words(struct arena *mem, const struct limit *limit)
{
    const struct limit_bound *bound = &limit->bound;
    struct decimal last = bound->has_ceiling ? bound->ceiling : bound->floor;
    const char *unit = unit_after(mem, limit_figure_unit_of(mem, limit, decimal_text(mem, last)));
    const char *over = bound->ceiling_reached_is_outside ? "below" : "not above";
    const char *under = bound->floor_reached_is_outside ? "above" : "not below";

    if (!bound->has_floor)
        return arena_printf(mem, "%s %s%s", over, decimal_text(mem, bound->ceiling), unit);
    if (!bound->has_ceiling)
        return arena_printf(mem, "%s %s%s", under, decimal_text(mem, bound->floor), unit);
    if (!bound->ceiling_reached_is_outside && !bound->floor_reached_is_outside)
        return arena_printf(mem, "from %s to %s%s", decimal_text(mem, bound->floor),
                            decimal_text(mem, bound->ceiling), unit);

    return arena_printf(mem, "%s %s and %s %s%s", under, decimal_text(mem, bound->floor), over,
                        decimal_text(mem, bound->ceiling), unit);
}

static const char *other_words(const struct limit_bound_by *by)
{
    return by->other_count > 0 && by->others[0].parameter ? by->others[0].parameter : "";
}

/* "40 up to 10, 30 up to 20, then 20" */
static const char *step_words(struct arena *mem, const struct limit_bound_by *by)
{
    struct buf words = buf_new(mem);

    for (size_t i = 0; i < by->step_count; i++) {
        const struct bound_step *step = &by->steps[i];

        buf_addf(&words, "%s%s%s", i > 0 ? ", " : "", step->last ? "then " : "",
                 decimal_text(mem, step->bound));
        if (!step->last)
            buf_addf(&words, " up to %s", decimal_text(mem, step->up_to));
    }

    return words.data;
}

/* Of a bound that goes by another reading. */
static const char *kept_side_words(const struct limit_bound_by *by)
{
    if (by->is_floor)
        return by->reached_is_outside ? "above" : "not below";

    return by->reached_is_outside ? "below" : "not above";
}

static char *by_other_words(struct arena *mem, const struct limit *limit)
{
    const struct limit_bound_by *by = &limit->bound_by;
    const char *unit = unit_after(mem, limit->unit);
    const char *side = kept_side_words(by);

    if (by->kind == BOUND_STATE)
        return arena_printf(mem, "must %sbe '%s'", by->state_is_outside ? "not " : "", by->state);
    if (by->kind == BOUND_TABLE)
        return arena_printf(mem, "%s the steps over %s (%s)%s", side, other_words(by),
                            step_words(mem, by), unit);
    if (by->kind == BOUND_LINEAR)
        return arena_printf(mem, "%s %s + %s x %s%s", side, decimal_text(mem, by->offset),
                            decimal_text(mem, by->factor), other_words(by), unit);
    if (by->kind == BOUND_UNIONISED)
        return arena_printf(mem, "%s what holds %s%s un-ionised (%s)", side,
                            decimal_text(mem, by->stated), unit, by->ammonia_form);
    if (by->kind == BOUND_SATURATION)
        return arena_printf(mem, "%s %s %% of saturation", side, decimal_text(mem, by->stated));

    return number_words(mem, limit);
}

char *limit_bound_words(struct arena *mem, const struct limit *limit)
{
    return by_other_words(mem, limit);
}

char *limit_own_bound_words(struct arena *mem, const struct limit *limit, const char *number)
{
    return arena_printf(mem, "%s %s%s then (%s)", kept_side_words(&limit->bound_by), number,
                        unit_after(mem, limit->unit), by_other_words(mem, limit));
}

/* --- both ------------------------------------------------------------------------------------ */

/* "4 to 7", "16 or more". */
static const char *samples_words(struct arena *mem, const struct allowance_row *row)
{
    if (row->to == INT_MAX)
        return arena_printf(mem, "%d or more", row->from);
    if (row->from == row->to)
        return arena_printf(mem, "%d", row->from);

    return arena_printf(mem, "%d to %d", row->from, row->to);
}

/* What the bound of an allowance is counted over: "in each month", "in any 7 days running". */
static const char *counted_in_words(struct arena *mem, const struct limit *limit)
{
    static const char *const each[] = {
        [PERIOD_EACH_SAMPLE] = "in each sample",
        [PERIOD_DAY] = "in each day",
        [PERIOD_MONTH] = "in each month",
        [PERIOD_WEEK] = "in each week",
        [PERIOD_QUARTER] = "in each quarter",
        [PERIOD_YEAR] = "in each year",
        [PERIOD_LICENCE_YEAR] = "in each licence year",
        [PERIOD_DISCHARGE_RUN] = "in each discharge run",
    };
    enum { MONTH = 100 };
    int month = limit->anniversary / MONTH;

    if (limit->period == PERIOD_RUNNING_DAYS)
        return arena_printf(mem, "in any %d days running", limit->running_days);
    if (limit->period == PERIOD_LAST_SAMPLES)
        return arena_printf(mem, "in the last %d %s", limit->last_samples,
                            limit->daily == DAILY_EVERY ? "samples" : "of them");
    if (limit->period == PERIOD_LICENCE_YEAR && limit->anniversary > 0)
        return arena_printf(mem, "%s from %d %s", each[limit->period], limit->anniversary % MONTH,
                            month_name(month));

    return each[limit->period];
}

char *limit_allowance_words(struct arena *mem, const struct limit *limit)
{
    const struct limit_allowance *allowance = &limit->allowance;
    struct buf words = buf_new(mem);

    if (allowance->kind == ALLOWANCE_NONE)
        return arena_strdup(mem, "");
    if (allowance->kind == ALLOWANCE_SHARE)
        buf_addf(&words, "%s %%", decimal_text(mem, allowance->percent));
    if (allowance->kind == ALLOWANCE_COUNT)
        buf_addf(&words, "%d", allowance->count);
    if (allowance->kind == ALLOWANCE_COUNT && allowance->of > 0)
        buf_addf(&words, " of %d", allowance->of);
    for (size_t i = 0; i < allowance->row_count; i++)
        buf_addf(&words, "%s%d of %s", i > 0 ? ", " : "", allowance->rows[i].allowed,
                 samples_words(mem, &allowance->rows[i]));

    return arena_printf(mem, "%s may lie beyond", words.data);
}

char *limit_words(struct arena *mem, const struct limit *limit)
{
    const char *allowance = limit_allowance_words(mem, limit);
    struct buf words = buf_new(mem);

    buf_addf(&words, "%s %s", limit_figure_words(mem, limit), limit_bound_words(mem, limit));
    if (*allowance)
        buf_addf(&words, ", of which %s %s", allowance, counted_in_words(mem, limit));
    if (limit->across_of > 0)
        buf_addf(&words, ", outside only if %d of %d periods running are beyond it",
                 limit->across_outside, limit->across_of);

    return words.data;
}
