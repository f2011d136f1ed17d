/* Clauses that are broken only by several periods one after the other. */
#include "judge/given.h"

/* A value a month on its 10th, January 2026 first; "-" is a month without. */
static void given_months(struct given *given, const char *text)
{
    size_t series = given_series(given, "outfall", "suspended-solids", KIND_GRAB);
    char *rest = arena_strdup(given->mem, text);
    int month = 1;

    for (char *word = strtok_r(rest, " ", &rest); word;
         word = strtok_r(NULL, " ", &rest), month++) {
        char *mark = strchr(word, '?');

        if (mark)
            *mark = '\0';
        if (strcmp(word, "-") != 0)
            given_add(given, series,
                      given_at(arena_printf(given->mem, "2026-%02d-10T12:00:00Z", month)), word,
                      "mg/L")
                ->doubt = mark ? "calibration overdue" : NULL;
    }
    given->from = day_from_civil(2026, month - 1, 1);
    given->to = month_next(given->from) - 1;
}

/*
 * Monthly means: 40 CFR 123.45, Appendix A, from memory. Beyond 1.4 times the limit, or at it, in 2
 * of 6 months; beyond the limit in 4 of 6.
 */
static const struct {
    const char *bound;
    bool reached;
    int outside;
    int of;
    const char *months;
    const char *standing;
    size_t beyond;
    const char *reason;
} cases[] = {
    {"42", true, 2, 6, "28 43 31 25 44 29", "outside: at or above 42", 2, "43 and 44"},
    {"30", false, 4, 6, "28 43 31 25 44 29", "within", 3, "three of the four"},
    {"30", false, 3, 6, "28 43 31 25 44 29", "outside: above 30", 3, "though this month keeps it"},
    {"42", true, 2, 6, "42 43 31 25 44 29 29 29", "within", 1, "only 44 is among the last six"},
    {"42", true, 2, 6, "28 43 31 - 30 29", "not assessable", 1, "the month without may be one"},
    {"42", true, 2, 6, "28 29 31 - 30 29", "within", 0, "it could not be two"},
    {"42", true, 2, 6, "28 43 31 - 44 29", "outside: at or above 42", 2, "whatever it was"},
    {"42", true, 2, 6, "44", "not assessable", 1, "nothing is known of the five before"},
    {"42", true, 2, 6, "28 43 31 25 44? 29", "outside: at or above 42", 2, "one in doubt can stop"},
    {"42", true, 2, 6, "28 43 31 25 20? 29", "not assessable", 1, "and never clear"},
    {"30", false, 1, 1, "28 31", "outside: above 30", 1, "one of one is no more than the month"},
};

static void so_many_of_so_many_periods_break_it(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(cases); i++) {
        given_again(given);
        given->limit.bound.ceiling = given_decimal(cases[i].bound);
        given->limit.bound.ceiling_reached_is_outside = cases[i].reached;
        given->limit.across_outside = cases[i].outside;
        given->limit.across_of = cases[i].of;
        given_months(given, cases[i].months);

        struct verdict verdict = given_assert(given, cases[i].standing, cases[i].reason);

        assert_int_equal(verdict.across_count, cases[i].of);
        if (verdict.across_beyond != cases[i].beyond)
            fail_msg("%s: %zu beyond", cases[i].reason, verdict.across_beyond);
    }
}

static void the_periods_are_listed_oldest_first(void **state)
{
    struct given *given = *state;

    given->limit.bound.ceiling = (struct decimal){42, 0};
    given->limit.across_outside = 2;
    given->limit.across_of = 3;
    given_months(given, "90 43 20 44");

    struct verdict verdict = given_assert(given, "outside: above 42", "43 and 44");

    assert_int_equal(verdict.across_count, 3);
    assert_int_equal(verdict.across[0].from, day_from_civil(2026, 2, 1));
    assert_string_equal(verdict.across[0].compared_text, "43");
    assert_int_equal(verdict.across[1].standing, STANDING_WITHIN);
    assert_int_equal(verdict.across[2].to, day_from_civil(2026, 4, 30));
    assert_string_equal(verdict.words, "outside: above 42 in 2 of the last 3 months (44 mg/L, "
                                       "monthly mean of 1 sample, not above 42 mg/L)");
}

static void periods_before_the_clause_are_not_beyond_it(void **state)
{
    struct given *given = *state;

    given->limit.across_outside = 2;
    given->limit.across_of = 3;
    given_months(given, "90 90 20 44");
    given->limit.in_force_from = day_from_civil(2026, 3, 1);
    given_assert(given, "within", "44 is the only one of the clause's time");
}

static void weeks_are_counted_over_the_edge_of_the_month(void **state)
{
    struct given *given = *state;
    size_t series = given_series(given, "outfall", "suspended-solids", KIND_GRAB);

    given->limit.period = PERIOD_WEEK;
    given->limit.across_outside = 2;
    given->limit.across_of = 2;
    /* Wednesdays; 2 March 2026 is a Monday. */
    given_add(given, series, given_at("2026-02-25T12:00:00Z"), "31", "mg/L");
    given_add(given, series, given_at("2026-03-04T12:00:00Z"), "31", "mg/L");
    given_add(given, series, given_at("2026-03-11T12:00:00Z"), "30", "mg/L");
    given_add(given, series, given_at("2026-03-18T12:00:00Z"), "31", "mg/L");
    given_add(given, series, given_at("2026-03-25T12:00:00Z"), "30", "mg/L");
    given_add(given, series, given_at("2026-04-01T12:00:00Z"), "30", "mg/L");
    given_assert(given, "outside: above 30", "the first week and the one before it");
    given->readings[0][0].reported = (struct decimal){30, 0};
    given_assert(given, "within", "never two in a row");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(so_many_of_so_many_periods_break_it),
        CASE(the_periods_are_listed_oldest_first),
        CASE(periods_before_the_clause_are_not_beyond_it),
        CASE(weeks_are_counted_over_the_edge_of_the_month),
    };

    return cmocka_run_group_tests_name("judge/across", tests, NULL, NULL);
}
