#include "judge/given.h"

/* Windows where the verdict itself may not be within. */

/* The standings of all windows: w within, o outside, - not assessable, . nothing due. */
static const char *window_standings(struct given *given, const struct verdict *verdict)
{
    static const char letters[] = {[STANDING_WITHIN] = 'w',
                                   [STANDING_OUTSIDE] = 'o',
                                   [STANDING_NOT_ASSESSABLE] = '-',
                                   [STANDING_NOTHING_DUE] = '.'};
    char *text = arena_strdup(given->mem, "");

    for (size_t i = 0; i < verdict->window_count; i++)
        text = arena_printf(given->mem, "%s%c", text, letters[verdict->windows[i].standing]);

    return text;
}

/* March 2026 in weeks from Monday: from the 2nd, 9th, 16th, 23rd and 30th. */
static void no_window_reads_within_where_the_verdict_may_not(void **state)
{
    static const struct {
        const char *samples;
        int licence_ends; /* of March; 0: it does not */
        bool confirmed;
        const char *standings;
        const char *reason;
    } rows[] = {
        {"3:10 10:10 17:10 24:10 31:10", 0, true, "wwwww", "nothing holds it back"},
        {"3:10 10:10 17:10 24:10 31:10", 18, true, "ww---", "the licence ended within the third"},
        {"3:10 10:10 17:10 24:10 31:10", 16, true, "ww---", "and before it"},
        {"3:10 10:10 17:10 24:90 31:10", 18, true, "ww-o-", "beyond the last bound"},
        {"3:10 10:10 17:10 24:10 31:10", 0, false, "-----", "nobody compared the clause"},
        {"3:10 10:90 17:10 24:10 31:10", 0, false, "-o---", "a breach needs no confirmation"},
        {"3:10 10:10 17:10 17:90? 24:10 31:10", 0, true, "wwoww", "in doubt and beyond"},
        {"3:10 10:10 17:10 17:<90? 24:10 31:10", 0, true, "ww-ww", "in doubt and open"},
    };
    struct given *given = *state;

    given->limit.period = PERIOD_WEEK;
    given->limit.statistic = STATISTIC_MAXIMUM;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given->limit.confirmed = rows[i].confirmed;
        given->evidence.licence_ends =
            rows[i].licence_ends ? day_from_civil(2026, 3, rows[i].licence_ends) : DAY_NONE;
        given_samples(given, rows[i].samples);

        struct verdict verdict = given_verdict(given);
        const char *got = window_standings(given, &verdict);

        if (strcmp(got, rows[i].standings) != 0)
            fail_msg("%s: expected %s, got %s", rows[i].reason, rows[i].standings, got);
        for (size_t k = 0; k < verdict.window_count; k++)
            if (verdict.windows[k].standing == STANDING_NOT_ASSESSABLE)
                assert_non_null(verdict.windows[k].reason);
        if (verdict.standing == STANDING_WITHIN && strspn(got, "w.") != strlen(got))
            fail_msg("%s: %s, and windows %s", rows[i].reason, verdict.words, got);
    }
}

/* A week with a sample set aside that has no number is not within; the others are. */
static void a_week_with_an_unreadable_sample_is_not_within(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_WEEK;
    given->limit.statistic = STATISTIC_MAXIMUM;
    given_samples(given, "3:10 10:10 17:10 24:10 31:10");
    given_row(given, given_at("2026-03-18T12:00:00Z"), NULL, "mg/L");

    struct verdict verdict = given_assert(given, "not assessable", "it may be anything");

    assert_string_equal(window_standings(given, &verdict), "ww-ww");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(no_window_reads_within_where_the_verdict_may_not),
        CASE(a_week_with_an_unreadable_sample_is_not_within),
    };

    return cmocka_run_group_tests_name("judge/hold_back", tests, NULL, NULL);
}
