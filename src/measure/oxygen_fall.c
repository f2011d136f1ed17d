#include "measure/oxygen_fall.h"

#include <math.h>

#include "measure/input_range.h"

#define S_PER_H 3600.0

const char oxygen_fall_caution[] =
    "This is a record, not an alarm and not a switch. Keep an independent low-oxygen alarm. "
    "The people in charge of the pump decide.";

const char *oxygen_fall_standing_name(enum oxygen_fall_standing standing)
{
    static const char *const names[] = {
        [OXYGEN_FALL_TIME_LEFT] = "time left",
        [OXYGEN_FALL_NOT_WITHIN] =
            "not within the longest stop this tank has been measured through",
        [OXYGEN_FALL_NOT_KNOWN] = "not known",
    };

    return names[standing];
}

static bool reading_holds(const struct oxygen_fall_reading *readings, size_t i, struct err *err)
{
    if (!input_not_negative("time since the stop", readings[i].after_s, "s", err) ||
        !input_not_negative("oxygen", readings[i].mg_per_l, "mg/L", err))
        return false;
    if (i > 0 && readings[i].after_s <= readings[i - 1].after_s)
        return err_set(err, ERR_INVALID,
                       "time since the stop is %.6g s: it must be above the %.6g s before it",
                       readings[i].after_s, readings[i - 1].after_s);

    return true;
}

/* The rate of the first half of a stop, where it has readings enough. */
static void fit_first_half(const struct line_point *points, size_t count, struct oxygen_fall *fall)
{
    struct err few = ERR_INIT; /* too few is an answer here */
    struct line_fit fit;
    size_t half = 0;

    while (half < count && points[half].x <= points[count - 1].x / 2)
        half++;
    fall->early_known = line_fit(points, half, &fit, &few);
    if (fall->early_known)
        fall->early_mg_per_l_h = -fit.slope;
}

bool oxygen_fall_fit(struct arena *mem, const struct oxygen_fall_reading *readings, size_t count,
                     struct oxygen_fall *out, struct err *err)
{
    struct line_point *points = ARENA_ARRAY(mem, struct line_point, count);
    struct line_fit fit;
    double lowest = HUGE_VAL;

    for (size_t i = 0; i < count; i++) {
        if (!reading_holds(readings, i, err))
            return err_wrap(err, "reading %zu of %zu", i + 1, count);
        points[i] = (struct line_point){readings[i].after_s / S_PER_H, readings[i].mg_per_l};
        lowest = fmin(lowest, readings[i].mg_per_l);
    }
    if (!line_fit(points, count, &fit, err))
        return err_wrap(err, "oxygen of a pump stop");

    *out = (struct oxygen_fall){
        .fall_mg_per_l_h = -fit.slope,
        .fall_se_mg_per_l_h = fit.slope_se,
        .slow_mg_per_l_h = -fit.slope_high,
        .fast_mg_per_l_h = -fit.slope_low,
        .start_mg_per_l = fit.intercept,
        .start_se_mg_per_l = fit.intercept_se,
        .lowest_mg_per_l = lowest,
        .length_s = readings[count - 1].after_s,
        .readings = count,
    };
    fit_first_half(points, count, out);

    return true;
}

double oxygen_fall_rate_to_act_on(const struct oxygen_fall *fall)
{
    if (!fall->early_known)
        return fall->fast_mg_per_l_h;

    return fmax(fall->fast_mg_per_l_h, fall->early_mg_per_l_h);
}

double oxygen_fall_margin(const struct oxygen_fall *fall, double floor_mg_per_l)
{
    return fall->lowest_mg_per_l - floor_mg_per_l;
}

/* From the lowest to the highest that was measured. */
struct span {
    double lowest;
    double highest;
};

/* What the stops that count say together. */
struct record {
    size_t counted;
    size_t fastest; /* index of the stop */
    struct oxygen_fall fall;
    struct span temperature;
    struct span stock;
    struct span feed;
    bool as_hard;     /* one of them was as hard as now ... */
    double longest_s; /* ... and the longest of those */
    bool still_water; /* any at all: for the reason when none counts */
    bool young;
    bool conditions;
};

static void widen(struct span *span, double value, bool first)
{
    span->lowest = first ? value : fmin(span->lowest, value);
    span->highest = first ? value : fmax(span->highest, value);
}

static bool conditions_known(const struct oxygen_fall_conditions *c)
{
    return c->temperature_known && c->stock_known && c->feed_known && isfinite(c->temperature_c) &&
           isfinite(c->stock) && isfinite(c->feed);
}

/* Whether a stop was as hard on the tank as now is, less the farm's tolerances. */
static bool as_hard_as_now(const struct oxygen_fall_conditions *stop,
                           const struct oxygen_fall_question *question)
{
    const struct oxygen_fall_conditions *now = &question->conditions;
    const struct oxygen_fall_bounds *bounds = &question->bounds;

    return now->temperature_c <= stop->temperature_c + bounds->temperature_c &&
           now->stock <= stop->stock * (1 + bounds->stock_share) &&
           now->feed <= stop->feed * (1 + bounds->feed_share);
}

static void take_stop(struct record *record, const struct oxygen_fall_stop *stop, size_t index,
                      const struct oxygen_fall *fall, const struct oxygen_fall_question *question)
{
    bool first = record->counted++ == 0;

    widen(&record->temperature, stop->conditions.temperature_c, first);
    widen(&record->stock, stop->conditions.stock, first);
    widen(&record->feed, stop->conditions.feed, first);

    if (first || oxygen_fall_rate_to_act_on(fall) > oxygen_fall_rate_to_act_on(&record->fall)) {
        record->fall = *fall;
        record->fastest = index;
    }
    if (as_hard_as_now(&stop->conditions, question)) {
        record->as_hard = true;
        record->longest_s = fmax(record->longest_s, fall->length_s);
    }
}

/* Look at one stop, and take it where it counts. */
static void look_at_stop(struct arena *mem, struct record *record,
                         const struct oxygen_fall_stop *stop, size_t index,
                         const struct oxygen_fall_question *question)
{
    struct err unfit = ERR_INIT; /* a stop that cannot be fitted does not count, and that is all */
    struct oxygen_fall fall;

    if (!stop->probe_reads_still_water)
        return;
    record->still_water = true;
    if (!(stop->age_s >= 0 && stop->age_s <= question->bounds.oldest_s))
        return;
    record->young = true;
    if (!conditions_known(&stop->conditions))
        return;
    record->conditions = true;
    if (stop->count < question->bounds.readings_min ||
        !oxygen_fall_fit(mem, stop->readings, stop->count, &fall, &unfit))
        return;

    take_stop(record, stop, index, &fall, question);
}

static bool share_within(const struct span *span, double share, double now)
{
    return now >= span->lowest * (1 - share) && now <= span->highest * (1 + share);
}

/* Why nothing is known, or NULL. */
static const char *why_not_known(const struct record *record, size_t count,
                                 const struct oxygen_fall_question *question)
{
    const struct oxygen_fall_conditions *now = &question->conditions;
    const struct oxygen_fall_bounds *bounds = &question->bounds;

    if (count == 0)
        return "no stop of this tank's pump is on record";
    if (!record->still_water)
        return "the probe is not on record as reading in still water";
    if (!record->young)
        return "every stop on record is older than the farm's own age";
    if (!record->conditions)
        return "temperature, stock or feed of the stops on record is not known";
    if (record->counted == 0)
        return "no stop on record has enough good readings";
    if (!conditions_known(now))
        return "temperature, stock or feed is not known now";
    if (now->temperature_c < record->temperature.lowest - bounds->temperature_c ||
        now->temperature_c > record->temperature.highest + bounds->temperature_c)
        return "the temperature is outside what was measured";
    if (!share_within(&record->stock, bounds->stock_share, now->stock))
        return "the stock is outside what was measured";
    if (!share_within(&record->feed, bounds->feed_share, now->feed))
        return "the feed is outside what was measured";
    if (!record->as_hard)
        return "no one stop was measured as warm, as full and as fed as now";

    return NULL;
}

static bool question_holds(const struct oxygen_fall_question *q, struct err *err)
{
    if (q->bounds.readings_min < LINE_FIT_POINTS_MIN)
        return err_set(err, ERR_INVALID, "least number of readings is %zu: it must be %d or more",
                       q->bounds.readings_min, LINE_FIT_POINTS_MIN);

    return input_not_negative("oxygen now", q->now_mg_per_l, "mg/L", err) &&
           input_not_negative("time since the stop", q->off_for_s, "s", err) &&
           input_not_negative("floor", q->floor_mg_per_l, "mg/L", err) &&
           input_not_negative("tolerance of temperature", q->bounds.temperature_c, "degC", err) &&
           input_within("tolerance of stock", q->bounds.stock_share, 0, 1, "(a share)", err) &&
           input_within("tolerance of feed", q->bounds.feed_share, 0, 1, "(a share)", err) &&
           input_positive("oldest age", q->bounds.oldest_s, "s", err);
}

/* Seconds from now to the floor at a rate; infinite where nothing falls. */
static double seconds_left(const struct oxygen_fall_question *question, double fall_mg_per_l_h)
{
    double above = question->now_mg_per_l - question->floor_mg_per_l;

    return fall_mg_per_l_h > 0 ? above / fall_mg_per_l_h * S_PER_H : HUGE_VAL;
}

static void answer_from(const struct record *record, const struct oxygen_fall_question *question,
                        struct oxygen_fall_answer *answer)
{
    double act_on = seconds_left(question, oxygen_fall_rate_to_act_on(&record->fall));
    double middle = seconds_left(question, record->fall.fall_mg_per_l_h);

    answer->longest_s = record->longest_s;
    answer->stop = record->fastest;
    answer->fall = record->fall;
    answer->standing = OXYGEN_FALL_NOT_WITHIN;
    if (question->off_for_s + act_on > record->longest_s)
        return;

    answer->standing = OXYGEN_FALL_TIME_LEFT;
    answer->act_on_s = act_on;
    answer->middle_known = question->off_for_s + middle <= record->longest_s;
    if (answer->middle_known)
        answer->middle_s = middle;
}

bool oxygen_fall_time_left(struct arena *mem, const struct oxygen_fall_stop *stops, size_t count,
                           const struct oxygen_fall_question *question,
                           struct oxygen_fall_answer *out, struct err *err)
{
    struct record record = {0};
    struct oxygen_fall_answer answer = {.standing = OXYGEN_FALL_NOT_KNOWN};

    if (!question_holds(question, err))
        return false;

    for (size_t i = 0; i < count; i++)
        look_at_stop(mem, &record, &stops[i], i, question);

    answer.stops_counted = record.counted;
    answer.why = why_not_known(&record, count, question);
    if (question->now_mg_per_l <= question->floor_mg_per_l) {
        answer.standing = OXYGEN_FALL_TIME_LEFT; /* there already: needs no record */
        answer.why = NULL;
        answer.at_floor = answer.middle_known = true;
    } else if (answer.why == NULL)
        answer_from(&record, question, &answer);
    *out = answer;

    return true;
}
