#include "judge/limit_choices.h"

#include "base/buf.h"
#include "base/str.h"

/* Each gives "" where the limit says nothing of it. */
typedef const char *choice_words(struct arena *mem, const struct limit *limit);

static const char *joined(struct arena *mem, const char *before, const char *const *items,
                          size_t count)
{
    struct buf words = buf_new(mem);

    for (size_t i = 0; i < count; i++)
        buf_addf(&words, "%s%s", i == 0 ? before : " or ", items[i]);

    return words.data;
}

static const char *at_place(struct arena *mem, const char *station, const char *position)
{
    return arena_printf(mem, "%s%s%s", station, position ? ", " : "", position ? position : "");
}

/* --- what and whose -------------------------------------------------------------------------- */

static const char *subject(struct arena *mem, const struct limit *limit)
{
    return arena_printf(mem, "%s at %s", limit->parameter,
                        at_place(mem, limit->station, limit->position));
}

static const char *kinds(struct arena *mem, const struct limit *limit)
{
    static const struct {
        unsigned bit;
        const char *word;
    } rows[] = {{KIND_GRAB, "grab"},
                {KIND_COMPOSITE, "composite"},
                {KIND_PROBE, "probe"},
                {KIND_BY_HAND, "by hand"},
                {KIND_DERIVED, "derived"}};
    struct buf words = buf_new(mem);

    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (limit->kinds & rows[i].bit)
            buf_addf(&words, "%s%s", words.len ? ", " : "", rows[i].word);

    return words.data;
}

static const char *methods(struct arena *mem, const struct limit *limit)
{
    return joined(mem, "by the method ", limit->methods, limit->method_count);
}

static const char *instruments(struct arena *mem, const struct limit *limit)
{
    return joined(mem, "by ", limit->instruments, limit->instrument_count);
}

static const char *takers(struct arena *mem, const struct limit *limit)
{
    return joined(mem, "taken by ", limit->takers, limit->taker_count);
}

static const char *accredited(struct arena *mem, const struct limit *limit)
{
    (void)mem;

    return limit->accredited ? "only by a laboratory accredited for it" : "";
}

static const char *cause(struct arena *mem, const struct limit *limit)
{
    (void)mem;

    return limit->without_looking_for_cause ? "without samples that look for a cause" : "";
}

static const char *replicates(struct arena *mem, const struct limit *limit)
{
    (void)mem;

    return limit->replicates == ALIKE_AVERAGED ? "replicates averaged first" : "";
}

static const char *side_by_side(struct arena *mem, const struct limit *limit)
{
    (void)mem;

    return limit->side_by_side == ALIKE_AVERAGED ? "instruments side by side averaged first" : "";
}

/* --- other places ---------------------------------------------------------------------------- */

static const char *added(struct arena *mem, const struct limit *limit)
{
    struct buf words = buf_new(mem);

    for (size_t i = 0; i < limit->added_count; i++) {
        const struct limit_place *place = &limit->added[i];

        buf_addf(&words, "%s%s", i == 0 ? "added with " : " and ",
                 at_place(mem, place->station, place->position));
        if (limit->added_flows && limit->added_flows[i].station)
            buf_addf(&words, " (water by %s at %s)", limit->added_flows[i].parameter,
                     limit->added_flows[i].station);
    }

    return words.data;
}

static const char *against(struct arena *mem, const struct limit *limit)
{
    const struct limit_against *is = &limit->against;
    struct buf words = buf_new(mem);

    if (is->kind == AGAINST_NONE)
        return "";
    buf_addf(&words, "%s against %s, paired: %s", against_words[is->kind - 1],
             at_place(mem, is->place.station, is->place.position),
             is->pairing == PAIR_UNSET ? "not said" : pairing_words[is->pairing - 1]);
    if (is->residence_s > 0)
        buf_addf(&words, " of %s", limit_length_words(mem, is->residence_s));
    if (is->within_s > 0)
        buf_addf(&words, " within %s", limit_length_words(mem, is->within_s));
    if (is->flow.station)
        buf_addf(&words, ", its water by %s at %s", is->flow.parameter, is->flow.station);

    return words.data;
}

static const char *other_readings(struct arena *mem, const struct limit *limit)
{
    const struct limit_bound_by *by = &limit->bound_by;
    struct buf words = buf_new(mem);

    for (size_t i = 0; i < by->other_count; i++)
        buf_addf(&words, "%s%s at %s in %s", i == 0 ? "the bound by " : ", ",
                 by->others[i].parameter,
                 at_place(mem, by->others[i].station, by->others[i].position), by->others[i].unit);
    if (by->other_count > 0)
        buf_addf(&words, ", at most %s apart", limit_length_words(mem, by->within_s));

    return words.data;
}

/* --- when ------------------------------------------------------------------------------------ */

static const char *discharge(struct arena *mem, const struct limit *limit)
{
    (void)mem;

    return limit->only_while_discharging ? "only while discharging"
                                         : "also while the outlet is shut";
}

static const char *hours(struct arena *mem, const struct limit *limit)
{
    enum { HOUR = 60 };
    const struct limit_hours *is = &limit->hours;

    if (!is->set)
        return "";

    return arena_printf(mem, "hours %02d:%02d to %02d:%02d", is->from_minute / HOUR,
                        is->from_minute % HOUR, is->to_minute / HOUR, is->to_minute % HOUR);
}

static const char *tide(struct arena *mem, const struct limit *limit)
{
    const struct limit_tide *is = &limit->tide;

    if (is->of == TIDE_NONE)
        return "";

    return arena_printf(mem, "from %s before to %s after %s by the table %s",
                        limit_length_words(mem, is->before_s), limit_length_words(mem, is->after_s),
                        tide_words[is->of - 1], is->table);
}

static const char *season(struct arena *mem, const struct limit *limit)
{
    enum { MONTH = 100 };
    const struct limit_season *is = &limit->season;

    if (!is->set)
        return "";

    return arena_printf(mem, "each year from %02d-%02d to %02d-%02d", is->from / MONTH,
                        is->from % MONTH, is->to / MONTH, is->to % MONTH);
}

static const char *condition(struct arena *mem, const struct limit *limit)
{
    const struct limit_while *is = &limit->applies_while;
    const char *unit = is->other.unit ? is->other.unit : "";
    struct buf words = buf_new(mem);

    if (!is->other.station)
        return "";
    buf_addf(&words, "while %s at %s is", is->other.parameter,
             at_place(mem, is->other.station, is->other.position));
    if (is->has_above)
        buf_addf(&words, " above %s %s", decimal_text(mem, is->above), unit);
    if (is->has_above && is->has_below)
        buf_addf(&words, " and");
    if (is->has_below)
        buf_addf(&words, " below %s %s", decimal_text(mem, is->below), unit);
    buf_addf(&words, ", by a reading at most %s old", limit_length_words(mem, is->within_s));

    return words.data;
}

static const char *day_start(struct arena *mem, const struct limit *limit)
{
    if (limit->day_starts_hour == 0)
        return "";

    return arena_printf(mem, "days from %02d:00", limit->day_starts_hour);
}

static const char *spans(struct arena *mem, const struct limit *limit)
{
    if (limit->span_belongs == BELONGS_UNSET)
        return "";

    return arena_printf(mem, "across two days: %s", belongs_words[limit->span_belongs - 1]);
}

static const char *periods(struct arena *mem, const struct limit *limit)
{
    static const char *const days[] = {"Monday", "Tuesday",  "Wednesday", "Thursday",
                                       "Friday", "Saturday", "Sunday"};
    struct buf words = buf_new(mem);

    if (limit->period == PERIOD_WEEK)
        buf_addf(&words, "weeks from %s%s", days[limit->week_starts],
                 limit->period_belongs == BELONGS_UNSET ? "" : ", ");
    if (limit->period_belongs != BELONGS_UNSET)
        buf_addf(&words, "across two months: %s", belongs_words[limit->period_belongs - 1]);

    return words.data;
}

/* --- water, less-thans ----------------------------------------------------------------------- */

static const char *water(struct arena *mem, const struct limit *limit)
{
    if (!limit->flow.station)
        return "";

    return arena_printf(mem, "water by %s at %s", limit->flow.parameter, limit->flow.station);
}

static const char *load_gap(struct arena *mem, const struct limit *limit)
{
    if (!limit->flow.station || limit->daily != DAILY_LOAD ||
        limit->load_water == LOAD_MEAN_TIMES_VOLUME)
        return "";

    return arena_printf(mem, "days without a result: %s", load_gap_words[limit->load_gap]);
}

static const char *load_water(struct arena *mem, const struct limit *limit)
{
    if (limit->load_water == LOAD_WATER_OF_DAY)
        return "";

    return arena_printf(mem, "the load's water: %s", load_water_words[limit->load_water]);
}

static const char *factor(struct arena *mem, const struct limit *limit)
{
    if (!limit->load_factor)
        return "";

    return arena_printf(mem, "factor %s for %s and %s", limit->load_factor, limit->load_flow_unit,
                        limit->load_concentration_unit);
}

static const char *stands(struct arena *mem, const struct limit *limit)
{
    if (limit->reading_stands_s <= 0)
        return "";

    return arena_printf(mem, "a reading stands %s",
                        limit_length_words(mem, limit->reading_stands_s));
}

static const char *between_readings(struct arena *mem, const struct limit *limit)
{
    if (limit->standing_rule == STANDS_TO_NEXT && !limit_of_time(limit))
        return "";

    return arena_printf(mem, "between readings: %s", standing_rule_words[limit->standing_rule]);
}

/* Whether the rule has no part: it is for figures, and for not-detecteds if it needs no limit. */
static bool is_idle_rule(const struct limit *limit)
{
    return limit_of_single_values(limit) && limit->single_less_than == SINGLE_AS_ALLOWED &&
           limit->less_than != LESS_THAN_ZERO && limit->less_than != LESS_THAN_STATED;
}

static const char *less_thans(struct arena *mem, const struct limit *limit)
{
    if (limit->less_than == LESS_THAN_UNSET)
        return "";
    if (is_idle_rule(limit))
        return "less-thans: all they could be";
    if (limit->less_than == LESS_THAN_STATED)
        return arena_printf(mem, "less-thans: stated, %s",
                            decimal_text(mem, limit->less_than_stated));

    return arena_printf(mem, "less-thans: %s", less_than_words[limit->less_than]);
}

static const char *more_less_thans(struct arena *mem, const struct limit *limit)
{
    struct buf words = buf_new(mem);

    if (limit->has_geometric_rule)
        buf_addf(&words, ", in a geometric mean: %s", less_than_words[limit->less_than_geometric]);
    if (limit->between != BETWEEN_AS_REPORTED)
        buf_addf(&words, ", between the limits: %s", between_words[limit->between]);
    if (limit->single_less_than != SINGLE_AS_ALLOWED)
        buf_addf(&words, ", less-thans alone: %s", single_less_than_words[limit->single_less_than]);
    if (limit->beyond_by_rule)
        buf_addf(&words, ", less-thans beyond the bound by the rule too");
    if (limit->largest_if_all)
        buf_addf(&words, ", nothing but less-thans: less than the largest");

    return words.len ? words.data + 2 : "";
}

static const char *greater_thans(struct arena *mem, const struct limit *limit)
{
    if (limit->greater_than == GREATER_THAN_REFUSED)
        return "";
    if (limit->greater_than == GREATER_THAN_STATED)
        return arena_printf(mem, "greater-thans: stated, %s",
                            decimal_text(mem, limit->greater_than_stated));

    return arena_printf(mem, "greater-thans: %s", greater_than_words[limit->greater_than]);
}

static const char *as_written(struct arena *mem, const struct limit *limit)
{
    (void)mem;

    return limit->ph_mean_as_written ? "pH averaged as written" : "";
}

/* --- rounding, data, force ------------------------------------------------------------------- */

static const char *rounding(struct arena *mem, const struct limit *limit)
{
    if (limit->rounding.rule == ROUND_NONE)
        return "not rounded";

    return arena_printf(
        mem, "rounded half %s to %d %s", limit->rounding.rule == ROUND_HALF_UP ? "up" : "even",
        limit->rounding.digits, limit->rounding.to == ROUND_TO_DECIMALS ? "decimals" : "figures");
}

static const char *least_samples(struct arena *mem, const struct limit *limit)
{
    if (limit->least_samples <= 0)
        return "";

    return arena_printf(mem, "at least %d samples", limit->least_samples);
}

static const char *least_coverage(struct arena *mem, const struct limit *limit)
{
    if (limit->least_coverage.coefficient <= 0)
        return "";

    return arena_printf(mem, "covers at least %s %%", decimal_text(mem, limit->least_coverage));
}

static const char *change(struct arena *mem, const struct limit *limit)
{
    if (limit->change == CHANGE_UNSET)
        return "";

    return arena_printf(mem, "across a change: %s", change_words[limit->change]);
}

static const char *force(struct arena *mem, const struct limit *limit)
{
    const char *from = day_text(mem, limit->in_force_from);

    if (limit->in_force_to == DAY_NONE)
        return arena_printf(mem, "in force from %s", from);

    return arena_printf(mem, "in force from %s to %s", from, day_text(mem, limit->in_force_to));
}

/* In which lists beside that of all. */
enum { MORE = 1 /* limit_more_words() */, BESIDE = 2 /* limit_beside_words() */ };

static const struct {
    choice_words *words;
    unsigned lists;
} choices[] = {
    {subject, 0},
    {kinds, 0},
    {methods, 0},
    {instruments, BESIDE},
    {takers, BESIDE},
    {accredited, BESIDE},
    {cause, BESIDE},
    {replicates, MORE | BESIDE},
    {side_by_side, MORE | BESIDE},
    {discharge, 0},
    {added, BESIDE},
    {against, MORE | BESIDE},
    {other_readings, BESIDE},
    {hours, BESIDE},
    {tide, BESIDE},
    {season, BESIDE},
    {condition, BESIDE},
    {day_start, 0},
    {spans, MORE | BESIDE},
    {periods, MORE | BESIDE},
    {water, 0},
    {load_gap, MORE},
    {load_water, MORE | BESIDE},
    {factor, 0},
    {stands, MORE | BESIDE},
    {between_readings, MORE | BESIDE},
    {less_thans, 0},
    {more_less_thans, MORE | BESIDE},
    {greater_thans, 0},
    {as_written, MORE | BESIDE},
    {rounding, 0},
    {least_samples, 0},
    {least_coverage, 0},
    {change, MORE | BESIDE},
    {force, 0},
};

/* Those of a list; 0: all. */
static char *join_choices(struct arena *mem, const struct limit *limit, unsigned list)
{
    struct buf text = buf_new(mem);

    for (size_t i = 0; i < ARRAY_LEN(choices); i++) {
        bool is_of = list == 0 || (choices[i].lists & list) != 0;
        const char *words = is_of ? choices[i].words(mem, limit) : "";

        if (*words)
            buf_addf(&text, "%s%s", text.len ? ", " : "", words);
    }

    return text.data;
}

char *limit_choices_words(struct arena *mem, const struct limit *limit)
{
    return join_choices(mem, limit, 0);
}

char *limit_more_words(struct arena *mem, const struct limit *limit)
{
    return join_choices(mem, limit, MORE);
}

char *limit_beside_words(struct arena *mem, const struct limit *limit)
{
    return join_choices(mem, limit, BESIDE);
}
