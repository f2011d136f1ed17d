#include "judge/discharge.h"

#include "base/str.h"
#include "judge/gather.h"
#include "judge/outlet_rows.h"
#include "judge/volume.h"
#include "judge/water_pick.h"

enum says { SAYS_NOTHING, SAYS_FLOWING, SAYS_NONE };

/* What one source says of a day, and in which words. */
struct witness {
    enum says says;
    const char *flowing;
    const char *none;
};

enum { WITNESS_RECORD, WITNESS_PERSON, WITNESS_METER, WITNESSES };

static bool usable(const struct evidence_reading *reading)
{
    return !reading->left_out && reading->counts;
}

static bool says_open(const struct evidence_reading *reading)
{
    return str_equal_nocase(reading->unit, "open");
}

static bool says_shut(const struct evidence_reading *reading)
{
    return str_equal_nocase(reading->unit, "shut") && !reading->doubt;
}

/* Whether a state told at `told` still holds at `at`. */
static bool holds(const struct evidence *evidence, instant told, instant at)
{
    return evidence->state_holds_s == 0 ||
           at - told <= (int64_t)evidence->state_holds_s * SECOND_US;
}

/* The newest usable reading at or before `at`; NULL: none. */
static const struct evidence_reading *state_at(const struct evidence_series *series, instant at)
{
    for (size_t i = gather_first_from(series, at + 1); i > 0; i--)
        if (usable(&series->readings[i - 1]))
            return &series->readings[i - 1];

    return NULL;
}

/* What an outlet's record says of the time from..until. */
static enum says record_says(const struct evidence *evidence, const struct evidence_series *series,
                             instant from, instant until)
{
    const struct evidence_reading *last = state_at(series, from);
    bool shut = last && says_shut(last);

    if (last && says_open(last) && holds(evidence, last->at, from))
        return SAYS_FLOWING;
    for (size_t i = gather_first_from(series, from + 1);
         i < series->count && series->readings[i].at < until; i++) {
        const struct evidence_reading *next = &series->readings[i];

        if (!usable(next))
            continue;
        if (says_open(next))
            return SAYS_FLOWING;
        shut = shut && says_shut(next) && holds(evidence, last->at, next->at);
        last = next;
    }

    return shut && holds(evidence, last->at, until) ? SAYS_NONE : SAYS_NOTHING;
}

/* Of several records of one kind: one that was open is enough, and all that speak must agree. */
static enum says records_say(const struct evidence *evidence, int outlet, bool by_hand,
                             instant from, instant until)
{
    const struct evidence_series *named = &evidence->series[outlet];
    enum says says = SAYS_NOTHING;

    for (size_t i = 0; i < evidence->series_count; i++) {
        const struct evidence_series *series = &evidence->series[i];

        if (!str_equal(series->station, named->station) ||
            !str_equal(series->parameter, named->parameter) ||
            ((series->kind & KIND_BY_HAND) != 0) != by_hand)
            continue;

        enum says one = record_says(evidence, series, from, until);

        if (one == SAYS_FLOWING)
            return SAYS_FLOWING;
        if (one == SAYS_NONE)
            says = SAYS_NONE;
    }

    return says;
}

static bool is_zero(const struct exact *volume)
{
    return volume && exact_sign(volume) == 0;
}

static bool is_more(const struct exact *volume)
{
    return volume && exact_sign(volume) > 0;
}

/* Whether a flow was read in every hour of the day, and soundly: doubt shows no standstill. */
static bool read_every_hour(const struct evidence_series *series, instant from, instant until)
{
    for (instant hour = from; hour < until; hour += HOUR_US) {
        size_t at = gather_first_from(series, hour);

        while (at < series->count && (!usable(&series->readings[at]) || series->readings[at].doubt))
            at++;
        if (at == series->count || series->readings[at].at >= hour + HOUR_US)
            return false;
    }

    return true;
}

/* A volume with what is in doubt can show that it flowed, never that it did not. */
static enum says volume_says(const struct evidence *evidence, int counter,
                             const struct judged_day *day, const struct day_volume *sound,
                             const struct day_volume *all)
{
    const struct evidence_series *series = &evidence->series[counter];
    const struct parameter *known = parameter_find(evidence->parameters, series->parameter);
    bool is_meter = known && known->kind == PARAMETER_COUNTER;

    if ((is_more(sound->m3) && !sound->filled) || (is_more(all->m3) && !all->filled))
        return SAYS_FLOWING;
    if (!day->over || !is_zero(sound->m3))
        return SAYS_NOTHING;

    return is_meter || read_every_hour(series, day->start, day->end) ? SAYS_NONE : SAYS_NOTHING;
}

static struct discharge_day weigh(struct arena *mem, const struct judged_day *day,
                                  const struct witness *witnesses)
{
    const char *none = NULL;
    const char *flowing = NULL;
    struct discharge_day out = {.day = day->day, .state = DISCHARGE_UNKNOWN};

    for (size_t i = 0; i < WITNESSES; i++) {
        if (witnesses[i].says == SAYS_NONE && !none)
            none = witnesses[i].none;
        if (witnesses[i].says == SAYS_FLOWING && !flowing)
            flowing = witnesses[i].flowing;
    }
    if (none && flowing) {
        out.state = DISCHARGE_DISAGREES;
        out.because = arena_printf(mem, "%s, but %s", none, flowing);
    } else if (none || flowing) {
        out.state = none ? DISCHARGE_NONE : DISCHARGE_YES;
        out.because = none ? none : flowing;
    } else {
        out.because = "nothing is known";
    }

    return out;
}

/* Whether a record was open at some time of from..until that no row set aside can have been shut.
 */
static bool surely_open(const struct evidence *evidence, const struct evidence_series *series,
                        const struct outlet_rows *rows, instant from, instant until)
{
    const struct evidence_reading *last = state_at(series, from);

    if (last && says_open(last) && holds(evidence, last->at, from) &&
        !outlet_rows_may_turn(rows, from, false))
        return true;
    for (size_t i = gather_first_from(series, from + 1);
         i < series->count && series->readings[i].at < until; i++)
        if (usable(&series->readings[i]) && says_open(&series->readings[i]))
            return true;

    return false;
}

/* Whether the day would be without discharge if rows set aside said that the outlet was shut. */
static bool may_be_without(const struct evidence *evidence, const struct outlet_rows *rows,
                           instant from, instant until)
{
    if (!outlet_rows_reach(rows, from, until, false))
        return false;
    for (size_t i = 0; evidence->outlet_series >= 0 && i < evidence->series_count; i++) {
        const struct evidence_series *named = &evidence->series[evidence->outlet_series];
        const struct evidence_series *series = &evidence->series[i];

        if (str_equal(series->station, named->station) &&
            str_equal(series->parameter, named->parameter) &&
            surely_open(evidence, series, rows, from, until))
            return false;
    }

    return true;
}

/* What rows set aside of the outlet's record leave of a day. */
static void hold_rows(struct arena *mem, const struct evidence *evidence,
                      const struct outlet_rows *rows, const struct judged_day *day,
                      const struct witness *meter, struct discharge_day *out)
{
    instant until = day->over ? day->end : evidence->now;

    if (!day->begun)
        return;
    if (out->state == DISCHARGE_NONE && outlet_rows_reach(rows, day->start, until, true)) {
        out->state = DISCHARGE_UNKNOWN;
        out->doubt =
            arena_printf(mem, "%s, but a row set aside may say that it was open", out->because);
        out->because = out->doubt;
    } else if (out->state != DISCHARGE_NONE && meter->says != SAYS_FLOWING &&
               may_be_without(evidence, rows, day->start, until)) {
        out->doubt = "a row set aside may say that the outlet was shut all day";
    }
}

/* The days, and their volumes where there is a meter. */
static struct judgement days_and_volumes(struct arena *mem, const struct evidence *evidence,
                                         int counter, day_number from, day_number to)
{
    static const struct limit whole = {.in_force_from = DAY_NONE, .in_force_to = DAY_NONE};
    struct judgement judgement = {.mem = mem, .limit = &whole, .evidence = evidence};

    gather_days(&judgement, from, to, true);
    if (counter >= 0 && judgement.day_count > 0) {
        const struct evidence_series *series = &evidence->series[counter];
        const struct limit_place place = {series->station, NULL};

        judgement.places = ARENA_NEW(mem, struct judged_place);
        judgement.place_count = 1;
        struct water water = water_gather(&judgement, &place, series->parameter);
        const enum water_version versions[] = {WATER_SOUND, WATER_ALL};

        for (size_t i = 0; i < ARRAY_LEN(versions); i++) {
            struct water picked = water_pick(&judgement, &water, versions[i], true);

            judgement.places->volumes[versions[i]] =
                volume_of_days(&judgement, &picked, versions[i]);
        }
    }

    return judgement;
}

struct discharge_day *judge_discharge_days(struct arena *mem, const struct evidence *evidence,
                                           int outlet, int counter, day_number from, day_number to)
{
    struct judgement judgement = days_and_volumes(mem, evidence, counter, from, to);
    struct discharge_day *days = ARENA_ARRAY(mem, struct discharge_day, judgement.day_count);
    struct evidence at_outlet = *evidence;

    at_outlet.outlet_series = outlet;

    struct outlet_rows rows = outlet_rows_of(mem, &at_outlet);

    for (size_t i = 0; i < judgement.day_count; i++) {
        const struct judged_day *day = &judgement.days[i];
        instant until = day->over ? day->end : evidence->now;
        struct witness witnesses[WITNESSES] = {
            [WITNESS_RECORD] = {SAYS_NOTHING, "the outlet was open", "outlet shut all day"},
            [WITNESS_PERSON] = {SAYS_NOTHING, "a person stated that it was open",
                                "a person stated that it was shut"},
            [WITNESS_METER] = {SAYS_NOTHING, "the meter moved", "the meter did not move"},
        };

        if (outlet >= 0 && day->begun) {
            witnesses[WITNESS_RECORD].says =
                records_say(evidence, outlet, false, day->start, until);
            witnesses[WITNESS_PERSON].says = records_say(evidence, outlet, true, day->start, until);
        }
        if (counter >= 0 && day->begun)
            witnesses[WITNESS_METER].says =
                volume_says(evidence, counter, day, &judgement.places->volumes[WATER_SOUND][i],
                            &judgement.places->volumes[WATER_ALL][i]);
        days[i] = weigh(mem, day, witnesses);
        hold_rows(mem, &at_outlet, &rows, day, &witnesses[WITNESS_METER], &days[i]);
    }

    return days;
}
