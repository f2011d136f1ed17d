#include "judge/gather_readings.h"

#include "judge/given.h"

/* Which readings count for a clause, which are in doubt for it, and to which day they belong. */

static void expect(struct given *given, const char *standing, const char *reason)
{
    (void)given_assert(given, standing, reason);
}

/* Every sample by itself, not above 30. */
static void each_sample(struct given *given)
{
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_EACH_SAMPLE;
}

/* A series by a method and a maker; NULL: not told. */
static size_t series_by(struct given *given, const char *method, const char *made_by)
{
    size_t series = given_series(given, "outfall", "suspended-solids", KIND_GRAB);

    given->series[series].method = method;
    given->series[series].made_by = made_by;

    return series;
}

static void readings_by_another_method_or_maker_do_not_count_and_are_shown(void **state)
{
    static const char *const methods[] = {"filter and weigh"};
    static const char *const makers[] = {"North Laboratory"};
    struct given *given = *state;
    struct verdict verdict;

    each_sample(given);
    given->limit.methods = methods;
    given->limit.method_count = 1;
    given->limit.instruments = makers;
    given->limit.instrument_count = 1;
    given_readings(given, series_by(given, "filter and weigh", "North Laboratory"), "3:10", "mg/L");
    given_readings(given, series_by(given, "by light", "North Laboratory"), "4:90", "mg/L");
    given_readings(given, series_by(given, "filter and weigh", "probe 4"), "5:90", "mg/L");
    verdict = given_verdict(given);
    assert_int_equal(verdict.standing, STANDING_WITHIN);
    assert_int_equal(verdict.item_count, 3);
    assert_string_equal(verdict.items[1].why_not,
                        "by another method, which the clause does not take: by light");
    assert_non_null(strstr(verdict.items[2].why_not, "probe 4"));
    /* By what it was made is not on record: it may be one that the clause takes. */
    given_readings(given, series_by(given, NULL, "North Laboratory"), "6:20", "mg/L");
    expect(given, "within", "in doubt and within changes nothing");
    given_readings(given, series_by(given, "filter and weigh", NULL), "7:90", "mg/L");
    verdict = given_assert(given, "outside: above 30", "in doubt it can stop");
    assert_true(verdict.rests_on_doubt);
}

static void who_took_it_can_be_asked_for(void **state)
{
    static const char *const takers[] = {"kim"};
    struct given *given = *state;
    size_t series = given_samples(given, "3:10 4:90 5:20");

    each_sample(given);
    given->limit.takers = takers;
    given->limit.taker_count = 1;
    given->readings[series][0].taken_by = "kim";
    given->readings[series][1].taken_by = "lee";
    given->readings[series][2].taken_by = "kim";
    expect(given, "within", "the one beyond was taken by another");
    given->readings[series][1].taken_by = NULL;
    assert_true(given_assert(given, "outside: above 30", "not told by whom").rests_on_doubt);
}

static void a_laboratory_must_be_accredited_on_the_day(void **state)
{
    struct given *given = *state;
    struct evidence_accreditation accreditation = {
        .made_by = "North Laboratory",
        .parameter = "suspended-solids",
        .method = "filter and weigh",
        .from = day_from_civil(2026, 3, 3),
        .to = day_from_civil(2026, 3, 5),
    };
    static const struct {
        const char *readings;
        const char *standing;
        const char *reason;
    } rows[] = {
        {"3:10 5:20", "within", "first and last day belong to it"},
        {"2:10 3:20", "within", "one before it is left out of the mean, and in doubt"},
        {"3:10 6:90", "outside: above 30", "one after it is in doubt: it can stop"},
        {"6:10", "not assessable", "it never clears"},
    };

    given->limit.accredited = true;
    given->evidence.accreditations = &accreditation;
    given->evidence.accreditation_count = 1;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given_readings(given, series_by(given, "filter and weigh", "North Laboratory"),
                       rows[i].readings, "mg/L");
        expect(given, rows[i].standing, rows[i].reason);
    }
    given_again(given);
    given_readings(given, series_by(given, "by light", "North Laboratory"), "4:10", "mg/L");
    expect(given, "not assessable", "accredited for another method");
    accreditation.method = NULL;
    expect(given, "within", "for every method");
    given_again(given);
    given_readings(given, series_by(given, "by light", NULL), "4:10", "mg/L");
    expect(given, "not assessable", "no laboratory told");
}

static void a_sample_that_looks_for_a_cause_counts_unless_the_clause_says_otherwise(void **state)
{
    struct given *given = *state;
    size_t series = given_samples(given, "3:10 4:90");

    each_sample(given);
    given->readings[series][1].looks_for_cause = true;
    expect(given, "outside: above 30", "it counts");
    given->limit.without_looking_for_cause = true;
    expect(given, "within", "left out");
}

static void derived_readings_are_a_kind_of_their_own(void **state)
{
    struct given *given = *state;

    each_sample(given);
    given_samples(given, "3:10");
    given_readings(given, given_series(given, "outfall", "suspended-solids", KIND_DERIVED), "4:90",
                   "mg/L");
    expect(given, "outside: above 30", "a clause without kinds takes all");
    given->limit.kinds = KIND_GRAB;
    expect(given, "within", "not taken");
}

static void a_composite_belongs_to_the_day_the_clause_says(void **state)
{
    /* From 3 March 18:00 to 4 March 18:00: 6 hours of one day and 18 of the next. */
    static const struct {
        enum belongs belongs;
        const char *until;
        int day;
        const char *reason;
    } rows[] = {
        {BELONGS_UNSET, "2026-03-04T18:00:00Z", 3, "not said: where it began"},
        {BELONGS_BEGAN, "2026-03-04T18:00:00Z", 3, "where it began"},
        {BELONGS_ENDED, "2026-03-04T18:00:00Z", 4, "where it ended"},
        {BELONGS_ENDED, "2026-03-04T00:00:00Z", 3, "ended as the day did"},
        {BELONGS_MOSTLY, "2026-03-04T18:00:00Z", 4, "18 of 24 hours"},
        {BELONGS_MOSTLY, "2026-03-04T06:00:00Z", 3, "as much in both: where it began"},
        {BELONGS_MOSTLY, "2026-03-04T06:00:01Z", 4, "a second more"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct given *given = *state;
        size_t series;
        struct verdict verdict;

        given_again(given);
        series = given_series(given, "outfall", "suspended-solids", KIND_COMPOSITE);
        given_readings(given, series, "3/18:00:10", "mg/L");
        given->readings[series][0].until = given_at(rows[i].until);
        given->limit.span_belongs = rows[i].belongs;
        verdict = given_verdict(given);
        assert_int_equal(verdict.item_count, 1);
        if (verdict.items[0].day != day_from_civil(2026, 3, rows[i].day))
            fail_msg("%s", rows[i].reason);
    }
}

static void a_composite_of_the_month_before_may_belong_to_this_one(void **state)
{
    struct given *given = *state;
    size_t series = given_series(given, "outfall", "suspended-solids", KIND_COMPOSITE);

    given_add(given, series, given_at("2026-02-28T18:00:00Z"), "10", "mg/L")->until =
        given_at("2026-03-01T18:00:00Z");
    given_add(given, series, given_at("2026-03-31T18:00:00Z"), "90", "mg/L")->until =
        given_at("2026-04-01T18:00:00Z");
    given->limit.span_belongs = BELONGS_ENDED;
    expect(given, "within", "the last one is of April");
    given->limit.span_belongs = BELONGS_BEGAN;
    expect(given, "outside: above 30", "the first one is of February");
}

static void readings_out_of_season_and_hours_do_not_count(void **state)
{
    struct given *given = *state;
    struct verdict verdict;

    each_sample(given);
    given_samples(given, "3/09:00:10 4/20:00:90 20/09:00:90");
    given->limit.hours = (struct limit_hours){true, 8 * 60, 17 * 60};
    given->limit.season = (struct limit_season){true, 301, 315};
    verdict = given_assert(given, "within", "one outside the hours, one out of season");
    assert_string_equal(verdict.items[1].why_not, "outside the hours 08:00 to 17:00");
    assert_string_equal(verdict.items[2].why_not, "out of the clause's season");
    assert_string_equal(verdict.days[19].note, "out of the clause's season");
}

/* From midnight to six: the hours of the clause begin with it, inside it, or after it. */
static void a_composite_partly_in_the_clause_s_hours_can_not_be_told(void **state)
{
    static const struct {
        int from_minute;
        const char *standing;
        const char *reason;
    } rows[] = {
        {0, "outside: above 30", "all of it lies in the hours"},
        {120, "not assessable", "it began before them"},
        {360, "within", "none of it does"},
    };
    struct given *given = *state;

    each_sample(given);
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given->limit.hours = (struct limit_hours){true, rows[i].from_minute, 22 * 60};
        given_samples(given, "3:10");

        size_t series = given_series(given, "outfall", given->limit.parameter, KIND_COMPOSITE);

        given_add(given, series, given_at("2026-03-04T00:00:00Z"), "40", "mg/L")->until =
            given_at("2026-03-04T06:00:00Z");
        expect(given, rows[i].standing, rows[i].reason);
    }
}

static void a_reading_beyond_that_can_not_be_placed_is_not_counted(void **state)
{
    struct given *given = *state;
    struct verdict verdict;

    each_sample(given);
    given_samples(given, "3:10 4:90");
    given->limit.tide = (struct limit_tide){TIDE_HIGH, "harbour", 3600, 3600};
    verdict = given_verdict(given);
    assert_int_equal(verdict.standing, STANDING_NOT_ASSESSABLE);
    assert_false(verdict.items[1].counted);
    assert_non_null(strstr(verdict.items[1].why_not, "'harbour' is not on record"));
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(readings_by_another_method_or_maker_do_not_count_and_are_shown),
        CASE(who_took_it_can_be_asked_for),
        CASE(a_laboratory_must_be_accredited_on_the_day),
        CASE(a_sample_that_looks_for_a_cause_counts_unless_the_clause_says_otherwise),
        CASE(derived_readings_are_a_kind_of_their_own),
        CASE(a_composite_belongs_to_the_day_the_clause_says),
        CASE(a_composite_of_the_month_before_may_belong_to_this_one),
        CASE(readings_out_of_season_and_hours_do_not_count),
        CASE(a_composite_partly_in_the_clause_s_hours_can_not_be_told),
        CASE(a_reading_beyond_that_can_not_be_placed_is_not_counted),
    };

    return cmocka_run_group_tests_name("judge/gather_readings", tests, NULL, NULL);
}
