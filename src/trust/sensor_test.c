#include "trust/sensor_test.h"

#include <math.h>
#include <string.h>

const char *const sensor_test_words[SENSOR_TESTS] = {"gap",   "gross range",    "climatology",
                                                     "spike", "rate of change", "flat line"};

/* What decimals lose as doubles must not turn a value at its bound into one beyond it. */
static bool is_above(double measure, double bound, double size)
{
    return measure > bound + 1e-12 * (fabs(size) + fabs(bound));
}

static unsigned char steps_flag(const struct sensor_steps *steps, double measure, double size)
{
    if (is_above(measure, steps->fail, size))
        return FLAG_FAIL;

    return is_above(measure, steps->suspect, size) ? FLAG_SUSPECT : FLAG_PASS;
}

static bool is_outside(const struct sensor_range *range, double value)
{
    return range->given &&
           (is_above(value, range->high, value) || is_above(range->low, value, value));
}

static unsigned char range_flag(const struct sensor_rules *rules, double value)
{
    if (!rules->sensor.given && !rules->user.given)
        return FLAG_NOT_EVALUATED;
    if (is_outside(&rules->sensor, value))
        return FLAG_FAIL;

    return is_outside(&rules->user, value) ? FLAG_SUSPECT : FLAG_PASS;
}

/* --- seasons --------------------------------------------------------------------------------- */

static bool season_holds(const struct sensor_season *season, int day)
{
    return season->from <= season->to ? season->from <= day && day <= season->to
                                      : season->from <= day || day <= season->to;
}

/* What is expected of the day that `at` lies in: what all its seasons allow. */
static void day_settle(struct sensor_tester *tester, instant at)
{
    const struct sensor_rules *rules = tester->rules;
    day_number day = zone_day(rules->zone, at);
    struct civil civil = civil_from_day(day);

    tester->day_from = zone_day_start(rules->zone, day);
    tester->day_until = zone_day_start(rules->zone, day + 1);
    tester->expected = (struct sensor_range){false, -(double)INFINITY, (double)INFINITY};
    for (size_t i = 0; i < rules->season_count; i++) {
        const struct sensor_season *season = &rules->seasons[i];

        if (!season_holds(season, civil.month * 100 + civil.day))
            continue;
        tester->expected.given = true;
        tester->expected.low = fmax(tester->expected.low, season->expected.low);
        tester->expected.high = fmin(tester->expected.high, season->expected.high);
    }
}

static unsigned char season_flag(struct sensor_tester *tester, instant at, double value)
{
    if (tester->rules->season_count == 0)
        return FLAG_NOT_EVALUATED;
    if (at < tester->day_from || at >= tester->day_until)
        day_settle(tester, at);
    if (!tester->expected.given)
        return FLAG_NOT_EVALUATED;

    return is_outside(&tester->expected, value) ? FLAG_SUSPECT : FLAG_PASS;
}

/* --- flat line ------------------------------------------------------------------------------- */

static struct sensor_extreme *extreme_at(struct sensor_extremes *extremes, unsigned place)
{
    return &extremes->items[(extremes->first + place) % SENSOR_FLAT_STEPS];
}

static struct sensor_extreme *extreme_newest(struct sensor_extremes *extremes)
{
    return extremes->count > 0 ? extreme_at(extremes, extremes->count - 1) : NULL;
}

static void extremes_drop_first(struct sensor_extremes *extremes)
{
    extremes->first = (extremes->first + 1) % SENSOR_FLAT_STEPS;
    extremes->count--;
}

/* The two oldest become one: the more extreme value, for as long as the later of them holds. */
static void extremes_narrow(struct sensor_extremes *extremes)
{
    double value = extreme_at(extremes, 0)->value;

    extremes_drop_first(extremes);
    extreme_at(extremes, 0)->value = value;
}

/* `sign` 1 keeps the highest, -1 the lowest: those that a later value outdoes go. */
static void extremes_add(struct sensor_extremes *extremes, double sign, double value,
                         int64_t number, instant at)
{
    struct sensor_extreme *newest = extreme_newest(extremes);

    if (newest && newest->number == number - 1)
        newest->next_at = at;
    while (newest && sign * newest->value <= sign * value) {
        extremes->count--;
        newest = extreme_newest(extremes);
    }
    if (extremes->count == SENSOR_FLAT_STEPS)
        extremes_narrow(extremes);
    *extreme_at(extremes, extremes->count) = (struct sensor_extreme){value, number, INSTANT_NONE};
    extremes->count++;
}

/* The run is what lies behind the older of the two that are too far apart. */
static void run_shorten(struct sensor_tester *tester)
{
    struct sensor_extreme *high = extreme_at(&tester->highest, 0);
    struct sensor_extreme *low = extreme_at(&tester->lowest, 0);
    struct sensor_extremes *older = high->number < low->number ? &tester->highest : &tester->lowest;
    const struct sensor_extreme gone = *extreme_at(older, 0);

    tester->run_first = gone.number + 1;
    tester->run_from = gone.next_at;
    extremes_drop_first(older);
}

static void run_begin(struct sensor_tester *tester, instant at)
{
    tester->values = 0;
    tester->run_first = 0;
    tester->run_from = at;
    tester->highest.count = 0;
    tester->lowest.count = 0;
}

static bool run_lasts(const struct sensor_tester *tester, instant at, int readings, int64_t us)
{
    return (readings > 0 && tester->values - tester->run_first >= readings) ||
           (us > 0 && at - tester->run_from >= us);
}

static unsigned char flat_flag(struct sensor_tester *tester, instant at, double value)
{
    const struct sensor_flat *flat = &tester->rules->flat;

    if (!flat->given)
        return FLAG_NOT_EVALUATED;
    extremes_add(&tester->highest, 1.0, value, tester->values, at);
    extremes_add(&tester->lowest, -1.0, value, tester->values, at);
    tester->values++;
    while (is_above(extreme_at(&tester->highest, 0)->value - extreme_at(&tester->lowest, 0)->value,
                    flat->within, value))
        run_shorten(tester);
    if (run_lasts(tester, at, flat->fail_readings, flat->fail_us))
        return FLAG_FAIL;
    if (run_lasts(tester, at, flat->suspect_readings, flat->suspect_us))
        return FLAG_SUSPECT;

    int least = flat->suspect_readings > 0 ? flat->suspect_readings : flat->fail_readings;

    return tester->values < least ? FLAG_NOT_EVALUATED : FLAG_PASS;
}

/* --- neighbours ------------------------------------------------------------------------------ */

static bool is_gap(const struct sensor_tester *tester, instant at)
{
    return tester->rules->gap_us > 0 && tester->begun &&
           at - tester->last.at > tester->rules->gap_us;
}

/* Whether the value that came last is next to one at `at`, in time and with a number. */
static bool has_neighbour(const struct sensor_tester *tester, instant at)
{
    return tester->begun && !isnan(tester->last.value) && !is_gap(tester, at);
}

static unsigned char gap_flag(const struct sensor_tester *tester, instant at)
{
    if (tester->rules->gap_us == 0 || !tester->begun)
        return FLAG_NOT_EVALUATED;

    return is_gap(tester, at) ? FLAG_FAIL : FLAG_PASS;
}

static unsigned char rate_flag(const struct sensor_tester *tester, instant at, double value)
{
    const struct sensor_steps *rate = &tester->rules->rate;
    double seconds = (double)(at - tester->last.at) / (double)SECOND_US;

    if (!rate->given || !has_neighbour(tester, at) || seconds <= 0.0)
        return FLAG_NOT_EVALUATED;

    return steps_flag(rate, fabs(value - tester->last.value) / seconds, value / seconds);
}

/* Of the value that came last, now that the one after it is here. */
static unsigned char spike_flag(const struct sensor_tester *tester, instant at, double value)
{
    const struct sensor_steps *spike = &tester->rules->spike;

    if (isnan(tester->last.value))
        return FLAG_MISSING;
    if (!spike->given || !tester->has_before || isnan(value) || is_gap(tester, at))
        return FLAG_NOT_EVALUATED;

    return steps_flag(spike, fabs(tester->last.value - (tester->before + value) / 2.0),
                      tester->last.value);
}

/* --- a series -------------------------------------------------------------------------------- */

int64_t sensor_rules_reach_us(const struct sensor_rules *rules)
{
    const struct sensor_flat *flat = &rules->flat;
    int readings =
        flat->fail_readings > flat->suspect_readings ? flat->fail_readings : flat->suspect_readings;
    int64_t longest = flat->fail_us > flat->suspect_us ? flat->fail_us : flat->suspect_us;
    bool by_readings = rules->spike.given || rules->rate.given || (flat->given && readings > 0);

    if (by_readings && rules->gap_us == 0)
        return INT64_MAX;
    if (flat->given && readings > 0 && readings * rules->gap_us > longest)
        longest = readings * rules->gap_us;

    return longest + 3 * rules->gap_us;
}

void sensor_tester_begin(struct sensor_tester *tester, const struct sensor_rules *rules)
{
    memset(tester, 0, sizeof(*tester));
    tester->rules = rules;
    tester->day_from = INSTANT_NONE;
    tester->day_until = INSTANT_NONE;
}

static void value_test(struct sensor_tester *tester, struct sensor_flags *now)
{
    if (is_gap(tester, now->at) || !tester->begun)
        run_begin(tester, now->at);
    if (isnan(now->value)) {
        memset(now->flags, FLAG_MISSING, sizeof(now->flags));
        return;
    }
    if (tester->values == 0)
        tester->run_from = now->at;
    now->flags[SENSOR_GAP] = gap_flag(tester, now->at);
    now->flags[SENSOR_RANGE] = range_flag(tester->rules, now->value);
    now->flags[SENSOR_SEASON] = season_flag(tester, now->at, now->value);
    now->flags[SENSOR_SPIKE] = FLAG_NOT_EVALUATED;
    now->flags[SENSOR_RATE] = rate_flag(tester, now->at, now->value);
    now->flags[SENSOR_FLAT] = flat_flag(tester, now->at, now->value);
}

bool sensor_tester_feed(struct sensor_tester *tester, instant at, double value,
                        struct sensor_flags *done)
{
    struct sensor_flags now = {.at = at, .value = value};
    bool had_one = tester->begun;

    value_test(tester, &now);
    if (had_one) {
        tester->last.flags[SENSOR_SPIKE] = spike_flag(tester, at, value);
        *done = tester->last;
    }
    tester->has_before = has_neighbour(tester, at);
    tester->before = tester->last.value;
    tester->last = now;
    tester->begun = true;

    return had_one;
}

bool sensor_tester_end(struct sensor_tester *tester, struct sensor_flags *done)
{
    if (!tester->begun)
        return false;
    *done = tester->last;

    return true;
}

enum trust_flag sensor_flags_worst(const struct sensor_flags *flags)
{
    static const enum trust_flag order[] = {FLAG_FAIL, FLAG_SUSPECT, FLAG_MISSING, FLAG_PASS};

    for (size_t i = 0; i < sizeof(order) / sizeof(order[0]); i++) {
        if (memchr(flags->flags, (int)order[i], sizeof(flags->flags)))
            return order[i];
    }

    return FLAG_NOT_EVALUATED;
}
