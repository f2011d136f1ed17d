/* A person's `no discharge` and what the records say of the day: the rules of this program. */
#include <string.h>

#include "harness/cmocka.h"
#include "plan/explain.h"

static day_number may(int day)
{
    return day_from_civil(2026, 5, day);
}

static const struct {
    const char *why;
    enum no_sample_reason reason;
    const char *said; /* by the records of the 13th; NULL: nothing */
    const char *words;
} rows[] = {
    {"nobody and nothing says otherwise", NO_SAMPLE_NO_DISCHARGE, NULL,
     "nothing due: no discharge"},
    {"the meter moved, and the outlet's record says shut", NO_SAMPLE_NO_DISCHARGE,
     "outlet shut all day, but the meter moved",
     "missed: was due by 17 May 2026; 0 of 1 done; no discharge, but the records say otherwise: "
     "outlet shut all day, but the meter moved"},
    {"what is not required hangs on no record", NO_SAMPLE_NOT_REQUIRED, "the meter moved",
     "nothing due: not required"},
    {"what was lost was no matter of discharge", NO_SAMPLE_LOST, "the meter moved",
     "missed: was due by 17 May 2026; 0 of 1 done; lost"},
};

static const struct interval weekly = {.key = "weekly",
                                       .name = "Weekly",
                                       .licence = "example",
                                       .clause = "4.2",
                                       .station = "outlet",
                                       .shape = INTERVAL_PER_PERIOD,
                                       .period = INTERVAL_WEEK,
                                       .count = 1};

static void no_discharge_excuses_nothing_that_the_records_deny(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const char *discharged[7] = {[2] = rows[i].said};
        const struct no_sample reason = {may(13), rows[i].reason, "we were shut", "anna"};
        struct interval interval = weekly;
        const struct plan_evidence evidence = {.reasons = &reason,
                                               .reason_count = 1,
                                               .discharged = discharged,
                                               .from = may(11),
                                               .to = may(17),
                                               .today = may(30)};

        interval.in_force_from = may(11);
        interval.in_force_to = DAY_NONE;

        struct due_list list = plan_dues(mem, &interval, &evidence);

        if (list.count != 1 || strcmp(list.items[0].words, rows[i].words) != 0)
            fail_msg("%s: %s", rows[i].why, list.items[0].words);
        assert_string_equal(list.items[0].explanation, "we were shut");
    }
}

static void what_is_denied_is_told_where_the_samples_are_explained(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *discharged[7] = {[2] = "the meter moved"};
    const struct no_sample reason = {may(13), NO_SAMPLE_NO_DISCHARGE, "we were shut", "anna"};
    const struct plan_evidence evidence = {.reasons = &reason,
                                           .reason_count = 1,
                                           .discharged = discharged,
                                           .from = may(11),
                                           .to = may(17),
                                           .today = may(30)};
    struct interval interval = weekly;

    (void)state;
    interval.in_force_from = may(11);
    interval.in_force_to = DAY_NONE;

    struct due_list dues = plan_dues(mem, &interval, &evidence);
    struct plan_lines lines = plan_explain(mem, &interval, &evidence, &dues);
    bool told = false;

    for (size_t i = 0; i < lines.count; i++)
        told =
            told || strcmp(lines.items[i],
                           "reason on record for 13 May 2026: no discharge, we were shut; "
                           "excuses nothing, as the records say otherwise: the meter moved") == 0;
    assert_true(told);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_discharge_excuses_nothing_that_the_records_deny),
        cmocka_unit_test(what_is_denied_is_told_where_the_samples_are_explained),
    };

    return cmocka_run_group_tests_name("plan/discharged", tests, NULL, NULL);
}
