#include "farmfile/sensor_part.h"

#include <math.h>

/* Thresholds in the parameter's own unit, and in words in the farm's. */
struct settling {
    struct arena *mem;
    struct unit_conversion conversion;
    const char *unit;
    struct farm_sensor_test *test;
};

static double amount_of(const struct settling *settling, struct decimal number)
{
    return unit_apply_double(&settling->conversion, decimal_double(number));
}

static double step_of(const struct settling *settling, const struct farm_number *number, double per)
{
    return number->given
               ? decimal_double(number->number) * fabs(settling->conversion.scale_double) / per
               : (double)INFINITY;
}

static struct sensor_range range_of(const struct settling *settling,
                                    const struct sensor_read_range *range)
{
    return (struct sensor_range){
        .given = range->low.given || range->high.given,
        .low = range->low.given ? amount_of(settling, range->low.number) : -(double)INFINITY,
        .high = range->high.given ? amount_of(settling, range->high.number) : (double)INFINITY,
    };
}

static struct sensor_steps steps_of(const struct settling *settling,
                                    const struct sensor_read_steps *steps)
{
    double per = steps->per_s > 0 ? (double)steps->per_s : 1.0;

    return (struct sensor_steps){.given = steps->suspect.given || steps->fail.given,
                                 .suspect = step_of(settling, &steps->suspect, per),
                                 .fail = step_of(settling, &steps->fail, per)};
}

/* "0 to 20 mg/L", "0 mg/L or more". */
static char *range_words(const struct settling *settling, const struct sensor_read_range *range)
{
    struct arena *mem = settling->mem;
    const char *low = decimal_text(mem, range->low.number);
    const char *high = decimal_text(mem, range->high.number);

    if (range->low.given && range->high.given)
        return arena_printf(mem, "%s to %s %s", low, high, settling->unit);

    return range->low.given ? arena_printf(mem, "%s %s or more", low, settling->unit)
                            : arena_printf(mem, "%s %s or less", high, settling->unit);
}

static char *length_words(struct arena *mem, int seconds)
{
    static const struct {
        int seconds;
        const char *word;
    } lengths[] = {{86400, "day"}, {3600, "hour"}, {60, "minute"}, {1, "second"}};
    size_t i = 0;

    while (seconds % lengths[i].seconds != 0)
        i++;

    int count = seconds / lengths[i].seconds;

    return arena_printf(mem, "%d %s%s", count, lengths[i].word, count == 1 ? "" : "s");
}

static void say(const struct settling *settling, enum sensor_test test, enum trust_flag flag,
                const char *words)
{
    settling->test->words[test][flag == FLAG_FAIL] = words;
}

static void settle_seasons(const struct settling *settling, const struct sensor_read_test *read)
{
    struct arena *mem = settling->mem;
    struct sensor_season *seasons = ARENA_ARRAY(mem, struct sensor_season, read->season_count);
    struct buf words = buf_new(mem);

    for (size_t i = 0; i < read->season_count; i++) {
        const struct sensor_read_season *season = &read->seasons[i];

        seasons[i] =
            (struct sensor_season){season->from, season->to, range_of(settling, &season->expected)};
        buf_addf(&words, "%s%s from %02d-%02d to %02d-%02d", i ? "; " : "",
                 range_words(settling, &season->expected), season->from / 100, season->from % 100,
                 season->to / 100, season->to % 100);
    }
    settling->test->rules.seasons = seasons;
    settling->test->rules.season_count = read->season_count;
    say(settling, SENSOR_SEASON, FLAG_SUSPECT,
        arena_printf(mem, "not within what is expected: %s", words.data));
}

static void settle_steps(const struct settling *settling, enum sensor_test test,
                         const struct sensor_read_steps *steps)
{
    const struct {
        enum trust_flag flag;
        const struct farm_number *number;
    } both[] = {{FLAG_SUSPECT, &steps->suspect}, {FLAG_FAIL, &steps->fail}};

    for (size_t i = 0; i < ARRAY_LEN(both); i++) {
        struct arena *mem = settling->mem;
        const char *number = decimal_text(mem, both[i].number->number);

        if (both[i].number->given)
            say(settling, test, both[i].flag,
                test == SENSOR_SPIKE
                    ? arena_printf(mem, "more than %s %s from the mean of its neighbours", number,
                                   settling->unit)
                    : arena_printf(mem, "changes by more than %s %s in %s", number, settling->unit,
                                   length_words(mem, steps->per_s)));
    }
}

static void settle_flat(const struct settling *settling, const struct sensor_read_flat *flat)
{
    struct arena *mem = settling->mem;
    const struct {
        enum trust_flag flag;
        const struct sensor_read_after *after;
    } both[] = {{FLAG_SUSPECT, &flat->suspect}, {FLAG_FAIL, &flat->fail}};

    settling->test->rules.flat =
        (struct sensor_flat){.given = true,
                             .within = step_of(settling, &flat->within, 1.0),
                             .suspect_readings = flat->suspect.readings,
                             .fail_readings = flat->fail.readings,
                             .suspect_us = flat->suspect.seconds * SECOND_US,
                             .fail_us = flat->fail.seconds * SECOND_US};
    for (size_t i = 0; i < ARRAY_LEN(both); i++) {
        const struct sensor_read_after *after = both[i].after;
        const char *how_long = after->seconds > 0
                                   ? length_words(mem, after->seconds)
                                   : arena_printf(mem, "%d readings", after->readings);

        if (after->seconds == 0 && after->readings == 0)
            continue;
        say(settling, SENSOR_FLAT, both[i].flag,
            flat->within.number.coefficient == 0
                ? arena_printf(mem, "did not move for %s", how_long)
                : arena_printf(mem, "moved by no more than %s %s for %s",
                               decimal_text(mem, flat->within.number), settling->unit, how_long));
    }
}

static void settle_ranges(const struct settling *settling, const struct sensor_read_test *read)
{
    struct sensor_rules *rules = &settling->test->rules;

    rules->sensor = range_of(settling, &read->sensor);
    rules->user = range_of(settling, &read->expected);
    if (rules->sensor.given)
        say(settling, SENSOR_RANGE, FLAG_FAIL,
            arena_printf(settling->mem, "not within what the sensor can read, %s",
                         range_words(settling, &read->sensor)));
    if (rules->user.given)
        say(settling, SENSOR_RANGE, FLAG_SUSPECT,
            arena_printf(settling->mem, "not within what is expected, %s",
                         range_words(settling, &read->expected)));
}

void sensor_part_settle(struct arena *mem, const struct unit_conversion *conversion,
                        const struct sensor_read_test *read, struct farm_sensor_test *test)
{
    const struct settling with = {
        .mem = mem, .conversion = *conversion, .unit = test->unit, .test = test};
    const struct settling *settling = &with;
    struct sensor_rules *rules = &test->rules;

    rules->gap_us = read->gap_s * SECOND_US;
    if (read->gap_s > 0)
        say(settling, SENSOR_GAP, FLAG_FAIL,
            arena_printf(settling->mem, "more than %s without a reading",
                         length_words(settling->mem, read->gap_s)));
    settle_ranges(settling, read);
    if (read->season_count > 0)
        settle_seasons(settling, read);
    rules->spike = steps_of(settling, &read->spike);
    rules->rate = steps_of(settling, &read->rate);
    settle_steps(settling, SENSOR_SPIKE, &read->spike);
    settle_steps(settling, SENSOR_RATE, &read->rate);
    if (read->flat.within.given)
        settle_flat(settling, &read->flat);
}
