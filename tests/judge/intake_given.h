/*
 * A limit that holds a discharge against its intake.
 */
#ifndef TESTS_JUDGE_INTAKE_GIVEN_H
#define TESTS_JUDGE_INTAKE_GIVEN_H

#include "judge/given.h"

static size_t intake_of(struct given *given, const char *text, const char *unit)
{
    size_t series = given_series(given, "intake", given->limit.parameter, KIND_GRAB);

    given_readings(given, series, text, unit);

    return series;
}

static void each_sample(struct given *given, enum against_kind kind, int64_t ceiling)
{
    given_again(given);
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_EACH_SAMPLE;
    given->limit.against =
        (struct limit_against){.kind = kind, .place = {"intake", NULL}, .pairing = PAIR_SAME_DAY};
    given->limit.bound = (struct limit_bound){.has_ceiling = true, .ceiling = {ceiling, 0}};
}

#endif
