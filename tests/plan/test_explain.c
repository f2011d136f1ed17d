#include <string.h>

#include "harness/cmocka.h"
#include "plan/explain.h"

static day_number may(int day)
{
    return day_from_civil(2026, 5, day);
}

/* May 2026 from Monday the 4th; an invented clause. */
static void a_month_of_weeks_is_explained_from_its_samples_to_what_was_due(void **state)
{
    static const char *const expected[] = {
        "Weekly grab: at least 1 in each week",
        "clause: 4.2 of licence example, decided by an authority not named",
        "in force from 4 May 2026",
        "a sample up to 1 day late still counts",
        "a sample at outlet counts when it has a result of solids and ammonia; days without "
        "discharge ask for none",
        "samples found:",
        "  6 May 2026",
        "  27 May 2026, 21 days after the one before",
        "  13 May 2026 does not count: ammonia has no result",
        "reason on record for 14 May 2026: lost, the bottle broke",
        "no discharge on 9 May 2026",
        "no discharge from 18 May 2026 to 24 May 2026",
        "what was due from 4 May 2026 to 31 May 2026, as of 2 June 2026:",
        "  4 May 2026 to 10 May 2026: done: 1 of 1, the last on 6 May 2026",
        "  11 May 2026 to 17 May 2026: missed: was due by 17 May 2026; 0 of 1 done; sampled on 13 "
        "May 2026, but ammonia has no result; lost",
        "  18 May 2026 to 24 May 2026: nothing due: no discharge",
        "  25 May 2026 to 31 May 2026: done: 1 of 1, the last on 27 May 2026",
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const char *const parameters[] = {"solids", "ammonia"};
    const struct interval weekly = {.key = "weekly",
                                    .name = "Weekly grab",
                                    .clause = "4.2",
                                    .licence = "example",
                                    .station = "outlet",
                                    .parameters = parameters,
                                    .parameter_count = 2,
                                    .shape = INTERVAL_PER_PERIOD,
                                    .period = INTERVAL_WEEK,
                                    .count = 1,
                                    .tolerance_days = 1,
                                    .only_while_discharging = true,
                                    .in_force_from = may(4),
                                    .in_force_to = DAY_NONE};
    const day_number samples[] = {may(6), may(27)};
    const struct partial_sample partial = {may(13), "ammonia has no result"};
    const struct no_sample reason = {may(14), NO_SAMPLE_LOST, "the bottle broke", "ash"};
    bool discharging[28];

    for (int i = 0; i < 28; i++)
        discharging[i] = i != 5 && (i < 14 || i > 20);

    const struct plan_evidence evidence = {.samples = samples,
                                           .sample_count = 2,
                                           .partials = &partial,
                                           .partial_count = 1,
                                           .reasons = &reason,
                                           .reason_count = 1,
                                           .discharging = discharging,
                                           .from = may(4),
                                           .to = may(31),
                                           .today = may(33)};
    struct due_list dues = plan_dues(mem, &weekly, &evidence);
    struct plan_lines lines = plan_explain(mem, &weekly, &evidence, &dues);

    (void)state;
    for (size_t i = 0; i < lines.count && i < sizeof(expected) / sizeof(expected[0]); i++)
        assert_string_equal(lines.items[i], expected[i]);
    assert_int_equal(lines.count, sizeof(expected) / sizeof(expected[0]));
}

static bool has_line(const struct plan_lines *lines, const char *text)
{
    for (size_t i = 0; i < lines->count; i++)
        if (strcmp(lines->items[i], text) == 0)
            return true;

    return false;
}

static void a_gap_is_explained_from_the_sample_before_the_month(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const char *const parameters[] = {"solids"};
    const struct interval apart = {.key = "apart",
                                   .station = "outlet",
                                   .parameters = parameters,
                                   .parameter_count = 1,
                                   .shape = INTERVAL_AT_MOST_DAYS,
                                   .days = 10,
                                   .in_force_from = may(-60),
                                   .in_force_to = DAY_NONE};
    const day_number samples[] = {may(-20), may(-2), may(20)};
    struct plan_evidence evidence = {
        .samples = samples, .sample_count = 3, .from = may(1), .to = may(31), .today = may(33)};
    struct due_list dues = plan_dues(mem, &apart, &evidence);
    struct plan_lines lines = plan_explain(mem, &apart, &evidence, &dues);

    (void)state;
    assert_false(has_line(&lines, "  10 April 2026"));
    assert_true(has_line(&lines, "  28 April 2026, 18 days after the one before"));
    assert_true(has_line(&lines, "  20 May 2026, 22 days after the one before"));
    assert_true(has_line(&lines, "  29 April 2026 to 8 May 2026: missed: was due by 8 May 2026; 0 "
                                 "of 1 done; no reason on record"));
    evidence.sample_count = 0;
    lines = plan_explain(mem, &apart, &evidence, &dues);
    assert_true(has_line(&lines, "samples found: none"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_month_of_weeks_is_explained_from_its_samples_to_what_was_due),
        cmocka_unit_test(a_gap_is_explained_from_the_sample_before_the_month),
    };

    return cmocka_run_group_tests_name("plan/explain", tests, NULL, NULL);
}
