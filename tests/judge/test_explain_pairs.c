#include "judge/explain.h"
#include "judge/given.h"

/* Two places held against each other: each step from a reading to what its pair makes. */

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

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(an_intake_credit_shows_each_pair_and_what_went_without),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
