#include "judge/discharge.h"
#include "judge/given.h"

/*
 * Rows set aside that may be another reading than the clause's own: a word of the outlet, the
 * newest reading of a condition, what a bound goes by, the intake. Each was listed and not weighed.
 */

static void each_value(struct given *given)
{
    given_again(given);
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_EACH_SAMPLE;
    given->limit.bound = (struct limit_bound){.has_ceiling = true, .ceiling = {30, 0}};
    given->limit.bound_by = (struct limit_bound_by){.kind = BOUND_NUMBER};
    given->limit.applies_while = (struct limit_while){.within_s = 0};
    given->limit.against = (struct limit_against){.kind = AGAINST_NONE};
    given->limit.only_while_discharging = false;
    given->evidence.outlet_series = -1;
    given->evidence.state_holds_s = 0;
}

static struct evidence_set_aside *row_of(struct given *given, const char *station,
                                         const char *parameter, const char *at, const char *value,
                                         const char *unit)
{
    struct evidence_set_aside *row =
        given_row(given, at ? given_at(at) : INSTANT_NONE, value, unit);

    row->station = station;
    row->parameter = parameter;

    return row;
}

/* --- the outlet ------------------------------------------------------------------------------ */

/* A word that can be read is a value with the state as its unit. */
static void word_of(struct given *given, const char *station, const char *at, const char *word)
{
    row_of(given, station, "outlet", at, word ? "0" : NULL, word);
}

/* The outlet's words, the days as they follow from them, and one sample. */
static void outlet(struct given *given, const char *words)
{
    size_t record = given_series(given, "outfall", "outlet", KIND_BY_HAND);

    given_readings(given, record, words, "");
    given->evidence.outlet_series = (int)record;
    given->limit.only_while_discharging = true;
}

static void find_days(struct given *given)
{
    struct discharge_day *days = judge_discharge_days(
        given->mem, &given->evidence, given->evidence.outlet_series, -1, given->from, given->to);

    given->evidence.day_count = (size_t)(given->to - given->from) + 1;
    memcpy(given->days, days, given->evidence.day_count * sizeof(*days));
}

static void a_word_of_the_outlet_set_aside_takes_no_sample_out(void **state)
{
    static const struct {
        const char *words;
        const char *station;
        const char *at;
        const char *word;
        const char *sample;
        const char *standing;
        bool doubt;
        const char *reason;
    } rows[] = {
        {"1:open 5:shut", "outfall", "2026-03-10T00:00:00Z", NULL, "3:5 12:90", "outside: above 30",
         true, "a word that can't be read may have opened it"},
        {"1:open 5:shut", NULL, "2026-03-10T00:00:00Z", "open", "3:5 12:90", "outside: above 30",
         true, "open, at a station that can't be read"},
        {"1:open 5:shut", NULL, "2026-03-10T00:00:00Z", "shut", "3:5 12:90", "within", false,
         "shut as the record says"},
        {"1:open 5:shut", "outfall", NULL, NULL, "3:5 12:90", "outside: above 30", true,
         "its time can't be read"},
        {"1:open 5:shut 11:shut", "outfall", "2026-03-10T00:00:00Z", NULL, "3:5 12:90", "within",
         false, "the next sound word ends what it may have done"},
        {"1:open 5:shut", "outfall", "2026-03-13T00:00:00Z", NULL, "3:5 12:90", "within", false,
         "it comes after the sample"},
        {"1:open 5:shut", "drain", "2026-03-10T00:00:00Z", NULL, "3:5 12:90", "within", false,
         "it is of another outlet"},
        {"1:open 5:shut", "outfall", "2026-03-10T00:00:00Z", NULL, "3:5 12:20", "within", false,
         "nothing that it may have opened is beyond the bound"},
        {"1:open 15:open", "outfall", "2026-03-10T00:00:00Z", "shut", "3:5 11:50",
         "outside: above 30", true, "what it may have shut out is beyond the bound"},
        {"1:open 15:open", "outfall", "2026-03-10T00:00:00Z", "shut", "3:5 20:50",
         "outside: above 30", false, "what it can't have shut out is"},
        {"1:open 15:open", "outfall", "2026-03-10T00:00:00Z", "shut", "11:5", "not assessable",
         true, "only what it may have shut out is within"},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        each_value(given);
        given_samples(given, rows[i].sample);
        outlet(given, rows[i].words);
        word_of(given, rows[i].station, rows[i].at, rows[i].word);
        find_days(given);

        struct verdict verdict = given_assert(given, rows[i].standing, rows[i].reason);

        if (verdict.rests_on_doubt != rows[i].doubt)
            fail_msg("%s: %s", rows[i].reason, verdict.words);
    }
}

static void a_word_set_aside_stands_beside_the_verdict(void **state)
{
    struct given *given = *state;

    each_value(given);
    given_samples(given, "3:5 12:20");
    outlet(given, "1:open 5:shut");
    word_of(given, "outfall", "2026-03-10T00:00:00Z", NULL);
    find_days(given);
    assert_int_equal(given_verdict(given).set_aside, 1);
    assert_int_equal(given_verdict(given).asides[0].roles, ASIDE_OUTLET);
}

static void where_a_word_is_set_aside_no_discharge_is_not_established(void **state)
{
    struct given *given = *state;

    each_value(given);
    given_samples(given, "");
    outlet(given, "1/00:00:shut");
    find_days(given);
    given_assert(given, "nothing due", "shut all month");
    word_of(given, "outfall", "2026-03-10T00:00:00Z", NULL);
    find_days(given);

    struct verdict verdict = given_assert(given, "not assessable", "it may have been opened");

    assert_non_null(strstr(verdict.reason, "not established that nothing was discharged"));
    assert_int_equal(given->days[8].state, DISCHARGE_NONE);
    assert_int_equal(given->days[9].state, DISCHARGE_UNKNOWN);
    assert_non_null(given->days[9].doubt);
}

/* A word that nobody can read may have begun or ended the time that is counted. */
static void a_time_outside_is_not_cleared_while_the_outlet_is_in_doubt(void **state)
{
    static const struct {
        const char *words;
        const char *probe;
        const char *standing;
        const char *reason;
    } rows[] = {
        {"1/00:00:open 5/00:00:shut", "12/00:00:90 12/06:00:90 12/12:00:90", "not assessable",
         "12 h beyond, if the outlet was open by then"},
        {"1/00:00:open 5/00:00:shut", "3/00:00:90 3/06:00:90 3/12:00:90", "outside: above 10",
         "12 h beyond while it was open, whatever came later"},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        each_value(given);
        given->limit.statistic = STATISTIC_TIME_OUTSIDE;
        given->limit.period = PERIOD_MONTH;
        given->limit.kinds = KIND_PROBE;
        given->limit.reading_stands_s = 43200;
        given->limit.standing_rule = STANDS_TO_NEXT;
        given->limit.settings.time_unit_s = 3600;
        given->limit.settings.beyond = (struct limit_beyond){.has_above = true, .above = {30, 0}};
        given->limit.bound.ceiling = (struct decimal){10, 0};
        given_readings(given, given_series(given, "outfall", "suspended-solids", KIND_PROBE),
                       rows[i].probe, "mg/L");
        outlet(given, rows[i].words);
        word_of(given, "outfall", "2026-03-10T00:00:00Z", NULL);
        find_days(given);
        given_assert(given, rows[i].standing, rows[i].reason);
        given->limit.statistic = STATISTIC_VALUE;
        given->limit.kinds = 0;
    }
}

/* --- a condition ----------------------------------------------------------------------------- */

static void while_rain(struct given *given, bool above)
{
    each_value(given);
    given->limit.applies_while = (struct limit_while){
        .other = {.station = "gauge", .parameter = "rain", .unit = "mm"},
        .has_above = above,
        .has_below = !above,
        .above = {10, 0},
        .below = {10, 0},
        .within_s = 172800,
    };
}

static void a_condition_s_row_set_aside_never_leaves_a_breach_within(void **state)
{
    static const struct {
        const char *at;
        const char *value;
        const char *unit;
        const char *wet; /* the clause that holds above 10 mm */
        const char *dry; /* and the one below */
        const char *reason;
    } rows[] = {
        {"2026-03-06T00:00:00Z", NULL, NULL, "not assessable", "outside: above 30",
         "its number can't be read; what held by the record alone is outside all the same"},
        {"2026-03-06T00:00:00Z", "20", "mm", "outside: above 30", "outside: above 30",
         "by it the wet clause held; the dry one held by the reading on record"},
        {"2026-03-06T00:00:00Z", "2", "mm", "within", "outside: above 30",
         "it says what the record says"},
        {"2026-03-06T00:00:00Z", "20", NULL, "not assessable", "outside: above 30",
         "20 mm or 20 inches: it is not known that it was either"},
        {"2026-03-05T06:00:00Z", "20", "mm", "within", "outside: above 30",
         "older than the one on record"},
        {"2026-03-06T10:00:00Z", "20", "mm", "within", "outside: above 30",
         "later than the sample"},
        {NULL, "20", "mm", "outside: above 30", "outside: above 30", "of any time"},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        for (int above = 0; above <= 1; above++) {
            while_rain(given, above != 0);
            given_samples(given, "6/09:00:40 8/12:00:10");
            given_readings(given, given_series(given, "gauge", "rain", KIND_PROBE),
                           above ? "5/12:00:0 8/00:00:20" : "5/12:00:0", "mm");
            row_of(given, "gauge", "rain", rows[i].at, rows[i].value, rows[i].unit);
            given_assert(given, above ? rows[i].wet : rows[i].dry, rows[i].reason);
        }
}

/* --- a state that held ----------------------------------------------------------------------- */

/* The outlet must be shut from 20:00 to 06:00; somebody looks at 08:00, and once in between. */
static void a_word_set_aside_may_have_held_as_the_clause_began(void **state)
{
    static const struct {
        const char *at;
        const char *word;
        const char *standing;
        const char *reason;
    } rows[] = {
        {"2026-03-03T19:00:00Z", "open", "outside: not shut", "open from 19:00 on"},
        {"2026-03-03T19:00:00Z", NULL, "not assessable", "it may say that it was open"},
        {"2026-03-03T19:00:00Z", "shut", "within", "shut as the record says"},
        {"2026-03-03T07:00:00Z", "open", "within", "the record's word is newer"},
    };
    struct given *given = *state;
    struct limit limit = given->limit;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        each_value(given);
        given->limit.parameter = "outlet";
        given->limit.unit = NULL;
        given->limit.bound = (struct limit_bound){.has_ceiling = false};
        given->limit.bound_by = (struct limit_bound_by){.kind = BOUND_STATE, .state = "shut"};
        given->limit.hours = (struct limit_hours){true, 20 * 60, 6 * 60};
        given->evidence.state_holds_s = 30 * 3600;
        given->from = given->to = day_from_civil(2026, 3, 3);
        given_readings(given, given_series(given, "outfall", "outlet", KIND_BY_HAND),
                       "2/08:00:shut 3/08:00:shut 4/08:00:shut", "");
        word_of(given, "outfall", rows[i].at, rows[i].word);
        given_assert(given, rows[i].standing, rows[i].reason);
        given->limit = limit;
        given->from = day_from_civil(2026, 3, 1);
        given->to = day_from_civil(2026, 3, 31);
    }
}

/* --- what a bound goes by -------------------------------------------------------------------- */

static const struct bound_step steps[] = {
    {.up_to = {8, 0}, .bound = {15, 1}},
    {.last = true, .bound = {5, 1}},
};

static void by_ph(struct given *given)
{
    each_value(given);
    given->limit.bound = (struct limit_bound){.has_ceiling = false};
    given->limit.bound_by = (struct limit_bound_by){
        .kind = BOUND_TABLE,
        .others = {{.station = "outfall", .parameter = "ph", .unit = "pH"}},
        .other_count = 1,
        .within_s = 1800,
        .steps = steps,
        .step_count = ARRAY_LEN(steps),
    };
}

static void a_row_that_a_bound_may_go_by_gives_the_stricter_bound(void **state)
{
    static const struct {
        const char *at;
        const char *value;
        const char *unit;
        const char *sample;
        const char *standing;
        const char *bound; /* the sample's own, and by the row */
        const char *beside;
        const char *reason;
    } rows[] = {
        {"2026-03-10T12:00:00Z", "8.9", "pH", "10:1", "outside: above 0.5", "1.5", "0.5",
         "nearer than the one on record, with a stricter bound"},
        {"2026-03-10T12:00:00Z", "8.9", NULL, "10:1", "not assessable", "1.5", "0.5",
         "the same, and its unit can't be read"},
        {"2026-03-10T12:00:00Z", NULL, NULL, "10:1", "not assessable", "1.5", NULL,
         "its number can't be read: any bound"},
        {"2026-03-10T12:00:00Z", NULL, NULL, "10:2", "outside: above 1.5", "1.5", NULL,
         "beyond the bound on record whatever the row was"},
        {"2026-03-10T12:00:00Z", "8.9", "pH", "10:0.4", "within", "1.5", "0.5",
         "within the stricter bound too"},
        {"2026-03-10T12:00:00Z", "7.5", "pH", "10:1", "within", "1.5", NULL,
         "its bound is the same"},
        {"2026-03-10T12:20:00Z", "8.9", "pH", "10:1", "within", "1.5", NULL,
         "farther than the one on record"},
        {"2026-03-10T12:10:00Z", "8.9", "pH", "10:1", "outside: above 0.5", "1.5", "0.5",
         "as near as the one on record"},
        {NULL, "8.9", "pH", "10:1", "outside: above 0.5", "1.5", "0.5", "of any time"},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        by_ph(given);
        given_samples(given, rows[i].sample);
        given_readings(given, given_series(given, "outfall", "ph", KIND_PROBE), "10/11:50:7", "pH");
        row_of(given, "outfall", "ph", rows[i].at, rows[i].value, rows[i].unit);

        struct verdict verdict = given_assert(given, rows[i].standing, rows[i].reason);

        assert_int_equal(verdict.item_count, 1);
        assert_string_equal(exact_text(given->mem, verdict.items[0].bound, 12), rows[i].bound);
        if ((verdict.items[0].beside_bound != NULL) != (rows[i].beside != NULL))
            fail_msg("%s: a bound by the row", rows[i].reason);
        if (rows[i].beside)
            assert_string_equal(exact_text(given->mem, verdict.items[0].beside_bound, 12),
                                rows[i].beside);
    }
}

/* One sample is one sample, however many bounds it is held against. */
static void a_reading_held_against_a_row_s_bound_counts_once(void **state)
{
    struct given *given = *state;

    by_ph(given);
    given->limit.period = PERIOD_MONTH;
    given->limit.allowance = (struct limit_allowance){.kind = ALLOWANCE_COUNT, .count = 1};
    given_samples(given, "10:1 11:1");
    given_readings(given, given_series(given, "outfall", "ph", KIND_PROBE), "10/11:50:7 11:7",
                   "pH");
    row_of(given, "outfall", "ph", "2026-03-10T12:00:00Z", "8.9", "pH");
    given_assert(given, "within", "1 of 2 may be beyond");
    given->limit.allowance.kind = ALLOWANCE_NONE;
    assert_non_null(strstr(given_verdict(given).words, "1 of 2 samples"));
}

/* --- the place compared with ----------------------------------------------------------------- */

static void against_intake(struct given *given, enum against_kind kind)
{
    each_value(given);
    given->limit.against = (struct limit_against){
        .kind = kind, .place = {"intake", NULL}, .pairing = PAIR_WITHIN, .within_s = 7200};
    given->limit.bound = (struct limit_bound){.has_ceiling = true, .ceiling = {10, 0}};
}

static void a_row_of_the_intake_that_may_be_nearer_is_held_against(void **state)
{
    static const struct {
        const char *station;
        const char *at;
        const char *value;
        const char *unit;
        const char *standing;
        const char *reason;
    } rows[] = {
        {NULL, "2026-03-06T09:10:00Z", "10", "mg/L", "outside: above 10",
         "its station can't be read, and it is nearer: 25 - 10"},
        {"intake", "2026-03-06T09:10:00Z", "10", "mg/L", "outside: above 10",
         "it is of the intake"},
        {"intake", "2026-03-06T09:10:00Z", "0.01", NULL, "not assessable", "10 if it was g/L"},
        {"intake", "2026-03-06T09:10:00Z", NULL, NULL, "not assessable", "any number"},
        {"intake", "2026-03-06T09:10:00Z", "22", "mg/L", "within", "25 - 22"},
        {"intake", "2026-03-06T10:30:00Z", "10", "mg/L", "within",
         "farther than the one on record"},
        {"intake", "2026-03-06T10:00:00Z", "10", "mg/L", "outside: above 10", "as near"},
        {"intake", NULL, "10", "mg/L", "outside: above 10", "of any time"},
        {"drain", "2026-03-06T09:10:00Z", "10", "mg/L", "within", "of another place"},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        against_intake(given, AGAINST_DIFFERENCE);
        given_samples(given, "6/09:00:25 7/09:00:12");
        given_readings(given, given_series(given, "intake", "suspended-solids", KIND_GRAB),
                       "6/08:00:20 7/09:00:12", "mg/L");
        row_of(given, rows[i].station, "suspended-solids", rows[i].at, rows[i].value, rows[i].unit);
        given_assert(given, rows[i].standing, rows[i].reason);
    }
}

/* Two rows near one sample: each may be the partner, also the one that is not the nearest. */
static void a_row_of_the_intake_hides_no_other(void **state)
{
    struct given *given = *state;

    against_intake(given, AGAINST_DIFFERENCE);
    given_samples(given, "6/09:00:25");
    given_readings(given, given_series(given, "intake", "suspended-solids", KIND_GRAB),
                   "6/08:00:20", "mg/L");
    row_of(given, "intake", "suspended-solids", "2026-03-06T09:10:00Z", "24", "mg/L");
    row_of(given, "intake", "suspended-solids", "2026-03-06T09:20:00Z", "10", "mg/L");

    struct verdict verdict = given_assert(given, "outside: above 10", "25 - 10");

    assert_true(verdict.rests_on_doubt);
    assert_string_equal(verdict.figure_text, "15");
}

/* The water of 1 March came in on the last day of February. */
static void a_row_of_the_intake_before_the_period_is_looked_at(void **state)
{
    struct given *given = *state;

    for (int readable = 0; readable <= 1; readable++) {
        against_intake(given, AGAINST_DIFFERENCE);
        given->limit.against.pairing = PAIR_RESIDENCE;
        given->limit.against.residence_s = 43200;
        given_samples(given, "1/09:00:25");
        given_add(given, given_series(given, "intake", "suspended-solids", KIND_GRAB),
                  given_at("2026-02-28T20:00:00Z"), "20", "mg/L");
        row_of(given, "intake", "suspended-solids", "2026-02-28T21:10:00Z", readable ? "10" : NULL,
               readable ? "mg/L" : NULL);
        assert_int_equal(given_assert(given, readable ? "outside: above 10" : "not assessable",
                                      "nearer than the one on record")
                             .set_aside,
                         1);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_word_of_the_outlet_set_aside_takes_no_sample_out),
        cmocka_unit_test(a_word_set_aside_stands_beside_the_verdict),
        cmocka_unit_test(where_a_word_is_set_aside_no_discharge_is_not_established),
        cmocka_unit_test(a_time_outside_is_not_cleared_while_the_outlet_is_in_doubt),
        cmocka_unit_test(a_condition_s_row_set_aside_never_leaves_a_breach_within),
        cmocka_unit_test(a_word_set_aside_may_have_held_as_the_clause_began),
        cmocka_unit_test(a_row_that_a_bound_may_go_by_gives_the_stricter_bound),
        cmocka_unit_test(a_reading_held_against_a_row_s_bound_counts_once),
        cmocka_unit_test(a_row_of_the_intake_that_may_be_nearer_is_held_against),
        cmocka_unit_test(a_row_of_the_intake_hides_no_other),
        cmocka_unit_test(a_row_of_the_intake_before_the_period_is_looked_at),
    };

    return cmocka_run_group_tests(tests, given_new, given_done);
}
