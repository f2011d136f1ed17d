#include "judge/given.h"

/* Rows that were not taken in and could belong to the clause. */

static void rows_set_aside_are_counted_beside_the_verdict(void **state)
{
    struct given *given = *state;

    given_samples(given, "3:10 10:12");
    given_row(given, given_at("2026-03-17T12:00:00Z"), "11", "mg/L");
    given_row(given, INSTANT_NONE, "9", "mg/L");

    struct verdict verdict = given_assert(given, "within", "both would be within");

    assert_int_equal(verdict.set_aside, 2);
    assert_string_equal(verdict.words, "within, 2 rows set aside (11 mg/L, monthly mean of 2 "
                                       "samples, not above 30 mg/L)");
}

static void a_readable_row_that_would_be_outside_is_outside(void **state)
{
    struct given *given = *state;

    given_samples(given, "3:10 10:12");
    given_row(given, INSTANT_NONE, "100", "mg/L");

    struct verdict verdict = given_assert(given, "outside: above 30", "40.7 with it");

    assert_true(verdict.rests_on_doubt);
}

/* Taken in later, or left out, such a row changes the figure: the words tell that it is in it. */
static void the_words_say_when_the_figure_counts_rows_set_aside(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_VALUE;
    given_samples(given, "3:10 10:12");
    given_row(given, given_at("2026-03-17T12:00:00Z"), "44", "mg/L");
    assert_string_equal(given_verdict(given).words,
                        "outside: above 30, counting 1 row set aside, only with evidence in doubt "
                        "(44 mg/L, 1 of 3 samples, not above 30 mg/L)");
    given_row(given, given_at("2026-03-18T12:00:00Z"), "9", NULL);
    given_row(given, given_at("2026-03-19T12:00:00Z"), NULL, NULL)->from_probe = true;
    assert_non_null(strstr(given_verdict(given).words, "counting 1 of 3 rows set aside"));
    given_again(given);
    given_samples(given, "3:40 10:12");
    given_row(given, given_at("2026-03-17T12:00:00Z"), "44", "mg/L");
    assert_string_equal(given_verdict(given).words,
                        "outside: above 30, 1 row set aside (40 mg/L, 1 of 2 samples, not above 30 "
                        "mg/L)");
}

static void the_rows_that_were_tried_and_that_decided_are_told(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_VALUE;
    given_samples(given, "3:10");
    given_row(given, given_at("2026-03-17T12:00:00Z"), "11", "mg/L");
    given_row(given, given_at("2026-03-18T12:00:00Z"), "0.04", NULL);
    given_row(given, given_at("2026-03-19T12:00:00Z"), NULL, NULL);

    struct verdict verdict = given_assert(given, "not assessable", "0.04 may be g/L");

    assert_int_equal(verdict.set_aside, 3);
    assert_false(verdict.asides[0].decided || verdict.asides[0].outside);
    assert_string_equal(exact_text(given->mem, verdict.asides[0].most, 12), "11");
    assert_true(verdict.asides[1].decided && verdict.asides[1].outside);
    assert_string_equal(exact_text(given->mem, verdict.asides[1].most, 12), "40");
    assert_string_equal(exact_text(given->mem, verdict.asides[1].least, 12), "0.00000004");
    assert_null(verdict.asides[2].most);
    assert_false(verdict.asides[2].decided);
    given_again(given);
    given_samples(given, "3:10");
    given_row(given, given_at("2026-03-19T12:00:00Z"), NULL, NULL);
    assert_true(given_assert(given, "not assessable", "no number").asides[0].decided);
}

static const struct {
    enum limit_statistic statistic;
    const char *value;
    const char *standing;
    const char *reason;
} tried[] = {
    {STATISTIC_VALUE, "0.02", "within", "0.02 g/L is 20 mg/L"},
    {STATISTIC_VALUE, "40", "not assessable", "40 may be mg/L"},
    {STATISTIC_VALUE, "0.04", "not assessable", "0.04 may be g/L"},
    {STATISTIC_MEAN, "0.04", "within", "a mean of 19.7 even so"},
    {STATISTIC_MEAN, "0.2", "not assessable", "73 if it is g/L"},
    {STATISTIC_MAXIMUM, "0.2", "not assessable", "200 if it is g/L"},
};

static void a_row_without_a_readable_unit_is_tried_in_every_unit(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(tried); i++) {
        given_again(given);
        given->limit.statistic = tried[i].statistic;
        given_samples(given, "3:10 10:9");
        given_row(given, given_at("2026-03-17T12:00:00Z"), tried[i].value, NULL);

        struct verdict verdict = given_assert(given, tried[i].standing, tried[i].reason);

        assert_int_equal(verdict.set_aside, 1);
        if (verdict.standing == STANDING_NOT_ASSESSABLE)
            assert_non_null(strstr(verdict.reason, "line 12"));
    }
}

/* The same over a floor: the lowest it may have been decides. */
static void over_a_floor_the_lowest_unit_decides(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_VALUE;
    given->limit.bound = (struct limit_bound){.has_floor = true, .floor = {50, 1}};
    given_samples(given, "3:8");
    given_row(given, given_at("2026-03-17T12:00:00Z"), "7", NULL);
    given_assert(given, "not assessable", "7 ug/L would be below");
}

static void a_sample_with_no_number_stops_and_a_probes_gap_does_not(void **state)
{
    struct given *given = *state;

    given_samples(given, "3:10");

    struct evidence_set_aside *row = given_row(given, given_at("2026-03-17T12:00:00Z"), NULL, NULL);

    given_assert(given, "not assessable", "a result that nobody can read");
    row->from_probe = true;
    given_assert(given, "within", "a gap of a probe");
    row->from_probe = false;
    given_again(given);
    given_samples(given, "3:90");
    given_row(given, given_at("2026-03-17T12:00:00Z"), NULL, NULL);
    given_assert(given, "outside: above 30", "outside anyway");
}

static void a_breach_stays_a_breach_with_rows_set_aside(void **state)
{
    struct given *given = *state;

    given_samples(given, "3:90");
    given_row(given, INSTANT_NONE, "0", NULL);

    struct verdict verdict = given_assert(given, "outside: above 30", "90");

    assert_false(verdict.rests_on_doubt);
}

static void only_rows_that_could_belong_are_counted(void **state)
{
    struct given *given = *state;

    given->limit.kinds = KIND_GRAB;
    given_samples(given, "3:10");
    given_row(given, given_at("2026-04-02T12:00:00Z"), "90", "mg/L"); /* another month */
    given_row(given, given_at("2026-03-17T12:00:00Z"), "90", "mg/L")->station = "intake";
    given_row(given, given_at("2026-03-17T12:00:00Z"), "90", "mg/L")->parameter = "nitrate";
    given_row(given, given_at("2026-03-17T12:00:00Z"), "90", "mg/L")->from_probe = true;
    given_row(given, given_at("2026-03-17T12:00:00Z"), "90", "NTU")->parameter = NULL;
    assert_int_equal(given_assert(given, "within", "none of them").set_aside, 0);

    given_row(given, given_at("2026-03-17T12:00:00Z"), "9", "mg/L")->parameter = NULL;
    given_row(given, given_at("2026-03-17T12:00:00Z"), "9", "mg/L")->station = NULL;
    assert_int_equal(given_assert(given, "within", "two of them").set_aside, 2);
}

static void a_row_of_a_day_without_discharge_does_not_belong(void **state)
{
    struct given *given = *state;

    given->limit.only_while_discharging = true;
    given_day(given, 17, DISCHARGE_NONE);
    given_samples(given, "3:10");
    given_row(given, given_at("2026-03-17T12:00:00Z"), "90", "mg/L");
    assert_int_equal(given_assert(given, "within", "nothing was discharged").set_aside, 0);
}

static void a_row_that_could_be_another_reading_is_counted_too(void **state)
{
    struct given *given = *state;
    struct evidence_set_aside *row;

    given_samples(given, "10:10");
    given_readings(given, given_series(given, "river", "flow", KIND_PROBE), "10:3", "m3/s");
    given->limit.applies_while =
        (struct limit_while){.other = {.station = "river", .parameter = "flow", .unit = "m3/s"},
                             .has_above = true,
                             .above = {2, 0},
                             .within_s = 3600};
    row = given_row(given, given_at("2026-02-28T23:30:00Z"), "1", "m3/s");
    row->station = "river";
    row->parameter = "flow";
    assert_int_equal(given_assert(given, "within", "half an hour before the period").set_aside, 1);
    row->at = given_at("2026-02-28T22:30:00Z");
    assert_int_equal(given_assert(given, "within", "too long before it").set_aside, 0);
}

static void a_row_at_a_time_the_clause_does_not_apply_does_not_belong(void **state)
{
    struct given *given = *state;

    given_samples(given, "10:10");
    given->limit.hours = (struct limit_hours){true, 8 * 60, 17 * 60};
    given_row(given, given_at("2026-03-17T20:00:00Z"), "90", "mg/L");
    assert_int_equal(given_assert(given, "within", "outside the hours").set_aside, 0);
    given_row(given, INSTANT_NONE, "90", "mg/L");
    assert_int_equal(given_assert(given, "outside: above 30", "at no known time").set_aside, 1);
}

static void a_state_s_word_is_weighed_where_it_can_be_read(void **state)
{
    struct given *given = *state;
    struct evidence_set_aside *row;
    struct parameter foam = {.key = "visible-foam",
                             .name = "Foam",
                             .kind = PARAMETER_STATE,
                             .matrix = "water",
                             .basis = "",
                             .states = {"seen", "not seen"}};
    const struct parameter_list own = {.items = &foam, .count = 1};

    given->evidence.parameters = &own;
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_EACH_SAMPLE;
    given->limit.parameter = "visible-foam";
    given->limit.bound = (struct limit_bound){.has_ceiling = false};
    given->limit.bound_by =
        (struct limit_bound_by){.kind = BOUND_STATE, .state = "seen", .state_is_outside = true};
    given_readings(given, given_series(given, "outfall", "visible-foam", KIND_BY_HAND), "10:0",
                   "not seen");
    row = given_row(given, given_at("2026-03-17T12:00:00Z"), NULL, "not seen");
    assert_int_equal(given_verdict(given).standing, STANDING_WITHIN);
    row->unit = "seen";
    assert_int_equal(given_verdict(given).standing, STANDING_OUTSIDE);
    row->unit = "perhaps";
    assert_int_equal(given_verdict(given).standing, STANDING_NOT_ASSESSABLE);
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(rows_set_aside_are_counted_beside_the_verdict),
        CASE(a_readable_row_that_would_be_outside_is_outside),
        CASE(the_words_say_when_the_figure_counts_rows_set_aside),
        CASE(the_rows_that_were_tried_and_that_decided_are_told),
        CASE(a_row_without_a_readable_unit_is_tried_in_every_unit),
        CASE(over_a_floor_the_lowest_unit_decides),
        CASE(a_sample_with_no_number_stops_and_a_probes_gap_does_not),
        CASE(a_breach_stays_a_breach_with_rows_set_aside),
        CASE(only_rows_that_could_belong_are_counted),
        CASE(a_row_of_a_day_without_discharge_does_not_belong),
        CASE(a_row_that_could_be_another_reading_is_counted_too),
        CASE(a_row_at_a_time_the_clause_does_not_apply_does_not_belong),
        CASE(a_state_s_word_is_weighed_where_it_can_be_read),
    };

    return cmocka_run_group_tests_name("judge/set_aside", tests, NULL, NULL);
}
