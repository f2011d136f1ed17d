#include "judge/explain.h"
#include "judge/given.h"

/* What a reading is held against: a pair of two places, a bound of its own. */

static struct explanation explained(struct given *given, bool every)
{
    const struct explain_choices choices = {.names = NULL, .every_reading = every};
    struct verdict verdict = given_verdict(given);

    return judge_explain(given->mem, &verdict, &given->evidence, &choices);
}

static void assert_from(const struct explanation *lines, const char *const *expected, size_t count)
{
    size_t found = 0;

    while (found < lines->count && strcmp(lines->items[found], expected[0]) != 0)
        found++;
    if (found == lines->count) {
        for (size_t i = 0; i < lines->count; i++)
            print_message("%s\n", lines->items[i]);
        fail_msg("no line '%s'", expected[0]);
    }
    for (size_t i = 0; i < count && found + i < lines->count; i++)
        assert_string_equal(lines->items[found + i], expected[i]);
    assert_true(found + count <= lines->count);
}

/* A mean of every reading, not above 12, with what the intake brought credited. */
static void held_against(struct given *given, enum against_kind kind)
{
    given->limit.less_than = LESS_THAN_HALF;
    given->limit.bound.ceiling = (struct decimal){12, 0};
    given->limit.against =
        (struct limit_against){.kind = kind, .place = {"creek", NULL}, .pairing = PAIR_SAME_DAY};
}

/* 15 is credited the 3 it is above 12 of 4; 20 all 5; 10 needs none; 14 and 9 have no partner. */
static void an_intake_credit_shows_each_pair_and_what_went_without(void **state)
{
    static const char *const expected[] = {
        "compared with creek: intake credit of each pair",
        "  2026-03-03 12:00: 15 against 4 (creek, 2026-03-03 08:00), credited 3: 12",
        "  2026-03-04 12:00: 20 against 5 (creek, 2026-03-04 08:00), credited 5: 15",
        "  2026-03-05 12:00: 10 against 7 (creek, 2026-03-05 08:00), not above 12, so nothing is "
        "credited: 10",
        "  2026-03-06 12:00: 14: no paired intake sample, so nothing is credited",
        "  2026-03-07 12:00: 9, not above 12, so no intake sample is needed",
    };
    struct given *given = *state;

    held_against(given, AGAINST_CREDIT);
    given_samples(given, "3:15 4:20 5:10 6:14 7:9");
    given_readings(given, given_series(given, "creek", "suspended-solids", KIND_GRAB),
                   "3/08:00:4 4/08:00:5 5/08:00:7", "mg/L");

    struct explanation lines = explained(given, false);

    assert_from(&lines, expected, ARRAY_LEN(expected));
}

/* Of a long list every pair is told when all is asked for, of a difference and a removal too. */
static void every_pair_of_a_long_list_is_told_when_all_is_asked_for(void **state)
{
    static const struct {
        enum against_kind kind;
        const char *line;
    } rows[] = {
        {AGAINST_DIFFERENCE, "  2026-03-03 00:00: 8 less 5 (creek, 2026-03-03 00:00) = 3"},
        {AGAINST_REMOVAL, "  2026-03-03 00:00: 8 against 5 (creek, 2026-03-03 00:00): removal -60 "
                          "%"},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        size_t outfall;
        size_t creek;

        given_again(given);
        held_against(given, rows[i].kind);
        given->limit.against.pairing = PAIR_WITHIN;
        outfall = given_series(given, "outfall", "suspended-solids", KIND_PROBE);
        creek = given_series(given, "creek", "suspended-solids", KIND_PROBE);
        for (int hour = 0; hour < 24 * 5; hour++) {
            instant at = given_at("2026-03-01T00:00:00Z") + hour * HOUR_US;

            given_add(given, outfall, at, "8", "mg/L");
            given_add(given, creek, at, "5", "mg/L");
        }

        struct explanation all = explained(given, true);
        struct explanation some = explained(given, false);

        assert_from(&all, &rows[i].line, 1);
        assert_true(some.shortened);
        assert_true(some.count + 100 < all.count);
    }
}

/*
 * The equation of Bower and Bidwell holds from 32 PSU: a sample of 28 has no bound, and one beside
 * which no salinity was read has none either.
 */
static void a_sample_whose_bound_cannot_be_made_says_why(void **state)
{
    static const char *const outside[] = {
        "  2026-03-03 12:00: 1.3 mg/L, with ph at outfall 8.0 pH (2026-03-03 12:00) and "
        "temperature "
        "at outfall 15 degC (2026-03-03 12:00) and salinity at outfall 28 PSU (2026-03-03 12:00), "
        "without a bound (the practical salinity is 28, and sea water, Bower and Bidwell 1978 "
        "holds "
        "from 32 to 40), so it can't be compared [file 1 line 2 column 1]"};
    static const char *const alone[] = {
        "  2026-03-04 12:00: 1.2 mg/L, with ph at outfall 8.0 pH (2026-03-04 12:00) and "
        "temperature "
        "at outfall 15 degC (2026-03-04 12:00), without a bound (no salinity was read at outfall "
        "within 30 min), so it can't be compared [file 1 line 3 column 1]"};
    struct given *given = *state;

    given->limit.parameter = "ammonia";
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_EACH_SAMPLE;
    given->limit.bound = (struct limit_bound){.has_ceiling = false};
    given->limit.bound_by =
        (struct limit_bound_by){.kind = BOUND_UNIONISED,
                                .others = {{.station = "outfall", .parameter = "ph"},
                                           {.station = "outfall", .parameter = "temperature"},
                                           {.station = "outfall", .parameter = "salinity"}},
                                .other_count = 3,
                                .within_s = 1800,
                                .stated = {2, 2},
                                .ammonia_form = "bower-bidwell"};
    given_samples(given, "3:1.3 4:1.2");
    given_readings(given, given_series(given, "outfall", "ph", KIND_PROBE), "3:8.0 4:8.0", "pH");
    given_readings(given, given_series(given, "outfall", "temperature", KIND_PROBE), "3:15 4:15",
                   "degC");
    given_readings(given, given_series(given, "outfall", "salinity", KIND_PROBE), "3:28", "PSU");

    struct explanation lines = explained(given, false);

    assert_from(&lines, outside, ARRAY_LEN(outside));
    assert_from(&lines, alone, ARRAY_LEN(alone));
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(an_intake_credit_shows_each_pair_and_what_went_without),
        CASE(every_pair_of_a_long_list_is_told_when_all_is_asked_for),
        CASE(a_sample_whose_bound_cannot_be_made_says_why),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
