#include "base/buf.h"
#include "judge/explain.h"
#include "judge/given.h"

/* Changes, rates and times outside a range. */

static size_t probe(struct given *given, const char *text)
{
    size_t series = given_series(given, "outfall", given->limit.parameter, KIND_PROBE);

    given_readings(given, series, text, given->limit.unit);

    return series;
}

static void of_temperature(struct given *given, enum limit_statistic statistic, const char *ceiling)
{
    given_again(given);
    given->limit.parameter = "temperature";
    given->limit.unit = "degC";
    given->limit.statistic = statistic;
    given->limit.settings.change_span_s = 3600;
    given->limit.settings.rate_per_s = 3600;
    given->limit.bound.ceiling = given_decimal(ceiling);
}

/*
 * "Less than 2.0 degC in 1 hour" (as ANZECC 2000 for aquaculture, from memory) can be read two
 * ways: 15.0 at 10:00 and 16.4 at 10:40 is 1.4 within the hour, at 2.1 an hour.
 */
static void a_change_is_not_a_rate(void **state)
{
    struct given *given = *state;

    of_temperature(given, STATISTIC_CHANGE, "2.0");
    probe(given, "3/10:00:15.0 3/10:40:16.4");
    assert_string_equal(given_assert(given, "within", "1.4 within the hour").figure_text, "1.4");
    of_temperature(given, STATISTIC_RATE, "2.0");
    probe(given, "3/10:00:15.0 3/10:40:16.4");
    assert_string_equal(given_assert(given, "outside: above 2.0", "2.1 an hour").figure_text,
                        "2.1");
}

static const struct {
    enum limit_statistic statistic;
    enum change_direction direction;
    int stands_s;
    const char *readings;
    const char *figure; /* NULL: none */
    const char *reason;
} changes[] = {
    {STATISTIC_CHANGE, CHANGE_EITHER, 0, "3/10:00:15 3/10:30:17 3/11:00:16 3/11:30:13", "4",
     "17 to 13 in an hour"},
    {STATISTIC_CHANGE, CHANGE_RISE, 0, "3/10:00:15 3/10:30:17 3/11:00:16 3/11:30:13", "2",
     "15 to 17"},
    {STATISTIC_CHANGE, CHANGE_FALL, 0, "3/10:00:13 3/10:30:15", "0", "it never fell"},
    {STATISTIC_RATE, CHANGE_FALL, 0, "3/10:00:15 3/10:30:17 3/11:00:16 3/11:30:13", "6",
     "16 to 13 in half an hour"},
    {STATISTIC_RATE, CHANGE_EITHER, 1800, "3/10:00:15 3/10:30:16 3/12:00:25", NULL,
     "90 minutes are a gap: it may have moved at any rate"},
    {STATISTIC_CHANGE, CHANGE_EITHER, 0, "3/10:00:15 3/12:00:16", NULL, "no two within an hour"},
};

static void changes_go_by_direction_span_and_gap(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(changes); i++) {
        of_temperature(given, changes[i].statistic, "50");
        given->limit.settings.change_direction = changes[i].direction;
        given->limit.reading_stands_s = changes[i].stands_s;
        probe(given, changes[i].readings);

        struct verdict verdict =
            given_assert(given, changes[i].figure ? "within" : "not assessable", changes[i].reason);

        if (changes[i].figure)
            assert_string_equal(verdict.figure_text, changes[i].figure);
    }
}

static void two_probes_are_never_compared_with_each_other(void **state)
{
    struct given *given = *state;

    of_temperature(given, STATISTIC_CHANGE, "2.0");
    probe(given, "3/10:00:15.0 3/11:00:15.5");
    probe(given, "3/10:30:19.0 3/11:30:19.9");
    assert_string_equal(given_assert(given, "within", "the worse of two").figure_text, "0.9");
}

/* 15.0 at 23:40 of the last day of February to 18.0 at 00:20 of March is a change of March. */
static void a_change_over_the_edge_belongs_to_where_it_ends(void **state)
{
    for (int statistic = STATISTIC_CHANGE; statistic <= STATISTIC_RATE; statistic++) {
        struct given *given = *state;

        of_temperature(given, (enum limit_statistic)statistic, "2.0");
        given->limit.reading_stands_s = 3600;

        size_t series = given_series(given, "outfall", "temperature", KIND_PROBE);

        given_add(given, series, given_at("2026-02-28T23:10:00Z"), "9.0", "degC");
        given_add(given, series, given_at("2026-02-28T23:40:00Z"), "15.0", "degC");
        given_add(given, series, given_at("2026-03-01T00:20:00Z"), "18.0", "degC");
        assert_string_equal(given_assert(given, "outside: above 2.0", "3 degrees").figure_text,
                            statistic == STATISTIC_CHANGE ? "3" : "4.5");
    }
}

static void ph_range(struct given *given, enum limit_statistic statistic, const char *minutes)
{
    given_again(given);
    given->limit.parameter = "ph";
    given->limit.unit = "pH";
    given->limit.statistic = statistic;
    given->limit.reading_stands_s = 86400;
    given->limit.settings.time_unit_s = 60;
    given->limit.settings.beyond = (struct limit_beyond){
        .has_above = true, .above = {90, 1}, .has_below = true, .below = {60, 1}};
    given->limit.bound.ceiling = given_decimal(minutes);
}

/* A reading within the range at the period's beginning and end, and excursions between. */
static void excursions(struct given *given, const char *text)
{
    size_t series = given_series(given, "outfall", "ph", KIND_PROBE);

    given_add(given, series, given_at("2026-03-01T00:00:00Z"), "8.0", "pH");
    given_readings(given, series, text, "pH");
    given_add(given, series, given_at("2026-03-02T00:00:00Z"), "8.0", "pH");
}

/*
 * 40 CFR 401.17 (numbers from memory): outside the range not more than 7 h 26 min (446 min) in a
 * month, no single excursion over 60 min. Of one day here, the readings at its edges inside.
 */
static void time_outside_a_range(void **state)
{
    static const struct {
        const char *readings;
        const char *total;
        const char *total_standing;
        const char *longest;
        const char *longest_standing;
    } rows[] = {
        {"1/01:00:9.5 1/02:00:8 1/03:00:9.5 1/04:00:8 1/05:00:9.5 1/06:00:8 1/07:00:9.5 1/08:00:8 "
         "1/09:00:5.5 1/10:00:8 1/11:00:9.5 1/12:00:8 1/13:00:9.5 1/14:00:8 1/15:00:9.5 1/15:26:8",
         "446", "within", "60", "within"},
        {"1/01:00:9.5 1/02:00:8 1/03:00:9.5 1/04:00:8 1/05:00:9.5 1/06:00:8 1/07:00:9.5 1/08:00:8 "
         "1/09:00:5.5 1/10:00:8 1/11:00:9.5 1/12:00:8 1/13:00:9.5 1/14:00:8 1/15:00:9.5 1/15:27:8",
         "447", "outside: above 446", "60", "within"},
        {"1/01:00:9.5 1/02:01:8", "61", "within", "61", "outside: above 60"},
        {"1/01:00:9.0 1/09:00:6.0 1/20:00:8", "0", "within", "0", "within"},
    };
    struct given *given = *state;

    given->to = given->from;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        ph_range(given, STATISTIC_TIME_OUTSIDE, "446");
        excursions(given, rows[i].readings);
        assert_string_equal(given_assert(given, rows[i].total_standing, "total").figure_text,
                            rows[i].total);
        ph_range(given, STATISTIC_LONGEST_OUTSIDE, "60");
        excursions(given, rows[i].readings);
        assert_string_equal(given_assert(given, rows[i].longest_standing, "longest").figure_text,
                            rows[i].longest);
    }
}

/*
 * 23:30 to 00:20 over the end of a month: one excursion of 50 minutes, 30 of them counted to the
 * one month and 20 to the other.
 */
static void an_excursion_over_the_end_of_a_month_is_one_and_is_shared(void **state)
{
    static const struct {
        const char *first;
        const char *total;
    } rows[] = {{"2026-02-01", "30"}, {"2026-03-01", "20"}};
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct err err = ERR_INIT;

        assert_true(day_parse(rows[i].first, &given->from, &err));
        given->to = month_next(given->from) - 1;
        for (int statistic = STATISTIC_TIME_OUTSIDE; statistic <= STATISTIC_LONGEST_OUTSIDE;
             statistic++) {
            ph_range(given, (enum limit_statistic)statistic, "446");
            given->limit.reading_stands_s = 32 * 86400;

            size_t series = given_series(given, "outfall", "ph", KIND_PROBE);

            given_add(given, series, given_at("2026-02-01T00:00:00Z"), "8", "pH");
            given_add(given, series, given_at("2026-02-28T23:30:00Z"), "9.5", "pH");
            given_add(given, series, given_at("2026-03-01T00:20:00Z"), "8", "pH");
            given_add(given, series, given_at("2026-04-01T00:00:00Z"), "8", "pH");
            assert_string_equal(given_assert(given, "within", rows[i].total).figure_text,
                                statistic == STATISTIC_TIME_OUTSIDE ? rows[i].total : "50");
        }
    }
}

/* The total stays 446 minutes in a month of 28 days, and is of the whole month, not of a day. */
static void excursions_of_a_whole_month_add_up(void **state)
{
    static const struct {
        int last_minutes;
        const char *standing;
    } rows[] = {{26, "within"}, {27, "outside: above 446"}};
    struct given *given = *state;

    given->from = day_from_civil(2026, 2, 1);
    given->to = day_from_civil(2026, 2, 28);
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        ph_range(given, STATISTIC_TIME_OUTSIDE, "446");

        size_t series = given_series(given, "outfall", "ph", KIND_PROBE);

        for (int day = 0; day < 28; day++) {
            instant start = given_at("2026-02-01T00:00:00Z") + day * DAY_US;
            int minutes = day % 4 != 3 ? 0 : day == 27 ? 60 + rows[i].last_minutes : 60;

            given_add(given, series, start, "8", "pH");
            if (minutes > 0)
                given_add(given, series, start + 3600 * SECOND_US, "5.9", "pH");
            if (minutes > 0)
                given_add(given, series, start + (60 + minutes) * 60 * SECOND_US, "8", "pH");
        }
        given_add(given, series, given_at("2026-03-01T00:00:00Z"), "8", "pH");
        given_assert(given, rows[i].standing, "six of 60 minutes and one longer");
    }
}

/*
 * Four readings outside, 15 minutes apart, the ones around them 10 minutes before and 20 after:
 * how long that is, is the clause's to say. On straight lines from 8.5 to 9.5 the bound of 9.0 is
 * crossed half-way; from 6.5, five sixths of the way on.
 */
static void the_way_a_reading_stands_moves_the_time(void **state)
{
    static const struct {
        enum standing_rule rule;
        const char *around;
        const char *minutes;
        const char *standing; /* under 61 */
    } rows[] = {
        {STANDS_TO_NEXT, "8.5", "65", "outside: above 61"},
        {STANDS_HALF_WAY, "8.5", "60", "within"},
        {STANDS_STRAIGHT_LINE, "8.5", "60", "within"},
        {STANDS_TO_NEXT, "6.5", "65", "outside: above 61"},
        {STANDS_HALF_WAY, "6.5", "60", "within"},
        {STANDS_STRAIGHT_LINE, "6.5", "50", "within"},
    };
    struct given *given = *state;

    given->to = given->from;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        ph_range(given, STATISTIC_TIME_OUTSIDE, "61");
        given->limit.standing_rule = rows[i].rule;
        excursions(given, arena_printf(given->mem,
                                       "1/09:50:%s 1/10:00:9.5 1/10:15:9.5 1/10:30:9.5 "
                                       "1/10:45:9.5 1/11:05:%s",
                                       rows[i].around, rows[i].around));
        assert_string_equal(given_assert(given, rows[i].standing, rows[i].minutes).figure_text,
                            rows[i].minutes);
    }
}

/* Silent from 10:30 to 13:30, outside before and after: neither counted in nor counted out. */
static void a_gap_inside_an_excursion_is_unknown_and_told(void **state)
{
    static const struct {
        enum limit_statistic statistic;
        const char *ceiling;
        const char *minutes;
        const char *standing;
        const char *reason;
    } rows[] = {
        {STATISTIC_TIME_OUTSIDE, "446", "60", "not assessable", "it may be 240"},
        {STATISTIC_TIME_OUTSIDE, "59", "60", "outside: above 59", "60 are known"},
        {STATISTIC_LONGEST_OUTSIDE, "60", "30", "not assessable", "it may be one of 240"},
    };
    struct given *given = *state;

    given->to = given->from;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        ph_range(given, rows[i].statistic, rows[i].ceiling);
        given->limit.reading_stands_s = 2 * 3600;
        excursions(given, "1/02:00:8 1/04:00:8 1/06:00:8 1/08:00:8 1/10:00:9.5 1/10:30:9.5 "
                          "1/13:30:9.5 1/14:00:8 1/16:00:8 1/18:00:8 1/20:00:8 1/22:00:8");

        struct verdict verdict = given_assert(given, rows[i].standing, rows[i].reason);

        assert_string_equal(verdict.figure_text, rows[i].minutes);
        if (verdict.standing == STANDING_NOT_ASSESSABLE)
            assert_string_equal(verdict.reason,
                                "for 3 hours and 0 minutes in 1 gap nothing was read: neither "
                                "inside nor outside (2026-03-01 10:30 to 2026-03-01 13:30)");
    }
}

/* A sample of pH 9.1 is held against the range itself: 40 CFR 401.17 is for continuous readings. */
static void a_single_sample_beyond_the_range_is_outside_at_once(void **state)
{
    struct given *given = *state;

    given->limit.parameter = "ph";
    given->limit.unit = "pH";
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.bound = (struct limit_bound){
        .has_ceiling = true, .ceiling = {90, 1}, .has_floor = true, .floor = {60, 1}};
    given_readings(given, given_series(given, "outfall", "ph", KIND_GRAB), "3:9.1", "pH");
    given_assert(given, "outside: above 9.0", "9.1 once");
    given_again(given);
    given_readings(given, given_series(given, "outfall", "ph", KIND_GRAB), "3:9.0 4:6.0", "pH");
    given_assert(given, "within", "exactly 9.0 and 6.0");
}

static void a_gap_blocks_a_time_outside(void **state)
{
    static const struct {
        const char *ceiling;
        const char *least_coverage;
        const char *standing;
        const char *reason;
    } rows[] = {
        {"446", "0", "not assessable", "three hours are not known"},
        {"25", "0", "outside: above 25", "30 minutes are beyond it already"},
        {"446", "80", "within", "the clause says that 80 percent is enough"},
        {"446", "90", "not assessable", "and that it is not"},
    };
    struct given *given = *state;

    given->to = given->from;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        ph_range(given, STATISTIC_TIME_OUTSIDE, rows[i].ceiling);
        given->limit.reading_stands_s = 2 * 3600;
        given->limit.least_coverage = given_decimal(rows[i].least_coverage);
        excursions(given, "1/02:00:8 1/04:00:9.5 1/04:30:8 1/06:00:8 1/09:00:8 1/11:00:8 1/13:00:8 "
                          "1/15:00:8 1/17:00:8 1/19:00:8 1/21:00:8 1/22:00:8");

        struct verdict verdict = given_assert(given, rows[i].standing, rows[i].reason);

        assert_string_equal(verdict.figure_text, "30");
    }
    ph_range(given, STATISTIC_TIME_OUTSIDE, "446");
    given->limit.reading_stands_s = 2 * 3600;
    given->limit.least_coverage = (struct decimal){0, 0};
    excursions(given, "1/02:00:8 1/04:00:9.5 1/04:30:8 1/06:00:8 1/09:00:8 1/11:00:8 1/13:00:8 "
                      "1/15:00:8 1/17:00:8 1/19:00:8 1/21:00:8 1/22:00:8");
    assert_string_equal(given_verdict(given).reason,
                        "for 3 hours and 0 minutes in 1 gap nothing was read: neither inside nor "
                        "outside (2026-03-01 06:00 to 2026-03-01 09:00)");
}

/* Of a clause only while discharging, 48 hours with the outlet shut were told as a gap. */
static void time_while_the_outlet_was_shut_is_no_gap(void **state)
{
    static const struct {
        const char *readings;
        const char *standing;
        const char *longest; /* minutes; NULL: not told */
        const char *reason;
    } rows[] = {
        {"1/06:00:8 1/07:30:9.5 1/08:00:9.5 1/18:00:9.5 1/20:00:8 1/22:00:8", "within", "30",
         "outside from 07:30 until it was shut"},
        {"1/06:00:8 1/07:30:8 1/08:00:8 1/19:30:9.5 1/20:15:8 1/22:00:8", "within", "15",
         "outside from the opening, by the reading before it"},
        {"1/03:00:8 1/07:00:8 1/08:00:8 1/20:00:8 1/22:00:8", "not assessable", NULL,
         "a gap while it was open is one"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct given *given = *state;
        struct verdict verdict;
        size_t outlet;

        given_again(given);
        given->to = given->from;
        ph_range(given, STATISTIC_LONGEST_OUTSIDE, "60");
        given->limit.least_coverage = (struct decimal){0, 0};
        given->limit.only_while_discharging = true;
        given->limit.reading_stands_s = i == 2 ? 2 * 3600 : 12 * 3600;
        excursions(given, rows[i].readings);
        outlet = given_series(given, "outfall", "outlet", KIND_PROBE);
        (void)given_add(given, outlet, given_at("2026-02-28T00:00:00Z"), "open", "");
        (void)given_add(given, outlet, given_at("2026-03-01T08:00:00Z"), "shut", "");
        (void)given_add(given, outlet, given_at("2026-03-01T20:00:00Z"), "open", "");
        given->evidence.outlet_series = (int)outlet;
        verdict = given_assert(given, rows[i].standing, rows[i].reason);
        if (rows[i].longest)
            assert_string_equal(verdict.figure_text, rows[i].longest);
        given->evidence.outlet_series = -1;
        given->limit.only_while_discharging = false;
    }
}

static void a_less_than_may_lie_on_either_side(void **state)
{
    static const struct {
        const char *reading;
        const char *standing;
        const char *reason;
    } rows[] = {
        {"<3", "within", "it is not above 3"},
        {"<5", "not assessable", "it may be"},
        {">3", "outside: above 45", "it is above 3"},
    };
    struct given *given = *state;

    given->to = given->from;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        ph_range(given, STATISTIC_TIME_OUTSIDE, "45");
        given->limit.parameter = "turbidity";
        given->limit.unit = "NTU";
        given->limit.settings.beyond = (struct limit_beyond){.has_above = true, .above = {3, 0}};
        probe(given, "1/00:00:1 1/11:00:1 2/00:00:1");
        given_readings(given, 0, arena_printf(given->mem, "1/10:00:%s", rows[i].reading), "NTU");

        struct evidence_reading last = given->readings[0][3];

        given->readings[0][3] = given->readings[0][2];
        given->readings[0][2] = given->readings[0][1];
        given->readings[0][1] = last;
        given_assert(given, rows[i].standing, rows[i].reason);
    }
}

static void a_reading_in_doubt_can_stop_but_not_clear(void **state)
{
    struct given *given = *state;

    given->to = given->from;
    ph_range(given, STATISTIC_TIME_OUTSIDE, "45");
    excursions(given, "1/10:00:9.5? 1/11:00:8");

    struct verdict verdict = given_assert(given, "outside: above 45", "an hour, in doubt");

    assert_true(verdict.rests_on_doubt);
}

/* A row set aside is not held against the bound by its own size: 1 may be a fall from 8. */
static void a_row_set_aside_is_tried_in_a_change_whatever_its_size(void **state)
{
    static const struct {
        enum limit_statistic statistic;
        const char *at;
        const char *value;
        const char *unit;
        const char *standing;
        const char *reason;
    } rows[] = {
        {STATISTIC_CHANGE, "2026-03-03T10:15:00Z", "1", NULL, "not assessable", "8 to 1"},
        {STATISTIC_RATE, "2026-03-03T10:15:00Z", "1", NULL, "not assessable", "8 to 1"},
        {STATISTIC_CHANGE, "2026-03-03T10:15:00Z", "1", "mg/L", "outside: above 2", "8 to 1"},
        {STATISTIC_CHANGE, "2026-03-05T10:15:00Z", "1", NULL, "not assessable",
         "nothing is known of the time to it"},
        {STATISTIC_CHANGE, NULL, "1", "mg/L", "not assessable", "it may have been at any time"},
        {STATISTIC_RATE, NULL, "1", NULL, "not assessable", "it may have been at any time"},
    };
    struct given *given = *state;

    given->limit.parameter = "oxygen";
    given->limit.unit = "mg/L";
    given->limit.settings.change_span_s = 3600;
    given->limit.settings.rate_per_s = 3600;
    given->limit.reading_stands_s = 3600;
    given->limit.bound.ceiling = (struct decimal){2, 0};
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given->limit.statistic = rows[i].statistic;
        probe(given, "3/10:00:8 3/10:30:8");
        given_row(given, rows[i].at ? given_at(rows[i].at) : INSTANT_NONE, rows[i].value,
                  rows[i].unit)
            ->from_probe = true;
        given_assert(given, rows[i].standing,
                     arena_printf(given->mem, "row %zu: %s", i, rows[i].reason));
    }
}

static void a_row_of_no_known_time_may_be_outside_at_any(void **state)
{
    struct given *given = *state;

    given->to = given->from;
    ph_range(given, STATISTIC_TIME_OUTSIDE, "45");
    probe(given, "1/00:00:8 1/12:00:8 2/00:00:8");
    given_row(given, INSTANT_NONE, "9.5", "pH")->from_probe = true;
    given_assert(given, "not assessable", "9.5 for as long as a reading stands");
    given->rows[0].value = given_decimal("8.1");
    given_assert(given, "within", "it is in the range at any time");
}

/* Readings every two hours; the first run begins the day before, the last ends with the readings.
 */
static void the_runs_outside_are_told(void **state)
{
    struct given *given = *state;

    given->from = given->to = given->from + 1;
    ph_range(given, STATISTIC_TIME_OUTSIDE, "446");
    given->limit.reading_stands_s = 2 * 3600;
    given->limit.least_coverage = given_decimal("10");
    probe(given, "1/22:00:9.5 2/00:00:9.5 2/01:00:8 2/02:00:8 2/04:00:9.5 2/04:30:8 2/06:00:8 "
                 "2/08:00:9.5 2/09:00:9.5 2/13:00:8");

    struct verdict verdict = given_verdict(given);
    const struct verdict_runs *runs = verdict.windows[0].outside;
    const struct explain_choices choices = {0};
    struct explanation said = judge_explain(given->mem, &verdict, &given->evidence, &choices);
    struct buf all = buf_new(given->mem);

    assert_int_equal(runs->count, 3);
    assert_false(runs->at_most);
    for (size_t i = 0; i < said.count; i++)
        buf_addf(&all, "%s\n", said.items[i]);
    assert_non_null(strstr(all.data, "outside in 3 runs:\n"));
    assert_non_null(strstr(all.data, "01 22:00 to"));
    assert_non_null(strstr(all.data, "01:00: 180 minutes, of which 60 minutes count here; nothing "
                                     "was read before it, so it may have begun earlier\n"));
    assert_non_null(strstr(all.data, "04:30: 30 minutes\n"));
    assert_non_null(strstr(all.data, "09:00: 60 minutes; nothing was read after it, so it may have "
                                     "gone on\n"));
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_change_is_not_a_rate),
        CASE(changes_go_by_direction_span_and_gap),
        CASE(two_probes_are_never_compared_with_each_other),
        CASE(a_change_over_the_edge_belongs_to_where_it_ends),
        CASE(time_outside_a_range),
        CASE(an_excursion_over_the_end_of_a_month_is_one_and_is_shared),
        CASE(excursions_of_a_whole_month_add_up),
        CASE(the_way_a_reading_stands_moves_the_time),
        CASE(a_gap_inside_an_excursion_is_unknown_and_told),
        CASE(a_single_sample_beyond_the_range_is_outside_at_once),
        CASE(a_gap_blocks_a_time_outside),
        CASE(a_less_than_may_lie_on_either_side),
        CASE(a_reading_in_doubt_can_stop_but_not_clear),
        CASE(time_while_the_outlet_was_shut_is_no_gap),
        CASE(the_runs_outside_are_told),
        CASE(a_row_set_aside_is_tried_in_a_change_whatever_its_size),
        CASE(a_row_of_no_known_time_may_be_outside_at_any),
    };

    return cmocka_run_group_tests_name("judge/over_time", tests, NULL, NULL);
}
