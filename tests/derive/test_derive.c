/* What becomes of pairs, doubts, less-thans and holes when readings are worked out. */
#include "derive/asked.h"

static const struct asked_input oxygen_in[ASKED_MOST] = {
    {NULL, "oxygen", NULL, NULL, "mg/L"},
    {NULL, "temperature", NULL, NULL, "degC"},
};

static struct derivation *saturation(struct given *given)
{
    return asked_given(given, "oxygen saturation", "pressure=sea_level salinity=0", oxygen_in,
                       "oxygen-saturation", NULL);
}

static void given_oxygen(struct given *given, const char *readings, unsigned kind)
{
    given_readings(given, given_series(given, "outfall", "oxygen", kind), readings, "mg/L");
}

static void given_temperature(struct given *given, const char *readings)
{
    given_readings(given, given_series(given, "outfall", "temperature", KIND_PROBE), readings,
                   "degC");
}

static void each_reading_of_the_first_input_makes_one(void **state)
{
    struct given *given = *state;
    const struct derivation *derivation = saturation(given);
    struct derived derived;

    given_oxygen(given, "10/10:00:8.263 10/10:10:4.1315 10/11:00:8.263", KIND_PROBE);
    given_temperature(given, "10/10:00:25 10/10:20:25 10/10:40:25");
    derived = derive(given->mem, derivation, &given->evidence);
    assert_int_equal(derived.count, 1);
    assert_int_equal(derived.series[0].count, 2);
    assert_int_equal(derived.series[0].kind, KIND_DERIVED);
    assert_string_equal(derived.series[0].parameter, "oxygen-saturation");
    assert_string_equal(derived.series[0].method, "oxygen saturation");
    assert_non_null(strstr(derived.series[0].by->words, "Benson and Krause 1984"));

    const struct evidence_reading *second = &derived.series[0].readings[1];

    assert_true(second->at == given_at("2026-03-10T10:10:00Z"));
    assert_string_equal(second->unit, "%");
    assert_int_equal(second->input_count, 2);
    assert_string_equal(second->inputs[0].parameter, "oxygen");
    assert_string_equal(decimal_text(given->mem, second->inputs[0].value), "4.1315");
    assert_int_equal(second->inputs[0].origin.line, 3);
    /* Ten minutes before as after: the earlier. */
    assert_true(second->inputs[1].at == given_at("2026-03-10T10:00:00Z"));

    assert_int_equal(derived.not_given_count, 1);
    assert_true(derived.not_given[0].at == given_at("2026-03-10T11:00:00Z"));
    assert_true(derived.not_given[0].from_probe);
    assert_false(derived.not_given[0].has_value);
    assert_string_equal(derived.not_given[0].reason, "oxygen-saturation not given: no temperature "
                                                     "at outfall within 10 min of it");
    assert_false(derived.not_given[0].all_read);
}

static void series_side_by_side_stay_apart(void **state)
{
    struct given *given = *state;
    const struct derivation *derivation = saturation(given);
    struct derived derived;

    given_oxygen(given, "10/10:00:8.263", KIND_PROBE);
    given_oxygen(given, "10/10:00:8.1", KIND_GRAB);
    given->series[0].made_by = "probe 4";
    given_temperature(given, "10/10:00:25");
    derived = derive(given->mem, derivation, &given->evidence);
    assert_int_equal(derived.count, 2);
    assert_string_equal(derived.series[0].made_by, "probe 4");
    assert_null(derived.series[1].made_by);
}

static void doubt_and_purpose_pass_on(void **state)
{
    static const struct {
        const char *oxygen, *temperature;
        const char *doubt; /* NULL: none */
        bool counts;
        const char *reason;
    } rows[] = {
        {"10/10:00:8.263", "10/10:00:25", NULL, true, "sound"},
        {"10/10:00:8.263?", "10/10:00:25",
         "worked out from oxygen at outfall, which is in doubt: calibration overdue", true,
         "the first input"},
        {"10/10:00:8.263", "10/10:00:25?",
         "worked out from temperature at outfall, which is in doubt: calibration overdue", true,
         "a partner"},
        {"10/10:00:8.263", "10/10:00:25? 10/10:09:25", NULL, true, "a sound partner is near"},
        {"10/10:00:8.263#", "10/10:00:25", NULL, false, "a check sample never counts"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct given *given = *state;
        const struct derivation *derivation = saturation(given);
        struct derived derived;

        given_oxygen(given, rows[i].oxygen, KIND_PROBE);
        given_temperature(given, rows[i].temperature);
        derived = derive(given->mem, derivation, &given->evidence);
        if (derived.series[0].count != 1)
            fail_msg("%s: nothing made", rows[i].reason);

        const struct evidence_reading *reading = &derived.series[0].readings[0];

        if (!rows[i].doubt != !reading->doubt || reading->counts != rows[i].counts)
            fail_msg("%s", rows[i].reason);
        if (reading->doubt)
            assert_string_equal(reading->doubt, rows[i].doubt);
    }
}

static void what_was_left_out_makes_none_and_leaves_no_hole(void **state)
{
    struct given *given = *state;
    const struct derivation *derivation = saturation(given);
    struct derived derived;

    given_oxygen(given, "10/10:00:8.263!", KIND_PROBE);
    given_temperature(given, "10/10:00:25");
    derived = derive(given->mem, derivation, &given->evidence);
    assert_int_equal(derived.series[0].count, 0);
    assert_int_equal(derived.not_given_count, 0);

    given_again(given);
    given_oxygen(given, "10/10:00:8.263", KIND_PROBE);
    given_temperature(given, "10/10:00:25!");
    derived = derive(given->mem, derivation, &given->evidence);
    assert_int_equal(derived.series[0].count, 0);
    assert_int_equal(derived.not_given_count, 1);
}

static void a_less_than_bounds_where_the_equation_goes_one_way(void **state)
{
    static const struct {
        const char *equation, *settings, *made;
        struct asked_input inputs[ASKED_MOST];
        const char *words, *reason;
    } rows[] = {
        {"load",
         NULL,
         "load",
         {{"concentration", "ammonia", NULL, "<0.05", "mg/L"},
          {NULL, "flow", NULL, "1000", "m3/day"}},
         "<0.05",
         "a load rises with the concentration"},
        {"percent removal",
         NULL,
         "share",
         {{"after", "ammonia", NULL, "<1", "mg/L"}, {"before", "ammonia", "intake", "10", "mg/L"}},
         ">90",
         "less left is more removed"},
        {"percent removal",
         NULL,
         "share",
         {{"after", "ammonia", NULL, "1", "mg/L"}, {"before", "ammonia", "intake", ">10", "mg/L"}},
         ">90",
         "more before is more removed"},
        {"percent removal",
         NULL,
         "share",
         {{"after", "ammonia", NULL, "<1", "mg/L"}, {"before", "ammonia", "intake", "<10", "mg/L"}},
         "share not given: what goes in bounds it from neither side",
         "two that pull apart"},
        {"percent removal",
         NULL,
         "share",
         {{"after", "ammonia", NULL, "<1", "mg/L"}, {"before", "ammonia", "intake", ">10", "mg/L"}},
         ">90",
         "two that pull together"},
        {"net load",
         NULL,
         "load",
         {{"concentration", "ammonia", NULL, "1", "mg/L"},
          {NULL, "flow", NULL, "<1000", "m3/day"},
          {"concentration before", "ammonia", "intake", "0.5", "mg/L"}},
         "load not given: flow at outfall is a less-than, and the result does not go one way with "
         "it",
         "a flow bounds no net load"},
        {"load",
         NULL,
         "load",
         {{"concentration", "ammonia", NULL, "ND", "mg/L"}, {NULL, "flow", NULL, "1000", "m3/day"}},
         "load not given: ammonia at outfall was not detected, and no limit is told",
         "nothing to put there"},
        {"un-ionised ammonia",
         "ammonia_form=emerson-273.2 pH_scale=NBS salinity=0",
         "toxic",
         {{NULL, "ammonia", NULL, "<1.00", "mg/L"},
          {NULL, "ph", NULL, "8.0", "pH"},
          {NULL, "temperature", NULL, "20", "degC"}},
         "<0.03821",
         "the share is the same"},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const char *words =
            asked_words(given, asked_given(given, rows[i].equation, rows[i].settings,
                                           rows[i].inputs, rows[i].made, NULL));

        if (strcmp(words, rows[i].words) != 0)
            fail_msg("%s: expected %s, got %s", rows[i].reason, rows[i].words, words);
    }
}

/* Plain arithmetic is exact; what was fitted shows the digits of its table and one more. */
static void the_digits_are_the_equation_s(void **state)
{
    static const struct asked_input third[ASKED_MOST] = {
        {"after", "ammonia", NULL, "1", "mg/L"}, {"before", "ammonia", "intake", "3", "mg/L"}};
    static const struct asked_input salt[ASKED_MOST] = {
        {NULL, "conductivity", NULL, "45.1", "mS/cm"}, {NULL, "temperature", NULL, "17.3", "degC"}};
    struct given *given = *state;

    assert_string_equal(
        asked_words(given, asked_given(given, "percent removal", NULL, third, "share", NULL)),
        "66.6666666667");
    /* 34.8 and three digits more */
    assert_int_equal(strlen(asked_words(given, asked_given(given, "practical salinity", "depth=0",
                                                           salt, "salinity", NULL))),
                     strlen("34.8000"));
}

static void a_row_set_aside_that_could_be_the_first_input_leaves_a_hole(void **state)
{
    struct given *given = *state;
    const struct derivation *derivation = saturation(given);
    struct evidence_set_aside *row;
    struct derived derived;

    given_temperature(given, "10/10:00:25");
    row = given_row(given, given_at("2026-03-10T10:00:00Z"), NULL, NULL);
    row->parameter = "oxygen";
    row->from_probe = true;
    (void)given_row(given, given_at("2026-03-10T11:00:00Z"), NULL, NULL); /* solids: not of it */
    derived = derive(given->mem, derivation, &given->evidence);
    assert_int_equal(derived.not_given_count, 1);
    assert_string_equal(derived.not_given[0].reason, "oxygen-saturation not given: oxygen at "
                                                     "outfall was set aside: the unit can't be "
                                                     "read");
    assert_int_equal(derived.not_given[0].origin.line, 12);
}

/* A laboratory's row whose word is not known says by its unit or kind what it can't be. */
static void a_row_of_an_unknown_parameter_leaves_no_hole_where_it_can_t_fit(void **state)
{
    static const struct {
        const char *unit;
        bool from_probe;
        size_t holes;
        const char *why;
    } rows[] = {
        {"degC", true, 0, "oxygen is in no such unit"},
        {"mg/L", false, 0, "a sample beside a probe"},
        {"mg/L", true, 1, "may be oxygen of the probe"},
        {NULL, true, 1, "its unit is not known either"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct given *given = *state;
        const struct derivation *derivation;
        struct evidence_set_aside *row;
        struct derived derived;

        given_again(given);
        derivation = saturation(given);
        given_oxygen(given, "10/10:00:8.263", KIND_PROBE);
        given_temperature(given, "10/10:00:25");
        row = given_row(given, given_at("2026-03-10T10:00:00Z"), "12", rows[i].unit);
        row->parameter = NULL;
        row->from_probe = rows[i].from_probe;
        derived = derive(given->mem, derivation, &given->evidence);
        if (derived.not_given_count != rows[i].holes)
            fail_msg("%s: %zu", rows[i].why, derived.not_given_count);
        if (rows[i].holes > 0)
            assert_non_null(
                strstr(derived.not_given[0].reason, "a row set aside could be oxygen at outfall"));
    }
}

/* Salinity from conductivity, and with it the oxygen's saturation. */
static void one_is_worked_out_from_another(void **state)
{
    static const struct asked_input salt_in[ASKED_MOST] = {{NULL, "conductivity", NULL, NULL, NULL},
                                                           {NULL, "temperature", NULL, NULL, NULL}};
    static const struct asked_input oxygen_and_salt_in[ASKED_MOST] = {
        {NULL, "oxygen", NULL, NULL, NULL},
        {NULL, "temperature", NULL, NULL, NULL},
        {NULL, "salinity", NULL, NULL, NULL}};
    struct given *given = *state;
    const struct derivation *both[] = {
        asked_given(given, "practical salinity", "depth=0", salt_in, "salinity", NULL),
        asked_given(given, "oxygen saturation", "pressure=sea_level", oxygen_and_salt_in,
                    "oxygen-saturation", NULL)};
    struct evidence all;

    given_oxygen(given, "10/10:00:7.5 10/11:00:7.5", KIND_PROBE);
    given_temperature(given, "10/10:00:14.9964 10/11:00:36");
    given_readings(given, given_series(given, "outfall", "conductivity", KIND_PROBE),
                   "10/10:00:42.914 10/11:00:42.914", "mS/cm");
    all = derive_all(given->mem, both, ARRAY_LEN(both), &given->evidence);
    assert_int_equal(all.series_count, 5);
    assert_int_equal(given->evidence.series_count, 3);
    assert_string_equal(decimal_text(given->mem, all.series[3].readings[0].first_reported), "35");

    const struct evidence_reading *last = &all.series[4].readings[0];

    assert_int_equal(all.series[4].count, 1);
    assert_string_equal(last->inputs[2].parameter, "salinity");
    assert_non_null(strstr(last->inputs[2].by->words, "PSS-78"));
    /* The hour at 36 degC is beyond PSS-78, and so there is no salinity to go by: no gap either. */
    assert_int_equal(all.set_aside_count, 2);
    assert_true(all.set_aside[0].all_read);
    assert_true(all.set_aside[1].all_read);
    assert_string_equal(all.set_aside[1].reason, "oxygen-saturation not given: no salinity at "
                                                 "outfall within 10 min of it");
}

static void a_limit_sees_the_values_and_the_holes(void **state)
{
    struct given *given = *state;
    const struct derivation *derivation = saturation(given);
    const struct evidence plain = given->evidence;

    given->limit.parameter = "oxygen-saturation";
    given->limit.unit = "%";
    given->limit.kinds = KIND_DERIVED;
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_EACH_SAMPLE;
    given->limit.bound = (struct limit_bound){.has_floor = true, .floor = {60, 0}};

    given_oxygen(given, "10/10:00:8.263 11/10:00:8.263", KIND_GRAB);
    given_temperature(given, "10/10:00:25");

    struct evidence all = derive_all(given->mem, &derivation, 1, &given->evidence);

    given->evidence = all;
    given_assert(given, "not assessable", "a sample without its temperature");
    given->limit.kinds = KIND_PROBE;
    given_assert(given, "not assessable", "no probe reads it, and the hole is not of a probe");

    given->evidence = plain;
    given_again(given);
    given->limit.kinds = KIND_DERIVED;
    given_oxygen(given, "10/10:00:8.263 11/10:00:8.263", KIND_PROBE);
    given_temperature(given, "10/10:00:25");
    given->evidence = derive_all(given->mem, &derivation, 1, &given->evidence);

    struct verdict verdict = given_assert(given, "within", "a gap of a probe");

    assert_int_equal(verdict.not_given, 1);
    assert_non_null(strstr(verdict.words, "1 derived value not given"));
}

/* How each limit sees a derived reading of a probe that is not given. */
struct seen {
    enum limit_daily daily;
    enum limit_statistic statistic;
    const char *standing;
    const char *reason;
};

static void assert_seen(struct given *given, const struct seen *seen, const char *what)
{
    given->limit.daily = seen->daily;
    given->limit.statistic = seen->statistic;
    given_assert(given, seen->standing, arena_printf(given->mem, "%s: %s", what, seen->reason));
}

/*
 * A flood over the weir: 0.5 m is above the 1.25 ft that Cone's formula holds for (USBR, Water
 * Measurement Manual), and at those it gives 119 L/s. The flow was read, and it may be anything.
 */
static void a_head_above_the_weir_s_range_is_no_gap(void **state)
{
    static const struct asked_input flood[ASKED_MOST] = {
        {NULL, "level", NULL, "10/10:00:0.12 10/10:10:0.50 10/10:20:0.12", "m"}};
    static const struct asked_input bigger[ASKED_MOST] = {
        {NULL, "level", NULL, "10/10:00:0.30 10/10:10:0.50 10/10:20:0.12", "m"}};
    static const struct asked_input still[ASKED_MOST] = {
        {NULL, "level", NULL, "10/10:00:0.12 10/10:20:0.12", "m"}};
    static const struct seen seen[] = {
        {DAILY_EVERY, STATISTIC_VALUE, "not assessable", "each reading"},
        {DAILY_EVERY, STATISTIC_MAXIMUM, "not assessable", "the highest"},
        {DAILY_MAXIMUM, STATISTIC_VALUE, "not assessable", "the highest of each day"},
        {DAILY_MAXIMUM, STATISTIC_MEAN, "not assessable", "their mean"},
        {DAILY_EVERY, STATISTIC_MEDIAN, "not assessable", "it may move the rank"},
        {DAILY_EVERY, STATISTIC_TIME_OUTSIDE, "not assessable", "it may have been outside"},
        {DAILY_EVERY, STATISTIC_COUNT_BEYOND, "not assessable", "it may be one of them"},
        {DAILY_EVERY, STATISTIC_MEAN, "within", "of a mean it is part of what is not covered"},
        {DAILY_MEAN, STATISTIC_VALUE, "within", "of a day's mean too"},
    };
    struct given *given = *state;
    struct evidence plain = given->evidence;

    given->limit.parameter = "flow";
    given->limit.unit = "L/s";
    given->limit.bound.ceiling = (struct decimal){20, 0};
    given->limit.settings.beyond = (struct limit_beyond){.has_above = true, .above = {20, 0}};
    given->limit.settings.time_unit_s = 60;
    given->limit.reading_stands_s = 86400;
    for (size_t i = 0; i < ARRAY_LEN(seen); i++) {
        const struct derivation *flow =
            asked_given(given, "v-notch-90-cone", "zero_at=0", flood, "flow", "L/s");

        given->evidence = derive_all(given->mem, &flow, 1, &given->evidence);
        assert_int_equal(given->evidence.set_aside_count, 1);
        assert_seen(given, &seen[i], "0.50 m");
        given->evidence = plain;
    }

    const struct derivation *flow =
        asked_given(given, "v-notch-90-cone", "zero_at=0", bigger, "flow", "L/s");

    given->evidence = derive_all(given->mem, &flow, 1, &given->evidence);
    assert_seen(given,
                &(struct seen){DAILY_EVERY, STATISTIC_VALUE, "outside: above 20",
                               "another reading is outside anyway"},
                "0.30 m");
    given->evidence = plain;
    flow = asked_given(given, "v-notch-90-cone", "zero_at=0", still, "flow", "L/s");
    given->evidence = derive_all(given->mem, &flow, 1, &given->evidence);
    for (size_t i = 0; i < 3; i++)
        assert_seen(given, &(struct seen){seen[i].daily, seen[i].statistic, "within", "no row"},
                    "nothing was read between");
    given->evidence = plain;
}

/* Conductivity 1.2 mS/cm is salinity 0.6, and PSS-78 holds from 2 (UNESCO 44). */
static void water_fresher_than_the_salinity_scale_is_no_gap(void **state)
{
    static const struct asked_input salt[ASKED_MOST] = {
        {NULL, "conductivity", NULL, "10/10:00:38.2 10/10:10:1.2 10/10:20:38.2", "mS/cm"},
        {NULL, "temperature", NULL, "10/10:00:15 10/10:10:15 10/10:20:15", "degC"}};
    struct given *given = *state;
    struct evidence plain = given->evidence;
    const struct derivation *salinity =
        asked_given(given, "practical salinity", "depth=0", salt, "salinity", NULL);

    given->limit.parameter = "salinity";
    given->limit.unit = "PSU";
    given->limit.bound = (struct limit_bound){.has_floor = true, .floor = {30, 0}};
    given->evidence = derive_all(given->mem, &salinity, 1, &given->evidence);
    assert_seen(given,
                &(struct seen){DAILY_EVERY, STATISTIC_VALUE, "not assessable", "each reading"},
                "1.2 mS/cm");
    assert_seen(given, &(struct seen){DAILY_MINIMUM, STATISTIC_VALUE, "not assessable", "lowest"},
                "1.2 mS/cm");

    struct verdict verdict = given_verdict(given);

    assert_non_null(strstr(verdict.reason, "salinity not given: "));
    assert_int_equal(verdict.windows ? verdict.windows[0].standing : verdict.standing,
                     STANDING_NOT_ASSESSABLE);
    given->evidence = plain;
}

/*
 * 0.5 mg/L of total ammonia at pH 8.0 and 20 degC: 0.0191027 mg/L un-ionised by Emerson and others
 * 1975. A clause that rounds nothing is broken at 0.0191, though 0.01910 is what is shown.
 */
static void what_is_worked_out_is_not_rounded_before_it_is_judged(void **state)
{
    static const struct asked_input ammonia[ASKED_MOST] = {
        {NULL, "ammonia", NULL, "0.5", "mg/L"},
        {NULL, "ph", NULL, "8.0", "pH"},
        {NULL, "temperature", NULL, "20", "degC"},
    };
    static const struct parameter_list own = {asked_own, ARRAY_LEN(asked_own),
                                              ARRAY_LEN(asked_own)};
    struct given *given = *state;
    struct evidence plain = given->evidence;
    const struct derivation *toxic =
        asked_given(given, "un-ionised ammonia",
                    "ammonia_form=emerson-273.2 pH_scale=NBS salinity=0", ammonia, "toxic", NULL);

    assert_string_equal(asked_words(given, toxic), "0.0191");
    given->evidence.parameters = &own;
    given->evidence = derive_all(given->mem, &toxic, 1, &given->evidence);
    given->limit.parameter = "toxic";
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.bound.ceiling = (struct decimal){191, 4};
    assert_non_null(
        strstr(given_assert(given, "outside: above 0.0191", "0.0191027").words, "0.0191027 mg/L"));
    given->limit.bound.ceiling = (struct decimal){19103, 6};
    given_assert(given, "within", "below 0.019103");
    given->limit.bound.ceiling = (struct decimal){191, 4};
    given->limit.rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_FIGURES, 3};
    given_assert(given, "within", "where the clause itself rounds to three figures");
    given->evidence = plain;
}

/* Levels of 10 March every ten minutes, over both its ends; `low` of them at 03:00 and after. */
static void given_levels(struct given *given, int low)
{
    size_t series = given_series(given, "outfall", "level", KIND_PROBE);

    for (int i = -1; i <= 145; i++) {
        instant at = given_at("2026-03-10T00:00:00Z") + i * 600 * SECOND_US;

        (void)given_add(given, series, at, i >= 18 && i < 18 + low ? "0.01" : "0.1524", "m");
    }
}

static void given_water_limit(struct given *given, enum limit_daily daily, const char *parameter,
                              const char *unit)
{
    given->limit.daily = daily;
    given->limit.parameter = parameter;
    given->limit.unit = unit;
    given->limit.kinds = 0;
    given->limit.statistic = STATISTIC_MAXIMUM;
    given->limit.flow = (struct limit_flow){"outfall", "flow"};
    given->limit.reading_stands_s = 1200;
    given->from = given->to = day_from_civil(2026, 3, 10);
}

/* 0.5 ft over a 90 degree notch is 0.4463 ft3/s by the USBR's table: 1091.9 m3 in a day. */
static void the_water_and_load_of_a_day_may_go_by_a_derived_flow(void **state)
{
    static const struct asked_input level[ASKED_MOST] = {{NULL, "level", NULL, NULL, NULL}};
    static const struct {
        enum limit_daily daily;
        const char *parameter, *unit;
        int low;
        struct decimal ceiling;
        const char *standing, *reason;
    } rows[] = {
        {DAILY_TOTAL, "flow", "m3", 0, {1093, 0}, "within", "a day's volume"},
        {DAILY_TOTAL, "flow", "m3", 0, {1090, 0}, "outside: above 1090", "the same"},
        {DAILY_TOTAL,
         "flow",
         "m3",
         1,
         {1093, 0},
         "not assessable",
         "the flow before does not run on where one was read that can't be worked out"},
        {DAILY_TOTAL, "flow", "m3", 6, {1093, 0}, "not assessable", "an hour below the range"},
        {DAILY_LOAD, "suspended-solids", "kg/day", 0, {219, 1}, "within", "20 mg/L: 21.84 kg"},
        {DAILY_LOAD, "suspended-solids", "kg/day", 0, {218, 1}, "outside: above 21.8", "the same"},
        {DAILY_LOAD, "suspended-solids", "kg/day", 6, {219, 1}, "not assessable", "no volume"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct given *given = *state;
        struct evidence plain = given->evidence;
        const struct derivation *flow =
            asked_given(given, "v-notch-90-cone", "zero_at=0", level, "flow", "L/s");

        given_levels(given, rows[i].low);
        given_water_limit(given, rows[i].daily, rows[i].parameter, rows[i].unit);
        given->limit.bound = (struct limit_bound){.has_ceiling = true, .ceiling = rows[i].ceiling};
        given_readings(given, given_series(given, "outfall", "suspended-solids", KIND_GRAB),
                       "10:20", "mg/L");
        given->evidence = derive_all(given->mem, &flow, 1, &given->evidence);
        given_assert(given, rows[i].standing, rows[i].reason);
        given->evidence = plain;
    }
}

#define CASE(test) cmocka_unit_test_setup_teardown(test, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(each_reading_of_the_first_input_makes_one),
        CASE(series_side_by_side_stay_apart),
        CASE(doubt_and_purpose_pass_on),
        CASE(what_was_left_out_makes_none_and_leaves_no_hole),
        CASE(a_less_than_bounds_where_the_equation_goes_one_way),
        CASE(the_digits_are_the_equation_s),
        CASE(a_row_set_aside_that_could_be_the_first_input_leaves_a_hole),
        CASE(a_row_of_an_unknown_parameter_leaves_no_hole_where_it_can_t_fit),
        CASE(one_is_worked_out_from_another),
        CASE(a_limit_sees_the_values_and_the_holes),
        CASE(a_head_above_the_weir_s_range_is_no_gap),
        CASE(water_fresher_than_the_salinity_scale_is_no_gap),
        CASE(what_is_worked_out_is_not_rounded_before_it_is_judged),
        CASE(the_water_and_load_of_a_day_may_go_by_a_derived_flow),
    };

    return cmocka_run_group_tests_name("derive/derive", tests, NULL, NULL);
}
