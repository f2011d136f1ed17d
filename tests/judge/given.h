/*
 * Given: evidence and a limit written in a few words, for the tests of judging.
 *
 * The limit of a new one: monthly mean of suspended solids in mg/L at station "outfall", not
 * above 30, confirmed, in force always. The month is March 2026, the zone UTC, and now is long
 * after. Tests change what they are about. Stations and numbers are invented where no publication
 * is named.
 */
#ifndef JUDGE_GIVEN_H
#define JUDGE_GIVEN_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdio.h>
#include <string.h>

#include "base/macro.h"
#include "judge/judge.h"

enum { GIVEN_SERIES_MOST = 6, GIVEN_ROWS_MOST = 8, GIVEN_DAYS_MOST = 62 };

struct given {
    struct arena *mem;
    struct units *units;
    struct limit limit;
    struct evidence evidence;
    struct evidence_series series[GIVEN_SERIES_MOST];
    struct evidence_reading *readings[GIVEN_SERIES_MOST];
    size_t capacity[GIVEN_SERIES_MOST];
    struct evidence_set_aside rows[GIVEN_ROWS_MOST];
    struct discharge_day days[GIVEN_DAYS_MOST];
    day_number from;
    day_number to;
};

static inline instant given_at(const char *text)
{
    instant at = INSTANT_NONE;
    struct err err = ERR_INIT;

    if (!instant_parse(text, &at, &err))
        fail_msg("%s: %s", text, err.text);

    return at;
}

static inline struct decimal given_decimal(const char *text)
{
    struct decimal value;

    if (!decimal_parse(text, &value))
        fail_msg("not a number: %s", text);

    return value;
}

/* As a state of cmocka: given_new and given_done. */
static inline int given_new(void **state)
{
    struct arena *mem = arena_new();
    struct given *given = ARENA_NEW(mem, struct given);
    struct err err = ERR_INIT;

    given->mem = mem;
    if (!units_load(&given->units, &err))
        return -1;
    given->limit = (struct limit){
        .key = "solids",
        .name = "Suspended solids",
        .clause = "Table 1, row 1",
        .authority = "example-authority",
        .licence = "example",
        .station = "outfall",
        .parameter = "suspended-solids",
        .unit = "mg/L",
        .statistic = STATISTIC_MEAN,
        .period = PERIOD_MONTH,
        .bound = {.has_ceiling = true, .ceiling = {30, 0}},
        .in_force_from = DAY_NONE,
        .in_force_to = DAY_NONE,
        .confirmed = true,
    };
    given->evidence = (struct evidence){
        .zone = zone_fixed(mem, 0),
        .now = given_at("2027-01-01T00:00:00Z"),
        .units = given->units,
        .series = given->series,
        .set_aside = given->rows,
        .days = given->days,
        .outlet_series = -1,
        .licence_ends = DAY_NONE,
    };
    given->from = day_from_civil(2026, 3, 1);
    given->to = day_from_civil(2026, 3, 31);
    *state = given;

    return 0;
}

static inline int given_done(void **state)
{
    struct given *given = *state;
    struct arena *mem = given->mem;

    units_free(&given->units);
    arena_free(&mem);

    return 0;
}

/* Start over with the same units and arena: for loops over rows. */
static inline void given_again(struct given *given)
{
    given->evidence.series_count = 0;
    given->evidence.set_aside_count = 0;
    given->evidence.day_count = 0;
}

static inline size_t given_series(struct given *given, const char *station, const char *parameter,
                                  unsigned kind)
{
    size_t at = given->evidence.series_count++;

    assert_true(at < GIVEN_SERIES_MOST);
    given->readings[at] = NULL;
    given->capacity[at] = 0;
    given->series[at] =
        (struct evidence_series){.station = station, .parameter = parameter, .kind = kind};

    return at;
}

static inline struct evidence_reading *given_add(struct given *given, size_t series, instant at,
                                                 const char *value, const char *unit)
{
    size_t index = given->series[series].count;
    struct evidence_reading *reading;

    if (index == given->capacity[series])
        given->readings[series] = arena_grow(given->mem, given->readings[series], index,
                                             &given->capacity[series], sizeof(*reading));
    given->series[series].readings = given->readings[series];
    given->series[series].count++;
    reading = &given->readings[series][index];
    *reading = (struct evidence_reading){.at = at,
                                         .until = at,
                                         .qualifier = QUALIFIER_NONE,
                                         .unit = unit,
                                         .counts = true,
                                         .origin = {1, (int32_t)index + 2, 1}};
    if (*value == '<' || *value == '>')
        reading->qualifier = *value++;
    if (strcmp(value, "ND") == 0)
        reading->qualifier = QUALIFIER_NOT_DETECTED;
    else if (strcmp(value, "open") == 0 || strcmp(value, "shut") == 0)
        reading->unit = value;
    else
        reading->reported = given_decimal(value);

    return reading;
}

/*
 * Readings of March 2026, blanks between them: day[/hh:mm]:value[mark], at noon where no time is
 * given. Marks: ? in doubt, ! left out by a person, # a check sample.
 */
static inline void given_readings(struct given *given, size_t series, const char *text,
                                  const char *unit)
{
    char *rest = arena_strdup(given->mem, text);

    for (char *word = strtok_r(rest, " ", &rest); word; word = strtok_r(NULL, " ", &rest)) {
        char stamp[40];
        int day = 0;
        int hour = 12;
        int minute = 0;
        char *value = strrchr(word, ':') + 1;
        size_t length = strlen(value);
        char mark = length > 0 && strchr("?!#", value[length - 1]) ? value[length - 1] : '\0';

        if (strchr(word, '/'))
            assert_int_equal(sscanf(word, "%d/%d:%d", &day, &hour, &minute), 3);
        else
            assert_int_equal(sscanf(word, "%d", &day), 1);
        if (mark)
            value[length - 1] = '\0';
        (void)snprintf(stamp, sizeof(stamp), "2026-03-%02dT%02d:%02d:00Z", day, hour, minute);

        struct evidence_reading *reading = given_add(given, series, given_at(stamp), value, unit);

        if (mark == '?')
            reading->doubt = "calibration overdue";
        if (mark == '!')
            reading->left_out = "bottle broken";
        if (mark == '#')
            reading->counts = false;
    }
}

/* Grab samples of the limit's own parameter at its own station. */
static inline size_t given_samples(struct given *given, const char *text)
{
    size_t series = given_series(given, given->limit.station, given->limit.parameter, KIND_GRAB);

    given_readings(given, series, text, "mg/L");

    return series;
}

static inline struct evidence_set_aside *given_row(struct given *given, instant at,
                                                   const char *value, const char *unit)
{
    struct evidence_set_aside *row = &given->rows[given->evidence.set_aside_count++];

    *row = (struct evidence_set_aside){.station = given->limit.station,
                                       .parameter = given->limit.parameter,
                                       .at = at,
                                       .has_value = value != NULL,
                                       .qualifier = QUALIFIER_NONE,
                                       .unit = unit,
                                       .reason = "the unit can't be read",
                                       .origin = {1, 12, 3}};
    if (value && (*value == '<' || *value == '>'))
        row->qualifier = *value++;
    if (value)
        row->value = given_decimal(value);

    return row;
}

/* The state of a day of March 2026; in ascending order. */
static inline void given_day(struct given *given, int day, enum discharge_state discharge)
{
    given->days[given->evidence.day_count++] = (struct discharge_day){
        day_from_civil(2026, 3, day), discharge,
        discharge == DISCHARGE_NONE ? "outlet shut all day" : "the outlet was open", NULL};
}

static inline struct verdict given_verdict(struct given *given)
{
    struct verdict verdict;

    judge_limit(given->mem, &given->limit, &given->evidence, given->from, given->to, &verdict);

    return verdict;
}

/* Judge and compare the standing in words, as "outside: above 30"; says the verdict on a miss. */
static inline struct verdict given_assert(struct given *given, const char *standing,
                                          const char *reason)
{
    struct verdict verdict = given_verdict(given);
    const char *got = verdict_standing_words(given->mem, &verdict);

    if (strcmp(got, standing) != 0)
        fail_msg("%s: expected %s, got %s", reason, standing, verdict.words);

    return verdict;
}

#endif
